"""Predicted beside measured on the stage, by keys; causes where they differ; signed by name."""

from datetime import datetime
from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.errors import InputProblem
from fusemap.probing import final_check
from fusemap.probing.check_step import read_answer
from fusemap.text import Style
from fusemap.vehicle import Cable, Fuse, edits
from fusemap.window.document import Document
from fusemap.window.probe.check_card import scale_ends
from fusemap.window.probe.check_page import CheckPage
from fusemap.window.probe.check_way import RED_BLACK, holding
from fusemap.window.style.theme import PROBE
from tests.checks.test_sockets import towing
from tests.vehicles import one_slot, with_accessory
from tests.window.looked_at import Written, watched
from tests.window.probe.hand import Clock

ENTER = Qt.Key.Key_Return


@pytest.fixture
def document(qapp: Any) -> Document:
    vehicle = with_accessory(
        one_slot(circuit="Radio"), 5.0, fuse=Fuse(family="mini", rating=7.5),
        cable_out=Cable(section_mm2=1.5, length_m=3.0),
        cable_back=Cable(section_mm2=1.5, length_m=1.0),
    )  # fmt: skip
    return Document(vehicle)


@pytest.fixture
def page(document: Document, clock: Clock, qtbot: Any) -> CheckPage:
    made = CheckPage(document, PROBE, clock)
    qtbot.addWidget(made)
    made.resize(1000, 600)
    made.show()
    qtbot.waitExposed(made)
    return made


@pytest.fixture
def heard(page: CheckPage) -> list[str]:
    names: list[str] = []
    page.herald.sounded.connect(names.append)
    return names


def verdicts(page: CheckPage) -> list[str]:
    return [step.verdict for step in page.steps]


def row_of(page: CheckPage, key: str) -> int:
    return [step.key for step in page.steps].index(key)


def go_to(page: CheckPage, key: str) -> None:
    """By arrows, as a hand does."""
    while page.current().key != key:
        ahead = row_of(page, key) > page.steps.index(page.current())
        QTest.keyClick(page, Qt.Key.Key_Right if ahead else Qt.Key.Key_Left)


def press(keys: str) -> None:
    """Type where the keyboard is, as a hand does; `\\n` is Enter, a blank the space bar."""
    for key in keys:
        focused = QApplication.focusWidget()
        assert focused is not None
        if key == "\n":
            QTest.keyClick(focused, ENTER)
        else:
            QTest.keyClicks(focused, key)


