"""What supplies a vehicle, as arrays: one column per slot and feed, one row per state.

Out: plain arrays, and the resistances of cables and fuses. Nothing is computed here beyond
look-ups; what a part says and what a table says meet in these arrays.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.result import Floats, Mask
from fusemap.electrics.cable import resistance_ohm
from fusemap.electrics.protection import FAULT_CABLE_C
from fusemap.vehicle import (
    BATTERY,
    FEED_CLASSES,
    LIVE_IN,
    STATES,
    Cable,
    Feed,
    FeedClass,
    Fuse,
    Parking,
    Slot,
    StateLoads,
    Vehicle,
)
from fusemap.vehicle.words import BatteryName, Place

LIVE: dict[FeedClass, tuple[bool, ...]] = {
    feed_class: tuple(state in LIVE_IN[feed_class] for state in STATES)
    for feed_class in FEED_CLASSES
}
NAN = float("nan")
ASLEEP = STATES.index("asleep")


@lru_cache(maxsize=8192)
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


class SlotArrays(Struct, frozen=True, eq=False):
    """Every slot: live and own load (states, slots), feed column (−1 the battery), limits.

    `own_most_a` is the most that the own load may be, `whole_most_a` (states,) the most that all
    the vehicle's own loads may be together, infinite where nothing bounds them. `feed_known` is
    false where nobody said what supplies a slot: it hangs on column −1, too. Of an own load that is
    `unread` the fuse alone says how much it may be; no more than `host_own_a` of it passes there.
    """

    ids: tuple[str, ...]
    slots: tuple[Slot, ...]
    live: Mask
    own_a: Floats
    own_most_a: Floats
    own_known: Mask
    unread: Mask
    host_own_a: Floats
    whole_most_a: Floats
    feed: np.ndarray
    feed_known: Mask
    host_limit_a: Floats
    contact_limit_a: Floats
    ambient_c: Floats


def ambient(place: str, rules: dict[str, float], own_c: float | None = None) -> float:
    """The ambient [°C] reckoned with at a place of the vehicle."""
    return rules[f"ambient_{place}_c"] if own_c is None else own_c


MILD_PLACES: Final[tuple[Place, ...]] = ("cabin", "boot")
"""Places that a rule takes at the temperature at which fuses are stated; the sun warms them."""


def warmest(vehicle: Vehicle, rules: dict[str, float]) -> dict[str, float]:
    """The rules with the ambient of each place at the most that it may be.

    Where nobody said how warm it gets there, by the rule or at a panel, that is the table's.
    """
    chosen = {choice.key for choice in vehicle.rules}
    found = {}
    for place in MILD_PLACES:
        key = f"ambient_{place}_c"
        said = [p.ambient_c for p in vehicle.panels if p.place == place and p.ambient_c is not None]
        if key not in chosen:
            hot = max(said) if said else tables.unanswered(key).hard
            found[key] = max(rules[key], hot)
    return rules | found


def unsaid_places(vehicle: Vehicle) -> tuple[Place, ...]:
    """Places of which nobody said how warm they get, and that are reckoned with as usual."""
    chosen = {choice.key for choice in vehicle.rules}
    said = {panel.place for panel in vehicle.panels if panel.ambient_c is not None}
    return tuple(p for p in MILD_PLACES if p not in said and f"ambient_{p}_c" not in chosen)


def slot_arrays(vehicle: Vehicle, rules: dict[str, float]) -> SlotArrays:
    """The arrays of all fuse slots, in the panels' order, without relays and blocked places.

    An output of a control unit is among them, with none of its own load: its limit is what may
    hang there besides, and what it feeds itself belongs to what its feed carries else.
    """
    feeds = {feed.id: column for column, feed in enumerate(vehicle.feeds)}
    rows = _in_their_warmth(vehicle, rules)
    slots = tuple(slot for slot, _ in rows)
    live = _by_state([LIVE[s.feed_class] for s in slots]).astype(bool)
    nothing = (0.0,) * len(STATES)
    own = _by_state([nothing if s.kind == "module" else state_loads(s.own_load) for s in slots])
    most = _by_state([nothing if s.kind == "module" else state_loads(s.own_most) for s in slots])
    known = ~np.isnan(own)
    share, holder = rules["continuous_share"], rules["holder_share"]
    host = _host_limits(rows, share)
    usual = [facts.contact_limit(s.family, holder) for s in slots]
    by_fuse = rules["own_load_share"] * np.where(np.isfinite(host), host, usual)
    whole = _whole_most(vehicle.parking, rules)
    by_fuse = np.minimum(by_fuse, whole[:, None])
    unread = np.isnan(most) & ~known
    most = np.where(np.isnan(most), np.where(known, own, by_fuse), np.fmax(most, own))
    return SlotArrays(
        ids=tuple(s.id for s in slots),
        slots=slots,
        live=live,
        own_a=np.where(known & live, own, 0.0),
        own_most_a=np.where(live, most, 0.0),
        own_known=known | ~live,
        unread=unread,
        host_own_a=np.full(own.shape, np.inf),
        whole_most_a=whole,
        feed=np.array([feeds.get(s.feed or BATTERY, -1) for s in slots], dtype=np.intp),
        feed_known=np.array([s.feed is not None for s in slots], dtype=bool),
        host_limit_a=host,
        contact_limit_a=np.array(
            [
                found if slot.contact_limit_a is None else slot.contact_limit_a
                for slot, found in zip(slots, usual, strict=True)
            ],
            dtype=float,
        ),
        ambient_c=np.array([warm for _, warm in rows], dtype=float),
    )


def in_the_sun(slots: SlotArrays, vehicle: Vehicle, warm: dict[str, float]) -> SlotArrays:
    """The slots with their places as warm as they may get: their fuses carry less there.

    `warm` are the rules as `warmest` has them. What nobody read of an own load passes its fuse in
    the sun, too, so it is no more than that carries there; what flows elsewhere stays.
    """
    rows = _in_their_warmth(vehicle, warm)
    host = _host_limits(rows, warm["continuous_share"])
    own = np.where(slots.unread, warm["own_load_share"] * host, np.inf)
    at = np.array([each for _, each in rows], dtype=float)
    return replace(slots, host_limit_a=host, host_own_a=own, ambient_c=at)


def _in_their_warmth(vehicle: Vehicle, rules: dict[str, float]) -> list[tuple[Slot, float]]:
    """Every fuse slot and output in the panels' order, with the ambient of its place [°C]."""
    return [
        (slot, ambient(panel.place, rules, panel.ambient_c))
        for panel in vehicle.panels
        for slot in panel.slots
        if slot.kind in ("fuse", "module")
    ]


