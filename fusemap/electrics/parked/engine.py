"""The run from event to event of a parked battery, all draws of a Monte Carlo at once.

In and out: a Run (run.py). Stretches are first run through as if nothing happened; where a level
[Ah] or a timer [h] falls inside one, that stretch is solved exactly, event by event, and the run
goes on from there. There is no step size: every instant is a closed form or a bracketed root.

Inside such a stretch each step goes to the next instant [h] at which a level [Ah] is met or a timer
ends, then settles everything that is due at it from one and the same state, so that the order in
which draws are listed, or simultaneous events are looked at, cannot matter.

Source: equations of two_well.py; the held state of a full battery is derived at `_advance_held`.
"""

from __future__ import annotations

from itertools import count

import numpy as np

from fusemap.electrics import two_well
from fusemap.electrics.parked.crossings import note_crossings
from fusemap.electrics.parked.run import (
    FULL_TOLERANCE,
    LEVEL_TOLERANCE,
    OFF,
    ON,
    REST_H,
    SWINGING,
    WAITING,
    EventKind,
    Happening,
    Piece,
    Run,
)
from fusemap.electrics.parked.timeline import Numbers, Picked, at, picked
from fusemap.electrics.two_well import mean_decay
from fusemap.electrics.values import Floats, TruthArray

SAME_TIME_H = 1e-12
"""Instants closer than this [h] are the same."""

FOLLOWED = 400
"""After so many events in one stretch each further step takes at least REST_H: a cut-off and a
source that meet at the same voltage could swap for ever without any time going by."""

Constants = tuple[Floats, Floats, Floats, Floats]
"""Current [A], leak [1/h], k [1/h], c [-]."""


def through_events(run: Run, which: Numbers, row: Numbers) -> None:
    """Takes some draws through the stretch that holds their next event, to its far edge."""
    run.split[row, which] = True
    q, d = run.q[row, which], run.d[row, which]
    later_h = run.later_h[which]
    t, end = run.timeline.edges[row] + later_h, run.timeline.edges[row + 1] + later_h
    for step in count():
        args = run.constants(which, run.timeline.pattern[row])
        held = _held_full(run, which, q, d, args)
        dt = _hours_to_next(run, which, row, q, d, args, held, t, end - t)
        if step >= FOLLOWED:
            dt = np.maximum(dt, np.minimum(REST_H, end - t))
        before, start_h = (q, d), t
        q, d, refused = _advance(run, which, q, d, args, dt, held)
        t = np.where(dt >= end - t, end, t + dt)
        if (t > start_h).any():
            ends = ((before[0], q), (before[1], d))
            there = row + run.later_row[which]
            run.pieces.append(Piece(which, there, start_h, t, *ends, held, refused))
        settle(run, which, row, q, d, t)
        done = t >= end - SAME_TIME_H
        run.q[row[done] + 1, which[done]], run.d[row[done] + 1, which[done]] = q[done], d[done]
        if done.all():
            return
        going = ~done
        which, row = which[going], row[going]
        q, d, t, end = q[going], d[going], t[going], end[going]


def _held_full(run: Run, which: Numbers, q: Floats, d: Floats, args: Constants) -> TruthArray:
    """Whether a source holds the surface of each battery at full, so that it cannot rise."""
    full, u = picked(run.tables.full_ah, which), two_well.surface(q, d, args[3])
    held = (args[0] < 0.0) & (u >= full * (1.0 - FULL_TOLERANCE / 2.0))
    if held.any():
        held &= two_well.surface_slope(q, d, *args) > 0.0
    return held


def _hours_to_next(
    run: Run,
    which: Numbers,
    row: Numbers,
    q: Floats,
    d: Floats,
    args: Constants,
    held: TruthArray,
    t: Floats,
    remaining: Floats,
) -> Floats:
    """Hours [h] to the next event of each draw, or to the far edge of its stretch."""
    pattern = run.timeline.pattern[row]
    low, high = run.low[pattern, which], run.high[pattern, which]
    first = np.minimum(remaining, run.timer[:, which].min(axis=0, initial=np.inf) - t)
    first = np.maximum(first, 0.0)
    course = two_well.SurfaceCourse(q, d, *args)
    if (~held & (high < np.inf)).any():
        rise = course.first_time_at(high, remaining, falling=False)
        first = np.where(held, first, np.minimum(first, rise))
    if (low > -np.inf).any():
        fall = course.first_time_at(low, remaining)
        stays_up = held & (course.start > low)
        first = np.where(stays_up, first, np.minimum(first, fall))
    return np.asarray(first)


