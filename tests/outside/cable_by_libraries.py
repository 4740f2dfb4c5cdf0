"""A cable in still air by other people's physics: packages ht and CoolProp, solved by scipy.

Nothing of the program's is in it. Constants: copper after IEC 60028 and IEC 60949; conductivity of
PVC as in the package ht; emissivity of plastic 0.85 to 0.95 (table in the manual of a Triplett
AM320 meter), 0.90 taken; copper fills 0.72 to 0.78 of a strand's circle (JIS C 3406 AV), 0.73
taken.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from tests.outside.references import package

EMISSIVITY = 0.90
STRAND_FILL = 0.73
STEFAN_BOLTZMANN = 5.670374e-8
GRAVITY = 9.80665
HEAT_J_PER_K_MM3 = 3.45e-3
ALPHA20 = 0.00393
MELTS_C = 1083.0


def pvc_w_per_m_k() -> float:
    """Heat conductivity of PVC by the tables of the package ht."""
    materials = package("ht.insulation").building_materials
    return float(materials["Plastics, Polyvinylchloride (PVC)"][1])


def heat_w_per_m(
    surface_c: float, diameter_m: float, air_c: float, by: str = "Churchill_Chu"
) -> float:
    """Heat to the air by a correlation of ht, with CoolProp's air, and by radiation."""
    if surface_c <= air_c:
        return 0.0
    free = package("ht.conv_free_immersed")
    props = package("CoolProp.CoolProp").PropsSI
    film_k, rise = 0.5 * (surface_c + air_c) + 273.15, surface_c - air_c
    conductivity, dynamic, density, prandtl = (
        props(name, "T", film_k, "P", 101325.0, "Air") for name in ("L", "V", "D", "PRANDTL")
    )
    grashof = GRAVITY / film_k * rise * diameter_m**3 / (dynamic / density) ** 2
    nusselt = getattr(free, f"Nu_horizontal_cylinder_{by}")(prandtl, grashof)
    hot, cold = surface_c + 273.15, air_c + 273.15
    radiated = np.pi * diameter_m * EMISSIVITY * STEFAN_BOLTZMANN * (hot**4 - cold**4)
    return float(np.pi * conductivity * nusselt * rise + radiated)


class Cable(NamedTuple):
    """mΩ/m at 20 °C, mm² of copper, mm outside, °C of the air."""

    r20: float
    area_mm2: float
    od_mm: float
    air_c: float

    def made(self, current_a: float, copper_c: float) -> float:
        """Heat [W/m] of a current."""
        return current_a**2 * self.r20 / 1000.0 * (1.0 + ALPHA20 * (copper_c - 20.0))

    def inside(self) -> float:
        """Heat resistance of the insulation [K·m/W]."""
        copper_mm = np.sqrt(4.0 * self.area_mm2 / (np.pi * STRAND_FILL))
        return float(np.log(self.od_mm / copper_mm) / (2.0 * np.pi * pvc_w_per_m_k()))

    def leaves(self, by: str = "Churchill_Chu") -> Callable[[float], float]:
        """Heat [W/m] that leaves at a copper temperature [°C], its surface in balance.

        Reckoned once on a grid: every surface has one copper temperature.
        """
        surfaces = self.air_c + np.linspace(0.0, (MELTS_C - self.air_c) ** 0.5, 120) ** 2
        lost = np.array([heat_w_per_m(s, self.od_mm / 1000.0, self.air_c, by) for s in surfaces])
        spline = package("scipy.interpolate").PchipInterpolator(
            surfaces + lost * self.inside(), lost
        )
        return lambda copper_c: float(spline(max(copper_c, self.air_c)))

    def settled_c(self, current_a: float, by: str = "Churchill_Chu") -> float:
        """Copper temperature [°C] in the end; inf where it melts first."""
        leaves = self.leaves(by)

        def surplus(copper_c: float) -> float:
            return self.made(current_a, copper_c) - leaves(copper_c)

        if surplus(MELTS_C) > 0.0:
            return float("inf")
        root = package("scipy.optimize").brentq(surplus, self.air_c - 1e-9, MELTS_C)
        return float(root)

    def slope(self, current_a: float) -> Callable[[float, np.ndarray], list[float]]:
        """dT/dt [K/s] for scipy's integration; copper alone stores heat."""
        leaves, store = self.leaves(), HEAT_J_PER_K_MM3 * 1000.0 * self.area_mm2
        return lambda _, copper: [
            (self.made(current_a, float(copper[0])) - leaves(float(copper[0]))) / store
        ]
