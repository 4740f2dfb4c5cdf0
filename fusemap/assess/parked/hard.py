"""What nobody answered, at its hard end: the low end of a forecast, and what an answer gains.

In: an assessed vehicle and the draws of its forecast. Out: the same draws with every figure that
was not answered where its range is hardest, and what a start needs of them. Each draw lasts no
longer than with any answer inside the range, so that an answer never shortens the low end; beyond
the range lie vehicles that have to be answered for, which is said wherever the range is said.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess.figures import Figures
from fusemap.assess.parked.inputs import Input
from fusemap.assess.parked.learning import Learned
from fusemap.assess.parked.many import engine_needs, needs
from fusemap.assess.parked.start_spans import (
    START,
    engine_answered,
    hard_case,
    start_case,
    start_ranges,
)
from fusemap.assess.result import Floats
from fusemap.electrics.spread import Range, Share
from fusemap.electrics.spread import draws as drawn

Given = Mapping[str, Floats]


class Hard(Struct, frozen=True, eq=False):
    """The draws at the hard end of what was not answered, and what a start needs of each [-]."""

    given: Given
    need: Floats


def unanswered(a: Figures, asked: tuple[Input, ...]) -> tuple[str, ...]:
    """The keys of what nobody answered and the low end hangs on; the engine's is the start's."""
    found = [each.group or each.key for each in asked if each.hard is not None]
    engine = () if engine_answered(start_case(a)) else (START,)
    return tuple(dict.fromkeys((*found, *engine)))


def hard_ends(
    a: Figures,
    asked: tuple[Input, ...],
    given: Given,
    seed: int,
    answered: str = "",
    learned: Learned | None = None,
) -> tuple[Hard, ...]:
    """The draws at the hard end, but for what is `answered`: that stays as it was drawn.

    Where nobody answered the engine these are two: by the published line, and with the hard engine.
    What standings showed is an answer, too: no harder end is taken than of the draws left by that.
    """
    count = len(next(iter(given.values())))
    ranges = {
        each.key: _left(each.hard, given[each.key], learned)
        for each in asked
        if each.hard is not None and (each.group or each.key) != answered
    }
    found = {**given, **drawn(ranges, count, seed)}
    one = Hard(found, needs(a, found))
    if engine_answered(start_case(a)) or answered == START:
        return (one,)
    engine = drawn(start_ranges(hard_case(a)), count, seed)
    return one, Hard(found, engine_needs(a, found, engine))


def _left(hard: Range, drawn_at: Floats, learned: Learned | None) -> Range:
    """A range no harder than what standings left of the draws of its figure."""
    if learned is None:
        return hard
    left = drawn_at[learned.picked]
    low, middle, high = np.clip(hard, left.min(), left.max()).tolist()
    return low, middle, high


class Gain(Struct, frozen=True):
    """What an answer would do: its input's key, the low end [h] if it came out as is usual."""

    key: str
    low_h: float


def with_gains(
    shares: tuple[Share, ...],
    gains: tuple[Gain, ...],
    low_h: float,
    usual_h: float,
    middle_h: float,
) -> tuple[Share, ...]:
    """The shares of the doubt with what was not answered in it, the largest first.

    From low_h [h], with all of that at its hard end, to usual_h [h], where it is drawn, is what was
    not answered; from there to the middle_h [h] is what the draws differ by.
    """
    gained = {each.key: max(0.0, each.low_h - low_h) for each in gains}
    whole, together = middle_h - low_h, sum(gained.values())
    if whole <= 0.0 or usual_h <= low_h:
        return shares
    part = min(1.0, (usual_h - low_h) / whole)
    found = {each.name: replace(each, share=each.share * (1.0 - part)) for each in shares}
    for key, gain in gained.items():
        more = part * (gain / together if together > 0.0 else 1.0 / len(gained))
        had = found.get(key, Share(key, 0.0, lifts=False))
        found[key] = replace(had, share=had.share + more)
    return tuple(sorted(found.values(), key=lambda share: -share.share))
