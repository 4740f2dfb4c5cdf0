"""From the vehicle's parts to arrays: one column per slot and feed, one row per state.

Out: plain arrays and index lists that `currents` turns into a network. Nothing is computed here
beyond look-ups; what a part says and what a table says meet in these arrays. The taps are in
`gather_taps`.
"""

from dataclasses import dataclass

import numpy as np

from fusemap.assess import facts
from fusemap.assess.result import Floats, Mask
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


def rated_current(accessory: Accessory) -> float:
    """The current an accessory asks at its rated voltage [A]: given, or watts ÷ volts.

    >>> rated_current(Accessory(id="a", name="lamp", watts=90.0, rated_v=12.0))
    7.5
    """
    if accessory.amperes is not None:
        return accessory.amperes
    return (accessory.watts or 0.0) / accessory.rated_v
