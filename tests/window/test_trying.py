"""Ways out are tried one a turn of the event loop, once a finding, never for another vehicle."""

import pytest
from PySide6.QtCore import QObject, QTimer
from pytestqt.qtbot import QtBot

from fusemap.checks import Finding
from fusemap.files.demos import read_demo
from fusemap.fixes.trial import Trial, find_fixes
from fusemap.vehicle import edits
from fusemap.window.document import Document
from fusemap.window.trying import Trying


@pytest.fixture
def document(qtbot: QtBot) -> Document:
    return Document(read_demo("family_estate"))


@pytest.fixture
def home(qtbot: QtBot) -> QObject:
    return QObject()


def with_many(document: Document) -> Finding:
    """A finding with more than one way out."""
    return next(
        each for each in document.findings if len(find_fixes(document.assessment, each)) > 2
    )


def test_what_is_tried_in_turns_is_what_is_tried_at_once(
    qtbot: QtBot, document: Document, home: QObject
) -> None:
    finding, told = with_many(document), list[tuple[Trial, ...]]()
    Trying(document, home).ask(finding, told.append)
    qtbot.waitUntil(lambda: bool(told))
    at_once = find_fixes(document.assessment, finding)
    assert [str(each.fix.title) for each in told[0]] == [str(each.fix.title) for each in at_once]


def test_other_things_get_their_turn_between_two_ways(
    qtbot: QtBot, document: Document, home: QObject
) -> None:
    """A timer without a wait stands for the key that is pressed meanwhile."""
    finding, told, turns = with_many(document), list[tuple[Trial, ...]](), 0

    def turn() -> None:
        nonlocal turns
        turns += 1

    other = QTimer(home, interval=0, timeout=turn)
    Trying(document, home).ask(finding, told.append)
    other.start()
    qtbot.waitUntil(lambda: bool(told))
    assert turns >= len(told[0])


def test_what_was_tried_is_told_at_once_the_second_time(
    qtbot: QtBot, document: Document, home: QObject
) -> None:
    finding, told = with_many(document), list[tuple[Trial, ...]]()
    Trying(document, home).ask(finding, told.append)
    qtbot.waitUntil(lambda: bool(told))
    Trying(document, home).ask(finding, told.append)
    assert told[1] is told[0]


def test_another_vehicle_ends_the_trying_and_forgets_what_was_tried(
    qtbot: QtBot, document: Document, home: QObject
) -> None:
    finding, told = with_many(document), list[tuple[Trial, ...]]()
    trying = Trying(document, home)
    trying.ask(finding, told.append)
    document.apply("Add", edits.add_accessory, "Lamp", watts=5.0)
    qtbot.wait(50)
    assert not told
    assert not document.trials


def test_another_question_takes_the_place_of_the_last(
    qtbot: QtBot, document: Document, home: QObject
) -> None:
    finding, told = with_many(document), list[str]()
    other = next(each for each in document.findings if each != finding)
    trying = Trying(document, home)
    trying.ask(finding, lambda _found: told.append("first"))
    trying.ask(other, lambda _found: told.append("second"))
    qtbot.waitUntil(lambda: bool(told))
    qtbot.wait(50)
    assert told == ["second"]
