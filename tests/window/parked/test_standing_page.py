"""The page of the standing vehicle as a whole: its parts, its forms, its keys, its room."""

from itertools import pairwise
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QToolButton,
    QWidget,
)

from fusemap.assess.parked.figures import ParkedFigures
from fusemap.errors import InputProblem
from fusemap.files.demos import read_demo
from fusemap.vehicle import Drive, SecondBattery, VoltageCutOff, edits
from fusemap.window.document import Selection
from fusemap.window.main_window import MainWindow
from fusemap.window.parked.fitted_list import MORE
from fusemap.window.parked.parked_view import ParkedView
from tests.window.parked.standing_hands import fitted, on_second, page_of, plain, settle, tick, van


@pytest.fixture
def shown(qtbot: Any) -> ParkedView:
    return page_of(van(), qtbot)


@pytest.fixture
def estate(qtbot: Any) -> ParkedView:
    return page_of(fitted(), qtbot)


def press(page: QWidget, qtbot: Any, name: str) -> None:
    button = page.findChild(QPushButton, name)
    assert isinstance(button, QPushButton)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def said(page: QWidget, name: str) -> str:
    label = page.findChild(QLabel, name)
    assert isinstance(label, QLabel)
    return plain(label.text())


# --- the answer ---------------------------------------------------------------------------------


def test_the_answer_is_the_first_thing_and_the_largest(shown: ParkedView) -> None:
    assert shown.headline.text().startswith("Starts for ")
    labels = [each for each in shown.findChildren(QLabel) if each.isVisible() and each.text()]
    tops = {each: each.mapTo(shown, QPoint()).y() for each in labels}
    assert tops[shown.headline] == min(tops.values())
    assert shown.headline.font().pointSizeF() == max(each.font().pointSizeF() for each in labels)


def test_the_chart_is_described_by_the_answer_and_the_verdict(shown: ParkedView) -> None:
    words = f"{shown.headline.text()} {shown.verdict.text()}"
    assert shown.chart.accessibleDescription() == words


def test_an_edit_redraws_and_undo_brings_the_answer_back(shown: ParkedView, qtbot: Any) -> None:
    before = shown.headline.text()
    shown.document.apply("Less", edits.change_accessory, "accessory-1", amperes=0.05)
    settle(shown, qtbot)
    assert shown.headline.text() != before
    shown.document.stack.undo()
    settle(shown, qtbot)
    assert shown.headline.text() == before


def test_another_plan_asks_for_another_verdict(shown: ParkedView, qtbot: Any) -> None:
    shown.document.apply("Short", edits.change_parking, stand_days=1.0)
    settle(shown, qtbot)
    assert shown.verdict.text() == "It stands 24 hours, as planned."
    shown.document.apply("Long", edits.change_parking, stand_days=50.0)
    settle(shown, qtbot)
    assert shown.verdict.text() == "It will not stand 50 days, as planned."


def test_what_keeps_the_forecast_from_being_made_is_said(shown: ParkedView, qtbot: Any) -> None:
    class Broken:
        @property
        def parked(self) -> ParkedFigures:
            raise InputProblem("no capacity known", "battery", "enter it")

    shown.document._assess = lambda vehicle: Broken()  # type: ignore[assignment,return-value]
    shown.document.apply("Name", edits.change_vehicle, name="Bus")
    qtbot.waitUntil(lambda: "•" not in shown.headline.text())
    assert shown.headline.text() == "battery: no capacity known (enter it)"
    assert shown.verdict.text() == "Cannot say."
    assert not shown.chart.isVisible()
    assert not shown.side.isVisible()
    shown.save("png")


def test_how_it_ends_is_said_in_volts_where_the_engine_is_known(
    estate: ParkedView, qtbot: Any
) -> None:
    known = edits.change_parking(estate.document.vehicle, engine_fuel="petrol", engine_l=1.2)
    estate.document.apply("Known", lambda vehicle: known)
    settle(estate, qtbot)
    assert "the starter would get" in said(estate, "parkedMore")


# --- what would make it surer -------------------------------------------------------------------


