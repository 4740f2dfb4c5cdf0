"""Every field of the document that may be unknown, taken away from vehicles of which all is known.

Nothing turns towards green, no slot has more room, no accessory's least voltage is higher, and the
vehicle stands no longer at the low end of the forecast. The vehicles are those of the trade, so
that second batteries, blocks, added feeds, leads behind converters, relays and switches are among
them; the fields are found by walking the document (`without`), a new one with them.

Where the stand-in for what is not known is milder than what stood in the field, less known is
better by nature; `STAND_INS` says where. A slot of which nobody said what supplies it hangs on no
feed in use (that is then `unchecked`, and with it the whole vehicle), which relieves its feed.
"""

from collections.abc import Callable
from typing import Final, NamedTuple

import numpy as np
import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.verdict import Verdict
from fusemap.checks import findings, whole_verdict
from fusemap.placement.candidates import candidates
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import faults
from tests import trade_vehicles, without
from tests.test_less_known import NOISE_A, greener
from tests.verdicts import Hop, verdicts

STAND_INS: Final = (
    "ambient_c",  # a panel in the cabin is taken to be cooler than was measured
    "coldest_c",  # the usual temperature
    "engine_fuel",  # a car maker's published line
    "engine_l",
    "awake_current_a",  # what usual vehicles draw
    "second_battery.resistance_mohm",  # what its chemistry usually has
    "second_battery.rest_v",  # what its charge says
    "capacity_ah",  # what the cold cranking current points to; a car's, in a motorcycle
)
SUPPLIED: Final = ".feed"
TOLERANCE: Final = 1e-3
"""Share by which the low end of a thousand draws may move without anything behind it."""


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
    found = [f"{hop} was {before.hops[hop]}, holds now" for hop in greener(before.hops, after.hops)]
    if before.whole != "holds" and after.whole == "holds":
        found.append(f"the vehicle was {before.whole}, holds now")
    if what.endswith(STAND_INS):
        return found
    for tap, volts in after.volts.items():
        if volts > before.volts[tap] + 1e-6 and not what.endswith(SUPPLIED):
            found.append(f"{tap}: {before.volts[tap]} V at least become {volts}")
    for key, room in after.rooms.items():
        if room > before.rooms.get(key, np.inf) + NOISE_A:
            found.append(f"{key}: {before.rooms[key]} A at least become {room}")
    if after.low_h > before.low_h * (1 + TOLERANCE):
        found.append(f"it stands for {before.low_h} h at least, {after.low_h} now")
    return found


@pytest.mark.parametrize("make", trade_vehicles.BUILT)
def test_nothing_is_better_with_any_field_unknown(make: Callable[[], Vehicle]) -> None:
    vehicle, tried = make(), 0
    before, found = said(vehicle), []
    for what, less in without.pieces(vehicle):
        if not any(True for _ in faults(less)):
            tried += 1
            found += [f"{what}: {each}" for each in better(before, said(less), what)]
    assert tried >= 40
    assert not found, "\n".join(found[:30])


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
