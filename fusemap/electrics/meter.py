"""What a meter's reading says: how far off it may be, and current from millivolts across a fuse.

In: the reading, the last digit of the range and what the meter's leaflet states, a share of the
reading and a number of last digits ("counts"); for millivolts [mV] the fuse's cold resistance [mΩ],
its rating [A], the ratio of its resistance at rated current to the cold one. Out: limits of the
true value, in the same unit; current [A] with its band, the smallest current the meter can tell,
and whether to believe it.

Source: the way makers of digital meters state accuracy, ± (share of reading + counts); Ohm's law
with the cold resistance of the fuse's data sheet. The correction for the hot element is ours:
element heat I²R in proportion to the temperature rise and resistance in proportion to temperature
give R/Rc = 1/(1 - k·x²), x = current over rating, fitted through the cold and the rated point of
the data sheet; steady state only (a minute or so after switching on). Nobody knows whether an
element had warmed up when it was read: the upper end of a band takes it as cold.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.values import (
    Floats,
    Truths,
    Values,
    plain,
    plain_truth,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say


def meter_error(
    value: ArrayLike, resolution: ArrayLike, share: ArrayLike = 0.0, counts: ArrayLike = 3.0
) -> Values:
    """How far a reading may be off, in the reading's unit.

    value [V, A, mV …] and resolution [the same unit], the last digit of the range; share [-] of the
    reading and counts [-] of the last digit, both off at worst. Numbers or arrays that broadcast.
    Raises InputProblem for a negative share, count or resolution.
    Source: ± (share of reading + counts), as makers of digital meters state accuracy.

    >>> round(meter_error(100.0, 0.1, share=0.01, counts=2), 3)
    1.2
    """
    size = np.abs(require_finite(value, "value", "-"))
    digit = require_not_negative(resolution, "resolution", "-")
    return plain(
        size * require_not_negative(share, "share", "-")
        + digit * require_not_negative(counts, "counts", "-")
    )


def share_as_counts(
    value: ArrayLike, resolution: ArrayLike, share: ArrayLike = 0.0, counts: ArrayLike = 3.0
) -> Values:
    """Counts [-] that alone allow the same error at this reading, for what knows only counts.

    Arguments as in meter_error; a resolution of zero is refused. Raises InputProblem.
    Source: meter_error over the last digit.

    >>> round(share_as_counts(10.0, 0.1, share=0.01, counts=3), 6)
    4.0
    """
    digit = require_not_negative(resolution, "resolution", "-")
    return plain(meter_error(value, digit, share, counts) / np.maximum(digit, 1e-12))


FUSE_SPREAD = 0.20
"""Share by which one fuse may differ from its data sheet [-]; our allowance, nothing published."""

METER_COUNTS = 3.0
"""Counts of the last digit by which a meter may be off [-]; usual for a handheld, ours."""

OPENING_MULTIPLE = 1.35
"""Above this multiple of the rating a blade fuse opens within minutes (ISO 8820-3 test point), so
the hot model is held there and no lasting reading can lie above."""

BELIEF = 2.0
"""A calibrated resistance this many times above or below the published one is refused; ours."""


def heating_constant(hot_to_cold: ArrayLike) -> Values:
    """k of the hot model [-]: 1 - 1/(hot/cold ratio); 0 for a fuse taken as always cold.

    hot_to_cold [-]: resistance at rated current over cold resistance, from 1 to 2.2 (above, the
    model would run away below 135 % of the rating). Raises InputProblem outside.
    Source: two-point fit of the hot model (module head), ours.

    >>> round(heating_constant(1.49), 3)
    0.329
    """
    ratio = require_positive(hot_to_cold, "hot_to_cold", "-")
    k = 1.0 - 1.0 / ratio
    if np.any(ratio < 1.0) or np.any(k * OPENING_MULTIPLE**2 >= 1.0):
        raise InputProblem(
            say("hot/cold ratio outside {low} to {high}", low=1, high=2.2), "hot_to_cold"
        )
    return plain(k)


def current_from_millivolts(
    mv: ArrayLike, cold_mohm: ArrayLike, rating_a: ArrayLike, hot_to_cold: ArrayLike = 1.0
) -> Values:
    """Current [A] through a fuse from the drop across it [mV], element heating corrected.

    cold_mohm [mΩ], rating_a [A], hot_to_cold [-]; numbers or arrays that broadcast. Leads the other
    way round make no difference. Steady state. Raises InputProblem for bad figures.
    Source: I = (-Rc + √(Rc² + 4·k·V²/In²))/(2·k·V/In²), the hot model solved for the current, in
    the form 2·V/(Rc + √(...)) that also holds at 0 mV and for k = 0.

    >>> round(current_from_millivolts(96.0, 1.44, 40.0, 1.6667), 1)  # cold would say 66.7 A
    40.0
    """
    v = np.abs(require_finite(mv, "mv", "mV"))
    cold = require_positive(cold_mohm, "cold_mohm", "mΩ")
    rating = require_positive(rating_a, "rating_a", "A")
    k = np.asarray(heating_constant(hot_to_cold))
    model = 2.0 * v / (cold + np.sqrt(cold**2 + 4.0 * k * (v / rating) ** 2))
    held = v * (1.0 - k * OPENING_MULTIPLE**2) / cold
    return plain(np.where(model > OPENING_MULTIPLE * rating, held, model))


class FuseReading(Struct, frozen=True, eq=False):
    """What a millivolt reading across a fuse says; numbers or arrays.

    Where `below_floor` is set the meter cannot tell the current from nothing: show "below high_a".
    Where `refused` is set the figure is beyond belief and was not repeated: ask, do not use it.
    """

    current_a: Values
    low_a: Values
    high_a: Values
    floor_a: Values
    below_floor: Truths
    above_rating: Truths
    above_whole_vehicle: Truths
    refused: Truths


def read_fuse(
    mv: ArrayLike,
    cold_mohm: ArrayLike,
    rating_a: ArrayLike,
    *,
    hot_to_cold: ArrayLike = 1.0,
    spread: ArrayLike = FUSE_SPREAD,
    counts: ArrayLike = METER_COUNTS,
    resolution_mv: ArrayLike = 0.1,
    whole_vehicle_a: ArrayLike = np.inf,
    repeated: ArrayLike = False,
) -> FuseReading:
    """Current [A] through a fuse with its band, from one millivolt reading [mV].

    cold_mohm [mΩ], rating_a [A], hot_to_cold [-]; spread: how far this fuse may be from cold_mohm
    [-], some 0.03 after calibrate(); counts and resolution_mv [mV]: the meter's uncertainty;
    whole_vehicle_a: a whole-vehicle draw measured at the same time [A]; repeated: the same figure
    came twice. Numbers or arrays that broadcast. The band takes the worst of meter and fuse
    together, its upper end by Ohm's law with the cold resistance. Refused: the lowest current of
    the band lies above what the fuse carries for long (135 %), or above the whole vehicle's draw.
    Raises InputProblem for bad figures.
    Source: Ohm's law and the hot model (module head); spread and counts are ours.

    >>> reading = read_fuse(1.0, 4.58, 15.0)  # mini 15 A
    >>> print(f"{reading.current_a:.3f} A, {reading.low_a:.3f} to {reading.high_a:.3f}")
    0.218 A, 0.127 to 0.355
    >>> read_fuse(0.1, 4.58, 15.0).below_floor
    True
    """
    v = np.abs(require_finite(mv, "mv", "mV"))
    error = _meter_error_mv(counts, resolution_mv)
    low, high = _band(v, error, spread, cold_mohm, rating_a, hot_to_cold)
    above_rating = low > OPENING_MULTIPLE * np.asarray(rating_a)
    above_whole = low > require_not_negative(whole_vehicle_a, "whole_vehicle_a", "A", True)
    return FuseReading(
        current_a=current_from_millivolts(v, cold_mohm, rating_a, hot_to_cold),
        low_a=plain(low),
        high_a=plain(high),
        floor_a=current_from_millivolts(error, cold_mohm, rating_a, hot_to_cold),
        below_floor=plain_truth(v < error),
        above_rating=plain_truth(above_rating),
        above_whole_vehicle=plain_truth(above_whole),
        refused=plain_truth((above_rating | above_whole) & ~np.asarray(repeated, dtype=np.bool_)),
    )


def _meter_error_mv(counts: ArrayLike, resolution_mv: ArrayLike) -> Floats:
    counts = require_not_negative(counts, "counts", "-")
    return np.asarray(counts * require_not_negative(resolution_mv, "resolution_mv", "mV"))


def _band(
    v: Floats,
    error: Floats,
    spread: ArrayLike,
    cold_mohm: ArrayLike,
    rating_a: ArrayLike,
    hot_to_cold: ArrayLike,
) -> tuple[Floats, Floats]:
    """Lowest and highest current [A] that meter and fuse allow, the element hot or cold."""
    share = require_not_negative(spread, "spread", "-")
    if np.any(share >= 1.0):
        raise InputProblem(say("a spread of 100 % or more says nothing"), "spread")
    cold = np.asarray(cold_mohm, dtype=np.float64)
    low = current_from_millivolts(
        np.maximum(v - error, 0.0), cold * (1.0 + share), rating_a, hot_to_cold
    )
    return np.asarray(low), np.asarray((v + error) / (cold * (1.0 - share)))


class Calibration(Struct, frozen=True, eq=False):
    """Cold resistance [mΩ] of one fuse found with a known load, and whether to believe it."""

    cold_mohm: Values
    believable: Truths


def calibrate(
    mv: ArrayLike,
    known_a: ArrayLike,
    rating_a: ArrayLike,
    hot_to_cold: ArrayLike = 1.0,
    published_mohm: ArrayLike | None = None,
) -> Calibration:
    """Cold resistance [mΩ] of one fuse from its drop [mV] at a known lasting current [A].

    rating_a [A], hot_to_cold [-]; published_mohm [mΩ] if its data sheet gives one: a result more
    than twice or less than half of it is not believed. Without one, a drop of 0.03 V to 0.3 V at
    rated current is believed, as blade fuses of all sizes have 0.07 to 0.18 V.
    Raises InputProblem for a current of zero or above 135 % of the rating.
    Source: the hot model (module head) solved for Rc; bounds of belief are ours.

    >>> calibrate(2.3, 0.5, 15.0, published_mohm=4.58).believable
    True
    >>> calibrate(6.0, 0.02, 10.0).believable  # 300 mΩ: no such fuse
    False
    """
    current = require_positive(known_a, "known_a", "A")
    rating = require_positive(rating_a, "rating_a", "A")
    if np.any(current > OPENING_MULTIPLE * rating):
        raise InputProblem(
            say("the fuse would have opened"), "known_a", say("load it below its rating")
        )
    cooling = 1.0 - heating_constant(hot_to_cold) * (current / rating) ** 2
    cold = np.abs(require_finite(mv, "mv", "mV")) / current * cooling
    low, high = _believable_mohm(rating, published_mohm)
    return Calibration(plain(cold), plain_truth((cold >= low) & (cold <= high)))


def _believable_mohm(rating: Floats, published_mohm: ArrayLike | None) -> tuple[Floats, Floats]:
    if published_mohm is None:
        return 30.0 / rating, 300.0 / rating
    published = require_positive(published_mohm, "published_mohm", "mΩ")
    return published / BELIEF, published * BELIEF
