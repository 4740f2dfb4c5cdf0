"""The shelf: what is in the vehicle and what could be, to be dragged or taken up by keyboard."""

from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtWidgets import QLineEdit, QPushButton

from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_drop import MIME, Payload, payload_of
from fusemap.window.shelf.shelf import Shelf
from fusemap.window.shelf.shelf_list import ShelfList, chip
from fusemap.window.style.theme import LIGHT

FUSE = Fuse(family="mini", rating=5)


def van() -> Vehicle:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    vehicle = edits.change_slot(vehicle, "slot-1", feed_class="permanent", circuit="Radio")
    vehicle = edits.add_accessory(vehicle, "Camera", watts=4.0, standby_a=0.032,
                                  leads=("power", "sense"))  # fmt: skip
    vehicle = edits.add_accessory(vehicle, "Cool box", amperes=3.5)
    return edits.place(vehicle, "accessory-1", slot="slot-1", fuse=FUSE)


@pytest.fixture
def shelf(qtbot: Any) -> Shelf:
    return opened(qtbot, Document(van()))


def opened(qtbot: Any, document: Document) -> Shelf:
    shelf = Shelf(document, LIGHT)
    qtbot.addWidget(shelf)
    shelf.resize(900, 400)
    with qtbot.waitExposed(shelf):
        shelf.show()
    return shelf


def words(of: ShelfList) -> list[str]:
    rows = range(of.shelf.rowCount())
    return [of.shelf.index(row, 0).data().replace(NARROW_SPACE, " ") for row in rows]


def go(of: ShelfList, text: str) -> None:
    row = next(i for i, words_ in enumerate(words(of)) if words_.startswith(text))
    of.setCurrentIndex(of.shelf.index(row, 0))


def test_each_lead_says_what_it_draws_and_where_it_is(shelf: Shelf) -> None:
    assert words(shelf.own) == [
        "Camera: 4 W, 32 mA at standby\nOn F1 Radio, live side (placed)",
        "Sense lead: 5 mA\nNot placed (not placed)",
        "Cool box: 3.5 A\nNot placed (not placed)",
    ]


def test_the_library_says_usual_figures_and_their_range(shelf: Shelf) -> None:
    assert any(
        text.startswith("Compressor cool box\nUsually 45 W (25 to 60 W)")
        for text in words(shelf.kinds)
    )


def test_searching_looks_through_both_lists(shelf: Shelf, qtbot: Any) -> None:
    qtbot.keyClicks(shelf.search, "cool comp")
    assert words(shelf.own) == []
    assert [text.splitlines()[0] for text in words(shelf.kinds)] == [
        "Comfort",
        "Compressor cool box",
    ]
    assert "None here with “cool comp”" in shelf.hint.text()
    qtbot.keyClick(shelf.search, Qt.Key.Key_Escape)
    assert len(words(shelf.own)) == 3


def test_down_from_the_search_goes_to_the_first_match(shelf: Shelf, qtbot: Any) -> None:
    qtbot.keyClicks(shelf.search, "tracker")
    qtbot.keyClick(shelf.search, Qt.Key.Key_Down)
    assert shelf.kinds.payload() == Payload(kind="tracker")


def test_enter_takes_a_lead_up(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.own, "Sense lead")
    with qtbot.waitSignal(shelf.pick_up) as taken:
        qtbot.keyClick(shelf.own, Qt.Key.Key_Return)
    assert taken.args == [{"accessory": "accessory-1", "lead": "sense"}]


def test_enter_takes_a_kind_of_the_library_up(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.kinds, "Tracker")
    with qtbot.waitSignal(shelf.pick_up) as taken:
        qtbot.keyClick(shelf.kinds, Qt.Key.Key_Return)
    assert taken.args == [{"kind": "tracker", "lead": "power"}]


