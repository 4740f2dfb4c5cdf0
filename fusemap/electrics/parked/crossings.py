"""When the whole charge of a parked battery first falls to a level: no start, ice, harm.

In: a Run (run.py) that has just gone through some stretches. Out: hours [h] since locking and the
charge [Ah] then, noted in the run. The levels [Ah] are those of tables.py, one per pattern.

Source: equations of two_well.py.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from fusemap.electrics import two_well
from fusemap.electrics.parked.run import Piece, Run
from fusemap.electrics.parked.timeline import Numbers, Picked, at, picked
from fusemap.electrics.values import Floats, TruthArray

Falls = tuple[Numbers, Numbers, Floats, Floats, Floats, Floats]
"""Draw, stretch, start [h], end [h], charge before and after [Ah]."""


def note_crossings(run: Run, which: Numbers, first: int, end: int, pieces: Sequence[Piece]) -> None:
    """Notes the levels that some draws fell to in the stretches `first` to `end` [-].

    which [-] names the draws, `pieces` are those of these stretches. Source: ours.
    """
    for number, level in enumerate(run.tables.levels):
        if (level >= 0.0).any():
            still = which[np.isinf(run.crossed_h[number, which])]
            if len(still):
                _note(run, number, level, still, first, end, pieces)


def _note(
    run: Run,
    number: int,
    level: Floats,
    which: Numbers,
    first: int,
    end: int,
    pieces: Sequence[Piece],
) -> None:
    """First hours at which the charge is at or below the level, and the charge.

    Between two ends of a stretch or piece the charge runs on one curve, so the current that joins
    them gives the instant.
    """
    sought = np.zeros(run.count, dtype=bool)
    sought[which] = True
    falls = [_whole(run, level, which, first, end), *(_of(each, sought) for each in pieces)]
    who, row, start, finish, before, after = (
        np.concatenate(each) for each in zip(*falls, strict=True)
    )
    pattern = run.timeline.pattern[row]
    target = at(level, pattern, who)
    hit = (np.minimum(before, after) <= target) & (finish > start)
    if not hit.any():
        return
    who, pattern, start, before, target = (
        each[hit] for each in (who, pattern, start, before, target)
    )
    hours, after = (finish[hit] - start), after[hit]
    leak, target = at(run.tables.leak, pattern, who), np.minimum(target, before)
    current = two_well.current_between(before, after, leak, hours)
    found = two_well.time_to_charge(before, target, current, leak)
    instants = start + np.minimum(found, hours)
    latest_first = np.argsort(-instants, kind="stable")
    run.crossed_h[number, who[latest_first]] = instants[latest_first]
    run.crossed_q[number, who[latest_first]] = target[latest_first]


def _of(piece: Piece, sought: TruthArray) -> Falls:
    """A piece of the draws that are looked at."""
    i = sought[piece.which]
    hours = piece.start_h[i], piece.end_h[i]
    return piece.which[i], piece.row[i], *hours, piece.q[0][i], piece.q[1][i]


def _whole(run: Run, level: Floats, which: Numbers, first: int, end: int) -> Falls:
    """The first whole stretch of each draw that ends or begins at or below the level."""
    everyone = len(which) == run.count
    cols: Picked = slice(None) if everyone else which
    q = run.q[first : end + 1, cols]
    if not len(q) or q.min() > level.max():
        none, nothing = np.zeros(0, dtype=np.intp), np.zeros(0)
        return none, none, nothing, nothing, nothing, nothing
    along = picked(level, cols)[run.timeline.pattern[first:end]]
    below = (np.minimum(q[:-1], q[1:]) <= along) & ~run.split[first:end, cols]
    i = np.flatnonzero(below.any(axis=0))
    j, who = below.argmax(axis=0)[i], which[i]
    edges, later = run.timeline.edges, run.later_h[who]
    row = first + j
    there = row + run.later_row[who]
    return who, there, edges[row] + later, edges[row + 1] + later, q[j, i], q[j + 1, i]
