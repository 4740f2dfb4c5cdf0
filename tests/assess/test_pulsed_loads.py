"""A load that goes on and off: fast, it warms its cable by the mean square; slowly, by the peak."""

import numpy as np
import pytest

from fusemap.advice import tap_advice
from fusemap.assess import Hop, assess
from fusemap.electrics.cable_heat import conductor_temperature
from fusemap.vehicle import Cable, Fuse, Vehicle, edits
from tests.vehicles import one_slot, with_accessory


def beacon(
    duty: float, period_s: float, amperes: float = 8.0, *, rating: float = 15.0, mm2: float = 0.5
) -> Vehicle:
    v = with_accessory(
        one_slot(),
        amperes,
        fuse=Fuse(family="mini", rating=rating),
        cable_out=Cable(section_mm2=mm2, length_m=2.0),
        earth_point="bolt",
    )
    return edits.change_accessory(v, "accessory-1", duty=duty, duty_period_s=period_s)


def hop(vehicle: Vehicle, key: str) -> Hop:
    return next(h for h in assess(vehicle).chains["tap-1"].hops if h.key == key)


def warmth(vehicle: Vehicle) -> float:
    return hop(vehicle, "heat_out").load


def test_a_fast_beacon_warms_its_cable_as_the_root_of_the_mean_square_does() -> None:
    """8 A on for half of a second: √(0.5 × 8²) = 5.66 A for good."""
    lasting = beacon(1.0, 0.0, 8.0 * 0.5**0.5)
    assert warmth(beacon(0.5, 1.0)) == pytest.approx(warmth(lasting))


@pytest.mark.parametrize("period_s", [0.0, 10.0, 600.0])
def test_a_slow_turn_or_one_of_unknown_length_counts_as_its_peak(period_s: float) -> None:
    assert warmth(beacon(0.5, period_s)) == pytest.approx(warmth(beacon(1.0, 0.0)))


def test_voltage_and_fuse_still_see_the_peak() -> None:
    for key in ("drop", "accessory_fuse"):
        assert hop(beacon(0.5, 1.0), key).load == pytest.approx(hop(beacon(1.0, 0.0), key).load)


def test_the_basis_says_which_of_the_two_it_was() -> None:
    fast = dict(hop(beacon(0.5, 1.0), "heat_out").basis.inputs)
    assert "√duty" in fast["Root of the mean square"]
    slow = dict(hop(beacon(0.5, 60.0), "heat_out").basis.inputs)
    assert "10 s or longer" in slow["Peak"]
    unknown = dict(hop(beacon(0.5, 0.0), "heat_out").basis.inputs)
    assert "unknown" in unknown["Peak"]
    steady = dict(hop(beacon(1.0, 0.0), "heat_out").basis.inputs)
    assert "Peak" not in steady


def test_the_overload_starts_from_the_same_warmth() -> None:
    """A thick cable is not warm for good after ten minutes: where it starts still counts."""
    fast, slow = (beacon(0.5, period, 30.0, rating=30.0, mm2=10.0) for period in (1.0, 60.0))
    assert hop(fast, "overload").load < hop(slow, "overload").load


def test_the_recommended_section_reckons_with_the_same_warmth() -> None:
    checks = {period: tap_advice(assess(beacon(0.5, period)), "tap-1") for period in (1.0, 60.0)}
    fast, slow = (np.asarray(found.cable.checks["heat"].found) for found in checks.values())
    assert np.all(fast < slow)
    assert fast[1] == pytest.approx(warmth(beacon(0.5, 1.0)), abs=15)


def test_the_thinnest_cable_takes_longer_to_warm_up_than_a_fast_turn_lasts() -> None:
    """What the limit of 10 s rests on: 0.22 mm² at its lasting current, copper alone."""
    from fusemap.electrics.cable_heat import temperature_after

    cable = (84.8, 0.22, 1.2, 25.0)
    end = float(conductor_temperature(6.0, *cable))
    after = float(temperature_after(5.0, 6.0, *cable))
    assert (after - 25.0) / (end - 25.0) < 0.5
