"""The feed class follows from what was read, and says from what."""

import pytest

from fusemap.probing import conclusions
from fusemap.probing.feeds import feed_of
from tests.probing.vehicles import bench, dead, english, live, mv, read, slot


def concluded(*readings, **fields):
    vehicle = read(bench(**fields), *readings)
    return feed_of(vehicle, slot(vehicle))


@pytest.mark.parametrize(
    ("readings", "feed_class"),
    [
        ([live("asleep")], "permanent"),
        ([live("asleep", 62.0)], "permanent"),
        ([live("awake", 1.0), live("asleep")], "permanent"),
        ([mv(1.0)], "permanent"),  # current flows, so it is live
        ([dead("asleep"), live("accessory"), live("ignition")], "accessory"),
        ([dead("asleep"), live("accessory")], "accessory"),
        ([dead("asleep"), dead("accessory"), live("ignition")], "ignition"),
        ([dead("accessory"), mv(3.0, "ignition")], "ignition"),
        ([live("awake", 1.0), dead("awake", 12.0)], "delayed_off"),
        ([live("accessory"), live("awake", 1.0), dead("asleep")], "delayed_off"),
        ([dead("asleep"), dead("ignition"), live("ignition", lamps_on=True)], "lighting"),
        ([dead("asleep"), dead("accessory"), dead("ignition")], "unfed"),
    ],
)
def test_the_class_by_the_states_it_is_live_in(readings, feed_class):
    assert concluded(*readings).feed_class == feed_class


@pytest.mark.parametrize(
    ("readings", "missing"),
    [
        ([], "asleep"),
        ([live("accessory")], "asleep"),
        ([live("ignition")], "accessory"),
        ([live("awake", 1.0)], "asleep"),
        ([live("asleep", 5.0)], "asleep"),  # five minutes after locking is not asleep yet
        ([dead("asleep")], "ignition"),
        ([live("ignition", lamps_on=True)], "lamps off"),
        ([live("running")], "ignition"),
        ([mv(0.0)], "asleep"),  # no current: live or dead
    ],
)
def test_what_is_not_known_yet_names_what_to_read(readings, missing):
    found = concluded(*readings)
    assert not found.known
    assert missing in english(*found.open)


def test_the_evidence_is_told_in_words():
    found = concluded(live("awake", 1.0), dead("awake", 12.0))
    assert english(found.evidence) == "live at 1 min, dead at 12 min after locking: delayed-off"
    assert found.delayed_off_min == 12.0


def test_an_off_time_that_is_hardly_known_is_taken_long_and_said():
    found = concluded(live("awake", 1.0), dead("asleep"))
    assert found.delayed_off_min == 60.0
    assert "between 1 and 60 min" in english(found.open[0])


def test_an_accessory_feed_may_stay_live_for_a_while():
    assert "minutes after locking" in concluded(dead("asleep"), live("accessory")).open[0]
    read_at_once = concluded(dead("awake", 1.0), dead("asleep"), live("accessory"))
    assert read_at_once.feed_class == "accessory"
    assert read_at_once.open == ()


@pytest.mark.parametrize(
    ("readings", "told"),
    [
        ([live("asleep"), dead("ignition")], "live asleep, but dead with ignition on"),
        ([dead("awake", 5.0), live("awake", 12.0)], "the vehicle was woken"),
        ([live("accessory"), dead("ignition")], "dead with ignition on"),
    ],
)
def test_readings_that_cannot_both_be_true_give_no_class(readings, told):
    found = concluded(*readings)
    assert not found.known
    assert told in english(*found.contradictions)


def test_of_two_readings_of_one_moment_the_later_counts_and_both_are_told():
    found = concluded(dead("asleep"), live("asleep"))
    assert found.feed_class == "permanent"
    assert "the later one counts" in found.contradictions[0]


def test_a_corrected_reading_contradicts_nothing():
    found = concluded(dead("asleep"), live("asleep", corrects="reading-1"))
    assert found.feed_class == "permanent"
    assert found.contradictions == ()


def test_readings_of_somebody_else_decide_nothing():
    vehicle = read(bench(), live("asleep", verified=False, by="Kim"))
    assert not feed_of(vehicle, slot(vehicle)).known
    assert feed_of(vehicle, slot(vehicle), verified=False).feed_class == "permanent"
    assert slot(conclusions.conclude(bench(), vehicle)).feed_class == "unknown"


def test_live_with_the_engine_running_only_is_no_class_to_plan_on():
    found = concluded(dead("asleep"), dead("ignition"), live("running"))
    assert not found.known
    assert "running only" in found.evidence
