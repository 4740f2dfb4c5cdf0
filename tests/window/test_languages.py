"""Every text of the window in every language, with its places, and figures as each writes them."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QLabel, QLineEdit, QPushButton, QWidget

from fusemap import tables
from fusemap.assess import assess
from fusemap.catalogues import messages
from fusemap.checks import findings
from fusemap.files import demos
from fusemap.text import Argument, Text
from fusemap.units import SYMBOLS
from fusemap.vehicle import edits
from fusemap.window import action_table
from fusemap.window.document import Document
from fusemap.window.forms.line_fields import NumberField
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import LANGUAGES, Texts, chosen_language, said, speak
from fusemap.window.texts.mnemonics import with_letters
from fusemap.window.texts.numbers import digits, duration, quantity, read_in_unit, shown_unit
from fusemap.window.texts.unit_words import show_units
from tests import strings
from tests.window import all_pages

OTHERS = [code for code in LANGUAGES if code != "en"]
PLACE = re.compile(r"\{\w+\}")
other = pytest.mark.parametrize("code", OTHERS)


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    yield
    speak("en")
    show_units(length="m", temperature="°C", section="mm²")


@pytest.fixture(scope="module")
def source() -> dict[str, str]:
    return strings.texts()


def test_the_collector_finds_texts_in_calls_tables_and_drawings(source: dict[str, str]) -> None:
    assert {"&Save", "live side left", "Body: the way back"} <= set(source)
    assert "actionPerformed" not in source


@other
def test_every_text_of_the_window_is_translated(source: dict[str, str], code: str) -> None:
    known, catalogue = strings.known(code), messages(code)
    missing = [text for text in source if text not in known and not catalogue.knows(text)]
    assert [f"{source[text]}: {text}" for text in missing] == []


@other
def test_every_sentence_from_below_the_window_is_translated(code: str) -> None:
    catalogue = messages(code)
    missing = {t: where for t, where in strings.unsaid(code).items() if not catalogue.knows(t)}
    assert [f"{where}: {text}" for text, where in missing.items()] == []


def test_the_collector_finds_sentences_with_places_and_the_words_of_tables() -> None:
    found = strings.sentences()
    assert {"“{a}” cannot have been typed"} <= set(found)
    assert "EFB starter battery" in found


@other
@pytest.mark.parametrize("kind", ["window", "words"])
def test_a_translation_has_the_places_of_its_text(code: str, kind: str) -> None:
    for text, own in strings.known(code, kind).items():
        english = text.rpartition("|")[2] if "|" in text else text
        assert sorted(set(PLACE.findall(own))) == sorted(set(PLACE.findall(english))), text
        assert own.strip(), text
        assert (own[:1] == " ", own[-1:] == " ") == (english[:1] == " ", english[-1:] == " "), text


@pytest.mark.parametrize("kind", ["window", "words"])
def test_all_languages_have_the_same_texts(kind: str) -> None:
    first, *rest = (set(strings.known(code, kind)) for code in OTHERS)
    assert all(texts == first for texts in rest)


@other
def test_every_finding_of_the_demo_vehicles_is_said_in_the_language(code: str) -> None:
    texts = Texts(code)
    for key, _ in demos.demo_names():
        vehicle = demos.read_demo(key)
        assessment = assess(vehicle)
        for found in findings(vehicle, assessment):
            _assert_said(texts, found.what)
            _assert_said(texts, found.remedy)
        for chain in assessment.chains.values():
            for hop in chain.hops:
                _assert_said(texts, hop.title)
                _assert_said(texts, hop.quantity)


def _assert_said(texts: Texts, text: Argument) -> None:
    if isinstance(text, Text):
        assert list(strings.not_in(texts.messages, text)) == []
    else:
        assert texts.phrases.find(text) is not None, text


@pytest.mark.parametrize(
    ("code", "said"), [("en", "7.5"), ("de", "7,5"), ("es", "7,5"), ("fr", "7,5"), ("nl", "7,5")]
)
def test_a_figure_has_the_decimal_sign_of_the_language(code: str, said: str) -> None:
    speak(code)
    assert digits(7.5) == said
    assert duration(84.0).startswith(said.replace("7", "3"))


def test_comma_and_point_are_read_in_every_language() -> None:
    for code in LANGUAGES:
        speak(code)
        assert read_in_unit("2,5", "m") == read_in_unit("2.5", "m") == 2.5


def test_feet_and_fahrenheit_go_out_and_come_in() -> None:
    show_units(length="ft", temperature="°F", section="AWG")
    assert quantity(3.048, "m").replace("\u202f", " ") == "10 ft"
    assert quantity(20.0, "°C").replace("\u202f", " ") == "68 °F"
    assert read_in_unit("10", "m") == pytest.approx(3.048)
    assert read_in_unit("2 m", "m") == pytest.approx(2.0)
    assert read_in_unit("68", "°C") == pytest.approx(20.0)
    assert read_in_unit("20 °C", "°C") == 20.0
    assert read_in_unit("-4 F", "°C") == pytest.approx(-20.0)


def test_a_difference_of_two_temperatures_has_no_zero_to_shift() -> None:
    assert quantity(80.0, "K").replace("\u202f", " ") == "80 °C"
    show_units(length="m", temperature="°F", section="mm²")
    assert quantity(80.0, "K").replace("\u202f", " ") == "144 °F"
    assert quantity(0.0, "K").replace("\u202f", " ") == "0 °F"
    assert quantity(80.0, "°C").replace("\u202f", " ") == "176 °F"


@other
def test_our_own_words_for_the_source_of_a_rule_are_said_in_the_language(code: str) -> None:
    phrases = Texts(code).phrases
    for default in tables.rule_defaults().values():
        title = default.source.title
        # a document keeps the title it has
        if title[:1].islower() or "ours" in title or "by us" in title:
            assert phrases.find(title) is not None, title
            assert not re.search(r"\d\.\d", phrases.said(title)), title


@other
def test_no_sentence_keeps_a_decimal_point(code: str) -> None:
    phrases = Texts(code).phrases
    for text in strings.known(code, "words"):
        if "{" not in text:
            assert not re.search(r"(?<![\d.])\d+\.\d+(?!\.?\d)", phrases.said(text)), text


@other
def test_the_sign_of_a_unit_is_never_a_word_of_the_language(code: str) -> None:
    speak(code)
    assert {said(unit) for unit in SYMBOLS} == SYMBOLS
    assert said("Sleep in 25 min").endswith("25 min")
    assert shown_unit("days") != "days"
    assert read_in_unit(f"9 {shown_unit('days')}", "days") == read_in_unit("9 days", "days") == 9


@other
def test_every_field_shows_its_unit_by_a_sign_or_a_word_of_the_language(
    window: MainWindow, code: str
) -> None:
    window.actions_.trigger(f"language_{code}")
    shown = set()
    for _, page in all_pages.forms_of(window):
        for field in page.findChildren(NumberField):
            shown.add(field.unit)
            assert field.accessibleName().endswith(f"[{field.unit}]") or not field.unit
    words = {shown_unit(unit) for unit in ("days", "years", "× rating")}
    assert {"min", "mA", shown_unit("days")} <= shown
    assert shown - words - {""} <= SYMBOLS


def test_the_desktop_chooses_where_nothing_is_chosen() -> None:
    assert chosen_language("de") == "de"
    assert chosen_language("system") in LANGUAGES
    assert chosen_language("xx") == "en"


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, 760)
    window.show()
    window.files.open_demo("")
    return window


@other
def test_the_window_speaks_the_language_at_once_and_keeps_it(
    window: MainWindow, code: str, qtbot: Any
) -> None:
    before = window.document.vehicle
    window.actions_.trigger(f"language_{code}")
    titles = [action.text().replace("&", "") for action in window.menuBar().actions()]
    assert titles[0] == strings.known(code)["&File"]
    assert Settings().kept.language == code
    assert window.document.vehicle is before
    assert QCoreApplication.translate("Actions", "&Save") == strings.known(code)["&Save"]
    undo = window.actions_.by_key["undo"].text().replace("&", "")
    assert undo == strings.known(code)["&Undo"]


@other
def test_no_letter_of_a_menu_stands_for_two_things_in_a_language(
    window: MainWindow, code: str
) -> None:
    window.actions_.trigger(f"language_{code}")
    for path, menu in window.actions_._menus.items():
        letters = [
            action.text().partition("&")[2][:1].lower()
            for action in menu.actions()
            if "&" in action.text()
        ]
        assert len(letters) == len(set(letters)), path


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_button_and_no_label_is_clipped_in_a_language(
    window: MainWindow, code: str, qtbot: Any
) -> None:
    if code != "en":
        window.actions_.trigger(f"language_{code}")
    for page in ("vehicle", "battery", "parking", "feed"):
        window.show_page(page)
        qtbot.wait(20)
        assert list(clipped(window)) == []


def clipped(window: QWidget) -> Iterator[str]:
    """What is shown with less room than its words need."""
    for button in window.findChildren(QPushButton):
        if button.isVisible() and button.width() < button.minimumSizeHint().width():
            yield button.text()
    for label in window.findChildren(QLabel):
        words = label.text()
        if label.isVisible() and words and not label.wordWrap():
            needed = label.fontMetrics().horizontalAdvance(words.replace("&", ""))
            if label.pixmap().isNull() and label.width() + 1 < needed:
                yield words


def test_letters_are_given_to_menus_that_bring_none() -> None:
    assert with_letters(["Öffnen", "Ordner"]) == ["&Öffnen", "&Ordner"]
    assert with_letters(["a", "a", "a"]) == ["&a", "a", "a"]


def test_a_unit_that_is_a_word_is_said(window: MainWindow) -> None:
    window.actions_.trigger("language_de")
    window.show_page("battery")
    names = [field.accessibleName() for field in window.findChildren(QLineEdit)]
    assert any("[Jahre]" in name for name in names)


def test_the_files_are_sorted_so_that_changes_can_be_read() -> None:
    for path in sorted(strings.LANGUAGES.glob("w*.json")):
        keys = list(json.loads(path.read_text(encoding="utf-8")))
        assert keys == sorted(keys), path.name


def test_every_language_of_the_menu_can_be_chosen() -> None:
    keys = {
        row.key.removeprefix("language_") for row in action_table.rows() if row.group == "language"
    }
    assert keys == {"system", *LANGUAGES}


def test_names_of_the_vehicle_are_in_no_language(window: MainWindow) -> None:
    window.files.open_demo("light_truck")
    window.look.set_language("de")
    assert said("Body supply behind fuse B") == "Body supply behind fuse B"
    assert said("24 to 12 V converter") == "24 to 12 V converter"
    window.document.apply("Name", edits.change_feed, window.document.vehicle.feeds[0].id,
                          name="Cable back")  # fmt: skip
    assert said("Cable back") == "Cable back"
    window.document.stack.undo()
    assert said("Cable back") == "Leitung zurück"
