"""The two ends of everything that flows: what is known of it, and the most that it may be.

In: a gathered circuit. Out: the same circuit twice, each with its currents. What nobody measured,
published or said has a most:

- an own load that was not measured: what its host fuse carries for long (a named rule's share);
- a feed's own loads: the sum of what is below it, no more than the feed itself carries for long,
  no more than the feed above leaves, and no other than what was measured at the feed as a whole;
  what else flows on one without any limit is a rule's; parked, no more than the whole vehicle was
  measured to draw, or draws that still starts after a night;
- a resistance nobody gave or published: a rule's, or the largest of a like fuse;
- a battery's resistance that nobody measured: a worn one's; its charge: the least there may be;
- how warm the cabin or the boot gets, where nobody said it: as warm as in the sun, for its cables
  and for what its fuses carry;
- a cable nobody gave: what costs as much as is allowed to be lost on the way, behind a converter
  too;

- an accessory's current: what its spread allows;
- what the alternator gives: no more than idling and hot it leaves beside the vehicle's own loads,
  where nobody read its label the smallest usual one;
- which contact is live: the side on which the tap loads the host fuse, too.

What the maker put on a fuse of the vehicle that fuse carries for long; this bounds the vehicle's
own loads alone, accessories come on top. Slots of which nobody said what supplies them hang on no
feed; all of one class are taken together as one unseen relay (`unseen`).
"""

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from msgspec.structs import replace as with_fields

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.battery import (
    battery_model,
    emf_at_least,
    emf_at_most,
    ohm_at_least,
    ohm_at_most,
    second_model,
    small_battery,
)
from fusemap.assess.cables import fixed_ohm, in_warmth
from fusemap.assess.currents import (
    Circuit,
    Currents,
    currents,
    feeds_downwards,
    feeds_over,
    host_ohm,
    slot_figures,
    vehicle_own_a,
)
from fusemap.assess.end import End
from fusemap.assess.gather import TapArrays, earths_mohm, fuse_limits, tap_arrays
from fusemap.assess.outer import as_others_see_it, outer
from fusemap.assess.result import Floats, worst
from fusemap.assess.sources import (
    SlotArrays,
    feed_limit,
    feed_mohm,
    in_the_sun,
    least_feed_fuse_a,
    warmest,
)
from fusemap.assess.supply import TURNS, Source, second_source
from fusemap.errors import InputProblem
from fusemap.vehicle import (
    FEED_CLASSES,
    SEATED,
    Accessory,
    FeedClass,
    SecondBattery,
    Vehicle,
)


def both_ends(gathered: Circuit, vehicle: Vehicle, rules: dict[str, float]) -> tuple[End, End]:
    """What is known and the most that may be, of a circuit as it was gathered."""
    found = known_end(gathered)
    known, solved = found.circuit, found.currents
    most = _most_circuit(known, vehicle, rules)
    own = most_own_a(known, known.slots.own_most_a, known.feeds.carried_a)
    weakest = _solved(as_others_see_it(most, known), own, found)
    whole = outer(most, solved, weakest, _least(found, vehicle, rules))
    return found, End(most, whole)


def known_end(gathered: Circuit) -> End:
    """What is known, of a circuit as it was gathered."""
    known = replace(gathered, feeds=replace(gathered.feeds, other_a=known_other_a(gathered)))
    return End(known, currents(known))


def volts_with_any_label(known: End, most: End, idle_a: float) -> Floats:
    """The least voltages [V, (states, taps)], did the alternator's label say idle_a [A] at idle."""
    c = known.circuit
    own = most_own_a(c, c.slots.own_most_a, c.feeds.carried_a)
    return _solved(most.circuit, own, known, idle_a).taps.voltage_v


