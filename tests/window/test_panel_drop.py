"""Putting an accessory on a slot: by dragging, and by keyboard."""

import json
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt
from PySide6.QtGui import (
    QDrag,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDragMoveEvent,
    QDropEvent,
    QMouseEvent,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fusemap.placement import candidates
from fusemap.text import Style
from fusemap.vehicle import Fuse, edits, look_up
from fusemap.window.document import Document, Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import MIME, Payload, mime_of, payload_of
from fusemap.window.panel.panel_model import OFFER
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.style.theme import LIGHT
from tests.window.panel_hands import hint, shown

Key = Qt.Key
COOL_BOX = Payload(accessory="accessory-2")
LEFT = Qt.MouseButton.LeftButton
PLAIN = Qt.KeyboardModifier.NoModifier
MOVE = Qt.DropAction.MoveAction


@pytest.fixture
def view(document: Document, qtbot: Any) -> PanelView:
    view = PanelView(document, LIGHT, "panel-1")
    qtbot.addWidget(view)
    view.resize(900, 500)
    view.show()
    qtbot.waitExposed(view)
    return view


class Drag:
    """A drag over a panel, as Qt tells it to the widget."""

    def __init__(self, view: PanelView, mime: QMimeData) -> None:
        self.view, self.mime = view, mime

    def at(self, slot_id: str) -> QPoint:
        return self.view.visualRect(self.view.panel_model.index_of(slot_id)).center()

    def enter(self) -> bool:
        event = QDragEnterEvent(QPoint(3, 3), MOVE, self.mime, LEFT, PLAIN)
        QApplication.sendEvent(self.view.viewport(), event)
        return event.isAccepted()

    def move(self, slot_id: str) -> bool:
        event = QDragMoveEvent(self.at(slot_id), MOVE, self.mime, LEFT, PLAIN)
        QApplication.sendEvent(self.view.viewport(), event)
        return event.isAccepted()

    def drop(self, slot_id: str) -> bool:
        event = QDropEvent(QPointF(self.at(slot_id)), MOVE, self.mime, LEFT, PLAIN)
        QApplication.sendEvent(self.view.viewport(), event)
        return event.isAccepted()

    def leave(self) -> None:
        QApplication.sendEvent(self.view.viewport(), QDragLeaveEvent())


def on(document: Document, accessory_id: str) -> str | None:
    tap = look_up.tap_of(document.vehicle, accessory_id)
    return None if tap is None else tap.slot


# --- what a drag carries ------------------------------------------------------------------------


def test_a_payload_is_read_as_it_was_written() -> None:
    for payload in (COOL_BOX, Payload(kind="dash_camera"), Payload("accessory-1", lead="sense")):
        assert payload_of(mime_of(payload)) == payload


@pytest.mark.parametrize("text", ["", "[]", "{}", "{", '{"accessory": ""}', "\xff"])
def test_what_is_no_payload_is_not_taken_for_one(text: str) -> None:
    mime = QMimeData()
    mime.setData(MIME, text.encode("latin-1"))
    assert payload_of(mime) is None


def test_a_drag_of_something_else_is_not_let_in(view: PanelView) -> None:
    mime = QMimeData()
    mime.setText("F12")
    assert not Drag(view, mime).enter()
    gone = Drag(view, mime_of(Payload(accessory="accessory-77")))
    assert not gone.enter()
    assert not view.placing.active


# --- dragging -----------------------------------------------------------------------------------


def test_while_dragging_every_fuse_slot_shows_what_placement_says(
    document: Document, view: PanelView
) -> None:
    assert Drag(view, mime_of(COOL_BOX)).enter()
    accessory = look_up.accessory(document.vehicle, "accessory-2")
    found = candidates(document.vehicle, document.assessment, accessory)
    assert {c.slot_id for c in found if c.fits} == set(view.placing.ranked)
    assert view.placing.ranked
    for candidate in found:
        index = view.panel_model.index_of(candidate.slot_id)
        if index.isValid():
            assert index.data(OFFER).candidate == candidate
    best = view.panel_model.index_of(view.placing.ranked[0])
    assert best.data(OFFER).rank == 1
    spoken = str(best.data(Qt.ItemDataRole.AccessibleTextRole))
    assert "can take it" in spoken


def test_the_offers_are_seen_and_gone_after_the_drag(view: PanelView) -> None:
    QApplication.sendEvent(view.viewport(), QEvent(QEvent.Type.Leave))
    before = view.viewport().grab().toImage()
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    during = view.viewport().grab().toImage()
    colours = {
        during.pixelColor(x, y).name()
        for x in range(0, during.width(), 2)
        for y in range(0, during.height(), 2)
    }
    tinted = {LIGHT.good_tint, LIGHT.caution_tint} & colours
    assert tinted, "what can or may not take it stands on its verdict's tint"
    assert LIGHT.sealed in colours, "what cannot take it lies flush"
    drag.leave()
    QApplication.sendEvent(view.viewport(), QEvent(QEvent.Type.Leave))  # no card is under it now
    assert view.viewport().grab().toImage() == before


def test_a_good_drop_is_one_step(document: Document, view: PanelView) -> None:
    before = document.vehicle
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    assert drag.move("slot-2")
    assert drag.drop("slot-2")
    tap = look_up.tap_of(document.vehicle, "accessory-2")
    assert tap is not None
    assert (tap.slot, tap.kind, tap.way_round) == ("slot-2", "two_fuse", "live_side")
    assert tap.fuse is not None
    assert tap.cable_out is not None
    assert document.stack.undoText() == "Cool box on F2"
    assert document.selection == Selection("slot", "slot-2")
    assert not view.placing.active
    document.stack.undo()
    assert document.vehicle is before


def test_a_kind_from_the_library_is_added_and_placed_as_one_step(
    document: Document, view: PanelView
) -> None:
    before = document.vehicle
    drag = Drag(view, mime_of(Payload(kind="beacon")))
    drag.enter()
    best = view.placing.ranked[0]
    assert drag.move(best)
    assert drag.drop(best)
    made = document.vehicle.accessories[-1]
    assert made.kind == "beacon"
    assert on(document, made.id) == best
    assert document.stack.count() == 1
    document.stack.undo()
    assert document.vehicle is before


def test_a_kind_from_the_library_is_named_in_the_users_language(
    document: Document, qtbot: Any
) -> None:
    german = PanelView(document, replace(LIGHT, style=Style("de")), "panel-1")
    qtbot.addWidget(german)
    drag = Drag(german, mime_of(Payload(kind="beacon")))
    drag.enter()
    assert drag.drop(german.placing.ranked[0])
    assert document.vehicle.accessories[-1].name == "Rundumleuchte"


@pytest.mark.parametrize(
    ("slot_id", "why"),
    [
        ("slot-3", "must be left alone: airbags"),
        ("slot-4", "stays live when parked"),
        ("slot-5", "no supply"),
        ("slot-6", "not a fuse slot"),
        ("slot-8", "has room for"),
    ],
)
def test_a_forbidden_slot_refuses_and_says_why(
    document: Document, view: PanelView, refused: list[str], slot_id: str, why: str
) -> None:
    document.apply("x", edits.change_accessory, "accessory-2", watts=90.0)
    before = document.vehicle
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    assert not drag.move(slot_id)
    assert why in view.words_for(view.pointed()) or slot_id == "slot-6"
    assert not drag.drop(slot_id)
    assert why in refused[0]
    assert document.vehicle is before
    assert not view.placing.active


def test_a_drop_on_a_gap_does_nothing(document: Document, view: PanelView) -> None:
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    where = QPointF(view.visualRect(view.panel_model.index(1, 2)).center())
    event = QDropEvent(where, MOVE, drag.mime, LEFT, PLAIN)
    QApplication.sendEvent(view.viewport(), event)
    assert not event.isAccepted()
    assert document.stack.count() == 0


def test_a_tapped_accessory_is_dragged_to_another_slot(document: Document, view: PanelView) -> None:
    mime = view.panel_model.mimeData([view.panel_model.index_of("slot-1")])
    assert json.loads(bytes(mime.data(MIME).data())) == {
        "accessory": "accessory-1",
        "lead": "power",
    }
    fuse = look_up.tap(document.vehicle, "tap-1").fuse
    drag = Drag(view, mime)
    drag.enter()
    assert drag.drop("slot-2")
    tap = look_up.tap(document.vehicle, "tap-1")
    assert tap.slot == "slot-2"
    assert tap.fuse == fuse
    assert len(document.vehicle.taps) == 1


def test_a_tap_moved_to_another_family_gets_a_fuse_that_fits(
    document: Document, view: PanelView
) -> None:
    document.apply(
        "x",
        edits.change_slot,
        "slot-2",
        family="regular",
        fuse=Fuse(family="regular", rating=15),
    )
    drag = Drag(view, mime_of(Payload(accessory="accessory-1")))
    drag.enter()
    assert drag.drop("slot-2")
    fuse = look_up.tap(document.vehicle, "tap-1").fuse
    assert fuse is not None
    assert fuse.family == "regular"


def test_dropped_where_it_is_already_it_stays_as_it_is(document: Document, view: PanelView) -> None:
    before = document.vehicle
    drag = Drag(view, mime_of(Payload(accessory="accessory-1")))
    drag.enter()
    assert drag.drop("slot-1")
    assert document.vehicle is before
    assert document.stack.count() == 0


# --- by keyboard --------------------------------------------------------------------------------


def test_taken_up_by_keyboard_it_starts_at_the_best_slot_and_enter_drops_it(
    document: Document, pages: PanelPages
) -> None:
    assert pages.start_placing({"accessory": "accessory-2", "lead": "power"})
    best = pages.placing.ranked[0]
    assert shown(pages).current_slot_id() == best
    assert hint(pages).startswith("Cool box")
    assert "can take it" in hint(pages)
    QTest.keyClick(shown(pages), Key.Key_Return)
    assert on(document, "accessory-2") == best
    assert document.stack.count() == 1
    assert not pages.placing.active


def test_tab_walks_the_slots_in_order_of_rank(document: Document, pages: PanelPages) -> None:
    pages.start_placing(COOL_BOX)
    ranked = pages.placing.ranked
    seen = [shown(pages).current_slot_id()]
    for _ in ranked:
        QTest.keyClick(shown(pages), Key.Key_Tab)
        seen.append(shown(pages).current_slot_id())
    assert seen == [*ranked, ranked[0]]
    QTest.keyClick(shown(pages), Key.Key_Backtab, Qt.KeyboardModifier.ShiftModifier)
    assert shown(pages).current_slot_id() == ranked[-1]


def test_tab_turns_to_the_page_of_the_next_best_slot(document: Document, pages: PanelPages) -> None:
    document.apply("x", edits.add_panel, "Boot", 1, 1)
    boot = document.vehicle.panels[-1].slots[0].id
    document.apply(
        "x",
        edits.change_slot,
        boot,
        feed_class="ignition",
        fuse=Fuse(family="mini", rating=20),
    )
    pages.start_placing(COOL_BOX)
    for _ in pages.placing.ranked:
        if shown(pages).current_slot_id() == boot:
            break
        QTest.keyClick(shown(pages), Key.Key_Tab)
    assert shown(pages).panel_id == "panel-3"
    QTest.keyClick(shown(pages), Key.Key_Return)
    assert on(document, "accessory-2") == boot


def test_escape_puts_it_back(document: Document, pages: PanelPages) -> None:
    pages.start_placing(COOL_BOX)
    QTest.keyClick(shown(pages), Key.Key_Escape)
    assert not pages.placing.active
    assert document.stack.count() == 0
    assert shown(pages).panel_model.index_of("slot-2").data(OFFER) is None


def test_enter_on_a_forbidden_slot_says_why_and_keeps_it_in_hand(
    document: Document, pages: PanelPages, refused: list[str]
) -> None:
    pages.start_placing(COOL_BOX)
    document.select("slot", "slot-3")
    QTest.keyClick(shown(pages), Key.Key_Return)
    assert "must be left alone" in refused[0]
    assert pages.placing.active
    assert on(document, "accessory-2") is None


def test_while_something_is_in_hand_nothing_is_typed(document: Document, pages: PanelPages) -> None:
    pages.start_placing(COOL_BOX)
    before = document.vehicle
    for key in (Key.Key_1, Key.Key_R, Key.Key_Delete, Key.Key_Space, Key.Key_Exclam):
        QTest.keyClick(shown(pages), key)
    assert document.vehicle is before
    assert QApplication.activePopupWidget() is None


def test_where_no_slot_can_take_it_the_hint_says_what_can_be_done(
    document: Document, pages: PanelPages
) -> None:
    document.apply("x", edits.change_accessory, "accessory-2", watts=900.0)
    pages.start_placing(COOL_BOX)
    assert pages.placing.ranked == ()
    assert "own feed" in hint(pages)
    QTest.keyClick(shown(pages), Key.Key_Tab)
    assert pages.placing.active


def test_what_is_in_hand_is_dropped_with_a_click(document: Document, pages: PanelPages) -> None:
    pages.start_placing(COOL_BOX)
    view = shown(pages)
    where = view.visualRect(view.panel_model.index_of("slot-2")).center()
    QTest.mouseClick(view.viewport(), LEFT, PLAIN, where)
    assert on(document, "accessory-2") == "slot-2"


def test_an_accessory_that_is_removed_falls_out_of_the_hand(
    document: Document, pages: PanelPages
) -> None:
    pages.start_placing(COOL_BOX)
    document.apply("x", edits.remove_accessory, "accessory-2")
    assert not pages.placing.active


def test_an_edit_meanwhile_brings_new_offers(document: Document, pages: PanelPages) -> None:
    pages.start_placing(COOL_BOX)
    assert "slot-2" in pages.placing.ranked
    document.apply("x", edits.change_slot, "slot-2", critical=True)
    assert "slot-2" not in pages.placing.ranked


# --- what the mouse does ------------------------------------------------------------------------


def test_let_go_over_a_forbidden_slot_the_message_bar_says_why(
    view: PanelView, refused: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    drag.move("slot-3")
    where = view.viewport().mapToGlobal(drag.at("slot-3"))
    monkeypatch.setattr("fusemap.window.panel.panel_drags.QCursor.pos", lambda: where)
    drag.leave()
    assert "must be left alone" in refused[0]


def test_dragged_out_of_the_panel_nothing_is_said(
    view: PanelView, refused: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    drag = Drag(view, mime_of(COOL_BOX))
    drag.enter()
    drag.move("slot-3")
    outside = view.viewport().mapToGlobal(QPoint(-50, 10))
    monkeypatch.setattr("fusemap.window.panel.panel_drags.QCursor.pos", lambda: outside)
    drag.leave()
    assert refused == []


def test_the_mouse_takes_a_tapped_accessory_off_its_slot(
    view: PanelView, monkeypatch: pytest.MonkeyPatch
) -> None:
    dragged: list[Payload | None] = []

    def carried(drag: QDrag, actions: Qt.DropAction) -> Qt.DropAction:
        dragged.append(payload_of(drag.mimeData()))
        return MOVE

    monkeypatch.setattr("fusemap.window.panel.panel_drags.QDrag.exec", carried)
    for slot_id in ("slot-1", "slot-2"):
        start = view.visualRect(view.panel_model.index_of(slot_id)).center()
        QTest.mousePress(view.viewport(), LEFT, PLAIN, start)
        for step in (20, 40, 60):
            _mouse_move(view, start + QPoint(step, 0))
        QTest.mouseRelease(view.viewport(), LEFT, PLAIN, start + QPoint(60, 0))
    assert dragged == [Payload(accessory="accessory-1")]


def _mouse_move(view: PanelView, to: QPoint) -> None:
    event = QMouseEvent(
        QEvent.Type.MouseMove,
        QPointF(to),
        QPointF(view.viewport().mapToGlobal(to)),
        LEFT,
        LEFT,
        PLAIN,
    )
    QApplication.sendEvent(view.viewport(), event)


def test_while_a_refusal_is_asked_the_other_slots_go_on_offering(
    opened: MainWindow, qtbot: Any
) -> None:
    """Nobody knows when F26 is live: it waits there, and the rest can still be compared."""
    placing, view = opened.work.panels.placing, opened.work.panels.current_view()
    charger = next(a for a in opened.document.vehicle.accessories if a.name == "Phone charger")
    assert placing.begin(Payload(accessory=charger.id))
    offered = dict(placing.offers)
    assert placing.refuse("dash-f26")
    assert opened.work.ways.isVisible()
    assert not placing.active
    model = view.panel_model
    kept = {key: model.data(model.index_of(key), OFFER) for key in offered if "dash" in key}
    assert kept.pop("dash-f26") is None, "there it waits"
    assert kept == {key: offer for key, offer in offered.items() if key in kept}
    QTest.keyClick(opened.work.ways.measure, Qt.Key.Key_Escape)
    assert not any(model.data(model.index_of(key), OFFER) for key in kept)


def test_the_hint_of_a_drag_ends_with_a_whole_sentence(opened: MainWindow, qtbot: Any) -> None:
    """At a small laptop's width a sentence for which there is no room is left out, not cut."""
    opened.resize(1366, 768)
    view = opened.work.panels.current_view()
    page = opened.work.panels.current_page()
    placing = opened.work.panels.placing
    charger = next(a for a in opened.document.vehicle.accessories if a.name == "Phone charger")
    mime = mime_of(Payload(accessory=charger.id))
    left, plain = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    for key in ("dash-f15", "dash-f5", "dash-f30", "dash-f1"):
        at = view.visualRect(view.panel_model.index_of(key)).center()
        for kind in (QDragEnterEvent, QDragMoveEvent):
            QApplication.sendEvent(
                view.viewport(), kind(at, Qt.DropAction.MoveAction, mime, left, plain)
            )
        qtbot.wait(10)
        assert placing.active
        assert page.hint.text()
        assert not page.hint.text().endswith("…")
        width = page.hint.fontMetrics().horizontalAdvance(page.hint.text())
        assert width <= page.hint.width()
    placing.end()
