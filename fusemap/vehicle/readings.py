"""What was measured at the vehicle, kept raw, and the meters it was measured with.

A reading is never overwritten and never taken away: a correction is a new reading that names the
old one, and one that does not hold is marked as withdrawn. The order of the tuple is the order in
which they were taken. Values stand in the unit of their quantity (`UNITS`); yes is 1, no is 0.
"""

from typing import Final

from fusemap.vehicle.value import Value
from fusemap.vehicle.words import LiveSide, Purpose, Quantity, State, TargetKind

UNITS: Final[dict[Quantity, str]] = {
    "live": "",
    "live_left": "",
    "live_right": "",
    "live_top": "",
    "live_bottom": "",
    "millivolts": "mV",
    "clamp_current": "A",
    "inline_current": "A",
    "volts": "V",
    "earth_millivolts": "mV",
    "works": "",
    "stays_on": "",
    "warm": "",
}
"""The unit of every quantity a reading can have; empty for yes or no."""

YES_NO: Final[frozenset[Quantity]] = frozenset(key for key, unit in UNITS.items() if not unit)
CURRENTS: Final[tuple[Quantity, ...]] = ("clamp_current", "inline_current")
CONTACTS: Final[dict[Quantity, LiveSide]] = {
    "live_left": "left",
    "live_right": "right",
    "live_top": "top",
    "live_bottom": "bottom",
}
"""Which contact of a slot is read, its fuse being out."""


class MeterRange(Value, frozen=True, kw_only=True):
    """One range of a meter: it may be off by `share` of the reading and `counts` last digits.

    `up_to` is where the range ends and `resolution` its last digit, both in the unit of `quantity`.
    """

    quantity: Quantity
    resolution: float
    up_to: float | None = None
    share: float = 0.0
    counts: float = 3.0


class Meter(Value, frozen=True, kw_only=True):
    """A meter with its ranges, as its leaflet states them."""

    id: str
    name: str
    ranges: tuple[MeterRange, ...] = ()


class Reading(Value, frozen=True, kw_only=True):
    """One reading: what, where, in which state, how much, when, with what and by whom.

    `when` is an ISO 8601 date or date and time. `after_lock_min` counts from locking the vehicle,
    for the parked states. `highest` is the other end where the meter swung to and fro. `fuse_out`
    names the slot whose fuse was out meanwhile. `resolution` and `counts` say which range the meter
    stood in where no meter is named. `by` says whose reading it is; one that is not `verified` was
    taken over from somebody else. `repeated`: asked again because it was hard to believe, and it
    came out the same. `corrects` names the reading this one takes the place of.
    """

    id: str
    when: str
    quantity: Quantity
    value: float
    target: TargetKind = "slot"
    target_id: str = ""
    state: State = "asleep"
    after_lock_min: float | None = None
    lamps_on: bool = False
    highest: float | None = None
    fuse_out: str | None = None
    meter: str | None = None
    resolution: float | None = None
    counts: float | None = None
    by: str = ""
    verified: bool = True
    repeated: bool = False
    purpose: Purpose = "probe"
    corrects: str | None = None
    withdrawn: bool = False
    note: str = ""

    @property
    def unit(self) -> str:
        """The unit its value stands in; empty for yes or no."""
        return UNITS[self.quantity]

    @property
    def yes(self) -> bool:
        """Whether a yes-or-no reading said yes."""
        return self.value != 0


class SignOff(Value, frozen=True, kw_only=True):
    """The check after the job, signed: when, by whom, and what was left open."""

    when: str
    by: str
    passed: int = 0
    differing: int = 0
    left_open: int = 0
    note: str = ""
