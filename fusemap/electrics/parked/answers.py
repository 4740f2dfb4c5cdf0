"""What a finished run says: hours, ampere-hours, what the cut-offs did, points for a chart.

In: a finished Run (run.py). Out: a Forecast. The engine follows the charge and what switches it,
and notes when the surface of the plates is too low for a start; the crank limit and the ice are
read here from where the whole charge [Ah] crosses their levels, in hours [h] since locking.

For the chart there are Samples: hours [h], states of charge [-], battery voltage [V], and current
[A] and charge [Ah] of every draw, for stacking; and for a single forecast the list of Events. It
has both sides of each jump; a Monte Carlo has states at the edges, one column per draw, for a band.

Source: equations of two_well.py; voltage as in tables.py, at mean currents.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property, partial

import numpy as np
from msgspec import Struct

from fusemap.electrics import two_well
from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked.draws import Draw
from fusemap.electrics.parked.run import OFF, EventKind, Run
from fusemap.electrics.parked.timeline import SAME_INSTANT_H, Numbers, at
from fusemap.electrics.values import Floats, Truths, Values


class Event(Struct, frozen=True):
    """One event: hours since locking [h], kind, draw, state of charge [-], volts before it [V]."""

    hours: float
    kind: EventKind
    name: str
    soc: float
    volts: float


class Samples(Struct, frozen=True, eq=False, dict=True):
    """Points of the chart: hours since locking [h] (n,); the rest (n,), or (n, draws) for a band.

    soc and surface_soc [-]; volts at the battery [V]; current_a [A] and charge_ah [Ah], since
    locking, (names, n), empty for a band. Surface and volts are reckoned when they are asked for.
    """

    time_h: Floats
    soc: Floats
    at_surface: Callable[[], tuple[Floats, Floats]]
    current_a: Floats
    charge_ah: Floats

    @cached_property
    def _surface(self) -> tuple[Floats, Floats]:
        return self.at_surface()

    @property
    def surface_soc(self) -> Floats:
        """State of charge at the plates [-]."""
        return self._surface[0]

    @property
    def volts(self) -> Floats:
        """Voltage at the battery [V]."""
        return self._surface[1]


class Pieces(Struct, frozen=True, eq=False):
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
    run.fill()
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
    found: Floats = run.timeline.currents()[:, pattern, 0] * ~empty
    for draw, number in numbers.items():
        found[draw] *= _is_connected(run, number, middle)
    sources = [n for n, draw in enumerate(draws) if draw.has_source and n not in numbers]
    if sources and empty.any():
        given = run.timeline.currents(sources_only=True)
        found[sources] += given[sources][:, pattern, 0] * empty
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
        at_surface=partial(_at_surface, run.battery, q, d, current.sum(axis=0)),
        current_a=current,
        charge_ah=charge.reshape(current.shape),
    )


def band(run: Run) -> Samples:
    """Samples of a Monte Carlo at the edges; the voltage is the open-circuit one."""
    run.fill()
    none = np.zeros((0, len(run.timeline.edges)))
    return Samples(
        time_h=run.timeline.edges,
        soc=np.asarray(run.battery.soc(run.q)),
        at_surface=partial(_at_surface, run.battery, run.q, run.d, 0.0),
        current_a=none,
        charge_ah=none,
    )


def _at_surface(
    battery: TwoWell, q: Floats, d: Floats, current: Floats | float
) -> tuple[Floats, Floats]:
    """State of charge [-] at the surface, and the volts there [V]."""
    surface = np.asarray(battery.surface_soc(q, d))
    return surface, np.asarray(battery.ocv(surface) - current * battery.terminal_ohm)


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
    return np.asarray(run.battery.soc(q)), _at_surface(run.battery, q, d, current)[1]


class CutOffResult(Struct, frozen=True, eq=False):
    """What one cut-off did: trips and reconnects (numbers), first trip [h] (inf: none).

    chatter: at a trip the battery recovers to v_on or above without sun, so the draw comes back by
    itself; rebound_v [V] is what the device sees of that after the first trip (nan: no trip). A
    cut-off that is on again in the instant it trips counts as one trip and one reconnection, and
    its draw as running all the while.
    """

    name: str
    trips: Values
    reconnects: Values
    first_trip_h: Values
    chatter: Truths
    rebound_v: Values
    off_at_end: Truths


class Forecast(Struct, frozen=True, eq=False, dict=True):
    """The parked battery from locking to the horizon; hours are inf where not reached within it.

    hours_to_harm: until the charge falls below what harms it, inf where none was asked for.
    hours_to_crank_limit: until no start is possible any more, since the charge or the voltage it
    takes is gone, or the battery is empty, whichever comes first. draw_ah, self_discharge_ah and
    unaccepted_ah (what a source offered a full battery) cover the time until then, or the horizon
    where it is not reached [Ah]; sources are negative. events and a chart with currents are for a
    single forecast only.
    """

    horizon_h: float
    names: tuple[str, ...]
    hours_to_crank_limit: Values
    hours_to_empty: Values
    hours_to_freezing: Values
    hours_to_harm: Values
    draw_ah: tuple[Values, ...]
    self_discharge_ah: Values
    unaccepted_ah: Values
    end_soc: Values
    cut_offs: tuple[CutOffResult, ...]
    events: tuple[Event, ...]
    sampled: Callable[[], Samples]

    @cached_property
    def samples(self) -> Samples:
        """Points of the chart; those of a Monte Carlo are filled in when they are asked for."""
        return self.sampled()


def read_answers(
    run: Run,
    draws: Sequence[Draw],
    temperature_hours: Sequence[float],
    single: bool,
) -> Forecast:
    """The Forecast from a finished run; floats for a single one.

    temperature_hours: where the temperature steps [h]. Source: as in this module's text.
    """
    horizon = float(run.timeline.edges[-1])
    crank_h, crank_q = _no_start(run)
    _, freeze_h, harm_h = run.crossed_h
    reached = np.isfinite(crank_h)
    until = np.where(reached, crank_h, horizon)
    taken = _draw_charges(run, draws, until)
    refused = _refused(run, until)
    end_q = np.where(reached, crank_q, run.q[-1])
    leaked = run.q[0] - end_q - taken.sum(axis=0) - refused

    def out(values: Floats) -> Values:
        return float(values[0]) if single else values

    pieces = pieces_of(run, draws) if single else None
    ends = {
        EventKind.CRANK_LIMIT: crank_h,
        EventKind.EMPTY: run.empty_h,
        EventKind.FREEZES: freeze_h,
    }
    return Forecast(
        horizon_h=horizon,
        names=tuple(draw.name for draw in draws),
        hours_to_crank_limit=out(crank_h),
        hours_to_empty=out(run.empty_h),
        hours_to_freezing=out(freeze_h),
        hours_to_harm=out(harm_h),
        draw_ah=tuple(out(each) for each in taken),
        self_discharge_ah=out(leaked),
        unaccepted_ah=out(refused),
        end_soc=out(1.0 - (run.tables.full_ah - run.q[-1]) / run.tables.scaled_ah),
        cut_offs=_cut_off_results(run, draws, single),
        events=events(run, draws, temperature_hours, pieces, ends) if pieces else (),
        sampled=partial(chart, run, pieces) if pieces else partial(band, run),
    )


def _no_start(run: Run) -> tuple[Floats, Floats]:
    """First hours [h] from which on there is no start, and the charge [Ah] then."""
    hours, charge = run.crossed_h[0], run.crossed_q[0]
    sooner = run.no_start_h < hours
    return np.where(sooner, run.no_start_h, hours), np.where(sooner, run.no_start_q, charge)


def charge_at(run: Run, hours: Floats) -> Floats:
    """Charge left [Ah] of a finished run at some hours [h] before the horizon, (hours, draws).

    Source: as `_crossing`, between the ends of the stretch or piece.
    """
    run.fill()
    edges, pattern = run.timeline.edges, run.timeline.pattern
    row = np.clip(np.searchsorted(edges, hours, side="right") - 1, 0, len(pattern) - 1)
    leak, since = run.tables.leak[pattern[row]], (hours - edges[row])[:, None]
    length = (edges[row + 1] - edges[row])[:, None]
    found = _charge_between(run.q[row], run.q[row + 1], leak, length, since)
    if run.pieces:
        which, rows, start, end, before, after = (
            np.concatenate(each)
            for each in zip(
                *((p.which, p.row, p.start_h, p.end_h, *p.q) for p in run.pieces), strict=True
            )
        )
        hour, piece = np.nonzero((start <= hours[:, None]) & (hours[:, None] < end))
        found[hour, which[piece]] = _charge_between(
            before[piece],
            after[piece],
            at(run.tables.leak, pattern[rows[piece]], which[piece]),
            (end - start)[piece],
            hours[hour] - start[piece],
        )
    return found


def _charge_between(
    before: Floats, after: Floats, leak: Floats, length: Floats, since: Floats
) -> Floats:
    """Charge [Ah] `since` [h] the begin of a stretch of this length [h] between two charges."""
    current = two_well.current_between(before, after, leak, length)
    return two_well.charge_after(before, current, leak, since)


def _draw_charges(run: Run, draws: Sequence[Draw], until: Floats) -> Floats:
    """Charge [Ah] of each draw until `until` [h], which is no later than empty; (draws, count)."""
    found = run.timeline.ampere_hours(until)
    for number, draw in enumerate(run.tables.cut_offs.draw):
        found[draw] = _switched_charge(run, number, found[draw], until, draws[draw].has_source)
    return found


def _switched_charge(run: Run, number: int, always: Floats, until: Floats, source: bool) -> Floats:
    """Charge [Ah] that a draw with a cut-off took: the sum over the times it was connected.

    `always` [Ah] is what it would have taken uncut.
    """
    draw = run.tables.cut_offs.draw[number]
    total = np.where(run.state[number] != OFF, always, 0.0)
    for kind, sign in ((EventKind.CUT_OFF_TRIPS, 1.0), (EventKind.CUT_OFF_RECONNECTS, -1.0)):
        cut, which, hours = run.when(kind)
        which, hours = which[cut == number], hours[cut == number]
        charge = run.timeline.ampere_hours_of(draw, np.minimum(hours, until[which]), which)
        np.add.at(total, which, sign * charge)
    # a sum of differences may round to just below nothing
    return total if source else np.maximum(total, 0.0)


def _refused(run: Run, until: Floats) -> Floats:
    """Charge [Ah] that the full battery did not take, until `until` [h]."""
    total = np.zeros(run.count)
    for piece in run.pieces:
        if piece.held.any():
            counts = piece.end_h <= until[piece.which]
            np.add.at(total, piece.which, piece.refused_ah * counts)
    for days in run.days:
        for which, charge in days.refused_again(until):
            np.add.at(total, which, charge)
    return total


def _cut_off_results(run: Run, draws: Sequence[Draw], single: bool) -> tuple[CutOffResult, ...]:
    shape = run.state.shape
    trips, reconnects = np.zeros((2, *shape), dtype=int)
    first = np.full(shape, np.inf)
    cut, which, hours = run.when(EventKind.CUT_OFF_TRIPS)
    np.add.at(trips, (cut, which), 1)
    np.minimum.at(first, (cut, which), hours)
    np.add.at(reconnects, run.when(EventKind.CUT_OFF_RECONNECTS)[:2], 1)
    off = (run.state == OFF) | np.isfinite(run.empty_h)
    found = []
    for number, draw in enumerate(run.tables.cut_offs.draw):
        each = (trips, reconnects, first, run.chatter, run.rebound_v, off)
        values = (table[number, 0].item() if single else table[number] for table in each)
        found.append(CutOffResult(draws[draw].name, *values))
    return tuple(found)
