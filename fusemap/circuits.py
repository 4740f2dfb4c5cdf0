"""What each slot's circuit is for the vehicle, and whether a person said so.

In: a slot. Out: its `Circuit`: the function that decides whether something may be tapped there, who
says so, and why. A person's answer is a mark (`critical`, `monitored`), or `function` where it is
neither; without one the name on the lid proposes (`tables.circuit_name`), and the feed class where
it is that of the lamps. A proposal to leave alone counts as answered with yes until somebody
writes what the circuit really feeds (`harmless`). A circuit that nobody named or knows never looks
free: it comes after all that are known to be comfort.
"""

from functools import lru_cache
from typing import Final, Literal

from msgspec import Struct

from fusemap import tables
from fusemap.tables import Function
from fusemap.text import Text, say
from fusemap.vehicle import Slot
from fusemap.vehicle.texts import tells
from fusemap.vehicle.words import AnsweredFunction

Mark = Literal["critical", "monitored"]

QUESTIONS: Final[dict[Mark, Text]] = {
    "critical": say("leave alone?"),
    "monitored": say("watched?"),
}
"""A mark that a name proposes and that nobody answered for."""

MARKS: Final[dict[str, Mark]] = {
    "leave_alone": "critical",
    "regulated": "critical",
    "watched": "monitored",
}
"""The mark that a function proposes: such a circuit is never planned on."""

RANKS: Final[dict[Function, int]] = {
    "comfort": 0,
    "unclear": 1,
    "supply": 2,
    "control": 2,
    "watched": 3,
    "regulated": 4,
    "leave_alone": 4,
}
"""In which order circuits are offered, less is better; load decides within a rank only. What is not
known may turn out to be comfort; other boxes and control units will not."""

FUNCTION_WORDS: Final[dict[Function, Text]] = {
    "leave_alone": say("leave alone"),
    "regulated": say("regulated: leave alone"),
    "supply": say("supplies other boxes"),
    "control": say("control unit"),
    "watched": say("watched by the vehicle"),
    "unclear": say("not known"),
    "comfort": say("comfort"),
}

ANSWER_WORDS: Final[dict[AnsweredFunction, Text]] = {
    "comfort": FUNCTION_WORDS["comfort"],
    "control": FUNCTION_WORDS["control"],
    "supply": FUNCTION_WORDS["supply"],
    "unclear": FUNCTION_WORDS["unclear"],
    "added": say("way of an added block"),
}
"""What a person may answer where a circuit is neither critical nor watched."""

LAMPS: Final = "lamps are often watched by the vehicle or pulsed"
"""The table's reason for lamps, which a slot of the lighting class shares."""


class Circuit(Struct, frozen=True):
    """What a slot feeds, as far as it matters for a tap.

    `answered` says that a person said so, else the name proposes it. `decided_by` is the part of
    the name that decided, empty where none did; `reason` has the table's reasons, parted by "; ",
    or what was written.
    """

    function: Function
    answered: bool = False
    decided_by: str = ""
    reason: str = ""


ADDED: Final = Circuit("comfort", True)
"""A way of a block that was added: its name is that of what was put there."""


def circuit_of(slot: Slot) -> Circuit:
    """The function of a slot's circuit, and who says so.

    What was written about a circuit to leave alone or about lamps says nothing against the control
    unit or the other boxes that its name tells, too.

    >>> circuit_of(Slot(id="a", row=0, column=0, circuit="Radio, ABS")).decided_by
    'ABS'
    >>> circuit_of(Slot(id="a", row=0, column=0)).function
    'unclear'
    >>> circuit_of(Slot(id="a", row=0, column=0, circuit="Work lamp", function="added")).function
    'comfort'
    >>> circuit_of(Slot(id="a", row=0, column=0, circuit="F8", function="comfort"))
    Circuit(function='comfort', answered=True, decided_by='', reason='')
    """
    if slot.function == "added":
        return ADDED
    return _circuit(
        slot.circuit,
        slot.feed_class == "lighting",
        slot.critical,
        slot.critical_reason,
        slot.monitored,
        slot.function,
        slot.harmless if tells(slot.harmless) else "",
    )


