"""A first proposal for a tap or an own feed: kind, way round, fuse, cable, relay.

In: an assessed vehicle, an accessory, a lead and its source. Out: fields of a `Tap`, chosen so that
every check passes; what cannot be chosen is left open and the findings say so. Lengths are first
guesses until somebody has measured the way.

For a load that belongs on none of the slots an `OwnFeed`: fuse and cable from the battery or a
feed, for a switched load the relay with its terminals (DIN 72552) and the slot its coil hangs on,
the coil's load against the budget of a sense circuit. `fit` makes it an edit.
"""

from typing import Any, Final

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace
from msgspec.structs import replace as set_fields

from fusemap import tables
from fusemap.advise.advice import Route, cable_for, fuse_for, rule_values
from fusemap.assess import Assessment
from fusemap.assess.cables import joint_mohm
from fusemap.assess.converters import hanging
from fusemap.assess.gather import turns_of, works_for_hours
from fusemap.assess.sources import fuse_mohm
from fusemap.assess.words import cable_words, fuse_words
from fusemap.checks.relays import DRIVING_LAMPS, wants_a_hand
from fusemap.electrics.fuses import FuseChoice
from fusemap.placement.candidates import Candidate, candidates, home
from fusemap.placement.rooms import Ask, ask_of
from fusemap.placement.rules import relay_reason
from fusemap.text import Amount, Argument, Text, say
from fusemap.vehicle import Accessory, Cable, Fuse, Slot, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadName, Place

FIRST_LENGTH_M = 2.0
"""Cable length proposed before the user has measured one [m]."""
OWN_FEED_LENGTH_M = 4.0
"""The same from the battery [m]."""
OWN_FEED_FAMILIES: Final = ("regular", "maxi", "strip_30", "strip_51")
"""Families with a holder for a single fuse in a cable, smallest first."""


def suggest_tap(
    vehicle: Vehicle,
    a: Assessment,
    accessory: Accessory,
    lead: LeadName,
    slot_id: str,
    *,
    relayed: bool | None = None,
    spare: float = 1.0,
) -> dict[str, Any]:
    """Fields of a first tap on a slot: kind, way round, fuse, cable.

    The fuse is the smallest of the slot's family that carries the load and is not above the host
    fuse, the tap's ceiling and the largest the device allows; the cable the smallest that passes
    every check over 2 m with the body as return. What cannot be chosen is left open. `spare` is a
    factor on the current.
    """
    slot = look_up.slot(vehicle, slot_id)
    column = a.slots.index[slot_id]
    ask = ask_of(a, accessory, lead, relayed=relayed).times(spare)
    fuse = suggest_fuse(a, ask, slot, float(a.most.slots.ambient_c[column]))
    route = Route(FIRST_LENGTH_M, place=home(vehicle, accessory))
    cable = None if fuse is None else suggest_cable(a, ask, fuse, slot.feed, route)
    found: dict[str, Any] = {
        "kind": "two_fuse",
        "way_round": "live_side",
        "joint": "",
        "fuse": fuse,
        "cable_out": cable,
        "cable_back": None,
    }
    new = look_up.tap_of(vehicle, accessory.id, lead) is None
    decides = lead == "sense" or "sense" not in accessory.leads
    if new and decides and accessory.kind in DRIVING_LAMPS:
        found["switch"] = "main_beam"
    elif relayed and new and lead == "sense" and wants_a_hand(accessory):
        found["switch"] = "hand"
    return found


def suggest_fuse(a: Assessment, ask: Ask, slot: Slot, ambient_c: float) -> Fuse | None:
    """The smallest fuse of the slot's family for a load, `None` where every one would open.

    Where none carries the load for good it is the largest that is allowed; the findings then say
    what is wrong with it.
    """
    ceilings = {"tap": a.rule("tap_kit_ceiling_a"), "device": ask.largest_fuse_a}
    if slot.fuse is not None:
        ceilings["host"] = slot.fuse.rating
    rating = _choice(a, ask, slot.family, ambient_c, ceilings).rating_a
    if rating is None:
        ratings = tables.fuse_family(slot.family).ratings_a
        fitting = (r for r in ratings if ask.peak_a <= r <= min(ceilings.values()))
        rating = max(fitting, default=None)
    return None if rating is None else Fuse(family=slot.family, rating=rating)


def _choice(
    a: Assessment, ask: Ask, family: str, ambient_c: float, ceilings: dict[str, float]
) -> FuseChoice:
    return fuse_for(
        a,
        family,
        ask.lasting_a,
        ambient_c=ambient_c,
        inrush_i2t_a2s=ask.pulse_a2s,
        ceilings=ceilings,
        turn=_turn(a, ask),
        lasting=ask.lead == "power" and works_for_hours(ask.accessory),
    )


def _turn(a: Assessment, ask: Ask) -> tuple[float, float]:
    """√duty [-] and the length of a turn [s] of a load that goes on and off."""
    return turns_of(ask.accessory, ask.lead, hanging(a.vehicle.accessories), a.rule_values)


def suggest_own_feed(
    vehicle: Vehicle,
    a: Assessment,
    accessory: Accessory,
    *,
    feed: str | None = None,
    relay: bool = False,
    route: Route | None = None,
    spare: float = 1.0,
) -> dict[str, Any]:
    """Fields of an own feed of a power lead from a feed or (`None`) the battery.

    The fuse is the smallest of the families made for a single holder that carries the load in the
    warmth of the engine bay; the cable the smallest that passes every check over the route.
    `spare` is a factor on the current.
    """
    ask = ask_of(a, accessory, "power").times(spare)
    fuse = own_feed_fuse(a, ask)
    way = route or Route(OWN_FEED_LENGTH_M, place="engine_bay")
    out, back = (None, None) if fuse is None else _own_feed_cables(a, ask, fuse, feed, way)
    return {
        "kind": "own_feed",
        "way_round": "live_side",
        "feed": feed,
        "relay": relay,
        "joint": "ring_terminal",
        "fuse": fuse,
        "cable_out": out,
        "cable_back": back,
    }