def click(button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def click_key(page: CheckPage, name: str) -> None:
    """Click a key of the picture."""
    picture = page.frame.picture
    place = next(place for key, place in picture.places() if key.press == name)
    QTest.mouseClick(picture, Qt.MouseButton.LeftButton, pos=place.center().toPoint())


def main_key(page: CheckPage) -> str:
    """What the filled key says."""
    return next(key.words for key in page.frame.picture.keys if key.place == "main")


def test_every_step_stands_in_the_list_with_its_prediction(
    page: CheckPage, document: Document
) -> None:
    QTest.keyClick(page, Qt.Key.Key_End)
    table = page.end.table
    assert table.isVisible()
    assert table.rowCount() == len(final_check.steps(document.vehicle, document.assessment))
    assert table.item(row_of(page, "stays_on"), 1).text() == "yes"
    assert {table.item(row, 3).text() for row in range(table.rowCount())} == {""}


def test_each_lamp_pin_of_a_tow_socket_is_a_step_with_both_tips_at_the_socket(
    qtbot: Any, clock: Clock
) -> None:
    document = Document(towing())
    page = CheckPage(document, PROBE, clock)
    qtbot.addWidget(page)
    page.resize(1000, 600)
    page.show()
    qtbot.waitExposed(page)
    go_to(page, "lamp_pin")
    step = page.current()
    assert (step.pin, step.target) == (1, "socket")
    assert page.frame.how.accessibleDescription() == "Tow socket"
    asked = page.frame.question.accessibleDescription()
    assert asked == "Pin 1 of Tow socket: left direction indicator"
    red, black = page.way.tips(step)
    place = next(pad for station, pad in page.way.places() if station.part == "socket")
    assert place.left() < red.x() < black.x() < place.right()
    QTest.keyClicks(page, "12,1")
    QTest.keyClick(page, ENTER)
    reading = document.vehicle.readings[-1]
    assert (reading.target, reading.target_id, reading.pin) == ("socket", "socket-1", 1)
    assert page.current().pin == 2


def test_yes_and_figures_go_on_to_the_next_open_step(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    press("+\n12,5\n+\n+\n5,1\n")
    assert page.current().key == "volts"
    readings = document.vehicle.readings
    assert [(r.quantity, r.value) for r in readings] == [
        ("grips", 1.0), ("polarity", pytest.approx(12.5)), ("stays_on", 1.0), ("works", 1.0),
        ("clamp_current", pytest.approx(5.1)),
    ]  # fmt: skip
    assert {r.purpose for r in readings} == {"check"}
    assert verdicts(page)[:5] == ["agrees"] * 5
    assert heard == ["stored"] * 5


def test_the_keys_in_the_picture_do_what_they_say(page: CheckPage, document: Document) -> None:
    assert main_key(page) == "pass over"
    click_key(page, "+")
    assert main_key(page) == "store"
    click_key(page, "enter")
    assert [r.quantity for r in document.vehicle.readings] == ["grips"]
    assert page.current().key == "polarity"


def test_where_it_differs_it_stays_and_names_causes(page: CheckPage, heard: list[str]) -> None:
    go_to(page, "stays_on")
    heard.clear()
    row = row_of(page, "stays_on")
    press("-\n")
    assert page.current().key == "stays_on"
    assert verdicts(page)[row] == "differs"
    assert heard == ["doubted"]
    assert "wrong way round" in page.causes.text
    assert main_key(page) == "go on as it is"
    press("/")
    assert verdicts(page)[row] == "open", "the reading was taken back"
    press("+\n")  # the tap was turned: read again
    assert verdicts(page)[row] == "agrees"
    assert page.current().key == "host"


def test_enter_goes_on_from_what_differs_and_leaves_it_so(page: CheckPage) -> None:
    press("-\n\n")
    assert page.current().key == "polarity"
    assert verdicts(page)[0] == "differs"


def test_one_key_takes_the_measured_current_into_the_plan_in_one_step(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    before = document.assessment.parked.hours
    go_to(page, "current")
    heard.clear()
    press("9\n")
    assert verdicts(page)[row_of(page, "current")] == "differs"
    assert "accessory fuse" in page.causes.text, "what the plan would say is told before"
    steps = document.stack.count()
    press("*")
    assert document.stack.count() == steps + 1
    assert document.vehicle.accessories[0].amperes == pytest.approx(9.0)
    assert verdicts(page)[row_of(page, "current")] == "agrees"
    assert page.current().key == "volts"
    assert heard == ["doubted", "stored"]
    assert document.assessment.parked.hours <= before
    document.stack.undo()
    assert document.vehicle.accessories[0].amperes != pytest.approx(9.0)
    assert verdicts(page)[row_of(page, "current")] == "differs"


def test_the_key_that_takes_in_stands_only_where_there_is_something_to_take(
    page: CheckPage,
) -> None:
    go_to(page, "earth")
    press("900\n")
    assert verdicts(page)[row_of(page, "earth")] == "differs"
    assert "*" not in [key.press for key in page.frame.picture.keys]


def test_the_key_that_takes_in_is_not_offered_where_the_plan_refuses_it(
    page: CheckPage, document: Document
) -> None:
    """An accessory that draws nothing: the plan knows no current of 0 A."""
    refused: list[object] = []
    document.refused.connect(refused.append)
    go_to(page, "current")
    press("0\n")
    assert verdicts(page)[row_of(page, "current")] == "differs"
    assert "The plan cannot take it" in page.causes.text
    assert "*" not in [key.press for key in page.frame.picture.keys]
    press("*")
    assert refused == []
    assert page.current().key != "current", "as everywhere else it passes over"


def test_what_is_no_such_reading_is_told_and_stored_nowhere(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    go_to(page, "volts")
    heard.clear()
    press("5A\n")
    assert "not in V" in page.causes.text
    assert document.vehicle.readings == ()
    assert heard == ["doubted"]


def test_milliamperes_typed_as_amperes_are_asked_for_once_more(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    """5 A are predicted: what the meter shows in mA is a thousand times the figure."""
    go_to(page, "current")
    heard.clear()
    press("5020\n")
    assert document.vehicle.readings == ()
    assert "mA behind the figure" in page.causes.text
    assert heard == ["doubted"]
    press("\n")
    assert document.vehicle.readings == ()
    assert page.current().key == "current", "Enter behind it passes nothing over"
    press("5020ma\n")
    assert [reading.value for reading in document.vehicle.readings] == [pytest.approx(5.02)]


def test_a_current_that_hardly_can_be_is_kept_when_it_is_typed_once_more(
    page: CheckPage, document: Document
) -> None:
    for _ in range(2):
        go_to(page, "current")
        press("900\n")
    assert [reading.value for reading in document.vehicle.readings] == [900.0]


def test_units_are_taken_into_the_steps_own(page: CheckPage) -> None:
    steps = {step.key: step for step in page.steps}
    assert read_answer(steps["current"], "350ma") == (pytest.approx(0.35), None)
    assert read_answer(steps["earth"], "0.12v")[0] == pytest.approx(120.0)
    assert read_answer(steps["host_drop"], "40")[0] == pytest.approx(40.0)
    assert read_answer(steps["evening"], "12600mv")[0] == pytest.approx(12.6)
    with pytest.raises(InputProblem, match="yes or no"):
        read_answer(steps["warm"], "3")
    with pytest.raises(InputProblem, match="figure"):
        read_answer(steps["volts"], "+")


def test_no_is_typed_as_a_letter_or_a_sign(page: CheckPage, document: Document) -> None:
    go_to(page, "stays_on")
    press("n\n\n-\n")
    assert [r.value for r in document.vehicle.readings] == [0.0, 0.0]


def test_a_figure_to_a_question_is_refused_at_its_key(page: CheckPage, heard: list[str]) -> None:
    press("7")
    assert (page.typed, heard) == ("", ["doubted"])


def test_a_figure_typed_blind_to_a_question_passes_nothing_over(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    """Somebody who is one step ahead hears it, and stays where the question is."""
    asked = page.current().key
    press("0.9\n")
    assert page.current().key == asked
    assert set(heard) == {"doubted"}
    press("9")
    assert "Yes or no" in page.frame.words.text
    press("+\n")
    assert [r.value for r in document.vehicle.readings] == [1.0]


def test_a_yes_typed_blind_to_a_figure_passes_nothing_over(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    go_to(page, "current")
    heard.clear()
    press("y\n")
    assert page.current().key == "current"
    assert heard == ["doubted", "doubted"]
    press("n")
    assert "A figure is asked here, in A" in page.frame.words.text
    press("5\n")
    assert document.vehicle.readings[-1].value == 5.0


def test_enter_with_nothing_typed_passes_over_and_says_so(
    page: CheckPage, document: Document, heard: list[str]
) -> None:
    press("\n")
    assert (page.current().key, heard) == ("polarity", ["doubted"])
    assert document.vehicle.readings == ()


def test_half_an_answer_to_a_step_that_is_gone_goes_with_it(
    page: CheckPage, document: Document
) -> None:
    go_to(page, "earth")
    press("13")
    document.apply("Away", edits.unplace, "tap-1")
    assert page.typed == ""
    press("\n")
    assert document.vehicle.readings == ()


class TestSigning:
    def test_a_figure_and_enter_are_a_reading_and_no_signature(
        self, page: CheckPage, document: Document
    ) -> None:
        click_key(page, "+")
        click_key(page, "enter")
        press("12.5\n+\n+\n0.33\n")
        assert document.vehicle.sign_offs == ()
        assert page.end.by.text() == ""
        current = document.vehicle.readings[-1]
        assert (current.quantity, current.value) == ("clamp_current", pytest.approx(0.33))

    def test_no_number_of_enters_ever_signs(self, page: CheckPage, document: Document) -> None:
        for _ in range(len(page.steps) + 3):
            press("\n")
        QTest.keyClick(page, Qt.Key.Key_End)
        page.end.by.setText("Kim")
        for part in (page.end.table, page.end.by):
            part.setFocus()
            press("\n")
            if not page.end.isVisible():
                page.show_end()
        assert document.vehicle.sign_offs == ()

    def test_it_needs_a_name(self, page: CheckPage, document: Document) -> None:
        refused: list[Any] = []
        document.refused.connect(refused.append)
        page.show_end()
        click(page.end.sign)
        assert "nobody" in refused[0].what
        assert document.vehicle.sign_offs == ()

    def test_enter_behind_the_name_goes_to_the_button(
        self, page: CheckPage, document: Document
    ) -> None:
        page.show_end()
        page.end.by.setFocus()
        press("Kim\n")
        assert document.vehicle.sign_offs == ()
        assert QApplication.focusWidget() is page.end.sign

    def test_while_steps_are_open_it_asks_first_and_keeps_the_count(
        self, page: CheckPage, document: Document
    ) -> None:
        press("+\n")
        page.show_end()
        page.end.by.setFocus()
        press("Kim\n")
        press(" ")
        assert document.vehicle.sign_offs == ()
        left = len(page.steps) - 1
        assert page.end.asking.isVisible()
        assert str(left) in page.end.asking_words.text()
        # narrow or in large type it takes a second line, and none of it is cut
        words = page.end.asking_words
        assert words.wordWrap()
        assert words.height() >= words.heightForWidth(words.width())
        click(page.end.sign_open)
        signed = document.vehicle.sign_offs[0]
        assert (signed.by, signed.passed, signed.differing) == ("Kim", 1, 0)
        assert signed.left_open == left
        assert not page.end.asking.isVisible()
        assert QApplication.focusWidget() is page.end.table
        assert "Kim" in page.end.signatures.text()
        assert Style().forms.moment(datetime.fromisoformat(signed.when)) in (
            page.end.signatures.text()
        )
        assert "the plan is as it was signed" in page.end.signatures.text()
        document.apply("Turn", edits.change_tap, "tap-1", way_round="load_side")
        assert "was changed after it" in page.end.signatures.text()
        document.stack.undo()
        document.stack.undo()
        assert document.vehicle.sign_offs == ()

    def test_what_is_asked_moves_nothing_and_a_second_click_signs_nothing(
        self, page: CheckPage, document: Document
    ) -> None:
        press("+\n")
        page.show_end()
        page.end.by.setText("Kim")
        table, there = page.end.table.geometry(), page.end.foot.geometry()
        at = page.end.sign.mapTo(page, page.end.sign.rect().center())
        click(page.end.sign)
        QApplication.processEvents()
        assert page.end.asking.isVisible()
        assert (page.end.table.geometry(), page.end.foot.geometry()) == (table, there)
        assert page.childAt(at) is page.end.go_open
        assert QApplication.focusWidget() is page.end.go_open
        press("\n")
        assert document.vehicle.sign_offs == ()

    def test_instead_of_signing_it_goes_to_an_open_step(
        self, page: CheckPage, document: Document
    ) -> None:
        press("+\n")
        page.show_end()
        page.end.by.setText("Kim")
        click(page.end.sign)
        click(page.end.go_open)
        assert page.current().verdict == "open"
        assert page.frame.isVisible()
        press("+\n")
        assert document.vehicle.sign_offs == ()
        assert len(document.vehicle.readings) == 2

    def test_a_step_of_the_list_is_gone_to_by_enter(self, page: CheckPage) -> None:
        QTest.keyClick(page, Qt.Key.Key_End)
        page.end.table.setCurrentCell(row_of(page, "earth"), 0)
        press("\n")
        assert page.frame.isVisible()
        assert page.current().key == "earth"
        press("13")
        assert page.typed == "13"


class TestPlusAndMinusAtThePlug:
    """Before the accessory is connected: a figure with its sign, never green without one."""

    def test_what_a_reading_means_is_told_before_it_is_taken(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        assert page.frame.banner.accessibleDescription() == "KEY OFF"
        assert "A minus sign: they are swapped" in page.causes.text
        assert page.causes.text.endswith("fuse out, connect it, fuse in.")
        assert "Connect nothing" in page.meter.accessibleDescription()
        press("\n")
        assert page.current().key == "stays_on"
        assert verdicts(page)[row_of(page, "polarity")] == "open"

    def test_the_tips_are_at_the_end_of_the_cable_and_nothing_hangs_on_it(
        self, page: CheckPage, document: Document
    ) -> None:
        go_to(page, "polarity")
        way = page.way
        places = {station.part: pad for station, pad in way.places()}
        red, black = way.tips(page.current())
        cable, accessory = places["cable"], places["accessory"]
        assert cable.left() < red.x() < black.x() < cable.right()
        between = QPoint(round((cable.right() + accessory.left()) / 2), round(cable.center().y()))
        open_ = way.grab().toImage().pixelColor(between)
        go_to(page, "volts")
        assert way.grab().toImage().pixelColor(between) != open_

    def test_a_minus_sign_stays_until_it_is_read_the_right_way_round(
        self, page: CheckPage, document: Document, heard: list[str]
    ) -> None:
        go_to(page, "polarity")
        heard.clear()
        row = row_of(page, "polarity")
        press("-12,4\n")
        assert (page.current().key, verdicts(page)[row]) == ("polarity", "differs")
        assert heard == ["doubted"]
        assert page.causes.text.startswith("1  Plus and minus are swapped")
        assert "2  " not in page.causes.text, "one thing is to be done"
        assert main_key(page) == "read it again"
        press("\n")
        assert (page.current().key, verdicts(page)[row]) == ("polarity", "open")
        press("12,4\n")
        assert (page.current().key, verdicts(page)[row]) == ("stays_on", "agrees")
        values = [(r.value, r.withdrawn) for r in document.vehicle.readings]
        assert values == [(pytest.approx(-12.4), True), (pytest.approx(12.4), False)]

    def test_a_right_reading_typed_over_a_wrong_one_counts(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        press("-12,4\n12,4\n")
        assert verdicts(page)[row_of(page, "polarity")] == "agrees"

    def test_who_leaves_it_swapped_has_it_red(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        press("-12,4\n*")
        assert page.current().key == "stays_on"
        assert verdicts(page)[row_of(page, "polarity")] == "differs"

    def test_the_scale_reaches_down_to_a_minus(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        press("-12,4\n")
        start, end = scale_ends(page.current())
        assert start < -12.4
        assert end > 12.4
        found: list[Written] = []
        with watched(found):
            page.card.grab()
        figures = {each.text: each.place for each in found}
        line = figures["predicted"].left()
        assert all(place.left() >= line - 1 for place in figures.values()), "at the card's edge"

    def test_the_unit_that_is_typed_stands_there_once(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        press("-12,4v")
        found: list[Written] = []
        with watched(found):
            page.card.grab()
            page.meter.grab()
        shown = [each.text for each in found if "12,4" in each.text]
        assert shown == ["−12,4 V▁", "−12,4 V"]

    def test_nothing_read_is_not_said_to_be_swapped(self, page: CheckPage) -> None:
        go_to(page, "polarity")
        press("0,1\n")
        assert "nothing arrives" in page.causes.text
        assert "swapped" not in page.causes.text


def test_a_changed_plan_changes_the_step_in_hand(page: CheckPage, document: Document) -> None:
    go_to(page, "stays_on")
    before = page.current().predicted_words
    document.apply("Turn", edits.change_tap, "tap-1", way_round="load_side")
    assert (before, page.current().predicted_words) == ("yes", "no")


def test_a_meter_set_to_amperes_is_never_held_across_the_battery(page: CheckPage) -> None:
    """Its current range is a wire: across a battery it is a short circuit."""
    parallel = 0
    for step in page.steps:
        tips = RED_BLACK.get(step.key)
        if tips is not None and holding(step).setting.range in ("10A", "mA"):
            assert tips != ("battery", "battery"), step.key
            parallel += 1
    assert parallel, "the rest current is read in line"


def test_everything_on_the_stage_is_said_to_a_screen_reader(page: CheckPage) -> None:
    go_to(page, "current")
    press("4")
    for part in (page.way, page.meter, page.card, page.frame.banner, page.frame.picture):
        assert part.accessibleName()
        assert part.accessibleDescription()
    assert "4▁ A" in page.card.accessibleDescription()


@pytest.mark.parametrize(("key", "typed"), [("warm", "+"), ("warm", "-"), ("volts", "1")])
def test_no_key_in_the_picture_is_another_once_something_is_typed(
    page: CheckPage, key: str, typed: str
) -> None:
    """Whoever aims at Enter while he answers yes hits Enter, not what takes back."""
    go_to(page, key)
    before = list(page.frame.picture.places())
    press(typed)
    after = list(page.frame.picture.places())
    assert [each.press for each, _ in after] == [each.press for each, _ in before]
    for (aimed, was), (_, now) in zip(before, after, strict=True):
        assert now.contains(was.center()), aimed.press


def test_yes_clicked_twice_is_yes_once_and_may_still_become_no(
    page: CheckPage, document: Document
) -> None:
    go_to(page, "warm")
    click_key(page, "+")
    click_key(page, "+")
    assert (page.typed, document.vehicle.readings) == ("+", ())
    click_key(page, "-")
    assert page.typed == "-"


def test_every_name_on_the_way_stands_below_the_middle_of_its_pad(
    page: CheckPage, qtbot: Any
) -> None:
    """At both ends of the row, too."""
    page.resize(1366, 700)
    qtbot.wait(20)
    found: list[Written] = []
    with watched(found):
        page.way.grab()
    show = page.theme.style.show
    for station, pad in page.way.places():
        name = next(each for each in found if each.text == show(station.name))
        assert name.place.center().x() == pytest.approx(pad.center().x(), abs=2), name.text
