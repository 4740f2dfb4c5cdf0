"""From the vehicle's parts to arrays: one column per slot, feed and tap, one row per state.

Out: plain arrays and index lists that `currents` turns into a network. Nothing is computed here
beyond look-ups; what a part says and what a table says meet in these arrays.
"""

from dataclasses import dataclass

import numpy as np

from fusemap.assess import facts
from fusemap.assess.result import Floats, Mask
from fusemap.electrics.loads import LOAD_EXPONENTS
from fusemap.electrics.taps import tap_masks
from fusemap.vehicle import (
    FEED_CLASSES,
    LIVE_IN,
    STATES,
    Accessory,
    Feed,
    FeedClass,
    Fuse,
    Slot,
    StateLoads,
    Tap,
    Vehicle,
)

LIVE: dict[FeedClass, tuple[bool, ...]] = {
    feed_class: tuple(state in LIVE_IN[feed_class] for state in STATES)
    for feed_class in FEED_CLASSES
}
NAN = float("nan")


def state_loads(loads: StateLoads) -> tuple[float, ...]:
    """A current per state, NaN where it was not measured."""
    return tuple(
        NAN if value is None else value
        for value in (
            loads.asleep,
            loads.awake,
            loads.accessory,
            loads.ignition,
            loads.running,
        )
    )


@dataclass(frozen=True, eq=False)
class SlotArrays:
    """Every slot: live and own load (states, slots), feed column (−1 the battery), limits."""

    ids: tuple[str, ...]
    slots: tuple[Slot, ...]
    live: Mask
    own_a: Floats
    own_known: Mask
    feed: np.ndarray
    host_limit_a: Floats
    contact_limit_a: Floats
    ambient_c: Floats


def ambient(place: str, rules: dict[str, float], own_c: float | None = None) -> float:
    """The ambient [°C] reckoned with at a place of the vehicle."""
    return rules[f"ambient_{place}_c"] if own_c is None else own_c


def slot_arrays(vehicle: Vehicle, rules: dict[str, float]) -> SlotArrays:
    """The arrays of all fuse slots, in the panels' order, without relays and blocked places."""
    feeds = {feed.id: column for column, feed in enumerate(vehicle.feeds)}
    rows = [
        (slot, ambient(panel.place, rules, panel.ambient_c))
        for panel in vehicle.panels
        for slot in panel.slots
        if slot.kind == "fuse"
    ]
    slots = tuple(slot for slot, _ in rows)
    count = len(slots)
    live = np.array([LIVE[s.feed_class] for s in slots], dtype=bool).reshape(count, 5).T
    own = np.array([state_loads(s.own_load) for s in slots], dtype=float).reshape(count, 5).T
    known = ~np.isnan(own)
    share, holder = rules["continuous_share"], rules["holder_share"]
    return SlotArrays(
        ids=tuple(s.id for s in slots),
        slots=slots,
        live=live,
        own_a=np.where(known & live, own, 0.0),
        own_known=known | ~live,
        feed=np.array([-1 if s.feed is None else feeds[s.feed] for s in slots], dtype=np.intp),
        host_limit_a=np.array(
            [
                np.inf
                if s.fuse is None
                else facts.fuse_limit(s.fuse.family, s.fuse.rating, warm, share)
                for s, warm in rows
            ],
            dtype=float,
        ),
        contact_limit_a=np.array(
            [
                facts.contact_limit(s.family, holder)
                if s.contact_limit_a is None
                else s.contact_limit_a
                for s in slots
            ],
            dtype=float,
        ),
        ambient_c=np.array([warm for _, warm in rows], dtype=float),
    )


@dataclass(frozen=True, eq=False)
class FeedArrays:
    """Every feed: parent column (−1 the battery), resistance [Ω], limit [A], other load."""

    ids: tuple[str, ...]
    parent: np.ndarray
    ohm: Floats
    limit_a: Floats
    other_a: Floats


def feed_limit(feed: Feed, rules: dict[str, float]) -> float:
    """What a feed may carry for long [A]: its own limit and its fuse's, the tighter."""
    limit = np.inf if feed.limit_a is None else feed.limit_a
    if feed.fuse is not None:
        warm = ambient(feed.place, rules)
        by_fuse = facts.fuse_limit(
            feed.fuse.family, feed.fuse.rating, warm, rules["continuous_share"]
        )
        limit = min(limit, by_fuse)
    return float(limit)


def feed_arrays(vehicle: Vehicle, rules: dict[str, float]) -> FeedArrays:
    """The arrays of all feeds, in the vehicle's order."""
    feeds = vehicle.feeds
    column = {feed.id: index for index, feed in enumerate(feeds)}
    other = np.array([state_loads(f.other_load) for f in feeds], dtype=float)
    return FeedArrays(
        ids=tuple(feed.id for feed in feeds),
        parent=np.array(
            [-1 if f.parent is None else column[f.parent] for f in feeds], dtype=np.intp
        ),
        ohm=np.array([(f.resistance_mohm + fuse_mohm(f.fuse)) / 1000 for f in feeds], dtype=float),
        limit_a=np.array([feed_limit(f, rules) for f in feeds], dtype=float),
        other_a=np.nan_to_num(other.reshape(len(feeds), 5).T),
    )


