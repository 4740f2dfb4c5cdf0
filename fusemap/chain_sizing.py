"""One accessory without a vehicle: fuse, cable and everything that follows, from a few figures.

In: the load, the lengths, the place. Out: the chosen fuse and section, and the same chain that a
vehicle's tap has. The accessory sits alone on an otherwise idle feed straight from a battery, so
that assessment, advice and chain are those of the program itself.
"""

from dataclasses import dataclass
from typing import get_args

from msgspec.structs import replace

from fusemap import tables
from fusemap.advice import Route, TapAdvice, cable_for, fuse_for, tap_advice
from fusemap.assess import Assessment, Chain, assess
from fusemap.electrics.fuse_choice import FuseChoice
from fusemap.electrics.sizing import SectionChoice
from fusemap.errors import InputProblem
from fusemap.vehicle import Battery, Cable, Fuse, Vehicle, edits
from fusemap.vehicle.words import LoadKind, Place, SystemVoltage

ROUNDS = 8
"""How often fuse and cable are chosen again; two or three rounds are usual."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be supplied: watts or amperes at `rated_v` [V], the way [m], and the limits.

    `drop_share` [-] `None` takes the rule's share; `ambient_c` [°C] `None` the place's.
    """

    watts: float | None = None
    amperes: float | None = None
    system_v: SystemVoltage = 12
    rated_v: float | None = None
    load_kind: LoadKind = "constant_power"
    out_m: float = 2.0
    back_m: float | None = None
    drop_share: float | None = None
    ambient_c: float | None = None
    place: Place = "cabin"
    bundle: int = 1
    insulation: str = "pvc"
    fuse_family: str = "mini"
    inrush_multiple: float = 1.0
    inrush_s: float = 0.0


@dataclass(frozen=True, eq=False)
class Sized:
    """What was chosen and all that stands behind it; `chain` is `None` where nothing will do."""

    wanted: Wanted
    load_a: float
    fuse: FuseChoice
    cable: SectionChoice | None
    assessment: Assessment | None
    chain: Chain | None
    advice: TapAdvice | None


def size_chain(wanted: Wanted) -> Sized:
    """Choose fuse and cable for one accessory and assess the result.

    A constant power draws more behind a thinner cable and then may want a larger fuse, which wants
    a thicker cable: both are chosen again until they stay. Raises InputProblem for figures that
    make no sense, EditRefused for those no vehicle can have.
    """
    if (wanted.watts is None) == (wanted.amperes is None):
        raise InputProblem("give either watts or amperes", "load", "--watts 90 or --amps 7.5")
    if wanted.out_m <= 0:
        raise InputProblem(f"{wanted.out_m:g} m is no length", "out", "a length above 0")
    vehicle = _bench(wanted)
    a = assess(vehicle)
    cable, before = None, None
    for _ in range(ROUNDS):
        load = float(a.taps.current_a[:, 0].max())
        fuse = _fuse(wanted, a, load)
        if fuse.rating_a is None:
            return Sized(wanted, load, fuse, None, None, None, None)
        chosen = Fuse(family=wanted.fuse_family, rating=fuse.rating_a)
        cable = _cable(wanted, a, load, chosen)
        if cable.area_mm2 is None:
            return Sized(wanted, load, fuse, cable, None, None, None)
        if before is not None and (fuse.rating_a, cable.area_mm2) == before:
            break
        before = (fuse.rating_a, cable.area_mm2)
        vehicle = _with(wanted, vehicle, chosen, cable.area_mm2)
        a = assess(vehicle)
    return Sized(wanted, load, fuse, cable, a, a.chains["tap-1"], tap_advice(a, "tap-1"))


def _fuse(wanted: Wanted, a: Assessment, load_a: float) -> FuseChoice:
    inrush = (load_a * wanted.inrush_multiple) ** 2 * wanted.inrush_s
    return fuse_for(
        a,
        wanted.fuse_family,
        load_a,
        ambient_c=_ambient(wanted),
        inrush_i2t_a2s=inrush,
    )


def _cable(wanted: Wanted, a: Assessment, load_a: float, fuse: Fuse) -> SectionChoice:
    return cable_for(
        a,
        load_a,
        fuse,
        Route(wanted.out_m, wanted.back_m, wanted.place, wanted.bundle, wanted.insulation),
        fixed_ohm=float(a.circuit.cables.fixed_ohm[0]),
        other_ohm=float(a.upstream_ohm[0] - a.circuit.cables.fixed_ohm[0]),
    )


def _with(wanted: Wanted, vehicle: Vehicle, fuse: Fuse, section_mm2: float) -> Vehicle:
    """The bench vehicle with this fuse and cable."""
    out = Cable(
        section_mm2=section_mm2,
        length_m=wanted.out_m,
        insulation=wanted.insulation,
        place=wanted.place,
        bundle=wanted.bundle,
    )
    back = None if wanted.back_m is None else replace(out, length_m=wanted.back_m)
    return edits.change_tap(vehicle, "tap-1", fuse=fuse, cable_out=out, cable_back=back)


def _ambient(wanted: Wanted) -> float:
    place = tables.rule_default(f"ambient_{wanted.place}_c").value
    return place if wanted.ambient_c is None else wanted.ambient_c


def _bench(wanted: Wanted) -> Vehicle:
    """A vehicle with the accessory on an own feed and nothing else."""
    vehicle = Vehicle(
        name="Bench", system_v=wanted.system_v, battery=Battery(capacity_ah=70.0, soh=1.0)
    )
    for place in get_args(Place):
        # the fuse sits where the cable lies: one ambient for both
        vehicle = edits.set_rule(vehicle, f"ambient_{place}_c", _ambient(wanted))
    if wanted.drop_share is not None:
        vehicle = edits.set_rule(vehicle, "allowed_drop_share", wanted.drop_share)
    vehicle = edits.add_accessory(
        vehicle,
        "accessory",
        watts=wanted.watts,
        amperes=wanted.amperes,
        rated_v=float(wanted.system_v) if wanted.rated_v is None else wanted.rated_v,
        load_kind=wanted.load_kind,
        inrush_multiple=wanted.inrush_multiple,
        inrush_s=wanted.inrush_s,
    )
    return edits.place(vehicle, "accessory-1", earth_point="as given")