@pytest.mark.parametrize("key", ["place", "placeNew"])
def test_the_buttons_take_up_too(shelf: Shelf, qtbot: Any, key: str) -> None:
    go(shelf.own, "Cool box")
    go(shelf.kinds, "Fan")
    with qtbot.waitSignal(shelf.pick_up) as taken:
        qtbot.mouseClick(shelf.buttons[key], Qt.MouseButton.LeftButton)
    wanted = {"accessory": "accessory-2"} if key == "place" else {"kind": "fan"}
    assert taken.args == [{**wanted, "lead": "power"}]


def test_a_drag_carries_what_a_panel_understands(shelf: Shelf) -> None:
    go(shelf.own, "Sense lead")
    mime: QMimeData = shelf.own.shelf.mimeData([shelf.own.currentIndex()])
    assert mime.hasFormat(MIME)
    assert payload_of(mime) == Payload(accessory="accessory-1", lead="sense")
    go(shelf.kinds, "Beacon" if "Beacon" in str(words(shelf.kinds)) else "Flashing beacon")
    mime = shelf.kinds.shelf.mimeData([shelf.kinds.currentIndex()])
    assert payload_of(mime) == Payload(kind="beacon")


def test_what_hangs_at_the_mouse_is_as_wide_as_its_words(shelf: Shelf) -> None:
    row = shelf.own.shelf.rows[0]
    pixmap = chip(row, shelf, LIGHT)
    needed = shelf.fontMetrics().horizontalAdvance(row.look.text.splitlines()[0])
    assert pixmap.deviceIndependentSize().width() > needed


def test_a_heading_of_the_library_cannot_be_chosen_or_dragged(shelf: Shelf) -> None:
    heading = shelf.kinds.shelf.index(0, 0)
    assert shelf.kinds.shelf.flags(heading) == Qt.ItemFlag.NoItemFlags


def test_insert_adds_a_kind_without_placing_it(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.kinds, "Compressor cool box")
    qtbot.keyClick(shelf.kinds, Qt.Key.Key_Insert)
    added = shelf.document.vehicle.accessories[-1]
    assert (added.kind, added.watts) == ("cool_box_compressor", 45)
    assert len(shelf.document.vehicle.taps) == 1
    assert shelf.document.selection == Selection("accessory", added.id)
    assert shelf.own.payload() == Payload(accessory=added.id)


def test_a_second_of_the_same_kind_gets_a_number(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.kinds, "Fan")
    for _ in range(2):
        qtbot.keyClick(shelf.kinds, Qt.Key.Key_Insert)
    assert [a.name for a in shelf.document.vehicle.accessories[-2:]] == ["Fan", "Fan 2"]


def test_delete_removes_an_accessory_and_undo_brings_it_back(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.own, "Camera")
    qtbot.keyClick(shelf.own, Qt.Key.Key_Delete)
    assert [a.name for a in shelf.document.vehicle.accessories] == ["Cool box"]
    assert shelf.document.vehicle.taps == ()
    shelf.document.stack.undo()
    assert words(shelf.own)[0].startswith("Camera")


def test_delete_on_a_sense_lead_takes_only_that_off(shelf: Shelf, qtbot: Any) -> None:
    document = shelf.document
    document.apply("Place", edits.place, "accessory-1", "sense", slot="slot-2")
    go(shelf.own, "Sense lead")
    qtbot.keyClick(shelf.own, Qt.Key.Key_Delete)
    assert [tap.lead for tap in document.vehicle.taps] == ["power"]
    assert len(document.vehicle.accessories) == 2


def test_f2_renames_in_place(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.own, "Cool box")
    shelf.own.setFocus()
    qtbot.keyClick(shelf.own, Qt.Key.Key_F2)
    editor = shelf.own.findChild(QLineEdit)
    assert editor is not None
    assert editor.text() == "Cool box"
    editor.selectAll()
    qtbot.keyClicks(editor, "Fridge")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: shelf.document.vehicle.accessories[1].name == "Fridge")
    assert words(shelf.own)[2].startswith("Fridge")


