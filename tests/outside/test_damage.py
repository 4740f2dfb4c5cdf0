"""The cable's damage curve against the heat balance integrated step by step, with the physics of
other people's packages, and against published figures of the adiabatic formula."""

import pytest

from fusemap.electrics.protection import adiabatic_k, damage_time, heating_time
from tests.outside.cable_by_libraries import Cable
from tests.outside.references import package


def integrated(limit_c, current, r20, area, od, ambient, start):
    """Seconds until the copper is at the limit."""

    def there(_, state):
        return state[0] - limit_c

    there.terminal = True
    run = package("scipy.integrate").solve_ivp(
        Cable(r20, area, od, ambient).slope(current),
        (0.0, 1e5),
        [start],
        events=there,
        rtol=1e-8,
        atol=1e-6,
    )
    return float(run.t_events[0][0])


@pytest.mark.parametrize(
    ("limit_c", "current", "r20", "area", "od", "start"),
    [
        (130.0, 45.0, 12.7, 1.5, 2.4, 25.0),
        (130.0, 35.0, 12.7, 1.5, 2.4, 40.0),
        (130.0, 20.0, 37.1, 0.5, 1.6, 25.0),
        (150.0, 90.0, 4.71, 4.0, 3.4, 60.0),
        (105.0, 120.0, 3.14, 6.0, 4.0, 25.0),
    ],
)
def test_the_heating_time_is_that_of_the_integrated_heat_balance(
    limit_c, current, r20, area, od, start
):
    """Other air data move the heat by 1 %, the parabola of the surplus the time by 2 %."""
    found = heating_time(limit_c, current, r20, area, od, 25.0, start)
    exact = integrated(limit_c, current, r20, area, od, 25.0, start)
    assert found == pytest.approx(exact, rel=0.04)


@pytest.mark.parametrize(
    ("start_c", "end_c", "k", "current", "seconds"),
    [
        # IEC 60364-4-43, table 43A: PVC 70 to 160 °C k = 115, XLPE 90 to 250 °C k = 143
        (70.0, 160.0, 115.0, 172.5, 1.0),
        (90.0, 250.0, 143.0, 214.5, 1.0),
    ],
)
def test_a_second_at_k_times_the_section_is_what_a_cable_bears(start_c, end_c, k, current, seconds):
    """1.5 mm² × k for one second: the very meaning of k."""
    ours = float(adiabatic_k(start_c, end_c))
    assert ours == pytest.approx(k, rel=0.005)
    bears = damage_time(current, ours, end_c - 20.0, 12.7, 1.5, 2.4, 30.0, start_c)
    assert bears == pytest.approx(seconds, rel=0.01)
