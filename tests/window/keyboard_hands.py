"""Keys as a person presses them: to whatever has the keyboard."""

from typing import Any

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings


def opened(qtbot: Any, vehicle: Vehicle, high: int = 720) -> MainWindow:
    """A window that works on this vehicle, shown and with the keyboard."""
    window = MainWindow(Document(vehicle), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, high)
    with qtbot.waitExposed(window):
        window.show()
    window.show_work()
    window.activateWindow()
    return window


def focus() -> QWidget:
    """What has the keyboard."""
    focused = QApplication.focusWidget()
    assert focused is not None
    return focused


def press(*keys: Any) -> None:
    """Keys to whatever has the keyboard; a text is typed."""
    for key in keys:
        if isinstance(key, str):
            QTest.keyClicks(focus(), key)
        else:
            QTest.keyClick(focus(), key)
