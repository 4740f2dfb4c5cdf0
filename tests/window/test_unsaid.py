"""Nothing is left in English on any page of the window in another language.

Every page is shown in German, and every text on it is held against the English of the catalogue:
one that stands there as it is written in the source, though German has other words for it, was
never said. German stands for all; that the languages have the same texts, and that what comes from
below the window is said in all of them, hold `test_catalogues.py` and `test_said_everywhere.py`.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import msgspec
import pytest
from babel.messages.pofile import read_po
from PySide6.QtCore import QAbstractItemModel, QAbstractListModel, QAbstractTableModel, QModelIndex
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QComboBox,
    QGroupBox,
    QLabel,
    QLineEdit,
    QTabBar,
    QTextEdit,
    QWidget,
)

from fusemap.tables.reading import all_tables
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import speak
from tests.said import given_names
from tests.window import all_pages
from tests.window.more_pages import TRADE

ROOT = Path(__file__).resolve().parents[2]
WORD = re.compile(r"[A-Za-z]{4}")
_PLACE = re.compile(r"\{\w+\}")
CALLED_SO = {"Return"}
"""A key that Qt calls so in German, too."""


def unlike_english() -> set[str]:
    """The English of every text without places for which German has other words."""
    with (ROOT / "resources" / "languages" / "de.po").open("rb") as file:
        catalogue = read_po(file)
    return (
        {
            each.id.replace("&", "")
            for each in catalogue
            if isinstance(each.id, str)
            and each.id != each.string
            and WORD.search(each.id)
            and not _PLACE.search(each.id)
        }
        - {each.string for each in catalogue if isinstance(each.string, str)}
        - CALLED_SO
    )


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    yield
    speak("en")


@pytest.mark.parametrize("demo", ["family_estate", "light_truck", "small_old_car"])
def test_no_page_shows_a_text_as_it_is_written_in_the_source(qtbot: Any, demo: str) -> None:
    chosen = Settings()
    chosen.kept.language = "de"
    window = MainWindow(Document(), chosen)
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*all_pages.SIZE)
    window.show()
    window.files.open_demo(demo)
    QGuiApplication.clipboard().clear()  # what lies there is shown where it can be pasted
    english = unlike_english() - set(in_tables())
    found, names = set(), set()
    for name, page in all_pages.every_page(window, more=demo == "family_estate"):
        names.update(typed(window.document.vehicle))  # a page out of sight keeps those before
        if page_is_further(name):
            names.update(each for each in strings_of(window.document.vehicle) if " " in each)
        found.update((name, text) for text in shown_texts(page) if text in english)
    found = {(name, text) for name, text in found if text not in names}
    assert sorted(found) == []


def page_is_further(name: str) -> bool:
    """Whether it shows a vehicle of the trade: its names are in English, some those of tables."""
    return name.split(",")[0] in {each.__name__ for each in TRADE}


def strings_of(vehicle: Vehicle) -> Iterator[str]:
    """Every text that stands in a vehicle."""
    parts: list[Any] = [msgspec.to_builtins(vehicle)]
    while parts:
        part = parts.pop()
        if isinstance(part, str):
            yield part
        elif isinstance(part, dict):
            parts.extend(part.values())
        elif isinstance(part, list | tuple):
            parts.extend(part)


def in_tables() -> Iterator[str]:
    """Keys and titles of documents: in no language, or in their own."""
    for info in all_tables():
        yield from info.sources
        if "key" in info.columns:
            yield from (row[info.columns.index("key")].replace("_", " ") for row in info.rows)


def typed(vehicle: Vehicle) -> Iterator[str]:
    """Every text of a vehicle that is in the language of whoever typed it."""
    yield from given_names(vehicle)
    for each in look_up.slots(vehicle):
        yield from (each.critical_reason, each.note)


def shown_texts(page: QWidget) -> Iterator[str]:
    """Everything that is written on a page, line by line, with what is said to a screen reader."""
    for widget in (page, *page.findChildren(QWidget)):
        for text in _texts_of(widget):
            yield from (line.strip() for line in text.replace("&", "").split("\n") if line.strip())


def _texts_of(widget: QWidget) -> Iterator[str]:
    yield from (widget.toolTip(), widget.accessibleName(), widget.accessibleDescription())
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    elif isinstance(widget, QGroupBox):
        yield widget.title()
    elif isinstance(widget, QComboBox):
        yield from (widget.itemText(row) for row in range(widget.count()))
    elif isinstance(widget, QTabBar):
        yield from (widget.tabText(at) for at in range(widget.count()))
    elif isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    elif isinstance(widget, QTextEdit):
        yield widget.toPlainText()
    elif isinstance(widget, QAbstractItemView) and widget.model() is not None:
        yield from _cells(widget.model())


def _cells(model: QAbstractItemModel, above: QModelIndex | None = None) -> Iterator[str]:
    parent = above or QModelIndex()
    is_list = isinstance(model, QAbstractListModel)
    is_tree = not isinstance(model, QAbstractListModel | QAbstractTableModel)
    for row in range(model.rowCount(parent)):
        for column in range(1 if is_list else model.columnCount(parent)):
            index = model.index(row, column, parent)
            yield str(index.data() or "")
            if column == 0 and is_tree and model.rowCount(index):
                yield from _cells(model, index)
