"""The way of every tap of every demo: it goes where the network says, and over no card and no word.

Held against: the tree of resistances that the solver works on (`assess/currents.py`), which knows
nothing of any screen; and the places of cards and words as they are painted.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRectF
from PySide6.QtWidgets import QWidget

from fusemap.assess.currents import _parents
from fusemap.electrics.network import tree
from fusemap.files import demos
from fusemap.vehicle import STATES, Vehicle, edits, look_up
from fusemap.window.panel.panel_page import PanelPage
from fusemap.window.way.lid_places import places_of
from fusemap.window.way.route import Box, Point
from fusemap.window.way.way_overlay import Drawn
from tests.window.way.lid_hands import LidPage

DEMOS = [key for key, _ in demos.demo_names()]


@pytest.fixture
def laid(qtbot: Any) -> Callable[..., LidPage]:
    def lay(vehicle: Vehicle, **how: Any) -> LidPage:
        page = LidPage(vehicle, **how)
        qtbot.addWidget(page)
        return page

    return lay


def of_power(page: LidPage) -> Drawn:
    """The way that is drawn, of an accessory's supply."""
    drawn = [each for each in page.follow() if each.line.kind != "sense"]
    assert len(drawn) == 1, "one chosen thing, one line"
    return drawn[0]


# --- what it visits -------------------------------------------------------------------------------


def by_the_network(page: LidPage, tap_id: str) -> list[str]:
    """The elements that the solver has on the way of a tap, from the battery downwards."""
    circuit = page.document.assessment.circuit
    on_way = tree(_parents(circuit)).on_way
    node = circuit.tap_nodes.start + list(circuit.taps.ids).index(tap_id)
    above = np.flatnonzero(on_way[node])
    order = sorted(above, key=lambda each: on_way[each].sum())
    names = {0: "battery"}
    names |= {circuit.feed_nodes.start + n: f"feed:{f}" for n, f in enumerate(circuit.feeds.ids)}
    names |= dict.fromkeys(range(*circuit.live_nodes.indices(circuit.nodes)), "live_contact")
    names |= dict.fromkeys(range(*circuit.load_nodes.indices(circuit.nodes)), "host_fuse")
    return [*(names[each] for each in order[:-1]), "tap"]


@pytest.mark.parametrize("demo", DEMOS)
def test_it_visits_what_the_network_has_in_that_order(
    laid: Callable[..., LidPage], demo: str
) -> None:
    page = laid(demos.read_demo(demo))
    for tap in page.document.vehicle.taps:
        page.document.select("tap", tap.id)
        drawn = page.follow()
        assert len(drawn) == 1, tap.id
        visited = list(drawn[0].route.visited)
        supply = visited[: visited.index("tap") + 1] if "tap" in visited else [*visited[:-1], "tap"]
        assert supply == by_the_network(page, tap.id), tap.id
        if tap.lead == "power":
            assert visited[-3:] == ["cable", "device", "earth"]
        else:
            assert visited[-1] == "device"


@pytest.mark.parametrize("demo", DEMOS)
def test_in_every_state_what_a_tap_draws_comes_through_all_of_it(
    laid: Callable[..., LidPage], demo: str
) -> None:
    """Kirchhoff's current law: on its way nothing carries less than the tap does."""
    page = laid(demos.read_demo(demo))
    a = page.document.assessment
    for column, tap_id in enumerate(a.circuit.taps.ids):
        page.document.select("tap", tap_id)
        feeds = [key[5:] for key in page.follow()[0].route.visited if key.startswith("feed:")]
        for state in range(len(STATES)):
            drawn_a = a.taps.current_a[state, column]
            for feed in feeds:
                carried_a = a.feeds.current_a[state, a.feeds.index[feed]]
                assert carried_a >= drawn_a - 1e-9, (tap_id, feed, STATES[state])


# --- where it runs --------------------------------------------------------------------------------


def box_in(page: LidPage, widget: QWidget, place: QRectF) -> Box:
    corner = widget.mapTo(page, QPoint(0, 0))
    moved = place.translated(corner)
    return Box(moved.left(), moved.top(), moved.right(), moved.bottom())


