"""A few letters lead to any action, slot, accessory, finding or page of the help."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from fusemap.vehicle import SecondBattery, edits
from fusemap.window.document import Document, Selection
from fusemap.window.forms.found_by import FOUND_BY
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings


@pytest.fixture
def window(qtbot: Any, van: Any) -> Iterator[MainWindow]:
    window = MainWindow(Document(van), Settings())
    window.resize(1100, 800)
    window.show()
    window.show_work()
    yield window
    window.document.stack.setClean()
    window.close()
    # a window that stays would be themed and said anew with each that follows
    window.deleteLater()
    QCoreApplication.sendPostedEvents(window, QEvent.Type.DeferredDelete.value)


def go(window: MainWindow, qtbot: Any, text: str) -> None:
    """Open the search by its key, type, and press Enter."""
    qtbot.keyClick(window, Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    assert window.search.isVisible()
    qtbot.keyClicks(window.search.line, text)
    qtbot.keyClick(window.search.line, Qt.Key.Key_Return)


@pytest.mark.parametrize(
    ("typed", "place"),
    [
        ("radio", Selection("slot", "slot-1")),
        ("12 v socket", Selection("slot", "slot-2")),
        ("F4", Selection("slot", "slot-4")),
        ("accessory cool", Selection("accessory", "accessory-2")),
    ],
)
def test_letters_and_enter_lead_to_a_place(
    window: MainWindow, qtbot: Any, typed: str, place: Selection
) -> None:
    go(window, qtbot, typed)
    assert window.document.selection == place
    assert not window.search.isVisible()


def test_an_action_is_done_from_the_search(window: MainWindow, qtbot: Any) -> None:
    go(window, qtbot, "say ground")
    try:
        assert Settings().kept.earth_word == "ground"
    finally:
        window.actions_.trigger("word_earth")


def test_a_finding_leads_to_its_place(window: MainWindow, qtbot: Any) -> None:
    found = window.document.findings[0]
    go(window, qtbot, str(found.what)[:18])
    assert window.document.selection is not None


def test_a_page_of_the_help_opens(window: MainWindow, qtbot: Any) -> None:
    go(window, qtbot, "pull test")
    assert window.help.shown is not None
    assert window.help.shown.key == "live_side"


def test_the_arrows_choose_among_what_fits(window: MainWindow, qtbot: Any) -> None:
    qtbot.keyClick(window, Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    search = window.search
    first = search.list.currentRow()
    qtbot.keyClick(search.line, Qt.Key.Key_Down)
    qtbot.keyClick(search.line, Qt.Key.Key_Down)
    qtbot.keyClick(search.line, Qt.Key.Key_Up)
    assert search.list.currentRow() == first + 1


def test_what_fits_nothing_says_so_and_does_nothing(window: MainWindow, qtbot: Any) -> None:
    before = window.document.selection
    go(window, qtbot, "zzzz")
    assert window.search.list.item(0).text() == "Nothing fits"
    assert window.document.selection == before


# --- kinds, fields, words, readings ---------------------------------------------------------------


def found(window: MainWindow, text: str) -> list[str]:
    """What fits, as it is shown."""
    window.search.open()
    window.search.line.setText(text)
    rows = window.search.list
    words = [rows.item(at).text() for at in range(rows.count())]
    window.search.close()
    return words


def test_a_kind_of_the_library_is_found_and_taken_up(window: MainWindow, qtbot: Any) -> None:
    go(window, qtbot, "reversing cam")
    placing = window.work.panels.placing
    assert placing.active
    assert placing.payload.kind == "rear_camera"


def test_a_field_of_a_form_is_found_and_has_the_keyboard(window: MainWindow, qtbot: Any) -> None:
    go(window, qtbot, "field rest current")
    focused = QApplication.focusWidget()
    assert "rest current" in focused.accessibleName().lower()
    assert window.work.details.page_name == "parking"
    assert focused.isVisible()


def test_a_field_of_what_is_selected_is_found_on_whichever_tab(
    window: MainWindow, qtbot: Any
) -> None:
    window.document.select("accessory", "accessory-1")
    assert any("standby" in text.lower() for text in found(window, "field standby"))
    assert not any("standby" in text.lower() for text in found_elsewhere(window, "field standby"))


def found_elsewhere(window: MainWindow, text: str) -> list[str]:
    """What fits while the battery is looked at."""
    window.show_page("battery")
    return found(window, text)


def test_to_look_for_fields_leaves_the_page_that_is_shown(window: MainWindow) -> None:
    window.document.select("slot", "slot-2")
    assert found(window, "battery")
    assert window.work.details.page_name == "slot"


@pytest.mark.parametrize("typed", ["drain", "parasitic", "battery flat"])
def test_who_has_an_empty_battery_finds_where_to_begin(window: MainWindow, typed: str) -> None:
    assert any("drains the battery" in text for text in found(window, typed)), found(window, typed)


def test_the_first_that_fits_drain_begins_the_hunt(window: MainWindow, qtbot: Any) -> None:
    go(window, qtbot, "drain")
    assert window.tasks.shown == "hunt"
    assert window.tasks.hunt.step.kind == "prepare"


def test_a_word_of_the_trade_is_found_by_what_it_is_also_called(
    window: MainWindow, qtbot: Any
) -> None:
    assert any(text.startswith("Word: host fuse") for text in found(window, "original fuse"))
    go(window, qtbot, "word piggyback")
    assert window.help.shown.key == "words"


def test_a_reading_is_found_by_its_slot_and_leads_there(window: MainWindow, qtbot: Any) -> None:
    window.tasks.probe_at("slot", "slot-2", None)
    for key in ("1", "2", ".", "4", "enter"):
        window.tasks.probe.press(key)
    window.tasks.show("plan")
    window.document.select("slot", "slot-1")
    go(window, qtbot, "reading F2")
    assert window.document.selection == Selection("slot", "slot-2")


def test_what_begins_a_name_comes_before_what_a_text_happens_to_say(window: MainWindow) -> None:
    first = found(window, "radio")[0]
    assert first.startswith("Slot: F1")


@pytest.mark.parametrize(
    ("language", "typed", "kind"),
    [("de", "kühlbox", "cool_box"), ("fr", "glacière", "cool_box"), ("nl", "koelbox", "cool_box"),
     ("es", "nevera", "cool_box"), ("de", "compressor cool", "cool_box")],
)  # fmt: skip
def test_kinds_are_found_in_every_language(
    window: MainWindow, qtbot: Any, language: str, typed: str, kind: str
) -> None:
    window.look.set_language(language)
    try:
        window.search.open()
        window.search.line.setText(typed)  # no key of the test's keyboard has an umlaut
        qtbot.keyClick(window.search.line, Qt.Key.Key_Return)
        payload = window.work.panels.placing.payload
        assert payload is not None
        assert payload.kind.startswith(kind)
    finally:
        window.look.set_language("en")


@pytest.mark.parametrize("typed", ["add second battery", "house batt"])
def test_a_second_battery_is_begun_from_the_search(
    window: MainWindow, qtbot: Any, typed: str
) -> None:
    """Its fields are not there yet: the button that begins it is."""
    go(window, qtbot, typed)
    button = QApplication.focusWidget()
    assert isinstance(button, QPushButton)
    assert button.text() == "Add second battery"
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert window.document.vehicle.second_battery is not None
    qtbot.keyClick(window, Qt.Key.Key_G, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClicks(window.search.line, "second battery")
    shown = [window.search.list.item(row).text() for row in range(window.search.list.count())]
    assert not any("second battery" in text and "Remove" in text for text in shown)


@pytest.mark.parametrize(
    ("language", "typed"),
    [
        ("en", "leisure battery"),
        ("en", "auxiliary battery"),
        ("de", "versorgungsbatterie"),
        ("de", "bordbatterie"),
        ("fr", "batterie auxiliaire"),
        ("nl", "huishoudaccu"),
        ("es", "batería auxiliar"),
    ],
)
@pytest.mark.parametrize("there", [False, True])
def test_who_looks_for_a_second_battery_is_offered_it_before_its_charger(
    window: MainWindow, language: str, typed: str, there: bool
) -> None:
    if there:
        window.document.apply("", edits.set_second_battery, SecondBattery())
    window.look.set_language(language)
    try:
        texts = found(window, typed)
        form = window.work.details.made("battery")
        begins = [each for each in form.findChildren(QWidget) if each.property(FOUND_BY)]
        assert len(begins) == 1
        own = begins[0].accessibleName() if there else begins[0].text()
        assert texts[0].endswith(own), texts[:3]
    finally:
        window.look.set_language("en")
