"""What would help: ticked, several together, before and after, and taken into the plan."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QPushButton

from fusemap.assess import assess
from fusemap.files.demos import read_demo
from fusemap.fixes.together import with_all
from fusemap.text import ENGLISH
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.parked.fitted_list import MORE
from fusemap.window.parked.page_words import gain_words
from fusemap.window.parked.parked_view import ParkedView
from fusemap.window.style.theme import LIGHT
from tests.window.parked.standing_hands import (
    fitted,
    page_of,
    plain,
    row_of,
    settle,
    tick,
    titles,
)


@pytest.fixture
def shown(qtbot: Any) -> ParkedView:
    return page_of(fitted(), qtbot)


def button_of(view: ParkedView) -> QPushButton:
    button = view.findChild(QPushButton, "whatIfApply")
    assert isinstance(button, QPushButton)
    return button


def gain(view: ParkedView, start: str) -> str:
    return plain(row_of(view, start).text()).rpartition(", ")[2]


def test_the_changes_stand_best_first_with_what_they_gain(shown: ParkedView) -> None:
    assert titles(shown)[0].startswith("Mains maintainer")
    days = (assess(with_camera_off(shown)).parked.hours - assess(fitted()).parked.hours) / 24
    assert gain(shown, "Dash camera: off") == f"+{days:.2g} days"


def with_camera_off(view: ParkedView) -> Vehicle:
    found = (*view.what_if.chosen, *view.what_if.others)
    (off,) = (each for each in found if each.key == "off accessory-camera")
    return off.edit(view.document.vehicle)


def test_what_the_changes_gain_stands_in_one_unit(shown: ParkedView) -> None:
    gains = [title.rpartition(", ")[2] for title in titles(shown) if "+" in title]
    assert len(gains) > 3
    assert {each.rpartition(" ")[2].removesuffix("s") for each in gains} == {"day"}
    digits = [each.partition("+")[2].partition(" ")[0] for each in gains]
    assert all(len(each.replace(".", "").lstrip("0")) <= 3 for each in digits)


def test_while_it_is_looking_it_does_not_say_that_nothing_is_known(qtbot: Any) -> None:
    view = ParkedView(Document(read_demo("family_estate")), LIGHT)
    qtbot.addWidget(view)
    told: list[str] = [view.what_if.state.text()]
    view.show()
    qtbot.waitUntil(lambda: view.reckoning.running)
    told.append(view.what_if.state.text())
    assert told == ["Looking …", "Looking …"]
    settle(view, qtbot)
    assert view.what_if.state.text() == "by the usual figures; tick to choose"


def test_the_least_are_folded_and_come_out_by_keys(shown: ParkedView, qtbot: Any) -> None:
    rows = shown.what_if.list
    before = rows.count()
    more = rows.row_of(MORE)
    assert more is not None
    assert more.text().endswith(" more")
    rows.setFocus()
    rows.setCurrentItem(more)
    qtbot.keyClick(rows, Qt.Key.Key_Return)
    assert rows.count() > before
    assert rows.row_of(MORE).text() == "Fewer"


# --- ticked -------------------------------------------------------------------------------------


def test_a_tick_draws_what_it_comes_to_beside_the_case_as_it_is(
    shown: ParkedView, qtbot: Any
) -> None:
    before = shown.headline.text()
    tick(shown, qtbot, "Dash camera: off")
    assert row_of(shown, "Dash camera: off").checkState() == Qt.CheckState.Checked
    figures = shown.chart.figures
    assert figures is not None
    assert [each.key for each in figures.courses] == ["now", "ticked"]
    assert figures.ticked is not None
    assert figures.ticked.charge(168.0) > figures.now.charge(168.0) + 10
    assert shown.headline.text().startswith(f"{before} With the ticked one: ")
    after = assess(with_camera_off(shown))
    assert shown.with_ticked is not None
    assert shown.with_ticked.parked.hours == pytest.approx(after.parked.hours)
    tick(shown, qtbot, "Dash camera: off")
    assert [each.key for each in shown.chart.figures.courses] == ["now"]
    assert shown.headline.text() == before


def test_several_together_are_reckoned_as_one(shown: ParkedView, qtbot: Any) -> None:
    for start in ("Dash camera: off", "Charge it"):
        tick(shown, qtbot, start)
    chosen = shown.what_if.chosen
    assert [each.key for each in chosen] == ["off accessory-camera", "charged"]
    both = assess(with_all(fitted(), chosen))
    assert shown.with_ticked is not None
    assert shown.with_ticked.band.low_h == pytest.approx(both.band.low_h)
    assert shown.take.span.text() == shown.headline.text().partition("ticked: ")[2].rstrip(".")
    assert f"as it is {shown.headline.text()[11:].partition('.')[0]}" in shown.take.before.text()
    assert titles(shown)[0].startswith("Dash camera: off")
    assert titles(shown)[1].startswith("Charge it")


def test_a_gain_is_told_after_what_was_ticked_before_it(shown: ParkedView, qtbot: Any) -> None:
    alone = gain(shown, "Charge it")
    tick(shown, qtbot, "Dash camera: off")
    after = gain(shown, "Charge it")
    assert after != alone
    camera, charged = (
        next(each for each in (*shown.what_if.chosen, *shown.what_if.others) if each.key == key)
        for key in ("off accessory-camera", "charged")
    )
    first = assess(with_all(fitted(), (camera,))).parked.hours
    both = assess(with_all(fitted(), (camera, charged))).parked.hours
    assert after == f"+{(both - first) / 24:.2g} days"


def test_the_verdict_is_that_of_what_is_ticked(shown: ParkedView, qtbot: Any) -> None:
    assert shown.verdict.text() == "It may not stand 9 days, as planned."
    tick(shown, qtbot, "Mains maintainer")
    assert shown.verdict.text() == "Even so it may not stand 9 days, as planned."
    summer = {"engine_fuel": "petrol", "engine_l": 1.2, "coldest_c": 20.0, "stand_days": 2.0}
    shown.document.apply("Summer", lambda v: edits.change_parking(v, **summer))
    settle(shown, qtbot)
    assert shown.verdict.text() == "With what is ticked it stands 2 days, as planned."


def test_a_click_anywhere_on_the_row_ticks_it(shown: ParkedView, qtbot: Any) -> None:
    rows = shown.what_if.list
    place = rows.visualItemRect(row_of(shown, "Charge it"))
    qtbot.waitUntil(lambda: rows.viewport().height() > place.bottom())
    for part in (0.02, 0.5, 0.98):
        before = row_of(shown, "Charge it").checkState()
        place = rows.visualItemRect(row_of(shown, "Charge it"))
        at = QPoint(round(place.width() * part), place.center().y())
        qtbot.mouseClick(rows.viewport(), Qt.MouseButton.LeftButton, pos=at)
        settle(shown, qtbot)
        assert row_of(shown, "Charge it").checkState() != before


def test_ticks_survive_an_edit_where_the_change_is_still_there(
    shown: ParkedView, qtbot: Any
) -> None:
    tick(shown, qtbot, "Dash camera: off")
    shown.document.apply("Colder", edits.change_parking, temperature_c=2.0)
    settle(shown, qtbot)
    assert [each.key for each in shown.what_if.chosen] == ["off accessory-camera"]
    assert shown.chart.figures is not None
    assert shown.chart.figures.ticked is not None


def test_a_tick_never_shows_what_was_ticked_before(shown: ParkedView, qtbot: Any) -> None:
    tick(shown, qtbot, "Dash camera: off")
    old = shown.take.span.text()
    rows = shown.what_if.list
    rows.setCurrentItem(row_of(shown, "Mains maintainer"))
    qtbot.keyClick(rows, Qt.Key.Key_Space)
    assert old not in shown.headline.text()
    assert shown.take.span.text() == "•••"
    settle(shown, qtbot)
    assert "•" not in shown.headline.text() + shown.take.span.text()


# --- taken into the plan ------------------------------------------------------------------------


def test_what_is_ticked_is_one_step_to_be_undone(shown: ParkedView, qtbot: Any) -> None:
    vehicle = shown.document.vehicle
    assert not button_of(shown).isEnabled()
    for start in ("Dash camera: off", "Charge it"):
        tick(shown, qtbot, start)
        assert button_of(shown).isEnabled()
    expected = shown.take.span.text()
    qtbot.mouseClick(button_of(shown), Qt.MouseButton.LeftButton)
    after = shown.document.vehicle
    assert after.battery.start_soc == 1.0
    camera = next(a for a in after.accessories if a.id == "accessory-camera")
    assert "asleep" not in camera.works_in
    settle(shown, qtbot)
    assert shown.headline.text() == f"Starts for {expected}."
    assert not any(title.startswith("Dash camera: off") for title in titles(shown))
    assert "Dash camera: off while parked" in shown.document.stack.undoText()
    shown.document.stack.undo()
    assert shown.document.vehicle == vehicle


def test_nothing_ticked_is_nothing_to_take(shown: ParkedView) -> None:
    assert not button_of(shown).isEnabled()
    before = shown.document.vehicle
    shown.apply()
    assert shown.document.vehicle is before


def test_after_it_is_taken_the_keyboard_stays_in_the_list(window: MainWindow, qtbot: Any) -> None:
    """Not on what stands below the list, scrolled to with the list out of sight."""
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 4, 8)
    window.resize(1366, 768)
    window.document.set_vehicle(edits.change_parking(vehicle, rest_current_a=0.3))
    window.focus_pane("parked")
    assert window.work is not None
    view = window.work.parked
    qtbot.waitUntil(lambda: view.what_if.list.count() > 0)
    settle(view, qtbot)
    rows = view.what_if.list
    rows.setFocus()
    rows.setCurrentRow(0)
    qtbot.keyClick(rows, Qt.Key.Key_Space)
    settle(view, qtbot)
    button = button_of(view)
    assert button.isEnabled()
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    qtbot.wait(60)
    assert window.document.stack.canUndo()
    assert rows.hasFocus()


# --- room ---------------------------------------------------------------------------------------


def test_a_long_change_wraps_and_the_list_grows_with_it(shown: ParkedView, qtbot: Any) -> None:
    rows = shown.what_if.list
    before = rows.height()
    assert rows.verticalScrollBar().maximum() == 0
    shown.what_if.setFixedWidth(shown.fontMetrics().averageCharWidth() * 34)
    qtbot.waitUntil(lambda: rows.height() > before)
    qtbot.waitUntil(lambda: rows.verticalScrollBar().maximum() == 0)


def test_every_row_is_easy_to_hit(shown: ParkedView) -> None:
    rows = shown.what_if.list
    em = shown.fontMetrics().height()
    high = [rows.visualItemRect(rows.item(n)).height() for n in range(rows.count())]
    assert min(high) >= 1.7 * em


@pytest.mark.parametrize(
    ("gained_h", "longest_h", "words"),
    [
        (1.5, 160.0, "+1.5 hours"),
        (11.0, 160.0, "+11 hours"),
        (58.0, 160.0, "+2.4 days"),
        (11.0, 30.0, "+11 hours"),
        (0.8, 1.5, "+48 minutes"),
        (0.2, 160.0, "nothing more"),
    ],
)
def test_a_gain_of_less_than_a_day_is_said_in_hours(
    gained_h: float, longest_h: float, words: str
) -> None:
    """“0.063 days” tells nobody anything."""
    assert ENGLISH.show(gain_words(gained_h, longest_h, past=False)) == words
