"""What happens inside one stretch of a parked battery, instant by instant.

In and out: a Run (parked_state.py), and for some draws the stretch that holds an event. Each step
goes to the next instant [h] at which a level [Ah] is met or a timer ends, then settles everything
that is due at it from one and the same state, so that the order in which draws are listed, or
simultaneous events are looked at, cannot matter.

Source: equations of two_well.py; the held state of a full battery is derived at `_advance_held`.
"""

from __future__ import annotations

import numpy as np

from fusemap.electrics import two_well
from fusemap.electrics.parked_levels import column, picked
from fusemap.electrics.parked_state import (
    BELOW,
    CHATTER_REST_H,
    CHATTERING,
    FULL_TOLERANCE,
    LEVEL_TOLERANCE,
    OFF,
    ON,
    RESTING,
    Happening,
    Mask,
    Numbers,
    Piece,
    Run,
)
from fusemap.electrics.two_well import mean_decay
from fusemap.electrics.values import Floats

SAME_TIME_H = 1e-12
"""Instants closer than this [h] are the same."""

MOST_STEPS = 1_000_000
"""More events than this in one stretch are a fault of the program."""

Constants = tuple[Floats, Floats, Floats, Floats]
"""Current [A], leak [1/h], k [1/h], c [-]."""


def through_events(run: Run, which: Numbers, row: Numbers) -> None:
    """Takes some draws through the stretch that holds their next event, to its far edge."""
    q, d = run.q[row, which], run.d[row, which]
    t, end = run.timeline.edges[row], run.timeline.edges[row + 1]
    for _ in range(MOST_STEPS):
        before, on = (q, d, t), run.what_is_on() if run.count == 1 else ((), False)
        held, dt = _next_instant(run, which, row, q, d, t, end - t)
        q, d = _advance(run, which, row, q, d, dt, held)
        t = np.where(dt >= end - t, end, t + dt)
        if run.count == 1:
            _note_piece(run, before, (q, d, t), row, on)
        settle(run, which, row, q, d, t)
        done = t >= end - SAME_TIME_H
        run.q[row[done] + 1, which[done]], run.d[row[done] + 1, which[done]] = q[done], d[done]
        if done.all():
            return
        going = ~done
        which, row = which[going], row[going]
        q, d, t, end = q[going], d[going], t[going], end[going]
    raise RuntimeError("the parked battery finds no end of events in one stretch")


def _note_piece(
    run: Run,
    before: tuple[Floats, ...],
    after: tuple[Floats, ...],
    row: Numbers,
    on: tuple[tuple[bool, ...], bool],
) -> None:
    if after[2][0] > before[2][0]:
        q, d = (before[0], after[0]), (before[1], after[1])
        run.pieces.append(Piece(before[2], after[2], row, q, d, *on))


def _next_instant(
    run: Run, which: Numbers, row: Numbers, q: Floats, d: Floats, t: Floats, remaining: Floats
) -> tuple[Mask, Floats]:
    """Whether each battery is held at full, and hours [h] to its next event or the far edge."""
    pattern = run.timeline.pattern[row]
    args = run.constants(which, pattern)
    current, leak, k, c = args
    low, high = run.low[pattern, which], run.high[pattern, which]
    charge = run.alarm[pattern, which]
    full = picked(run.tables.full_ah, which)
    u = two_well.surface(q, d, c)
    held = (current < 0.0) & (u >= full * (1.0 - FULL_TOLERANCE / 2.0))
    held &= two_well.surface_slope(q, d, current, leak, k, c) > 0.0
    rise = np.where(u >= high, 0.0, np.inf)
    if (~held & (high < np.inf)).any():
        found = two_well.first_time_at_level(q, d, high, *args, remaining, falling=False)
        rise = np.where(held, rise, found)
    fall = two_well.first_time_at_level(q, d, low, *args, remaining)
    fall = np.where(held & (u > low), np.inf, fall)
    spend = np.where(q <= charge, 0.0, two_well.time_to_charge(q, charge, current, leak))
    spend = np.where(held & (q > charge), np.inf, spend)
    due = np.maximum(run.timer[:, which].min(axis=0, initial=np.inf) - t, 0.0)
    first_full = held & np.isinf(run.full_h[which])
    if first_full.any():
        run.full_h[which[first_full]] = t[first_full]
        _happens(run, "full", None, t, q, d, row)
    return held, np.minimum.reduce((remaining, rise, fall, spend, due))


