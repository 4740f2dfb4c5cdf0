"""A first proposal for a tap or an own feed: kind, way round, fuse, cable.

In: an assessed vehicle, an accessory, a lead and its source. Out: fields of a `Tap`, chosen so that
every check passes; what cannot be chosen is left open and the findings say so. Lengths are first
guesses until somebody has measured the way.
"""

from dataclasses import replace
from typing import Any, Final

import numpy as np
from msgspec.structs import replace as set_fields

from fusemap import tables
from fusemap.advise.advice import Route, cable_for, fuse_for, rule_values
from fusemap.assess import Assessment
from fusemap.assess.cables import joint_mohm
from fusemap.assess.converters import hanging
from fusemap.assess.gather import fuse_mohm
from fusemap.assess.gather_taps import turns_of, works_for_hours
from fusemap.electrics.fuses import FuseChoice
from fusemap.placement.asks import Ask, ask_of
from fusemap.placement.distance import home
from fusemap.vehicle import Accessory, Cable, Fuse, Slot, Vehicle, look_up
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
    fuse = suggest_fuse(a, ask, slot, float(a.slots.ambient_c[column]))
    route = Route(FIRST_LENGTH_M, place=home(vehicle, accessory))
    cable = None if fuse is None else suggest_cable(a, ask, fuse, slot.feed, route)
    return {
        "kind": "two_fuse",
        "way_round": "live_side",
        "joint": "",
        "fuse": fuse,
        "cable_out": cable,
        "cable_back": None,
    }


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
    return turns_of(ask.accessory, ask.lead, hanging(a.vehicle.accessories))


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
    """The resistance of a feed and all above it [Ω]."""
    ohm, feeds = 0.0, a.circuit.feeds
    at = feeds.ids.index(feed) if feed is not None else -1
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
    source = a.battery_v if feed is None else a.feeds.voltage_v[:, a.feeds.index[feed]]
    left = float(np.min(source)) - ask.peak_a * upstream_ohm - least
    return left if left > 0 else None
