"""Every page of the window in every language: no word without its room."""

from collections.abc import Iterator, Sequence
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import (
    QAbstractButton,
    QCheckBox,
    QComboBox,
    QGroupBox,
    QLabel,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QStyle,
    QStyleOptionComboBox,
    QTabBar,
    QToolButton,
    QWidget,
)

from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.parts.choice import Choice
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import LANGUAGES, speak
from tests.said import given_names
from tests.window import all_pages

LARGE = 1.5
"""How much larger the large font is."""


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    font = QFont(qapp.font())
    yield
    qapp.setFont(font)
    speak("en")


def opened(qtbot: Any, code: str) -> MainWindow:
    """A window in a language, with the demo vehicle that has most in it."""
    settings = Settings()
    settings.kept.language = code
    window = MainWindow(Document(), settings)
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*all_pages.SIZE)
    window.show()
    window.files.open_demo("")
    return window


@pytest.mark.parametrize("code", LANGUAGES)
def test_no_word_of_any_page_is_clipped(qtbot: Any, code: str) -> None:
    window = opened(qtbot, code)
    assert clipped_anywhere(window) == {}


def test_no_word_of_any_page_is_clipped_in_a_large_font(qtbot: Any, qapp: Any) -> None:
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * LARGE)
    qapp.setFont(font)
    window = opened(qtbot, "de")
    found = clipped_anywhere(window)
    # what does not fit is scrolled to, and a choice ends in dots
    mended = ("QScrollArea", "ChoiceField")
    assert [words for words in found if not words.startswith(mended)] == []


def clipped_anywhere(window: MainWindow) -> dict[str, str]:
    """What is clipped on any page, and the first page where it is."""
    found: dict[str, str] = {}
    for name, page in all_pages.every_page(window):
        names = tuple(filter(None, given_names(window.document.vehicle)))
        for words in clipped(page, names):
            found.setdefault(words, name)
    return found


def clipped(page: QWidget, names: Sequence[str] = ()) -> Iterator[str]:
    """What is shown with less room than its words need.

    A choice may end in dots where somebody's own name, one of `names`, is longer than its place.
    """
    for part in page.findChildren(QWidget):
        if not part.isVisible() or part.window() is not page.window():
            continue
        words = _clipped_part(part)
        own = isinstance(part, Choice) and any(name in words for name in names)
        if words and not own:
            yield f"{type(part).__name__} {part.objectName()} “{words}”"


def _clipped_part(part: QWidget) -> str:
    if isinstance(part, QLabel):
        return _clipped_label(part)
    if isinstance(part, QPushButton | QToolButton | QCheckBox | QRadioButton):
        return _clipped_button(part)
    if isinstance(part, QComboBox):
        return _clipped_choice(part)
    if isinstance(part, QGroupBox):
        needed = part.fontMetrics().horizontalAdvance(part.title())
        return part.title() if needed > part.width() else ""
    if isinstance(part, QTabBar):
        needed = sum(part.tabSizeHint(n).width() for n in range(part.count()))
        return part.tabText(part.count() - 1) if needed > part.width() else ""
    if isinstance(part, QScrollArea):
        return "wider than its place" if part.horizontalScrollBar().maximum() > 0 else ""
    return ""


def _clipped_button(part: QAbstractButton) -> str:
    icon_only = Qt.ToolButtonStyle.ToolButtonIconOnly
    drawn = not part.icon().isNull()
    if drawn and isinstance(part, QToolButton) and part.toolButtonStyle() == icon_only:
        return ""
    least, given = part.minimumSizeHint(), part.size()
    # Qt's hint for a tool button is 3 px more than the box that the style sheet asks for
    high = min(least.height(), part.minimumHeight() or least.height())
    short = given.width() < least.width() or given.height() < high
    return part.text() if part.text() and short else ""


def _clipped_label(part: QLabel) -> str:
    words = part.text()
    if not words or not part.pixmap().isNull():
        return ""
    if part.wordWrap():
        return words if part.height() + 2 < part.heightForWidth(part.width()) else ""
    lines = words.replace("&", "").split("\n")
    needed = max(part.fontMetrics().horizontalAdvance(line) for line in lines)
    return words if "<" not in words and part.width() + 1 < needed else ""


def _clipped_choice(part: QComboBox) -> str:
    option = QStyleOptionComboBox()
    part.initStyleOption(option)
    room = part.style().subControlRect(
        QStyle.ComplexControl.CC_ComboBox,
        option,
        QStyle.SubControl.SC_ComboBoxEditField,
        part,
    )
    needed = QFontMetrics(part.font()).horizontalAdvance(part.currentText())
    return part.currentText() if needed > room.width() + 1 else ""
