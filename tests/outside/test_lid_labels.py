"""Published legends of fuse-box lids, in five languages, beside what their names are read as.

Source of each label: the owner's manual or list of the page named in its row (`lid_labels.csv`);
the class of each by hand from what the page says it feeds.

The table of words has rows of two origins. Those marked `lid` were taken from these legends, so
that their figures here say little of a lid nobody has seen. Those marked `trade` were put down from
what circuits are called in the trade, without a legend at hand and without looking at what was
missed here (but not without knowing the former list, which these legends had a part in): what they
read alone is what a new lid may count on. Therefore all labels are read once by them alone, and
each vehicle once more without the `lid` rows that only its own labels use. What is not recognised
then must not look free, even if some of it is not recognised.
"""

import csv
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import pytest

from fusemap.tables import CircuitName, CircuitWord, circuit_name
from fusemap.tables import circuit_names as words

LABELS = list(
    csv.DictReader((Path(__file__).parent / "lid_labels.csv").read_text("utf-8").splitlines())
)
REFUSED = ("leave_alone", "regulated")
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
"""What each label is read as, by its place in `LABELS`."""


def of_class(name: str) -> list[int]:
    return [at for at, label in enumerate(LABELS) if label["class"] == name]


def labels(places: list[int]) -> list[str]:
    return [LABELS[at]["label"] for at in places]


@cache
def with_all_rows() -> Read:
    return {at: circuit_name(label["label"]) for at, label in enumerate(LABELS)}


@cache
def by_trade_words() -> Read:
    """Every label read by the words of the trade alone, that were put down without a legend."""
    with these_rows(tuple(row for row in words.circuit_words() if row.origin == "trade")):
        return {at: circuit_name(label["label"]) for at, label in enumerate(LABELS)}


@cache
def as_if_new() -> Read:
    """Each vehicle's labels read without what was taken from its own labels alone."""
    used: dict[CircuitWord, set[str]] = {}
    for label in LABELS:
        for word in words_in(label["label"]):
            used.setdefault(word, set()).add(label["vehicle"])
    found: Read = {}
    for vehicle in {label["vehicle"] for label in LABELS}:
        kept = tuple(
            row
            for row in words.circuit_words()
            if row.origin == "trade" or used.get(row) != {vehicle}
        )
        with these_rows(kept):
            found |= {
                at: circuit_name(label["label"])
                for at, label in enumerate(LABELS)
                if label["vehicle"] == vehicle
            }
    return found


def words_in(name: str) -> Iterator[CircuitWord]:
    for part in words._consumers(name):
        yield from (fit.word for fit in words._fits(words._tokens(part)))


@contextmanager
def these_rows(rows: tuple[CircuitWord, ...]) -> Iterator[None]:
    """The recogniser with some rows of its table only."""

    def forget() -> None:
        for kept in words.CACHES:
            kept.cache_clear()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(words, "circuit_words", lambda: rows)
        forget()
        yield
    forget()


def is_rightly_read(at: int, read: CircuitName) -> bool:
    """Whether the group that the page says is among what was recognised."""
    group = LABELS[at]["group"]
    if group == "regulated":
        return any(each.word.function == "regulated" for each in read.consumers)
    reasons = {each.word.reason for each in read.consumers}
    if group == "fuel_ignition":
        return bool(reasons & {"fuel supply", "ignition of the engine"})
    return GROUPS[group] in reasons


def share_right(read: Read) -> float:
    """Of the labels to be left alone that can be read at all, those with the right reason."""
    readable = [at for at in of_class("leave_alone") if LABELS[at]["readable"] == "yes"]
    return sum(is_rightly_read(at, read[at]) for at in readable) / len(readable)


def share_read_as(read: Read, name: str, *functions: str) -> float:
    """Of the labels of a class, those read as one of these functions."""
    those = of_class(name)
    return sum(read[at].function in functions for at in those) / len(those)


def free(read: Read, name: str) -> list[str]:
    """The labels of a class that would look free."""
    return labels([at for at in of_class(name) if read[at].function == "comfort"])


def test_no_circuit_to_be_left_alone_ever_looks_free() -> None:
    assert free(with_all_rows(), "leave_alone") == []


def test_nearly_all_that_can_be_read_carry_the_right_reason() -> None:
    assert share_right(with_all_rows()) >= 0.95


def test_next_to_no_comfort_circuit_is_refused_and_most_are_known() -> None:
    assert share_read_as(with_all_rows(), "comfort", *REFUSED) <= 0.03
    assert share_read_as(with_all_rows(), "comfort", "comfort") >= 0.85


@pytest.mark.parametrize("name", ["monitored", "control", "unclear"])
def test_nothing_else_looks_free(name: str) -> None:
    assert free(with_all_rows(), name) == []


# --- a lid that nobody has seen -------------------------------------------------------------------


def test_leaving_a_vehicle_out_leaves_rows_out() -> None:
    assert share_right(as_if_new()) < share_right(with_all_rows())


@pytest.mark.parametrize(
    ("name", "most"), [("leave_alone", 0), ("monitored", 0), ("unclear", 0), ("control", 1)]
)
def test_on_a_new_lid_next_to_nothing_but_comfort_looks_free(name: str, most: int) -> None:
    """Found: one control unit, whose name says nothing of it; never one to be left alone."""
    assert len(free(as_if_new(), name)) <= most


def test_on_a_new_lid_most_carry_the_right_reason_and_little_comfort_is_refused() -> None:
    assert share_right(as_if_new()) >= 0.91
    assert share_read_as(as_if_new(), "comfort", *REFUSED) <= 0.03
    assert share_read_as(as_if_new(), "comfort", "comfort") >= 0.74


# --- by words that no lid had a part in -----------------------------------------------------------


def test_by_words_of_the_trade_alone_nothing_to_be_left_alone_looks_free() -> None:
    assert free(by_trade_words(), "leave_alone") == []


def test_by_words_of_the_trade_alone_next_to_nothing_else_looks_free() -> None:
    """Found: one control unit."""
    others = ("monitored", "control", "unclear")
    assert sum(len(free(by_trade_words(), name)) for name in others) <= 1


def test_by_words_of_the_trade_alone_most_is_rightly_read() -> None:
    """Found: 91 % with the right reason, 2 % of comfort refused, 74 % of it known."""
    assert share_right(by_trade_words()) >= 0.91
    assert share_read_as(by_trade_words(), "comfort", *REFUSED) <= 0.03
    assert share_read_as(by_trade_words(), "comfort", "comfort") >= 0.74


def test_the_words_of_the_trade_are_most_of_the_table() -> None:
    origins = [row.origin for row in words.circuit_words()]
    assert origins.count("trade") > 4 * origins.count("lid") > 0
