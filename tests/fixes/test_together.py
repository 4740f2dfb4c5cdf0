"""Several changes together: what they come to, whatever the order they were chosen in."""

from itertools import permutations

import pytest

from fusemap.assess import assess
from fusemap.assess.parked.unplaced import not_placed
from fusemap.files.demos import read_demo
from fusemap.fixes.together import gains, with_all
from fusemap.fixes.what_if import WhatIf, what_ifs
from fusemap.vehicle import Vehicle, edits


@pytest.fixture(scope="module")
def vehicle() -> Vehicle:
    found = read_demo("family_estate")
    for accessory_id in not_placed(found):
        found = edits.remove_accessory(found, accessory_id)
    # with no engine named the usual line decides, and a cut-off has something to gain
    return edits.change_parking(found, engine_fuel="unknown", engine_l=None)


@pytest.fixture(scope="module")
def changes(vehicle: Vehicle) -> dict[str, WhatIf]:
    return {each.key: each for each in what_ifs(assess(vehicle))}


def test_it_is_charged_after_a_new_battery_is_in(
    vehicle: Vehicle, changes: dict[str, WhatIf]
) -> None:
    chosen = [changes[key] for key in ("charged", "larger", "off accessory-camera")]
    done = {with_all(vehicle, order) for order in permutations(chosen)}
    assert len(done) == 1
    (after,) = done
    assert after.battery.start_soc == 1.0
    assert after.battery.capacity_ah != vehicle.battery.capacity_ah


def test_the_gains_add_up_to_what_all_the_chosen_gain(
    vehicle: Vehicle, changes: dict[str, WhatIf]
) -> None:
    a = assess(vehicle)
    chosen = tuple(changes[key] for key in ("off accessory-camera", "charged"))
    found = dict(gains(a, chosen, ()))
    whole = assess(with_all(vehicle, chosen)).parked.hours - a.parked.hours
    assert sum(found.values()) == pytest.approx(whole)


def test_each_of_the_others_is_tried_on_top_of_them(
    vehicle: Vehicle, changes: dict[str, WhatIf]
) -> None:
    chosen, other = (changes["off accessory-camera"],), changes["charged"]
    found = dict(gains(assess(vehicle), chosen, (other,)))
    before = assess(with_all(vehicle, chosen)).parked.hours
    after = assess(with_all(vehicle, (*chosen, other))).parked.hours
    assert found["charged"] == pytest.approx(after - before)
    assert found["charged"] != pytest.approx(other.gained_h)


def test_what_has_nothing_left_to_gain_gains_nothing(
    vehicle: Vehicle, changes: dict[str, WhatIf]
) -> None:
    chosen = (changes["off accessory-camera"],)
    cut_off = next(change for key, change in changes.items() if "cut" in key and "camera" in key)
    found = dict(gains(assess(vehicle), chosen, (cut_off,)))
    assert found.get(cut_off.key, 0.0) == pytest.approx(0.0, abs=1.0)
