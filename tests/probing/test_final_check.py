"""After the job every reading stands beside what was predicted, with causes where they differ."""

import re

import pytest

from fusemap.assess import assess
from fusemap.probing import evidence, final_check
from fusemap.probing.check_step import CheckStep
from fusemap.text import Style
from fusemap.vehicle import Cable, Fuse, Vehicle, VoltageCutOff, edits, reading_edits
from tests import trade_vehicles
from tests.plain import plain
from tests.probing.vehicles import WHEN, whole
from tests.vehicles import one_slot, with_accessory


@pytest.fixture
def fitted() -> Vehicle:
    """A lamp of 5 A on the live side of a permanent slot, its return by cable."""
    vehicle = with_accessory(
        one_slot(),
        5.0,
        fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.5, length_m=3.0),
        cable_back=Cable(section_mm2=1.5, length_m=1.0),
    )
    return edits.change_accessory(vehicle, "accessory-1", works_in=("ignition",), standby_a=0.03)


def steps(vehicle: Vehicle) -> dict[str, CheckStep]:
    return {one.key: one for one in final_check.steps(vehicle, assess(vehicle))}


def checked(vehicle: Vehicle, key: str, value: float, **more) -> CheckStep:
    """The step after it was read."""
    step = steps(vehicle)[key]
    vehicle = reading_edits.add_reading(
        vehicle, **(final_check.fields(step) | {"when": WHEN, "value": value} | more)
    )
    return steps(vehicle)[key]


def test_the_list_is_made_from_the_plan_in_the_order_it_is_done(fitted):
    found = [one.key for one in final_check.steps(fitted, assess(fitted))]
    assert found == ["grips", "polarity", "stays_on", "host", "current", "volts", "host_drop",
                     "earth", "warm", "rest", "lamps", "evening", "morning"]  # fmt: skip
    assert all(one.verdict == "open" for one in steps(fitted).values())


def test_an_accessory_that_stays_on_with_the_host_fuse_out_is_the_right_way_round(fitted):
    assert checked(fitted, "stays_on", 1.0).verdict == "agrees"
    wrong = checked(fitted, "stays_on", 0.0)
    assert wrong.verdict == "differs"
    assert "wrong way round" in wrong.causes[0]


def test_a_tap_planned_on_the_load_side_dies_with_the_host_fuse(fitted):
    turned = edits.change_tap(fitted, "tap-1", way_round="load_side")
    assert steps(turned)["stays_on"].predicted_words == "no"
    assert checked(turned, "stays_on", 1.0).verdict == "differs"


def test_before_it_is_connected_plus_and_minus_are_read_at_its_lead(fitted):
    order = list(steps(fitted))
    assert (
        order.index("grips")
        < order.index("polarity")
        < min(order.index(key) for key in ("stays_on", "current", "volts", "earth", "warm"))
    )


def test_where_the_live_side_was_not_read_nothing_is_predicted_as_known(fitted):
    slot = fitted.taps[0].slot
    known = edits.change_slot(fitted, slot, live_side="left")
    unknown = edits.change_slot(fitted, slot, live_side="unknown")
    assert steps(known)["stays_on"].predicted_words == "yes"
    step = steps(unknown)["stays_on"]
    assert step.unsure
    assert step.predicted_words == "not known; as planned yes"
    assert checked(unknown, "stays_on", 0.0).verdict == "differs", "it does not sit as planned"


def test_current_agrees_within_the_band_and_the_meters_error(fitted):
    assert checked(fitted, "current", 5.0).verdict == "agrees"
    assert checked(fitted, "current", 6.1).verdict == "agrees"  # 20 % and the clamp's own error
    assert checked(fitted, "current", 7.0).verdict == "differs"
    low = checked(fitted, "current", 2.0)
    assert "not at full work" in low.causes[0]


@pytest.mark.parametrize("key", ["current", "volts", "earth", "host_drop"])
@pytest.mark.parametrize("part", [0.03, 0.9, 1.0, 1.1, 1.21, 1.4, 6.0])
def test_the_band_in_which_a_reading_agrees_is_the_same_before_it_is_read(fitted, key, part):
    asked = steps(fitted)[key]
    value = asked.expected.high * part
    read = checked(fitted, key, value)
    assert read.agrees == asked.agrees
    # makers of meters state ± (share of the reading + last digits): the two reach each other
    off = evidence.error_of(fitted, read.reading)
    touches = asked.expected.low - off <= value <= asked.expected.high + off
    assert (read.verdict == "agrees") is touches


@pytest.mark.parametrize("key", ["current", "volts"])
def test_the_ends_that_are_said_are_those_a_reading_is_judged_by(fitted, key):
    """What stands in the list and on paper, scale and verdict on the stage: one band."""
    step = steps(fitted)[key]
    said = re.findall(r"[0-9.]+", plain(step.predicted_words))
    assert [float(each) for each in said[1:]] == pytest.approx(step.agrees, rel=0.03)
    for end in step.agrees:
        assert checked(fitted, key, end).verdict == "agrees"
    low, high = step.expected.low, step.expected.high
    assert step.agrees[0] < low
    assert step.agrees[1] > high


def test_a_small_current_that_a_clamp_may_not_see_has_no_lower_end(fitted):
    small = edits.change_accessory(fitted, "accessory-1", amperes=0.003, standby_a=0.0)
    step = steps(small)["current"]
    assert step.agrees[0] <= 0
    assert re.fullmatch(r"3 mA \(at most [0-9.]+ mA\)", plain(step.predicted_words))


