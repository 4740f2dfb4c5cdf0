"""What is said of a parked vehicle, and what it is reckoned from.

In: nothing; these are the values that the modules beside this one pass on.
"""

from collections.abc import Callable
from functools import cached_property

from msgspec import Struct

from fusemap.assess.parked.start_spans import Way
from fusemap.assess.result import Basis
from fusemap.electrics.parked import Forecast
from fusemap.text import Argument, Duration, Style, Text, say


class Span(Struct, frozen=True):
    """From one time to another [h]; the unit stands once where it is the same."""

    low_h: float
    high_h: float

    def shown(self, style: Style) -> str:
        """The times in words.

        >>> style = Style()
        >>> Span(9 * 24, 14 * 24).shown(style), Span(5, 72).shown(style), Span(72, 72).shown(style)
        ('9 to 14 days', '5 hours to 3 days', '3 days')
        """
        low, high = style.show(Duration(self.low_h)), style.show(Duration(self.high_h))
        if low == high:
            return low
        number, _, unit = low.partition(" ")
        low = number if high.endswith(f" {unit}") else low
        return style.show(say("{low} to {high}", low=low, high=high))


class StartNeed(Struct, frozen=True):
    """Charge a start needs [-] at the coldest expected, by which way, in words, and its source.

    Half of the vehicles like this need no more than `soc`, a tenth less than `low`, a tenth more
    than `high`; `never`: half of them do not start with a full battery. `gets_v` tells what the
    starter gets [V] at a charge, not a number where the need follows from a published line alone.
    """

    soc: float
    never: bool
    low: float
    high: float
    way: Way
    words: Text
    source: Argument
    gets_v: Callable[[float], float]

    @property
    def cautious(self) -> float:
        """What nine of ten such vehicles start with [-]; half of them, where that is too much."""
        return self.high if self.high < 1.0 else self.soc


class Middle(Struct, frozen=True, eq=False):
    """Half of the vehicles like this one: what is said of a standing where one figure is said.

    Half of them no longer start after `hours` [h], are empty after `empty_h` [h] and can freeze
    after `freezes_h` [h], infinite past what was looked at; `charge` tells the charge [-] that half
    of them still have so many hours [h] after locking. The forecast by the usual figures answers
    another question, as half of a load's figures may lie above its usual one: it says what happens
    and who draws, and is named wherever one of its times is told.
    """

    hours: float
    empty_h: float
    freezes_h: float
    charge: Callable[[float], float]


class SecondFigures(Struct, frozen=True, eq=False):
    """The second battery while parked: hours until empty and until harm, who draws, what assumed.

    Hours [h] are infinite where not reached within the forecast.
    """

    forecast: Forecast
    start_soc: float
    hours_to_empty: float
    hours_to_harm: float
    accessories: tuple[str, ...]
    assumed: tuple[Text, ...]


class Consumer(Struct, frozen=True):
    """One thing that draws while parked: its mean current once asleep and its charge to the end.

    `name` is a `str` where somebody gave it.
    """

    name: Argument
    accessory: str | None
    mean_a: float
    charge_ah: float


class ParkedFigures(Struct, frozen=True, eq=False, dict=True):
    """How long the vehicle may stand by the usual figures.

    `hours` until the charge needed to crank is reached, infinite when it is not within
    `forecast.horizon_h`; `look_without` finds the same without any accessory, `look_placed` without
    those that have no source yet, whose names are `unplaced`. `assumed` says what was assumed where
    the label or a reading is missing. `need` is what a start needs, `hours_to_harm` until the
    battery takes harm from deep discharge below `harm_soc`. `remainder_a` [A] is what no circuit
    explains, `given_ah` [Ah] what a maintainer offered. `second` is the second battery.
    """

    forecast: Forecast
    hours: float
    look_without: Callable[[], float]
    look_placed: Callable[[], float]
    unplaced: tuple[str, ...]
    start_soc: float
    crank_soc: float
    consumers: tuple[Consumer, ...]
    assumed: tuple[Text, ...]
    basis: Basis
    need: StartNeed
    hours_to_harm: float
    harm_soc: float
    remainder_a: float
    given_ah: float
    second: SecondFigures | None

    @cached_property
    def hours_without(self) -> float:
        """Hours to the same end without any accessory; looked ahead when first asked for."""
        return self.look_without()

    @cached_property
    def hours_placed(self) -> float:
        """Hours to the same end with what has a source alone; looked ahead when first asked for."""
        return self.look_placed()

    @property
    def starts_now(self) -> bool:
        """Whether it has the charge that a start needs when it is locked."""
        return not self.need.never and self.start_soc > self.crank_soc

    @property
    def days(self) -> float:
        """The same in days."""
        return self.hours / 24
