"""What is typed on the number pad for one slot, read as one or two readings. No Qt.

``+`` live, ``-`` dead, a number in the unit that is set; ``+0,4`` is live and 0.4; ``40-65`` is a
meter that swings between the two. A comma or a point; a suffix mV, V, mA or A says which quantity
the number is of. On the number pad nothing but digits, signs and Enter is needed.
"""

import re
from typing import Final

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.text import say
from fusemap.vehicle.words import Quantity

_NUMBER: Final = r"\d+(?:[.,]\d*)?|[.,]\d+"
_WHOLE: Final = re.compile(rf"([+-]?)(?:({_NUMBER})(?:-({_NUMBER}))?(mv|ma|a|v)?)?")
_BEGUN: Final = re.compile(r"[+-]?(?:\d*[.,]?\d*(?:-\d*[.,]?\d*)?(?:m|mv|ma|a|v)?)?")

SCALES: Final[dict[str, float]] = {"mv": 1.0, "v": 1.0, "ma": 1e-3, "a": 1.0}
"""What a typed number is multiplied with, to stand in the unit of its quantity."""

LONGEST: Final = 24
"""More characters than any reading has."""


class Entry(Struct, frozen=True):
    """What was typed: live or dead if that was said, and a value with the other end of its swing.

    `value` and `highest` stand in the unit of `quantity`.
    """

    live: bool | None = None
    value: float | None = None
    highest: float | None = None
    quantity: Quantity = "millivolts"


def can_follow(typed: str, key: str) -> bool:
    """Whether a key makes sense after what is typed already.

    >>> can_follow("1", ","), can_follow("1,", ","), can_follow("", "+"), can_follow("1", "+")
    (True, False, True, False)
    """
    whole = (typed + key).lower()
    return len(whole) <= LONGEST and _BEGUN.fullmatch(whole) is not None


def read_entry(
    typed: str,
    quantity: Quantity = "millivolts",
    scale: float = 1.0,
    current: Quantity = "clamp_current",
) -> Entry:
    """What was typed, with `quantity` and `scale` for a number without a unit.

    `current` is how currents are read, by clamp or in line. Raises `InputProblem` for what is no
    reading: a value of a dead slot, a swing that falls.

    >>> read_entry("+1,2")
    Entry(live=True, value=1.2, highest=None, quantity='millivolts')
    >>> read_entry("40-65ma", "clamp_current")
    Entry(live=None, value=0.04, highest=0.065, quantity='clamp_current')
    """
    found = _WHOLE.fullmatch(typed.strip().lower())
    if found is None:
        raise InputProblem(
            say("“{typed}” is no reading", typed=typed),
            remedy=say("type + or -, or a number like {example}", example=0.4),
        )
    sign, low, high, unit = found.groups()
    if low is None:
        return Entry(live={"+": True, "-": False}.get(sign), quantity=quantity)
    what, factor = _unit(unit, quantity, scale, current)
    value = _number(low) * factor
    top = None if high is None else _number(high) * factor
    if top is not None and top < value:
        raise InputProblem(
            say("{high} is below {low}", high=high, low=low),
            remedy=say("type the lower end first: 40-65"),
        )
    if sign != "-":
        return Entry(True if sign else None, value, top, what)
    if value == 0:
        return Entry(False, 0.0, None, what)
    # The meter shows a minus when its leads are the other way round; current flows all the same.
    if top is not None:
        return Entry(None, -top, -value, what)
    return Entry(None, -value, None, what)


def _unit(
    unit: str | None, quantity: Quantity, scale: float, current: Quantity
) -> tuple[Quantity, float]:
    if not unit:
        return quantity, scale
    if unit == "mv":
        return quantity if quantity.endswith("_millivolts") else "millivolts", 1.0
    if unit == "v":
        return "polarity" if quantity == "polarity" else "volts", 1.0
    return quantity if quantity.endswith("current") else current, SCALES[unit]


def _number(text: str) -> float:
    return float(text.replace(",", "."))
