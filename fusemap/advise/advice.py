"""What would be right: fuse and cable for a load, and what the fuses of a tap do in a short.

In: an assessed vehicle and a load, or a tap that is there. Out: choices with every figure behind
them. `placement` proposes a first tap with these, the chain view shows them beside what is there.
"""

from typing import Final

import numpy as np
from msgspec import Struct

from fusemap import tables
from fusemap.assess import Assessment, facts
from fusemap.assess.end import fault_a
from fusemap.assess.runs import hardest
from fusemap.assess.sources import ambient, warmest
from fusemap.electrics.fuses import LONGEST_PULSE_S, FuseChoice, choose_fuse
from fusemap.electrics.operating_time import SeriesFuse, SeriesOrder, series_order
from fusemap.electrics.protection import adiabatic_k, longest_length
from fusemap.electrics.sizing import CableDuty, SectionChoice, Sections, recommend_section
from fusemap.text import Text, say
from fusemap.vehicle import Cable, Fuse, Tap, look_up

CRITERION_WORDS: Final[dict[str, Text]] = {
    "drop": say("voltage drop"),
    "heat": say("warmth under load"),
    "overload": say("overload the fuse lets pass"),
    "short": say("hard short circuit"),
    "far_end": say("short circuit at the far end"),
    "floor": say("mechanical strength"),
    "": say("the smallest on offer is enough"),
}
"""What decided about a section, by the criterion's key."""


class Route(Struct, frozen=True):
    """The way of a cable: lengths [m] (`back_m` `None`: by the body), place, bundle, insulation."""

    out_m: float
    back_m: float | None = None
    place: str = "cabin"
    bundle: int = 1
    insulation: str = "pvc"


def fuse_for(
    a: Assessment,
    family: str,
    load_a: float,
    *,
    ambient_c: float,
    inrush_i2t_a2s: float = 0.0,
    ceilings: dict[str, float] | None = None,
    turn: tuple[float, float] = (1.0, 0.0),
    lasting: bool = False,
) -> FuseChoice:
    """The smallest rating of a family for a load [A] at an ambient [°C], under named ceilings [A].

    `turn`: root of the mean square over the load [-] and how long it stays on [s], of a load that
    goes on and off; a fuse that bears the turn takes so much more. `lasting`: it works for
    hours, so that the share of a permanent load holds too. Raises InputProblem for a family
    that is not in the tables.
    """
    ratings = tables.fuse_family(family).ratings_a
    share, (mean, on_s) = a.rule("continuous_share"), turn
    most = a.rule("cable_share_of_fuse") if lasting else np.inf
    limits = [
        min(
            facts.fuse_limit(family, rating, ambient_c, share)
            / (mean if facts.bears_turn(family, rating, load_a, on_s) else 1.0),
            most * rating,
        )
        for rating in ratings
    ]
    melting = [facts.melting_i2t(family, rating) for rating in ratings]
    return choose_fuse(
        load_a,
        ratings,
        limits,
        inrush_i2t_a2s=inrush_i2t_a2s,
        melting_i2t_a2s=[np.nan if m is None else m for m in melting],
        ceilings=ceilings,
    )


def sections() -> Sections:
    """The vehicle cables on offer."""
    rows = tables.standard_sections()
    return Sections(
        np.array([row.area_mm2 for row in rows]),
        np.array([row.r20_mohm_per_m for row in rows]),
        np.array([row.od_mm for row in rows]),
    )


