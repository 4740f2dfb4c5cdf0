"""What a circuit draws by itself, from what was read at its slot.

From the millivolts across its fuse (by family and rating, or by this fuse's own calibration), from
a clamp, from a meter in line, or from what the whole vehicle draws less with the fuse out. Out:
amperes with a band [A]. Where several readings of one state count, the narrowest band is taken.
"""

from dataclasses import dataclass
from functools import lru_cache

from fusemap.assess import facts
from fusemap.assess.rules import resolve
from fusemap.electrics.meter import share_as_counts
from fusemap.electrics.millivolts import read_fuse
from fusemap.probing import evidence
from fusemap.probing.meters import limits_of, range_of_reading
from fusemap.units import NARROW_SPACE, digits, quantity
from fusemap.vehicle import STATES, Fuse, MeterRange, Reading, Slot, State, StateLoads, Vehicle
from fusemap.vehicle.readings import CURRENTS

CALIBRATED_SPREAD = 0.03
"""How far a fuse that was calibrated with a known load may be off [-]; ours."""


@dataclass(frozen=True, slots=True)
class Load:
    """A current [A] with its band, and how it came about. `reading` is the id of what was read."""

    state: State
    current_a: float
    low_a: float
    high_a: float
    below_floor: bool
    how: str
    reading: str

    @property
    def flows(self) -> bool:
        """Whether current surely flows: nothing is within the band only if it does not."""
        return self.low_a > 0

    @property
    def words(self) -> str:
        """The current as it may be said: never more than is known."""
        if self.below_floor:
            return f"below {quantity(self.high_a, 'A', 2)}"
        low, high = digits(self.low_a, 2), quantity(self.high_a, "A", 2)
        if self.high_a < 0.1:
            low = digits(self.low_a * 1000, 2)
        return f"{quantity(self.current_a, 'A')} ({low} to {high})"


def load_of(vehicle: Vehicle, slot: Slot, reading: Reading) -> Load | None:
    """What one reading at a slot says of its current, `None` where it says nothing.

    A millivolt reading across a fuse of a family without a published resistance says nothing until
    this fuse is calibrated.
    """
    if reading.quantity == "millivolts":
        return _across_fuse(vehicle, slot.fuse, reading)
    if reading.quantity in CURRENTS:
        return measured_load(vehicle, reading)
    return None


def _across_fuse(vehicle: Vehicle, fuse: Fuse | None, reading: Reading) -> Load | None:
    resistance = None if fuse is None else facts.fuse_resistance(fuse)
    if fuse is None or resistance is None:
        return None
    own = fuse.resistance_mohm is not None
    spread = CALIBRATED_SPREAD if own else resolve(vehicle.rules)["fuse_spread"].value
    return _drop_of(fuse, resistance, reading, range_of_reading(vehicle, reading), spread)


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
        current_a=sum(float(one.current_a) for one in found) / len(found),
        low_a=min(float(one.low_a) for one in found),
        high_a=max(float(one.high_a) for one in found),
        below_floor=all(bool(one.below_floor) for one in found),
        how=f"{evidence.value_words(reading)} across the {digits(fuse.rating)}{NARROW_SPACE}A fuse"
        + (", calibrated" if fuse.resistance_mohm is not None else ""),
        reading=reading.id,
    )


def measured_load(vehicle: Vehicle, reading: Reading) -> Load:
    """A current read by clamp or in line, with the meter's band."""
    ends = sorted(abs(end) for end in limits_of(vehicle, reading))
    low, high = limits_of(vehicle, reading)
    middle = (reading.value + (reading.value if reading.highest is None else reading.highest)) / 2
    crosses = low <= 0 <= high
    return Load(
        state=reading.state,
        current_a=abs(middle),
        low_a=0.0 if crosses else ends[0],
        high_a=ends[1],
        below_floor=crosses,
        how=f"{evidence.value_words(reading)} "
        + ("in line" if reading.quantity == "inline_current" else "by clamp"),
        reading=reading.id,
    )


def by_fuse_out(vehicle: Vehicle, slot_id: str) -> Load | None:
    """What the whole vehicle draws less, asleep, with this slot's fuse out.

    The nearest reading before with all fuses in is what it is held against.
    """
    whole: Reading | None = None
    found: Load | None = None
    for one in evidence.of_vehicle(vehicle):
        if one.state != "asleep":
            continue
        if one.fuse_out is None:
            whole = one
        elif one.fuse_out == slot_id and whole is not None:
            found = _difference(measured_load(vehicle, whole), measured_load(vehicle, one))
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
        how=f"whole vehicle {quantity(whole.current_a, 'A')}, with this fuse out "
        f"{quantity(without.current_a, 'A')}",
        reading=without.reading,
    )


def loads_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> dict[State, Load]:
    """The own load of a slot in every state in which it was read."""
    found: dict[State, Load] = {}
    those = [
        load_of(vehicle, slot, one)
        for one in evidence.of_slot(vehicle, slot.id, verified=verified)
        if not one.lamps_on
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
    """The currents alone, as a slot holds them [A]; what lies below the meter's floor is none."""
    return StateLoads(
        **{
            state: 0.0 if load.below_floor else round(load.current_a, 6)
            for state, load in loads.items()
        }
    )
