"""Checks at the taps: does it fit, is it fused and the right way round, does its chain hold.

What passing a limit of the chain means is said where the limit is, in `assess.hops`; this adds the
place and the sum. A limit of a whole slot or converter is told once, by their own checks.
"""

from collections.abc import Iterator

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment, Hop
from fusemap.assess.hops import HOPS
from fusemap.assess.words import KIRCHHOFF, cable_words, fuse_words
from fusemap.checks.finding import PRACTICE, Finding, amperes, slot_finding, tap_finding, with_lead
from fusemap.text import Amount, Text, given, in_row, many, run_on, say
from fusemap.vehicle import SEATED, STATES, Accessory, Fuse, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.words import STATE, TAP

SMALL_FUSE_A = 5.0
"""Fuses up to this rating [A] are usual in front of small devices; from memory."""


def tap_does_not_fit(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A two-fuse tap in a family for which there is none."""
    for tap in vehicle.taps:
        if tap.slot is None or tap.kind != "two_fuse":
            continue
        slot = look_up.slot(vehicle, tap.slot)
        family = tables.fuse_family(slot.family)
        name = Text(family.name)
        if not family.has_two_fuse_tap:
            yield tap_finding(
                a,
                tap,
                code="tap_does_not_fit",
                severity="stop",
                what=say("No two-fuse tap for the {family} family is listed.", family=name),
                sum=say("slot family: {family}", family=name),
                rule=say("the tap has to fit the slot"),
                source=family.source.text,
                remedy=say(
                    "Use another slot, a fuse with take-off lead where one exists, or an own feed."
                ),
            )


def seat_taken(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More than one fuse tap in one slot: there is a single pair of contacts to push into."""
    for slot in look_up.slots(vehicle):
        there = [tap for tap in look_up.taps_on(vehicle, slot.id) if tap.kind in SEATED]
        if len(there) > 1:
            names = in_row(
                with_lead(look_up.accessory(vehicle, tap.accessory).name, tap.lead) for tap in there
            )
            yield slot_finding(
                slot,
                code="seat_taken",
                severity="stop",
                what=say("Several taps are to sit in one slot, and there is room for one."),
                sum=many("{n} tap: {names}", "{n} taps: {names}", len(there), names=names),
                rule=say("a slot takes one fuse tap"),
                source=PRACTICE,
                remedy=say("Move all but one to other slots, or give a heavier one an own feed."),
            )


def reversed_tap(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on the load side, where the host fuse carries the accessory too."""
    for column, tap in enumerate(vehicle.taps):
        turnable = tap.kind in SEATED
        if not turnable or tap.way_round != "load_side" or tap.slot is None:
            continue
        at = a.slots.index[tap.slot]
        row = int(a.slots.host_a[:, at].argmax())
        yield tap_finding(
            a,
            tap,
            code="reversed_tap",
            severity="caution",
            what=say(
                "{tap} on the load side: the host fuse carries the accessory too, and when it opens"
                " the vehicle's own circuit is dead.",
                tap=TAP[tap.kind],
            ),
            sum=say(
                "host fuse {sum}, of which the accessory {part}",
                sum=amperes(float(a.slots.host_a[row, at])),
                part=amperes(float(a.taps.current_a[row, column])),
            ),
            rule=say("the common blade belongs on the live side"),
            source=KIRCHHOFF,
            remedy=say(
                "Turn the tap round. Proof: pull the host fuse; the accessory must stay on."
            ),
        )


def fuse_missing(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead without a fuse of its own."""
    for column, tap in enumerate(vehicle.taps):
        if tap.fuse is not None:
            continue
        guard = a.circuit.cables.protecting[column]
        if tap.lead == "sense" and guard is not None:
            continue
        if guard is not None and fused_for_it(vehicle, tap):
            continue
        bare = guard is None
        yield tap_finding(
            a,
            tap,
            code="fuse_missing",
            severity="stop" if bare else "caution",
            what=say("Nothing protects this cable: there is no accessory fuse.")
            if bare
            else say(
                "The accessory has no fuse of its own; only the host fuse protects its cable."
            ),
            sum=say("no fuse between the source and the cable")
            if guard is None
            else say("protected by the host fuse, {fuse}, alone", fuse=fuse_words(guard)),
            rule=say("every cable has a fuse at its source that its section can bear"),
            source=PRACTICE,
            remedy=say("Fit a fuse at the source, sized for the cable and the load."),
        )


def fused_for_it(vehicle: Vehicle, tap: Tap) -> bool:
    """Whether the slot's own fuse is there for this accessory: nothing else hangs behind it."""
    if tap.slot is None or tap.kind != "terminal":
        return False
    alone = len(look_up.taps_on(vehicle, tap.slot)) == 1
    own = look_up.slot(vehicle, tap.slot).own_load
    return alone and all(getattr(own, state) == 0 for state in STATES)


def fuse_above_host(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory fuse with a higher rating than the host fuse."""
    for tap in vehicle.taps:
        if tap.slot is None or tap.fuse is None or tap.lead != "power":
            continue
        slot = look_up.slot(vehicle, tap.slot)
        if slot.fuse is None or tap.fuse.rating <= slot.fuse.rating:
            continue
        if _beside(slot, tap):
            continue
        yield tap_finding(
            a,
            tap,
            code="fuse_above_host",
            severity="caution",
            what=say("The accessory fuse is larger than the host fuse."),
            sum=say(
                "{fuse} > {host}",
                fuse=given(tap.fuse.rating, "A"),
                host=given(slot.fuse.rating, "A"),
            ),
            rule=say("the accessory fuse is not above the host fuse"),
            source=PRACTICE,
            remedy=say("Choose a smaller accessory fuse or a slot with a larger host fuse."),
        )


def _beside(slot: Slot, tap: Tap) -> bool:
    """Whether a tap's fuse sits beside the host fuse, and the contact is known to bear both.

    On the live side neither sees the other's current: its rating is held against the contact.
    """
    known = tap.kind in SEATED and tap.way_round == "live_side" and slot.live_side != "unknown"
    limit = slot.contact_limit_a
    if not known or limit is None or slot.fuse is None or tap.fuse is None:
        return False
    return slot.fuse.rating + tap.fuse.rating <= limit * (1 + 1e-9)


def fuse_above_device(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory fuse larger than the device's maker allows."""
    for tap, fuse, accessory in _fused_power(vehicle):
        largest = accessory.largest_fuse_a
        if largest is not None and fuse.rating > largest * (1 + 1e-9):
            yield tap_finding(
                a,
                tap,
                code="fuse_above_device",
                severity="stop",
                what=say(
                    "The accessory fuse is larger than the device allows; its own lead is not "
                    "protected."
                ),
                sum=say(
                    "{fuse} > {largest}", fuse=given(fuse.rating, "A"), largest=given(largest, "A")
                ),
                rule=say("the accessory fuse is not above the largest the device's maker allows"),
                source=say("as entered for this accessory"),
                remedy=say("Fit a fuse of that rating or less."),
            )


def fuse_far_above_load(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A fuse many times the load, while nobody said what the device's own lead bears."""
    times = a.rule("fuse_times_load")
    for tap, fuse, accessory in _fused_power(vehicle):
        peak = float(a.taps.current_a[:, a.taps.index[tap.id]].max())
        small = fuse.rating <= SMALL_FUSE_A or peak <= 0
        if accessory.largest_fuse_a is not None or small or fuse.rating <= times * peak:
            continue
        yield tap_finding(
            a,
            tap,
            code="fuse_far_above_load",
            severity="note",
            what=say(
                "The accessory fuse is many times the load; whether it protects the device's own "
                "thin lead is not known."
            ),
            sum=say(
                "{fuse} > {times} × {load}",
                fuse=given(fuse.rating, "A"),
                times=times,
                load=amperes(peak),
            ),
            rule=a.rules["fuse_times_load"].label,
            source=a.rules["fuse_times_load"].source,
            remedy=say(
                "Look up the largest fuse the device's maker allows and enter it at the accessory, "
                "or fit a smaller one."
            ),
        )


def _fused_power(vehicle: Vehicle) -> Iterator[tuple[Tap, Fuse, Accessory]]:
    """Every power lead that has a fuse of its own."""
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.fuse is not None:
            yield tap, tap.fuse, look_up.accessory(vehicle, tap.accessory)


def heavy_without_relay(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A large load on a tap where a relay with an own feed belongs."""
    limit = a.rule("relay_threshold_a")
    for column, tap in enumerate(vehicle.taps):
        if tap.slot is None or tap.lead != "power":
            continue
        if look_up.panel_of(vehicle, tap.slot).kind == "block":
            continue  # each way of a block is a fused feed
        peak = float(a.taps.current_a[:, column].max())
        if peak > limit:
            yield tap_finding(
                a,
                tap,
                code="heavy_without_relay",
                severity="caution",
                what=say(
                    "This load is too heavy for a fuse slot; it belongs on a relay with its own "
                    "fused feed."
                ),
                sum=say("{load} > {limit}", load=amperes(peak), limit=amperes(limit)),
                rule=a.rules["relay_threshold_a"].label,
                source=a.rules["relay_threshold_a"].source,
                remedy=say(
                    "Make it an own feed from the battery with a relay, and put the relay's coil on"
                    " a switched slot."
                ),
            )


def not_given(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead whose cable is not entered."""
    for tap in vehicle.taps:
        if tap.cable_out is None and tap.lead == "power":
            yield tap_finding(
                a,
                tap,
                code="cable_not_given",
                severity="note",
                what=say(
                    "No cable is entered, so heat, voltage drop and short circuit are not checked "
                    "here."
                ),
                sum=say("section and length unknown"),
                rule=say("every cable is checked against its fuse and its load"),
                source=say("IEC 60364-4-43 for the short circuit; the rules named in the chain"),
                remedy=say("Enter section and length of the cable out."),
            )


def collapse(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A constant-power load that its supply cannot give that power."""
    for column in np.flatnonzero(a.taps.collapsed.any(axis=0)):
        tap = a.circuit.taps.taps[column]
        row = int(a.taps.collapsed[:, column].argmax())
        cable = tap.cable_out
        yield tap_finding(
            a,
            tap,
            code="voltage_collapse",
            severity="stop",
            what=say("The supply cannot give this much power: the voltage collapses."),
            sum=say(
                "{accessory}, {cable}: at most E²/4R is possible, {voltage} left ({state})",
                accessory=look_up.accessory(vehicle, tap.accessory).name,
                cable=say("no cable given") if cable is None else cable_words(cable),
                voltage=Amount(float(a.taps.voltage_v[row, column]), "V"),
                state=STATE[STATES[row]].label,
            ),
            rule=say("a source of E volts behind R ohms gives at most E²/4R watts"),
            source=say("maximum power transfer (Ohm's law)"),
            remedy=say(
                "Use a much thicker or shorter cable, or supply it from nearer the battery."
            ),
        )


def dangers(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every tap that passes a limit beyond which something may burn or fail."""
    return _limits_passed(a, dangerous=True)


def nuisances(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every tap that passes a limit beyond which something does not work as it should."""
    return _limits_passed(a, dangerous=False)


def _limits_passed(a: Assessment, *, dangerous: bool) -> Iterator[Finding]:
    for kind in HOPS if a.hops else ():
        if not kind.code or kind.dangerous is not dangerous:
            continue
        for column in np.flatnonzero(a.hops[kind.key].broken):
            tap = a.circuit.taps.taps[column]
            breach = kind.breach(a.chains.view(tap.id))
            shown = a.chains.hop(tap.id, kind.key)
            yield tap_finding(
                a,
                tap,
                code=kind.code,
                severity=breach.severity,
                what=breach.what,
                sum=_sum(shown),
                rule=breach.rule,
                source=shown.basis.source,
                remedy=breach.remedy,
                formula=shown.basis.formula,
            )


def _sum(hop: Hop) -> Text:
    """The limit that is passed, the state it is passed in, and what went into the sum."""
    figures = {"load": Amount(hop.load, hop.unit), "limit": Amount(hop.limit, hop.unit)}
    passed = say("{load} > {limit}" if hop.at_most else "{load} < {limit}", **figures)
    if hop.state is not None:
        passed = say("{passed} ({state})", passed=passed, state=STATE[hop.state].label)
    if not hop.basis.inputs:
        return passed
    inputs = in_row(run_on(name, value) for name, value in hop.basis.inputs)
    return run_on(passed, inputs, between="; ")
