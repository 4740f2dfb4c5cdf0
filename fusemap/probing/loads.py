"""What circuits draw by themselves, slot by slot and the whole vehicle at rest, from readings.

A slot's load [A] comes from the millivolts across its fuse (by family and rating, or by this
fuse's own calibration), from a clamp, from a meter in line, or from what the whole vehicle draws
less with the fuse out; each with its band, and where several readings of one state count, the
narrowest band is taken. Of the whole vehicle, timed from locking: its rest current and the curve on
the way to sleep.
"""

from collections.abc import Callable
from functools import lru_cache
from math import ceil, floor, inf, log10

from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.facts import resolve
from fusemap.electrics.meter import read_fuse, share_as_counts
from fusemap.probing import evidence
from fusemap.probing.evidence import limits_of, range_of_reading
from fusemap.text import Amount, Text, given, say
from fusemap.vehicle import (
    STATES,
    Fuse,
    MeterRange,
    Reading,
    Slot,
    State,
    StateLoads,
    Vehicle,
)
from fusemap.vehicle.parts import CURRENTS
from fusemap.vehicle.words import Purpose

CALIBRATED_SPREAD = 0.03
"""How far a fuse that was calibrated with a known load may be off [-]; ours."""


class Load(Struct, frozen=True):
    """A current [A] with its band, and how it came about. `reading` is the id of what was read."""

    state: State
    current_a: float
    low_a: float
    high_a: float
    below_floor: bool
    how: Text
    reading: str

    @property
    def flows(self) -> bool:
        """Whether current surely flows: nothing is within the band only if it does not."""
        return self.low_a > 0

    @property
    def words(self) -> Text:
        """The current as it may be said: never more than is known."""
        if self.below_floor:
            return say("below {limit}", limit=Amount(self.high_a, "A", significant=2))
        return band_words(self.current_a, self.low_a, self.high_a, "A")


def band_words(typical: float, low: float, high: float, unit: str, significant: int = 2) -> Text:
    """A figure with its band, the ends to so many digits and the lower in the upper's unit.

    >>> str(band_words(0.05, 0.041, 0.062, "A")).replace("\u202f", " ")
    '50 mA (41 to 62 mA)'

    Without a band where both ends are written alike.

    >>> str(band_words(0.018, 0.0179, 0.0181, "A")).replace("\u202f", " ")
    '18 mA'
    """
    if f"{low:.{significant}g}" == f"{high:.{significant}g}":
        alone = {"typical": Amount(typical, unit, significant=significant)}
        return Text("{typical}", alone, bare=True)
    thousandths = unit in ("A", "V") and high < 0.1
    return say(
        "{typical} ({low} to {high})",
        typical=Amount(typical, unit),
        low=Amount(low * 1000 if thousandths else low, significant=significant),
        high=Amount(high, unit, significant=significant),
    )


def load_of(vehicle: Vehicle, slot: Slot, reading: Reading) -> Load | None:
    """What one reading at a slot says of its current, `None` where it says nothing."""
    return load_through(vehicle, slot.fuse, reading)


def load_through(vehicle: Vehicle, fuse: Fuse | None, reading: Reading) -> Load | None:
    """The same of a reading at any place that has this fuse.

    Millivolts across a fuse without a published resistance say nothing until it is calibrated.
    """
    if reading.quantity == "millivolts":
        return _across_fuse(vehicle, fuse, reading)
    return measured_load(vehicle, reading) if reading.quantity in CURRENTS else None


def _across_fuse(vehicle: Vehicle, fuse: Fuse | None, reading: Reading) -> Load | None:
    resistance = None if fuse is None else facts.fuse_resistance(fuse)
    if fuse is None or resistance is None:
        return None
    own = fuse.resistance_mohm is not None
    spread = CALIBRATED_SPREAD if own else resolve(vehicle.rules)["fuse_spread"].value
    return _drop_of(fuse, resistance, reading, range_of_reading(vehicle, reading), spread)


