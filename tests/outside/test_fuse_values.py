"""Fuses and the millivolt technique against published figures; the document is named at each."""

import argparse

import numpy as np
import pytest

from fusemap import tables
from fusemap.advise.chain_sizing import Wanted, size_chain
from fusemap.assess import assess
from fusemap.electrics.fuses import (
    ReratingLine,
    choose_fuse,
    inrush_check,
    share_limit,
    table_limit,
)
from fusemap.electrics.meter import FUSE_SPREAD, current_from_millivolts
from fusemap.electrics.operating_time import TimePoints
from fusemap.terminal import millivolts
from fusemap.vehicle import Fuse, edits
from tests.vehicles import one_slot

COLUMNS_C = [-40.0, 0.0, 20.0, 65.0, 85.0, 110.0, 125.0]
"""Ambients of the temperature table of the Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022."""

REGULAR_A = {
    # rating [A]: allowed lasting load [A] at COLUMNS_C, same table
    5.0: [5, 5, 5, 4, 4, 3, 3],
    7.5: [8, 7, 7, 6, 5, 5, 4],
    10.0: [10, 10, 10, 8, 7, 6, 5],
    20.0: [20, 19, 18, 15, 14, 12, 10],
    25.0: [25, 25, 23, 19, 18, 15, 13],
}

MINI = {
    # rating [A]: cold resistance [mΩ], typical drop at rated current [mV]
    # Littelfuse MINI blade fuse 32 V, series 297 data sheet
    2.0: (55.6, 171.0),
    3.0: (33.75, 153.0),
    4.0: (23.48, 121.0),
    5.0: (17.75, 129.0),
    7.5: (10.85, 135.0),
    10.0: (7.42, 108.0),
    15.0: (4.58, 98.0),
    20.0: (3.21, 96.0),
    25.0: (2.36, 86.0),
    30.0: (1.85, 87.0),
}


def test_a_load_of_7_5_a_needs_a_10_a_fuse():
    # Littelfuse, Fuseology: 75 % of the rating at 25 °C, worked example
    sized = size_chain(Wanted(amperes=7.5, load_kind="constant_current", ambient_c=25.0))
    assert (sized.rating_a, sized.fuse.reason) == (10.0, "load")


def host_limit(family: str, rating: float, ambient_c: float, **rules: float) -> float:
    """What a slot with this fuse may carry for good [A], as the window shows it."""
    vehicle = one_slot(family=family, fuse=Fuse(family=family, rating=rating))
    vehicle = edits.change_panel(vehicle, vehicle.panels[0].id, ambient_c=ambient_c)
    for rule, value in rules.items():
        vehicle = edits.set_rule(vehicle, rule, value)
    return float(assess(vehicle).slots.host_limit_a[0])


def test_a_7_a_fuse_just_carries_5_a_and_an_8_a_fuse_with_a_fifth_in_hand():
    # Littelfuse, Fuseology: 25 % derating, worked on 5, 7 and 8 A fuses in a converter's data file
    limits = share_limit(np.array([5.0, 7.0, 8.0]), 25.0)
    assert limits == pytest.approx([3.75, 5.25, 6.0])
    assert choose_fuse(5.0, [5, 7, 8], limits).rating_a == 7.0
    assert limits[1] / 5.0 - 1.0 == pytest.approx(0.05)  # "leaves 5 % before hot rerating"


def test_a_58_v_blade_of_30_a_carries_22_5_a():
    # Littelfuse ATO 257 series, 58 V: factor 1.33, 22.5 A lasting at 23 °C
    assert share_limit(30.0, 23.0) == pytest.approx(22.5)
    assert share_limit(30.0, 23.0, share=1 / 1.33) == pytest.approx(22.5, rel=0.003)


def test_the_marine_share_of_80_percent_gives_40_a_for_32_a():
    # Blue Sea Systems catalogue 2023, p. 64; a slot in 25 °C, where no line is far from 1
    assert host_limit("maxi", 40.0, 25.0, continuous_share=0.80) == pytest.approx(32.0, rel=0.01)


