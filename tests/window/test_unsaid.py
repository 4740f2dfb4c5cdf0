"""Nothing that comes from below the window is shown in English in another language.

What no phrase is found for is taken down while every page of the window is shown. German stands for
all: the languages have the same phrases, as `test_languages.py` holds. Texts themselves are held by
`tests/test_said_everywhere.py`.
"""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from fusemap.phrases import Phrases
from fusemap.tables.listing import all_tables
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import speak
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
