"""The hunt for a drain on the stage: by keys and ears alone, to what was found and beyond it."""

from pathlib import Path
from random import Random
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest

from fusemap import tables
from fusemap.files.demos import read_demo
from fusemap.probing import hunt
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.window.document import Document, Selection
from fusemap.window.hunt.page import HuntPage
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import Clock, press

DRAINS = {"box-2": 0.27, "box-1": 0.012, "": 0.02}
"""What truly draws [A] in the small old car, by slot; with no slot it is on no fuse."""


def cold_mohm(vehicle: Vehicle, slot_id: str) -> float:
    """What the fuse of a slot has, by the data sheets' table."""
    fuse = look_up.slot(vehicle, slot_id).fuse
    assert fuse is not None
    published = tables.fuse_resistance(fuse.family, fuse.rating)
    assert published is not None
    return published.cold_mohm


class Car:
    """The vehicle as it truly is, with a meter: tells what is shown for what is asked by ear."""

    def __init__(self, document: Document, clock: Clock, draws: dict[str, float]) -> None:
        self.document, self.clock, self.draws = document, clock, dict(draws)
        self.out: frozenset[str] = frozenset()

    def whole(self) -> str:
        amps = sum(current for slot, current in self.draws.items() if slot not in self.out)
        return f"{amps:.2f}"

    def fed(self) -> str:
        return f"{sum(current for slot, current in self.draws.items() if slot):.2f}"

    def across(self, slot_id: str) -> str:
        millivolts = self.draws.get(slot_id, 0.0) * cold_mohm(self.document.vehicle, slot_id)
        return f"{millivolts:.1f}"


class Hand:
    """Presses what the spoken words ask for; it never looks at the page."""

    def __init__(self, page: HuntPage, car: Car) -> None:
        self.page, self.car = page, car
        self.heard: list[str] = []
        self.said: list[str] = []
        self.stored = 0
        page.herald.sounded.connect(self.heard.append)
        page.herald.spoke.connect(self.said.append)

    def press(self, keys: str) -> str:
        """Press these; the sound of the last of them."""
        self.heard.clear()
        press(self.page, keys)
        self.car.clock.wait(0.5)
        return self.heard[-1] if self.heard else ""

    def slots_said(self, words: str) -> frozenset[str]:
        labels = {each.label: each.id for each in look_up.slots(self.car.document.vehicle)}
        spoken = words.replace(" and ", " ").replace(",", " ").split()
        return frozenset(labels[each] for each in spoken if each in labels)

    def follow(self) -> str:
        """Do what was said last, until nothing more is asked; the last words."""
        for _ in range(60):
            words = self.said[-1]
            if words.startswith("Across"):
                (slot,) = self.slots_said(words)
                heard = self.press(self.car.across(slot) + "⏎")
            elif words.startswith("Pull"):
                self.car.out = self.slots_said(words)
                heard = self.press(self.car.whole() + "⏎")
            elif words.startswith("Put"):
                # a figure where it fell with them out, else Enter alone
                self.car.out = frozenset()
                before = len(self.car.document.vehicle.readings)
                heard = self.press("⏎")
                if heard == "doubted":
                    heard = self.press(self.car.whole() + "⏎")
                assert len(self.car.document.vehicle.readings) - before <= 1
            elif words.startswith("Clamp"):
                heard = self.press(self.car.fed() + "⏎")
            elif words.startswith("Whole"):
                heard = self.press(self.car.whole() + "⏎")
            else:
                return words
            assert heard in ("stored", "done"), (words, heard)
        pytest.fail("it never comes to an end")


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def document(qapp: Any) -> Document:
    made = Document(read_demo("small_old_car"))
    made.refused.connect(lambda error: pytest.fail(f"refused: {error}"))
    return made


@pytest.fixture
def page(document: Document, clock: Clock, tmp_path: Path, qtbot: Any) -> HuntPage:
    return shown(document, clock, tmp_path, qtbot)


def shown(document: Document, clock: Clock, folder: Path, qtbot: Any) -> HuntPage:
    made = HuntPage(document, PROBE, folder, clock, voice=True)
    qtbot.addWidget(made)
    made.resize(1100, 700)
    made.show()
    qtbot.waitExposed(made)
    made.setFocus()
    return made


@pytest.fixture
def hand(page: HuntPage, document: Document, clock: Clock) -> Hand:
    return Hand(page, Car(document, clock, DRAINS))


