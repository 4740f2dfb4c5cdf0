"""A vehicle of one file opened in a window of its own, as each start of the program does."""

from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from tests.window.keyboard_hands import focus


def opened_file(qtbot: Any, vehicle: Vehicle, path: Path) -> MainWindow:
    """A window that works on this vehicle, which stands in this file; let go without a question."""
    window = MainWindow(Document(vehicle, path), Settings())
    qtbot.addWidget(window, before_close_func=let_go)
    window.resize(1366, 768)
    with qtbot.waitExposed(window):
        window.show()
    window.show_work()
    return window


def let_go(window: MainWindow) -> None:
    """Let it be closed whatever there is to save or to put back."""
    window.document.stack.setClean()
    window._closing = True


def keys(text: str) -> None:
    """To whatever has the keyboard; `⏎` is Enter, `→` the arrow."""
    named = {"⏎": Qt.Key.Key_Return, "→": Qt.Key.Key_Right}
    for key in text:
        QTest.keyClick(focus(), named[key]) if key in named else QTest.keyClicks(focus(), key)


def comes_next(window: MainWindow, qtbot: Any) -> str:
    """What the rail says once all is reckoned."""
    qtbot.waitUntil(lambda: window.frame_.state.step is not None, timeout=20_000)
    return window.frame_.rail.next.words or ""
