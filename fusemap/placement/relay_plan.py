"""An own feed for a load that belongs on none of the slots, with a relay where it is switched.

In: an assessed vehicle and an accessory. Out: an `OwnFeed`: fuse and cable from the battery or a
feed, for a switched load the relay with its terminals (DIN 72552) and the slot its coil hangs on,
the coil's load against the budget of a sense circuit. `fit` makes it an edit.
"""

from dataclasses import dataclass, field
from typing import Any

from msgspec.structs import replace

from fusemap.assess import Assessment
from fusemap.assess.words import cable_words, fuse_words
from fusemap.placement.asks import ask_of
from fusemap.placement.candidates import Candidate, candidates
from fusemap.placement.rules import relay_reason
from fusemap.placement.suggest import suggest_own_feed, suggest_tap
from fusemap.text import Amount, Argument, Text, say
from fusemap.vehicle import Accessory, Fuse, Vehicle, edits, look_up


@dataclass(frozen=True, slots=True)
class OwnFeed:
    """An own feed as it is proposed.

    `why` names the rule that asks for it (`None`: none does); `terminals` pairs of terminal and
    where it goes, empty without a relay; `sense_slot` carries the coil, `coil_a` of `budget_a` with
    what the sense lead draws itself; `problems` what stands in the way.
    """

    accessory_id: str
    why: Text | None
    relay: bool
    fields: dict[str, Any]
    sense_slot: str | None = None
    sense_fields: dict[str, Any] = field(default_factory=dict)
    terminals: tuple[tuple[str, Text], ...] = ()
    coil_a: float = 0.0
    budget_a: float = 0.0
    problems: tuple[Text, ...] = ()


def own_feed(
    vehicle: Vehicle,
    a: Assessment,
    accessory: Accessory,
    *,
    feed: str | None = None,
    sense_slot: str | None = None,
    relay: bool | None = None,
    source: Argument = "",
    spare: float = 1.0,
) -> OwnFeed:
    """The own feed of an accessory's power lead, from a feed or (`None`) the battery.

    It gets a relay unless it needs a permanent feed or `relay` says otherwise; its coil goes on the
    best switched slot, or on `sense_slot`, or where the sense lead sits already. `source` is what
    the source is called where it is not in the vehicle yet, `spare` a factor on the current.
    """
    relayed = accessory.needs != "permanent" if relay is None else relay
    fields = suggest_own_feed(vehicle, a, accessory, feed=feed, relay=relayed, spare=spare)
    why = relay_reason(a, ask_of(a, accessory, "power"))
    if not relayed:
        return OwnFeed(accessory.id, why, False, fields, problems=_gaps(fields))
    sensed = with_sense(accessory)
    ask = ask_of(a, sensed, "sense", relayed=True)
    budget = a.rule("sense_budget_ma") / 1000
    chosen, problems = _coil_slot(vehicle, a, sensed, sense_slot)
    sense_fields: dict[str, Any] = {}
    if chosen is not None and look_up.tap_of(vehicle, accessory.id, "sense") is None:
        sense_fields = suggest_tap(vehicle, a, sensed, "sense", chosen, relayed=True)
    return OwnFeed(
        accessory.id,
        why,
        True,
        fields,
        chosen,
        sense_fields,
        _terminals(vehicle, fields["fuse"], chosen, source or _source(vehicle, feed)),
        ask.peak_a,
        budget,
        (*_gaps(fields), *problems),
    )


def with_sense(accessory: Accessory) -> Accessory:
    """The accessory with a sense lead; one that has none of its own draws only the coil there."""
    if "sense" in accessory.leads:
        return accessory
    return replace(accessory, leads=(*accessory.leads, "sense"), sense_a=0.0)


def _gaps(fields: dict[str, Any]) -> tuple[Text, ...]:
    if fields["fuse"] is None:
        return (say("No fuse of the table carries this load beside the battery."),)
    if fields["cable_out"] is None:
        return (say("No cable of the table is thick enough."),)
    return ()


