"""Readings that can hardly be, and circuits that must not be touched.

In: a vehicle and a reading about to be stored. Out: why it is hard to believe, in sentences that
name the figures. Such a reading is asked for once more; when it comes out the same it is kept. And
the cautions: on critical circuits a meter only, no lamp, and no fuse pulled before the wait.
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from fusemap import tables
from fusemap.electrics.millivolts import OPENING_MULTIPLE
from fusemap.leave_alone import counts_critical, unanswered
from fusemap.probing import evidence
from fusemap.probing.loads import Load, load_of
from fusemap.probing.rest_current import rest_current
from fusemap.units import digits, quantity
from fusemap.vehicle import Reading, Slot, Vehicle, look_up
from fusemap.vehicle.readings import CURRENTS

OPEN_FUSE_MV = 1000.0
"""No sound fuse has such a drop [mV]: blade fuses have 0.07 to 0.18 V at their rating; ours."""

MOST_ASLEEP_A = 2.0
"""More than a sleeping vehicle draws [A]: a slipped decimal, or it is not asleep; ours."""

METER_OHM = 10e6
LAMP_OHM = 100.0
"""Input resistance of a digital meter and of a test lamp [Ω]; an alarm maker's manual."""

PULL_WAIT_MIN = 15.0
"""Wait after disconnecting the battery before a critical circuit is unplugged, where the maker's
own figure is not known [min]; service texts of several car makers: 90 s to 15 min."""


def doubts(vehicle: Vehicle, reading: Reading, besides: Collection[str] = ()) -> tuple[str, ...]:
    """Why a reading is hard to believe; nothing when it can well be.

    `besides` are ids of readings it takes the place of: it need not agree with them.
    """
    if reading.target == "vehicle":
        return tuple(_of_vehicle(vehicle, reading))
    if reading.target != "slot":
        return ()
    slot = look_up.slot(vehicle, reading.target_id)
    return tuple(_of_slot(vehicle, slot, reading, besides))


def _of_vehicle(vehicle: Vehicle, reading: Reading) -> Iterator[str]:
    if reading.quantity not in CURRENTS:
        return
    if reading.state == "asleep" and abs(reading.value) > MOST_ASLEEP_A:
        yield (
            f"{quantity(reading.value, 'A')} is far more than a sleeping vehicle draws: "
            f"were milliamperes meant, or is it still awake?"
        )
    if reading.fuse_out is not None:
        whole = rest_current(vehicle, reading.state)
        if whole is not None and reading.value > whole.high_a:
            yield (
                f"{quantity(reading.value, 'A')} with a fuse out is more than with all in "
                f"({quantity(whole.current_a, 'A')}): something woke up"
            )


def _of_slot(
    vehicle: Vehicle, slot: Slot, reading: Reading, besides: Collection[str]
) -> Iterator[str]:
    name = look_up.slot_name(slot)
    if reading.quantity == "millivolts":
        if slot.fuse is None:
            yield f"{name} has no fuse entered: there is nothing to read millivolts across"
            return
        if abs(reading.value) > OPEN_FUSE_MV:
            yield (
                f"{quantity(abs(reading.value) / 1000, 'V')} across a fuse: it is open (blown), "
                "or a lead touches earth"
            )
            return
    if reading.quantity == "volts" and abs(reading.value) > 1.3 * vehicle.system_v:
        yield f"{digits(reading.value)} V is too much for a {vehicle.system_v} V vehicle"
    load = load_of(vehicle, slot, reading)
    if load is not None and load.flows:
        yield from _too_much(vehicle, slot, load)
    others = [one for one in evidence.of_slot(vehicle, slot.id) if one.id not in besides]
    yield from _against_others(vehicle, slot, reading, others)


def _too_much(vehicle: Vehicle, slot: Slot, load: Load) -> Iterator[str]:
    if slot.fuse is not None and load.low_a > OPENING_MULTIPLE * slot.fuse.rating:
        yield (
            f"that is at least {quantity(load.low_a, 'A')}: a {digits(slot.fuse.rating)} A fuse "
            "would have opened"
        )
    whole = rest_current(vehicle, load.state)
    if load.state == "asleep" and whole is not None and load.low_a > whole.high_a:
        yield (
            f"that is at least {quantity(load.low_a, 'A')}, and the whole vehicle draws "
            f"{quantity(whole.current_a, 'A')}: a slipped decimal, or another fuse rating?"
        )


def _against_others(
    vehicle: Vehicle, slot: Slot, reading: Reading, others: Iterable[Reading]
) -> Iterator[str]:
    """Dead where current flows or where it was live, and the other way round."""
    said = shows_live(vehicle, slot, reading)
    if said is None:
        return
    for other in others:
        before = shows_live(vehicle, slot, other)
        if before is None or before == said or other.lamps_on != reading.lamps_on:
            continue
        words = f"{evidence.value_words(other)} {evidence.when_words(other)}"
        if _same_moment(other, reading):
            yield f"it was {words} a moment ago"
        elif _breaks_always(other, before, reading, said):
            yield f"it was {words}, and what is live asleep is live always"


def _breaks_always(one: Reading, live: bool, other: Reading, said: bool) -> bool:
    """Whether one of two that differ is live asleep: then none can be dead, but for after locking.

    A vehicle that was still awake may have gone to sleep between the two.
    """
    asleep = (one.state == "asleep" and live) or (other.state == "asleep" and said)
    return asleep and "awake" not in (one.state, other.state)


def shows_live(vehicle: Vehicle, slot: Slot, reading: Reading) -> bool | None:
    """Whether a reading shows its slot live or dead, `None` where it shows neither."""
    if reading.quantity == "live":
        return reading.yes
    load = load_of(vehicle, slot, reading)
    return True if load is not None and load.flows else None


def _same_moment(one: Reading, other: Reading) -> bool:
    if one.state != other.state:
        return False
    return one.state == "asleep" or one.after_lock_min == other.after_lock_min


@dataclass(frozen=True, slots=True)
class Caution:
    """What to mind at a slot before going on; `wait_min` before it may be done at all [min]."""

    text: str
    source: str
    wait_min: float = 0.0


def caution(slot: Slot, act: Literal["probe", "pull"]) -> Caution | None:
    """What to mind at a slot that is critical or looks so, `None` at any other."""
    if not counts_critical(slot):
        return None
    rules = {one.key: one for one in tables.cautions()}
    said = slot.critical_reason if slot.critical else unanswered(slot)["critical"]
    why = f" ({said})" if said else ""
    if act == "probe":
        row = rules["meter_only"]
        return Caution(f"Critical circuit{why}: {row.text}", row.source.words)
    row = rules["airbag_wait"]
    return Caution(
        f"Critical circuit{why}: do not pull its fuse. {row.text}", row.source.words, PULL_WAIT_MIN
    )


def probe_current_a(ohm: float, volts: float = 12.0) -> float:
    """What an instrument of this resistance [Ω] itself draws [A] at a voltage [V].

    Source: Ohm's law.

    >>> probe_current_a(LAMP_OHM), round(probe_current_a(METER_OHM) * 1e6, 1)
    (0.12, 1.2)
    """
    return volts / ohm
