"""Checks at the vehicle's own slots and feeds."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.assess.slot_basis import FORMULAS, limit_basis
from fusemap.assess.words import KIRCHHOFF, fuse_words
from fusemap.checks.finding import PRACTICE, Finding, amperes, slot_finding
from fusemap.circuits import Circuit, circuit_of, is_nameless, marks_of, unanswered
from fusemap.tables import reasons
from fusemap.text import Text, given, in_row, run_on, say, share
from fusemap.vehicle import SEATED, STATES, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.texts import is_reasoned
from fusemap.vehicle.words import STATE, TAP

LEAVE_ALONE = say(
    "circuits that protect life or keep the vehicle running are left alone; "
    "the vehicle maker's instructions decide (common practice, no source)"
)


def tapped_slots(vehicle: Vehicle) -> list[Slot]:
    """The slots that have a tap, each once, in the panels' order."""
    used = {tap.slot for tap in vehicle.taps}
    return [slot for slot in look_up.slots(vehicle) if slot.id in used]


def _sum_at(a: Assessment, column: int, load: Floats, limit: float) -> Text:
    row = int(load[:, column].argmax())
    own, all_of_it = float(a.slots.own_a[row, column]), float(load[row, column])
    return say(
        "own {own} + accessories {accessories} = {load} > {limit} ({state})",
        own=amperes(own),
        accessories=amperes(all_of_it - own),
        load=amperes(all_of_it),
        limit=amperes(limit),
        state=STATE[STATES[row]].label,
    )


def host_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A host fuse that carries more than it may for long."""
    load, limit = a.slots.host_a, a.slots.host_limit_a
    for column in np.flatnonzero((load > limit * (1 + 1e-9)).any(axis=0)):
        slot = a.circuit.slots.slots[column]
        assert slot.fuse is not None  # only a fuse has a limit
        peak = float(load[:, column].max())
        blows = peak > slot.fuse.rating
        yield slot_finding(
            slot,
            code="host_overloaded",
            severity="stop" if blows or a.slots.accessory_a[:, column].any() else "caution",
            what=say(
                "The host fuse, {fuse}, carries more than its rating."
                if blows
                else "The host fuse, {fuse}, carries more than it may for long.",
                fuse=fuse_words(slot.fuse),
            ),
            sum=_sum_at(a, int(column), load, float(limit[column])),
            rule=say(
                "{rule}: {share} of the rating, rerated to {ambient}",
                rule=a.rules["continuous_share"].label,
                share=share(a.rule("continuous_share")),
                ambient=given(float(a.slots.ambient_c[column]), "°C"),
            ),
            source=a.rules["continuous_share"].source,
            remedy=say(
                "Move an accessory to another slot, put the tap on the live side, or use an own "
                "feed. Never fit a larger host fuse: it protects the vehicle's own cable."
            ),
            formula=run_on(
                FORMULAS["host_a"],
                say(
                    "limit = share × rating × rerating at the ambient, or the maker's table where "
                    "that is lower"
                ),
                between="; ",
            ),
        )


def contact_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A live contact that carries more than it may; no fuse in the tap limits this."""
    load, limit = a.slots.live_contact_a, a.slots.contact_limit_a
    for column in np.flatnonzero((load > limit * (1 + 1e-9)).any(axis=0)):
        slot = a.circuit.slots.slots[column]
        basis = limit_basis(a, slot.id, "live_contact_a")
        assert basis is not None  # every contact has a limit
        yield slot_finding(
            slot,
            code="contact_overloaded",
            severity="stop",
            what=say("The live contact of the slot carries more than it may."),
            sum=_sum_at(a, int(column), load, float(limit[column])),
            rule=basis.formula,
            source=basis.source,
            remedy=say("Spread the accessories over several slots, or use an own feed."),
            formula=FORMULAS["live_contact_a"],
        )


