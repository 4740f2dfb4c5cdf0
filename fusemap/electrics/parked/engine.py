"""The run from event to event of a parked battery, all draws of a Monte Carlo at once.

In and out: a Run (run.py). Stretches are first run through as if nothing happened; where a level
[Ah] or a timer [h] falls inside one, that stretch is solved exactly, event by event (events.py),
and the run goes on from there. There is no step size: every instant is a closed form or a
bracketed root.

Source: equations of two_well.py.
"""

from __future__ import annotations

import numpy as np

from fusemap.electrics import two_well
from fusemap.electrics.parked.events import through_events
from fusemap.electrics.parked.levels import picked
from fusemap.electrics.parked.run import Run
from fusemap.electrics.parked.timeline import Numbers, Picked
from fusemap.electrics.values import Floats, TruthArray


def run_to_horizon(run: Run, start_q: Floats) -> None:
    """From a rested battery of charge `start_q` [Ah] at locking to the horizon.

    Source: ours. It goes window by window: whoever meets an event goes through the rest of its
    window again, so windows are short where much happens and long where little does. Where days
    are alike, a window that ends as it began is the last to be computed: the rest repeats it.
    """
    run.q[0], run.d[0] = start_q, 0.0
    alike, rows = run.timeline.days_alike, len(run.timeline.pattern)
    row, width = 0, 64 if (run.total >= 0.0).all() else 8
    while row < rows:
        end = min(rows, alike.window(row, width))
        before = run.standing(row) if alike.holds(row, end) else None
        pieces, happenings = len(run.pieces), len(run.happenings)
        passes = _run_window(run, row, end)
        if before is not None and before.same_as(run.standing(end), run.tables.full_ah):
            end += run.repeat(row, end, alike.last, pieces, happenings)
        row = end
        width = max(width // 2, 4) if passes > 4 else min(width * 2, 512)


def _run_window(run: Run, first: int, end: int) -> int:
    """Through one window; draws with an event start again after its stretch. Passes needed."""
    which, start, passes = np.arange(run.count), np.full(run.count, first), 0
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
    due = run.timer[:, which].min(axis=0, initial=np.inf)
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
