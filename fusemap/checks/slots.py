"""Checks at the vehicle's own slots and feeds."""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.assess.slot_basis import FORMULAS, limit_basis
from fusemap.assess.words import KIRCHHOFF, fuse_words
from fusemap.checks.finding import PRACTICE, Finding, amperes, slot_finding
from fusemap.text import Text, given, in_row, run_on, say, share
from fusemap.vehicle import BATTERY, SEATED, STATES, SWITCHED, Slot, Vehicle, look_up
from fusemap.vehicle.words import FAILED, FEED, STATE, TAP


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


def host_fuse_missing(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot with no fuse entered."""
    for slot in tapped_slots(vehicle):
        if slot.fuse is None and slot.kind != "module":
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
                sum=say("feed class: no supply")
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


def module_tapped(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Something hangs on an output of a control unit."""
    for slot in tapped_slots(vehicle):
        if slot.kind != "module":
            continue
        column = a.slots.index[slot.id]
        power = any(tap.lead == "power" for tap in look_up.taps_on(vehicle, slot.id))
        bare = power or slot.contact_limit_a is None
        yield slot_finding(
            slot,
            code="module_tapped",
            severity="stop" if bare else "note",
            what=say("A control unit's output is no source: it switches off what it does not know.")
            if bare
            else say("What hangs here is measured by the control unit, and may be pulsed."),
            sum=say(
                "{load}; {limit}",
                load=amperes(float(a.slots.accessory_a[:, column].max())),
                limit=say("limit not given")
                if slot.contact_limit_a is None
                else given(slot.contact_limit_a, "A"),
            ),
            rule=say("a control unit's output bears what its maker allows, usually nothing"),
            source=PRACTICE,
            remedy=say(
                "Move it to a fuse slot, or enter at the slot what the maker says that it bears."
            ),
        )


def fuse_opened_before(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A slot whose fuse opened before: why is found out before something is added there."""
    tapped = {slot.id for slot in tapped_slots(vehicle)}
    for slot in look_up.slots(vehicle):
        if slot.fuse_failed == "no":
            continue
        remedy = say("Look at the old fuse: an element that sagged was warm for long.")
        if slot.fuse_failed == "sagged":
            remedy = say(
                "An overload or a weak short that comes and goes: look where the harness rubs on "
                "metal, at added parts first."
            )
        elif slot.fuse_failed == "burst":
            remedy = say("A hard short: look for bare copper along the wire before a new fuse.")
        yield slot_finding(
            slot,
            code="fuse_opened_before",
            severity="caution" if slot.id in tapped else "note",
            what=say("The fuse of this slot opened before."),
            sum=FAILED[slot.fuse_failed],
            rule=say("why a fuse opened is found out before something is added"),
            source=say("common practice, no source; owners’ reports on sagged elements"),
            remedy=remedy,
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
                    "not measured, reckoned from {nothing} to what its fuse carries for long: "
                    "{states}",
                    nothing=given(0, "A"),
                    states=in_row(missing),
                ),
                rule=say("the accessory's load comes on top of what is there"),
                source=KIRCHHOFF,
                remedy=say("Measure the millivolts across the host fuse in these states."),
            )


def switched_from_battery(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A slot that something switches, and that is said to hang straight on the battery."""
    for slot in look_up.slots(vehicle):
        if slot.kind == "fuse" and slot.feed == BATTERY and slot.feed_class in SWITCHED:
            yield slot_finding(
                slot,
                code="switched_from_battery",
                severity="caution",
                what=say(
                    "This slot is switched, so it cannot hang straight on the battery: what "
                    "switches it has a limit that nothing here is held against."
                ),
                sum=say("feed class: {feed}; supplied: battery", feed=FEED[slot.feed_class].label),
                rule=say("a switched slot hangs on a relay or a switch, which carries all of it"),
                source=PRACTICE,
                remedy=say(
                    "Name the relay or switch as its feed, with what it may carry; or say that its "
                    "feed is not known."
                ),
            )


def feed_unknown(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A tapped slot of which nobody said what supplies it."""
    for slot in tapped_slots(vehicle):
        if slot.feed is None and slot.feed_class != "unfed":
            yield slot_finding(
                slot,
                code="feed_unknown",
                severity="note",
                what=say("Which feed supplies this slot is not known."),
                sum=say("feed not known: what it carries cannot be held against a limit"),
                rule=say("a feed carries the sum of all that hangs below it"),
                source=KIRCHHOFF,
                remedy=say(
                    "Switch on what is tapped here and see across which feed’s fuse the "
                    "millivolts rise, or look into the vehicle maker’s diagram. Then choose the "
                    "feed at the slot."
                ),
            )


def feed_without_limit(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A feed with neither a fuse nor a limit: nothing is held against it."""
    for feed in vehicle.feeds:
        if feed.fuse is None and feed.limit_a is None:
            yield Finding(
                code="feed_without_limit",
                severity="note",
                what=say("What the feed “{feed}” may carry is not known.", feed=feed.name),
                place="feed",
                place_id=feed.id,
                where=feed.name,
                sum=say("neither a fuse nor a limit is entered: its load is not checked"),
                rule=say("every current is held against the fuse it passes"),
                source=PRACTICE,
                remedy=say(
                    "Enter the fuse that guards it, or what its relay, switch or cable may carry."
                ),
            )
