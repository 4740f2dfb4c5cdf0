"""Turning and mirroring from menu, keys and search; Tab and Shift+Tab go the same way round."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget

from fusemap.window.help.quick_search import fitting
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import focus

Key = Qt.Key
Held = Qt.KeyboardModifier


def turned(window: MainWindow) -> tuple[int, bool]:
    state = window.panels.view.view_state()
    return state.quarter_turns, state.mirrored


def test_the_view_is_turned_and_mirrored_by_keys(opened: MainWindow) -> None:
    QTest.keyClick(focus(), Key.Key_Right, Held.ControlModifier | Held.ShiftModifier)
    assert turned(opened) == (1, False)
    QTest.keyClick(focus(), Key.Key_Left, Held.ControlModifier | Held.ShiftModifier)
    assert turned(opened) == (0, False)
    QTest.keyClick(focus(), Key.Key_M, Held.ControlModifier | Held.ShiftModifier)
    assert turned(opened) == (0, True)
    page = opened.work.panels.pages()[0]
    assert page.mirror_button.isChecked()
    opened.actions_.trigger("mirror")
    assert turned(opened) == (0, False)
    assert not page.mirror_button.isChecked()


def test_go_to_anything_finds_turning_and_mirroring(opened: MainWindow) -> None:
    everything = tuple(opened.search.goals())
    (left, right) = fitting(everything, "turn panel action")
    assert ("left" in left.text, "right" in right.text) == (True, True)
    right.do()
    assert turned(opened) == (1, False)
    (mirror,) = fitting(everything, "mirror action")
    mirror.do()
    assert turned(opened)[1]


def walk(key: Key, held: Held, most: int = 400) -> list[QWidget]:
    """The widgets that Tab passes until it is back where it began."""
    began = focus()
    passed = [began]
    for _ in range(most):
        QTest.keyClick(focus(), key, held)
        if focus() is began:
            return passed
        passed.append(focus())
    raise AssertionError([w.objectName() for w in passed])


def test_the_focus_goes_the_same_way_round_in_both_directions(opened: MainWindow) -> None:
    tap = next(t for t in opened.document.vehicle.taps if t.slot and t.lead == "power")
    opened.document.select("tap", tap.id)
    opened.focus_pane("panel")
    pane = opened.work.lid.pane.pane  # type: ignore[union-attr]
    counts = [-1, -2]
    while counts[-1] != counts[-2]:  # what is chosen gets its ways out a little later
        QTest.qWait(700)
        counts.append(sum(w.isVisible() for w in pane.findChildren(QWidget)))
    on = walk(Key.Key_Tab, Held.NoModifier)
    back = walk(Key.Key_Backtab, Held.ShiftModifier)
    names = {w.objectName() for w in on}
    panel_id = opened.panels.panel.id
    for key in ("feedStrip", "name", "turn_left", "turn_right", "mirror", "smaller", "whole",
                "larger", "panel"):  # fmt: skip
        assert f"{key}_{panel_id}" in names
    # the library is there while one searches: come to from before, and not from behind
    there, again = (
        [w.objectName() for w in way if w.objectName() != "shelfLibrary"]
        for way in (on[:0:-1], back[1:])
    )
    assert again == there
