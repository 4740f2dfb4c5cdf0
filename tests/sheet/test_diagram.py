"""The circuit diagram: all that is solved, once and nothing else; nothing overlaps or crosses."""

from itertools import combinations, pairwise
from math import inf

import pytest
from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.assess.currents import Circuit as Network
from fusemap.assess.currents import _parents
from fusemap.assess.gather import SECOND
from fusemap.files import demos
from fusemap.sheet.circuit import BATTERY_KEY, SECOND_KEY, Circuit, Part
from fusemap.sheet.circuit_drawing import Drawing, Line
from fusemap.sheet.circuit_layout import lay_out
from fusemap.sheet.circuit_parts import circuit
from fusemap.sheet.paint_circuit import PaperType, circuit_svg
from fusemap.sheet.style import paper_style
from fusemap.sheet.subject import Subject
from fusemap.vehicle import (
    Accessory,
    Cable,
    Converter,
    EarthPoint,
    Feed,
    Fuse,
    SecondBattery,
    Stretch,
    Tap,
    Vehicle,
    edits,
)
from fusemap.vehicle.words import CLOSED_BY, SWITCH
from tests import trade_vehicles
from tests.checks.test_sockets import towing
from tests.sheet.conftest import MADE
from tests.vehicles import hard_names

WIDE, HIGH = 180.0, 235.0


def camper() -> Vehicle:
    """Everything there is: a second battery with its link, an added feed, relays, converters."""
    estate = demos.read_demo("family_estate")
    cable = Cable(section_mm2=16.0, length_m=1.0, place="engine_bay", colour="red",
                  further=(Stretch(length_m=2.0, place="cabin"),))  # fmt: skip
    block = Feed(id="feed-block", name="Block behind the seat", added=True, cable=cable,
                 fuse=Fuse(family="strip_30", rating=60.0), battery="second")  # fmt: skip
    fridge = Accessory(id="fridge", name="Fridge", watts=45.0, battery="second")
    lamp = Accessory(id="lamp", name="Work lamp", watts=60.0, leads=("power", "sense"))
    heater = Accessory(id="heater", name="Air heater", watts=30.0)
    earth = EarthPoint(id="bolt", name="Body bolt by the second battery", stud_mm=8.0)
    fuse = Fuse(family="mini", rating=10.0)
    thin = Cable(section_mm2=1.5, length_m=3.0, colour="red")
    taps = (
        Tap(id="tap-f", accessory="fridge", kind="own_feed", feed="feed-block", fuse=fuse,
            cable_out=thin, earth="bolt"),
        Tap(id="tap-l", accessory="lamp", kind="own_feed", relay=True, fuse=fuse, cable_out=thin),
        Tap(id="tap-s", accessory="lamp", lead="sense", slot="dash-f12", kind="terminal",
            fuse=fuse, cable_out=thin),
        Tap(id="tap-h", accessory="heater", kind="own_feed", feed="feed-main", relay=True),
    )  # fmt: skip
    return replace(
        estate,
        second_battery=SecondBattery(capacity_ah=95.0, link_cable=cable,
                                     near_fuse=Fuse(family="strip_30", rating=80.0),
                                     far_fuse=Fuse(family="strip_30", rating=80.0)),
        feeds=(*estate.feeds, block),
        earths=(earth,),
        accessories=(*estate.accessories, fridge, lamp, heater),
        taps=(*estate.taps, *taps),
    )  # fmt: skip


