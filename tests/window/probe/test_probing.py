"""Twelve slots, three states, one hand: by key presses alone, with mistakes and undo."""

from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest

from fusemap.probing.plan import Round
from fusemap.probing.session import impossible
from fusemap.probing.walking import begin
from fusemap.text import Style
from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.probe.meter_setting import holding, on_its_display
from fusemap.window.probe.page import ProbePage
from fusemap.window.style.theme import PROBE, contrast
from tests.window.probe.hand import Clock, press

# What each slot really is: class, and the millivolts it shows asleep.
TRUTH = {
    1: ("permanent", 0.4),
    2: ("permanent", 1.1),
    3: ("accessory", None),
    4: ("ignition", None),
    5: ("permanent", 0.0),
    6: ("unfed", None),
    7: ("accessory", None),
    8: ("ignition", None),
    9: ("permanent", 2.3),
    10: ("ignition", None),
    11: ("accessory", None),
    12: ("unfed", None),
}


def classes(document: Document) -> dict[int, str]:
    return {n: look_up.slot(document.vehicle, f"slot-{n}").feed_class for n in TRUTH}


def test_a_panel_is_probed_through_three_states_by_keys_alone(
    page: ProbePage, document: Document, clock: Clock
) -> None:
    # the whole vehicle first: 320 mA an hour after locking
    count = press(page, "l")
    clock.wait(62)
    count += press(page, "0.320⏎⏎")
    assert document.vehicle.parking.rest_current_a == pytest.approx(0.320)
    assert page.banner.text == "ASLEEP"

    # asleep: value and Enter where current flows, - where dead, +0 where live and idle
    slots = press(page, ".4⏎1.1⏎-⏎-⏎+0⏎")
    slots += press(page, "+⏎/-⏎")  # slot 6: a slip, taken back
    slots += press(page, "-⏎-⏎23⏎⎋2.3⏎")  # slot 9: 23 is asked about
    slots += press(page, "-⏎12⌫⌫-⏎-⏎")
    assert page.banner.text == "ASLEEP"
    assert page.session.slot is None
    asked = press(page, "⏎")

    # key at accessory: only the eight that were dead
    assert page.banner.text == "KEY AT ACCESSORY"
    assert page.session.slot == "slot-3"
    slots += press(page, "+⏎-⏎-⏎-⏎")  # slot 7 read as dead: wrong
    slots += press(page, "/+⏎-⏎-⏎+⏎-⏎")
    asked += press(page, "⏎")

    # ignition on: only the five that were dead in both
    assert page.banner.text == "IGNITION ON"
    slots += press(page, "+⏎-⏎+⏎+⏎-⏎")

    assert classes(document) == {n: feed_class for n, (feed_class, _) in TRUTH.items()}
    loads = {n: look_up.slot(document.vehicle, f"slot-{n}").own_load.asleep for n in TRUTH}
    # 0.4 mV / 17.75 mΩ, 1.1 mV / 7.42 mΩ, 2.3 mV / 17.75 mΩ: MINI 297 data sheet, cold values
    assert loads[1] == pytest.approx(0.0225, abs=0.0005)
    assert loads[2] == pytest.approx(0.148, abs=0.001)
    assert loads[5] == 0.0
    assert loads[9] == pytest.approx(0.1295, abs=0.001)
    assert [loads[n] for n in (3, 4, 6, 12)] == [None] * 4

    # every mistake is still in the list, and every reading is one step of the history
    assert sum(r.withdrawn for r in document.vehicle.readings) == 2
    readings = 12 + 8 + 5 + 2
    assert count == 8
    assert slots / readings < 3.0, "keys for each slot and state, mistakes among them"
    assert asked == 2


def test_value_and_enter_is_all_there_is_to_type(page: ProbePage, document: Document) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    assert press(page, "1⏎") == 2
    assert page.session.slot == "slot-2"
    assert document.vehicle.readings[-1].value == 1.0


def test_every_reading_is_one_step_that_the_history_undoes(
    page: ProbePage, document: Document
) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    press(page, "1⏎-⏎")
    assert document.stack.count() == 2
    assert document.stack.undoText() == "Read F2"
    document.stack.undo()
    document.stack.undo()
    assert document.vehicle.readings == ()
    assert look_up.slot(document.vehicle, "slot-1").feed_class == "unknown"
    assert impossible(page.session, document.vehicle) == ()
    document.stack.redo()
    assert len(document.vehicle.readings) == 1


