"""Where the keyboard goes in a part of the window, and that looking for it leaves all as it is."""

from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QLabel, QLineEdit, QMainWindow, QTabWidget, QVBoxLayout, QWidget
from shiboken6 import isValid

from fusemap.window.parts.home import first_stop


@pytest.fixture
def window(qtbot: Any) -> QMainWindow:
    made = QMainWindow()
    qtbot.addWidget(made)
    made.setCentralWidget(QWidget())
    QVBoxLayout(made.centralWidget())
    return made


def put(window: QMainWindow, part: QWidget) -> None:
    layout = window.centralWidget().layout()
    assert layout is not None
    layout.addWidget(part)


def test_the_menus_stay_when_a_part_goes_that_was_asked(window: QMainWindow) -> None:
    """A part at the end of all stops: the next one after it is the window itself."""
    menu = window.menuBar().addMenu("File")
    assert menu is not None
    inner = menu.addMenu("Recent")
    action = inner.menuAction()
    part = QLabel("nothing to stop at")
    put(window, part)
    assert first_stop(part) is part
    part.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert not isValid(part)
    assert all(isValid(each) for each in (menu, inner, action, window))
    action.setEnabled(False)


def test_tabs_come_before_what_is_in_them(window: QMainWindow) -> None:
    tabs, line = QTabWidget(), QLineEdit()
    tabs.addTab(line, "One")
    put(window, tabs)
    assert first_stop(tabs) is tabs.tabBar()


def test_what_is_hidden_or_cannot_be_used_is_passed_over(window: QMainWindow) -> None:
    part = QWidget()
    column = QVBoxLayout(part)
    hidden, off, there = QLineEdit(), QLineEdit(), QLineEdit()
    for each in (hidden, off, there):
        column.addWidget(each)
    hidden.hide()
    off.setEnabled(False)
    put(window, part)
    assert first_stop(part) is there
