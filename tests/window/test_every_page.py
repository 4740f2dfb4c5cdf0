"""Every page by program, in all languages: what a look at it would find wrong.

The suite looks at a sample: each language once, at another size, font and theme. With FUSEMAP_LOOKS
set all sizes and fonts are looked at, as `tests/bench/bench_looks.py` does by hand.
"""

import importlib
import os
import pkgutil
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QPushButton,
    QSpinBox,
    QTableWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

import fusemap.window
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.parts.number_box import with_air
from fusemap.window.settings import Settings
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import LIGHT, apply_theme
from fusemap.window.texts.languages import LANGUAGES, speak
from tests.window import all_pages, looked_at
from tests.window.looks import SIZES, Case, faults_of

SAMPLE = (
    Case("de", 1.0, "light", (1280, 720)),
    Case("en", 1.0, "dark", (2560, 1440)),
    Case("fr", 1.0, "light", (1366, 768)),
    Case("es", 2.0, "dark", (1440, 900)),
    Case("nl", 2.0, "light", (1280, 720)),
)
WHOLE = tuple(
    Case(code, font, "dark" if number % 2 else "light", size)
    for number, code in enumerate(LANGUAGES)
    for font in (1.0, 2.0)
    for size in SIZES
)
CASES = WHOLE if os.environ.get("FUSEMAP_LOOKS") else SAMPLE


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: Any) -> Iterator[None]:
    font = QFont(qapp.font())
    yield
    qapp.setFont(font)
    speak("en")
    apply_theme(qapp, "light")


@pytest.mark.parametrize("case", CASES, ids=str)
def test_nothing_is_wrong_with_any_page(qtbot: Any, qapp: Any, case: Case) -> None:
    window = opened(qtbot, qapp, case)
    pages, shown = 0, set()
    found: dict[str, str] = {}
    for name, page in all_pages.every_page(window):
        pages += 1
        for fault in faults_of(page):
            found.setdefault(fault, name)
        shown |= {type(each) for each in (page, *looked_at.seen(page))}
    assert pages > 200
    assert found == {}, "\n".join(f"{page}: {fault}" for fault, page in found.items())
    if case.size == SIZES[-1]:
        assert never_shown(shown) == []


def opened(qtbot: Any, qapp: Any, case: Case) -> MainWindow:
    """A window with the demo vehicle that has most in it."""
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * case.font)
    qapp.setFont(font)
    settings = Settings()
    settings.kept.language = case.language
    settings.kept.theme = case.theme
    window = MainWindow(Document(), settings)
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*case.size)
    window.show()
    window.files.open_demo("")
    return window


# --- all of them ----------------------------------------------------------------------------------


def never_shown(shown: set[type]) -> list[str]:
    """The window's own kinds of widgets that no page has shown; what others are made of is theirs.

    Where something new is missing here, a page of `all_pages.py` or `more_pages.py` has to open it.
    """
    for module in pkgutil.walk_packages(fusemap.window.__path__, "fusemap.window."):
        importlib.import_module(module.name)
    made = {each for each in _kinds(QWidget) if each.__module__.startswith("fusemap.window")}
    return sorted(
        f"{each.__module__}.{each.__name__}"
        for each in made
        if each not in shown and not each.__subclasses__()
    )


def _kinds(base: type) -> Iterator[type]:
    for each in base.__subclasses__():
        yield each
        yield from _kinds(each)


def test_a_kind_of_widget_that_no_page_opens_is_found(qapp: Any) -> None:
    made = type("Unopened", (QWidget,), {"__module__": "fusemap.window.unopened"})
    assert "fusemap.window.unopened.Unopened" in never_shown(set())
    assert "fusemap.window.unopened.Unopened" not in never_shown({made})


# --- the measures measure -------------------------------------------------------------------------


@pytest.fixture
def page(qtbot: Any) -> QWidget:
    """A page of its own: a label and a button, as they should be."""
    apply_theme(_app(), LIGHT)
    made = QWidget()
    column = QVBoxLayout(made)
    words, button = QLabel("Words to be read"), QPushButton("Go on")
    words.setObjectName("words")
    button.setObjectName("go")
    column.addWidget(words)
    column.addWidget(button)
    qtbot.addWidget(made)
    made.resize(300, 120)
    made.show()
    made.activateWindow()
    qtbot.waitActive(made)
    return made


def _app() -> Any:
    from PySide6.QtWidgets import QApplication

    return QApplication.instance()


def faults(page: QWidget) -> str:
    return "\n".join(faults_of(page))


def test_a_page_as_it_should_be_has_no_fault(page: QWidget) -> None:
    assert faults(page) == ""


def test_faint_words_are_found(page: QWidget) -> None:
    words = page.findChild(QLabel, "words")
    assert words is not None
    words.setStyleSheet("color: #9a9a9a; background: #ffffff;")
    assert "#9a9a9a on #ffffff" in faults(page)
    words.setStyleSheet("color: #767676; background: #ffffff;")  # 4.54:1
    assert faults(page) == ""


def test_words_without_their_room_are_found(page: QWidget) -> None:
    words = page.findChild(QLabel, "words")
    assert words is not None
    words.setMaximumWidth(40)
    assert "Words to be read" in faults(page)


def test_what_is_too_small_or_over_something_else_is_found(page: QWidget) -> None:
    button = page.findChild(QPushButton, "go")
    assert button is not None
    button.setFixedHeight(20)
    over = QLabel("Over it", page)
    over.setGeometry(button.geometry())
    over.show()
    assert "small: QPushButton go" in faults(page)
    assert "over: QPushButton go and QLabel" in faults(page)


def test_a_stop_without_a_name_and_one_that_is_not_seen_are_found(page: QWidget) -> None:
    button = page.findChild(QPushButton, "go")
    assert button is not None
    button.setText("")
    assert "nameless: QPushButton go" in faults(page)
    button.setText("Go on")
    assert list(looked_at.unmarked_stops(page)) == []
    plain = Plain(page)
    plain.setObjectName("plain")
    plain.setGeometry(0, 0, 40, 40)
    plain.show()
    assert "Plain plain" in "\n".join(looked_at.unmarked_stops(page))


class Plain(QWidget):
    """Takes the keyboard, and looks as before."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)


def test_a_row_that_is_lower_than_its_name_is_found(page: QWidget) -> None:
    table = QTableWidget(1, 1, page)
    table.setVerticalHeaderLabels(["Volts [V]"])
    table.setGeometry(0, 0, 300, 120)
    table.show()
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    assert "cell: row" not in faults(page)
    table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
    table.verticalHeader().setMinimumSectionSize(4)
    table.setRowHeight(0, 9)
    assert "cell: row 0 of QTableWidget" in faults(page)


def test_a_figure_at_the_edge_of_its_box_is_found(page: QWidget) -> None:
    box = QSpinBox(page)
    box.setObjectName("rows")
    box.setAccessibleName("Rows")
    box.show()
    assert "edge: QSpinBox rows" in faults(page)
    with_air(box)
    assert "edge" not in faults(page)


def test_what_can_be_pressed_and_looks_like_words_is_found(page: QWidget) -> None:
    button = QToolButton(page)
    button.setObjectName("learn")
    button.setText("Learn")
    button.show()
    assert "plain: QToolButton learn" in faults(page)
    as_link(button)
    assert "plain" not in faults(page)
