"""What would be right, in the chain view: said with its reasons, adopted with one click."""

import csv
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication

from fusemap.advise.proposal import own_failing, proposal, published
from fusemap.assess import assess
from fusemap.text import ENGLISH
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, look_up
from fusemap.window.chain import advice_view as words
from fusemap.window.chain.advice_view import AdviceView
from fusemap.window.chain.chain_view import ChainView
from fusemap.window.document import Document
from fusemap.window.style.theme import LIGHT


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def van(**tap: Any) -> Vehicle:
    """A heater of 7 A, 6 m away, on thin cable behind a fuse that is too large."""
    v = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    v = edits.change_slot(v, "slot-1", fuse=Fuse(family="mini", rating=20), circuit="Socket",
                          feed_class="ignition", live_side="left")  # fmt: skip
    v = edits.add_accessory(v, "Heater", amperes=7.0, rated_v=13.8, load_kind="constant_current")
    usual = {
        "fuse": Fuse(family="mini", rating=15),
        "cable_out": Cable(section_mm2=0.5, length_m=6.0),
        "earth_point": "bolt",
    }
    return edits.place(v, "accessory-1", slot="slot-1", **(usual | tap))


def chain(qtbot: Any, vehicle: Vehicle) -> ChainView:
    view = ChainView(Document(vehicle), LIGHT)
    qtbot.addWidget(view)
    view.resize(560, 900)
    with qtbot.waitExposed(view):
        view.show()
    view.document.select("tap", "tap-1")
    QApplication.processEvents()
    return view


def advised(qtbot: Any, vehicle: Vehicle) -> tuple[ChainView, AdviceView]:
    view = chain(qtbot, vehicle)
    view.show_advice()
    QApplication.processEvents()
    assert view.advice is not None
    return view, view.advice


def test_nothing_is_tried_before_somebody_looks(qtbot: Any) -> None:
    assert chain(qtbot, van()).advice is None


def test_the_tab_is_reached_by_keyboard(qtbot: Any) -> None:
    view = chain(qtbot, van())
    view.tabs.tabBar().setFocus()
    qtbot.keyClick(view.tabs.tabBar(), Qt.Key.Key_Right)
    assert view.advice is not None
    assert view.advice.isVisible()


