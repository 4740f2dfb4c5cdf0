"""What would be right for a tap that is there: fuse and cable that together hold, ready to adopt.

In: an assessed vehicle and a tap. Out: the smallest fuse and section with which every hop of the
tap's own holds, each tried on the vehicle itself, and the edit that puts them there. A constant
power draws more behind a thinner cable, so fuse and cable are tried together.
"""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.advise import advice
from fusemap.advise.advice import TapAdvice, cable_for, tap_advice
from fusemap.assess import Assessment, Hop, assess
from fusemap.assess.facts import wire
from fusemap.assess.hops import OWN
from fusemap.assess.sources import fuse_mohm
from fusemap.electrics.cable_heat import ampacity
from fusemap.electrics.sizing import SectionChoice
from fusemap.tables import Ampacity
from fusemap.vehicle import Fuse, Tap, edits, look_up

TRIED: Final = 5
"""How many sections are tried behind one fuse before the next larger fuse."""
ALONE: Final = ("single", "1 loaded core")
"""What a published table calls a cable that lies by itself."""


class Proposal(Struct, frozen=True, eq=False):
    """What would be right for one tap, beside what is there.

    `fuse` and `section_mm2` [mm²] are proposed, `None` where nothing on offer will do or nothing
    can be told; `sections` has every section on offer behind the fuse, with every criterion.
    `changes` are the fields to give `edits.change_tap`, empty where nothing would change; `failing`
    the tap's own hops that do not hold now, `left` those that would not hold then. `elsewhere` are
    hops that do not hold and that neither fuse nor cable of this tap can cure.
    """

    tap: Tap
    advice: TapAdvice
    fuse: Fuse | None
    section_mm2: float | None
    sections: SectionChoice | None
    changes: dict[str, Any]
    failing: tuple[Hop, ...]
    left: tuple[Hop, ...]
    elsewhere: tuple[Hop, ...] = ()

    @property
    def holds_now(self) -> bool:
        """Whether what is there holds already."""
        return not self.failing


def proposal(a: Assessment, tap_id: str) -> Proposal:
    """What would be right for a tap. Raises EditRefused where there is no such tap."""
    tap, now = look_up.tap(a.vehicle, tap_id), tap_advice(a, tap_id)
    failing, elsewhere = own_failing(a, tap_id), _elsewhere(a, tap_id)
    sections = None
    for fuse in _fuses(a, tap, now):
        sections = _sections(a, tap, fuse)
        for section in _areas(tap, sections):
            changes = _changes(tap, fuse, section)
            left = _left(a, tap, changes)
            if not left:
                return Proposal(tap, now, fuse, section, sections, changes, failing, (), elsewhere)
    return Proposal(tap, now, None, None, sections, {}, failing, failing, elsewhere)


def own_failing(a: Assessment, tap_id: str) -> tuple[Hop, ...]:
    """The hops of a tap that do not hold and that its own fuse or cable could cure."""
    return tuple(h for h in a.chains[tap_id].hops if h.key in OWN and not h.passed)


def _elsewhere(a: Assessment, tap_id: str) -> tuple[Hop, ...]:
    return tuple(h for h in a.chains[tap_id].hops if h.key not in OWN and not h.passed)


def _fuses(a: Assessment, tap: Tap, now: TapAdvice) -> Iterator[Fuse | None]:
    """The fuses worth trying, smallest first; a sense lead keeps what protects it now."""
    if tap.lead == "sense":
        yield tap.fuse
        return
    family = _family(a, tap)
    if family is None or now.fuse is None or now.fuse.rating_a is None:
        return
    most = min(advice.ceilings(a, tap).values(), default=np.inf)
    for rating in tables.fuse_family(family).ratings_a:
        if now.fuse.rating_a <= rating <= most:
            same = tap.fuse is not None and (tap.fuse.family, tap.fuse.rating) == (family, rating)
            yield tap.fuse if same else Fuse(family=family, rating=rating)


def _family(a: Assessment, tap: Tap) -> str | None:
    if tap.fuse is not None:
        return tap.fuse.family
    return None if tap.slot is None else look_up.slot(a.vehicle, tap.slot).family


def _sections(a: Assessment, tap: Tap, fuse: Fuse | None) -> SectionChoice | None:
    """Every section on offer behind a fuse; `None` without a cable or anything to protect it."""
    column = a.taps.index[tap.id]
    guard = a.circuit.cables.protecting[column] if fuse is None else fuse
    out = tap.cable_out
    if out is None or guard is None:
        return None
    fixed = float(a.circuit.cables.fixed_ohm[column])
    other = float(a.upstream_ohm[column]) - fixed
    if fuse is not None:
        fixed += (fuse_mohm(fuse) - fuse_mohm(tap.fuse)) / 1000  # the one tried, not the one there
    return cable_for(
        a,
        float(a.taps.current_a[:, column].max()),
        guard,
        advice.route_of(a, out, tap.cable_back),
        fixed_ohm=fixed,
        other_ohm=other,
        heat_share=float(a.circuit.taps.heat_share[column]),
        on_s=float(a.circuit.taps.on_s[column]),
    )


def _areas(tap: Tap, sections: SectionChoice | None) -> list[float | None]:
    """The sections worth trying, thinnest first; only the fuse where no cable is entered."""
    if tap.cable_out is None:
        return [None]
    if sections is None:
        return []
    return [float(area) for area in advice.sections().area_mm2[sections.passes][:TRIED]]


def _changes(tap: Tap, fuse: Fuse | None, section_mm2: float | None) -> dict[str, Any]:
    """What would be different."""
    found: dict[str, Any] = {} if fuse is None or fuse == tap.fuse else {"fuse": fuse}
    for name in ("cable_out", "cable_back"):
        cable = getattr(tap, name)
        if cable is not None and section_mm2 is not None and cable.section_mm2 != section_mm2:
            found[name] = replace(cable, section_mm2=section_mm2)
    return found


def _left(a: Assessment, tap: Tap, changes: dict[str, Any]) -> tuple[Hop, ...]:
    """The tap's own hops that would not hold with these changes."""
    if not changes:
        return own_failing(a, tap.id)
    return own_failing(assess(edits.change_tap(a.vehicle, tap.id, **changes)), tap.id)


class Beside(Struct, frozen=True):
    """A published ampacity and the model's for the same temperatures [A]; `ratio` model over it.

    `model_a` is `None` where the table holds for another arrangement or does not state its
    temperatures.
    """

    row: Ampacity
    model_a: float | None

    @property
    def ratio(self) -> float | None:
        """Model over table [-]."""
        return None if self.model_a is None else self.model_a / self.row.current_a


def published(section_mm2: float, insulation: str) -> tuple[Beside, ...]:
    """The published ampacities of a section [mm²] up to the insulation's class, each with ours.

    Raises InputProblem for an insulation that is not in the tables.
    """
    limit = wire(section_mm2, insulation).limit_c
    return tuple(
        Beside(row, _model(row, insulation))
        for row in advice.published_beside(section_mm2)
        if row.conductor_c is None or row.conductor_c <= limit
    )


def _model(row: Ampacity, insulation: str) -> float | None:
    alone = any(word in row.arrangement for word in ALONE)
    if not alone or row.conductor_c is None or row.ambient_c is None:
        return None
    cable = wire(row.area_mm2, insulation)
    sizes = (cable.r20_mohm_per_m, cable.area_mm2, cable.od_mm)
    return float(np.asarray(ampacity(row.conductor_c, *sizes, row.ambient_c)))
