"""Nothing that comes from below the window is shown in English in another language.

What no phrase is found for is taken down while every page of the window is shown, and while
invented vehicles are assessed, placed and mended. German stands for all: the languages have the
same phrases, as `test_languages.py` holds.
"""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import Phase, given, settings

from fusemap.assess import Assessment, assess
from fusemap.catalogues import messages
from fusemap.checks import findings
from fusemap.errors import FusemapError
from fusemap.fixes import what_if
from fusemap.fixes.trial import effect_words, find_fixes
from fusemap.phrases import Phrases, read
from fusemap.placement import candidates, marks
from fusemap.tables.listing import all_tables
from fusemap.text import Text
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import speak
from tests import strategies, strings
from tests.window import all_pages

WORD = re.compile(r"[a-z]{3}")
BARE = re.compile(r"[\W\d]*(min|AWG)[\W\d]*")
"""A figure with its unit."""
NOBODY = re.compile(r"(^|\W)’s (word|map)")
"""An invented map may be of somebody without a name."""


class Missed:
    """Takes down what no phrase is found for, and what was said in the end."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.found: dict[str, None] = {}
        self.said: dict[str, None] = {}
        self.depth = 0
        plain, say = Phrases._numbers, Phrases.said

        def numbers(phrases: Phrases, text: str) -> str:
            if phrases._whole and WORD.search(text):
                self.found[plain(phrases, text)] = None
            return plain(phrases, text)

        def said(phrases: Phrases, text: str) -> str:
            self.depth += 1
            told = say(phrases, text)
            self.depth -= 1
            if phrases._whole and not self.depth:  # what was only tried on the way was not shown
                self.said[told] = None
            return told

        monkeypatch.setattr(Phrases, "_numbers", numbers)
        monkeypatch.setattr(Phrases, "said", said)

    def beside(self, vehicle: Vehicle) -> list[str]:
        """What was shown with a part untranslated that is no source, nor what somebody typed."""
        own = "\n".join((*_typed(vehicle), *_sources())).casefold()
        own = re.sub(r"(?<=\d)\.(?=\d)", ",", own)
        missed = [text for text in self.found if not _in(text, own)]
        shown = "\n".join(self.said)
        lines = [line for line in shown.split("\n") if any(text in line for text in missed)]
        return [line for line in lines if not NOBODY.search(line)]


def _in(text: str, own: str) -> bool:
    parts = [part.strip(" .,:;“”") for part in text.split("; ")]
    return BARE.fullmatch(text) is not None or all(
        not WORD.search(part) or part.casefold() in own for part in parts
    )


def _typed(vehicle: Vehicle) -> Iterator[str]:
    """Every text of a vehicle that is in the language of whoever typed it."""
    yield from look_up.given_names(vehicle)
    for each in look_up.slots(vehicle):
        yield from (each.critical_reason, each.note)
    for accessory in vehicle.accessories:
        yield accessory.note
    yield vehicle.note


def _sources() -> Iterator[str]:
    for info in all_tables():
        yield from info.sources


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    yield
    speak("en")


@pytest.mark.parametrize("demo", ["family_estate", "light_truck", "small_old_car"])
def test_no_page_shows_a_sentence_without_its_phrase(
    qtbot: Any, monkeypatch: pytest.MonkeyPatch, demo: str
) -> None:
    chosen = Settings()
    chosen.kept.language = "de"
    window = MainWindow(Document(), chosen)
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*all_pages.SIZE)
    window.show()
    window.files.open_demo(demo)
    missed = Missed(monkeypatch)
    for _ in all_pages.every_page(window):
        pass
    assert "\n".join(missed.beside(window.document.vehicle)) == ""


@settings(max_examples=30, phases=[Phase.generate])
@given(vehicle=strategies.vehicles(usual=True))
def test_nothing_said_of_an_invented_vehicle_is_without_its_phrase(vehicle: Vehicle) -> None:
    vehicle = named(vehicle)
    german = Phrases(read("words_de.json"), ",")
    german.keep(filter(None, look_up.given_names(vehicle)))
    with pytest.MonkeyPatch.context() as monkeypatch:
        missed = Missed(monkeypatch)
        unknown = {}
        for text in told(assess(vehicle)):
            if isinstance(text, Text):
                unknown |= dict.fromkeys(strings.not_in(messages("de"), text))
            else:
                german.said(text)
    assert list(unknown) == []
    assert "\n".join(missed.beside(vehicle)) == ""


def named(vehicle: Vehicle) -> Vehicle:
    """With a name for every part: one without is no sentence in any language."""
    for number, accessory in enumerate(vehicle.accessories):
        if not accessory.name.strip():
            vehicle = edits.change_accessory(vehicle, accessory.id, name=f"Thing {number}")
    for number, feed in enumerate(vehicle.feeds):
        if not feed.name.strip():
            vehicle = edits.change_feed(vehicle, feed.id, name=f"Lead {number}")
    return vehicle


def told(a: Assessment) -> Iterator[Text | str]:
    """What is told of a vehicle: findings, chains, fixes, places, what would help, marks."""
    for found in findings(a.vehicle, a):
        yield from (found.where, found.what, found.sum, found.rule, found.remedy, found.formula)
    for found in findings(a.vehicle, a)[:2]:
        for trial in find_fixes(a, found):
            yield trial.fix.title
            yield from () if trial.effect is None else effect_words(trial.effect, found)
    for chain in a.chains.values():
        for hop in chain.hops:
            yield from (hop.title, hop.quantity, hop.basis.formula)
            for name, value in hop.basis.inputs:
                yield from (name, value)
    yield from a.parked.assumed
    for accessory in a.vehicle.accessories[:2]:
        for lead in accessory.leads:
            for candidate in candidates(a.vehicle, a, accessory, lead)[:6]:
                yield from (candidate.verdict, *candidate.reasons)
    yield from (proposal.reason for proposal in marks.proposals(a.vehicle))
    try:
        yield from (each.title for each in what_if.what_ifs(a))
    except FusemapError:
        return
