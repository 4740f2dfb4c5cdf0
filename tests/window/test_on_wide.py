"""On a wide screen the standing in small, the other panel and the form stand beside all else."""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QLineEdit, QTabWidget

from fusemap.vehicle import edits, look_up
from fusemap.window.frame.on_wide import FormBelow, WideSide
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.card_places import LEAST_CELL, Places, fitting_small
from fusemap.window.style.letters import LEAST
from tests.window import looked_at


@pytest.fixture
def wide(opened: MainWindow, qtbot: Any) -> MainWindow:
    opened.resize(2560, 1440)
    tap = next(t for t in opened.document.vehicle.taps if t.way_round == "load_side")
    opened.document.select("tap", tap.id)
    qtbot.wait(150)
    return opened


def parts(window: MainWindow) -> tuple[WideSide, FormBelow]:
    side, form = window.work.lid.side, window.work.lid.form
    assert side is not None
    assert form is not None
    return side, form


def test_they_are_not_even_made_where_there_is_no_room(opened: MainWindow, qtbot: Any) -> None:
    assert opened.work.lid.side is None
    opened.resize(2560, 1440)
    qtbot.wait(50)
    side, form = parts(opened)
    assert side.isVisible()
    opened.resize(1366, 768)
    qtbot.wait(50)
    assert not side.isVisible()
    assert not form.isVisible()
    assert opened.work.lid.pane.height() > 400, "the pane has its height again"


def test_the_chart_in_small_is_that_of_the_page(wide: MainWindow, qtbot: Any) -> None:
    side, _ = parts(wide)
    chart = side.standing.chart
    qtbot.waitUntil(lambda: not chart.waiting, timeout=10000)
    assert chart.figures is not None
    assert chart.figures.now.ends_h == (
        wide.document.assessment.band.low_h,
        wide.document.assessment.band.middle_h,
        wide.document.assessment.band.high_h,
    )
    wide.document.apply("Off", edits.unplace, wide.document.vehicle.taps[0].id)
    qtbot.waitUntil(lambda: chart.waiting or chart.figures is None, timeout=1000)
    qtbot.waitUntil(lambda: not chart.waiting, timeout=10000)
    qtbot.mouseClick(side.standing.head.whole, Qt.MouseButton.LeftButton)
    assert wide.work.page == "parked"


def test_the_other_panel_is_the_one_the_large_lid_does_not_show(
    wide: MainWindow, qtbot: Any
) -> None:
    side, _ = parts(wide)
    first, second = (panel.id for panel in wide.document.vehicle.panels)
    assert wide.work.panels.current_page().panel_id == first
    assert side.other.panel_id == second
    view = side.other.view
    assert view is not None
    slot = look_up.panel(wide.document.vehicle, second).slots[0]
    at = view.visualRect(view.panel_model.index_of(slot.id)).center()
    qtbot.mouseClick(view.viewport(), Qt.MouseButton.LeftButton, pos=at)
    qtbot.waitUntil(lambda: side.other.panel_id == first)
    assert wide.work.panels.current_page().panel_id == second
    assert wide.document.selection.id == slot.id


def test_every_slot_of_the_other_panel_is_seen_and_can_be_read(wide: MainWindow) -> None:
    side, _ = parts(wide)
    view = side.other.view
    assert view is not None
    assert not view.verticalScrollBar().isVisible()
    assert not view.horizontalScrollBar().isVisible()
    lid = view.parentWidget()
    assert lid.rect().contains(view.geometry()), "the rim is seen all round"
    font = view.delegate.font(view.font())
    assert font.pixelSize() >= LEAST or QFontMetricsF(font).height() >= LEAST + 1
    for slot in look_up.panel(wide.document.vehicle, side.other.panel_id).slots:
        cell = view.visualRect(view.panel_model.index_of(slot.id))
        assert view.viewport().rect().contains(cell)