def feed_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A feed above its limit in some state."""
    load, limit = a.feeds.current_a, a.feeds.limit_a
    for column in np.flatnonzero((load > limit * (1 + 1e-9)).any(axis=0)):
        feed = vehicle.feeds[column]
        row = int(load[:, column].argmax())
        yield Finding(
            code="feed_overloaded",
            severity="stop",
            what=say("The feed “{feed}” carries more than it may.", feed=feed.name)
            if feed.fuse is None
            else say(
                "The feed “{feed}” (fuse {fuse}) carries more than it may.",
                feed=feed.name,
                fuse=fuse_words(feed.fuse),
            ),
            place="feed",
            place_id=feed.id,
            where=feed.name,
            sum=say(
                "everything below it {load} > {limit} ({state})",
                load=amperes(float(load[row, column])),
                limit=amperes(float(limit[column])),
                state=STATE[STATES[row]].label,
            ),
            rule=say("a feed carries the sum of all that hangs below it"),
            source=KIRCHHOFF,
            remedy=say(
                "Move an accessory to a slot under another feed, or give it an own feed from the"
                " battery."
            ),
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
                sum=say("marked critical: {reason}", reason=reasons(slot.critical_reason))
                if slot.critical_reason
                else say("marked critical: no reason given"),
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
        both = "; ".join(filter(None, (feeds, found_how)))
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
                sum=say("marked monitored"),
                rule=say("monitored circuits are left alone"),
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


def host_fuse_missing(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot with no fuse entered."""
    for slot in tapped_slots(vehicle):
        if slot.fuse is None:
            yield slot_finding(
                slot,
                code="host_fuse_missing",
                severity="caution",
                what=say("Something is tapped here, but no host fuse is entered."),
                sum=say("host fuse unknown: its load cannot be held against a limit"),
                rule=say("every current is held against the fuse it passes"),
                source=PRACTICE,
                remedy=say(
                    "Enter the fuse that is in the slot. If the slot is really empty, check "
                    "with a meter what it feeds before you use it."
                ),
            )


def class_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot of which nobody knows when it is live."""
    for slot in tapped_slots(vehicle):
        if slot.feed_class in ("unknown", "unfed"):
            dead = slot.feed_class == "unfed"
            yield slot_finding(
                slot,
                code="class_unknown",
                severity="stop" if dead else "caution",
                what=say("This slot has no supply.")
                if dead
                else say("When this slot is live is not known."),
                sum=say("feed class: unfed")
                if dead
                else say("feed class unknown, reckoned as permanent"),
                rule=say("the feed class decides when the accessory works and whether it drains"),
                source=PRACTICE,
                remedy=say("Choose a slot that is live.")
                if dead
                else say(
                    "Measure the slot asleep, at accessory, with ignition on and some minutes "
                    "after locking."
                ),
            )


def live_side_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap whose way round cannot be trusted, because the live side was not measured."""
    for slot in tapped_slots(vehicle):
        kinds = {tap.kind for tap in look_up.taps_on(vehicle, slot.id)}
        turnable = kinds & set(SEATED)
        if turnable and slot.live_side == "unknown":
            taps = in_row((TAP[kind].small() for kind in sorted(turnable)), "and")
            yield slot_finding(
                slot,
                code="live_side_unknown",
                severity="caution",
                what=say(
                    "Which contact is the live side was not measured, so the tap may sit the "
                    "wrong way round."
                ),
                sum=say("{taps}: reversed, the host fuse carries the accessory too", taps=taps),
                rule=say("the common blade belongs on the live side"),
                source=KIRCHHOFF,
                remedy=say(
                    "Pull the fuse, measure both contacts, and mark the live one. After "
                    "fitting: pull the host fuse; if the accessory stays on, it sits right."
                ),
            )


def own_load_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot whose own load was not measured in every live state."""
    for slot in tapped_slots(vehicle):
        column = a.slots.index[slot.id]
        rows = np.flatnonzero(~a.slots.own_known[:, column])
        missing = [STATE[STATES[row]].label for row in rows]
        if missing:
            yield slot_finding(
                slot,
                code="own_load_unknown",
                severity="note",
                what=say("The slot's own load is not known in every state."),
                sum=say(
                    "not measured, reckoned as {nothing}: {states}",
                    nothing=given(0, "A"),
                    states=in_row(missing),
                ),
                rule=say("the accessory's load comes on top of what is there"),
                source=KIRCHHOFF,
                remedy=say("Measure the millivolts across the host fuse in these states."),
            )
