"""A parked battery on its way through time: its state, what is connected, and what happened.

In: a timeline (timeline.py) and its tables (tables.py). Holds, for all draws of a Monte Carlo:
charge q and head difference d [Ah] at every edge, the state of each cut-off, the currents [A] and
levels [Ah] that follow from what is connected just now, and the record from which answers.py reads
everything else. engine.py moves it on.

Source: bookkeeping only; levels as in tables.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum
from typing import Protocol

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked.tables import Tables, surface_charge_at
from fusemap.electrics.parked.timeline import Numbers, Picked, Timeline, at, picked
from fusemap.electrics.values import Floats, TruthArray

ON, WAITING, SWINGING, OFF = range(4)
"""State of a cut-off: connected; connected while its delay runs; connected because it would be on
again in the instant it trips; off (with a timer: not to be looked at before)."""

LEVEL_TOLERANCE = 1e-9
"""Share of qmax by which a level must be passed back before a delay is given up [-]."""

REPEAT_TOLERANCE = 1e-10
"""Share of qmax within which two days that begin alike are the same [-]."""

REST_H = 0.25
"""A cut-off stays off this long [h] at the least, so that swings need not all be followed, and two
cut-offs cannot switch each other on and off for ever; what a swing takes is small."""

SWINGS_FOLLOWED, SWINGS_A_DOUBLING, DOUBLINGS = 64, 8, 3
"""After so many swings one after the other each cut-off rests longer, twice as long with every few
more, up to eight times: weeks in which a weak sun switches a load all day are known by their first
days. Over a swing the charge comes back to the same level, so that what it holds stays the same."""

FORGOTTEN_H = 24.0
"""So long [h] after its last trip a cut-off swings no more."""

FULL_TOLERANCE = 1e-10
"""Share of qmax by which a charging battery must pass full before it is held there [-]."""


class EventKind(StrEnum):
    """What happened, to a draw (its name) or to the battery (no name)."""

    DRAW_CHANGES = "draw changes"
    TEMPERATURE_STEP = "temperature step"
    CUT_OFF_TRIPS = "trips"
    CUT_OFF_RECONNECTS = "reconnects"
    CUT_OFF_CHATTERS = "chatters"
    CRANK_LIMIT = "crank limit"
    EMPTY = "empty"
    FREEZES = "freezes"
    FULL = "full"


class Happening(Struct, frozen=True, eq=False):
    """Cut-offs (their numbers) did something, each for one draw of the Monte Carlo, at an hour."""

    kind: EventKind
    cut_off: Numbers
    which: Numbers
    hours: Floats

    def again(self, whose: Numbers, later_h: Floats) -> Happening:
        """The same for some of its entries `whose` [-], each `later_h` [h] later.

        Source: bookkeeping only.
        """
        hours = self.hours[whose] + later_h
        return Happening(self.kind, self.cut_off[whose], self.which[whose], hours)


class Piece(Struct, frozen=True, eq=False):
    """Part of a stretch that an event splits, for some draws: its ends [h], states there [Ah].

    refused_ah is what a source offered and the full battery did not take.
    """

    which: Numbers
    row: Numbers
    start_h: Floats
    end_h: Floats
    q: tuple[Floats, Floats]
    d: tuple[Floats, Floats]
    held: TruthArray
    refused_ah: Floats

    def again(self, whose: Numbers, rows: Numbers, later_h: Floats) -> Piece:
        """The same for some of its entries `whose` [-], `rows` [-] and `later_h` [h] later each.

        Source: bookkeeping only.
        """
        return Piece(
            self.which[whose],
            self.row[whose] + rows,
            self.start_h[whose] + later_h,
            self.end_h[whose] + later_h,
            (self.q[0][whose], self.q[1][whose]),
            (self.d[0][whose], self.d[1][whose]),
            self.held[whose],
            self.refused_ah[whose],
        )


class Standing(Struct, frozen=True, eq=False):
    """How a run stands at an edge; hours count from there [h], charge and head in [Ah]."""

    q: Floats
    d: Floats
    state: NDArray[np.int8]
    timer_h: Floats
    tripped_h: Floats
    swings: Numbers
    alive: TruthArray
    starts: TruthArray

    def same_as(self, other: Standing, full_ah: Floats) -> TruthArray:
        """For each draw, whether all that comes after is the same, given the same stretches.

        full_ah [Ah] is what the tolerance is a share of. Source: nothing else is remembered.
        """
        close = REPEAT_TOLERANCE * full_ah
        same = (np.abs(self.q - other.q) <= close) & (np.abs(self.d - other.d) <= close)
        same &= (self.alive == other.alive) & (self.starts == other.starts)
        if len(self.state):
            alike = (self.state == other.state) & (self.swings == other.swings)
            for one, another in ((self.timer_h, other.timer_h), (self.tripped_h, other.tripped_h)):
                alike &= np.isclose(one, another, rtol=0.0, atol=1e-9)
            same &= alike.all(axis=0)
        return np.asarray(same)


class Passing(Protocol):
    """Days alike that were passed; their states are filled in when they are asked for."""

    def refused_again(self, until: Floats) -> Iterator[tuple[Numbers, Floats]]:
        """What was not taken again [Ah] before `until` [h]. Source: bookkeeping only."""
        ...

    def fill(self) -> None:
        """Writes their states into the run. Source: bookkeeping only."""
        ...


class Run:
    """State and record; arrays have the draws of the Monte Carlo on their last axis."""

    battery: TwoWell
    tables: Tables
    timeline: Timeline
    count: int
    q: Floats  # (edges, count)
    d: Floats
    split: TruthArray  # (stretches, count), the stretches with an event
    empty_h: Floats
    no_start_h: Floats  # when the surface is too low for a start, and the charge
    no_start_q: Floats
    crossed_h: Floats  # (levels, count), when the whole charge fell to each
    crossed_q: Floats
    later_h: Floats  # how much later than the stretches say each draw is
    later_row: Numbers
    state: NDArray[np.int8]  # (cut-offs, count)
    timer: Floats
    tripped_h: Floats
    swings: Numbers  # trips of each that came hard upon the one before
    chatter: TruthArray
    rebound_v: Floats
    pieces: list[Piece]
    happenings: list[Happening]
    days: list[Passing]  # not yet filled in
    total: Floats  # (patterns, count), current of all that is connected
    gain_q: Floats  # (steps, count)
    gain_d: Floats
    low: Floats  # (patterns, count), next level of the surface charge below
    high: Floats  # ... and above
    off_level: Floats  # (cut-offs, patterns, count)
    on_level: Floats

    def __init__(self, battery: TwoWell, tables: Tables, timeline: Timeline, count: int) -> None:
        self.battery, self.tables, self.timeline, self.count = battery, tables, timeline, count
        edges, cuts, n = len(timeline.edges), len(tables.cut_offs.draw), count
        patterns, steps = len(timeline.temperature), len(timeline.step_hours)
        self.pieces, self.happenings, self.days = [], [], []
        self.q, self.d = np.zeros((2, edges, n))
        self.split = np.zeros((edges - 1, n), dtype=bool)
        self.empty_h, self.no_start_h = np.full((2, n), np.inf)
        self.no_start_q = np.full(n, np.nan)
        levels = (len(self.tables.levels), n)
        self.crossed_h, self.crossed_q = np.full(levels, np.inf), np.full(levels, np.nan)
        self.later_h, self.later_row = np.zeros(n), np.zeros(n, dtype=np.intp)
        self.state = np.full((cuts, n), ON, dtype=np.int8)
        self.timer = np.full((cuts, n), np.inf)
        self.tripped_h = np.full((cuts, n), -np.inf)
        self.swings = np.zeros((cuts, n), dtype=np.intp)
        self.chatter = np.zeros((cuts, n), dtype=bool)
        self.rebound_v = np.full((cuts, n), np.nan)
        self.total, self.low, self.high = np.zeros((3, patterns, n))
        self.gain_q, self.gain_d = np.zeros((2, steps, n))
        self.off_level, self.on_level = np.zeros((2, cuts, patterns, n))
        everyone = np.arange(n)
        self.find_cut_off_levels(everyone)
        self.refresh(everyone)

    def fill(self) -> None:
        """Fills in the states of all days that were passed at once. Source: bookkeeping only."""
        while self.days:
            self.days.pop().fill()

    def connected(self, which: Picked) -> TruthArray:
        """Whether each cut-off lets its draw run, (cut-offs, draws)."""
        return np.asarray((self.state[:, which] != OFF) & np.isinf(self.empty_h[which]))

    def rest_h(self, which: Picked) -> Floats:
        """How long each cut-off stays off at the least [h], (cut-offs, draws); `which` [-] of them.

        Source: ours, see SWINGS_FOLLOWED.
        """
        more = (self.swings[:, which] - SWINGS_FOLLOWED) // SWINGS_A_DOUBLING
        return np.asarray(REST_H * 2.0 ** np.clip(more, 0, DOUBLINGS))

    def note_trip(self, cut: Numbers, which: Numbers, hours: Floats) -> None:
        """Cut-offs `cut` [-] trip in the draws `which` [-] at some `hours` [h]. Source: ours."""
        since, swings = hours - self.tripped_h[cut, which], self.swings[cut, which]
        most = SWINGS_FOLLOWED + SWINGS_A_DOUBLING * DOUBLINGS
        swings = np.where(since < 4.0 * self.rest_h(which)[cut, np.arange(len(cut))],
                          np.minimum(swings + 1, most), swings)  # fmt: skip
        self.swings[cut, which] = np.where(since > FORGOTTEN_H, 0, swings)
        self.tripped_h[cut, which] = hours

    def standing(self, row: int, which: Numbers) -> Standing:
        """How some draws `which` [-] stand at the edge `row` [-]. Source: bookkeeping only."""
        hour = self.timeline.edges[row] + self.later_h[which]
        # a trip is remembered only for so long; one longer ago says nothing any more
        tripped_h = np.maximum(self.tripped_h[:, which] - hour, -FORGOTTEN_H)
        return Standing(
            self.q[row, which],
            self.d[row, which],
            self.state[:, which],
            self.timer[:, which] - hour,
            tripped_h,
            self.swings[:, which],
            np.isinf(self.empty_h[which]),
            np.isinf(self.no_start_h[which]),
        )

    def constants(self, which: Numbers, pattern: Numbers) -> tuple[Floats, Floats, Floats, Floats]:
        """Current [A], leak [1/h], k [1/h] and c [-] for pairs of a draw and a pattern."""
        t = self.tables
        leak = at(t.leak, pattern, which)
        return self.total[pattern, which], leak, picked(t.k, which), picked(t.c, which)

    def when(self, kind: EventKind) -> tuple[Numbers, Numbers, Floats]:
        """Everything of one kind that happened: cut-offs, draws of the Monte Carlo, hours [h]."""
        found = [each for each in self.happenings if each.kind is kind]
        none = np.zeros(0, dtype=np.intp)
        return (
            np.concatenate([none, *(each.cut_off for each in found)]),
            np.concatenate([none, *(each.which for each in found)]),
            np.concatenate([np.zeros(0), *(each.hours for each in found)]),
        )

    def find_cut_off_levels(self, which: Numbers) -> None:
        """Surface charges [Ah] at which the cut-offs trip and reconnect, as the others are now."""
        cut, ohm = self.tables.cut_offs, picked(self.tables.ohm, which)
        on = self.connected(which)[:, None, :]  # beside the patterns
        v_off, v_on, own_ohm = (
            picked(each, which)[:, None, :] for each in (cut.v_off, cut.v_on, cut.own_ohm)
        )
        others = picked(cut.permanent_a, which) + (picked(cut.others_a, which) * on).sum(axis=1)
        beside_v = picked(cut.permanent_v, which) + (picked(cut.others_v, which) * on).sum(axis=1)
        own = picked(cut.own_a, which)
        off_v = v_off + (others + own) * ohm + own * own_ohm + beside_v
        on_v = v_on + others * ohm + beside_v
        self.off_level[:, :, which] = surface_charge_at(self.battery, off_v, which)
        self.on_level[:, :, which] = surface_charge_at(self.battery, on_v, which)

    def refresh(self, which: Numbers) -> None:
        """Currents, and the next levels below and above, after something changed."""
        t = self.tables
        alive, on = np.isinf(self.empty_h[which]), self.connected(which)
        total = np.where(alive, picked(t.permanent_a, which), picked(t.sources_a, which))
        total = total + (picked(t.switched_a, which) * on[:, None, :]).sum(axis=0)
        self.total[:, which] = total
        pattern = self.timeline.step_pattern
        self.gain_q[:, which] = -total[pattern] * picked(t.weight_q, which)
        self.gain_d[:, which] = total[pattern] * picked(t.weight_d, which)

        full = picked(t.full_ah, which)
        low = np.where(alive, picked(t.empty_ah, which), -np.inf)
        low = np.where(np.isinf(self.no_start_h[which]), picked(t.start_ah, which), low)
        high = np.where(total < 0.0, full * (1.0 + FULL_TOLERANCE), np.inf)
        if len(self.state):
            state, rested = self.state[:, which], np.isinf(self.timer[:, which])
            below, above = self._cut_off_limits(which, np.where(alive, state, -1), rested, full)
            low, high = np.maximum(low, below), np.minimum(high, above)
        self.low[:, which], self.high[:, which] = low, high

    def _cut_off_limits(
        self, which: Numbers, state: Numbers, rested: TruthArray, full: Floats
    ) -> tuple[Floats, Floats]:
        """The next levels below and above at which any cut-off does something, per pattern."""
        state, rested = state[:, None, :], rested[:, None, :]
        off, on_again = self.off_level[:, :, which], self.on_level[:, :, which]
        below = np.where(state == ON, off, np.where(state == SWINGING, on_again, -np.inf))
        waits = (state == WAITING) | (state == SWINGING)
        back_on = np.where((state == OFF) & rested, on_again, np.inf)
        above = np.where(waits, off + LEVEL_TOLERANCE * full, back_on)
        return below.max(axis=0), above.min(axis=0)
