"""The program never uses the network and starts no other program: nothing leaves this computer.

Python tells every socket, look-up of a name and start of a process to its audit hooks (PEP 578):
whatever does one while a whole job is done fails the test, whichever library it is in.
"""

import ast
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

import fusemap
from fusemap import cli
from fusemap.vehicle import edits
from fusemap.window import app
from fusemap.window.main_window import MainWindow

ROOT = Path(fusemap.__file__).parent
TALK = ("socket.", "urllib.", "http.", "ftplib.", "smtplib.", "ssl.", "subprocess.", "os.system",
        "os.exec", "os.posix_spawn", "os.spawn", "os.startfile", "pty.", "webbrowser.")  # fmt: skip
"""Beginnings of the audit events of whatever talks to others, or has others talk."""
MODULES_THAT_TALK = {
    "socket", "socketserver", "ssl", "http", "urllib", "ftplib", "smtplib", "poplib", "imaplib",
    "telnetlib", "nntplib", "xmlrpc", "asyncio", "webbrowser", "requests", "httpx", "aiohttp",
    "urllib3", "subprocess", "pty", "multiprocessing",
}  # fmt: skip
QT_THAT_TALKS = ("QtNetwork", "QtWebEngine", "QtWebSockets", "QtBluetooth", "QtHttpServer",
                 "QDesktopServices", "QTcpSocket", "QProcess", "QNetwork")  # fmt: skip

LOCAL = {
    "window/beside/sounds.py": {"subprocess"},
    "window/probe/keep_awake.py": {"subprocess"},
    "terminal/desktop.py": {"subprocess"},
}
"""Where a part of this computer's own system is asked: the screen is kept on, the desktop told, a
sound played."""

SEEN: list[str] = []
WATCHING = threading.Event()


def _watch(event: str, arguments: tuple[Any, ...]) -> None:
    if WATCHING.is_set() and event.startswith(TALK):
        SEEN.append(event)
        raise PermissionError(f"{event} is not for this program")


sys.addaudithook(_watch)


@pytest.fixture
def watched() -> Iterator[list[str]]:
    """What talked while the test ran."""
    SEEN.clear()
    WATCHING.set()
    yield SEEN
    WATCHING.clear()


@pytest.fixture
def window(qtbot: Any, monkeypatch: pytest.MonkeyPatch, settings_dir: Path) -> MainWindow:
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    made = app.make_window()
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    return made


def names(tree: ast.Module) -> Iterator[str]:
    """Every module and name imported in a source, wherever in it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("module", sorted(ROOT.rglob("*.py")), ids=lambda p: p.stem)
def test_no_module_imports_what_talks_to_others(module: Path) -> None:
    found = list(names(ast.parse(module.read_text(encoding="utf-8"))))
    talk = MODULES_THAT_TALK - LOCAL.get(module.relative_to(ROOT).as_posix(), set())
    assert not [name for name in found if name.split(".")[0] in talk]
    assert not [name for name in found if any(word in name for word in QT_THAT_TALKS)]


def test_the_watch_sees_what_talks(watched: list[str]) -> None:
    import socket

    with pytest.raises(PermissionError):
        socket.create_connection(("192.0.2.1", 9), timeout=0.01)
    assert watched


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()
        QTest.qWait(20)


def test_a_whole_job_in_the_window_uses_no_network(
    window: MainWindow, tmp_path: Path, watched: list[str]
) -> None:
    app.open_first(window, None, "family_estate")
    window.show()
    settle()
    for pane in ("panel", "details", "shelf", "findings", "parked"):
        window.focus_pane(pane)
        settle()
    slot = window.document.vehicle.panels[0].slots[1].id
    window.document.select("slot", slot)
    window.document.apply("Rename", edits.change_slot, slot, circuit="Radio")
    settle()
    file = tmp_path / "van.fusemap"
    window.files.save_as()
    (dialog,) = (d for d in window.findChildren(QFileDialog) if d.isVisible())
    dialog.fileSelected.emit(str(file))
    dialog.close()
    window.document.apply("Rename", edits.change_vehicle, name="Bus")
    window.files.save()
    window.files.show_versions()
    for action in window.actions_.rows:
        if action.menu in ("Help", "View") and action.entries is None:
            window.actions_.trigger(action.key)
            settle()
    for box in window.findChildren(QDialog):
        box.close()
    window.files.open_path(file)
    settle()
    QTest.keyClick(window, Qt.Key.Key_Escape)
    assert watched == []


@pytest.mark.parametrize(
    "line",
    ["report demo:family_estate", "parked demo:light_truck --json", "chain --watts 60", "tables"],
)
def test_no_command_on_the_terminal_uses_it(
    line: str, watched: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    cli.run(line.split())
    capsys.readouterr()
    assert watched == []


@pytest.mark.skipif(not Path("/proc/self/maps").exists(), reason="asks Linux what is loaded")
def test_what_qt_has_for_the_network_is_not_even_loaded(window: MainWindow) -> None:
    app.open_first(window, None, "light_truck")
    window.show()
    settle()
    loaded = Path("/proc/self/maps").read_text(encoding="utf-8")
    assert "Qt6Gui" in loaded
    assert "Qt6Network" not in loaded
