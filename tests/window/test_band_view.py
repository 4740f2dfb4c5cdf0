"""Fuse and cable of what is selected: the chart, what a current does, and the files."""

import csv
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.assess import assess
from fusemap.assess.band import Moment, tap_band
from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, Vehicle, edits
from fusemap.window.chain import band_words
from fusemap.window.chain.band_view import BandView
from fusemap.window.chain.chain_view import ChainView
from fusemap.window.document import Document
from fusemap.window.style.theme import DARK, LIGHT
from fusemap.window.texts.languages import LANGUAGES, speak


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def on_a_slot(section_mm2: float = 1.0, rating: float = 5.0, **tap: Any) -> Vehicle:
    v = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    v = edits.change_slot(v, "slot-1", fuse=Fuse(family="mini", rating=15), circuit="Radio",
                          feed_class="ignition")  # fmt: skip
    v = edits.add_accessory(v, "Camera", amperes=2.0, load_kind="constant_current")
    cable = Cable(section_mm2=section_mm2, length_m=2.0)
    usual = {"fuse": Fuse(family="mini", rating=rating), "cable_out": cable, "earth_point": "bolt"}
    return edits.place(v, "accessory-1", slot="slot-1", **(usual | tap))


def shown(qtbot: Any, vehicle: Vehicle, *, selected: bool = True, theme: Any = LIGHT) -> BandView:
    view = BandView(Document(vehicle), theme)
    qtbot.addWidget(view)
    view.resize(760, 560)
    with qtbot.waitExposed(view):
        view.show()
    if selected:
        view.document.select("tap", "tap-1")
    QApplication.processEvents()
    return view


def test_it_says_whether_the_fuse_protects_the_cable(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot())
    assert view.headline.text() == "The fuse protects this cable."
    view.document.apply(
        "thin",
        edits.change_tap,
        "tap-1",
        fuse=Fuse(family="mini", rating=30),
        cable_out=Cable(section_mm2=0.35, length_m=2.0),
    )
    QApplication.processEvents()
    assert view.headline.text().startswith("The fuse does not protect this cable. Worst: ")


def test_the_mark_stands_beside_the_middle_of_its_words(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot())
    mark, words = view.says.mark, view.says.label
    middle = [each.mapTo(view, each.rect().center()).y() for each in (mark, words)]
    assert abs(middle[0] - middle[1]) <= 1


def test_the_legend_names_everything_drawn_by_shape_and_word(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot(way_round="load_side"))
    assert view.chart is not None
    words = {entry.shape: plain(entry.words) for entry in view.chart.legend.entries}
    assert words["band"] == "Fuse opens: 5 A mini"
    assert words["second_band"] == "Host fuse opens: 15 A mini"
    assert words["curve"].startswith("Cable is harmed: 1 mm² (about AWG 17), 2 m")
    assert words["load"] == "Load: 2 A"
    assert words["fault"].startswith("Short at the far end: ")


def test_legend_and_lines_are_said_in_the_language(qtbot: Any) -> None:
    german = replace(LIGHT, style=Style("de"))
    view = shown(qtbot, on_a_slot(section_mm2=1.5, way_round="load_side"), theme=german)
    assert view.chart is not None
    words = {entry.shape: plain(entry.words) for entry in view.chart.legend.entries}
    assert words["band"] == "Sicherung löst aus: 5 A Mini"
    assert "1,5 mm² (etwa AWG 15), 2 m" in words["curve"]


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_words_beside_a_line_are_level_and_whole(qtbot: Any, code: str) -> None:
    speak(code)
    try:
        view = shown(qtbot, on_a_slot(), theme=replace(LIGHT, style=Style(code)))
    finally:
        speak("en")
    assert view.chart is not None
    chart = view.chart
    qtbot.wait(60)  # the picture takes its size when it is first painted
    room = chart.plot.vb.sceneBoundingRect()
    labels = [item.label for item in chart._items if hasattr(item, "label")]
    places = [each.mapRectToScene(each.boundingRect()) for each in labels]
    assert len(places) == 2
    for place in places:
        assert place.width() > place.height()
        assert room.contains(place)
    assert not places[0].intersects(places[1])


def test_no_word_of_the_legend_is_cut_at_any_width(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot(way_round="load_side"))
    assert view.chart is not None
    legend = view.chart.legend

    def whole() -> bool:
        room = legend.size()
        return all(
            place.bottom() <= room.height() + 0.5
            and place.right() <= max(room.width(), place.width()) + 4.5
            for place, _ in legend.places(room.width())
        )

    for width in (300, 420, 760):
        view.resize(width, 560)
        qtbot.waitUntil(whole, timeout=2000)


def test_right_and_left_in_the_chart_read_the_next_current(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot())
    chart = view.chart
    assert chart is not None
    chart.set_cursor(20.0)
    before = chart.cursor_a
    qtbot.keyClick(chart, Qt.Key.Key_Right)
    assert chart.cursor_a > before
    assert plain(view.reading.text()).startswith("At 20.4 A, 4.1 times the fuse’s rating:")
    qtbot.keyClick(chart, Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier)
    assert chart.cursor_a < before


def test_pointing_at_the_chart_reads_the_current_there(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot())
    chart = view.chart
    assert chart is not None
    told: list[float] = []
    chart.read.connect(told.append)
    middle = chart.plot.vb.sceneBoundingRect().center()
    chart.scene().sigMouseMoved.emit(middle)
    low, high = chart.band.span_a
    assert told
    assert told[0] == pytest.approx((low * high) ** 0.5, rel=0.02)


