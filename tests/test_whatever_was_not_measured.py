"""Holds, whatever was not measured: every verdict against a second reckoning of what may be.

Random vehicles of which most is not known, and many that each could turn out to be. In the suite a
few; FUSEMAP_VEHICLES=1000 FUSEMAP_COMPLETIONS=100 asks for more, at some 5 ms for each completion.
"""

import os
from collections import Counter

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.verdict import Verdict
from fusemap.checks import findings, whole_verdict
from fusemap.vehicle import STATES, Vehicle
from tests import completions, unknown_vehicles
from tests import reckoning_tables as tables
from tests.reckoning import Reckoned, reckon
from tests.verdicts import Hop, in_use, verdicts

VEHICLES = int(os.environ.get("FUSEMAP_VEHICLES", "30"))
FIRST = 70
"""The seed of the first vehicle, so that among the few of the suite some hold as a whole."""
COMPLETIONS = int(os.environ.get("FUSEMAP_COMPLETIONS", "20"))
INTEGRATED = 0.02
"""Heating in turns and in overloads is told within 1 % of the rise of the full integration, which
the second reckoning makes [share of the limit]."""
TURNS = 0.005
"""What that does to resistances, voltages and currents of such loads [share of the limit]."""


def slack(vehicle: Vehicle, hop: Hop) -> float:
    """How far the two reckonings may lie apart at a hop [share of its limit]."""
    if hop[0] in ("overload", "trailer_overload"):
        return INTEGRATED
    turns = any(
        it.short_s is not None or (0.0 < it.duty < 1.0 and it.duty_period_s >= 10.0)
        for it in vehicle.accessories
    )
    if turns:
        return INTEGRATED if hop[0].startswith("heat") else TURNS
    return 1e-7


def passed(vehicle: Vehicle, found: Reckoned) -> set[Hop]:
    """The hops that do not hold by the second reckoning."""
    return {hop for hop, each in found.held.items() if each.fails(slack(vehicle, hop))}


def fully_known(seed: int) -> Vehicle:
    """A vehicle of which everything is known, without loads in turns."""
    rng = np.random.default_rng(seed)
    while True:
        made = completions.completed(rng, unknown_vehicles.vehicle(rng))
        if all(it.duty == 1.0 or it.duty_period_s < 10.0 for it in made.accessories):
            lasting = tuple(replace(it, short_s=None) for it in made.accessories)
            return replace(made, accessories=lasting)


@pytest.mark.parametrize("seed", range(20))
def test_both_reckonings_of_a_known_vehicle_agree(seed: int) -> None:
    vehicle = fully_known(seed)
    a, second = assess(vehicle), reckon(vehicle)
    for row, state in enumerate(STATES):
        volts = [second.taps_v[state][tap] for tap in a.taps.ids]
        live = a.taps.live[row]
        assert a.taps.current_a[row] == pytest.approx(
            [second.taps_a[state][tap] for tap in a.taps.ids], rel=1e-6, abs=1e-9
        )
        assert a.taps.voltage_v[row][live] == pytest.approx(np.array(volts)[live], rel=1e-6)
        assert a.feeds.current_a[row] == pytest.approx(
            [second.feeds_a[state][feed] for feed in a.feeds.ids], rel=1e-6, abs=1e-9
        )
        assert a.battery_v[row] == pytest.approx(second.battery_v[state], rel=1e-6)
    _limits_agree(a, second)


@pytest.mark.parametrize("seconds", [20.0, 60.0, 900.0])
@pytest.mark.parametrize("seed", range(5))
def test_both_reckonings_agree_on_short_runs(seed: int, seconds: float) -> None:
    vehicle = fully_known(seed)
    short = tuple(replace(it, short_s=seconds) for it in vehicle.accessories)
    vehicle = replace(vehicle, accessories=short)
    a, second = assess(vehicle), reckon(vehicle)
    for key in ("heat_out", "heat_back", "accessory_fuse"):
        hop = a.hops[key]
        for column, tap in enumerate(a.taps.ids):
            found = second.held.get((key, tap))
            if found is not None and np.isfinite(found.load):
                within = INTEGRATED * abs(found.limit)
                assert hop.load[column] == pytest.approx(found.load, abs=within)


def _limits_agree(a: Assessment, second: Reckoned) -> None:
    for key, hop in a.hops.items():
        places = a.taps.ids
        if key in ("live_contact", "host_fuse"):
            places = tuple(tap.slot or "" for tap in a.vehicle.taps)
        for column, place in enumerate(places):
            found = second.held.get((key, place))
            assert (found is not None) == bool(hop.given[column]), (key, place)
            if found is None:
                continue
            assert hop.limit[column] == pytest.approx(found.limit, rel=1e-9)
            if key not in (
                "overload",
                "trailer_overload",
                "inrush",
            ):  # integrated; not known where by analogy
                assert hop.load[column] == pytest.approx(found.load, rel=1e-6, abs=1e-9)


