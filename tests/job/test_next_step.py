"""One next step at a time, in the order of the job, and each leads somewhere that there is."""

from dataclasses import dataclass
from typing import Any, get_args

import pytest
from msgspec.structs import replace

from fusemap.assess.sure import How, Wanted
from fusemap.fixes.trial import find_fixes
from fusemap.job import Job
from fusemap.job.next_step import MEASURE, NextStep, _settle, next_step, way_out
from fusemap.vehicle import Battery, Fuse, Vehicle, edits, look_up
from fusemap.window.panel.slot_entry import set_rating
from tests import trade_vehicles as trade
from tests.job.hands import demo, job_of, sound
from tests.vehicles import one_slot, with_accessory


def step(job: Job) -> NextStep:
    made = next_step(job, job.look_ahead())
    assert made is not None
    return made


@dataclass
class Step:
    """A step of the check with its outcome."""

    verdict: str
    title: str = "Current of the lamp"


def checked(*verdicts: str) -> Job:
    """A job of which the check has come so far."""
    job = job_of(sound())
    steps: tuple[Any, ...] = tuple(Step(each) for each in verdicts)
    job.__dict__["checks"] = steps
    return job


def test_from_nothing_to_the_record_each_step_follows_the_one_before() -> None:
    vehicle = Vehicle(name="")
    assert step(job_of(vehicle)).lead.how == "panel"
    vehicle = edits.add_panel(vehicle, "Dash", 1, 2)
    first = step(job_of(vehicle))
    assert str(first.title) == "Fill in the panel: 2 slots"
    assert (first.lead.how, first.lead.id) == ("select", vehicle.panels[0].slots[0].id)
    # nothing in it is something said, and asks nothing more
    vehicle = set_rating(vehicle, [vehicle.panels[0].slots[0].id], None)
    second = step(job_of(vehicle))
    assert str(second.title) == "Fill in the panel: 1 slot"
    assert second.lead.id == vehicle.panels[0].slots[1].id
    vehicle = set_rating(vehicle, [vehicle.panels[0].slots[1].id], None)
    assert step(job_of(vehicle)).lead.how == "add"
    vehicle = one_slot()
    assert step(job_of(vehicle)).lead.how == "add"
    vehicle = edits.add_accessory(vehicle, "Lamp", amperes=1.0)
    placing = step(job_of(vehicle))
    assert (str(placing.title), placing.lead.how) == ("Place Lamp", "place")
    vehicle = with_accessory(one_slot())
    assert step(job_of(vehicle)).finding is not None, "no fuse protects its cable"
    assert str(step(job_of(sound())).title).startswith("Fit it, then check")


def test_what_does_not_hold_comes_before_what_may_not_and_what_is_open() -> None:
    job = demo("family_estate")
    first = step(job)
    assert job.asked
    assert job.unplaced
    assert first.finding is not None
    assert first.finding.severity == "stop"


def test_what_may_not_hold_is_measured_next() -> None:
    job = demo("little_hatchback")
    made = step(job)
    assert str(made.title) == "Measure F3"
    assert made.lead.stage == "probe"
    assert made.lead.id == job.asked[0].place_id


def test_it_waits_for_how_long_it_stands_and_says_nothing_before() -> None:
    assert next_step(job_of(sound()), None) is None


def test_without_a_battery_that_is_asked_before_the_check() -> None:
    vehicle = replace(sound(), battery=Battery())
    made = step(job_of(vehicle))
    assert (str(made.title), made.lead.how) == ("Say which battery it has", "battery")


@pytest.mark.parametrize(
    ("verdicts", "words"),
    [
        (("open", "open"), "Fit it, then check: 2 steps"),
        (("agrees", "open"), "Go on checking: 1 open"),
        (("agrees", "differs"), "Find out why it differs: Current of the lamp"),
        (("agrees", "agrees"), "Done: keep the record"),
    ],
)
def test_after_the_plan_comes_the_check_and_then_the_record(
    verdicts: tuple[str, ...], words: str
) -> None:
    assert str(step(checked(*verdicts)).title) == words


