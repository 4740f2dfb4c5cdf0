"""With the screen covered: forty slots and a whole check by keys, led by the sounds' names alone.

The hand has the meter's reading, the keys, and what it hears; it never asks the page where it is.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest

from fusemap.files.demos import read_demo
from fusemap.probing.plan import Round
from fusemap.probing.walking import begin
from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.probe.check_page import CheckPage
from fusemap.window.probe.page import ProbePage
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import Clock, press

CLASSES = ("permanent", "ignition", "accessory", "permanent", "unfed")
"""What each slot of five really is, over and over."""


def forty() -> Vehicle:
    """Five rows of eight mini fuses."""
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 5, 8)
    for slot in look_up.slots(vehicle):
        vehicle = edits.change_slot(vehicle, slot.id, fuse=Fuse(family="mini", rating=10.0))
    return vehicle


@dataclass
class Ear:
    """Everything that was heard, in its order."""

    names: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)

    def next(self) -> str:
        """The sound of the last key; a key without one is heard as nothing."""
        return self.names.pop() if self.names else ""


@dataclass
class BlindHand:
    """Walks the slots in its own count; a slip is one that no sound told of."""

    page: Any
    ear: Ear
    keys: int = 0
    stored: int = 0
    told: int = 0

    def type(self, text: str) -> str:
        """Keys and then what was heard at the last of them."""
        self.ear.names.clear()
        self.keys += press(self.page, text)
        heard = self.ear.next()
        self.stored += heard == "stored" or (heard == "done" and text != "⏎")
        self.told += heard == "doubted"
        return heard


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(forty())


@pytest.fixture
def ear() -> Ear:
    return Ear()


@pytest.fixture
def page(document: Document, ear: Ear, tmp_path: Path, qtbot: Any) -> ProbePage:
    made = ProbePage(document, PROBE, tmp_path, Clock(), voice=True)
    made.herald.sounded.connect(ear.names.append)
    made.herald.spoke.connect(ear.words.append)
    qtbot.addWidget(made)
    made.resize(1100, 700)
    made.show()
    made._take(begin(made.session, document.vehicle, Round(state="asleep")))
    return made


def truth(number: int) -> str:
    return CLASSES[(number - 1) % len(CLASSES)]


def test_forty_slots_are_mapped_without_a_look(
    page: ProbePage, document: Document, ear: Ear
) -> None:
    hand = BlindHand(page, ear)
    # asleep: one entry for each of the forty, whatever it is
    for number in range(1, 41):
        heard = hand.type(".4⏎" if truth(number) == "permanent" else "-⏎")
        assert heard == ("done" if number == 40 else "stored")
    assert hand.type("⏎") == "done", "the next round begins"
    open_ = [number for number in range(1, 41) if truth(number) != "permanent"]
    for number in open_:
        heard = hand.type("+⏎" if truth(number) == "accessory" else "-⏎")
        assert heard == ("done" if number == open_[-1] else "stored")
    assert hand.type("⏎") == "done"
    open_ = [number for number in open_ if truth(number) != "accessory"]
    for number in open_:
        heard = hand.type("+⏎" if truth(number) == "ignition" else "-⏎")
        assert heard == ("done" if number == open_[-1] else "stored")
    slots = {slot.label: slot.feed_class for slot in look_up.slots(document.vehicle)}
    assert slots == {f"F{number}": truth(number) for number in range(1, 41)}
    # 68 readings of 40 slots took 154 keys, Enters between the rounds among them
    assert hand.stored == 40 + 24 + 16
    assert hand.keys / hand.stored <= 154 / 68
    assert hand.told == 0


def test_after_every_entry_the_next_slot_is_said(page: ProbePage, ear: Ear) -> None:
    for number in range(1, 8):
        press(page, "-⏎")
        assert ear.words[-1] == f"F{number + 1}"


@pytest.mark.parametrize(
    ("slip", "why"),
    [
        ("⏎", "Enter without a figure"),
        ("*", "a slot passed over"),
        ("x⏎", "a letter instead of the figure"),
        ("900⏎", "far too much for this fuse"),
        ("+.4.⏎", "a second point"),
        ("5-2⏎", "a swing that falls"),
        ("/", "taken back"),
    ],
)
def test_no_slip_goes_unannounced(
    page: ProbePage, document: Document, ear: Ear, slip: str, why: str
) -> None:
    """Whatever a key does that is no reading stored: the low tone is heard for it."""
    press(page, "-⏎")
    ear.names.clear()
    press(page, slip)
    assert "doubted" in ear.names, why


def test_a_stored_sound_is_a_reading_and_nothing_else_is(
    page: ProbePage, document: Document, ear: Ear
) -> None:
    """Random keys of a hand that slips: as many readings as the ear counted, and the place too."""
    counted = 0
    for keys in (".4⏎", "⏎", "-⏎", "+.3⏎", "9 0 0⏎", "*", "/", "-⏎", "..⏎", "+⏎", "m⏎", "-⏎"):
        for key in keys.replace(" ", ""):
            ear.names.clear()
            before = document.stack.count()
            press(page, key)
            stored = document.stack.count() > before and key == "⏎"
            counted += stored
            assert (ear.next() in ("stored", "done")) == stored, (keys, key)
    assert counted == 6


# --- the check ------------------------------------------------------------------------------------


def answer(page: CheckPage) -> str:
    """What a meter or an eye says where all is as it was predicted."""
    step = page.current()
    assert step is not None
    if step.expected is None:
        return "12.6"
    if not step.unit:
        return "+" if step.expected.typical else "-"
    form = {"A": ".3g", "V": ".1f"}.get(step.unit, ".0f")
    return format(step.expected.typical, form)


def test_the_check_goes_through_by_ear(qapp: Any, qtbot: Any) -> None:
    document, ear = Document(read_demo("family_estate")), Ear()
    page = CheckPage(document, PROBE, Clock())
    page.herald.sounded.connect(ear.names.append)
    qtbot.addWidget(page)
    page.show()
    steps, keys, cards = len(page.steps), 0, 0
    for number in range(steps):
        ear.names.clear()
        for key in answer(page):
            QTest.keyClicks(page, key)
            keys += 1
        assert ear.names == []
        QTest.keyClick(page, Qt.Key.Key_Return)
        keys += 1
        QCoreApplication.processEvents()
        assert ear.names in (["stored"], ["done"]), (number, ear.names)
        cards += ear.names == ["done"]
    assert [step.verdict for step in page.steps] == ["agrees"] * steps
    assert cards == len(document.vehicle.taps) + 1, "every lead, and the vehicle"
    assert document.vehicle.sign_offs == ()
    _faster_than_paper(page, steps, keys)


@pytest.mark.parametrize(
    ("slip", "why"),
    [
        ("→", "another step"), ("←", "another step"), ("x", "a letter that is no answer"),
        ("7", "a figure to a question"), ("⏎", "passed over"), ("*", "nothing to take"),
        ("/", "nothing to take back"), ("-⏎", "it differs"),
    ],
)  # fmt: skip
def test_no_slip_of_the_check_goes_unannounced(qapp: Any, qtbot: Any, slip: str, why: str) -> None:
    document, ear = Document(read_demo("family_estate")), Ear()
    page = CheckPage(document, PROBE, Clock())
    page.herald.sounded.connect(ear.names.append)
    qtbot.addWidget(page)
    page.show()
    press(page, "→←")
    ear.names.clear()
    press(page, slip)  # type: ignore[arg-type]
    assert ear.names[-1:] == ["doubted"], why


KEY_S, DECIDE_S, HOME_S = 0.28, 1.35, 0.4
"""A key, making up one's mind, taking another thing in hand [s]. Source: S. K. Card, T. P. Moran,
A. Newell, The keystroke-level model, Communications of the ACM 23 (1980), 396-410: K of an average
typist, M, H."""


def _faster_than_paper(page: CheckPage, steps: int, keys: int) -> None:
    """Pen and paper by the same model: for each box the pen is taken up and laid down, the box is
    found, the figure is written, and held against the two ends that are printed beside it."""
    written = sum(len(str(reading.value)) if reading.unit else 1
                  for reading in page._document.vehicle.readings)  # fmt: skip
    compared = sum(bool(step.unit) and step.expected is not None for step in page.steps)
    paper_s = steps * (2 * HOME_S + DECIDE_S) + written * KEY_S + compared * DECIDE_S
    here_s = keys * KEY_S
    assert keys <= 3.6 * steps, "a figure or a sign, and Enter; no mouse"
    assert here_s < paper_s / 2


# --- five rounds, and slips -----------------------------------------------------------------------

FIVE = ("permanent", "ignition", "accessory", "lighting", "unfed")
LIVE_WITH = {
    "ASLEEP": {"permanent"},
    "KEY AT ACCESSORY": {"permanent", "accessory"},
    "IGNITION ON": {"permanent", "accessory", "ignition"},
    "IGNITION ON + LAMPS": {"permanent", "accessory", "ignition", "lighting"},
    "ENGINE RUNNING": {"permanent", "accessory", "ignition"},
    "LOCKED": {"permanent"},
}
"""What is live in a round, by its name as it is spoken."""

SLIPS = ("⏎", "x", "..", "900⏎", "+.4.⏎", "5-2⏎", "*", "+⌫⏎", "1e")


class Listener:
    """Somebody under the dash: answers what is said, slot by slot, and slips now and then."""

    def __init__(self, page: ProbePage, ear: Ear, slips: float, seed: int) -> None:
        self.hand, self.ear = BlindHand(page, ear), ear
        self.chance, self.slips = Random(seed), slips
        self.round, self.rounds = "ASLEEP", ["ASLEEP"]
        self.readings, self.slipped = 0, 0

    def answer(self, number: int) -> str:
        """What meter or eye say of a slot in the round there is."""
        truth = FIVE[(number - 1) % len(FIVE)]
        if self.round.startswith("FUSE OUT"):
            return "8⏎" if number % 2 else "2⏎"
        if truth not in LIVE_WITH[self.round]:
            return "-⏎"
        return "+.4⏎" if self.round == "ASLEEP" else "+⏎"

    def said(self) -> str:
        return self.ear.words[-1]

    def go(self) -> None:
        """On until it is all done, by what is said alone."""
        for _ in range(600):
            words = self.said()
            if "Home goes through" in words:
                assert self.hand.type("⇱")
                continue
            if "all done" in words:
                return
            if words.startswith("Round done"):
                for name in (*LIVE_WITH, "FUSE OUT · IGNITION ON"):
                    if f"Enter: {name}." in words:
                        self.round = name
                        self.rounds.append(name)
                assert self.hand.type("⏎") == "done"
                continue
            if words.startswith("LOCKED. Lock the vehicle now and press Enter"):
                assert self.hand.type("⏎") == "stored"
                continue
            self._at(int(words.removeprefix("F").split(",")[0]))
        pytest.fail(f"it never ends: {self.said()}")

    def _at(self, number: int) -> None:
        if self.chance.random() < self.slips:
            self.slipped += 1
            self.ear.names.clear()
            press(self.hand.page, self.chance.choice(SLIPS))
            assert "doubted" in self.ear.names, "a slip is heard"
            if "stored" in self.ear.names or "done" in self.ear.names:
                press(self.hand.page, "/")  # Enter after the low tone: taken back
            press(self.hand.page, "⎋")  # what is left of it is cleared
            if self.said() != f"F{number}" and "read it again" not in self.said():
                return  # it was passed over, and that was said
        heard = self.hand.type(self.answer(number))
        assert heard in ("stored", "done"), (number, self.round, self.said())
        self.readings += 1


@pytest.fixture
def listener(page: ProbePage, ear: Ear) -> Callable[[float, int], Listener]:
    def make(slips: float, seed: int) -> Listener:
        vehicle = page._document.vehicle
        page._take(begin(page.session, vehicle, Round(state="asleep")))
        ear.words.append("F1")
        return Listener(page, ear, slips, seed)

    return make


@pytest.mark.parametrize("seed", [0, 1, 2])
def test_five_rounds_by_ear_and_no_slip_puts_a_reading_on_another_slot(
    page: ProbePage, document: Document, listener: Any, seed: int
) -> None:
    hand = listener(0.0 if seed == 0 else 0.15, seed)
    hand.go()
    assert len(set(hand.rounds)) >= 5, hand.rounds
    assert hand.readings >= 68
    slots = {slot.label: slot for slot in look_up.slots(document.vehicle)}
    for number in range(1, 41):
        truth = FIVE[(number - 1) % len(FIVE)]
        slot = slots[f"F{number}"]
        assert slot.feed_class == truth, (number, hand.rounds)
        if truth != "unfed" and slot.live_side != "unknown":
            assert slot.live_side == ("top" if number % 2 else "bottom")
    if seed == 0:
        assert hand.hand.told == 0
    else:
        assert hand.slipped > 5
