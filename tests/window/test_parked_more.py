"""The parked view beyond the curve: what to measure, the week, long time axes, what would help."""

from itertools import pairwise
from math import inf
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QPushButton, QScrollArea, QToolButton

from fusemap.assess.parked.unplaced import not_placed
from fusemap.files.demos import read_demo
from fusemap.text import ENGLISH
from fusemap.vehicle import Drive, SecondBattery, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.parked.chart_parts import TimeAxis, TimeScale
from fusemap.window.parked.parked_chart import ParkedChart
from fusemap.window.parked.parked_lists import MOST_TICKED
from fusemap.window.parked.parked_view import ParkedView
from fusemap.window.style.theme import LIGHT


def fitted() -> Vehicle:
    """The family estate with what is placed alone: a cool box on the shelf would hide the rest."""
    vehicle = read_demo("family_estate")
    for accessory_id in not_placed(vehicle):
        vehicle = edits.remove_accessory(vehicle, accessory_id)
    return vehicle


@pytest.fixture
def shown(qtbot: Any) -> ParkedView:
    view = ParkedView(Document(fitted()), LIGHT)
    qtbot.addWidget(view)
    view.resize(1300, 800)
    with qtbot.waitExposed(view):
        view.show()
    wait_for_what_if(view, qtbot)
    return view


def wait_for_what_if(view: ParkedView, qtbot: Any) -> None:
    qtbot.waitUntil(lambda: not view._later.isActive() and not view.what_if._next.isActive())


def chart_of(view: ParkedView) -> ParkedChart:
    assert view.chart is not None
    return view.chart


def titles(view: ParkedView) -> list[str]:
    rows = view.what_if.list
    return [rows.topLevelItem(n).text(0) for n in range(rows.topLevelItemCount())]


def row_of(view: ParkedView, start: str) -> Any:
    return view.what_if.list.topLevelItem(
        next(n for n, title in enumerate(titles(view)) if title.startswith(start))
    )


def tick(view: ParkedView, qtbot: Any, start: str) -> None:
    """Tick a row with the space bar."""
    rows = view.what_if.list
    rows.setFocus()
    rows.setCurrentItem(row_of(view, start))
    qtbot.keyClick(rows, Qt.Key.Key_Space)


# --- words --------------------------------------------------------------------------------------


def test_it_says_what_to_measure_next(shown: ParkedView) -> None:
    assert shown.measure.text().startswith("Say which engine it has")
    assert shown.measure.isVisible()
    known = edits.change_parking(shown.document.vehicle, engine_fuel="petrol", engine_l=1.2)
    shown.document.apply("Known", lambda vehicle: known)
    QApplication.processEvents()
    assert not shown.measure.text().startswith("Say which engine")
    assert "the starter would get" in shown.ending.text()


def test_the_week_is_told_where_drives_were_entered(shown: ParkedView) -> None:
    assert not shown.week.isVisible()
    drive = Drive(start_h=8.0, minutes=40.0)
    shown.document.apply("Drive", edits.change_parking, drives=(drive,))
    QApplication.processEvents()
    assert shown.week.isVisible()
    assert "charge settles at" in shown.week.text()
    assert "from memory, unverified" in shown.week.text()


def test_drives_that_overlap_are_said_instead_of_a_week(shown: ParkedView) -> None:
    twice = (Drive(start_h=8.0, minutes=60.0), Drive(start_h=8.5, minutes=10.0))
    shown.document.apply("Drives", edits.change_parking, drives=twice)
    QApplication.processEvents()
    assert "cannot be reckoned" in shown.week.text()
    assert shown.split.isVisible()


def test_a_second_battery_is_told_by_itself(shown: ParkedView) -> None:
    assert not shown.second.isVisible()
    battery = SecondBattery(capacity_ah=40.0)
    shown.document.apply("Second", edits.set_second_battery, battery)
    QApplication.processEvents()
    assert shown.second.text().startswith("Nothing hangs on the second battery while parked.")
    assert "Assumed of the second battery:" in shown.second.text()
    shown.document.apply("Hang", edits.change_accessory, "accessory-camera", battery="second")
    QApplication.processEvents()
    assert "The second battery lasts longer than" in shown.second.text()
    assert "A cut-off switches off there after" in shown.second.text()
    shown.document.apply("No cut-off", edits.change_accessory, "accessory-camera", cut_off=None)
    QApplication.processEvents()
    assert "The second battery is empty after" in shown.second.text()
    assert [each.name for each in chart_of(shown).compared] == ["Second battery"]
    assert "It takes harm from" in shown.second.text()


def test_the_day_from_which_it_takes_harm_is_a_line_of_the_chart(shown: ParkedView) -> None:
    chart = chart_of(shown)
    shown.zoom_to(inf)
    assert chart.series is not None
    assert shown.parked is not None
    (harm,) = (each for each in chart.series.happenings if str(each.words).startswith("Takes harm"))
    assert harm.hours == pytest.approx(shown.parked.hours_to_harm)


