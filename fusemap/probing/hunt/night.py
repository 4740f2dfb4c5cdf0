"""A night with a meter or logger: what it draws at rest, and when it drew more.

In: a `Log`. Out: a `Night`: the current at rest and the spells in which more was drawn, put
together to wake-ups, each sort of its own. What was drawn before it first came to rest is how it
fell asleep, and no wake-up.
"""

from collections.abc import Sequence
from itertools import pairwise
from statistics import mean, median
from typing import Final

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.probing.hunt.log import Log
from fusemap.probing.hunt.state import WORTH_A
from fusemap.text import Amount, say
from fusemap.vehicle import WakeUp

MOST_AT_REST_A: Final = 5.0
"""More is no vehicle asleep [A]: mostly milliamperes without their unit; ours."""

AT_REST: Final = 0.1
"""So much of a night it is surely at rest, where it ever is [-]; ours. Loggers see a vehicle that
wakes up for most of the time, too."""

OTHER_SORT: Final = 1.6
"""A spell that draws so many times more than another is of another sort [-]; ours."""

NOISE: Final = 4.5
"""A meter at rest swings by up to so many times what it is off in the middle [-]: three standard
deviations, of which the middle is 0.67."""

GAP: Final = 5.0
"""A pause of so many usual ones between two points is one in which nothing was logged [-]; ours."""


MOST_SORTS: Final = 4
"""So many sorts of wake-ups are kept; ours."""


class Spell(Struct, frozen=True):
    """A time in which it drew more: from and to [min], its current as a whole [A]."""

    start_min: float
    end_min: float
    current_a: float


class Night(Struct, frozen=True):
    """What a night shows: the current at rest [A], the spells in which more was drawn, how long.

    `lasted_min` counts from the first point at rest.
    """

    rest_a: float
    spells: tuple[Spell, ...]
    lasted_min: float

    @property
    def wake_ups(self) -> tuple[WakeUp, ...]:
        """The same as the parking habits have it: how often, for how long, how much more.

        Spells that draw about the same are one sort; the largest comes first.
        """
        sorts: list[list[Spell]] = []
        for spell in sorted(self.spells, key=lambda each: each.current_a):
            if sorts and self._more(spell) <= OTHER_SORT * self._more(sorts[-1][0]):
                sorts[-1].append(spell)
            else:
                sorts.append([spell])
        made = [self._wake_up(sort) for sort in reversed(sorts)]
        return tuple(made[:MOST_SORTS])

    def _more(self, spell: Spell) -> float:
        return spell.current_a - self.rest_a

    def _wake_up(self, spells: Sequence[Spell]) -> WakeUp:
        starts = sorted(spell.start_min for spell in spells)
        # one spell in a night: as often as the night is long
        apart = (starts[-1] - starts[0]) / (len(starts) - 1) if len(starts) > 1 else self.lasted_min
        minutes = mean(spell.end_min - spell.start_min for spell in spells)
        every_h = max(apart, minutes, 1.0) / 60
        return WakeUp(
            every_h=round(every_h, 3),
            minutes=min(round(minutes, 2), round(every_h, 3) * 60),
            current_a=round(mean(map(self._more, spells)), 6),
        )


def night_of(log: Log) -> Night:
    """What a log shows: its rest is the least that it keeps coming back to.

    A spell begins where more is drawn than the rest and what is worth finding, and ends with the
    first reading at rest again, or where the log has a gap. Raises `InputProblem` where it never
    comes to rest.
    """
    currents = sorted(amperes for _, amperes in log.points)
    least = currents[int(AT_REST * (len(currents) - 1))]
    quiet = [amperes for amperes in currents if amperes <= _limit(least)]
    rest = median(quiet)
    if rest > MOST_AT_REST_A:
        raise InputProblem(
            say("at rest it would draw {rest}", rest=Amount(rest, "A", significant=2)),
            remedy=say("write the unit into the heading, mA or A; or it never slept"),
        )
    swing = median(abs(amperes - rest) for amperes in quiet)
    limit = max(_limit(rest), rest + NOISE * swing)
    points = log.points[_first_at_rest(log, limit) :]
    lasted = points[-1][0] - points[0][0]
    return Night(rest, _spells(points, limit, _usual_pause(log)), lasted)


def _limit(rest_a: float) -> float:
    """What is drawn at rest, at most, by a meter that is off by nothing [A]."""
    return rest_a + max(WORTH_A, 0.5 * rest_a)


def _first_at_rest(log: Log, limit: float) -> int:
    """Which point is the first at rest: there is one, the rest is the middle of them."""
    return next(n for n, (_, amperes) in enumerate(log.points) if amperes <= limit)


def _usual_pause(log: Log) -> float:
    """How long it is between two points, in the middle [min]."""
    times = [minutes for minutes, _ in log.points]
    return median(after - before for before, after in pairwise(times))


def _spells(points: Sequence[tuple[float, float]], limit: float, pause: float) -> tuple[Spell, ...]:
    spells: list[Spell] = []
    inside: list[tuple[float, float]] = []

    def ends(at: float) -> None:
        if inside:
            middle = median(amperes for _, amperes in inside)
            start = inside[0][0]
            # one that was seen once, at the end, lasted until the next point at most
            spells.append(Spell(start, at if at > start else start + (pause or 1.0), middle))
            inside.clear()

    for minutes, amperes in points:
        if inside and minutes - inside[-1][0] > GAP * pause > 0:
            ends(inside[-1][0] + pause)
        if amperes > limit:
            inside.append((minutes, amperes))
        else:
            ends(minutes)
    ends(points[-1][0])
    return tuple(spells)
