"""The panel under the user's hands: walking, typing, marks, menus, turning, zooming."""

from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QFontMetricsF,
    QGuiApplication,
    QWheelEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QLineEdit,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.vehicle import Slot, Vehicle, edits, look_up
from fusemap.window.document import Document, Selection
from fusemap.window.panel.card_places import Places
from fusemap.window.panel.panel_keys import PATIENCE_MS
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.style.theme import DARK, LIGHT
from tests.window.panel_hands import hint

Key = Qt.Key
Held = Qt.KeyboardModifier


@pytest.fixture
def view(document: Document, qtbot: Any) -> PanelView:
    view = PanelView(document, LIGHT, "panel-1")
    qtbot.addWidget(view)
    view.resize(900, 500)
    view.show()
    qtbot.waitExposed(view)
    view.go_to("slot-1")
    view.setFocus()
    return view


def press(
    view: PanelView, *keys: Qt.Key | str, held: Qt.KeyboardModifier = Held.NoModifier
) -> None:
    """Press keys, one by one, where the keyboard is: a menu, the line editor, or the panel."""
    for key in keys:
        for each in key if isinstance(key, str) else [key]:
            QTest.keyClick(at_keyboard(view), each, held)
            # The line editor hands over and goes by events of their own.
            QCoreApplication.sendPostedEvents()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def at_keyboard(view: PanelView) -> QWidget:
    popup = QApplication.activePopupWidget()
    editor = view.findChild(QLineEdit, "slotEntry")
    return popup or (editor if editor is not None and editor.isVisible() else view)


def slot(document: Document, slot_id: str) -> Slot:
    return look_up.slot(document.vehicle, slot_id)


def rating(document: Document, slot_id: str) -> float | None:
    fuse = slot(document, slot_id).fuse
    return None if fuse is None else fuse.rating


def test_a_panel_out_of_sight_shows_what_changed_meanwhile(
    document: Document, view: PanelView
) -> None:
    model = view.panel_model
    redrawn: list[int] = []
    model.dataChanged.connect(lambda *_: redrawn.append(1))
    view.hide()
    document.apply("Name", edits.change_slot, "slot-1", circuit="Clock")
    assert redrawn == []
    assert "Clock" in model.index_of("slot-1").data()
    document.apply("Name", edits.change_slot, "slot-1", circuit="Horn")
    view.show()
    assert "Horn" in model.index(0, 0).data()
    document.stack.undo()
    assert redrawn
    assert "Clock" in model.index(0, 0).data()


# --- walking ------------------------------------------------------------------------------------


def test_the_arrows_walk_the_slots_and_select_them(document: Document, view: PanelView) -> None:
    press(view, Key.Key_Right)
    assert document.selection == Selection("slot", "slot-2")
    press(view, Key.Key_Down)
    assert document.selection == Selection("slot", "slot-6")
    press(view, Key.Key_Right)
    assert document.selection == Selection("panel", "panel-1")
    press(view, Key.Key_Right)
    assert document.selection == Selection("slot", "slot-8")


def test_the_cursor_follows_what_is_selected_elsewhere(document: Document, view: PanelView) -> None:
    document.select("slot", "slot-8")
    assert view.current_slot_id() == "slot-8"
    document.select("tap", "tap-1")
    assert view.current_slot_id() == "slot-1"
    assert document.selection == Selection("tap", "tap-1")


def test_tab_leaves_the_panel(document: Document, qtbot: Any) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    column = QVBoxLayout(window)
    view, field = PanelView(document, LIGHT, "panel-1"), QLineEdit()
    column.addWidget(view)
    column.addWidget(field)
    window.show()
    view.go_to("slot-1")
    view.setFocus()
    press(view, Key.Key_Tab)
    assert view.current_slot_id() == "slot-1"
    assert window.focusWidget() is field


# --- typing -------------------------------------------------------------------------------------


