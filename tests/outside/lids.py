"""Published legends of fuse-box lids, halved by vehicle, and how well their names are read.

In: a CSV of labels with the class of each by hand from what its page says it feeds. Out: the half
to build on, the half to measure on, and shares of what is read rightly. The vehicles are halved by
a hash of their number: what is learned from one half says nothing of the other.
"""

import csv
import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import Path

import pytest

from fusemap.tables import CircuitName, CircuitWord, circuit_name, circuit_stems
from fusemap.tables import circuit_names as words
from tests.circuit_rows import circuit_words

REFUSED = ("leave_alone", "regulated")
CLASSES = ("leave_alone", "monitored", "unclear", "control")
"""What is no comfort and must not look free."""
GROUPS = {
    "airbag": "airbag and belt tensioner",
    "brakes": "brakes, ABS, stability control",
    "engine": "engine control",
    "gearbox": "gearbox control",
    "high_voltage": "dangerous voltage",
    "starter": "starter",
    "steering": "steering",
}

Read = dict[int, CircuitName]
"""What each label is read as, by its place among the labels."""
Half = frozenset[int]


class Lids:
    """The labels of one file, and their halves."""

    def __init__(self, file: str, salt: str = "") -> None:
        """Read the labels; `salt` is put before a vehicle's number where it is hashed."""
        lines = (Path(__file__).parent / file).read_text("utf-8").splitlines()
        self.labels = list(csv.DictReader(lines))
        self.every: Half = frozenset(range(len(self.labels)))
        self.measure: Half = frozenset(
            at for at, label in enumerate(self.labels) if is_to_measure(salt + label["vehicle"])
        )
        self.build: Half = self.every - self.measure

    def of_class(self, name: str, half: Half | None = None) -> list[int]:
        """Where the labels of a class stand."""
        those = self.every if half is None else half
        return [at for at in sorted(those) if self.labels[at]["class"] == name]

    def vehicles(self, half: Half) -> set[str]:
        """The vehicles of a half."""
        return {self.labels[at]["vehicle"] for at in half}

    def readable(self, half: Half | None = None) -> list[int]:
        """The labels to be left alone that can be read at all."""
        those = self.of_class("leave_alone", half)
        return [at for at in those if self.labels[at]["readable"] == "yes"]

    def is_rightly_read(self, at: int, read: CircuitName) -> bool:
        """Whether the group that the page says is among what was recognised."""
        group = self.labels[at]["group"]
        if group == "regulated":
            return any(each.word.function == "regulated" for each in read.consumers)
        reasons = {each.word.reason for each in read.consumers}
        if group == "fuel_ignition":
            return bool(reasons & {"fuel supply", "ignition of the engine"})
        return GROUPS[group] in reasons

    def share_right(self, read: Read, half: Half | None = None) -> float:
        """Of the labels to be left alone that can be read at all, those with the right reason."""
        those = self.readable(half)
        return sum(self.is_rightly_read(at, read[at]) for at in those) / len(those)

    def share_read_as(
        self, read: Read, name: str, *functions: str, half: Half | None = None
    ) -> float:
        """Of the labels of a class, those read as one of these functions."""
        those = self.of_class(name, half)
        return sum(read[at].function in functions for at in those) / len(those)

    def free(self, read: Read, name: str) -> list[str]:
        """The labels of a class that would look free."""
        those = [at for at in self.of_class(name) if read[at].function == "comfort"]
        return [self.labels[at]["label"] for at in those]

    @cached_property
    def with_all_rows(self) -> Read:
        """Every label read as the program reads it."""
        return {at: circuit_name(label["label"]) for at, label in enumerate(self.labels)}

    @cached_property
    def by_trade_words(self) -> Read:
        """Every label read by the words of the trade alone."""
        rows = circuit_words()
        with these_rows(tuple(row for row in rows if row.origin == "trade")):
            return {at: circuit_name(label["label"]) for at, label in enumerate(self.labels)}

    @cached_property
    def as_if_new(self) -> Read:
        """Each vehicle's labels read without what was taken from its own labels alone."""
        used: dict[CircuitWord, set[str]] = {}
        for label in self.labels:
            for word in words_in(label["label"]):
                used.setdefault(word, set()).add(label["vehicle"])
        found: Read = {}
        for vehicle in self.vehicles(self.every):
            kept = tuple(
                row
                for row in circuit_words()
                if row.origin == "trade" or used.get(row) != {vehicle}
            )
            with these_rows(kept):
                found |= {
                    at: circuit_name(label["label"])
                    for at, label in enumerate(self.labels)
                    if label["vehicle"] == vehicle
                }
        return found


def is_to_measure(number: str) -> bool:
    """Whether a vehicle is of the half that nothing is learned from."""
    return int(hashlib.sha256(number.encode()).hexdigest(), 16) % 2 == 1


def words_in(name: str) -> Iterator[CircuitWord]:
    """The rows of the table that a name has."""
    for part in words._consumers(name):
        yield from (fit.word for fit in words._fits(words._tokens(part)))


@contextmanager
def these_rows(rows: tuple[CircuitWord, ...]) -> Iterator[None]:
    """The recogniser with some rows of its table only."""

    def forget() -> None:
        for kept in words.CACHES:
            kept.cache_clear()

    with pytest.MonkeyPatch.context() as patch:
        why = ((row.reason, row.source, row.origin) for row in rows)
        columns = zip(*((row.word, row.language, row.function) for row in rows), strict=True)
        table = circuit_stems.WordTable(*columns, tuple(why))
        patch.setattr(circuit_stems, "word_table", lambda: table)
        forget()
        yield
    forget()


FIRST = Lids("lid_labels.csv")
"""738 labels of 33 vehicles, whose words the rows marked `lid` were taken from."""
MORE = Lids("more_lids.csv", salt="lid ")
"""727 labels of 47 vehicles, none of which is of the first file."""
THIRD = Lids("third_lids.csv", salt="third ")
"""762 labels of 40 vehicles more, numbered alone; of each the kind of publication is named."""
