"""One accessory without a vehicle: fuse, cable and everything that follows, from a few figures.

In: the load, the lengths, the place. Out: the chosen fuse and section, and the same chain that a
vehicle's tap has. The accessory sits alone on an otherwise idle feed straight from a battery, so
that assessment, advice and chain are those of the program itself.
"""

from typing import get_args

from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.advise.advice import Route, TapAdvice, cable_for, sections, tap_advice, tap_fuse
from fusemap.assess import Assessment, Chain, Hop, assess
from fusemap.electrics.fuses import FuseChoice
from fusemap.electrics.sizing import SectionChoice
from fusemap.errors import InputProblem
from fusemap.text import given, say, share
from fusemap.vehicle import Battery, Cable, Fuse, Vehicle, edits
from fusemap.vehicle.words import LoadKind, Place, SystemVoltage

LONGEST_M, COLDEST_C, HOTTEST_C, MOST_TOGETHER = 200.0, -40.0, 125.0, 60
"""Beyond these no vehicle is meant."""

TRIED = 5
"""How many sections are tried behind one fuse before the next larger fuse."""


class Wanted(Struct, frozen=True):
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


class SizedChain(Struct, frozen=True, eq=False):
    """What was chosen and all that stands behind it; `chain` is `None` where nothing will do.

    `rating_a` [A] and `area_mm2` [mm²] may lie above what `fuse` and `cable` recommend, since a
    thinner cable makes a load draw more; `failed` is then the hop that the section below broke.
    """

    wanted: Wanted
    load_a: float
    fuse: FuseChoice
    cable: SectionChoice | None
    rating_a: float | None
    area_mm2: float | None
    assessment: Assessment | None
    chain: Chain | None
    advice: TapAdvice | None
    failed: Hop | None = None


def size_chain(wanted: Wanted) -> SizedChain:
    """Choose fuse and cable for one accessory and assess the result.

    A constant power draws more behind a thinner cable. So each fuse that carries the load is tried
    with the cables that suit it, from the smallest, until every hop holds. Raises InputProblem for
    figures that make no sense, EditRefused for those no vehicle can have.
    """
    _refuse_nonsense(wanted)
    vehicle = _bench(wanted)
    a = assess(vehicle)
    load = float(a.taps.current_a[:, 0].max())
    fuse = _fuse(wanted, a)
    cable = None
    for rating in _from_rating(wanted, fuse):
        chosen = Fuse(family=wanted.fuse_family, rating=rating)
        cable = _cable(wanted, a, load, chosen)
        failed: Hop | None = None
        for area in _from_section(cable):
            found = assess(_with(wanted, vehicle, chosen, area))
            broken = [hop for hop in found.chains["tap-1"].hops if not hop.passed]
            if not broken:
                return _sized(wanted, found, fuse, cable, rating, area, failed)
            failed = max(broken, key=lambda hop: hop.share)
    return SizedChain(wanted, load, fuse, cable, fuse.rating_a, None, None, None, None)


def _refuse_nonsense(wanted: Wanted) -> None:
    if (wanted.watts is None) == (wanted.amperes is None):
        raise InputProblem(
            say("give either watts or amperes"), "load", say("--watts 90 or --amps 7.5")
        )
    for name, metres in (("out", wanted.out_m), ("back", wanted.back_m)):
        if metres is not None and not 0 < metres <= LONGEST_M:
            raise InputProblem(
                say("{length} is no length here", length=given(metres, "m")),
                name,
                say("above 0, up to {longest}", longest=given(LONGEST_M, "m")),
            )
    if wanted.drop_share is not None and not 0 < wanted.drop_share < 1:
        raise InputProblem(
            say("no such share can be lost"),
            "drop",
            say("above {least}, below {most}", least=share(0.0), most=share(1.0)),
        )
    if wanted.ambient_c is not None and not COLDEST_C <= wanted.ambient_c <= HOTTEST_C:
        raise InputProblem(
            say("{temperature} is no ambient", temperature=given(wanted.ambient_c, "°C")),
            "ambient",
            say("{least} to {most}", least=given(COLDEST_C, "°C"), most=given(HOTTEST_C, "°C")),
        )
    if not 1 <= wanted.bundle <= MOST_TOGETHER:
        raise InputProblem(
            say("{n} cables cannot lie together", n=wanted.bundle),
            "bundle",
            say("{least} to {most}", least=1, most=MOST_TOGETHER),
        )


def _from_rating(wanted: Wanted, fuse: FuseChoice) -> list[float]:
    """The ratings from the one that carries the load on."""
    least = fuse.rating_a
    ratings = tables.fuse_family(wanted.fuse_family).ratings_a
    return [] if least is None else [rating for rating in ratings if rating >= least]


def _from_section(cable: SectionChoice) -> list[float]:
    """The sections that pass, from the smallest on, as far as it makes sense to try."""
    passing = sections().area_mm2[cable.passes]
    return [float(area) for area in passing[:TRIED]]


def _sized(
    wanted: Wanted,
    a: Assessment,
    fuse: FuseChoice,
    cable: SectionChoice,
    rating_a: float,
    area_mm2: float,
    failed: Hop | None,
) -> SizedChain:
    load = float(a.taps.current_a[:, 0].max())
    chain, advice = a.chains["tap-1"], tap_advice(a, "tap-1")
    return SizedChain(wanted, load, fuse, cable, rating_a, area_mm2, a, chain, advice, failed)


def _fuse(wanted: Wanted, a: Assessment) -> FuseChoice:
    return tap_fuse(a, 0, wanted.fuse_family, ambient_c=_ambient(wanted))


def _cable(wanted: Wanted, bench: Assessment, load_a: float, fuse: Fuse) -> SectionChoice:
    """The sections behind a fuse; its resistance and the joints are those once all is in place."""
    widest = float(sections().area_mm2[-1])
    placed = assess(_with(wanted, bench.vehicle, fuse, widest))
    return cable_for(
        bench,
        load_a,
        fuse,
        Route(wanted.out_m, wanted.back_m, wanted.place, wanted.bundle, wanted.insulation),
        fixed_ohm=float(placed.circuit.cables.fixed_ohm[0]),
        other_ohm=float(bench.upstream_ohm[0] - bench.circuit.cables.fixed_ohm[0]),
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
