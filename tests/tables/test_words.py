"""Words: circuits to be left alone are proposed, in five languages; cautions have their time."""

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
    found = tables.circuit_marks(circuit)
    assert ("critical", reason) in {(word.mark, word.reason) for word in found}


@pytest.mark.parametrize(
    "circuit",
    [
        "",
        "Radio",
        "Cigar lighter",
        "12 V socket rear",
        "Shock absorber lamp",
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
    assert tables.circuit_marks(circuit) == ()


@pytest.mark.parametrize(
    "circuit", ["Trailer module", "Anhänger", "Left headlamp", "Clignotants", "Koplamp links"]
)
def test_lamps_and_tow_sockets_are_proposed_as_monitored(circuit: str) -> None:
    assert [word.mark for word in tables.circuit_marks(circuit)] == ["monitored"]


def test_a_brake_lamp_is_critical_first_and_monitored_too() -> None:
    assert [word.mark for word in tables.circuit_marks("Brake light")] == ["critical", "monitored"]


def test_accents_and_case_do_not_hide_a_circuit() -> None:
    written = tables.circuit_marks("PRÉCHAUFFAGE")
    assert written
    assert tables.circuit_marks("prechauffage") == written


def test_every_circuit_word_finds_itself() -> None:
    for word in tables.circuit_words():
        assert (word.mark, word.reason) in {
            (found.mark, found.reason) for found in tables.circuit_marks(word.word)
        }


def test_every_language_knows_every_reason() -> None:
    words = tables.circuit_words()
    languages = {word.language for word in words}
    assert languages == {"en", "es", "de", "nl", "fr"}
    for reason in {word.reason for word in words}:
        assert {word.language for word in words if word.reason == reason} == languages


def test_cautions_for_every_kind_of_work_are_there() -> None:
    found = tables.cautions()
    assert len({caution.key for caution in found}) == len(found)
    assert {"always", "battery", "tap", "relay", "earth", "cable", "v24", "monitored"} <= {
        caution.when for caution in found
    }
    assert all(caution.text.endswith(".") and caution.topic for caution in found)


def test_the_orange_cable_stops_the_work() -> None:
    orange = next(caution for caution in tables.cautions() if caution.key == "orange_cable")
    assert orange.when == "always"
    assert "stop" in orange.text


def test_terminal_numbers_mean_what_the_standard_says() -> None:
    """DIN 72552."""
    meanings = {terminal.number: terminal for terminal in tables.terminals()}
    assert meanings["30"].use == "permanent feed"
    assert meanings["15"].use == "ignition feed"
    assert meanings["31"].use == "earth"
    assert "critical" in meanings["50"].use
    assert len(meanings) == len(tables.terminals())


def test_no_term_stands_twice() -> None:
    terms = [word.term for word in tables.vocabulary()]
    assert len(set(terms)) == len(terms) >= 40
