"""Three jobs in the running window with nothing but the mouse, read back from the vehicle.

Presses and releases go to the widget under the point; lists are opened and chosen from as seen.
"""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLabel, QWidget

from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings

LEFT = Qt.MouseButton.LeftButton
PLAIN = Qt.KeyboardModifier.NoModifier


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1400, 1000)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    click(find(window, "demo_family_estate"))
    QTest.qWait(50)
    return window


def find(window: QWidget, name: str) -> QWidget:
    found = [w for w in window.findChildren(QWidget, name) if w.isVisible()]
    assert found, name
    return found[0]


def click(widget: QWidget, at: QPoint | None = None) -> None:
    QTest.mouseClick(widget, LEFT, PLAIN, at or QPoint())


def view(window: MainWindow) -> PanelView:
    shown = window.panels.view
    assert shown is not None
    return shown


def click_slot(window: MainWindow, slot_id: str) -> None:
    panel = view(window)
    cell = panel.visualRect(panel.panel_model.index_of(slot_id))
    assert panel.viewport().rect().contains(cell.center())
    click(panel.viewport(), cell.center())
    QTest.qWait(20)


def choose(window: MainWindow, name: str, words: str) -> None:
    """Open a list with the mouse and click a row."""
    box = find(window, name)
    assert isinstance(box, QComboBox)
    click(box)
    # a release so soon after the list opened would count as the end of the same click
    QTest.qWait(QApplication.doubleClickInterval() + 50)
    rows = box.view()
    row = next(row for row in range(box.count()) if words in box.itemText(row))
    index = rows.model().index(row, 0)
    rows.scrollTo(index)
    # a mouse comes to a row before it presses there
    at = rows.visualRect(index).center()
    QTest.mouseMove(rows.viewport(), at)
    QTest.qWait(20)
    click(rows.viewport(), at)
    QTest.qWait(20)


def test_know_the_panel(window: MainWindow) -> None:
    slot_id = window.document.vehicle.panels[0].slots[2].id
    click_slot(window, slot_id)
    click(find(window, "chosenMore"))
    choose(window, "slot_rating", "15")
    choose(window, "slot_feed_class", "Ignition")
    tick = find(window, "slot_critical")
    click(tick, QPoint(8, tick.height() // 2))
    slot = look_up.slot(window.document.vehicle, slot_id)
    assert slot.fuse is not None
    assert slot.fuse.rating == 15
    assert slot.feed_class == "ignition"
    assert slot.critical


def test_choose_the_source_by_dragging(window: MainWindow) -> None:
    before = len(window.document.vehicle.taps)
    panel = view(window)
    mime = mime_of(Payload(kind="usb_socket"))
    copy = Qt.DropAction.CopyAction
    start = QPoint(5, 5)
    QApplication.sendEvent(panel.viewport(), QDragEnterEvent(start, copy, mime, LEFT, PLAIN))
    here = {slot.id for slot in window.document.vehicle.panels[0].slots}
    best = next(slot_id for slot_id in panel.placing.ranked if slot_id in here)
    at = panel.visualRect(panel.panel_model.index_of(best)).center()
    QApplication.sendEvent(panel.viewport(), QDragMoveEvent(at, copy, mime, LEFT, PLAIN))
    event = QDropEvent(QPointF(at), copy, mime, LEFT, PLAIN)
    QApplication.sendEvent(panel.viewport(), event)
    assert event.isAccepted()
    assert len(window.document.vehicle.taps) == before + 1
    undo = next(
        button for button in window.findChildren(QAbstractButton)
        if button.isVisible() and button.text() == "Undo"
    )  # fmt: skip
    click(undo)
    assert len(window.document.vehicle.taps) == before


def test_see_how_long_it_may_stand_and_read_the_chart(window: MainWindow) -> None:
    work = window.work
    assert work is not None
    click(find(window, "stage_standing"))
    QTest.qWait(300)
    headline = find(window, "parkedHeadline")
    assert isinstance(headline, QLabel)
    assert "Starts for" in headline.text()
    assert work.parked.chart is not None
    click(find(window, "parkedZoom_week"))
    QTest.qWait(50)
    click(find(window, "learn_standing"))
    assert window.help.shown is not None
    assert window.help.shown.key == "standing"
    assert headline.text().split(",")[0] in window.help.shown.text.toPlainText()
