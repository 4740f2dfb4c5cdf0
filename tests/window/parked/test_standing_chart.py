"""The chart of the standing vehicle: what is drawn where, read by mouse and keys, files of it."""

import csv
from itertools import combinations
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QAction, QColor, QImage, QWheelEvent
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QToolButton

from fusemap.errors import FileProblem
from fusemap.style import Style
from fusemap.vehicle import SecondBattery, edits
from fusemap.window.parked.chart_layout import BAR
from fusemap.window.parked.chart_paint import Drawing
from fusemap.window.parked.chart_words import chance_words
from fusemap.window.parked.label_places import Box
from fusemap.window.parked.parked_view import ParkedView
from fusemap.window.parts import export
from fusemap.window.style.theme import LIGHT
from tests.window.parked.standing_hands import (
    DAY,
    fitted,
    on_second,
    page_of,
    plain,
    settle,
    tick,
    van,
)


@pytest.fixture
def shown(qtbot: Any) -> ParkedView:
    return page_of(van(), qtbot)


def drawing_of(view: ParkedView) -> Drawing:
    drawing = view.chart.drawing
    assert drawing is not None
    return drawing


def words_of(drawing: Drawing) -> dict[str, str]:
    """Every label that has a place."""
    return {key: plain("\n".join(drawing.texts[key].lines)) for key in drawing.labels}


# --- what is drawn ------------------------------------------------------------------------------


def test_the_charge_runs_from_nothing_to_full(shown: ParkedView) -> None:
    drawing = drawing_of(shown)
    assert drawing.y(0.0) == pytest.approx(drawing.plot.bottom())
    assert drawing.y(100.0) == pytest.approx(drawing.plot.top())
    assert drawing.plot.height() > 0.6 * shown.chart.height()


def test_the_chart_has_most_of_the_page(shown: ParkedView, qtbot: Any) -> None:
    qtbot.waitUntil(lambda: shown.chart.height() > 0.6 * shown.height())
    assert shown.chart.width() > 0.6 * shown.width()


def test_every_line_has_its_name_at_its_end(shown: ParkedView) -> None:
    words = words_of(drawing_of(shown))
    assert words["name need"].startswith("needed to start\n30 % at 18.5 °C")
    assert words["name now"].startswith("as it is\n")
    assert drawing_of(shown).labels["name now"].box.left >= drawing_of(shown).plot.right()


def test_the_answer_lies_on_the_line_of_the_need_with_both_ends(shown: ParkedView) -> None:
    drawing = drawing_of(shown)
    course = drawing.figures.now
    assert course.ends_h is not None
    low, middle, high = course.ends_h
    bar = drawing.bar(course)
    assert bar is not None
    assert bar.center().y() == pytest.approx(drawing.y(drawing.figures.need[1]))
    assert bar.left() == pytest.approx(drawing.x(low))
    assert bar.right() == pytest.approx(drawing.x(high))
    assert bar.height() == pytest.approx(drawing.em * BAR)
    words = "\n".join(words_of(drawing).values())
    assert shown.headline.text().removeprefix("Starts for ").removesuffix(".") in words or (
        "low now" in drawing.labels and "high now" in drawing.labels
    )
    assert low < middle < high


def test_an_end_past_what_is_shown_has_no_stop(shown: ParkedView) -> None:
    course = drawing_of(shown).figures.now
    assert course.ends_h is not None
    shown.zoom_to((course.ends_h[0] + course.ends_h[1]) / 2)
    drawing = drawing_of(shown)
    bar = drawing.bar(drawing.figures.now)
    assert bar is not None
    assert bar.right() == pytest.approx(drawing.plot.right())
    assert not drawing.shows(course.ends_h[2])


