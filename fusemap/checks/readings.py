"""Checks of what is known: readings that contradict, a borrowed map, what earlier owners fitted."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.checks.finding import PRACTICE, Finding, accessory_finding, tap_finding
from fusemap.probing import conclusions, evidence, plan
from fusemap.text import run_on, say
from fusemap.vehicle import Slot, Tap, Vehicle, look_up
from fusemap.vehicle.words import FEED


def _tapped(vehicle: Vehicle) -> Iterator[tuple[Tap, Slot]]:
    """Every tap that sits on a slot, with its slot."""
    for tap in vehicle.taps:
        if tap.slot is not None:
            yield tap, look_up.slot(vehicle, tap.slot)


def readings_contradict(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot whose own readings cannot all be true."""
    seen: set[str] = set()
    for _, slot in _tapped(vehicle):
        if slot.id in seen or not evidence.of_slot(vehicle, slot.id):
            continue
        seen.add(slot.id)
        found = conclusions.of_slot(vehicle, slot).contradictions
        if found:
            yield Finding(
                code="readings_contradict",
                severity="caution",
                what=say("Readings of this slot cannot all be true."),
                place="slot",
                place_id=slot.id,
                where=look_up.place_words(slot),
                sum=run_on(*found, between="; "),
                rule=say("a plan stands on readings that agree"),
                source=PRACTICE,
                remedy=say("Read the slot again in these states, and withdraw the wrong reading."),
            )


def somebody_elses_word(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a slot of which only somebody else's map is known."""
    for tap, slot in _tapped(vehicle):
        if not plan.is_borrowed(vehicle, slot):
            continue
        by = slot.borrowed.by if slot.borrowed is not None else say("somebody else")
        yield tap_finding(
            a,
            tap,
            code="somebody_elses_word",
            severity="caution",
            what=say("This tap rests on {person}’s word alone.", person=by),
            sum=say(
                "{slot}: {claimed} by {person}’s map, not read at this vehicle",
                slot=look_up.slot_words(slot),
                claimed=FEED[plan.claimed_class(vehicle, slot)].label,
                person=by,
            ),
            rule=say("nothing is decided on a borrowed map alone"),
            source=say("our own rule"),
            remedy=say("Probe it: the shortest pass reads only what this job needs."),
        )


def found_fitted(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """What an earlier owner fitted and is to go, or nobody knows what it is."""
    for accessory in vehicle.accessories:
        if accessory.found not in ("remove", "unknown"):
            continue
        unknown = accessory.found == "unknown"
        yield accessory_finding(
            accessory,
            code="found_fitted",
            severity="note",
            what=say("An earlier owner fitted this, and it is not known what it is.")
            if unknown
            else say("An earlier owner fitted this; it is to be removed."),
            sum=say("entered as found"),
            rule=say("nothing stays in a vehicle that nobody knows"),
            source=PRACTICE,
            remedy=say("Trace its cable from end to end before anything is added.")
            if unknown
            else say("Remove it with its tap and cable, look at the contacts, close its fuse."),
        )
