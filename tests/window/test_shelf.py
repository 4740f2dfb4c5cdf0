"""The shelf: what is in the vehicle and what could be, to be dragged or taken up by keyboard."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QDrag
from PySide6.QtWidgets import QLineEdit, QMenu, QPushButton, QVBoxLayout, QWidget

from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.document import Document, Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import MIME, Payload, payload_of
from fusemap.window.shelf.chips import fair_share, wide_of
from fusemap.window.shelf.shelf import Shelf
from fusemap.window.shelf.shelf_list import ShelfList, chip
from fusemap.window.style import measures
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
    """The shelf at the foot of a window, with its verdicts reckoned."""
    window = QWidget()
    shelf = Shelf(document, LIGHT)
    column = QVBoxLayout(window)
    column.addStretch(1)
    column.addWidget(shelf)
    qtbot.addWidget(window)
    window.resize(900, 500)
    _ = document.assessment
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    shelf.refresh()
    shelf.window_ = window  # type: ignore[attr-defined]  # kept as long as the shelf
    return shelf


def words(of: ShelfList) -> list[str]:
    rows = range(of.shelf.rowCount())
    return [of.shelf.index(row, 0).data().replace(NARROW_SPACE, " ") for row in rows]


def go(of: ShelfList, text: str) -> None:
    row = next(i for i, words_ in enumerate(words(of)) if words_.startswith(text))
    of.setCurrentIndex(of.shelf.index(row, 0))


def test_each_lead_says_what_it_draws_and_where_it_is(shelf: Shelf) -> None:
    assert words(shelf.own) == [
        "Camera: 4 W, 32 mA at standby\nOn F1 Radio, live side (placed) (may not hold)",
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


def test_the_button_of_the_library_takes_up_too(shelf: Shelf, qtbot: Any) -> None:
    shelf.search.setFocus()
    go(shelf.kinds, "Fan")
    with qtbot.waitSignal(shelf.pick_up) as taken:
        qtbot.mouseClick(shelf.buttons["placeNew"], Qt.MouseButton.LeftButton)
    assert taken.args == [{"kind": "fan", "lead": "power"}]


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


def test_a_sense_lead_that_has_its_place_is_said_in_its_accessorys_chip(shelf: Shelf) -> None:
    assert [row.short for row in shelf.own.shelf.rows] == [
        "F1",
        "Camera, not placed",
        "not placed, counted",
    ]
    shelf.document.apply("Place", edits.place, "accessory-1", "sense", slot="slot-2")
    assert [row.short for row in shelf.own.shelf.rows] == ["F1, sense F2", "not placed, counted"]
    assert "Sense lead: On F2, live side" in words(shelf.own)[0]


def test_the_sense_lead_alone_is_taken_off_by_the_menu(shelf: Shelf) -> None:
    document = shelf.document
    go(shelf.own, "Camera")
    off = next(each for each in shelf.own.actions() if each.text() == "Take off the sense lead")
    assert not off.isVisible()
    document.apply("Place", edits.place, "accessory-1", "sense", slot="slot-2")
    assert off.isVisible()
    off.trigger()
    assert [tap.lead for tap in document.vehicle.taps] == ["power"]
    assert len(document.vehicle.accessories) == 2


def test_a_chip_says_where_its_tap_sits_and_that_it_is_reversed(shelf: Shelf) -> None:
    shelf.document.apply("Turn", edits.place, "accessory-1", slot="slot-2", way_round="load_side")
    assert shelf.own.shelf.rows[0].short == "F2, reversed"


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


def test_what_can_be_done_waits_until_something_is_chosen(shelf: Shelf) -> None:
    assert not shelf.actions_["remove"].isEnabled()
    assert not shelf.chips.menu_button.isEnabled()
    go(shelf.own, "Cool box")
    assert shelf.actions_["remove"].isEnabled()
    assert shelf.chips.menu_button.isEnabled()


def test_an_empty_vehicle_is_told_what_to_do(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(Vehicle(name="Van")))
    assert "Nothing in this vehicle yet. Search for what is to be fitted" in shelf.hint.text()
    assert shelf.hint.isVisible()
    assert shelf.picture.isVisible()
    assert shelf.hint.heightForWidth(shelf.hint.width()) <= shelf.height()
    shelf.document.apply("Add", edits.add_accessory, "Lamp", watts=5.0)
    assert not shelf.hint.isVisible()
    assert not shelf.picture.isVisible()
    assert shelf.own.isVisible()


def test_without_a_slot_adding_is_what_the_library_offers(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(Vehicle(name="Van")))
    shelf.search.setFocus()
    shelf.search.setText("camera")
    place, add = shelf.buttons["placeNew"], shelf.buttons["add"]
    assert place.isHidden()
    assert add.property("kind") == "main"
    assert "slot" not in shelf.library._hint.text()
    qtbot.mouseClick(add, Qt.MouseButton.LeftButton)
    assert [each.name for each in shelf.document.vehicle.accessories] == ["Dash camera"]
    go(shelf.own, "Dash camera")
    assert not shelf.actions_["place"].isEnabled()
    shelf.document.apply("Panel", edits.add_panel, "Cabin", 1, 2)
    assert not place.isHidden()
    assert (place.property("kind"), add.property("kind")) == ("main", "")
    assert "slot" in shelf.library._hint.text()


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
    actions = {action.text(): action for action in shelf.own.actions() if action.isVisible()}
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
    said = [
        str(rows.index(row, 0).data(Qt.ItemDataRole.AccessibleTextRole))
        for rows, row in ((shelf.own.shelf, 0), (shelf.own.shelf, 1), (shelf.kinds.shelf, 1))
    ]
    assert "(gesetzt)" in said[0]
    assert said[1].endswith("(nicht gesetzt)")
    assert said[2].endswith("(aus der Bibliothek)")


# --- the strip and the library over the lid -------------------------------------------------------


def test_the_shelf_is_one_strip_of_a_fixed_height(shelf: Shelf) -> None:
    assert shelf.height() == measures.height(shelf, "shelf")
    assert shelf.own.sizeHintForIndex(shelf.own.shelf.index(0, 0)).height() >= measures.TARGET


def test_a_chip_has_the_verdict_of_its_tap_and_what_waits_has_none(shelf: Shelf) -> None:
    document = shelf.document
    (tap,) = document.vehicle.taps
    assert shelf.own.shelf.rows[0].mark == document.assessment.chains[tap.id].verdict
    assert [row.mark for row in shelf.own.shelf.rows[1:]] == ["loose", "loose"]


def test_a_chip_follows_what_is_entered_elsewhere(shelf: Shelf) -> None:
    before = shelf.own.shelf.rows[0].mark
    shelf.document.apply("Draws", edits.change_accessory, "accessory-1", watts=400.0)
    assert before != "fails"
    assert shelf.own.shelf.rows[0].mark == "fails"


def test_until_the_numbers_are_there_a_chip_says_that_it_is_reckoned(
    qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Document, "numbers_ready", property(lambda _: False))
    shelf = Shelf(Document(van()), LIGHT)
    qtbot.addWidget(shelf)
    assert shelf.own.shelf.rows[0].mark == "reckoning"
    monkeypatch.setattr(Document, "numbers_ready", property(lambda _: True))
    shelf.show()
    qtbot.waitUntil(lambda: shelf.own.shelf.rows[0].mark == "may_not_hold")


def test_the_library_lies_over_the_page_and_moves_nothing(shelf: Shelf, qtbot: Any) -> None:
    place = shelf.geometry()
    shelf.own.setFocus()
    assert not shelf.library.isVisible()
    shelf.search.setFocus()
    qtbot.waitUntil(shelf.library.isVisible)
    assert shelf.geometry() == place
    assert shelf.library.parentWidget() is shelf.window()
    assert shelf.library.geometry().bottom() <= shelf.geometry().top()
    assert shelf.window().rect().contains(shelf.library.geometry())
    qtbot.keyClick(shelf.search, Qt.Key.Key_Escape)
    assert not shelf.library.isVisible()
    assert shelf.search.hasFocus()


def test_where_there_is_more_room_below_the_library_opens_there(qtbot: Any) -> None:
    window = QWidget()
    column = QVBoxLayout(window)
    shelf = Shelf(Document(van()), LIGHT)
    column.addWidget(shelf)
    column.addStretch(1)
    qtbot.addWidget(window)
    window.resize(900, 500)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    shelf.search.setFocus()
    qtbot.waitUntil(shelf.library.isVisible)
    assert shelf.library.geometry().top() >= shelf.geometry().bottom()
    assert window.rect().contains(shelf.library.geometry())


def test_letters_typed_among_the_kinds_search_on(shelf: Shelf, qtbot: Any) -> None:
    shelf.search.setFocus()
    qtbot.keyClicks(shelf.search, "came")
    qtbot.keyClick(shelf.search, Qt.Key.Key_Escape)
    shelf.kinds.go_first()
    qtbot.keyClicks(shelf.kinds, "f")
    assert shelf.search.text() == "f"
    assert shelf.search.hasFocus()


def test_up_from_the_first_kind_is_back_in_the_search(shelf: Shelf, qtbot: Any) -> None:
    shelf.search.setFocus()
    qtbot.keyClick(shelf.search, Qt.Key.Key_Down)
    assert shelf.kinds.hasFocus()
    qtbot.keyClick(shelf.kinds, Qt.Key.Key_Up)
    assert shelf.search.hasFocus()
    assert shelf.library.isVisible()


def test_while_a_kind_is_dragged_the_lid_is_seen(
    shelf: Shelf, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[bool] = []

    def exec_(drag: QDrag, *_: object) -> Qt.DropAction:
        seen.append(shelf.library.isVisible())
        assert payload_of(drag.mimeData()) == Payload(kind="tracker")
        return Qt.DropAction.IgnoreAction

    monkeypatch.setattr(QDrag, "exec", exec_)
    shelf.search.setFocus()
    qtbot.keyClicks(shelf.search, "tracker")
    assert shelf.library.isVisible()
    shelf.kinds.startDrag(Qt.DropAction.CopyAction)
    assert seen == [False]
    assert shelf.library.isVisible(), "let go beside a slot it is there again"


def test_what_nothing_fits_is_said_with_the_way_on(shelf: Shelf, qtbot: Any) -> None:
    shelf.search.setFocus()
    qtbot.keyClicks(shelf.search, "siren of the roof")
    assert shelf.library.nothing.isVisible()
    assert "Nothing in the library fits “siren of the roof”" in shelf.library.nothing.text()
    assert not shelf.kinds.isVisible()
    qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    assert shelf.document.vehicle.accessories[-1].name == "siren of the roof"
    assert not shelf.library.isVisible()


def full(vehicle: Vehicle, count: int) -> Vehicle:
    for number in range(count):
        vehicle = edits.add_accessory(vehicle, f"Lamp number {number}", watts=5.0)
    return vehicle


def test_chips_without_room_are_counted_and_each_is_reached(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(full(van(), 12)))
    hidden = shelf.own.out_of_sight()
    assert hidden
    assert shelf.chips.more.isVisible()
    assert shelf.chips.more.text().strip() == f"+{len(hidden)} more"
    shelf.document.select("accessory", shelf.document.vehicle.accessories[-1].id)
    last = shelf.own.shelf.rowCount() - 1
    assert last not in shelf.own.out_of_sight(), "what is chosen comes into sight"
    assert 0 in shelf.own.out_of_sight()


def test_where_all_chips_have_room_nothing_is_counted(shelf: Shelf) -> None:
    assert shelf.own.out_of_sight() == []
    assert not shelf.chips.more.isVisible()


def test_the_menu_of_what_has_no_room_brings_it_into_sight(qtbot: Any) -> None:
    shelf = opened(qtbot, Document(full(van(), 12)))
    qtbot.mouseClick(shelf.chips.more, Qt.MouseButton.LeftButton)
    menu = shelf.chips.findChild(QMenu, "shelfHidden")
    assert menu is not None
    wanted = next(each for each in menu.actions() if each.text().startswith("Lamp number 11"))
    assert "not placed" in wanted.text()
    wanted.trigger()
    menu.close()
    assert shelf.own.payload() == Payload(accessory=shelf.document.vehicle.accessories[-1].id)
    assert shelf.own.shelf.rowCount() - 1 not in shelf.own.out_of_sight()


def test_what_is_removed_while_searching_leaves_the_keyboard_here_and_the_lid_free(
    shelf: Shelf, qtbot: Any
) -> None:
    qtbot.keyClicks(shelf.search, "cool box")
    qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    assert shelf.own.hasFocus()
    qtbot.keyClick(shelf.own, Qt.Key.Key_Delete)
    assert [each.name for each in shelf.document.vehicle.accessories] == ["Camera"]
    assert shelf.search.hasFocus()
    assert not shelf.library.isVisible()


def test_what_was_searched_for_and_moved_shows_all_again(opened: MainWindow) -> None:
    """A search that stays hides everything else of the vehicle."""
    shelf, document = opened.work.shelf, opened.document
    opened.focus_pane("shelf")
    shelf.search_for("revers")
    assert [row.name for row in shelf.own.shelf.rows] == ["Rear camera"]
    camera = next(a for a in document.vehicle.accessories if a.name == "Rear camera")
    placing = opened.work.panels.placing
    assert placing.begin(Payload(accessory=camera.id))
    assert placing.drop(placing.ranked[0])
    assert shelf.search.text() == ""
    assert len({row.name for row in shelf.own.shelf.rows}) == len(document.vehicle.accessories)


def test_chips_are_whole_where_there_is_room_and_the_widest_yield_first(
    opened: MainWindow, qtbot: Any
) -> None:
    chips = opened.work.shelf.own
    opened.tasks.show("plan")
    opened.resize(2200, 800)
    qtbot.wait(30)
    font = chips.font()
    wides = [wide_of(row, font) for row in chips.shelf.rows]
    shown = [chips.visualRect(chips.shelf.index(n, 0)).width() for n in range(len(wides))]
    assert shown == wides, "every word is there"
    assert fair_share([100, 100, 300], 460) == 260
    assert fair_share([10, 10], 15) == 7


def test_a_chosen_chip_shows_whether_the_keyboard_is_on_it(opened: MainWindow, qtbot: Any) -> None:
    opened.activateWindow()
    qtbot.waitActive(opened)
    opened.tasks.show("plan")
    opened.work.focus_pane("panel")
    opened.document.select("accessory", opened.document.vehicle.accessories[0].id)
    qtbot.wait(100)
    chips = opened.work.shelf.own
    without = chips.grab().toImage()
    chips.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(chips.hasFocus)
    assert chips.grab().toImage() != without


# --- a second battery -----------------------------------------------------------------------------


def type_in(shelf: Shelf, qtbot: Any, text: str) -> None:
    shelf.search.setFocus()
    shelf.search.clear()
    qtbot.keyClicks(shelf.search, text)


@pytest.mark.parametrize(
    ("language", "typed"),
    [
        ("en", "leisure battery"),
        ("en", "second"),
        ("de", "Versorgungsbatterie"),
        ("fr", "batterie auxiliaire"),
        ("nl", "huishoudaccu"),
        ("es", "batería auxiliar"),
    ],
)
def test_who_searches_a_second_battery_is_offered_it_above_its_charger(
    qtbot: Any, language: str, typed: str
) -> None:
    shelf = Shelf(Document(van()), replace(LIGHT, style=Style(language)))
    qtbot.addWidget(shelf)
    shelf.search.setText(typed)
    assert not shelf.second.isHidden()
    inside = shelf.library.layout()
    assert inside.indexOf(shelf.second) < inside.indexOf(shelf.kinds)


@pytest.mark.parametrize("typed", ["", "camera", "b", "battery guard", "car battery charger"])
def test_for_other_words_there_is_none(shelf: Shelf, qtbot: Any, typed: str) -> None:
    type_in(shelf, qtbot, typed)
    assert shelf.second.isHidden()


def test_enter_adds_a_second_battery_and_never_an_accessory_of_its_name(
    shelf: Shelf, qtbot: Any
) -> None:
    type_in(shelf, qtbot, "second battery")
    before = shelf.document.vehicle.accessories
    qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    assert shelf.second.hasFocus()
    with qtbot.waitSignal(shelf.form_wanted):
        qtbot.keyClick(shelf.second, Qt.Key.Key_Return)
    assert shelf.document.vehicle.second_battery is not None
    assert shelf.document.vehicle.accessories == before
    assert shelf.document.selection == Selection("battery")
    battery = shelf.document.vehicle.second_battery
    type_in(shelf, qtbot, "leisure battery")
    assert shelf.second.text() == "Second battery"
    shelf.second.click()
    assert shelf.document.vehicle.second_battery is battery
    type_in(shelf, qtbot, "leisure battery")
    qtbot.keyClick(shelf.search, Qt.Key.Key_Down)
    qtbot.keyClick(shelf.second, Qt.Key.Key_Escape)
    assert shelf.search.hasFocus()
