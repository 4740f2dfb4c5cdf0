"""The cable's damage curve against the heat balance integrated step by step (scipy), and against
published figures of the adiabatic formula."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.cable_heat import COPPER_HEAT, checked_cable
from fusemap.electrics.damage import damage_time, heating_time
from fusemap.electrics.free_air import heat_loss
from fusemap.electrics.protection import adiabatic_k


def integrated(limit_c, current, r20, area, od, ambient, start):
    """Seconds until the copper is at the limit: C·dT/dt = I²R(T) − heat through the insulation,
    the surface found at every step from (T − Ts)/Rins = heat given off at Ts (scipy)."""
    heat, diameter, insulation, air = (
        float(each) for each in checked_cable(current, r20, area, od, ambient)
    )

    def leaves(copper):
        def surplus(surface):
            off = float(np.asarray(heat_loss(np.array(surface), diameter, air)[0]))
            return (copper - surface) / insulation - off

        return (copper - brentq(surplus, air - 1e-9, copper + 1e-9)) / insulation

    def warms(_, state):
        copper = state[0]
        gain = heat * (1.0 + ALPHA20 * (copper - 20.0))
        lost = 0.0 if copper <= air + 1e-6 else leaves(copper)
        return [(gain - lost) / (COPPER_HEAT * area)]

    def there(_, state):
        return state[0] - limit_c

    there.terminal = True
    run = solve_ivp(warms, (0.0, 1e5), [start], events=there, rtol=1e-8, atol=1e-6)
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
    """Measured: within 2.2 % of the time, most where the insulation's share of it is largest."""
    found = heating_time(limit_c, current, r20, area, od, 25.0, start)
    exact = integrated(limit_c, current, r20, area, od, 25.0, start)
    assert found == pytest.approx(exact, rel=0.03)


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