def _advance(
    run: Run, which: Numbers, row: Numbers, q: Floats, d: Floats, dt: Floats, held: Mask
) -> tuple[Floats, Floats]:
    """State after dt [h], free or held at full."""
    current, leak, k, c = args = run.constants(which, run.timeline.pattern[row])
    new_q = two_well.charge_after(q, current, leak, dt)
    new_d = two_well.head_after(d, current, k + leak, c, dt)
    if held.any():
        full = picked(run.tables.full_ah, which)
        held_q, held_d, refused = _advance_held(q, d, args, full, dt)
        run.unaccepted[which] += np.where(held, refused, 0.0)
        new_q, new_d = np.where(held, held_q, new_q), np.where(held, held_d, new_d)
    return new_q, new_d


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
    """Everything that is due at this instant, each judged by the state just before it."""
    pattern = run.timeline.pattern[row]
    full = picked(run.tables.full_ah, which)
    u, slack = two_well.surface(q, d, picked(run.tables.c, which)), LEVEL_TOLERANCE * full / 4.0
    alive = np.isinf(run.empty_h[which])
    cranks = np.isinf(run.crank_h[which]) & (q <= _at(run.tables.crank_ah, pattern, which) + slack)
    freezes = np.isinf(run.freeze_h[which])
    freezes &= q <= _at(run.tables.freeze_ah, pattern, which) + slack
    empties = alive & (u <= _at(run.tables.empty_ah, pattern, which) + slack)
    if cranks.any():
        _end_cranking(run, which[cranks], q[cranks], t[cranks])
        _happens(run, "crank limit", None, t, q, d, row)
    if freezes.any():
        run.freeze_h[which[freezes]] = t[freezes]
        _happens(run, "freezes", None, t, q, d, row)
    changed, trips = cranks | freezes | empties, np.zeros_like(run.state[:, which], dtype=bool)
    on_before = run.connected(which)
    taken = run.taken_until(which, t) if len(run.state) else run.taken[:, which]
    for number in range(len(run.state)):
        new, trips[number], swings = _new_state(run, number, which, pattern, u, t, slack, alive)
        changed |= new
        if swings.any():
            _happens(run, "chatters", number, t, q, d, row)
    for number in range(len(run.state)):
        if trips[number].any():
            _note_trips(run, number, which, row, pattern, q, d, t, trips[number])
    if empties.any():
        run.empty_h[which[empties]] = t[empties]
        run.timer[:, which[empties]] = np.inf
        _happens(run, "empty", None, t, q, d, row)
    _after_switching(run, which, row, on_before, taken, q, d, t)
    if changed.any():
        run.refresh(which[changed])


def _at(table: Floats, pattern: Numbers, which: Numbers) -> Floats:
    return table[pattern, 0] if table.shape[1] == 1 else table[pattern, which]


def _end_cranking(run: Run, which: Numbers, q: Floats, t: Floats) -> None:
    """Keeps what had been taken when the charge fell below the crank limit."""
    run.crank_h[which], run.crank_q[which] = t, q
    run.crank_taken[:, which] = run.taken_until(which, t)
    run.crank_unaccepted[which] = run.unaccepted[which]


