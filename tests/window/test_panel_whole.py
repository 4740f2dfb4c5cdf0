"""The panel seen whole: every card inside its view at every size of the window, by program."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit

from fusemap.files import demos
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.card_places import FITTED, MODEST, least_zoom
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.panel.slot_paint import SlotPainter
from fusemap.window.settings import Settings
from fusemap.window.style.theme import LIGHT
from fusemap.window.texts.languages import LANGUAGES

SIZES = [(1280, 720), (1366, 768), (1440, 900), (2560, 1440)]
Key = Qt.Key


@pytest.fixture(autouse=True)
def _font_afterwards(qapp: QApplication) -> Iterator[None]:
    font = QFont(qapp.font())
    yield
    qapp.setFont(font)


def in_font(qapp: QApplication, times: float) -> None:
    font = QFont(qapp.font())
    font.setPointSizeF(font.pointSizeF() * times)
    qapp.setFont(font)


def of(rows: int, columns: int) -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Dash", rows, columns)


def opened(qtbot: Any, vehicle: Vehicle) -> MainWindow:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*SIZES[0])
    window.show()
    window.document.set_vehicle(vehicle)
    window.show_work()
    qtbot.wait(30)
    return window


def shown(window: MainWindow) -> PanelView:
    assert window.work is not None
    view = window.work.panels.current_view()
    assert view is not None
    return view


def seen_whole(view: PanelView) -> bool:
    """Whether every card lies in what is seen of the panel."""
    model, room = view.model(), view.viewport().rect()
    corners = [
        view.visualRect(model.index(row, column))
        for row in (0, model.rowCount() - 1)
        for column in (0, model.columnCount() - 1)
    ]
    whole = QRect()
    for corner in corners:
        whole = whole.united(corner)
    return room.contains(whole) and not (
        view.verticalScrollBar().isVisible() or view.horizontalScrollBar().isVisible()
    )


@pytest.mark.parametrize(
    ("grid", "times"),
    [((4, 8), 1.0), ((4, 8), 2.0), ((12, 5), 1.0), ((7, 6), 1.0)],
    ids=["4x8", "4x8, font twice", "12x5", "7x6"],
)
def test_a_panel_is_whole_in_its_share_of_every_window(
    qapp: QApplication, qtbot: Any, grid: tuple[int, int], times: float
) -> None:
    """73 % of the width below rail and verdict, above the shelf; in a large font all of it."""
    in_font(qapp, times)
    pages = PanelPages(Document(of(*grid)), LIGHT)
    qtbot.addWidget(pages)
    pages.show()
    view = pages.current_view()
    assert view is not None
    for wide, high in SIZES:
        around = 172 if times == 1.0 else 172 * times - 60
        pages.resize(round(wide * (0.73 if times == 1.0 else 0.98)), round(high - around))
        qtbot.wait(20)
        assert seen_whole(view), ((wide, high), view.zoom)
        assert least_zoom(view.font()) <= view.zoom <= FITTED[1]
        assert view.viewport().width() >= pages.width() * 0.77, "the rest is strip and rim"


def test_two_rows_are_seen_whole_of_a_panel_that_is_too_high_for_a_large_font(
    qapp: QApplication, qtbot: Any
) -> None:
    in_font(qapp, 2.0)
    pages = PanelPages(Document(of(20, 6)), LIGHT)
    qtbot.addWidget(pages)
    pages.resize(1330, 400)
    pages.show()
    qtbot.wait(20)
    pages.resize(1330, pages.modest_height())
    view = pages.current_view()
    assert view is not None
    assert view.verticalScrollBar().maximum() > 0
    assert 2 * view.rowHeight(0) <= view.viewport().height()
    assert view.zoom >= MODEST
    in_font(qapp, 1.0)


def test_the_panel_has_two_thirds_of_the_window(qtbot: Any) -> None:
    """On a very wide screen other things have a column beside it: it is larger all the same."""
    window = opened(qtbot, of(4, 8))
    before = 0.0
    for size in SIZES:
        window.resize(*size)
        qtbot.wait(20)
        assert seen_whole(shown(window)), (size, shown(window).zoom)
        assert window.work is not None
        lid, side = window.work.panels, window.work.lid.side
        share = 0.63 if side is None or not side.isVisible() else 0.57
        assert lid.width() >= window.width() * share
        assert shown(window).zoom >= before
        before = shown(window).zoom


@pytest.mark.parametrize("name", [key for key, _ in demos.demo_names()])
def test_the_panels_of_the_demo_vehicles_are_whole(qtbot: Any, name: str) -> None:
    window = opened(qtbot, demos.read_demo(name))
    for size in (SIZES[0], SIZES[2]):
        window.resize(*size)
        assert window.work is not None
        for page in window.work.panels.pages():
            window.work.panels.tabs.setCurrentWidget(page)
            qtbot.wait(20)
            assert seen_whole(page.view), (size, page.panel_id)
            page.turn(1)
            page.mirror()
            qtbot.wait(20)
            rows, columns = page.view.model().rowCount(), page.view.model().columnCount()
            if rows <= 8:
                assert seen_whole(page.view), (size, page.panel_id, rows, columns)
            page.mirror()
            page.turn(-1)


def test_a_panel_of_one_long_row_is_scrolled_one_way_alone(qtbot: Any) -> None:
    window = opened(qtbot, of(1, 40))
    view = shown(window)
    assert view.zoom == 1.0
    assert view.verticalScrollBar().maximum() == 0
    assert view.horizontalScrollBar().maximum() > 0
    view.setFocus()
    QTest.keyClick(view, Key.Key_End)
    last = view.model().index(0, 39)
    assert view.currentIndex() == last
    assert view.viewport().rect().contains(view.visualRect(last))


def test_the_panel_stays_whole_whatever_is_looked_at_below_it(qtbot: Any) -> None:
    """Forms and charts yield: they are scrolled."""
    window = opened(qtbot, demos.read_demo("family_estate"))
    for pane in ("findings", "parked", "band", "shelf"):
        window.focus_pane(pane)
        qtbot.wait(60)
        assert seen_whole(shown(window)), pane


def test_keys_walk_over_the_whole_panel_and_nothing_is_scrolled(qtbot: Any) -> None:
    window = opened(qtbot, of(4, 8))
    view = shown(window)
    view.setFocus()
    view.setCurrentIndex(view.model().index(0, 0))
    before = view.visualRect(view.model().index(0, 0))
    for key, times in ((Key.Key_Right, 7), (Key.Key_Down, 3), (Key.Key_Left, 7), (Key.Key_Up, 3)):
        for _ in range(times):
            QTest.keyClick(view, key)
            assert view.viewport().rect().contains(view.visualRect(view.currentIndex()))
    assert view.visualRect(view.model().index(0, 0)) == before
    QTest.keyClick(view, "1")
    line = view.findChild(QLineEdit, "slotEntry")
    QTest.keyClicks(line, "5 Radio")
    QTest.keyClick(line, Key.Key_Return)
    qtbot.wait(20)
    slot = view.panel_model.slot(view.model().index(0, 0))
    assert slot is not None
    assert slot.fuse is not None
    assert (slot.fuse.rating, slot.circuit) == (15, "Radio")
    assert seen_whole(view)


def test_a_size_that_was_chosen_stays_until_the_panel_is_fitted_again(qtbot: Any) -> None:
    window = opened(qtbot, of(4, 8))
    view = shown(window)
    view.zoom_by(3)
    chosen = view.zoom
    window.resize(*SIZES[2])
    qtbot.wait(20)
    assert view.zoom == chosen
    assert not seen_whole(view)
    view.zoom_whole()
    qtbot.wait(20)
    assert seen_whole(view)


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_circuits_are_named_in_full_on_every_card(
    qtbot: Any, monkeypatch: pytest.MonkeyPatch, code: str
) -> None:
    """In every language, on every demo panel, on a small laptop; accessories' names yield first."""
    cut: set[str] = set()
    write = SlotPainter._text

    def watched(self: SlotPainter, place: QRectF, text: str, font: QFont, role: str) -> None:
        whole = QFontMetricsF(font).elidedText(text, Qt.TextElideMode.ElideRight, place.width())
        if whole != text and role in ("text", "muted_text"):
            cut.add(text)
        write(self, place, text, font, role)

    monkeypatch.setattr(SlotPainter, "_text", watched)
    window = opened(qtbot, of(1, 2))
    window.resize(*SIZES[1])
    for key, _ in demos.demo_names():
        window.document.set_vehicle(demos.read_demo(key, code))
        assert window.work is not None
        for page in window.work.panels.pages():
            window.work.panels.tabs.setCurrentWidget(page)
            qtbot.wait(20)
            page.view.viewport().repaint()
    assert cut == set()