# --- the logarithmic axis -----------------------------------------------------------------------


def test_hours_and_months_show_together_on_the_logarithmic_axis(
    shown: ParkedView, qtbot: Any
) -> None:
    chart = chart_of(shown)
    button = shown.findChild(QToolButton, "parkedLog")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert chart.series is not None
    assert chart.shown_h == pytest.approx((0.0, chart.series.end_h))
    hour, day = (chart.charge.vb.mapViewToScene(point(chart, hours)).x() for hours in (1.0, 24.0))
    assert day - hour > chart.charge.vb.width() / 6
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert chart.shown_h[1] == pytest.approx(chart.series.end_h)


def point(chart: ParkedChart, hours: float) -> Any:
    from PySide6.QtCore import QPointF

    return QPointF(float(chart.scale.to_axis(hours)), 50.0)


def test_the_mouse_reads_the_logarithmic_axis_in_hours(shown: ParkedView) -> None:
    chart = chart_of(shown)
    shown.log.click()
    place = chart.charge.vb.mapViewToScene(point(chart, 30.0)).toPoint()
    chart.scene().sigMouseMoved.emit(place)
    assert chart.cursor_h == pytest.approx(30.0, rel=0.03)


@pytest.mark.parametrize("log", [False, True])
def test_labels_never_overlap_whatever_the_axis_and_the_span(shown: ParkedView, log: bool) -> None:
    chart = chart_of(shown)
    shown.log.setChecked(log)
    for hours in (3.0, 24.0, 168.0, 720.0, inf):
        shown.zoom_to(hours)
        chart.grab()  # the plot moves its labels when it is painted
        boxes = [
            label.mapRectToScene(label.boundingRect())
            for _, _, label in chart._labels._shown
            if label.isVisible()
        ]
        clashes = [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.intersects(b)]
        assert not clashes


def test_the_ticks_of_the_logarithmic_axis_are_hours_days_and_weeks(qtbot: Any) -> None:
    scale = TimeScale()
    scale.log = True
    axis = TimeAxis("bottom", scale, ENGLISH)
    ((_, places),) = axis.tickValues(0.0, float(scale.to_axis(1440.0)), 1200.0)
    words = axis.tickStrings(places, 1.0, 1.0)
    assert words[0] == "0"
    assert "1 h" in words
    assert "1 day" in words
    assert any("week" in word for word in words)
    apart = [b - a for a, b in pairwise(places)]
    assert min(apart) / float(scale.to_axis(1440.0)) * 1200 >= axis._label_width() - 1e-6


# --- what would help ----------------------------------------------------------------------------


def test_the_changes_stand_best_first_with_what_they_gain(shown: ParkedView) -> None:
    assert titles(shown)[0].startswith("Mains maintainer")
    assert row_of(shown, "Dash camera: off").text(1) == "15 days"


def test_what_the_changes_gain_stands_in_one_unit(shown: ParkedView) -> None:
    rows = shown.what_if.list
    gains = [rows.topLevelItem(n).text(1).lstrip("> ") for n in range(rows.topLevelItemCount())]
    assert len(gains) > 3
    assert {gain.partition(" ")[2].removesuffix("s") for gain in gains} == {"day"}
    assert all(len(gain.partition(" ")[0].replace(".", "").lstrip("0")) <= 3 for gain in gains)


def test_while_it_is_looking_it_does_not_say_that_nothing_is_known(qtbot: Any) -> None:
    view = ParkedView(Document(read_demo("family_estate")), LIGHT)
    qtbot.addWidget(view)
    told: list[str] = [view.what_if.state.text()]
    view.show()
    qtbot.waitUntil(view.what_if._next.isActive)
    told.append(view.what_if.state.text())
    assert told == ["Looking …", "Looking …"]
    wait_for_what_if(view, qtbot)
    assert view.what_if.state.text() == "Tick to compare the curves."


def test_a_tick_alone_can_be_applied_and_several_are_one_step(
    shown: ParkedView, qtbot: Any
) -> None:
    vehicle = shown.document.vehicle
    shown.what_if.list.setCurrentItem(None)
    button = shown.findChild(QPushButton, "whatIfApply")
    for start in ("Dash camera: off", "Charge it"):
        tick(shown, qtbot, start)
        assert button.isEnabled()
    button.click()
    after = shown.document.vehicle
    assert after.battery.start_soc == 1.0
    camera = next(a for a in after.accessories if a.id == "accessory-camera")
    assert "asleep" not in camera.works_in
    shown.document.stack.undo()
    assert shown.document.vehicle == vehicle


def test_a_ticked_change_is_drawn_beside_the_curve(shown: ParkedView, qtbot: Any) -> None:
    chart = chart_of(shown)
    tick(shown, qtbot, "Dash camera: off")
    assert [each.name for each in chart.compared] == ["Dash camera: off while parked"]
    assert chart._names._names == ["As it is", "Dash camera: off while parked"]
    drawn = chart.compared[0]
    week = float(drawn.charge_percent[drawn.hours <= 168.0][-1])
    assert chart.series is not None
    assert week > float(chart.series.charge_percent[chart.series.hours <= 168.0][-1]) + 10
    tick(shown, qtbot, "Dash camera: off")
    assert chart.compared == ()
    assert chart._names._names == []


