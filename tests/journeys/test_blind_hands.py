"""Hands that do not look: keys, clicks and drags on every page; nothing breaks, nothing is lost.

An exception in a slot of Qt's fails the test by itself. After each hand the vehicle is one that can
be saved, kept and read again, undo leads back to where it began, and some widget of the window
still takes keys. `FUSEMAP_HANDS=1:50` presses with other seeds.
"""

import os
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from shiboken6 import isValid

from fusemap import files
from fusemap.files.demos import read_demo
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import opened

Key = Qt.Key
LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
SEEDS = range(*(int(n) for n in os.environ.get("FUSEMAP_HANDS", "0:1").split(":")))
STEPS = int(os.environ.get("FUSEMAP_STEPS", "60"))
PAGES = ("panel", "plan", "standing", "paper", "probe", "check", "hunt", "crank", "findings",
         "joint", "compare", "tables", "start")  # fmt: skip
KEYS = (
    *"0123456789.,+-*/ aelnprswy", Key.Key_Return, Key.Key_Return, Key.Key_Escape, Key.Key_Escape,
    Key.Key_Tab, Key.Key_Backtab, Key.Key_Left, Key.Key_Right, Key.Key_Up, Key.Key_Down,
    Key.Key_Delete, Key.Key_Backspace, Key.Key_F2, Key.Key_Home, Key.Key_End, Key.Key_PageDown,
)  # fmt: skip
HELD = (Key.Key_Z, Key.Key_Y, Key.Key_G, Key.Key_A)
"""With Ctrl: undo, redo, search, all. What asks the computer itself for a file is left out."""


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    return opened(qtbot, read_demo("family_estate"))


def show(window: MainWindow, page: str) -> None:
    """Bring a page into sight, as the menus do."""
    if page == "start":
        window.show_start()
    elif page == "tables":
        window.show_tables()
    elif page in ("probe", "check", "hunt", "crank", "panel", "plan"):
        window.tasks.show(page)
    else:
        window.show_work()
        window.focus_pane({"standing": "parked"}.get(page, page))


_HELD: list[QWidget] = []
"""A list that has fallen open: without its owner in hand the widget inside is let go of."""


def at_hand() -> QWidget | None:
    """What takes the keys now: a menu that is open, else what has the keyboard."""
    popup = QApplication.activePopupWidget() or QApplication.activeModalWidget()
    if popup is not None:
        _HELD[:] = [popup]
        return popup.focusWidget() or popup
    return QApplication.focusWidget() or QApplication.activeWindow()


def close_boxes() -> None:
    """Escape, as often as anything is open over the window; a box of the computer's own too."""
    for _ in range(12):
        popup = QApplication.activePopupWidget() or QApplication.activeModalWidget()
        if popup is None:
            return
        if isinstance(popup, QFileDialog):
            popup.reject()
        else:
            QTest.keyClick(popup, Key.Key_Escape)
        QTest.qWait(1)
    left = QApplication.activePopupWidget() or QApplication.activeModalWidget()
    assert left is None, f"Escape does not leave {left.objectName() or type(left).__name__}"


def gone(do: Callable[..., None], *args: Any, **more: Any) -> None:
    """Press and let go; what goes away at the press is not let go of any more."""
    try:
        do(*args, **more)
    except RuntimeError as problem:
        if "already deleted" not in str(problem):
            raise


class Hand:
    """One hand with a seed: what it does next is not known to anybody."""

    def __init__(self, window: MainWindow, seed: int) -> None:
        self.window, self.random, self.done = window, Random(seed), list[str]()

    def act(self) -> None:
        """One thing."""
        do = self.random.choice((self.key,) * 12 + (self.held, self.click, self.twice, self.drag,
                                                    self.sizes, self.menu))  # fmt: skip
        do()
        if self.random.random() < 0.2:
            QTest.qWait(1)

    def key(self) -> None:
        at = at_hand()
        if at is not None:
            key = self.random.choice(KEYS)
            self.done.append(f"{at.objectName() or type(at).__name__} {key!r}")
            gone(QTest.keyClick, at, key)

    def held(self) -> None:
        at = at_hand()
        if at is not None:
            key = self.random.choice(HELD)
            self.done.append(f"Ctrl {key!r}")
            gone(QTest.keyClick, at, key, Qt.KeyboardModifier.ControlModifier)

    def place(self) -> tuple[QWidget, QPoint] | None:
        """Something in sight, and a point of it."""
        over = QApplication.activePopupWidget() or QApplication.activeModalWidget() or self.window
        point = QPoint(self.random.randrange(max(1, over.width())),
                       self.random.randrange(max(1, over.height())))  # fmt: skip
        there = over.childAt(point) or over
        if not there.isVisible() or not there.isEnabled() or isinstance(over, QFileDialog):
            return None
        self.done.append(f"at {there.objectName() or type(there).__name__} {point.toTuple()}")
        return there, there.mapFrom(over, point)

    def click(self) -> None:
        self.push(QTest.mouseClick, LEFT)

    def menu(self) -> None:
        self.push(QTest.mouseClick, RIGHT)

    def twice(self) -> None:
        self.push(QTest.mouseDClick, LEFT)

    def push(self, how: Callable[..., None], button: Qt.MouseButton) -> None:
        """Push a button of the mouse somewhere."""
        found = self.place()
        if found is not None:
            gone(how, found[0], button, pos=found[1])

    def drag(self) -> None:
        """Pressed here and let go outside; a drag of things themselves is begun by nobody."""
        found = self.place()
        if found is None:
            return
        there, point = found
        QTest.mousePress(there, LEFT, pos=point)
        if isValid(there):
            QTest.mouseMove(there, point + QPoint(3, 2))
        self.sizes()
        if isValid(there) and there.isVisible():
            QTest.mouseRelease(there, LEFT, pos=QPoint(-5000, -5000))

    def sizes(self) -> None:
        width, height = self.random.choice(((1280, 720), (1366, 768), (600, 400), (1, 1)))
        self.window.resize(width, height)


@pytest.fixture(autouse=True)
def _no_drag_loop(monkeypatch: pytest.MonkeyPatch) -> None:
    """A drag of the window system waits for a real mouse."""
    monkeypatch.setattr("PySide6.QtGui.QDrag.exec", lambda *_: Qt.DropAction.IgnoreAction)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("page", PAGES)
def test_blind_hands_break_nothing_and_lose_nothing(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, page: str, seed: int
) -> None:
    monkeypatch.chdir(tmp_path)
    show(window, page)
    QTest.qWait(20)
    hand = Hand(window, seed)
    try:
        for _ in range(STEPS):
            hand.act()
        close_boxes()
    except BaseException:
        print("\n".join(hand.done[-25:]))
        raise
    vehicle = window.document.vehicle
    assert files.parse(files.render(vehicle)) == vehicle
    assert window.isVisible()
    if window.document.stack.index():
        window.document.stack.setIndex(0)
        window.document.stack.setIndex(window.document.stack.count())
    show(window, "plan")
    window.activateWindow()
    QTest.qWait(20)
    assert at_hand() is not None
