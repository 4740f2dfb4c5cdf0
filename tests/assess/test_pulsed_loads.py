"""A load that goes on and off: fast, it warms its cable by the mean square; slowly, by turns."""

import numpy as np
import pytest

from fusemap.advise.advice import tap_advice
from fusemap.assess import Hop, assess
from fusemap.electrics.cable_heat import conductor_temperature, temperature_in_turns
from fusemap.electrics.heat_balance import heat_loss
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


def test_a_turn_of_unknown_length_counts_as_its_peak() -> None:
    assert warmth(beacon(0.5, 0.0)) == pytest.approx(warmth(beacon(1.0, 0.0)))


def test_a_slow_turn_warms_on_top_of_the_mean_and_a_long_one_as_the_peak() -> None:
    """From what 5.66 A make of it for good, 8 A for half the period; after 300 s all of them."""
    mean, peak = warmth(beacon(0.5, 1.0)), warmth(beacon(1.0, 0.0))
    turns = [warmth(beacon(0.5, period)) for period in (10.0, 30.0, 100.0, 600.0)]
    assert [mean, *turns, peak] == sorted([mean, *turns, peak])
    assert turns[0] < peak - 5.0
    assert turns[-1] == pytest.approx(peak, rel=1e-3)


@pytest.mark.parametrize("period_s", [12.0, 60.0, 300.0])
@pytest.mark.parametrize("duty", [0.1, 0.5])
def test_a_slow_turn_is_no_warmer_in_truth(duty: float, period_s: float) -> None:
    """Ten small steps a second of the same heat balance, turn after turn until they are alike."""
    area, r20, od, air = 0.5, 37.1, 1.6, 25.0
    on_s, now = duty * period_s, air
    for _ in range(max(3, int(600 / period_s))):
        for _ in range(int(on_s * 10)):
            now += 0.1 * (_heat(8.0, r20, now) - _loss(area, od, now, air)) / (3.45 * area)
        warmest = now
        for _ in range(int((period_s - on_s) * 10)):
            now -= 0.1 * _loss(area, od, now, air) / (3.45 * area)
    told = temperature_in_turns(8.0, duty**0.5, on_s, r20, area, od, air)
    assert warmest - 0.5 <= float(told)
    assert float(told) - air <= 2.2 * (warmest - air) + 1.0


def _heat(current_a: float, r20: float, conductor_c: float) -> float:
    return current_a**2 * r20 / 1000 * (1 + 0.00393 * (conductor_c - 20.0))


def _loss(area: float, od: float, conductor_c: float, air_c: float) -> float:
    """Heat that leaves at a conductor temperature [W/m], by bisection of its surface."""
    insulation = np.log(od / np.sqrt(4 * area / (np.pi * 0.73))) / (2 * np.pi * 0.17)
    low, high = air_c, max(conductor_c, air_c)
    for _ in range(20):
        middle = (low + high) / 2
        out = float(heat_loss(np.asarray(middle), np.asarray(od / 1000), np.asarray(air_c))[0])
        low, high = (middle, high) if out * insulation < conductor_c - middle else (low, middle)
    return out


def test_voltage_and_fuse_still_see_the_peak() -> None:
    for key in ("drop", "accessory_fuse"):
        assert hop(beacon(0.5, 1.0), key).load == pytest.approx(hop(beacon(1.0, 0.0), key).load)


def test_the_basis_says_which_of_the_two_it_was() -> None:
    fast = dict(hop(beacon(0.5, 1.0), "heat_out").basis.inputs)
    assert "√duty" in fast["Root of the mean square"]
    slow = dict(hop(beacon(0.5, 60.0), "heat_out").basis.inputs)
    assert slow["Then one turn on top"] == "8\u202fA, 30\u202fs long"
    assert "Then one turn on top" not in fast
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
