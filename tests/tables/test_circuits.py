"""What a circuit's name on a lid says that it feeds."""

import pytest

from fusemap import tables
from fusemap.tables import circuit_stems
from tests.circuit_rows import circuit_words


@pytest.mark.parametrize(
    ("circuit", "reason"),
    [
        ("AIRBAG ECU", "airbag and belt tensioner"),
        ("ABS pump", "brakes, ABS, stability control"),
        ("Frein de parking", "brakes, ABS, stability control"),
        ("Bremskraftverstärker", "brakes, ABS, stability control"),
        ("Power steering", "steering"),
        ("direccion asistida", "steering"),
        ("Stuurbekrachtiging", "steering"),
        ("Motorsteuergerät", "engine control"),
        ("Injecteurs", "engine control"),
        ("Fuel pump", "fuel supply"),
        ("Kraftstoffpumpe", "fuel supply"),
        ("Pompe à carburant", "fuel supply"),
        ("Brandstofpomp", "fuel supply"),
        ("Bobina de encendido", "ignition of the engine"),
        ("Getriebesteuerung", "gearbox control"),
        ("Démarreur", "starter"),
        ("HIGH VOLTAGE interlock", "dangerous voltage"),
    ],
)
def test_a_circuit_to_leave_alone_is_known_by_its_name(circuit: str, reason: str) -> None:
    found = tables.circuit_name(circuit)
    assert found.function == "leave_alone"
    assert reason in found.reasons


@pytest.mark.parametrize(
    "circuit",
    [
        "",
        "Radio",
        "Cigar lighter",
        "12 V socket rear",
        "Shock absorber",
        "Radio Zündungsplus",
        "Allume-cigare",
        "Espejos",
        "Remote control",
        "Tower fan",
        "Heated seats",
        "Sitzheizung",
        "Wiper",
    ],
)
def test_an_innocent_circuit_is_left_unmarked(circuit: str) -> None:
    found = tables.circuit_name(circuit)
    assert found.function in ("comfort", "unclear")


@pytest.mark.parametrize(
    "circuit", ["Trailer module", "Anhänger", "Left headlamp", "Clignotants", "Koplamp links"]
)
def test_lamps_and_tow_sockets_are_proposed_as_monitored(circuit: str) -> None:
    assert tables.circuit_name(circuit).function == "watched"


def test_a_brake_lamp_is_critical_first_and_monitored_too() -> None:
    found = tables.circuit_name("Brake light")
    functions = dict.fromkeys(each.word.function for each in found.consumers)
    assert list(functions) == ["leave_alone", "watched"]


def test_accents_and_case_do_not_hide_a_circuit() -> None:
    written = tables.circuit_name("PRÉCHAUFFAGE")
    assert written.function == "leave_alone"
    assert tables.circuit_name("prechauffage").reasons == written.reasons


def test_every_circuit_word_finds_itself() -> None:
    for word in circuit_words():
        if word.function not in ("part", "aside"):
            found = tables.circuit_name(word.word.replace("*", "")).consumers
            assert (word.function, word.reason) in {
                (each.word.function, each.word.reason) for each in found
            }, word.word


def test_every_language_knows_every_reason() -> None:
    words = circuit_words()
    languages = {word.language for word in words}
    spoken = {"en", "es", "de", "nl", "fr"}
    assert languages == spoken | {"it"}
    for reason in {word.reason for word in words}:
        assert {word.language for word in words if word.reason == reason} >= spoken


@pytest.mark.parametrize(
    ("name", "function"),
    [
        ("Zig. Anz.", "comfort"),
        ("fus. allume-cigare", "comfort"),
        ("Heckwischer + Waschpumpe links", "comfort"),
        ("BLWR MTR", "comfort"),
        ("WNDW", "comfort"),
        ("ECM/TCM", "leave_alone"),
        ("Sicherungsk.", "supply"),
        ("Klemme 50", "leave_alone"),
        ("Radio Kl. 15 10A", "comfort"),
        ("F12 K5 Radio", "comfort"),
    ],
)
def test_shortened_and_cut_words_are_read(name: str, function: str) -> None:
    assert tables.circuit_name(name).function == function


@pytest.mark.parametrize(
    "name",
    [
        "Q/LOCK",  # a letter before a slash that is no side: it may be anything
        "Heizkwurbelung",  # a compound with a part that no word fits
        "Comp.",  # the beginning of words with several functions
        "ECU-IG",
        "MAP",
        "Schubumluftventil",
        "Ventilheizung",
        "AC charger",
        "HTR SNSR",
        "Kl. 30",
    ],
)
def test_what_may_be_something_else_never_looks_free(name: str) -> None:
    assert tables.circuit_name(name).function != "comfort"


def test_a_longer_word_for_a_lamp_never_hides_what_must_be_left_alone() -> None:
    for name in ("Bremslicht", "Bremslichtschalter", "Remlicht", "Stop lamps", "Feux stop"):
        assert tables.circuit_name(name).function == "leave_alone", name


def test_abbreviations_are_words_of_the_table() -> None:
    """Each stands for something that a row is about; otherwise it would say nothing."""
    for short, full in tables.circuit_short().items():
        for words in full:
            assert any(circuit_stems.stems_of(word) for word in words.split()), (short, words)


def test_no_word_hides_a_worse_one_in_it() -> None:
    """A stem with more letters decides alone: it must not be less bad by accident.

    Each that does so on purpose is a compound or a phrase that names the comfort circuit itself.
    """
    for word in ("*bremslicht*", "*zundschloss*", "*gurtschloss*", "seat belt"):
        assert tables.circuit_name(word.replace("*", "")).function == "leave_alone", word