def _solved(most: Circuit, own: Floats, end: End, idle_a: float | None = None) -> Currents:
    """The currents at the most; where no voltages fit figures so far apart, none is left."""
    own_a, idle_a = vehicle_own_a(most, own), most.alternator.idle_a if idle_a is None else idle_a
    spare_a = most.alternator.least_with(idle_a, vehicle_own_a(end.circuit), own_a)
    try:
        return currents(most, own, own_a + spare_a)
    except InputProblem:
        known = end.currents
        taps = known.taps
        nothing = np.zeros_like(taps.voltage_v)
        feeds = own + taps.current_a @ feeds_over(most).T
        return replace(
            known,
            slots=slot_figures(most, taps.current_a),
            feeds=replace(
                known.feeds,
                current_a=feeds,
                voltage_v=0.0 * known.feeds.voltage_v,
                limit_a=most.feeds.limit_a,
            ),
            taps=replace(
                taps,
                voltage_v=nothing,
                collapsed=taps.live & (taps.current_a > 0),
                fuse_limit_a=most.taps.fuse_limit_a,
            ),
        )


# --- what the vehicle draws by itself -------------------------------------------------------------


def known_other_a(c: Circuit) -> Floats:
    """What each feed carries besides its slots and feeds, as far as is known [A, (states, feeds)].

    Where the feed was measured as a whole and its parts come to less, the rest is among it.
    """
    said, below = np.nan_to_num(c.feeds.said_a), _of_slots(c, c.slots.own_a)
    for feed in feeds_downwards(c.feeds)[::-1]:
        said[:, feed] = np.fmax(said[:, feed], c.feeds.carried_a[:, feed] - below[:, feed])
        _add_above(c, feed, below, below[:, feed] + said[:, feed])
    return said


def most_own_a(c: Circuit, own_most_a: Floats, carried_a: Floats) -> Floats:
    """The most of the vehicle's own loads that each feed may carry [A, (states, feeds)].

    own_most_a (states, slots), carried_a (states, feeds), NaN where not measured. On a feed without
    any limit, of which nobody said what else it carries, the rule's most may flow; none carries
    more than the feed above it leaves of its own most.
    """
    known = known_other_a(replace(c, feeds=replace(c.feeds, carried_a=carried_a)))
    total, least, sure = np.zeros_like(known), np.zeros_like(known), np.zeros_like(known)
    most_below, own_below = _of_slots(c, own_most_a), _of_slots(c, c.slots.own_a)
    sure_below = own_below.copy()
    order = feeds_downwards(c.feeds)
    for feed in order[::-1]:
        below, said = most_below[:, feed], c.feeds.said_a[:, feed]
        least[:, feed] = own_below[:, feed] + known[:, feed]
        sure[:, feed] = sure_below[:, feed] + np.nan_to_num(said)
        bound = np.fmax(np.minimum(c.feeds.limit_a[feed], c.slots.whole_most_a), least[:, feed])
        most = np.fmin(np.where(np.isnan(said), np.inf, below + known[:, feed]), bound)
        unbounded = np.fmax(below + known[:, feed], c.feeds.open_a)
        most = np.where(np.isfinite(most), most, unbounded)
        measured = carried_a[:, feed]
        total[:, feed] = np.where(np.isnan(measured), most, np.fmax(measured, least[:, feed]))
        for sums, mine in ((most_below, total), (own_below, least), (sure_below, sure)):
            _add_above(c, feed, sums, mine[:, feed])
    for feed in order:
        above = int(c.feeds.parent[feed])
        if above >= 0:
            left = total[:, above] - (sure[:, above] - sure[:, feed])
            total[:, feed] = np.fmin(total[:, feed], np.fmax(left, least[:, feed]))
    return total


def _of_slots(c: Circuit, own_a: Floats) -> Floats:
    """What the slots that hang directly on each feed come to [A, (states, feeds)]."""
    found, on = np.zeros_like(c.feeds.said_a), c.slots.feed >= 0
    np.add.at(found.T, c.slots.feed[on], own_a[:, on].T)
    return found


def _add_above(c: Circuit, feed: int, below_a: Floats, own_a: Floats) -> None:
    """Add what a feed carries [A, (states,)] to what hangs below the one above it, if any is."""
    above = int(c.feeds.parent[feed])
    if above >= 0:
        below_a[:, above] += own_a


# --- the circuit at its most ----------------------------------------------------------------------