def test_where_no_slot_can_serve_it_yet_one_measures_first() -> None:
    """To take it in hand would lead nowhere; where one slot is known the others may wait."""
    panel = edits.add_panel(Vehicle(name="Bench"), "Dash", 1, 3)
    for number, circuit in enumerate(("Radio", "Airbag", "Rear socket")):
        slot = panel.panels[0].slots[number].id
        panel = edits.change_slot(
            panel, slot, circuit=circuit, fuse=Fuse(family="mini", rating=15.0)
        )
    asked = edits.add_accessory(panel, "Lamp", amperes=1.0)
    made = step(job_of(asked))
    assert str(made.title) == "Measure when F1 is live"
    assert (made.lead.stage, made.lead.how, made.lead.id) == ("probe", "read", slot_at(asked, 0))
    known = edits.change_slot(asked, slot_at(asked, 2), feed_class="ignition")
    assert str(step(job_of(known)).title) == "Place Lamp"
    dead = asked
    for number in range(3):
        dead = edits.change_slot(dead, slot_at(dead, number), feed_class="unfed")
    assert str(step(job_of(dead)).title) == "Place Lamp", "to read them would not help"


def slot_at(vehicle: Vehicle, number: int) -> str:
    return vehicle.panels[0].slots[number].id


@pytest.mark.parametrize("key", ["family_estate", "light_truck", "small_old_car"])
def test_the_way_out_says_where_and_what(key: str) -> None:
    job = demo(key)
    finding = step(job).finding
    assert finding is not None
    words = str(way_out(job, finding, find_fixes(job.a, finding)))
    names = {
        "slot": lambda: str(look_up.slot(job.vehicle, finding.place_id).label),
        "feed": lambda: look_up.feed(job.vehicle, finding.place_id).name,
        "tap": lambda: (
            look_up.accessory(
                job.vehicle, look_up.tap(job.vehicle, finding.place_id).accessory
            ).name
        ),
    }
    assert names[finding.place]() in words
    assert len(words) < 120, "one reads it in passing"


def test_what_is_done_at_the_vehicle_is_not_told_in_a_button() -> None:
    job = job_of(one_slot(own_a=20.0))
    finding = step(job).finding
    assert finding is not None
    assert str(way_out(job, finding, find_fixes(job.a, finding))) == "See what to do: F1"


@pytest.mark.parametrize(
    ("vehicle", "place"),
    [
        (edits.change_second_battery(trade.camper(), link="relay", chemistry="agm"), "battery"),
        (
            edits.change_accessory(
                trade.truck(), trade.of(trade.truck(), "two_way_radio"), current_spread=0.5
            ),
            "accessory",
        ),
    ],
    ids=["the link", "a lead behind a converter"],
)
def test_what_is_to_be_measured_at_a_link_or_behind_a_converter(
    vehicle: Vehicle, place: str
) -> None:
    job = job_of(vehicle)
    wanted = job.a.measure_next[0]
    assert wanted.place in ("link", "output")
    step = _settle(job, wanted)
    assert step.lead.kind == place
    assert "by clamp" in str(step.title)


def test_every_way_to_find_out_has_its_order() -> None:
    """What a tape, a label or a thermometer tells is asked for as well."""
    assert set(MEASURE) == set(get_args(How))


def test_how_warm_it_gets_is_said_at_its_panel_or_among_the_rules() -> None:
    wanted = Wanted("tap", "tap-1", "warmth", None, ())
    job = job_of(sound())
    made = _settle(job, wanted)
    assert str(made.title) == "Say how warm the cabin and the boot get"
    panel = job.vehicle.panels[0]
    assert panel.place == "cabin"
    assert (made.lead.how, made.lead.kind, made.lead.id) == ("tell", "panel", panel.id)
    said = edits.change_panel(job.vehicle, panel.id, ambient_c=30.0)
    lead = _settle(job_of(said), wanted).lead
    assert (lead.how, lead.kind, lead.id) == ("field", "rules", "rule_ambient_boot_c")


def test_what_the_label_of_the_alternator_states_is_entered_in_its_field() -> None:
    made = _settle(job_of(sound()), Wanted("tap", "tap-1", "label", None, ()))
    assert str(made.title) == "Say what the alternator’s label states"
    assert made.lead.stage == "standing"
    assert (made.lead.how, made.lead.id) == ("field", "parking_alternator_a")
