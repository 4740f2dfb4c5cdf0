"""What a circuit's name on a lid says that it feeds."""

import pytest

from fusemap import tables


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
    assert [each.word.function for each in found.consumers] == ["leave_alone", "watched"]


def test_accents_and_case_do_not_hide_a_circuit() -> None:
    written = tables.circuit_name("PRÉCHAUFFAGE")
    assert written.function == "leave_alone"
    assert tables.circuit_name("prechauffage").reasons == written.reasons


def test_every_circuit_word_finds_itself() -> None:
    for word in tables.circuit_words():
        if word.function not in ("part", "aside"):
            found = tables.circuit_name(word.word.replace("*", "")).consumers
            assert (word.function, word.reason) in {
                (each.word.function, each.word.reason) for each in found
            }, word.word


def test_every_language_knows_every_reason() -> None:
    words = tables.circuit_words()
    languages = {word.language for word in words}
    assert languages == {"en", "es", "de", "nl", "fr"}
    for reason in {word.reason for word in words}:
        assert {word.language for word in words if word.reason == reason} == languages
