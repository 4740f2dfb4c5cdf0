"""Less known is never better: no piece of knowledge taken away turns anything towards green.

From random vehicles one piece of knowledge after another is taken: no verdict becomes *holds* that
was not, no candidate gets more room, and the place that lost it climbs above no other. In the suite
a few vehicles; FUSEMAP_VEHICLES asks for more.

Where something unknown is taken at what a named rule or a table says, and what was entered is worse
than that, less known is better by nature; `milder` says where, and these are left out. What
a feed, a fuse or a limit that nobody entered does is held by the tests at the end.
"""

import os
from collections.abc import Iterator
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.currents import feeds_over
from fusemap.assess.verdict import Verdict
from fusemap.checks import findings, whole_verdict
from fusemap.placement.candidates import Candidate, candidates
from fusemap.vehicle import (
    BATTERY,
    STATES,
    Battery,
    Cable,
    Feed,
    Fuse,
    Slot,
    StateLoads,
    Tap,
    Vehicle,
    edits,
)
from fusemap.vehicle.validity import faults
from tests import unknown_vehicles
from tests.vehicles import loads, one_slot
from tests.verdicts import Hop, verdicts

VEHICLES = int(os.environ.get("FUSEMAP_VEHICLES", "12"))
Less = tuple[str, str, Vehicle]
"""What was taken away, from which slot ("" none), and the vehicle without it."""


def without(vehicle: Vehicle) -> Iterator[Less]:
    """The vehicle with one piece of knowledge less, one after the other."""
    yield from _slots(vehicle)
    yield from _feeds(vehicle)
    yield from _taps(vehicle)
    yield from _accessories(vehicle)
    for name in ("capacity_ah", "start_soc"):
        if getattr(vehicle.battery, name) is not None:
            yield name, "", _with_battery(vehicle, **{name: None})
    for name in ("rest_current_a", "awake_current_a"):
        if getattr(vehicle.parking, name) is not None:
            yield name, "", replace(vehicle, parking=replace(vehicle.parking, **{name: None}))


def _with_battery(vehicle: Vehicle, **fields: object) -> Vehicle:
    battery: Battery = replace(vehicle.battery, **fields)
    return replace(vehicle, battery=battery)


def _slots(vehicle: Vehicle) -> Iterator[Less]:
    for panel in vehicle.panels:
        for slot in panel.slots:
            for what, less in _slot(slot):
                slots = tuple(less if s.id == slot.id else s for s in panel.slots)
                panels = tuple(
                    replace(p, slots=slots) if p.id == panel.id else p for p in vehicle.panels
                )
                yield f"{slot.id}: {what}", slot.id, replace(vehicle, panels=panels)


def _slot(slot: Slot) -> Iterator[tuple[str, Slot]]:
    for state in STATES:
        if getattr(slot.own_load, state) is not None:
            own, most = (replace(o, **{state: None}) for o in (slot.own_load, slot.own_most))
            yield f"own load {state}", replace(slot, own_load=own, own_most=most)
    if slot.own_load != StateLoads():
        none = StateLoads()
        yield "own load", replace(slot, own_load=none, own_most=none)
    if slot.fuse is not None:
        yield "fuse", replace(slot, fuse=None)
        if slot.fuse.resistance_mohm is not None:
            fuse = replace(slot.fuse, resistance_mohm=None)
            yield "resistance of its fuse", replace(slot, fuse=fuse)
    if slot.contact_limit_a is not None:
        yield "contact limit", replace(slot, contact_limit_a=None)
    if slot.feed is not None:
        yield "feed", replace(slot, feed=None)
    if slot.feed_class != "unknown":
        feed = None if slot.feed == BATTERY else slot.feed
        yield "class", replace(slot, feed_class="unknown", feed=feed)
    if slot.live_side != "unknown":
        yield "live side", replace(slot, live_side="unknown")
    if slot.circuit or slot.harmless:
        yield "circuit", replace(slot, circuit="", harmless="")


def _feeds(vehicle: Vehicle) -> Iterator[Less]:
    for feed in vehicle.feeds:
        for what, less in _feed(feed):
            feeds = tuple(less if f.id == feed.id else f for f in vehicle.feeds)
            yield f"{feed.id}: {what}", "", replace(vehicle, feeds=feeds)


