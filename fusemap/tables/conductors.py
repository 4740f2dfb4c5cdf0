"""Conductors, insulations, wire gauges, published ampacities, and the constants of copper.

In: the tables `conductors`, `insulations`, `gauges`, `ampacities`, `copper`. Out: frozen rows with
areas [mm²], resistances at 20 °C [mΩ/m], diameters [mm], temperatures [°C], currents [A].
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from fusemap import units
from fusemap.errors import InputProblem
from fusemap.tables.reading import Source, number, required, rows, source
from fusemap.text import Amount, Text, given, in_row, say


@dataclass(frozen=True, slots=True)
class Conductor:
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


@dataclass(frozen=True, slots=True)
class Section:
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


def section(area_mm2: float) -> Section:
    """The standard vehicle cable of a nominal section [mm²].

    Raises InputProblem naming the sections there are.

    >>> section(1.5).r20_mohm_per_m
    12.7
    """
    for row in standard_sections():
        if abs(row.area_mm2 - area_mm2) < 1e-6:
            return row
    *others, widest = (row.area_mm2 for row in standard_sections())
    raise InputProblem(
        say("{section} is no standard section", section=given(area_mm2, "mm²")),
        say("cable section"),
        say(
            "one of: {sections}",
            sections=in_row([*(given(area) for area in others), given(widest, "mm²")]),
        ),
    )


@dataclass(frozen=True, slots=True)
class Insulation:
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


@dataclass(frozen=True, slots=True)
class Ampacity:
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


@dataclass(frozen=True, slots=True)
class Gauge:
    """An American wire gauge and the SAE gauge of the same number: copper areas [mm²].

    `sae_metric_mm2` is the metric section that is sold in its place. `None` where none is listed.
    """

    awg: str
    area_mm2: float
    sae_area_mm2: float | None
    sae_metric_mm2: float | None
    source: Source


@cache
def gauges() -> tuple[Gauge, ...]:
    """The wire gauges, thinnest first."""
    return tuple(
        Gauge(
            row["awg"],
            required(row, "area_mm2"),
            number(row, "sae_area_mm2"),
            number(row, "sae_metric_mm2"),
            source(row),
        )
        for row in rows("gauges")
    )


@cache
def traded_gauge(area_mm2: float) -> Gauge | None:
    """The thinnest gauge that is sold with at least so much copper [mm²].

    Even numbers and the noughts are sold. Vehicle cable of the same number holds less copper (SAE),
    so its area counts where it is listed. `None` where it takes a thicker one than any listed.
    Source: as the table; which numbers are sold is common practice.

    >>> [gauge.awg for area in (0.5, 1.5, 2.5, 50.0) if (gauge := traded_gauge(area))]
    ['20', '14', '12', '1/0']
    """
    name = units.sold_gauge(area_mm2)
    return next((gauge for gauge in gauges() if gauge.awg == name), None)


@cache
def copper() -> Mapping[str, float]:
    """The constants of copper, in the units the table names."""
    return {row["key"]: required(row, "value") for row in rows("copper")}
