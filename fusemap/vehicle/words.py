"""The closed sets of words a vehicle is described with, and what they mean.

A word is stored in the file as it stands here; `STATE`, `FEED` and `unit_of` say what people read.
"""

from typing import Final, Literal, NamedTuple, get_args

from fusemap.text import Amount, Argument, Text, say, say_in

State = Literal["asleep", "awake", "accessory", "ignition", "running"]
FeedClass = Literal[
    "permanent", "ignition", "accessory", "delayed_off", "lighting", "unfed", "unknown"
]
Orientation = Literal["upright", "lying"]
SlotKind = Literal["fuse", "relay", "blocked", "module"]
"""`module`: an output of a control unit, behind an electronic fuse and often pulsed."""
LiveSide = Literal["unknown", "left", "right", "top", "bottom"]
Place = Literal[
    "cabin", "engine_bay", "boot", "under_carpet", "sill", "roof", "underbody", "trailer"
]
PanelKind = Literal["vehicle", "block"]
Sleeve = Literal["unknown", "open", "sleeved"]
"""How the part of a cable before its fuse is covered: not at all, or from end to end."""
EarthKind = Literal["body", "battery_minus", "bar"]
YesNo = Literal["unknown", "no", "yes"]
Chemistry = Literal["flooded", "efb", "agm", "gel", "lifepo4"]
LoadKind = Literal["constant_power", "constant_current", "resistive", "filament", "motor"]
LeadName = Literal["power", "sense"]
TapKind = Literal["two_fuse", "take_off_lead", "splice", "own_feed", "terminal", "plug"]
"""`terminal`: at the load side's own terminal of the slot, behind its fuse, with nothing cut;
`plug`: in a socket that the slot feeds."""
SocketKind = Literal["lighter", "diagnosis", "harness", "tow_13", "tow_7", "tow_15"]
"""The round socket of a lighter; the one for testers; the vehicle's own plug for accessories; tow
sockets of ISO 11446 and ISO 1724, and of ISO 12098 on 24 V."""
PinRole = Literal["lamp", "permanent", "switched", "return", "signal", "free"]
WayRound = Literal["live_side", "load_side"]
LeadSwitch = Literal["unsaid", "none", "hand", "main_beam", "park_brake", "ignition", "timer"]
"""What opens and closes a lead: nothing; a hand; that and the main beam; the park brake; the
ignition; a timer that opens it some time after the ignition went off."""
FeedNeed = Literal["permanent", "switched", "either"]
SystemVoltage = Literal[12, 24]
Quantity = Literal[
    "live", "live_left", "live_right", "live_top", "live_bottom", "millivolts", "clamp_current",
    "inline_current", "volts", "earth_millivolts", "works", "stays_on", "warm",
    "plus_millivolts", "grips", "no_lamps", "polarity", "output_volts",
]  # fmt: skip
TargetKind = Literal["slot", "vehicle", "feed", "tap", "earth", "panel", "socket"]
Purpose = Literal["probe", "check", "hunt"]
Found = Literal["no", "keep", "remove", "unknown"]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
MaintainerKind = Literal["mains", "solar"]
BatteryLink = Literal["relay", "dcdc"]
BatteryName = Literal["starter", "second"]
StartsBy = Literal["cranking", "contactors"]
ToppedUp = Literal["unknown", "no", "yes"]
"""Whether the drive battery of an electric car charges the 12 V battery while it stands."""
StandReadingKind = Literal["rests", "night", "start"]
AnsweredFunction = Literal["comfort", "control", "supply", "unclear", "added"]
"""What a person says of a circuit that is neither critical nor monitored; `unclear`: asked, and not
known; `added`: a way of a block that was added, nothing of the vehicle's hangs on it."""
LabelStandard = Literal["unknown", "en", "sae", "iec", "din"]
EngineFuel = Literal["unknown", "petrol", "diesel", "motorcycle"]
ChargedBy = Literal["unknown", "plain", "smart", "short_trips"]
MeterResponse = Literal["steady", "slow", "fast"]
FuseFailed = Literal["no", "unknown", "sagged", "burst"]
"""How a slot's fuse opened before: its element sagged in the heat, or burst; `no`: not told of."""
FiguresFrom = Literal["unsaid", "library", "label", "meter"]

STATES: Final[tuple[State, ...]] = get_args(State)
"""Parked and asleep; locked but still awake; key at accessory; ignition on; engine running."""

