"""One strip: what is in this vehicle; the library opens while it is searched."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.text import ENGLISH, Style
from fusemap.window.main_window import MainWindow
from fusemap.window.shelf.shelf_rows import kind_rows


def test_at_rest_there_is_only_what_is_in_this_vehicle(opened: MainWindow) -> None:
    shelf = opened.work.shelf
    opened.focus_pane("panel")
    assert shelf.library.isHidden()
    assert shelf.own.isVisible()
    opened.actions_.trigger("add_accessory")
    assert shelf.library.isVisible()
    opened.focus_pane("panel")
    assert shelf.library.isHidden()


def test_what_is_typed_stays_while_the_lid_is_looked_at(opened: MainWindow, qtbot: Any) -> None:
    """The library lies over the lid: it leaves it free, and is there again for who comes back."""
    shelf = opened.work.shelf
    opened.actions_.trigger("add_accessory")
    qtbot.keyClicks(shelf.search, "fan")
    opened.focus_pane("panel")
    assert not shelf.library.isVisible()
    assert shelf.search.text() == "fan"
    opened.focus_pane("shelf")
    assert shelf.library.isVisible()
    assert next(row.payload.kind for row in shelf.kinds.shelf.rows if row.payload) == "fan"


def test_once_it_has_its_place_nothing_hides_the_others_any_more(
    opened: MainWindow, qtbot: Any
) -> None:
    """A search that stays hides the vehicle's own accessories."""
    shelf = opened.work.shelf
    before = len(shelf.own.shelf.rows)
    opened.actions_.trigger("add_accessory")
    qtbot.keyClicks(shelf.search, "fan")
    assert len(shelf.own.shelf.rows) < before
    qtbot.keyClick(shelf.search, Qt.Key.Key_Return)
    qtbot.keyClick(shelf.kinds, Qt.Key.Key_Insert)
    assert shelf.search.text() == ""
    assert len(shelf.own.shelf.rows) == before + 1


@pytest.mark.parametrize(
    ("typed", "kind"),
    [("fridge", "cool_box_compressor"), ("dashcam", "dash_camera"), ("backup cam", "rear_camera"),
     ("trailer", "tow_module"), ("KÜHLBOX", ""), ("glaciere", "")],
)  # fmt: skip
def test_a_kind_is_found_by_what_else_it_is_called(typed: str, kind: str) -> None:
    found = [row.payload.kind for row in kind_rows(ENGLISH, typed) if row.payload]
    assert (kind in found) if kind else not found, "in English another language's word fits none"


@pytest.mark.parametrize(
    ("language", "typed"),
    [("de", "kuhlbox"), ("fr", "glaciere"), ("nl", "koelbox"), ("es", "nevera")],
)
def test_accents_may_be_left_out_in_every_language(language: str, typed: str) -> None:
    found = [row.payload.kind for row in kind_rows(Style(language), typed) if row.payload]
    assert "cool_box_compressor" in found