def test_what_would_make_it_surer_stands_largest_first_and_leads_there(qtbot: Any) -> None:
    unknown = edits.change_parking(fitted(), engine_fuel="unknown", engine_l=None)
    estate = page_of(unknown, qtbot)
    shares = [each.share for each in estate.main.surer.shown]
    assert shares == sorted(shares, reverse=True)
    assert len(shares) == 3
    assert said(estate, "surer0_share") == f"{shares[0] * 100:.0f} %"
    button = estate.findChild(QPushButton, "surer0")
    assert button.accessibleName() == "One start, followed with a meter"
    assert "which engine it has" in button.accessibleDescription()
    with qtbot.waitSignal(estate.probe_wanted) as told_of:
        press(estate, qtbot, "surer0")
    assert told_of.args == ["start", "", ""]
    known = edits.change_parking(estate.document.vehicle, engine_fuel="petrol", engine_l=1.2)
    estate.document.apply("Known", lambda vehicle: known)
    settle(estate, qtbot)
    told = said(estate, "parkedSurer") if estate.findChild(QLabel, "parkedSurer") else ""
    assert "which engine" not in told + "".join(
        said(estate, f"surer{n}_more") for n in range(len(estate.main.surer.shown))
    )


def test_a_reading_at_a_slot_is_taken_in_probe(estate: ParkedView, qtbot: Any) -> None:
    place = next(n for n, each in enumerate(estate.main.surer.shown) if each.kind == "probe")
    with qtbot.waitSignal(estate.probe_wanted) as told:
        press(estate, qtbot, f"surer{place}")
    kind, slot, state = told.args
    assert (kind, state) == ("slot", "asleep")
    assert slot == estate.main.surer.shown[place].id


def test_while_it_is_reckoned_what_to_do_stays_and_figures_go(estate: ParkedView) -> None:
    estate.document.apply("Less", edits.change_parking, rest_current_a=0.05)
    assert said(estate, "surer0_share") == "•••"
    assert estate.findChild(QPushButton, "surer0").isVisible()
    assert said(estate, "parkedAfter") == "•••"
    assert estate.draws.list.count() == 0


# --- what draws ---------------------------------------------------------------------------------


def test_what_draws_stands_largest_first_with_both_ends(shown: ParkedView) -> None:
    rows = [plain(shown.draws.list.item(n).text()) for n in range(shown.draws.list.count())]
    assert [row.partition(",")[0] for row in rows] == [
        "Camera",
        "Other circuits" if "Other circuits" in rows[1] else "Vehicle itself",
        "Vehicle still awake",
        "Battery's self-discharge",
        "Wake-ups that nobody logged",
    ]
    assert "180–220 mA" in rows[0]
    assert "0–20 mA" in rows[-1]
    shares = [float(row[-1]) for row in shown.draws.rows()]
    assert sum(shares) == pytest.approx(1.0, abs=0.001)


def test_enter_on_a_consumer_goes_to_its_accessory(shown: ParkedView, qtbot: Any) -> None:
    rows = shown.draws.list
    rows.setFocus()
    rows.setCurrentRow(0)
    with qtbot.waitSignal(shown.go_wanted) as told:
        qtbot.keyClick(rows, Qt.Key.Key_Return)
    assert told.args == ["accessory", "accessory-1"]
    assert shown.document.selection == Selection("accessory", "accessory-1")


def test_a_circuit_leads_to_its_slot_and_the_rest_to_the_form(
    estate: ParkedView, qtbot: Any
) -> None:
    rows = estate.draws.list
    more = rows.row_of(MORE)
    assert more is not None
    rows.itemActivated.emit(more)
    names = [rows.item(n).text().partition(",")[0] for n in range(rows.count())]
    rows.itemActivated.emit(rows.item(names.index("Instrument cluster")))
    assert estate.document.selection == Selection("slot", "dash-f1")
    rows.itemActivated.emit(rows.item(names.index("Unexplained remainder")))
    assert estate.sheet.showing == "parking"
    field = estate.findChild(QLineEdit, "parking_rest_current_a")
    qtbot.waitUntil(field.hasFocus)


# --- what it rests on ---------------------------------------------------------------------------


