"""One start on the stage beside the vehicle: by keys alone, with sounds, kept, undone."""

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.style import Style
from fusemap.vehicle import Vehicle, edits
from fusemap.window.crank.page import CrankPage
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.style.theme import PROBE
from tests.assess.test_end_of_a_standing import DIESEL, PETROL, car
from tests.plain import plain

NOW = datetime(2026, 11, 29, 7, 30)
KEYS = {"⏎": Qt.Key.Key_Return, "/": Qt.Key.Key_Slash, "␛": Qt.Key.Key_Escape}


def page_of(vehicle: Vehicle, folder: Path, qtbot: Any, **theme: Any) -> CrankPage:
    from msgspec.structs import replace

    page = CrankPage(Document(vehicle), replace(PROBE, **theme), folder, lambda: NOW)
    qtbot.addWidget(page)
    page.resize(1366, 700)
    with qtbot.waitExposed(page):
        page.show()
    return page


def press(page: CrankPage, qtbot: Any, keys: str) -> None:
    for key in keys:
        if key in KEYS:
            qtbot.keyClick(page, KEYS[key])
        else:
            qtbot.keyClicks(page, key)


WHOLE = "⏎1⏎12.6⏎10.4⏎2⏎"


def test_a_start_is_noted_by_keys_alone_and_undone_in_one_step(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot)
    press(page, qtbot, WHOLE)
    document = page._document
    (reading,) = document.vehicle.battery.crank_readings
    assert (reading.rest_v, reading.crank_v, reading.temperature_c) == (12.6, 10.4, 2.0)
    assert "12.6 V at rest, 10.4 V while it turned" in plain(page.frame.words.text)
    assert "before it" in page.frame.words.text
    document.stack.undo()
    assert document.vehicle.battery.crank_readings == ()
    assert page.state.step == "prepare"


def test_back_at_the_end_takes_it_out_of_the_battery(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot)
    press(page, qtbot, WHOLE + "/")
    assert page._document.vehicle.battery.crank_readings == ()
    assert page.state.step == "temperature_c"


def test_every_key_is_told_by_ear(tmp_path: Path, qtbot: Any, monkeypatch: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot)
    heard: list[str] = []
    monkeypatch.setattr(page.herald, "tell", lambda sound, words="": heard.append(sound))
    press(page, qtbot, "⏎3⏎1⏎99⏎12.6⏎10.4⏎2⏎")
    assert heard == ["stored", "doubted", "stored", "doubted", "stored", "stored", "done"]


def test_a_refusal_is_a_caution_with_its_reason_and_asks_again(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot)
    press(page, qtbot, "⏎1⏎12.6⏎12.5⏎")
    assert "this battery did not crank" in page.frame.words.text
    assert page.state.step == "crank_v"
    press(page, qtbot, "10.4⏎")
    assert page.state.step == "temperature_c"


def test_what_was_typed_is_there_again_after_the_window_was_closed(
    tmp_path: Path, qtbot: Any
) -> None:
    first = page_of(car(**PETROL), tmp_path, qtbot)
    press(first, qtbot, "⏎1⏎12.6⏎10.")
    again = page_of(car(**PETROL), tmp_path, qtbot)
    assert (again.state.step, again.state.typed, again.state.rest_v) == ("crank_v", "10.", 12.6)


def test_a_temperature_is_typed_in_the_unit_that_is_shown(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot, style=Style(temperature="°F"))
    press(page, qtbot, "⏎1⏎12.6⏎10.4⏎14⏎")
    (reading,) = page._document.vehicle.battery.crank_readings
    assert reading.temperature_c == pytest.approx(-10.0)


def test_escape_clears_what_is_typed_and_then_leaves(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(**PETROL), tmp_path, qtbot)
    press(page, qtbot, "⏎1⏎12␛")
    assert (page.state.step, page.state.typed) == ("rest_v", "")
    with qtbot.waitSignal(page.left, timeout=500):
        press(page, qtbot, "␛")


def test_of_an_electric_car_none_is_asked(tmp_path: Path, qtbot: Any) -> None:
    page = page_of(car(starts_by="contactors"), tmp_path, qtbot)
    assert page.state.step == "none"
    with qtbot.waitSignal(page.left, timeout=500):
        press(page, qtbot, "⏎")


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    made = MainWindow(Document(), Settings())
    qtbot.addWidget(made)
    made.resize(1366, 768)
    made.show()
    return made


def test_probing_offers_it_where_nothing_else_is_in_hand_and_it_decides(
    window: MainWindow, qtbot: Any
) -> None:
    vehicle = edits.add_panel(car(stand_days=12.0, **DIESEL), "Cabin", 1, 1)
    window.document.set_vehicle(vehicle, None)
    window.tasks.show("probe")
    probe = window.tasks.probe
    assert probe is not None
    while probe.session.round.kind == "whole" or probe.session.slot is not None:
        whole = probe.session.round.kind == "whole"
        probe.press("next_round" if whole else "skip")
    assert "K: one start" in probe.words.text
    assert "% of the doubt how long it may stand" in probe.words.text
    qtbot.keyClicks(probe, "k")
    assert window.tasks.shown == "crank"
    assert window.tasks.crank is not None
    window.tasks.crank.press("clear")
    assert window.tasks.shown == "probe"
    window.document.apply("Days", edits.change_parking, stand_days=0.0)
    assert "K: one start" not in probe.words.text
    window.document.stack.setClean()
