"""What a parked forecast knows of every pattern beforehand: currents, and levels that matter.

In: battery, draws, their timeline, crank limit and freezing points. Out: Tables of shape (patterns,
1 or draws): leak [1/h], currents [A], and the levels [Ah] at which the battery is empty, no longer
cranks, or freezes. A cut-off sees volts; as the current is constant within a pattern, its voltage
is one level of the surface charge, and finding its instant needs no voltage at all.

Source: device voltage = open-circuit voltage(surface charge) - total current x battery resistance
- each current x the resistance that its way shares with the device's - own current x cable
resistance (Ohm's law); the equations are in two_well.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from msgspec import Struct

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked.draws import CutOff, Draw
from fusemap.electrics.parked.timeline import Numbers, Picked, Timeline, column, picked, stacked
from fusemap.electrics.two_well import mean_decay
from fusemap.electrics.values import Floats, TruthArray, Values

NEVER_AH = -1.0
"""A level that no charge reaches [Ah]."""


class CutOffs(Struct, frozen=True, eq=False):
    """All cut-offs, stacked: their figures, and the currents [A] that the voltage of each sees."""

    draw: tuple[int, ...]
    v_off: Floats  # (cut-offs, 1 or draws), as the next three
    v_on: Floats
    delay_h: Floats
    own_ohm: Floats  # of its cable and its whole way
    own_a: Floats  # (cut-offs, patterns, 1 or draws), as the next
    permanent_a: Floats  # of the draws that have no cut-off
    others_a: Floats  # (cut-offs, cut-offs, patterns, 1 or draws), of the second; 0 for itself
    permanent_v: Floats  # as the last two: what those currents cost on the way [V]
    others_v: Floats


class Tables(Struct, frozen=True, eq=False):
    """All that stays the same whatever is switched; patterns first, draws of a Monte Carlo last."""

    full_ah: Floats
    scaled_ah: Floats
    k: Floats
    c: Floats
    ohm: Floats
    leak: Floats
    empty_ah: Floats
    start_ah: (
        Floats  # surface charge from which on no start is possible: empty, or too low a voltage
    )
    crank_ah: Floats  # whole charge below which it does not crank
    freeze_ah: Floats
    harm_ah: Floats  # whole charge below which the battery takes harm
    permanent_a: Floats  # mean current of the draws without a cut-off
    sources_a: Floats  # what still flows when the battery is empty
    switched_a: Floats  # (cut-offs, patterns, 1 or draws), mean current of the draws with a cut-off
    cut_offs: CutOffs
    decay_q: Floats  # (steps, 1 or draws): q -> decay_q·q - weight_q·I
    weight_q: Floats
    decay_d: Floats  # d -> decay_d·d + weight_d·I
    weight_d: Floats

    @property
    def levels(self) -> tuple[Floats, ...]:
        """The whole charges [Ah] that are looked for: no start, ice, harm."""
        return self.crank_ah, self.freeze_ah, self.harm_ah


def build_tables(
    battery: TwoWell,
    draws: Sequence[Draw],
    timeline: Timeline,
    crank: CrankLimit,
    freezing: FreezingPoints | None,
    harm_soc: float | None = None,
) -> Tables:
    """Tables of the whole forecast, from the battery and the timeline; harm_soc [-].

    Source: as in this module's text.
    """
    t = timeline.temperature
    leak, c, k = column(battery.leak_per_h(t)), column(battery.c), column(battery.k_per_h)
    hours = timeline.step_hours[:, None]
    slow, fast = leak[timeline.step_pattern], (k + leak)[timeline.step_pattern]
    empty = column(battery.empty_level_ah(t))
    crank_ah = np.maximum(column(battery.charge_at(crank.soc(t))), NEVER_AH)
    switched = _numbers(n for n, draw in enumerate(draws) if draw.cut_off is not None)
    permanent = _numbers(n for n, draw in enumerate(draws) if draw.cut_off is None)
    sources = _numbers(n for n in permanent if draws[n].has_source)
    return Tables(
        full_ah=column(battery.full_ah),
        scaled_ah=column(battery.scaled_ah),
        k=k,
        c=c,
        ohm=column(battery.terminal_ohm),
        leak=leak,
        empty_ah=empty,
        start_ah=np.maximum(empty, crank_ah) if crank.by_voltage else empty,
        crank_ah=np.full_like(crank_ah, NEVER_AH) if crank.by_voltage else crank_ah,
        freeze_ah=_freezing_charge(battery, freezing, t),
        harm_ah=_harmful_charge(battery, harm_soc, len(t)),
        permanent_a=timeline.total(_only(permanent, len(draws))),
        sources_a=timeline.total(_only(sources, len(draws)), sources_only=True),
        switched_a=_each(timeline, switched),
        cut_offs=_cut_offs(draws, timeline, permanent, switched),
        decay_q=np.exp(-slow * hours),
        weight_q=hours * mean_decay(slow * hours),
        decay_d=np.exp(-fast * hours),
        weight_d=hours * mean_decay(fast * hours) / c,
    )


def _numbers(found: Iterable[int]) -> Numbers:
    return np.fromiter(found, dtype=np.intp)


def _only(numbers: Numbers, draws: int) -> Floats:
    """Weights [-] of so many draws: 1 for these, 0 for the others."""
    weights = np.zeros(draws)
    weights[numbers] = 1.0
    return weights


def _each(timeline: Timeline, those: Numbers, peaks: TruthArray | None = None) -> Floats:
    """The currents of some draws [A], (those, patterns, 1 or draws)."""
    if not len(those):
        return np.zeros((0, len(timeline.temperature), 1))
    one = np.eye(timeline.draws)
    return stacked([timeline.total(one[number], peaks) for number in those])


def _freezing_charge(battery: TwoWell, freezing: FreezingPoints | None, t: Floats) -> Floats:
    """Charge [Ah] below which the battery freezes at each temperature."""
    if freezing is None:
        return np.full((len(t), 1), NEVER_AH)
    charge = battery.charge_at(freezing.soc_below_which_ice(t))
    return np.maximum(column(charge), NEVER_AH)


def _harmful_charge(battery: TwoWell, harm_soc: float | None, patterns: int) -> Floats:
    """Charge [Ah] below which the battery takes harm, the same in every pattern."""
    charge = np.full(1, NEVER_AH) if harm_soc is None else column(battery.charge_at(harm_soc))
    return np.repeat(charge[None, :], patterns, axis=0)


def _cut_offs(
    draws: Sequence[Draw], timeline: Timeline, permanent: Numbers, switched: Numbers
) -> CutOffs:
    cuts = [each.cut_off for each in draws if each.cut_off is not None]

    def figure(values: Sequence[Values]) -> Floats:
        return stacked([column(each) for each in values])

    if not cuts:
        return _no_cut_offs(len(timeline.temperature))
    count = len(draws)
    peaks = [np.array([_shows_peak(draw, cut) for draw in draws]) for cut in cuts]
    ohm = np.array([[draws[n].shares_ohm(other) for other in draws] for n in switched])
    seen = stacked([_each(timeline, switched, each) for each in peaks])
    beside = ~np.eye(len(cuts), dtype=bool)[:, :, None, None]
    each = np.arange(len(cuts))
    steady, pairs = _only(permanent, count), list(zip(peaks, ohm, strict=True))
    lost_v = figure([cut.lost_v for cut in cuts])[:, None, :]
    return CutOffs(
        draw=tuple(switched.tolist()),
        v_off=figure([cut.v_off for cut in cuts]),
        v_on=figure([cut.v_on for cut in cuts]),
        delay_h=figure([cut.delay_s for cut in cuts]) / 3600.0,
        own_ohm=figure([cut.cable_ohm for cut in cuts]) + ohm[each, switched][:, None],
        own_a=seen[each, each],
        permanent_a=stacked([timeline.total(steady, peak) for peak in peaks]),
        others_a=seen * beside,
        permanent_v=stacked([timeline.total(steady * shared, peak) for peak, shared in pairs])
        + lost_v,
        others_v=seen * beside * ohm[:, switched][:, :, None, None],
    )


def _no_cut_offs(patterns: int) -> CutOffs:
    own, seen, others = np.zeros((0, 1)), np.zeros((0, patterns, 1)), np.zeros((0, 0, patterns, 1))
    return CutOffs((), own, own, own, own, seen, seen, others, seen, others)


def _shows_peak(draw: Draw, cut_off: CutOff) -> bool:
    """Whether the draw's on-time lasts as long as the delay, so that the cut-off sees the peak."""
    return draw.on_time_s > 0.0 and bool((draw.on_time_s >= np.asarray(cut_off.delay_s)).all())


def surface_charge_at(battery: TwoWell, volts: Floats, which: Picked) -> Floats:
    """Surface charge [Ah] at an open-circuit voltage, volts [V], of the whole battery.

    `which` [-] names the draws. Source: as surface_soc_at.
    """
    soc = column(battery.surface_soc_at(volts, which))
    full, scaled = column(battery.full_ah), column(battery.scaled_ah)
    return picked(full, which) - (1.0 - soc) * picked(scaled, which)
