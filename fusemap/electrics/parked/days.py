"""A parked battery through time, and quickly where days are alike.

In and out: a Run (run.py). A day in which nothing is switched by a level maps the charge and the
head difference [Ah] it begins with onto those it ends with, each times a factor plus a term; so do
many such days, in closed form. Both change in one direction from day to day, so that what lies
between two days lies between what the first and the last of them have at the same hour: where that
keeps clear of every level, all the days between are passed at once. A day that ends as it began is
the last to be computed of those alike: the rest repeats it. All other days are run through stretch
by stretch and event by event (engine.py). Each draw of a Monte Carlo goes at its own pace.

States within the days that were passed are filled in only where somebody asks.

Source: the closed forms of two_well.py, repeated (a geometric sum); else ours.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import astuple

from fusemap.electrics.parked.engine import run_window, run_windows
from fusemap.electrics.parked.run import Piece, Run
from fusemap.electrics.parked.timeline import DaysAlike, Numbers, picked
from fusemap.electrics.values import Floats, TruthArray

WORTH_STRETCHES = 64
"""Days alike of fewer stretches than this are run through like all others [-]; ours."""


def run_to_horizon(run: Run, start_q: Floats) -> None:
    """From a rested battery of charge `start_q` [Ah] at locking to the horizon. Source: ours."""
    run.q[0], run.d[0] = start_q, 0.0
    row = 0
    for alike in run.timeline.days_alike:
        if not _worth_it(run, alike):
            continue
        run_windows(run, row, alike.first)
        Days(run, alike).pass_by()
        row = alike.last
    run_windows(run, row, len(run.timeline.pattern))


def _worth_it(run: Run, alike: DaysAlike) -> bool:
    """Whether stretch by stretch would take longer: a few are soon run through without a pause.

    So are those of a single forecast, unless a source makes something happen day after day.
    """
    if run.count == 1 and not (run.tables.sources_a < 0.0).any():
        return False
    return alike.length * alike.times >= WORTH_STRETCHES


class DayMap(Struct, frozen=True, eq=False):
    """What a day without events makes of its first charge and head: states at its edges [Ah].

    keep [-] and add [Ah] are (edges, 1 or draws); log [-] is the logarithm of the last keep.
    """

    keep_q: Floats
    add_q: Floats
    log_q: Floats
    keep_d: Floats
    add_d: Floats
    log_d: Floats

    @staticmethod
    def of(run: Run, alike: DaysAlike, which: Numbers) -> DayMap:
        """That of some draws, `which` [-], as they are connected now. Source: two_well.py."""
        t, step = run.tables, run.timeline.step[alike.first : alike.first + alike.length]
        decay = [picked(each, which) for each in (t.decay_q, t.decay_d)]
        gain = [each[:, which] for each in (run.gain_q, run.gain_d)]
        found: list[Floats] = []
        hours = run.timeline.step_hours[step][:, None]
        leak = picked(t.leak, which)[run.timeline.step_pattern[step]]
        rates = (leak, picked(t.k, which) + leak)
        for keeps, adds, rate in zip(decay, gain, rates, strict=True):
            keep = [np.ones(keeps.shape[1])]
            add = [np.zeros(len(which))]
            for s in step.tolist():
                keep.append(keeps[s] * keep[-1])
                add.append(keeps[s] * add[-1] + adds[s])
            found += [np.stack(keep), np.stack(add), -(rate * hours).sum(axis=0)]
        return DayMap(*found)

    def some(self, which: Numbers) -> DayMap:
        """That of some of its draws, `which` [-]. Source: bookkeeping only."""
        return DayMap(*(picked(each, which) for each in astuple(self)))

    def after(self, q: Floats, d: Floats, days: Numbers) -> tuple[Floats, Floats]:
        """Charge and head [Ah] after `days` [-] from q and d [Ah]. Source: a geometric sum."""
        found = (
            np.exp(days * log) * begun + add[-1] * _sum_of_powers(log, days)
            for begun, add, log in ((q, self.add_q, self.log_q), (d, self.add_d, self.log_d))
        )
        after_q, after_d = found
        return after_q, after_d

    def edges(self, q: Floats, d: Floats) -> tuple[Floats, Floats]:
        """Charge and head [Ah] at the edges of a day that begins with q, d [Ah]. Source: ours."""
        return self.keep_q * q + self.add_q, self.keep_d * d + self.add_d


def _sum_of_powers(log: Floats, times: Numbers) -> Floats:
    """1 + e^log + e^(2·log) + … of so many `times` [-] terms."""
    none = np.abs(log) < 1e-300
    safe = np.where(none, 1.0, log)
    return np.where(none, times, np.expm1(times * safe) / np.expm1(safe))


class Limits(Struct, frozen=True, eq=False):
    """Where something would happen to some draws: surface charge low and high, whole charge [Ah].

    All (stretches, draws).
    """

    share: Floats
    low: Floats
    high: Floats
    whole: Floats
    rises: bool

    @staticmethod
    def of(run: Run, alike: DaysAlike, which: Numbers) -> Limits:
        """Those of draws `which` [-] as they are connected now. Source: as in engine.py."""
        pattern = run.timeline.pattern[alike.first : alike.first + alike.length]
        whole = np.full((len(pattern), len(which)), -np.inf)
        for number, level in enumerate(run.tables.levels):
            if (level >= 0.0).any():
                still = np.isinf(run.crossed_h[number, which])
                along = picked(level, which)[pattern]
                whole = np.where(still, np.maximum(whole, along), whole)
        low, high = (each[:, which][pattern] for each in (run.low, run.high))
        rises = bool((high < np.inf).any())
        return Limits(1.0 - picked(run.tables.c, which), low, high, whole, rises)

    def some(self, which: Numbers) -> Limits:
        """Those of some of its draws, `which` [-]. Source: bookkeeping only."""
        low, high, whole = (each[:, which] for each in (self.low, self.high, self.whole))
        return Limits(picked(self.share, which), low, high, whole, self.rises)

    def kept(self, one: tuple[Floats, Floats], other: tuple[Floats, Floats]) -> TruthArray:
        """Whether all between two days, `one` and `other` by their edges [Ah], keeps clear.

        Source: both change one way from day to day, and within a stretch.
        """
        q_low, d_low = (np.minimum(a, b) for a, b in zip(one, other, strict=True))
        q_high, d_high = (np.maximum(a, b) for a, b in zip(one, other, strict=True))
        least = np.minimum(q_low[1:], q_low[:-1])
        floor = least - self.share * np.maximum(d_high[1:], d_high[:-1])
        clear = ((floor > self.low) & (least > self.whole)).all(axis=0)
        if self.rises:
            most = np.maximum(q_high[1:], q_high[:-1])
            peak = most - self.share * np.minimum(d_low[1:], d_low[:-1])
            clear &= (peak < self.high).all(axis=0)
        return np.asarray(clear)


class Passed(Struct, frozen=True, eq=False):
    """Days passed at once by some draws: from day `at` on, `times` of them, from q and d [Ah]."""

    which: Numbers
    at: Numbers
    times: Numbers
    q: Floats
    d: Floats
    map: DayMap


class Lived(Struct, frozen=True, eq=False):
    """A day run through by some draws, day `at`, and repeated: `times` in all.

    q and d [Ah] (edges, draws); split (stretches, draws); the pieces of its first time.
    """

    which: Numbers
    at: Numbers
    times: Numbers
    q: Floats
    d: Floats
    split: TruthArray
    pieces: tuple[Piece, ...]


class Days:
    """The days alike of one run, which all its draws pass, each at its own pace."""

    def __init__(self, run: Run, alike: DaysAlike) -> None:
        self._run, self._alike = run, alike
        self._first, self._end = alike.first, alike.first + alike.length
        edges = run.timeline.edges
        self.every_h = float(edges[self._end] - edges[self._first])
        self._gone = np.zeros(run.count, dtype=np.intp)
        self._parts: list[Passed | Lived] = []

    def pass_by(self) -> None:
        """All draws through all the days. Source: as in this module's text."""
        run, first = self._run, self._first
        begun = run.q[first].copy(), run.d[first].copy()
        while True:
            which = np.flatnonzero(self._gone < self._alike.times)
            if not len(which):
                break
            left = which[~self._pass_at_once(which)]
            if len(left):
                self._live(left)
        run.later_h[:], run.later_row[:] = 0.0, 0
        last = self._alike.last
        run.q[last], run.d[last] = run.q[first], run.d[first]
        run.q[first], run.d[first] = begun
        run.days.append(self)

    def _pass_at_once(self, which: Numbers) -> TruthArray:
        """Takes those of the draws as far as nothing happens; which of them could go."""
        run, first = self._run, self._first
        q, d = run.q[first, which], run.d[first, which]
        day, limits = DayMap.of(run, self._alike, which), Limits.of(run, self._alike, which)
        begun = day.edges(q, d)
        times = limits.kept(begun, begun).astype(np.intp)
        times[np.isfinite(run.timer[:, which]).any(axis=0)] = 0
        goes = times > 0
        if not goes.any():
            return goes
        if not goes.all():
            those = np.flatnonzero(goes)
            which, q, d = which[those], q[those], d[those]
            day, limits = day.some(those), limits.some(those)
        most = self._alike.times - self._gone[which]
        times = _how_many(day, limits, q, d, most)
        self._parts.append(Passed(which, self._gone[which], times, q, d, day))
        run.q[first, which], run.d[first, which] = day.after(q, d, times)
        self._gone[which] += times
        return goes

    def _live(self, which: Numbers) -> None:
        """One day of some draws, stretch by stretch; where it repeats itself, all that follow."""
        run, first, end = self._run, self._first, self._end
        at = self._gone[which]
        run.later_h[which], run.later_row[which] = at * self.every_h, at * self._alike.length
        run.split[first:end, which] = False
        before = run.standing(first, which)
        pieces, happenings = len(run.pieces), len(run.happenings)
        run_window(run, which, first, end)
        after = run.standing(end, which)
        same = before.same_as(after, picked(run.tables.full_ah, which))
        times = np.where(same, self._alike.times - at, 1)
        self._parts.append(Lived(
            which, at, times, run.q[first : end + 1, which], run.d[first : end + 1, which],
            run.split[first:end, which], tuple(run.pieces[pieces:]),
        ))  # fmt: skip
        self._again(which, times, happenings)
        run.q[first, which], run.d[first, which] = after.q, after.d
        self._gone[which] += times

    def _again(self, which: Numbers, times: Numbers, happenings: int) -> None:
        """What happened in a day that repeats itself, as often as it does."""
        run = self._run
        later_h = (times - 1) * self.every_h
        run.timer[:, which] += later_h
        run.tripped_h[:, which] += later_h
        more = np.zeros(run.count, dtype=np.intp)
        more[which] = times - 1
        for each in run.happenings[happenings:]:
            whose, turn = _turns(more[each.which])
            run.happenings.append(each.again(whose, (turn + 1) * np.float64(self.every_h)))

    def refused_again(self, until: Floats) -> Iterator[tuple[Numbers, Floats]]:
        """What days that repeat themselves did not take again [Ah] before `until` [h], by draw.

        Source: bookkeeping only.
        """
        for part in self._parts:
            if isinstance(part, Passed) or part.times.max() == 1:
                continue
            more = np.zeros(len(until), dtype=np.intp)
            more[part.which] = part.times - 1
            for piece in part.pieces:
                turns = np.floor((until[piece.which] - piece.end_h) / self.every_h + 1e-9)
                yield piece.which, piece.refused_ah * np.clip(turns, 0, more[piece.which])

    def fill(self) -> None:
        """Writes the states at all edges into the run, and its pieces. Source: as above."""
        run = self._run
        for part in self._parts:
            whose, turn = _turns(part.times)
            rows = self._first + (part.at[whose] + turn) * self._alike.length
            if isinstance(part, Passed):
                self._fill_passed(part, whose, turn, rows)
                continue
            for j in range(self._alike.length):
                run.q[rows + j, part.which[whose]] = part.q[j][whose]
                run.d[rows + j, part.which[whose]] = part.d[j][whose]
                run.split[rows + j, part.which[whose]] = part.split[j][whose]
            more = np.zeros(run.count, dtype=np.intp)
            more[part.which] = part.times - 1
            for piece in part.pieces:
                whose, turn = _turns(more[piece.which])
                if len(whose):
                    rows, later_h = (
                        (turn + 1) * self._alike.length,
                        (turn + 1) * np.float64(self.every_h),
                    )
                    run.pieces.append(piece.again(whose, rows, later_h))

    def _fill_passed(self, part: Passed, whose: Numbers, turn: Numbers, rows: Numbers) -> None:
        run, day = self._run, part.map.some(whose)
        q, d = day.after(part.q[whose], part.d[whose], turn)
        for j in range(self._alike.length):
            run.q[rows + j, part.which[whose]] = day.keep_q[j] * q + day.add_q[j]
            run.d[rows + j, part.which[whose]] = day.keep_d[j] * d + day.add_d[j]
            run.split[rows + j, part.which[whose]] = False


def _how_many(day: DayMap, limits: Limits, q: Floats, d: Floats, most: Numbers) -> Numbers:
    """How many days, 1 to `most`, keep clear of every limit, by halving."""
    begun = day.edges(q, d)

    def kept(which: Numbers, days: Numbers) -> TruthArray:
        those = day.some(which)
        last = those.edges(*those.after(q[which], d[which], days - 1))
        first = (begun[0][:, which], begun[1][:, which])
        return limits.some(which).kept(first, last)

    everyone = np.arange(len(q))
    low, high = np.ones_like(most), most.copy()
    all_of_them = kept(everyone, most)
    low[all_of_them] = most[all_of_them]
    while len(open_ := np.flatnonzero(high - low > 1)):
        middle = (low[open_] + high[open_]) // 2
        clear = kept(open_, middle)
        low[open_[clear]] = middle[clear]
        high[open_[~clear]] = middle[~clear]
    return low


def _turns(times: Numbers) -> tuple[Numbers, Numbers]:
    """Every entry as often as `times` says, and its number among its own."""
    whose = np.repeat(np.arange(len(times)), times)
    return whose, np.arange(len(whose)) - np.repeat(np.cumsum(times) - times, times)
