"""Invented vehicles with planted drains, the person who reads them, and other ways to hunt.

A vehicle here is a panel with fuses of the published families, each of which differs from its data
sheet as the program allows, what every circuit truly draws at any time, and meters that are off as
their leaflets allow. Nothing of it is told to the hunt but what the meters show.
"""

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from random import Random

from msgspec.structs import replace

from fusemap import tables
from fusemap.circuits import counts_critical
from fusemap.probing import hunt
from fusemap.probing.evidence import fuse_slots
from fusemap.vehicle import Fuse, Vehicle, edits, look_up, reading_edits
from fusemap.vehicle.parts import MeterRange

START = datetime(2025, 5, 17, 18, 0)
OUTSIDE = "outside"

FUSES = (
    ("mini", 5), ("mini", 7.5), ("mini", 10), ("mini", 15), ("mini", 20), ("mini", 30),
    ("regular", 10), ("regular", 15), ("regular", 20), ("regular", 30), ("maxi", 40),
)  # fmt: skip
CLASSES = (["permanent"] * 9 + ["ignition"] * 5 + ["accessory"] * 2
           + ["lighting", "delayed_off", "unknown", "unknown"])  # fmt: skip
NAMES = (
    "Interior lamp", "Radio", "Socket", "Horn", "Central locking", "Alarm", "Seat heater",
    "Trailer module", "Body control", "Window lift", "", "Gateway", "Mirror", "Sunroof",
)  # fmt: skip


@dataclass
class Spell:
    """A drain [A] that is always there, or `on_min` of every `every_min` minutes."""

    amperes: float
    every_min: float = 0.0
    on_min: float = 0.0
    shift_min: float = 0.0

    def at(self, minutes: float) -> float:
        if not self.every_min:
            return self.amperes
        return self.amperes if (minutes + self.shift_min) % self.every_min < self.on_min else 0.0


@dataclass
class Car:
    """A vehicle with what it truly draws; `clock` is now."""

    vehicle: Vehicle
    rest: dict[str, float]
    drains: dict[str, Spell]
    true_mohm: dict[str, float]
    random: Random
    by_clamp: bool
    digit_mv: float
    gains: tuple[float, float]
    clock: datetime = START
    readings: int = 0
    pulled: int = 0
    kinds: list[str] = field(default_factory=list)
    clamp_gain: float | None = None
    """What the clamp is off by; `None` for somebody who has none."""

    @property
    def comes_and_goes(self) -> bool:
        return any(drain.every_min for drain in self.drains.values())

    @property
    def minutes(self) -> float:
        return (self.clock - START).total_seconds() / 60

    def draws(self, place: str, minutes: float | None = None) -> float:
        at = self.minutes if minutes is None else minutes
        drain = self.drains.get(place)
        return self.rest.get(place, 0.0) + (0.0 if drain is None else drain.at(at))

    def whole(self, out: frozenset[str] = frozenset(), minutes: float | None = None) -> float:
        places = {*self.rest, *self.drains} - out
        return sum(self.draws(place, minutes) for place in places)

    def shown(self, value: float, digit: float, gain: float) -> str:
        """What a meter shows: off by its gain and by up to two of its last digits."""
        digits = value * gain / digit + self.random.uniform(-2, 2)
        return f"{max(0, round(digits)) * digit:.4f}"

    def whole_shown(self, out: frozenset[str] = frozenset()) -> str:
        return self.shown(self.whole(out), 0.01 if self.by_clamp else 0.001, self.gains[0])

    def panel_shown(self) -> str | None:
        """What a clamp on all that feeds the panel shows; `None` without one."""
        if self.clamp_gain is None:
            return None
        return self.shown(self.whole(frozenset((OUTSIDE,))), 0.01, self.clamp_gain)

    def across_shown(self, slot_id: str) -> str:
        millivolts = self.draws(slot_id) * self.true_mohm[slot_id]
        return self.shown(millivolts, self.digit_mv, self.gains[1])

    def pass_time(self, minutes: float) -> None:
        self.clock += timedelta(minutes=minutes)


