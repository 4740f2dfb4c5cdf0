"""The closed sets of words a vehicle is described with, and what they mean.

A word is stored in the file as it stands here; what the screen shows is the window's business.
"""

from typing import Final, Literal, get_args

State = Literal["asleep", "awake", "accessory", "ignition", "running"]
FeedClass = Literal[
    "permanent", "ignition", "accessory", "delayed_off", "lighting", "unfed", "unknown"
]
Orientation = Literal["upright", "lying"]
SlotKind = Literal["fuse", "relay", "blocked"]
LiveSide = Literal["unknown", "left", "right", "top", "bottom"]
Place = Literal["cabin", "engine_bay", "boot", "under_carpet"]
Chemistry = Literal["flooded", "efb", "agm", "gel", "lifepo4"]
LoadKind = Literal["constant_power", "constant_current", "resistive", "filament", "motor"]
LeadName = Literal["power", "sense"]
TapKind = Literal["two_fuse", "take_off_lead", "splice", "own_feed"]
WayRound = Literal["live_side", "load_side"]
FeedNeed = Literal["permanent", "switched", "either"]
SystemVoltage = Literal[12, 24]
Quantity = Literal[
    "live", "live_left", "live_right", "live_top", "live_bottom", "millivolts", "clamp_current",
    "inline_current", "volts", "earth_millivolts", "works", "stays_on", "warm",
]  # fmt: skip
TargetKind = Literal["slot", "vehicle", "feed", "tap"]
Purpose = Literal["probe", "check"]
Found = Literal["no", "keep", "remove", "unknown"]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
MaintainerKind = Literal["mains", "solar"]
BatteryLink = Literal["relay", "dcdc"]
BatteryName = Literal["starter", "second"]
StartsBy = Literal["cranking", "contactors"]

STATES: Final[tuple[State, ...]] = get_args(State)
"""Parked and asleep; locked but still awake; key at accessory; ignition on; engine running."""

SEATED: Final[tuple[TapKind, ...]] = ("two_fuse", "take_off_lead")
"""Kinds of tap that sit in the slot in the place of its fuse; they can be turned round."""

WEEKDAYS: Final[tuple[Weekday, ...]] = get_args(Weekday)
FEED_CLASSES: Final[tuple[FeedClass, ...]] = get_args(FeedClass)
PARKED_STATES: Final[tuple[State, ...]] = ("asleep", "awake")
KEY_STATES: Final[tuple[State, ...]] = ("accessory", "ignition", "running")

LIVE_IN: Final[dict[FeedClass, tuple[State, ...]]] = {
    "permanent": STATES,
    "ignition": ("ignition", "running"),
    "accessory": KEY_STATES,
    "delayed_off": ("awake", *KEY_STATES),
    "lighting": ("ignition", "running"),
    "unfed": (),
    # What is not known is taken as live everywhere: the planner must not count on it being dead.
    "unknown": STATES,
}
"""In which vehicle states a slot of each feed class is live; a lighting feed with the lamps on."""
