"""Start the program's window: command line in, exit code out.

What takes long to load (numbers, charts) is loaded after the window has been painted, or when it is
first needed.
"""

import argparse
import gc
import signal
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from fusemap.errors import FileProblem, FusemapError
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.marks import app_icon
from fusemap.window.rescue import Rescue
from fusemap.window.settings import Settings, state_folder


def run(argv: Sequence[str]) -> int:
    """Open the window and stay until it is closed. `argv` is the command line without the name."""
    asked = _parser().parse_args(argv)
    # Nothing made at the start is rubbish yet; looking for some would cost a tenth of the time.
    gc.disable()
    app = QApplication.instance() or QApplication([sys.argv[0]])
    assert isinstance(app, QApplication)
    app.setApplicationName("fusemap")
    app.setDesktopFileName("fusemap")
    app.setWindowIcon(app_icon())
    window = make_window()
    open_first(window, asked.file, asked.demo)
    window.show()
    _let_ctrl_c_through(app)
    QTimer.singleShot(1000, _collect_from_now_on)
    return app.exec()


def _collect_from_now_on() -> None:
    gc.freeze()
    gc.enable()


def make_window() -> MainWindow:
    """The window with a document of its own, its settings, and its work kept against a crash."""
    document = Document()
    window = MainWindow(document, Settings())
    rescue = Rescue(document, state_folder())
    window.closed.connect(rescue.forget)
    rescue.failed.connect(window.message.show_error)
    window.recovery.rescue = rescue
    document.setParent(window)
    sys.excepthook = _Crash(window, rescue)
    return window


def open_first(window: MainWindow, file: Path | None, demo: str | None) -> None:
    """Open what was asked for, or the start page; offer work that was lost, whichever it is."""
    if file is not None:
        window.files.open_path(file)
    elif demo is not None:
        window.files.open_demo(demo)
    window.recovery.offer()


class _Crash:
    """What happens at a fault of the program: the work is kept, the fault told, nothing closed."""

    def __init__(self, window: MainWindow, rescue: Rescue) -> None:
        self._window = window
        self._rescue = rescue

    def __call__(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        traceback.print_exception(kind, error, trace)
        if issubclass(kind, KeyboardInterrupt):
            QApplication.quit()
            return
        self._rescue.keep()
        if isinstance(error, FusemapError):
            self._window.message.show_error(error)
            return
        frames = traceback.extract_tb(trace)
        where = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
        what = self._window.tr("a fault in the program: {error}").format(error=repr(error))
        remedy = self._window.tr("your work is kept; save it under another name and start again")
        self._window.message.show_error(FileProblem(what, where, remedy))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fusemap",
        description="Map a vehicle's fuse panel and plan accessories on it.",
        epilog="On the terminal, without a window: fusemap report --help.",
    )
    parser.add_argument("--version", action="store_true", help="say which version this is")
    parser.add_argument("file", nargs="?", type=Path, help="vehicle file to open")
    parser.add_argument(
        "--demo", nargs="?", const="", help="open a demo vehicle: the first, or that of this name"
    )
    return parser


def _let_ctrl_c_through(app: QApplication) -> None:
    """Python sees a signal only between its own steps; a slow tick gives it some."""
    signal.signal(signal.SIGINT, lambda *_: app.quit())
    tick = QTimer(app)
    tick.timeout.connect(lambda: None)
    tick.start(500)