def _feed(feed: Feed) -> Iterator[tuple[str, Feed]]:
    for name in ("other_load", "carried"):
        if getattr(feed, name) != StateLoads():
            yield name, replace(feed, **{name: StateLoads()})
        for state in STATES:
            if getattr(getattr(feed, name), state) is not None:
                less = replace(getattr(feed, name), **{state: None})
                yield f"{name} {state}", replace(feed, **{name: less})
    if feed.limit_a is not None:
        yield "limit", replace(feed, limit_a=None)
    if feed.fuse is not None:
        yield "fuse", replace(feed, fuse=None)
    if feed.resistance_mohm > 0:
        yield "resistance", replace(feed, resistance_mohm=0.0)


def _taps(vehicle: Vehicle) -> Iterator[Less]:
    for tap in vehicle.taps:
        for what, less in _tap(tap):
            taps = tuple(less if t.id == tap.id else t for t in vehicle.taps)
            yield f"{tap.id}: {what}", "", replace(vehicle, taps=taps)


def _tap(tap: Tap) -> Iterator[tuple[str, Tap]]:
    if tap.cable_out is not None:
        yield "cable", replace(tap, cable_out=None)
    for name in ("ceiling_a", "relay_limit_a", "relay_coil_a"):
        if getattr(tap, name) is not None:
            yield name, replace(tap, **{name: None})


def _accessories(vehicle: Vehicle) -> Iterator[Less]:
    for it in vehicle.accessories:
        less: list[tuple[str, dict[str, object]]] = []
        if it.min_voltage_v is not None:
            less.append(("least voltage", {"min_voltage_v": None}))
        if it.inrush_s > 0:
            less.append(("start", {"inrush_multiple": 1.0, "inrush_s": 0.0}))
        spread = it.current_spread or 0.0
        less.append(("certainty of its current", {"current_spread": spread + 0.1}))
        if it.converter is not None and it.converter.rating_a is not None:
            unrated = replace(it.converter, rating_a=None)
            less.append(("rating of its output", {"converter": unrated}))
        for what, fields in less:
            shelf = tuple(replace(a, **fields) if a.id == it.id else a for a in vehicle.accessories)
            yield f"{it.id}: {what}", "", replace(vehicle, accessories=shelf)


# --- where less known is better by nature ---------------------------------------------------------


OPEN = ("feed", "fuse", "limit")
"""Taken from a slot or feed, single hops may be relieved, never the whole: see the module's end."""


def is_open(what: str) -> bool:
    """Whether this piece of knowledge is among them."""
    return what.split(": ")[-1] in OPEN


def milder(before: Assessment, after: Assessment) -> bool:
    """Whether what stands in for what was taken away is milder than what was entered."""
    a, b = before.circuit, after.circuit
    carried = np.nan_to_num(a.feeds.carried_a), np.nan_to_num(a.feeds.said_a)
    parts = before.feeds.current_a - before.taps.current_a @ feeds_over(a).T
    changes = (
        (b.slots.own_most_a < a.slots.own_most_a).any(),
        (b.slots.contact_limit_a > a.slots.contact_limit_a).any(),
        any((each > a.feeds.limit_a).any() for each in carried),
        (after.most.circuit.feeds.ohm < before.most.circuit.feeds.ohm).any(),
        (b.slots.whole_most_a < a.slots.whole_most_a).any(),
        (b.emf_v != a.emf_v).any() or b.source_ohm < a.source_ohm,
        # a cable that costs more than is allowed, and then is not known
        (_way_ohm(after) < _way_ohm(before) - 1e-12).any(),
        # a fuse that has more than any like it, and then is not measured
        (after.most.circuit.host_ohm < before.most.circuit.host_ohm - 1e-12).any(),
        # more than a feed carries is known: with less known it is taken to carry no more than that
        (before.feeds.current_a > a.feeds.limit_a).any(),
        # a feed was measured to carry less than its parts together
        (parts > a.feeds.carried_a + 1e-9).any(),
        # or to carry more than is said of its parts
        (after.most.feeds.current_a < before.feeds.current_a - NOISE_A).any(),
        _mildly_asked(before.vehicle, after.vehicle),
    )
    return any(bool(each) for each in changes)


def _way_ohm(a: Assessment) -> np.ndarray:
    """What the ways to the accessories have at most [Ω, (taps,)]."""
    return np.asarray(a.most.circuit.conductor_ohm.sum(axis=0) + a.most.circuit.cables.fixed_ohm)


def _mildly_asked(before: Vehicle, after: Vehicle) -> bool:
    """Whether an accessory is taken to need less voltage, to start more gently, or a tap more."""
    rule = assess(before).rule("least_voltage_v") * before.system_v / 12
    for it, other in zip(before.accessories, after.accessories, strict=True):
        least = it.min_voltage_v is not None and other.min_voltage_v is None
        if (least and (it.min_voltage_v or 0.0) > rule) or it.inrush_s != other.inrush_s:
            return True
    names = ("ceiling_a", "relay_limit_a", "relay_coil_a")
    pairs = zip(before.taps, after.taps, strict=True)
    return any(getattr(t, name) != getattr(o, name) for t, o in pairs for name in names)