def test_a_rating_typed_is_stored_and_the_cursor_goes_on(
    document: Document, view: PanelView
) -> None:
    press(view, "15", Key.Key_Return)
    assert rating(document, "slot-1") == 15
    assert view.current_slot_id() == "slot-2"
    assert slot(document, "slot-1").circuit == "Radio"
    press(view, "30", Key.Key_Return)
    assert rating(document, "slot-2") == 30
    document.stack.undo()
    document.stack.undo()
    assert (rating(document, "slot-1"), rating(document, "slot-2")) == (10, 15)


def test_a_decimal_comma_is_a_decimal_point(document: Document, view: PanelView) -> None:
    press(view, "7,5", Key.Key_Return)
    assert rating(document, "slot-1") == 7.5


def test_letters_typed_are_the_circuit(document: Document, view: PanelView) -> None:
    press(view, "Loudspeakers", Key.Key_Return)
    assert slot(document, "slot-1").circuit == "Loudspeakers"
    assert rating(document, "slot-1") == 10


def test_a_whole_row_is_typed_from_the_lid(document: Document, view: PanelView) -> None:
    for line in ("5 Radio", "20 12 V socket", "10 Airbags", "- Spare"):
        press(view, line, Key.Key_Return)
    ratings = [rating(document, f"slot-{n}") for n in (1, 2, 3, 4)]
    circuits = [slot(document, f"slot-{n}").circuit for n in (1, 2, 3, 4)]
    assert ratings == [5, 20, 10, None]
    assert circuits == ["Radio", "12 V socket", "Airbags", "Spare"]


def test_enter_opens_what_is_there_and_escape_leaves_it(
    document: Document, view: PanelView
) -> None:
    press(view, Key.Key_Return)
    editor = view.findChild(QLineEdit, "slotEntry")
    assert editor.text() == "10 Radio"
    press(view, "25 Other", Key.Key_Escape)
    assert document.stack.count() == 0
    assert view.current_slot_id() == "slot-1"


def test_a_line_that_is_left_right_after_enter_is_stored_once_and_leads_nowhere(
    document: Document, view: PanelView, qtbot: Any
) -> None:
    """Enter stores by an event of its own; who clicks elsewhere before it has left the line."""
    press(view, "25 Fan")
    line = view.findChild(QLineEdit, "slotEntry")
    QTest.keyClick(line, Key.Key_Return)
    line.clearFocus()
    QApplication.processEvents()  # no warning of Qt's: any would fail this test
    assert rating(document, "slot-1") == 25
    assert document.stack.count() == 1
    assert view.current_slot_id() == "slot-1", "who left does not go on"
    press(view, "5", Key.Key_Return)
    assert rating(document, "slot-1") == 5


def test_a_circuit_that_begins_with_a_number_stays_one_when_opened_and_closed(
    document: Document, view: PanelView
) -> None:
    document.apply("x", edits.change_slot, "slot-2", fuse=None)
    view.go_to("slot-2")
    press(view, Key.Key_F2)
    assert view.findChild(QLineEdit, "slotEntry").text() == "- 12 V socket"
    press(view, Key.Key_End, "s", Key.Key_Return)
    assert slot(document, "slot-2").circuit == "12 V sockets"
    assert rating(document, "slot-2") is None