@pytest.mark.parametrize(
    ("rating_a", "ambient_c", "allowed_a"),
    [
        # Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022, p. 3, temperature table
        (20.0, 20.0, 18.0),
        (20.0, 65.0, 15.0),
        (5.0, 65.0, 4.0),
        (7.5, 65.0, 6.0),
        (10.0, 65.0, 8.0),
        # the same table, read at the next higher column
        (25.0, 18.0, 23.0),
        (25.0, 60.0, 19.0),
    ],
)
def test_the_temperature_table_is_read_at_the_next_higher_column(rating_a, ambient_c, allowed_a):
    assert table_limit(COLUMNS_C, REGULAR_A[rating_a], ambient_c) == allowed_a
    # with a share of 1 the table alone holds a slot back
    assert host_limit("regular", rating_a, ambient_c, continuous_share=1.0) == allowed_a


@pytest.mark.parametrize(("ambient_c", "carries"), [(18.0, True), (60.0, False)])
def test_a_25_a_fuse_carries_20_a_at_18_c_but_not_at_60_c(ambient_c, carries):
    # Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022, p. 3: 23 A accepted, 19 A rejected
    assert (table_limit(COLUMNS_C, REGULAR_A[25.0], ambient_c) >= 20.0) is carries


def test_the_mini_rerating_line_at_76_c():
    # Littelfuse MINI blade fuse 32 V, series 297 data sheet, rerating line read off the drawing
    line = ReratingLine(-39.85, 1.0997, 123.12, 0.8528)
    assert line.factor(76.25) == pytest.approx(0.9238, abs=0.0001)
    limits = [host_limit("mini", rating, 76.25, continuous_share=1.0) for rating in (25.0, 30.0)]
    assert limits == pytest.approx([23.10, 27.71], abs=0.01)
    assert 18.0 / limits[0] == pytest.approx(0.779, abs=0.0005)


def test_melting_times_of_25_a_fuses_at_a_480_a_short():
    # Littelfuse MINI 297 and ATOF 287 data sheets, worked in a fuse record: 2.71 and 4.34 ms; the
    # melting I²t is what an inrush is held against
    found = [tables.fuse_resistance(family, 25.0) for family in ("mini", "regular")]
    melting = [fuse.melting_i2t_a2s for fuse in found if fuse and fuse.melting_i2t_a2s]
    assert [i2t / 480.0**2 * 1000 for i2t in melting] == pytest.approx([2.71, 4.34], abs=0.005)


def test_another_makers_load_ratio_is_laxer_than_the_share_used_here():
    # Matsuo JHC data sheet, p. 8: 60 A²s, 100 000 times, load ratio 35 %: 171.4 A²s or more
    inrush = inrush_check(60.0, 171.4, pulses=100_000)
    assert inrush.found / 171.4 == pytest.approx(0.35, abs=0.0005)
    assert inrush.ratio == pytest.approx(0.35 / 0.22, abs=0.001)
    assert not inrush.passed


def test_rating_for_1_5_a_with_derating_and_safety_coefficient():
    # TA-I CP04V data sheet, p. 10: 1.5 A / (0.95 · 0.7), printed cut short as 2.255 A
    derated = ReratingLine(-40.0, 0.95, 125.0, 0.95)
    assert share_limit(2.2556, 60.0, share=0.7, line=derated) == pytest.approx(1.5, abs=0.0001)


def test_two_overlapping_inrush_pulses():
    # bound worked in a board design against the 22 % of the Littelfuse fuse catalogue 2017, chart 2
    together = (0.2945**0.5 + 0.0191**0.5) ** 2
    inrush = inrush_check(together, 2.3)
    assert together == pytest.approx(0.4636, abs=0.0001)
    assert together / 2.3 == pytest.approx(0.202, abs=0.0005)
    assert inrush.passed


def test_a_stalled_motor_is_not_protected_by_its_10_a_fuse():
    # Littelfuse ATOF 287 time-current points 160 % (0.25 to 50 s) and 200 % (0.15 to 5 s)
    points = TimePoints([1.6, 2.0], [0.25, 0.15], [50.0, 5.0])
    band = points.band(18.9 / 10.0)
    assert band == (0.15, 50.0)
    assert band.max_s > 5.0  # a motor stalls itself hot long before


def read(*words: str) -> dict[str, float]:
    """What `fusemap millivolts` answers."""
    parser = argparse.ArgumentParser()
    millivolts.add(parser.add_subparsers())
    return millivolts.answer(parser.parse_args(["millivolts", *words]))[1]