def cards(page: LidPage, shown: PanelPage) -> Iterator[tuple[str, Box, list[Box]]]:
    """Every card that is seen, with the places of its words."""
    view = shown.view
    port = QRectF(view.viewport().rect())
    model = view.panel_model
    for row in range(model.rowCount()):
        for column in range(model.columnCount()):
            index = model.index(row, column)
            slot = model.slot(index)
            if slot is None:
                continue
            at = places_of(view, index)
            words = [each.intersected(port) for each in (at.head, at.figure, at.words)]
            whole = at.card.intersected(port)
            if not whole.isEmpty():
                yield (
                    slot.id,
                    box_in(page, view.viewport(), whole),
                    [box_in(page, view.viewport(), each) for each in words if not each.isEmpty()],
                )


def words_of_the_lid(page: LidPage, shown: PanelPage) -> Iterator[Box]:
    """What is written in the strip, the lid's head and the line below the cards."""
    strip = shown.strip
    for number, place in enumerate(strip.places()):
        row = strip.rows[number]
        for part in (place.name, place.figure, place.amperes):
            if part.height() > 0 and (row.carried is not None or part is place.name):
                yield box_in(page, strip, part)
    bar = page.panels.tabs.tabBar()
    yield box_in(page, bar, QRectF(bar.rect()))
    if shown.hint.text():
        yield box_in(page, shown.hint, QRectF(shown.hint.rect()))


def wrong_turns(page: LidPage) -> list[str]:
    """Every place where a way goes over a card or a word where it may not."""
    shown = page.panels.current_page()
    assert shown is not None
    wrong = []
    for drawn in page.way.drawn:
        half = drawn.line.width / 2
        lines = list(pairwise(drawn.route.points))
        for slot_id, card, words in cards(page, shown):
            own = slot_id == drawn.leg.slot
            barred = [each.grown(half - 0.5) for each in words] if own else [card.grown(half - 0.5)]
            wrong += [f"{drawn.leg.tap}: {slot_id} {a} {b}" for box in barred for a, b in lines
                      if box.crossed_by(a, b)]  # fmt: skip
        for box in words_of_the_lid(page, shown):
            wrong += [f"{drawn.leg.tap}: words {box} {a} {b}" for a, b in lines
                      if box.grown(-1).crossed_by(a, b)]  # fmt: skip
    return wrong


def contact_on_screen(page: LidPage, drawn: Drawn) -> Point:
    """Where the live contact of the slot is painted now."""
    shown = page.panels.current_page()
    assert shown is not None
    assert drawn.leg.slot is not None
    view = shown.view
    index = view.panel_model.index_of(drawn.leg.slot)
    slot = view.panel_model.slot(index)
    assert slot is not None
    turned = view.panel_model.arrangement
    body = places_of(view, index).body(turned.orientation(slot.orientation))
    box, side = box_in(page, view.viewport(), body), turned.side(slot.live_side)
    x, y = box.middle
    return {
        "top": Point(x, box.top),
        "bottom": Point(x, box.bottom),
        "left": Point(box.left, y),
        "right": Point(box.right, y),
    }[side]


Act = Callable[[LidPage], object]
ACTS: list[tuple[str, Act]] = [
    ("as it opens", lambda page: None),
    ("larger window", lambda page: page.resize(2400, 1240)),
    ("small window", lambda page: page.resize(1280, 548)),
    ("turned", lambda page: page.panels.pages()[page.panels.tabs.currentIndex()].turn(1)),
    ("and mirrored", lambda page: page.panels.pages()[page.panels.tabs.currentIndex()].mirror()),
    ("turned on", lambda page: page.panels.pages()[page.panels.tabs.currentIndex()].turn(1)),
]


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("below", [False, True], ids=["pane beside", "pane below"])
def test_it_follows_size_turn_and_mirror_and_crosses_no_card_and_no_word(
    laid: Callable[..., LidPage], demo: str, below: bool
) -> None:
    page = laid(demos.read_demo(demo), below=below)
    if below:
        page.resize(1280, 960)
    for tap in page.document.vehicle.taps:
        page.document.select("tap", tap.id)
        shown = page.panels.current_page()
        assert shown is not None
        for what, act in ACTS:
            if not (below and "window" in what):
                act(page)
            (drawn,) = page.follow()
            assert wrong_turns(page) == [], (tap.id, what)
            known = drawn.leg.slot and look_up.slot(page.document.vehicle, drawn.leg.slot)
            if known and known.live_side != "unknown":
                at = next(n for n, key in drawn.route.stops if key == "live_contact")
                expected = contact_on_screen(page, drawn)
                assert drawn.route.points[at] == pytest.approx(expected, abs=0.6), (tap.id, what)
        shown.mirror()
        shown.turn(2)


