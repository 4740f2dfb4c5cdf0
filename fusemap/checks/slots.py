"""Checks at the vehicle's own slots and feeds."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.chain import KIRCHHOFF, TAP_WORDS, fuse_words
from fusemap.assess.result import Floats
from fusemap.assess.slot_basis import FORMULAS, limit_basis
from fusemap.checks.finding import Finding
from fusemap.checks.shared import PRACTICE, STATE_WORDS, amperes, slot_finding
from fusemap.leave_alone import unanswered
from fusemap.vehicle import SEATED, STATES, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.texts import tells

LEAVE_ALONE = (
    "circuits that protect life or keep the vehicle running are left alone; "
    "the vehicle maker's instructions decide (common practice, no source)"
)


def tapped_slots(vehicle: Vehicle) -> list[Slot]:
    """The slots that have a tap, each once, in the panels' order."""
    used = {tap.slot for tap in vehicle.taps}
    return [slot for slot in look_up.slots(vehicle) if slot.id in used]


def _sum_at(a: Assessment, column: int, load: Floats, limit: float) -> str:
    row = int(load[:, column].argmax())
    own = float(a.slots.own_a[row, column])
    rest = float(load[row, column]) - own
    return (
        f"own {amperes(own)} + accessories {amperes(rest)} = {amperes(float(load[row, column]))}"
        f" > {amperes(limit)} ({STATE_WORDS[STATES[row]]})"
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
            what=f"The host fuse, {fuse_words(slot.fuse)}, carries "
            + ("more than its rating." if blows else "more than it may for long."),
            sum=_sum_at(a, int(column), load, float(limit[column])),
            rule=f"{a.rules['continuous_share'].label}: {a.rule('continuous_share'):.0%} of the "
            f"rating, rerated to {a.slots.ambient_c[column]:g} °C",
            source=a.rules["continuous_share"].source,
            remedy="Move an accessory to another slot, put the tap on the live side, or use an own "
            "feed. Never fit a larger host fuse: it protects the vehicle's own cable.",
            formula=f"{FORMULAS['host_a']}; limit = share × rating × rerating at the ambient, or "
            "the maker's table where that is lower",
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
            what="The live contact of the slot carries more than it may.",
            sum=_sum_at(a, int(column), load, float(limit[column])),
            rule=basis.formula,
            source=basis.source,
            remedy="Spread the accessories over several slots, or use an own feed.",
            formula=FORMULAS["live_contact_a"],
        )


def feed_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A feed above its limit in some state."""
    load, limit = a.feeds.current_a, a.feeds.limit_a
    for column in np.flatnonzero((load > limit * (1 + 1e-9)).any(axis=0)):
        feed = vehicle.feeds[column]
        row = int(load[:, column].argmax())
        fuse = "" if feed.fuse is None else f" (fuse {fuse_words(feed.fuse)})"
        yield Finding(
            code="feed_overloaded",
            severity="stop",
            what=f"The feed “{feed.name}”{fuse} carries more than it may.",
            place="feed",
            place_id=feed.id,
            where=feed.name,
            sum=f"everything below it {amperes(float(load[row, column]))} > "
            f"{amperes(float(limit[column]))} ({STATE_WORDS[STATES[row]]})",
            rule="a feed carries the sum of all that hangs below it",
            source=KIRCHHOFF,
            remedy="Move an accessory to a slot under another feed, or give it an own feed from the"
            " battery.",
        )


def critical_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit that must be left alone."""
    for tap, slot in _taps_on_slots(vehicle):
        if slot.critical:
            yield _left_alone(
                tap,
                slot,
                code="critical_tapped",
                what="Something is tapped on a circuit that must be left alone.",
                sum=f"marked critical: {slot.critical_reason or 'no reason given'}",
                rule="critical circuits are left alone",
                remedy="Choose another slot.",
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
                what="By its name this circuit must be left alone, and something is tapped on it.",
                sum=f"its name says: {why}; nobody marked it or wrote what else it feeds",
                rule="a circuit that looks critical counts as critical until somebody answers",
                remedy="Choose another slot. If it really feeds something else, write at the slot "
                "what it feeds.",
            )


def _taps_on_slots(vehicle: Vehicle) -> Iterator[tuple[Tap, Slot]]:
    for tap in vehicle.taps:
        if tap.slot is not None:
            yield tap, look_up.slot(vehicle, tap.slot)


