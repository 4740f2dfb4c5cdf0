"""Whatever keys are pressed: no fault, every vehicle can be saved, and all can be taken back."""

from datetime import datetime, timedelta
from random import Random

import pytest

from fusemap import files
from fusemap.errors import FusemapError
from fusemap.probing import hunt
from fusemap.vehicle import Vehicle
from tests.probing.hunt.planted import Car, car

TYPED = ("", "0", "0.03", "0.35", "1.2", "12", "40-65ma", "-0.4", "+", "300 mA", "2a", "0.5mv", "x",
         "9999", "0;0.03\n1;0.9\n2;0.03", "a\nb")  # fmt: skip


def pressed(
    random: Random, there: Car, state: hunt.Hunt, vehicle: Vehicle, now: datetime
) -> hunt.Outcome:
    """What any key brings about; one that is refused changes nothing."""
    slots = [slot.id for slot in vehicle.panels[0].slots]
    keys = (
        lambda: hunt.enter(state, vehicle, random.choice(TYPED), now),
        lambda: hunt.enter(state, vehicle, there.whole_shown(), now),
        lambda: hunt.enter(state, vehicle, "", now),
        lambda: hunt.skip(state, vehicle, now),
        lambda: hunt.undo(state, vehicle),
        lambda: hunt.Outcome(hunt.look_behind(state, random.choice([*slots, None]))),
        lambda: hunt.Outcome(hunt.resume(state, vehicle)),
    )
    try:
        return random.choice(keys)()
    except FusemapError:
        return hunt.Outcome(state)


@pytest.mark.parametrize("seed", range(60))
def test_any_keys_leave_a_vehicle_that_can_be_saved(seed):
    there = car(seed)
    random = Random(seed)
    vehicle, now = there.vehicle, there.clock
    state = hunt.begin(vehicle, now)
    for _ in range(40):
        now += timedelta(minutes=random.choice((0.2, 1, 30)))
        done = pressed(random, there, state, vehicle, now)
        state, vehicle = done.hunt, done.vehicle or vehicle
        step = hunt.next_step(state, vehicle, now)
        known = hunt.answer(state, vehicle)
        assert str(step.title)
        assert str(known.headline)
        assert all(share.low_a <= share.current_a <= share.high_a for share in known.found)
        assert hunt.parts(state, vehicle) is not None
    assert files.parse(files.render(vehicle)) == vehicle
    while state.done or state.doubted:
        done = hunt.undo(state, vehicle)
        state, vehicle = done.hunt, done.vehicle or vehicle
    assert all(reading.withdrawn for reading in vehicle.readings)
    assert [slot.feed_class for slot in vehicle.panels[0].slots] == [
        slot.feed_class for slot in there.vehicle.panels[0].slots
    ]
    assert vehicle.parking == there.vehicle.parking
