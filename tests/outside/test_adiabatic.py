"""Shorts and slow heating against IEC constants and against scipy's integration of the copper."""

import numpy as np
import pytest

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.cable_heat import COPPER_HEAT, conductor_temperature, temperature_after
from fusemap.electrics.protection import BETA, K_FACTOR, adiabatic_k, short_check
from fusemap.tables.reading import required, rows
from tests.outside.cable_by_libraries import Cable
from tests.outside.references import package

integrate = package("scipy.integrate")

# IEC 60949: heat capacity of copper 3.45e-3 J/(K·mm³), resistivity 17.241e-6 Ω·mm, β 234.5 K
HEAT_J_PER_K_MM3 = 3.45e-3
RESISTIVITY_OHM_MM = 17.241e-6
BETA_K = 234.5


@pytest.mark.parametrize(
    ("start_c", "end_c", "printed_k"),
    [
        # IEC 60364-5-54 / BS 7671, copper up to 300 mm², 5 s and less
        (70.0, 160.0, 115),  # PVC 70 °C
        (90.0, 160.0, 100),  # PVC 90 °C
        (90.0, 250.0, 143),  # XLPE, EPR 90 °C
        (60.0, 200.0, 141),  # rubber 60 °C
        (85.0, 220.0, 134),  # rubber 85 °C
        (180.0, 350.0, 132),  # silicone
    ],
)
def test_k_of_the_standard(start_c, end_c, printed_k):
    assert adiabatic_k(start_c, end_c) == pytest.approx(printed_k, abs=0.5)


def heated(i2t_a2s: float, area_mm2: float, start_c: float) -> float:
    """Copper [°C] after a short, by scipy: dT/d(I²t) = ρ(T)/(heat·S²)."""

    def slope(_: float, kelvin: np.ndarray) -> np.ndarray:
        rho = RESISTIVITY_OHM_MM * (BETA_K + kelvin) / (BETA_K + 20.0)
        return rho / (HEAT_J_PER_K_MM3 * area_mm2**2)

    found = integrate.solve_ivp(slope, (0.0, i2t_a2s), [start_c], rtol=1e-9, atol=1e-9)
    return float(found.y[0, -1])


@pytest.mark.parametrize("area_mm2", [0.5, 1.5, 6.0])
@pytest.mark.parametrize(("start_c", "end_c"), [(25.0, 160.0), (105.0, 160.0), (125.0, 250.0)])
def test_a_short_heats_the_copper_as_scipy_integrates_it(area_mm2, start_c, end_c):
    i2t = (adiabatic_k(start_c, end_c) * area_mm2) ** 2
    # k is published rounded to 226 where the constants give 225.7: a quarter of a per cent
    rise = heated(i2t, area_mm2, start_c) - start_c
    assert rise == pytest.approx(end_c - start_c, rel=0.005)
    # and what the cable is checked for says so on either side of it
    k = adiabatic_k(start_c, end_c)
    told = [short_check(share * i2t, area_mm2, k).passed for share in (0.999, 1.001)]
    assert told == [True, False]


# r20 [mΩ/m], copper [mm²], outside diameter [mm], ambient [°C], current [A]
SLOW = [
    (12.7, 1.5, 2.4, 25.0, 20.25),  # 15 A fuse at 135 %
    (12.7, 1.5, 2.4, 60.0, 20.25),
    (24.7, 0.75, 1.9, 40.0, 13.5),  # 10 A
    (4.71, 4.0, 3.7, 40.0, 40.5),  # 30 A
    (1.16, 16.0, 7.2, 30.0, 81.0),  # 60 A
    (12.7, 1.5, 2.4, 25.0, 40.0),  # 20 A fuse at twice its rating, 177 °C in the end
    (12.7, 1.5, 2.4, 25.0, 60.0),  # 30 A fuse at twice its rating, 387 °C in the end
    (1.16, 16.0, 7.2, 30.0, 250.0),
]
SECONDS = np.array([1.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 120.0, 300.0, 600.0, 1800.0])


def core_by_scipy(r20, area_mm2, od_mm, ambient_c, current_a, seconds, start_c=None):
    """Conductor [°C], copper alone storing heat, its surface at every moment in balance."""
    start = [ambient_c if start_c is None else start_c]
    found = integrate.solve_ivp(
        Cable(r20, area_mm2, od_mm, ambient_c).slope(current_a),
        (0.0, float(seconds[-1])),
        start,
        t_eval=seconds,
        rtol=1e-7,
        atol=1e-6,
        method="LSODA",
    )
    return found.y[0]


@pytest.mark.parametrize("cable", SLOW)
def test_slow_heating_follows_scipys_integration(cable):
    r20, area, od, ambient, current = cable
    exact = core_by_scipy(*cable, SECONDS)
    told = temperature_after(SECONDS, current, r20, area, od, ambient)
    rise = conductor_temperature(current, r20, area, od, ambient) - ambient
    assert np.abs(told - exact).max() < 0.01 * rise


@pytest.mark.parametrize("start_c", [40.0, 70.0, 95.0])
def test_slow_heating_from_a_warm_start_follows_scipy_too(start_c):
    r20, area, od, ambient, current = 12.7, 1.5, 2.4, 25.0, 30.0
    exact = core_by_scipy(r20, area, od, ambient, current, SECONDS, start_c)
    told = temperature_after(SECONDS, current, r20, area, od, ambient, start_c)
    assert np.abs(told - exact).max() < 0.01 * (exact[-1] - ambient)


def test_the_constants_are_those_of_the_standard():
    assert pytest.approx(HEAT_J_PER_K_MM3 * 1000.0) == COPPER_HEAT
    listed = {row["key"]: required(row, "value") for row in rows("copper")}
    assert listed["resistivity_20c"] == pytest.approx(RESISTIVITY_OHM_MM * 1000.0)
    assert (listed["beta"], listed["k_factor"]) == (BETA, K_FACTOR) == (BETA_K, 226.0)
    assert listed["temperature_coefficient_20c"] == ALPHA20
