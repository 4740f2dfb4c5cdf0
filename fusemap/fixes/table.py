"""Which fixes a finding may have: one row for each code of `fusemap.checks`.

The first maker's fixes are the plainest. What only somebody at the vehicle can do has words and no
edit.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any, Final

from msgspec.structs import replace

from fusemap.checks.amplifiers import takes_w
from fusemap.fixes.chain import (
    add_return_cable,
    adopt_proposal,
    bear_more_heat,
    change_joint,
    enter_cable,
    fit_fuse,
    fit_larger_fuse,
    fit_larger_relay,
    fit_larger_switch,
    fit_smaller_coil,
    fit_smaller_fuse,
    put_switch,
    set_timer,
    shorten_cable,
    thicken_cable,
)
from fusemap.fixes.feeds import (
    nearer_fuse,
    smaller_feed_fuse,
    spread_earths,
    thicken_feed,
)
from fusemap.fixes.fix import Case, Edit, Fix, Make, by_hand, find_drain, settle, take_reading
from fusemap.fixes.link import larger_link_fuse, smaller_link_fuses, thicken_link
from fusemap.fixes.outputs import enter_output, fuse_output, thicken_output
from fusemap.fixes.parked import (
    add_maintainer,
    hang_on_starter,
    lower_cut_off,
    lower_duty,
    move_cut_off,
    plan_shorter_stands,
    raise_cut_off,
    raise_reconnect,
    set_cut_offs,
    set_timers,
    stop_parked_work,
    switch_off_with_key,
    switch_sources,
)
from fusemap.fixes.sockets import (
    enter_the_lamps,
    part_in_the_trailer,
    switch_the_pin,
    unplug,
    use_the_right_pin,
)
from fusemap.fixes.source import (
    BEST,
    accessory_of,
    change_kind,
    give_own_feed,
    move,
    move_sense,
    place,
    place_sense,
    take_off,
    turn_round,
)
from fusemap.placement.candidates import candidates
from fusemap.placement.suggest import suggest_tap, with_sense
from fusemap.text import given, say
from fusemap.vehicle import Accessory, Vehicle, edits, look_up


def _all(*makes: Make) -> Make:
    """The fixes of several makers, one after the other."""

    def make(case: Case) -> Iterator[Fix]:
        for each in makes:
            yield from each(case)

    return make


def link_by_charger(case: Case) -> Iterator[Fix]:
    """A charger between the two batteries in place of a relay."""
    edit = partial(edits.change_second_battery, link="dcdc")
    yield Fix(say("Link the batteries by a DC-DC charger"), edit)


def change_converter_output(case: Case) -> Iterator[Fix]:
    """A converter whose output is what the accessory is made for."""
    it = accessory_of(case)
    above = look_up.accessory(case.vehicle, it.supplied_by) if it.supplied_by else None
    if above is None or above.converter is None:
        return
    wanted = max(it.rated_v, it.min_voltage_v or 0.0)
    other = replace(above.converter, output_v=wanted)
    edit = partial(edits.change_accessory, accessory_id=above.id, converter=other)
    title = say("Use a converter with an output of {voltage}", voltage=given(wanted, "V"))
    yield Fix(title, edit)


def change_converter(case: Case) -> Iterator[Fix]:
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
        title = say("Use a converter that gives {current} for good", current=given(size, "A"))
        yield Fix(title, edit)


CONVERTERS_A: Final = (3.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 40.0, 60.0)
"""Usual lasting outputs of converters [A]; from memory."""


def place_converter(case: Case) -> Iterator[Fix]:
    """A source for the converter an accessory hangs on in the end."""
    it = look_up.accessory(case.vehicle, case.place_id)
    while it.supplied_by is not None:
        it = look_up.accessory(case.vehicle, it.supplied_by)
    there = replace(case.finding, place="accessory", place_id=it.id)
    yield from place(Case(case.a, there))


def drive_relay(case: Case) -> Iterator[Fix]:
    """A sense lead for the relay's coil on the best switched slot."""
    it = accessory_of(case)
    sensed = with_sense(it)
    found = candidates(case.vehicle, case.a, sensed, "sense", relayed=True)
    for slot_id in [c.slot_id for c in found if c.fits][:BEST]:
        fields = suggest_tap(case.vehicle, case.a, sensed, "sense", slot_id, relayed=True)
        name = look_up.place_words(look_up.slot(case.vehicle, slot_id))
        yield Fix(say("Drive its coil from {slot}", slot=name), _sensed(sensed, slot_id, fields))