def test_it_goes_on_where_it_was_left_at_any_key(
    page: ProbePage, document: Document, clock: Clock, tmp_path: Path, qtbot: Any
) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    press(page, "1⏎-⏎0,")
    again = ProbePage(document, PROBE, tmp_path, clock)  # as after a crash: nothing was closed
    qtbot.addWidget(again)
    assert again.session == page.session
    assert again.session.typed == "0,"
    assert again.session.slot == "slot-3"


def test_the_page_speaks_the_readers_language(
    document: Document, clock: Clock, tmp_path: Path, qtbot: Any
) -> None:
    made = ProbePage(document, replace(PROBE, style=Style("de")), tmp_path, clock)
    qtbot.addWidget(made)
    made.resize(1100, 700)
    with qtbot.waitExposed(made):
        made.show()
    made._take(begin(made.session, document.vehicle, Round(state="asleep")))
    press(made, "l")
    clock.wait(3)
    made._show_timers()
    assert made.words.text.startswith("Verriegelt")
    assert made.progress.text == "12 übrig in dieser Runde"
    press(made, "0,4⏎")
    assert "0,4\u202fmV" in made.last.text
    assert made.stage.description() == "F2, 10\u202fA"
    press(made, "←")
    assert made.stage.description() == "F1, 5\u202fA, 0,4\u202fmV"


def test_what_cannot_be_is_asked_in_words_and_with_a_sign(
    page: ProbePage, document: Document
) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    press(page, "900⏎")
    assert "⚠" in page.words.text
    assert "would have opened" in page.words.text
    assert "the same once more" in page.words.text
    assert document.vehicle.readings == ()
    press(page, "900⏎")
    assert document.vehicle.readings[0].repeated


def test_the_alarm_is_seen_and_heard_once_or_quiet(
    page: ProbePage, document: Document, clock: Clock
) -> None:
    heard: list[str] = []
    page.herald.sounded.connect(heard.append)
    page._take(begin(page.session, document.vehicle, Round(state="accessory")))
    press(page, "+⏎+⏎")
    page._take(begin(page.session, document.vehicle, Round(state="awake")))
    assert "Lock" in page.stage._no_slot_words()
    press(page, "⏎")
    clock.wait(0.5)
    press(page, "+⏎-⏎")
    assert page.session.slot is None
    page._show_timers()
    assert page.clock.text.startswith("0:30")
    clock.wait(1)
    page.hear(False)
    heard.clear()
    page._show_timers()
    assert page.clock.text == "READ AGAIN NOW"
    assert heard == []
    page.hear(True)
    page._rung.clear()
    page._show_timers()
    page._show_timers()
    assert heard == ["done"], "once for each alarm"
    press(page, "⏎")
    assert page.session.slot == "slot-1"


def test_the_screen_stays_on_while_a_timer_runs_and_only_then(
    page: ProbePage, clock: Clock
) -> None:
    assert not page._awake.held
    press(page, "l")
    page._show_timers()
    assert page._awake.held
    clock.wait(70)
    page._show_timers()
    assert not page._awake.held
    page._awake.hold()
    page.hide()
    assert not page._awake.held


def test_everything_written_has_a_contrast_of_seven_to_one(page: ProbePage) -> None:
    for role in ("text", "muted_text", "accent", "caution", "stop"):
        for ground in ("window", "base", "raised"):
            assert contrast(getattr(PROBE, role), getattr(PROBE, ground)) >= 7
    assert page.palette().color(page.backgroundRole()) == PROBE.colour("window")


@pytest.mark.parametrize("size", [(1920, 1080), (1366, 700), (683, 384)])
def test_the_state_is_in_letters_that_fill_the_head_of_the_page(
    page: ProbePage, size: tuple[int, int], qtbot: Any
) -> None:
    page.resize(*size)
    QCoreApplication.processEvents()
    assert page.width() <= size[0] + 1
    assert page.height() <= size[1] + 1
    # a twelfth of the height, at the least: 15 mm on a usual laptop, readable from 1.5 m
    assert page.banner.height() >= page.height() / 12


def test_a_screen_reader_is_told_slot_entry_and_question(
    page: ProbePage, document: Document
) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    assert page.stage.accessibleDescription().startswith("F1, 5\u202fA")
    press(page, "900")
    assert "900" in page.entry.accessibleDescription()
    press(page, "⏎")
    assert "would have opened" in page.words.accessibleDescription()
    for part in (page.banner, page.clock, page.stage, page.entry, page.words):
        assert part.accessibleName()