def test_a_refused_rating_keeps_the_cursor_and_names_the_ratings(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    press(view, "12", Key.Key_Return)
    assert rating(document, "slot-1") == 10
    assert view.current_slot_id() == "slot-1"
    assert "10, 15, 20" in refused[0]


def test_a_rating_goes_to_every_chosen_slot_as_one_step(
    document: Document, view: PanelView
) -> None:
    press(view, Key.Key_Right, Key.Key_Right, Key.Key_Right, held=Held.ShiftModifier)
    assert len(view.chosen()) == 4
    press(view, "20", Key.Key_Return)
    assert [rating(document, f"slot-{n}") for n in (1, 2, 3, 4)] == [20] * 4
    assert document.stack.count() == 1


def test_a_relay_is_named_as_it_is_typed(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    view.go_to("slot-6")
    press(view, "24 V relay", Key.Key_Return)
    assert slot(document, "slot-6").circuit == "24 V relay"
    view.go_to("slot-6")
    press(view, "10", Key.Key_Return)
    assert "R1 holds no fuse" in refused[0]


def test_typing_slot_by_slot_goes_past_a_relay(document: Document, view: PanelView) -> None:
    view.go_to("slot-5")
    press(view, "15 Fan", Key.Key_Return)  # a relay and a gap come next
    press(view, "10 Wipers", Key.Key_Return)
    assert slot(document, "slot-5").circuit == "Fan"
    assert slot(document, "slot-6").circuit == "Starter relay"
    assert (rating(document, "slot-8"), slot(document, "slot-8").circuit) == (10, "Wipers")


def test_names_of_relays_are_still_typed_one_after_the_other(
    document: Document, view: PanelView
) -> None:
    document.apply("x", edits.change_slot, "slot-8", kind="relay", fuse=None)
    view.go_to("slot-6")
    press(view, "Fan relay", Key.Key_Return)
    press(view, "Horn relay", Key.Key_Return)
    assert slot(document, "slot-6").circuit == "Fan relay"
    assert slot(document, "slot-8").circuit == "Horn relay"


def test_a_rating_and_a_circuit_on_a_relay_are_asked_about(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    offered: list[Any] = []
    document.offered.connect(offered.append)
    view.go_to("slot-6")
    before = document.vehicle
    press(view, "15 Engine control", Key.Key_Return)
    assert document.vehicle is before
    assert view.current_slot_id() == "slot-6"
    assert "R1 is a relay, which holds no fuse" in refused[0]
    (name_it, make_it) = offered[0]
    assert "15 Engine control" in name_it[0]
    name_it[1]()
    assert slot(document, "slot-6").circuit == "15 Engine control"
    document.stack.undo()
    make_it[1]()
    made = slot(document, "slot-6")
    assert (made.kind, made.circuit) == ("fuse", "Engine control")
    assert rating(document, "slot-6") == 15
    document.stack.undo()
    assert document.vehicle is before


def test_a_rating_for_many_slots_leaves_the_relay_among_them_alone(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    view.selectAll()
    view.setCurrentIndex(view.panel_model.index_of("slot-1"))
    view.selectAll()
    press(view, "20", Key.Key_Return)
    assert refused == []
    assert rating(document, "slot-8") == 20
    assert slot(document, "slot-6").kind == "relay"


def test_shift_f2_names_the_slot(document: Document, view: PanelView) -> None:
    press(view, Key.Key_F2, held=Held.ShiftModifier)
    press(view, "A1", Key.Key_Return)
    assert slot(document, "slot-1").label == "A1"
    press(view, "20", Key.Key_Return)
    assert rating(document, "slot-2") == 20


def test_delete_takes_the_fuse_then_the_slot_and_undo_brings_them_back(
    document: Document, view: PanelView
) -> None:
    before = document.vehicle
    view.go_to("slot-2")
    press(view, Key.Key_Delete)
    assert rating(document, "slot-2") is None
    assert document.stack.undoText() == "F2: no fuse"
    press(view, Key.Key_Delete)
    assert view.panel_model.gap(view.panel_model.index(0, 1))
    assert document.stack.undoText() == "Remove F2"
    document.stack.undo()
    document.stack.undo()
    assert document.vehicle is before


def test_a_tapped_slot_is_not_taken_away(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    press(view, Key.Key_Delete, Key.Key_Delete)
    assert slot(document, "slot-1").fuse is None
    assert "Dash cam" in refused[0]


def test_insert_puts_a_slot_on_a_gap(document: Document, view: PanelView) -> None:
    view.setCurrentIndex(view.panel_model.index(1, 2))
    press(view, Key.Key_Insert)
    made = view.panel_model.slot(view.panel_model.index(1, 2))
    assert made is not None
    assert made.label == "F11"


# --- marks --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "feed_class"),
    [
        ("30", "permanent"),
        ("15\r", "ignition"),
        ("15r", "accessory"),
        ("g", "delayed_off"),
        ("58", "lighting"),
        ("-", "unfed"),
        ("?", "unknown"),
    ],
)
def test_space_and_the_terminal_number_set_the_feed_class(
    document: Document, view: PanelView, key: str, feed_class: str
) -> None:
    press(view, " ", *key)
    assert slot(document, "slot-1").feed_class == feed_class
    assert QApplication.activePopupWidget() is None


def test_a_number_that_may_go_on_is_taken_after_a_moment(
    document: Document, view: PanelView, qtbot: Any
) -> None:
    """15 may become 15R; what was begun and left alone changes nothing."""
    press(view, " ", "1", "5")
    assert QApplication.activePopupWidget() is not None
    qtbot.waitUntil(lambda: QApplication.activePopupWidget() is None)
    assert slot(document, "slot-1").feed_class == "ignition"
    before = document.vehicle
    press(view, " ", "5")
    qtbot.wait(PATIENCE_MS + 100)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    press(view, "8")
    assert document.vehicle.panels[0].slots[0].feed_class != "lighting", "5 was long ago"
    assert document.vehicle != before


def test_space_and_a_letter_set_the_other_marks(document: Document, view: PanelView) -> None:
    press(view, " ", "c", " ", "m", " ", "y", " ", "4")
    now = slot(document, "slot-1")
    assert (now.critical, now.monitored, now.orientation, now.live_side) == (
        True,
        True,
        "lying",
        "left",
    )
    press(view, " ", "c")
    assert not slot(document, "slot-1").critical


def test_exclamation_and_question_mark_need_no_menu(document: Document, view: PanelView) -> None:
    press(view, "!", "?")
    assert slot(document, "slot-1").critical
    assert slot(document, "slot-1").feed_class == "unknown"


def test_the_live_side_is_told_as_it_is_seen(document: Document, view: PanelView) -> None:
    view.turn(1)
    view.go_to("slot-1")
    press(view, " ", "8")
    assert slot(document, "slot-1").live_side == "left"


def test_the_context_menu_does_what_it_says(document: Document, view: PanelView) -> None:
    where = view.visualRect(view.panel_model.index_of("slot-1")).center()
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, where, view.viewport().mapToGlobal(where)
    )
    QApplication.sendEvent(view.viewport(), event)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    texts = {action.text().split("\t")[0]: action for action in menu.actions()}
    texts["Take Dash cam off"].trigger()
    menu.close()
    assert document.vehicle.taps == ()
    assert document.stack.undoText() == "Take Dash cam off"


def menu_on(view: PanelView, slot_id: str) -> QMenu:
    """The context menu of a slot, opened by a right click."""
    where = view.visualRect(view.panel_model.index_of(slot_id)).center()
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, where, view.viewport().mapToGlobal(where)
    )
    QApplication.sendEvent(view.viewport(), event)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def test_what_supplies_several_slots_is_said_in_one_go(document: Document, view: PanelView) -> None:
    document.apply("x", edits.add_feed, "Main & fuse")
    for slot_id in ("slot-1", "slot-2"):
        document.apply("y", edits.change_slot, slot_id, feed_class="permanent", feed=None)
    view.selectRow(0)  # F1 to F4
    menu = menu_on(view, "slot-2")
    rows = {row.text(): row for row in menu.findChild(QMenu, "supplyMenu").actions()}
    assert list(rows) == ["Not known", "Main && fuse"], "F3 is switched"
    rows["Main && fuse"].trigger()
    menu.close()
    first, second, third, fourth = document.vehicle.panels[0].slots[:4]
    assert {first.feed, second.feed, third.feed, fourth.feed} == {"feed-1"}
    assert document.stack.undoText().endswith("slots: Main & fuse")
    document.stack.undo()
    assert look_up.slot(document.vehicle, "slot-1").feed is None


def test_what_is_not_placed_yet_is_placed_from_the_menu_of_a_slot(
    document: Document, view: PanelView
) -> None:
    document.apply("x", edits.change_slot, "slot-2", live_side="left")
    menu = menu_on(view, "slot-2")
    inside = menu.findChild(QMenu, "placeHere")
    assert inside is not None
    assert [action.text() for action in inside.actions()] == ["Cool box"]
    inside.actions()[0].trigger()
    menu.close()
    placed = {tap.accessory: tap.slot for tap in document.vehicle.taps}
    assert placed["accessory-2"] == "slot-2"
    assert document.stack.undoText().startswith("Cool box on ")
    menu = menu_on(view, "slot-2")
    inside = menu.findChild(QMenu, "placeHere")
    assert inside is not None
    assert not inside.menuAction().isVisible(), "everything is placed"
    menu.close()


def test_what_a_slot_cannot_take_is_refused_from_its_menu_too(
    document: Document, view: PanelView, refused: list[str]
) -> None:
    before = document.vehicle
    menu = menu_on(view, "slot-3")
    inside = menu.findChild(QMenu, "placeHere")
    assert inside is not None
    inside.actions()[0].trigger()
    menu.close()
    assert document.vehicle is before
    assert len(refused) == 1
    assert not view.placing.active


def test_a_slot_is_probed_from_its_menu(view: PanelView, qtbot: Any) -> None:
    menu = menu_on(view, "slot-4")
    probe = next(action for action in menu.actions() if action.text() == "Probe this slot")
    with qtbot.waitSignal(view.probe_wanted) as told:
        probe.trigger()
    menu.close()
    assert told.args == ["slot-4"]


def test_a_row_added_above_stands_above_on_a_panel_shown_upside_down(
    document: Document, view: PanelView
) -> None:
    view.turn(2)
    view.go_to("slot-1")
    row = view.currentIndex().row()
    view.commands.insert_line("row", after=False)
    model = view.panel_model
    assert model.index_of("slot-1").row() == row + 1
    assert all(model.gap(model.index(row, column)) for column in range(model.columnCount()))


def test_another_family_empties_the_slot(document: Document, view: PanelView) -> None:
    view.commands.set_family("micro2")
    assert slot(document, "slot-1").family == "micro2"
    assert slot(document, "slot-1").fuse is None


# --- how it is shown ----------------------------------------------------------------------------


def test_turning_keeps_the_cursor_on_its_slot(view: PanelView) -> None:
    view.go_to("slot-4")
    view.turn(1)
    assert view.current_slot_id() == "slot-4"
    assert (view.currentIndex().row(), view.currentIndex().column()) == (3, 1)


def test_mirroring_twice_and_turning_four_times_changes_nothing(view: PanelView) -> None:
    before = view.panel_model.arrangement
    view.turn(1)
    view.mirror()
    assert view.panel_model.index_of("slot-1").column() == 0
    view.mirror()
    view.turn(3)
    assert view.panel_model.arrangement == before


def test_ctrl_and_the_wheel_zoom(view: PanelView) -> None:
    def wheel(up: int) -> None:
        at = QPointF(50, 50)
        event = QWheelEvent(
            at,
            QPointF(view.viewport().mapToGlobal(at.toPoint())),
            QPoint(),
            QPoint(0, up),
            Qt.MouseButton.NoButton,
            Held.ControlModifier,
            Qt.ScrollPhase.NoScrollPhase,
            False,
        )
        QApplication.sendEvent(view.viewport(), event)

    before, wide = view.zoom, view.columnWidth(0)
    wheel(120)
    assert view.zoom > before
    assert view.columnWidth(0) > wide
    wheel(-120)
    wheel(-120)
    assert view.zoom < before
    view.zoom_whole()
    assert view.zoom == before


def test_a_panel_fits_its_room(view: PanelView) -> None:
    for size in ((700, 400), (1200, 700)):
        view.resize(*size)
        assert view.columnWidth(0) * 4 <= view.viewport().width()
        assert view.rowHeight(0) * 2 <= view.viewport().height()


def test_the_fuse_is_drawn_on_its_standard_colour(document: Document, view: PanelView) -> None:
    from fusemap import tables

    picture = view.grab().toImage()
    cell = view.visualRect(view.panel_model.index_of("slot-2"))
    colour = tables.fuse_colour("mini", 15)
    assert colour is not None
    seen = {
        picture.pixelColor(x, y).name()
        for x in range(cell.left(), cell.right())
        for y in range(cell.top(), cell.bottom())
    }
    assert colour.hex in seen


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_every_state_of_a_slot_can_be_painted(document: Document, qtbot: Any, theme: Any) -> None:
    view = PanelView(document, theme, "panel-1")
    qtbot.addWidget(view)
    view.resize(600, 300)
    document.apply("x", edits.change_slot, "slot-2", monitored=True, live_side="top")
    document.apply("x", edits.change_slot, "slot-8", kind="blocked", fuse=None)
    view.selectAll()
    for turns in range(4):
        view.turn(turns)
        picture = view.viewport().grab().toImage()
        assert picture.pixelColor(1, picture.height() - 2).name() == theme.lid_top


# --- pages --------------------------------------------------------------------------------------


def test_every_panel_has_a_page_named_like_it(document: Document, pages: PanelPages) -> None:
    assert [pages.tabs.tabText(n) for n in range(pages.tabs.count())] == ["Cabin", "Engine bay"]
    document.apply("x", edits.change_panel, "panel-2", name="Nuts & bolts")
    assert pages.tabs.tabText(1) == "Nuts && bolts"


def test_pages_come_and_go_with_the_panels(document: Document, pages: PanelPages) -> None:
    first = pages.pages()[0]
    document.apply("x", edits.add_panel, "Boot", 1, 1)
    assert [page.panel_id for page in pages.pages()] == ["panel-1", "panel-2", "panel-3"]
    assert pages.pages()[0] is first
    document.apply("x", edits.remove_panel, "panel-2")
    assert [page.panel_id for page in pages.pages()] == ["panel-1", "panel-3"]
    document.stack.undo()
    assert [page.panel_id for page in pages.pages()] == ["panel-1", "panel-2", "panel-3"]


def test_a_slot_selected_elsewhere_turns_to_its_page(document: Document, pages: PanelPages) -> None:
    document.select("slot", "slot-9")
    view = pages.current_view()
    assert view is not None
    assert view.panel_id == "panel-2"
    assert view.current_slot_id() == "slot-9"


def test_turning_to_a_page_selects_what_is_there(document: Document, pages: PanelPages) -> None:
    pages.tabs.setCurrentIndex(1)
    assert document.selection == Selection("panel", "panel-2")


def test_name_and_place_are_edited_on_the_page(document: Document, pages: PanelPages) -> None:
    page = pages.pages()[0]
    page.name.setFocus()
    page.name.selectAll()
    QTest.keyClicks(page.name, "Under the dash")
    QTest.keyClick(page.name, Key.Key_Return)
    assert document.vehicle.panels[0].name == "Under the dash"
    assert document.stack.undoText() == "Cabin: name"
    page.place.setFocus()
    QTest.keyClick(page.place, Key.Key_Down)
    assert document.vehicle.panels[0].place == "engine_bay"


@pytest.mark.parametrize("what", ["turn_left", "turn_right", "mirror", "smaller", "larger"])
def test_the_buttons_change_the_view_and_not_the_vehicle(
    document: Document, pages: PanelPages, what: str
) -> None:
    view = pages.current_view()
    assert view is not None
    before = (view.panel_model.arrangement, view.zoom)
    QTest.mouseClick(pages.findChild(QToolButton, f"{what}_panel-1"), Qt.MouseButton.LeftButton)
    assert (view.panel_model.arrangement, view.zoom) != before
    assert document.stack.count() == 0


def test_the_hint_says_which_keys_do_what(document: Document, pages: PanelPages) -> None:
    document.select("slot", "slot-1")
    assert "15 Radio" in hint(pages)
    view = pages.current_view()
    assert view is not None
    view.setCurrentIndex(view.panel_model.index(1, 2))
    assert "gap" in hint(pages)


def test_panels_made_anew_are_shown_as_they_were(document: Document, pages: PanelPages) -> None:
    first = pages.pages()[0]
    first.view.turn(1)
    first.view.mirror()
    first.view.zoom_by(3)
    states = pages.view_state()
    again = PanelPages(document, DARK)
    again.show_as(states)
    view = again.pages()[0].view
    assert view.panel_model.arrangement == first.view.panel_model.arrangement
    assert view.zoom == first.view.zoom
    assert again.pages()[0].mirror_button.isChecked()
    assert again.view_state() == states
    again.deleteLater()


def test_while_typing_the_hint_names_the_ratings(document: Document, pages: PanelPages) -> None:
    document.select("slot", "slot-1")
    view = pages.current_view()
    assert view is not None
    press(view, "1")
    assert "2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30 A mini" in hint(pages)
    press(view, Key.Key_Escape)
    assert "15 Radio" in hint(pages)


def test_the_marks_menu_ticks_what_is_so(document: Document, view: PanelView) -> None:
    view.go_to("slot-2")
    press(view, " ")
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    ticked = {action.text().split("\t")[0] for action in menu.actions() if action.isChecked()}
    assert ticked == {"Ignition feed", "Live side left"}
    menu.close()


def test_a_vehicle_without_panels_says_what_to_do(document: Document, pages: PanelPages) -> None:
    document.set_vehicle(Vehicle(name="New"))
    label = pages.findChild(QLabel, "noPanelWords")
    assert label.isVisible()
    assert "rows and columns" in label.text()
    assert pages.current_view() is None


def test_everything_on_a_page_has_a_name_for_screen_readers(pages: PanelPages) -> None:
    page = pages.pages()[0]
    tools = page.tools.findChildren(QToolButton)
    assert len(tools) == 8
    for widget in (page.view, page.strip, page.name, page.place, *tools):
        assert widget.accessibleName(), widget.objectName()
    assert page.view.accessibleName() == "Fuse panel Cabin"
    assert page.strip.accessibleName() == "Feeds of this panel"


def test_a_slot_clicked_again_is_chosen_again(document: Document, view: PanelView) -> None:
    """The cursor stays on it while something else is chosen: a click has to come back to it."""
    at = view.visualRect(view.panel_model.index_of("slot-1")).center()
    document.select("panel", "panel-1")
    QTest.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, Held.NoModifier, at)
    assert document.selection == Selection("slot", "slot-1")


def test_a_card_comes_off_the_lid_under_the_pointer_and_is_tinted_when_pressed(
    document: Document, view: PanelView, monkeypatch: pytest.MonkeyPatch
) -> None:
    index = view.panel_model.index_of("slot-3")
    cell = view.visualRect(index)
    other = view.visualRect(view.panel_model.index_of("slot-1")).center()

    def colours() -> tuple[QColor, QColor]:
        """Just below the card, and on its empty ground at the right."""
        QApplication.processEvents()
        shown = view.viewport().grab().toImage()
        places = Places.on(QRectF(cell), QFontMetricsF(view.delegate.font(view.font())).height())
        below = QPoint(cell.center().x(), round(places.card.bottom() + 2))
        inside = QPoint(round(places.card.right() - 5), round(places.card.bottom() - 8))
        return shown.pixelColor(below), shown.pixelColor(inside)

    QTest.mouseMove(view.viewport(), other)
    still = colours()
    QTest.mouseMove(view.viewport(), cell.center())
    hovered = colours()
    assert hovered[0].lightness() < still[0].lightness(), "a shadow below it"
    assert hovered[1] == still[1]
    monkeypatch.setattr(QGuiApplication, "mouseButtons", lambda: Qt.MouseButton.LeftButton)
    QTest.mousePress(view.viewport(), Qt.MouseButton.LeftButton, pos=cell.center())
    pressed = colours()
    assert pressed[1] == LIGHT.colour("accent_tint")
    monkeypatch.setattr(QGuiApplication, "mouseButtons", lambda: Qt.MouseButton.NoButton)
    QTest.mouseRelease(view.viewport(), Qt.MouseButton.LeftButton, pos=cell.center())
    assert colours()[1] == still[1]
