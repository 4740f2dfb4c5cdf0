"""The band of the parked forecast: the less was measured, the wider; never without its middle."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.assess import assess
from fusemap.assess.parked.band import ParkedBand, parked_band
from fusemap.assess.parked.start_spans import START
from fusemap.text import Text
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Vehicle, VoltageCutOff, edits


def van(**battery: Any) -> Vehicle:
    fields = {"capacity_ah": 70.0, "soh": 0.9, "start_soc": 0.85, **battery}
    vehicle = edits.change_battery(Vehicle(name="Van"), **fields)
    return edits.change_parking(vehicle, rest_current_a=0.05, temperature_c=20.0, coldest_c=20.0)


def with_camera(vehicle: Vehicle, amperes: float) -> Vehicle:
    vehicle = edits.add_accessory(
        vehicle,
        "Camera",
        amperes=amperes,
        load_kind="constant_current",
        works_in=("asleep", "awake"),
    )
    return edits.place(vehicle, "accessory-1")


def started(vehicle: Vehicle) -> Vehicle:
    """With a small petrol engine: in this warmth nothing but the floor decides."""
    return edits.change_parking(vehicle, engine_fuel="petrol", engine_l=1.2)


def plain(text: Text) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def width(band: ParkedBand) -> float:
    return band.high_h - band.low_h


def test_the_most_likely_time_lies_within_the_band() -> None:
    a = assess(van())
    band = parked_band(a)
    assert band.low_h < a.parked.hours < band.high_h
    # wake-ups that nobody logged only shorten it: the middle lies below
    assert 0.75 * a.parked.hours < band.middle_h < a.parked.hours


def test_the_charge_lies_within_its_band_all_the_while() -> None:
    a = assess(van())
    band = parked_band(a)
    soc = np.interp(band.time_h, a.parked.forecast.samples.time_h, a.parked.forecast.samples.soc)
    until_empty = soc > 0.1
    assert (band.low_soc <= soc)[until_empty].all()
    assert (soc <= band.high_soc)[until_empty].all()


def test_the_same_vehicle_gives_the_same_band() -> None:
    one, other = parked_band(assess(van())), parked_band(assess(van()))
    assert (one.low_h, one.high_h) == (other.low_h, other.high_h)


@pytest.mark.parametrize("missing", ["soh", "start_soc"])
def test_what_was_not_measured_makes_it_wider(missing: str) -> None:
    known = van()
    # the same middle, once measured and once assumed by the table
    figures = {"soh": 0.85, "start_soc": 0.85}
    unknown = edits.change_battery(known, **{missing: None})
    middle = assess(unknown).parked
    if missing == "start_soc":
        figures["start_soc"] = middle.start_soc
    known = edits.change_battery(known, **{missing: figures[missing]})
    assert width(parked_band(assess(unknown))) > width(parked_band(assess(known)))


def test_wider_rules_for_the_makers_line_make_it_wider() -> None:
    def ruled(less: float, more: float) -> Vehicle:
        vehicle = edits.set_rule(van(), "start_line_less", less)
        return edits.set_rule(vehicle, "start_line_more", more)

    narrow, wide = (parked_band(assess(ruled(*ends))) for ends in ((0.02, 0.02), (0.2, 0.3)))
    assert width(wide) > 1.3 * width(narrow)


def test_more_draws_hardly_move_its_ends() -> None:
    a = assess(van())
    few, many = parked_band(a, draws=400), parked_band(a, draws=4000)
    assert few.low_h == pytest.approx(many.low_h, rel=0.1)
    assert few.high_h == pytest.approx(many.high_h, rel=0.1)


def test_a_cut_off_is_followed_in_every_draw() -> None:
    vehicle = edits.add_accessory(
        van(),
        "Cool box",
        amperes=2.0,
        load_kind="constant_current",
        works_in=("asleep", "awake"),
        cut_off=VoltageCutOff(off_v=12.2, on_v=13.0),
    )
    without = parked_band(assess(van()))
    placed = edits.place(vehicle, "accessory-1")
    band = parked_band(assess(placed))
    endless = edits.change_accessory(placed, "accessory-1", cut_off=None)
    assert parked_band(assess(endless)).low_h < band.low_h < without.low_h


def test_each_spread_is_said_in_words() -> None:
    words = [plain(each) for each in parked_band(assess(van())).spread]
    assert "charge when locked 77 to 93 %" in words
    assert "rest current 45 mA to 55 mA" in words
    assumed = parked_band(assess(van(start_soc=None)))
    assert "charge when locked 73 to 97 %" in [plain(each) for each in assumed.spread]


def test_entered_ranges_take_the_place_of_the_proposed_ones() -> None:
    vehicle = edits.change_battery(van(), low_soh=0.85, high_soh=0.92)
    vehicle = edits.change_parking(
        vehicle, low_temperature_c=-10.0, high_temperature_c=25.0, high_rest_current_a=0.1
    )
    ends = {each.key: each.range for each in parked_band(assess(vehicle)).inputs}
    assert ends["health"] == pytest.approx((0.85, 0.9, 0.92))
    assert ends["temperature"] == (-10.0, 20.0, 25.0)
    assert ends["rest"] == pytest.approx((0.9, 1.0, 2.0))


def test_the_rest_current_is_to_be_measured_where_it_was_not() -> None:
    """With charge, health and start known, it is what the days hang on."""
    vehicle = started(van(low_soc=0.84, high_soc=0.86, low_soh=0.89, high_soh=0.91))
    unmeasured = edits.change_parking(vehicle, rest_current_a=None)
    assert str(parked_band(assess(unmeasured)).measure_next).startswith(
        "Measure the whole vehicle's"
    )


def test_an_unknown_charge_is_to_be_measured_first() -> None:
    vehicle = started(van(start_soc=None, low_soc=0.6, high_soc=1.0))
    assert str(parked_band(assess(vehicle)).measure_next).startswith(
        "Measure the rest voltage after"
    )


def test_the_shares_add_up_and_more_current_shortens() -> None:
    shares = {each.name: each for each in parked_band(assess(van())).shares}
    assert sum(each.share for each in shares.values()) == pytest.approx(1.0)
    assert shares["charge"].lifts
    assert not shares[START].lifts


def test_an_accessory_whose_current_is_hardly_known_makes_it_wider() -> None:
    vehicle = with_camera(van(), 0.15)
    narrow = edits.change_accessory(vehicle, "accessory-1", current_spread=0.0)
    wide = edits.change_accessory(vehicle, "accessory-1", current_spread=0.5)
    bands = [parked_band(assess(each)) for each in (narrow, wide)]
    assert width(bands[1]) > 1.2 * width(bands[0])


def test_a_trifle_moves_no_end_of_the_band_by_more_than_it_draws() -> None:
    """0.1 mA beside the 225 mA that are drawn at the least: half a thousandth."""
    vehicle = edits.change_parking(van(), rest_current_a=0.05)
    vehicle = with_camera(vehicle, 0.2)
    trifle = edits.add_accessory(
        vehicle,
        "Clock",
        amperes=0.0001,
        load_kind="constant_current",
        works_in=("asleep", "awake"),
    )
    trifle = edits.place(trifle, "accessory-2")
    before, after = (parked_band(assess(each)) for each in (vehicle, trifle))
    for end in ("low_h", "middle_h", "high_h"):
        one, other = getattr(before, end), getattr(after, end)
        assert one * (1.0 - 0.0001 * 1.1 / 0.225) <= other < one


@settings(max_examples=25, deadline=None)
@given(st.floats(0.02, 1.0), st.floats(0.01, 1.0))
def test_more_load_never_lasts_longer_in_any_draw(amperes: float, more: float) -> None:
    bands = [parked_band(assess(with_camera(van(), load)), draws=50)
             for load in (amperes, amperes + more)]  # fmt: skip
    assert bands[1].low_h <= bands[0].low_h
    assert bands[1].middle_h <= bands[0].middle_h
    assert bands[1].high_h <= bands[0].high_h
