"""The readings of a hunt put in order: at which whole current each was taken, and what it bounds.

In: a hunt and its vehicle. Out: `Level`s. A vehicle draws at one or more levels while parked; two
readings of the whole belong to one where their bands meet. What was read between two wholes of one
level counts fully. Where the level changed meanwhile only what surely flowed counts: that nothing
flowed may have been the moment.
"""

from math import inf
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from fusemap.probing import evidence
from fusemap.probing.hunt.state import Hunt
from fusemap.probing.loads import Load, load_of, measured_load
from fusemap.vehicle import Reading, Vehicle, look_up
from fusemap.vehicle.parts import CURRENTS


class Pulled(Struct, frozen=True):
    """The whole current with some fuses out.

    `drop` are the ends of what it fell by [A], `rest` those of what went on flowing. `sure`: all
    in again it was what it had been, or nothing changed at all.
    """

    slots: frozenset[str]
    drop: tuple[float, float]
    rest: tuple[float, float]
    sure: bool


class Fed(Struct, frozen=True):
    """All that went into a panel: what its slots drew together."""

    slots: frozenset[str]
    load: Load


class Level(Struct, frozen=True):
    """One level of the whole current, with all that was read at it.

    `across` holds by slot what was read at it alone, `seen` the same where only the lower end
    counts, `more` what is more than the whole of this level: it drew at another. `open`: something
    was read after its last whole that wants to be confirmed by another.
    """

    whole: Load
    across: dict[str, Load] = field(default_factory=dict)
    seen: dict[str, Load] = field(default_factory=dict)
    more: dict[str, Load] = field(default_factory=dict)
    pulled: tuple[Pulled, ...] = ()
    fed: tuple[Fed, ...] = ()
    open: bool = False

    @property
    def of_slots(self) -> dict[str, Load]:
        """What was read at single slots, whether all of it counts or the lower end alone."""
        return {**self.seen, **self.across}


Sort = Literal["whole", "out", "slot", "fed"]
_Event = tuple[Sort, Reading, Load]


def meets(one: Load, other: Load) -> bool:
    """Whether two currents may be the same."""
    return one.low_a <= other.high_a and other.low_a <= one.high_a


def since(hunt: Hunt, vehicle: Vehicle) -> tuple[Reading, ...]:
    """The verified readings asleep since a hunt began, in the order they were taken."""
    return tuple(
        reading
        for reading in evidence.standing(vehicle.readings)
        if reading.verified
        and reading.when >= hunt.since
        and reading.state == "asleep"
        and reading.id not in hunt.earlier
    )


def _events(hunt: Hunt, vehicle: Vehicle) -> list[_Event]:
    found: list[_Event] = []
    for reading in since(hunt, vehicle):
        if reading.target == "vehicle" and reading.quantity in CURRENTS:
            sort: Sort = "out" if out_of(reading) else "whole"
            # with a note it was read with a part unplugged, but for those of a night
            ours = reading.purpose == "hunt" and reading.note in ("", str(evidence.LOGGED))
            if ours or reading.purpose == "probe":
                found.append((sort, reading, measured_load(vehicle, reading)))
        elif reading.target == "panel" and reading.quantity in CURRENTS:
            found.append(("fed", reading, measured_load(vehicle, reading)))
        elif reading.target == "slot" and not reading.lamps_on and _is_of_all(reading):
            slot = next((s for s in look_up.slots(vehicle) if s.id == reading.target_id), None)
            load = None if slot is None else load_of(vehicle, slot, reading)
            if load is not None:
                found.append(("slot", reading, load))
    return found


def _is_of_all(reading: Reading) -> bool:
    """Whether a slot was read with all that hangs on it: with a note a part was unplugged."""
    return reading.purpose == "probe" or (reading.purpose == "hunt" and not reading.note)


def out_of(reading: Reading) -> frozenset[str]:
    """The slots whose fuses were out at a reading of the whole vehicle."""
    one = () if reading.fuse_out is None else (reading.fuse_out,)
    return frozenset((*one, *reading.fuses_out))


