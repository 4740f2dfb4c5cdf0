"""One tap's fuse against its cable: the published band, the damage curve, the currents there are.

In: an assessed vehicle and a tap. Out: arrays of currents [A] and times [s] for a chart on log
axes. A fuse's band is stepped: between two published points it opens no sooner than the next higher
one says and no later than the next lower one; nothing is read in between.
"""

from typing import Final, Literal

import numpy as np
from msgspec import Struct

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.end import fault_a
from fusemap.assess.figures import Figures
from fusemap.assess.result import Basis, Floats, worst
from fusemap.assess.words import cable_words, chain_title, fuse_words
from fusemap.electrics.cable_heat import temperature_in_turns
from fusemap.electrics.operating_time import TimePoints
from fusemap.electrics.protection import ADIABATIC_S, adiabatic_k, damage_time, knee_current
from fusemap.text import Amount, Argument, Text, given, run_on, say, share
from fusemap.vehicle import Fuse, Tap, look_up

POINTS: Final = 240
"""Points of the damage curve, even on the log axis."""
LOWEST_SHARE, HIGHEST_MULTIPLE = 0.5, 12.0
"""The curves run from this share of the smallest rating to this multiple of the largest."""
Verdict = Literal["fuse_first", "open", "cable_first", "unknown"]


class FuseBand(Struct, frozen=True, eq=False):
    """When a fuse opens: between `edge_a` [A, (n + 1,)] steps of `soonest_s`, `latest_s` [s, (n,)].

    0 and inf where nothing is published. `point_a`, `point_min_s`, `point_max_s` are the published
    points themselves.
    """

    name: Text
    rating_a: float
    points: TimePoints
    edge_a: Floats
    soonest_s: Floats
    latest_s: Floats
    point_a: Floats
    point_min_s: Floats
    point_max_s: Floats
    source: Text


class CableLimit(Struct, frozen=True, eq=False):
    """The thinner of a tap's conductors: what it bears, and how warm it is before a fault [°C]."""

    name: Text
    k: float
    overload_limit_c: float
    r20_mohm_per_m: float
    area_mm2: float
    od_mm: float
    ambient_c: float
    start_c: float

    def bears(self, current_a: Floats) -> Floats:
        """For how many seconds it bears each current [A]."""
        sizes = (self.r20_mohm_per_m, self.area_mm2, self.od_mm, self.ambient_c, self.start_c)
        return np.asarray(damage_time(current_a, self.k, self.overload_limit_c, *sizes))

    @property
    def knee_a(self) -> float:
        """The current [A] above which the limit is that of a short circuit."""
        return float(knee_current(self.k, self.area_mm2))


class Moment(Struct, frozen=True):
    """What a current [A] does: when each fuse opens [s], how long the cable bears it [s].

    A pair is (no sooner than, no later than); `None` where there is no such curve.
    """

    current_a: float
    fuse_s: tuple[float, float] | None
    host_s: tuple[float, float] | None
    cable_s: float | None

    @property
    def verdict(self) -> Verdict:
        """Which comes first: the fuse, the cable, or not known from what is published."""
        if self.fuse_s is None or self.cable_s is None:
            return "unknown"
        if self.fuse_s[1] <= self.cable_s:
            return "fuse_first"
        return "cable_first" if self.cable_s < self.fuse_s[0] else "open"


class TapBand(Struct, frozen=True, eq=False):
    """Everything the chart of one tap shows.

    `fuse` is the fuse that protects the cable, `host` a second one in series above it; `load_a` [A]
    flows at most for long, `fault_a` [A] in a short at the far end.
    """

    tap_id: str
    title: Text
    fuse: FuseBand | None
    host: FuseBand | None
    cable: CableLimit | None
    load_a: float
    fault_a: float | None
    missing: tuple[Text, ...]
    basis: Basis

    def at(self, current_a: float) -> Moment:
        """What this current does [A]."""
        return Moment(
            current_a,
            _times(self.fuse, current_a),
            _times(self.host, current_a),
            None if self.cable is None else float(self.cable.bears(np.asarray(current_a))),
        )

    def cable_curve(self) -> tuple[Floats, Floats]:
        """Currents [A] over the span with the seconds the cable bears them; empty without one."""
        if self.cable is None:
            return np.empty(0), np.empty(0)
        knee = self.cable.knee_a
        currents = np.union1d(np.geomspace(*self.span_a, POINTS), [knee * (1 - 1e-9), knee])
        return currents, self.cable.bears(currents)

    @property
    def span_a(self) -> tuple[float, float]:
        """The currents worth showing [A]."""
        marks = [self.load_a, *([] if self.fault_a is None else [self.fault_a])]
        fuses = [each.rating_a for each in (self.fuse, self.host) if each is not None]
        low = min(
            [*(LOWEST_SHARE * r for r in fuses), *(m * 0.8 for m in marks if m > 0)], default=1
        )
        high = max(
            [*(HIGHEST_MULTIPLE * r for r in fuses), *(m * 1.25 for m in marks)], default=100
        )
        return max(low, 0.01), max(high, low * 10)


