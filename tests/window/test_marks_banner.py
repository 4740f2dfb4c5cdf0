"""Circuit names that look like ones to leave alone: proposed quietly, confirmed or turned down."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication

from fusemap.text import ENGLISH
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.pages.circuits_page import CircuitsPage
from fusemap.window.panel.marks_banner import MarksBanner
from fusemap.window.settings import Settings


@pytest.fixture
def document(van: Vehicle) -> Document:
    document = Document()
    document.set_vehicle(van)
    return document


@pytest.fixture
def banner(document: Document, qtbot: Any) -> MarksBanner:
    banner = MarksBanner(document, ENGLISH)
    qtbot.addWidget(banner)
    banner.resize(900, 60)
    banner.refresh()
    return banner


def typed(document: Document, banner: MarksBanner, slot_id: str, circuit: str, qtbot: Any) -> None:
    """Type a circuit's name, and wait as long as the banner does."""
    document.apply("name", edits.change_slot, slot_id, circuit=circuit)
    qtbot.waitUntil(lambda: not banner.isHidden())


def test_it_is_not_there_when_no_name_proposes_anything(banner: MarksBanner) -> None:
    assert banner.isHidden()


def test_a_typed_name_proposes_a_mark_and_marks_nothing(
    banner: MarksBanner, document: Document, qtbot: Any
) -> None:
    typed(document, banner, "slot-4", "ABS pump", qtbot)
    assert "ABS pump" in banner.words.text()
    assert not look_up.slot(document.vehicle, "slot-4").critical


def test_one_click_marks_all_of_them_as_one_step(
    banner: MarksBanner, document: Document, qtbot: Any
) -> None:
    document.apply("name", edits.change_slot, "slot-2", circuit="Trailer socket")
    typed(document, banner, "slot-4", "ABS pump", qtbot)
    before = document.vehicle
    qtbot.mouseClick(banner.mark_button, Qt.MouseButton.LeftButton)
    assert look_up.slot(document.vehicle, "slot-4").critical
    assert look_up.slot(document.vehicle, "slot-4").critical_reason
    assert look_up.slot(document.vehicle, "slot-2").monitored
    qtbot.waitUntil(banner.isHidden)
    document.stack.undo()
    assert document.vehicle == before


def test_not_now_keeps_it_quiet_until_the_name_changes(
    banner: MarksBanner, document: Document, qtbot: Any
) -> None:
    typed(document, banner, "slot-4", "ABS pump", qtbot)
    qtbot.mouseClick(banner.later_button, Qt.MouseButton.LeftButton)
    assert banner.isHidden()
    document.apply("x", edits.change_slot, "slot-4", note="left")
    banner.refresh()
    assert banner.isHidden()
    document.apply("name", edits.change_slot, "slot-4", circuit="Brakes")
    banner.refresh()
    assert not banner.isHidden()


def test_of_a_vehicle_that_is_opened_only_what_is_critical_is_told(
    banner: MarksBanner, document: Document, van: Vehicle, qtbot: Any
) -> None:
    lamps = edits.change_slot(van, "slot-4", circuit="Headlamp")
    document.set_vehicle(lamps)
    banner.refresh()
    assert banner.isHidden()
    document.set_vehicle(edits.change_slot(lamps, "slot-2", circuit="ABS"))
    banner.refresh()
    assert "ABS" in banner.words.text()
    assert "Headlamp" not in banner.words.text()


def test_it_leads_to_the_list_of_all_circuits(window: MainWindow, qtbot: Any) -> None:
    window.files.open_demo("")
    assert window.work is not None
    window.document.apply("name", edits.change_slot, "dash-f10", circuit="ABS pump")
    banner = window.findChild(MarksBanner)
    assert banner is not None
    qtbot.waitUntil(lambda: not banner.isHidden())
    qtbot.mouseClick(banner.each_button, Qt.MouseButton.LeftButton)
    assert window.work.lid.pane.listing
    page = window.findChild(CircuitsPage)
    assert page is not None
    qtbot.waitUntil(lambda: QApplication.focusWidget() is page.list)


def test_not_now_frees_no_circuit(banner: MarksBanner, document: Document, qtbot: Any) -> None:
    from fusemap.placement import candidates

    typed(document, banner, "slot-4", "ABS pump", qtbot)
    qtbot.mouseClick(banner.later_button, Qt.MouseButton.LeftButton)
    document.apply("add", edits.add_accessory, "Camera", amperes=0.4)
    found = candidates(document.vehicle, document.assessment, document.vehicle.accessories[-1])
    there = next(c for c in found if c.slot_id == "slot-4")
    assert not there.fits
    assert "looks_critical" in there.rules


def test_it_comes_over_the_foot_of_the_lid_and_moves_nothing(
    window: MainWindow, qtbot: Any
) -> None:
    window.files.open_demo("")
    work = window.work
    assert work is not None
    banner, panels = work.banner, work.lid.panels
    qtbot.wait(50)
    banner.dismiss()
    assert banner.isHidden()
    before = [QRect(part.mapTo(window, QPoint(0, 0)), part.size())
              for part in (panels, work.lid.pane, panels.current_view(), work.shelf)]  # fmt: skip
    window.document.apply("name", edits.change_slot, "dash-f10", circuit="ABS pump")
    qtbot.waitUntil(banner.isVisible)
    qtbot.wait(50)
    after = [QRect(part.mapTo(window, QPoint(0, 0)), part.size())
             for part in (panels, work.lid.pane, panels.current_view(), work.shelf)]  # fmt: skip
    assert after == before
    lid = QRect(panels.mapTo(work.lid, QPoint(0, 0)), panels.size())
    assert lid.contains(banner.geometry())
    assert banner.geometry().center().y() > lid.center().y()
    words = banner.words
    assert words.fontMetrics().horizontalAdvance(words.text()) <= words.width()
    window.resize(window.width() + 80, window.height() + 40)
    qtbot.wait(50)
    lid = QRect(panels.mapTo(work.lid, QPoint(0, 0)), panels.size())
    assert lid.contains(banner.geometry()), "it follows the lid"


@pytest.fixture(params=[1, 2])
def letters(request: pytest.FixtureRequest, qapp: QApplication) -> Iterator[int]:
    """How large letters are, in all of the window."""
    before, font = qapp.font(), qapp.font()
    font.setPointSizeF(font.pointSizeF() * request.param)
    qapp.setFont(font)
    yield request.param
    qapp.setFont(before)


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1440, 900)])
def test_it_covers_nothing_of_what_can_be_done(
    letters: int, van: Vehicle, qtbot: Any, size: tuple[int, int]
) -> None:
    """What is said at the lid's foot ends before the banner, and is all there once it is gone."""
    document = Document(edits.change_slot(van, "slot-4", circuit="ABS pump"))
    window = MainWindow(document, Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(*size)
    window.show()
    window.show_work()
    assert window.work is not None
    banner, page = window.work.banner, window.work.panels.pages()[0]
    document.select("slot", "slot-4")
    qtbot.waitUntil(lambda: not banner.isHidden(), timeout=20_000)
    qtbot.waitUntil(lambda: "Type 15" in page.hint.toolTip())
    short = page.hint.text()
    ends = page.hint.mapTo(window.work.lid, QPoint(0, 0)).x()
    ends += page.hint.fontMetrics().horizontalAdvance(short)
    assert not short or ends <= banner.x()
    assert letters == 2 or short.startswith("Type 15 Radio for rating")
    banner.dismiss()
    qtbot.waitUntil(banner.isHidden)
    assert len(page.hint.text()) > len(short)
