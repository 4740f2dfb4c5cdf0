"""The parked view: plain words, a chart of charge over time, who took it, files of both."""

import csv
import re
from dataclasses import replace
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
import pyqtgraph as pg
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QImage
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QToolButton

from fusemap.assess import assess
from fusemap.assess.parked.band import ParkedBand, parked_band
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.errors import FileProblem, InputProblem
from fusemap.text import say
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import (
    Cable,
    Fuse,
    StateLoads,
    Vehicle,
    VoltageCutOff,
    edits,
)
from fusemap.window.document import Document, Selection
from fusemap.window.parked import parked_words
from fusemap.window.parked.chart_parts import tick_words
from fusemap.window.parked.parked_chart import ParkedChart
from fusemap.window.parked.parked_view import ParkedView
from fusemap.window.parked.parked_words import headline
from fusemap.window.parts import export
from fusemap.window.style.theme import LIGHT


def van(camera_a: float = 0.2) -> Vehicle:
    """A camera that is always on, with a cut-off, beside 25 mA of the vehicle's own."""
    nothing = StateLoads(asleep=0.0, awake=0.0, accessory=0.0, ignition=0.0, running=0.0)
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 1)
    fuse = Fuse(family="mini", rating=10)
    vehicle = edits.change_slot(
        vehicle, "slot-1", fuse=fuse, feed_class="permanent", own_load=nothing
    )
    vehicle = edits.change_battery(vehicle, capacity_ah=70.0, soh=1.0, start_soc=0.9)
    vehicle = edits.change_parking(
        vehicle,
        rest_current_a=0.025,
        awake_current_a=2.0,
        stand_days=5.0,
        temperature_c=25.0,
        locked_at_h=18.0,
    )
    vehicle = edits.add_accessory(
        vehicle,
        "Camera",
        amperes=camera_a,
        load_kind="constant_current",
        works_in=("asleep", "awake", "running"),
        cut_off=VoltageCutOff(off_v=11.9, on_v=12.8),
    )
    cable = Cable(section_mm2=1.0, length_m=2.0)
    small = Fuse(family="mini", rating=2)
    return edits.place(vehicle, "accessory-1", slot="slot-1", fuse=small, cable_out=cable)


@pytest.fixture(scope="module")
def parked() -> ParkedFigures:
    return assess(van()).parked


@pytest.fixture
def shown(qtbot: Any) -> ParkedView:
    view = ParkedView(Document(van()), LIGHT)
    qtbot.addWidget(view)
    view.resize(1000, 700)
    with qtbot.waitExposed(view):
        view.show()
    return view


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def chart_of(view: ParkedView) -> ParkedChart:
    assert view.chart is not None
    return view.chart


def figures(
    parked: ParkedFigures, hours: float, without: float, start: float = 0.9
) -> ParkedFigures:
    return replace(
        parked,
        hours=hours,
        look_without=lambda: without,
        start_soc=start,
        crank_soc=0.5,
        assumed=(),
    )


def band(low: float, high: float) -> ParkedBand:
    return replace(parked_band(assess(van()), draws=20), low_h=low, high_h=high)


# --- in words -----------------------------------------------------------------------------------


DAY = 24.0


@pytest.mark.parametrize(
    ("low", "hours", "high", "without", "plan", "words"),
    [
        (
            9 * DAY,
            12 * DAY,
            14 * DAY,
            31 * DAY,
            20.0,
            "Starts for 9 to 14 days, most likely about 12 days. "
            "Without the accessories about 31 days. You plan 20 days: that is too long.",
        ),
        (
            20 * DAY,
            31 * DAY,
            inf,
            inf,
            14.0,
            "Starts for 20 days or longer, most likely 31 days. "
            "Without the accessories for longer than 60 days. You plan 14 days: that fits.",
        ),
        (
            inf,
            inf,
            inf,
            inf,
            14.0,
            "Starts for longer than 60 days. You plan 14 days: that fits.",
        ),
        (
            5.0,
            40.0,
            3 * DAY,
            12 * DAY,
            0.0,
            "Starts for 5 hours to 3 days, most likely about 40 hours. "
            "Without the accessories about 12 days.",
        ),
    ],
)
def test_the_headline_says_it_in_plain_words(
    parked: ParkedFigures,
    low: float,
    hours: float,
    high: float,
    without: float,
    plan: float,
    words: str,
) -> None:
    assert headline(figures(parked, hours, without), band(low, high), plan) == words


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        (8, "that fits."),
        (11, "that will probably do, but it is not certain."),
        (13, "that is probably too long."),
        (15, "that is too long."),
    ],
)
def test_a_plan_is_held_against_the_whole_band(
    parked: ParkedFigures, plan: float, words: str
) -> None:
    said = headline(figures(parked, 12 * DAY, 31 * DAY), band(9 * DAY, 14 * DAY), plan)
    assert str(said).endswith(f"You plan {plan} days: {words}")


