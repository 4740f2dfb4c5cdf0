"""Joints, allowed voltage drops, and deratings of cables in bundles and in the warm.

In: the tables `joints`, `voltage_drop`, `deratings`. Out: frozen rows with resistances [mΩ],
shares and factors [-], temperatures [°C].
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from fusemap.tables.reading import Source, number, required, rows, several, source


@dataclass(frozen=True, slots=True)
class Joint:
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


@dataclass(frozen=True, slots=True)
class DropPractice:
    """A share of the voltage [-] that may be lost, and over which way."""

    case: str
    share: float
    over: str
    source: Source


@cache
def drop_practices() -> tuple[DropPractice, ...]:
    """The voltage drops that are allowed in practice."""
    return tuple(
        DropPractice(row["case"], required(row, "share"), row["over"], source(row))
        for row in rows("voltage_drop")
    )


@dataclass(frozen=True, slots=True)
class Derating:
    """A factor [-] on a cable's ampacity, and what it holds for; `None` where it does not matter.

    Loaded conductors or circuits lying together from `from_count` to `to_count` (`None`: any more),
    ambient [°C], and the temperature class of the conductor [°C].
    """

    kind: str
    from_count: float | None
    to_count: float | None
    ambient_c: float | None
    conductor_c: float | None
    factor: float
    source: Source


@cache
def deratings() -> tuple[Derating, ...]:
    """The published deratings, to be shown beside the heat computed for the case itself."""
    return tuple(
        Derating(
            row["kind"],
            number(row, "from_count"),
            number(row, "to_count"),
            number(row, "ambient_c"),
            number(row, "conductor_c"),
            required(row, "factor"),
            source(row),
        )
        for row in rows("deratings")
    )