SEATED: Final[tuple[TapKind, ...]] = ("two_fuse", "take_off_lead")
"""Kinds of tap that sit in the slot in the place of its fuse; they can be turned round."""

BEHIND: Final[tuple[TapKind, ...]] = ("splice", "terminal", "plug")
"""Kinds of tap that lie behind the slot's fuse whichever way round anything sits."""
TOW: Final[tuple[SocketKind, ...]] = ("tow_13", "tow_7", "tow_15")

WEEKDAYS: Final[tuple[Weekday, ...]] = get_args(Weekday)
FEED_CLASSES: Final[tuple[FeedClass, ...]] = get_args(FeedClass)
PARKED_STATES: Final[tuple[State, ...]] = ("asleep", "awake")
KEY_STATES: Final[tuple[State, ...]] = ("accessory", "ignition", "running")

BATTERY: Final = "battery"
"""In the place of a feed's id: straight from the battery. No feed has this id."""

CLOSED_BY: Final[frozenset[LeadSwitch]] = frozenset(
    ("hand", "main_beam", "park_brake", "ignition", "timer")
)
"""Switches that a lead really has: while one is open nothing flows."""

DRIVEN: Final[tuple[State, ...]] = ("ignition", "running")
"""The states in which the ignition is on, and the main beam can be."""

SWITCHED: Final[frozenset[FeedClass]] = frozenset(
    ("ignition", "accessory", "delayed_off", "lighting")
)
"""Classes that something switches on and off: no slot of them hangs straight on the battery."""

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


class StateWords(NamedTuple):
    """A vehicle state in words: by itself, behind a verb (“live with ignition on”), in capitals."""

    label: Text
    phrase: Text
    title: Text


STATE: Final[dict[State, StateWords]] = {
    "asleep": StateWords(say("asleep"), say("asleep"), say("ASLEEP")),
    "awake": StateWords(say("locked, still awake"), say("while still awake"), say("LOCKED")),
    "accessory": StateWords(
        say("key at accessory"), say("with key at accessory"), say("KEY AT ACCESSORY")
    ),
    "ignition": StateWords(say("ignition on"), say("with ignition on"), say("IGNITION ON")),
    "running": StateWords(say("engine running"), say("with engine running"), say("ENGINE RUNNING")),
}
"""The one table of words for vehicle states."""


class FeedWords(NamedTuple):
    """A feed class: its terminal number, the class by itself, the feed, and what it does.

    The number is that of DIN 72552; empty where none stands for the class alone. Source of the
    numbers: the table `terminals`.
    """

    terminal: str
    label: Text
    feed: Text
    meaning: Text


FEED: Final[dict[FeedClass, FeedWords]] = {
    "permanent": FeedWords(
        "30", say_in("feed", "permanent"), say("permanent feed"), say("live always, parked too")
    ),
    "ignition": FeedWords(
        "15", say_in("feed", "ignition"), say("ignition feed"), say("live with the ignition on")
    ),
    "accessory": FeedWords(
        "15R",
        say_in("feed", "accessory"),
        say("accessory feed"),
        say("live with the key at accessory and with the ignition on"),
    ),
    "delayed_off": FeedWords(
        "",
        say_in("feed", "delayed-off"),
        say("delayed-off feed"),
        say("stays live for a time after switching off or locking"),
    ),
    "lighting": FeedWords(
        "58", say_in("feed", "lighting"), say("lighting feed"), say("live with the lamps on")
    ),
    "unfed": FeedWords(
        "",
        say_in("feed", "no supply"),
        say("no supply"),
        say("never live; its contacts may be missing"),
    ),
    "unknown": FeedWords(
        "",
        say_in("feed", "unknown"),
        say("feed not known"),
        say("reckoned as live always until it has been measured"),
    ),
}
"""The one table of words for feed classes."""

STRAIGHT: Final = say("straight from the battery")
NO_FEED: Final = say("which feed is not known")
"""What supplies a slot, where that is no feed."""


def own_words(load_a: float, most_a: float | None) -> Argument:
    """An own load [A] with the most it may be, where something only bounds it.

    >>> str(own_words(0.0, 0.204)).replace("\u202f", " "), str(own_words(2.4, None))[:3]
    ('0 to 0.204 A', '2.4')
    """
    if most_a is None or most_a <= load_a:
        return Amount(load_a, "A")
    return span_words(load_a, most_a, "A")


