"""What flows where at a slot once an accessory is tapped there.

In: the kind of tap, which way round it sits, the slot's own load and the accessory's [A]. Out: the
current [A] through the host fuse, the accessory fuse, the two contacts of the slot and everything
upstream. A short answer to a common question: with its common blade on the live side a two-fuse tap
keeps the accessory off the host fuse; on the load side the host fuse carries both.

Source: Kirchhoff's current law at the slot; figures in the examples derived by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from fusemap.electrics.values import Values, plain, require_not_negative, require_positive
from fusemap.errors import InputProblem
from fusemap.text import in_row, say

TAP_KINDS = ("two_fuse", "take_off_lead", "splice", "own_feed")
"""Two-fuse tap; fuse with take-off lead; splice into the wire downstream of the slot; own feed from
the battery or a distribution point (nothing through the slot)."""

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


@dataclass(frozen=True, eq=False)
class TapCurrents:
    """Currents [A] at a slot with one tap; numbers or arrays."""

    host_fuse_a: Values
    accessory_fuse_a: Values
    live_contact_a: Values
    load_contact_a: Values
    upstream_a: Values


def tap_currents(
    kind: Words, way_round: Words, own_a: ArrayLike, accessory_a: ArrayLike
) -> TapCurrents:
    """Currents [A] at a slot with one tap on it.

    own_a: what the slot's own circuit draws [A]; accessory_a: what the accessory draws [A]; both
    numbers or arrays that broadcast with the words of `tap_masks`.
    Raises InputProblem for a negative current.
    Source: Kirchhoff's current law.

    A 4 A circuit and a 5 A accessory on a reversed two-fuse tap: 9 A through the host fuse.

    >>> currents = tap_currents("two_fuse", "load_side", 4.0, 5.0)
    >>> currents.host_fuse_a, currents.load_contact_a, currents.upstream_a
    (9.0, 4.0, 9.0)
    """
    own = require_not_negative(own_a, "own_a", "A")
    accessory = require_not_negative(accessory_a, "accessory_a", "A")
    masks = tap_masks(kind, way_round)
    return TapCurrents(
        host_fuse_a=plain(own + masks.host_fuse * accessory),
        accessory_fuse_a=plain(accessory),
        live_contact_a=plain(own + masks.live_contact * accessory),
        load_contact_a=plain(own + masks.load_contact * accessory),
        upstream_a=plain(own + masks.upstream * accessory),
    )


@dataclass(frozen=True, eq=False)
class SlotCurrents:
    """Currents [A] at a slot with all its taps; numbers or arrays."""

    host_fuse_a: Values
    live_contact_a: Values
    load_contact_a: Values
    upstream_a: Values


def slot_currents(
    kinds: Sequence[str], ways_round: Words, own_a: ArrayLike, accessory_a: ArrayLike
) -> SlotCurrents:
    """Currents [A] at a slot that carries several taps (or none).

    kinds: n words of TAP_KINDS; ways_round: n words of WAYS_ROUND, or one for all; own_a: [A],
    shape (...); accessory_a: [A], shape (..., n), the taps on the last axis.
    Raises InputProblem for a negative current or an unknown word.
    Source: Kirchhoff's current law.

    A 3 A circuit, one tap the right way round (2 A) and one splice (1 A):

    >>> currents = slot_currents(["two_fuse", "splice"], "live_side", 3.0, [2.0, 1.0])
    >>> currents.host_fuse_a, currents.live_contact_a, currents.load_contact_a
    (4.0, 6.0, 4.0)
    """
    own = require_not_negative(own_a, "own_a", "A")
    accessory = require_not_negative(accessory_a, "accessory_a", "A")
    masks = tap_masks(list(kinds), ways_round)
    return SlotCurrents(*(plain(own + (mask * accessory).sum(axis=-1)) for mask in masks))


def unguarded_current(
    kind: Words, way_round: Words, host_rating_a: ArrayLike, accessory_rating_a: ArrayLike
) -> Values:
    """Largest lasting current [A] at the live contact that no fuse at the slot limits.

    The sum of both ratings where the accessory passes the host fuse by, the host rating alone where
    it goes through it (or does not touch the slot). Ratings [A], numbers or arrays. Not above: a
    fuse carries its rating for good, and more for a while (see fuses.TimePoints).
    Raises InputProblem for a rating of zero or less.
    Source: Kirchhoff's current law with each fuse at its rating.

    >>> unguarded_current("two_fuse", "live_side", 10.0, 7.5)
    17.5
    >>> unguarded_current("two_fuse", "load_side", 10.0, 7.5)
    10.0
    """
    host = require_positive(host_rating_a, "host_rating_a", "A")
    accessory = require_positive(accessory_rating_a, "accessory_rating_a", "A")
    masks = tap_masks(kind, way_round)
    beside_host = np.asarray(masks.live_contact) * (1.0 - np.asarray(masks.host_fuse))
    return plain(host + beside_host * accessory)


def way_round_from_pull_test(accessory_stays_on: bool) -> str:
    """Which way round a two-fuse tap sits [-], told by pulling the host fuse with both circuits on.

    Misleads where the accessory has a source of its own (battery, charger, large capacitor).
    Source: Kirchhoff's current law.

    >>> way_round_from_pull_test(accessory_stays_on=False)
    'load_side'
    """
    return "live_side" if accessory_stays_on else "load_side"
