"""What the hunt found in a thousand invented vehicles, and what it took: for the help.

Vehicles of 12 to 40 fuses with none to three drains of 60 mA to 2 A, ordinary meters with their
errors, fuses that differ from their data sheets. `tests/probing/hunt/test_thousand.py` goes through
them again and holds these figures.
"""

from typing import Final

from msgspec import Struct

from fusemap.text import Text, say


class Found(Struct, frozen=True):
    """Drains of one kind: how many were planted, surely found, and said to be possible there."""

    key: str
    what: Text
    planted: int
    found: int
    open: int


class Taken(Struct, frozen=True):
    """What one way took, in the middle [-]: readings, and fuses that were pulled."""

    key: str
    what: Text
    vehicles: int
    readings: float
    pulled: float


FOUND: Final = (
    Found("always", say("draws always"), 776, 767, 9),
    Found("locked", say("behind the ignition lock"), 181, 178, 3),
    Found("comes_and_goes", say("comes and goes"), 118, 92, 10),
    Found("left_alone", say("on a circuit to leave alone, never pulled"), 161, 142, 19),
    Found("no_fuse", say("on no fuse of the panel, with a clamp at hand"), 72, 59, 12),
    Found("no_clamp", say("on no fuse of the panel, without a clamp"), 23, 10, 13),
)
"""By kind of drain."""

HEALTHY: Final = 93
"""Vehicles without a drain: none was said to have one."""

TOLD_HEALTHY: Final = 83
"""Those of them that were surely said to be healthy; of the others the clamp could not tell."""

TAKEN: Final = (
    Taken("millivolts", say("millivolts first, then halves"), 64, 13, 1),
    Taken("halves", say("halves alone"), 64, 9, 14),
    Taken("one_by_one", say("one fuse after the other"), 64, 16, 13.5),
)
"""By way, over vehicles whose drains are always there and on fuses that may be pulled."""