# --- what became of it ----------------------------------------------------------------------------

NOISE_A = 0.02
"""Room that another voltage makes, where a load follows it [A]; ranks go in steps of 0.1 A."""
NOISE = 1e-3
"""The same as a share of what lacks where far more is asked than there is."""


def greener(before: dict[Hop, Verdict], after: dict[Hop, Verdict]) -> list[Hop]:
    """Hops that hold and did not."""
    return [
        hop
        for hop, verdict in after.items()
        if verdict == "holds" and before.get(hop) not in ("holds", None)
    ]


def ranks(a: Assessment) -> dict[str, tuple[Candidate, ...]]:
    """The candidates of the first accessory's power lead."""
    return {it.id: candidates(a.vehicle, a, it) for it in a.vehicle.accessories[:1]}


def climbed(
    before: tuple[Candidate, ...], after: tuple[Candidate, ...], slot_id: str
) -> Iterator[str]:
    """Where a slot has more room, fits, or stands above one that it stood below.

    One that broke a rule by what was known, and may break it now, still does not hold.
    """
    was = {c.slot_id: c for c in before}
    for c in after:
        if c.least_a > was[c.slot_id].least_a + NOISE_A + NOISE * abs(c.least_a):
            yield f"{c.slot_id}: {was[c.slot_id].least_a} A at least become {c.least_a}"
        holds = c.fits and c.least_a >= 0
        if c.slot_id == slot_id and holds and not was[c.slot_id].fits:
            yield f"{c.slot_id} fits now, {was[c.slot_id].rules} before"
    now = {c.slot_id: c for c in after}
    if slot_id and was[slot_id].rules == now[slot_id].rules:
        above = [[c.slot_id for c in found] for found in (before, after)]
        over = [set(row[: row.index(slot_id)]) for row in above]
        if over[0] - over[1]:
            yield f"{slot_id} stands above {sorted(over[0] - over[1])} now"


def turned(vehicle: Vehicle) -> Iterator[str]:
    """Everything that turned towards green with one piece of knowledge less."""
    a = assess(vehicle)
    before, whole, ranked = verdicts(a), whole_verdict(vehicle, a, findings(vehicle, a)), ranks(a)
    for what, slot_id, less in without(vehicle):
        if is_open(what) or any(True for _ in faults(less)):
            continue
        b = assess(less)
        if milder(a, b):
            continue
        for hop in greener(before, verdicts(b)):
            yield f"{what}: {hop} was {before[hop]}, holds now"
        if whole != "holds" and whole_verdict(less, b, findings(less, b)) == "holds":
            yield f"{what}: the vehicle was {whole}, holds now"
        after = ranks(b)
        for accessory, found in ranked.items():
            for said in climbed(found, after[accessory], slot_id):
                yield f"{what}: for {accessory}, {said}"


def test_nothing_turns_towards_green_with_less_known() -> None:
    found = [
        f"vehicle {seed}: {said}"
        for seed in range(VEHICLES)
        for said in turned(unknown_vehicles.vehicle(np.random.default_rng(seed), known=0.8))
    ]
    assert not found, "\n".join(found[:30])


def test_a_slot_climbs_above_no_other_by_what_seems_to_be_free_in_it() -> None:
    """Two slots alike that leave as little: the one that loses a reading had the less room."""
    vehicle = unknown_vehicles.vehicle(np.random.default_rng(100079), known=0.8)
    assert not list(turned(vehicle))


@pytest.mark.parametrize("kind", ["resistive", "filament", "constant_current", "constant_power"])
def test_a_neighbour_behind_a_cable_that_nobody_gave_is_no_relief(kind: str) -> None:
    """A heater draws less behind a long way: what another gets beside it does not hang on that."""
    vehicle = on_a_feed(limit_a=40.0)
    vehicle = edits.change_feed(vehicle, "feed-1", resistance_mohm=20.0)
    heater: dict[str, Any] = {"amperes": 8.0, "rated_v": 12.0, "load_kind": kind}
    vehicle = edits.add_accessory(vehicle, "Neighbour", **heater)
    wire = Cable(section_mm2=2.5, length_m=2.0)
    guard = Fuse(family="mini", rating=15.0)
    slot = vehicle.panels[0].slots[1].id
    vehicle = edits.place(vehicle, "accessory-2", slot=slot, fuse=guard, cable_out=wire)
    less = edits.change_tap(vehicle, "tap-2", cable_out=None)
    volts = [assess(v).most.taps.voltage_v[:, 0] for v in (vehicle, less)]
    assert (volts[1] <= volts[0] + 1e-9).all()
    own = [float(assess(v).most.taps.voltage_v[:, 1].min()) for v in (vehicle, less)]
    assert own[1] < own[0]


