"""Parts of the document about standing: drives, a maintainer, a second battery.

Units stand in the field's name, as in `model`; `None` means not known, never zero.
"""

from fusemap.vehicle.value import Value
from fusemap.vehicle.words import WEEKDAYS, BatteryLink, Chemistry, MaintainerKind, Weekday


class Drive(Value, frozen=True, kw_only=True):
    """A usual drive: begins at `start_h` of the clock, lasts `minutes`, on these days."""

    start_h: float
    minutes: float
    weekdays: tuple[Weekday, ...] = WEEKDAYS


class Maintainer(Value, frozen=True, kw_only=True):
    """A charger that keeps the battery up while parked, from `from_h` to `to_h` of the clock.

    `current_a` [A] is what reaches the battery in these hours on a usual day; for solar that is
    the panel's mean over them. Equal hours, or 0 to 24, mean all day.
    """

    kind: MaintainerKind = "mains"
    current_a: float = 0.8
    from_h: float = 0.0
    to_h: float = 24.0


class SecondBattery(Value, frozen=True, kw_only=True):
    """A second battery for accessories (those with `battery="second"`).

    `link` joins it to the starter battery while driving, and for `linked_min` after locking.
    `charger_a` [A] is what a DC-DC charger takes from the starter's side; `idle_a` [A] what the
    link itself draws there while parked.
    """

    chemistry: Chemistry = "agm"
    capacity_ah: float | None = None
    age_years: float | None = None
    soh: float | None = None
    start_soc: float | None = None
    link: BatteryLink = "relay"
    linked_min: float = 0.0
    charger_a: float | None = None
    idle_a: float = 0.0
