"""One thing is called by one word, in the window, on paper, in the help and in what is found.

Where the English of a text has a term of the glossary as a whole word, its translation has one of
the glossary's forms. A longer term hides the shorter ones inside it: a host fuse is no fuse.
"""

import csv
import re
from collections.abc import Iterator
from functools import cache
from gettext import GNUTranslations
from pathlib import Path

import pytest

from fusemap.text import Amount, Style

ROOT = Path(__file__).resolve().parents[1]
LANGUAGES = ROOT / "resources" / "languages"
HELP = ROOT / "resources" / "help"
CODES = ("de", "es", "fr", "nl")
_PLACE = re.compile(r"\{\w+\}")


@cache
def glossary() -> tuple[dict[str, str], ...]:
    with (LANGUAGES / "glossary.csv").open(encoding="utf-8", newline="") as file:
        rows = tuple(csv.DictReader(file))
    return tuple(sorted(rows, key=lambda row: -len(row["term"])))


@cache
def whole_word(term: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w-]){re.escape(term)}(s|es)?(?![\w-])", re.IGNORECASE)


def terms_in(english: str) -> Iterator[dict[str, str]]:
    """The glossary's rows whose term stands in a text, the longest first."""
    rest = _PLACE.sub(" ", english)
    for row in glossary():
        rest, times = whole_word(row["term"]).subn(" · ", rest)
        if times:
            yield row


def texts(code: str) -> Iterator[tuple[str, str]]:
    """The English and the language's words of every text, of its form for many where it has one."""
    with (LANGUAGES / f"{code}.mo").open("rb") as file:
        found = GNUTranslations(file)._catalog  # type: ignore[attr-defined]
    for key, words in found.items():
        if key and not isinstance(key, tuple):
            yield key.rpartition("\x04")[2], words


def missing(english: str, words: str, code: str) -> list[str]:
    said = words.replace("\u00a0", " ").casefold()
    return [
        row["term"]
        for row in terms_in(english)
        if not any(form.casefold() in said for form in row[code].split("|"))
    ]


EXCEPTIONS = {
    "Say &earth": "the English word itself is meant",
    "a van maker’s converter guide": "who converts vans into campers, no converter of voltage",
    "Climate control panel": "a control unit in the dash, no fuse panel",
    "M8 bolt behind the driver's kick panel": "trim, no fuse panel",
    "panel mains, navigation lights, pumps": "the switchboard of a boat",
    "Solar panel": "no fuse panel",
    "Solar panel, {current} for {hours} hours a day": "no fuse panel",
    "Panel map": "a plan of the fuses is what the trade calls it",
    "Installation sheet, lid card, panel map, probing list, record": "as for the panel map",
    "Through the slot's live contact: own load and accessories together": "a contact is a slot's",
    "Through the slot's load contact": "a contact is a slot's",
    "accessory": "also a feed class and a state of the key, each with a word of its own",
    "Key switch, accessory (15R)": "the key's position",
    "permanent, delayed-off or accessory": "feed classes",
}
"""Texts in which a term means something else, or is left to what stands beside it, and why."""
BEGINNINGS = {
    "A family of four": "the climate panel in it is a control unit",
    "The meter’s leaflet states": "the leaflet is the meter's",
}
"""Of long texts the beginning."""


def is_excepted(english: str) -> bool:
    return english in EXCEPTIONS or english.startswith(tuple(BEGINNINGS))


@pytest.mark.parametrize("code", CODES)
def test_every_text_calls_a_thing_by_its_word(code: str) -> None:
    wrong = [
        f"{term}: {english} => {words}"
        for english, words in texts(code)
        if not is_excepted(english)
        for term in missing(english, words, code)
    ]
    assert wrong == []


@pytest.mark.parametrize("code", CODES)
def test_every_help_page_calls_a_thing_by_its_word(code: str) -> None:
    wrong = []
    for page in sorted(HELP.glob("*_en.md")):
        english = page.read_text(encoding="utf-8").split("\n")
        other = page.with_name(page.name.replace("_en.md", f"_{code}.md"))
        words = other.read_text(encoding="utf-8").split("\n")
        assert len(words) == len(english), other.name
        wrong += [
            f"{other.name}: {term}: {said}"
            for text, said in zip(english, words, strict=True)
            if not text.startswith("[")
            for term in missing(text, said, code)
        ]
    assert wrong == []


def test_the_glossary_has_a_meaning_and_a_word_of_each_language_for_every_term() -> None:
    assert len(glossary()) >= 60
    assert len({row["term"] for row in glossary()}) == len(glossary())
    assert all(all(row[column] for column in ("meaning", *CODES)) for row in glossary())


def test_every_exception_is_still_one() -> None:
    said = {english for code in CODES for english, _ in texts(code)}
    assert set(EXCEPTIONS) - said == set()
    needless = [
        english
        for english in EXCEPTIONS
        if not any(missing(text, words, code) for code in CODES for text, words in texts(code)
                   if text == english)
    ]  # fmt: skip
    assert needless == []


def test_a_longer_term_hides_the_shorter_one_inside_it() -> None:
    assert [row["term"] for row in terms_in("The host fuse of {slot} carries the own load")] == [
        "host fuse",
        "own load",
    ]
    assert missing("Through the host fuse", "Durch die Sicherung", "de") == ["host fuse"]
    assert missing("a {slot} of taps", "ein Abgriff", "de") == []


def test_in_french_no_line_breaks_before_a_sign_of_two_parts() -> None:
    """A space that does not break stands before : ; ? ! and inside quotes (common practice)."""
    broken = re.compile(r"\S [:;?!»](?=\s|$)|« ")
    pages = {page.name: page.read_text(encoding="utf-8") for page in HELP.glob("*_fr.md")}
    wrong = [words for _, words in texts("fr") if broken.search(words)]
    assert wrong + [name for name, text in pages.items() if broken.search(text)] == []


GIVEN_UP = {
    "de": (
        "Steckplatz", "Zweite Batterie", "zweite Batterie", "zweiten Batterie",
        "harter Kurzschluss", "aus der Erinnerung", "Stromleitung", "Gesundheit", "fernen Ende",
        "Patrone", "Eigenstrom",
        "in Ruhe lassen", "Am schlimmsten", "schlimmsten", "Glied für Glied", "Sie planen 9",
        "Startet für", "Seit dem Verriegeln weg", "Auf dem Schild", "Ladewandler", "Zubehörplus",
        "schlafend", "Quetschung", "Schreibtisch", "Massefall", "Einschaltstoß", "Stützspannung",
        "Mach daraus", "Ringöse", "Abzweigverbinder", "gemeinsames Messer", "hat übrig",
        "will Kontakte", "Pluskontakt", "größte Leistungsabgabe", "Tagesstunde", "verbessert nass",
    ),
    "es": ("Salud", "lado vivo", "corriente de encendido", "engaste es malo", "derivador"),
    "fr": ("fil de puissance", "qui fond le fusible", "s’arrêtent à 0"),
    "nl": ("Gezondheid", "Wie het nam", "trekhaakstekker"),
}  # fmt: skip
"""Words that another one stands for now, by language: one thing, one word."""


@pytest.mark.parametrize("code", CODES)
def test_no_word_that_was_given_up_has_come_back(code: str) -> None:
    back = [(word, said) for _, said in texts(code) for word in GIVEN_UP[code] if word in said]
    assert back == []


def test_minutes_are_never_said_as_at_least() -> None:
    for code in CODES:
        style = Style(code)  # type: ignore[arg-type]
        assert style.show(Amount(120.0, "min")).endswith("min"), code
