"""Checks of taps by what the circuits there feed: what is left alone, what comes last."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.checks.finding import PRACTICE, Finding, slot_finding
from fusemap.checks.slots import tapped_slots
from fusemap.circuits import Circuit, circuit_of, is_nameless, marks_of, unanswered
from fusemap.tables import reasons
from fusemap.text import Text, run_on, say
from fusemap.vehicle import Slot, Tap, Vehicle, look_up
from fusemap.vehicle.texts import is_reasoned

LEAVE_ALONE = say(
    "circuits that protect life or keep the vehicle running are left alone; "
    "the vehicle maker's instructions decide (common practice, no source)"
)


def critical_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit that must be left alone."""
    for tap, slot in _taps_on_slots(vehicle):
        if slot.critical:
            yield _left_alone(
                tap,
                slot,
                code="critical_tapped",
                what=say("Something is tapped on a circuit that must be left alone."),
                sum=say("marked “leave alone”: {reason}", reason=reasons(slot.critical_reason))
                if slot.critical_reason
                else say("marked “leave alone”: no reason given"),
                rule=say("critical circuits are left alone"),
                remedy=say("Choose another slot."),
            )


def looks_critical(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit that its name says to leave alone, and that nobody answered for."""
    for tap, slot in _taps_on_slots(vehicle):
        why = unanswered(slot).get("critical")
        if why is not None:
            yield _left_alone(
                tap,
                slot,
                code="looks_critical",
                what=say(
                    "By its name this circuit must be left alone, and something is tapped on it."
                ),
                sum=say(
                    "its name says: {reason}; nobody marked it or wrote what else it feeds",
                    reason=reasons(why),
                ),
                rule=say("a circuit that looks critical counts as critical until somebody answers"),
                remedy=say(
                    "Choose another slot. If it really feeds something else, write at the slot "
                    "what it feeds."
                ),
            )


def _taps_on_slots(vehicle: Vehicle) -> Iterator[tuple[Tap, Slot]]:
    for tap in vehicle.taps:
        if tap.slot is not None:
            yield tap, look_up.slot(vehicle, tap.slot)


def _left_alone(
    tap: Tap, slot: Slot, *, code: str, what: Text, sum: Text, rule: Text, remedy: Text
) -> Finding:
    """A tap on a circuit to leave alone: a stop, unless a whole reason for it stands in writing."""
    reasoned = is_reasoned(tap.justification, tap.found_how)
    if tap.justification.strip() or tap.found_how.strip():
        sum = run_on(sum, _written(tap, whole=reasoned), between="; ")
    if not reasoned:
        remedy = run_on(
            remedy,
            say(
                "If it has to be this one, write at the tap what the circuit feeds and how that "
                "was found, in a few words each."
            ),
        )
    return Finding(
        code=code,
        severity="caution" if reasoned else "stop",
        what=what,
        place="tap",
        place_id=tap.id,
        where=look_up.slot_with_circuit(slot),
        sum=sum,
        rule=rule,
        source=LEAVE_ALONE,
        remedy=remedy,
    )


def _written(tap: Tap, *, whole: bool) -> Text:
    """What was written about touching a circuit, and whether it is enough."""
    feeds, found_how = tap.justification.strip(), tap.found_how.strip()
    if not whole:
        both = run_on(feeds, found_how, between="; ")
        return say("not a whole reason yet: {reason}", reason=both)
    return say("it feeds: {feeds}; found: {how}", feeds=feeds, how=found_how)


def control_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a control unit's circuit, or on one that supplies other boxes."""
    for slot in tapped_slots(vehicle):
        circuit = circuit_of(slot)
        if circuit.function == "control":
            yield slot_finding(
                slot,
                code="control_tapped",
                severity="caution",
                what=say(
                    "This circuit feeds a control unit; what is tapped here can disturb it or keep "
                    "it awake."
                ),
                sum=_said(circuit),
                rule=say("control units come last, after every comfort circuit"),
                source=PRACTICE,
                remedy=say("Use a comfort circuit, or an own feed."),
            )
        elif circuit.function == "supply":
            yield slot_finding(
                slot,
                code="supply_tapped",
                severity="caution",
                what=say(
                    "This circuit supplies other boxes or circuits; what hangs below it is not "
                    "known here, and all of it goes out with this fuse."
                ),
                sum=_said(circuit),
                rule=say("supplies of other boxes come last, after every comfort circuit"),
                source=PRACTICE,
                remedy=say("Use a comfort circuit, or an own feed."),
            )


def unclear_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit of which nobody knows what it feeds."""
    for slot in tapped_slots(vehicle):
        circuit = circuit_of(slot)
        if circuit.function != "unclear":
            continue
        nameless = is_nameless(slot)
        yield slot_finding(
            slot,
            code="unclear_tapped",
            severity="caution",
            what=say("Nobody said what this circuit feeds, and something is tapped on it.")
            if nameless
            else say(
                "What this circuit feeds is not clear from its name, and something is tapped on it."
            ),
            sum=say("no name, no answer") if nameless else _said(circuit),
            rule=say("a circuit that is not known to be comfort may be one to leave alone"),
            source=PRACTICE,
            remedy=say(
                "Look it up on the lid or in the handbook and answer what it is; else use a "
                "circuit that is known."
            ),
        )


def _said(circuit: Circuit) -> Text:
    """Who says what a circuit is: a person, or the part of its name that decided."""
    if circuit.answered:
        return say("somebody answered so")
    if not circuit.reason:
        return say("not recognised: {part}", part=circuit.decided_by)
    return say(
        "by its name: {part} ({reason})", part=circuit.decided_by, reason=reasons(circuit.reason)
    )


def monitored_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit whose current the vehicle watches."""
    for slot in tapped_slots(vehicle):
        if slot.monitored:
            yield slot_finding(
                slot,
                code="monitored_tapped",
                severity="caution",
                what=say(
                    "The vehicle watches the current of this circuit; a tap here can bring up a "
                    "lamp fault or switch the circuit off."
                ),
                sum=say("marked watched"),
                rule=say("watched circuits are left alone"),
                source=PRACTICE,
                remedy=say(
                    "Use another slot, or a relay whose coil alone is on this circuit, if the "
                    "vehicle maker allows it."
                ),
            )


def looks_monitored(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a lamp circuit, by its name or its feed class, that nobody answered for."""
    for slot in tapped_slots(vehicle):
        why = unanswered(slot).get("monitored")
        if why is None:
            continue
        by_name = "monitored" in marks_of(slot.circuit)
        yield slot_finding(
            slot,
            code="looks_monitored",
            severity="caution",
            what=say(
                "The vehicle may watch the current of this circuit, and something is tapped on "
                "it; it can bring up a lamp fault or switch the circuit off."
            ),
            sum=say("its name says: {reason}", reason=reasons(why))
            if by_name
            else say("feed class: lighting"),
            rule=say("a circuit that looks watched counts as watched until somebody answers"),
            source=PRACTICE,
            remedy=say(
                "Use another slot. If nothing watches this circuit, write at the slot how that "
                "is known."
            ),
        )
