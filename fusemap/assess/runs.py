"""Conductors where they lie, as arrays: how warm they get at a current, and what they have then.

A part without a cable has NaN in these arrays: nothing is sized that was not given.
"""

from functools import lru_cache

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.result import Floats
from fusemap.assess.sources import ambient
from fusemap.electrics.cable import resistance_ohm
from fusemap.electrics.cable_heat import (
    among_alike_temperature,
    ampacity,
    bundle_temperature,
    conductor_temperature,
    temperature_in_turns,
)
from fusemap.electrics.protection import FAULT_CABLE_C, overload_gap
from fusemap.vehicle import Cable, Fuse, Stretch

MELTED_C = 1000.0
"""Stands for a conductor so hot that no resistance can be given; the heat check tells it [°C]."""


class Runs(Struct, frozen=True, eq=False):
    """One conductor of every tap (out, or back): sizes, place and temperatures [(taps,)]."""

    length_m: Floats
    area_mm2: Floats
    r20_mohm_per_m: Floats
    od_mm: Floats
    ambient_c: Floats
    limit_c: Floats
    overload_limit_c: Floats
    short_end_c: Floats
    bundle: Floats

    @property
    def given(self) -> np.ndarray:
        """Which taps have this conductor."""
        return ~np.isnan(self.area_mm2)

    def temperature_c(self, current_a: Floats) -> Floats:
        """Conductor temperature [°C] at a lasting current [A]; NaN where there is no conductor."""
        found, at = np.full(self.area_mm2.shape, np.nan), self.given
        found[at] = among_alike_temperature(
            current_a[at],
            self.r20_mohm_per_m[at],
            self.area_mm2[at],
            self.od_mm[at],
            self.ambient_c[at],
            self.bundle[at],
        )
        return found

    def overload_c(self, at: int, fuse: Fuse, multiple: float, start_c: float) -> float:
        """The hottest that conductor `at` gets at any overload its fuse lets pass [°C].

        multiple: of the rating, the largest looked at [-]; start_c: how warm it was before [°C].
        """
        times, seconds = np.array(facts.protection(fuse.family, fuse.rating, multiple).overloads).T
        gap = overload_gap(
            fuse.rating,
            seconds,
            self.overload_limit_c[at],
            self.r20_mohm_per_m[at],
            self.area_mm2[at],
            self.od_mm[at],
            self.ambient_c[at],
            multiple=times,
            start_c=start_c,
        )
        return float(np.max(gap.found))

    def warm_c(self, current_a: Floats, mean_share: Floats, on_s: Floats) -> Floats:
        """The warmest each conductor gets [°C] under a load that goes on and off.

        current_a: while it is on [A]; mean_share: root of the mean square over that [-]; on_s: how
        long a turn lasts [s], 0 where only the mean counts. In a bundle a long turn counts as for
        good.
        """
        turns = self.given & (on_s > 0)
        alone = turns & (self.bundle <= 1)
        share = np.where(turns & ~alone, 1.0, mean_share)
        found = self.temperature_c(current_a * share)
        if alone.any():
            found[alone] = temperature_in_turns(
                current_a[alone],
                mean_share[alone],
                on_s[alone],
                self.r20_mohm_per_m[alone],
                self.area_mm2[alone],
                self.od_mm[alone],
                self.ambient_c[alone],
            )
        return found

    def ohm(self, temperature_c: Floats) -> Floats:
        """Resistance [Ω] at a conductor temperature [°C]; 0 where there is no conductor."""
        given = self.given
        found = np.zeros(self.area_mm2.shape)
        warm = np.minimum(temperature_c[given], MELTED_C)
        found[given] = resistance_ohm(self.r20_mohm_per_m[given], self.length_m[given], warm)
        return found

    def fault_ohm(self) -> Floats:
        """Resistance [Ω] during a short, warm; 0 where there is no conductor."""
        return self.ohm(np.full(self.area_mm2.shape, FAULT_CABLE_C))


def stacked(*runs: Runs) -> Runs:
    """Several sets of conductors in a row, so that all are reckoned at once."""
    fields = Runs.__struct_fields__
    return Runs(**{f: np.concatenate([getattr(run, f) for run in runs]) for f in fields})


def thinner(out: Runs, back: Runs) -> Runs:
    """Of each tap's two conductors the thinner one, which the fuse has to protect."""
    use_back = back.given & (np.nan_to_num(back.area_mm2, nan=np.inf) < out.area_mm2)
    fields = Runs.__struct_fields__
    return Runs(**{f: np.where(use_back, getattr(back, f), getattr(out, f)) for f in fields})


NO_RUN = (np.nan,) * 9


def runs(cables: list[Cable | None], rules: dict[str, float]) -> Runs:
    """The arrays of one conductor per tap [(taps,)], NaN where a tap has no such cable.

    rules: the named rules by key, for the ambient [°C]. Raises KeyError for an insulation that is
    in no table. Source: `facts.wire` for the conductor, `hardest` for where it lies.
    """
    rows = [NO_RUN if cable is None else _run(cable, rules) for cable in cables]
    return Runs(*np.array(rows, dtype=float).reshape(len(rows), 9).T)


def _run(cable: Cable, rules: dict[str, float]) -> tuple[float, ...]:
    wire = facts.wire(cable.section_mm2, cable.insulation)
    part = hardest(cable, rules)
    return (
        cable.whole_m,
        wire.area_mm2,
        wire.r20_mohm_per_m,
        wire.od_mm,
        ambient(part.place, rules),
        wire.limit_c,
        wire.overload_limit_c,
        wire.short_end_c,
        float(part.bundle),
    )


def hardest(cable: Cable, rules: dict[str, float]) -> Stretch:
    """The stretch of a cable's way in which it gets warmest: it decides for the whole of it.

    Source: IEC 60364-5-52, 523.8: where conditions vary along the route, the current a cable may
    carry is that of the part with the most adverse ones.

    >>> way = Cable(section_mm2=1.5, length_m=1.0, place="engine_bay",
    ...             further=(Stretch(length_m=3.0, place="cabin"),))
    >>> hardest(way, {"ambient_engine_bay_c": 80.0, "ambient_cabin_c": 25.0}).place
    'engine_bay'
    """
    if not cable.further:
        return Stretch(length_m=cable.length_m, place=cable.place, bundle=cable.bundle)
    parts = cable.stretches
    around = tuple((ambient(part.place, rules), part.bundle) for part in parts)
    return parts[_warmest(cable.section_mm2, cable.insulation, around)]


@lru_cache(maxsize=256)
def _warmest(section_mm2: float, insulation: str, around: tuple[tuple[float, int], ...]) -> int:
    """Which of these surroundings (ambient [°C], loaded together) warms a conductor most.

    They are compared at what it may carry by itself in the coolest of them.
    """
    wire = facts.wire(section_mm2, insulation)
    sizes = (wire.r20_mohm_per_m, wire.area_mm2, wire.od_mm)
    amperes = float(ampacity(wire.limit_c, *sizes, min(warm for warm, _ in around)))
    whole = [
        bundle_temperature(np.full(count, amperes), *sizes, warm).conductor_c
        if count > 1
        else conductor_temperature(amperes, *sizes, warm)
        for warm, count in around
    ]
    return int(np.argmax([np.max(each) for each in whole]))
