"""Parts of the document beside panels and accessories: fuses, cables, photos, readings, standing.

Units stand in the field's name, as in `model`; `None` means not known, never zero.

The photo of a panel or its lid is kept in the vehicle itself, as JPEG bytes in base 64, so that one
file holds all. Places on the picture are shares 0…1 of its width and height, from its top left.

A reading is kept raw, never overwritten and never taken away: a correction is a new reading that
names the old one, and one that does not hold is marked as withdrawn. The order of the tuple is the
order in which they were taken. Values stand in the unit of their quantity (`UNITS`); yes is 1, no
is 0.
"""

from itertools import pairwise
from typing import Final

from msgspec import Struct

from fusemap.vehicle.words import (
    WEEKDAYS,
    BatteryLink,
    BatteryName,
    Chemistry,
    LiveSide,
    MaintainerKind,
    MeterResponse,
    Place,
    Purpose,
    Quantity,
    SocketKind,
    StandReadingKind,
    State,
    TargetKind,
    Weekday,
    YesNo,
)


class Value(Struct, frozen=True, kw_only=True, omit_defaults=True, forbid_unknown_fields=True):
    """A frozen part of the document, compared by content."""


class Fuse(Value, frozen=True, kw_only=True):
    """A fuse: its family (a key of the fuse table) and its rating [A].

    `resistance_mohm` [mΩ] is the cold resistance where this very fuse was measured.
    """

    family: str
    rating: float
    resistance_mohm: float | None = None


class Stretch(Value, frozen=True, kw_only=True):
    """A part of a cable's way: its length [m], where it lies, and how many loaded lie together."""

    length_m: float
    place: Place = "cabin"
    bundle: int = 1


class Cable(Value, frozen=True, kw_only=True):
    """One conductor: copper section, length one way, insulation, where it lies, with how many.

    `bundle` counts the loaded conductors lying together, this one among them. A cable whose way
    leads through several places begins in `place`, for `length_m`, and goes on in those of
    `further`, seen from its source.
    """

    section_mm2: float
    length_m: float
    insulation: str = "pvc"
    place: Place = "cabin"
    bundle: int = 1
    colour: str = ""
    further: tuple[Stretch, ...] = ()

    @property
    def stretches(self) -> tuple[Stretch, ...]:
        """Its way from the source, place by place; one stretch where it lies in one place."""
        first = Stretch(length_m=self.length_m, place=self.place, bundle=self.bundle)
        return (first, *self.further)

    @property
    def whole_m(self) -> float:
        """The length of the whole way [m].

        >>> Cable(section_mm2=1.5, length_m=0.5, further=(Stretch(length_m=2.0),)).whole_m
        2.5
        """
        return self.length_m + sum(each.length_m for each in self.further)

    @property
    def crossings(self) -> int:
        """How often its way leads through the bulkhead, out of the engine bay or into it."""
        hot = [each.place == "engine_bay" for each in self.stretches]
        return sum(one != other for one, other in pairwise(hot))


MOST_JPEG_BYTES: Final = 200_000
"""The largest picture that is kept [bytes]."""
MOST_JPEG_LETTERS: Final = (MOST_JPEG_BYTES + 2) // 3 * 4
"""The same as text in base 64 [characters]."""


class PhotoPoint(Value, frozen=True, kw_only=True):
    """A place on a picture: shares of its width from the left, of its height from the top."""

    across: float
    down: float


class PanelPhoto(Value, frozen=True, kw_only=True):
    """A photo of a panel, and where on it the four corners of the panel's grid are.

    The corners are those of the panel as the document has it, before turning and mirroring.
    """

    jpeg: str
    top_left: PhotoPoint = PhotoPoint(across=0.0, down=0.0)
    top_right: PhotoPoint = PhotoPoint(across=1.0, down=0.0)
    bottom_right: PhotoPoint = PhotoPoint(across=1.0, down=1.0)
    bottom_left: PhotoPoint = PhotoPoint(across=0.0, down=1.0)

    @property
    def corners(self) -> "tuple[PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint]":
        """The four corners, clockwise from the top left."""
        return self.top_left, self.top_right, self.bottom_right, self.bottom_left


CORNERS: Final = ("top_left", "top_right", "bottom_right", "bottom_left")
"""The names of the corners, clockwise from the top left."""


class Drive(Value, frozen=True, kw_only=True):
    """A usual drive: begins at `start_h` of the clock, lasts `minutes`, on these days."""

    start_h: float
    minutes: float
    weekdays: tuple[Weekday, ...] = WEEKDAYS


class Maintainer(Value, frozen=True, kw_only=True):
    """A charger that keeps the battery up while parked, from `from_h` to `to_h` of the clock.

    `current_a` [A] is what reaches the battery in these hours on a usual day; for solar that is
    the panel's mean over them. Equal hours, or 0 to 24, mean all day. `battery` is the one it
    charges.
    """

    kind: MaintainerKind = "mains"
    current_a: float = 0.8
    from_h: float = 0.0
    to_h: float = 24.0
    battery: BatteryName = "starter"


