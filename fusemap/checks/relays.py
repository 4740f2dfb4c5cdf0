"""Checks of relays in own feeds and of the sense leads that drive them."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.assess.gather import rated_current
from fusemap.checks.finding import (
    ASLEEP,
    PRACTICE,
    Finding,
    amperes,
    slot_finding,
    tap_finding,
)
from fusemap.text import run_on, say
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import CLOSED_BY, FEED, SWITCH, FeedClass

LOADS = {
    "motor": ("relay_motor_times", say("motor")),
    "filament": ("relay_lamp_times", say("filament lamp")),
}
"""Load kinds that are hard on a contact: the rule, and what it is called."""


DRIVING_LAMPS = frozenset(("driving_lamp",))
"""Kinds of accessories that light the road far ahead."""
HAND_LAMPS = frozenset(("light_bar", "work_lamp", "beacon"))
"""Kinds of accessories that somebody switches on when they are wanted."""


def wants_a_hand(accessory: Accessory) -> bool:
    """Whether an accessory is a lamp that somebody switches on when it is wanted."""
    return accessory.kind in HAND_LAMPS or accessory.load_kind == "filament"


def coil_without_switch(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A lamp's relay that the key alone drives: the lamp burns with every turn of it."""
    for tap in _coils(vehicle):
        accessory = look_up.accessory(vehicle, tap.accessory)
        slot = None if tap.slot is None else look_up.slot(vehicle, tap.slot)
        feed: FeedClass = "permanent" if slot is None else slot.feed_class
        if tap.switch in CLOSED_BY or not wants_a_hand(accessory) or feed == "lighting":
            continue
        if accessory.kind in DRIVING_LAMPS:
            continue
        yield tap_finding(
            a,
            tap,
            code="coil_without_switch",
            severity="caution",
            what=say("Nothing switches this lamp but the key: it burns whenever this slot is live.")
            if tap.switch == "none"
            else say("Nothing is said of a switch in the wire to the coil of this lamp's relay."),
            sum=say(
                "feed class: {feed}; switch: {switch}",
                feed=FEED[feed].label,
                switch=SWITCH[tap.switch],
            ),
            rule=say("a lamp is switched by hand, a driving lamp with the main beam only"),
            source=say("from memory; the rules of the road differ from place to place"),
            remedy=say(
                "Put a switch into the wire to the coil. For a lamp that is used on the road look "
                "up the local rule: usually it may burn with the main beam only."
            ),
        )