def _sensed(sensed: Accessory, slot_id: str, fields: dict[str, Any]) -> Edit:
    def edit(vehicle: Vehicle) -> Vehicle:
        if "sense" not in look_up.accessory(vehicle, sensed.id).leads:
            vehicle = edits.change_accessory(
                vehicle, sensed.id, leads=sensed.leads, sense_a=sensed.sense_a
            )
        return edits.place(vehicle, sensed.id, "sense", slot=slot_id, **fields)

    return edit


def read_class(case: Case) -> Iterator[Fix]:
    """Measure when a slot is live; one that was measured dead needs no further reading."""
    text = say("Measure when the slot is live: asleep, at accessory, with ignition on, locked.")
    dead = look_up.slot(case.vehicle, case.place_id).feed_class == "unfed"
    yield from (by_hand(text) if dead else take_reading(text))(case)


def forget_feed(case: Case) -> Iterator[Fix]:
    """A slot on a feed that is not known, in the place of one that it cannot hang on."""
    edit = partial(edits.change_slot, slot_id=case.place_id, feed=None)
    yield Fix(say("Say that its feed is not known"), edit)


def enter_what_it_takes(case: Case) -> Iterator[Fix]:
    """An amplifier's watts by its output."""
    it = accessory_of(case)
    watts = round(takes_w(it.output_w or 0.0, case.a.rule("amplifier_share")) + 0.05, 1)
    edit = partial(edits.change_accessory, accessory_id=it.id, watts=watts, amperes=None)
    yield Fix(say("Enter {watts} as what it takes", watts=given(watts, "W")), edit)


CABLE: Final = _all(
    adopt_proposal, thicken_cable, fit_smaller_fuse, shorten_cable, add_return_cable, bear_more_heat
)
LESS_ON_THE_ROAD: Final = by_hand(
    say("Enter the currents on the alternator’s label, or let less be at work at the same time.")
)
ANSWER: Final = by_hand(say("Look what the circuit feeds, and answer what it is."))
PARKED: Final = _all(
    set_cut_offs, switch_sources, set_timers, lower_duty, stop_parked_work, add_maintainer
)