class CrankReading(Value, frozen=True, kw_only=True):
    """One start followed with a meter at a 12 V battery's posts: one of two in a 24 V system.

    `rest_v` [V] before it, `crank_v` [V] the least while the engine turned, `temperature_c` [°C] of
    the battery. `response` says how the meter came by the least: seen `steady` on the display for a
    second, held by a `slow` MIN of 100 ms or more, or by a `fast` one, which shows the first dip
    and no cranking voltage.
    """

    rest_v: float
    crank_v: float
    temperature_c: float
    response: MeterResponse = "slow"
    when: str = ""
    note: str = ""


class FittedThen(Value, frozen=True, kw_only=True):
    """An accessory, by its id, that was fitted while a standing was followed."""

    accessory: str


class StandReading(Value, frozen=True, kw_only=True):
    """What one standing showed, of which the forecast learns; volts are of one 12 V battery.

    `rests`: rest voltages [V] `hours` apart while it slept, `rest_v` first and `later_v` last.
    `night`: the mean current `mean_a` [A] that left the battery over `hours`, asleep, wake-ups
    with it. `start`: `hours` after locking it `started` or it did not, at `temperature_c`; `rest_v`
    just before, where it was read. `fitted` are the accessories that drew then as well.
    """

    kind: StandReadingKind
    hours: float
    rest_v: float | None = None
    later_v: float | None = None
    mean_a: float | None = None
    started: bool | None = None
    temperature_c: float | None = None
    fitted: tuple[FittedThen, ...] = ()
    when: str = ""
    note: str = ""


class SecondBattery(Value, frozen=True, kw_only=True):
    """A second battery for accessories (those with `battery="second"`).

    `rest_v` [V] is what it shows at rest, `resistance_mohm` [mΩ] its inner resistance where that
    was measured. `link` joins it to the starter battery while driving, and for `linked_min` after
    locking. `charger_a` [A] is what a DC-DC charger takes from the starter's side; `idle_a` [A]
    what the link itself draws there while parked. `link_cable` leads from one battery to the other,
    with `near_fuse` at the starter battery's end of it and `far_fuse` at its own.
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
    rest_v: float | None = None
    resistance_mohm: float | None = None
    link_cable: Cable | None = None
    near_fuse: Fuse | None = None
    far_fuse: Fuse | None = None


class Pin(Value, frozen=True, kw_only=True):
    """A contact of a tow socket, by its `number`.

    `watts` [W] is what the trailer's lamps on it take, `None` where nobody looked; `section_mm2`
    is the trailer's core behind it, where it is not the standard's.
    """

    number: int
    watts: float | None = None
    section_mm2: float | None = None


class Socket(Value, frozen=True, kw_only=True):
    """A socket of the vehicle that things are plugged into.

    `slot` is the slot that feeds it, `limit_a` [A] what it carries for long, where it says so. Of a
    tow socket `module` is the accessory that switches its lamps; `pins` are those of which
    something is known; `returns_joined` says whether the trailer joins its returns,
    `lamps_joined` whether it bridges the two sides of its tail lamps.
    """

    id: str
    name: str
    kind: SocketKind = "lighter"
    place: Place = "cabin"
    slot: str | None = None
    limit_a: float | None = None
    module: str | None = None
    pins: tuple[Pin, ...] = ()
    returns_joined: YesNo = "unknown"
    lamps_joined: YesNo = "unknown"


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
    "plus_millivolts": "mV",
    "grips": "",
    "no_lamps": "",
    "polarity": "V",
    "output_volts": "V",
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
    names the slot whose fuse was out meanwhile, `fuses_out` several that were. `resolution` and
    `counts` say which range the meter stood in where no meter is named. `by` says whose reading it
    is; one that is not `verified` was taken over from somebody else. `repeated`: asked again
    because it was hard to believe, and it came out the same. `corrects` names the reading
    this one takes the place of. `pin` is the contact of a tow socket it was taken at, 0 elsewhere.
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
    fuses_out: tuple[str, ...] = ()
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
    pin: int = 0

    @property
    def unit(self) -> str:
        """The unit its value stands in; empty for yes or no."""
        return UNITS[self.quantity]

    @property
    def yes(self) -> bool:
        """Whether a yes-or-no reading said yes."""
        return self.value != 0


class SignOff(Value, frozen=True, kw_only=True):
    """The check after the job, signed: when, by whom, and what was left open.

    `stands_for` tells what was signed: the mark of the plan as it was then (`probing.signing`);
    empty in a signature of which that was not kept.
    """

    when: str
    by: str
    passed: int = 0
    differing: int = 0
    left_open: int = 0
    note: str = ""
    stands_for: str = ""