def levels(hunt: Hunt, vehicle: Vehicle) -> tuple[Level, ...]:
    """The levels in the order in which they were first seen, each with its newest whole."""
    found: list[Level] = []
    at: int | None = None
    waiting: list[_Event] = []
    for event in _events(hunt, vehicle):
        if event[0] != "whole":
            waiting.append(event)
            continue
        there = _level_at(found, at, event[2])
        if there is None:
            found.append(Level(event[2]))
            there = len(found) - 1
        if at is not None:
            found[at] = _with(found[at], waiting, there == at, vehicle)
        # the newest whole is the one that pulls are held against
        found[there] = replace(found[there], whole=event[2], open=False)
        at, waiting = there, []
    if at is not None and waiting:
        after = _with(found[at], waiting, None, vehicle)
        # a pull that changed nothing has shown the whole as it was
        new = after.pulled[len(found[at].pulled) :]
        still = all(sort == "out" for sort, *_ in waiting) and all(each.sure for each in new)
        found[at] = replace(after, open=not still)
    return tuple(found)


def _level_at(found: list[Level], at: int | None, whole: Load) -> int | None:
    """The level that a whole belongs to, the present one before others."""
    order = ([at] if at is not None else []) + [n for n in range(len(found)) if n != at]
    return next((n for n in order if meets(found[n].whole, whole)), None)


def _with(level: Level, events: list[_Event], steady: bool | None, vehicle: Vehicle) -> Level:
    """The level with what was read until the next whole; `steady` is `None` before there is one."""
    across, seen, pulled = dict(level.across), dict(level.seen), list(level.pulled)
    more, fed = dict(level.more), list(level.fed)
    for sort, reading, load in events:
        if sort == "slot":
            kept = across if steady is not False else seen
            if load.low_a > level.whole.high_a:
                kept = more
            kept[reading.target_id] = load
        elif sort == "fed":
            panel = next((p for p in vehicle.panels if p.id == reading.target_id), None)
            if panel is not None and steady is not False:
                fed.append(Fed(frozenset(slot.id for slot in panel.slots), load))
        else:
            one = _pulled(
                level.whole, load, out_of(reading), steady, _between(vehicle, level, reading)
            )
            if one is not None:
                pulled.append(one)
    return replace(level, across=across, seen=seen, more=more, pulled=tuple(pulled), fed=tuple(fed))


def _between(vehicle: Vehicle, level: Level, without: Reading) -> tuple[float, float] | None:
    """How far the difference of two wholes may be off: a share [-] of it, and so much more [A].

    What the meter is off in proportion is the same in both, where both were read in one range, so
    that it acts on their difference alone; what it is off by its last digits is not. `None` where
    they were read in two ranges, or the meter swung. Ours.
    """
    whole = next(each for each in vehicle.readings if each.id == level.whole.reading)
    one, other = (evidence.range_of_reading(vehicle, each) for each in (whole, without))
    swung = whole.highest is not None or without.highest is not None
    if swung or one != other or whole.meter != without.meter:
        return None
    return one.share, 2 * one.counts * one.resolution


def difference_off(vehicle: Vehicle, level: Level) -> float:
    """The most that may hide behind two wholes of a level that read the same [A]."""
    whole = next(each for each in vehicle.readings if each.id == level.whole.reading)
    used = evidence.range_of_reading(vehicle, whole)
    return 2 * used.counts * used.resolution


def _pulled(
    whole: Load,
    without: Load,
    slots: frozenset[str],
    steady: bool | None,
    between: tuple[float, float] | None,
) -> Pulled | None:
    """What pulling these changed; `None` where it may have changed by itself."""
    fell = whole.current_a - without.current_a
    low, high = whole.low_a - without.high_a, whole.high_a - without.low_a
    if between is not None:
        off = between[0] * abs(fell) / (1 - between[0]) + between[1]
        low, high = max(low, fell - off), min(high, fell + off)
    if high < 0:
        return None
    unchanged = low <= 0
    if steady is False and not unchanged:
        return None
    rest = (without.low_a, without.high_a)
    return Pulled(slots, (max(0.0, low), high), rest, unchanged or steady is True)


def least_of(load: Load | None) -> float:
    """What surely flows [A]."""
    return 0.0 if load is None else load.low_a


def most_of(load: Load | None) -> float:
    """The most that may flow [A]: without bounds where nothing was read."""
    return inf if load is None else load.high_a