def car(seed: int) -> Car:
    """One invented vehicle; the same seed gives the same."""
    random = Random(seed)
    rows, columns = random.choice(((3, 4), (3, 6), (4, 6), (4, 8), (5, 8)))
    vehicle = edits.add_panel(Vehicle(name=f"Vehicle {seed}"), "Panel", rows, columns)
    true: dict[str, float] = {}
    made = []
    for number, slot in enumerate(look_up.slots(vehicle), start=1):
        family, rating = random.choice(FUSES)
        critical = random.random() < 0.08
        made.append(replace(
            slot, label=f"F{number}", family=family,
            fuse=Fuse(family=family, rating=rating), circuit=random.choice(NAMES),
            critical=critical, critical_reason="airbag" if critical else "",
            feed_class=random.choice(CLASSES),
        ))  # fmt: skip
        published = tables.fuse_resistance(family, rating)
        assert published is not None
        true[slot.id] = published.cold_mohm * random.uniform(0.85, 1.15)
    vehicle = replace(vehicle, panels=(replace(vehicle.panels[0], slots=tuple(made)),))
    digit = random.choice((0.1, 0.1, 0.01))
    across = MeterRange(quantity="millivolts", resolution=digit, share=0.005)
    vehicle = reading_edits.add_meter(vehicle, "Meter", [across])
    made = Car(
        vehicle, _rest(vehicle, random), _drains(vehicle, random), true, random,
        by_clamp=random.random() < 0.25, digit_mv=digit,
        gains=(random.uniform(0.992, 1.008), random.uniform(0.996, 1.004)),
    )  # fmt: skip
    made.clamp_gain = _clamp(seed, made)
    return made


def _clamp(seed: int, there: Car) -> float | None:
    """Of those who read the whole by a meter in line two of three have a clamp as well."""
    random = Random(seed + 1_000_000)
    gain = random.uniform(0.985, 1.015)
    return there.gains[0] if there.by_clamp else gain if random.random() < 2 / 3 else None


def _rest(vehicle: Vehicle, random: Random) -> dict[str, float]:
    """What a healthy vehicle draws: 10 to 30 mA over a few circuits, some of it on no fuse."""
    whole = random.uniform(0.010, 0.030)
    live = [s.id for s in fuse_slots(vehicle) if s.feed_class == "permanent"] or ["slot-1"]
    places = random.sample(live, min(len(live), random.randint(2, 5)))
    parts = [random.random() for _ in places]
    rest = {at: 0.85 * whole * part / sum(parts) for at, part in zip(places, parts, strict=True)}
    return rest | {OUTSIDE: 0.15 * whole}


def _drains(vehicle: Vehicle, random: Random) -> dict[str, Spell]:
    """None to three drains of 60 mA to 2 A: most always live, some behind the lock or elsewhere."""
    slots = list(fuse_slots(vehicle))
    live = [s for s in slots if s.feed_class in ("permanent", "unknown", "delayed_off")]
    locked = [s for s in slots if s.feed_class in ("ignition", "accessory", "lighting")]
    found: dict[str, Spell] = {}
    for number in range(random.choices((0, 1, 2, 3), (10, 55, 23, 12))[0]):
        way = random.random()
        those = locked if way < 0.15 and locked else live or slots
        slot = random.choice(those)
        most = 2.0 if slot.fuse is None else min(2.0, 0.5 * slot.fuse.rating)
        amperes = min(most, 0.06 * (2.0 / 0.06) ** random.random())
        drain = Spell(amperes)
        if number == 0 and random.random() < 0.15:
            every, on = random.uniform(25, 90), random.uniform(4, 15)
            drain = Spell(amperes, every, on, 90 * random.random())
        found[OUTSIDE if way > 0.92 else slot.id] = drain
    return found


# --- the person -----------------------------------------------------------------------------------

MOST_STEPS = 200
PATIENCE_MIN = 240.0