def cable_for(
    a: Assessment,
    load_a: float,
    fuse: Fuse,
    route: Route,
    *,
    fixed_ohm: float,
    other_ohm: float,
    allowed_drop_v: float | None = None,
    heat_share: float = 1.0,
    on_s: float = 0.0,
) -> SectionChoice:
    """The smallest vehicle cable that passes every check behind a fuse, and what decided it.

    `heat_share` [-]: the current that warms the cable over the load, below 1 where it goes on and
    off, `on_s` [s] how long it then stays on, 0 where only the mean counts; `fixed_ohm` [Ω]:
    joints, and the body where it is the return; `other_ohm` [Ω]: everything above the cable in a
    short circuit.
    """
    cover = tables.insulations()[route.insulation]
    guard = facts.protection(fuse.family, fuse.rating, a.rule("overload_multiple"))
    (multiple, longest_s), *higher = guard.overloads
    drop = a.rule("allowed_drop_share") * a.vehicle.system_v
    return recommend_section(
        sections(),
        CableDuty(
            load_a=load_a,
            heat_a=load_a * heat_share,
            on_s=on_s,
            plus_m=route.out_m,
            return_m=route.back_m or 0.0,
            fixed_ohm=fixed_ohm,
            allowed_drop_v=drop if allowed_drop_v is None else allowed_drop_v,
            ambient_c=ambient(route.place, warmest(a.vehicle, rule_values(a))),
            limit_c=cover.limit_c,
            rating_a=fuse.rating,
            overload_limit_c=cover.overload_limit_c,
            short_i2t_a2s=guard.let_through_a2s,
            k=adiabatic_k(cover.limit_c, cover.short_end_c),
            u_min_v=a.circuit.fault_v,
            other_ohm=other_ohm,
            overload_s=longest_s,
            overload_multiple=multiple,
            wanted_multiple=a.rule("far_end_multiple"),
            floor_mm2=a.rule("mechanical_floor_mm2"),
            bundle=route.bundle,
            more_overloads=tuple(higher),
        ),
    )


def route_of(a: Assessment, out: Cable, back: Cable | None) -> Route:
    """The way of a tap's cables, with the place and the bundle that decide."""
    part = hardest(out, warmest(a.vehicle, rule_values(a)))
    back_m = None if back is None else back.whole_m
    return Route(out.whole_m, back_m, part.place, part.bundle, out.insulation)


def rule_values(a: Assessment) -> dict[str, float]:
    """The named rules as plain numbers."""
    return {key: rule.value for key, rule in a.rules.items()}


class TapAdvice(Struct, frozen=True, eq=False):
    """What would be right for a tap that is there, beside what is.

    `cable` is `None` without a fuse or a cable; `longest_m` [m] is the conductor, out and back, at
    whose end a short still opens the fuse; `published` are table values for the present section;
    `order` says which of accessory and host fuse opens first where both carry the accessory.
    """

    fuse: FuseChoice | None
    cable: SectionChoice | None
    longest_m: float | None
    published: tuple[tables.Ampacity, ...]
    order: SeriesOrder | None


def tap_advice(a: Assessment, tap_id: str) -> TapAdvice:
    """Advice on one tap, computed when it is asked for."""
    tap = look_up.tap(a.vehicle, tap_id)
    column = a.taps.index[tap_id]
    guard = a.circuit.cables.protecting[column]
    cable = tap.cable_out
    return TapAdvice(
        fuse=_fuse_advice(a, tap, column),
        cable=None if guard is None or cable is None else _cable_advice(a, tap, column, guard),
        longest_m=None if guard is None or cable is None else _longest(a, column, guard, cable),
        published=() if cable is None else published_beside(cable.section_mm2),
        order=_order(a, tap, column),
    )


def _fuse_advice(a: Assessment, tap: Tap, column: int) -> FuseChoice | None:
    """The right accessory fuse in the family that is there, or the slot's."""
    slot = None if tap.slot is None else look_up.slot(a.vehicle, tap.slot)
    family = tap.fuse.family if tap.fuse is not None else None if slot is None else slot.family
    if family is None or tap.lead != "power":
        return None
    at = int(a.circuit.taps.slot[column])
    warm = a.rule("ambient_engine_bay_c") if at < 0 else float(a.most.slots.ambient_c[at])
    return tap_fuse(a, column, family, ambient_c=warm, ceilings=ceilings(a, tap))


def tap_fuse(
    a: Assessment,
    column: int,
    family: str,
    *,
    ambient_c: float,
    ceilings: dict[str, float] | None = None,
) -> FuseChoice:
    """The smallest rating of a family for what one tap carries, its start reckoned in."""
    taps = a.circuit.taps
    peak = float(a.taps.current_a[:, column].max())
    return fuse_for(
        a,
        family,
        peak * float(taps.start_multiple[column]),
        ambient_c=ambient_c,
        inrush_i2t_a2s=inrush_i2t(a, column),
        ceilings=ceilings,
        turn=(float(taps.heat_share[column]), float(taps.on_s[column])),
        lasting=bool(taps.lasting[column]),
    )


