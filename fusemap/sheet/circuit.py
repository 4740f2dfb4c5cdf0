"""The circuit of the whole job as data: what hangs on what, with the words that stand at it.

Out: a `Circuit` of parts, each after the one it hangs on, as the network that is solved has them:
batteries, feeds, tapped slots, taps; and what belongs to these on paper: the coil of a relay, the
link of a second battery, what hangs on a converter. Words are as they are printed. No Qt.
"""

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

PartKind = Literal["battery", "link", "second", "feed", "slot", "tap", "coil", "behind"]
At = Literal["", "live", "load"]
"""On a slot: before its host fuse, or behind it."""


class Part(Struct, frozen=True):
    """A part of the circuit: its key, the key of what it hangs on, and its words.

    `title` names it, `note` stands below; `fuse` is the fuse in its way (empty: none), `relay` the
    designation of a contact in its way; `out` and `back` are its cables in words, `earth` where it
    goes back to; `refers` says that the device stands elsewhere. `doubtful`: nobody knows that it
    hangs there. `switch` is the designation of a switch in its way, `by_hand` says that a hand
    moves it; `output` that a slot is an output of a control unit, `added` that nothing of the
    vehicle hangs on it. `by_name`: no line leads to it, its note names what it hangs on. `pins`
    are those of the tow socket that it ends at (0: none), `pin` its own.
    """

    kind: PartKind
    key: str
    parent: str
    title: str
    note: str = ""
    at: At = ""
    fuse: str = ""
    relay: str = ""
    out: str = ""
    badge: str = ""
    back: str = ""
    earth: str = ""
    refers: bool = False
    doubtful: bool = False
    switch: str = ""
    by_hand: bool = False
    output: bool = False
    added: bool = False
    by_name: bool = False
    pins: int = 0
    pin: int = 0

    @property
    def beside(self) -> bool:
        """Whether no trunk leads down to it: a coil stands beside its contact."""
        return self.kind == "coil" or self.by_name


class Circuit(Struct, frozen=True):
    """All parts, each after the one it hangs on and before what hangs on that one next."""

    parts: tuple[Part, ...]

    def texts(self) -> tuple[str, ...]:
        """Every word on it; a slot's fuse stands in its note."""
        return tuple(
            text
            for part in self.parts
            for text in (part.title, part.note, "" if part.kind == "slot" else part.fuse,
                         part.relay, part.switch, part.out, part.badge, part.back, part.earth)
            if text
        )  # fmt: skip


BATTERY_KEY = "battery"
SECOND_KEY = "second"
LINK_KEY = "link"


def in_order(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """The parts as a tree is read: each with all that hangs on it, before the next.

    On a slot what is behind its host fuse comes first: its line is the inner one. What stands by
    its name alone comes last of what hangs on a tap: no line runs past it.
    """
    below: dict[str, list[Part]] = {}
    for part in parts:
        below.setdefault(part.parent, []).append(part)
    found: list[Part] = []
    waiting = list(reversed(below.get("", [])))
    while waiting:
        part = waiting.pop()
        found.append(part)
        children = sorted(below.get(part.key, []), key=lambda p: p.at == "live")
        waiting += reversed(children)
    return tuple(_named_last(found))


def _named_last(parts: list[Part]) -> Iterator[Part]:
    """What hangs on a tap with what stands by name behind all else of it."""
    named: list[Part] = []
    for part in parts:
        if part.by_name:
            named.append(part)
            continue
        if part.kind != "behind":
            yield from named
            named.clear()
        yield part
    yield from named
