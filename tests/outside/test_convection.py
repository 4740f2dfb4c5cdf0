"""Free convection of a horizontal cable against the packages ht and CoolProp."""

import numpy as np
import pytest

from fusemap.electrics.heat_balance import air, heat_loss, nusselt
from tests.outside.cable_by_libraries import heat_w_per_m
from tests.outside.references import package

RAYLEIGH = [1e-3, 0.1, 1.0, 57.0, 1e3, 1e6, 1e9]


def properties(kelvin: float) -> tuple[float, float, float]:
    """Conductivity [W/(m·K)], kinematic viscosity [m²/s], Prandtl number [-] by CoolProp."""
    props = package("CoolProp.CoolProp").PropsSI
    conductivity, dynamic, density, prandtl = (
        props(name, "T", kelvin, "P", 101325.0, "Air") for name in ("L", "V", "D", "PRANDTL")
    )
    return conductivity, dynamic / density, prandtl


@pytest.mark.parametrize("kelvin", [223.15, 253.15, 293.15, 313.15, 353.15, 423.15, 573.15, 693.15])
def test_air_agrees_with_coolprop_to_three_percent(kelvin):
    found = [float(value) for value in air(np.asarray(kelvin))]
    assert found == pytest.approx(list(properties(kelvin)), rel=0.03)


@pytest.mark.parametrize("prandtl", [0.68, 0.71, 0.73])
@pytest.mark.parametrize("rayleigh", RAYLEIGH)
def test_nusselt_number_agrees_with_the_package_ht(rayleigh, prandtl):
    ht = package("ht.conv_free_immersed")
    found, _ = nusselt(np.asarray(rayleigh), np.asarray(prandtl))
    reference = ht.Nu_horizontal_cylinder_Churchill_Chu(prandtl, rayleigh / prandtl)
    assert float(found) == pytest.approx(reference, rel=1e-4)


@pytest.mark.parametrize("diameter_m", [0.0012, 0.0024, 0.006, 0.02])
@pytest.mark.parametrize(("surface_c", "air_c"), [(35, 30), (60, 30), (105, 25), (125, 80)])
def test_heat_of_a_cable_agrees_with_ht_and_coolprop(surface_c, air_c, diameter_m):
    found, _ = heat_loss(np.asarray(surface_c), np.asarray(diameter_m), np.asarray(air_c))
    assert float(found) == pytest.approx(heat_w_per_m(surface_c, diameter_m, air_c), rel=0.01)


def test_steepness_of_the_loss_is_good_enough_to_step_by():
    surface = np.array([35.0, 60.0, 105.0, 200.0])
    loss, steepness = heat_loss(surface, np.asarray(0.003), np.asarray(30.0))
    ahead, _ = heat_loss(surface + 1e-3, np.asarray(0.003), np.asarray(30.0))
    assert steepness == pytest.approx((ahead - loss) / 1e-3, rel=0.05)
