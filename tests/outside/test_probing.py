"""Readings at the vehicle against published charts, data sheets and cases; named at each check."""

import pytest

from fusemap.electrics.meter import meter_error
from fusemap.probing import conclusions, disbelief, loads
from fusemap.probing.loads import by_fuse_out, load_of
from fusemap.vehicle import Fuse, Reading, edits
from tests.probing.vehicles import WHEN, bench, mv, read, slot, whole


def across(family: str, rating: float, millivolts: float, **more):
    """What millivolts across a fuse say."""
    vehicle = edits.change_slot(
        bench(), "slot-1", family=family, fuse=Fuse(family=family, rating=rating)
    )
    vehicle = read(vehicle, mv(millivolts, **more))
    return load_of(vehicle, slot(vehicle), vehicle.readings[0])


class TestMillivoltTechnique:
    def test_the_workshop_chart_at_one_millivolt_lies_within_the_band(self):
        # MACS Service Reports, June 2017, fuse chart: mini 15 A, 1.0 mV is 218 mA
        found = across("mini", 15.0, 1.0)
        assert found.current_a == pytest.approx(0.218, rel=0.005)
        assert found.low_a < 0.218 < found.high_a

    def test_a_tenth_of_a_millivolt_is_the_meters_last_digit_and_no_number(self):
        # The same chart gives 22 mA at 0.1 mV: one digit is the whole reading.
        found = across("mini", 15.0, 0.1)
        assert found.below_floor
        assert found.high_a > 0.022

    def test_a_finer_meter_reads_the_charts_22_ma(self):
        found = across("mini", 15.0, 0.1, resolution=0.01)
        assert found.current_a == pytest.approx(0.022, rel=0.02)
        assert found.low_a < 0.022 < found.high_a

    def test_one_millivolt_across_a_regular_10_a_fuse(self):
        # a workshop course text on voltage drop over fuses: 130 mA
        found = across("regular", 10.0, 1.0)
        assert found.current_a == pytest.approx(0.130, rel=0.005)

    @pytest.mark.parametrize(
        ("rating", "drop_mv"),
        # Littelfuse MINI blade fuse 32 V, series 297 data sheet: typical drop at rated current
        [(2.0, 171.0), (3.0, 153.0), (4.0, 121.0), (5.0, 129.0), (7.5, 135.0), (10.0, 108.0),
         (15.0, 98.0), (20.0, 96.0), (25.0, 86.0), (30.0, 87.0)],
    )  # fmt: skip
    def test_the_drop_at_rated_current_gives_the_rating(self, rating, drop_mv):
        found = across("mini", rating, drop_mv)
        assert found.current_a == pytest.approx(rating, rel=0.005)
        assert found.low_a < rating < found.high_a
        # Ohm's law with the cold value would be off by the data sheet's own ratio of hot to cold.

    @pytest.mark.parametrize(("rating", "drop_mv"), [(10.0, 109.0), (20.0, 98.0), (40.0, 96.0)])
    def test_regular_fuses_too(self, rating, drop_mv):
        # Littelfuse ATOF blade fuse 32 V, series 287 data sheet: typical drop at rated current
        assert across("regular", rating, drop_mv).current_a == pytest.approx(rating, rel=0.005)


class TestMeter:
    @pytest.mark.parametrize(
        ("value", "resolution", "share", "counts", "error"),
        [
            # a meter maker's introduction to accuracy: ±(1 % + 2) at 100.0 V is 98.8 to 101.2 V
            (100.0, 0.1, 0.01, 2, 1.2),
            # a meter maker's support article: ±(1 % + 3 counts) at 120 V in the 600.0 V range
            (120.0, 0.1, 0.01, 3, 1.5),
            # a text on 3½-digit meters: ±(0.5 % + 1) at 1.755 V is 1.755 ± 0.010 V
            (1.755, 0.001, 0.005, 1, 0.010),
            # a text on choosing meters: ±(0.5 % + 3) at 2 V with 0.001 V is 1.987 to 2.013 V
            (2.0, 0.001, 0.005, 3, 0.013),
        ],
    )
    def test_share_of_the_reading_plus_counts(self, value, resolution, share, counts, error):
        assert meter_error(value, resolution, share, counts) == pytest.approx(error, abs=0.0005)


class TestCases:
    def test_six_millivolts_are_no_sixty_milliamperes(self):
        # A trade article on finding a drain by millivolts: 6 mV taken for the whole car's 60 mA.
        # Blade fuses from 7.5 A up have 11 mΩ or less: 6 mV is more than half an ampere.
        for rating in (7.5, 10.0, 15.0, 20.0, 25.0, 30.0):
            vehicle = read(bench(rating), whole(0.060))
            doubted = disbelief.doubts(
                vehicle, Reading(id="new", when=WHEN, target_id="slot-1", **mv(6.0))
            )
            assert any("slipped decimal" in doubt for doubt in doubted)

    def test_a_fuse_whose_circuit_draws_with_the_key_off_is_no_ignition_feed(self):
        # An owner's report on a 2003 vehicle: 465 to 500 mA with the radio's fuse in, 20 mA out;
        # a start feed that draws with the key off.
        vehicle = read(
            bench(15.0, feed_class="ignition"),
            whole(0.465, highest=0.500),
            whole(0.020, fuse_out="slot-1"),
        )
        drawn = by_fuse_out(vehicle, "slot-1")
        assert drawn.low_a < 0.445
        assert drawn.high_a > 0.480
        assert conclusions.of_slot(vehicle, slot(vehicle)).contradictions

    def test_a_blinking_lamp_makes_a_span_and_ten_minutes_are_not_asleep(self):
        # A car maker's service text (2021): 40 to 65 mA allowed once asleep, 40 min or more
        # undisturbed; under 10 min the tester shows about 300 mA.
        vehicle = read(
            bench(),
            whole(0.300, "awake", after_lock_min=8.0),
            whole(0.040, highest=0.065, after_lock_min=62.0),
        )
        asleep = loads.rest_current(vehicle)
        assert asleep.low_a <= 0.040
        assert asleep.high_a >= 0.065
        assert loads.rest_current(vehicle, "awake").current_a == pytest.approx(0.3)
        assert loads.sleep_curve(vehicle)[0] == (8.0, 0.3)

    def test_a_test_lamp_adds_120_ma_and_a_meter_nothing(self):
        # An alarm maker's manual: lamp 100 Ω, digital meter 10 MΩ, at 12 V
        assert disbelief.probe_current_a(100.0) == pytest.approx(0.120)
        assert disbelief.probe_current_a(10e6) == pytest.approx(1.2e-6)
