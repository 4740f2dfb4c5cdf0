"""Checks at the taps: does it fit, is it fused, is it the right way round."""

from collections.abc import Iterator

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.chain import TAP_WORDS, fuse_words
from fusemap.checks.finding import Finding
from fusemap.checks.shared import (
    PRACTICE,
    amperes,
    broken,
    hop_finding,
    hop_findings,
    slot_finding,
    tap_finding,
)
from fusemap.vehicle import SEATED, Accessory, Fuse, Tap, Vehicle, look_up

SMALL_FUSE_A = 5.0
"""Fuses up to this rating [A] are usual in front of small devices; from memory."""


def tap_does_not_fit(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A two-fuse tap in a family for which there is none."""
    for tap in vehicle.taps:
        if tap.slot is None or tap.kind != "two_fuse":
            continue
        slot = look_up.slot(vehicle, tap.slot)
        family = tables.fuse_family(slot.family)
        if not family.has_two_fuse_tap:
            yield tap_finding(
                a,
                tap,
                code="tap_does_not_fit",
                severity="stop",
                what=f"No two-fuse tap for the {family.name} family is listed.",
                sum=f"slot family: {family.name}",
                rule="the tap has to fit the slot",
                source=family.source.words,
                remedy="Use another slot, a fuse with take-off lead where one exists, or an own "
                "feed.",
            )


def seat_taken(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More than one fuse tap in one slot: there is a single pair of contacts to push into."""
    for slot in look_up.slots(vehicle):
        there = [tap for tap in look_up.taps_on(vehicle, slot.id) if tap.kind in SEATED]
        if len(there) > 1:
            names = ", ".join(
                look_up.accessory(vehicle, tap.accessory).name
                + ("" if tap.lead == "power" else f" ({tap.lead} lead)")
                for tap in there
            )
            yield slot_finding(
                slot,
                code="seat_taken",
                severity="stop",
                what="Several taps are to sit in one slot, and there is room for one.",
                sum=f"{len(there)} taps: {names}",
                rule="a slot takes one fuse tap",
                source=PRACTICE,
                remedy="Move all but one to other slots, or give a heavier one an own feed.",
            )


def tap_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More current through a tap than it may carry."""
    yield from hop_findings(
        a,
        "tap",
        code="tap_overloaded",
        severity="stop",
        what="The tap carries more than it is made for.",
        rule=a.rules["tap_kit_ceiling_a"].label,
        remedy="Use an own feed with its own fuse, with a relay if it has to be switched; or "
        "enter the kit's own figure if it carries more.",
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
            what=f"{TAP_WORDS[tap.kind]} on the load side: the host fuse carries the accessory "
            "too, and when it opens the vehicle's own circuit is dead.",
            sum=f"host fuse {amperes(float(a.slots.host_a[row, at]))}, of which the accessory "
            f"{amperes(float(a.taps.current_a[row, column]))}",
            rule="the common blade belongs on the live side",
            source="currents at a junction add up (Kirchhoff's current law)",
            remedy="Turn the tap round. Proof: pull the host fuse; the accessory must stay on.",
        )


def fuse_missing(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A power lead without a fuse of its own."""
    for column, tap in enumerate(vehicle.taps):
        if tap.fuse is not None:
            continue
        guard = a.circuit.cables.protecting[column]
        if tap.lead == "sense" and guard is not None:
            continue
        bare = guard is None
        yield tap_finding(
            a,
            tap,
            code="fuse_missing",
            severity="stop" if bare else "caution",
            what="Nothing protects this cable: there is no accessory fuse."
            if bare
            else "The accessory has no fuse of its own; only the host fuse protects its cable.",
            sum="no fuse between the source and the cable"
            if guard is None
            else f"protected by the host fuse, {fuse_words(guard)}, alone",
            rule="every cable has a fuse at its source that its section can bear",
            source=PRACTICE,
            remedy="Fit a fuse at the source, sized for the cable and the load.",
        )


def fuse_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory fuse that is too small for its load."""
    for each in broken(a, "accessory_fuse"):
        tap = each.tap
        assert tap.fuse is not None  # the hop exists only with a fuse
        blows = float(each.hop.load[each.column]) > tap.fuse.rating
        yield hop_finding(
            a,
            each,
            code="fuse_overloaded",
            severity="stop" if blows else "caution",
            what=f"The accessory fuse, {fuse_words(tap.fuse)}, "
            + ("will open in normal use." if blows else "carries more than it may for long."),
            rule=a.rules["continuous_share"].label,
            remedy="Fit the next larger fuse if cable, tap and host allow it.",
        )


def fuse_above_host(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An accessory fuse with a higher rating than the host fuse."""
    for tap in vehicle.taps:
        if tap.slot is None or tap.fuse is None or tap.lead != "power":
            continue
        slot = look_up.slot(vehicle, tap.slot)
        if slot.fuse is None or tap.fuse.rating <= slot.fuse.rating:
            continue
        yield tap_finding(
            a,
            tap,
            code="fuse_above_host",
            severity="caution",
            what="The accessory fuse is larger than the host fuse.",
            sum=f"{tap.fuse.rating:g} A > {slot.fuse.rating:g} A",
            rule="the accessory fuse is not above the host fuse",
            source=PRACTICE,
            remedy="Choose a smaller accessory fuse or a slot with a larger host fuse.",
        )


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
                what="The accessory fuse is larger than the device allows; its own lead is not "
                "protected.",
                sum=f"{fuse.rating:g} A > {largest:g} A",
                rule="the accessory fuse is not above the largest the device's maker allows",
                source="as entered for this accessory",
                remedy="Fit a fuse of that rating or less.",
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
            what="The accessory fuse is many times the load; whether it protects the device's own "
            "thin lead is not known.",
            sum=f"{fuse.rating:g} A > {times:g} × {amperes(peak)}",
            rule=a.rules["fuse_times_load"].label,
            source=a.rules["fuse_times_load"].source,
            remedy="Look up the largest fuse the device's maker allows and enter it at the "
            "accessory, or fit a smaller one.",
        )


def _fused_power(vehicle: Vehicle) -> Iterator[tuple[Tap, Fuse, Accessory]]:
    """Every power lead that has a fuse of its own."""
    for tap in vehicle.taps:
        if tap.lead == "power" and tap.fuse is not None:
            yield tap, tap.fuse, look_up.accessory(vehicle, tap.accessory)


def inrush(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A fuse that the inrush wears out."""
    yield from hop_findings(
        a,
        "inrush",
        code="inrush",
        severity="caution",
        what="Switching on wears the accessory fuse out.",
        rule="pulse I²t at most 22 % of the fuse's melting I²t for 100 000 starts",
        remedy="Choose the next larger fuse with a cable to match. A soft start helps a motor, "
        "not a heater or a glow plug.",
    )


def heavy_without_relay(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A large load on a tap where a relay with an own feed belongs."""
    limit = a.rule("relay_threshold_a")
    for column, tap in enumerate(vehicle.taps):
        if tap.slot is None or tap.lead != "power":
            continue
        peak = float(a.taps.current_a[:, column].max())
        if peak > limit:
            yield tap_finding(
                a,
                tap,
                code="heavy_without_relay",
                severity="caution",
                what="This load is too heavy for a fuse slot; it belongs on a relay with its own "
                "fused feed.",
                sum=f"{amperes(peak)} > {amperes(limit)}",
                rule=a.rules["relay_threshold_a"].label,
                source=a.rules["relay_threshold_a"].source,
                remedy="Make it an own feed from the battery with a relay, and put the relay's "
                "coil on a switched slot.",
            )