@pytest.fixture(scope="module")
def broken() -> tuple[list[str], Counter[tuple[str, Verdict]], Counter[str]]:
    """What turned out otherwise, how many verdicts of each kind there were, and of whole vehicles.

    Doubts that a completion bore out are counted as ("borne out", hop).
    """
    wrong: list[str] = []
    told: Counter[tuple[str, Verdict]] = Counter()
    others: Counter[str] = Counter()
    for seed in range(FIRST, FIRST + VEHICLES):
        rng = np.random.default_rng(seed)
        vehicle = unknown_vehicles.vehicle(rng)
        a = assess(vehicle)
        said, used = verdicts(a), in_use(a)
        whole = whole_verdict(vehicle, a, findings(vehicle, a))
        told.update((hop[0], verdict) for hop, verdict in said.items())
        others[whole] += 1
        known = reckon(completions.at_what_is_known(vehicle))
        for hop in (h for h, verdict in said.items() if verdict == "fails"):
            if hop not in known.held or not known.held[hop].fails(-slack(vehicle, hop)):
                wrong.append(f"vehicle {seed}: {hop} does not fail, {known.held.get(hop)}")
        once: set[Hop] = set()
        for number in range(COMPLETIONS):
            found = reckon(completions.completed(rng, vehicle))
            for hop in passed(vehicle, found):
                once.add(hop)
                if said.get(hop) == "holds" or (whole == "holds" and hop in used):
                    wrong.append(f"vehicle {seed}, {number}: {hop}, {found.held[hop]}")
        doubted = {hop for hop, verdict in said.items() if verdict == "may_not_hold"}
        others["doubts"] += len(doubted)
        others["borne out"] += len(doubted & once)
    return wrong, told, others


Broken = tuple[list[str], Counter[tuple[str, Verdict]], Counter[str]]


def test_what_holds_holds_whatever_was_not_measured(broken: Broken) -> None:
    wrong, told, others = broken
    if VEHICLES > 30:
        print(f"\n{VEHICLES} vehicles × {COMPLETIONS}: {dict(others)}")
        for hop in sorted({hop for hop, _ in told}):
            print(f"  {hop:15} { ({v: n for (h, v), n in sorted(told.items()) if h == hop}) }")
    assert not wrong, "\n".join(wrong[:20])


@pytest.mark.parametrize(
    ("seed", "why"),
    [
        (501, "a load that follows its voltage, on a battery better than usual"),
        (574, "a lamp behind a fuse of unpublished resistance, the alternator at its voltage"),
        (752, "two feeds without any limit, one below the other"),
        (1809, "a converter that collapses at either end, its cable in the frost"),
        (1955, "a load that collapses at either end, its cable in the frost"),
    ],
)
def test_what_a_full_run_found_once_holds_now(seed: int, why: str) -> None:
    rng = np.random.default_rng(seed)
    vehicle = unknown_vehicles.vehicle(rng)
    said = verdicts(assess(vehicle))
    wrong = [
        hop
        for _ in range(100)
        for hop in passed(vehicle, reckon(completions.completed(rng, vehicle)))
        if said.get(hop) == "holds"
    ]
    assert not wrong, (why, set(wrong))


def test_feeds_without_a_limit_carry_no_more_than_the_rule_has_for_one() -> None:
    """One below the other: what the lower one carries is among what the upper one does."""
    rng = np.random.default_rng(752)
    vehicle = unknown_vehicles.vehicle(rng)
    upper, lower = vehicle.feeds
    assert (lower.parent, upper.limit_a, lower.limit_a) == (upper.id, None, None)
    most = tables.rule_defaults()["feed_open_a"]
    for _ in range(50):
        made = completions.completed(rng, vehicle)
        other = [feed.other_load.running or 0.0 for feed in made.feeds]
        assert sum(other) <= most + 1e-9


def test_every_verdict_was_tried(broken: Broken) -> None:
    """A test of what holds wants enough that holds, and enough that may not."""
    _, told, others = broken
    for hop in ("live_contact", "host_fuse", "feed", "voltage", "accessory_fuse"):
        assert told[hop, "holds"] >= VEHICLES / 2
    for hop in ("live_contact", "feed", "voltage"):
        assert told[hop, "may_not_hold"]
    assert others["doubts"] >= VEHICLES
    assert others["holds"]


def test_most_doubts_are_borne_out_by_some_vehicle_that_could_be(broken: Broken) -> None:
    """A bound so wide that nothing comes near it would doubt everything."""
    _, _, others = broken
    assert others["borne out"] >= 0.5 * others["doubts"]
