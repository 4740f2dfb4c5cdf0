"""A drag is let go by the button that began it; any other button gives it up, as Escape does.

Qt's offscreen platform has no drags: here an event loop stands for one.
"""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QEventLoop, QPoint, Qt, QTimer
from PySide6.QtGui import QContextMenuEvent, QDrag, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.window.document import Document
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.parts import drag_out
from fusemap.window.parts.drag_out import carry
from fusemap.window.style.theme import LIGHT

Button = Qt.MouseButton
AT = QPoint(20, 20)


class Under(QWidget):
    """What is dragged over: it notes what reaches it of the mouse."""

    def __init__(self) -> None:
        super().__init__()
        self.told: list[str] = []

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.told.append(f"{event.button().name} pressed")

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.told.append("menu")


@pytest.fixture
def under(qtbot: Any) -> Under:
    made = Under()
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def given_up(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """How often a drag was given up; one lasts until then, or a tenth of a second."""
    told: list[bool] = []
    loop = QEventLoop()

    def exec_(drag: QDrag, action: Qt.DropAction) -> Qt.DropAction:
        QTimer.singleShot(100, loop.quit)
        loop.exec()
        return Qt.DropAction.IgnoreAction

    def cancel() -> None:
        told.append(True)
        loop.quit()

    monkeypatch.setattr(QDrag, "exec", exec_)
    monkeypatch.setattr(drag_out.QDrag, "cancel", staticmethod(cancel))
    return told


def carried(under: QWidget, meanwhile: Callable[[], object]) -> None:
    QTimer.singleShot(20, under, meanwhile)
    carry(QDrag(under), Qt.DropAction.MoveAction)


@pytest.mark.parametrize("by", [Button.RightButton, Qt.Key.Key_Escape])
def test_while_it_ends_who_is_below_can_tell_that_it_was_given_up(
    under: Under, given_up: list[bool], by: Any
) -> None:
    handle, told = under.windowHandle(), []

    def meanwhile() -> None:
        told.append(drag_out.is_given_up())
        if by == Button.RightButton:
            QTest.mousePress(handle, by, pos=AT)
        else:
            QTest.keyClick(handle, by)
        told.append(drag_out.is_given_up())

    carried(under, meanwhile)
    assert told == [False, True]
    assert not drag_out.is_given_up()


@pytest.mark.parametrize("button", [Button.RightButton, Button.MiddleButton])
def test_another_button_gives_the_drag_up_and_does_nothing_else(
    under: Under, given_up: list[bool], button: Qt.MouseButton
) -> None:
    handle = under.windowHandle()
    carried(under, lambda: QTest.mousePress(handle, button, pos=AT))
    assert given_up == [True]
    assert under.told == []


def test_the_button_that_drags_gives_nothing_up(under: Under, given_up: list[bool]) -> None:
    handle = under.windowHandle()
    carried(under, lambda: QTest.mouseRelease(handle, Button.LeftButton, pos=AT))
    assert given_up == []


def test_after_the_drag_the_buttons_are_what_they_were(under: Under, given_up: list[bool]) -> None:
    carried(under, lambda: None)
    QTest.mousePress(under.windowHandle(), Button.RightButton, pos=AT)
    assert given_up == []
    assert "RightButton pressed" in under.told


def test_given_up_over_a_slot_that_cannot_take_it_nothing_is_said(
    document: Document, qtbot: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = PanelView(document, LIGHT, "panel-1")
    qtbot.addWidget(view)
    view.show()
    assert view.placing.begin(Payload(accessory="accessory-2"))
    refused = next(
        slot.id for slot in document.vehicle.panels[0].slots if view.placing.refusal_words(slot.id)
    )
    view.drags.aim(view.panel_model.index_of(refused))
    monkeypatch.setattr(
        "fusemap.window.panel.panel_drags.QCursor.pos",
        lambda: view.viewport().mapToGlobal(QPoint(5, 5)),
    )
    told: list[object] = []
    document.refused.connect(told.append)
    QApplication.instance().setProperty(drag_out.GIVEN_UP, True)
    view.drags.leave()
    QApplication.instance().setProperty(drag_out.GIVEN_UP, False)
    assert told == []
    assert view.placing.waiting is None
