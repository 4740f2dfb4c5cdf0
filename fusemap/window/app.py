"""Start the program's window: command line in, exit code out.

What takes long to load (numbers, charts) is loaded after the window has been painted, or when it is
first needed.
"""

import argparse
import gc
import signal
import sys
from collections.abc import Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QMessageLogContext, QTimer, QtMsgType, qInstallMessageHandler
from PySide6.QtWidgets import QApplication

from fusemap.window.crash import Crash, Log
from fusemap.window.document import Document
from fusemap.window.files.rescue import Rescue
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings, state_folder
from fusemap.window.style.marks import app_icon

NO_COMMANDS: Final[Mapping[str, str]] = {}


def run(argv: Sequence[str], commands: Mapping[str, str] = NO_COMMANDS) -> int:
    """Open the window and stay until it is closed. `argv` is the command line without the name.

    `commands` are those that answer without a window, for the help: each with what it says.
    """
    asked = _parser(commands).parse_args(argv)
    app = QApplication.instance() or QApplication([sys.argv[0]])
    assert isinstance(app, QApplication)
    app.setApplicationName("fusemap")
    app.setDesktopFileName("fusemap")
    app.setWindowIcon(app_icon())
    window = make_window()
    open_first(window, asked.file, asked.demo)
    window.show()
    _let_ctrl_c_through(app)
    log = Log(state_folder())
    soon = QTimer(window)
    soon.setSingleShot(True)
    soon.timeout.connect(partial(_started, log))
    soon.start(1000)
    status = app.exec()
    soon.stop()  # the window may have been closed before
    _ended(log)
    return status


def _started(log: Log) -> None:
    """What can wait until the window stands: rubbish, and the log."""
    gc.freeze()
    gc.enable()
    log.started()
    log.watch_crashes()
    qInstallMessageHandler(partial(_qt_says, log))


def _ended(log: Log) -> None:
    if log.watching:
        qInstallMessageHandler(None)
    log.close()


SAID_BY_QT = {QtMsgType.QtWarningMsg: "Qt", QtMsgType.QtCriticalMsg: "Qt, critical",
              QtMsgType.QtFatalMsg: "Qt, fatal"}  # fmt: skip


def _qt_says(log: Log, kind: QtMsgType, context: QMessageLogContext, text: str) -> None:
    """A warning of Qt goes into the log and where it would have gone."""
    if kind in SAID_BY_QT:
        log.write(SAID_BY_QT[kind], text)
    print(text, file=sys.stderr)


def make_window() -> MainWindow:
    """The window with a document of its own, its settings, and its work kept against a crash."""
    document = Document()
    window = MainWindow(document, Settings())
    rescue = Rescue(document, state_folder())
    window.closed.connect(rescue.forget)
    rescue.trouble.connect(window.standing.show_trouble)
    window.recovery.rescue = rescue
    document.setParent(window)
    log = Log(state_folder())
    window.files.stuck.connect(lambda error, choices: log.write("not saved", str(error.what)))
    Crash(window, window.message, rescue, log).install()
    return window


def open_first(window: MainWindow, file: Path | None, demo: str | None) -> None:
    """Open what was asked for, or the start page; offer work that was lost, whichever it is."""
    if file is not None:
        window.files.open_path(file)
    elif demo is not None:
        window.files.open_demo(demo)
    window.recovery.offer()


def _parser(commands: Mapping[str, str] = NO_COMMANDS) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fusemap",
        description="Map a vehicle's fuse panel and plan accessories on it.",
        epilog=_listed(commands),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="store_true", help="say which version this is")
    parser.add_argument("file", nargs="?", type=Path, help="vehicle file to open")
    parser.add_argument(
        "--demo", nargs="?", const="", help="open a demo vehicle: the first, or that of this name"
    )
    return parser


def _listed(commands: Mapping[str, str]) -> str:
    """Every command that answers on the terminal, with what it says."""
    lines = (f"  {name:<17}{words}" for name, words in commands.items())
    return "\n".join(("on the terminal, without a window (fusemap COMMAND --help):", *lines))


def _let_ctrl_c_through(app: QApplication) -> None:
    """Python sees a signal only between its own steps; a slow tick gives it some."""
    signal.signal(signal.SIGINT, lambda *_: app.quit())
    tick = QTimer(app)
    tick.timeout.connect(lambda: None)
    tick.start(500)