def test_the_foot_says_the_facts_and_opens_their_forms(shown: ParkedView, qtbot: Any) -> None:
    assert plain(shown.foot.battery.words()) == (
        "Battery: 70 Ah, flooded, rest voltage not measured, 90 % charged."
    )
    assert plain(shown.foot.parking.words()) == "Parked: 25 °C, 5 days planned."
    press(shown, qtbot, "parkedFacts_parking")
    assert shown.sheet.showing == "parking"
    assert not shown.draws.isVisible()
    press(shown, qtbot, "parkedSheetDone")
    assert shown.sheet.showing == ""
    assert shown.draws.isVisible()
    assert shown.foot.battery.hasFocus()


def test_typing_days_in_the_form_moves_the_answer_beside_it(shown: ParkedView, qtbot: Any) -> None:
    press(shown, qtbot, "parkedFacts_parking")
    field = shown.findChild(QLineEdit, "parking_stand_days")
    qtbot.waitUntil(field.isVisible)
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "40")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    settle(shown, qtbot)
    assert shown.verdict.text() == "It will not stand 40 days, as planned."
    assert field.isVisible()


def test_escape_closes_the_form(shown: ParkedView, qtbot: Any) -> None:
    press(shown, qtbot, "parkedFacts_battery")
    qtbot.keyClick(shown.sheet.done, Qt.Key.Key_Escape)
    assert shown.sheet.showing == ""
    press(shown, qtbot, "parkedFacts_battery")
    field = shown.findChild(QLineEdit, "battery_capacity_ah")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert shown.sheet.showing == ""


def test_how_it_is_reckoned_lists_assumptions_doubts_and_the_course(
    shown: ParkedView, qtbot: Any
) -> None:
    press(shown, qtbot, "parkedReckoned")
    assert "of ten" in said(shown, "parkedCaveat")
    told = said(shown, "parkedAssumed")
    assert told.startswith("Assumed:")
    doubts = told.partition("What makes it uncertain:\n")[2].splitlines()
    assert any("What a start needs, the engine not known" in line for line in doubts)
    shares = [
        int(line.rpartition(": ")[2].partition(" ")[0]) for line in doubts if "%" in line[-16:]
    ]
    assert len(shares) >= 2
    assert shares == sorted(shares, reverse=True)
    table = shown.findChild(QTableWidget, "parkedCourse")
    assert table.rowCount() >= 8
    assert plain(table.item(0, 0).text()).startswith("0 minutes\nFri 13 Nov 2026")
    assert table.verticalScrollBar().maximum() == 0
    assert table.accessibleName()


def test_the_week_is_told_where_drives_were_entered(estate: ParkedView, qtbot: Any) -> None:
    press(estate, qtbot, "parkedReckoned")
    week = estate.findChild(QLabel, "parkedWeek")
    assert not week.isVisible()
    drive = Drive(start_h=8.0, minutes=40.0)
    estate.document.apply("Drive", edits.change_parking, drives=(drive,))
    settle(estate, qtbot)
    assert week.isVisible()
    assert "charge settles at" in week.text()
    assert "from memory, unverified" in week.text()


def test_drives_that_overlap_are_said_instead_of_a_week(estate: ParkedView, qtbot: Any) -> None:
    press(estate, qtbot, "parkedReckoned")
    twice = (Drive(start_h=8.0, minutes=60.0), Drive(start_h=8.5, minutes=10.0))
    estate.document.apply("Drives", edits.change_parking, drives=twice)
    settle(estate, qtbot)
    assert "cannot be reckoned" in said(estate, "parkedWeek")
    assert estate.chart.isVisible()


def test_a_second_battery_is_told_by_itself(estate: ParkedView, qtbot: Any) -> None:
    second = estate.main.second
    assert not second.isVisible()
    battery = SecondBattery(capacity_ah=40.0)
    estate.document.apply("Second", edits.set_second_battery, battery)
    settle(estate, qtbot)
    assert second.text() == "Nothing hangs on the second battery while parked."
    press(estate, qtbot, "parkedReckoned")
    assert "Assumed of the second battery:" in said(estate, "parkedSecond")
    early = VoltageCutOff(off_v=12.3, on_v=12.8)
    estate.document.apply("Early", edits.change_accessory, "accessory-camera", cut_off=early)
    estate.document.apply("Hang", on_second, "accessory-camera")
    settle(estate, qtbot)
    assert "The second battery lasts longer than" in second.text()
    assert "A cut-off switches off there after" in second.text()
    estate.document.apply("No cut-off", edits.change_accessory, "accessory-camera", cut_off=None)
    settle(estate, qtbot)
    assert "The second battery is empty after" in second.text()
    assert "It takes harm from" in second.text()


