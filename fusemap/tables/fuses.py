"""Fuse families, their colours, resistances, limits by temperature, and operating times."""

from collections.abc import Mapping
from functools import cache
from typing import Final

from msgspec import Struct

from fusemap.tables.reading import (
    STATUS_TEXT,
    Row,
    Source,
    number,
    pick,
    required,
    rows,
    several,
    source,
)
from fusemap.text import Text, say

INFINITE = float("inf")


class FuseFamily(Struct, frozen=True):
    """A family of fuses that fit the same slot; ratings [A] rising.

    `contact_limit_a` is what the usual holder's contacts carry for long, where it is published.
    """

    key: str
    name: str
    standard: str
    ratings_a: tuple[float, ...]
    max_voltage_v: float
    contact_limit_a: float | None
    has_two_fuse_tap: bool
    bolted_or_cartridge: bool
    note: str
    source: Source


@cache
def fuse_families() -> Mapping[str, FuseFamily]:
    """Every family by its key."""
    return {
        row["key"]: FuseFamily(
            key=row["key"],
            name=row["name"],
            standard=row["standard"],
            ratings_a=tuple(float(rating) for rating in several(row, "ratings_a")),
            max_voltage_v=required(row, "max_voltage_v"),
            contact_limit_a=number(row, "contact_limit_a"),
            has_two_fuse_tap=row["has_two_fuse_tap"] == "1",
            bolted_or_cartridge=row["bolted_or_cartridge"] == "1",
            note=row["note"],
            source=source(row),
        )
        for row in rows("fuse_families")
    }


@cache
def fuse_bodies() -> Mapping[str, tuple[float, float, float]]:
    """The body of a fuse by its family: width and thickness from above, height [mm].

    Families without a known size are not in it.
    """
    sizes = ("width_mm", "thickness_mm", "height_mm")
    return {
        row["family"]: (required(row, sizes[0]), required(row, sizes[1]), required(row, sizes[2]))
        for row in rows("fuse_bodies")
    }


def _no_family(key: str) -> tuple[Text, Text]:
    return say("fuse family"), say("there is no fuse family “{key}”", key=key)


def fuse_family(key: str) -> FuseFamily:
    """One family. Raises InputProblem naming those there are."""
    return pick(fuse_families(), key, _no_family)


class FuseColour(Struct, frozen=True):
    """The standard's colour of a fuse: its name, and ours for the screen with its text colour."""

    name: str
    hex: str
    text_hex: str
    source: Source


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb", 0 to 1.

    Source: W3C, Web Content Accessibility Guidelines 2.1, definition of relative luminance.

    >>> round(luminance("#ffffff"), 3), luminance("#000000")
    (1.0, 0.0)
    """
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours "#rrggbb", 1 to 21. Source: as luminance.

    >>> round(contrast("#000000", "#ffffff"))
    21
    """
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@cache
def _colours() -> Mapping[tuple[str, float], FuseColour]:
    found = {}
    for row in rows("fuse_colours"):
        ink = max(("#000000", "#ffffff"), key=lambda text: contrast(text, row["hex"]))
        found[row["family"], required(row, "rating_a")] = FuseColour(
            row["colour"], row["hex"], ink, source(row)
        )
    return found


def fuse_colour(family: str, rating_a: float) -> FuseColour | None:
    """The colour of a fuse, `None` where none is known."""
    return _colours().get((family, rating_a))


class FuseResistance(Struct, frozen=True):
    """Cold resistance [mΩ], drop at full rating [mV] and melting I²t [A²s] where published.

    `hot_to_cold` is the ratio of the resistances at full rating and cold, 1 where it is unknown.
    `source` is that of the cold value; the drop and the melting I²t have theirs, `None` without a
    figure.
    """

    cold_mohm: float
    drop_at_rated_mv: float | None
    melting_i2t_a2s: float | None
    hot_to_cold: float
    source: Source
    drop_source: Source | None
    melting_source: Source | None

    @property
    def words(self) -> Text:
        """The source as it is quoted beside a current read from millivolts.

        >>> str(fuse_resistance("regular", 15.0).words).partition("; ")[2]
        'its heating from memory, unverified'
        """
        heating = self.drop_source
        if heating is None or heating.status in ("seen", self.source.status):
            return self.source.text
        return say(
            "{source}; its heating {status}",
            source=self.source.text,
            status=STATUS_TEXT[heating.status],
        )


