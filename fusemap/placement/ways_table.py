"""Which ways lead out of which finding: one row for each code of `fusemap.checks`.

The first maker's ways are the plainest. What only somebody beside the car can do has words and no
edit.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace as with_fields
from functools import partial
from typing import Any, Final

from msgspec.structs import replace

from fusemap.placement.candidates import candidates
from fusemap.placement.relay_plan import with_sense
from fusemap.placement.suggest import suggest_tap
from fusemap.placement.ways_chain import (
    adopt,
    cooler,
    enter_cable,
    fit_fuse,
    larger_fuse,
    larger_relay,
    other_joint,
    return_by_cable,
    shorter,
    smaller_coil,
    smaller_fuse,
    thicker,
)
from fusemap.placement.ways_out import Case, Edit, WayOut
from fusemap.placement.ways_parked import (
    beside,
    cut_off_at_converter,
    cut_offs,
    lower_duty,
    maintainer,
    measure,
    no_parked_work,
    on_starter,
    raise_cut_off,
    raise_reconnect,
    stand_less,
    switched,
    timers,
)
from fusemap.placement.ways_source import (
    BEST,
    accessory_of,
    move,
    move_sense,
    other_kind,
    own_feed,
    place,
    place_sense,
    take_off,
    turn_round,
)
from fusemap.vehicle import Accessory, Vehicle, edits, look_up

Make = Callable[[Case], Iterator[WayOut]]


def _all(*makes: Make) -> Make:
    """The ways of several makers, one after the other."""

    def make(case: Case) -> Iterator[WayOut]:
        for each in makes:
            yield from each(case)

    return make


def converter_output(case: Case) -> Iterator[WayOut]:
    """A converter whose output is what the accessory is made for."""
    it = accessory_of(case)
    above = look_up.accessory(case.vehicle, it.supplied_by) if it.supplied_by else None
    if above is None or above.converter is None:
        return
    wanted = max(it.rated_v, it.min_voltage_v or 0.0)
    other = replace(above.converter, output_v=wanted)
    edit = partial(edits.change_accessory, accessory_id=above.id, converter=other)
    yield WayOut(f"Use a converter with an output of {wanted:g} V", edit)


def converter_rating(case: Case) -> Iterator[WayOut]:
    """A converter that is large enough for all that hangs on it."""
    it = look_up.accessory(case.vehicle, case.place_id)
    output = case.a.circuit.taps.behind.output(it.id)
    if it.converter is None or output is None:
        return
    peak = float(output.current_a.max())
    size = next((s for s in CONVERTERS_A if s >= peak), None)
    if size is not None:
        other = replace(it.converter, rating_a=size)
        edit = partial(edits.change_accessory, accessory_id=it.id, converter=other)
        yield WayOut(f"Use a converter that gives {size:g} A for good", edit)


CONVERTERS_A: Final = (3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0)
"""Usual lasting outputs of converters [A]; from memory."""


def place_converter(case: Case) -> Iterator[WayOut]:
    """A source for the converter an accessory hangs on in the end."""
    it = look_up.accessory(case.vehicle, case.place_id)
    while it.supplied_by is not None:
        it = look_up.accessory(case.vehicle, it.supplied_by)
    there = with_fields(case.finding, place="accessory", place_id=it.id)
    yield from place(Case(case.a, there))


def drive_relay(case: Case) -> Iterator[WayOut]:
    """A sense lead for the relay's coil on the best switched slot."""
    it = accessory_of(case)
    sensed = with_sense(it)
    found = candidates(case.vehicle, case.a, sensed, "sense", relayed=True)
    for slot_id in [c.slot_id for c in found if c.fits][:BEST]:
        fields = suggest_tap(case.vehicle, case.a, sensed, "sense", slot_id, relayed=True)
        name = look_up.slot_name(look_up.slot(case.vehicle, slot_id))
        yield WayOut(f"Drive its coil from {name}", _sensed(sensed, slot_id, fields))


def _sensed(sensed: Accessory, slot_id: str, fields: dict[str, Any]) -> Edit:
    def edit(vehicle: Vehicle) -> Vehicle:
        if "sense" not in look_up.accessory(vehicle, sensed.id).leads:
            vehicle = edits.change_accessory(
                vehicle, sensed.id, leads=sensed.leads, sense_a=sensed.sense_a
            )
        return edits.place(vehicle, sensed.id, "sense", slot=slot_id, **fields)

    return edit


def measure_class(case: Case) -> Iterator[WayOut]:
    """Measure when a slot is live; one that was measured dead needs no further reading."""
    text = "Measure when the slot is live: asleep, at accessory, with ignition on, locked."
    dead = look_up.slot(case.vehicle, case.place_id).feed_class == "unfed"
    yield from (beside(text) if dead else measure(text))(case)


