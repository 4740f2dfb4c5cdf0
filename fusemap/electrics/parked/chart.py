"""Points and events for the chart of a parked battery, from a finished run.

In: a Run (run.py). Out: Samples: hours [h], states of charge [-], battery voltage [V], and current
[A] and charge [Ah] of every draw, for stacking; and for a single forecast the list of Events. It
has both sides of each jump; a Monte Carlo has states at the edges, one column per draw, for a band.

Source: voltage as in levels.py, at mean currents.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from fusemap.electrics import two_well
from fusemap.electrics.parked.draws import Draw
from fusemap.electrics.parked.run import EventKind, Run
from fusemap.electrics.parked.timeline import SAME_INSTANT_H, Numbers
from fusemap.electrics.values import Floats


@dataclass(frozen=True)
class Event:
    """One event: hours since locking [h], kind, draw, state of charge [-], volts before it [V]."""

    hours: float
    kind: EventKind
    name: str
    soc: float
    volts: float


@dataclass(frozen=True, eq=False)
class Samples:
    """Points of the chart: hours since locking [h] (n,); the rest (n,), or (n, draws) for a band.

    soc and surface_soc [-]; volts at the battery [V]; current_a [A] and charge_ah [Ah], since
    locking, (names, n), empty for a band.
    """

    time_h: Floats
    soc: Floats
    surface_soc: Floats
    volts: Floats
    current_a: Floats
    charge_ah: Floats


@dataclass(frozen=True, eq=False)
class Pieces:
    """A single forecast, piece by piece between its edges and events: start and end of each.

    hours [h], q and d [Ah], all (2, pieces); current_a [A] of every draw (draws, pieces).
    """

    pattern: Numbers  # (pieces,)
    hours: Floats
    q: Floats
    d: Floats
    current_a: Floats
    full_h: float  # when a source first held it at full; inf if never


def pieces_of(run: Run, draws: Sequence[Draw]) -> Pieces:
    """The pieces of a finished single run, in order of time."""
    whole = np.flatnonzero(~run.split[:, 0])
    edges, q, d = run.timeline.edges, run.q[:, 0], run.d[:, 0]
    parts = [
        (whole, edges[whole], edges[whole + 1], q[whole], q[whole + 1], d[whole], d[whole + 1])
    ]
    parts += [(p.row, p.start_h, p.end_h, *p.q, *p.d) for p in run.pieces]
    row, *ends = (np.concatenate(each) for each in zip(*parts, strict=True))
    order = np.argsort(ends[0], kind="stable")
    hours, charge, head = (np.stack(ends[i : i + 2])[:, order] for i in (0, 2, 4))
    full = [float(p.start_h[0]) for p in run.pieces if p.held[0]]
    pattern = run.timeline.pattern[row[order]]
    current = _currents(run, draws, pattern, hours.mean(axis=0))
    return Pieces(pattern, hours, charge, head, current, min(full, default=np.inf))


def _currents(run: Run, draws: Sequence[Draw], pattern: Numbers, middle: Floats) -> Floats:
    """Current [A] of every draw in every piece, (draws, pieces)."""
    numbers = {draw: number for number, draw in enumerate(run.tables.cut_offs.draw)}
    empty = middle > run.empty_h[0]
    found = np.zeros((len(draws), len(pattern)))
    for draw in range(len(draws)):
        found[draw] = run.timeline.currents(draw)[pattern, 0] * ~empty
        if draw in numbers:
            found[draw] *= _is_connected(run, numbers[draw], middle)
        elif draws[draw].has_source:
            found[draw] += run.timeline.currents(draw, sources_only=True)[pattern, 0] * empty
    return found


def _is_connected(run: Run, number: int, hours: Floats) -> Floats:
    """Whether a cut-off of a single run is connected at these hours: fewer trips than returns."""
    counts = []
    for kind in (EventKind.CUT_OFF_TRIPS, EventKind.CUT_OFF_RECONNECTS):
        cut, _, at_h = run.when(kind)
        counts.append(np.searchsorted(np.sort(at_h[cut == number]), hours))
    return np.asarray(counts[0] <= counts[1])


def chart(run: Run, pieces: Pieces) -> Samples:
    """Samples of a single forecast, start and end of every piece."""
    length = pieces.hours[1] - pieces.hours[0]
    charge = np.cumsum(pieces.current_a * length, axis=1)
    charge = np.stack((charge - pieces.current_a * length, charge), axis=2)
    current = np.repeat(pieces.current_a, 2, axis=1)
    q, d = pieces.q.T.ravel(), pieces.d.T.ravel()
    return Samples(
        time_h=pieces.hours.T.ravel(),
        soc=np.asarray(run.battery.soc(q)),
        surface_soc=np.asarray(run.battery.surface_soc(q, d)),
        volts=_volts(run, q, d, current.sum(axis=0)),
        current_a=current,
        charge_ah=charge.reshape(current.shape),
    )


def band(run: Run) -> Samples:
    """Samples of a Monte Carlo at the edges; the voltage is the open-circuit one."""
    none = np.zeros((0, len(run.timeline.edges)))
    return Samples(
        time_h=run.timeline.edges,
        soc=np.asarray(run.battery.soc(run.q)),
        surface_soc=np.asarray(run.battery.surface_soc(run.q, run.d)),
        volts=_volts(run, run.q, run.d, 0.0),
        current_a=none,
        charge_ah=none,
    )


def _volts(run: Run, q: Floats, d: Floats, current: Floats | float) -> Floats:
    surface = run.battery.surface_soc(q, d)
    return np.asarray(run.battery.ocv(surface) - current * run.battery.terminal_ohm)


def events(
    run: Run,
    draws: Sequence[Draw],
    temperature_hours: Sequence[float],
    pieces: Pieces,
    ends: Mapping[EventKind, Floats],
) -> tuple[Event, ...]:
    """Everything that happened in a single forecast, in order of time.

    temperature_hours [h]; ends: hours [h] by kind. Source: the run's record. Daily switching is
    left out, and of a cut-off that chatters all but its first round.
    """
    found = [(float(hours[0]), kind, "") for kind, hours in ends.items()]
    found.append((pieces.full_h, EventKind.FULL, ""))
    found += [(hour, EventKind.TEMPERATURE_STEP, "") for hour in temperature_hours if hour > 0.0]
    for draw in draws:
        times = {edge for row in draw.phases for edge in row[:2]} | {draw.until_h}
        found += [
            (hour, EventKind.DRAW_CHANGES, draw.name)
            for hour in times
            if 0.0 < hour <= draw.until_h
        ]
    for number, switched in enumerate(run.tables.cut_offs.draw):
        found += [(*each, draws[switched].name) for each in _until_chatter(run, number)]
    inside = [each for each in found if each[0] < run.timeline.edges[-1]]
    if not inside:
        return ()
    order = list(EventKind)
    inside.sort(key=lambda each: (each[0], order.index(each[1]), each[2]))
    soc, volts = _just_before(run, pieces, np.array([each[0] for each in inside]))
    return tuple(
        Event(*each, soc_then, volts_then)
        for each, soc_then, volts_then in zip(inside, soc.tolist(), volts.tolist(), strict=True)
    )


def _until_chatter(run: Run, number: int) -> list[tuple[float, EventKind]]:
    """Events of one cut-off, up to the first time on again after it began to chatter."""
    found: list[tuple[float, EventKind]] = []
    for each in run.happenings:
        hours = each.hours[each.cut_off == number]
        found += [(float(hour), each.kind) for hour in hours]
    chatters = [hour for hour, kind in found if kind is EventKind.CUT_OFF_CHATTERS]
    last = min(chatters, default=np.inf)
    back = [h for h, kind in found if kind is EventKind.CUT_OFF_RECONNECTS and h >= last]
    found = [each for each in found if each[0] <= min(back, default=np.inf)]
    once = EventKind.CUT_OFF_CHATTERS
    return [each for each in found if each[1] is not once or each[0] == last]


def _just_before(run: Run, pieces: Pieces, hours: Floats) -> tuple[Floats, Floats]:
    """State of charge [-] and volts [V] just before some instants of a single forecast."""
    piece = np.searchsorted(pieces.hours[1], hours - SAME_INSTANT_H)
    start, end = pieces.hours[:, piece]
    current = pieces.current_a[:, piece].sum(axis=0)
    t, leak = run.tables, run.tables.leak[pieces.pattern[piece], 0]
    inside = hours < end - SAME_INSTANT_H
    q = two_well.charge_after(pieces.q[0, piece], current, leak, hours - start)
    d = two_well.head_after(pieces.d[0, piece], current, t.k + leak, t.c, hours - start)
    q, d = np.where(inside, q, pieces.q[1, piece]), np.where(inside, d, pieces.d[1, piece])
    return np.asarray(run.battery.soc(q)), _volts(run, q, d, current)