def _new_state(
    run: Run,
    number: int,
    which: Numbers,
    pattern: Numbers,
    u: Floats,
    t: Floats,
    slack: Floats,
    alive: Mask,
) -> tuple[Mask, Mask, Mask]:
    """Moves one cut-off on; where its state changed, it tripped, or would be back at once."""
    state = run.state[number, which]
    off, on = run.off_level[number, pattern, which], run.on_level[number, pattern, which]
    ended = run.timer[number, which] <= t + SAME_TIME_H
    due = alive & (state == BELOW) & ended
    at_once = due & (u >= on - slack)  # connected again in the same instant
    recovers = alive & ((state == BELOW) | (state == CHATTERING)) & (u >= off + 3.0 * slack) & ~due
    gives_up = alive & (state == CHATTERING) & (u <= on + slack) & ~recovers
    dips = alive & (state == ON) & (u <= off + slack)
    rested = alive & (state == RESTING) & ended
    returns = alive & (state == OFF) & (u >= on - slack)
    trips = (due & ~at_once) | gives_up
    delay = picked(run.tables.cut_offs[number].delay_h, which) + np.zeros_like(t)
    changes = (
        (dips, BELOW),
        (at_once, CHATTERING),
        (recovers | returns, ON),
        (rested, OFF),
        (trips, OFF),
    )
    for mask, new in changes:
        state = np.where(mask, new, state)
    run.state[number, which] = state
    timer = np.where(
        dips, t + delay, np.where(due | recovers | rested, np.inf, run.timer[number, which])
    )
    run.timer[number, which] = timer
    run.chatter[number, which] |= at_once
    return dips | due | recovers | gives_up | rested | returns, trips, at_once


def _note_trips(
    run: Run,
    number: int,
    which: Numbers,
    row: Numbers,
    pattern: Numbers,
    q: Floats,
    d: Floats,
    t: Floats,
    trips: Mask,
) -> None:
    """Counts the trips, and lets a cut-off rest whose battery recovers above v_on without it."""
    who = which[trips]
    cut = run.tables.cut_offs[number]
    volts = _rebound(run, number, who, pattern[trips], q[trips])
    swings = volts >= picked(cut.v_on, who)
    run.trips[number, who] += 1
    run.first_trip_h[number, who] = np.minimum(run.first_trip_h[number, who], t[trips])
    seen = run.rebound_v[number, who]
    run.rebound_v[number, who] = np.where(np.isnan(seen), volts, seen)
    run.chatter[number, who] |= swings
    run.state[number, who] = np.where(swings, RESTING, OFF)
    run.timer[number, who] = np.where(swings, t[trips] + CHATTER_REST_H, np.inf)
    _happens(run, "trips", number, t, q, d, row)


def _rebound(run: Run, number: int, which: Numbers, pattern: Numbers, q: Floats) -> Floats:
    """Voltage [V] that the battery recovers to with this draw off and the other loads still on.

    Sources are left aside: sun bringing a draw back is no chatter.
    """
    tables = run.tables
    current = _at(tables.permanent_a, pattern, which) - _at(tables.sources_a, pattern, which)
    on = run.connected(which)
    for other, amperes in enumerate(tables.switched_a):
        if other != number:
            current = current + _at(amperes, pattern, which) * on[other]
    _, leak, k, c = run.constants(which, pattern)
    settled = current / (c * (k + leak))
    u = two_well.surface(q, settled, c)
    soc = 1.0 - (picked(tables.full_ah, which) - u) / picked(tables.scaled_ah, which)
    return column(run.battery.ocv(soc, which)) - current * picked(tables.ohm, which)


def _after_switching(
    run: Run,
    which: Numbers,
    row: Numbers,
    on_before: Mask,
    taken: Floats,
    q: Floats,
    d: Floats,
    t: Floats,
) -> None:
    """Books the charge of what went off, starts the count of what came on, renews the levels."""
    on_now = run.connected(which)
    for number in np.flatnonzero((on_now != on_before).any(axis=1)):
        went, came = on_before[number] & ~on_now[number], on_now[number] & ~on_before[number]
        run.taken[number, which[went]] = taken[number, went]
        run.on_since[number, which[came]] = t[came]
        run.reconnects[number, which[came]] += 1
        if came.any():
            _happens(run, "reconnects", int(number), t, q, d, row)
        for other in range(len(run.state)):
            if other != number:
                run.set_cut_off_levels(other, which[went | came])


def _happens(
    run: Run, what: str, cut_off: int | None, t: Floats, q: Floats, d: Floats, row: Numbers
) -> None:
    """Notes an event of a single forecast."""
    if run.count == 1:
        run.happenings.append(
            Happening(float(t[0]), what, cut_off, float(q[0]), float(d[0]), int(row[0]))
        )
