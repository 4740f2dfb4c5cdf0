"""State and record of a parked battery on its way through time, all draws of a Monte Carlo.

In: the tables of parked_levels.py and a timeline. Holds: charge [Ah] at every edge, the state of
each cut-off, hours [h] of the ends, and the currents [A] and levels [Ah] that follow from what is
connected just now. parked_engine.py and parked_events.py move it on; nothing here knows how.

Source: bookkeeping only; levels as in parked_levels.py.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked_levels import NEVER_AH, Picked, Tables, picked, surface_charge_at
from fusemap.electrics.parked_timeline import Timeline
from fusemap.electrics.values import Floats

Numbers = NDArray[np.intp]
Mask = NDArray[np.bool_]

ON, BELOW, CHATTERING, RESTING, OFF = range(5)
"""State of a cut-off: connected; connected with its delay running; connected because it would be
on again at once; off for a while after chatter; off."""

CHATTER_REST_H = 0.25
"""A cut-off that chatters stays off this long [h] before it is looked at again, so that its swings
need not all be followed; what it takes in them is small beside the battery."""

LEVEL_TOLERANCE = 1e-9
"""Share of qmax by which a level must be passed back before a timer is reset [-]."""

FULL_TOLERANCE = 1e-10
"""Share of qmax by which a charging battery must pass full before it is held there [-]."""


@dataclass
class Piece:
    """A stretch of one draw between two events, for the chart: times [h], charges [Ah], loads."""

    start_h: Floats
    end_h: Floats
    row: Numbers
    q: tuple[Floats, Floats]
    d: tuple[Floats, Floats]
    connected: tuple[bool, ...]
    empty: bool


@dataclass
class Happening:
    """Something that happened to the battery or a cut-off (its number) in a single forecast."""

    hours: float
    what: str
    cut_off: int | None
    q: float
    d: float
    row: int


@dataclass
class Run:
    """State and record of a run; arrays have one entry per draw of the Monte Carlo (last axis)."""

    battery: TwoWell
    tables: Tables
    timeline: Timeline
    count: int
    start_q: Floats
    q: Floats = field(init=False)  # (edges, count)
    d: Floats = field(init=False)
    crank_h: Floats = field(init=False)
    empty_h: Floats = field(init=False)
    freeze_h: Floats = field(init=False)
    full_h: Floats = field(init=False)
    state: NDArray[np.int8] = field(init=False)  # (cut-offs, count)
    timer: Floats = field(init=False)
    pieces: list[Piece] = field(init=False, default_factory=list)
    happenings: list[Happening] = field(init=False, default_factory=list)

    def __post_init__(self) -> None:
        edges, cuts, n = len(self.timeline.edges), len(self.tables.cut_offs), self.count
        self.q, self.d = np.zeros((edges, n)), np.zeros((edges, n))
        self.q[0] = self.start_q
        self.crank_h, self.empty_h = np.full(n, np.inf), np.full(n, np.inf)
        self.freeze_h, self.full_h = np.full(n, np.inf), np.full(n, np.inf)
        self.state = np.zeros((cuts, n), dtype=np.int8)
        self.timer = np.full((cuts, n), np.inf)
        self.taken = np.zeros((cuts, n))  # Ah in earlier connected times
        self.on_since = np.zeros((cuts, n))
        self.trips, self.reconnects = np.zeros((cuts, n), int), np.zeros((cuts, n), int)
        self.first_trip_h = np.full((cuts, n), np.inf)
        self.chatter = np.zeros((cuts, n), dtype=bool)
        self.rebound_v = np.full((cuts, n), np.nan)
        self.unaccepted = np.zeros(n)
        self.crank_taken = np.zeros((cuts, n))  # as `taken`, but when cranking ended
        self.crank_unaccepted, self.crank_q = np.zeros(n), np.zeros(n)
        self._prepare()

    def _prepare(self) -> None:
        """Room for the tables that depend on what is connected, and their first values."""
        patterns, n = len(self.timeline.pattern_stretch), self.count
        self.total, self.low = np.zeros((patterns, n)), np.zeros((patterns, n))
        self.high, self.alarm = np.zeros((patterns, n)), np.zeros((patterns, n))
        self.gain_q = np.zeros((len(self.timeline.step_hours), n))
        self.gain_d = np.zeros_like(self.gain_q)
        cuts = len(self.tables.cut_offs)
        self.off_level, self.on_level = np.zeros((2, cuts, patterns, n))
        everyone = np.arange(n)
        for number in range(cuts):
            self.set_cut_off_levels(number, everyone)
        self.refresh(everyone)

    # what is connected decides currents and levels

    def connected(self, which: Picked) -> Mask:
        """Whether each cut-off lets its draw run, (cut-offs, draws)."""
        return np.asarray(self.state[:, which] <= CHATTERING) & np.isinf(self.empty_h[which])

    def set_cut_off_levels(self, number: int, which: Numbers) -> None:
        """Surface charges [Ah] at which one cut-off trips and reconnects, for some draws."""
        cut = self.tables.cut_offs[number]
        on = self.connected(which)
        others = picked(cut.permanent_a, which) + np.zeros(len(which))
        for other, current in enumerate(cut.switched_a):
            if other != number:
                others = others + picked(current, which) * on[other]
        own, ohm = picked(cut.own_a, which), picked(self.tables.ohm, which)
        off_v = picked(cut.v_off, which) + (others + own) * ohm
        off_v = off_v + own * picked(cut.cable_ohm, which)
        on_v = picked(cut.v_on, which) + others * ohm
        self.off_level[number][:, which] = surface_charge_at(self.battery, off_v, which)
        self.on_level[number][:, which] = surface_charge_at(self.battery, on_v, which)

    def refresh(self, which: Numbers) -> None:
        """Currents and levels of some draws after something was switched."""
        t = self.tables
        alive, on = np.isinf(self.empty_h[which]), self.connected(which)
        total = np.where(alive, picked(t.permanent_a, which), picked(t.sources_a, which))
        for number, current in enumerate(t.switched_a):
            total = total + picked(current, which) * on[number]
        self.total[:, which] = total
        pattern = self.timeline.step_pattern
        self.gain_q[:, which] = -total[pattern] * picked(t.weight_q, which)
        self.gain_d[:, which] = total[pattern] * picked(t.weight_d, which)
        self._refresh_levels(which, total, alive)

    def _refresh_levels(self, which: Numbers, total: Floats, alive: Mask) -> None:
        """The next level below, the next above, and the next charge, per pattern and draw."""
        t = self.tables
        full = picked(t.full_ah, which)
        low = np.where(alive, picked(t.empty_ah, which), -np.inf)
        high = np.where(total < 0.0, full * (1.0 + FULL_TOLERANCE), np.inf)
        for number in range(len(t.cut_offs)):
            state = np.where(alive, self.state[number, which], RESTING)
            off, on = self.off_level[number][:, which], self.on_level[number][:, which]
            low = np.maximum(low, np.where(state == ON, off, -np.inf))
            low = np.maximum(low, np.where(state == CHATTERING, on, -np.inf))
            waits = (state == BELOW) | (state == CHATTERING)
            high = np.minimum(high, np.where(waits, off + LEVEL_TOLERANCE * full, np.inf))
            high = np.minimum(high, np.where(state == OFF, on, np.inf))
        cranks, liquid = np.isinf(self.crank_h[which]), np.isinf(self.freeze_h[which])
        alarm = np.where(cranks, picked(t.crank_ah, which), NEVER_AH)
        alarm = np.maximum(alarm, np.where(liquid, picked(t.freeze_ah, which), NEVER_AH))
        self.low[:, which], self.high[:, which], self.alarm[:, which] = low, high, alarm

    _full_slack = 1e-10
    """Share of qmax by which a charging battery must pass full before it is held there [-]."""

    def constants(self, which: Numbers, pattern: Numbers) -> tuple[Floats, Floats, Floats, Floats]:
        """Current [A], leak [1/h], k [1/h] and c [-] for pairs of a draw and a pattern."""
        t = self.tables
        leak = t.leak[pattern, 0] if t.leak.shape[1] == 1 else t.leak[pattern, which]
        return self.total[pattern, which], leak, picked(t.k, which), picked(t.c, which)

    def what_is_on(self) -> tuple[tuple[bool, ...], bool]:
        """In a single forecast: which cut-offs are connected, and whether the battery is empty."""
        on = self.connected(slice(None))[:, 0]
        return tuple(bool(each) for each in on), bool(np.isfinite(self.empty_h[0]))

    def taken_until(self, which: Numbers, hours: Floats) -> Floats:
        """Charge [Ah] that each draw with a cut-off took until `hours` [h], (cut-offs, draws)."""
        taken, on = self.taken[:, which], self.connected(which)
        for number, cut in enumerate(self.tables.cut_offs):
            if on[number].any():
                until = self.timeline.ampere_hours(cut.draw, hours, which)
                since = self.timeline.ampere_hours(cut.draw, self.on_since[number, which], which)
                taken[number] += on[number] * (until - since)
        return taken
