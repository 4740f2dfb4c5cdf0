"""Every text of the window in every language, with its places, and figures as each writes them."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QTranslator
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import (
    QAbstractItemView,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from fusemap import tables
from fusemap.assess import assess
from fusemap.catalogues import LANGUAGES, messages
from fusemap.checks import findings
from fusemap.errors import FusemapError
from fusemap.files import demos
from fusemap.job import Job, open_cell
from fusemap.text import Amount, Duration, Style, Text, Unit, rise, say
from fusemap.units import SYMBOLS
from fusemap.vehicle import edits
from fusemap.window import action_table
from fusemap.window.actions import with_letters
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_in_unit
from fusemap.window.forms.line_fields import NumberField
from fusemap.window.main_window import MainWindow
from fusemap.window.parts.message_bar import error_words
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import chosen_language, speak
from tests.said import not_in
from tests.window import all_pages

OTHERS = [code for code in LANGUAGES if code != "en"]
other = pytest.mark.parametrize("code", OTHERS)


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    yield
    speak(Style())


@other
def test_every_finding_of_the_demo_vehicles_is_said_in_the_language(code: str) -> None:
    known = messages(code)
    for key, _ in demos.demo_names():
        vehicle = demos.read_demo(key)
        assessment = assess(vehicle)
        texts = [text for found in findings(vehicle, assessment)
                 for text in (found.what, found.remedy)]  # fmt: skip
        for chain in assessment.chains.values():
            texts += [text for hop in chain.hops for text in (hop.title, hop.quantity)]
        assert all(isinstance(text, Text) for text in texts)
        assert [missing for text in texts for missing in not_in(known, text)] == []


@pytest.mark.parametrize(
    ("code", "said"), [("en", "7.5"), ("de", "7,5"), ("es", "7,5"), ("fr", "7,5"), ("nl", "7,5")]
)
def test_a_figure_has_the_decimal_sign_of_the_language(code: str, said: str) -> None:
    style = Style(code)
    assert style.show(7.5) == said
    assert style.show(Duration(84.0)).startswith(said.replace("7", "3"))


def test_comma_and_point_are_read_in_every_language() -> None:
    for style in map(Style, LANGUAGES):
        assert read_in_unit("2,5", "m", style) == read_in_unit("2.5", "m", style) == 2.5


def test_feet_and_fahrenheit_go_out_and_come_in() -> None:
    style = Style(length="ft", temperature="°F", section_unit="AWG")
    assert style.show(Amount(3.048, "m")).replace("\u202f", " ") == "10 ft"
    assert style.show(Amount(20.0, "°C")).replace("\u202f", " ") == "68 °F"
    assert read_in_unit("10", "m", style) == pytest.approx(3.048)
    assert read_in_unit("2 m", "m", style) == pytest.approx(2.0)
    assert read_in_unit("68", "°C", style) == pytest.approx(20.0)
    assert read_in_unit("20 °C", "°C", style) == 20.0
    assert read_in_unit("-4 F", "°C", style) == pytest.approx(-20.0)


def test_a_difference_of_two_temperatures_has_no_zero_to_shift() -> None:
    assert Style().show(rise(80.0)).replace("\u202f", " ") == "80 °C"
    american = Style(temperature="°F")
    assert american.show(rise(80.0)).replace("\u202f", " ") == "144 °F"
    assert american.show(rise(0.0)).replace("\u202f", " ") == "0 °F"
    assert american.show(Amount(80.0, "°C")).replace("\u202f", " ") == "176 °F"


@other
def test_our_own_words_for_the_source_of_a_rule_are_said_in_the_language(code: str) -> None:
    known, style = messages(code), Style(code)
    for default in tables.rule_defaults().values():
        title = default.source.title
        # a document keeps the title it has
        if title[:1].islower() or "ours" in title or "by us" in title:
            assert known.knows(title), title
            assert not re.search(r"\d\.\d", style.show(Text(title))), title


@other
def test_the_sign_of_a_unit_is_never_a_word_of_the_language(code: str) -> None:
    style = Style(code)
    assert {style.show(Unit(unit)) for unit in SYMBOLS} == SYMBOLS
    days = style.show(Unit("days"))
    assert days != "days"
    assert read_in_unit(f"9 {days}", "days", style) == read_in_unit("9 days", "days", style) == 9


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
    show = window.look.theme.style.show
    words = {show(Unit(unit)) for unit in ("days", "years", "× rating")}
    assert {"min", "mA", show(Unit("days"))} <= shown
    assert shown - words - {""} <= SYMBOLS


def test_a_name_of_the_vehicle_is_in_no_language(window: MainWindow) -> None:
    window.look.set_language("de")
    feed = window.document.vehicle.feeds[0].id
    window.document.apply("Name", edits.change_feed, feed, name="Cable back")
    style = window.look.theme.style
    assert style.show(Text("Cable back")) == "Rückleitung"
    assert "Cable back" in texts_shown(window, "feed")


def texts_shown(window: MainWindow, page: str) -> str:
    """What stands in the fields and lists of a page."""
    window.show_page(page)
    assert window.work is not None
    fields = window.work.details.page(page).findChildren(QLineEdit)
    rows = [
        view.model().index(row, 0).data()
        for view in window.work.details.page(page).findChildren(QAbstractItemView)
        for row in range(view.model().rowCount() if view.model() else 0)
    ]
    return "\n".join([*(field.text() for field in fields), *map(str, rows)])


def test_one_translator_says_qt_s_texts_and_a_new_style_takes_its_place(qapp: Any) -> None:
    speak(Style("de"))
    assert QCoreApplication.translate("Actions", "&Save") == "Speichern"
    speak(Style("en", ground=True))
    assert QCoreApplication.translate("Actions", "Earth") == "Ground"
    assert QCoreApplication.translate("Actions", "&Save") == "&Save"
    speak(Style())
    assert qapp.findChildren(QTranslator, "windowLanguage") == []


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
    known = messages(code)
    titles = [action.text().replace("&", "") for action in window.menuBar().actions()]
    assert titles[0] == known.single("&File")
    assert Settings().kept.language == code
    assert window.document.vehicle is before
    assert QCoreApplication.translate("Actions", "&Save") == known.single("&Save")
    undo = window.actions_.by_key["undo"].text().replace("&", "")
    assert undo == known.single("&Undo").replace("&", "")


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


def test_every_language_of_the_menu_can_be_chosen() -> None:
    keys = {
        row.key.removeprefix("language_") for row in action_table.rows() if row.group == "language"
    }
    assert keys == {"system", *LANGUAGES}


@pytest.mark.parametrize(("code", "said"), [("fr", "En attente"), ("es", "Pendiente")])
def test_what_is_left_to_do_is_not_said_as_of_a_cable_in_the_open(code: str, said: str) -> None:
    vehicle = demos.read_demo("family_estate", code)
    a = assess(vehicle)
    job = Job(vehicle, a, tuple(findings(vehicle, a)))
    assert Style(code).show(open_cell(job).title) == said


def test_the_rows_of_the_search_and_a_fault_have_the_space_of_the_language(
    window: MainWindow,
) -> None:
    window.look.set_language("fr")
    window.search.open()
    assert window.search.list.item(0).text().startswith("Emplacement\N{NO-BREAK SPACE}: ")
    window.search.close()
    fault = FusemapError(say("it is full"), "van")
    assert error_words(fault, Style("fr")).startswith("van\N{NO-BREAK SPACE}: ")
    assert QCoreApplication.translate("any", "{a}: {b}") == "{a}\N{NO-BREAK SPACE}: {b}"


def test_what_may_be_pasted_is_shown_in_the_language(window: MainWindow) -> None:
    window.look.set_language("fr")
    window.tasks.paste_table()
    text = window.findChild(QPlainTextEdit, "pasteText")
    assert text is not None
    assert text.placeholderText().endswith("Avertisseur sonore")
    text.window().close()


STAGE_ROWS = ("Pa&nel", "&Probe", "P&lan", "&Standing", "Pap&er", "&Check")
"""The stages as the menu has them."""


@other
def test_a_stage_has_one_name_on_the_rail_and_in_the_menu(code: str) -> None:
    speak(code)
    for row in STAGE_ROWS:
        on_the_rail = QCoreApplication.translate("Rail", row.replace("&", ""))
        assert QCoreApplication.translate("Actions", row).replace("&", "") == on_the_rail


@other
def test_a_key_is_not_called_like_a_thing_of_the_trade(qapp: Any, code: str) -> None:
    """“Return” is also the way back to the battery, “Down” also how labels run."""
    speak(code)
    named = {
        key: QKeySequence(key).toString(QKeySequence.SequenceFormat.NativeText)
        for key in ("Return", "Up", "Down", "Left", "Right", "Space")
    }
    qt = next(each for each in qapp.findChildren(QTranslator) if type(each) is QTranslator)
    assert named == {key: qt.translate("QShortcut", key) or key for key in named}