def _own_feed_cables(
    a: Assessment, ask: Ask, fuse: Fuse, feed: str | None, way: Route
) -> tuple[Cable | None, Cable | None]:
    """Cable out and cable back (`None`: by the body) of an own feed.

    Where the body costs a heavy load too much it comes back by a cable of its own. Where that is
    not enough either, the allowed drop gives way to the lowest voltage the accessory works at;
    what keeps the cable whole never does.
    """
    ways = [way] if way.back_m is not None else [way, replace(way, back_m=way.out_m)]
    for by_minimum in (False, True):
        for each in reversed(ways) if by_minimum else ways:
            out = suggest_cable(a, ask, fuse, feed, each, by_minimum=by_minimum)
            if out is not None:
                length_m = each.back_m
                back = None if length_m is None else set_fields(out, length_m=length_m)
                return out, back
    return None, None


def own_feed_fuse(a: Assessment, ask: Ask) -> Fuse | None:
    """The smallest fuse beside the battery that carries a load and bears its inrush."""
    warm = a.rule("ambient_engine_bay_c")
    for family in OWN_FEED_FAMILIES:
        most = tables.fuse_family(family).contact_limit_a
        if most is not None and ask.peak_a > most:
            continue  # its holder cannot carry the load
        rating = _choice(a, ask, family, warm, {"device": ask.largest_fuse_a}).rating_a
        if rating is not None:
            return Fuse(family=family, rating=rating)
    return None


def suggest_cable(
    a: Assessment,
    ask: Ask,
    fuse: Fuse,
    feed: str | None,
    route: Route,
    *,
    by_minimum: bool = False,
) -> Cable | None:
    """The smallest vehicle cable that passes every check behind a fuse, on a feed or the battery.

    It also leaves the accessory its lowest voltage, with the vehicle loaded as it is; `by_minimum`
    takes that alone for what may be lost on the way.
    """
    contact = a.rule("contact_resistance_mohm")
    back = a.rule("body_return_mohm") if route.back_m is None else contact
    fixed = (joint_mohm("", rule_values(a)) + fuse_mohm(fuse) + back) / 1000
    upstream = a.circuit.source_ohm + a.circuit.contact_ohm + feed_ohm(a, feed)
    drop, left = allowed_drop(a, ask, feed, upstream), spare_v(a, ask, feed, upstream)
    if by_minimum and left is None:
        return None
    heat_share, on_s = _turn(a, ask)
    choice = cable_for(
        a,
        ask.peak_a,
        fuse,
        route,
        fixed_ohm=fixed,
        other_ohm=upstream,
        allowed_drop_v=max(drop, left or 0.0) if by_minimum else drop,
        heat_share=heat_share,
        on_s=on_s,
    )
    if choice.area_mm2 is None:
        return None
    return Cable(
        section_mm2=choice.area_mm2,
        length_m=route.out_m,
        place=_place(route),
        insulation=route.insulation,
        bundle=route.bundle,
    )


def _place(route: Route) -> Place:
    return route.place  # type: ignore[return-value]


def feed_ohm(a: Assessment, feed: str | None) -> float:
    """The resistance of a feed and all above it [Ω]; none where it is the battery or not known."""
    ohm, feeds = 0.0, a.circuit.feeds
    at = a.feeds.index.get(feed or "", -1)
    while at >= 0:
        ohm, at = ohm + float(feeds.ohm[at]), int(feeds.parent[at])
    return ohm


def allowed_drop(a: Assessment, ask: Ask, feed: str | None, upstream_ohm: float) -> float:
    """What the cable may cost [V]: the rule's share, less where the accessory needs its voltage."""
    drop = a.rule("allowed_drop_share") * a.vehicle.system_v
    left = spare_v(a, ask, feed, upstream_ohm)
    return drop if left is None else min(drop, left)


def spare_v(a: Assessment, ask: Ask, feed: str | None, upstream_ohm: float) -> float | None:
    """What may be lost on the way until the accessory has its lowest voltage [V].

    `None` where it names none, or where nothing is left even without a cable.
    """
    least = ask.accessory.min_voltage_v
    if least is None or ask.lead != "power":
        return None
    column = a.feeds.index.get(feed or "", -1)
    source = a.battery_v if column < 0 else a.feeds.voltage_v[:, column]
    left = float(np.min(source)) - ask.peak_a * upstream_ohm - least
    return left if left > 0 else None


class OwnFeed(Struct, frozen=True):
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
    terminals = _terminals(vehicle, fields["fuse"], chosen, source or _source(vehicle, feed))
    if sense_fields.get("switch") == "hand":
        hand = ("86", say("{where}, and a hand switch", where=dict(terminals)["86"]))
        terminals = tuple(hand if pair[0] == "86" else pair for pair in terminals)
    return OwnFeed(
        accessory.id,
        why,
        True,
        fields,
        chosen,
        sense_fields,
        terminals,
        ask.peak_a,
        budget,
        (*_gaps(fields), *problems),
    )


def with_sense(accessory: Accessory) -> Accessory:
    """The accessory with a sense lead; one that has none of its own draws only the coil there."""
    if "sense" in accessory.leads:
        return accessory
    return set_fields(accessory, leads=(*accessory.leads, "sense"), sense_a=0.0)


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
