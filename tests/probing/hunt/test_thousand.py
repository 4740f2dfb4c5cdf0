"""A thousand invented vehicles with planted drains: what is found, and what it takes.

The table is the one that the help shows. Nothing is ever said that is not so: no circuit to draw
more than it does, nothing outside the panels that is inside.
"""

from collections import Counter
from statistics import median

import pytest

from fusemap.circuits import counts_critical
from fusemap.probing import hunt
from fusemap.probing.hunt import trials
from fusemap.vehicle import look_up
from tests.probing.hunt.planted import OUTSIDE, Car, car, hunted, one_by_one

VEHICLES = 1000
COMPARED = 120


def kind_of(there: Car, place: str) -> str:
    if place == OUTSIDE:
        return "no_fuse" if there.clamp_gain is not None else "no_clamp"
    if there.drains[place].every_min:
        return "comes_and_goes"
    switched = ("ignition", "accessory", "lighting")
    slot = look_up.slot(there.vehicle, place)
    if counts_critical(slot):
        return "left_alone"
    return "locked" if slot.feed_class in switched else "always"


def told(answer: hunt.Answer, place: str) -> str:
    """Whether a drain was found, is said to be possible where it is, or was never seen."""
    named = {share.slot.id for share in answer.found if share.slot is not None}
    if place in named or (place == OUTSIDE and answer.outside is not None):
        return "found"
    if answer.shares is None or answer.is_usual or answer.explained:
        return "unseen"
    open_ = {share.slot.id for share in answer.shares.open if share.slot is not None}
    possible = place in open_ or (place == OUTSIDE and answer.shares.outside.open)
    return "open" if possible else "unseen"


@pytest.fixture(scope="module")
def thousand() -> list[tuple[Car, hunt.Answer]]:
    found = []
    for seed in range(VEHICLES):
        there = car(seed)
        found.append((there, hunted(there)[1]))
    return found


def test_no_circuit_is_said_to_draw_what_it_does_not(thousand):
    for there, answer in thousand:
        for share in answer.found:
            drain = there.drains.get(share.slot.id)
            truth = there.rest.get(share.slot.id, 0.0) + (drain.amperes if drain else 0.0)
            assert share.low_a <= truth * 1.001, (there.vehicle.name, share)
            if not there.comes_and_goes:
                assert truth <= share.high_a * 1.001, (there.vehicle.name, share)


def test_nothing_in_a_panel_is_said_to_be_on_no_fuse(thousand):
    for there, answer in thousand:
        if answer.outside is not None:
            drain = there.drains.get(OUTSIDE)
            truth = there.rest[OUTSIDE] + (drain.amperes if drain else 0.0)
            assert answer.outside.low_a <= truth * 1.001, there.vehicle.name


def test_what_is_always_there_is_found_or_said_to_be_open_and_never_passed_over(thousand):
    for there, answer in thousand:
        for place in there.drains:
            if not there.comes_and_goes:
                assert told(answer, place) != "unseen", (there.vehicle.name, place)


def test_a_healthy_vehicle_is_said_to_be_so(thousand):
    healthy = [answer for there, answer in thousand if not there.drains]
    assert healthy
    assert all(not answer.found and answer.outside is None for answer in healthy)
    told = [answer.is_usual or answer.whole.low_a <= answer.good_a for answer in healthy]
    assert all(told)
    assert sum(answer.is_usual for answer in healthy) == trials.TOLD_HEALTHY


def test_the_table_of_the_help_is_what_came_of_it(thousand):
    planted_, found, open_ = Counter(), Counter(), Counter()
    for there, answer in thousand:
        for place in there.drains:
            kind = kind_of(there, place)
            planted_[kind] += 1
            found[kind] += told(answer, place) == "found"
            open_[kind] += told(answer, place) == "open"
    rows = {kind: (planted_[kind], found[kind], open_[kind]) for kind in planted_}
    assert rows == {row.key: (row.planted, row.found, row.open) for row in trials.FOUND}
    assert sum(not there.drains for there, _ in thousand) == trials.HEALTHY


def test_it_pulls_one_fuse_where_the_other_ways_pull_a_dozen():
    """Over the first vehicles with drains that each way finds: always there, none left alone.

    Halves alone take fewer readings, and a wait for whatever wakes up with each fuse put back.
    """
    taken: dict[str, list[tuple[int, int]]] = {"millivolts": [], "halves": [], "one_by_one": []}
    for seed in range(COMPARED):
        if not is_for_all(car(seed)):
            continue
        ways = {key: car(seed) for key in taken}
        hunted(ways["millivolts"])
        hunted(ways["halves"], across=False)
        one_by_one(ways["one_by_one"])
        for key, there in ways.items():
            taken[key].append((there.readings, there.pulled))
    rows = {
        key: (len(each), median(n for n, _ in each), median(n for _, n in each))
        for key, each in taken.items()
    }
    assert rows == {row.key: (row.vehicles, row.readings, row.pulled) for row in trials.TAKEN}
    assert rows["millivolts"][2] == 1
    assert rows["halves"][1] < rows["millivolts"][1] < rows["one_by_one"][1]
    assert min(rows["halves"][2], rows["one_by_one"][2]) > 10


def is_for_all(there: Car) -> bool:
    kinds = {kind_of(there, place) for place in there.drains}
    return bool(kinds) and kinds <= {"always", "locked"}
