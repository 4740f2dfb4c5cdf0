"""What is wrong with a plan, and what is worth knowing: (vehicle, assessment) → findings.

`CHECKS` is the whole list. A check is a small function that yields findings; it computes nothing of
its own but differences, and takes every threshold from the vehicle's named rules.
"""

from collections.abc import Callable, Iterator

from fusemap.assess import Assessment
from fusemap.checks import cables, converters, hops, parked, places, readings, relays, slots, taps
from fusemap.checks.finding import SEVERITIES, Finding, PlaceKind, Severity
from fusemap.vehicle import Vehicle

__all__ = ["CHECKS", "SEVERITIES", "Finding", "PlaceKind", "Severity", "findings"]

CHECKS: tuple[Callable[[Vehicle, Assessment], Iterator[Finding]], ...] = (
    slots.host_overloaded,
    slots.contact_overloaded,
    slots.feed_overloaded,
    slots.critical_tapped,
    slots.looks_critical,
    slots.monitored_tapped,
    slots.looks_monitored,
    slots.host_fuse_missing,
    slots.class_unknown,
    slots.live_side_unknown,
    slots.own_load_unknown,
    taps.tap_does_not_fit,
    taps.seat_taken,
    taps.reversed_tap,
    taps.fuse_missing,
    taps.fuse_above_host,
    taps.fuse_above_device,
    taps.fuse_far_above_load,
    taps.heavy_without_relay,
    relays.contact_too_light,
    relays.undriven,
    relays.sense_circuit_overloaded,
    relays.sense_always_live,
    relays.coil_drains,
    hops.limits_passed,
    cables.not_given,
    cables.collapse,
    places.wrong_voltage,
    places.dead_while_parked,
    places.drains_while_parked,
    places.key_off_load,
    places.sense_not_placed,
    places.not_placed,
    places.joint_unsuitable,
    places.earth_unnamed,
    converters.overloaded,
    converters.rating_unknown,
    converters.unused,
    converters.wrong_output,
    converters.too_low_an_output,
    converters.not_supplied,
    converters.dead_behind,
    converters.draws_behind,
    converters.blind_cut_off,
    readings.readings_contradict,
    readings.somebody_elses_word,
    readings.found_fitted,
    parked.stands_too_short,
    parked.cut_off_too_low,
    parked.cut_off_too_high,
    parked.cut_off_chatters,
    parked.rest_current_high,
    parked.ice,
    parked.deep_discharge,
    parked.driving_puts_too_little_back,
    parked.second_battery_at_a_slot,
)


def findings(vehicle: Vehicle, assessment: Assessment) -> tuple[Finding, ...]:
    """All findings, worst first and otherwise in the order of `CHECKS`."""
    found = [finding for check in CHECKS for finding in check(vehicle, assessment)]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))
