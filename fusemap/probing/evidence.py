"""Which readings count, what they say in words, and how far they may be off.

A reading counts while it is not withdrawn and no reading that counts corrects it. What was taken
over from somebody else (`verified` false) is kept apart: nothing is decided on it alone. Where no
meter is named a usual handheld is assumed: the figures in `USUAL` are ours.
"""

from collections import deque
from collections.abc import Callable, Iterator
from typing import Final, TypeVar

from fusemap.electrics.meter import meter_error
from fusemap.text import Amount, Text, Words, given, run_on, say
from fusemap.vehicle import Meter, MeterRange, Reading, Slot, Socket, Vehicle
from fusemap.vehicle.words import PARKED_STATES, STATE, Purpose, Quantity, TargetKind

LIVE: Final[dict[str, tuple[Text, Text]]] = {
    "live": (say("dead"), say("live")),
    "live_left": (say("left contact dead"), say("left contact live")),
    "live_right": (say("right contact dead"), say("right contact live")),
    "live_top": (say("top contact dead"), say("top contact live")),
    "live_bottom": (say("bottom contact dead"), say("bottom contact live")),
}
"""What a reading without a figure says, dead or live."""

NO_YES: Final = (say("no"), say("yes"))

Of = TypeVar("Of")
Found = TypeVar("Found")


def kept_of_the_last(make: Callable[[Of], Found]) -> Callable[[Of], Found]:
    """Keep what was made of the last few values, known by being the very same ones.

    To look a vehicle or a thousand readings up by content would cost more than it saves.
    """
    kept: deque[tuple[Of, Found]] = deque(maxlen=6)

    def found(value: Of) -> Found:
        for there, result in kept:
            if there is value:
                return result
        kept.append((value, make(value)))
        return kept[-1][1]

    found.__doc__ = make.__doc__
    return found


