"""The whole vehicle at rest: its current over time, what explains it, and the hunt for what draws.

In: readings of the whole vehicle [A], timed from locking, and the slots' own loads asleep. Out: the
rest current with its band, the curve on the way to sleep, the remainder that no mapped slot
explains, and which fuse to pull next.
"""

from dataclasses import dataclass

from fusemap.leave_alone import counts_critical
from fusemap.probing import evidence
from fusemap.probing.loads import Load, by_fuse_out, loads_of, measured_load
from fusemap.units import quantity
from fusemap.vehicle import Reading, Slot, State, Vehicle, look_up
from fusemap.vehicle.words import Purpose

CHARGER_WARNING = (
    "Is the laptop, or anything else, plugged into this vehicle? Unplug it: a charger draws 2 to "
    "5 A and keeps the vehicle awake."
)
"""Common practice; said beside every reading of the whole vehicle."""


def rest_current(
    vehicle: Vehicle, state: State = "asleep", *, purpose: Purpose = "probe"
) -> Load | None:
    """The whole vehicle's current in a parked state, the latest reading with all fuses in."""
    those = [
        one
        for one in evidence.of_vehicle(vehicle, purpose=purpose)
        if one.state == state and one.fuse_out is None
    ]
    return measured_load(vehicle, those[-1]) if those else None


def sleep_curve(vehicle: Vehicle) -> tuple[tuple[float, float], ...]:
    """The current on the way to sleep: (minutes after locking, amperes), by time."""
    found = {
        one.after_lock_min: measured_load(vehicle, one).current_a
        for one in evidence.of_vehicle(vehicle)
        if one.after_lock_min is not None and one.fuse_out is None
    }
    return tuple(sorted((minute, amperes) for minute, amperes in found.items()))


@dataclass(frozen=True, slots=True)
class Remainder:
    """What the vehicle draws asleep that no mapped slot explains [A], with its band."""

    whole: Load
    explained_a: float
    explained_low_a: float
    explained_high_a: float
    unread: int

    @property
    def current_a(self) -> float:
        """The remainder, nothing where the slots explain more than the whole."""
        return max(0.0, self.whole.current_a - self.explained_a)

    @property
    def low_a(self) -> float:
        """The least it can be."""
        return max(0.0, self.whole.low_a - self.explained_high_a)

    @property
    def high_a(self) -> float:
        """The most it can be."""
        return max(0.0, self.whole.high_a - self.explained_low_a)

    @property
    def contradicts(self) -> bool:
        """Whether the slots surely draw more together than the whole vehicle."""
        return self.explained_low_a > self.whole.high_a

    @property
    def words(self) -> str:
        """What is unexplained, as it may be said."""
        if self.contradicts:
            return (
                f"the slots together draw at least {quantity(self.explained_low_a, 'A')}, the "
                f"whole vehicle at most {quantity(self.whole.high_a, 'A')}: one of them is wrong"
            )
        unread = f", {self.unread} slots not read" if self.unread else ""
        if self.low_a == 0:
            return f"the mapped slots can explain it all{unread}"
        return (
            f"{quantity(self.low_a, 'A', 2)} to {quantity(self.high_a, 'A', 2)} on no mapped "
            f"slot{unread}: something hangs on the battery itself, or on a slot not yet read"
        )


def remainder(vehicle: Vehicle) -> Remainder | None:
    """What of the rest current no slot explains, `None` before the whole vehicle was read."""
    whole = rest_current(vehicle)
    if whole is None:
        return None
    middle = low = high = 0.0
    unread = 0
    for slot in evidence.fuse_slots(vehicle):
        load = loads_of(vehicle, slot).get("asleep")
        if load is not None:
            middle += 0.0 if load.below_floor else load.current_a
            low, high = low + load.low_a, high + load.high_a
        elif slot.own_load.asleep is not None:
            middle, low, high = (part + slot.own_load.asleep for part in (middle, low, high))
        elif slot.fuse is not None and slot.feed_class in ("permanent", "unknown"):
            unread += 1
    return Remainder(whole, middle, low, high, unread)


@dataclass(frozen=True, slots=True)
class Suspect:
    """A slot that draws asleep: how much by what was read, and what pulling its fuse changed."""

    slot: Slot
    load: Load | None
    pulled: Load | None

    @property
    def amount_a(self) -> float:
        """What it draws, by the pull if there was one."""
        best = self.pulled or self.load
        return 0.0 if best is None else best.current_a


def suspects(vehicle: Vehicle) -> tuple[Suspect, ...]:
    """The slots by what they draw asleep, the largest first; unread ones of unknown feed last."""
    found = []
    for slot in evidence.fuse_slots(vehicle):
        if slot.fuse is None:
            continue
        load = loads_of(vehicle, slot).get("asleep")
        pulled = by_fuse_out(vehicle, slot.id)
        if load is not None or pulled is not None or slot.feed_class in ("permanent", "unknown"):
            found.append(Suspect(slot, load, pulled))
    return tuple(sorted(found, key=lambda one: (-one.amount_a, one.load is not None)))


def pull_next(vehicle: Vehicle) -> Suspect | None:
    """The fuse to pull next in the hunt: the largest that was not pulled yet and may be pulled.

    A critical circuit is never pulled: its share is read with the meter across its fuse.
    """
    open_ones = [
        one for one in suspects(vehicle) if one.pulled is None and not counts_critical(one.slot)
    ]
    drawing = [one for one in open_ones if one.load is not None and not one.load.below_floor]
    if drawing:
        return drawing[0]
    left = remainder(vehicle)
    unread = [one for one in open_ones if one.load is None]
    return unread[0] if unread and (left is None or left.current_a > 0) else None


def hunt_words(vehicle: Vehicle) -> tuple[str, ...]:
    """The hunt in sentences: the whole, the largest, what to pull next, what is left."""
    whole = rest_current(vehicle)
    if whole is None:
        return ("Read the whole vehicle first, asleep, with all fuses in.",)
    said = [f"Whole vehicle asleep: {whole.words}."]
    for one in suspects(vehicle)[:3]:
        best = one.pulled or one.load
        if best is not None and not best.below_floor:
            said.append(f"{look_up.slot_name(one.slot)}: {best.words}, {best.how}.")
    following = pull_next(vehicle)
    left = remainder(vehicle)
    if following is not None:
        said.append(f"Pull {look_up.slot_name(following.slot)} next, and read the whole again.")
    if left is not None:
        said.append(f"Remainder: {left.words}.")
    return tuple(said)


def latest_whole(vehicle: Vehicle) -> Reading | None:
    """The latest reading of the whole vehicle, whatever its state."""
    those = evidence.of_vehicle(vehicle)
    return those[-1] if those else None
