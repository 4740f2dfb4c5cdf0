"""Fuses and the millivolt technique against published figures; the document is named at each."""

import numpy as np
import pytest

from fusemap.electrics.fuse_choice import choose_fuse
from fusemap.electrics.fuses import (
    ReratingLine,
    continuous_limit,
    inrush_check,
    overlapping_i2t,
    rating_needed,
    share_limit,
    table_limit,
)
from fusemap.electrics.millivolts import cold_current, current_from_millivolts, hot_to_cold_ratio
from fusemap.electrics.operating_time import TimePoints, melting_time

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
    assert rating_needed(7.5) == pytest.approx(10.0)
    assert continuous_limit(10.0, 25.0) >= 7.5


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
    # Blue Sea Systems catalogue 2023, p. 64
    assert rating_needed(32.0, share=0.80) == pytest.approx(40.0)


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


@pytest.mark.parametrize(("ambient_c", "carries"), [(18.0, True), (60.0, False)])
def test_a_25_a_fuse_carries_20_a_at_18_c_but_not_at_60_c(ambient_c, carries):
    # Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022, p. 3: 23 A accepted, 19 A rejected
    assert (table_limit(COLUMNS_C, REGULAR_A[25.0], ambient_c) >= 20.0) is carries


def test_the_mini_rerating_line_at_76_c():
    # Littelfuse MINI blade fuse 32 V, series 297 data sheet, rerating line read off the drawing
    line = ReratingLine(-39.85, 1.0997, 123.12, 0.8528)
    assert line.factor(76.25) == pytest.approx(0.9238, abs=0.0001)
    limits = share_limit(np.array([25.0, 30.0]), 76.25, share=1.0, line=line)
    assert limits == pytest.approx([23.10, 27.71], abs=0.01)
    assert 18.0 / limits[0] == pytest.approx(0.779, abs=0.0005)


def test_melting_times_of_25_a_fuses_at_a_480_a_short():
    # melting I²t: Littelfuse MINI 297 (625 A²s) and ATOF 287 (1000 A²s) data sheets
    assert melting_time([625.0, 1000.0], 480.0) * 1000 == pytest.approx([2.71, 4.34], abs=0.005)


def test_another_makers_load_ratio_is_laxer_than_the_share_used_here():
    # Matsuo JHC data sheet, p. 8: 60 A²s, 100 000 times, load ratio 35 %: 171.4 A²s or more
    inrush = inrush_check(60.0, 171.4, pulses=100_000)
    assert inrush.found / 171.4 == pytest.approx(0.35, abs=0.0005)
    assert inrush.ratio == pytest.approx(0.35 / 0.22, abs=0.001)
    assert not inrush.passed


def test_rating_for_1_5_a_with_derating_and_safety_coefficient():
    # TA-I CP04V data sheet, p. 10: 1.5 A / (0.95 · 0.7), printed cut short as 2.255 A
    assert rating_needed(1.5, share=0.7, factor=0.95) == pytest.approx(2.2556, abs=0.0001)


def test_two_overlapping_inrush_pulses():
    # bound worked in a board design against the 22 % of the Littelfuse fuse catalogue 2017, chart 2
    together = overlapping_i2t(0.2945, 0.0191)
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


def test_one_millivolt_across_a_regular_10_a_fuse():
    # a workshop course text on voltage drop over fuses: 130 mA
    assert cold_current(1.0, 7.7) * 1000 == pytest.approx(130.0, rel=0.005)


@pytest.mark.parametrize(("mv", "printed_ma"), [(0.1, 22.0), (1.0, 218.0)])
def test_a_mini_15_a_fuse_by_the_workshop_chart(mv, printed_ma):
    # MACS Service Reports, June 2017; printed in whole milliamperes
    assert cold_current(mv, 4.58) * 1000 == pytest.approx(printed_ma, abs=0.5)


def test_the_cold_reading_of_a_40_a_fuse_at_full_load_is_two_thirds_high():
    # Littelfuse ATOF 287 data sheet, rev. 18 Aug 2022: 1.44 mΩ cold, 96 mV at 40 A
    assert cold_current(57.6, 1.44) == pytest.approx(40.0)
    assert cold_current(96.0, 1.44) / 40.0 - 1.0 == pytest.approx(0.67, abs=0.005)
    ratio = hot_to_cold_ratio(1.44, 96.0, 40.0)
    assert current_from_millivolts(96.0, 1.44, 40.0, ratio) == pytest.approx(40.0)


def test_minis_at_their_rating_read_half_too_high_cold_and_right_when_corrected():
    # Littelfuse MINI blade fuse 32 V, series 297 data sheet: cold resistance and rated drop
    rating = np.array(list(MINI))
    cold, drop = np.array(list(MINI.values())).T
    over_reading = cold_current(drop, cold) / rating
    assert over_reading.mean() == pytest.approx(1.49, abs=0.005)
    assert over_reading.min() > 1.28
    assert over_reading.max() < 1.67
    corrected = current_from_millivolts(drop, cold, rating, hot_to_cold_ratio(cold, drop, rating))
    assert corrected == pytest.approx(rating)


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
