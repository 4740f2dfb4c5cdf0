"""The check after the job: what was predicted beside what is measured.

In: the planned vehicle, assessed, and its check readings. Out: a list of steps in the order they
are done, each with a prediction and the band in which a reading agrees with it, the latest reading,
and likely causes where the two differ. The bands are sums of what is not known: the accessory's own
figure, the cables' joints, the battery's charge and the meter; their shares are ours.
"""

from collections.abc import Iterator

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.battery import battery_model
from fusemap.assess.cables import way_parts
from fusemap.circuits import counts_critical
from fusemap.probing import earth_check, evidence, output_check, polarity_check, socket_check
from fusemap.probing.check_step import (
    LOAD_SPREAD,
    SWAPPED,
    CheckStep,
    Expected,
    likely_causes,
    supply_band_v,
)
from fusemap.probing.loads import Load, rest_current
from fusemap.text import Text, run_on, say
from fusemap.vehicle import SEATED, STATES, Accessory, Reading, State, Tap, Vehicle, look_up
from fusemap.vehicle.words import STATE, TOW, Quantity

PLUS_FLOOR_MV = 50.0
"""A drop from the battery to a slot up to this is good whatever was predicted [mV]; ours."""

EARTH_FLOOR_MV = 20.0
"""An earth drop up to this is good whatever was predicted [mV]; ours."""

MORNING_BAND_V = 0.08
"""How far a rest voltage may be off on a 12 V battery [V]: temperature, surface charge; ours."""

CLAMP_LEAST_A = 0.1
"""Less than this a usual clamp does not tell [A]; ours."""

NIGHT_H = 12.0
"""A night [h]."""


def steps(vehicle: Vehicle, a: Assessment) -> tuple[CheckStep, ...]:
    """The whole check in its order: lead by lead, the lamps of tow sockets, the whole vehicle."""
    planned = [step for tap in vehicle.taps for step in _of_tap(vehicle, a, tap)]
    planned.extend(socket_check.steps(vehicle, a))
    planned.extend(_of_vehicle(vehicle, a))
    # Two taps on one slot ask for its circuit once.
    once = {(step.key, step.target, step.target_id, step.pin): step for step in planned}
    return tuple(_with_reading(vehicle, step) for step in once.values())


def fields(step: CheckStep) -> dict[str, object]:
    """The fields of a reading for a step, but for its value and time."""
    return {
        "quantity": step.quantity,
        "state": step.state,
        "target": step.target,
        "target_id": step.target_id,
        "fuse_out": step.fuse_out,
        "pin": step.pin,
        "purpose": "check",
    }


def _with_reading(vehicle: Vehicle, step: CheckStep) -> CheckStep:
    """The step with its latest reading, and likely causes where it differs."""
    latest = None
    for reading in evidence.standing(vehicle.readings):
        if reading.purpose == "check" and all(
            getattr(reading, name) == value for name, value in fields(step).items()
        ):
            latest = reading
    step = replace(step, agrees=_agrees(vehicle, step, latest))
    if latest is None:
        return step
    done = replace(step, reading=latest)
    if done.verdict != "differs" or step.expected is None:
        return done
    if done.swapped:
        return replace(done, causes=(SWAPPED,))
    above = done.counted is not None and done.counted > step.expected.high
    return replace(done, causes=likely_causes(step.key, above=above))


def _agrees(vehicle: Vehicle, step: CheckStep, reading: Reading | None) -> tuple[float, float]:
    """The lowest and the highest reading that agree: where the true value may be in the band.

    A meter is off by a share of what it shows and by last digits: a reading x agrees where
    x ± (share · x + digits) reaches the band. Solved for x, so that it does not hang on the
    reading; before there is one, a usual meter reads it.
    """
    expected = step.expected
    if expected is None:
        return 0.0, 0.0
    if not step.unit:
        return expected.low, expected.high
    meter = evidence.range_of(None, step.quantity, expected.high)
    if reading is not None:
        meter = evidence.range_of_reading(vehicle, reading)
    digits = meter.counts * meter.resolution
    return (expected.low - digits) / (1 + meter.share), (expected.high + digits) / (1 - meter.share)


# --- a lead -----------------------------------------------------------------------------------