def least_to_tell(vehicle: Vehicle, fuse: Fuse | None, meter: str | None = None) -> float:
    """The most that may flow through a fuse when this meter shows nothing across it [A].

    Infinite where no resistance is known of the fuse. `meter` is the id of one of the vehicle's.
    """
    if fuse is None or facts.fuse_resistance(fuse) is None:
        return inf
    those = next((each for each in vehicle.meters if each.id == meter), None)
    used = evidence.range_of(those, "millivolts", 0.0)
    return _least_to_tell(fuse, used, resolve(vehicle.rules)["fuse_spread"].value)


@lru_cache(maxsize=1024)
def _least_to_tell(fuse: Fuse, used: MeterRange, spread: float) -> float:
    resistance = facts.fuse_resistance(fuse)
    assert resistance is not None  # asked for where it is known
    share = CALIBRATED_SPREAD if fuse.resistance_mohm is not None else spread
    zero = Reading(id="none", when="", quantity="millivolts", value=0.0)
    return _drop_of(fuse, resistance, zero, used, share).high_a


# A round along the slots asks for the same few hundred again and again.
@lru_cache(maxsize=4096)
def _drop_of(
    fuse: Fuse, resistance: facts.FuseResistance, reading: Reading, used: MeterRange, spread: float
) -> Load:
    ends = [reading.value] if reading.highest is None else [reading.value, reading.highest]
    found = [
        read_fuse(
            mv,
            resistance.cold_mohm,
            fuse.rating,
            hot_to_cold=resistance.hot_to_cold,
            spread=spread,
            counts=share_as_counts(mv, used.resolution, used.share, used.counts),
            resolution_mv=used.resolution,
            repeated=reading.repeated,
        )
        for mv in ends
    ]
    return Load(
        state=reading.state,
        current_a=sum(float(end.current_a) for end in found) / len(found),
        low_a=min(float(end.low_a) for end in found),
        high_a=max(float(end.high_a) for end in found),
        below_floor=all(bool(end.below_floor) for end in found),
        how=_across_words(fuse, reading),
        reading=reading.id,
    )


def _across_words(fuse: Fuse, reading: Reading) -> Text:
    value, rating = evidence.value_words(reading), given(fuse.rating, "A")
    if fuse.resistance_mohm is not None:
        return say("{value} across the {rating} fuse, calibrated", value=value, rating=rating)
    return say("{value} across the {rating} fuse", value=value, rating=rating)


def measured_load(vehicle: Vehicle, reading: Reading) -> Load:
    """A current read by clamp or in line, with the meter's band."""
    ends = sorted(abs(end) for end in limits_of(vehicle, reading))
    low, high = limits_of(vehicle, reading)
    top = reading.value if reading.highest is None else reading.highest
    return Load(
        state=reading.state,
        current_a=abs(reading.value + top) / 2,
        low_a=0.0 if low <= 0 <= high else ends[0],
        high_a=ends[1],
        below_floor=low <= 0 <= high,
        how=_measured_words(reading),
        reading=reading.id,
    )


def _measured_words(reading: Reading) -> Text:
    value = evidence.value_words(reading)
    inline = reading.quantity == "inline_current"
    return say("{value} in line", value=value) if inline else say("{value} by clamp", value=value)


def by_fuse_out(vehicle: Vehicle, slot_id: str) -> Load | None:
    """What the whole vehicle draws less, asleep, with this slot's fuse out.

    The nearest reading before with all fuses in is what it is held against.
    """
    whole: Reading | None = None
    found: Load | None = None
    for reading in evidence.of_vehicle(vehicle):
        if reading.state != "asleep":
            continue
        if reading.fuse_out is None:
            whole = reading
        elif reading.fuse_out == slot_id and whole is not None:
            found = _difference(measured_load(vehicle, whole), measured_load(vehicle, reading))
    return found