def _host_limits(rows: Sequence[tuple[Slot, float]], share: float) -> Floats:
    """What the host fuse of each of these slots carries for long [A, (slots,)]."""
    return np.array([_host_limit(slot.fuse, warm, share) for slot, warm in rows], dtype=float)


def _whole_most(parking: Parking, rules: dict[str, float]) -> Floats:
    """The most the whole vehicle draws by itself, parked [A, (states,)], infinite with the key in.

    As measured; asleep, where it was not, what a vehicle draws that still starts after a night.
    """
    asleep = [parking.high_rest_current_a, parking.rest_current_a]
    measured = [each for each in asleep if each is not None]
    found = np.full(len(STATES), np.inf)
    found[ASLEEP] = max(measured) if measured else rules["asleep_most_a"]
    if parking.awake_current_a is not None:
        found[STATES.index("awake")] = parking.awake_current_a
    return found


def _by_state(rows: Sequence[tuple[float, ...]]) -> Floats:
    """Rows with a value for each state, as (states, rows)."""
    return np.array(rows, dtype=float).reshape(len(rows), len(STATES)).T


def _host_limit(fuse: Fuse | None, warm_c: float, share: float) -> float:
    """What a host fuse carries for long [A], infinite where none is entered."""
    if fuse is None:
        return float("inf")
    return facts.fuse_limit(fuse.family, fuse.rating, warm_c, share)