def test_the_doubt_of_the_need_is_drawn(shown: ParkedView) -> None:
    drawing = drawing_of(shown)
    low, middle, high = drawing.figures.need
    assert low < middle < high
    image = shown.chart.grab().toImage()
    ratio = shown.chart.devicePixelRatioF()
    x = round((drawing.plot.left() + drawing.plot.width() * 0.9) * ratio)

    def differing(top: float, bottom: float) -> int:
        rows = range(round(drawing.y(top) * ratio) + 4, round(drawing.y(bottom) * ratio) - 4)
        return len({image.pixelColor(x, row).name() for row in rows})

    assert differing(high, middle + 8) > differing(99, high + 6), "hatched, and above it plain"


def test_the_day_one_is_back_stands_over_its_pole(shown: ParkedView) -> None:
    figures = shown.chart.figures
    assert figures is not None
    assert figures.plan_h == 5 * DAY
    assert plain(words_of(drawing_of(shown))["plan"]).endswith(" start")


def test_the_flag_keeps_clear_of_the_frame_wherever_its_pole_stands(shown: ParkedView) -> None:
    drawing = drawing_of(shown)
    frame = QRectF(shown.chart.rect())
    for x in (0.0, drawing.plot.left(), drawing.plot.center().x(), drawing.plot.right(), 9999.0):
        flag = drawing.flag(x, 150.0)
        assert flag.width() == 150.0
        assert frame.adjusted(5, 5, -5, 0).contains(flag)
        assert flag.bottom() < drawing.plot.top() - drawing.em * 0.2, "clear of the plot, too"


def test_limit_and_cut_off_are_labelled(shown: ParkedView) -> None:
    shown.zoom_to(inf)
    assert "Camera: cut off" in words_of(drawing_of(shown)).values()


@pytest.mark.parametrize("size", [(1366, 640), (1280, 592), (900, 700), (560, 900)])
@pytest.mark.parametrize("ticked", [False, True])
def test_labels_never_touch_whatever_the_span(
    qtbot: Any, size: tuple[int, int], ticked: bool
) -> None:
    view = page_of(fitted(), qtbot, size)
    if ticked:
        tick(view, qtbot, "Dash camera: off")
    for hours in (3.0, 24.0, 168.0, 720.0, inf):
        view.zoom_to(hours)
        drawing = drawing_of(view)
        boxes = {key: each.box for key, each in drawing.labels.items()}
        clashes = [
            (a, b) for a, b in combinations(boxes, 2) if boxes[a].touches(boxes[b])
        ]  # fmt: skip
        assert clashes == [], (hours, size)
        whole = Box(0, 0, view.chart.width(), view.chart.height())
        beside = {key: box for key, box in boxes.items() if not whole.holds(box)}
        assert beside == {}, (hours, size)
        bars = [bar for each in drawing.figures.courses if (bar := drawing.bar(each)) is not None]
        covered = [
            key
            for key, box in boxes.items()
            if not key.startswith("name")
            and any(_box(bar).touches(box) for bar in bars)
        ]  # fmt: skip
        assert covered == [], (hours, size)


def _box(place: QRectF) -> Box:
    return Box(place.left(), place.top(), place.right(), place.bottom())


@pytest.mark.parametrize("size", [(1366, 640), (560, 900)])
def test_the_answer_and_the_end_of_the_plan_always_have_their_label(
    qtbot: Any, size: tuple[int, int]
) -> None:
    view = page_of(fitted(), qtbot, size)
    tick(view, qtbot, "Dash camera: off")
    keys = set(drawing_of(view).labels)
    assert "plan" in keys
    assert {"answer now", "low now"} & keys
    assert {"answer ticked", "low ticked"} & keys
    assert {"name need", "name ticked"} <= keys


def test_the_second_battery_has_its_own_line(qtbot: Any) -> None:
    vehicle = edits.set_second_battery(fitted(), SecondBattery(capacity_ah=40.0))
    vehicle = on_second(vehicle, "accessory-camera")
    drawing = drawing_of(page_of(vehicle, qtbot))
    assert words_of(drawing)["name second"].startswith("Second battery")
    assert drawing.bar(drawing.figures.courses[0]) is None, "it starts nothing"


def test_while_it_is_reckoned_no_old_curve_is_shown(shown: ParkedView) -> None:
    shown.document.apply("Less", edits.change_parking, rest_current_a=0.05)
    assert shown.chart.waiting
    assert shown.chart.drawing is None
    assert shown.headline.text() == "•••"


