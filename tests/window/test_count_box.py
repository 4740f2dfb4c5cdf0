"""A count that cannot be is left as it was typed, marked, and said wherever it is used."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.errors import FusemapError
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.count_box import CountBox
from fusemap.window.forms.feed_page import FeedPage
from fusemap.window.pages.paper_labels import LabelChoice
from fusemap.window.probe.slot_order import NumberDialog
from fusemap.window.style.theme import LIGHT
from tests.window.form_hands import click, shown


def refusals(document: Document) -> list[FusemapError]:
    told: list[FusemapError] = []
    document.refused.connect(told.append)
    return told


def type_into(box: CountBox, text: str) -> None:
    box.setFocus()
    box.selectAll()
    QTest.keyClicks(box, text)


def test_it_waits_as_it_was_typed_while_somebody_looks_elsewhere(qtbot: Any) -> None:
    box = shown(CountBox(LIGHT.style, "count", "Rows", 1, 60), qtbot)
    type_into(box, "61")
    box.hide()
    box.show()
    assert box.text() == "61"
    assert box.value() == 6
    assert str(box.problem) == "Rows: 61 is too large (type a number from 1 to 60)"
    box.setValue(12)
    assert box.problem is None
    assert box.toolTip() == ""


def test_no_block_is_added_with_more_ways_than_there_are(qtbot: Any) -> None:
    document = Document(Vehicle(name="Van"))
    page = shown(FeedPage(document, LIGHT), qtbot)
    told = refusals(document)
    type_into(page.ways, "240")
    click(page, qtbot, "block_add")
    assert document.vehicle.feeds == ()
    assert [str(each.what) for each in told] == ["240 is too large"]
    type_into(page.ways, "8")
    click(page, qtbot, "block_add")
    assert len(document.vehicle.panels[0].slots) == 8


def test_no_slot_is_numbered_from_what_is_no_number(qtbot: Any) -> None:
    document = Document(edits.add_panel(Vehicle(name="Van"), "Dash", 1, 3))
    told = refusals(document)
    parent = QWidget()
    qtbot.addWidget(parent)
    dialog = NumberDialog(parent, document, "panel-1", LIGHT.style)
    dialog.show()
    before = document.vehicle
    type_into(dialog.first, "F1")
    QTest.mouseClick(dialog.findChild(QPushButton, "numberGive"), Qt.MouseButton.LeftButton)
    assert document.vehicle is before
    assert dialog.isVisible()
    assert [str(each.what) for each in told] == ["“F1” is not a number"]


def test_labels_used_that_are_no_count_are_told(qtbot: Any) -> None:
    document = Document(Vehicle(name="Van"))
    choice = shown(LabelChoice(document, LIGHT.style), qtbot)
    told = refusals(document)
    choice.kind.show_value("a4-65")
    choice.used.setVisible(True)
    type_into(choice.used, "-3")
    QTest.keyClick(choice.used, Qt.Key.Key_Tab)
    assert [str(each.what) for each in told] == ["−3 is too small"]
    assert choice.used.text() == "-3"
