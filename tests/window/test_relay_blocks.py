"""A relay that reaches over blocked places is one block, and the way goes on beneath it."""

from typing import Any

from PySide6.QtCore import QPoint, QRect
from PySide6.QtGui import QRegion

from fusemap.vehicle import Slot, edits, look_up
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_model import BLOCK
from fusemap.window.panel.relay_blocks import blocks


def places(*rows: str) -> dict[tuple[int, int], Slot]:
    """R a relay, b a blocked place, n a blocked place with a name, f a fuse, a dot a gap."""
    kinds = {"R": "relay", "b": "blocked", "n": "blocked", "f": "fuse"}
    return {
        (row, column): Slot(
            id=f"{row}{column}", row=row, column=column, kind=kinds[mark],
            circuit="Horn" if mark == "n" else "",
        )
        for row, marks in enumerate(rows)
        for column, mark in enumerate(marks)
        if mark in kinds
    }  # fmt: skip


def test_a_relay_reaches_over_what_it_blocks_downwards_first() -> None:
    assert blocks(places("Rb", "bf")) == dict.fromkeys([(0, 0), (1, 0)], ((0, 0), (1, 0)))


def test_a_relay_reaches_as_far_as_places_are_blocked_in_its_line() -> None:
    assert set(blocks(places("fRbbf"))) == {(0, 1), (0, 2), (0, 3)}
    assert set(blocks(places("f", "b", "R"))) == {(1, 0), (2, 0)}, "upwards where nothing else is"


def test_a_blocked_place_belongs_to_one_relay_and_a_named_one_to_none() -> None:
    assert set(blocks(places("RbR"))) == {(0, 0), (0, 1)}
    assert blocks(places("Rn")) == {}
    assert blocks(places("R.b")) == {}


def blocked_below_the_relay(window: MainWindow) -> tuple[str, str]:
    vehicle = window.document.vehicle
    relay = next(s for s in look_up.slots(vehicle) if s.kind == "relay")
    panel = look_up.panel_of(vehicle, relay.id)
    below = look_up.slot_at(panel, relay.row + 1, relay.column)
    assert below is not None
    assert below.kind == "blocked"
    return relay.id, below.id


def test_on_the_lid_both_cells_are_one_block_turned_or_not(opened: MainWindow) -> None:
    relay, below = blocked_below_the_relay(opened)
    model = opened.panels.view.panel_model
    for turns in range(4):
        model.arrange(turns, mirrored=bool(turns % 2))
        cells = {model.index_of(each) for each in (relay, below)}
        shown = {model.index(*cell) for cell in model.index_of(below).data(BLOCK)}
        assert shown == cells


def test_no_line_is_drawn_over_the_block(opened: MainWindow, qtbot: Any) -> None:
    """The gutter between the relay and the place that it blocks lies beneath it."""
    relay, below = blocked_below_the_relay(opened)
    way, view = opened.work.lid.way, opened.panels.view
    covered = way._relays(opened.work.panels.current_page())
    model, whole = view.panel_model, QRect()
    for each in (relay, below):
        whole |= view.visualRect(model.index_of(each))
    middle = view.viewport().mapTo(opened.work.lid, whole.center())
    assert covered.contains(middle)
    assert not covered.contains(middle + QPoint(whole.width(), 0))


def test_a_block_falls_apart_when_the_place_is_none_any_more(opened: MainWindow) -> None:
    relay, below = blocked_below_the_relay(opened)
    model = opened.panels.view.panel_model
    assert opened.document.apply("Slot", edits.change_slot, below, kind="fuse")
    assert model.index_of(relay).data(BLOCK) == ()


def test_a_block_that_is_scrolled_out_of_sight_covers_nothing(
    opened: MainWindow, qtbot: Any
) -> None:
    view = opened.panels.view
    for _ in range(12):
        view.zoom_by(1)
    view.scrollToTop()
    view.horizontalScrollBar().setValue(0)
    qtbot.wait(20)
    covered = opened.work.lid.way._relays(opened.work.panels.current_page())
    room = view.viewport().rect().translated(view.viewport().mapTo(opened.work.lid, QPoint(0, 0)))
    assert (covered - QRegion(room)).isEmpty()
