"""Points for the chart of a parked battery, from a finished run.

In: a Run (parked_state.py). Out: Samples: hours [h], states of charge [-], battery voltage [V],
and current [A] and charge [Ah] of every draw, for stacking. A single forecast has both sides of
each jump; a Monte Carlo has states of charge at the edges, one column per draw, for a band.

Source: voltage as in parked_levels.py, at mean currents.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fusemap.electrics.parked_state import Run
from fusemap.electrics.parked_timeline import Draw
from fusemap.electrics.values import Floats


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


def chart(run: Run, draws: Sequence[Draw]) -> Samples:
    """Samples of a single forecast, start and end of every piece between two events."""
    pieces = sorted(run.pieces, key=lambda piece: float(piece.start_h[0]))
    start = np.concatenate([p.start_h for p in pieces])
    end = np.concatenate([p.end_h for p in pieces])
    q = _interleave(*(np.concatenate([p.q[side] for p in pieces]) for side in (0, 1)))
    d = _interleave(*(np.concatenate([p.d[side] for p in pieces]) for side in (0, 1)))
    row = np.concatenate([p.row for p in pieces])
    lengths = [len(p.row) for p in pieces]
    empty = np.repeat([p.empty for p in pieces], lengths)
    on = np.repeat(np.array([p.connected for p in pieces], dtype=bool).T, lengths, axis=1)
    current = _currents(run, len(draws), row, on, empty)
    charge = np.cumsum(current * (end - start), axis=1)
    before = np.concatenate((np.zeros((len(draws), 1)), charge[:, :-1]), axis=1)
    both = np.repeat(current, 2, axis=1)
    surface = np.asarray(run.battery.surface_soc(q, d))
    volts = np.asarray(run.battery.ocv(surface)) - both.sum(axis=0) * run.battery.terminal_ohm
    return Samples(
        _interleave(start, end),
        np.asarray(run.battery.soc(q)),
        surface,
        volts,
        both,
        np.stack((before, charge), axis=2).reshape(len(draws), -1),
    )


def band(run: Run) -> Samples:
    """Samples of a Monte Carlo at the edges; the voltage is the open-circuit one."""
    surface = np.asarray(run.battery.surface_soc(run.q, run.d))
    none = np.zeros((0, len(run.timeline.edges)))
    return Samples(
        run.timeline.edges,
        np.asarray(run.battery.soc(run.q)),
        surface,
        np.asarray(run.battery.ocv(surface)),
        none,
        none,
    )


def volts_at(run: Run, hours: float, q: float, d: float, row: int) -> float:
    """Battery voltage [V] in a single forecast just before an instant in stretch `row`."""
    later = [p for p in run.pieces if p.start_h[0] < hours <= p.end_h[-1] + 1e-12]
    on, empty = (later[0].connected, later[0].empty) if later else run.what_is_on()
    pattern = run.timeline.pattern[row]
    tables = run.tables
    current = (tables.sources_a if empty else tables.permanent_a)[pattern, 0]
    current += sum(a[pattern, 0] for a, c in zip(tables.switched_a, on, strict=True) if c)
    surface = np.asarray(run.battery.surface_soc(q, d))
    return float(np.squeeze(run.battery.ocv(surface) - current * run.battery.terminal_ohm))


def _interleave(first: Floats, second: Floats) -> Floats:
    return np.stack((first, second), axis=1).ravel()


def _currents(run: Run, draws: int, row: Floats, on: Floats, empty: Floats) -> Floats:
    """Current [A] of every draw in every piece, (names, pieces)."""
    pattern = run.timeline.pattern[row]
    numbers = {cut.draw: number for number, cut in enumerate(run.tables.cut_offs)}
    found = np.zeros((draws, len(row)))
    for draw in range(draws):
        found[draw] = run.timeline.currents(draw)[pattern, 0]
        if draw in numbers:
            found[draw] *= on[numbers[draw]]
        elif empty.any():
            sources = run.timeline.currents(draw, sources_only=True)[pattern, 0]
            found[draw] = np.where(empty, sources, found[draw])
    return found