def test_choosing_an_accessory_selects_it_and_the_other_way_round(shelf: Shelf) -> None:
    go(shelf.own, "Cool box")
    assert shelf.document.selection == Selection("accessory", "accessory-2")
    shelf.document.select("tap", "tap-1")
    assert shelf.own.payload() == Payload(accessory="accessory-1")
    assert shelf.document.selection == Selection("tap", "tap-1")


def test_buttons_wait_until_something_is_chosen(shelf: Shelf) -> None:
    assert not shelf.buttons["remove"].isEnabled()
    go(shelf.own, "Cool box")
    assert shelf.buttons["remove"].isEnabled()


def test_an_empty_vehicle_is_told_what_to_do(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(Vehicle(name="Van")))
    assert "Drag a kind from the library onto a slot" in shelf.hint.text()
    assert shelf.hint.isVisible()
    shelf.document.apply("Add", edits.add_accessory, "Lamp", watts=5.0)
    assert not shelf.hint.isVisible()
    assert shelf.own.isVisible()


def test_moving_a_tap_redraws_the_row_and_keeps_the_cursor(shelf: Shelf) -> None:
    go(shelf.own, "Camera")
    shelf.document.apply("Move", edits.place, "accessory-1", slot="slot-2", way_round="load_side")
    assert "On F2, load side" in words(shelf.own)[0]
    assert shelf.own.payload() == Payload(accessory="accessory-1")


def test_a_row_is_renewed_when_its_slot_is_called_otherwise_and_left_alone_else(
    shelf: Shelf,
) -> None:
    resets: list[int] = []
    shelf.own.shelf.modelReset.connect(lambda: resets.append(1))
    shelf.document.apply("Rating", edits.change_slot, "slot-2", fuse=FUSE)
    assert resets == []
    shelf.document.apply("Name", edits.change_slot, "slot-1", circuit="Clock")
    assert "On F1 Clock, live side" in words(shelf.own)[0]
    shelf.document.stack.undo()
    assert "On F1 Radio, live side" in words(shelf.own)[0]


def test_every_control_is_named(shelf: Shelf) -> None:
    for widget in (shelf, shelf.search, shelf.own, shelf.kinds):
        assert widget.accessibleName()
        assert widget.objectName()
    assert all(button.text() for button in shelf.findChildren(QPushButton))


def test_an_accessory_has_a_menu_that_does_what_the_buttons_do(shelf: Shelf, qtbot: Any) -> None:
    go(shelf.own, "Cool box")
    actions = {action.text(): action for action in shelf.own.actions()}
    assert shelf.own.contextMenuPolicy() == Qt.ContextMenuPolicy.ActionsContextMenu
    assert list(actions) == ["Place on a slot", "Rename", "Remove"]
    with qtbot.waitSignal(shelf.pick_up) as told:
        actions["Place on a slot"].trigger()
    assert told.args[0]["accessory"] == "accessory-2"
    actions["Remove"].trigger()
    assert [a.name for a in shelf.document.vehicle.accessories] == ["Camera"]
    go(shelf.kinds, "Reversing camera")
    kinds = {action.text(): action for action in shelf.kinds.actions()}
    kinds["Add to the vehicle"].trigger()
    assert len(shelf.document.vehicle.accessories) == 2


def test_the_menu_of_the_list_offers_only_what_can_be_done(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)))
    assert not any(action.isEnabled() for action in shelf.own.actions())


def test_what_a_mark_means_is_said_in_the_users_language(qtbot: Any) -> None:
    shelf = Shelf(Document(van()), replace(LIGHT, style=Style("de")))
    qtbot.addWidget(shelf)
    spoken = [
        str(rows.index(row, 0).data(Qt.ItemDataRole.AccessibleTextRole))
        for rows, row in ((shelf.own.shelf, 0), (shelf.own.shelf, 1), (shelf.kinds.shelf, 1))
    ]
    assert [words.rpartition("(")[2] for words in spoken] == [
        "gesetzt)",
        "nicht gesetzt)",
        "aus der Bibliothek)",
    ]
