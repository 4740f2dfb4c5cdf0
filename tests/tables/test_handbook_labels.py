"""Names as handbooks and lids have them, with their functions, and what they are read as.

They were written by ourselves in lists, one after the other, each before the table was mended by
what was missed in it: phrases of handbooks in five languages, words of pages that a machine put
into another language, the abbreviations of SAE J1930 and of lids from memory. Common practice, no
source. Read for the first time, 88 % of 1,593 comfort circuits were known (between 80 and 91 % by
list), and 90 % of 713 to be left alone had the right reason; none of those looked free.
What stands here is therefore no measure of a new lid: `tests/outside/test_more_lids.py` is.
"""

import csv
from pathlib import Path

from fusemap.tables import circuit_name

NAMES = list(
    csv.DictReader((Path(__file__).parent / "handbook_labels.csv").read_text("utf-8").splitlines())
)
ENGINE = {"fuel supply", "ignition of the engine"}


def names(function: str) -> list[str]:
    return [name["label"] for name in NAMES if name["function"] == function]


def read_as(function: str, as_what: str) -> float:
    those = names(function)
    return sum(circuit_name(label).function == as_what for label in those) / len(those)


def test_what_must_not_be_touched_never_looks_free() -> None:
    critical = names("leave_alone") + names("regulated")
    assert len(critical) > 700
    assert [label for label in critical if circuit_name(label).function == "comfort"] == []


def test_nearly_all_comfort_is_known_and_next_to_none_refused() -> None:
    assert len(names("comfort")) > 1400
    assert read_as("comfort", "comfort") >= 0.95
    assert read_as("comfort", "leave_alone") + read_as("comfort", "regulated") <= 0.015


def test_nearly_all_to_be_left_alone_are_known_and_have_their_reason() -> None:
    right = []
    for name in NAMES:
        if name["function"] == "leave_alone":
            read = circuit_name(name["label"])
            reasons = {each.word.reason for each in read.consumers}
            wanted = ENGINE if name["reason"] in ENGINE else {name["reason"]}
            right.append(bool(reasons & wanted) if name["reason"] else read.function != "unclear")
    assert sum(right) / len(right) >= 0.94


def test_other_functions_are_known() -> None:
    assert read_as("watched", "watched") >= 0.9
    assert read_as("control", "control") >= 0.85
    assert read_as("regulated", "regulated") >= 0.95