@pytest.mark.parametrize("demo", DEMOS)
def test_two_leads_of_one_accessory_are_two_ways_and_cross_nothing_either(
    laid: Callable[..., LidPage], demo: str
) -> None:
    page = laid(demos.read_demo(demo))
    for accessory in page.document.vehicle.accessories:
        page.document.select("accessory", accessory.id)
        here = [t for t in page.document.vehicle.taps if t.accessory == accessory.id]
        drawn = page.follow()
        assert len(drawn) <= max(2, len(here))
        assert wrong_turns(page) == [], accessory.id


def test_it_is_led_to_the_edge_where_its_slot_is_scrolled_away(
    laid: Callable[..., LidPage],
) -> None:
    page = laid(demos.read_demo("family_estate"))
    page.document.select("tap", "tap-3")
    shown = page.panels.current_page()
    assert shown is not None
    shown.view.zoom_by(5)
    page.follow()
    shown.view.horizontalScrollBar().setValue(shown.view.horizontalScrollBar().maximum())
    bar = shown.view.verticalScrollBar()
    assert bar.maximum() > 0
    seen = set()
    for value in range(0, bar.maximum() + 1, max(1, bar.maximum() // 12)):
        bar.setValue(value)
        drawn = of_power(page)
        seen.add(drawn.route.points)
        assert wrong_turns(page) == [], value
        assert drawn.route.visited[-1] == "earth"
    assert len(seen) > 5, "it follows"


def test_it_follows_what_is_changed_and_undone(laid: Callable[..., LidPage]) -> None:
    page = laid(demos.read_demo("family_estate"))
    document = page.document
    document.select("tap", "tap-3")
    before = of_power(page)
    assert "host_fuse" in before.route.visited
    document.apply("turn it", edits.change_tap, "tap-3", way_round="live_side")
    turned = of_power(page)
    assert list(turned.route.visited) == [k for k in before.route.visited if k != "host_fuse"]
    assert turned.route.points != before.route.points
    document.stack.undo()
    assert of_power(page).route == before.route
    document.apply("other side", edits.change_slot, "dash-f11", live_side="bottom")
    assert of_power(page).route.points != before.route.points
    assert wrong_turns(page) == []


def test_a_slot_on_another_panel_turns_to_its_lid_and_begins_at_its_battery(
    laid: Callable[..., LidPage],
) -> None:
    vehicle = demos.read_demo("family_estate")
    page = laid(vehicle)
    slot = next(s for s in vehicle.panels[1].slots if s.kind == "fuse" and s.feed is not None)
    page.document.select("slot", slot.id)
    drawn = of_power(page)
    assert page.panels.current_page() is page.panels.pages()[1]
    assert drawn.route.visited[0] == "battery"
    assert drawn.route.visited[-1] == "live_contact"
    assert wrong_turns(page) == []
    page.panels.tabs.setCurrentIndex(0)
    page.document.select("accessory", "accessory-charger")
    page.panels.tabs.setCurrentIndex(1)
    for each in page.follow():
        assert each.leg.slot is None or page.panels.current_page() is page.panels.pages()[1]


def test_an_own_feed_leaves_above_all_cards(laid: Callable[..., LidPage]) -> None:
    page = laid(demos.read_demo("family_estate"))
    page.document.select("tap", "tap-7")
    drawn = of_power(page)
    assert drawn.route.visited == (
        "battery", "feed:feed-main", "tap", "cable", "device", "earth"
    )  # fmt: skip
    assert drawn.leg.slot is None
    assert wrong_turns(page) == []


@pytest.mark.parametrize("how", ["no feed", "no class"])
def test_where_it_is_not_known_from_where_it_is_dotted_and_begins_at_a_question(
    laid: Callable[..., LidPage], how: str
) -> None:
    vehicle = demos.read_demo("family_estate")
    changes = {"feed": None} if how == "no feed" else {"feed_class": "unknown"}
    vehicle = edits.change_slot(vehicle, "dash-f11", **changes)
    page = laid(vehicle)
    page.document.select("tap", "tap-3")
    drawn = of_power(page)
    assert drawn.line.kind == "open"
    assert drawn.route.visited[0] == "?"
    assert not any(key.startswith(("battery", "feed")) for key in drawn.route.visited)
    assert wrong_turns(page) == []


def test_nothing_is_drawn_to_a_slot_that_nothing_supplies(laid: Callable[..., LidPage]) -> None:
    vehicle = demos.read_demo("family_estate")
    page = laid(edits.change_slot(vehicle, "dash-f12", feed_class="unfed"))
    page.document.select("slot", "dash-f12")
    assert page.follow() == ()
    page.document.select(None, "")
    assert page.follow() == ()


def test_it_takes_no_mouse_and_no_keyboard(laid: Callable[..., LidPage]) -> None:
    page = laid(demos.read_demo("courier_van"))
    page.document.select("tap", "tap-1")
    at = page.follow()[0].route.points[3]
    under = page.childAt(QPoint(round(at.x), round(at.y)))
    assert under is not page.way
    assert page.way.focusPolicy().value == 0


# --- in hand and refused --------------------------------------------------------------------------


def test_in_hand_the_way_that_would_be_is_dashed_and_goes_as_it_will_go(
    laid: Callable[..., LidPage],
) -> None:
    from fusemap.window.panel.panel_drop import Payload

    page = laid(demos.read_demo("family_estate"))
    page.panels.start_placing(Payload(accessory="accessory-charger"))
    placing = page.panels.placing
    best = placing.ranked[0]
    drawn = of_power(page)
    assert drawn.line.kind == "preview"
    assert drawn.leg.slot == best
    assert wrong_turns(page) == []
    preview = [p for p in drawn.route.points if p.x < page.panels.geometry().right()]
    assert placing.drop(best)
    page.document.select("slot", best)
    fitted = of_power(page)
    assert fitted.line.kind == "fitted"
    assert list(fitted.route.points[: len(preview) - 1]) == preview[:-1]


def test_what_is_refused_waits_in_its_slot_with_a_way_to_a_question(
    laid: Callable[..., LidPage],
) -> None:
    from fusemap.window.panel.panel_drop import Payload

    vehicle = demos.read_demo("family_estate")
    page = laid(vehicle)
    placing, told = page.panels.placing, []
    placing.stuck.connect(told.append)
    assert placing.begin(Payload(accessory="accessory-charger"))
    assert not placing.drop("dash-f26")
    assert placing.waiting is told[0]
    assert page.document.vehicle == vehicle, "nothing is placed"
    drawn = of_power(page)
    assert (drawn.line.kind, drawn.route.visited) == ("open", ("?", "live_contact"))
    assert wrong_turns(page) == []
    shown = page.panels.current_page()
    assert shown is not None
    cell = shown.view.visualRect(shown.view.panel_model.index_of("dash-f26"))
    waits = shown.view.viewport().grab(cell).toImage()
    placing.wait(None)
    page.follow()
    assert shown.view.viewport().grab(cell).toImage() != waits, "it is seen in the slot"
    placing.wait(told[0])
    page.document.apply("x", edits.change_slot, "dash-f26", circuit="Trailer")
    assert placing.waiting is None, "whatever changes has answered it"


def test_a_fuse_that_lies_is_entered_beside_it(laid: Callable[..., LidPage]) -> None:
    page = laid(demos.read_demo("family_estate"))
    lying = [s for s in page.document.vehicle.panels[0].slots if s.orientation == "lying"]
    sides = {s.live_side for s in lying}
    assert {"left", "right"} <= sides
    for slot in lying:
        page.document.select("slot", slot.id)
        for each in page.follow():
            assert wrong_turns(page) == [], slot.id
            assert each.route.visited[-1] == "live_contact"


def test_a_lamp_that_was_never_measured_changes_no_way(laid: Callable[..., LidPage]) -> None:
    """The way is where the current can go, whatever is known of how much."""
    vehicle = demos.read_demo("family_estate")
    page = laid(vehicle)
    page.document.select("tap", "tap-3")
    before = of_power(page).route
    panels = [
        replace(p, slots=[replace(s, own_load=type(s.own_load)()) for s in p.slots])
        for p in vehicle.panels
    ]
    page.document.set_vehicle(replace(vehicle, panels=panels))
    page.document.select("tap", "tap-3")
    assert of_power(page).route.visited == before.visited
