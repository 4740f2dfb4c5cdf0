"""Published legends of fuse-box lids, in five languages, beside what their names are read as.

Source of each label: the owner's manual or list of the page named in its row (`lid_labels.csv`);
the class of each by hand from what the page says it feeds.
"""

import csv
from pathlib import Path

import pytest

from fusemap.tables import CircuitName, circuit_name

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


def of_class(name: str) -> list[dict[str, str]]:
    return [label for label in LABELS if label["class"] == name]


def read(label: dict[str, str]) -> CircuitName:
    return circuit_name(label["label"])


def is_rightly_read(label: dict[str, str]) -> bool:
    """Whether the group that the page says is among what was recognised."""
    consumers = read(label).consumers
    if label["group"] == "regulated":
        return any(each.word.function == "regulated" for each in consumers)
    reasons = {each.word.reason for each in consumers}
    if label["group"] == "fuel_ignition":
        return bool(reasons & {"fuel supply", "ignition of the engine"})
    return GROUPS[label["group"]] in reasons


def test_no_circuit_to_be_left_alone_ever_looks_free() -> None:
    assert [
        each["label"] for each in of_class("leave_alone") if read(each).function == "comfort"
    ] == []


def test_nearly_all_that_can_be_read_carry_the_right_reason() -> None:
    readable = [each for each in of_class("leave_alone") if each["readable"] == "yes"]
    right = sum(is_rightly_read(each) for each in readable)
    assert right >= 0.95 * len(readable)


def test_next_to_no_comfort_circuit_is_refused_and_most_are_known() -> None:
    comfort = of_class("comfort")
    functions = [read(each).function for each in comfort]
    assert sum(each in REFUSED for each in functions) <= 0.03 * len(comfort)
    assert functions.count("comfort") >= 0.85 * len(comfort)


@pytest.mark.parametrize("name", ["monitored", "control", "unclear"])
def test_next_to_nothing_else_looks_free(name: str) -> None:
    others = of_class(name)
    free = [each["label"] for each in others if read(each).function == "comfort"]
    assert len(free) <= 0.03 * len(others), free
