"""What one part of a vehicle cannot be: its fields held against each other.

Each function takes the part and the path to it, and yields a `Fault` for everything wrong with it.
Single figures are looked at in `bounds`, what refers to another part in `references`.

A photo is told without looking at the picture itself. Its text has to be base 64 that begins as a
JPEG does, and its four corners a grid seen from some side: none of them on or within the lines
between the others. A corner may lie a little outside a picture that does not show the whole panel.
Whether the picture can be drawn is found out by who draws it.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from math import isfinite
from typing import Final

from fusemap.text import Text, given, many, say
from fusemap.vehicle.model import (
    Accessory,
    Battery,
    BorrowedSlot,
    Feed,
    Panel,
    Parking,
    Slot,
    Tap,
    VoltageCutOff,
)
from fusemap.vehicle.parts import CORNERS, UNITS, YES_NO, PanelPhoto, PhotoPoint, Reading
from fusemap.vehicle.validity.bounds import MOST_ROWS, Fault, as_found
from fusemap.vehicle.words import BATTERY, FEED, KIND, STATE, STATES, SWITCHED, TAP

JPEG_START: Final = "/9j/"
"""The bytes FF D8 FF in base 64."""
FARTHEST_CORNERS: Final = (-1.0, 2.0)
"""Where the corners of a grid may be that is not whole on its picture [share of the picture]."""
LEAST_TURN: Final = 1e-4
"""Least twice-area of the triangle at a corner [share of the picture]: less is no corner."""

_BASE_64: Final = re.compile(r"[A-Za-z0-9+/]+={0,2}")


def photo_faults(photo: PanelPhoto, path: str) -> Iterator[Fault]:
    """A text that is no JPEG picture, and corners that no grid has."""
    text = photo.jpeg
    if not text.startswith(JPEG_START):
        yield Fault(f"{path}.jpeg", say("it is not a JPEG picture"), say("take the photo in again"))
    elif len(text) % 4 or _BASE_64.fullmatch(text) is None:
        yield Fault(
            f"{path}.jpeg", say("it is not text in base 64"), say("take the photo in again")
        )
    least, most = FARTHEST_CORNERS
    for name in CORNERS:
        point = getattr(photo, name)
        if not (least <= point.across <= most and least <= point.down <= most):
            yield Fault(
                f"{path}.{name}",
                say("it is too far outside the picture"),
                say("shares run from {least} to {most}", least=int(least), most=int(most)),
            )
            return
    if not is_grid(photo.corners):
        yield Fault(
            f"{path}.{CORNERS[0]}",
            say("the four corners are not those of a grid"),
            say("set each corner of the grid on its corner of the panel"),
        )


def is_grid(corners: Sequence[PhotoPoint]) -> bool:
    """Whether four points, one after the other round, are the corners of a convex quadrilateral.

    >>> is_grid(PanelPhoto(jpeg="").corners)
    True
    >>> is_grid([PhotoPoint(across=a, down=d) for a, d in ((0, 0), (1, 1), (1, 0), (0, 1))])
    False
    """
    turns = [_turn(corners[at - 2], corners[at - 1], corners[at]) for at in range(len(corners))]
    return all(turn > LEAST_TURN for turn in turns) or all(turn < -LEAST_TURN for turn in turns)


def _turn(before: PhotoPoint, here: PhotoPoint, after: PhotoPoint) -> float:
    """Twice the area of the triangle of three points; its sign is the way it turns."""
    return (here.across - before.across) * (after.down - here.down) - (here.down - before.down) * (
        after.across - here.across
    )


MOST_READ = {"mV": 60_000.0, "A": 5000.0, "V": 100.0}
"""Largest reading that can be, by its unit; meters show the sign, so it may also be negative."""

RANGE_OF = {
    "soh": ("low_soh", "high_soh"),
    "start_soc": ("low_soc", "high_soc"),
    "temperature_c": ("low_temperature_c", "high_temperature_c"),
    "rest_current_a": ("low_rest_current_a", "high_rest_current_a"),
}
"""The two ends of the range of a figure of the battery or the parking, by the figure."""

RANGES = tuple(RANGE_OF.values())

LONGEST_DRIVE_MIN = 1440.0


def slot_faults(slot: Slot, panel: Panel, path: str) -> Iterator[Fault]:
    """A slot outside its panel, with a fuse or an own load that cannot be, or no place for one."""
    yield from _own_load_faults(slot, path)
    if slot.borrowed is not None:
        yield from _own_load_faults(slot.borrowed, f"{path}.borrowed")
    if not 0 <= slot.row < panel.rows:
        yield Fault(
            f"{path}.row",
            many(
                "{row} is outside the panel's {n} row",
                "{row} is outside the panel's {n} rows",
                panel.rows,
                row=slot.row,
            ),
            say("rows are counted from 0 to {last}", last=panel.rows - 1),
        )
    if not 0 <= slot.column < panel.columns:
        yield Fault(
            f"{path}.column",
            many(
                "{column} is outside the panel's {n} column",
                "{column} is outside the panel's {n} columns",
                panel.columns,
                column=slot.column,
            ),
            say("columns are counted from 0 to {last}", last=panel.columns - 1),
        )
    if slot.fuse is None:
        return
    if slot.kind != "fuse":
        yield Fault(
            f"{path}.fuse",
            say("it holds no fuse ({kind})", kind=KIND[slot.kind]),
            say("take the fuse out, or make the place a fuse slot"),
        )
    if slot.fuse.family != slot.family:
        yield Fault(
            f"{path}.fuse.family",
            say(
                "{fuse} does not fit a slot for the {family} family",
                fuse=slot.fuse.family,
                family=slot.family,
            ),
            say(
                "enter a fuse of the {family} family, or change the slot's family",
                family=slot.family,
            ),
        )


def _own_load_faults(slot: Slot | BorrowedSlot, path: str) -> Iterator[Fault]:
    """A most that lies below the load itself, or that belongs to no load."""
    for state in STATES:
        load, most = getattr(slot.own_load, state), getattr(slot.own_most, state)
        where = f"{path}.own_most.{state}"
        if most is None:
            continue
        if load is None:
            yield Fault(
                where,
                say("no own load is given that this bounds ({state})", state=STATE[state].label),
                say("enter the own load, or leave this out"),
            )
        elif most < load:
            yield Fault(
                where,
                say(
                    "{most} is below the own load, {load}",
                    most=given(most, "A"),
                    load=given(load, "A"),
                ),
                say("enter {least} or more", least=given(load)),
            )


def switched_faults(slot: Slot, path: str) -> Iterator[Fault]:
    """A slot that something switches, straight from the battery. A file may say so, no edit may."""
    if slot.feed == BATTERY and slot.feed_class in SWITCHED:
        yield Fault(
            f"{path}.feed",
            say(
                "a slot of the class {feed} cannot hang straight on the battery: something "
                "switches it",
                feed=FEED[slot.feed_class].label,
            ),
            say("name its feed, or say that it is not known"),
        )


def panel_faults(panel: Panel, path: str) -> Iterator[Fault]:
    """Impossible sizes, two slots on one place, a photo that is none."""
    if not 1 <= panel.rows <= MOST_ROWS:
        remedy = say("a panel has 1 to {most} rows", most=MOST_ROWS)
        yield Fault(f"{path}.rows", _not_between(panel.rows), remedy)
    if not 1 <= panel.columns <= MOST_ROWS:
        remedy = say("a panel has 1 to {most} columns", most=MOST_ROWS)
        yield Fault(f"{path}.columns", _not_between(panel.columns), remedy)
    taken: dict[tuple[int, int], int] = {}
    for index, slot in enumerate(panel.slots):
        where = f"{path}.slots[{index}]"
        first = taken.setdefault((slot.row, slot.column), index)
        if first != index:
            yield Fault(
                where,
                say("it is on the same place as {slot}", slot=f"slots[{first}]"),
                say("move one of them"),
            )
        yield from slot_faults(slot, panel, where)
    if panel.photo is not None:
        yield from photo_faults(panel.photo, f"{path}.photo")


def _not_between(count: int) -> Text:
    return say(
        "{value} is not between {least} and {most}",
        value=as_found(count),
        least=1,
        most=MOST_ROWS,
    )


def accessory_faults(accessory: Accessory, path: str) -> Iterator[Fault]:
    """Not exactly one of watts and amperes; leads that are named twice or miss the power lead."""
    if accessory.watts is None and accessory.amperes is None:
        yield Fault(
            f"{path}.watts",
            say("neither watts nor amperes are given"),
            say("enter one of the two"),
        )
    if accessory.watts is not None and accessory.amperes is not None:
        yield Fault(
            f"{path}.watts",
            say("both watts and amperes are given"),
            say("leave one of them out"),
        )
    if "power" not in accessory.leads or len(set(accessory.leads)) != len(accessory.leads):
        yield Fault(
            f"{path}.leads",
            say("it needs a power lead, and each lead once"),
            say("name each lead once"),
        )
    if accessory.cut_off is not None:
        yield from cut_off_faults(accessory.cut_off, f"{path}.cut_off")


def feed_faults(feed: Feed, path: str) -> Iterator[Fault]:
    """A feed whose cut-off cannot be."""
    if feed.cut_off is not None:
        yield from cut_off_faults(feed.cut_off, f"{path}.cut_off")


def cut_off_faults(cut_off: VoltageCutOff, path: str) -> Iterator[Fault]:
    """A cut-off that would reconnect below the voltage at which it disconnects."""
    if cut_off.on_v < cut_off.off_v:
        yield Fault(
            f"{path}.on_v",
            say(
                "it comes on again at {on}, below the {off} at which it goes off",
                on=given(cut_off.on_v, "V"),
                off=given(cut_off.off_v, "V"),
            ),
            say("it has to come on again at the same voltage or above"),
        )


def range_faults(part: Battery | Parking, path: str) -> Iterator[Fault]:
    """Ranges whose low end lies above their high end."""
    for low, high in RANGES:
        ends = getattr(part, low, None), getattr(part, high, None)
        if ends[0] is not None and ends[1] is not None and ends[0] > ends[1]:
            yield Fault(
                f"{path}.{low}",
                say(
                    "{low} is above {field}, {high}",
                    low=given(ends[0]),
                    field=high,
                    high=given(ends[1]),
                ),
                say("the low end lies below the high end"),
            )


def parking_faults(parking: Parking, path: str) -> Iterator[Fault]:
    """Ranges that are upside down, a day that is none, and drives of no length or on no day."""
    yield from range_faults(parking, path)
    if parking.locked_on and not is_time(parking.locked_on):
        yield Fault(
            f"{path}.locked_on",
            say("“{when}” is no date or time", when=parking.locked_on[:40]),
            say("write it like {example}", example="2025-05-17"),
        )
    ends = (parking.night_c, parking.day_c)
    if ends[0] is not None and ends[1] is not None and ends[0] > ends[1]:
        yield Fault(
            f"{path}.night_c",
            say("the night is warmer than the day"),
            say("enter the lowest of the night and the highest of the day"),
        )
    for index, drive in enumerate(parking.drives):
        where = f"{path}.drives[{index}]"
        if not 0 < drive.minutes <= LONGEST_DRIVE_MIN:
            yield Fault(
                f"{where}.minutes",
                say("a drive of {time}", time=as_found(drive.minutes, "min")),
                say("enter more than 0 and at most {most}", most=given(LONGEST_DRIVE_MIN, "min")),
            )
        if not drive.weekdays:
            yield Fault(
                f"{where}.weekdays", say("a drive on no day"), say("name a day, or take it out")
            )


def tap_faults(tap: Tap, path: str) -> Iterator[Fault]:
    """A tap with two sources, or an own feed on a slot, or a relay where none can be."""
    own = tap.kind == "own_feed"
    if own and tap.slot is not None:
        yield Fault(
            f"{path}.slot",
            say("an own feed comes from a feed or the battery, not from a slot"),
            say("leave the slot out, or choose a kind of tap"),
        )
    if not own and tap.slot is None:
        yield Fault(
            f"{path}.slot",
            say("this kind of tap needs a slot ({tap})", tap=TAP[tap.kind]),
            say("choose a slot"),
        )
    if not own and tap.feed is not None:
        yield Fault(
            f"{path}.feed", say("only an own feed comes from a feed"), say("leave the feed out")
        )
    if tap.relay and not own:
        yield Fault(
            f"{path}.relay", say("a relay belongs into an own feed"), say("leave the relay out")
        )


def reading_faults(reading: Reading, path: str) -> Iterator[Fault]:
    """A reading at no time, of no such answer, or beyond what a meter could show."""
    if not is_time(reading.when):
        yield Fault(
            f"{path}.when",
            say("“{when}” is no date or time", when=reading.when[:40]),
            say("write it like {example}", example="2025-05-17T18:30"),
        )
    for name in ("value", "highest"):
        value = getattr(reading, name)
        if value is not None:
            yield from _read_faults(reading, value, f"{path}.{name}")
    if reading.highest is not None and reading.highest < reading.value:
        yield Fault(
            f"{path}.highest",
            say("it is below {field}", field="value"),
            say("write the higher one here"),
        )


def _read_faults(reading: Reading, value: float, where: str) -> Iterator[Fault]:
    if reading.quantity in YES_NO:
        if value not in (0, 1):
            yield Fault(
                where,
                say("{value} is neither yes nor no", value=as_found(value)),
                say("write {yes} for yes, {no} for no", yes=1, no=0),
            )
        return
    unit = UNITS[reading.quantity]
    if not isfinite(value) or abs(value) > MOST_READ[unit]:
        yield Fault(
            where,
            say("{value} is more than can be read here", value=as_found(value, unit)),
            say("a meter shows at most {most}", most=given(MOST_READ[unit], unit)),
        )


def is_time(text: str) -> bool:
    """Whether a text is an ISO 8601 date, or date and time.

    >>> is_time("2025-05-17T18:30:05"), is_time("17.5.25")
    (True, False)
    """
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True