def to_the_whole(hand: Hand) -> None:
    """Locked, waited for, asleep."""
    assert hand.press("⏎") == "stored"
    hand.car.clock.wait(61)
    hand.heard.clear()
    hand.page.tick()
    assert hand.heard == ["done"], "the wait is over, and that is heard"
    assert hand.said[-1].startswith("Whole")


def to_the_end(hand: Hand) -> str:
    to_the_whole(hand)
    return hand.follow()


# --- by ear ---------------------------------------------------------------------------------------


def test_with_the_screen_covered_it_is_found(hand: Hand, document: Document) -> None:
    words = to_the_end(hand)
    assert words.startswith("Found: fuse 2 Hazard lamps, socket")
    assert hand.heard[-1] == "done"
    known = hunt.answer(hand.page.hunt, document.vehicle)
    (found,) = known.found
    assert found.low_a <= DRAINS["box-2"] <= found.high_a
    assert hand.page.hunt.scene.out == (), "every fuse is back in"
    assert all(reading.state == "asleep" for reading in document.vehicle.readings)


def test_every_figure_is_one_step_to_undo(hand: Hand, document: Document) -> None:
    to_the_end(hand)
    taken = len(document.vehicle.readings)
    assert taken == document.stack.count() > 3
    document.stack.undo()
    assert len(document.vehicle.readings) == taken - 1
    assert hand.page.step.kind != "end"


def test_taken_back_to_the_beginning_nothing_is_left_that_counts(
    hand: Hand, document: Document
) -> None:
    to_the_end(hand)
    for _ in range(len(hand.page.hunt.done)):
        assert hand.press("/") == "doubted"
    assert hand.page.step.kind == "prepare"
    assert all(reading.withdrawn for reading in document.vehicle.readings)


@pytest.mark.parametrize(
    ("slip", "why"),
    [
        ("⏎", "Enter without a figure"),
        ("*", "the whole cannot be passed over"),
        ("x", "a letter that is none of a figure"),
        ("1..", "a second point"),
        ("99⏎", "more than any vehicle draws asleep"),
        ("/", "a step taken back"),
        ("p", "pull nothing, where nothing is pulled"),
        ("c", "another meter"),
        ("+", "hunt on, before there is an end"),
    ],
)
def test_no_slip_goes_unannounced(hand: Hand, document: Document, slip: str, why: str) -> None:
    to_the_whole(hand)
    assert hand.press(slip) == "doubted", why
    assert document.vehicle.readings == ()


def test_a_doubted_figure_is_kept_when_it_is_read_again(hand: Hand, document: Document) -> None:
    to_the_whole(hand)
    hand.press("0.31⏎")
    assert hand.press("900⏎") == "doubted"
    assert "⚠ 900" in hand.page.said.text
    assert len(document.vehicle.readings) == 1
    assert hand.press("900⏎") == "stored"
    assert document.vehicle.readings[-1].repeated


# --- what is seen ---------------------------------------------------------------------------------


def test_a_wait_is_counted_down_on_the_page(hand: Hand) -> None:
    hand.press("⏎")
    first = hand.page.step.clock
    hand.car.clock.wait(10)
    hand.page.tick()
    assert hand.page.picture._step is not None
    assert hand.page.picture._step.clock != first
    assert "10\u202fmin" in hand.page.frame.how.text


def test_pulled_fuses_are_asked_back_by_name(hand: Hand) -> None:
    to_the_whole(hand)
    while not hand.said[-1].startswith("Pull"):
        words = hand.said[-1]
        shown = hand.car.whole() if words.startswith("Whole") else (
            hand.car.across(next(iter(hand.slots_said(words)))))  # fmt: skip
        hand.press(shown + "⏎")
    hand.car.out = hand.slots_said(hand.said[-1])
    hand.press(hand.car.whole() + "⏎")
    assert hand.said[-1] == "Put fuse 2 back"
    assert hand.page.picture._step is not None
    assert hand.page.picture._step.slots == ("box-2",)


