"""Conductors, insulations, published ampacities and joints.

In: the tables `conductors`, `insulations`, `ampacities`, `joints`. Out: frozen rows with areas
[mm²], resistances at 20 °C [mΩ/m] and of a joint [mΩ], diameters [mm], temperatures [°C], currents
[A].
"""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from fusemap.tables.reading import Source, number, required, rows, several, source
from fusemap.text import Amount, Text, say


class Conductor(Struct, frozen=True):
    """A conductor of a series: copper area [mm²], resistance at 20 °C [mΩ/m], diameter [mm].

    `od_mm` is over the insulation, `None` where the table has none.
    """

    series: str
    size: str
    area_mm2: float
    r20_mohm_per_m: float
    od_mm: float | None
    source: Source


@cache
def conductors(series: str | None = None) -> tuple[Conductor, ...]:
    """The conductors of a series (all where none is named), by rising area."""
    found = [
        Conductor(
            row["series"],
            row["size"],
            required(row, "area_mm2"),
            required(row, "r20_mohm_per_m"),
            number(row, "od_mm"),
            source(row),
        )
        for row in rows("conductors")
        if series in (None, row["series"])
    ]
    return tuple(sorted(found, key=lambda c: c.area_mm2))


class Section(Struct, frozen=True):
    """A standard vehicle cable: copper area [mm²], resistance at 20 °C [mΩ/m], diameter [mm]."""

    area_mm2: float
    r20_mohm_per_m: float
    od_mm: float
    source: Source


@cache
def standard_sections() -> tuple[Section, ...]:
    """Thin-wall vehicle cable, one per standard section, by rising area."""
    return tuple(
        Section(c.area_mm2, c.r20_mohm_per_m, c.od_mm, c.source)
        for c in conductors("vehicle")
        if c.od_mm is not None
    )


class Insulation(Struct, frozen=True):
    """What an insulation bears [°C]: for good, in an overload of minutes, at the end of a short."""

    key: str
    name: str
    limit_c: float
    overload_limit_c: float
    short_end_c: float
    conductivity_w_per_m_k: float
    source: Source

    @property
    def words(self) -> Text:
        """What it is called, with the temperature of its class."""
        return say(
            "{insulation}, {limit}", insulation=Text(self.name), limit=Amount(self.limit_c, "°C")
        )


@cache
def insulations() -> Mapping[str, Insulation]:
    """Every insulation by its key."""
    return {
        row["key"]: Insulation(
            row["key"],
            row["name"],
            required(row, "limit_c"),
            required(row, "overload_limit_c"),
            required(row, "short_end_c"),
            required(row, "conductivity_w_per_m_k"),
            source(row),
        )
        for row in rows("insulations")
    }


class Ampacity(Struct, frozen=True):
    """A published lasting current [A] of a size, with the temperatures [°C] it holds for."""

    table: str
    size: str
    area_mm2: float
    current_a: float
    conductor_c: float | None
    ambient_c: float | None
    arrangement: str
    source: Source


@cache
def ampacities() -> tuple[Ampacity, ...]:
    """Every published ampacity."""
    return tuple(
        Ampacity(
            row["table"],
            row["size"],
            required(row, "area_mm2"),
            required(row, "current_a"),
            number(row, "conductor_c"),
            number(row, "ambient_c"),
            row["arrangement"],
            source(row),
        )
        for row in rows("ampacities")
    )


class Joint(Struct, frozen=True):
    """A kind of joint: resistance [mΩ], the places it bears, and how good it is."""

    key: str
    name: str
    typical_mohm: float | None
    low_mohm: float | None
    high_mohm: float | None
    places: tuple[str, ...]
    grade: str
    note: str
    source: Source


@cache
def joints() -> Mapping[str, Joint]:
    """Every kind of joint by its key, best first."""
    return {
        row["key"]: Joint(
            row["key"],
            row["name"],
            number(row, "typical_mohm"),
            number(row, "low_mohm"),
            number(row, "high_mohm"),
            several(row, "places"),
            row["class"],
            row["note"],
            source(row),
        )
        for row in rows("joints")
    }
