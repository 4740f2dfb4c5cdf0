"""Slots and accessories are copied from one vehicle and pasted into another."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from fusemap.errors import EditRefused
from fusemap.vehicle import Converter, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.parts import clipboard
from fusemap.window.settings import Settings

CTRL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def other() -> Vehicle:
    return edits.add_panel(Vehicle(name="Estate"), "Dash", 3, 4)


def test_pasted_slots_carry_what_was_measured_and_keep_their_arrangement(van: Vehicle) -> None:
    slots = [look_up.slot(van, "slot-1"), look_up.slot(van, "slot-6")]
    clip = clipboard.read(clipboard.of_slots(slots))
    made = clipboard.paste_slots(other(), "panel-1", 1, 0, clip)
    radio = look_up.slot_at(made.panels[0], 1, 0)
    relay = look_up.slot_at(made.panels[0], 2, 1)
    assert radio is not None
    assert relay is not None
    assert (radio.circuit, radio.fuse, radio.feed_class) == ("Radio", slots[0].fuse, "accessory")
    assert radio.own_load == slots[0].own_load
    assert radio.label == "F5", "a slot keeps the label of its own lid"
    assert relay.kind == "relay"


def test_a_gap_gets_a_slot_where_one_is_pasted(van: Vehicle) -> None:
    clip = clipboard.read(clipboard.of_slots([look_up.slot(van, "slot-1")]))
    gap = look_up.slot(van, "slot-8")
    made = clipboard.paste_slots(
        edits.remove_slot(van, "slot-8"), "panel-1", gap.row, gap.column, clip
    )
    filled = look_up.slot_at(made.panels[0], gap.row, gap.column)
    assert filled is not None
    assert filled.circuit == "Radio"


def test_what_would_lie_beyond_the_panel_is_refused(van: Vehicle) -> None:
    slots = [look_up.slot(van, "slot-1"), look_up.slot(van, "slot-4")]
    clip = clipboard.read(clipboard.of_slots(slots))
    with pytest.raises(EditRefused, match="larger than the panel"):
        clipboard.paste_slots(other(), "panel-1", 0, 1, clip)


def test_what_hung_on_a_converter_is_pasted_without_it(van: Vehicle) -> None:
    v = edits.add_accessory(van, "Charger", watts=1.0, converter=Converter())
    v = edits.change_accessory(v, "accessory-2", supplied_by=v.accessories[-1].id)
    clip = clipboard.read(clipboard.of_accessories([look_up.accessory(v, "accessory-2")]))
    assert clipboard.paste_accessories(other(), clip).accessories[0].supplied_by is None


def test_pasted_accessories_are_not_placed_and_find_a_free_name(van: Vehicle) -> None:
    clip = clipboard.read(clipboard.of_accessories(van.accessories))
    made = clipboard.paste_accessories(clipboard.paste_accessories(other(), clip), clip)
    assert [a.name for a in made.accessories] == [
        "Dash cam", "Cool box", "Dash cam 2", "Cool box 2",
    ]  # fmt: skip
    assert made.accessories[1].watts == 45.0
    assert not made.taps


@pytest.mark.parametrize("text", [b"", b"{", b"hello", b'{"slots": [{"id": 5}]}', b"\xff\xfe"])
def test_anything_else_on_the_clipboard_is_refused(text: bytes) -> None:
    with pytest.raises(EditRefused, match="clipboard"):
        clipboard.read(text)


@pytest.fixture
def window(qtbot: Any, van: Vehicle) -> MainWindow:
    window = MainWindow(Document(van), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1200, 900)
    window.show()
    window.show_work()
    window.activateWindow()
    return window


def test_two_slots_go_to_another_vehicle_by_keyboard(window: MainWindow, qtbot: Any) -> None:
    window.document.select("slot", "slot-1")
    window.focus_pane("panel")
    view = window.panels.view
    qtbot.keyClick(view, Qt.Key.Key_Right, SHIFT)
    qtbot.keyClick(view, Qt.Key.Key_C, CTRL)
    window.document.set_vehicle(other())
    window.focus_pane("panel")
    window.document.select("slot", "slot-5")
    qtbot.keyClick(window.panels.view, Qt.Key.Key_V, CTRL)
    circuits = [slot.circuit for slot in window.document.vehicle.panels[0].slots]
    assert circuits[4:6] == ["Radio", "12 V socket"]
    window.document.stack.undo()
    assert not any(slot.circuit for slot in window.document.vehicle.panels[0].slots)


def test_an_accessory_goes_to_another_vehicle_by_keyboard(window: MainWindow, qtbot: Any) -> None:
    window.focus_pane("shelf")
    window.document.select("accessory", "accessory-2")
    own = window.work.shelf.own  # type: ignore[union-attr]
    own.setFocus()
    qtbot.keyClick(own, Qt.Key.Key_C, CTRL)
    window.document.set_vehicle(other())
    window.focus_pane("panel")
    qtbot.keyClick(window.panels.view, Qt.Key.Key_V, CTRL)
    assert [a.name for a in window.document.vehicle.accessories] == ["Cool box"]


def test_a_field_keeps_its_own_copy_and_paste(window: MainWindow, qtbot: Any) -> None:
    window.focus_pane("shelf")
    search = window.work.shelf.search  # type: ignore[union-attr]
    search.setFocus()
    qtbot.keyClicks(search, "fan")
    qtbot.keyClick(search, Qt.Key.Key_A, CTRL)
    qtbot.keyClick(search, Qt.Key.Key_C, CTRL)
    qtbot.keyClick(search, Qt.Key.Key_End)
    qtbot.keyClick(search, Qt.Key.Key_V, CTRL)
    assert search.text() == "fanfan"


def test_pasting_nothing_of_ours_is_told(window: MainWindow) -> None:
    QApplication.clipboard().setText("hello")
    window.clipboard.paste()
    assert "clipboard" in window.message.text


def test_pasting_from_a_clipboard_without_anything_is_told_too(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An empty one gives no data at all on some systems."""
    refused: list[Any] = []
    window.document.refused.connect(refused.append)
    monkeypatch.setattr("PySide6.QtGui.QClipboard.mimeData", lambda *_: None)
    window.clipboard.paste()
    assert len(refused) == 1
