"""Which circuits their names say to leave alone, and which of these nobody has answered for.

In: a slot. Out: the marks its circuit's name proposes (`tables.circuit_name`), and those that are
still open: neither set, nor turned down in writing. Until a person answers, such a slot is treated
as if it had the mark: nothing is planned there, and a tap on it is told.
"""

from functools import lru_cache
from typing import Final, Literal

from fusemap import tables
from fusemap.text import Text, say
from fusemap.vehicle import Slot
from fusemap.vehicle.texts import tells

Mark = Literal["critical", "monitored"]

QUESTIONS: Final[dict[Mark, Text]] = {
    "critical": say("critical?"),
    "monitored": say("monitored?"),
}
"""A mark that a name proposes and that nobody answered for."""


MARKS: Final[dict[str, Mark]] = {
    "leave_alone": "critical",
    "regulated": "critical",
    "watched": "monitored",
}
"""The mark that a function proposes."""


def marks_of(circuit: str) -> dict[Mark, str]:
    """The marks that a circuit's name suggests, each with its reasons.

    >>> marks_of("Fuel pump relay")
    {'critical': 'fuel supply'}
    >>> marks_of("Espresso machine")
    {}
    """
    return dict(_marks_of(circuit))


@lru_cache(maxsize=4096)
def _marks_of(circuit: str) -> tuple[tuple[Mark, str], ...]:
    found: dict[Mark, list[str]] = {}
    for _, word in tables.circuit_name(circuit).consumers:
        if word.function in MARKS:
            found.setdefault(MARKS[word.function], []).append(word.reason)
    return tuple((mark, "; ".join(dict.fromkeys(reasons))) for mark, reasons in found.items())


def unanswered(slot: Slot) -> dict[Mark, str]:
    """The marks a slot's name proposes that it has not got, while nobody wrote what it feeds.

    >>> unanswered(Slot(id="a", row=0, column=0, circuit="Airbag"))
    {'critical': 'airbag and belt tensioner'}
    >>> unanswered(Slot(id="a", row=0, column=0, circuit="Airbag", harmless="air bed pump socket"))
    {}
    """
    if slot.kind != "fuse" or tells(slot.harmless):
        return {}
    has: dict[Mark, bool] = {"critical": slot.critical, "monitored": slot.monitored}
    return {mark: why for mark, why in _marks_of(slot.circuit) if not has[mark]}


def counts_critical(slot: Slot) -> bool:
    """Whether a slot's circuit is left alone: marked critical, or by its name and unanswered."""
    return slot.critical or "critical" in unanswered(slot)


def is_nameless(slot: Slot) -> bool:
    """Whether nobody said what a slot feeds."""
    return not slot.circuit.strip() and not tells(slot.harmless)
