"""Help is built in: a page for every task, with drawings, and this vehicle's own figures."""

import re
from collections.abc import Callable
from html import escape
from importlib.resources import files
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QPoint, QRect, QSize, Qt, QUrl
from PySide6.QtWidgets import QApplication, QTabWidget, QWidget

from fusemap.assess import assess
from fusemap.probing import final_check
from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import STATES, Fuse, StateLoads, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.help import help_numbers, help_pages
from fusemap.window.help.help_page import HelpWindow, beside
from fusemap.window.help.help_tools import topic_of
from fusemap.window.main_window import MainWindow
from fusemap.window.parts.home import first_stop
from fusemap.window.settings import Settings
from fusemap.window.style.colours import LIGHT, THEMES, Theme
from fusemap.window.texts.languages import LANGUAGES
from tests.checks.test_sockets import towing
from tests.vehicles import one_slot, with_accessory

BRACKET = re.compile(r"\[(\w+):(\w+)\]")
MakeHelp = Callable[[Vehicle], HelpWindow]


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, 900)
    window.show()
    window.files.open_demo("")
    return window


@pytest.fixture
def make_help(qtbot: Any, light: Theme) -> MakeHelp:
    def make(vehicle: Vehicle) -> HelpWindow:
        shown = HelpWindow(Document(vehicle), light)
        qtbot.addWidget(shown)
        shown.show()
        return shown

    return make


@pytest.fixture
def light(qapp: QApplication) -> Theme:
    return THEMES[0]


def plain(shown: HelpWindow) -> str:
    return shown.text.toPlainText().replace(NARROW_SPACE, " ")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", help_pages.PAGES)
def test_every_page_is_there_in_every_language(key: str, language: str) -> None:
    page, english = help_pages.page(key, language), help_pages.page(key, "en")
    assert page.title
    assert BRACKET.findall(page.text) == BRACKET.findall(english.text)
    assert (page.text == english.text) == (language == "en")


@pytest.mark.parametrize("key", help_pages.PAGES)
def test_every_link_and_drawing_of_a_page_exists(key: str) -> None:
    for kind, what in BRACKET.findall(help_pages.page(key).text):
        if kind == "see":
            assert what in help_pages.PAGES
        elif kind == "drawing":
            assert what in help_pages.TEACHING


@pytest.mark.parametrize("key", [*help_pages.TEACHING, *help_pages.TASKS])
def test_every_teaching_page_ends_in_the_figures_of_the_vehicle(
    key: str, make_help: MakeHelp, van: Vehicle
) -> None:
    shown = make_help(van)
    shown.show_page(key)
    text = plain(shown)
    assert "In this vehicle" in text
    (subject,) = [what for kind, what in BRACKET.findall(help_pages.page(key).text)
                  if kind == "numbers"]  # fmt: skip
    for sentence in help_numbers.sentences(subject, shown.document, Style()):
        assert sentence.replace(NARROW_SPACE, " ") in text