@lru_cache(maxsize=8192)
def _circuit(
    name: str,
    lighting: bool,
    critical: bool,
    why: str,
    monitored: bool,
    function: AnsweredFunction | None,
    written: str,
) -> Circuit:
    looks = proposed(name)
    if critical:
        regulated = looks.function == "regulated"
        return Circuit("regulated" if regulated else "leave_alone", True, looks.decided_by, why)
    if not written and MARKS.get(looks.function) == "critical":
        return looks
    if monitored:
        return Circuit("watched", True, looks.decided_by)
    watched = dict(_marks_of(name, lighting)).get("monitored")
    if watched is not None and not written:
        return looks if looks.function == "watched" else Circuit("watched", reason=watched)
    if function in ("comfort", "control", "supply"):
        return Circuit(function, True, reason=written)
    if written and looks.function not in ("control", "supply"):
        return Circuit("comfort", True, reason=written)
    doubted = function == "unclear" and looks.function == "comfort"
    return Circuit("unclear", decided_by=looks.decided_by) if doubted else looks


@lru_cache(maxsize=8192)
def proposed(name: str) -> Circuit:
    """What a circuit's name says by itself.

    >>> proposed("Tachograph").function, proposed("Espresso machine").function
    ('regulated', 'unclear')
    """
    read = tables.circuit_name(name)
    parts = [each.name for each in read.consumers if each.word.function == read.function]
    if read.function == "unclear":
        parts += read.unread
    return Circuit(
        read.function,
        decided_by=", ".join(dict.fromkeys(parts)),
        reason="; ".join(read.reasons),
    )


def marks_of(name: str) -> dict[Mark, str]:
    """The marks that a circuit's name suggests, each with its reasons.

    >>> marks_of("Fuel pump relay")
    {'critical': 'fuel supply'}
    >>> marks_of("Espresso machine")
    {}
    """
    return dict(_marks_of(name, False))


@lru_cache(maxsize=8192)
def _marks_of(name: str, lighting: bool) -> tuple[tuple[Mark, str], ...]:
    found: dict[Mark, list[str]] = {}
    for _, word in tables.circuit_name(name).consumers:
        if word.function in MARKS:
            found.setdefault(MARKS[word.function], []).append(word.reason)
    if lighting:
        found.setdefault("monitored", [LAMPS])
    return tuple((mark, "; ".join(dict.fromkeys(reasons))) for mark, reasons in found.items())


def unanswered(slot: Slot) -> dict[Mark, str]:
    """The marks a slot's name or class proposes that it has not got, while nobody wrote otherwise.

    >>> unanswered(Slot(id="a", row=0, column=0, circuit="Airbag"))
    {'critical': 'airbag and belt tensioner'}
    >>> unanswered(Slot(id="a", row=0, column=0, circuit="Airbag", harmless="air bed pump socket"))
    {}
    """
    if slot.kind != "fuse" or slot.function == "added" or tells(slot.harmless):
        return {}
    has: dict[Mark, bool] = {"critical": slot.critical, "monitored": slot.monitored}
    lamps = slot.feed_class == "lighting" and not slot.critical
    return {mark: why for mark, why in _marks_of(slot.circuit, lamps) if not has[mark]}


def counts_critical(slot: Slot) -> bool:
    """Whether a slot's circuit is left alone: marked critical, or by its name and unanswered."""
    return slot.critical or "critical" in unanswered(slot)


def is_nameless(slot: Slot) -> bool:
    """Whether nobody said what a slot feeds, on the lid or by answering."""
    return not slot.circuit.strip() and not circuit_of(slot).answered


def rank(slot: Slot) -> int:
    """How late a slot is offered as a host, by what it feeds (`RANKS`)."""
    return RANKS[circuit_of(slot).function]
