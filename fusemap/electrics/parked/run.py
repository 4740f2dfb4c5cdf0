"""A parked battery on its way through time: its state, what is connected, and what happened.

In: tables (levels.py) and a timeline. Holds, for all draws of a Monte Carlo: charge q and head
difference d [Ah] at every edge, the state of each cut-off, the currents [A] and levels [Ah] that
follow from what is connected just now, and the record from which answers.py reads everything else.
engine.py and events.py move it on.

Source: bookkeeping only; levels as in levels.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked.levels import Tables, picked, surface_charge_at
from fusemap.electrics.parked.timeline import Numbers, Picked, Timeline
from fusemap.electrics.values import Floats, TruthArray

ON, WAITING, SWINGING, OFF = range(4)
"""State of a cut-off: connected; connected while its delay runs; connected because it would be on
again in the instant it trips; off (with a timer: not to be looked at before)."""

LEVEL_TOLERANCE = 1e-9
"""Share of qmax by which a level must be passed back before a delay is given up [-]."""

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


@dataclass(frozen=True, eq=False)
class Happening:
    """Cut-offs (their numbers) did something, each for one draw of the Monte Carlo, at an hour."""

    kind: EventKind
    cut_off: Numbers
    which: Numbers
    hours: Floats


@dataclass(frozen=True, eq=False)
class Piece:
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


@dataclass
class Run:
    """State and record; arrays have the draws of the Monte Carlo on their last axis."""

    battery: TwoWell
    tables: Tables
    timeline: Timeline
    count: int
    q: Floats = field(init=False)  # (edges, count)
    d: Floats = field(init=False)
    split: TruthArray = field(init=False)  # (stretches, count), the stretches with an event
    empty_h: Floats = field(init=False)
    state: NDArray[np.int8] = field(init=False)  # (cut-offs, count)
    timer: Floats = field(init=False)
    tripped_h: Floats = field(init=False)
    chatter: TruthArray = field(init=False)
    rebound_v: Floats = field(init=False)
    pieces: list[Piece] = field(init=False, default_factory=list)
    happenings: list[Happening] = field(init=False, default_factory=list)
    total: Floats = field(init=False)  # (patterns, count), current of all that is connected
    gain_q: Floats = field(init=False)  # (steps, count)
    gain_d: Floats = field(init=False)
    low: Floats = field(init=False)  # (patterns, count), next level of the surface charge below
    high: Floats = field(init=False)  # ... and above
    off_level: Floats = field(init=False)  # (cut-offs, patterns, count)
    on_level: Floats = field(init=False)

    def __post_init__(self) -> None:
        edges, cuts, n = len(self.timeline.edges), len(self.tables.cut_offs.draw), self.count
        patterns, steps = len(self.timeline.temperature), len(self.timeline.step_hours)
        self.q, self.d = np.zeros((2, edges, n))
        self.split = np.zeros((edges - 1, n), dtype=bool)
        self.empty_h = np.full(n, np.inf)
        self.state = np.full((cuts, n), ON, dtype=np.int8)
        self.timer = np.full((cuts, n), np.inf)
        self.tripped_h = np.full((cuts, n), -np.inf)
        self.chatter = np.zeros((cuts, n), dtype=bool)
        self.rebound_v = np.full((cuts, n), np.nan)
        self.total, self.low, self.high = np.zeros((3, patterns, n))
        self.gain_q, self.gain_d = np.zeros((2, steps, n))
        self.off_level, self.on_level = np.zeros((2, cuts, patterns, n))
        everyone = np.arange(n)
        self.find_cut_off_levels(everyone)
        self.refresh(everyone)

    def connected(self, which: Picked) -> TruthArray:
        """Whether each cut-off lets its draw run, (cut-offs, draws)."""
        return np.asarray((self.state[:, which] != OFF) & np.isinf(self.empty_h[which]))

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
        v_off, v_on, cable_ohm = (
            picked(each, which)[:, None, :] for each in (cut.v_off, cut.v_on, cut.cable_ohm)
        )
        others = picked(cut.permanent_a, which) + (picked(cut.others_a, which) * on).sum(axis=1)
        own = picked(cut.own_a, which)
        off_v = v_off + (others + own) * ohm + own * cable_ohm
        on_v = v_on + others * ohm
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


def at(table: Floats, pattern: Numbers, which: Numbers) -> Floats:
    """Values of a table [any unit] (..., patterns, 1 or draws) for pairs of a pattern and a draw.

    pattern [-] and which [-] are their numbers. Source: bookkeeping only.
    """
    return table[..., pattern, 0] if table.shape[-1] == 1 else table[..., pattern, which]
