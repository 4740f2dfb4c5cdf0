"""Every field of the document that may be unknown, taken away from vehicles of which all is known.

Nothing turns towards green, no slot has more room, no accessory's least voltage is higher, and the
vehicle stands no longer at the low end of the forecast. The vehicles are those of the trade, so
that second batteries, blocks, added feeds, leads behind converters, relays and switches are among
them; the fields are found by walking the document (`without`), a new one with them.

Where a usual figure stands in for what nobody answered, it is one of a span, and what counts is
made with its hard end: no answer within the span is worse than none. `unanswered.SPANS` has these
fields, each with the ends by the table; here answers are drawn between them, ends as well. An
answer beyond the span may be worse; what is said on screen names the span. A slot of which nobody
said what supplies it hangs on no feed in use (that is then `unchecked`, and with it the whole
vehicle), which relieves its feed.
"""

import itertools
import os
from collections.abc import Callable, Iterator
from typing import Final, NamedTuple

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.verdict import Verdict
from fusemap.checks import findings, whole_verdict
from fusemap.placement.candidates import candidates
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import faults
from tests import reckoning_tables as reckoned
from tests import trade_vehicles, unanswered, without
from tests.test_less_known import NOISE_A, greener
from tests.verdicts import Hop, verdicts

ANSWERS: Final = int(os.environ.get("FUSEMAP_ANSWERS", "2"))
"""So often every unanswered field is answered at random."""
SUPPLIED: Final = ".feed"
NOISE_V: Final = 1e-3
"""A load behind a longer way draws less: so much less is lost where others share the source [V]."""
TOLERANCE: Final = 1e-3
"""Share by which the low end of a thousand draws may move without anything behind it."""

ROUGH: Final = {"battery.start_soc": 0.01, "parking.rest_current_a": 0.02}
"""The same where more hangs on the usual figure than the draws: constant powers draw less where
the charge stands higher, and until it sleeps no vehicle draws less than asleep."""


class Said(NamedTuple):
    """What is said of a vehicle: hops, the whole, least voltages [V], rooms [A], low end [h]."""

    hops: dict[Hop, Verdict]
    whole: Verdict
    volts: dict[str, float]
    rooms: dict[tuple[str, str], float]
    low_h: float


def said(vehicle: Vehicle) -> Said:
    a = assess(vehicle)
    rooms = {
        (it.id, found.slot_id): found.least_a
        for it in vehicle.accessories
        for found in candidates(vehicle, a, it)
    }
    whole = whole_verdict(vehicle, a, findings(vehicle, a))
    return Said(verdicts(a) | feed_verdicts(a), whole, least_volts(a), rooms, a.band.low_h)


def feed_verdicts(a: Assessment) -> dict[Hop, Verdict]:
    """The verdicts on the cables of added feeds."""
    found: dict[Hop, Verdict] = {}
    for key, hop in a.feed_hops.items():
        masks: tuple[tuple[Verdict, np.ndarray], ...] = (
            ("unchecked", hop.unchecked),
            ("holds", hop.given),
            ("may_not_hold", hop.unsure),
            ("fails", hop.broken),
        )
        for verdict, mask in masks:
            found |= {(key, a.feeds.ids[at]): verdict for at in np.flatnonzero(mask).tolist()}
    return found


def least_volts(a: Assessment) -> dict[str, float]:
    """The low end of the voltage at each accessory, in the states in which it works."""
    works = a.taps.works
    return {
        tap: float(np.where(works[:, at], a.most.taps.voltage_v[:, at], np.inf).min())
        for at, tap in enumerate(a.taps.ids)
    }


def better(before: Said, after: Said, what: str) -> list[str]:
    """What is better with a piece of knowledge less."""
    within_h = ROUGH.get(what, TOLERANCE)
    found = [f"{hop} was {before.hops[hop]}, holds now" for hop in greener(before.hops, after.hops)]
    if before.whole != "holds" and after.whole == "holds":
        found.append(f"the vehicle was {before.whole}, holds now")
    for tap, volts in after.volts.items():
        if volts > before.volts[tap] + NOISE_V and not what.endswith(SUPPLIED):
            found.append(f"{tap}: {before.volts[tap]} V at least become {volts}")
    for key, room in after.rooms.items():
        if room > before.rooms.get(key, np.inf) + NOISE_A:
            found.append(f"{key}: {before.rooms[key]} A at least become {room}")
    if after.low_h > before.low_h * (1 + within_h):
        found.append(f"it stands for {before.low_h} h at least, {after.low_h} now")
    return found


@pytest.mark.parametrize("make", trade_vehicles.BUILT)
def test_nothing_is_better_with_any_field_unknown(make: Callable[[], Vehicle]) -> None:
    vehicle, tried = make(), 0
    before, found = said(vehicle), []
    for what, less in without.pieces(vehicle):
        if not any(True for _ in faults(less)) and within(vehicle, what):
            tried += 1
            found += [f"{what}: {each}" for each in better(before, said(less), what)]
    assert tried >= 35
    assert not found, "\n".join(found[:30])