FIXES: Final[dict[str, Make]] = {
    "module_tapped": _all(move, take_off),
    "host_overloaded": _all(turn_round, move, give_own_feed),
    "contact_overloaded": _all(move, give_own_feed),
    "feed_overloaded": _all(move, give_own_feed),
    "host_may_not_hold": _all(settle, turn_round, move, give_own_feed),
    "contact_may_not_hold": _all(settle, move, give_own_feed),
    "feed_may_not_hold": _all(settle, move, give_own_feed),
    "tap_may_not_hold": _all(settle, adopt_proposal),
    "feed_unfused_too_long": nearer_fuse,
    "feed_cable_may_not_hold": _all(settle, thicken_feed),
    "link_not_entered": by_hand(
        say("Look at the link between the batteries, and enter its cable and fuses.")
    ),
    "link_unfused": by_hand(say("Put a fuse into the link, close to each battery.")),
    "link_fuse_too_small": by_hand(say("Fit the fuse that the charger’s maker names.")),
    "link_blade_fuse": by_hand(say("Put a bolted fuse in its place.")),
    "link_fuse_overloaded": _all(
        larger_link_fuse, by_hand(say("Use a charger between the batteries that takes less."))
    ),
    "link_cable_too_hot": thicken_link,
    "link_cable_overload": _all(thicken_link, smaller_link_fuses),
    "link_cable_short": _all(thicken_link, smaller_link_fuses),
    "link_cable_far_end": _all(thicken_link, smaller_link_fuses),
    "link_may_not_hold": _all(settle, thicken_link, larger_link_fuse, link_by_charger),
    "link_joins_unlike": _all(
        link_by_charger, by_hand(say("Use a relay whose maker says it suits lithium."))
    ),
    "feed_cable_not_given": by_hand(say("Look which cable was laid, and enter it at the feed.")),
    "feed_fuse_missing": by_hand(
        say("Fit a fuse next to where the current is taken, and enter it at the feed.")
    ),
    "feed_cable_too_hot": thicken_feed,
    "feed_cable_overload": _all(thicken_feed, smaller_feed_fuse),
    "feed_cable_short": _all(thicken_feed, smaller_feed_fuse),
    "feed_cable_far_end": _all(thicken_feed, smaller_feed_fuse),
    "earth_past_sensor": by_hand(say("Move the eyelet to an earth bolt of the body.")),
    "earth_sensor_unknown": by_hand(
        say("Look at the minus clamp, and say at the earth point whether a sensor sits there.")
    ),
    "earth_crowded": spread_earths,
    "earth_not_counted": by_hand(say("Count the eyelets that sit there, and enter them.")),
    "earth_drop_high": _all(
        spread_earths, by_hand(say("Clean the point to bare metal, and measure it again."))
    ),
    "earth_shared_badly": spread_earths,
    "socket_overloaded": _all(unplug, give_own_feed),
    "trailer_core_too_hot": by_hand(say("Have a thicker core laid in the trailer, and enter it.")),
    "trailer_core_unprotected": _all(
        fit_smaller_fuse, by_hand(say("Have a thicker core laid in the trailer, and enter it."))
    ),
    "in_diagnosis_socket": unplug,
    "wrong_pin": _all(use_the_right_pin, unplug),
    "pin_live_parked": switch_the_pin,
    "pin_dead_parked": give_own_feed,
    "trailer_draws_parked": by_hand(say("Uncouple the trailer before it is left standing.")),
    "returns_joined": part_in_the_trailer,
    "returns_not_looked_at": by_hand(say("Measure at the trailer’s plug, and say it here.")),
    "tail_lamps_joined": part_in_the_trailer,
    "lamp_pin_overloaded": by_hand(
        say("Fit lamps that take less, or switch them by a relay in the trailer.")
    ),
    "module_light": enter_the_lamps,
    "lamps_without_module": by_hand(say("Fit a module, and name it at the socket.")),
    "unseen_feed_heavy": by_hand(
        say("Find out what supplies these slots, and enter it as a feed with its fuse.")
    ),
    "critical_tapped": _all(move, give_own_feed, take_off),
    "looks_critical": _all(
        move,
        give_own_feed,
        take_off,
        by_hand(say("Look what the circuit really feeds, and write it at the slot.")),
    ),
    "monitored_tapped": _all(move, give_own_feed),
    "looks_monitored": _all(
        move,
        give_own_feed,
        by_hand(say("Find out whether the vehicle watches it, and answer at the slot.")),
    ),
    "control_tapped": _all(move, give_own_feed, ANSWER),
    "supply_tapped": _all(move, give_own_feed, ANSWER),
    "unclear_tapped": _all(ANSWER, move, give_own_feed),
    "fuse_opened_before": _all(
        by_hand(say("Look at the old fuse and along the wire, and mend what you find.")), move
    ),
    "host_fuse_missing": _all(by_hand(say("Look which fuse is in the slot and enter it.")), move),
    "class_unknown": _all(read_class, move),
    "live_side_unknown": _all(
        take_reading(say("Pull the fuse, measure both contacts, and mark the live one.")), move
    ),
    "own_load_unknown": take_reading(
        say("Measure the millivolts across the host fuse in these states.")
    ),
    "switched_from_battery": forget_feed,
    "feed_unknown": _all(
        by_hand(
            say(
                "Switch on what is tapped here and see across which feed’s fuse the millivolts "
                "rise; then choose the feed at the slot."
            )
        ),
        take_reading(say("Measure when the slot is live: what is switched hangs on a relay.")),
    ),
    "feed_without_limit": by_hand(
        say("Look what guards or switches it, and enter its fuse or what it may carry.")
    ),
    "readings_contradict": take_reading(
        say("Read the slot again, and withdraw the reading that is wrong.")
    ),
    "somebody_elses_word": _all(take_reading(say("Probe the slot at this vehicle.")), move),
    "found_fitted": by_hand(say("Trace its cable from end to end; then keep it or remove it.")),
    "tap_does_not_fit": _all(move, give_own_feed, change_kind),
    "seat_taken": _all(move, give_own_feed, take_off),
    "tap_overloaded": _all(
        give_own_feed, by_hand(say("Enter what is printed on the tap, if it carries more."))
    ),
    "reversed_tap": turn_round,
    "fuse_missing": fit_fuse,
    "fuse_overloaded": _all(adopt_proposal, fit_larger_fuse, give_own_feed, move),
    "lasting_load": _all(adopt_proposal, fit_larger_fuse, give_own_feed),
    "fuse_above_host": _all(fit_smaller_fuse, move, give_own_feed),
    "fuse_above_device": _all(fit_smaller_fuse, take_off),
    "fuse_far_above_load": _all(
        fit_smaller_fuse,
        by_hand(say("Look up the largest fuse the device’s maker allows, and enter it.")),
    ),
    "inrush": _all(
        adopt_proposal,
        fit_larger_fuse,
        give_own_feed,
        by_hand(say("Fit a soft start, where it is a motor and one is made for it.")),
    ),
    "amplifier_takes_more": enter_what_it_takes,
    "drains_on_the_road": LESS_ON_THE_ROAD,
    "may_drain_on_the_road": LESS_ON_THE_ROAD,
    "drains_at_idle": by_hand(say("Let the engine turn faster meanwhile, or less be at work.")),
    "run_takes_of_battery": by_hand(say("Let the engine run meanwhile, and for a while after.")),
    "heavy_without_relay": give_own_feed,
    "relay_overloaded": fit_larger_relay,
    "relay_contact_light": fit_larger_relay,
    "switch_overloaded": _all(fit_larger_switch, give_own_feed),
    "coil_without_switch": put_switch,
    "driving_lamp_alone": put_switch,
    "timer_not_set": set_timer,
    "switch_may_be_left_on": _all(
        move_sense, by_hand(say("Switch it off by hand before the vehicle is left."))
    ),
    "relay_undriven": drive_relay,
    "sense_overloaded": fit_smaller_coil,
    "sense_circuit_overloaded": _all(move, fit_smaller_coil),
    "sense_always_live": move_sense,
    "relay_stays_on": move_sense,
    "cable_not_given": enter_cable,
    "cable_too_thin_to_last": thicken_cable,
    "cable_back_too_thin_to_last": thicken_cable,
    "cable_too_hot_out": _all(thicken_cable, bear_more_heat),
    "cable_too_hot_back": _all(thicken_cable, bear_more_heat),
    "cable_overload_gap": CABLE,
    "cable_short": CABLE,
    "cable_far_end": CABLE,
    "cable_drop": _all(adopt_proposal, thicken_cable, shorten_cable, add_return_cable),
    "low_voltage": _all(
        adopt_proposal, thicken_cable, shorten_cable, add_return_cable, give_own_feed
    ),
    "voltage_collapse": _all(thicken_cable, shorten_cable, give_own_feed),
    "wrong_voltage": by_hand(
        say("Hang it behind a converter made for both voltages, or choose another.")
    ),
    "dead_while_parked": _all(move, give_own_feed),
    "drains_while_parked": _all(move, give_own_feed),
    "key_off_load": switch_off_with_key,
    "sense_not_placed": place_sense,
    "not_placed": place,
    "joint_unsuitable": change_joint,
    "earth_unnamed": by_hand(say("Choose an existing earth bolt on bare metal, and name it.")),
    "converter_overloaded": change_converter,
    "converter_rating_unknown": by_hand(
        say("Enter the lasting current on its label, not the peak.")
    ),
    "converter_wrong_output": change_converter_output,
    "converter_output_low": change_converter_output,
    "converter_not_placed": place_converter,
    "converter_off_while_parked": by_hand(say("Use a converter that works all the time.")),
    "converter_drains_while_parked": by_hand(say("Put the converter on a slot that is switched.")),
    "converter_unused": by_hand(say("Hang what it is meant for on it, or leave it out.")),
    "output_cable_too_hot": thicken_output,
    "output_cable_unprotected": _all(fuse_output, thicken_output),
    "output_fuse_overloaded": fuse_output,
    "output_may_not_hold": _all(settle, thicken_output, fuse_output),
    "output_drop": _all(
        thicken_output, by_hand(say("Put the converter nearer to what hangs on it."))
    ),
    "output_cable_not_given": _all(
        enter_output, by_hand(say("Look which cable was laid, and enter it at the accessory."))
    ),
    "cut_off_behind_converter": move_cut_off,
    "does_not_start_now": by_hand(
        say("Charge the battery, and measure its rest voltage after a night.")
    ),
    "never_starts": by_hand(
        say("Fit a battery with more cold cranking current, or keep it warm and charged.")
    ),
    "rest_voltage_unlikely": by_hand(
        say(
            "Measure the rest voltage of the whole battery again, or correct the vehicle’s voltage."
        )
    ),
    "crank_reading_low": by_hand(
        say(
            "Measure the drop from the battery’s posts to the starter while it turns, and have the "
            "battery tested."
        )
    ),
    "not_charged_below_zero": by_hand(
        say("Charge it above freezing only, or fit one that heats itself.")
    ),
    "left_half_charged": _all(PARKED, plan_shorter_stands),
    "stands_too_short": _all(PARKED, plan_shorter_stands, find_drain),
    "stands_perhaps_too_short": _all(PARKED, find_drain),
    "deep_discharge": _all(PARKED, plan_shorter_stands),
    "driving_puts_too_little_back": PARKED,
    "second_battery_at_a_slot": _all(take_off, hang_on_starter),
    "cut_off_too_low": raise_cut_off,
    "cut_off_too_high": lower_cut_off,
    "cut_off_chatters": raise_reconnect,
    "rest_current_high": find_drain,
    "ice": by_hand(say("Keep the battery charged, or take it indoors.")),
}
"""Makers of fixes by the finding's code."""