def test_fuse_and_cable_are_said_with_what_decided_and_what_is_there(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    assert plain(advice.headline.text()).startswith("Right would be 10 A mini and ")
    assert "next smaller does not carry the load" in advice.lines["fuse"].text()
    assert "There now: 15 A mini." in plain(advice.lines["fuse"].text())
    assert "what decided: voltage drop" in advice.lines["cable"].text()
    assert "There now: 0.5 mm²" in plain(advice.lines["cable"].text())


def test_one_click_adopts_both_and_undo_takes_both_back(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    document = advice.document
    before = document.vehicle
    qtbot.mouseClick(advice.adopt_button, Qt.MouseButton.LeftButton)
    QApplication.processEvents()
    tap = look_up.tap(document.vehicle, "tap-1")
    assert tap.fuse == Fuse(family="mini", rating=10)
    assert tap.cable_out is not None
    assert tap.cable_out.section_mm2 > 0.5
    assert own_failing(document.assessment, "tap-1") == ()
    assert plain(document.stack.undoText()).startswith("Heater: adopt 10 A mini and ")
    assert plain(advice.headline.text()).startswith("Fuse and cable are right as they are: ")
    assert not advice.adopt_button.isVisible()
    document.stack.undo()
    assert document.vehicle == before


def test_the_keyboard_adopts_too(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    advice.adopt_button.setFocus()
    qtbot.keyClick(advice.adopt_button, Qt.Key.Key_Space)
    assert look_up.tap(advice.document.vehicle, "tap-1").fuse == Fuse(family="mini", rating=10)


def test_the_longest_length_that_still_clears_is_said(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    text = plain(advice.lines["longest"].text())
    longest = proposal(advice.document.assessment, "tap-1").advice.longest_m
    assert longest is not None
    assert "here it is 6 m" in text
    assert f"{longest:.3g} m" in text


def test_a_run_that_is_too_long_is_said_to_be(qtbot: Any) -> None:
    _, advice = advised(qtbot, van(cable_out=Cable(section_mm2=0.5, length_m=30.0)))
    assert advice.lines["longest"].text().startswith("Too long: ")


def test_which_fuse_opens_first_is_said_for_a_reversed_tap_only(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    assert not advice.lines["order"].isVisible()
    thick = Cable(section_mm2=2.5, length_m=2.0)
    five = Fuse(family="mini", rating=5)
    _, reversed_tap = advised(qtbot, van(way_round="load_side", fuse=five, cable_out=thick))
    assert "accessory fuse probably opens first" in reversed_tap.lines["order"].text()


@pytest.mark.parametrize(
    ("order", "said"),
    [
        (("lower", "certain"), "the accessory fuse opens first, for certain"),
        (("upper", "likely"), "the host fuse probably opens first"),
        (("", "open"), "which of the two fuses opens first is open"),
    ],
)
def test_the_order_is_said_only_as_surely_as_it_is_known(order: Any, said: str) -> None:
    from fusemap.electrics.operating_time import SeriesOrder
    from fusemap.window.chain.band_words import order_words

    made = SeriesOrder(order[0], order[1], (0.1, 1.0), (0.1, 1.0), None)
    assert said in plain(order_words(made, 80.0))


def test_every_section_stands_with_every_criterion(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    model = advice.sections.model
    titles = [plain(column.title) for column in model.columns]
    # what decided comes first: it is to be seen where not all of them have room
    assert titles[:3] == ["Section", "Verdict", "Drop\n≤ 0.6 V"]
    assert set(titles[3:]) == {"Warmth\n≤ 105 °C", "Overload\n≤ 130 °C", "Far end\n≥ 3.5 × rating",
                               "Hard short\nshare of limit", "Strength\n≥ 0.5 mm²"}  # fmt: skip
    verdicts = {plain(row[0].words): plain(row[1].words) for row in model.cells}
    assert verdicts["0.5 mm² (about AWG 20)"] == "does not hold, there now"
    assert list(verdicts.values()).count("proposed") == 1


@pytest.mark.parametrize("width", [480, 560, 1400])
def test_the_columns_that_are_seen_are_seen_whole(qtbot: Any, width: int) -> None:
    view, advice = advised(qtbot, van())
    view.resize(width, 900)
    for _ in range(5):
        QApplication.processEvents()
    for table in (advice.sections, advice.beside):
        grid = table.view
        assert grid.horizontalScrollBar().maximum() == 0
        shown = [n for n in range(len(table.model.columns)) if not grid.isColumnHidden(n)]
        assert shown == list(range(len(shown)))
        missing = [column.title.split("\n")[0] for column in table.model.columns[len(shown) :]]
        assert table.missing.isVisible() == bool(missing)
        assert all(name in table.missing.text() for name in missing)
        assert len(shown) >= 3
        for column in shown:
            assert grid.columnWidth(column) >= grid.horizontalHeader().sectionSizeHint(column) - 2


def test_all_columns_can_be_asked_for(qtbot: Any) -> None:
    view, advice = advised(qtbot, van())
    view.resize(480, 900)
    QApplication.processEvents()
    table = advice.sections
    assert table.missing.isVisible()
    before = table.view.height()
    table.all_button.setFocus()
    qtbot.keyClick(table.all_button, Qt.Key.Key_Space)
    QApplication.processEvents()
    assert not any(table.view.isColumnHidden(n) for n in range(len(table.model.columns)))
    assert table.view.horizontalScrollBar().maximum() > 0
    assert not table.missing.isVisible()
    qtbot.keyClick(table.all_button, Qt.Key.Key_Space)
    QApplication.processEvents()
    assert (table.view.height(), table.missing.isVisible()) == (before, True)


def test_a_figure_that_fails_has_a_mark_besides_its_colour(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    model = advice.sections.model
    row = next(r for r, cells in enumerate(model.cells) if plain(cells[0].words).startswith("0.5 "))
    index = model.index(row, 2)
    assert plain(index.data()).startswith("✗ ")
    spoken = model.data(index, Qt.ItemDataRole.AccessibleTextRole)
    assert spoken.endswith("does not hold")


def test_the_sections_are_copied_with_their_limits_in_the_header(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    advice.sections.view.setFocus()
    qtbot.keySequence(advice.sections.view, QKeySequence(QKeySequence.StandardKey.Copy))
    head, *rows = QGuiApplication.clipboard().text().splitlines()
    assert "Drop [V], ≤ 0.6 V" in plain(head).split("\t")
    assert len(rows) == len(advice.sections.model.cells)
    assert float(rows[2].split("\t")[0]) == 0.5


def test_the_sections_are_saved_as_a_table(qtbot: Any, tmp_path: Path) -> None:
    from fusemap.window.parts import export

    _, advice = advised(qtbot, van())
    table = advice.sections.model
    export.write_csv(tmp_path / "a.csv", table.header(), table.rows())
    with (tmp_path / "a.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["Section [mm²]"] for row in rows][:3] == ["0.22", "0.35", "0.5"]


def test_published_values_stand_beside_the_models_with_their_ratio(qtbot: Any) -> None:
    _, advice = advised(qtbot, van(cable_out=Cable(section_mm2=1.5, length_m=1.0)))
    cells = advice.beside.model.cells
    free_air = next(c for c in cells if "1 loaded core" in c[3].words)
    beside = next(b for b in published(1.5, "pvc") if b.row.arrangement.startswith("1 loaded"))
    assert plain(free_air[0].words) == "24 A"
    assert free_air[2].value == pytest.approx(beside.ratio, abs=1e-3)
    assert len(cells) == len(published(1.5, "pvc"))
    assert "±20 %" in plain(advice.beside_note.text())


def test_a_ratio_beyond_twenty_percent_is_said_to_be_apart() -> None:
    cells = [row[2] for row in words.beside_cells(published(1.5, "pvc"), ENGLISH)]
    far = [cell for cell in cells if isinstance(cell.value, float) and abs(cell.value - 1) > 0.2]
    assert far
    assert all("apart" in cell.words for cell in far)
    near = [cell for cell in cells if isinstance(cell.value, float) and abs(cell.value - 1) <= 0.2]
    assert near
    assert not any("apart" in cell.words for cell in near)


@pytest.mark.parametrize(
    ("tap", "said"),
    [
        ({"cable_out": None}, "The smallest that hold: 10 A mini."),
        ({"ceiling_a": 5.0}, "above what the fuse tap takes"),
        ({"cable_out": Cable(section_mm2=10.0, length_m=1.0)},
         "Fuse and cable hold as they are. The smallest that hold: 10 A mini and 0.75 mm²"),
    ],
)  # fmt: skip
def test_what_cannot_or_need_not_be_done_is_said(tap: Any, said: str) -> None:
    found = proposal(assess(van(**tap)), "tap-1")
    head = plain(words.headline(found))
    assert said in head


def test_an_own_feed_without_a_fuse_asks_for_one() -> None:
    v = edits.place(van(), "accessory-1", slot=None, fuse=None)
    assert "enter the accessory fuse" in words.headline(proposal(assess(v), "tap-1"))


def test_what_neither_fuse_nor_cable_cures_is_said_apart(qtbot: Any) -> None:
    v = edits.change_slot(van(), "slot-1", contact_limit_a=3.0)
    _, advice = advised(qtbot, v)
    assert "No fuse or cable of this tap cures: Live contact" in advice.lines["elsewhere"].text()
    _, sound = advised(qtbot, van())
    assert not sound.lines["elsewhere"].isVisible()


def test_an_edit_elsewhere_brings_the_advice_up_to_date(qtbot: Any) -> None:
    _, advice = advised(qtbot, van())
    advice.document.apply("less", edits.change_accessory, "accessory-1", amperes=1.0)
    QApplication.processEvents()
    assert "2 A mini and 0.5 mm²" in plain(advice.headline.text())


def test_which_columns_have_no_room_is_said_whole_at_any_width(qtbot: Any) -> None:
    view, advice = advised(qtbot, van())
    missing = advice.sections.missing
    for wide in (1600, 520, 640, 1600, 560):
        view.resize(wide, 900)
        qtbot.waitUntil(lambda wide=wide: missing.isVisible() == (wide < 1000))
        assert missing.isHidden() or missing.height() >= missing.heightForWidth(missing.width())
