"""The whole job once, with keys and a drop on the real window, read back from its widgets."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QMimeData, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QLineEdit, QWidget

from fusemap.files import read_vehicle
from fusemap.units import NARROW_SPACE
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.panel.panel_model import OFFER
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
PLAIN = Qt.KeyboardModifier.NoModifier
ALT = Qt.KeyboardModifier.AltModifier
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, 900)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    return window


def press(*keys: Qt.Key | str, held: Qt.KeyboardModifier = PLAIN) -> None:
    """Press keys one by one where the keyboard is."""
    for key in keys:
        for each in key if isinstance(key, str) else [key]:
            at = QApplication.activePopupWidget() or QApplication.focusWidget()
            assert at is not None
            QTest.keyClick(at, each, held)
            QCoreApplication.sendPostedEvents()
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def field(window: MainWindow, name: str) -> QLineEdit:
    found = window.findChild(QWidget, name)
    assert found is not None, name
    line = found if isinstance(found, QLineEdit) else found.findChild(QLineEdit)
    assert line is not None, name
    return line


def fill(window: MainWindow, name: str, text: str) -> None:
    """Write into a field of the details and go on with Enter."""
    line = field(window, name)
    line.setFocus()
    line.selectAll()
    press(text, Key.Key_Return)


def choose(window: MainWindow, name: str, value: str) -> None:
    """Choose in a list of the details, with the arrow keys."""
    boxes = {b.objectName(): b for b in window.findChildren(QComboBox) if b.isVisible()}
    box = boxes[name]
    box.setFocus()
    wanted = next(row for row in range(box.count()) if value in box.itemText(row))
    for _ in range(box.count()):
        if box.currentIndex() != wanted:
            press(Key.Key_Down if box.currentIndex() < wanted else Key.Key_Up)
    assert box.currentIndex() == wanted


def panel(window: MainWindow) -> PanelView:
    view = window.findChild(PanelView)
    assert view is not None
    return view


def drag(view: PanelView, mime: QMimeData, slot_id: str) -> str:
    """Drag over a slot; what the slot then says of itself."""
    index = view.panel_model.index_of(slot_id)
    at = view.visualRect(index).center()
    move = Qt.DropAction.MoveAction
    QApplication.sendEvent(view.viewport(), QDragEnterEvent(at, move, mime, LEFT, PLAIN))
    QApplication.sendEvent(view.viewport(), QDragMoveEvent(at, move, mime, LEFT, PLAIN))
    return str(view.panel_model.data(index, OFFER))


def drop(view: PanelView, mime: QMimeData, slot_id: str) -> bool:
    at = QPointF(view.visualRect(view.panel_model.index_of(slot_id)).center())
    event = QDropEvent(at, Qt.DropAction.MoveAction, mime, LEFT, PLAIN)
    QApplication.sendEvent(view.viewport(), event)
    return event.isAccepted()


def rows(window: MainWindow) -> list[str]:
    """What the list of findings says, row by row; gone to by its key."""
    window.activateWindow()
    QTest.keyClick(window, Key.Key_7, ALT)
    QTest.qWait(50)  # the panel is painted first, the checks follow
    model = window.work.findings.model
    text = Qt.ItemDataRole.AccessibleTextRole
    found = [model.data(model.index(row, 0), text) for row in range(model.rowCount())]
    QTest.keyClick(QApplication.focusWidget(), Key.Key_Escape)  # and back to where one was
    return [str(words).replace(NARROW_SPACE, " ") for words in found]


def test_from_a_new_vehicle_to_a_saved_file(window: MainWindow, tmp_path: Path, qtbot: Any) -> None:
    # the lid has one row of three
    new = window.start.new
    for box, count in ((new.rows, "1"), (new.columns, "3")):
        box.setFocus()
        box.selectAll()
        press(count)
    new.name.setFocus()
    press("Blue van", Key.Key_Return)
    view = panel(window)

    # type the lid: rating and circuit, Enter goes on; then the feed classes
    press(Key.Key_1, held=ALT)
    view.go_to("slot-1")
    press("15 Sockets", Key.Key_Return, "10 Radio", Key.Key_Return, "7.5 Airbag", Key.Key_Return)
    for slot_id, marks in (
        ("slot-1", ("15\r", "6")),
        ("slot-2", ("30",)),
        ("slot-3", ("15\r", "C")),
    ):
        for mark in marks:
            view.go_to(slot_id)
            view.setFocus()
            press(Key.Key_Space, mark)
    slots = window.document.vehicle.panels[0].slots
    assert [s.circuit for s in slots] == ["Sockets", "Radio", "Airbag"]
    assert [s.feed_class for s in slots] == ["ignition", "permanent", "ignition"]
    assert slots[2].critical

    # its own load as measured
    view.go_to("slot-1")
    assert window.work is not None
    window.work.show_more()
    fill(window, "slot_load_ignition", "3")
    fill(window, "slot_load_running", "3")
    fill(window, "slot_load_accessory", "0")
    press(Key.Key_Escape)
    assert window.work.page == "lid"

    # a work lamp from the library: the airbag slot refuses it, the sockets' slot takes it
    lamp = mime_of(Payload(kind="work_lamp"))
    drag(view, lamp, "slot-3")
    assert not drop(view, lamp, "slot-3")
    assert window.document.vehicle.accessories == ()
    drag(view, lamp, "slot-1")
    assert drop(view, lamp, "slot-1")
    assert "work lamp" in window.document.stack.undoText().lower()
    (tap,) = window.document.vehicle.taps
    assert tap.slot == "slot-1"

    # what the window now says: the slot's load, and no stop
    window.document.select("slot", "slot-1")
    at = view.panel_model.index_of("slot-1")
    said = str(view.panel_model.data(at, Qt.ItemDataRole.AccessibleTextRole))
    assert "Sockets" in said
    assert "ignition" in said.lower()
    assert not [row for row in rows(window) if row.startswith("Stop")]

    # turn the tap round with its own fuse too large: now it says so
    window.document.select("tap", tap.id)
    before = len(rows(window))
    assert window.work is not None
    window.work.show_more()
    choose(window, "powerLead_way_round", "Load side")
    assert window.document.vehicle.taps[0].way_round == "load_side"
    assert any("load side" in row for row in rows(window)), rows(window)
    assert len(rows(window)) > before

    # undo brings the sound job back, redo the fault, undo again
    QTest.keyClick(window, Key.Key_Z, CTRL)
    assert not any("load side" in row for row in rows(window))

    # save under a name
    QTest.keyClick(window, Key.Key_S, CTRL)
    path = tmp_path / "blue_van.fusemap"
    (dialog,) = (d for d in window.findChildren(QFileDialog) if d.isVisible())
    dialog.fileSelected.emit(str(path))
    dialog.close()
    assert read_vehicle(path) == window.document.vehicle
    assert not window.document.modified
    assert "blue_van" in window.windowTitle() or "Blue van" in window.windowTitle()
