"""The list of findings: worst first, with its sum and remedy, a jump away from its place."""

import csv
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF, QGuiApplication
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.checks.finding import Finding, Severity
from fusemap.hyphens import SOFT
from fusemap.text import Style
from fusemap.vehicle import Accessory, Fuse, Vehicle, edits
from fusemap.window.document import Document, Selection
from fusemap.window.findings.findings_list import FindingsList
from fusemap.window.findings.rows import HEADING
from fusemap.window.parts import export
from fusemap.window.parts.row_list import parted
from fusemap.window.style.theme import LIGHT


def finding(code: str, severity: Severity, slot: str, what: str = "It is too much.") -> Finding:
    return Finding(
        code=code,
        severity=severity,
        what=what,
        place="slot",
        place_id=slot,
        where=f"F{slot[-1]}",
        sum="8 A > 7.5 A",
        rule="Lasting load over fuse rating",
        source="a book",
        remedy="Choose another slot.",
    )


FOUND = (
    finding("over", "stop", "slot-2"),
    finding("over", "stop", "slot-1"),
    finding("way", "caution", "slot-1", "Mind the way round; it matters, a lot."),
    finding("note", "note", "slot-3"),
)
Opened = Callable[[tuple[Finding, ...]], FindingsList]


@pytest.fixture
def opened(qtbot: Any) -> Opened:
    def open_list(found: tuple[Finding, ...]) -> FindingsList:
        vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 3)
        document = Document(vehicle, find=lambda v, a: found)  # type: ignore[arg-type,return-value]
        shown = FindingsList(document, LIGHT)
        qtbot.addWidget(shown)
        shown.resize(1000, 400)
        with qtbot.waitExposed(shown):
            shown.show()
        return shown

    return open_list


def test_how_the_sum_is_reckoned_stands_below_it(opened: Opened) -> None:
    told = replace(finding("over", "stop", "slot-1"), formula="own load + accessories")
    shown = opened((told, finding("plain", "note", "slot-2")))
    shown.details.more.click()
    label = shown.details.labels["formula"]
    assert label.isVisible()
    assert label.text() == "own load + accessories"
    shown.list.setCurrentIndex(shown.model.index(1, 0))
    assert not label.isVisible()


def texts(shown: FindingsList) -> list[str]:
    rows = range(shown.model.rowCount())
    return [shown.model.index(row, 0).data() for row in rows]


def test_each_row_says_severity_place_and_what(opened: Opened) -> None:
    rows = texts(opened(FOUND))
    assert rows[0] == "Stop: F2. It is too much."
    assert [row.split(":")[0] for row in rows] == ["Stop", "Stop", "Caution", "Note"]


def test_the_header_counts_each_group_that_there_is(opened: Opened) -> None:
    shown = opened(FOUND)
    assert shown.summary == "2 stop · 1 caution · 1 note"
    assert shown.title.text() == "4 findings"
    seen = {group: b for group, b in shown.filters.items() if b.isVisible()}
    assert {group: b.text() for group, b in seen.items()} == {
        "fails": "2",
        "caution": "1",
        "note": "1",
    }
    assert seen["fails"].accessibleName() == "Does not hold: put it right, 2"


def test_findings_stand_in_groups_by_what_is_to_be_done_the_worst_first(opened: Opened) -> None:
    doubt = finding("host_may_not_hold", "caution", "slot-1")
    unknown = finding("own_load_unknown", "note", "slot-1")
    shown = opened((FOUND[0], FOUND[2], doubt, FOUND[3], unknown))
    heads = [shown.model.index(row, 0).data(HEADING) for row in range(5)]
    assert heads == [
        "Does not hold: put it right",
        "May not hold: make sure",
        "Cannot be said: answer or measure",
        "Works, but mind this",
        "Worth knowing",
    ]
    two = opened(FOUND[:2])
    assert two.model.index(1, 0).data(HEADING) == ""


def test_the_words_of_a_group_have_room_above_its_first_finding(opened: Opened) -> None:
    shown = opened((*FOUND[:2], FOUND[2]))
    high = [shown.list.visualRect(shown.model.index(row, 0)).height() for row in range(3)]
    assert high[0] > high[1]


