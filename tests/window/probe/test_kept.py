"""A session is kept with what its texts are made of, and said again in whatever language."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from fusemap.probing.session import Session
from fusemap.probing.walking import start
from fusemap.text import (
    Amount,
    Duration,
    Section,
    Style,
    Text,
    given,
    in_row,
    many,
    run_on,
    say,
    say_in,
)
from fusemap.window.probe.kept import KeptSession
from tests.probing.vehicles import bench
from tests.probing.walk import Walk

TEXTS = (
    say("all fuses in"),
    say(
        "{value} is too much for a {system} vehicle", value=Amount(0.05, "V"), system=given(12, "V")
    ),
    many("{n} slot not read", "{n} slots not read", 3),
    run_on(say("live"), in_row(["F1 & F2", Section(2.5), Duration(30.0), 7.5], "and")),
    say_in("feed", "accessory").capital(),
)


def kept(folder: Path, session: Session) -> Session | None:
    vehicle = bench()
    KeptSession(folder, None, vehicle.name).write(session)
    return KeptSession(folder, None, vehicle.name).read(vehicle)


@pytest.mark.parametrize("text", TEXTS, ids=str)
@pytest.mark.parametrize("code", ["en", "de", "fr"])
def test_what_was_said_is_said_again_in_the_language_there_is_then(
    tmp_path: Path, text: Text, code: str
) -> None:
    session = replace(start(bench()), message=text, doubted="9", doubts=(text,))
    back = kept(tmp_path, session)
    assert back == session
    assert back is not None
    assert Style(code).show(back.message) == Style(code).show(text)
    assert Style(code).show(back.doubts[0]) == Style(code).show(text)


def test_a_doubt_is_still_asked_in_german_after_a_restart(tmp_path: Path) -> None:
    walk = Walk(bench()).press("next_round").type("900")
    assert walk.session.doubts
    back = kept(tmp_path, walk.session)
    assert back is not None
    assert "hätte ausgelöst" in Style("de").show(back.doubts[0])


def test_a_session_of_an_earlier_version_is_taken_up(tmp_path: Path) -> None:
    session = replace(start(bench()), message=say("all fuses in"))
    assert kept(tmp_path, session) is not None
    path = next(tmp_path.glob("probing-*.json"))
    text = path.read_text(encoding="utf-8")
    begin = text.index('"said":') + len('"said":')
    end = text.index("}", text.index('"bare"', begin)) + 1
    path.write_text(f'{text[:begin]}"all fuses in"{text[end:]}', encoding="utf-8")
    back = KeptSession(tmp_path, None, bench().name).read(bench())
    assert back is not None
    assert Style("de").show(back.message) == "alle Sicherungen eingesetzt"


@pytest.mark.parametrize(
    "broken", ['{"template":"{x}","parts":{}}', "7", '{"template":"{x.y}","parts":{"x":"F1"}}']
)
def test_a_text_that_cannot_be_said_gives_no_session(tmp_path: Path, broken: str) -> None:
    KeptSession(tmp_path, None, bench().name).write(start(bench()))
    path = next(tmp_path.glob("probing-*.json"))
    path.write_text(f'{{"said":{broken}}}', encoding="utf-8")
    assert KeptSession(tmp_path, None, bench().name).read(bench()) is None
