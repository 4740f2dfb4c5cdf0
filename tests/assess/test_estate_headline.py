"""The demo estate's headline as a sum anybody can do, for each engine, and what stood there before.

70 Ah of which 85 % are left, 12.55 V at rest (83 % charged), coldest −2 °C, 0.15 A on the mean with
what is placed. The charge between the start and what a start needs, over what is drawn, is how long
it stands. Before, a rule from memory said what a start needs: 50 % at 25 °C and 0.7 points for each
kelvin below, whatever battery and engine.
"""

import pytest

from fusemap.assess import Assessment, assess
from fusemap.vehicle import edits
from tests.window.parked.standing_hands import fitted

HELD_AH = 70.0 * 0.85
START = 0.83
ENGINES = {
    # what a start needs, then the days it stands: low, usual, high
    # the low end is that of the diesel that such a battery may be put to
    "unknown": (0.41, (0.0, 6.8, 10.2)),
    "petrol": (0.20, (6.2, 10.5, 13.5)),
    "diesel": (0.30, (0.0, 8.8, 12.7)),
}


def estate(fuel: str) -> Assessment:
    litres = None if fuel == "unknown" else 2.0
    return assess(edits.change_parking(fitted(), engine_fuel=fuel, engine_l=litres))


def mean_a(a: Assessment) -> float:
    return sum(each.charge_ah for each in a.parked.consumers) / a.parked.hours


@pytest.mark.parametrize("fuel", ENGINES)
def test_the_headline_is_the_charge_above_the_need_over_what_is_drawn(fuel: str) -> None:
    a = estate(fuel)
    need, (low, usual, high) = ENGINES[fuel]
    assert a.parked.need.soc == pytest.approx(need, abs=0.01)
    summed = (START - need) * HELD_AH / mean_a(a) / 24.0
    assert a.parked.hours / 24.0 == pytest.approx(summed, rel=0.03)
    assert a.parked.hours / 24.0 == pytest.approx(usual, abs=0.2)
    assert a.band.low_h / 24.0 == pytest.approx(low, abs=0.4)
    assert a.band.high_h / 24.0 == pytest.approx(high, abs=0.4)


@pytest.mark.parametrize("fuel", ["petrol", "diesel"])
def test_before_an_engine_that_starts_for_days_was_given_two(fuel: str) -> None:
    a = estate(fuel)
    rule = 0.50 + 0.007 * (25.0 + 2.0)
    before = (START - rule) * HELD_AH / mean_a(a) / 24.0
    assert before == pytest.approx(2.3, abs=0.2)
    assert a.parked.hours / 24.0 > 3.5 * before


def test_a_diesel_needs_more_and_is_less_sure_than_a_petrol_engine_of_its_size() -> None:
    petrol, diesel = estate("petrol"), estate("diesel")
    assert petrol.parked.hours > diesel.parked.hours
    assert diesel.parked.need.high - diesel.parked.need.low > 2.0 * (
        petrol.parked.need.high - petrol.parked.need.low
    )
    assert diesel.band.chance(7 * 24.0) < petrol.band.chance(7 * 24.0) - 0.2