def _times(band: FuseBand | None, current_a: float) -> tuple[float, float] | None:
    if band is None:
        return None
    found = band.points.band(current_a / band.rating_a)
    return float(np.asarray(found.min_s)), float(np.asarray(found.max_s))


def tap_band(a: Figures, tap_id: str) -> TapBand:
    """The chart of one tap. Raises EditRefused where there is no such tap."""
    tap = look_up.tap(a.vehicle, tap_id)
    column = a.taps.index[tap_id]
    guard, second = a.circuit.cables.protecting[column], _second(a, tap, column)
    missing: list[Text] = []
    fuse = _fuse_band(guard, missing)
    host = _fuse_band(second, missing)
    cable = _cable(a, tap, column)
    if guard is None:
        missing.append(say("no fuse protects this cable"))
    if cable is None:
        missing.append(say("no cable is entered"))
    return TapBand(
        tap_id=tap_id,
        title=chain_title(a.vehicle, tap),
        fuse=fuse,
        host=host,
        cable=cable,
        load_a=float(worst(a.taps.current_a)[column]),
        fault_a=None if cable is None else float(fault_a(a.circuit)[column]),
        missing=tuple(missing),
        basis=_basis(a, guard, second, cable),
    )


def _second(a: Figures, tap: Tap, column: int) -> Fuse | None:
    """The host fuse where it carries the accessory above a fuse of its own."""
    if tap.fuse is None or tap.slot is None:
        return None
    through = a.circuit.taps.through_host[column] > 0
    return look_up.slot(a.vehicle, tap.slot).fuse if through else None


def _fuse_band(fuse: Fuse | None, missing: list[Text]) -> FuseBand | None:
    if fuse is None:
        return None
    row = tables.fuse_time_points(fuse.family, fuse.rating)
    points = facts.time_points(fuse.family, fuse.rating)
    if row is None or points is None:
        family = Text(facts.family_name(fuse.family))
        missing.append(say("no operating times of the {family} are published", family=family))
        return None
    multiple = np.asarray(row.multiple)
    ends = np.concatenate([[LOWEST_SHARE], multiple, [max(100.0, 2 * multiple[-1])]])
    steps = points.band(np.sqrt(ends[:-1] * ends[1:]))
    return FuseBand(
        name=fuse_words(fuse),
        rating_a=fuse.rating,
        points=points,
        edge_a=ends * fuse.rating,
        soonest_s=np.asarray(steps.min_s),
        latest_s=np.asarray(steps.max_s),
        point_a=multiple * fuse.rating,
        point_min_s=np.asarray(row.min_s),
        point_max_s=np.asarray(row.max_s),
        source=row.source.text,
    )


def _cable(a: Figures, tap: Tap, at: int) -> CableLimit | None:
    cables, taps = a.circuit.cables, a.circuit.taps
    run = cables.thinner
    if not run.given[at]:
        return None
    sizes = (float(run.r20_mohm_per_m[at]), float(run.area_mm2[at]), float(run.od_mm[at]))
    ambient = float(run.ambient_c[at])
    share_hot, on_s = float(taps.heat_share[at]), float(taps.on_s[at])
    load = float(worst(a.taps.current_a)[at])
    start = float(np.asarray(temperature_in_turns(load, share_hot, on_s, *sizes, ambient)))
    conductors = [cable for cable in (tap.cable_out, tap.cable_back) if cable is not None]
    return CableLimit(
        cable_words(min(conductors, key=lambda cable: cable.section_mm2)),
        float(np.asarray(adiabatic_k(run.limit_c[at], run.short_end_c[at]))),
        float(run.overload_limit_c[at]),
        *sizes,
        ambient,
        min(start, float(run.short_end_c[at])),
    )


def _basis(a: Figures, guard: Fuse | None, second: Fuse | None, cable: CableLimit | None) -> Basis:
    inputs: list[tuple[Argument, Argument]] = []
    sources: list[Text] = []
    for name, fuse in ((say("Fuse"), guard), (say("Second fuse in series"), second)):
        if fuse is not None:
            known = facts.protection(fuse.family, fuse.rating, a.rule("overload_multiple"))
            inputs.append((name, fuse_words(fuse)))
            sources.extend([known.source] if known.published else [])
    adiabatic = given(ADIABATIC_S, "s")
    if cable is not None:
        inputs += [
            (say("k of the insulation"), Amount(cable.k, "A·√s/mm²")),
            (say("Conductor before the fault"), Amount(cable.start_c, "°C")),
            (say("Limit in an overload"), Amount(cable.overload_limit_c, "°C")),
            (say("Ambient"), Amount(cable.ambient_c, "°C")),
        ]
        sources.append(
            say("cable: IEC 60364-4-43 up to {time}, then the heat balance", time=adiabatic)
        )
    return Basis(
        say(
            "the fuse opens between the soonest and the latest of its published times, stepped, "
            "never read in between; the cable bears a current for (k × section ÷ current)² up to "
            "{time}, beyond that until it is as warm as its insulation bears; good to ±{share}",
            time=adiabatic,
            share=share(0.2),
        ),
        tuple(inputs),
        run_on(*dict.fromkeys(sources), between="; "),
    )