def _difference(whole: Load, without: Load) -> Load:
    low = max(0.0, whole.low_a - without.high_a)
    current = max(0.0, whole.current_a - without.current_a)
    return Load(
        state="asleep",
        current_a=current,
        low_a=low,
        high_a=max(0.0, whole.high_a - without.low_a),
        below_floor=low == 0 and current <= max(0.0, whole.high_a - whole.current_a),
        how=say(
            "whole vehicle {whole}, with this fuse out {without}",
            whole=Amount(whole.current_a, "A"),
            without=Amount(without.current_a, "A"),
        ),
        reading=without.reading,
    )


def loads_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> dict[State, Load]:
    """The own load of a slot in every state in which it was read."""
    found: dict[State, Load] = {}
    those = [
        load_of(vehicle, slot, reading)
        for reading in evidence.of_slot(vehicle, slot.id, verified=verified)
        if not reading.lamps_on
    ]
    if verified:
        those.append(by_fuse_out(vehicle, slot.id))
    for load in those:
        if load is not None:
            kept = found.get(load.state)
            if kept is None or load.high_a - load.low_a <= kept.high_a - kept.low_a:
                found[load.state] = load
    return {state: found[state] for state in STATES if state in found}


def as_state_loads(loads: dict[State, Load]) -> StateLoads:
    """The known currents, as a slot holds them [A]: of one below the meter's floor nothing is."""
    return StateLoads(**{state: _known(load) for state, load in loads.items()})


def as_most(loads: dict[State, Load]) -> StateLoads:
    """The most that they may be [A], as a slot holds it; left out where it is no more than known.

    To three digits, rounded up.
    """
    most = {state: rounded_up(load.high_a) for state, load in loads.items()}
    return StateLoads(
        **{state: high for state, high in most.items() if high > _known(loads[state])}
    )


def _known(load: Load) -> float:
    return 0.0 if load.below_floor else round(load.current_a, 6)


def rounded_up(current_a: float) -> float:
    """A current [A] to three digits, never less than it is.

    >>> rounded_up(0.20312), rounded_up(0.0)
    (0.204, 0.0)
    """
    return _to_three_digits(current_a, ceil)


def rounded_down(current_a: float) -> float:
    """A current [A] to three digits, never more than it is.

    >>> rounded_down(0.20392), rounded_down(-1.0)
    (0.203, -1.0)
    """
    return _to_three_digits(current_a, floor)


def _to_three_digits(value: float, way: Callable[[float], int]) -> float:
    if value <= 0:
        return round(value, 6)
    step = 10.0 ** (floor(log10(value)) - 2)
    return round(way(round(value / step, 6)) * step, 9)


# --- the whole vehicle at rest --------------------------------------------------------------------

CHARGER_WARNING = say(
    "Is the laptop, or anything else, plugged into this vehicle? Unplug it: a charger draws 2 to "
    "5 A and keeps the vehicle awake."
)
"""Common practice; said beside every reading of the whole vehicle."""


def rest_current(
    vehicle: Vehicle, state: State = "asleep", *, purpose: Purpose = "probe"
) -> Load | None:
    """The whole vehicle's current in a parked state, the latest reading with all fuses in."""
    those = [
        reading
        for reading in evidence.of_vehicle(vehicle, purpose=purpose)
        if reading.state == state and reading.fuse_out is None
    ]
    return measured_load(vehicle, those[-1]) if those else None


def sleep_curve(vehicle: Vehicle) -> tuple[tuple[float, float], ...]:
    """The current on the way to sleep: (minutes after locking, amperes), by time."""
    found = {
        reading.after_lock_min: measured_load(vehicle, reading).current_a
        for reading in evidence.of_vehicle(vehicle)
        if reading.after_lock_min is not None and reading.fuse_out is None
    }
    return tuple(sorted((minute, amperes) for minute, amperes in found.items()))


def latest_whole(vehicle: Vehicle) -> Reading | None:
    """The latest reading of the whole vehicle, whatever its state."""
    those = evidence.of_vehicle(vehicle)
    return those[-1] if those else None