# --- no feed, fuse or limit entered ---------------------------------------------------------------


def on_a_feed(limit_a: float = 12.0, **slot: object) -> Vehicle:
    """9 A of its own on a feed of 12 A, and an accessory of 2.5 A beside it on another slot."""
    vehicle = one_slot(own_a=9.0, **slot)
    vehicle = edits.change_panel(vehicle, vehicle.panels[0].id, columns=2)
    vehicle = edits.add_slot(vehicle, vehicle.panels[0].id, 0, 1)
    vehicle = edits.change_slot(
        vehicle,
        vehicle.panels[0].slots[1].id,
        fuse=Fuse(family="mini", rating=15.0),
        feed_class="permanent",
        feed="feed-1",
        own_load=loads(0.0),
        live_side="left",
    )
    vehicle = edits.change_feed(vehicle, "feed-1", limit_a=limit_a)
    vehicle = edits.add_accessory(
        vehicle, "Lamp", amperes=2.5, rated_v=12.0, load_kind="constant_current"
    )
    return edits.place(
        vehicle,
        "accessory-1",
        slot=vehicle.panels[0].slots[1].id,
        fuse=Fuse(family="mini", rating=5.0),
        cable_out=Cable(section_mm2=1.5, length_m=1.0),
    )


def found(vehicle: Vehicle, key: str) -> set[Verdict]:
    """The verdicts of one kind of hop."""
    return {verdict for hop, verdict in verdicts(assess(vehicle)).items() if hop[0] == key}


def test_a_slot_of_which_nobody_said_what_supplies_it_may_hang_on_any_feed() -> None:
    """It counts as if it hung on a relay of its own: no feed in use is cleared by that."""
    full = on_a_feed(limit_a=11.0)
    assert found(full, "feed") == {"fails"}
    less = edits.change_slot(full, full.panels[0].slots[0].id, feed=None)
    a = assess(less)
    assert whole_verdict(less, a, findings(less, a)) != "holds"


def test_a_feed_without_limit_gives_no_more_room_than_one_with_it() -> None:
    full = on_a_feed()
    less = edits.change_feed(full, "feed-1", limit_a=None)
    it = full.accessories[0]
    room = [{c.slot_id: c.least_a for c in candidates(v, assess(v), it)} for v in (full, less)]
    assert all(room[1][slot] <= room[0][slot] + NOISE_A for slot in room[0])


def test_a_tap_of_unknown_side_may_load_the_host_fuse() -> None:
    vehicle = on_a_feed(limit_a=40.0)
    slot = vehicle.panels[0].slots[1].id
    less = edits.change_slot(vehicle, slot, live_side="unknown", own_load=loads(10.0))
    turned_round = edits.change_tap(less, "tap-1", way_round="load_side")
    assert verdicts(assess(turned_round))["host_fuse", slot] == "fails"
    assert verdicts(assess(less))["host_fuse", slot] != "holds"


def test_an_unseen_feed_takes_volts_too() -> None:
    vehicle = on_a_feed(limit_a=40.0)
    first, slot = (each.id for each in vehicle.panels[0].slots)
    vehicle = edits.change_slot(vehicle, first, own_load=loads(0.0))
    rule = assess(vehicle).rule("feed_unknown_mohm")
    seen = edits.change_feed(vehicle, "feed-1", resistance_mohm=rule)
    unseen = edits.change_slot(vehicle, slot, feed=None)
    volts = [float(assess(v).most.taps.voltage_v[:, 0].min()) for v in (unseen, seen)]
    assert volts[0] <= volts[1] + 1e-6


def test_a_feed_that_loses_its_limit_gives_no_better_voltage() -> None:
    vehicle = edits.change_slot(on_a_feed(limit_a=40.0), "slot-1", own_load=StateLoads())
    feed = {"resistance_mohm": 20.0, "other_load": StateLoads()}
    vehicle = edits.change_feed(vehicle, "feed-1", **feed)
    less = edits.change_feed(vehicle, "feed-1", limit_a=None)
    volts = [float(assess(v).most.taps.voltage_v[:, 0].min()) for v in (vehicle, less)]
    assert volts[1] <= volts[0] + 1e-6