def _of_tap(vehicle: Vehicle, a: Assessment, tap: Tap) -> Iterator[CheckStep]:
    accessory = look_up.accessory(vehicle, tap.accessory)
    column = a.taps.index[tap.id]
    row = int(np.argmax(a.taps.current_a[:, column]))
    state = STATES[row]
    drawn = float(a.taps.current_a[row, column])
    if tap.slot is not None:
        # by hand and with the key off, before anything is switched on
        yield _tap_step(
            tap, accessory, "grips", "grips", "", "awake",
            say(
                "Key off. Pull gently at tap and fuse: do they sit as firmly as the fuse beside "
                "them?"
            ),
            _yes(True),
        )  # fmt: skip
    yield from polarity_check.step_of(vehicle, a, tap, _title(tap, accessory, "polarity"))
    if tap.slot is not None:
        yield from _at_slot(vehicle, tap, accessory, drawn, state)
    if drawn > 0:
        clamped = drawn >= CLAMP_LEAST_A
        label = STATE[state].label
        how = say("Meter in line in the plus lead, with it working ({state}).", state=label)
        if clamped:
            how = say("Clamp round the accessory’s plus, with it working ({state}).", state=label)
        yield _tap_step(
            tap, accessory, "current", "clamp_current" if clamped else "inline_current", "A", state,
            how, _spread(drawn),
        )  # fmt: skip
    if drawn > 0 and tap.lead == "power":
        yield from _loaded(vehicle, a, tap, accessory, column, row)
    if tap.lead == "power" and accessory.cut_off is not None:
        band = 0.1 * vehicle.system_v / 12
        off = accessory.cut_off.off_v
        yield _tap_step(
            tap, accessory, "cut_off", "volts", "V", "asleep",
            say("Let it run with the engine off; note the volts at the device as it goes off."),
            Expected(off, off - band, off + band),
        )  # fmt: skip


def _tap_step(
    tap: Tap,
    accessory: Accessory,
    key: str,
    what: Quantity,
    unit: str,
    state: State,
    how: Text,
    expected: Expected | None,
) -> CheckStep:
    return CheckStep(
        key,
        _title(tap, accessory, key),
        how,
        what,
        unit,
        state,
        "tap",
        tap.id,
        expected,
    )


def _title(tap: Tap, accessory: Accessory, key: str) -> Text:
    if tap.lead == "power":
        return say("{name}: {check}", name=accessory.name, check=TITLES[key])
    return say("{name}, sense lead: {check}", name=accessory.name, check=TITLES[key])


TITLES: dict[str, Text] = {
    "stays_on": say("stays on with the host fuse out"),
    "current": say("current"),
    "volts": say("voltage at the device, loaded"),
    "output": say("voltage behind its output, loaded"),
    "earth": say("earth drop, loaded"),
    "earth_point": say("earth point, loaded"),
    "host_drop": say("plus drop up to the slot, loaded"),
    "grips": say("tap and fuse sit firmly"),
    "polarity": say("plus and minus at its lead, before it is connected"),
    "warm": say("fuse or tap warm to the touch"),
    "cut_off": say("low-voltage cut-off"),
    "host": say("host circuit works"),
}


def tap_of(vehicle: Vehicle, step: CheckStep) -> Tap | None:
    """The lead a step belongs to; of a slot's circuit or an earth point the first that is there."""
    if step.target == "tap":
        return look_up.tap(vehicle, step.target_id)
    if step.target == "slot":
        return next((tap for tap in vehicle.taps if tap.slot == step.target_id), None)
    if step.target == "earth":
        return next(iter(earth_check.taps_by(vehicle, step.target_id)), None)
    return None


def kind_title(step: CheckStep) -> Text:
    """What all steps of its kind look at: the same causes stand for all of them."""
    return socket_check.LAMP_PIN if step.key == "lamp_pin" else short_title(step)


def short_title(step: CheckStep) -> Text:
    """What is looked at in a step, without of what."""
    return TITLES[step.key].capital() if step.key in TITLES else step.title


def _spread(value: float) -> Expected:
    return Expected(value, value * (1 - LOAD_SPREAD), value * (1 + LOAD_SPREAD))


def _yes(value: bool) -> Expected:
    return Expected(float(value), float(value), float(value))


