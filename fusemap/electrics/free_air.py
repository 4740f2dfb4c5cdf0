"""Heat that a horizontal cylinder gives to still, free air.

In: surface and air temperature [°C], diameter [m]. Out: heat per metre [W/m] and its steepness
[W/(m·K)]. Air at 1013 hPa.

Source: S. W. Churchill, H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, free convection
of a horizontal cylinder; air after US Standard Atmosphere 1976, equations 51 and 53; Stefan-
Boltzmann law.
"""

from __future__ import annotations

import numpy as np

from fusemap.electrics.values import Floats

STEFAN_BOLTZMANN = 5.670374e-8
"""[W/(m²·K⁴)] (CODATA)."""

EMISSIVITY = 0.9
"""Emissivity of plastic insulation [-]: 0.85 to 0.95 by the table of a Triplett AM320 manual."""

GRAVITY = 9.80665
"""[m/s²] (standard gravity)."""

PRANDTL = 0.707
"""Prandtl number of air [-], its value at 300 K; within 2 % from 220 to 850 K."""

AIR_DENSITY_KELVIN = 101325.0 / 287.05
"""Density times temperature of dry air at 1013 hPa [kg·K/m³]."""


def air(film_k: Floats) -> tuple[Floats, Floats, Floats]:
    """Heat conductivity [W/(m·K)], kinematic viscosity [m²/s], Prandtl number [-] of air.

    film_k: temperature [K]. Good to 3 % from 220 to 700 K.
    Source: US Standard Atmosphere 1976, equations 51 (viscosity) and 53 (conductivity).

    >>> conductivity, viscosity, prandtl = air(np.asarray(300.0))
    >>> print(f"{conductivity:.4f} {viscosity:.3e} {prandtl:.3f}")
    0.0263 1.569e-05 0.707
    """
    power = film_k * np.sqrt(film_k)
    conductivity = 2.64638e-3 * power / (film_k + 245.4 * np.exp(-27.631021 / film_k))
    dynamic = 1.458e-6 * power / (film_k + 110.4)
    return conductivity, dynamic * film_k / AIR_DENSITY_KELVIN, np.full_like(film_k, PRANDTL)


def nusselt(rayleigh: Floats, prandtl: Floats) -> tuple[Floats, Floats]:
    """Nusselt number [-] of a horizontal cylinder in free convection, and d ln Nu / d ln Ra [-].

    rayleigh: on the diameter [-], 1e-5 to 1e12; prandtl [-].
    Source: Churchill and Chu 1975, √Nu = 0.60 + 0.387·Ra^(1/6)/(1 + (0.559/Pr)^(9/16))^(8/27).

    >>> round(float(nusselt(np.asarray(1e6), np.asarray(0.7))[0]), 2)
    14.51
    """
    part = 0.387 * rayleigh ** (1.0 / 6.0) / (1.0 + (0.559 / prandtl) ** 0.5625) ** (8.0 / 27.0)
    root = 0.60 + part
    return root * root, part / (3.0 * root)


def heat_loss(surface_c: Floats, diameter_m: Floats, air_c: Floats) -> tuple[Floats, Floats]:
    """Heat per metre [W/m] that a cable gives to the air, and its steepness [W/(m·K)].

    surface_c, air_c [°C], surface not below the air; diameter_m [m]; arrays that broadcast. The
    steepness leaves out that air itself changes: good to a few per cent, enough to step by.
    Source: Churchill and Chu 1975 for convection, Stefan-Boltzmann for radiation (surroundings at
    air temperature).

    >>> loss, _ = heat_loss(np.asarray(60.0), np.asarray(0.003), np.asarray(30.0))
    >>> round(float(loss), 2)  # a 3 mm cable, 30 K above the air
    5.82
    """
    rise = np.maximum(surface_c - air_c, 1e-12)
    surface_k, air_k = air_c + rise + 273.15, air_c + 273.15
    film_k = 0.5 * (surface_k + air_k)
    conductivity, viscosity, prandtl = air(film_k)
    rayleigh = GRAVITY / film_k * rise * diameter_m**3 * prandtl / viscosity**2
    number, power = nusselt(rayleigh, prandtl)
    convection = np.pi * conductivity * number
    radiation = np.pi * diameter_m * EMISSIVITY * STEFAN_BOLTZMANN
    loss = convection * rise + radiation * (surface_k**4 - air_k**4)
    return loss, convection * (1.0 + power) + 4.0 * radiation * surface_k**3
