"""Only what is in question is asked; slots are walked and numbered as the hand goes."""

import pytest

from fusemap.errors import EditRefused
from fusemap.probing import disbelief, plan
from fusemap.probing.plan import HandOrder, Round, number_slots, walk
from fusemap.vehicle import Reading, Vehicle, edits, look_up
from tests.probing.vehicles import WHEN, bench, dead, english, live, mv, read, slot, whole

ACCESSORY, IGNITION = Round(state="accessory"), Round(state="ignition")
LAMPS, RUNNING = Round(state="ignition", lamps_on=True), Round(state="running")
ASLEEP, AWAKE = Round(state="asleep"), Round(state="awake")


def asked(*readings) -> set[str]:
    vehicle = read(bench(), *readings)
    titles = {ASLEEP: "asleep", ACCESSORY: "accessory", IGNITION: "ignition", LAMPS: "lamps",
              RUNNING: "running", AWAKE: "awake"}  # fmt: skip
    return {words for one, words in titles.items() if plan.needs(vehicle, slot(vehicle), one)}


@pytest.mark.parametrize(
    ("readings", "rounds"),
    [
        ([], {"asleep", "accessory", "ignition"}),
        ([live(), mv(1.0)], set()),
        ([live()], {"asleep"}),  # the millivolts asleep are still wanted
        ([mv(1.0)], set()),
        ([dead()], {"accessory", "ignition"}),
        ([dead(), live("accessory")], {"awake"}),
        ([dead(), dead("accessory")], {"ignition"}),
        ([dead(), dead("accessory"), live("ignition")], {"awake"}),
        ([dead(), dead("accessory"), dead("ignition")], {"lamps", "running"}),
        ([dead(), dead("accessory"), dead("ignition"), live("ignition", lamps_on=True)], set()),
        ([dead(), live("accessory"), live("awake", 1.0)], {"awake"}),
        ([dead(), live("accessory"), live("awake", 1.0), dead("awake", 12.0)], set()),
        ([dead("awake", 5.0)], {"asleep", "accessory", "ignition"}),
    ],
)
def test_each_round_asks_only_what_the_readings_leave_open(readings, rounds):
    assert asked(*readings) == rounds


def test_the_rounds_of_a_weekend_job_come_in_the_order_that_turns_the_key_least():
    vehicle = bench()
    titles = [plan.title(step.round) for step in plan.rounds_left(vehicle, HandOrder())]
    assert titles == ["WHOLE VEHICLE · ASLEEP", "ASLEEP", "KEY AT ACCESSORY", "IGNITION ON"]
    done = read(vehicle, whole(0.03), mv(1.0))
    assert plan.rounds_left(done, HandOrder()) == ()


def test_a_fuse_is_pulled_only_where_something_is_tapped():
    vehicle = edits.add_accessory(bench(), "Lamp", watts=5.0)
    contacts = Round(kind="contacts", state="ignition")
    assert not plan.needs(vehicle, slot(vehicle), contacts)
    placed = edits.place(vehicle, "accessory-1", slot="slot-1")
    assert plan.needs(placed, slot(placed), contacts)
    both = read(placed, {"quantity": "live_top", "value": 1.0},
                {"quantity": "live_bottom", "value": 0.0})  # fmt: skip
    assert not plan.needs(both, slot(both), contacts)


def test_slots_are_numbered_as_the_hand_walks_and_repeats_are_left_out():
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 3)
    vehicle = edits.change_slot(vehicle, "slot-2", label="R", kind="relay")
    order = HandOrder(along="columns", from_bottom=True)
    done = number_slots(vehicle, "panel-1", order, prefix="", first=10, skipping=["slot-6"])
    labels = [s.label for s in walk(done.panels[0], order)]
    assert labels == ["10", "11", "12", "F6", "13"]
    assert look_up.slot(done, "slot-2").label == "R"
    with pytest.raises(EditRefused):
        number_slots(vehicle, "panel-1", order, first=-1)


def test_a_critical_slot_says_its_reason_and_the_wait_before_it_is_unplugged():
    marked = bench(critical=True, critical_reason="airbags")
    probe = disbelief.caution(slot(marked), "probe")
    assert "airbags" in probe.text
    assert "never a lamp" in probe.text
    pulled = disbelief.caution(slot(marked), "pull")
    assert pulled.wait_min == 15.0
    assert pulled.source
    assert disbelief.caution(slot(bench()), "pull") is None


@pytest.mark.parametrize(
    ("vehicle", "reading", "told"),
    [
        (bench(), mv(900.0), "would have opened"),
        (bench(), mv(12_000.0), "open (blown)"),
        (read(bench(), whole(0.06)), mv(6.0), "slipped decimal"),
        (edits.change_slot(bench(), "slot-1", fuse=None), mv(1.0), "no fuse"),
        (read(bench(), live()), dead("ignition"), "live always"),
        (read(bench(), dead("ignition")), mv(2.0), "live always"),
        (bench(), {"quantity": "volts", "value": 24.0}, "too much for a 12 V"),
        (bench(), whole(3.0), "milliamperes"),
        (read(bench(), whole(0.06)), whole(0.5, fuse_out="slot-1"), "woke up"),
    ],
)
def test_what_can_hardly_be_is_doubted(vehicle, reading, told):
    draft = Reading(id="new", **({"when": WHEN, "target_id": "slot-1"} | reading))
    assert told in english(*disbelief.doubts(vehicle, draft))


@pytest.mark.parametrize(
    ("vehicle", "reading"),
    [
        (bench(), mv(1.0)),
        (bench(), mv(98.0)),  # the fuse at its rating
        (read(bench(), whole(0.3)), mv(1.0)),
        (read(bench(), live("awake", 1.0)), dead()),
        (read(bench(), dead()), live("accessory")),
        (bench(), {"quantity": "volts", "value": 14.6}),
        (bench(), whole(0.045)),
        (bench(), whole(8.0, "awake")),
    ],
)
def test_what_can_well_be_is_not(vehicle, reading):
    draft = Reading(id="new", **({"when": WHEN, "target_id": "slot-1"} | reading))
    assert disbelief.doubts(vehicle, draft) == ()
