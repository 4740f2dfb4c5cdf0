"""Two plans side by side in the window."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.files import write_vehicle
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.pages.compare_page import ComparePage
from fusemap.window.style.theme import LIGHT


@pytest.fixture
def document(van: Vehicle) -> Document:
    document = Document()
    document.set_vehicle(van)
    return document


@pytest.fixture
def shown(document: Document, qtbot: Any) -> ComparePage:
    page = ComparePage(document, LIGHT)
    qtbot.addWidget(page)
    page.resize(600, 600)
    with qtbot.waitExposed(page):
        page.show()
    qtbot.waitUntil(lambda: page.nothing.isVisible() or page.table.rowCount() > 0)
    return page


def rows(page: ComparePage) -> dict[str, tuple[str, str]]:
    """What stands left and right of each thing, where it comes first."""
    found: dict[str, tuple[str, str]] = {}
    for at in range(page.table.rowCount()):
        cells = [page.table.item(at, column) for column in range(3)]
        words = ["" if cell is None else cell.text() for cell in cells]
        found.setdefault(words[0], (words[1], words[2]))
    return found


def place(document: Document) -> None:
    document.apply("Place", edits.place, "accessory-2", slot="slot-2",
                   fuse=Fuse(family="mini", rating=5))  # fmt: skip


def test_right_after_saving_nothing_differs(shown: ComparePage) -> None:
    assert shown.nothing.isVisible()
    assert not shown.table.isVisible()


def test_a_step_shows_against_what_was_saved(
    shown: ComparePage, document: Document, qtbot: Any
) -> None:
    place(document)
    qtbot.waitUntil(lambda: shown.table.rowCount() > 0)
    found = rows(shown)
    assert found["Cool box"] != ("", "")
    assert found[f"Fuse 5{NARROW_SPACE}A mini"] == ("–", "1")
    assert "Where it is" in found


def test_before_the_last_step_is_one_step_back(
    shown: ComparePage, document: Document, qtbot: Any
) -> None:
    place(document)
    document.apply("Fan", edits.add_accessory, "Fan", watts=12.0)
    shown.left.setFocus()
    qtbot.keyClick(shown.left, Qt.Key.Key_Down)
    assert shown.left.currentText() == "Before the last step"
    shown.refresh()
    found = rows(shown)
    assert found["Fan"] == ("–", "not placed")
    assert "Fuse 5 A mini" not in found, "that was the step before"


def test_after_undo_what_was_saved_is_still_what_was_saved(
    shown: ComparePage, document: Document
) -> None:
    place(document)
    document.mark_saved(Path("van.fusemap"))
    saved = document.vehicle
    document.stack.undo()
    assert shown.vehicle(shown.left) == saved


def test_all_rows_are_there_when_asked(shown: ComparePage, qtbot: Any) -> None:
    shown.differing.setFocus()
    qtbot.keyClick(shown.differing, Qt.Key.Key_Space)
    found = rows(shown)
    assert found["Dash cam"] == ("F1 Radio", "F1 Radio")
    assert "Starts by the usual figures for" in found


def test_another_file_can_be_compared(
    shown: ComparePage, document: Document, van: Vehicle, tmp_path: Path
) -> None:
    other = tmp_path / "variant.fusemap"
    write_vehicle(other, edits.add_accessory(van, "Winch", watts=2000.0))
    shown.take(shown.left, other)
    assert shown.left.currentText() == "variant.fusemap"
    assert rows(shown)["Winch"] == ("not placed", "–")


def test_a_file_that_is_no_vehicle_is_told_and_changes_nothing(
    shown: ComparePage, document: Document, tmp_path: Path
) -> None:
    told: list[object] = []
    document.refused.connect(told.append)
    broken = tmp_path / "broken.fusemap"
    broken.write_text("{", encoding="utf-8")
    shown.take(shown.left, broken)
    assert len(told) == 1
    assert shown.left.currentText() == "As last saved"


def test_on_a_large_screen_the_choosers_stay_as_wide_as_what_is_read_in_them(
    shown: ComparePage, qtbot: Any
) -> None:
    shown.resize(2400, 900)
    qtbot.wait(20)
    letters = shown.fontMetrics().averageCharWidth()
    assert shown.left.width() == shown.right.width() < 100 * letters
