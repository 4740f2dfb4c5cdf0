"""Names made to be misread: critical words in comfort clothes, typos, mixed languages, slashes.

The names were written by ourselves: common practice, no source. What is critical must be left
alone, what is not understood must not look free, and comfort in critical clothes (“heated
steering”) must stay comfort.
"""

import csv
from itertools import product
from pathlib import Path

import pytest

from fusemap.circuits import proposed
from fusemap.tables import circuit_name
from tests.circuit_rows import circuit_words

ATTACKS = list(
    csv.DictReader((Path(__file__).parent / "attack_labels.csv").read_text("utf-8").splitlines())
)
CRITICAL = (
    "ABS", "SRS", "F/PMP", "IG COIL", "PCM", "P/S", "STOP LP", "fuel pump", "shift lock", "airbag",
    "Bremslicht", "Motorsteuergerät", "Zündspule", "Anlasser", "Lichtmaschine", "Tachograph",
    "démarreur", "pompe à carburant", "boîte auto", "frein", "airbag frontal", "calculateur moteur",
    "bomba de combustible", "luz de freno", "centralita motor", "motor de arranque",
    "remlicht", "brandstofpomp", "startmotor", "stuurbekrachtiging", "gordelspanner",
)  # fmt: skip
COMFORT = (
    "radio", "seat heater", "interior lamp", "door lock", "blower", "AMP", "A/C",
    "Innenlicht", "Sitzheizung", "Fenster", "Spiegel",
    "siège chauffant", "éclairage", "climatisation", "luz interior", "asiento", "espejo",
    "binnenverlichting", "stoelverwarming", "ruit", "door module", "work lamp", "P/MIRROR",
)  # fmt: skip
TOGETHER = (
    "{comfort} {critical}", "{critical} {comfort}", "{comfort}, {critical}", "{critical}/{comfort}",
    "{comfort}/{critical}", "{comfort}_{critical}", "{comfort}.{critical}",
    "{comfort} ({critical})", "{critical}-{comfort}", "{comfort} {critical} relay 2",
    "{comfort}\n{critical}",
)  # fmt: skip
BESIDE_EVERY = (
    "{word} lamp", "{word} fan", "{word} module", "{word} display", "{word} socket",
    "{word} memory", "{word} 12V", "{word} (battery)", "radio, {word}", "P/SOCKET {word}",
)  # fmt: skip
LAMPS = ("ignition key", "shift", "shifter")
"""What has a lamp of its own that lights it, which is comfort."""


def test_there_are_many() -> None:
    assert len(ATTACKS) > 600


@pytest.mark.parametrize("beside", BESIDE_EVERY)
def test_no_word_to_leave_alone_looks_free_beside_what_is_fitted(beside: str) -> None:
    """Every word of the table that is to be left alone, by whatever may stand beside it."""
    words = {
        row.word.replace("*", "")
        for row in circuit_words()
        if row.function in ("leave_alone", "regulated")
    }
    free = {w for w in words if circuit_name(beside.format(word=w)).function == "comfort"}
    assert len(words) > 3000
    assert free - (set(LAMPS) if beside.endswith("lamp") else set()) == set()


@pytest.mark.parametrize("attack", ATTACKS, ids=lambda attack: attack["label"])
def test_none_succeeds(attack: dict[str, str]) -> None:
    function = circuit_name(attack["label"]).function
    if attack["must_be"] == "not_comfort":
        assert function != "comfort"
    else:
        assert function == attack["must_be"]


@pytest.mark.parametrize("together", TOGETHER)
def test_nothing_critical_is_hidden_by_what_stands_beside_it(together: str) -> None:
    names = [together.format(comfort=b, critical=a) for a, b in product(CRITICAL, COMFORT)]
    names += [name.upper() for name in names]
    assert [name for name in names if circuit_name(name).function == "comfort"] == []


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("Radio, F/PMP", "F/PMP"),
        ("Innenlicht, Bremslicht", "Bremslicht"),
        ("Dome lamp switch, ABS", "ABS"),
        ("moteur de siège, airbag", "airbag"),
        ("Radio (RUN/ACCY), airbag", "airbag"),
    ],
)
def test_the_part_that_decided_is_named_as_it_is_written(name: str, part: str) -> None:
    assert proposed(name).decided_by == part


@pytest.mark.parametrize("name", ["Radio XQZ", "Sitzheizung Züdnspule", "luz interior, chisme"])
def test_a_part_that_is_not_understood_is_named(name: str) -> None:
    found = proposed(name)
    assert found.function == "unclear"
    assert found.decided_by
