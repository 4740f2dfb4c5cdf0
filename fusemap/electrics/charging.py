"""What a battery takes while the engine runs: charge acceptance, and the course of charging.

In: capacity [Ah], state of charge [-], temperature [°C], what the alternator has to spare [A]. Out:
current [A], charge [Ah] after hours [h] of driving. Any figure may be an array of shape (draws,).

The least known part of this program. The model is the simplest that falls towards full: current =
min(alternator's spare, g(T)·capacity·(target - SoC)). Rate g and its loss in the cold are from
memory, unverified. One published charge of a glass-mat battery, an hour at a fifth of its capacity
and about five and a half hours from half to full, takes 4.3 to 5.6 h by the model.

Source: proposal of ours; the figures' own sources stand at their fields.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.values import Floats, Values, plain, require_finite, require_positive
from fusemap.errors import InputProblem
from fusemap.text import say

LEAST_A = 1e-9
"""Current [A] that stands for nothing to spare in a division."""

WARM_C = 25.0
"""Temperature [°C] above which acceptance is taken to rise no more."""


@dataclass(frozen=True, eq=False)
class ChargeAcceptance:
    """What a battery takes at charging voltage: g(T) times capacity times what lacks to target.

    rate_per_h g [1/h] at 20 °C: 0.8 gives a fifth of C20 per hour at three quarters charged (from
    memory, unverified). cold_factor_20k [-]: 20 K colder it takes a third (from memory,
    unverified). target_soc [-]: below 1 where the vehicle stops charging earlier, as some do with
    start-stop. efficiency [-]: 0.95, a glass-mat maker's recharge factor of 1.05 (seen).
    """

    rate_per_h: Values = 0.8
    cold_factor_20k: Values = 3.0
    target_soc: Values = 1.0
    efficiency: Values = 0.95

    def __post_init__(self) -> None:
        for name, unit in (("rate_per_h", "1/h"), ("target_soc", "-"), ("efficiency", "-")):
            require_positive(getattr(self, name), name, unit)
        require_positive(self.cold_factor_20k, "cold_factor_20k", "-")
        for name in ("target_soc", "efficiency"):
            if (np.asarray(getattr(self, name)) > 1.0).any():
                raise InputProblem(say("at most 1 is possible"), name)

    def rate_at(self, temperature_c: Values) -> Values:
        """Rate g [1/h] at a temperature [°C]. Source: proposal of ours, see the class.

        >>> round(ChargeAcceptance().rate_at(0.0), 3)
        0.267
        """
        cold = (np.minimum(temperature_c, WARM_C) - 20.0) / 20.0
        return plain(self.rate_per_h * np.asarray(self.cold_factor_20k) ** cold)

    def limit_a(self, capacity_ah: Values, soc: Values, temperature_c: Values) -> Values:
        """Current [A] that a battery of this capacity [Ah] takes at most.

        soc [-], temperature_c [°C]. Source: proposal of ours, see the class.

        >>> round(ChargeAcceptance().limit_a(70.0, 0.75, 20.0), 1)
        14.0
        """
        lacking = np.maximum(0.0, np.asarray(self.target_soc) - soc)
        return plain(self.rate_at(temperature_c) * capacity_ah * lacking)


@dataclass(frozen=True, eq=False)
class Charging:
    """A drive's charging: constant up to `bend_ah`, from there falling towards `target_ah`."""

    spare_a: Floats
    efficiency: Floats
    bend_ah: Floats
    target_ah: Floats
    rate_per_h: Floats  # of the falling part, efficiency included

    def after(self, q: Floats, hours: float) -> Floats:
        """Charge after some hours [h] of driving from q [Ah]; spare below 0 draws on the battery.

        Source: the current of this module, integrated.
        """
        amperes = np.maximum(self.spare_a, LEAST_A) * self.efficiency
        steady = np.clip((self.bend_ah - q) / amperes, 0.0, hours)
        bent = q + amperes * steady
        lacking = np.maximum(0.0, self.target_ah - bent)
        charged = bent - lacking * np.expm1(-self.rate_per_h * (hours - steady))
        return np.where(self.spare_a > 0.0, charged, q + self.spare_a * hours)

    def hours_between(self, q: Floats, later: Floats) -> Floats:
        """Hours [h] of driving that lift the charge from q [Ah] to later [Ah]; inf where none do.

        Source: as after, solved for the hours.
        """
        possible = (self.spare_a > 0.0) & (later < self.target_ah) & (later > q)
        amperes = np.maximum(self.spare_a, LEAST_A) * self.efficiency
        bent = np.clip(self.bend_ah, q, np.maximum(q, later))
        lacking = np.where(possible, self.target_ah - bent, 1.0)
        lacks_later = np.where(possible, self.target_ah - later, 1.0)
        hours = (bent - q) / amperes + np.log(lacking / lacks_later) / self.rate_per_h
        return np.where(later <= q, 0.0, np.where(possible, hours, np.inf))


def charging_of(
    battery: TwoWell, acceptance: ChargeAcceptance, spare_a: Values, temperature_c: Values
) -> Charging:
    """The charging of a battery with `spare_a` [A] at a temperature [°C].

    Source: proposal of ours, see ChargeAcceptance. Raises InputProblem that names spare_a.
    """
    spare = require_finite(spare_a, "spare_a", "A")
    rate = np.asarray(acceptance.rate_at(temperature_c))
    target = np.asarray(battery.charge_at(acceptance.target_soc))
    return Charging(
        spare_a=spare,
        efficiency=np.asarray(acceptance.efficiency),
        bend_ah=target - np.maximum(spare, 0.0) / rate,
        target_ah=target,
        rate_per_h=rate * acceptance.efficiency,
    )
