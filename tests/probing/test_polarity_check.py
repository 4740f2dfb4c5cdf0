"""Before an accessory is connected its plug is read: the supply is there, and no minus sign."""

import json

import pytest
from msgspec.structs import replace

from fusemap import files
from fusemap.assess import assess
from fusemap.files.demos import read_demo
from fusemap.probing import final_check
from fusemap.probing.check_step import SWAPPED, CheckStep, read_answer
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, reading_edits
from fusemap.vehicle.words import FeedClass
from tests.plain import plain
from tests.probing.vehicles import WHEN
from tests.vehicles import one_slot, with_accessory


def fitted(feed_class: FeedClass = "permanent", **tap: object) -> Vehicle:
    """A lamp of 5 A at the only slot, at work with the engine running."""
    vehicle = with_accessory(
        one_slot(feed_class=feed_class),
        5.0,
        fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.5, length_m=3.0),
        cable_back=Cable(section_mm2=1.5, length_m=1.0),
    )
    vehicle = edits.change_accessory(vehicle, "accessory-1", works_in=("running",))
    return edits.change_tap(vehicle, "tap-1", **tap) if tap else vehicle


def found(vehicle: Vehicle, key: str = "polarity") -> CheckStep | None:
    steps = final_check.steps(vehicle, assess(vehicle))
    return next((step for step in steps if step.key == key), None)


def read(vehicle: Vehicle, value: float, key: str = "polarity") -> Vehicle:
    step = found(vehicle, key)
    assert step is not None
    return reading_edits.add_reading(
        vehicle, **(final_check.fields(step) | {"when": WHEN, "value": value})
    )


def test_it_says_where_the_tips_go_and_is_never_green_unread():
    step = found(fitted())
    assert step.verdict == "open"
    assert step.unit == "V"
    how = plain(step.how)
    assert "red tip on plus, black on minus at the open end of its lead" in how
    assert "accessory not connected, its fuse in" in how


def test_the_supply_with_no_sign_is_right():
    step = found(read(fitted(), 12.5))
    assert step.verdict == "agrees"


@pytest.mark.parametrize("value", [-12.5, -1.2])
def test_a_minus_sign_is_wrong_and_one_thing_is_to_be_done(value: float):
    step = found(read(fitted(), value))
    assert step.verdict == "differs"
    assert step.swapped
    assert step.causes == (SWAPPED,)
    again = found(read(read(fitted(), value), 12.5))
    assert again.verdict == "agrees", "the latest reading counts"


@pytest.mark.parametrize("value", [0.0, 0.3, -0.02, 6.0])
def test_nothing_or_too_little_is_wrong_and_swaps_nothing(value: float):
    step = found(read(fitted(), value))
    assert step.verdict == "differs"
    assert not step.swapped
    assert SWAPPED not in step.causes
    assert any("nothing arrives" in plain(cause) for cause in step.causes)


def test_elsewhere_a_minus_sign_only_says_that_the_tips_are_the_other_way_round():
    volts = found(fitted(), "volts")
    step = found(read(fitted(), -volts.expected.typical, "volts"), "volts")
    assert step.verdict == "agrees"


@pytest.mark.parametrize(
    ("feed_class", "state", "words"),
    [
        ("permanent", "awake", "Key off, accessory"),
        ("ignition", "ignition", "Ignition on, engine off, accessory"),
        ("accessory", "ignition", "Ignition on, engine off, accessory"),
        ("unknown", "ignition", "Ignition on, engine off, accessory"),
        ("lighting", "ignition", "Ignition on, engine off, lamps on, accessory"),
    ],
)
def test_it_says_how_the_key_stands_so_that_the_lead_is_live(
    feed_class: FeedClass, state: str, words: str
):
    step = found(fitted(feed_class))
    assert step.state == state
    assert plain(step.how).startswith(words)


def test_a_rested_battery_with_the_ignition_on_and_nothing_drawn_is_no_fault():
    vehicle = read_demo("family_estate")
    both = {
        step.state: step
        for step in final_check.steps(vehicle, assess(vehicle))
        if step.key == "polarity"
    }
    at_rest, switched = both["awake"], both["ignition"]
    assert switched.expected.typical < at_rest.expected.typical
    assert switched.expected.high == at_rest.expected.high


def test_a_lead_with_a_switch_is_read_with_it_on():
    step = found(fitted(switch="hand"))
    assert step.state == "running", "its lead is closed while it is to work"
    assert plain(step.how).startswith("Engine running, the switch of its lead on")


def test_where_nothing_ever_arrives_nothing_is_asked():
    assert found(fitted("unfed")) is None


def test_it_does_not_hang_on_what_the_accessory_draws():
    """Of one that is at work in no state it was told of: swapped it is harmed all the same."""
    vehicle = edits.change_accessory(fitted(), "accessory-1", works_in=(), standby_a=0.0)
    assert found(vehicle, "current") is None
    assert found(vehicle) is not None


def test_a_24_v_vehicle_shows_its_own_volts():
    (lamp,) = fitted().accessories
    lorry = replace(fitted(), system_v=24, accessories=(replace(lamp, rated_v=24.0),))
    assert found(lorry).expected.typical > 24.0
    assert found(read(lorry, 12.5)).verdict == "differs"


class TestOnceItIsConnected:
    def test_volts_at_its_own_terminals_say_that_it_is_the_right_way_round(self):
        assert found(read(fitted(), 14.0, "volts")) is None

    def test_a_minus_sign_there_leaves_it_open(self):
        assert found(read(fitted(), -14.0, "volts")).verdict == "open"

    @pytest.mark.parametrize("value", [12.5, -12.5])
    def test_what_was_read_of_the_plug_before_still_counts(self, value: float):
        vehicle = read(fitted(), value)
        before = found(vehicle).verdict
        assert found(read(vehicle, 14.0, "volts")).verdict == before


@pytest.mark.parametrize(
    ("typed", "value"), [("-12,4", -12.4), ("12.4v", 12.4), ("-300mv", -0.3), ("+12.4", 12.4)]
)
def test_it_is_typed_with_its_sign_in_any_unit_of_volts(typed: str, value: float):
    assert read_answer(found(fitted()), typed) == (pytest.approx(value), None)


def test_a_file_keeps_it():
    vehicle = read(fitted(), -12.4)
    text = files.render(vehicle)
    assert files.parse(text) == vehicle
    (reading,) = json.loads(text)["readings"]
    assert (reading["quantity"], reading["value"]) == ("polarity", -12.4)