def test_the_voltage_is_the_assessments_at_the_device(fitted):
    step = steps(fitted)["volts"]
    a = assess(fitted)
    row = list(a.taps.current_a[:, 0]).index(max(a.taps.current_a[:, 0]))
    assert step.expected.typical == pytest.approx(float(a.taps.voltage_v[row, 0]))
    assert "resistance" in checked(fitted, "volts", step.expected.typical - 1.5).causes[0]


def test_earth_drop_is_current_times_the_way_back(fitted):
    step = steps(fitted)["earth"]
    # 1 m of 1.5 mm² is 12.7 to 13 mΩ, and an earth point of 1 mΩ: 5 A make about 70 mV
    assert step.expected.typical == pytest.approx(70.0, rel=0.1)
    assert checked(fitted, "earth", 30.0).verdict == "agrees"
    bad = checked(fitted, "earth", 400.0)
    assert bad.verdict == "differs"
    assert "paint or rust" in bad.causes[0]


def test_rest_current_after_is_the_one_before_and_what_was_added(fitted):
    before = reading_edits.add_reading(fitted, when=WHEN, **whole(0.020))
    step = steps(before)["rest"]
    assert step.expected.typical == pytest.approx(0.050)
    assert checked(before, "rest", 0.050).verdict == "agrees"
    assert "not asleep yet" in checked(before, "rest", 0.300).causes[0]


def test_the_reading_after_the_job_does_not_become_the_one_before(fitted):
    before = reading_edits.add_reading(fitted, when=WHEN, **whole(0.020))
    after = reading_edits.add_reading(before, when=WHEN, purpose="check", **whole(0.2))
    assert steps(after)["rest"].expected.typical == pytest.approx(0.050)


def test_next_mornings_voltage_follows_from_the_evenings(fitted):
    assert steps(fitted)["morning"].expected is None
    evening = steps(fitted)["evening"]
    read = reading_edits.add_reading(
        fitted, **(final_check.fields(evening) | {"when": WHEN, "value": 12.60})
    )
    expected = steps(read)["morning"].expected
    assert expected.low < expected.typical <= 12.60
    heavy = edits.change_accessory(read, "accessory-1", standby_a=1.0)
    assert steps(heavy)["morning"].expected.typical < expected.typical


def test_a_cut_off_is_checked_at_the_device(fitted):
    vehicle = edits.change_accessory(
        fitted, "accessory-1", cut_off=VoltageCutOff(off_v=11.8, on_v=12.6)
    )
    assert checked(vehicle, "cut_off", 11.85).verdict == "agrees"
    assert checked(vehicle, "cut_off", 11.2).verdict == "differs"


def test_a_critical_slot_gets_no_orientation_test(fitted):
    vehicle = edits.change_tap(fitted, "tap-1", justification="workshop's advice")
    vehicle = edits.change_slot(vehicle, "slot-1", critical=True)
    assert "stays_on" not in steps(vehicle)


def test_the_latest_reading_counts_and_a_withdrawn_one_does_not(fitted):
    step = steps(fitted)["current"]
    read = fitted
    for value in (2.0, 5.0):
        read = reading_edits.add_reading(
            read, **(final_check.fields(step) | {"when": WHEN, "value": value})
        )
    assert steps(read)["current"].verdict == "agrees"
    back = reading_edits.withdraw_reading(read, "reading-2")
    assert steps(back)["current"].verdict == "differs"
    tally = final_check.tally(final_check.steps(back, assess(back)))
    assert (tally.agreeing, tally.differing, tally.left_open) == (0, 1, 12)


def test_check_readings_leave_the_slots_alone(fitted):
    from fusemap.probing import conclusions

    step = steps(fitted)["host"]
    read = reading_edits.add_reading(
        fitted, **(final_check.fields(step) | {"when": WHEN, "value": 1.0})
    )
    assert conclusions.conclude(fitted, read).panels == fitted.panels


def test_on_a_second_battery_the_tips_go_to_its_own_poles_and_a_block_has_no_host() -> None:
    vehicle = trade_vehicles.camper()
    a = assess(vehicle)
    found = steps(vehicle)
    assert {"stays_on", "host"}.isdisjoint(found)
    drop = found["host_drop"]
    assert "second battery" in str(drop.how)
    assert "second battery" in str(found["earth"].how)
    assert drop.expected is not None
    at_slot = float(a.taps.source_v[:, 0].min())
    assert (
        0
        < drop.expected.typical
        == pytest.approx(float((a.currents.second_v - a.taps.source_v[:, 0]).max()) * 1000)
    )
    assert at_slot < float(a.currents.second_v.max())


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "the host fuse of slot 7 out"),
        ("de", "die Fahrzeugsicherung von Platz 7 aus"),
        ("es", "el fusible del vehículo de la posición 7."),
        ("fr", "le fusible d’origine de l’emplacement 7."),
        ("nl", "de voertuigzekering van zekeringplaats 7 uit"),
    ],
)
def test_a_slot_whose_label_is_a_number_alone_is_called_a_slot(fitted, language, words):
    slot = next(tap.slot for tap in fitted.taps if tap.slot is not None)
    numbered = edits.change_slot(fitted, slot, label="7", circuit="")
    found = steps(numbered)
    assert words in Style(language).show(found["stays_on"].how)
    assert "live contact of slot 7," in str(found["host_drop"].how)
    assert "slot 7" in str(found["host"].how)
    lettered = edits.change_slot(fitted, slot, label="F7")
    assert "host fuse of F7 out" in str(steps(lettered)["stays_on"].how)
