"""What the tables say about a fuse, contact or wire, and the named rules as a vehicle has them.

Each answer depends on a few plain values only and is kept, so that one edit looks up only what it
changed. Where a family has no published figure the answer is `None`, and nothing is borrowed; only
`protection` always answers, since a fuse of unknown times still has a cable behind it.
"""

from collections.abc import Mapping
from functools import lru_cache
from math import isfinite

from msgspec import Struct

from fusemap import tables
from fusemap.assess.result import RuleValue
from fusemap.assess.verdict import Ground
from fusemap.electrics import fuses
from fusemap.electrics.operating_time import TimePoints
from fusemap.text import Text, Words, say
from fusemap.vehicle import Fuse, RuleChoice


@lru_cache(maxsize=4096)
def fuse_limit(family: str, rating_a: float, ambient_c: float, share: float) -> float:
    """Lasting load [A] a fuse carries at its place: share rule and the maker's table.

    rating_a [A], ambient_c [°C] at the fuse, share: of the rating at 23 °C [-]. A family without a
    published line or table at the rating, or one that is in no table, carries no more than the
    strictest published one of that rating or, where there is none, of the one below.
    Source: tables `fuse_rerating` and `fuse_temperature`; the sum is `fuses.continuous_limit`'s.

    >>> round(fuse_limit("mini", 10.0, 23.0, 0.75), 1)  # three quarters at 23 °C, its makers say
    7.5
    """
    if not _is_published(family, rating_a):
        return _like_limit(rating_a, ambient_c, share)
    return _published_limit(family, rating_a, ambient_c, share)


def _published_limit(family: str, rating_a: float, ambient_c: float, share: float) -> float:
    line = tables.fuse_rerating(family)
    table = tables.fuse_temperature_table(family)
    table_a = float("inf")
    if table is not None and rating_a in table.allowed_a:
        table_a = float(fuses.table_limit(table.columns_c, table.allowed_a[rating_a], ambient_c))
    rerating = fuses.NO_LINE
    if line is not None:
        rerating = fuses.ReratingLine(
            line.cold_c, line.cold_factor, line.hot_c, line.hot_factor, line.hottest_c
        )
    return float(fuses.continuous_limit(rating_a, ambient_c, share, rerating, table_a))


def _is_published(family: str, rating_a: float) -> bool:
    """Whether it is published what this fuse carries in the warmth."""
    table = tables.fuse_temperature_table(family)
    own = table is not None and rating_a in table.allowed_a
    return own or tables.fuse_rerating(family) is not None


def _like_limit(rating_a: float, ambient_c: float, share: float) -> float:
    """The strictest published share of the rating [A], of fuses of the rating or the next below."""
    shares = []
    for family in tables.fuse_families():
        table = tables.fuse_temperature_table(family)
        rated = () if table is None else tuple(r for r in table.allowed_a if r <= rating_a)
        if rated:
            rating = max(rated)
            shares.append(_published_limit(family, rating, ambient_c, share) / rating)
        elif tables.fuse_rerating(family) is not None:
            shares.append(_published_limit(family, rating_a, ambient_c, share) / rating_a)
    return min(shares, default=share) * rating_a


def fuse_ground(family: str, rating_a: float) -> Ground:
    """Where what a fuse carries for long is from."""
    return "published" if _is_published(family, rating_a) else "analogy"


@lru_cache(maxsize=256)
def contact_limit(family: str, holder_share: float) -> float:
    """Lasting load [A] of a slot's contacts where the user gave none.

    The family's published contact current, else its largest rating times the holder's share.
    """
    facts = tables.fuse_family(family)
    if facts.contact_limit_a is not None:
        return facts.contact_limit_a
    return max(facts.ratings_a, default=float("inf")) * holder_share


def contact_published(family: str) -> float | None:
    """The published contact current of a family [A], `None` where none is."""
    return tables.fuse_family(family).contact_limit_a


def contact_source(family: str) -> Text:
    """Where the contact limit of a family comes from."""
    facts = tables.fuse_family(family)
    if facts.contact_limit_a is not None:
        return facts.source.text
    return say("the family's largest rating × holder share; {source}", source=facts.source.text)


def family_name(family: str) -> str:
    """A fuse family as people say it."""
    return tables.fuse_family(family).name