def test_a_battery_too_flat_to_start_now_is_said_first(parked: ParkedFigures) -> None:
    words = plain(headline(figures(parked, 0.0, 0.0, start=0.4), band(0.0, 0.0), 7.0))
    assert words == "It may not start even now: 40 % charged, 50 % needed to start."


def test_the_view_says_it_with_its_doubt(shown: ParkedView) -> None:
    assert re.match(r"Starts for [\d.]+ to [\d.]+ days, most likely about", shown.headline.text())
    assert "You plan 5 days" in shown.headline.text()
    assert "of ten" in shown.caveat.text()
    assert shown.assumed.text().startswith("Assumed:")
    doubts = plain(shown.assumed.text()).partition("What makes it uncertain:\n")[2].splitlines()
    assert re.fullmatch(r"• Charge needed to start ± 10 % of the capacity: \d+ % of the doubt",
                        next(line for line in doubts if "to start" in line))  # fmt: skip
    shares = [int(n) for n in re.findall(r"(\d+) % of the doubt", "\n".join(doubts))]
    assert shares == sorted(shares, reverse=True)


@pytest.mark.parametrize(
    ("hours", "spacing", "words"),
    [(0, 1, "0"), (6, 1, "6 h"), (24, 24, "1 day"), (168, 168, "1 week"), (36, 12, "1 d 12 h")],
)
def test_ticks_are_hours_days_or_weeks(hours: float, spacing: float, words: str) -> None:
    assert tick_words(hours, spacing) == words


# --- the series ---------------------------------------------------------------------------------


def of(parked: ParkedFigures) -> parked_words.Series:
    return parked_words.series(parked, parked_band(assess(van())), 5.0, 18.0)


def test_the_layers_add_up_to_all_the_charge_that_is_gone(parked: ParkedFigures) -> None:
    s = of(parked)
    capacity = float(np.asarray(70.0))
    gone = (s.charge_percent[0] - s.charge_percent) / 100 * capacity
    total = np.sum([layer.charge_ah for layer in s.layers], axis=0)
    assert total == pytest.approx(gone, abs=0.02)


def test_each_layer_ends_with_what_the_table_says(parked: ParkedFigures) -> None:
    s = of(parked)
    said = {consumer.name: consumer.charge_ah for consumer in parked.consumers}
    for layer in s.layers:
        at_crank = parked_words.at(s.hours, layer.charge_ah, parked.hours)
        assert at_crank == pytest.approx(said[str(layer.name)], abs=0.02), layer.name


def test_many_consumers_are_put_together(parked: ParkedFigures) -> None:
    order = [*parked.forecast.names, *(f"Lamp {n}" for n in range(9))]
    found = parked_words.layers(parked.forecast, order, parked.crank_soc)
    assert len(found) == parked_words.MOST_LAYERS
    assert found[-1].name == "Others"


def test_what_happens_is_said_with_the_name(parked: ParkedFigures) -> None:
    words = {plain(each.words): each for each in of(parked).happenings}
    assert words["Probably no start from here"].hours == pytest.approx(parked.hours)
    trip = float(parked.forecast.cut_offs[0].first_trip_h)
    assert words["Camera: cut off"].hours == pytest.approx(trip)
    assert words["0.23 A in all"].hours == pytest.approx(1.0)


def test_a_moment_is_read_with_the_hour_of_the_day(parked: ParkedFigures) -> None:
    words = plain(parked_words.reading(of(parked), 30.0))
    assert words.startswith("After 30 hours (00:00): ")
    assert re.search(r"\d+ % \(\d+ to \d+ %\) charged", words)
    assert "Camera 6" in words
    assert "Gone " in words


def test_reading_outside_the_forecast_stays_at_its_ends(parked: ParkedFigures) -> None:
    s = of(parked)
    assert str(parked_words.reading(s, -5.0)).startswith("After 0 minutes")
    assert parked_words.reading(s, 1e9) == parked_words.reading(s, s.end_h)


# --- the chart ----------------------------------------------------------------------------------


def test_the_chart_is_made_when_first_shown(qtbot: Any) -> None:
    view = ParkedView(Document(van()), LIGHT)
    qtbot.addWidget(view)
    assert view.chart is None
    with qtbot.waitExposed(view):
        view.show()
    assert view.chart is not None