def span_words(one: float, other: float, unit: str) -> Argument:
    """Two ends of a figure, both in the unit of the larger one; one figure where they read alike.

    >>> str(span_words(24.5, 23.4, "V")).replace("\u202f", " ")
    '24.5 to 23.4 V'
    """
    first, last = Amount(one, unit), Amount(other, unit)
    if str(first) == str(last):
        return first
    thousandths = unit in ("A", "V") and max(abs(one), abs(other)) < MILLI_A
    scale = 1000.0 if thousandths else 1.0
    if thousandths:
        return say(
            "{low} to {high}", low=Amount(one * scale), high=Amount(other * scale, f"m{unit}")
        )
    return say("{low} to {high}", low=Amount(one), high=last)


MILLI_A: Final = 0.1
"""Below this a current is shown in thousandths [A]."""

LEAD: Final[dict[LeadName, Text]] = {
    "power": say_in("lead", "power"),
    "sense": say_in("lead", "sense"),
}
TAP: Final[dict[TapKind, Text]] = {
    "two_fuse": say("Two-fuse tap"),
    "take_off_lead": say("Fuse with take-off lead"),
    "splice": say("Splice"),
    "own_feed": say("Own feed"),
    "terminal": say("Terminal of the slot"),
    "plug": say("Plug in a socket"),
}
SOCKET: Final[dict[SocketKind, Text]] = {
    "lighter": say("lighter socket"),
    "diagnosis": say("diagnosis socket"),
    "harness": say("plug for accessories"),
    "tow_13": say("tow socket, 13 pins"),
    "tow_7": say("tow socket, 7 pins"),
    "tow_15": say("tow socket, 15 pins, 24 V"),
}
FAILED: Final[dict[FuseFailed, Text]] = {
    "no": say("not that anybody knows"),
    "unknown": say("yes, how was not looked at"),
    "sagged": say("yes, its element sagged"),
    "burst": say("yes, its element burst"),
}
"""Whether and how a fuse opened before."""
SWITCH: Final[dict[LeadSwitch, Text]] = {
    "unsaid": say("not said"),
    "none": say("none: straight through"),
    "hand": say("a hand switch"),
    "main_beam": say("a hand switch, with the main beam only"),
    "park_brake": say("with the park brake on only"),
    "ignition": say("with the ignition on only"),
    "timer": say("a timer, from the ignition going off"),
}
"""What a lead goes through."""
PLACE: Final[dict[str, Text]] = {
    "cabin": say("cabin"),
    "engine_bay": say("engine bay"),
    "boot": say("boot"),
    "under_carpet": say("under the carpet"),
    "sill": say("door sill"),
    "roof": say("roof"),
    "underbody": say("under the vehicle"),
    "trailer": say("trailer"),
}
"""Where a panel sits or a cable lies; tables name a `Place` by the same words."""
EARTH: Final[dict[EarthKind, Text]] = {
    "body": say("bolt of the body"),
    "battery_minus": say("minus post of the battery"),
    "bar": say("earth bar of a block"),
}
"""What an earth point is."""
KIND: Final[dict[SlotKind, Text]] = {
    "fuse": say("fuse slot"),
    "relay": say("relay"),
    "blocked": say("blocked place"),
    "module": say("output of a control unit"),
}

ENGINE: Final[dict[EngineFuel, Text]] = {
    "unknown": say("an engine"),
    "petrol": say("a petrol engine"),
    "diesel": say("a diesel engine"),
    "motorcycle": say("a motorcycle’s engine"),
}

FIELD_UNITS: Final[dict[str, str]] = {
    "watts": "W",
    **dict.fromkeys(("amperes", "rating", *STATES, "_a"), "A"),
    "_v": "V",
    "_mohm": "mΩ",
    "_ah": "Ah",
    "_mm2": "mm²",
    **dict.fromkeys(("minutes", "_min"), "min"),
    "_m": "m",
    "engine_l": "l",
    "_c": "°C",
    "_s": "s",
    "_h": "h",
    "_days": "days",
    "_years": "years",
    **dict.fromkeys(("soh", "_soc", "duty", "across", "down", "efficiency", "_spread"), "%"),
}
"""Units by how the name of a field ends; `%` is a share of one."""


def unit_of(field: str) -> str:
    """The unit a field's figure stands in; empty where it is a bare number.

    >>> unit_of("rest_current_a"), unit_of("length_m"), unit_of("start_soc"), unit_of("rows")
    ('A', 'm', '%', '')
    """
    return next((unit for end, unit in FIELD_UNITS.items() if field.endswith(end)), "")