class FuseResistance(Struct, frozen=True):
    """Cold resistance [mΩ], hot over cold at full rating [-]; where it is from."""

    cold_mohm: float
    hot_to_cold: float
    source: Words


@lru_cache(maxsize=1024)
def fuse_resistance(fuse: Fuse) -> FuseResistance | None:
    """The resistance of a fuse: measured for this very fuse, else published, else `None`."""
    published = tables.fuse_resistance(fuse.family, fuse.rating)
    hot = published.hot_to_cold if published is not None else 1.0
    if fuse.resistance_mohm is not None:
        return FuseResistance(fuse.resistance_mohm, hot, say("measured on this fuse"))
    if published is None:
        return None
    return FuseResistance(published.cold_mohm, hot, published.words)


@lru_cache(maxsize=256)
def like_resistance_mohm(rating_a: float) -> float:
    """The most that a fuse without a published resistance has at full load [mΩ].

    That of the published fuses of its rating or, where there is none, of the next below, the
    largest; of no rating below the smallest published one is anything known: then that one's.
    """
    known = {
        (family, rating): found
        for family, facts in tables.fuse_families().items()
        for rating in facts.ratings_a
        if (found := tables.fuse_resistance(family, rating)) is not None
    }
    ratings = sorted({rating for _, rating in known})
    nearest = max((r for r in ratings if r <= rating_a), default=ratings[0])
    return max(
        found.cold_mohm * max(found.hot_to_cold, HOT_TO_COLD)
        for (_, rating), found in known.items()
        if rating == nearest
    )


HOT_TO_COLD = 1.7
"""Resistance of a fuse at full load over cold, where it is not published [-]: more than any that
is."""


@lru_cache(maxsize=256)
def like_melting_i2t(family: str, rating_a: float, current_a: float) -> float | None:
    """What a fuse without a published melting I²t takes without melting at a current [A²s].

    What it certainly bears by its own operating times or, where that is more, the least of the
    published fuses of its rating; of the next rating below, as the square of the rating. `None`
    where there is neither, or its own times say no more than that it opens.
    """
    known = [
        (rating, found.melting_i2t_a2s / rating**2)
        for like, facts in tables.fuse_families().items()
        for rating in facts.ratings_a
        if rating <= rating_a
        and (found := tables.fuse_resistance(like, rating)) is not None
        and found.melting_i2t_a2s is not None
    ]
    nearest = max((rating for rating, _ in known), default=None)
    shares = [share for rating, share in known if rating == nearest]
    borne = [min(shares) * rating_a**2] if shares else []
    points = time_points(family, rating_a)
    if points is not None:
        borne.append(current_a**2 * float(points.band(current_a / rating_a).min_s))
    return max(borne, default=0.0) or None


@lru_cache(maxsize=256)
def melting_i2t(family: str, rating_a: float) -> float | None:
    """The published melting I²t [A²s], `None` where none is."""
    published = tables.fuse_resistance(family, rating_a)
    return None if published is None else published.melting_i2t_a2s


def melting_source(fuse: Fuse | None) -> Words:
    """Where a fuse's melting I²t comes from; empty where none is published."""
    published = fuse and tables.fuse_resistance(fuse.family, fuse.rating)
    known = published.melting_source if published else None
    return known.text if known else ""


@lru_cache(maxsize=1024)
def time_points(family: str, rating_a: float) -> TimePoints | None:
    """The published operating times of a family, `None` where none are."""
    row = tables.fuse_time_points(family, rating_a)
    return None if row is None else TimePoints(row.multiple, row.min_s, row.max_s)


LONGEST_TURN_S = 120.0
"""Longest turn [s] of which a fuse that bears its current feels but the mean heat; ours."""


@lru_cache(maxsize=1024)
def bears_turn(family: str, rating_a: float, current_a: float, on_s: float) -> bool:
    """Whether a fuse certainly stays whole through a turn of so many seconds at a current [A].

    Only by its own published points; then the mean heat of the turns is what it carries for long.
    """
    points = time_points(family, rating_a)
    if points is None or not 0.0 < on_s <= LONGEST_TURN_S:
        return False
    return on_s <= float(points.band(current_a / rating_a).min_s)