def labels(chart: ParkedChart) -> set[str]:
    """The labels that can be read now."""
    items = (item for item in chart.scene().items() if isinstance(item, pg.TextItem))
    return {plain(item.toPlainText()) for item in items if item.isVisible()}


def test_limit_plan_and_cut_off_are_labelled_lines(shown: ParkedView) -> None:
    chart = chart_of(shown)
    assert {"Probably no start from here", "Planned until here"} <= labels(chart)
    assert "needed to start: 50 %" in plain(chart._crank_label.toPlainText())
    shown.zoom_to(inf)
    assert "Camera: cut off" in labels(chart)


def test_labels_never_overlap(shown: ParkedView) -> None:
    chart = chart_of(shown)
    for hours in (24.0, 168.0, 720.0, inf):
        shown.zoom_to(hours)
        boxes = [
            label.mapRectToScene(label.boundingRect())
            for _, _, label in chart._labels._shown
            if label.isVisible()
        ]
        clashes = [(a, b) for n, a in enumerate(boxes) for b in boxes[n + 1 :] if a.intersects(b)]
        assert not clashes


def test_the_first_view_goes_past_the_plan_and_the_last_start(shown: ParkedView) -> None:
    assert shown.parked is not None
    left, right = chart_of(shown).shown_h
    assert left == 0
    assert right == pytest.approx(1.25 * max(5 * 24, shown.parked.hours), rel=0.01)


def test_an_answer_of_hours_is_not_shown_on_an_axis_of_weeks(parked: ParkedFigures) -> None:
    made = of(parked)
    limit = parked_words.Happening(8.0, say("no start from here"), "limit")
    view_h = replace(made, stand_h=21 * 24.0, happenings=(limit,)).first_view_h()
    assert 1.25 * 8.0 < view_h <= 3 * 24.0
    near = replace(made, stand_h=30.0, happenings=(limit,)).first_view_h()
    assert near == pytest.approx(37.5)


def test_the_view_follows_an_edit_until_the_user_zooms(shown: ParkedView) -> None:
    assert shown.chart is not None
    before = shown.chart.shown_h[1]
    shown.document.apply("x", edits.change_parking, stand_days=9.0)
    shown.refresh()
    assert shown.chart.shown_h[1] > before
    shown.zoom_to(48)
    shown.document.apply("x", edits.change_parking, stand_days=5.0)
    shown.refresh()
    assert shown.chart.shown_h[1] == pytest.approx(48.0)


@pytest.mark.parametrize("width", [260, 340, 460, 900])
def test_every_line_has_its_name(shown: ParkedView, width: int) -> None:
    """Also where there is room for it at neither side of the line."""
    shown.resize(width, 700)
    QApplication.processEvents()
    chart = chart_of(shown)
    for hours in (chart.shown_h[1], 24.0, inf):
        shown.zoom_to(hours)
        drawn = {
            each.words: label.isVisible()
            for each, line, label in chart._labels._shown
            if line.isVisible() and each.hours <= chart.shown_h[1]
        }
        known = {"Probably no start from here", "Planned until here"}
        assert [words for words, named in drawn.items() if not named and words not in known] == []
    assert "Camera: cut off" in drawn


@pytest.mark.parametrize(("key", "hours"), [("day", 24), ("week", 168), ("month", 720)])
def test_buttons_show_a_day_a_week_a_month(
    shown: ParkedView, qtbot: Any, key: str, hours: float
) -> None:
    button = shown.findChild(QToolButton, f"parkedZoom_{key}")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert chart_of(shown).shown_h == pytest.approx((0, hours))


def test_plus_and_minus_zoom_home_shows_all(shown: ParkedView, qtbot: Any) -> None:
    chart = chart_of(shown)
    chart.setFocus()
    shown.zoom_to(168)
    qtbot.keyClick(chart, Qt.Key.Key_Plus)
    assert chart.shown_h[1] - chart.shown_h[0] == pytest.approx(168 * 0.7)
    qtbot.keyClick(chart, Qt.Key.Key_Home)
    assert chart.series is not None
    assert chart.shown_h == pytest.approx((0, chart.series.end_h))


def test_left_and_right_read_the_chart(shown: ParkedView, qtbot: Any) -> None:
    chart = chart_of(shown)
    shown.zoom_to(100)
    for _ in range(3):
        qtbot.keyClick(chart, Qt.Key.Key_Right)
    assert chart.cursor_h == pytest.approx(6.0)
    assert shown.reading.text().startswith("After 6 hours (00:00)")
    qtbot.keyClick(chart, Qt.Key.Key_Left)
    assert chart.cursor_h == pytest.approx(4.0)