@cache
def _resistances() -> Mapping[tuple[str, float], FuseResistance]:
    return {
        (row["family"], required(row, "rating_a")): _resistance(row)
        for row in rows("fuse_resistance")
    }


def _resistance(row: Row) -> FuseResistance:
    cold, drop = required(row, "cold_mohm"), number(row, "drop_at_rated_mv")
    return FuseResistance(
        cold_mohm=cold,
        drop_at_rated_mv=drop,
        melting_i2t_a2s=number(row, "melting_i2t_a2s"),
        hot_to_cold=1.0 if drop is None else max(1.0, drop / required(row, "rating_a") / cold),
        source=source(row),
        drop_source=source(row, "drop_status") if drop is not None else None,
        melting_source=source(row, "melting_status") if row["melting_i2t_a2s"] else None,
    )


def fuse_resistance(family: str, rating_a: float) -> FuseResistance | None:
    """The published resistance of a fuse, `None` where none is; never another family's."""
    return _resistances().get((family, rating_a))


class Rerating(Struct, frozen=True):
    """A straight rerating line: factor [-] at two temperatures [°C], and where it ends [°C]."""

    cold_c: float
    cold_factor: float
    hot_c: float
    hot_factor: float
    hottest_c: float
    source: Source


@cache
def fuse_rerating(family: str) -> Rerating | None:
    """The rerating line of a family, `None` where none is published."""
    for row in rows("fuse_rerating"):
        if row["family"] == family:
            return Rerating(
                required(row, "cold_c"),
                required(row, "cold_factor"),
                required(row, "hot_c"),
                required(row, "hot_factor"),
                required(row, "hottest_c"),
                source(row),
            )
    return None


class TemperatureTable(Struct, frozen=True):
    """Lasting load [A] by rating at each column's ambient [°C]; the margin is inside."""

    columns_c: tuple[float, ...]
    allowed_a: Mapping[float, tuple[float, ...]]
    source: Source


@cache
def fuse_temperature_table(family: str) -> TemperatureTable | None:
    """The maker's temperature table of a family, `None` where none is published."""
    mine = [row for row in rows("fuse_temperature") if row["family"] == family]
    if not mine:
        return None
    columns = tuple(sorted({required(row, "ambient_c") for row in mine}))
    allowed: dict[float, dict[float, float]] = {}
    for row in mine:
        by_ambient = allowed.setdefault(required(row, "rating_a"), {})
        by_ambient[required(row, "ambient_c")] = required(row, "allowed_a")
    return TemperatureTable(
        columns,
        {rating: tuple(by[c] for c in columns) for rating, by in allowed.items()},
        source(mine[0]),
    )


class OperatingTimes(Struct, frozen=True):
    """Published operating times: no sooner and no later than [s] at multiples of the rating [-].

    0 and infinity where a bound is not published. `sources` has one entry for each point;
    `source` is the best of them.
    """

    multiple: tuple[float, ...]
    min_s: tuple[float, ...]
    max_s: tuple[float, ...]
    sources: tuple[Source, ...]
    source: Source


@cache
def fuse_time_points(family: str, rating_a: float) -> OperatingTimes | None:
    """The operating times of a fuse, `None` where none are published for it."""
    mine = [
        row
        for row in rows("fuse_times")
        if row["family"] == family
        and required(row, "lowest_rating_a") <= rating_a <= required(row, "highest_rating_a")
    ]
    if not mine:
        return None
    mine.sort(key=lambda row: required(row, "multiple"))
    longest = [number(row, "max_s") for row in mine]
    return OperatingTimes(
        multiple=tuple(required(row, "multiple") for row in mine),
        min_s=tuple(number(row, "min_s") or 0.0 for row in mine),
        max_s=tuple(INFINITE if value is None else value for value in longest),
        sources=tuple(source(row) for row in mine),
        source=source(next((row for row in mine if row["status"] != "memory"), mine[0])),
    )


SLOWEST_PUBLISHED: Final = ("maxi", 40.0)
"""The slowest fuse that a data sheet tells of: stands in where a family has no published times."""


def slowest_fuse_times() -> OperatingTimes:
    """The operating times of the slowest published fuse, to reckon with by analogy."""
    found = fuse_time_points(*SLOWEST_PUBLISHED)
    assert found is not None  # the table of the project has it
    return found