def test_one_millivolt_across_a_regular_10_a_fuse():
    # a workshop course text on voltage drop over fuses: 130 mA
    found = read("--family", "regular", "--rating", "10", "--mv", "1")
    assert found["current_a"] * 1000 == pytest.approx(130.0, rel=0.005)


@pytest.mark.parametrize(("mv", "printed_ma"), [("0.1", 22.0), ("1.0", 218.0)])
def test_a_mini_15_a_fuse_by_the_workshop_chart(mv, printed_ma):
    # MACS Service Reports, June 2017; printed in whole milliamperes
    found = read("--family", "mini", "--rating", "15", "--mv", mv)
    assert found["current_a"] * 1000 == pytest.approx(printed_ma, abs=0.5)


def test_the_cold_reading_of_a_40_a_fuse_at_full_load_is_two_thirds_high():
    # Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022: 1.44 mΩ cold, 96 mV at 40 A
    found = read("--family", "regular", "--rating", "40", "--mv", "96")
    assert 96.0 / found["cold_mohm"] / 40.0 - 1.0 == pytest.approx(0.67, abs=0.005)
    assert found["low_a"] < 40.0 < found["high_a"]


def others(ratios: np.ndarray) -> np.ndarray:
    """For each fuse the mean ratio of all but itself: nothing of its own drop is in it."""
    return (ratios.sum() - ratios) / (len(ratios) - 1)


def test_minis_at_their_rating_read_half_too_high_cold():
    # Littelfuse MINI blade fuse 32 V, series 297 data sheet: cold resistance and rated drop
    rating = np.array(list(MINI))
    cold, drop = np.array(list(MINI.values())).T
    over_reading = drop / cold / rating
    assert over_reading.mean() == pytest.approx(1.49, abs=0.005)
    assert over_reading.min() > 1.28
    assert over_reading.max() < 1.67


def test_the_heating_of_nine_minis_tells_the_tenth_at_its_rating():
    # same data sheet: each fuse's published drop read by what the other nine say of heating
    rating = np.array(list(MINI))
    cold, drop = np.array(list(MINI.values())).T
    told = current_from_millivolts(drop, cold, rating, others(drop / cold / rating))
    # within the spread that the band of every reading allows; cold they would be half too high
    assert np.abs(told / rating - 1.0).max() < FUSE_SPREAD


@pytest.mark.parametrize(
    ("cold_mohm", "drop_mv", "rating_a"),
    # Littelfuse ATOF 287 data sheet (2022), 10, 20 and 40 A; MAXI 299 data sheet (2025), 40 A
    [(7.7, 109.0, 10.0), (3.38, 98.0, 20.0), (1.44, 96.0, 40.0), (1.4, 75.0, 40.0)],
)
def test_the_heating_of_minis_tells_the_larger_families(cold_mohm, drop_mv, rating_a):
    cold, drop = np.array(list(MINI.values())).T
    ratio = float((drop / cold / np.array(list(MINI))).mean())
    told = current_from_millivolts(drop_mv, cold_mohm, rating_a, ratio)
    assert told == pytest.approx(rating_a, rel=FUSE_SPREAD)


def test_one_ratio_for_all_minis_leaves_a_tenth_of_error_at_rated_current():
    # same data sheet; the family's mean ratio in place of each fuse's own
    rating = np.array(list(MINI))
    cold, drop = np.array(list(MINI.values())).T
    with_mean = current_from_millivolts(drop, cold, rating, 1.49) / rating
    assert np.abs(with_mean - 1.0).max() < 0.10


def test_family_points_bracket_the_data_sheet_and_nothing_between_them():
    # Littelfuse MAXI 299 data sheet, rev. 6 Jan 2025; the fuse carries 100 % for 100 h
    maxi = TimePoints(
        [1.0, 1.35, 2.0, 3.5, 6.0],
        [360e3, 60, 2, 0.2, 0.04],
        [np.inf, 1800, 50, 7, 1],
    )
    assert maxi.band(1.0) == (360e3, np.inf)
    assert maxi.band(1.35) == (60.0, 1800.0)
    assert maxi.band(2.5) == (0.2, 50.0)
    assert maxi.band(6.0) == (0.04, 1.0)
