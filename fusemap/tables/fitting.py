"""What a cable's ends take: torques by thread, terminals and strip lengths, pull forces.

In: the tables `torques`, `crimps` and `pulls`. Out: frozen rows, each with its source; `None` where
the table has none, which is never made up. The vehicle maker's and the part maker's figure come
first: these are what is usual.
"""

from functools import cache
from typing import Final, Literal

from msgspec import Struct

from fusemap.tables.reading import Source, required, rows, source

CrimpKind = Literal["insulated", "butt", "lug"]
LARGEST_INSULATED_MM2: Final = 6.0
"""Above it a cable gets a tube lug, below it a terminal with a coloured sleeve [mm²]."""


class Torque(Struct, frozen=True):
    """The torque [Nm] of a nut on a ring terminal, by the thread [mm], for the softest metal."""

    thread_mm: float
    torque_nm: float
    metal: str
    source: Source


@cache
def torques() -> tuple[Torque, ...]:
    """The torques of ring terminals, the thinnest thread first."""
    return tuple(
        Torque(required(row, "thread_mm"), required(row, "torque_nm"), row["metal"], source(row))
        for row in rows("torques")
    )


def torque(thread_mm: float | None) -> Torque | None:
    """The torque of a thread [mm]; `None` where the thread is not known or not in the table."""
    return next((each for each in torques() if each.thread_mm == thread_mm), None)


class Crimp(Struct, frozen=True):
    """A terminal for sections above `above_mm2` up to `to_mm2` [mm²].

    `colour` is that of its sleeve, empty where it has none; the strip length [mm] has two ends and
    a source of its own.
    """

    kind: CrimpKind
    above_mm2: float
    to_mm2: float
    colour: str
    strip_low_mm: float
    strip_high_mm: float
    strip_source: Source
    source: Source


@cache
def crimps() -> tuple[Crimp, ...]:
    """All terminals, by kind and section."""
    return tuple(
        Crimp(
            row["key"].partition("_")[0],  # type: ignore[arg-type]
            required(row, "above_mm2"),
            required(row, "to_mm2"),
            row["colour"],
            required(row, "strip_low_mm"),
            required(row, "strip_high_mm"),
            Source(row["strip_source"], row["strip_status"]),  # type: ignore[arg-type]
            source(row),
        )
        for row in rows("crimps")
    )


def crimp(kind: CrimpKind, area_mm2: float) -> Crimp | None:
    """The terminal for a section [mm²]; `None` where the table has none."""
    of_kind = (each for each in crimps() if each.kind == kind)
    return next((each for each in of_kind if each.above_mm2 < area_mm2 <= each.to_mm2), None)


class Pull(Struct, frozen=True):
    """The least force [N] that a crimp on a section [mm²] has to bear."""

    area_mm2: float
    force_n: float
    source: Source


@cache
def pulls() -> tuple[Pull, ...]:
    """The pull forces, the thinnest section first."""
    return tuple(
        Pull(required(row, "area_mm2"), required(row, "force_n"), source(row))
        for row in rows("pulls")
    )


def pull(area_mm2: float) -> Pull | None:
    """The force for the largest section of the table that is not above this one [mm²]."""
    return max(
        (each for each in pulls() if each.area_mm2 <= area_mm2),
        key=lambda each: each.area_mm2,
        default=None,
    )
