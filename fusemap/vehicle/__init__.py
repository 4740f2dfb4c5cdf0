"""The document: a vehicle is a value, an edit makes a new one.

`model` holds the frozen parts, `words` the closed sets of words, `look_up` finds parts by id,
`edits` and `reading_edits` have one pure function per action, `validity` says what makes a vehicle
impossible.
"""

from fusemap.vehicle.model import (
    Accessory,
    Battery,
    Cable,
    ClockSpan,
    Feed,
    Fuse,
    LogEntry,
    Panel,
    Parking,
    RuleChoice,
    Slot,
    StateLoads,
    Tap,
    Vehicle,
    VoltageCutOff,
    WakeUp,
)
from fusemap.vehicle.readings import BorrowedSlot, Meter, MeterRange, Reading, SignOff
from fusemap.vehicle.words import (
    FEED_CLASSES,
    KEY_STATES,
    LIVE_IN,
    PARKED_STATES,
    STATES,
    FeedClass,
    State,
)

__all__ = [
    "FEED_CLASSES",
    "KEY_STATES",
    "LIVE_IN",
    "PARKED_STATES",
    "STATES",
    "Accessory",
    "Battery",
    "BorrowedSlot",
    "Cable",
    "ClockSpan",
    "Feed",
    "FeedClass",
    "Fuse",
    "LogEntry",
    "Meter",
    "MeterRange",
    "Panel",
    "Parking",
    "Reading",
    "RuleChoice",
    "SignOff",
    "Slot",
    "State",
    "StateLoads",
    "Tap",
    "Vehicle",
    "VoltageCutOff",
    "WakeUp",
]