def _left_alone(
    tap: Tap, slot: Slot, *, code: str, what: str, sum: str, rule: str, remedy: str
) -> Finding:
    """A tap on a circuit to leave alone: a stop, unless a reason for it stands in writing."""
    written = tap.justification.strip()
    reasoned = tells(written)
    if written:
        sum += f"; {'written reason' if reasoned else 'too short to be a reason'}: {written}"
    return Finding(
        code=code,
        severity="caution" if reasoned else "stop",
        what=what,
        place="tap",
        place_id=tap.id,
        where=look_up.slot_and_circuit(slot),
        sum=sum,
        rule=rule,
        source=LEAVE_ALONE,
        remedy=remedy,
    )


def monitored_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a circuit whose current the vehicle watches."""
    for slot in tapped_slots(vehicle):
        if slot.monitored:
            yield slot_finding(
                slot,
                code="monitored_tapped",
                severity="caution",
                what="The vehicle watches the current of this circuit; a tap here can bring up a "
                "lamp fault or switch the circuit off.",
                sum="marked monitored",
                rule="monitored circuits are left alone",
                source=PRACTICE,
                remedy="Use another slot, or a relay whose coil alone is on this circuit, if the "
                "vehicle maker allows it.",
            )


def looks_monitored(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap on a lamp circuit, by its name or its feed class, that nobody answered for."""
    for slot in tapped_slots(vehicle):
        why = unanswered(slot).get("monitored")
        lit = slot.feed_class == "lighting" and not (slot.monitored or tells(slot.harmless))
        if why is None and not lit:
            continue
        yield slot_finding(
            slot,
            code="looks_monitored",
            severity="caution",
            what="The vehicle may watch the current of this circuit, and something is tapped on "
            "it; it can bring up a lamp fault or switch the circuit off.",
            sum=f"its name says: {why}" if why is not None else "feed class: lighting",
            rule="a circuit that looks watched counts as watched until somebody answers",
            source=PRACTICE,
            remedy="Use another slot. If nothing watches this circuit, write at the slot how that "
            "is known.",
        )


def host_fuse_missing(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot with no fuse entered."""
    for slot in tapped_slots(vehicle):
        if slot.fuse is None:
            yield slot_finding(
                slot,
                code="host_fuse_missing",
                severity="caution",
                what="Something is tapped here, but no host fuse is entered.",
                sum="host fuse unknown: its load cannot be held against a limit",
                rule="every current is held against the fuse it passes",
                source=PRACTICE,
                remedy="Enter the fuse that is in the slot. If the slot is really empty, check "
                "with a meter what it feeds before you use it.",
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
                what="This slot has no supply." if dead else "When this slot is live is not known.",
                sum="feed class: unfed" if dead else "feed class unknown, reckoned as permanent",
                rule="the feed class decides when the accessory works and whether it drains",
                source=PRACTICE,
                remedy="Choose a slot that is live."
                if dead
                else "Measure the slot asleep, at accessory, with ignition on and some minutes "
                "after locking.",
            )


def live_side_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tap whose way round cannot be trusted, because the live side was not measured."""
    for slot in tapped_slots(vehicle):
        kinds = {tap.kind for tap in look_up.taps_on(vehicle, slot.id)}
        turnable = kinds & set(SEATED)
        if turnable and slot.live_side == "unknown":
            words = " and ".join(sorted(TAP_WORDS[kind].lower() for kind in turnable))
            yield slot_finding(
                slot,
                code="live_side_unknown",
                severity="caution",
                what="Which contact is the live side was not measured, so the tap may sit the "
                "wrong way round.",
                sum=f"{words}: reversed, the host fuse carries the accessory too",
                rule="the common blade belongs on the live side",
                source=KIRCHHOFF,
                remedy="Pull the fuse, measure both contacts, and mark the live one. After "
                "fitting: pull the host fuse; if the accessory stays on, it sits right.",
            )


def own_load_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot whose own load was not measured in every live state."""
    for slot in tapped_slots(vehicle):
        column = a.slots.index[slot.id]
        missing = [
            str(STATE_WORDS[STATES[r]]) for r in np.flatnonzero(~a.slots.own_known[:, column])
        ]
        if missing:
            yield slot_finding(
                slot,
                code="own_load_unknown",
                severity="note",
                what="The slot's own load is not known in every state.",
                sum="not measured, reckoned as 0 A: " + ", ".join(missing),
                rule="the accessory's load comes on top of what is there",
                source=KIRCHHOFF,
                remedy="Measure the millivolts across the host fuse in these states.",
            )