def test_nothing_overlaps_on_a_small_card() -> None:
    from PySide6.QtCore import QRectF

    wide, high = LEAST_CELL["small"]
    at = Places.on(QRectF(0, 0, wide * 13, high * 13), 13)
    assert at.shape == "small"
    places = (at.fuse, at.feed, at.head, at.figure)
    for number, one in enumerate(places):
        assert at.card.contains(one)
        assert not any(one.intersects(other) for other in places[number + 1 :])
    for orientation in ("upright", "lying"):
        assert at.fuse.adjusted(-0.1, -0.1, 0.1, 0.1).contains(at.body(orientation))


def test_small_cards_are_not_made_where_they_could_not_be_read(wide: MainWindow) -> None:
    from PySide6.QtCore import QSize

    assert fitting_small(wide.font(), 4, 8, QSize(8 * 30, 400)) is None
    assert fitting_small(wide.font(), 4, 8, QSize(8 * 80, 400)) is not None


def test_the_form_of_what_is_chosen_stands_below_the_pane(wide: MainWindow, qtbot: Any) -> None:
    _, form = parts(wide)
    assert form.isVisible()
    tabs = form.findChild(QTabWidget, "accessoryTabs")
    assert tabs is not None
    assert tabs.currentIndex() == 1, "how it is connected: what one changes here"
    pane = wide.work.lid.pane
    below = form.mapTo(wide, QPoint()).y() - pane.mapTo(wide, QPoint(0, pane.height())).y()
    assert 0 <= below < 40
    assert pane.pane.scroller.verticalScrollBar().maximum() == 0, "nothing of the way is scrolled"
    length = form.findChild(QLineEdit, "tap_length_m") or next(
        each for each in form.findChildren(QLineEdit) if each.text() == "3.5"
    )
    length.setFocus()
    length.selectAll()
    qtbot.keyClicks(length, "4.5")
    qtbot.keyClick(length, Qt.Key.Key_Return)
    tap = look_up.tap(wide.document.vehicle, wide.document.selection.id)
    assert "4.5" in repr(tap)
    wide.document.select("vehicle", "")
    assert not form.isVisible()


def test_with_one_panel_alone_the_form_stands_below_the_chart(
    make_wide: Callable[[str], MainWindow],
) -> None:
    window = make_wide("small_old_car")
    side, form = parts(window)
    if len(window.document.vehicle.panels) > 1:
        pytest.skip("it has another panel")
    assert not side.other.isVisible()
    slot = next(look_up.slots(window.document.vehicle))
    window.document.select("slot", slot.id)
    assert form.isVisible()
    assert side.isAncestorOf(form)


@pytest.fixture
def make_wide(opened: MainWindow, qtbot: Any) -> Callable[[str], MainWindow]:
    def made(demo: str) -> MainWindow:
        opened.document.stack.setClean()
        opened.files.open_demo(demo)
        opened.resize(2560, 1440)
        qtbot.wait(150)
        return opened

    return made


@pytest.mark.parametrize("size", [(1366, 768), (1440, 900)])
def test_the_pane_is_not_scrolled_where_all_of_it_has_room(
    opened: MainWindow, qtbot: Any, size: tuple[int, int]
) -> None:
    opened.resize(*size)
    tap = next(t for t in opened.document.vehicle.taps if t.way_round == "load_side")
    opened.document.select("tap", tap.id)
    qtbot.wait(150)
    pane = opened.work.lid.pane.pane
    need = pane._need(pane.scroller.viewport().width())
    if need <= pane.scroller.viewport().height():
        assert pane.scroller.verticalScrollBar().maximum() == 0


def test_the_pane_is_whole_while_what_is_in_hand_fits_nowhere(wide: MainWindow, qtbot: Any) -> None:
    """Neither facts nor stations are there then: head and foot alone need their height."""
    vehicle = wide.document.vehicle
    wide.document.select("accessory", vehicle.accessories[0].id)
    qtbot.wait(100)
    wide.work.start_placing({"accessory": vehicle.accessories[-1].id})
    qtbot.wait(200)
    pane = wide.work.lid.pane.pane
    assert wide.work.lid.form is not None
    assert wide.work.lid.form.isVisible(), "it stands below, and takes what the pane leaves"
    assert pane.ways.heading.text()
    assert list(looked_at.clipped(pane)) == []
    assert list(looked_at.cut_off(pane)) == []