class FeedArrays(Struct, frozen=True, eq=False):
    """Every feed: parent column (−1 the battery), resistance [Ω], limit [A], and its own loads.

    `said_a` (states, feeds) is what somebody said it carries besides the slots and feeds below it,
    `carried_a` what all below it drew together when that was measured, NaN where it was not.
    `other_a` is what is known to flow there besides, see `ends.known_other_a`. `open_a` is the most
    that the vehicle draws on a feed of which nobody knows a limit.
    """

    ids: tuple[str, ...]
    parent: np.ndarray
    ohm: Floats
    limit_a: Floats
    said_a: Floats
    carried_a: Floats
    other_a: Floats
    open_a: float


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
    said = _by_state([state_loads(f.other_load) for f in feeds])
    return FeedArrays(
        ids=tuple(feed.id for feed in feeds),
        parent=np.array(
            [root_of(vehicle, f.battery) if f.parent is None else column[f.parent] for f in feeds],
            dtype=np.intp,
        ),
        ohm=np.array([feed_mohm(f, rules) / 1000 for f in feeds], dtype=float),
        limit_a=np.array([feed_limit(f, rules) for f in feeds], dtype=float),
        said_a=said,
        carried_a=_by_state([state_loads(f.carried) for f in feeds]),
        other_a=np.nan_to_num(said),
        open_a=rules["feed_open_a"],
    )


STARTER, SECOND = -1, -2
"""Columns of no feed: what has one hangs on the battery itself, the starter's or the second."""


def root_of(vehicle: Vehicle, battery: BatteryName) -> int:
    """The column that stands for one of the batteries; for the starter's where there is one."""
    return SECOND if battery == "second" and vehicle.second_battery is not None else STARTER


def roots(feeds: FeedArrays) -> np.ndarray:
    """The battery that each feed hangs on in the end [(feeds,)], as `STARTER` or `SECOND`."""
    found = feeds.parent.copy()
    while (found >= 0).any():
        found = np.where(found >= 0, feeds.parent[np.maximum(found, 0)], found)
    return found


LEAST_FEED_FUSE_A: Final = 30.0
"""The smallest fuse that feeds several slots [A], our judgement."""


def feed_mohm(
    feed: Feed,
    rules: dict[str, float],
    *,
    most: bool = False,
    least_a: float = LEAST_FEED_FUSE_A,
) -> float:
    """Resistance of a feed with its cable and fuse [mΩ]; what is not known is none.

    At its `most` what is not known is the rule's, the fuse's own that of a like fuse, and the cable
    as warm as in a short. Where nobody said which fuse protects it, there is such a one, too, at
    least of `least_a` [A] (`least_feed_fuse_a`), but for a feed of which limit and resistance were
    entered: that is known as a whole.
    """
    copper = 0.0 if feed.cable is None else cable_mohm(feed.cable, rules, most=most)
    own = feed.resistance_mohm + copper
    if most and own == 0:
        own = rules["feed_unknown_mohm"]
    said = feed.limit_a is not None and (feed.added or feed.resistance_mohm > 0)
    if most and feed.fuse is None and not said:
        limit = np.inf if feed.limit_a is None else feed.limit_a
        return own + facts.like_resistance_mohm(min(least_a, limit))
    return own + fuse_mohm(feed.fuse, most=most)


def least_feed_fuse_a(*, small: bool) -> float:
    """The smallest fuse that feeds several slots [A]; a motorcycle's is smaller, our judgement."""
    return 15.0 if small else LEAST_FEED_FUSE_A


def cable_mohm(cable: Cable, rules: dict[str, float], *, most: bool = False) -> float:
    """Resistance of a cable's copper where it lies [mΩ], at its `most` as warm as in a short."""
    wire = facts.wire(cable.section_mm2, cable.insulation)
    warm = FAULT_CABLE_C if most else ambient(cable.place, rules)
    return 1000 * float(resistance_ohm(wire.r20_mohm_per_m, cable.whole_m, warm))


def fuse_mohm(fuse: Fuse | None, *, most: bool = False) -> float:
    """Resistance of a fuse at full load [mΩ]; where none is published 0, or at most a like fuse's.

    0 where there is no fuse.
    """
    if fuse is None:
        return 0.0
    known = facts.fuse_resistance(fuse)
    if known is None:
        return facts.like_resistance_mohm(fuse.rating) if most else 0.0
    return known.cold_mohm * known.hot_to_cold