def test_the_mouse_reads_the_chart(shown: ParkedView, qtbot: Any) -> None:
    chart = chart_of(shown)
    shown.zoom_to(100)
    place = chart.charge.vb.mapViewToScene(parked_point(25.0, 50.0)).toPoint()
    chart.scene().sigMouseMoved.emit(place)
    assert chart.cursor_h == pytest.approx(25.0, abs=1.0)
    assert "25 hours" in shown.reading.text()


def parked_point(hours: float, percent: float) -> Any:
    from PySide6.QtCore import QPointF

    return QPointF(hours, percent)


def test_where_it_is_low_one_plot_is_shown_and_the_other_asked_for(
    shown: ParkedView, qtbot: Any
) -> None:
    chart = chart_of(shown)
    assert chart.both
    assert not shown.who.isVisible()
    shown.resize(1000, 320)
    qtbot.waitUntil(lambda: not chart.both and shown.who.isVisible())
    assert shown.who.isVisible()
    assert chart.charge in chart.ci.items
    qtbot.mouseClick(shown.who, Qt.MouseButton.LeftButton)
    assert chart.taken in chart.ci.items
    assert chart.charge not in chart.ci.items


def test_an_edit_redraws_and_keeps_the_zoom(shown: ParkedView) -> None:
    chart = chart_of(shown)
    shown.zoom_to(48)
    before = shown.headline.text()
    shown.document.apply("Less", edits.change_accessory, "accessory-1", amperes=0.05)
    QApplication.processEvents()
    assert shown.headline.text() != before
    assert chart.shown_h == pytest.approx((0, 48))
    shown.document.stack.undo()
    QApplication.processEvents()
    assert shown.headline.text() == before


def test_what_keeps_the_forecast_from_being_made_is_said(shown: ParkedView) -> None:
    class Broken:
        @property
        def parked(self) -> ParkedFigures:
            raise InputProblem("no capacity known", "battery", "enter it")

    shown.document._assess = lambda vehicle: Broken()  # type: ignore[assignment,return-value]
    shown.document.apply("Name", edits.change_vehicle, name="Bus")
    QApplication.processEvents()
    assert shown.headline.text() == "battery: no capacity known (enter it)"
    assert not shown.split.isVisible()
    shown.save("png")


# --- the table ----------------------------------------------------------------------------------


def test_the_table_is_largest_first_with_shares(shown: ParkedView) -> None:
    rows = [shown.table.topLevelItem(n) for n in range(shown.table.topLevelItemCount())]
    assert [row.text(0) for row in rows] == ["Camera", "Vehicle itself", "Battery's self-discharge"]
    shares = [int(plain(row.text(3)).removesuffix(" %")) for row in rows]
    assert sum(shares) == pytest.approx(100, abs=1)


def test_enter_on_a_consumer_selects_its_accessory(shown: ParkedView, qtbot: Any) -> None:
    shown.table.setFocus()
    shown.table.setCurrentItem(shown.table.topLevelItem(0))
    qtbot.keyClick(shown.table, Qt.Key.Key_Return)
    assert shown.document.selection == Selection("accessory", "accessory-1")


# --- files --------------------------------------------------------------------------------------


def test_the_picture_is_saved_with_something_in_it(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "chart.png"
    shown.write("png", path)
    image = QImage(str(path))
    assert image.width() >= chart_of(shown).width()
    colours = {
        image.pixelColor(x, y).name()
        for x in range(0, image.width(), 3)
        for y in range(0, image.height(), 3)
    }
    assert {LIGHT.chart_1, LIGHT.chart_2} <= colours


def test_the_drawing_is_saved_as_svg(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "chart.svg"
    shown.write("svg", path)
    renderer = QSvgRenderer(str(path))
    assert renderer.isValid()
    text = path.read_text(encoding="utf-8")
    assert "Probably no start from here" in text
    assert "Starts for" in text


def test_the_course_is_saved_as_a_table(shown: ParkedView, tmp_path: Path) -> None:
    path = tmp_path / "course.csv"
    shown.write("csv", path)
    with path.open(encoding="utf-8-sig", newline="") as file:
        header, *rows = csv.reader(file)
    assert header[:6] == [
        "Hours since locking [h]",
        "Charge [%]",
        "Low charge [%]",
        "High charge [%]",
        "Voltage [V]",
        "Camera [Ah]",
    ]
    assert float(rows[0][1]) == pytest.approx(90.0)
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


def test_every_control_is_named(shown: ParkedView) -> None:
    for button in shown.findChildren(QToolButton):
        assert button.text() or button.accessibleName()
    assert chart_of(shown).accessibleName()
    assert shown.table.accessibleName()
