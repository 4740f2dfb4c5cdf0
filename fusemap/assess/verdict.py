"""What holds, what may not, what does not, and what cannot be said: verdicts and their grounds.

Every load has two ends, what is known and the most it may be; every limit has a ground. From these
follows the verdict of each hop, and of several together the one that decides.
"""

from collections.abc import Iterable
from typing import Final, Literal

from fusemap.text import Text, say

Verdict = Literal["holds", "may_not_hold", "fails", "unchecked"]
"""Within the limit even at its most; within by what is known, not at its most; past the limit by
what is known; no limit, or no load, to hold against each other."""

Ground = Literal["published", "user", "analogy", "assumed", "none"]
"""Where a limit is from: a publication, whoever entered it, a like family's publication, a rule or
judgement of ours, nowhere."""

VERDICTS: Final[tuple[Verdict, ...]] = ("fails", "may_not_hold", "unchecked", "holds")
"""All of them; of several the one that stands first decides."""

SLACK: Final = 1e-9
"""A limit is passed where it is passed by more than rounding [share of the limit]."""

VERDICT_WORDS: Final[dict[Verdict, Text]] = {
    "holds": say("holds"),
    "may_not_hold": say("may not hold"),
    "fails": say("does not hold"),
    "unchecked": say("cannot be checked"),
}

GROUND_WORDS: Final[dict[Ground, Text]] = {
    "published": say("published"),
    "user": say("as entered"),
    "analogy": say("by analogy with a like fuse; its own figure is not published"),
    "assumed": say("assumed: a rule of this program, no published figure"),
    "none": say("no limit is known"),
}


def decides(verdicts: Iterable[Verdict]) -> Verdict:
    """The verdict of several together; nothing to check is not yet something that holds.

    >>> decides(["holds", "may_not_hold", "unchecked"])
    'may_not_hold'
    >>> decides([])
    'unchecked'
    """
    found = set(verdicts)
    return next((each for each in VERDICTS if each in found), "unchecked")


def verdict_of(
    known: float,
    most: float,
    limit: float,
    *,
    at_most: bool = True,
    least: float | None = None,
) -> Verdict:
    """The verdict of one load with its two ends against a limit, all in one unit; NaN: not known.

    A limit that is not known for sure has a `least` end: what may be is held against that.

    >>> verdict_of(3.0, 9.0, 7.5), verdict_of(3.0, 3.0, float("nan"))
    ('may_not_hold', 'unchecked')
    >>> verdict_of(7.2, 7.2, 7.5, least=7.1)
    'may_not_hold'
    """
    if limit != limit or known != known or abs(limit) == float("inf"):
        return "unchecked"
    if _passed(known, limit, at_most):
        return "fails"
    held = limit if least is None else least
    return "may_not_hold" if most != most or _passed(most, held, at_most) else "holds"


def _passed(load: float, limit: float, at_most: bool) -> bool:
    over = load - limit if at_most else limit - load
    return over > SLACK * max(1.0, abs(limit))
