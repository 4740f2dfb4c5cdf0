"""Readings that can hardly be, and circuits that must not be touched.

In: a vehicle and a reading about to be stored. Out: why it is hard to believe, in sentences that
name the figures. Such a reading is asked for once more; when it comes out the same it is kept. And
the cautions: on critical circuits a meter only, no lamp, and no fuse pulled before the wait.
"""

from collections.abc import Collection, Iterable, Iterator
from typing import Literal

from msgspec import Struct

from fusemap import tables
from fusemap.circuits import counts_critical, unanswered
from fusemap.electrics.meter import OPENING_MULTIPLE
from fusemap.probing import evidence
from fusemap.probing.feed_loads import least_below, of_reading
from fusemap.probing.loads import Load, load_of, rest_current
from fusemap.text import Amount, Text, given, say
from fusemap.vehicle import Fuse, Reading, Slot, Vehicle, look_up
from fusemap.vehicle.parts import CURRENTS

OPEN_FUSE_MV = 1000.0
"""No sound fuse has such a drop [mV]: blade fuses have 0.07 to 0.18 V at their rating; ours."""

MOST_ASLEEP_A = 2.0
"""More than a sleeping vehicle draws [A]: a slipped decimal, or it is not asleep; ours."""

MOST_AWAKE_A = 100.0
"""More than a parked vehicle draws before it sleeps, with fans and pumps running on [A]; ours."""

MOST_FEED_A = 300.0
"""More than a feed carries of which nothing is known, while nothing is cranked [A]; ours."""

LAMP_OHM = 100.0
"""Resistance of a test lamp [Ω]; an alarm maker's manual."""

PULL_WAIT_MIN = 15.0
"""Wait after disconnecting the battery before a critical circuit is unplugged, where the maker's
own figure is not known [min]; service texts of several car makers: 90 s to 15 min."""


def doubts(vehicle: Vehicle, reading: Reading, besides: Collection[str] = ()) -> tuple[Text, ...]:
    """Why a reading is hard to believe; nothing when it can well be.

    `besides` are ids of readings it takes the place of: it need not agree with them.
    """
    if reading.target == "vehicle":
        return tuple(_of_vehicle(vehicle, reading))
    if reading.target == "feed":
        return tuple(_of_feed(vehicle, reading))
    if reading.target != "slot":
        return ()
    slot = look_up.slot(vehicle, reading.target_id)
    return tuple(_of_slot(vehicle, slot, reading, besides))


def _of_vehicle(vehicle: Vehicle, reading: Reading) -> Iterator[Text]:
    if reading.quantity not in CURRENTS:
        return
    if reading.state == "asleep" and abs(reading.value) > MOST_ASLEEP_A:
        yield say(
            "{value} is far more than a sleeping vehicle draws: were milliamperes meant, or is it "
            "still awake?",
            value=Amount(reading.value, "A"),
        )
    elif reading.state == "awake" and abs(reading.value) > MOST_AWAKE_A:
        yield say(
            "{value} is far more than a parked vehicle draws: were milliamperes meant?",
            value=Amount(reading.value, "A"),
        )
    if reading.fuse_out is not None:
        whole = rest_current(vehicle, reading.state)
        if whole is not None and reading.value > whole.high_a:
            yield say(
                "{value} with a fuse out is more than with all in ({whole}): something woke up",
                value=Amount(reading.value, "A"),
                whole=Amount(whole.current_a, "A"),
            )


def _of_feed(vehicle: Vehicle, reading: Reading) -> Iterator[Text]:
    """More than its fuse or the sleeping vehicle lets through, or less than its slots draw."""
    feed = look_up.feed(vehicle, reading.target_id)
    if reading.quantity == "millivolts" and abs(reading.value) > OPEN_FUSE_MV:
        yield _open_fuse(reading)
        return
    load = of_reading(vehicle, reading)
    if load is None:
        return
    yield from _too_much(vehicle, feed.fuse, load)
    carries = MOST_FEED_A if feed.limit_a is None else OPENING_MULTIPLE * feed.limit_a
    if feed.fuse is None and load.low_a > carries:
        yield say(
            "that is at least {load}, far more than this feed can carry: were milliamperes meant?",
            load=Amount(load.low_a, "A"),
        )
    least = least_below(vehicle, feed.id, load.state)
    if load.high_a < least:
        yield say(
            "that is at most {load}, and its slots alone were read to draw {slots} in this state",
            load=Amount(load.high_a, "A"),
            slots=Amount(least, "A"),
        )


def _open_fuse(reading: Reading) -> Text:
    return say(
        "{value} across a fuse: it is open (blown), or a lead touches earth",
        value=Amount(abs(reading.value) / 1000, "V"),
    )