def test_the_end_says_share_cost_and_what_to_do(hand: Hand) -> None:
    to_the_end(hand)
    found = hand.page.found.shown
    assert found is not None
    assert (found.title, found.under) == ("Found: fuse 2", "Hazard lamps, socket")
    assert hand.page._document.selection == Selection("slot", "box-2")
    assert found.tone == "good"
    assert found.figure.startswith("0.2")
    assert found.streams[0].sort == "found"
    assert sum(each.part for each in found.streams) == pytest.approx(1.0, abs=0.03)
    assert [row.words for row in found.costs] == ["as it is", "without it"]
    assert "Phone charger" in found.columns[0][1]
    rest = found.streams[-1]
    assert (rest.name, rest.figure.count("A")) == ("", 1), "the unit once, behind both ends"
    assert hand.page.frame.last.width() == 0, "nothing of a step is left on the page"


def test_enter_goes_on_behind_the_fuse_and_the_part_is_named(hand: Hand) -> None:
    to_the_end(hand)
    assert hand.press("⏎") == "stored"
    assert hand.said[-1] == "Unplug Phone charger"
    assert hand.press("0⏎") == "stored"
    (part,) = hunt.parts(hand.page.hunt, hand.car.document.vehicle)
    assert part.name == "Phone charger"
    assert part.low_a <= DRAINS["box-2"] <= part.high_a
    # below the meter's floor something may be left: what fell away has two ends, and says so
    assert part.high_a - part.low_a > 0.2 * part.current_a
    assert " to " in str(part.words)
    assert hand.press("f") == "doubted"
    found = hand.page.found.shown
    assert found is not None
    assert any("Phone charger" in text for _, text in found.columns)


def test_plus_hunts_on_from_the_whole_with_the_drain_off(hand: Hand) -> None:
    to_the_end(hand)
    del hand.car.draws["box-2"]
    assert hand.press("+") == "stored"
    assert hand.said[-1].startswith("Whole")
    assert not hand.follow().startswith("Found")


def test_what_is_on_no_fuse_is_an_answer(page: HuntPage, document: Document, clock: Clock) -> None:
    hand = Hand(page, Car(document, clock, {"": 2.0}))
    assert to_the_end(hand).startswith("Not in this panel")
    found = page.found.shown
    assert found is not None
    assert found.title == "Not in this panel"
    assert "battery" in found.columns[0][1]


@pytest.mark.parametrize("rows", [0, 2])
def test_a_vehicle_of_which_no_fuse_is_entered_is_hunted_too(
    clock: Clock, tmp_path: Path, qtbot: Any, rows: int
) -> None:
    vehicle = Vehicle(name="New")
    if rows:
        vehicle = edits.add_panel(vehicle, "Dash", rows, 3)
    document = Document(vehicle)
    page = shown(document, clock, tmp_path, qtbot)
    hand = Hand(page, Car(document, clock, {"slot-5": 0.3} if rows else {"": 0.3}))
    to_the_whole(hand)
    words = hand.follow()
    page.grab()
    if rows:
        assert words.startswith("Found: F5")
        assert page.found.shown is not None
        assert page.found.shown.under == "live while parked; what it feeds nobody said yet"
        assert document.selection == Selection("slot", "slot-5")
        return
    assert page.step.kind == "lid"
    hand.press("*")
    assert page.step.kind == "night"
    hand.press("⏎")
    assert "no panel is entered" in hand.said[-1]
    assert page.found.shown is not None
    page.grab()


# --- a night --------------------------------------------------------------------------------------

NIGHT = "time;current mA\n22:00;20\n22:10;20\n23:00;640\n23:10;20\n00:00;640\n00:10;20\n01:00;20\n"


@pytest.fixture
def usual(page: HuntPage, document: Document, clock: Clock) -> Hand:
    """A vehicle that draws what is usual: a night is asked for."""
    hand = Hand(page, Car(document, clock, {"": 0.01}))
    assert to_the_end(hand).startswith("Follow")
    return hand