def _advance(
    run: Run, which: Numbers, q: Floats, d: Floats, args: Constants, dt: Floats, held: TruthArray
) -> tuple[Floats, Floats, Floats]:
    """State after dt [h], free or held at full, and the charge refused [Ah]."""
    current, leak, k, c = args
    new_q = two_well.charge_after(q, current, leak, dt)
    new_d = two_well.head_after(d, current, k + leak, c, dt)
    if not held.any():
        return new_q, new_d, np.zeros_like(q)
    held_q, held_d, refused = _advance_held(q, d, args, picked(run.tables.full_ah, which), dt)
    return (
        np.where(held, held_q, new_q),
        np.where(held, held_d, new_d),
        np.where(held, refused, 0.0),
    )


def _advance_held(
    q: Floats, d: Floats, args: Constants, full: Floats, dt: Floats
) -> tuple[Floats, Floats, Floats]:
    """State of a battery whose surface a source holds at full, and the charge [Ah] it refuses.

    With q - (1 - c)·d = qmax kept, q and d follow one rate: dd/dt = -(c·k + s)·d - s·qmax; the
    battery takes only what flows into the bound well and leaks away.
    """
    current, leak, k, c = args
    rate = c * k + leak
    rest = -leak * full / rate
    new_d = rest + (d - rest) * np.exp(-rate * dt)
    new_q = full + (1.0 - c) * new_d
    mean_d = rest + (d - rest) * mean_decay(rate * dt)
    leaked = leak * (full + (1.0 - c) * mean_d) * dt
    return new_q, new_d, (q - new_q - leaked) - current * dt


def settle(run: Run, which: Numbers, row: Numbers, q: Floats, d: Floats, t: Floats) -> None:
    """Everything that is due at this instant, each judged by the state just before it.

    which [-], row [-]: numbers of the draws and of their stretches; q, d [Ah]; t [h]. Source: ours.
    """
    pattern = run.timeline.pattern[row]
    u = two_well.surface(q, d, picked(run.tables.c, which))
    slack = LEVEL_TOLERANCE * picked(run.tables.full_ah, which) / 4.0
    met = (u <= run.low[pattern, which] + slack) | (u >= run.high[pattern, which] - slack)
    if not (met | (run.timer[:, which] <= t + SAME_TIME_H).any(axis=0)).any():
        return
    alive = np.isinf(run.empty_h[which])
    empties = alive & (u <= at(run.tables.empty_ah, pattern, which) + slack)
    fails = np.isinf(run.no_start_h[which])
    fails &= u <= at(run.tables.start_ah, pattern, which) + slack
    changed = empties | fails
    if len(run.state):
        on_before = run.connected(which)
        moved, tripped = _move_on(run, which, pattern, u, t, slack, alive)
        if tripped.any():
            _note_trips(run, which, pattern, q, t, tripped)
        changed = changed | moved
    if not changed.any():
        return
    run.no_start_h[which[fails]], run.no_start_q[which[fails]] = t[fails], q[fails]
    run.empty_h[which[empties]] = t[empties]
    run.timer[:, which[empties]] = np.inf
    if len(run.state) > 1:
        switched = (run.connected(which) != on_before).any(axis=0)
        run.find_cut_off_levels(which[switched])
    run.refresh(which[changed])


def _move_on(
    run: Run,
    which: Numbers,
    pattern: Numbers,
    u: Floats,
    t: Floats,
    slack: Floats,
    alive: TruthArray,
) -> tuple[TruthArray, TruthArray]:
    """Moves every cut-off on to its next state; where something changed, and which tripped."""
    state, timer = run.state[:, which], run.timer[:, which]
    off, on = run.off_level[:, pattern, which], run.on_level[:, pattern, which]
    ended = timer <= t + SAME_TIME_H
    waiting, swinging = alive & (state == WAITING), alive & (state == SWINGING)
    due = waiting & ended
    swings = due & (u >= on - slack)  # it would be on again in the same instant
    recovers = ((waiting & ~due) | swinging) & (u >= off + 3.0 * slack)
    trips = (due & ~swings) | (swinging & ~recovers & (u <= on + slack))
    dips = alive & (state == ON) & (u <= off + slack)
    rested = alive & (state == OFF) & ended
    returns = alive & (state == OFF) & (rested | np.isinf(timer)) & (u >= on - slack)
    earliest = run.tripped_h[:, which] + run.rest_h(which)
    too_soon = returns & ~rested & (t < earliest)
    returns &= ~too_soon
    changed = np.asarray(dips | due | recovers | trips | rested | returns | too_soon)
    if not changed.any():
        return np.zeros_like(alive), trips
    for mask, new in ((dips, WAITING), (swings, SWINGING), (recovers | returns, ON), (trips, OFF)):
        state[mask] = new
    timer = np.where(changed, np.inf, timer)
    timer = np.where(dips, t + picked(run.tables.cut_offs.delay_h, which), timer)
    timer = np.where(too_soon, earliest, timer)
    run.state[:, which], run.timer[:, which] = state, timer
    _note(run, EventKind.CUT_OFF_RECONNECTS, which, t, returns | swings)
    return np.asarray(changed.any(axis=0)), np.asarray(trips | swings)


