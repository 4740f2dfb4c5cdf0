"""Will it start: the voltage left at a cranking battery, and the charge a start needs.

In: rest voltage by charge, what a cranking engine takes [A] by temperature [°C], what the battery's
label or one reading says of its resistance [Ω]. Out: volts at the posts of one 12 V battery while
it cranks, the least state of charge [-] that starts; infinite where not even a full one does. Every
figure may be an array of shape (draws,), and all draws go at once.

    U(s, T) = E(s, T) − lost − D·G(T)/G(T1)·f(s)/f(s1)

D is the drop at one state that is known, temperature T1 and charge s1: by the label that of the
cold test, by a reading its own; then engine, size, rating, age and cables have cancelled.
G = m(T)·r(T): how far the engine's current and the battery's resistance rise in the cold; f how far
the resistance rises towards empty. The same holds for the modules of a hybrid or electric car, with
a current that the cold does not raise. Of two batteries in series the weaker decides.

Source: ours, through published tables (load test, rest voltage, cranking currents) which
`resources/tables/starting.csv` names with their status; the last term of f, the floor and the width
of the least voltage are judgement. No measured series of cranking volts over charge and temperature
was found.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct

from fusemap.electrics.battery import CCA_C
from fusemap.electrics.values import Floats, Values, plain, require_finite, require_positive

NEVER: Final = np.inf
"""Charge needed where not even a full battery starts [-]."""
WARM_C: Final = 21.0
"""Temperature at which cranking currents are stated [°C]."""
ROOM_C: Final = 25.0
REST_SHIFT: Final = ((-17.8, -1.1, 10.0, 26.7), (-0.134, -0.062, -0.028, 0.0))
TEST_GROWTH: Final = ((10.0, 30.0, 60.0), (1.00, 1.10, 1.20))
HALVINGS: Final = 22
"""Halvings of the charge: to less than a millionth [-]."""


def rest_shift_v(temperature_c: Values) -> Values:
    """What a 12 V lead battery's rest voltage differs by from that at 26.7 °C [V], at [°C].

    Source: a published state of charge table, 0, −28, −62 and −134 mV at 26.7, 10, −1.1 and
    −17.8 °C at any charge; the last slope goes on below, and above it stays.

    >>> rest_shift_v(26.7), rest_shift_v(-17.8), round(rest_shift_v(-34.5), 3)
    (0.0, -0.134, -0.206)
    """
    celsius, volts = REST_SHIFT
    slope = (volts[1] - volts[0]) / (celsius[1] - celsius[0])
    below = np.minimum(0.0, np.asarray(temperature_c) - celsius[0])
    return plain(np.interp(temperature_c, celsius, volts) + below * slope)


def current_rise(temperature_c: Values, cold: Values = 1.0) -> Values:
    """What a starter takes at `temperature_c` [°C] over what it takes at 21 °C [-].

    `cold` [-] stretches its exponent, 0.8 to 1.2. Source: exp(0.006·x + 0.0004·x²), x = 21 − T,
    ours through a car maker's figures at 5 and −20 °C and a trade text's 2.0 to 2.5 at −18 °C.

    >>> current_rise(21.0), round(current_rise(0.0), 2), round(current_rise(-20.0), 1)
    (1.0, 1.35, 2.5)
    """
    x = np.maximum(0.0, WARM_C - np.asarray(temperature_c))
    return plain(np.exp(np.asarray(cold) * (0.006 * x + 0.0004 * x**2)))


def charge_rise(soc: Values, towards_empty: Values = 0.5) -> Values:
    """Resistance at a state of charge soc [-] over that of the full battery [-].

    `towards_empty` [-] is 0.3 to 0.9. Source: ours, around the published 1.4 of the ohmic part of a
    flat one; the last term, its collapse when nearly flat, is judgement.

    >>> charge_rise(1.0), round(charge_rise(0.5), 2), round(charge_rise(0.05), 2)
    (1.0, 1.28, 1.87)
    """
    s = np.asarray(soc)
    last = 1.0 / (np.maximum(s, 0.0) + 0.02) - 1.0 / 1.02
    return plain(1.0 + np.asarray(towards_empty) * (1.0 - s) + 0.03 * last)


def rated_ohm(
    full_v: Values, lost_v: Values, held_v: float, seconds: float, cca_a: Values
) -> Values:
    """Resistance [Ω] of a full new battery at the cold test, 10 s after its start.

    full_v [V] at rest in the test, lost_v [V] at any cranking current; held_v [V] is what the
    label's standard asks for after `seconds` [s] at its current cca_a [A]. Source: definitions of
    the cold tests; that resistance grows by 1.00, 1.10, 1.20 at 10, 30, 60 s is ours.
    Raises InputProblem that names the argument.

    >>> round(rated_ohm(12.55, 0.7, 7.5, 10.0, 680.0) * 1000, 1)  # EN
    6.4
    """
    require_positive(cca_a, "cca_a", "A")
    grown = np.interp(seconds, *TEST_GROWTH)
    return plain((np.asarray(full_v) - lost_v - held_v) / np.asarray(cca_a) / grown)


class LeadCold(Struct, frozen=True):
    """How far a lead battery's resistance rises in the cold: by this share a kelvin [1/K].

    Source: fitted to a load test table, to cranking amperes at 0 °C and to the published ohmic
    1.5 between 30 and −18 °C; ours.
    """

    share_per_k: Values = 0.010

    def rise(self, temperature_c: Values) -> Values:
        """Resistance at `temperature_c` [°C] over that at −18 °C [-]. Source: see the class.

        >>> LeadCold().rise(-18.0), round(LeadCold().rise(30.0), 2)
        (1.0, 0.62)
        """
        return plain(np.exp(-np.asarray(self.share_per_k) * (np.asarray(temperature_c) - CCA_C)))


class LithiumCold(Struct, frozen=True):
    """How far a LiFePO4's resistance rises: times at 0 °C and at −20 °C over that at 25 °C [-].

    Source: a battery maker's text, 1.5 to 2 and 3 to 5; straight in the logarithm between, ours.
    """

    at_0: Values = 1.75
    at_20_below: Values = 4.0

    def rise(self, temperature_c: Values) -> Values:
        """Resistance at `temperature_c` [°C] over that at 25 °C [-]. Source: see the class.

        >>> LithiumCold().rise(25.0), LithiumCold().rise(0.0), round(LithiumCold().rise(-20.0), 6)
        (1.0, 1.75, 4.0)
        """
        cold = np.maximum(0.0, ROOM_C - np.asarray(temperature_c))
        mild, hard = np.log(self.at_0), np.log(self.at_20_below)
        below = np.maximum(0.0, cold - ROOM_C)
        return plain(
            np.exp(mild * np.minimum(cold, ROOM_C) / ROOM_C + (hard - mild) * below / 20.0)
        )


class Starting(Struct, frozen=True, eq=False):
    """A 12 V battery and what starts from it: volts under load and the charge that takes.

    emf_soc [-] and emf_v [V]: its rest voltage at room temperature, both rising; lead says whether
    the cold shifts it. drop_v [V] is lost in its resistance at temperature at_c [°C] and charge
    at_soc [-], lost_v [V] at any current. `cold` says how its resistance rises in the cold,
    engine_cold [-] how the current does (0: not at all), towards_empty [-] how the resistance
    rises. It starts at least_v [V] or more, and above floor_soc [-].
    Source: this module's text. Raises InputProblem that names the field.
    """

    emf_soc: Floats
    emf_v: Floats
    drop_v: Values
    at_c: Values
    at_soc: Values
    least_v: Values
    floor_soc: Values
    cold: LeadCold | LithiumCold
    lost_v: Values = 0.7
    engine_cold: Values = 1.0
    towards_empty: Values = 0.5

    def __post_init__(self) -> None:
        for name, unit in (("drop_v", "V"), ("at_c", "°C"), ("at_soc", "-"), ("least_v", "V")):
            require_finite(getattr(self, name), name, unit)

    @property
    def lead(self) -> bool:
        """Whether it is a lead battery, whose rest voltage the cold shifts."""
        return isinstance(self.cold, LeadCold)

    def rest_v(self, soc: Values, temperature_c: Values) -> Values:
        """Rest voltage [V] at a state of charge soc [-] and temperature_c [°C].

        Source: the battery's curve, shifted as `rest_shift_v`.
        """
        shift = rest_shift_v(temperature_c) if self.lead else 0.0
        return plain(np.interp(soc, self.emf_soc, self.emf_v) + shift)

    def grows(self, temperature_c: Values) -> Values:
        """How the drop grows with temperature_c [°C], G = m·r [-]. Source: this module's text."""
        return plain(
            np.asarray(current_rise(temperature_c, self.engine_cold))
            * self.cold.rise(temperature_c)
        )

    def cranking_v(self, soc: Values, temperature_c: Values) -> Values:
        """Volts [V] at the posts while it cranks, at soc [-] and temperature_c [°C].

        Source: this module's text.

        >>> battery = Starting(  # 12.60 V at rest and 10.5 V while cranking at 20 °C
        ...     np.array([0.0, 0.5, 1.0]), np.array([11.8, 12.22, 12.64]), 12.60 - 10.5 - 0.7,
        ...     20.0, 0.95, 7.6, 0.2, LeadCold())
        >>> round(battery.cranking_v(0.95, 20.0), 1), round(battery.cranking_v(0.5, -10.0), 1)
        (10.5, 7.3)
        """
        there = np.asarray(self.grows(temperature_c)) / self.grows(self.at_c)
        charged = np.asarray(charge_rise(soc, self.towards_empty)) / charge_rise(
            self.at_soc, self.towards_empty
        )
        return plain(
            np.asarray(self.rest_v(soc, temperature_c))
            - self.lost_v
            - np.asarray(self.drop_v) * there * charged
        )

    def need(self, temperature_c: Values) -> Values:
        """Least state of charge [-] that starts at temperature_c [°C]; infinite: none does.

        By halving, since the voltage rises with the charge. Source: this module's text.
        """
        scale = np.asarray(self.drop_v) * self.grows(temperature_c) / self.grows(self.at_c)
        scale = scale / charge_rise(self.at_soc, self.towards_empty)
        shift = rest_shift_v(temperature_c) if self.lead else 0.0
        least = np.asarray(self.least_v) + self.lost_v - shift
        least, scale = np.broadcast_arrays(least, scale)

        def holds(soc: Floats) -> Floats:
            rest = np.interp(soc, self.emf_soc, self.emf_v)
            return np.asarray(rest - scale * charge_rise(soc, self.towards_empty) >= least)

        low, high = np.zeros(least.shape), np.ones(least.shape)
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            enough = holds(middle)
            low, high = np.where(enough, low, middle), np.where(enough, middle, high)
        found = np.maximum(high, self.floor_soc)
        return plain(np.where(holds(np.ones(least.shape)), found, NEVER))