def hunted(car: Car, *, across: bool = True) -> tuple[hunt.Hunt, hunt.Answer]:
    """The hunt as somebody follows it, to its end; the car's counts say what it took."""
    whole_by = "clamp_current" if car.by_clamp else "inline_current"
    state = hunt.begin(car.vehicle, car.clock, whole_by=whole_by)
    for _ in range(MOST_STEPS):
        step = hunt.next_step(state, car.vehicle, car.clock, across=across)
        if step.kind == "end":
            return state, hunt.answer(state, car.vehicle)
        car.kinds.append(step.kind)
        state = _follow(car, state, step, across)
    raise AssertionError(f"{car.vehicle.name}: no end: {car.kinds[-12:]}")


def _follow(car: Car, state: hunt.Hunt, step: hunt.Step, across: bool) -> hunt.Hunt:
    typed = _typed(car, step)
    if typed is None:
        return hunt.skip(state, car.vehicle, car.clock, across=across).hunt
    for _ in range(2):  # what is doubted is read again
        done = hunt.enter(state, car.vehicle, typed, car.clock, across=across)
        state, car.vehicle = done.hunt, done.vehicle or car.vehicle
        if not state.doubted:
            return state
        typed = _typed(car, step) or typed
        done = hunt.enter(state, car.vehicle, typed, car.clock, across=across)
        state, car.vehicle = done.hunt, done.vehicle or car.vehicle
        if not state.doubted:
            return state
    return state


def _typed(car: Car, step: hunt.Step) -> str | None:
    """What somebody does and types; `None` where nothing came."""
    if step.kind == "prepare":
        return ""
    if step.kind == "wait":
        car.pass_time(61)
        car.readings += 1
        return car.whole_shown()
    if step.kind == "night":
        return _night(car)
    if step.quantity is None:
        car.pass_time(1)
        return ""
    if step.kind == "across":
        car.pass_time(0.3)
        car.readings += 1
        return car.across_shown(step.slots[0])
    if step.kind == "catch":
        return _caught(car)
    if step.kind == "feed":
        shown = car.panel_shown()
        car.pass_time(1.0)
        car.readings += shown is not None
        return shown
    if step.kind == "pull":
        car.pass_time(1 + 0.25 * len(step.slots))
        car.readings += 1
        car.pulled += len(step.slots)
        return car.whole_shown(frozenset(step.slots))
    car.pass_time(1.0 if step.kind == "whole" else 3.0)
    car.readings += 1
    return car.whole_shown()


def _caught(car: Car) -> str | None:
    """Watch until it draws as much as it ever does."""
    high = max(car.whole(minutes=car.minutes + n) for n in range(int(PATIENCE_MIN)))
    for _ in range(int(PATIENCE_MIN) * 4):
        if car.whole() >= 0.95 * high:
            car.readings += 1
            return car.whole_shown()
        car.pass_time(0.25)
    return None


def _night(car: Car) -> str:
    """Ten hours of a logger, one line each minute."""
    car.readings += 1
    rows = ["minutes;A"]
    for minute in range(600):
        rows.append(f"{minute};{car.whole_shown()}")
        car.pass_time(1)
    return "\n".join(rows)


def one_by_one(car: Car) -> hunt.Answer:
    """Pulling each fuse that may be pulled in the panel's order, until nothing is left to find."""
    quantity = "clamp_current" if car.by_clamp else "inline_current"
    state = hunt.begin(car.vehicle, car.clock, whole_by=quantity)
    base = {"target": "vehicle", "state": "asleep", "quantity": quantity}

    def read(**more: object) -> None:
        car.readings += 1
        car.pass_time(1)
        out = frozenset([str(more["fuse_out"])]) if more else frozenset()
        value = float(car.whole_shown(out))
        when = car.clock.isoformat(timespec="seconds")
        car.vehicle = reading_edits.add_readings(
            car.vehicle, [base | {"value": value, "when": when} | more]
        )

    read()
    for slot in fuse_slots(car.vehicle):
        known = hunt.answer(state, car.vehicle)
        if known.explained or known.is_usual:
            break
        if counts_critical(slot):
            continue
        car.pulled += 1
        read(fuse_out=slot.id)
        if not all(each.sure for each in hunt.answer(state, car.vehicle).shares.level.pulled):
            read()  # it fell: only if it comes back was it this fuse
    return hunt.answer(state, car.vehicle)