def switched() -> Vehicle:
    """Switches of every kind, an output of a control unit, a converter that goes back by the body.

    A relay whose coil only a switch in its own lead drives.
    """
    made = camper()
    heater = next(tap for tap in made.taps if tap.id == "tap-h")
    made = edits.change_tap(made, heater.id, switch="hand", switch_limit_a=10.0)
    lamp = next(tap for tap in made.taps if tap.id == "tap-s")
    made = edits.change_tap(made, lamp.id, switch="main_beam")
    fridge = next(tap for tap in made.taps if tap.id == "tap-f")
    made = edits.change_tap(made, fridge.id, switch="park_brake")
    panel = made.panels[0]
    free = next(s for s in panel.slots if not any(t.slot == s.id for t in made.taps))
    made = edits.change_slot(made, free.id, kind="module", fuse=None, contact_limit_a=2.0)
    thin = Cable(section_mm2=1.5, length_m=1.0)
    made = edits.add_accessory(made, "Step lamp", watts=5.0, leads=("power", "sense"))
    step = made.accessories[-1].id
    made = edits.place(made, step, slot=None, relay=True, cable_out=thin)
    made = edits.place(made, step, "sense", slot=free.id, kind="splice", cable_out=thin)
    made = edits.add_accessory(made, "Converter", watts=1.0, converter=Converter(rating_a=5.0))
    made = edits.place(made, made.accessories[-1].id, slot=None, feed="feed-block", cable_out=thin)
    above = made.accessories[-1].id
    fuse = Fuse(family="mini", rating=5.0)
    made = edits.add_accessory(made, "Reading lamp", watts=5.0, supplied_by=above,
                               lead_cable=thin, lead_fuse=fuse)  # fmt: skip
    return edits.add_accessory(made, "Charger", watts=5.0, supplied_by=above)


VEHICLES = {key: demos.read_demo(key) for key, _ in demos.demo_names()} | {
    "camper": camper(),
    "switched": switched(),
    "hard_names": hard_names(),
    **{f"trade_{make.__name__}": make() for make in trade_vehicles.BUILT},
    "towing": towing(),
}
CASES = [(name, "en", "metric") for name in VEHICLES]
CASES += [(name, code, "metric") for name in VEHICLES for code in ("de", "fr")]
CASES += [(name, "en", "us") for name in VEHICLES]


def circuit_of(vehicle: Vehicle, code: str = "en", units: str = "metric") -> Circuit:
    subject = Subject(assess(vehicle), (), paper_style(code, units), MADE)  # type: ignore[arg-type]
    return circuit(subject)


def node_keys(network: Network) -> list[str]:
    """What each node of the network is called on the diagram; a slot has two."""
    slots = [f"slot:{network.slots.ids[column]}" for column in network.tapped]
    return [
        BATTERY_KEY,
        *(f"feed:{feed}" for feed in network.feeds.ids),
        *slots,
        *slots,
        *(f"tap:{tap}" for tap in network.taps.ids),
        *([] if network.second is None else [SECOND_KEY]),
    ]


@pytest.mark.parametrize("name", VEHICLES)
def test_every_element_that_is_solved_is_on_it_once_and_nothing_else(name: str) -> None:
    vehicle = VEHICLES[name]
    network = assess(vehicle).circuit
    parts = circuit_of(vehicle).parts
    drawn = [p.key for p in parts if p.kind in ("battery", "second", "feed", "slot", "tap")]
    assert sorted(drawn) == sorted(set(node_keys(network)))
    others = {part.kind for part in parts if part.key not in drawn}
    assert others <= {"link", "coil", "behind"}
    behind = [part.key for part in parts if part.kind == "behind"]
    hanging = [a.id for a in vehicle.accessories if a.supplied_by is not None]
    assert sorted(behind) == sorted(f"behind:{each}" for each in hanging)
    linked = [part for part in parts if part.kind == "link"]
    assert len(linked) == (vehicle.second_battery is not None)


@pytest.mark.parametrize("name", VEHICLES)
def test_what_hangs_on_what_is_as_it_is_solved(name: str) -> None:
    network = assess(VEHICLES[name]).circuit
    keys, parents = node_keys(network), _parents(network)
    parts = {part.key: part for part in circuit_of(VEHICLES[name]).parts}
    for node, key in enumerate(keys):
        part, above = parts[key], int(parents[node])
        if above < 0:
            assert part.parent == ""
        elif network.load_nodes.start <= node < network.load_nodes.stop:
            assert keys[above] == key  # behind the host fuse: the same slot
        else:
            assert part.parent == keys[above]
            if part.kind == "tap" and keys[above].startswith("slot:"):
                at_load = network.load_nodes.start <= above < network.load_nodes.stop
                assert part.at == ("load" if at_load else "live")
    assert SECOND < 0