def _most_circuit(c: Circuit, vehicle: Vehicle, rules: dict[str, float]) -> Circuit:
    """The circuit with everything that is not known at its most."""
    slots, feed_limit_a = replace(c.slots, own_a=c.slots.own_most_a), c.feeds.limit_a
    taps, conductor_ohm, cables = c.taps, c.conductor_ohm, c.cables
    unseen_ohm, warm = rules["feed_unknown_mohm"] / 1000, warmest(vehicle, rules)
    if _has_spread(vehicle) or taps.behind.supplied:
        taps = tap_arrays(_with_spread(vehicle, 1.0), slots, warm, most=True)
    if warm != rules:
        cables = in_warmth(cables, taps, warm)
        slots = in_the_sun(slots, vehicle, warm)
        taps = replace(taps, fuse_limit_a=fuse_limits(taps.taps, taps.slot, slots, warm))
        feed_limit_a = np.array([feed_limit(each, warm) for each in vehicle.feeds], dtype=float)
    if warm != rules or (taps.asked_a != c.taps.asked_a).any():  # else as warm as they were
        conductor_ohm = cables.conductor_ohm(worst(taps.asked_a))
    taps = replace(taps, earth_mohm=earths_mohm(vehicle, taps.taps, rules, most=True))
    least_a = least_feed_fuse_a(small=small_battery(vehicle.battery))
    feed = [feed_mohm(each, rules, most=True, least_a=least_a) / 1000 for each in vehicle.feeds]
    battery = battery_model(vehicle.battery, vehicle.system_v)
    emf_v = emf_at_least(battery)
    return replace(
        c,
        slots=slots,
        taps=_on_either_side(taps, slots),
        feeds=replace(c.feeds, ohm=np.array(feed, dtype=float), limit_a=feed_limit_a),
        cables=replace(cables, fixed_ohm=fixed_ohm(taps, rules, most=True)),
        live_ohm=c.live_ohm + np.where(slots.feed_known, 0.0, unseen_ohm),
        host_ohm=host_ohm(c.slots, c.contact_ohm, most=True) + _not_entered_ohm(c),
        emf_v=np.minimum(c.emf_v, np.where(TURNS, np.inf, emf_v)),
        resting_v=min(c.resting_v, emf_v),
        source_ohm=ohm_at_most(battery),
        conductor_ohm=conductor_ohm + _of_no_cable(c, taps, vehicle, rules),
        second=_weakest_second(vehicle, rules),
    )


def _weakest_second(vehicle: Vehicle, rules: dict[str, float]) -> Source | None:
    """The second battery left alone, with the least charge that nobody denied."""
    found, second = second_source(vehicle, rules, linked=False), vehicle.second_battery
    if found is None or second is None or second.rest_v is not None:
        return found
    model = second_model(second, vehicle.system_v)
    soc = min(tables.unanswered("second_soc").hard, model.ranges["charge"][0])
    own_v = float(model.wells.ocv(soc)) if "charge" not in model.measured else emf_at_least(model)
    return replace(found, emf_v=np.minimum(found.emf_v, own_v))


def _not_entered_ohm(c: Circuit) -> Floats:
    """What host fuses have at most that nobody entered [Ω, (slots,)]; 0 for those that are.

    The smallest that would carry what is known to flow there, of the kind that has most.
    """
    carried = c.slots.own_a + _at_slots(c)
    found = [
        facts.like_resistance_mohm(float(peak)) / 1000
        if slot.fuse is None and slot.kind == "fuse"
        else 0.0
        for slot, peak in zip(c.slots.slots, worst(carried), strict=True)
    ]
    return np.array(found, dtype=float)


def _at_slots(c: Circuit) -> Floats:
    """What all taps of a slot ask together [A, (states, slots)]."""
    asked, on = np.zeros_like(c.slots.own_a), c.taps.slot >= 0
    np.add.at(asked.T, c.taps.slot[on], c.taps.asked_a[:, on].T)
    return asked