def _note_trips(
    run: Run, which: Numbers, pattern: Numbers, q: Floats, t: Floats, tripped: TruthArray
) -> None:
    """Records trips, and whether the battery will bring the draw back by recovering."""
    cut, j = np.nonzero(tripped)
    who = which[j]
    volts = _rebound(run, cut, who, pattern[j], q[j])
    v_on = run.tables.cut_offs.v_on
    is_off = run.state[cut, who] == OFF
    chatters = ~is_off | (volts >= (v_on[cut, 0] if v_on.shape[1] == 1 else v_on[cut, who]))
    seen = run.rebound_v[cut, who]
    run.rebound_v[cut, who] = np.where(np.isnan(seen), volts, seen)
    run.chatter[cut, who] |= chatters
    run.note_trip(cut, who, t[j])
    _note(run, EventKind.CUT_OFF_TRIPS, which, t, tripped)
    if chatters.any():
        run.happenings.append(
            Happening(EventKind.CUT_OFF_CHATTERS, cut[chatters], who[chatters], t[j[chatters]])
        )


def _rebound(run: Run, cut: Numbers, which: Numbers, pattern: Numbers, q: Floats) -> Floats:
    """Voltage [V] at the device after recovery, with its draw off and the other loads still on.

    Sources are left aside: sun bringing a draw back is no chatter.
    """
    tables = run.tables
    on = run.connected(which)
    on[cut, np.arange(len(cut))] = False
    current = at(tables.permanent_a, pattern, which) - at(tables.sources_a, pattern, which)
    current = current + (at(tables.switched_a, pattern, which) * on).sum(axis=0)
    _, leak, k, c = run.constants(which, pattern)
    u = two_well.surface(q, current / (c * (k + leak)), c)
    soc = 1.0 - (picked(tables.full_ah, which) - u) / picked(tables.scaled_ah, which)
    cuts = tables.cut_offs
    beside = (at(cuts.others_v, pattern, which)[cut, :, np.arange(len(cut))].T * on).sum(axis=0)
    beside = beside + at(cuts.permanent_v, pattern, which)[cut, np.arange(len(cut))]
    volts = run.battery.ocv(soc, which) - current * picked(tables.ohm, which)
    return np.asarray(volts - beside)


def _note(run: Run, kind: EventKind, which: Numbers, t: Floats, where: TruthArray) -> None:
    if where.any():
        cut, j = np.nonzero(where)
        run.happenings.append(Happening(kind, cut, which[j], t[j]))