def test_keys_with_ctrl_or_alt_are_not_for_the_session(page: ProbePage) -> None:
    before = page.session
    QTest.keyClick(page, Qt.Key.Key_1, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(page, Qt.Key.Key_M, Qt.KeyboardModifier.AltModifier)
    assert page.session == before


def test_options_change_the_walk_and_escape_comes_back(page: ProbePage, document: Document) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    press(page, "o")
    assert page.options.isVisible()
    page.options.corner.setCurrentIndex(3)
    page.options.corner.activated.emit(3)
    assert page.session.slot == "slot-12"
    page.options.mirrored.click()
    assert page.session.slot == "slot-7"
    page.options.by.setText("Kim")
    page.options.by.editingFinished.emit()
    page.setFocus()
    press(page, "-⏎")
    assert document.vehicle.readings[0].by == "Kim"


def test_a_click_takes_a_neighbour_in_hand(page: ProbePage, document: Document) -> None:
    page._take(begin(page.session, document.vehicle, Round(state="asleep")))
    page.stage.grab()
    place = next(place for place, slot_id in page.stage._places if slot_id == "slot-8")
    QTest.mouseClick(page.stage, Qt.MouseButton.LeftButton, pos=place.center().toPoint())
    assert page.session.slot == "slot-8"


def test_the_hunt_pulls_the_largest_first(
    page: ProbePage, document: Document, clock: Clock
) -> None:
    press(page, "l")
    clock.wait(61)
    press(page, ".5⏎⏎")
    press(page, "1.1⏎2.5⏎")
    page._take(begin(page.session, document.vehicle, Round(kind="whole", state="asleep")))
    assert "Pull F2 next" in page.evidence.text
    press(page, "p")
    assert page.session.fuse_out == "slot-2"
    press(page, ".16⏎")
    assert look_up.slot(document.vehicle, "slot-2").own_load.asleep == pytest.approx(0.34)
    assert "F1 next" in page.evidence.text
    assert "plugged into this vehicle" in page.words.text


def test_a_round_says_between_which_places_the_meter_is_held(page: ProbePage) -> None:
    """Live or dead is volts against the body, the current millivolts across the fuse."""
    press(page, "⏎")
    assert "Why: what is live asleep feeds day and night" in page.words.text
    press(page, "⏎")
    assert page.session.round.kind == "sweep"
    assert "bare metal" in page.words.text
    assert "across the fuse" in page.words.text
    assert page.entry.text == "▁ +  −  mV"
    press(page, "4")
    assert page.entry.text == "4▁ mV"


def test_live_or_dead_is_answered_by_a_sign_that_has_no_unit(
    page: ProbePage, document: Document
) -> None:
    """Millivolts are asked besides asleep alone; where a sign is typed volts are held."""
    press(page, "⏎⏎")
    assert page.entry.text == "▁ +  −  mV"
    for sign, shown in (("+", "+▁"), ("⌫-", "−▁"), ("⌫+0", "+0▁ mV")):
        press(page, sign)
        assert page.entry.text == shown
    press(page, "⎋")
    for state in ("accessory", "ignition"):
        page._take(begin(page.session, document.vehicle, Round(state=state)))
        assert page.entry.text == "▁ +  −"
        press(page, "+")
        assert page.entry.text == "+▁"
        press(page, ".4")
        assert page.entry.text == "+.4▁ mV"  # whoever types millivolts sees that it is they
        press(page, "⎋")


def test_the_drawn_meter_shows_figures_and_never_a_sign(
    page: ProbePage, document: Document
) -> None:
    press(page, "⏎⏎+")
    held = holding(page.session, document.vehicle)
    assert (held.setting.range, held.tips) == ("V", "body")
    assert on_its_display(page.session, "V") == "–"
    press(page, "0.4")
    assert holding(page.session, document.vehicle).setting.range == "mV"
    assert on_its_display(page.session, "mV") == "0.4 mV"


def test_with_no_slot_in_hand_no_key_stands_there_that_does_nothing(page: ProbePage) -> None:
    press(page, "⏎⏎")
    assert {"+", "-"} <= {key.press for key in page.frame.picture.keys}
    while page.session.slot is not None:
        press(page, "-⏎")
    shown = {key.press for key in page.frame.picture.keys}
    assert not shown & {"+", "-"}
    press(page, "+")
    assert page.words.text.startswith("Press Enter to go on")
