"""The stages say how far they are, in figures that are counted here a second time."""

from typing import Any

import pytest

from fusemap.job import STAGES, StageState, stage_states
from fusemap.job.standing_of import Job
from fusemap.vehicle import Vehicle, edits, look_up
from tests.job.hands import demo, job_of, sound
from tests.vehicles import one_slot, with_accessory

DEMOS = ("family_estate", "courier_van", "light_truck", "little_hatchback", "small_old_car")


def states(job: Job, **known: Any) -> dict[str, StageState]:
    return {each.stage: each for each in stage_states(job, known.get("standing"))}


def words(job: Job, stage: str) -> str:
    return str(states(job, standing=job.look_ahead())[stage].words)


@pytest.mark.parametrize("key", DEMOS)
def test_all_six_stand_in_the_order_of_the_job(key: str) -> None:
    job = demo(key)
    assert tuple(states(job)) == STAGES
    assert all(each.words is not None for each in stage_states(job, job.look_ahead()))


def test_of_an_empty_vehicle_nothing_is_done_and_nothing_counted() -> None:
    job = job_of(Vehicle(name=""))
    for each in stage_states(job, job.look_ahead()):
        assert (str(each.words), each.done) == ("not yet", False), each.stage


def test_how_long_it_stands_has_no_words_while_it_is_reckoned() -> None:
    assert states(demo("family_estate"))["standing"].words is None


def test_the_panel_counts_the_slots_something_is_said_of() -> None:
    vehicle = edits.add_panel(Vehicle(name=""), "Dash", 2, 3)
    assert words(job_of(vehicle), "panel") == "0 of 6"
    slots = [slot.id for slot in look_up.slots(vehicle)]
    vehicle = edits.change_slot(vehicle, slots[0], circuit="Radio")
    vehicle = edits.change_slot(vehicle, slots[4], feed_class="permanent")
    assert words(job_of(vehicle), "panel") == "2 of 6"


def test_the_plan_counts_what_has_its_place() -> None:
    vehicle = edits.add_accessory(with_accessory(one_slot()), "Camera", amperes=0.3)
    assert words(job_of(vehicle), "plan") == "1 of 2 placed"


def test_a_plan_that_does_not_hold_is_not_done_and_nothing_for_paper() -> None:
    job = demo("light_truck")
    assert not job.unplaced
    assert not states(job)["plan"].done
    assert words(job, "paper") == "not yet"


def test_a_plan_that_holds_is_done_and_ready_for_paper() -> None:
    job = job_of(sound())
    assert states(job)["plan"].done
    assert words(job, "paper") == "ready"
    assert not states(job)["paper"].done, "nothing of it was checked"


def test_standing_is_done_where_the_low_end_reaches_the_days_planned() -> None:
    for key in DEMOS:
        job = demo(key)
        standing = job.look_ahead()
        planned = job.vehicle.parking.stand_days
        assert states(job, standing=standing)["standing"].done == (
            not standing.never and standing.low_h >= planned * 24
        )


def test_the_check_counts_its_steps() -> None:
    job = demo("family_estate")
    assert words(job, "check") == f"0 of {len(job.checks)}"
    assert len(job.checks) > 7, "several steps for each accessory"
