"""A row that goes on below where it is narrow: nothing is cut, nothing lies over anything."""

from itertools import pairwise
from typing import Any

import pytest
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from fusemap.window.parts.flow import Flow

WORDS = ("Rear-seat sockets", "Dash camera", "Cool box in the boot", "Horn", "Tracker of the fleet")


@pytest.fixture
def page(qtbot: Any) -> QWidget:
    made = QWidget()
    column = QVBoxLayout(made)
    row = Flow(8)
    for words in WORDS:
        row.add(QPushButton(words))
    column.addWidget(row)
    column.addWidget(QLabel("below"))
    column.addStretch(1)
    qtbot.addWidget(made)
    made.show()
    return made


def buttons(page: QWidget) -> list[QPushButton]:
    return page.findChildren(QPushButton)


@pytest.mark.parametrize("wide", [900, 480, 320, 200])
def test_every_button_is_whole_and_in_order(page: QWidget, wide: int, qtbot: Any) -> None:
    page.resize(wide, 400)
    qtbot.wait(20)
    label = page.findChild(QLabel)
    assert label is not None
    for button in buttons(page):
        assert button.width() >= button.minimumSizeHint().width()
        assert button.geometry().right() <= page.width()
        assert button.geometry().bottom() < label.y()
    for before, after in pairwise(buttons(page)):
        same = before.y() == after.y()
        assert after.x() > before.geometry().right() if same else after.y() > before.y()


def test_in_a_wide_page_it_is_one_line(page: QWidget, qtbot: Any) -> None:
    page.resize(900, 400)
    qtbot.wait(20)
    assert len({button.y() for button in buttons(page)}) == 1
    page.resize(320, 400)
    qtbot.wait(20)
    assert len({button.y() for button in buttons(page)}) > 2


def test_what_is_hidden_takes_no_room(page: QWidget, qtbot: Any) -> None:
    page.resize(320, 400)
    qtbot.wait(20)
    before = page.findChild(QLabel).y()
    for button in buttons(page)[1:]:
        button.hide()
    qtbot.wait(20)
    assert page.findChild(QLabel).y() < before


def test_what_came_while_it_could_not_be_seen_has_a_place_of_its_own(
    page: QWidget, qtbot: Any
) -> None:
    page.resize(900, 400)
    buttons(page)[1].hide()
    qtbot.wait(20)
    page.hide()
    buttons(page)[1].show()
    page.show()
    qtbot.wait(20)
    for before, after in pairwise(buttons(page)):
        assert after.x() > before.geometry().right()