def test_a_night_is_pasted(usual: Hand, document: Document) -> None:
    QGuiApplication.clipboard().setText(NIGHT)
    usual.heard.clear()
    QTest.keyClick(usual.page, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    QCoreApplication.processEvents()
    assert usual.heard == ["stored"]
    assert usual.said[-1] == "Wait until it draws again"
    (wake,) = document.vehicle.parking.wake_ups
    assert wake.every_h == 1.0
    assert usual.press("/") == "doubted"
    assert document.vehicle.parking.wake_ups == ()


def test_a_night_is_typed_row_by_row(usual: Hand, document: Document) -> None:
    for row in ("0 .02", "60 .64", "70 .02", "120 .64", "130 .02"):
        assert usual.press(row.replace(" ", "␣") + "⏎") == "stored"
    assert usual.press("7⏎") == "doubted", "a time without a current"
    assert usual.press("⏎") == "stored"
    assert usual.page.rows == ()
    (wake,) = document.vehicle.parking.wake_ups
    assert (wake.every_h, wake.minutes) == (1.0, 10.0)


def test_a_text_that_is_no_night_changes_nothing(usual: Hand, document: Document) -> None:
    before = document.vehicle
    QGuiApplication.clipboard().setText("nothing of the kind")
    QTest.keyClick(usual.page, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert usual.heard[-1] == "doubted"
    assert document.vehicle is before
    assert "no times with currents" in usual.page.said.text


# --- kept -----------------------------------------------------------------------------------------


def test_closed_anywhere_it_goes_on_where_it_was(
    hand: Hand, document: Document, clock: Clock, tmp_path: Path, qtbot: Any
) -> None:
    to_the_whole(hand)
    hand.press("0.31⏎")
    hand.press("1.")
    hand.page.close()
    again = shown(document, clock, tmp_path, qtbot)
    assert again.typed == "1."
    assert again.step == hand.page.step
    assert again.hunt == hand.page.hunt
    press(again, "3⏎")
    assert document.vehicle.readings[-1].value == 1.3


def test_rows_of_a_night_are_kept_too(
    usual: Hand, document: Document, clock: Clock, tmp_path: Path, qtbot: Any
) -> None:
    usual.press("0␣.02⏎")
    assert shown(document, clock, tmp_path, qtbot).rows == ("0;.02",)


def test_escape_clears_first_and_then_leaves_with_the_hunt_kept(hand: Hand) -> None:
    gone: list[bool] = []
    hand.page.left.connect(lambda: gone.append(True))
    to_the_whole(hand)
    hand.press("0.3")
    hand.press("⎋")
    assert (hand.page.typed, gone) == ("", [])
    hand.press("⎋")
    assert gone == [True]
    assert hand.page.step.kind == "whole"


def test_another_vehicle_has_its_own_hunt(hand: Hand, document: Document) -> None:
    to_the_whole(hand)
    hand.press("0.31⏎")
    document.set_vehicle(read_demo("light_truck"))
    assert hand.page.step.kind == "prepare"
    document.set_vehicle(read_demo("small_old_car"))
    assert hand.page.step.kind == "whole", "its reading is gone with the other file"


@pytest.mark.parametrize("seed", range(12))
def test_any_keys_leave_a_page_that_can_be_shown(
    hand: Hand, document: Document, clock: Clock, seed: int
) -> None:
    random = Random(seed)
    for _ in range(60):
        press(hand.page, random.choice("0123456789.,-+*/⏎⏎⏎⏎⌫mvaclpfn␣"))
        clock.wait(random.choice((0.1, 1, 30)))
        hand.page.tick()
        hand.page.grab()
    readings = [each for each in document.vehicle.readings if not each.withdrawn]
    assert document.stack.count() >= len(readings)


def test_what_was_found_stands_on_the_page_and_one_key_ends_there(
    clock: Clock, tmp_path: Path, qtbot: Any
) -> None:
    """Nobody has to hunt for the last 80 mA to be told of the 0.27 A."""
    document = Document(edits.add_panel(Vehicle(name="New"), "Dash", 3, 4))
    page = shown(document, clock, tmp_path, qtbot)
    hand = Hand(page, Car(document, clock, {"slot-2": 0.27, "": 0.08}))
    to_the_whole(hand)
    hand.press(hand.car.whole() + "⏎")
    while not hunt.answer(page.hunt, document.vehicle).found or hand.car.out:
        assert "enough" not in [key.press for key in page.frame.picture.keys]
        words = hand.said[-1]
        if words.startswith("Pull"):
            hand.car.out = hand.slots_said(words)
        elif words.startswith("Put"):
            hand.car.out = frozenset()
        elif words.startswith("Clamp"):
            hand.press("*")
            continue
        asked = page.step.quantity is not None
        hand.press((hand.car.whole() if asked else "") + "⏎")
    assert page.said.text.startswith("Found: F2")
    assert "enough" in [key.press for key in page.frame.picture.keys]
    assert hand.press("e") == "done"
    found = page.found.shown
    assert found is not None
    assert found.title == "Found: F2"
    left: list[bool] = []
    page.left.connect(lambda: left.append(True))
    hand.press("⏎")
    assert left == [True]
    assert document.selection == Selection("slot", "slot-2")
