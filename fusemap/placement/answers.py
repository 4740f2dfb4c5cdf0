"""What is asked about the circuits of a vehicle, the most doubtful first, and the answers as edits.

In: a vehicle whose slots may have names. Out: `Question`s with what the name proposes; `answer` and
`take_proposals` are the edits. Nothing is ever answered by itself, and a circuit whose name
proposes nothing may be one to leave alone all the same. Where an answer says that a circuit is not
what its name or class warns of, it is written down what it really feeds.
"""

from collections.abc import Iterable
from typing import Any, Final, Literal

from msgspec import Struct

from fusemap.circuits import MARKS, Circuit, circuit_of, marks_of, unanswered
from fusemap.errors import EditRefused
from fusemap.tables import Function
from fusemap.text import Text, say
from fusemap.vehicle import Slot, Vehicle, edits, look_up
from fusemap.vehicle.texts import tells

Answer = Literal["comfort", "leave_alone", "watched", "control", "supply", "unclear"]

ANSWERS: Final[tuple[Answer, ...]] = (
    "comfort", "leave_alone", "watched", "control", "supply", "unclear",
)  # fmt: skip
"""What can be answered, in the order of the keys."""

ANSWER_WORDS: Final[dict[Answer, Text]] = {
    "comfort": say("comfort"),
    "leave_alone": say("leave alone"),
    "watched": say("watched by the vehicle"),
    "control": say("control unit"),
    "supply": say("supplies other boxes"),
    "unclear": say("don’t know"),
}

PROPOSES: Final[dict[Function, Answer]] = {
    "leave_alone": "leave_alone",
    "regulated": "leave_alone",
    "watched": "watched",
    "control": "control",
    "supply": "supply",
    "comfort": "comfort",
}
"""The answer that a function proposes; what is unclear proposes none."""

DOUBT: Final[tuple[Function, ...]] = (
    "unclear", "leave_alone", "regulated", "watched", "control", "supply", "comfort",
)  # fmt: skip
"""What is asked first among the circuits that nothing is tapped on."""


class Question(Struct, frozen=True):
    """One slot: what its circuit is taken for, whether it is in use, and whether it was asked."""

    slot: Slot
    circuit: Circuit
    in_use: bool
    answer: Answer | None
    """What a person answered, `None` while nobody did."""
    proposal: Answer | None
    """What its name or class proposes, `None` where that is nothing."""

    @property
    def is_open(self) -> bool:
        """Whether nobody answered, not even that it is not known."""
        return self.answer is None


def questions(vehicle: Vehicle) -> tuple[Question, ...]:
    """Every fuse slot once: what is tapped and open first, then by doubt, what is answered last."""
    used = {tap.slot for tap in vehicle.taps}
    asked = [_question(s, s.id in used) for s in look_up.slots(vehicle) if s.kind == "fuse"]
    return tuple(sorted(asked, key=_order))


def question_of(vehicle: Vehicle, slot_id: str) -> Question:
    """What is asked about one slot."""
    used = bool(look_up.taps_on(vehicle, slot_id))
    return _question(look_up.slot(vehicle, slot_id), used)


def _question(slot: Slot, in_use: bool) -> Question:
    circuit = circuit_of(slot)
    return Question(slot, circuit, in_use, answer_of(slot), _proposal(slot, circuit))


def _order(question: Question) -> tuple[bool, bool, bool, int]:
    asked = question.answer == "unclear"
    doubt = DOUBT.index(question.circuit.function)
    return not question.is_open and not asked, asked, not question.in_use, doubt


def answer_of(slot: Slot) -> Answer | None:
    """What a person answered for a slot; that it is not known is an answer, too."""
    if slot.function == "unclear":
        return "unclear"
    circuit = circuit_of(slot)
    return PROPOSES[circuit.function] if circuit.answered else None


def _proposal(slot: Slot, circuit: Circuit) -> Answer | None:
    return None if circuit.answered else PROPOSES.get(circuit.function)


def needs_words(slot: Slot, given: Answer) -> bool:
    """Whether an answer turns down what the slot's name or class warns of: then it is written down.

    >>> needs_words(Slot(id="a", row=0, column=0, circuit="Airbag"), "comfort")
    True
    """
    if given in ("leave_alone", "unclear"):
        return False
    warned = set(marks_of(slot.circuit))
    if slot.feed_class == "lighting":
        warned.add("monitored")
    return bool(warned - ({"monitored"} if given == "watched" else set()))


def answer(vehicle: Vehicle, slot_ids: Iterable[str], given: Answer, feeds: str = "") -> Vehicle:
    """Write down for some slots what their circuits are, `feeds` what they really feed.

    A reason that was written before stays. Raises `EditRefused` where it has to be written what a
    circuit really feeds, and `feeds` does not say it.
    """
    for slot_id in dict.fromkeys(slot_ids):
        slot = look_up.slot(vehicle, slot_id)
        vehicle = edits.change_slot(vehicle, slot_id, **_changes(slot, given, feeds))
    return vehicle


def _changes(slot: Slot, given: Answer, feeds: str) -> dict[str, Any]:
    """The fields of a slot that hold an answer."""
    warned = unanswered(slot)
    written = "" if given == "unclear" else feeds.strip() or slot.harmless
    if needs_words(slot, given) and not tells(written):
        raise EditRefused(
            say("it is not said what {slot} really feeds", slot=look_up.place_words(slot)),
            remedy=say("write it in a few words"),
        )
    if given == "leave_alone":
        why = slot.critical_reason or warned.get("critical", "")
        monitored = slot.monitored or "monitored" in warned
        return {"critical": True, "critical_reason": why, "monitored": monitored, "harmless": "",
                "function": None}  # fmt: skip
    marks = {"critical": False, "critical_reason": "", "monitored": given == "watched"}
    function = None if given == "watched" else given
    return {**marks, "harmless": written, "function": function}


def take_proposals(vehicle: Vehicle, slot_ids: Iterable[str] | None = None) -> Vehicle:
    """Answer with what the names propose, for all open slots or for some of them.

    A slot whose name proposes nothing stays open.
    """
    wanted = None if slot_ids is None else set(slot_ids)
    for each in questions(vehicle):
        chosen = wanted is None or each.slot.id in wanted
        if chosen and each.is_open and each.proposal is not None:
            vehicle = answer(vehicle, [each.slot.id], each.proposal)
    return vehicle


def warned(vehicle: Vehicle) -> tuple[Question, ...]:
    """The open slots that their names or classes say to leave alone, in the panels' order."""
    asked = (question_of(vehicle, slot.id) for slot in look_up.slots(vehicle)
             if slot.kind == "fuse" and unanswered(slot))  # fmt: skip
    return tuple(each for each in asked if each.is_open and each.circuit.function in MARKS)