def fuse_mohm(fuse: Fuse | None) -> float:
    """Resistance of a fuse at full load [mΩ]; 0 where there is none or none is published."""
    known = None if fuse is None else facts.fuse_resistance(fuse)
    return 0.0 if known is None else known.cold_mohm * known.hot_to_cold


@dataclass(frozen=True, eq=False)
class TapArrays:
    """Every tap: where it hangs, whether live and at work (states, taps), what it asks.

    `slot` and `feed` are columns (−1 none). `asked_a` is the current at `asked_at_v`, changing with
    the voltage by `exponent`.
    """

    ids: tuple[str, ...]
    taps: tuple[Tap, ...]
    accessories: tuple[Accessory, ...]
    slot: np.ndarray
    feed: np.ndarray
    live: Mask
    works: Mask
    asked_a: Floats
    asked_at_v: Floats
    exponent: Floats
    fuse_limit_a: Floats
    through_host: Floats
    through_live: Floats
    through_load: Floats


def rated_current(accessory: Accessory) -> float:
    """The current an accessory asks at its rated voltage [A]: given, or watts ÷ volts.

    >>> rated_current(Accessory(id="a", name="lamp", watts=90.0, rated_v=12.0))
    7.5
    """
    if accessory.amperes is not None:
        return accessory.amperes
    return (accessory.watts or 0.0) / accessory.rated_v


def tap_arrays(vehicle: Vehicle, slots: SlotArrays, rules: dict[str, float]) -> TapArrays:
    """The arrays of all taps, in the vehicle's order."""
    taps = vehicle.taps
    count = len(taps)
    slot_column = {slot_id: column for column, slot_id in enumerate(slots.ids)}
    feed_column = {feed.id: column for column, feed in enumerate(vehicle.feeds)}
    by_id = {accessory.id: accessory for accessory in vehicle.accessories}
    accessories = tuple(by_id[tap.accessory] for tap in taps)
    slot = np.array([-1 if t.slot is None else slot_column[t.slot] for t in taps], dtype=np.intp)
    feed = np.array([-1 if t.feed is None else feed_column[t.feed] for t in taps], dtype=np.intp)
    sense = {t.accessory: slot[i] for i, t in enumerate(taps) if t.lead == "sense"}
    relayed = {t.accessory for t in taps if t.relay and t.lead == "power"}
    live = np.ones((5, count), dtype=bool)
    works = np.zeros((5, count), dtype=bool)
    for i, (tap, accessory) in enumerate(zip(taps, accessories, strict=True)):
        sensed = _column(slots, sense.get(tap.accessory, -2))
        own = np.array([state in accessory.works_in for state in STATES])
        if tap.slot is not None:
            live[:, i] = slots.live[:, slot[i]]
        elif tap.relay:
            live[:, i] = own if sensed is None else sensed
        if tap.lead == "power":
            parked = np.array([True, True, False, False, False])
            wants = own if sensed is None else sensed | (own & parked & ~np.bool_(tap.relay))
            works[:, i] = live[:, i] & wants
    coil = rules["relay_coil_ma"] / 1000
    asked = np.zeros((5, count))
    for i, (tap, accessory) in enumerate(zip(taps, accessories, strict=True)):
        if tap.lead == "sense":
            asked[:, i] = accessory.sense_a + (coil if tap.accessory in relayed else 0.0)
        else:
            asked[:, i] = np.where(works[:, i], rated_current(accessory), accessory.standby_a)
    masks = np.array([tuple(tap_masks(t.kind, t.way_round)) for t in taps], dtype=float).reshape(
        count, 4
    )
    return TapArrays(
        ids=tuple(tap.id for tap in taps),
        taps=taps,
        accessories=accessories,
        slot=slot,
        feed=feed,
        live=live,
        works=works,
        asked_a=np.where(live, asked, 0.0),
        asked_at_v=np.array([a.rated_v for a in accessories], dtype=float),
        exponent=np.array(
            [
                LOAD_EXPONENTS[a.load_kind] if t.lead == "power" else 0.0
                for t, a in zip(taps, accessories, strict=True)
            ],
            dtype=float,
        ),
        fuse_limit_a=np.array(
            [
                np.inf
                if t.fuse is None
                else facts.fuse_limit(
                    t.fuse.family,
                    t.fuse.rating,
                    # the accessory fuse sits at the slot, or by the battery in an own feed
                    rules["ambient_engine_bay_c"] if at < 0 else float(slots.ambient_c[at]),
                    rules["continuous_share"],
                )
                for t, at in zip(taps, slot, strict=True)
            ],
            dtype=float,
        ),
        through_host=masks[:, 0],
        through_live=masks[:, 1],
        through_load=masks[:, 2],
    )


def _column(slots: SlotArrays, column: int) -> Mask | None:
    """In which states a sense lead is live: on its slot, always on an own feed, `None` unplaced."""
    if column == -2:
        return None
    return np.ones(5, dtype=bool) if column == -1 else slots.live[:, column]