@pytest.mark.parametrize("name", VEHICLES)
def test_every_fuse_cable_and_earth_of_the_job_stands_at_its_part(name: str) -> None:
    vehicle = VEHICLES[name]
    parts = {part.key: part for part in circuit_of(vehicle).parts}
    for tap in vehicle.taps:
        part = parts[f"tap:{tap.id}"]
        assert bool(part.fuse) == (tap.fuse is not None)
        assert part.out.startswith("W")
        if tap.cable_out is not None:
            assert f"{tap.cable_out.section_mm2:g}\u202fmm²" in part.out
        if tap.lead == "power":
            assert part.earth.startswith("31 ")
            assert part.back
    for feed in vehicle.feeds:
        assert bool(parts[f"feed:{feed.id}"].fuse) == (feed.fuse is not None)


@pytest.mark.parametrize("name", VEHICLES)
def test_every_switch_and_every_lead_behind_a_converter_stands_on_it_once(name: str) -> None:
    vehicle = VEHICLES[name]
    parts = circuit_of(vehicle).parts
    closing = [tap for tap in vehicle.taps if tap.switch in CLOSED_BY]
    on = [part for part in parts if part.switch]
    assert sorted(part.switch for part in on) == sorted(f"S{badge(vehicle, t)}" for t in closing)
    for tap in closing:
        part = next(p for p in on if p.switch == f"S{badge(vehicle, tap)}")
        assert part.key.removesuffix(":coil") == f"tap:{tap.id}"
        assert part.by_hand == (tap.switch != "park_brake")
        assert part.note.endswith(str(SWITCH[tap.switch]))
    behind = {part.key: part for part in parts if part.kind == "behind"}
    for accessory in vehicle.accessories:
        if accessory.supplied_by is None:
            continue
        part = behind[f"behind:{accessory.id}"]
        assert bool(part.fuse) == (accessory.lead_fuse is not None)
        for cable, words in ((accessory.lead_cable, part.out), (accessory.lead_back, part.back)):
            assert words.startswith("W")
            assert cable is None or f"{cable.section_mm2:g}\u202fmm²" in words
        by_body = accessory.lead_cable is not None and accessory.lead_back is None
        assert (part.earth == "31") == by_body


def badge(vehicle: Vehicle, tap: Tap) -> str:
    """The number of an accessory by its place, with a letter for its sense lead."""
    number = [a.id for a in vehicle.accessories].index(tap.accessory) + 1
    return f"{number}s" if tap.lead == "sense" else str(number)


def test_an_output_of_a_control_unit_has_no_fuse_and_says_what_it_may_carry() -> None:
    vehicle = switched()
    module = next(s for p in vehicle.panels for s in p.slots if s.kind == "module")
    (part,) = (p for p in circuit_of(vehicle).parts if p.key == f"slot:{module.id}")
    assert part.output
    assert part.fuse == ""
    assert "control unit" in part.note
    assert "2\u202fA" in part.note
    pages = lay_out(circuit_of(vehicle), WIDE, inf, PaperType())
    signs = [s.kind for page in pages for s in page.symbols if s.key == part.key]
    assert "output" in signs
    assert "fuse" not in signs


def test_a_coil_that_a_switch_alone_drives_has_it_in_its_way() -> None:
    (page,) = lay_out(circuit_of(switched()), WIDE, inf, PaperType())
    kinds = [symbol.kind for symbol in page.symbols if symbol.key == "tap:tap-h:coil"]
    assert sorted(kinds) == ["chassis", "coil", "ring", "switch"]


@pytest.mark.parametrize("case", CASES, ids="-".join)
@pytest.mark.parametrize("high", [HIGH, inf])
def test_no_words_and_no_symbols_lie_on_each_other(case: tuple[str, str, str], high: float) -> None:
    name, code, units = case
    pages = lay_out(circuit_of(VEHICLES[name], code, units), WIDE, high, PaperType())
    for page in pages:
        boxes = [(w.x, w.y, w.wide, w.high, " ".join(w.lines)) for w in page.words]
        inside = [s for s in page.symbols if s.kind != "box"]
        boxes += [(s.x, s.y, s.wide, s.high, s.kind) for s in inside if s.kind != "dot"]
        for one, other in combinations(boxes, 2):
            assert not overlap(one, other), (one, other)
        for box in (s for s in page.symbols if s.kind == "box"):
            within = [
                w for w in page.words if overlap((*box[1:5], ""), (w.x, w.y, w.wide, w.high, ""))
            ]
            assert {w.key for w in within} == {box.key}
            assert all(box.x <= w.x and w.x + w.wide <= box.x + box.wide for w in within)
        for words in page.words:
            assert words.x >= 0
            assert words.x + words.wide <= WIDE + 0.1, words
            assert words.y >= -0.1
            assert words.y + words.high <= page.high + 0.6, words
        assert page.high <= high + 1