# --- which part of it ---------------------------------------------------------------------------


def test_the_view_follows_an_edit_until_the_user_zooms(shown: ParkedView, qtbot: Any) -> None:
    before = shown.chart.shown_h[1]
    shown.document.apply("x", edits.change_parking, stand_days=20.0)
    settle(shown, qtbot)
    assert shown.chart.shown_h[1] > before
    shown.zoom_to(48)
    shown.document.apply("x", edits.change_parking, stand_days=5.0)
    settle(shown, qtbot)
    assert shown.chart.shown_h == pytest.approx((0.0, 48.0))


@pytest.mark.parametrize(("key", "hours"), [("day", 24), ("week", 168), ("month", 720)])
def test_buttons_show_a_day_a_week_a_month(
    shown: ParkedView, qtbot: Any, key: str, hours: float
) -> None:
    button = shown.findChild(QToolButton, f"parkedZoom_{key}")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert shown.chart.shown_h == pytest.approx((0, hours))


def test_plus_and_minus_zoom_home_and_end_show_all(shown: ParkedView, qtbot: Any) -> None:
    chart = shown.chart
    chart.setFocus()
    shown.zoom_to(168)
    qtbot.keyClick(chart, Qt.Key.Key_Plus)
    assert chart.shown_h[1] - chart.shown_h[0] == pytest.approx(168 * 0.7)
    qtbot.keyClick(chart, Qt.Key.Key_Minus)
    assert chart.shown_h[1] - chart.shown_h[0] == pytest.approx(168)
    assert chart.figures is not None
    qtbot.keyClick(chart, Qt.Key.Key_End)
    assert chart.shown_h == pytest.approx((0, chart.figures.end_h))
    qtbot.keyClick(chart, Qt.Key.Key_Home)
    assert chart.shown_h == pytest.approx((0, chart.figures.first_view_h()))


def test_the_wheel_scrolls_the_page_and_zooms_with_control(shown: ParkedView) -> None:
    chart, drawing = shown.chart, drawing_of(shown)
    before = chart.shown_h
    at = QPointF(drawing.x(60.0), drawing.plot.center().y())

    def turn(held: Qt.KeyboardModifier) -> bool:
        event = QWheelEvent(
            at, chart.mapToGlobal(at), QPoint(), QPoint(0, 120), Qt.MouseButton.NoButton, held,
            Qt.ScrollPhase.NoScrollPhase, False,
        )  # fmt: skip
        QApplication.sendEvent(chart, event)
        return event.isAccepted()

    turn(Qt.KeyboardModifier.NoModifier)
    assert chart.shown_h == before
    assert turn(Qt.KeyboardModifier.ControlModifier)
    left, right = chart.shown_h
    assert right - left == pytest.approx(0.8 * (before[1] - before[0]))
    assert drawing_of(shown).x(60.0) == pytest.approx(at.x(), abs=1.0) or left == 0.0


# --- reading it ---------------------------------------------------------------------------------


def test_left_and_right_read_the_chart_aloud(shown: ParkedView, qtbot: Any) -> None:
    chart = shown.chart
    shown.zoom_to(100)
    chart.setFocus()
    for _ in range(3):
        qtbot.keyClick(chart, Qt.Key.Key_Right)
    assert chart.cursor_h == pytest.approx(6.0)
    said = plain(chart.accessibleDescription())
    assert said.startswith("after 6 hours: Sat 14 Nov 2026, 00:00. as it is: ")
    qtbot.keyClick(chart, Qt.Key.Key_Left)
    assert chart.cursor_h == pytest.approx(4.0)


def test_reading_by_keys_takes_the_span_along(shown: ParkedView, qtbot: Any) -> None:
    chart = shown.chart
    shown.zoom_to(24)
    chart.setFocus()
    for _ in range(60):
        qtbot.keyClick(chart, Qt.Key.Key_Right)
    left, right = chart.shown_h
    assert left <= chart.cursor_h <= right
    assert chart.cursor_h > 24


