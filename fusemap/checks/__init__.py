"""What is wrong with a plan, and what is worth knowing: (vehicle, assessment) → findings.

`CHECKS` is the whole list. A check is a small function that yields findings; it computes nothing of
its own but differences, and takes every threshold from the vehicle's named rules.
"""

from collections.abc import Callable, Iterator

from fusemap.assess import Assessment
from fusemap.checks import (
    amplifiers,
    circuits,
    converters,
    earths,
    feeds,
    outputs,
    parked,
    places,
    readings,
    relays,
    shorts,
    slots,
    sockets,
    sources,
    starts,
    taps,
    unsure,
)
from fusemap.checks.finding import SEVERITIES, Finding, PlaceKind, Severity
from fusemap.checks.verdict_words import verdict_words
from fusemap.checks.whole import whole_verdict
from fusemap.vehicle import Vehicle

__all__ = [
    "CHECKS",
    "SEVERITIES",
    "Finding",
    "PlaceKind",
    "Severity",
    "findings",
    "verdict_words",
    "whole_verdict",
]

CHECKS: tuple[Callable[[Vehicle, Assessment], Iterator[Finding]], ...] = (
    # what may burn, or leaves a fault without a fuse
    taps.dangers,
    taps.fuse_missing,
    taps.fuse_above_host,
    taps.fuse_above_device,
    slots.module_tapped,
    slots.contact_overloaded,
    slots.host_overloaded,
    slots.feed_overloaded,
    feeds.cable_dangers,
    feeds.cable_not_given,
    earths.at_the_sensor,
    sources.link,
    sources.link_passed,
    sockets.pin_of_another_use,
    sockets.lamp_pins,
    taps.reversed_tap,
    relays.contact_too_light,
    relays.sense_circuit_overloaded,
    converters.overloaded,
    outputs.lead_dangers,
    places.wrong_voltage,
    converters.wrong_output,
    parked.second_battery_at_a_slot,
    unsure.may_not_hold,
    feeds.cable_may_not_hold,
    outputs.lead_may_not_hold,
    sources.link_may_not_hold,
    unsure.unseen_feed_heavy,
    # what disturbs a circuit that people rely on
    circuits.critical_tapped,
    circuits.looks_critical,
    # what keeps the vehicle from starting
    starts.never_starts,
    parked.stands_too_short,
    starts.rest_voltage_unlikely,
    starts.crank_reading_low,
    starts.not_charged_below_zero,
    parked.deep_discharge,
    parked.driving_puts_too_little_back,
    parked.cut_off_too_low,
    parked.cut_off_too_high,
    parked.cut_off_chatters,
    parked.rest_current_high,
    parked.ice,
    starts.left_half_charged,
    converters.blind_cut_off,
    places.drains_while_parked,
    places.key_off_load,
    converters.draws_behind,
    sockets.pin_of_another_feed,
    sockets.in_the_diagnosis_socket,
    relays.coil_drains,
    relays.sense_always_live,
    # what cannot work, or not as it should
    earths.drop_too_high,
    earths.shared_with_sensitive,
    earths.too_many_eyelets,
    sockets.returns_joined,
    sockets.lamps_joined,
    sockets.module_of_lamps,
    taps.tap_does_not_fit,
    taps.seat_taken,
    taps.collapse,
    amplifiers.takes_more,
    taps.nuisances,
    shorts.drains_on_the_road,
    taps.fuse_far_above_load,
    taps.heavy_without_relay,
    relays.undriven,
    relays.coil_without_switch,
    relays.driving_lamp_alone,
    relays.timer_not_set,
    places.dead_while_parked,
    places.sense_not_placed,
    places.joint_unsuitable,
    converters.too_low_an_output,
    outputs.lead_nuisances,
    converters.not_supplied,
    converters.dead_behind,
    circuits.monitored_tapped,
    circuits.control_tapped,
    circuits.unclear_tapped,
    circuits.looks_monitored,
    # what was not read, entered or decided
    slots.switched_from_battery,
    slots.fuse_opened_before,
    slots.class_unknown,
    slots.live_side_unknown,
    slots.host_fuse_missing,
    readings.readings_contradict,
    readings.somebody_elses_word,
    slots.own_load_unknown,
    slots.feed_unknown,
    slots.feed_without_limit,
    taps.not_given,
    outputs.lead_not_given,
    converters.rating_unknown,
    places.not_placed,
    places.earth_unnamed,
    converters.unused,
    relays.may_be_left_on,
    sockets.trailer_draws_parked,
    shorts.takes_of_the_battery,
    readings.found_fitted,
)
"""Every check, what follows from its findings the graver the further up: of two findings of one
severity the graver is told first."""


def findings(vehicle: Vehicle, assessment: Assessment) -> tuple[Finding, ...]:
    """All findings, worst first and otherwise in the order of `CHECKS`."""
    found = [finding for check in CHECKS for finding in check(vehicle, assessment)]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))