def test_the_bands_and_the_curve_are_where_the_figures_are(qtbot: Any) -> None:
    """What is drawn is the logarithm of what is computed, step by step."""
    import numpy as np
    import pyqtgraph as pg

    view = shown(qtbot, on_a_slot())
    chart = view.chart
    assert chart is not None
    band = chart.band
    assert band is not None
    assert band.fuse is not None
    curves = [item.getData() for item in chart.plot.items if isinstance(item, pg.PlotCurveItem)]
    edges = np.log10(band.fuse.edge_a)
    steps = [data for data in curves if len(data[0]) == 2 * (len(edges) - 1)]
    assert len(steps) == 2  # soonest and latest
    for across, up in steps:
        assert across == pytest.approx(np.repeat(edges, 2)[1:-1])
        assert np.all(up[0::2] == up[1::2])  # a step is level
    currents, seconds = band.cable_curve()
    drawn = next(data for data in curves if len(data[0]) == len(currents))
    finite = np.isfinite(seconds)
    assert drawn[1][finite] == pytest.approx(np.log10(seconds[finite]))


@pytest.mark.parametrize(
    ("moment", "words"),
    [
        (Moment(20.0, (0.15, 5.0), None, 40.0),
         "The fuse opens after 0.15 s to 5 s. The cable bears it for 40 s. The fuse opens before "
         "the cable is harmed."),
        (Moment(20.0, (0.15, 5.0), None, 2.0), "Which comes first is not known"),
        (Moment(20.0, (2.0, 5.0), None, 0.5), "The cable is harmed before the fuse opens."),
        (Moment(20.0, (0.0, 0.1), (0.15, 5.0), float("inf")),
         "The fuse opens within 0.1 s. The host fuse opens after 0.15 s to 5 s. The cable bears it "
         "for good."),
        (Moment(6.0, (360e3, float("inf")), None, float("inf")), "carries this for at least 100 h"),
        (Moment(1.0, (0.0, float("inf")), None, float("inf")), "nothing is published"),
    ],
)  # fmt: skip
def test_a_current_is_read_in_words_only_as_surely_as_it_is_known(
    moment: Moment, words: str
) -> None:
    band = tap_band(assess(on_a_slot()), "tap-1")
    assert words in plain(band_words.reading(band, moment))


def test_which_of_two_fuses_opens_first_is_said(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot(way_round="load_side"))
    assert "accessory fuse probably opens first" in view.order.text()
    assert view.order.isVisible()
    right = shown(qtbot, on_a_slot())
    assert not right.order.isVisible()


def test_what_is_missing_is_said_instead_of_a_verdict(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot(cable_out=None))
    assert view.headline.text() == "This cannot be told: no cable is entered."


def test_with_nothing_selected_it_teaches(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot(), selected=False)
    assert view.headline.text().startswith("Select a slot or an accessory")
    assert view.chart is None


def test_several_taps_are_chosen_from(qtbot: Any) -> None:
    v = edits.add_accessory(on_a_slot(), "Lamp", amperes=1.0)
    v = edits.place(v, "accessory-2", slot="slot-1", kind="splice")
    view = shown(qtbot, v, selected=False)
    view.document.select("slot", "slot-1")
    QApplication.processEvents()
    assert view.chooser.count() == 2
    view.chooser.setFocus()
    qtbot.keyClick(view.chooser, Qt.Key.Key_Down)
    assert view.tap_id == "tap-2"


def test_the_sum_behind_it_opens(qtbot: Any) -> None:
    view = shown(qtbot, on_a_slot())
    qtbot.mouseClick(view.why.button, Qt.MouseButton.LeftButton)
    assert view.why.label.isVisible()
    assert "IEC 60364-4-43" in view.why.label.text()
    assert "5 A mini" in plain(view.why.label.text())


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_the_chart_is_saved_as_a_picture(qtbot: Any, tmp_path: Path, theme: Any) -> None:
    view = shown(qtbot, on_a_slot(), theme=theme)
    view.write("png", tmp_path / "a.png")
    image = QImage(str(tmp_path / "a.png"))
    assert image.width() > 800
    colours = {image.pixel(x, y) for x in range(0, image.width(), 7)
               for y in range(0, image.height(), 7)}  # fmt: skip
    assert len(colours) > 5


def test_the_chart_is_saved_as_a_drawing_with_text(qtbot: Any, tmp_path: Path) -> None:
    view = shown(qtbot, on_a_slot())
    view.write("svg", tmp_path / "a.svg")
    text = (tmp_path / "a.svg").read_text(encoding="utf-8")
    assert "<svg" in text
    assert "Fuse opens" in plain(text)


def test_the_course_is_saved_as_a_table(qtbot: Any, tmp_path: Path) -> None:
    view = shown(qtbot, on_a_slot())
    view.write("csv", tmp_path / "a.csv")
    with (tmp_path / "a.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[0] == list(band_words.HEADER)
    by_current = {float(row[0]): row for row in rows[1:]}
    at_point = by_current[10.0]
    assert float(at_point[1]) == 0.15  # twice the rating of a mini fuse
    assert float(at_point[2]) == 5.0
    assert by_current[2.0][5] == ""  # the load is borne for good


def test_the_button_of_the_chain_asks_for_the_chart(qtbot: Any) -> None:
    view = ChainView(Document(on_a_slot()), LIGHT)
    qtbot.addWidget(view)
    view.resize(500, 600)
    with qtbot.waitExposed(view):
        view.show()
    view.document.select("tap", "tap-1")
    QApplication.processEvents()
    asked: list[str] = []
    view.band_wanted.connect(asked.append)
    button = view.findChild(QPushButton, "chainBand")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert asked == ["tap-1"]
