"""Beside the panel: the chosen thing, or the list of circuits; by keys there and back."""

from typing import Any

from PySide6.QtCore import Qt

from fusemap.vehicle import Fuse, edits
from fusemap.window.main_window import MainWindow
from tests.window.keyboard_hands import focus, press


def test_enter_on_more_opens_the_page_of_what_is_chosen_and_escape_leads_back(
    opened: MainWindow,
) -> None:
    opened.document.select("slot", "dash-f11")
    work = opened.work
    more = work.lid.pane.pane.head.more
    more.setFocus()
    press(Qt.Key.Key_Return)
    assert work.page == "details"
    assert work.details.page_name == "slot"
    assert work.details.isAncestorOf(focus())
    press(Qt.Key.Key_Escape)
    assert work.page == "lid"
    assert focus() is more


def test_the_page_is_called_by_what_it_is_about(opened: MainWindow) -> None:
    opened.document.select("slot", "dash-f11")
    opened.work.show_more()
    title = opened.work._pages["details"].title
    assert title.text() == "F11 Climate control panel"
    opened.document.apply("Circuit", edits.change_slot, "dash-f11", circuit="Fan")
    assert title.text() == "F11 Fan"
    opened.show_page("rules")
    assert title.text() == "Rules and limits"


def test_a_page_opened_from_another_leads_back_to_that_one(opened: MainWindow) -> None:
    """Findings, from there an earth point in full, and back by Escape, page by page."""
    opened.show_whole("findings")
    opened.work.show_place("vehicle", "vehicle")
    assert opened.work.page == "details"
    assert opened.work._pages["details"].back.text() == "Findings"
    press(Qt.Key.Key_Escape)
    assert opened.work.page == "findings"
    assert opened.work._pages["findings"].back.text() == "Plan"
    press(Qt.Key.Key_Escape)
    assert opened.work.page == "lid"
    assert not opened.work.go_back()


def test_what_has_no_short_form_is_shown_on_its_page(opened: MainWindow) -> None:
    opened.work.show_place("panel", opened.document.vehicle.panels[0].id)
    assert opened.work.page == "details"
    assert opened.work.details.page_name == "panel"
    opened.work.go_back()
    opened.work.show_place("accessory", opened.document.vehicle.accessories[0].id)
    assert opened.work.page == "lid"


def test_the_list_of_circuits_stands_beside_the_panel_and_escape_leads_back(
    opened: MainWindow,
) -> None:
    opened.document.select("slot", "dash-f11")
    beside = opened.work.lid.pane
    opened.show_page("circuits")
    assert opened.work.page == "lid"
    assert beside.listing
    assert focus() is beside.circuits.list
    press(Qt.Key.Key_Escape)
    assert not beside.listing
    assert beside.pane.isAncestorOf(focus())
    opened.show_page("circuits")
    opened.document.select("slot", "dash-f12")
    assert not beside.listing, "another choice is shown"


def test_the_pane_follows_every_edit(opened: MainWindow, qtbot: Any) -> None:
    opened.document.select("slot", "dash-f11")
    pane = opened.work.lid.pane.pane
    fuse = Fuse(family="mini", rating=20)
    assert opened.document.apply("Fuse", edits.change_slot, "dash-f11", fuse=fuse)
    qtbot.waitUntil(lambda: "20" in pane.facts.values["fuse"].accessibleName())
