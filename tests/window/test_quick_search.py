"""A few letters lead to any action, slot, accessory, finding or page of the help."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.window.document import Document, Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings


@pytest.fixture
def window(qtbot: Any, van: Any) -> MainWindow:
    window = MainWindow(Document(van), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1100, 800)
    window.show()
    window.show_work()
    return window


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