def test_the_names_of_the_curves_stand_inside_the_plot(shown: ParkedView, qtbot: Any) -> None:
    chart = chart_of(shown)
    for start in ("Dash camera: off", "Mains", "Charge it"):
        tick(shown, qtbot, start)
    legend = chart._names.mapRectToScene(chart._names.boundingRect())
    assert chart.charge.vb.sceneBoundingRect().contains(legend)


def test_no_more_curves_than_can_be_told_apart(shown: ParkedView, qtbot: Any) -> None:
    for title in titles(shown)[: MOST_TICKED + 1]:
        tick(shown, qtbot, title)
    assert len(chart_of(shown).compared) == MOST_TICKED
    assert "Four curves at most" in shown.what_if.state.text()


def test_apply_does_it_as_a_step_that_can_be_undone(shown: ParkedView, qtbot: Any) -> None:
    before = shown.headline.text()
    vehicle = shown.document.vehicle
    shown.what_if.list.setCurrentItem(row_of(shown, "Dash camera: off"))
    button = shown.findChild(QPushButton, "whatIfApply")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton, pos=QPoint(5, 5))
    wait_for_what_if(shown, qtbot)
    camera = next(a for a in shown.document.vehicle.accessories if a.id == "accessory-camera")
    assert "asleep" not in camera.works_in
    assert shown.headline.text() != before
    assert not any(title.startswith("Dash camera: off") for title in titles(shown))
    assert shown.document.stack.undoText() == "Dash camera: off while parked"
    shown.document.stack.undo()
    assert shown.document.vehicle == vehicle


def test_without_a_row_chosen_there_is_nothing_to_apply(shown: ParkedView) -> None:
    shown.what_if.list.setCurrentItem(None)
    button = shown.findChild(QPushButton, "whatIfApply")
    assert not button.isEnabled()


def test_ticks_survive_an_edit_where_the_change_is_still_there(
    shown: ParkedView, qtbot: Any
) -> None:
    tick(shown, qtbot, "Dash camera: off")
    shown.document.apply("Colder", edits.change_parking, temperature_c=2.0)
    QApplication.processEvents()
    wait_for_what_if(shown, qtbot)
    assert [each.name for each in chart_of(shown).compared] == ["Dash camera: off while parked"]


def test_a_long_change_wraps_and_the_list_grows_with_it(shown: ParkedView, qtbot: Any) -> None:
    rows = shown.what_if.list
    wide = rows.height()
    shown.resize(shown.fontMetrics().averageCharWidth() * 112, 800)
    qtbot.waitUntil(lambda: not shown.what_if._fit.isActive())
    QApplication.processEvents()
    assert rows.verticalScrollBar().maximum() == 0
    shown.what_if.setFixedWidth(shown.fontMetrics().averageCharWidth() * 34)
    qtbot.waitUntil(lambda: rows.height() > wide)
    qtbot.waitUntil(lambda: rows.verticalScrollBar().maximum() == 0)


@pytest.mark.parametrize("size", [(1280, 560), (1366, 520), (1100, 700)])
def test_it_opens_at_the_top_with_its_headline_whole(
    window: MainWindow, qtbot: Any, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.files.open_demo("")
    window.focus_pane("parked")
    qtbot.wait(60)
    assert window.work is not None
    view = window.work.parked
    outer = view.parentWidget().parentWidget()
    assert isinstance(outer, QScrollArea)
    assert outer.verticalScrollBar().value() == 0
    assert view.headline.height() >= view.headline.heightForWidth(view.headline.width())
    side = view._side_area.verticalScrollBar()
    side.setValue(side.maximum())
    window.focus_pane("shelf")
    window.focus_pane("parked")
    qtbot.wait(20)
    assert (side.maximum() > 0, side.value()) == (True, 0)


def test_after_a_change_is_applied_the_keyboard_stays_in_the_list(
    window: MainWindow, qtbot: Any
) -> None:
    """Not on what stands below the list, scrolled to with the list out of sight."""
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 4, 8)
    window.resize(1366, 768)
    window.document.set_vehicle(edits.change_parking(vehicle, rest_current_a=0.3))
    window.focus_pane("parked")
    assert window.work is not None
    what_if = window.work.parked.what_if
    qtbot.waitUntil(lambda: what_if.list.topLevelItemCount() > 0)
    what_if.list.setFocus()
    what_if.list.setCurrentItem(what_if.list.topLevelItem(0))
    button = what_if.findChild(QPushButton, "whatIfApply")
    qtbot.waitUntil(button.isEnabled)
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    qtbot.wait(60)
    assert window.document.stack.canUndo()
    assert what_if.list.hasFocus()