def driving_lamp_alone(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A driving lamp that can burn without the main beam."""
    for accessory in vehicle.accessories:
        leads = [tap for tap in vehicle.taps if tap.accessory == accessory.id]
        if accessory.kind not in DRIVING_LAMPS or not leads:
            continue
        # what drives the relay's coil decides, else what feeds the lamp
        tap = next((each for each in leads if each.lead == "sense"), leads[0])
        slot = None if tap.slot is None else look_up.slot(vehicle, tap.slot)
        if tap.switch == "main_beam" or (slot is not None and slot.feed_class == "lighting"):
            continue
        yield tap_finding(
            a,
            tap,
            code="driving_lamp_alone",
            severity="caution",
            what=say("This driving lamp can burn without the main beam."),
            sum=say("switch: {switch}", switch=SWITCH[tap.switch]),
            rule=say("a driving lamp is switched by hand, and burns with the main beam only"),
            source=say("from memory; the rules of the road differ from place to place"),
            remedy=say(
                "Let the main beam drive its relay, through a switch. Look up the local rule and "
                "the vehicle maker’s guide: they decide what is allowed on the road."
            ),
        )


def timer_not_set(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A timer of which nobody said how long it runs: it counts as one that never opens."""
    for tap in vehicle.taps:
        if tap.switch == "timer" and tap.timer_min is None:
            yield tap_finding(
                a,
                tap,
                code="timer_not_set",
                severity="caution",
                what=say("How long this timer runs is not known: it is reckoned as never opening."),
                sum=say("timer: not entered"),
                rule=say("what is not known counts as the most that it may be"),
                source=PRACTICE,
                remedy=say("Look at the timer’s setting, and enter it."),
            )


def may_be_left_on(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay on a permanent slot that only somebody's hand switches off."""
    for tap in _coils(vehicle):
        accessory = look_up.accessory(vehicle, tap.accessory)
        slot = None if tap.slot is None else look_up.slot(vehicle, tap.slot)
        always = slot is None or slot.feed_class in ("permanent", "unknown")
        if tap.switch != "hand" or not always:
            continue
        power = look_up.tap_of(vehicle, tap.accessory)
        peak = 0.0 if power is None else float(a.taps.current_a[:, a.taps.index[power.id]].max())
        yield tap_finding(
            a,
            tap,
            code="switch_may_be_left_on",
            severity="note",
            what=say("Only its hand switch switches this off: the forecast counts it as off."),
            sum=say("left on, {name} draws {load}", name=accessory.name, load=amperes(peak)),
            rule=say("a relay's coil hangs on a switched feed"),
            source=PRACTICE,
            remedy=say("Move the sense lead to a slot that is switched, or mind the switch."),
        )


def _coils(vehicle: Vehicle) -> Iterator[Tap]:
    """The sense leads that drive a relay's coil."""
    relayed = {tap.accessory for tap in vehicle.taps if tap.relay and tap.lead == "power"}
    return (tap for tap in vehicle.taps if tap.lead == "sense" and tap.accessory in relayed)


def contact_too_light(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay that carries its load, but whose contact is too light for a load of that kind."""
    contact = a.hops.get("relay")
    if contact is None:
        return
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        kind = accessory.load_kind
        if kind not in LOADS or not contact.given[column] or contact.broken[column]:
            continue
        key, word = LOADS[kind]
        rated, limit = rated_current(accessory), float(contact.limit[column])
        needed = a.rule(key) * rated
        if needed > limit * (1 + 1e-9):
            yield tap_finding(
                a,
                tap,
                code="relay_contact_light",
                severity="caution",
                what=say(
                    "The relay's contact is too light for this kind of load, {kind}: starting "
                    "and switching off burn contacts that would carry the current.",
                    kind=word,
                ),
                sum=say(
                    "{times} × {rated} = {needed} > {limit}",
                    times=a.rule(key),
                    rated=amperes(rated),
                    needed=amperes(needed),
                    limit=amperes(limit),
                ),
                rule=a.rules[key].label,
                source=a.rules[key].source,
                remedy=say(
                    "Use a relay whose contact is rated for that, or enter what this relay's "
                    "maker says it carries."
                ),
            )


def undriven(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay whose coil hangs on nothing."""
    driven = {tap.accessory for tap in vehicle.taps if tap.lead == "sense"}
    for tap in vehicle.taps:
        if tap.relay and tap.lead == "power" and tap.accessory not in driven:
            has_lead = "sense" in look_up.accessory(vehicle, tap.accessory).leads
            yield tap_finding(
                a,
                tap,
                code="relay_undriven",
                severity="caution",
                what=say("Nothing drives the coil of this relay."),
                sum=say("coil: not joined; reckoned as on whenever the accessory is to work"),
                rule=say("every lead has a source"),
                source=PRACTICE,
                remedy=say("Put the sense lead on a switched slot: it drives the coil.")
                if has_lead
                else say(
                    "Give the accessory a sense lead and put it on a switched slot: it drives the "
                    "coil."
                ),
            )


def sense_load_a(a: Assessment, slot_id: str, *, but: str = "") -> float:
    """What all sense leads on a slot draw together in the worst state [A], leaving one
    accessory's aside."""
    columns = [
        column
        for column, tap in enumerate(a.circuit.taps.taps)
        if tap.slot == slot_id and tap.lead == "sense" and tap.accessory != but
    ]
    return float(a.taps.current_a[:, columns].sum(axis=1).max(initial=0.0))


def sense_circuit_overloaded(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Several sense leads that together ask more of one circuit than it may be asked for."""
    budget = a.rule("sense_budget_ma") / 1000
    for slot in look_up.slots(vehicle):
        here = [tap for tap in look_up.taps_on(vehicle, slot.id) if tap.lead == "sense"]
        together = sense_load_a(a, slot.id) if len(here) > 1 else 0.0
        if together <= budget * (1 + 1e-9):
            continue
        peaks = (float(a.taps.current_a[:, a.taps.index[tap.id]].max()) for tap in here)
        yield slot_finding(
            slot,
            code="sense_circuit_overloaded",
            severity="caution",
            what=say("The sense leads on this circuit together ask more than it may be asked for."),
            sum=say(
                "{parts} = {load} > {limit}",
                parts=run_on(*(amperes(peak) for peak in peaks), between=" + "),
                load=amperes(together),
                limit=amperes(budget),
            ),
            rule=a.rules["sense_budget_ma"].label,
            source=a.rules["sense_budget_ma"].source,
            remedy=say(
                "Spread the relay coils over several slots, or let one relay feed the coils of "
                "the others."
            ),
        )


def sense_always_live(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A sense lead on a slot that never goes dead: it tells the accessory nothing."""
    relayed = {tap.accessory for tap in vehicle.taps if tap.relay and tap.lead == "power"}
    for tap in vehicle.taps:
        if tap.lead != "sense" or tap.slot is None or tap.accessory in relayed:
            continue
        slot = look_up.slot(vehicle, tap.slot)
        if slot.feed_class == "permanent" and tap.switch not in CLOSED_BY:
            yield tap_finding(
                a,
                tap,
                code="sense_always_live",
                severity="caution",
                what=say(
                    "The sense lead hangs on a slot that stays live: the accessory takes the "
                    "vehicle as switched on for good."
                ),
                sum=say("feed class: permanent"),
                rule=say("a sense lead hangs on a switched feed"),
                source=PRACTICE,
                remedy=say("Move the sense lead to a slot that is switched."),
            )


def coil_drains(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A relay that stays on while the vehicle is parked."""
    relayed = {tap.accessory for tap in vehicle.taps if tap.relay and tap.lead == "power"}
    for column, tap in enumerate(vehicle.taps):
        drawn = float(a.taps.current_a[ASLEEP, column])
        wanted = "asleep" in look_up.accessory(vehicle, tap.accessory).works_in
        if tap.lead == "sense" and tap.accessory in relayed and drawn > 0 and not wanted:
            yield tap_finding(
                a,
                tap,
                code="relay_stays_on",
                severity="caution",
                what=say(
                    "The relay stays on while parked: its coil hangs on a feed that stays live."
                ),
                sum=say("coil and sense lead asleep: {load}", load=amperes(drawn)),
                rule=say("a relay's coil hangs on a switched feed"),
                source=PRACTICE,
                remedy=say("Move the sense lead to a slot that is switched."),
            )
