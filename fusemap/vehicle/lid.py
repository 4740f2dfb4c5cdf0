"""What a lid shows of its panel, as it is told to the program: size, families, gaps, labels.

In: rows and columns, what differs at single places, and the labels as a series, as it is printed
on the lid: ``F1`` counts on from there, ``F1-F12, F20, F21-F40`` is taken as it stands. Out: for
each place the label, family and kind of its slot. Places are rows and columns from 0, top left.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain, count, islice
from typing import Final, Literal

from fusemap.errors import InputProblem
from fusemap.text import say
from fusemap.vehicle.words import Orientation

Place = tuple[int, int]
Unlike = Literal["gap", "relay"]
"""What a place may be that is no fuse slot."""

MOST_IN_A_RUN: Final = 999
HOW_LABELS: Final = say("write it as F1-F12")
_RUN: Final = re.compile(r"(\D*)(\d{1,6})\s*[-–—…]\s*(\D*?)(\d{1,6})")
_COUNTED: Final = re.compile(r"(.*?)(\d{1,6})")


@dataclass(frozen=True, slots=True)
class Lid:
    """A panel by its lid. `families` and `kinds` say which places are unlike the others.

    `labels` is a series, spread over the fuse slots in the order in which the lid counts them.
    """

    rows: int
    columns: int
    family: str = "mini"
    orientation: Orientation = "upright"
    families: Mapping[Place, str] = field(default_factory=dict)
    kinds: Mapping[Place, Unlike] = field(default_factory=dict)
    labels: str = "F1"
    along: Literal["rows", "columns"] = "rows"
    from_right: bool = False
    from_bottom: bool = False

    def places(self) -> list[Place]:
        """Every place, in the order in which the lid counts."""
        down = range(self.rows)[:: -1 if self.from_bottom else 1]
        over = range(self.columns)[:: -1 if self.from_right else 1]
        if self.along == "rows":
            return [(row, column) for row in down for column in over]
        return [(row, column) for column in over for row in down]

    def fuse_places(self) -> list[Place]:
        """The places of fuse slots, in that order."""
        return [place for place in self.places() if place not in self.kinds]

    def count(self, kind: Unlike) -> int:
        """How many places are gaps, or relay places."""
        return sum(self.kinds.get(place) == kind for place in self.places())

    def labelled(self) -> dict[Place, str]:
        """The label of each fuse slot that gets one. Raises `InputProblem` as `series` does."""
        return dict(zip(self.fuse_places(), series(self.labels), strict=False))

    def family_at(self, place: Place) -> str:
        """The family of a place."""
        return self.families.get(place, self.family)


def series(text: str) -> Iterator[str]:
    """The labels that a typed series stands for, without end where it counts on.

    A last label on its own that ends in a number counts on. Raises `InputProblem` for a run whose
    two ends do not belong together.

    >>> list(series("F1-F3, F20, R7-6")), list(islice(series("F9"), 3))
    (['F1', 'F2', 'F3', 'F20', 'R7', 'R6'], ['F9', 'F10', 'F11'])
    """
    parts = [part for part in (each.strip() for each in re.split("[,;\n]", text)) if part]
    runs = [_run(part) for part in parts]
    last = _COUNTED.fullmatch(parts[-1]) if parts else None
    if last is not None and _RUN.fullmatch(parts[-1]) is None:
        return chain(*runs[:-1], _counting(last[1], last[2]))
    return chain(*runs)


def _run(part: str) -> list[str]:
    """The labels of one part: one, or all from its first to its last number."""
    found = _RUN.fullmatch(part)
    if found is None:
        return [part]
    before, first, again, last = found.groups()
    if again.strip() not in ("", before.strip()):
        raise InputProblem(
            say(
                "“{run}” begins with “{first}” and ends with “{last}”",
                run=part,
                first=before.strip(),
                last=again.strip(),
            ),
            where="labels",
            remedy=HOW_LABELS,
        )
    start, end = int(first), int(last)
    if abs(end - start) >= MOST_IN_A_RUN:
        raise InputProblem(
            say("“{run}” is more than any lid has", run=part), where="labels", remedy=HOW_LABELS
        )
    numbers = range(start, end + 1) if end >= start else range(start, end - 1, -1)
    return [f"{before}{_written(number, first)}" for number in numbers]


def _counting(before: str, first: str) -> Iterator[str]:
    return (f"{before}{_written(number, first)}" for number in count(int(first)))


def _written(number: int, like: str) -> str:
    """A number with the noughts in front that the first one has."""
    return str(number).zfill(len(like)) if like.startswith("0") else str(number)


def labels_left(lid: Lid) -> int:
    """How many labels of the series are too many; 0 where it counts on.

    >>> labels_left(Lid(rows=1, columns=2, labels="A, B, C"))
    1
    """
    slots = len(lid.fuse_places())
    rest = list(islice(series(lid.labels), slots, slots + MOST_IN_A_RUN))
    return 0 if len(rest) == MOST_IN_A_RUN else len(rest)