def within(vehicle: Vehicle, what: str) -> bool:
    """Whether what stands in a field is no harder than it is taken to be without an answer."""
    if what == "parking.engine_fuel":
        return vehicle.parking.engine_fuel in unanswered.engines(vehicle) and within(
            vehicle, "parking.engine_l"
        )
    if what not in unanswered.SPANS:
        return True
    less = next(less for name, less in without.pieces(vehicle) if name == what)
    where, _, name = what.rpartition(".")
    part = vehicle.panels[0] if where.startswith("panels") else getattr(vehicle, where)
    return unanswered.SPANS[what](less).covers(getattr(part, name))


def answers(vehicle: Vehicle, rng: np.random.Generator) -> Iterator[tuple[str, Vehicle, Vehicle]]:
    """What was answered, the vehicle with an answer within its span, and without one."""
    for what, less in without.pieces(vehicle):
        if what in unanswered.SPANS:
            less = unanswered.emptied(less, what)
            value = unanswered.SPANS[what](less).drawn(rng)
            yield f"{what} of {value:.4g}", unanswered.answered(less, what, value), less
    parking = vehicle.parking
    if parking.engine_fuel != "unknown":
        fuel = str(rng.choice(unanswered.engines(vehicle)))
        size = unanswered.SPANS["parking.engine_l"](vehicle).drawn(rng)
        engine = replace(parking, engine_fuel=fuel, engine_l=size)
        none = replace(parking, engine_fuel="unknown", engine_l=None)
        yield (
            f"engine, {fuel} of {size:.3g} l",
            replace(vehicle, parking=engine),
            replace(vehicle, parking=none),
        )


@pytest.mark.parametrize("seed", range(ANSWERS))
@pytest.mark.parametrize("make", trade_vehicles.BUILT)
def test_no_answer_within_its_span_is_worse_than_none(
    make: Callable[[], Vehicle], seed: int
) -> None:
    found, tried = [], 0
    for what, more, less in answers(make(), np.random.default_rng(seed)):
        if any(True for v in (more, less) for _ in faults(v)):
            continue
        tried += 1
        found += [f"{what}: {each}" for each in better(said(more), said(less), what)]
    assert tried >= 3
    assert not found, "\n".join(found[:30])


def test_no_answer_is_worse_than_none_where_others_are_missing_too() -> None:
    """One after the other is answered at its hard end, from nothing known to all of it."""
    vehicle = trade_vehicles.BUILT[1]()
    less = replace(
        vehicle,
        battery=replace(vehicle.battery, capacity_ah=None, soh=None, start_soc=None, rest_v=None),
        parking=replace(
            vehicle.parking,
            temperature_c=30.0,  # in the frost a large engine on it may not start at all
            rest_current_a=None,
            coldest_c=None,
            awake_current_a=None,
            engine_fuel="unknown",
            engine_l=None,
        ),
    )
    lows = [assess(less).band.low_h]
    for what, span in unanswered.SPANS.items():
        if what.startswith(("parking", "battery")):
            ends = span(less)
            less = unanswered.answered(less, what, getattr(ends, ends.hard))
            if what.endswith("engine_l"):
                less = replace(less, parking=replace(less.parking, engine_fuel="diesel"))
            lows.append(assess(less).band.low_h)
    assert lows[0] > 0.0
    assert all(low <= high * (1 + TOLERANCE) for low, high in itertools.pairwise(lows)), lows


def test_every_stand_in_has_its_ground() -> None:
    """A row of the table, or a named rule, with a source; there is no other list."""
    names = ("unanswered", "rules", "starting", "batteries")
    known = {row["key"]: row for name in names for row in reckoned.table(name)}
    assert set(unanswered.GROUNDS) == {*unanswered.SPANS, "parking.engine_fuel"}
    for key in unanswered.GROUNDS.values():
        assert known[key]["source"]
        assert known[key]["status"]


def test_fields_of_every_kind_are_taken_away() -> None:
    what = {
        name.rpartition(".")[2]
        for make in trade_vehicles.BUILT
        for name, _ in without.pieces(make())
    }  # fmt: skip
    assert what >= {
        "link_cable", "charger_a", "rest_v", "resistance_mohm", "cable", "unfused_m", "sleeve",
        "lead_cable", "rating_a", "switch", "switch_limit_a", "earth", "others", "sensitive",
        "cable_out", "feed_class", "live_side", "own_load", "other_load", "limit_a", "fuse",
        "crank_readings", "circuit", "soh", "min_voltage_v",
    }  # fmt: skip


def test_what_is_chosen_is_left_alone() -> None:
    for make in trade_vehicles.BUILT:
        assert not [name for name, _ in without.pieces(make()) if name.endswith("cable_back")]