def test_down_goes_from_finding_to_finding_through_all_groups(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    met = [shown.current()]
    for _ in range(3):
        qtbot.keyClick(shown.list, Qt.Key.Key_Down)
        met.append(shown.current())
    assert met == list(FOUND)


def test_sum_rule_and_source_are_opened_by_a_key_and_stay_open(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    labels = shown.details.labels
    assert labels["what"].isVisible()
    assert not labels["sum"].isVisible()
    shown.details.more.setFocus()
    qtbot.keyClick(shown.details.more, Qt.Key.Key_Space)
    assert all(labels[key].isVisible() for key in ("sum", "rule", "source"))
    qtbot.keyClick(shown.list, Qt.Key.Key_Down)
    assert labels["sum"].isVisible()


def test_the_worst_is_open_with_its_sum_rule_source_and_remedy(opened: Opened) -> None:
    labels = opened(FOUND).details.labels
    assert labels["sum"].text() == "8 A > 7.5 A"
    assert labels["rule"].text() == "Lasting load over fuse rating"
    assert labels["source"].text() == "a book"
    assert labels["remedy"].text() == "Choose another slot."


def test_enter_jumps_to_the_place(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    qtbot.keyClick(shown.list, Qt.Key.Key_Down)
    qtbot.keyClick(shown.list, Qt.Key.Key_Return)
    assert shown.document.selection == Selection("slot", "slot-1")


def test_a_double_click_jumps_to_the_place(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    middle = shown.list.visualRect(shown.model.index(3, 0)).center()
    qtbot.mouseClick(shown.list.viewport(), Qt.MouseButton.LeftButton, pos=middle)
    qtbot.mouseDClick(shown.list.viewport(), Qt.MouseButton.LeftButton, pos=middle)
    assert shown.document.selection == Selection("slot", "slot-3")


def test_the_button_jumps_and_names_the_place(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    assert shown.details.button.words() == "Show F2"
    qtbot.mouseClick(shown.details.button, Qt.MouseButton.LeftButton)
    assert shown.document.selection == Selection("slot", "slot-2")


def test_a_count_hides_and_shows_its_findings(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    qtbot.keyClick(shown.filters["fails"], Qt.Key.Key_Space)
    assert [row.split(":")[0] for row in texts(shown)] == ["Caution", "Note"]
    assert shown.summary == "2 stop · 1 caution · 1 note"
    qtbot.keyClick(shown.filters["fails"], Qt.Key.Key_Space)
    assert len(texts(shown)) == 4


def test_of_another_vehicle_nothing_is_said_that_was_said_of_the_one_before(
    opened: Opened,
) -> None:
    shown = opened(FOUND)
    line = shown.verdict
    line._reckon()
    assert len(line.words.text()) > 1
    shown.document.set_vehicle(edits.add_panel(Vehicle(name="Other"), "Cabin", 1, 2))
    assert line.words.text() == "…"
    assert line.mark.pixmap().isNull()
    line._reckon()
    assert len(line.words.text()) > 1


def test_an_empty_list_says_what_that_means(opened: Opened) -> None:
    shown = opened(())
    assert shown.empty.isVisible()
    assert not shown.split.isVisible()
    assert "Place an accessory" in shown.empty.text()


def test_hidden_findings_are_not_taken_for_none(opened: Opened) -> None:
    shown = opened(FOUND)
    for button in shown.filters.values():
        button.click()
    assert "hidden" in shown.empty.text()


def test_the_cursor_stays_on_its_finding_when_others_go(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    shown.list.setCurrentIndex(shown.model.index(2, 0))
    qtbot.keyClick(shown.filters["fails"], Qt.Key.Key_Space)
    kept = shown.current()
    assert kept is not None
    assert kept.code == "way"
    assert shown.details.labels["what"].text().startswith("Mind the way round")


def test_all_that_is_shown_goes_to_the_clipboard(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    button = shown.findChild(QPushButton, "findingsCopy")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    lines = QGuiApplication.clipboard().text().splitlines()
    assert lines[0].split("\t")[:3] == ["Severity", "Where", "What"]
    assert len(lines) == 5
    assert "8 A > 7.5 A" in lines[1]


def test_ctrl_c_copies_the_finding_the_cursor_is_on(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    shown.activateWindow()
    shown.list.setFocus()
    shown.list.setCurrentIndex(shown.model.index(2, 0))
    qtbot.keyClick(shown.list, Qt.Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert len(QGuiApplication.clipboard().text().splitlines()) == 2
    assert "Mind the way round" in QGuiApplication.clipboard().text()


def test_the_table_saved_reads_back_the_same(opened: Opened, qtbot: Any, tmp_path: Path) -> None:
    shown = opened(FOUND)
    shown.save()
    dialog = shown.findChild(export.QFileDialog, "exportDialog")
    assert dialog is not None
    assert dialog.isVisible()
    path = tmp_path / "found.csv"
    dialog.fileSelected.emit(str(path))
    dialog.close()
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert len(rows) == 5
    assert rows[3][2] == "Mind the way round; it matters, a lot."


def test_a_place_that_cannot_be_written_is_told(opened: Opened, tmp_path: Path) -> None:
    shown = opened(FOUND)
    refused: list[Any] = []
    shown.document.refused.connect(refused.append)
    shown.save()
    dialog = shown.findChild(export.QFileDialog, "exportDialog")
    assert dialog is not None
    dialog.fileSelected.emit(str(tmp_path / "nowhere" / "found.csv"))
    dialog.close()
    assert "the folder is not there" in refused[0].what


def test_what_is_found_in_a_real_vehicle_follows_the_edits(qtbot: Any) -> None:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 1)
    fuse = Fuse(family="mini", rating=10)
    vehicle = edits.change_slot(vehicle, "slot-1", fuse=fuse, feed_class="ignition")
    vehicle = edits.add_accessory(vehicle, "Heater", amperes=30.0, load_kind="constant_current")
    document = Document(edits.place(vehicle, "accessory-1", slot="slot-1", fuse=fuse))
    shown = FindingsList(document, LIGHT)
    qtbot.addWidget(shown)
    with qtbot.waitExposed(shown):
        shown.show()
    assert any(f.severity == "stop" and f.place == "tap" for f in shown.model.findings)
    document.apply("Less", edits.change_accessory, "accessory-1", amperes=1.0)
    QApplication.processEvents()
    assert not any(f.severity == "stop" for f in shown.model.findings)


def test_findings_are_said_in_the_readers_language(opened: Opened, qtbot: Any) -> None:
    shown = FindingsList(opened(FOUND).document, replace(LIGHT, style=Style("de")))
    qtbot.addWidget(shown)
    with qtbot.waitExposed(shown):
        shown.show()
    words = [line.split()[-1] for line in shown.summary.split(" · ")]
    assert words[0] == "Stopp"
    assert words[2] == "Hinweis"  # and not the note that somebody writes
    assert shown.list.model().index(0, 0).data().startswith("Stopp: ")


def test_a_list_out_of_view_catches_up_when_shown(opened: Opened, qtbot: Any) -> None:
    shown = opened(FOUND)
    shown.hide()
    document = shown.document
    document._find = lambda v, a: ()
    document.apply("Add", edits.add_accessory, "Lamp", watts=5.0)
    assert len(texts(shown)) == 4
    with qtbot.waitExposed(shown):
        shown.show()
    assert texts(shown) == []
    assert isinstance(document.vehicle.accessories[0], Accessory)


def test_a_word_wider_than_its_row_is_parted_with_a_hyphen_between_syllables(qapp: Any) -> None:
    font = qapp.font()
    wide = QFontMetricsF(font).horizontalAdvance("Dashboardpanee")
    words = parted("Dashboardpaneel, permanent", font, wide)
    first, second = words.split(" ")
    assert first.replace(SOFT, "") == "Dashboardpaneel,"
    assert SOFT in first, "else it would break before its last letter"
    assert second == "permanent"
    assert parted("Dashboardpaneel, permanent", font, 3 * wide) == "Dashboardpaneel, permanent"