def _coil_slot(
    vehicle: Vehicle, a: Assessment, sensed: Accessory, wanted: str | None
) -> tuple[str | None, tuple[Text, ...]]:
    """The slot for the coil, and what speaks against it."""
    placed = look_up.tap_of(vehicle, sensed.id, "sense")
    if placed is not None and placed.slot is not None:
        wanted = placed.slot
    found = candidates(vehicle, a, sensed, "sense", relayed=True)
    if wanted is None:
        best = next((c for c in found if c.fits), None)
        if best is None:
            return None, (say("There is no switched slot for the relay’s coil."),)
        return best.slot_id, ()
    there = next((c for c in found if c.slot_id == wanted), None)
    against = () if there is None or there.fits else _against(there, placed is not None)
    return wanted, against


def _against(there: Candidate, placed: bool) -> tuple[Text, ...]:
    """What forbids a slot for the coil; an other tap's seat does not where the lead sits there."""
    pairs = zip(there.rules, there.reasons, strict=True)
    return tuple(reason for key, reason in pairs if not (placed and key == "seat"))


def _source(vehicle: Vehicle, feed: str | None) -> Text:
    if feed is None:
        return say("the battery’s plus")
    return say("the feed “{feed}”", feed=look_up.feed(vehicle, feed).name)


def _terminals(
    vehicle: Vehicle, fuse: Fuse | None, slot_id: str | None, source: Argument
) -> tuple[tuple[str, Text], ...]:
    if fuse is None:
        plus = say("from {source} through its fuse, close to the source", source=source)
    else:
        plus = say(
            "from {source} through the fuse, {fuse}, close to the source",
            source=source,
            fuse=fuse_words(fuse),
        )
    if slot_id is None:
        coil = say("from a switched slot, through the sense lead’s own fuse")
    else:
        slot = look_up.slot_with_circuit(look_up.slot(vehicle, slot_id))
        coil = say("from {slot}, through the sense lead’s own fuse", slot=slot)
    return (
        ("30", plus),
        ("87", say("to the accessory’s plus")),
        ("86", coil),
        ("85", say("to the earth point")),
    )


def terminal_words(plan: OwnFeed) -> tuple[Text, ...]:
    """The relay's terminals and the coil's load, a sentence each; empty without a relay."""
    if not plan.relay:
        return ()
    return (
        *(
            say("Terminal {number}: {where}.", number=number, where=where)
            for number, where in plan.terminals
        ),
        say(
            "Coil and sense lead take {current} of {budget} that a sense circuit may give.",
            current=Amount(plan.coil_a, "A"),
            budget=Amount(plan.budget_a, "A"),
        ),
    )


def feed_words(plan: OwnFeed) -> tuple[Text, ...]:
    """Fuse and cable of an own feed in a sentence; empty where none was found."""
    fuse, cable = plan.fields["fuse"], plan.fields["cable_out"]
    if fuse is None or cable is None:
        return ()
    return (
        say(
            "Fuse {fuse} close to the source, cable {cable} for now.",
            fuse=fuse_words(fuse),
            cable=cable_words(cable),
        ),
    )


def fit(vehicle: Vehicle, plan: OwnFeed) -> Vehicle:
    """Put an own feed into the vehicle: power lead, relay, and its coil on the sense slot."""
    accessory = look_up.accessory(vehicle, plan.accessory_id)
    if plan.relay and "sense" not in accessory.leads:
        sensed = with_sense(accessory)
        vehicle = edits.change_accessory(
            vehicle, accessory.id, leads=sensed.leads, sense_a=sensed.sense_a
        )
    vehicle = edits.place(vehicle, accessory.id, slot=None, **plan.fields)
    if plan.sense_fields:
        vehicle = edits.place(
            vehicle, accessory.id, "sense", slot=plan.sense_slot, **plan.sense_fields
        )
    return vehicle
