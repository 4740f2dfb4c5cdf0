"""Keys as a person presses them: to whatever has the keyboard."""

from typing import Any

from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget


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