class Protection(Struct, frozen=True):
    """What a fuse lets through: I²t of its slowest quick point [A²s], and the overload it carries.

    `overloads` are the overload multiple and every higher point, each a multiple of the rating [-]
    with its longest time [s], infinite where the fuse may carry it for good. `published` is false
    where the family's own times are not: then the overload counts as carried for good, and above
    that the slowest published fuse stands in.
    """

    let_through_a2s: float
    overloads: tuple[tuple[float, float], ...]
    published: bool
    source: Text


@lru_cache(maxsize=1024)
def protection(family: str, rating_a: float, overload_multiple: float) -> Protection:
    """How a fuse protects a cable, from its published points or on the safe side without them.

    rating_a [A]; overload_multiple: the least overload reckoned with, of the rating [-]. A family
    of which no times are published, or that is in no table, is taken for the slowest.
    Source: table `fuse_times`, each family by its data sheet.

    >>> protection("mini", 15.0, 1.35).overloads  # ISO 8820-3: 1.35 times for 600 s at the most
    ((1.35, 600.0), (2.0, 5.0), (3.5, 0.5), (6.0, 0.1))
    """
    own = tables.fuse_time_points(family, rating_a)
    row = tables.slowest_fuse_times() if own is None else own
    points = TimePoints(row.multiple, row.min_s, row.max_s)
    longest = float("inf") if own is None else float(points.band(overload_multiple).max_s)
    higher = tuple(
        (multiple, seconds)
        for multiple, seconds in zip(row.multiple, row.max_s, strict=True)
        if multiple > overload_multiple and isfinite(seconds)
    )
    return Protection(
        let_through_a2s=float(points.let_through_i2t(rating_a)),
        overloads=((overload_multiple, longest), *higher),
        published=own is not None,
        source=row.source.text if own is not None else _in_place_of_own(row.source.text),
    )


def _in_place_of_own(source: Text) -> Text:
    """Said with the source of the figures that stand in."""
    return say(
        "this fuse’s times are not published: its overload is reckoned as for good, anything above "
        "by analogy with the slowest published fuse; {source}",
        source=source,
    )


class Wire(Struct, frozen=True):
    """One conductor with its insulation: resistance, sizes [mm² and mm], temperatures [°C]."""

    area_mm2: float
    r20_mohm_per_m: float
    od_mm: float
    limit_c: float
    overload_limit_c: float
    short_end_c: float
    source: Text


@lru_cache(maxsize=512)
def wire(section_mm2: float, insulation: str) -> Wire:
    """The table's conductor of a section, or the next smaller one's figures scaled by area.

    section_mm2 [mm²]; raises KeyError for an insulation that is in no table.
    Source: table `conductors` (ISO 6722 cable by a maker's data sheet), table `insulations`.

    >>> wire(1.5, "pvc").r20_mohm_per_m  # the greatest that ISO 6722 allows, mΩ/m at 20 °C
    12.7
    """
    sections = tables.standard_sections()
    row = max(
        (s for s in sections if s.area_mm2 <= section_mm2 * 1.0001),
        key=lambda s: s.area_mm2,
        default=sections[0],
    )
    scale = row.area_mm2 / section_mm2
    cover = tables.insulations()[insulation]
    return Wire(
        area_mm2=section_mm2,
        r20_mohm_per_m=row.r20_mohm_per_m * scale,
        od_mm=row.od_mm / scale**0.5,
        limit_c=cover.limit_c,
        overload_limit_c=cover.overload_limit_c,
        short_end_c=cover.short_end_c,
        source=row.source.text,
    )


@lru_cache(maxsize=64)
def resolve(choices: tuple[RuleChoice, ...]) -> Mapping[str, RuleValue]:
    """Every named rule by key, each in the unit of the table `rules` and with its source.

    A choice for a rule that does not exist is left aside.
    """
    own = {choice.key: choice.value for choice in choices}
    return {
        key: RuleValue(
            key=key,
            label=Text(default.label),
            value=own.get(key, default.value),
            unit=default.unit,
            default=default.value,
            source=say("set for this vehicle") if key in own else default.source.text,
            published=default.source.status == "seen",
        )
        for key, default in tables.rule_defaults().items()
    }
