"""One walk over every widget of every page: named for screen readers, reached by Tab, told apart
in every way of seeing colour."""

from itertools import combinations
from typing import Any

import numpy as np
import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.vehicle.words import FEED_CLASSES
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.style.colours import THEMES, Theme
from fusemap.window.style.marks import draw_feed_mark, draw_severity
from tests.window.seeing import WAYS_OF_SEEING

PAGES = ("vehicle", "battery", "parking", "feed", "rules")
PANES = ("panel", "details", "shelf", "findings", "parked", "paper", "band", "joint", "compare")

SIZE = 24


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, 900)
    window.show()
    window.activateWindow()
    window.files.open_demo("")
    return window


def stops(window: QWidget) -> list[QWidget]:
    """Everything visible that Tab may stop at."""
    return [
        widget
        for widget in window.findChildren(QWidget)
        if widget.isVisible()
        and widget.isEnabled()
        and widget.window() is window
        and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and widget.focusProxy() is None
    ]


def show_everything(window: MainWindow, qtbot: Any) -> list[str]:
    """The pages one by one; the name of each while it is shown."""
    shown = []
    vehicle = window.document.vehicle
    places = [("slot", vehicle.panels[0].slots[0].id), ("accessory", vehicle.accessories[0].id),
              ("tap", vehicle.taps[0].id), ("panel", vehicle.panels[0].id)]  # fmt: skip
    for page in PAGES:
        shown.append(f"page {page}")
        window.show_page(page)
        qtbot.wait(10)
        yield_names(window, shown[-1])
    for kind, place_id in places:
        shown.append(f"{kind} {place_id}")
        window.document.select(kind, place_id)  # type: ignore[arg-type]
        assert window.work is not None
        window.work.show_more()
        qtbot.wait(10)
        yield_names(window, shown[-1])
    for pane in PANES:
        shown.append(f"pane {pane}")
        window.focus_pane(pane)
        qtbot.wait(10)
        yield_names(window, shown[-1])
    return shown


def yield_names(window: MainWindow, where: str) -> None:
    """Every stop on the page that is shown has a name, its own or its text."""
    nameless = [
        (type(widget).__name__, widget.objectName())
        for widget in stops(window)
        if not (widget.accessibleName() or getattr(widget, "text", str)())
        and not widget.objectName().startswith("qt_")
    ]
    assert nameless == [], where


def test_every_stop_of_every_page_has_a_name(window: MainWindow, qtbot: Any) -> None:
    assert len(show_everything(window, qtbot)) == len(PAGES) + 4 + len(PANES)


@pytest.mark.parametrize("page", PAGES)
def test_tab_reaches_every_stop_of_a_page(window: MainWindow, qtbot: Any, page: str) -> None:
    window.show_page(page)
    qtbot.wait(10)
    work = window.work
    assert work is not None
    wanted = {id(widget) for widget in stops(window) if work.details.isAncestorOf(widget)}
    assert wanted
    window.focus_pane("details")
    seen: set[int] = set()
    for _ in range(4 * len(stops(window))):
        focused = QApplication.focusWidget()
        assert focused is not None
        seen.add(id(focused))
        focused.focusNextChild()  # type: ignore[attr-defined]
    assert wanted <= seen


def test_the_help_the_search_and_the_start_page_are_named(window: MainWindow, qtbot: Any) -> None:
    window.help.show_page("circuit")
    assert window.help.shown is not None
    window.search.open()
    for part in (window.help.shown, window.search):
        assert part.accessibleName()
        for widget in stops(part):
            assert widget.accessibleName() or getattr(widget, "text", str)()
    window.search.close()
    window.show_start()
    yield_names(window, "start")


def test_the_layout_goes_back_to_that_of_the_first_start(window: MainWindow, qtbot: Any) -> None:
    assert window.work is not None
    qtbot.wait(20)
    lid = window.work.lid.split
    first = lid.sizes()
    assert first[0] / sum(first) >= 0.7, "the panel comes first"
    lid.moveSplitter(lid.width() // 2, 1)
    assert lid.sizes() != first
    window.work.keep()
    assert "lid" in window.settings.kept.splitters
    window.actions_.trigger("reset_layout")
    assert window.work is not None
    assert Settings().kept.splitters == {}
    window.resize(1280, 900)
    qtbot.wait(20)
    again = window.work.lid.split.sizes()
    assert again[0] / sum(again) == pytest.approx(first[0] / sum(first), abs=0.1)


# --- ways of seeing colour -----------------------------------------------------------------------


def drawn(kind: str, what: Any, theme: Theme) -> np.ndarray:
    """A mark as linear red, green, blue [(SIZE, SIZE, 3)]."""
    image = QImage(SIZE, SIZE, QImage.Format.Format_RGB888)
    image.fill(theme.colour("base"))
    painter = QPainter(image)
    place = QRectF(1, 1, SIZE - 2, SIZE - 2)
    (draw_severity if kind == "severity" else draw_feed_mark)(painter, place, what, theme)
    painter.end()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(SIZE, image.bytesPerLine())
    share = rows[:, : SIZE * 3].reshape(SIZE, SIZE, 3) / 255.0
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def distance(one: np.ndarray, other: np.ndarray, seeing: np.ndarray) -> float:
    """How far two pictures are apart to somebody who sees so, 0…1."""
    apart = np.abs((one - other) @ seeing.T)
    return float(np.clip(apart, 0, 1).max(axis=2).mean())


@pytest.mark.parametrize("seeing", WAYS_OF_SEEING)
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_marks_are_told_apart_in_every_way_of_seeing(
    qapp: QApplication, theme: Theme, seeing: str
) -> None:
    marks = {("severity", what): drawn("severity", what, theme)
             for what in ("stop", "caution", "note")}  # fmt: skip
    marks |= {("feed", what): drawn("feed", what, theme) for what in FEED_CLASSES}
    for one, other in combinations(marks, 2):
        if one[0] == other[0]:
            apart = distance(marks[one], marks[other], WAYS_OF_SEEING[seeing])
            assert apart > 0.03, (one, other, apart)


def test_the_distance_is_zero_for_what_only_colour_told_apart(qapp: QApplication) -> None:
    one, other = np.zeros((4, 4, 3)), np.zeros((4, 4, 3))
    one[..., 0], other[..., 1] = 0.7152, 0.2126  # a red and a green of one brightness
    assert distance(one, other, WAYS_OF_SEEING["all colours"]) > 0.2
    assert distance(one, other, WAYS_OF_SEEING["no colour"]) == pytest.approx(0.0, abs=1e-9)