def inrush_i2t(a: Assessment, column: int) -> float:
    """I²t of a tap's inrush [A²s], 0 where it has none, or one so long that it is load."""
    accessory = a.circuit.taps.accessories[column]
    if accessory.inrush_s > LONGEST_PULSE_S:
        return 0.0
    asked = float(a.circuit.taps.asked_a[:, column].max())
    return (asked * accessory.inrush_multiple) ** 2 * accessory.inrush_s


def ceilings(a: Assessment, tap: Tap) -> dict[str, float]:
    """The highest ratings [A] that the tap, the host and the device allow."""
    found = {}
    if tap.kind in ("two_fuse", "take_off_lead"):
        found["tap"] = a.rule("tap_kit_ceiling_a") if tap.ceiling_a is None else tap.ceiling_a
    host = None if tap.slot is None else look_up.slot(a.vehicle, tap.slot).fuse
    if host is not None:
        found["host"] = host.rating
    device = look_up.accessory(a.vehicle, tap.accessory).largest_fuse_a
    if device is not None and tap.lead == "power":
        found["device"] = device
    return found


def _cable_advice(a: Assessment, tap: Tap, column: int, guard: Fuse) -> SectionChoice:
    out = tap.cable_out
    assert out is not None  # asked for only with a cable
    return cable_for(
        a,
        float(a.taps.current_a[:, column].max()),
        guard,
        route_of(a, out, tap.cable_back),
        fixed_ohm=float(a.circuit.cables.fixed_ohm[column]),
        other_ohm=float(a.upstream_ohm[column] - a.circuit.cables.fixed_ohm[column]),
        heat_share=float(a.circuit.taps.heat_share[column]),
        on_s=float(a.circuit.taps.on_s[column]),
    )


def _longest(a: Assessment, column: int, guard: Fuse, cable: Cable) -> float:
    wire = facts.wire(cable.section_mm2, cable.insulation)
    return float(
        longest_length(
            a.circuit.fault_v,
            guard.rating,
            wire.r20_mohm_per_m,
            float(a.upstream_ohm[column]),
            a.rule("far_end_multiple"),
        )
    )


def published_beside(section_mm2: float) -> tuple[tables.Ampacity, ...]:
    """The published ampacities of the section nearest to one, of each table one row per class.

    A section counts as the same within 8 %.
    """
    return tuple(
        row for row in tables.ampacities() if abs(row.area_mm2 - section_mm2) <= 0.08 * section_mm2
    )


def series_of(a: Assessment, tap_id: str) -> SeriesOrder | None:
    """Which of a tap's two fuses opens first in a short at the accessory, where both carry it."""
    return _order(a, look_up.tap(a.vehicle, tap_id), a.taps.index[tap_id])


def _order(a: Assessment, tap: Tap, column: int) -> SeriesOrder | None:
    host = None if tap.slot is None else look_up.slot(a.vehicle, tap.slot).fuse
    through = a.circuit.taps.through_host[column] > 0
    if host is None or tap.fuse is None or not through:
        return None
    lower, upper = _series_fuse(tap.fuse), _series_fuse(host)
    if lower is None or upper is None:
        return None
    ohm = float(a.circuit.cables.fault_ohm[column] + a.upstream_ohm[column])
    return series_order(lower, upper, a.circuit.fault_v / ohm)


def fault_current(a: Assessment, tap_id: str) -> float | None:
    """Current in a short at a tap's accessory [A], `None` where no cable is entered."""
    found = float(fault_a(a.circuit)[a.taps.index[tap_id]])
    return found if np.isfinite(found) else None


def _series_fuse(fuse: Fuse) -> SeriesFuse | None:
    points = facts.time_points(fuse.family, fuse.rating)
    melting = facts.melting_i2t(fuse.family, fuse.rating)
    return None if points is None else SeriesFuse(fuse.rating, points, melting)