def test_the_mouse_reads_the_chart(shown: ParkedView, qtbot: Any) -> None:
    chart = shown.chart
    shown.zoom_to(100)
    drawing = drawing_of(shown)
    qtbot.mouseMove(chart, QPointF(drawing.x(25.0), drawing.plot.center().y()).toPoint())
    qtbot.waitUntil(lambda: chart.cursor_shown)
    assert chart.cursor_h == pytest.approx(25.0, abs=1.0)
    assert plain(chart.cursor_lines()[0]).startswith("after 2")


def test_reading_stays_within_the_forecast(shown: ParkedView) -> None:
    chart = shown.chart
    assert chart.figures is not None
    chart.set_cursor(-5.0)
    assert chart.cursor_h == 0.0
    chart.set_cursor(1e9)
    assert chart.cursor_h == chart.figures.end_h


# --- files --------------------------------------------------------------------------------------


def test_the_picture_is_saved_with_something_in_it(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "chart.png"
    shown.write("png", path)
    image = QImage(str(path))
    assert image.width() >= shown.chart.width()
    colours = {
        image.pixelColor(x, y).name()
        for x in range(0, image.width(), 2)
        for y in range(0, image.height(), 2)
    }
    assert {QColor(LIGHT.text).name(), QColor(LIGHT.stop).name()} <= colours


def test_the_drawing_is_saved_as_svg(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "chart.svg"
    shown.write("svg", path)
    renderer = QSvgRenderer(str(path))
    assert renderer.isValid()
    text = path.read_text(encoding="utf-8")
    assert "needed to start" in text
    assert "Starts for" in text


def test_the_course_is_saved_as_a_table(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    shown.write("csv", path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        header, *rows = csv.reader(file)
    assert header[:7] == [
        "Hours since locking [h]",
        "Charge, half have it [%]",
        "Low charge [%]",
        "High charge [%]",
        "Charge, usual [%]",
        "Voltage, usual [V]",
        "Camera, usual [Ah]",
    ]
    assert float(rows[0][1]) == pytest.approx(90.0, abs=0.1)
    assert all(float(row[2]) < float(row[1]) < float(row[3]) for row in rows[:50])
    assert float(rows[-1][0]) == pytest.approx(1440.0)


def test_the_menu_asks_where_and_a_bad_place_is_told(shown: ParkedView, tmp_path: Path) -> None:
    told: list[Any] = []
    shown.document.refused.connect(told.append)
    action = shown.findChild(QAction, "parkedSave_table")
    assert action is not None
    action.trigger()
    dialog = shown.findChild(export.QFileDialog, "exportDialog")
    assert dialog is not None
    dialog.fileSelected.emit(str(tmp_path / "table.csv"))
    dialog.fileSelected.emit(str(tmp_path / "no" / "table.csv"))
    dialog.close()
    assert (tmp_path / "table.csv").read_text(encoding="utf-8-sig").startswith("Consumer,")
    assert isinstance(told[0], FileProblem)


def test_a_formula_in_a_name_stays_text_in_the_table() -> None:
    text = export.csv_text(["Name"], [["=1+1"], ["−2 A"], [-2.5]])
    assert text.splitlines() == ["Name", "'=1+1", "−2 A", "-2.5"]


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_how_many_start_has_room_wherever_the_chart_ends(shown: ParkedView, code: str) -> None:
    """“at least 12 of 20 start” is longer than what is said of the moment of locking."""
    before = drawing_of(shown)
    draws = np.linspace(1.0, 40 * DAY, 100)
    figures = replace(before.figures, draws_h=draws)
    theme = replace(LIGHT, style=Style(code))
    for days in (2.0, 10.0, 20.0, 30.0, 39.0):
        drawn = Drawing(figures, (0.0, days * DAY), before.place, before.font, theme)
        words = chance_words(figures, days * DAY, theme.style)
        room = drawn.place.right() - drawn.strip.right() - drawn.em * 0.5
        assert drawn.plain_size.horizontalAdvance(words) <= room, words
