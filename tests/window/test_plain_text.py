"""What a stranger has named things is shown as it is: no tag in it is drawn, no picture fetched."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtGui import Qt as TextKind
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QLabel,
    QMessageBox,
    QTextEdit,
    QWidget,
)

from fusemap import files
from fusemap.files.demos import demo_text
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings

TAG = '<b>qqq</b><img src="file:///nowhere.png">'
TEXTS = {"name", "circuit", "label", "note", "text", "joint", "earth_point", "colour",
         "critical_reason", "justification", "by"}  # fmt: skip


def tagged(value: Any) -> Any:
    """The same fields, every text that people write with a tag before it."""
    if isinstance(value, list):
        return [tagged(item) for item in value]
    if isinstance(value, dict):
        return {
            key: f"{TAG}{inside}" if key in TEXTS and isinstance(inside, str) else tagged(inside)
            for key, inside in value.items()
        }
    return value


@pytest.fixture(scope="module")
def hostile() -> Vehicle:
    return files.parse(json.dumps(tagged(json.loads(demo_text("family_estate")))))


@pytest.fixture
def window(qtbot: Any, hostile: Vehicle) -> MainWindow:
    made = MainWindow(Document(), Settings())
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    made.resize(1366, 800)
    with qtbot.waitExposed(made):
        made.show()
    made.document.set_vehicle(hostile)
    settle()
    return made


def settle() -> None:
    for _ in range(3):
        QApplication.processEvents()
        QTest.qWait(15)


def drawn(text: str) -> bool:
    """Whether Qt would draw the tag instead of showing it."""
    return "<b>qqq" in text and TextKind.mightBeRichText(text)


def cells(view: QAbstractItemView) -> Iterator[QModelIndex]:
    model = view.model()
    waiting = [QModelIndex()]
    while waiting and model is not None:
        above = waiting.pop()
        for row in range(min(model.rowCount(above), 60)):
            for column in range(12):
                index = model.index(row, column, above)
                if index.isValid():
                    yield index
            waiting.append(model.index(row, 0, above))


def found(window: QWidget) -> list[str]:
    """Where a tag would be drawn, as words."""
    wrong = []
    for widget in [window, *window.findChildren(QWidget)]:
        who = f"{type(widget).__name__} {widget.objectName()}"
        if drawn(widget.toolTip()) or drawn(widget.whatsThis()):
            wrong.append(f"tooltip of {who}")
        rich = isinstance(widget, QLabel) and widget.textFormat() != Qt.TextFormat.PlainText
        if rich and drawn(widget.text()):
            wrong.append(f"{who}: {widget.text()[:60]}")
        if isinstance(widget, QMessageBox) and widget.textFormat() != Qt.TextFormat.PlainText:
            wrong.append(who)
        if isinstance(widget, QTextEdit) and "qqq" in widget.toPlainText().replace("<b>qqq", ""):
            wrong.append(who)
        if isinstance(widget, QAbstractItemView):
            wrong += [
                f"tooltip in {who}"
                for index in cells(widget)
                if drawn(str(index.data(Qt.ItemDataRole.ToolTipRole) or ""))
            ][:1]
    wrong += [
        f"tooltip of action {action.objectName()}"
        for action in window.actions()
        if drawn(action.toolTip())
    ]
    return sorted(set(wrong))


def test_the_look_finds_a_tag_that_would_be_drawn(qtbot: Any) -> None:
    label = QLabel(TAG)
    qtbot.addWidget(label)
    label.setToolTip(TAG)
    assert len(found(label)) == 2
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setToolTip("")
    assert found(label) == []


@pytest.mark.parametrize("pane", ["panel", "details", "shelf", "findings", "parked"])
def test_in_every_part_of_the_window(window: MainWindow, pane: str) -> None:
    window.focus_pane(pane)
    settle()
    assert found(window) == []


@pytest.mark.parametrize("kind", ["slot", "accessory", "tap", "feed", "battery", "vehicle"])
def test_in_every_form(window: MainWindow, kind: str) -> None:
    vehicle = window.document.vehicle
    parts = {
        "slot": [slot.id for panel in vehicle.panels for slot in panel.slots[:8]],
        "accessory": [one.id for one in vehicle.accessories],
        "tap": [one.id for one in vehicle.taps],
        "feed": [one.id for one in vehicle.feeds],
    }
    for part in parts.get(kind, [""]):
        window.document.select(kind, part)  # type: ignore[arg-type]
        settle()
        assert found(window) == []
        assert window.work is not None
        window.work.show_more()
        settle()
        assert found(window) == [], "in full"
        window.work.go_back()


@pytest.mark.parametrize("page", ["parking", "rules", "feed", "battery"])
def test_on_every_page(window: MainWindow, page: str) -> None:
    window.show_page(page)
    settle()
    assert found(window) == []


def test_in_messages_questions_and_steps(window: MainWindow, hostile: Vehicle) -> None:
    document = window.document
    document.apply(f"Rename {TAG}", lambda v: files.parse(files.render(hostile)))
    slot = hostile.panels[0].slots[0].id
    from fusemap.vehicle import edits

    document.apply(f"Rename {TAG}", edits.change_slot, slot, note="other")
    window.close()
    settle()
    assert found(window) == []
