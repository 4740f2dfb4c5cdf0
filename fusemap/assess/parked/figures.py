"""What is said of a parked vehicle, and what it is reckoned from.

In: nothing; these are the values that the modules beside this one pass on.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from fusemap.assess.result import Basis
from fusemap.electrics.parked import Forecast
from fusemap.text import Argument, Duration, Style, Text, say


@dataclass(frozen=True, slots=True)
class Span:
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


@dataclass(frozen=True, slots=True)
class StartNeed:
    """Charge a start needs [-] at the coldest expected, by which rule, in words, and its source.

    `by_cold_cranking` is `None` where the label does not tell, or contactors are closed instead.
    """

    soc: float
    by_rule: float
    by_cold_cranking: float | None
    words: Text
    source: Argument


@dataclass(frozen=True, eq=False)
class SecondFigures:
    """The second battery while parked: hours until empty and until harm, who draws, what assumed.

    Hours [h] are infinite where not reached within the forecast.
    """

    forecast: Forecast
    start_soc: float
    hours_to_empty: float
    hours_to_harm: float
    accessories: tuple[str, ...]
    assumed: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Consumer:
    """One thing that draws while parked: its mean current once asleep and its charge to the end.

    `name` is a `str` where somebody gave it.
    """

    name: Argument
    accessory: str | None
    mean_a: float
    charge_ah: float


@dataclass(frozen=True, eq=False)
class ParkedFigures:
    """How long the vehicle may stand.

    `hours` until the charge needed to crank is reached, infinite when it is not within
    `forecast.horizon_h`; `look_without` finds the same without any accessory. `assumed` says what
    was assumed where the label or a reading is missing. `need` is what a start needs,
    `hours_to_harm` until the battery takes harm from deep discharge below `harm_soc`. `remainder_a`
    [A] is what no circuit explains, `given_ah` [Ah] what a maintainer offered. `second` is the
    second battery.
    """

    forecast: Forecast
    hours: float
    look_without: Callable[[], float]
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

    @property
    def days(self) -> float:
        """The same in days."""
        return self.hours / 24

    @property
    def hours_to_freezing(self) -> float:
        """Until the battery can freeze in the coldest night expected [h]."""
        return float(self.forecast.hours_to_freezing)
