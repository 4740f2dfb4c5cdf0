"""The document: a vehicle is a value, an edit makes a new one.

`model` holds the frozen parts, `words` the closed sets of words, `look_up` finds parts by id,
`edits` and `reading_edits` have one pure function per action, `validity` says what makes a vehicle
impossible.
"""

from fusemap.vehicle.model import (
    Accessory,
    Battery,
    BorrowedSlot,
    Cable,
    ClockSpan,
    Converter,
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
from fusemap.vehicle.photo import PanelPhoto, PhotoPoint
from fusemap.vehicle.readings import Meter, MeterRange, Reading, SignOff
from fusemap.vehicle.standing import Drive, Maintainer, SecondBattery
from fusemap.vehicle.words import (
    FEED_CLASSES,
    KEY_STATES,
    LIVE_IN,
    PARKED_STATES,
    SEATED,
    STATES,
    WEEKDAYS,
    FeedClass,
    State,
)

__all__ = [
    "FEED_CLASSES",
    "KEY_STATES",
    "LIVE_IN",
    "PARKED_STATES",
    "SEATED",
    "STATES",
    "WEEKDAYS",
    "Accessory",
    "Battery",
    "BorrowedSlot",
    "Cable",
    "ClockSpan",
    "Converter",
    "Drive",
    "Feed",
    "FeedClass",
    "Fuse",
    "LogEntry",
    "Maintainer",
    "Meter",
    "MeterRange",
    "Panel",
    "PanelPhoto",
    "Parking",
    "PhotoPoint",
    "Reading",
    "RuleChoice",
    "SecondBattery",
    "SignOff",
    "Slot",
    "State",
    "StateLoads",
    "Tap",
    "Vehicle",
    "VoltageCutOff",
    "WakeUp",
]