def _at_slot(
    vehicle: Vehicle, tap: Tap, accessory: Accessory, drawn: float, state: State
) -> Iterator[CheckStep]:
    """The orientation test and the host circuit; on an added block there is neither."""
    assert tap.slot is not None
    slot = look_up.slot(vehicle, tap.slot)
    name = look_up.place_words(slot)
    if look_up.panel_of(vehicle, slot.id).kind == "block" and not slot.circuit:
        return
    if tap.lead == "power" and drawn > 0 and slot.fuse is not None and not counts_critical(slot):
        seated = tap.kind in SEATED
        stays = seated and tap.way_round == "live_side"
        yield CheckStep(
            "stays_on", _title(tap, accessory, "stays_on"),
            say(
                "{name} connected and working ({state}): pull the host fuse of {slot} out of the "
                "tap. Does the accessory stay on? An accessory with a battery of its own stays on "
                "either way: then measure at its plus.",
                name=accessory.name, state=STATE[state].label, slot=name,
            ),
            "stays_on", "", state, "tap", tap.id, _yes(stays), None,
            unsure=seated and slot.live_side == "unknown",
        )  # fmt: skip
    how = say("Host fuse in again: does what {slot} feeds work as before?", slot=name)
    if slot.circuit:
        how = say("Host fuse in again: does {circuit} work as before?", circuit=slot.circuit)
    yield CheckStep(
        "host", say("{name}: {check}", name=name, check=TITLES["host"]), how,
        "works", "", "ignition", "slot", slot.id, _yes(True),
    )  # fmt: skip


def _loaded(
    vehicle: Vehicle, a: Assessment, tap: Tap, accessory: Accessory, column: int, row: int
) -> Iterator[CheckStep]:
    """Voltage at the device, earth drop and warmth, with the load on."""
    state = STATES[row]
    volts = float(a.taps.voltage_v[row, column])
    band = supply_band_v(vehicle.system_v)
    second = look_up.battery_of(vehicle, accessory) == "second"
    yield _tap_step(
        tap, accessory, "volts", "volts", "V", state,
        _where_volts_are_read(vehicle, tap, accessory),
        Expected(volts, volts - band, volts + band),
    )  # fmt: skip
    if tap.slot is not None:
        slot = look_up.place_words(look_up.slot(vehicle, tap.slot))
        supply = a.currents.second_v if second else a.battery_v
        plus = float(supply[row] - a.taps.source_v[row, column]) * 1000
        how = say(
            "Meter from the battery’s plus to the live contact of {slot}, with it working.",
            slot=slot,
        )
        if second:
            how = say(
                "Meter from the second battery’s plus to the live contact of {slot}, with it "
                "working.",
                slot=slot,
            )
        yield _tap_step(
            tap, accessory, "host_drop", "plus_millivolts", "mV", state, how,
            Expected(plus, 0.0, max(PLUS_FLOOR_MV, 2 * plus)),
        )  # fmt: skip
    drop = earth_drop_mv(a, tap, column, row)
    how = say("Meter from the device’s minus to the battery’s minus, with it working.")
    if second:
        how = say("Meter from the device’s minus to the second battery’s minus, with it working.")
    yield _tap_step(
        tap, accessory, "earth", "earth_millivolts", "mV", state, how,
        Expected(drop, 0.0, max(EARTH_FLOOR_MV, 2 * drop)),
    )  # fmt: skip
    yield from output_check.steps_of(
        vehicle, a, tap, accessory, _title(tap, accessory, "output"), state
    )
    yield from earth_check.step_of(vehicle, a, tap)
    yield _tap_step(
        tap, accessory, "warm", "warm", "", state,
        say(
            "After 15 minutes at full load: touch fuse, tap, joints. Too warm to keep the finger "
            "on?"
        ),
        _yes(False),
    )  # fmt: skip


def _where_volts_are_read(vehicle: Vehicle, tap: Tap, accessory: Accessory) -> Text:
    """Between which two points: the device's own, or the pin that a lead to a trailer ends at."""
    socket = None if tap.socket is None else look_up.socket(vehicle, tap.socket)
    if socket is None or socket.kind not in TOW:
        return say("Meter at the device’s own plus and minus, with it working.")
    pin = tables.socket_pins(socket.kind).get(tap.pin)
    if pin is None or pin.returns_by is None:
        return say(
            "Meter at pin {pin} of {socket} against its return, with {accessory} working.",
            pin=tap.pin,
            socket=socket.name,
            accessory=accessory.name,
        )
    return say(
        "Meter at pin {pin} of {socket} ({function}) against its pin {back}, with {accessory} "
        "working.",
        pin=tap.pin,
        socket=socket.name,
        function=run_on(Text(pin.function)),
        back=pin.returns_by,
        accessory=accessory.name,
    )


