"""One hand on the number pad, and a clock that the test turns."""

from datetime import datetime, timedelta

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest

from fusemap.window.probe.page import ProbePage


class Clock:
    """The time, as the test says."""

    def __init__(self) -> None:
        self.now = datetime(2025, 5, 17, 18, 30)

    def __call__(self) -> datetime:
        return self.now

    def wait(self, minutes: float) -> None:
        self.now += timedelta(minutes=minutes)


KEYS = {
    "⏎": Qt.Key.Key_Enter,
    "*": Qt.Key.Key_Asterisk,
    "/": Qt.Key.Key_Slash,
    "+": Qt.Key.Key_Plus,
    "-": Qt.Key.Key_Minus,
    ".": Qt.Key.Key_Period,
    ",": Qt.Key.Key_Comma,
    "←": Qt.Key.Key_Left,
    "→": Qt.Key.Key_Right,
    "⇟": Qt.Key.Key_PageDown,
    "⇞": Qt.Key.Key_PageUp,
    "⌫": Qt.Key.Key_Backspace,
    "⎋": Qt.Key.Key_Escape,
    "␣": Qt.Key.Key_Space,
    "⇱": Qt.Key.Key_Home,
} | {digit: Qt.Key(ord(digit)) for digit in "0123456789"}


def press(page: ProbePage, keys: str) -> int:
    """Press keys on the number pad one by one; how many they were."""
    for key in keys:
        named = KEYS.get(key, Qt.Key(ord(key.upper())))
        text = key if key in "0123456789.,+-*/" or key.isalpha() else ""
        held = Qt.KeyboardModifier.NoModifier if key.isalpha() else (
            Qt.KeyboardModifier.KeypadModifier
        )  # fmt: skip
        if text:
            QTest.keyClick(page, text if key.isalpha() else named, held)
        else:
            QTest.keyClick(page, named, held)
        QCoreApplication.processEvents()
    return len(keys)