def _of_no_cable(c: Circuit, taps: TapArrays, vehicle: Vehicle, rules: dict[str, float]) -> Floats:
    """What a cable has at most that nobody gave [Ω, (ways, taps)]: it may cost the allowed drop."""
    allowed_v = rules["allowed_drop_share"] * vehicle.system_v
    asked_a = worst(taps.asked_a)
    ohm = np.divide(allowed_v, asked_a, out=np.zeros_like(asked_a), where=asked_a > 0)
    return np.stack([np.where(c.cables.out.given, 0.0, ohm), np.zeros_like(ohm)])


def _on_either_side(taps: TapArrays, slots: SlotArrays) -> TapArrays:
    """Taps in slots whose live side nobody measured load the host fuse, too."""
    unsure = np.array([s.live_side == "unknown" for s in slots.slots], dtype=bool)
    seated = np.array([tap.kind in SEATED for tap in taps.taps], dtype=bool)
    either = seated & (taps.slot >= 0)
    either[either] &= unsure[taps.slot[either]]
    return replace(taps, through_host=np.where(either, 1.0, taps.through_host))


def _has_spread(vehicle: Vehicle) -> bool:
    return any(accessory.current_spread for accessory in vehicle.accessories)


def _with_spread(vehicle: Vehicle, end: float) -> Vehicle:
    """The vehicle with every accessory's current at the upper end (1) or lower (−1) of its spread.

    Its standby too.
    """
    return with_fields(
        vehicle, accessories=tuple(_drawing(each, end) for each in vehicle.accessories)
    )


def _drawing(accessory: Accessory, end: float) -> Accessory:
    spread = accessory.current_spread
    if not spread:
        return accessory
    changed = {
        name: max(0.0, value * (1 + end * spread))
        for name in ("watts", "amperes", "standby_a")
        if (value := getattr(accessory, name)) is not None
    }
    return with_fields(accessory, **changed)


def _least(known: End, vehicle: Vehicle, rules: dict[str, float]) -> End:
    """What flows where all accessories draw the least they may; the voltages are the highest.

    So is that of either battery, where nobody measured it: what follows its voltage draws more.
    The alternator gives all that is asked of it then.
    """
    battery, spread = battery_model(vehicle.battery, vehicle.system_v), _has_spread(vehicle)
    second = second_source(vehicle, rules, strong=True)
    measured = battery.resistance_measured and "charge" in battery.measured
    measured = measured and (second is None or _is_measured(vehicle.second_battery))
    follows = bool((known.circuit.taps.exponent > 0).any())
    if (measured or not follows) and not spread and not known.currents.limited:
        return known
    taps = known.circuit.taps
    if spread:
        taps = tap_arrays(_with_spread(vehicle, -1.0), known.circuit.slots, rules)
    emf_v = emf_at_most(battery)
    circuit = replace(
        known.circuit,
        taps=taps,
        emf_v=np.where(TURNS, known.circuit.emf_v, emf_v),
        resting_v=emf_v,
        source_ohm=ohm_at_least(battery),
        second=second,
    )
    return End(circuit, currents(circuit, limit_a=np.inf))


def _is_measured(second: SecondBattery | None) -> bool:
    """Whether nothing of a second battery is open that its voltage hangs on."""
    if second is None or second.rest_v is None or second.resistance_mohm is None:
        return False
    return second.link != "dcdc" or second.charger_a is not None


# --- what supplies a slot, where nobody said ------------------------------------------------------


class Unseen(Struct, frozen=True, eq=False):
    """All slots of one class whose feed is not known, taken together [A, (states,)]."""

    feed_class: FeedClass
    slots: int
    known_a: Floats
    most_a: Floats


def unseen(known: End, most: End) -> dict[FeedClass, Unseen]:
    """What the slots ask together whose feed nobody knows, by class; only classes that occur."""
    c = known.circuit.slots
    found = {}
    for feed_class in FEED_CLASSES:
        at = np.array([s.feed_class == feed_class for s in c.slots], dtype=bool) & ~c.feed_known
        if at.any():
            ends = [
                (end.slots.own_a + end.slots.accessory_a)[:, at].sum(axis=1)
                for end in (known, most)
            ]
            found[feed_class] = Unseen(feed_class, int(at.sum()), *ends)
    return found
