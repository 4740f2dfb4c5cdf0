"""The way from a converter's output to what hangs on it and back: what flows in it, what is left.

In: an accessory behind a converter, what it asks at the output's voltage. Out: its current [A] and
the voltage at its terminals [V], the lead warm from that current. At its `most` a resistance that
nobody published is a like fuse's, and a lead that nobody entered costs as much as may be lost.

Source: Kirchhoff's laws; I = I_at·(V / V_at)^p.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from fusemap.assess.runs import MELTED_C, runs
from fusemap.assess.sources import fuse_mohm
from fusemap.vehicle import Accessory, Cable

Named = frozenset[tuple[str, float]]
"""The values of the named rules, so that what was reckoned with them can be kept."""

ROUNDS = 60
"""Rounds until voltage and current of a load agree, at most."""

PLAIN_ROUNDS = 12
"""After so many each goes half the way: a load near the most that can flow swings else."""

AGREE = 1e-13
"""Share of the current by which they may differ at last."""


class Asked(NamedTuple):
    """What a load asks: asked_a [A] at an output of `volts` [V]; the exponent says how that
    follows its voltage [-].
    """

    accessory: Accessory
    volts: float
    asked_a: float
    exponent: float


def lead_flow(asked: Asked, rules: Named, *, most: bool) -> tuple[float, float]:
    """Current [A] of a load behind a lead, and the voltage left for it [V].

    Where it asks more than can flow, all that can, at 0 V. At its `most` the current is no less
    than what is known and the voltage what the most resistance leaves.
    """
    known = _flow(asked, rules, False)
    if not most:
        return known
    high = _flow(asked, rules, True)
    return max(known[0], high[0]), min(known[1], high[1])


@lru_cache(maxsize=512)
def _flow(asked: Asked, rules: Named, most: bool) -> tuple[float, float]:
    accessory, volts, asked_a, _ = asked
    if asked_a <= 0.0:
        return 0.0, volts
    named = dict(rules)
    if accessory.lead_cable is None:
        ohm = named["allowed_drop_share"] * volts / asked_a if most else 0.0
        return _agreed(asked, _Way(ohm, ()))
    fixed = fuse_mohm(accessory.lead_fuse, most=most) / 1000
    if accessory.lead_back is None:
        fixed += named["body_return_mohm"] / 1000
    ways = tuple(each for each in (accessory.lead_cable, accessory.lead_back) if each is not None)
    return _agreed(asked, _Way(fixed, ways, named))


class _Way:
    """Resistance of fuse, cables and body, the cables warm from what flows."""

    def __init__(
        self, fixed_ohm: float, cables: tuple[Cable, ...], rules: dict[str, float] | None = None
    ) -> None:
        self._fixed_ohm = fixed_ohm
        self._runs = runs(list(cables), rules or {})

    def ohm(self, current_a: float) -> float:
        """What the whole way has at a current [A], in Ω."""
        if not self._runs.given.any():
            return self._fixed_ohm
        warm = self._runs.temperature_c(np.full(self._runs.area_mm2.shape, current_a))
        return self._fixed_ohm + float(self._runs.ohm(np.minimum(warm, MELTED_C)).sum())


def _agreed(asked: Asked, way: _Way) -> tuple[float, float]:
    _, volts, asked_a, exponent = asked
    current, left = asked_a, volts
    for turn in range(ROUNDS):
        ohm = way.ohm(current)
        left = volts - current * ohm
        if left <= 0.0:
            return volts / ohm, 0.0
        wanted = asked_a * (left / volts) ** exponent
        if abs(wanted - current) <= AGREE * asked_a:
            break
        current = wanted if turn < PLAIN_ROUNDS else (current + wanted) / 2
    return current, left
