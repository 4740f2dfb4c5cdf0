"""Joints: what each kind resists, and where it may be.

In: the table `joints`. Out: frozen rows with resistances [mΩ].
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from fusemap.tables.reading import Source, number, rows, several, source


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
