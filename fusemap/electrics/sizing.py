"""The recommended cable section.

In: plain figures of the duty (load, lengths, fuse, temperatures, voltages), arrays of the sections
on offer. Out: the smallest that passes everything, which criterion decided, and every found value
with its limit, so that a person can redo the sum. The accessory fuse: fuses.py.

Source: the criteria are those of cable.py, cable_heat.py and protection.py; choosing the smallest
that passes all is ours.
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike

from fusemap.electrics.cable import loop_resistance
from fusemap.electrics.cable_heat import bundle_temperature, temperature_in_turns
from fusemap.electrics.protection import (
    FAULT_CABLE_C,
    OVERLOAD_MULTIPLE,
    WANTED_MULTIPLE,
    far_end,
    overload_gap,
    short_check,
)
from fusemap.electrics.values import (
    Comparison,
    Floats,
    TruthArray,
    Values,
    plain,
    require_finite,
    require_fit,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say

CRITERIA = ("drop", "heat", "overload", "short", "far_end", "floor")
"""What a section must pass: voltage drop, steady heat, overload gap, hard short, short at the far
end, mechanical floor."""

FLOOR_MM2 = 0.5
"""Smallest section that stands handling in a vehicle [mm²]; ours."""


class Sections(Struct, frozen=True, eq=False):
    """The cable sections on offer, arrays of shape (n,), copper section rising.

    area_mm2 [mm²], r20_mohm_per_m [mΩ/m], od_mm: outside diameter [mm]. Raises InputProblem if the
    sections do not rise.
    """

    area_mm2: Floats
    r20_mohm_per_m: Floats
    od_mm: Floats

    def __post_init__(self) -> None:
        area = require_positive(self.area_mm2, "area_mm2", "mm²")
        if area.ndim != 1 or area.size == 0 or np.any(np.diff(area) <= 0.0):
            raise InputProblem(say("the sections must rise, one at least"), "area_mm2")
        for where, unit in (("r20_mohm_per_m", "mΩ/m"), ("od_mm", "mm")):
            require_fit(require_positive(getattr(self, where), where, unit), area, where)


_ABOVE_NOTHING = {
    "rating_a": "A",
    "overload_multiple": "-",
    "k": "A·√s/mm²",
    "u_min_v": "V",
    "wanted_multiple": "-",
}
_NOTHING_OR_MORE = {
    "load_a": "A",
    "plus_m": "m",
    "return_m": "m",
    "fixed_ohm": "Ω",
    "allowed_drop_v": "V",
    "other_ohm": "Ω",
    "floor_mm2": "mm²",
}
_ANY = {"ambient_c": "°C", "limit_c": "°C", "overload_limit_c": "°C"}


class CableDuty(Struct, frozen=True, eq=False, kw_only=True):
    """What a cable has to do; numbers, or arrays of shape (m, 1) for m cables at once.

    load_a: lasting current [A], at the lowest voltage for a constant-power load; plus_m, return_m:
    lengths [m], the return 0 where the body carries it; fixed_ohm: joints, earth point, body [Ω];
    allowed_drop_v: over all of these [V]; ambient_c [°C]; limit_c: what the insulation takes for
    good [°C]; rating_a: the fuse that protects the cable [A]; overload_limit_c: what the insulation
    takes for the overload [°C]; overload_s: longest time [s] of the fuse at overload_multiple [-],
    infinite where that may last for good;
    short_i2t_a2s: what the fuse lets through at a short [A²s]; k: of the insulation [A·√s/mm²];
    u_min_v: lowest voltage of the source [V]; other_ohm: source, feed and fuse at a short [Ω];
    wanted_multiple: of the rating at the far end [-]; floor_mm2: mechanical floor [mm²];
    bundle: how many alike, all loaded, lie together [-]; heat_a: lasting current that warms it as
    the load does [A], load_a if not given, less where a load goes on and off; on_s: how long it
    then stays on at load_a [s], 0 where only heat_a counts; more_overloads: further
    published points of the fuse, (multiple [-], longest time [s]), the hottest of them counts.
    Raises InputProblem that names the field for a figure that makes no sense.
    """

    load_a: Values
    plus_m: Values
    return_m: Values
    fixed_ohm: Values
    allowed_drop_v: Values
    ambient_c: Values
    limit_c: Values
    rating_a: Values
    overload_limit_c: Values
    short_i2t_a2s: Values
    k: Values
    u_min_v: Values
    other_ohm: Values
    overload_s: Values = 600.0
    overload_multiple: Values = OVERLOAD_MULTIPLE
    wanted_multiple: Values = WANTED_MULTIPLE
    floor_mm2: Values = FLOOR_MM2
    bundle: int = 1
    more_overloads: tuple[tuple[float, float], ...] = ()
    heat_a: Values | None = None
    on_s: Values = 0.0

    @property
    def warming_a(self) -> Values:
        """The lasting current that warms the cable as the load does [A]. Source: I² heats."""
        return self.load_a if self.heat_a is None else self.heat_a

    def __post_init__(self) -> None:
        for where, unit in _ABOVE_NOTHING.items():
            require_positive(getattr(self, where), where, unit)
        for where, unit in _NOTHING_OR_MORE.items():
            require_not_negative(getattr(self, where), where, unit)
        for where, unit in _ANY.items():
            require_finite(getattr(self, where), where, unit)
        require_not_negative(self.warming_a, "heat_a", "A")
        require_not_negative(self.on_s, "on_s", "s")
        require_not_negative(self.overload_s, "overload_s", "s", endless=True)
        require_not_negative(self.short_i2t_a2s, "short_i2t_a2s", "A²s", endless=True)


def section_checks(sections: Sections, duty: CableDuty) -> dict[str, Comparison]:
    """Every criterion of CRITERIA for every section: found, limit, ratio; shape (n,) or (m, n).

    The drop is reckoned at the conductor temperature [°C] under load, the far-end short at 85 °C.
    Raises InputProblem for bad figures. Source: the modules named at the head.

    >>> offer = Sections(np.array([0.5, 1.5]), np.array([37.1, 12.7]), np.array([1.6, 2.4]))
    >>> duty = CableDuty(
    ...     load_a=5.0, plus_m=4.0, return_m=0.5, fixed_ohm=0.005, allowed_drop_v=0.36,
    ...     ambient_c=25.0, limit_c=105.0, rating_a=7.5, overload_limit_c=130.0,
    ...     short_i2t_a2s=1125.0, k=87.4, u_min_v=11.0, other_ohm=0.05)
    >>> section_checks(offer, duty)["drop"].passed
    array([False,  True])
    """
    r20, area = sections.r20_mohm_per_m, sections.area_mm2
    warm = _warm(sections, duty)
    # copper about to melt has no drop worth telling: the heat criterion stops it
    loop = _loop(r20, duty, np.where(np.isfinite(warm), warm, 1000.0))
    return {
        "drop": Comparison(plain(duty.load_a * loop), duty.allowed_drop_v, "at_most", "V"),
        "heat": Comparison(plain(warm), duty.limit_c, "at_most", "°C"),
        "overload": _overload(sections, duty),
        "short": short_check(duty.short_i2t_a2s, area, duty.k),
        "far_end": _far_end(r20, duty),
        "floor": Comparison(plain(area), duty.floor_mm2, "at_least", "mm²"),
    }


def _warm(sections: Sections, duty: CableDuty) -> Floats:
    """Conductor temperature [°C] under load of each section, alone or in a bundle of the same."""
    r20, area, od = sections.r20_mohm_per_m, sections.area_mm2, sections.od_mm
    if duty.bundle <= 1:
        return _alone(sections, duty)
    lasting = duty.load_a if np.any(duty.on_s) else duty.warming_a
    load = np.broadcast_to(lasting, np.broadcast_shapes(np.shape(lasting), area.shape))
    alike = [np.repeat(v[..., None], duty.bundle, -1) for v in (load, r20, area, od)]
    whole = bundle_temperature(alike[0], alike[1], alike[2], alike[3], duty.ambient_c)
    return np.asarray(whole.conductor_c)[..., 0]


def _alone(sections: Sections, duty: CableDuty) -> Floats:
    """Conductor temperature [°C] under load of each section by itself."""
    mean = np.asarray(duty.warming_a) / np.where(np.asarray(duty.load_a) > 0.0, duty.load_a, 1.0)
    r20, area, od = sections.r20_mohm_per_m, sections.area_mm2, sections.od_mm
    found = temperature_in_turns(duty.load_a, mean, duty.on_s, r20, area, od, duty.ambient_c)
    return np.asarray(found)


def _loop(r20: Floats, duty: CableDuty, temperature_c: ArrayLike) -> Floats:
    loop = loop_resistance(r20, duty.plus_m, duty.return_m, temperature_c, duty.fixed_ohm)
    return np.asarray(loop)


def _overload(sections: Sections, duty: CableDuty) -> Comparison:
    points = ((duty.overload_multiple, duty.overload_s), *duty.more_overloads)
    before = _alone(sections, duty)
    gaps = [
        overload_gap(
            duty.rating_a,
            seconds,
            duty.overload_limit_c,
            sections.r20_mohm_per_m,
            sections.area_mm2,
            sections.od_mm,
            duty.ambient_c,
            multiple=multiple,
            start_c=before,
        )
        for multiple, seconds in points
    ]
    hottest = np.maximum.reduce([np.asarray(gap.found) for gap in gaps])
    return Comparison(plain(hottest), gaps[0].limit, "at_most", "°C")


def _far_end(r20: Floats, duty: CableDuty) -> Comparison:
    loop = _loop(r20, duty, FAULT_CABLE_C)
    short = far_end(duty.u_min_v, duty.rating_a, loop, duty.other_ohm, duty.wanted_multiple)
    return short.wanted


class SectionChoice(Struct, frozen=True, eq=False):
    """The recommended section, or none, with all the figures behind it.

    index, area_mm2 [mm²]: of the section, None if none passes; decided_by: the criterion of
    CRITERIA that the next smaller section breaks worst ("" if the smallest on offer passes), or if
    none passes the one that the largest breaks worst; passes: shape (n,); checks: section_checks.
    """

    index: int | None
    area_mm2: float | None
    decided_by: str
    passes: TruthArray
    checks: dict[str, Comparison]


def recommend_section(sections: Sections, duty: CableDuty) -> SectionChoice:
    """The smallest section [mm²] on offer that passes every criterion, for one cable.

    Raises InputProblem for bad figures. Source: section_checks; smallest that passes all, ours.

    >>> offer = Sections(np.array([0.5, 1.5]), np.array([37.1, 12.7]), np.array([1.6, 2.4]))
    >>> duty = CableDuty(
    ...     load_a=5.0, plus_m=4.0, return_m=0.5, fixed_ohm=0.005, allowed_drop_v=0.36,
    ...     ambient_c=25.0, limit_c=105.0, rating_a=7.5, overload_limit_c=130.0,
    ...     short_i2t_a2s=1125.0, k=87.4, u_min_v=11.0, other_ohm=0.05)
    >>> choice = recommend_section(offer, duty)
    >>> choice.area_mm2, choice.decided_by
    (1.5, 'drop')
    """
    checks = section_checks(sections, duty)
    count = len(sections.area_mm2)
    passed = np.array([np.broadcast_to(check.passed, count) for check in checks.values()])
    passes: TruthArray = np.all(passed, axis=0)
    index = int(np.argmax(passes)) if passes.any() else None
    deciding = count - 1 if index is None else index - 1
    return SectionChoice(
        index=index,
        area_mm2=None if index is None else float(sections.area_mm2[index]),
        decided_by="" if deciding < 0 else _worst(checks, deciding, count),
        passes=passes,
        checks=checks,
    )


def _worst(checks: dict[str, Comparison], index: int, count: int) -> str:
    """The criterion with the highest ratio at one section."""
    ratios = {
        name: float(np.broadcast_to(check.ratio, count)[index]) for name, check in checks.items()
    }
    return max(ratios, key=lambda name: ratios[name])