def earth_drop_mv(a: Assessment, tap: Tap, column: int, row: int) -> float:
    """Drop on the way back from an accessory [mV], by cable and earth point or by the body."""
    drawn = a.taps.current_a[row]
    warm = a.warm_ohm[row][:, column]
    parts = way_parts(tap, warm, a.rule_values, float(a.circuit.taps.earth_mohm[column]))
    ohm = sum(part.ohm for part in parts if part.key in ("back", "earth", "body"))
    return float(drawn[column]) * ohm * 1000


# --- the whole vehicle ------------------------------------------------------------------------


def added_asleep_a(a: Assessment) -> float:
    """What all leads draw together while the vehicle sleeps, on average [A]."""
    row = STATES.index("asleep")
    return float(a.taps.current_a[row].sum())


def rest_after(vehicle: Vehicle, a: Assessment) -> Expected | None:
    """The rest current to expect after the job [A], from the one before and what was added."""
    before: Load | None = rest_current(vehicle)
    held = vehicle.parking.rest_current_a
    if before is None and held is None:
        return None
    if before is None or (held is not None and not before.low_a <= held <= before.high_a):
        # what somebody put into the plan since stands above the reading before the job
        middle = low = high = float(held or 0.0)
    else:
        middle, low, high = before.current_a, before.low_a, before.high_a
    added = added_asleep_a(a)
    return Expected(
        middle + added, low + added * (1 - LOAD_SPREAD), high + added * (1 + LOAD_SPREAD)
    )


def _vehicle_step(
    key: str,
    title: Text,
    how: Text,
    what: Quantity,
    unit: str,
    state: State,
    expected: Expected | None,
) -> CheckStep:
    return CheckStep(key, title, how, what, unit, state, "vehicle", "", expected)


def _of_vehicle(vehicle: Vehicle, a: Assessment) -> Iterator[CheckStep]:
    yield _vehicle_step(
        "rest", say("Whole vehicle: rest current, asleep"),
        say("Lock, latch the bonnet, wait until it sleeps, nothing plugged in; then read."),
        "inline_current", "A", "asleep", rest_after(vehicle, a),
    )  # fmt: skip
    yield _vehicle_step(
        "lamps", say("Warning lamps"),
        say("Start the engine: are all warning lamps out that were out before the job?"),
        "no_lamps", "", "running", _yes(True),
    )  # fmt: skip
    yield _vehicle_step(
        "evening", say("Battery voltage in the evening"),
        say("An hour after the last drive, everything off."), "volts", "V", "awake", None,
    )  # fmt: skip
    yield _vehicle_step(
        "morning", say("Battery voltage next morning"),
        say("Before the vehicle is opened wide: at the battery, or at a permanent slot."),
        "volts", "V", "asleep", morning_v(vehicle, a),
    )  # fmt: skip


def morning_v(vehicle: Vehicle, a: Assessment) -> Expected | None:
    """The battery's voltage to expect after a night [V], from the evening's and what is drawn."""
    evening = None
    for reading in evidence.standing(vehicle.readings):
        if (reading.purpose, reading.target, reading.quantity, reading.state) == (
            "check", "vehicle", "volts", "awake",
        ):  # fmt: skip
            evening = reading
    rest = rest_after(vehicle, a)
    if evening is None or rest is None:
        return None
    wells = battery_model(vehicle.battery, vehicle.system_v).wells
    known = np.asarray(wells.emf_soc, dtype=float)
    start = float(np.interp(evening.value / wells.series, np.asarray(wells.emf_v), known))
    capacity = float(np.asarray(wells.scaled_ah))
    left = max(0.0, start - rest.typical * NIGHT_H / capacity)
    volts = min(evening.value, float(np.asarray(wells.ocv(left))))
    band = MORNING_BAND_V * vehicle.system_v / 12
    return Expected(volts, volts - band, max(volts, evening.value) + band)


class Tally(Struct, frozen=True):
    """How many steps agree, differ and are open."""

    agreeing: int
    differing: int
    left_open: int


def tally(found: tuple[CheckStep, ...]) -> Tally:
    """Count a check's steps."""
    verdicts = [step.verdict for step in found]
    return Tally(verdicts.count("agrees"), verdicts.count("differs"), verdicts.count("open"))
