"""What was taken up and put back leaves all as it was; what was taken away is said and undone."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton

from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.panel import slot_entry
from fusemap.window.removals import removed_words
from tests.window.keyboard_hands import focus, press

Key = Qt.Key


@pytest.fixture
def opened(window: MainWindow, van: Vehicle, qtbot: Any) -> MainWindow:
    """The window with the van in it, and the keyboard on its panel."""
    window.resize(1200, 800)
    window.document.set_vehicle(van)
    qtbot.waitUntil(lambda: focus() is not None and window.work.focused_pane() == "panel")
    return window


def go_to_cool_box(window: MainWindow) -> None:
    window.focus_pane("shelf")
    press("cool box", Key.Key_Down)
    assert focus() is window.work.shelf.own


def message(window: MainWindow) -> str:
    return window.message.text.replace(NARROW_SPACE, " ")


def undo_button(window: MainWindow) -> QPushButton:
    button = window.message.findChild(QPushButton, "messageChoice0")
    assert button is not None
    return button


def test_put_back_the_keyboard_and_the_selection_are_where_it_was_taken_up(
    opened: MainWindow,
) -> None:
    go_to_cool_box(opened)
    before = opened.document.vehicle
    press(Key.Key_Return)
    assert opened.document.selection.kind == "slot"
    press(Key.Key_Escape)
    assert focus() is opened.work.shelf.own
    assert opened.document.selection == Selection("accessory", "accessory-2")
    assert opened.document.vehicle is before


def test_delete_after_escape_takes_no_fuse_out(opened: MainWindow) -> None:
    go_to_cool_box(opened)
    fuses = [slot.fuse for slot in look_up.slots(opened.document.vehicle)]
    press(Key.Key_Return, Key.Key_Escape, Key.Key_Delete)
    assert [slot.fuse for slot in look_up.slots(opened.document.vehicle)] == fuses
    assert [a.name for a in opened.document.vehicle.accessories] == ["Dash cam"]


def test_a_kind_of_the_library_put_back_is_the_one_on_the_cursor_again(
    opened: MainWindow,
) -> None:
    opened.document.select("slot", "slot-4")
    kinds = opened.work.shelf.kinds
    opened.actions_.trigger("add_accessory")
    press(Key.Key_Down)
    kind = kinds.payload()
    press(Key.Key_Return)
    assert not opened.work.shelf.library.isVisible(), "while it is placed the lid is seen"
    press(Key.Key_Escape)
    assert focus() is kinds
    assert kinds.payload() == kind
    assert kinds.selectedIndexes()
    assert opened.document.selection == Selection("slot", "slot-4")


def test_one_place_is_highlighted_at_a_time(opened: MainWindow) -> None:
    view, own = opened.panels.view, opened.work.shelf.own
    opened.document.select("slot", "slot-4")
    assert [view.panel_model.slot(i).id for i in view.selectedIndexes()] == ["slot-4"]
    assert own.selectedIndexes() == []
    opened.document.select("accessory", "accessory-2")  # it has no place yet
    assert view.selectedIndexes() == []
    assert own.selectedIndexes() != []
    opened.document.select("slot", "slot-4")
    assert [view.panel_model.slot(i).id for i in view.selectedIndexes()] == ["slot-4"]


def test_several_slots_can_still_be_chosen_together(opened: MainWindow) -> None:
    view = opened.panels.view
    held = Qt.KeyboardModifier.ControlModifier
    for slot_id, keys in (("slot-1", Qt.KeyboardModifier.NoModifier), ("slot-4", held)):
        place = view.visualRect(view.panel_model.index_of(slot_id)).center()
        QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, keys, place)
    assert {slot.id for slot in view.commands.slots()} == {"slot-1", "slot-4"}
    assert len(view.selectedIndexes()) == 2


def test_a_fuse_taken_out_is_said_and_its_button_brings_it_back(opened: MainWindow) -> None:
    before = opened.document.vehicle
    opened.document.select("slot", "slot-4")
    opened.focus_pane("panel")
    press(Key.Key_Delete)
    assert look_up.slot(opened.document.vehicle, "slot-4").fuse is None
    assert message(opened) == "Removed the 20 A fuse of F4 Horn"
    undo_button(opened).click()
    assert opened.document.vehicle == before
    assert message(opened) == ""


def test_the_undo_button_of_a_message_takes_no_keyboard_by_the_mouse(opened: MainWindow) -> None:
    go_to_cool_box(opened)
    press(Key.Key_Delete)
    assert message(opened) == "Removed Cool box"
    QTest.mouseClick(undo_button(opened), Qt.MouseButton.LeftButton)
    assert look_up.accessory(opened.document.vehicle, "accessory-2").name == "Cool box"
    assert opened.work.focused_pane() == "shelf"


def test_an_undone_step_says_nothing_of_what_it_took_away(opened: MainWindow) -> None:
    opened.document.apply("x", edits.add_accessory, "Fan", watts=15.0)
    opened.document.stack.undo()
    assert message(opened) == ""


def test_whatever_a_step_takes_away_has_a_name(van: Vehicle) -> None:
    def after(edit: Any, *args: Any, **fields: Any) -> str:
        return removed_words(van, edit(van, *args, **fields), Style()).replace(NARROW_SPACE, " ")

    assert after(edits.remove_accessory, "accessory-1") == "Dash cam"
    assert after(edits.unplace, "tap-1") == "Dash cam from F1 Radio"
    assert after(edits.remove_slot, "slot-4") == "F4 Horn"
    assert after(edits.remove_panel, "panel-2") == "Engine bay"
    assert after(edits.change_slot, "slot-2", fuse=None) == "the 15 A fuse of F2 12 V socket"
    assert after(edits.change_slot, "slot-2", circuit="Lamp") == ""
    slots = ["slot-2", "slot-3", "slot-4", "slot-5"]
    assert after(slot_entry.remove_slots, slots) == (
        "F2 12 V socket, F3 Airbags, F4 Horn and 1 more"
    )


def test_a_lead_that_moves_is_not_said_to_be_removed(van: Vehicle) -> None:
    moved = edits.place(van, "accessory-1", slot="slot-4")
    assert removed_words(van, moved, Style()) == ""