# --- keys ---------------------------------------------------------------------------------------


def test_tab_goes_through_the_page_in_the_order_of_reading(estate: ParkedView, qtbot: Any) -> None:
    estate.activateWindow()
    first = estate.findChild(QToolButton, "parkedZoom_day")
    first.setFocus()
    stops: list[QWidget] = []
    for _ in range(20):
        here = QApplication.focusWidget()
        assert here is not None
        if here in stops:
            break
        stops.append(here)
        qtbot.keyClick(here, Qt.Key.Key_Tab)
    names = [each.objectName() for each in stops]
    order = ["parkedZoom_day", "parkedChart", "surer0", "surer1", "surer2", "parkedConsumers"]
    order += ["whatIfList", "parkedFacts_battery", "parkedFacts_parking", "parkedReckoned"]
    assert [name for name in names if name in order] == order


def test_every_control_has_a_name(estate: ParkedView) -> None:
    for button in (*estate.findChildren(QToolButton), *estate.findChildren(QPushButton)):
        if button.isVisible():
            assert button.text() or button.accessibleName(), button.objectName()
    for each in (estate.chart, estate.draws.list, estate.what_if.list):
        assert each.accessibleName()


# --- room ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(1366, 640), (1280, 592), (2560, 1300), (900, 640), (620, 900)])
@pytest.mark.parametrize("demo", ["family_estate", "small_old_car", "light_truck"])
def test_no_words_are_cut_and_no_parts_lie_on_one_another(
    qtbot: Any, size: tuple[int, int], demo: str
) -> None:
    view = page_of(read_demo(demo), qtbot, size)
    qtbot.wait(30)
    for label in view.findChildren(QLabel):
        if label.isVisible() and label.text() and label.wordWrap():
            assert label.height() >= label.heightForWidth(label.width()), label.objectName()
            assert label.width() <= view.width()
    parts = [view.headline, view.chart, view.main.surer]
    boxes = [(each.mapTo(view, QPoint()).y(), each.height()) for each in parts]
    assert all(top + high <= below for (top, high), (below, _) in pairwise(boxes))
    for rows in (view.draws.list, view.what_if.list):
        assert rows.verticalScrollBar().maximum() == 0
        assert rows.height() == sum(rows.sizeHintForRow(n) for n in range(rows.count()))
    assert view.area.horizontalScrollBar().maximum() == 0


@pytest.mark.parametrize("size", [(1366, 640), (1280, 592)])
def test_on_a_small_laptop_the_page_needs_no_scrolling(qtbot: Any, size: tuple[int, int]) -> None:
    view = page_of(read_demo("family_estate"), qtbot, size)
    for start in ("Cool box: off", "Charge it"):
        tick(view, qtbot, start)
    assert view.area.verticalScrollBar().maximum() == 0
    for part in (view.headline, view.chart, view.main.surer, view.draws, view.take, view.foot):
        assert part.visibleRegion().boundingRect().size() == part.size(), part.objectName()


@pytest.mark.parametrize("size", [(1280, 720), (1366, 768), (1100, 700)])
def test_it_opens_at_the_top_with_its_headline_whole(
    window: MainWindow, qtbot: Any, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.files.open_demo("")
    window.focus_pane("parked")
    assert window.work is not None
    view = window.work.parked
    settle(view, qtbot)
    assert view.area.verticalScrollBar().value() == 0
    assert view.headline.height() >= view.headline.heightForWidth(view.headline.width())
    side = view.area.verticalScrollBar()
    side.setValue(side.maximum())
    window.focus_pane("shelf")
    window.focus_pane("parked")
    qtbot.wait(20)
    assert side.value() == 0
