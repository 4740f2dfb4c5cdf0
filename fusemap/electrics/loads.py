"""What a load draws at another voltage than its rated one, and what flows where once it is tapped.

In: amperes [A] at a rated voltage [V], the kind of load; the kind of tap, which way round it sits.
Out: current [A]; whether the accessory's current passes the host fuse, the two contacts of the slot
and everything upstream. A short answer to a common question: with its common blade on the live side
a two-fuse tap keeps the accessory off the host fuse; on the load side the host fuse carries both.

Source: the load laws named at LOAD_EXPONENTS; Kirchhoff's current law at the slot.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Values,
    plain,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import in_row, say

LOAD_EXPONENTS = {
    "constant_power": -1.0,
    "constant_current": 0.0,
    "resistive": 1.0,
    "filament": 0.55,
    "motor": 0.0,
}
"""p in I = I0·(V/V0)^p [-]. The first three by definition. Filament: lamp rerating, Standard
Handbook for Electrical Engineers, 11th ed., p. 22-8, as quoted in an encyclopaedia. Motor: what it
turns asks for a torque, and a direct-current machine gives torque in proportion to its current
(T = k·Φ·I): at a lower voltage it turns slower at the same current. Its inrush is given apart."""


def load_current(
    rated_a: ArrayLike, volts: ArrayLike, rated_v: ArrayLike, kind: str | ArrayLike
) -> Values:
    """Current [A] of a load at a voltage [V], from its current [A] at its rated voltage [V].

    kind: a word of LOAD_EXPONENTS, or the exponent p [-] itself (number or array). Good within
    some 20 % of the rated voltage. Raises InputProblem for an unknown word or zero volts.
    Source: I = I0·(V/V0)^p, see LOAD_EXPONENTS.

    >>> round(load_current(5.0, 10.8, 12.0, "constant_power"), 2)
    5.56
    """
    if isinstance(kind, str) and kind not in LOAD_EXPONENTS:
        raise InputProblem(
            say("no load of kind '{kind}'", kind=kind), "kind", in_row(LOAD_EXPONENTS)
        )
    power = LOAD_EXPONENTS[kind] if isinstance(kind, str) else np.asarray(kind, dtype=np.float64)
    ratio = require_positive(volts, "volts", "V") / require_positive(rated_v, "rated_v", "V")
    return plain(require_not_negative(rated_a, "rated_a", "A") * ratio**power)


TAP_KINDS = ("two_fuse", "take_off_lead", "splice", "own_feed", "terminal", "plug")
"""Two-fuse tap; fuse with take-off lead; splice into the wire downstream of the slot; own feed from
the battery or a distribution point (nothing through the slot); a cable at the slot's own terminal,
behind its fuse; a plug in a socket that the slot feeds."""

WAYS_ROUND = ("live_side", "load_side")
"""Side of the slot on which the tap's common blade, or the take-off lead, sits."""

Words = str | Sequence[str]


class TapMasks(NamedTuple):
    """Where the accessory current passes: 1.0 yes, 0.0 no; a number per tap, or arrays of them."""

    host_fuse: Values
    live_contact: Values
    load_contact: Values
    upstream: Values


_MASKS = {
    # host fuse, live contact, load contact, upstream
    ("two_fuse", "live_side"): (0.0, 1.0, 0.0, 1.0),
    ("two_fuse", "load_side"): (1.0, 1.0, 0.0, 1.0),
    # the lead leaves the fuse itself, so the load contact never sees the accessory
    ("take_off_lead", "live_side"): (0.0, 1.0, 0.0, 1.0),
    ("take_off_lead", "load_side"): (1.0, 1.0, 0.0, 1.0),
    # spliced into the wire: fuse, both contacts and the wire up to the splice carry the sum
    ("splice", "live_side"): (1.0, 1.0, 1.0, 1.0),
    ("splice", "load_side"): (1.0, 1.0, 1.0, 1.0),
    # the slot's own wire is the accessory's: fuse and both contacts carry it
    ("terminal", "live_side"): (1.0, 1.0, 1.0, 1.0),
    ("terminal", "load_side"): (1.0, 1.0, 1.0, 1.0),
    ("plug", "live_side"): (1.0, 1.0, 1.0, 1.0),
    ("plug", "load_side"): (1.0, 1.0, 1.0, 1.0),
    ("own_feed", "live_side"): (0.0, 0.0, 0.0, 0.0),
    ("own_feed", "load_side"): (0.0, 0.0, 0.0, 0.0),
}


def tap_masks(kind: Words, way_round: Words) -> TapMasks:
    """Where the accessory current passes [-], as 1.0 or 0.0 to multiply it with.

    kind, way_round: one word each of TAP_KINDS and WAYS_ROUND, or sequences of n words, which give
    arrays of shape (n,). A splice is always downstream and an own feed always apart from the slot,
    so for these two the way round changes nothing.
    Raises InputProblem for a word that is not in the lists.
    Source: Kirchhoff's current law.

    >>> tap_masks("two_fuse", "load_side").host_fuse
    1.0
    >>> tap_masks(["two_fuse", "splice"], "live_side").host_fuse
    array([0., 1.])
    """
    if isinstance(kind, str) and isinstance(way_round, str):
        return TapMasks(*_mask(kind, way_round))
    count = len(way_round) if isinstance(kind, str) else len(kind)
    kinds = [kind] * count if isinstance(kind, str) else list(kind)
    ways = [way_round] * count if isinstance(way_round, str) else list(way_round)
    rows = np.array([_mask(k, w) for k, w in zip(kinds, ways, strict=True)])
    return TapMasks(*(rows.reshape(count, 4).T))


def _mask(kind: str, way_round: str) -> tuple[float, float, float, float]:
    if kind not in TAP_KINDS:
        raise InputProblem(
            say("no tap of kind '{kind}'", kind=kind),
            "kind",
            say("one of {known}", known=in_row(TAP_KINDS)),
        )
    if way_round not in WAYS_ROUND:
        raise InputProblem(
            say("no way round '{way_round}'", way_round=way_round),
            "way_round",
            say("one of {known}", known=in_row(WAYS_ROUND)),
        )
    return _MASKS[kind, way_round]
