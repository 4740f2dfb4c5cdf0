"""One tap's fuse against its cable: the published band, the damage curve, the currents there are.

In: an assessed vehicle and a tap. Out: arrays of currents [A] and times [s] for a chart on log
axes. A fuse's band is stepped: between two published points it opens no sooner than the next higher
one says and no later than the next lower one; nothing is read in between.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.hop_view import View, cable_words, fuse_words
from fusemap.assess.hops import fault_a, thinner
from fusemap.assess.result import Basis, Floats, worst
from fusemap.electrics.cable_heat import temperature_in_turns
from fusemap.electrics.damage import ADIABATIC_S, damage_time, knee_current
from fusemap.electrics.operating_time import TimePoints
from fusemap.electrics.protection import adiabatic_k
from fusemap.units import percent, quantity
from fusemap.vehicle import Fuse, look_up

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

POINTS: Final = 240
"""Points of the damage curve, even on the log axis."""
LOWEST_SHARE, HIGHEST_MULTIPLE = 0.5, 12.0
"""The curves run from this share of the smallest rating to this multiple of the largest."""
Verdict = Literal["fuse_first", "open", "cable_first", "unknown"]


@dataclass(frozen=True, eq=False)
class FuseBand:
    """When a fuse opens: between `edge_a` [A, (n + 1,)] steps of `soonest_s`, `latest_s` [s, (n,)].

    0 and inf where nothing is published. `point_a`, `point_min_s`, `point_max_s` are the published
    points themselves.
    """

    name: str
    rating_a: float
    points: TimePoints
    edge_a: Floats
    soonest_s: Floats
    latest_s: Floats
    point_a: Floats
    point_min_s: Floats
    point_max_s: Floats
    source: str


@dataclass(frozen=True, eq=False)
class CableLimit:
    """The thinner of a tap's conductors: what it bears, and how warm it is before a fault [°C]."""

    name: str
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


@dataclass(frozen=True, slots=True)
class Moment:
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


@dataclass(frozen=True, eq=False)
class TapBand:
    """Everything the chart of one tap shows.

    `fuse` is the fuse that protects the cable, `host` a second one in series above it; `load_a` [A]
    flows at most for long, `fault_a` [A] in a short at the far end.
    """

    tap_id: str
    title: str
    fuse: FuseBand | None
    host: FuseBand | None
    cable: CableLimit | None
    load_a: float
    fault_a: float | None
    missing: tuple[str, ...]
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


def tap_band(a: Assessment, tap_id: str) -> TapBand:
    """The chart of one tap. Raises EditRefused where there is no such tap."""
    tap = look_up.tap(a.vehicle, tap_id)
    view = View(a, tap, a.taps.index[tap_id])
    guard = view.rating
    missing: list[str] = []
    fuse = _fuse_band(guard, missing)
    host = _fuse_band(_second(view), missing)
    cable = _cable(view)
    if guard is None:
        missing.append("no fuse protects this cable")
    if cable is None:
        missing.append("no cable is entered")
    return TapBand(
        tap_id=tap_id,
        title=a.chains[tap_id].title,
        fuse=fuse,
        host=host,
        cable=cable,
        load_a=float(worst(a.taps.current_a)[view.column]),
        fault_a=None if cable is None else float(fault_a(a.circuit)[view.column]),
        missing=tuple(missing),
        basis=_basis(view, cable),
    )


def _second(v: View) -> Fuse | None:
    """The host fuse where it carries the accessory above a fuse of its own."""
    if v.tap.fuse is None or v.tap.slot is None:
        return None
    through = v.assessment.circuit.taps.through_host[v.column] > 0
    return look_up.slot(v.assessment.vehicle, v.tap.slot).fuse if through else None


def _fuse_band(fuse: Fuse | None, missing: list[str]) -> FuseBand | None:
    if fuse is None:
        return None
    row = tables.fuse_time_points(fuse.family, fuse.rating)
    points = facts.time_points(fuse.family, fuse.rating)
    if row is None or points is None:
        missing.append(f"no operating times of the {facts.family_name(fuse.family)} are published")
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
        source=row.source.words,
    )


def _cable(v: View) -> CableLimit | None:
    cables = v.assessment.circuit.cables
    run, at = thinner(cables.out, cables.back), v.column
    if not run.given[at]:
        return None
    sizes = (float(run.r20_mohm_per_m[at]), float(run.area_mm2[at]), float(run.od_mm[at]))
    ambient = float(run.ambient_c[at])
    share = float(v.assessment.circuit.taps.heat_share[at])
    on_s = float(v.assessment.circuit.taps.on_s[at])
    load = float(worst(v.assessment.taps.current_a)[at])
    start = float(np.asarray(temperature_in_turns(load, share, on_s, *sizes, ambient)))
    given = [cable for cable in (v.tap.cable_out, v.tap.cable_back) if cable is not None]
    return CableLimit(
        cable_words(min(given, key=lambda cable: cable.section_mm2)),
        float(np.asarray(adiabatic_k(run.limit_c[at], run.short_end_c[at]))),
        float(run.overload_limit_c[at]),
        *sizes,
        ambient,
        min(start, float(run.short_end_c[at])),
    )


def _basis(v: View, cable: CableLimit | None) -> Basis:
    inputs = []
    sources = []
    for name, fuse in (("Fuse", v.rating), ("Second fuse in series", _second(v))):
        if fuse is not None:
            known = facts.protection(
                fuse.family, fuse.rating, v.assessment.rule("overload_multiple")
            )
            inputs.append((name, fuse_words(fuse)))
            sources.extend([known.source] if known.published else [])
    if cable is not None:
        inputs += [
            ("k of the insulation", f"{cable.k:.3g} A·√s/mm²"),
            ("Conductor before the fault", quantity(cable.start_c, "°C")),
            ("Limit in an overload", quantity(cable.overload_limit_c, "°C")),
            ("Ambient", quantity(cable.ambient_c, "°C")),
        ]
        sources.append(f"cable: IEC 60364-4-43 up to {ADIABATIC_S:g} s, then the heat balance")
    return Basis(
        "the fuse opens between the soonest and the latest of its published times, stepped, never "
        "read in between; the cable bears a current for (k × section ÷ current)² up to "
        f"{ADIABATIC_S:g} s, beyond that until it is as warm as its insulation bears; good to "
        f"±{percent(0.2)}",
        tuple(inputs),
        "; ".join(dict.fromkeys(sources)),
    )