def run_windows(run: Run, row: int, last: int) -> None:
    """From the edge `row` [-] on to the edge `last` [-].

    Source: ours. It goes window by window: whoever meets an event goes through the rest of its
    window again, so windows are short where much happens and long where little does.
    """
    width = 64 if (run.total >= 0.0).all() else 8
    everyone = np.arange(run.count)
    while row < last:
        end = min(last, row + width)
        passes = run_window(run, everyone, row, end)
        row = end
        width = max(width // 2, 4) if passes > 4 else min(width * 2, 512)


def run_window(run: Run, those: Numbers, first: int, end: int) -> int:
    """Some draws, `those` [-], through the stretches `first` to `end` [-]; passes needed.

    Source: ours. Draws with an event start again after its stretch.
    """
    which, start, passes = those, np.full(len(those), first), 0
    before = len(run.pieces)
    while len(which):
        passes += 1
        base = int(start.min())
        q, d = _free_run(run, which, start, base, end)
        alarm = _alarms(run, which, base, end, q, d)
        if base < int(start.max()):
            alarm &= np.arange(base, end)[:, None] >= start
        hit = alarm.any(axis=0)
        if not hit.any():
            break
        row = base + alarm.argmax(axis=0)
        through_events(run, which[hit], row[hit])
        more = hit & (row + 1 < end)
        which, start = which[more], row[more] + 1
    note_crossings(run, those, first, end, run.pieces[before:])
    return passes


def _free_run(
    run: Run, which: Numbers, start: Numbers, base: int, end: int
) -> tuple[Floats, Floats]:
    """Charge and head at the edges from `base` to `end` as if no event came between.

    Each draw of the Monte Carlo joins in at its own stretch `start`.
    """
    if run.count == 1:
        return _free_run_single(run, base, end)
    everyone = len(which) == run.count
    cols: Picked = slice(None) if everyone else which
    q, d = run.q[base : end + 1, cols], run.d[base : end + 1, cols]
    t, step = run.tables, run.timeline.step
    decay_q, decay_d = picked(t.decay_q, cols), picked(t.decay_d, cols)
    gain_q, gain_d = run.gain_q[:, cols], run.gain_d[:, cols]
    last_start = int(start.max()) - base
    for j in range(end - base):
        s = step[base + j]
        next_q = decay_q[s] * q[j] + gain_q[s]
        next_d = decay_d[s] * d[j] + gain_d[s]
        if j < last_start:
            runs = start <= base + j
            next_q, next_d = np.where(runs, next_q, q[j + 1]), np.where(runs, next_d, d[j + 1])
        q[j + 1], d[j + 1] = next_q, next_d
    if not everyone:
        run.q[base : end + 1, cols], run.d[base : end + 1, cols] = q, d
    return q, d


def _free_run_single(run: Run, base: int, end: int) -> tuple[Floats, Floats]:
    """The same for a single forecast: plain numbers are faster than arrays of one."""
    steps = run.timeline.step[base:end]
    rows = (run.tables.decay_q, run.gain_q, run.tables.decay_d, run.gain_d)
    q, d = float(run.q[base, 0]), float(run.d[base, 0])
    charges, heads = [q], [d]
    columns = (values[steps, 0].tolist() for values in rows)
    for decay_q, gain_q, decay_d, gain_d in zip(*columns, strict=True):
        q, d = decay_q * q + gain_q, decay_d * d + gain_d
        charges.append(q)
        heads.append(d)
    run.q[base : end + 1, 0], run.d[base : end + 1, 0] = charges, heads
    return run.q[base : end + 1], run.d[base : end + 1]


def _alarms(run: Run, which: Numbers, base: int, end: int, q: Floats, d: Floats) -> TruthArray:
    """In which stretches a level is met or a timer ends, (stretches, draws); exact, no guess."""
    pattern = run.timeline.pattern[base:end]
    everyone = len(which) == run.count

    def along(table: Floats) -> Floats:
        return table[pattern] if everyone else table[pattern[:, None], which]

    share = 1.0 - picked(run.tables.c, which)
    u = q - share * d
    low = along(run.low)
    alarm = (u[1:] <= low) | (u[:-1] <= low)
    if (run.total[:, which] < 0.0).any():  # only a source lets the surface dip within a stretch
        floor = np.minimum(q[1:], q[:-1]) - share * np.maximum(d[1:], d[:-1])
        _look_inside(run, alarm, (floor <= low) & ~alarm, low, which, base, q, d)
    if (run.high[:, which] < np.inf).any():
        high = along(run.high)
        alarm |= (u[1:] >= high) | (u[:-1] >= high)
        peak = np.maximum(q[1:], q[:-1]) - share * np.minimum(d[1:], d[:-1])
        _look_inside(run, alarm, (peak >= high) & ~alarm, high, which, base, q, d, rising=True)
    due = run.timer[:, which].min(axis=0, initial=np.inf) - run.later_h[which]
    if np.isfinite(due).any():
        alarm |= run.timeline.edges[base + 1 : end + 1, None] >= due
    return np.asarray(alarm)


def _look_inside(
    run: Run,
    alarm: TruthArray,
    doubtful: TruthArray,
    level: Floats,
    which: Numbers,
    base: int,
    q: Floats,
    d: Floats,
    *,
    rising: bool = False,
) -> None:
    """Raises the alarm where the surface charge turns beyond the level inside a stretch."""
    j, i = np.nonzero(doubtful)
    if not len(j):
        return
    args = run.constants(which[i], run.timeline.pattern[base + j])
    hours = np.diff(run.timeline.edges)[base + j]
    course = two_well.SurfaceCourse(q[j, i], d[j, i], *args)
    at_turn = course.at(np.minimum(course.turn(), hours))
    alarm[j, i] = at_turn >= level[j, i] if rising else at_turn <= level[j, i]