CABLE: Final = _all(adopt, thicker, smaller_fuse, shorter, return_by_cable, cooler)
PARKED: Final = _all(cut_offs, switched, timers, lower_duty, no_parked_work, maintainer)

WAYS: Final[dict[str, Make]] = {
    "host_overloaded": _all(turn_round, move, own_feed),
    "contact_overloaded": _all(move, own_feed),
    "feed_overloaded": _all(move, own_feed),
    "critical_tapped": _all(move, own_feed, take_off),
    "looks_critical": _all(
        move,
        own_feed,
        take_off,
        beside("Look what the circuit really feeds, and write it at the slot."),
    ),
    "monitored_tapped": _all(move, own_feed),
    "looks_monitored": _all(
        move, own_feed, beside("Find out whether the vehicle watches it, and answer at the slot.")
    ),
    "host_fuse_missing": _all(beside("Look which fuse is in the slot and enter it."), move),
    "class_unknown": _all(measure_class, move),
    "live_side_unknown": _all(
        measure("Pull the fuse, measure both contacts, and mark the live one."), move
    ),
    "own_load_unknown": measure("Measure the millivolts across the host fuse in these states."),
    "readings_contradict": measure("Read the slot again, and withdraw the reading that is wrong."),
    "somebody_elses_word": _all(measure("Probe the slot at this vehicle."), move),
    "found_fitted": beside("Trace its cable from end to end; then keep it or remove it."),
    "tap_does_not_fit": _all(move, own_feed, other_kind),
    "seat_taken": _all(move, own_feed, take_off),
    "tap_overloaded": _all(
        own_feed, beside("Enter what is printed on the tap, if it carries more.")
    ),
    "reversed_tap": turn_round,
    "fuse_missing": fit_fuse,
    "fuse_overloaded": _all(adopt, larger_fuse, own_feed, move),
    "fuse_above_host": _all(smaller_fuse, move, own_feed),
    "fuse_above_device": _all(smaller_fuse, take_off),
    "fuse_far_above_load": _all(
        smaller_fuse,
        beside("Look up the largest fuse the device’s maker allows, and enter it."),
    ),
    "inrush": _all(
        adopt,
        larger_fuse,
        own_feed,
        beside("Fit a soft start, where it is a motor and one is made for it."),
    ),
    "heavy_without_relay": own_feed,
    "relay_overloaded": larger_relay,
    "relay_contact_light": larger_relay,
    "relay_undriven": drive_relay,
    "sense_overloaded": smaller_coil,
    "sense_circuit_overloaded": _all(move, smaller_coil),
    "sense_always_live": move_sense,
    "relay_stays_on": move_sense,
    "cable_not_given": enter_cable,
    "cable_too_thin_to_last": thicker,
    "cable_too_hot_out": _all(thicker, cooler),
    "cable_too_hot_back": _all(thicker, cooler),
    "cable_overload_gap": CABLE,
    "cable_short": CABLE,
    "cable_far_end": CABLE,
    "cable_drop": _all(adopt, thicker, shorter, return_by_cable),
    "low_voltage": _all(adopt, thicker, shorter, return_by_cable, own_feed),
    "voltage_collapse": _all(thicker, shorter, own_feed),
    "wrong_voltage": beside(
        "Hang it behind a converter made for both voltages, or choose another."
    ),
    "dead_while_parked": _all(move, own_feed),
    "drains_while_parked": _all(move, own_feed),
    "sense_not_placed": place_sense,
    "not_placed": place,
    "joint_unsuitable": other_joint,
    "earth_unnamed": beside("Choose an existing earth bolt on bare metal, and name it."),
    "converter_overloaded": converter_rating,
    "converter_rating_unknown": beside("Enter the lasting current on its label, not the peak."),
    "converter_wrong_output": converter_output,
    "converter_output_low": converter_output,
    "converter_not_placed": place_converter,
    "converter_off_while_parked": beside("Use a converter that works all the time."),
    "converter_drains_while_parked": beside("Put the converter on a slot that is switched."),
    "converter_unused": beside("Hang what it is meant for on it, or leave it out."),
    "cut_off_behind_converter": cut_off_at_converter,
    "does_not_start_now": beside("Charge the battery, and measure its rest voltage after a night."),
    "stands_too_short": _all(PARKED, stand_less),
    "deep_discharge": _all(PARKED, stand_less),
    "driving_puts_too_little_back": PARKED,
    "second_battery_at_a_slot": _all(take_off, on_starter),
    "cut_off_too_low": raise_cut_off,
    "cut_off_chatters": raise_reconnect,
    "rest_current_high": beside(
        "Wait until the vehicle sleeps, measure again, then look for the circuit across each fuse."
    ),
    "ice": beside("Keep the battery charged, or take it indoors."),
}
"""Makers of ways by the finding's code."""
