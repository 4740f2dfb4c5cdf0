"""Where things stand on the stage while the keypad is open: it takes room, and covers nothing.

In: where they stand without it, and the scale. Out: the same boxes, and those of the keypad and of
the row of keys below it [px of the design].
"""

from collections.abc import Mapping
from typing import Final, TypeVar

from msgspec import Struct

from fusemap.window.beside.keypad import TOUCH, Keypad
from fusemap.window.beside.scale import Box, Scale

AIR: Final = 6.0
ONE_ROW: Final = 32.0
"""How high one row of what was stored last is [px of the design]."""
LEAST_SAID: Final = 66.0
"""So much is left to what is said, where anything is [px of the design]."""
Name = TypeVar("Name", bound=str)


class WithPad(Struct, frozen=True):
    """The boxes with the keypad among them; `last_rows` of what was stored last have room."""

    boxes: Mapping[str, Box]
    pad: Box
    last_rows: int


def with_pad(
    places: Mapping[Name, Box], scale: Scale, *, row: bool, said: bool, tight: bool
) -> WithPad:
    """The boxes while the keypad is open; `row` where keys stand below it, `said` where anything
    is said. With `tight` words have all the room that the keypad can spare.
    """
    boxes: dict[str, Box] = {str(name): box for name, box in places.items()}
    left, _, right, bottom = boxes["keys"]
    row_high = max(58.0, (TOUCH + 2) / scale.down) if row else 0.0
    boxes["keys"] = (left, bottom - row_high, right, bottom)
    end = bottom - row_high - (8.0 if row else 0.0)
    lowest = end - (Keypad.least() + 1) / scale.down
    entry, words, last = boxes["entry"], boxes["said"], boxes["last"]
    has_last = last[3] - last[1] >= ONE_ROW and last[1] < end and not tight
    rows = int(has_last and words[3] + 2 * AIR + ONE_ROW <= lowest)
    above = words[3] if said or rows else entry[3]
    top = lowest if tight else min(lowest, above + AIR + rows * (ONE_ROW + AIR))
    words_end = top - AIR - rows * (ONE_ROW + AIR)
    words_top = min(words[1], words_end - (LEAST_SAID if said else 0.0))
    boxes["entry"] = (entry[0], entry[1], entry[2], min(entry[3], words_top - AIR))
    boxes["said"] = (words[0], words_top, words[2], words_end)
    boxes["last"] = (last[0], words_end + AIR, last[2], words_end + AIR + rows * ONE_ROW)
    return WithPad(boxes, (left, top, right, end), rows)