def _of_slot(
    vehicle: Vehicle, slot: Slot, reading: Reading, besides: Collection[str]
) -> Iterator[Text]:
    if reading.quantity == "millivolts":
        if slot.fuse is None:
            yield say(
                "{slot} has no fuse entered: there is nothing to read millivolts across",
                slot=look_up.place_words(slot),
            )
            return
        if abs(reading.value) > OPEN_FUSE_MV:
            yield _open_fuse(reading)
            return
    if reading.quantity == "volts" and abs(reading.value) > 1.3 * vehicle.system_v:
        yield say(
            "{value} is too much for a {system} vehicle",
            value=Amount(reading.value, "V"),
            system=given(vehicle.system_v, "V"),
        )
    load = load_of(vehicle, slot, reading)
    if load is not None and load.flows:
        yield from _too_much(vehicle, slot.fuse, load)
    others = [each for each in evidence.of_slot(vehicle, slot.id) if each.id not in besides]
    yield from _against_others(vehicle, slot, reading, others)


def _too_much(vehicle: Vehicle, fuse: Fuse | None, load: Load) -> Iterator[Text]:
    if fuse is not None and load.low_a > OPENING_MULTIPLE * fuse.rating:
        yield say(
            "that is at least {load}: a {rating} fuse would have opened",
            load=Amount(load.low_a, "A"),
            rating=given(fuse.rating, "A"),
        )
    whole = rest_current(vehicle, load.state)
    if load.state == "asleep" and whole is not None and load.low_a > whole.high_a:
        yield say(
            "that is at least {load}, and the whole vehicle draws {whole}: a slipped decimal, or "
            "another fuse rating?",
            load=Amount(load.low_a, "A"),
            whole=Amount(whole.current_a, "A"),
        )


def _against_others(
    vehicle: Vehicle, slot: Slot, reading: Reading, others: Iterable[Reading]
) -> Iterator[Text]:
    """Dead where current flows or where it was live, and the other way round."""
    live = shows_live(vehicle, slot, reading)
    if live is None:
        return
    for other in others:
        before = shows_live(vehicle, slot, other)
        if before is None or before == live or other.lamps_on != reading.lamps_on:
            continue
        value, when = evidence.value_words(other), evidence.when_phrase(other)
        if _is_same_moment(other, reading):
            yield say("it was {value} {when} a moment ago", value=value, when=when)
        elif _breaks_always(other, before, reading, live):
            yield say(
                "it was {value} {when}, and what is live asleep is live always",
                value=value,
                when=when,
            )


def _breaks_always(one: Reading, live: bool, other: Reading, other_live: bool) -> bool:
    """Whether one of two that differ is live asleep: then none can be dead, but for after locking.

    A vehicle that was still awake may have gone to sleep between the two.
    """
    asleep = (one.state == "asleep" and live) or (other.state == "asleep" and other_live)
    return asleep and "awake" not in (one.state, other.state)


def shows_live(vehicle: Vehicle, slot: Slot, reading: Reading) -> bool | None:
    """Whether a reading shows its slot live or dead, `None` where it shows neither."""
    if reading.quantity == "live":
        return reading.yes
    load = load_of(vehicle, slot, reading)
    return True if load is not None and load.flows else None


def _is_same_moment(one: Reading, other: Reading) -> bool:
    if one.state != other.state:
        return False
    return one.state == "asleep" or one.after_lock_min == other.after_lock_min


class Caution(Struct, frozen=True):
    """What to mind at a slot before going on; `wait_min` before it may be done at all [min]."""

    text: Text
    source: Text
    wait_min: float = 0.0


def caution(slot: Slot, act: Literal["probe", "pull"]) -> Caution | None:
    """What to mind at a slot that is critical or looks so, `None` at any other."""
    if not counts_critical(slot):
        return None
    rows = {row.key: row for row in tables.cautions()}
    row = rows["meter_only" if act == "probe" else "airbag_wait"]
    why = tables.reasons(slot.critical_reason if slot.critical else unanswered(slot)["critical"])
    return Caution(
        _caution_words(why, act, Text(row.text)),
        row.source.text,
        PULL_WAIT_MIN if act == "pull" else 0.0,
    )


def _caution_words(why: Text, act: Literal["probe", "pull"], rule: Text) -> Text:
    if act == "probe":
        if why:
            return say("Critical circuit ({why}): {rule}", why=why, rule=rule)
        return say("Critical circuit: {rule}", rule=rule)
    if why:
        return say("Critical circuit ({why}): do not pull its fuse. {rule}", why=why, rule=rule)
    return say("Critical circuit: do not pull its fuse. {rule}", rule=rule)


def probe_current_a(ohm: float, volts: float = 12.0) -> float:
    """What an instrument of this resistance [Ω] itself draws [A] at a voltage [V].

    Source: Ohm's law.

    >>> probe_current_a(LAMP_OHM), round(probe_current_a(10e6) * 1e6, 1)  # and a digital meter
    (0.12, 1.2)
    """
    return volts / ohm