def overlap(one: tuple[float, float, float, float, str],
            other: tuple[float, float, float, float, str]) -> bool:  # fmt: skip
    """Whether two places share more than a hair."""
    a, b, slack = one, other, 0.15
    return (
        min(a[0] + a[2], b[0] + b[2]) - max(a[0], b[0]) > slack
        and min(a[1] + a[3], b[1] + b[3]) - max(a[1], b[1]) > slack
    )


@pytest.mark.parametrize("case", CASES, ids="-".join)
def test_no_line_crosses_another_or_runs_through_words(case: tuple[str, str, str]) -> None:
    name, code, units = case
    for page in lay_out(circuit_of(VEHICLES[name], code, units), WIDE, HIGH, PaperType()):
        for one, other in combinations(page.lines, 2):
            assert not cross(one, other), (one, other)
        for line in page.lines:
            for words in page.words:
                left, right = sorted((line.x1, line.x2))
                top, low = sorted((line.y1, line.y2))
                place = (words.x, words.y, words.wide, words.high, "")
                assert not overlap((left - 0.1, top - 0.1, right - left + 0.2, low - top + 0.2, ""),
                                   place), (line, words)  # fmt: skip


def cross(one: Line, other: Line) -> bool:
    """Whether two lines meet elsewhere than at an end of one of them."""
    for across, down in ((one, other), (other, one)):
        if across.y1 == across.y2 and down.x1 == down.x2:
            left, right = sorted((across.x1, across.x2))
            top, low = sorted((down.y1, down.y2))
            if left + 0.1 < down.x1 < right - 0.1 and top + 0.1 < across.y1 < low - 0.1:
                return True
    return False


@pytest.mark.parametrize("name", VEHICLES)
def test_every_word_of_it_is_drawn(name: str) -> None:
    made = circuit_of(VEHICLES[name])
    pages = lay_out(made, WIDE, HIGH, PaperType())
    drawn = "".join("".join(words.lines) for page in pages for words in page.words)
    for text in made.texts():
        kept = PaperType().clean(text).replace(" ", "")
        assert kept in drawn.replace(" ", ""), text


def test_a_line_that_goes_on_has_the_same_letter_on_both_pages() -> None:
    pages = lay_out(circuit_of(camper()), WIDE, 90.0, PaperType())
    assert len(pages) > 2
    for page, following in pairwise(pages):
        assert foot_letters(page) == head_letters(following)
    # between two batteries no line goes on
    assert sum(bool(foot_letters(page)) for page in pages) >= 2


def foot_letters(page: Drawing) -> list[str]:
    return [w.lines[0] for w in page.words if w.key == "letter" and w.y > 1]


def head_letters(page: Drawing) -> list[str]:
    return [w.lines[0] for w in page.words if w.key == "letter" and w.y <= 1]


def test_a_relay_is_drawn_as_contact_and_coil_with_one_name() -> None:
    parts = {part.key: part for part in circuit_of(camper()).parts}
    contact, coil = parts["tap:tap-l"], parts["tap:tap-s"]
    assert contact.relay == coil.relay != ""
    undriven: Part = parts["tap:tap-h:coil"]
    assert undriven.relay == parts["tap:tap-h"].relay
    assert undriven.parent == "tap:tap-h"


def test_the_svg_has_the_whole_diagram_in_true_size() -> None:
    svg = circuit_svg(circuit_of(camper()), "Camper").decode()
    assert svg.startswith("<?xml")
    assert "<image" not in svg
    assert "<title>Camper</title>" in svg
    for text in ("W2+", "K10", "Fridge"):
        assert text in svg