@kept_of_the_last
def standing(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """The readings that count, in the order they were taken."""
    corrected = {reading.corrects for reading in readings if not reading.withdrawn}
    return tuple(
        reading for reading in readings if not reading.withdrawn and reading.id not in corrected
    )


def of_slot(
    vehicle: Vehicle, slot_id: str, *, verified: bool = True, purpose: Purpose = "probe"
) -> tuple[Reading, ...]:
    """The readings of one slot that count."""
    return _of(vehicle, ("slot", slot_id), verified, purpose)


def of_feed(vehicle: Vehicle, feed_id: str, *, verified: bool = True) -> tuple[Reading, ...]:
    """The readings of one feed as a whole that count."""
    return _of(vehicle, ("feed", feed_id), verified, "probe")


def _of(
    vehicle: Vehicle, target: tuple[TargetKind, str], verified: bool, purpose: Purpose
) -> tuple[Reading, ...]:
    return tuple(
        reading
        for reading in _by_target(vehicle.readings).get(target, ())
        if reading.verified is verified and reading.purpose == purpose
    )


@kept_of_the_last
def _by_target(
    readings: tuple[Reading, ...],
) -> dict[tuple[TargetKind, str], tuple[Reading, ...]]:
    found: dict[tuple[TargetKind, str], list[Reading]] = {}
    for reading in standing(readings):
        found.setdefault((reading.target, reading.target_id), []).append(reading)
    return {target: tuple(those) for target, those in found.items()}


def of_vehicle(vehicle: Vehicle, *, purpose: Purpose = "probe") -> tuple[Reading, ...]:
    """The verified whole-car currents that count, in the order they were taken."""
    return tuple(
        reading
        for reading in standing(vehicle.readings)
        if reading.target == "vehicle"
        and reading.verified
        and reading.purpose == purpose
        and reading.quantity in ("clamp_current", "inline_current")
    )


def fuse_slots(vehicle: Vehicle) -> Iterator[Slot]:
    """Every slot that is for a fuse, in the panels' order."""
    for panel in vehicle.panels:
        yield from (slot for slot in panel.slots if slot.kind == "fuse")


# --- in words -------------------------------------------------------------------------------------


def when_words(reading: Reading) -> Text:
    """In which state a reading was taken: “12 min after locking”, “ignition on”."""
    if reading.state in PARKED_STATES and reading.after_lock_min is not None:
        minutes = minutes_amount(reading.after_lock_min)
        if reading.lamps_on:
            return say("{minutes} after locking with the lamps on", minutes=minutes)
        return say("{minutes} after locking", minutes=minutes)
    state = STATE[reading.state].label
    return say("{state} with the lamps on", state=state) if reading.lamps_on else state


def when_phrase(reading: Reading, *, locking: bool = True) -> Text:
    """The same behind a verb: “at 12 min after locking”, “with ignition on”.

    Without `locking` it is not said again what the minutes count from.
    """
    if reading.state in PARKED_STATES and reading.after_lock_min is not None:
        minutes = minutes_amount(reading.after_lock_min)
        if reading.lamps_on:
            return say("at {minutes} after locking and the lamps on", minutes=minutes)
        if locking:
            return say("at {minutes} after locking", minutes=minutes)
        return say("at {minutes}", minutes=minutes)
    state = STATE[reading.state].phrase
    return say("{state} and the lamps on", state=state) if reading.lamps_on else state


def minutes_amount(minutes: float) -> Amount:
    """A time after locking in whole minutes.

    >>> str(minutes_amount(12.3)).replace("\\u202f", " ")
    '12 min'
    """
    return given(round(minutes), "min")


def value_words(reading: Reading) -> Text:
    """What a reading said: “live”, “0.4 mV”, “40 to 65 mA”."""
    if reading.quantity.startswith("live"):
        return LIVE[reading.quantity][reading.yes]
    if not reading.unit:
        return NO_YES[reading.yes]
    if reading.highest is None:
        return run_on(Amount(reading.value, reading.unit))
    # millivolts stand in one unit whatever they are, the other units change with the figure
    low = Amount(reading.value, "" if reading.unit == "mV" else reading.unit)
    return say("{low} to {high}", low=low, high=Amount(reading.highest, reading.unit))


def fed_words(vehicle: Vehicle, panel_id: str) -> Text:
    """What was read where everything that feeds a panel was read together."""
    panel = next((each for each in vehicle.panels if each.id == panel_id), None)
    if panel is None:
        return say("all that feeds a panel that is gone")
    return say("all that feeds {panel}", panel=panel.name)


def pin_words(socket: Socket, pin: int) -> Text:
    """Where a pin of a socket was read."""
    return say("{socket}, pin {pin}", socket=socket.name, pin=pin)


READ_AGAIN: Final = say("read again")
TAKEN_BACK: Final = say("taken back while probing")
PASTED: Final = say("pasted")
LOGGED: Final = say("followed over a night")
_NOTES: Final = {str(note): note for note in (READ_AGAIN, TAKEN_BACK, PASTED, LOGGED)}
"""What the program notes with a reading: kept in the file in English, shown in any language."""


def note_words(reading: Reading) -> Words:
    """The note of a reading: the program's own as a text, what somebody wrote as it is."""
    return _NOTES.get(reading.note, reading.note)


# --- how far it may be off ------------------------------------------------------------------------

USUAL: Final[dict[Quantity, MeterRange]] = {
    usual.quantity: usual
    for usual in (
        MeterRange(quantity="millivolts", resolution=0.1, share=0.005),
        MeterRange(quantity="earth_millivolts", resolution=0.1, share=0.005),
        MeterRange(quantity="clamp_current", resolution=0.01, share=0.02),
        MeterRange(quantity="inline_current", resolution=0.001, share=0.01),
        MeterRange(quantity="volts", resolution=0.01, share=0.005),
    )
}
"""A usual handheld, by quantity, in the quantity's unit [mV, A, V]."""


def range_of(meter: Meter | None, quantity: Quantity, value: float) -> MeterRange:
    """The smallest range of a meter that holds a value, else the usual one of that quantity.

    >>> range_of(None, "millivolts", 1.2).resolution
    0.1
    """
    # one range of a meter for both sides, and for volts wherever they are and whatever they tell
    shared: dict[Quantity, Quantity] = {
        "plus_millivolts": "earth_millivolts",
        "polarity": "volts",
        "output_volts": "volts",
    }
    quantity = shared.get(quantity, quantity)
    fitting = [
        each
        for each in (meter.ranges if meter is not None else ())
        if each.quantity == quantity and (each.up_to is None or abs(value) <= each.up_to)
    ]
    usual = USUAL.get(quantity, MeterRange(quantity=quantity, resolution=1.0, counts=0.0))
    return min(fitting, key=lambda each: each.resolution, default=usual)


def range_of_reading(vehicle: Vehicle, reading: Reading) -> MeterRange:
    """The range a reading was taken in: as noted with it, else its meter's, else a usual one."""
    meter = next((meter for meter in vehicle.meters if meter.id == reading.meter), None)
    found = range_of(meter, reading.quantity, reading.value)
    return MeterRange(
        quantity=reading.quantity,
        resolution=found.resolution if reading.resolution is None else reading.resolution,
        share=found.share,
        counts=found.counts if reading.counts is None else reading.counts,
    )


def error_of(vehicle: Vehicle, reading: Reading) -> float:
    """How far a reading may be off, in its own unit; nothing for yes or no."""
    if not reading.unit:
        return 0.0
    used = range_of_reading(vehicle, reading)
    return float(meter_error(reading.value, used.resolution, used.share, used.counts))


def limits_of(vehicle: Vehicle, reading: Reading) -> tuple[float, float]:
    """Lowest and highest true value of a reading, in its own unit."""
    error = error_of(vehicle, reading)
    top = reading.value if reading.highest is None else reading.highest
    return reading.value - error, top + error
