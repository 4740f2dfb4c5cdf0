"""Every page by program: what is pressed is large enough, and nothing lies over anything else."""

from collections.abc import Iterator
from itertools import combinations
from typing import Any

import pytest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.style.measures import TARGET
from tests.window import all_pages

PRESSED = (QAbstractButton, QComboBox, QLineEdit, QAbstractSpinBox)
"""What is pressed or typed into."""
AIR = 3
"""Borders may touch by so much [px]."""


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768)])
def test_every_target_is_large_enough_and_nothing_lies_over_anything(
    qtbot: Any, size: tuple[int, int]
) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*size)
    window.show()
    window.files.open_demo("")
    small: dict[str, str] = {}
    over: dict[str, str] = {}
    pages = 0
    for name, page in all_pages.every_page(window):
        pages += 1
        for words in too_small(page):
            small.setdefault(words, name)
        for words in overlapping(page):
            over.setdefault(words, name)
    assert pages > 40
    assert small == {}
    assert over == {}


def seen(page: QWidget) -> list[QWidget]:
    return [
        each
        for each in page.findChildren(QWidget)
        if each.isVisible() and each.window() is page.window()
    ]


def too_small(page: QWidget) -> Iterator[str]:
    """What is pressed and less than 28 px high or wide; parts of a field are the field."""
    for each in seen(page):
        if not isinstance(each, PRESSED) or isinstance(each.parentWidget(), PRESSED):
            continue
        if each.objectName().startswith("qt_") or each.visibleRegion().isEmpty():
            continue
        if min(each.width(), each.height()) < TARGET:
            yield f"{type(each).__name__} {each.objectName()} {each.width()} × {each.height()}"


def overlapping(page: QWidget) -> Iterator[str]:
    """Words, fields and buttons of one layout that lie over one another."""
    for around in seen(page):
        if around.layout() is None:
            continue
        inside = [
            each
            for each in around.children()
            if isinstance(each, (QLabel, *PRESSED)) and each.isVisible() and not each.isWindow()
        ]
        for one, other in combinations(inside, 2):
            common = one.geometry() & other.geometry()
            if min(common.width(), common.height()) > AIR:
                yield f"{one.objectName()} and {other.objectName()} in {around.objectName()}"
