"""A finger on the stage beside the vehicle: it presses what is drawn, and there is no keyboard."""

from typing import Any

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from fusemap.window.beside.frame import StageFrame
from fusemap.window.beside.keypad import Keypad
from fusemap.window.beside.keys_picture import OPENS_PAD

ENTER = "enter"


def touch(widget: QWidget, at: QPoint) -> None:
    """Press and release at a point of a widget that can be seen there."""
    assert widget.isVisible()
    assert widget.rect().contains(at)
    QTest.mouseClick(widget, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, at)


def drawn_keys(frame: StageFrame) -> dict[str, tuple[QWidget, QRectF]]:
    """Every key that can be seen, by what it presses: those of the picture, then of the keypad."""
    found: dict[str, tuple[QWidget, QRectF]] = {}
    if frame.picture.isVisible():
        found |= {key.press: (frame.picture, place) for key, place in frame.picture.places()}
    return found | pad_keys(frame.keypad)


def pad_keys(keypad: Keypad) -> dict[str, tuple[QWidget, QRectF]]:
    """The keys of a keypad, by what they press; the one that puts it away is `close`."""
    if not keypad.isVisible():
        return {}
    return {"".join(key.presses) or "close": (keypad, place) for key, place in keypad.places()}


def finger(page: Any, *keys: str) -> None:
    """Touch these keys one after the other, each where it stands by then."""
    for key in keys:
        there = drawn_keys(page.frame)
        assert key in there, f"{key} is not to be seen among {list(there)}"
        widget, place = there[key]
        touch(widget, place.center().toPoint())


def figure(page: Any, text: str, unit: str = "") -> None:
    """Touch a figure and what stores it; the keypad is opened first where it is not."""
    if not page.frame.keypad.isVisible():
        finger(page, OPENS_PAD)
    finger(page, *text, *([unit] if unit else []), ENTER)


def name(keypad: Keypad, text: str) -> None:
    """Touch a name, letter by letter."""
    for letter in text:
        widget, place = pad_keys(keypad)[letter]
        touch(widget, place.center().toPoint())


def box(part: QWidget, whole: QWidget) -> QRect:
    """Where a part stands in the whole."""
    return QRect(part.mapTo(whole, QPoint(0, 0)), part.size())
