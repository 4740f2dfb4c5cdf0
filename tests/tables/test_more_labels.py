"""Twelve hundred more names for circuits, with their functions, and what they are read as.

They were written by ourselves, in the words that owner's manuals and lids have for what vehicles
have been fitted with: common practice, no source. Read for the first time, before the table was
mended by what was missed here, 74 % of 958 comfort circuits were known (73 % of the names written
out, 72 % of the shortened ones, 77 % of compounds and phrases in five languages), and 87 % of 791
circuits to be left alone had the right reason; two of those looked free, “SEAT BLT” and
“Dieselverwarming”, and a camera for a mirror. What stands here is therefore no measure of a new
lid: `tests/outside/test_lid_labels.py` is.
"""

import csv
from pathlib import Path

import pytest

from fusemap.tables import circuit_name

NAMES = list(
    csv.DictReader((Path(__file__).parent / "more_labels.csv").read_text("utf-8").splitlines())
)
ENGINE = {"fuel supply", "ignition of the engine"}


def names(function: str) -> list[dict[str, str]]:
    return [name for name in NAMES if name["function"] == function]


def is_rightly_read(name: dict[str, str]) -> bool:
    reasons = {each.word.reason for each in circuit_name(name["label"]).consumers}
    return bool(reasons & (ENGINE if name["reason"] in ENGINE else {name["reason"]}))


def test_nothing_but_comfort_looks_free() -> None:
    others = (*names("leave_alone"), *names("other"))
    assert len(others) > 800
    assert [n["label"] for n in others if circuit_name(n["label"]).function == "comfort"] == []


def test_nearly_all_comfort_is_known_and_next_to_none_refused() -> None:
    read = [circuit_name(name["label"]).function for name in names("comfort")]
    assert len(read) > 900
    assert read.count("comfort") / len(read) >= 0.96
    assert (read.count("leave_alone") + read.count("regulated")) / len(read) <= 0.01


def test_nearly_all_to_be_left_alone_have_their_reason() -> None:
    those = names("leave_alone")
    assert sum(map(is_rightly_read, those)) / len(those) >= 0.96


def test_an_abbreviation_may_be_what_it_is_the_beginning_of() -> None:
    for name in ("SEATB", "SEAT BLT", "ACCEL REAR", "REAR DEFLEC", "LOCKU"):
        assert circuit_name(name).function != "comfort", name


@pytest.mark.parametrize(
    "name",
    ["Zuendschloss", "Kuehlmittelpumpe", "Saeulenschloss Lenkung", "Oeldruckschalter"],
)
def test_umlauts_may_be_written_out(name: str) -> None:
    assert circuit_name(name).function == "leave_alone"


def test_comfort_is_read_with_its_umlauts_written_out() -> None:
    for name in ("Sitzlueftung", "Heckoeffner Kofferraum", "Fensterheber Tuer", "Spiegelgehaeuse"):
        assert circuit_name(name).function == circuit_name(
            name.replace("ue", "ü").replace("oe", "ö").replace("ae", "ä")
        ).function, name  # fmt: skip


@pytest.mark.parametrize("name", ["Airbga", "Steerng", "Ignitlon", "Trasnmission", "Injecttion"])
def test_one_wrong_letter_does_not_hide_what_to_leave_alone(name: str) -> None:
    assert circuit_name(name).function == "leave_alone"
    assert circuit_name(f"Clock {name}").function == "leave_alone"


@pytest.mark.parametrize("name", ["Radoi", "Heatre", "Window lifd", "Socekt"])
def test_one_wrong_letter_never_makes_comfort(name: str) -> None:
    assert circuit_name(name).function != "comfort" or circuit_name(name).consumers


def test_an_ending_is_no_part_of_a_compound() -> None:
    assert circuit_name("Active noise cancelation").function == "comfort"
    assert circuit_name("Encendedor de cigarrillos").function == "comfort"
    assert circuit_name("Heizgurgel").function == "unclear"


def test_a_control_unit_of_which_no_more_is_told_is_not_read() -> None:
    read = circuit_name("Air conditioner, integrated unit")
    assert read.function != "comfort"
    assert circuit_name("Radio, module").unread == ("module",)
    assert circuit_name("Radio, rear").function == "comfort"


def test_a_note_that_something_is_optional_says_nothing_of_the_circuit() -> None:
    assert circuit_name("Seat heating (option)").function == "comfort"
    assert circuit_name("Seat heating (option, ABS)").function == "leave_alone"
    assert circuit_name("Seat heating, option").function == "unclear"


def test_the_automatic_gearbox_is_known_by_its_letters_and_at_is_a_small_word() -> None:
    assert circuit_name("AT RLY").function == circuit_name("AT").function == "leave_alone"
    assert circuit_name("Socket at rear").function == "comfort"


def test_a_side_makes_no_name_more_exact() -> None:
    assert circuit_name("Front wiper deicer").function == "comfort"
    assert circuit_name("Front wiper").function == "unclear"