FIFTEEN = {"en": "fifteen", "de": "fünfzehn", "es": "quince", "fr": "quinze", "nl": "vijftien"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_help_and_check_let_a_fuse_get_warm_for_the_same_time(language: str) -> None:
    """Somebody who learned it from the one does it by the other."""
    vehicle = with_accessory(one_slot(circuit="Radio"), 5.0)
    asked = next(
        step for step in final_check.steps(vehicle, assess(vehicle)) if step.key == "warm"
    )  # fmt: skip
    assert re.search(r"\b15 Min|\b15 min", Style(language).show(asked.how))
    assert FIFTEEN[language] in help_pages.page("task_check", language).text


def test_the_figures_follow_an_edit(make_help: MakeHelp, van: Vehicle) -> None:
    shown = make_help(van)
    shown.show_page("feeds")
    before = plain(shown)
    shown.document.apply("", edits.change_slot, "slot-4", feed_class="unknown")
    assert plain(shown) != before
    assert "1 × permanent feed" in before
    assert "1 × permanent feed" not in plain(shown)


def test_without_a_vehicle_the_help_says_so(make_help: MakeHelp) -> None:
    shown = make_help(Vehicle(name=""))
    for key in (*help_pages.TEACHING, *help_pages.TASKS):
        shown.show_page(key)
        assert "No vehicle with a panel is open" in shown.text.toPlainText()


def test_the_page_on_sockets_ends_in_what_each_pin_of_this_vehicle_carries(
    make_help: MakeHelp,
) -> None:
    shown = make_help(towing())
    shown.show_page("sockets")
    assert "Caravan lights at pin 9 of Tow socket: 4 A of 15 A." in plain(shown)


def test_a_link_leads_to_its_page(make_help: MakeHelp, van: Vehicle) -> None:
    shown = make_help(van)
    shown.show_page("circuit")
    shown.text.anchorClicked.emit(QUrl("help:order"))
    assert shown.key == "order"
    assert shown.list.currentItem().text() == "Why fuse before cable before load"


@pytest.mark.parametrize("key", help_pages.TEACHING)
def test_a_drawing_is_drawn_in_the_colours_of_the_theme(
    key: str, make_help: MakeHelp, van: Vehicle
) -> None:
    shown = make_help(van)
    pictures = []
    for theme in THEMES:
        shown.text.theme = theme
        picture = shown.text._picture(key)
        assert not picture.isNull()
        assert "@" not in help_pages.drawing(key, theme)
        pictures.append(picture)
    assert pictures[0] != pictures[1]


def test_a_drawing_is_labelled_in_the_language_of_its_theme() -> None:
    german = help_pages.drawing("live_side", replace(LIGHT, style=Style("de")))
    words = [Style("de").show(word) for word in help_pages.drawing_words("live_side")]
    assert all(f">{escape(word)}<" in german for word in words)
    assert words != [str(word) for word in help_pages.drawing_words("live_side")]


def test_every_table_of_the_help_is_filled(make_help: MakeHelp, van: Vehicle) -> None:
    shown = make_help(van)
    for key, words in {
        "words": ("host fuse", "72552", "58"),
        "equations": ("Kirchhoff", "IEC 60287"),
        "tables": ("Fuse families", "seen"),
        "joints": ("butt crimp", "nowhere"),
        # ISO 11446: pin 9 is permanent and goes back by 13; ISO 12098 has sensors at 10 to 12
        "sockets": ("permanent supply", "return of pin 9", "axle lift", "ISO 11446:2012"),
    }.items():
        shown.show_page(key)
        for word in words:
            assert word in shown.text.toPlainText(), (key, word)


@pytest.mark.parametrize(
    ("pane", "page"),
    [("panel", "task_panel"), ("shelf", "task_source"), ("parked", "standing")],
)
def test_f1_explains_the_part_that_the_keyboard_is_in(
    window: MainWindow, qtbot: Any, pane: str, page: str
) -> None:
    window.focus_pane(pane)
    assert topic_of(QApplication.focusWidget()) == page
    qtbot.keyClick(window, Qt.Key.Key_F1)
    assert window.help.shown is not None
    assert window.help.shown.isVisible()
    assert window.help.shown.key == page


STAGES: dict[Any, str] = {
    "panel": "task_panel", "probe": "meter", "standing": "standing", "paper": "task_print",
    "check": "task_check", "plan": "task_panel",
}  # fmt: skip
FORMS = {
    "vehicle": "task_panel", "battery": "task_parked", "parking": "task_parked",
    "feed": "circuit", "earth": "circuit", "socket": "sockets", "rules": "equations",
    "circuits": "task_panel",
}  # fmt: skip
WHOLE = {"findings": "task_chain", "joint": "task_source", "compare": "task_source",
         "band": "order"}  # fmt: skip


def test_f1_explains_the_stage_the_form_and_the_page_that_is_shown(window: MainWindow) -> None:
    led: dict[str, str] = {}
    for stage in STAGES:
        window.tasks.show(stage)
        QApplication.processEvents()
        led[stage] = topic_of(QApplication.focusWidget())
    for form in FORMS:
        window.show_page(form)
        QApplication.processEvents()
        led[form] = topic_of(QApplication.focusWidget())
    for whole in WHOLE:
        window.show_whole(whole)
        window.focus_pane(whole)
        led[whole] = topic_of(QApplication.focusWidget())
    assert led == STAGES | FORMS | WHOLE


def test_f1_explains_the_chosen_thing_in_short_and_in_full(window: MainWindow) -> None:
    tap = window.document.vehicle.taps[0]
    window.document.select("slot", tap.slot)
    window.focus_pane("chosen")
    assert topic_of(QApplication.focusWidget()) == "task_chain"
    assert window.work is not None
    window.work.show_more()
    assert topic_of(QApplication.focusWidget()) == "feeds"
    window.document.select("accessory", tap.accessory)
    tabs = window.findChild(QTabWidget, "accessoryTabs")
    assert tabs is not None
    topics = []
    for index in range(tabs.count()):
        tabs.setCurrentIndex(index)
        topics.append(topic_of(first_stop(tabs.widget(index))))
    assert topics == ["task_source", "live_side", "task_source"]


def test_every_subject_of_the_help_belongs_to_a_part_of_the_window(window: MainWindow) -> None:
    """A part that is renamed leaves no page behind that nobody is led to."""
    window.show_start()
    window.show_work()
    for stage in ("panel", "probe", "plan", "standing", "paper", "check", "hunt", "plan"):
        window.tasks.show(stage)
    for form in FORMS:
        window.show_page(form)
    for whole in WHOLE:
        window.show_whole(whole)
    vehicle = window.document.vehicle
    assert window.work is not None
    for kind, key in (
        ("panel", vehicle.panels[0].id),
        ("slot", vehicle.panels[0].slots[0].id),
        ("tap", vehicle.taps[0].id),
    ):
        window.document.select(kind, key)  # type: ignore[arg-type]
        window.work.show_more()
    assert window.work.ways is not None  # made when a drop is refused
    QApplication.processEvents()
    parts = {widget.objectName() for widget in window.findChildren(QWidget)}
    assert set(help_pages.TOPICS) - parts == set()
    assert set(help_pages.TOPICS.values()) <= set(help_pages.PAGES)


def test_learn_opens_the_page_about_what_stands_beside_it(window: MainWindow, qtbot: Any) -> None:
    window.document.select("slot", window.document.vehicle.panels[0].slots[0].id)
    assert window.work is not None
    window.work.show_more()
    button = window.findChild(QWidget, "learn_feeds")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert window.help.shown is not None
    assert window.help.shown.key == "feeds"


def test_a_widget_without_a_subject_leads_to_the_first_page(qapp: QApplication) -> None:
    assert topic_of(None) == "task_panel"


# --- the tour ------------------------------------------------------------------------------------


def test_the_tour_walks_through_the_window_and_changes_nothing(
    window: MainWindow, qtbot: Any
) -> None:
    before = window.document.vehicle
    window.actions_.trigger("tour")
    card: Any = window.findChild(QWidget, "tourCard")
    titles = []
    for _ in range(5):
        titles.append(card.title.text())
        outline = window.findChild(QWidget, "tourOutline")
        assert outline is not None
        assert window.rect().contains(card.geometry())
        assert outline.isVisible()
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert card.next.text() == "Done"
    assert titles == ["Panel", "Probe", "Plan", "Standing", "Paper"], "the stages of the job"
    assert card.title.text() == "Check"
    assert window.tasks.shown == "check"
    qtbot.mouseClick(card.next, Qt.MouseButton.LeftButton)
    assert not card.isVisible()
    assert window.document.vehicle is before
    assert not window.document.modified


def test_the_tour_can_be_skipped_at_any_time(window: MainWindow, qtbot: Any) -> None:
    window.actions_.trigger("tour")
    card: Any = window.findChild(QWidget, "tourCard")
    qtbot.keyClick(card.next, Qt.Key.Key_Escape)
    assert not card.isVisible()


def test_the_card_of_the_tour_leaves_a_strip_in_sight(window: MainWindow) -> None:
    window.help.begin_tour(2)
    (card,) = cards(window)
    outline = window.findChild(QWidget, "tourOutline")
    assert outline is not None
    assert card.title.text() == "Plan"
    assert not card.geometry().intersects(outline.geometry())
    assert window.rect().contains(card.geometry())


def cards(window: MainWindow) -> list[Any]:
    """The cards of a tour that can be seen."""
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    return [card for card in window.findChildren(QWidget, "tourCard") if card.isVisible()]


@pytest.mark.parametrize("key", ["new", "probe", "check"])
def test_the_tour_ends_where_another_page_is_shown(
    window: MainWindow, qtbot: Any, key: str
) -> None:
    window.actions_.trigger("tour")
    (card,) = cards(window)
    window.actions_.trigger(key)
    qtbot.keyClick(card, Qt.Key.Key_Return)  # at once, and in the next turn
    qtbot.waitUntil(lambda: not cards(window))
    window.actions_.trigger("plan")
    assert cards(window) == []


def test_the_tour_goes_on_in_another_language_at_the_same_step(
    window: MainWindow, qtbot: Any
) -> None:
    window.actions_.trigger("tour")
    qtbot.keyClick(cards(window)[0], Qt.Key.Key_Return)
    window.actions_.trigger("language_de")
    qtbot.waitUntil(lambda: [c.title.text() for c in cards(window)] == ["Messen"])
    (card,) = cards(window)
    assert card.next.text() == "Weiter"
    qtbot.keyClick(card, Qt.Key.Key_Return)
    assert window.help._tour.at == 2
    window.actions_.trigger("language_en")


def test_a_language_switch_on_another_page_leaves_no_tour_behind(
    window: MainWindow, qtbot: Any
) -> None:
    window.actions_.trigger("tour")
    (card,) = cards(window)
    window.actions_.trigger("new")
    window.actions_.trigger("language_nl")
    window.actions_.trigger("language_en")
    qtbot.keyClick(card, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not cards(window))


def test_the_tour_can_be_taken_again(window: MainWindow) -> None:
    for _ in range(3):
        window.actions_.trigger("tour")
        (card,) = cards(window)
        card.skip.click()
        assert cards(window) == []


def test_a_tour_that_was_left_is_taken_up_at_its_step(window: MainWindow, qtbot: Any) -> None:
    window.actions_.trigger("tour")
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    cards(window)[0].skip.click()
    assert Settings().kept.tour_at == 3, "kept for another day"
    window.tasks.show("check")
    window.actions_.trigger("tour")
    (card,) = cards(window)
    assert card.title.text() == "Standing"
    assert window.working
    for _ in range(3):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert cards(window) == []
    assert Settings().kept.tour_at == 0, "walked to its end it begins anew"


def test_the_tour_opens_a_demo_vehicle_where_none_is_open(qtbot: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1000, 700)
    window.show()
    window.activateWindow()
    window.actions_.trigger("tour")
    assert window.document.vehicle.panels
    qtbot.waitUntil(lambda: bool(cards(window)))
    qtbot.wait(20)
    assert window.isAncestorOf(QApplication.focusWidget())
    assert cards(window)[0].next.hasFocus(), "Enter goes on, and does not open a slot"


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_the_pages_name_what_a_reading_depends_on(code: str) -> None:
    pages = files("fusemap.resources.help")

    def page(name: str) -> str:
        return pages.joinpath(f"{name}_{code}.md").read_text(encoding="utf-8")

    # DIN 72552: the kind of ignition feed that is live while cranking
    assert "15e" in page("feeds")
    bridge = {"en": "bridge", "de": "Brücke", "es": "puente", "fr": "pont", "nl": "brug"}[code]
    assert page("meter").count(bridge) >= 2
    warm = {"en": "fifteen minutes", "de": "fünfzehn Minuten", "es": "quince minutos",
            "fr": "quinze minutes", "nl": "vijftien minuten"}[code]  # fmt: skip
    assert warm in page("task_check")
    assert "illivolt" not in page("task_check")
    both = {"en": "both contacts", "de": "beide Kontakte", "es": "los dos contactos",
            "fr": "les deux contacts", "nl": "beide contacten"}[code]  # fmt: skip
    assert both in page("live_side")


def test_escape_closes_the_help(window: MainWindow, qtbot: Any) -> None:
    window.help.show_page("live_side")
    shown = window.help.shown
    assert shown is not None
    for part in (shown.list, shown.text):
        shown.show()
        qtbot.keyClick(part, Qt.Key.Key_Escape)
        assert not shown.isVisible()


def test_the_help_is_opened_where_it_covers_least() -> None:
    screen, size = QRect(0, 0, 1920, 1080), QSize(700, 600)
    assert beside(QRect(0, 50, 1200, 900), size, screen) == QPoint(1200, 50)
    assert beside(QRect(720, 50, 1200, 900), size, screen) == QPoint(20, 50)
    assert beside(QRect(0, 700, 1800, 300), size, screen) == QPoint(1220, 480)


def test_a_count_of_one_reads_right(light: Theme) -> None:
    """One panel with one slot: no “1 slots”, no “1 panels”."""
    vehicle = edits.add_panel(Vehicle(name="Small"), "Cabin", 1, 1)
    document = Document(vehicle)
    for key in ("feeds", "live_side", "panel", "print", "record"):
        for sentence in help_numbers.sentences(key, document, Style()):
            assert not re.search(r"\b1 [a-z]*(slots|panels|findings|accessories|are)\b", sentence)


def test_no_fuse_without_a_current_is_an_example_for_the_meter() -> None:
    """“Its 0 A would show as 0 mV” says nothing about millivolts."""
    vehicle = edits.add_panel(Vehicle(name="Small"), "Cabin", 1, 2)
    fuse = Fuse(family="mini", rating=10)
    for slot_id, amps in (("slot-1", 0.0), ("slot-2", 2.0)):
        loads = StateLoads(**dict.fromkeys(STATES, amps))
        vehicle = edits.change_slot(vehicle, slot_id, fuse=fuse, own_load=loads)
    told = help_numbers.sentences("meter", Document(vehicle), Style())
    assert [sentence[:2] for sentence in told if "would show" in sentence] == ["F2"]
