"""From the accessories and their leads to arrays: one column per tap, one row per state.

Out: plain arrays and index lists that `currents` turns into a network, with those of `sources`.

A power lead works when its source is live and its accessory wants to; a sense lead carries its own
small current and the coil of a relay; a converter takes what hangs behind it too.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.converters import Behind, Hanging, behind, hanging
from fusemap.assess.result import Floats, Mask
from fusemap.assess.sources import ASLEEP, SlotArrays, root_of
from fusemap.assess.switches import closed, state_mask
from fusemap.electrics.fuses import LONGEST_PULSE_S
from fusemap.electrics.loads import LOAD_EXPONENTS, tap_masks
from fusemap.vehicle import STATES, Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import LeadName


def rated_current(accessory: Accessory) -> float:
    """The current an accessory asks at its rated voltage [A]: given, or watts ÷ volts.

    >>> rated_current(Accessory(id="a", name="lamp", watts=90.0, rated_v=12.0))
    7.5
    """
    if accessory.amperes is not None:
        return accessory.amperes
    return (accessory.watts or 0.0) / accessory.rated_v


FAST_CYCLE_S = 10.0
"""A load that goes on and off faster than this warms a cable by its mean square [s]; ours: the
thinnest vehicle cable takes some 30 s to warm up."""
LASTING_H = 1.0
"""A load that stays on so long counts as permanent for the fuse of its cable [h]; ours."""
PARKED = np.array([True, True, False, False, False])


class TapArrays(Struct, frozen=True, eq=False):
    """Every tap: where it hangs, whether live and at work (states, taps), what it asks.

    `slot` and `feed` are columns (−1 none; see `SECOND`). `asked_a` is the current at `asked_at_v`,
    changing with the voltage by `exponent`. `heat_share` is the current that warms a cable for
    good over the one that flows while the load is on [-], `on_s` how long it stays on in one turn
    [s], 0 where that is so short that only the mean counts, or not known. `start_multiple` is a
    start over the lasting current where it takes so long that a fuse feels it as load [-], else 1.
    `lasting` marks loads that work for hours while parked, `behind` is what hangs behind
    converters, `earth_mohm` what the way back by the body has [mΩ]: as measured at its earth
    point, or the rule's.
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
    heat_share: Floats
    on_s: Floats
    start_multiple: Floats
    lasting: Mask
    behind: Behind
    earth_mohm: Floats


def tap_arrays(
    vehicle: Vehicle, slots: SlotArrays, rules: dict[str, float], *, most: bool = False
) -> TapArrays:
    """The arrays of all taps, in the vehicle's order; `most` is for the leads behind converters."""
    leads = _leads(vehicle, slots)
    live, works = _live(leads, slots)
    on = hanging(vehicle.accessories)
    power = _power(leads, works) if on else ()
    further = behind(on, power, leads.count, leads.wants, rules, most=most)
    at_v = np.array([a.rated_v for a in leads.accessories], dtype=float)
    asked = _asked(leads, works, rules) + further.asked_w / at_v
    masks = np.array([tuple(tap_masks(t.kind, t.way_round)) for t in leads.taps], dtype=float)
    masks = masks.reshape(leads.count, 4)
    turns = np.array([turns_of(a, t.lead, on, rules) for t, a in leads.pairs()], dtype=float)
    turns = turns.reshape(leads.count, 2)
    return TapArrays(
        ids=tuple(tap.id for tap in leads.taps),
        taps=leads.taps,
        accessories=leads.accessories,
        slot=leads.slot,
        feed=leads.feed,
        live=live,
        works=works,
        asked_a=np.where(live, asked, 0.0),
        asked_at_v=at_v,
        exponent=np.array([_exponent(t, a, on) for t, a in leads.pairs()], dtype=float),
        fuse_limit_a=fuse_limits(leads.taps, leads.slot, slots, rules),
        through_host=masks[:, 0],
        through_live=masks[:, 1],
        through_load=masks[:, 2],
        heat_share=turns[:, 0],
        on_s=turns[:, 1],
        start_multiple=np.array([_start_multiple(t, a) for t, a in leads.pairs()], dtype=float),
        lasting=works[ASLEEP]
        & np.array([works_for_hours(a) for a in leads.accessories], dtype=bool),
        behind=further,
        earth_mohm=earths_mohm(vehicle, leads.taps, rules),
    )


def earths_mohm(
    vehicle: Vehicle, taps: Sequence[Tap], rules: dict[str, float], *, most: bool = False
) -> Floats:
    """What the way back by the body has of each tap [mΩ, (taps,)]; see `earth_mohm`."""
    return np.array([earth_mohm(vehicle, tap, rules, most=most) for tap in taps], dtype=float)


def earth_mohm(vehicle: Vehicle, tap: Tap, rules: dict[str, float], *, most: bool = False) -> float:
    """What the way back by the body has from a tap's earth point [mΩ]: measured, or the rule's.

    A cable back to the battery's post leads to the battery itself; so does one that names no point,
    but at its `most`, where it may lead to the body.
    """
    point = None if tap.earth is None else look_up.earth(vehicle, tap.earth)
    if point is not None and point.resistance_mohm is not None:
        return point.resistance_mohm
    named = point is not None or most
    if tap.cable_back is not None and (not named or (point and point.kind == "battery_minus")):
        return 0.0
    return rules["body_return_mohm"]


class _Leads(Struct, frozen=True, eq=False):
    """The taps with their accessories and columns, and where each accessory's sense lead is live.

    `sensed` has the accessories whose sense lead is placed; `relays` the power tap of those that a
    relay switches.
    """

    taps: tuple[Tap, ...]
    accessories: tuple[Accessory, ...]
    slot: np.ndarray
    feed: np.ndarray
    sensed: dict[str, Mask]
    relays: dict[str, Tap]

    @property
    def count(self) -> int:
        """How many taps there are."""
        return len(self.taps)

    def pairs(self) -> Iterator[tuple[Tap, Accessory]]:
        """Each tap with its accessory."""
        return zip(self.taps, self.accessories, strict=True)

    def wants(self, accessory: Accessory) -> Mask:
        """In which states an accessory works when it has supply [(states,)]."""
        own = state_mask(accessory.works_in)
        sensed = self.sensed.get(accessory.id)
        if sensed is None:
            return own
        return sensed if accessory.id in self.relays else np.asarray(sensed | (own & PARKED))


def _leads(vehicle: Vehicle, slots: SlotArrays) -> _Leads:
    taps = vehicle.taps
    slot_column = {slot_id: column for column, slot_id in enumerate(slots.ids)}
    feed_column = {feed.id: column for column, feed in enumerate(vehicle.feeds)}
    by_id = {accessory.id: accessory for accessory in vehicle.accessories}
    slot = [-1 if t.slot is None else slot_column[t.slot] for t in taps]
    feed = [
        root_of(vehicle, by_id[t.accessory].battery) if t.feed is None else feed_column[t.feed]
        for t in taps
    ]
    always = np.ones(len(STATES), dtype=bool)
    return _Leads(
        taps=taps,
        accessories=tuple(by_id[tap.accessory] for tap in taps),
        slot=np.array(slot, dtype=np.intp),
        feed=np.array(feed, dtype=np.intp),
        sensed={
            t.accessory: (always if column < 0 else slots.live[:, column])
            & closed(t, by_id[t.accessory])
            for t, column in zip(taps, slot, strict=True)
            if t.lead == "sense"
        },
        relays={t.accessory: t for t in taps if t.relay and t.lead == "power"},
    )


def _live(leads: _Leads, slots: SlotArrays) -> tuple[Mask, Mask]:
    """Where each tap is live, and where its accessory works [(states, taps)]."""
    live = np.ones((len(STATES), leads.count), dtype=bool)
    works = np.zeros((len(STATES), leads.count), dtype=bool)
    for i, (tap, accessory) in enumerate(leads.pairs()):
        wants = leads.wants(accessory)
        if tap.slot is not None:
            live[:, i] = slots.live[:, leads.slot[i]]
        elif tap.relay:
            live[:, i] = wants
        live[:, i] &= closed(tap, accessory)
        if tap.lead == "power":
            works[:, i] = live[:, i] & wants
    return live, works


def _power(leads: _Leads, works: Mask) -> Sequence[tuple[int, Accessory, Mask]]:
    """The power taps: column, accessory, where it works."""
    return [
        (i, accessory, works[:, i])
        for i, (tap, accessory) in enumerate(leads.pairs())
        if tap.lead == "power"
    ]


def _asked(leads: _Leads, works: Mask, rules: dict[str, float]) -> Floats:
    """What each tap asks for itself, were it live in every state [A, (states, taps)]."""
    asked = np.zeros((len(STATES), leads.count))
    for i, (tap, accessory) in enumerate(leads.pairs()):
        if tap.lead == "sense":
            asked[:, i] = accessory.sense_a + _coil(leads.relays.get(tap.accessory), rules)
        else:
            asked[:, i] = np.where(works[:, i], rated_current(accessory), accessory.standby_a)
    return asked


def _coil(relay: Tap | None, rules: dict[str, float]) -> float:
    """What the coil of an accessory's relay draws on its sense lead [A], 0 without a relay."""
    if relay is None:
        return 0.0
    return rules["relay_coil_ma"] / 1000 if relay.relay_coil_a is None else relay.relay_coil_a


def _exponent(tap: Tap, accessory: Accessory, on: Hanging) -> float:
    """How a tap's current follows its voltage; a converter that is used holds its power."""
    if tap.lead != "power":
        return 0.0
    return LOAD_EXPONENTS["constant_power" if accessory.id in on else accessory.load_kind]


def turns_of(
    accessory: Accessory, lead: LeadName, on: Hanging, rules: Mapping[str, float]
) -> tuple[float, float]:
    """√duty [-] and the length of a turn [s] of a load that goes on and off.

    Of fast turns a cable feels only the mean of I²: they count as of no length. One that works for
    a short time only rests before the next for as long as its duty says, else as the rule says.
    """
    if lead != "power" or accessory.id in on:
        return 1.0, 0.0
    period, short, duty = accessory.duty_period_s, accessory.short_s, accessory.duty
    if short is None and (period <= 0.0 or duty >= 1.0):
        return 1.0, 0.0
    one = 0.0 if period < FAST_CYCLE_S else duty * period
    if short is None:
        return float(duty**0.5), one
    if duty >= 1.0:
        duty = short / (short + 60.0 * rules["short_rest_min"])
    return float(duty**0.5), max(short, one)


def works_for_hours(accessory: Accessory) -> bool:
    """Whether an accessory works while the vehicle is parked, an hour or longer at a time."""
    if "asleep" not in accessory.works_in:
        return False
    longest_h = np.inf if accessory.run_on_min is None else accessory.run_on_min / 60
    if accessory.timetable:
        spans = ((span.to_h - span.from_h) % 24 for span in accessory.timetable)
        longest_h = min(longest_h, max(spans))
    if accessory.short_s is not None:
        longest_h = min(longest_h, accessory.short_s / 3600)
    if accessory.duty < 1.0 and accessory.duty_period_s > 0.0:
        longest_h = min(longest_h, accessory.duty * accessory.duty_period_s / 3600)
    return longest_h >= LASTING_H


def fuse_load_a(taps: TapArrays, peak_a: Floats) -> Floats:
    """What each tap's own fuse has to bear for long [A, (taps,)], of the peaks it carries [A].

    A long start is load. Of turns that the fuse certainly bears only the mean heat counts.
    """
    found = peak_a * taps.start_multiple
    for column in np.flatnonzero((taps.on_s > 0) & (taps.start_multiple == 1.0)):
        fuse, peak = taps.taps[column].fuse, float(peak_a[column])
        if fuse and facts.bears_turn(fuse.family, fuse.rating, peak, float(taps.on_s[column])):
            found[column] = peak * taps.heat_share[column]
    return found


def _start_multiple(tap: Tap, accessory: Accessory) -> float:
    """A start over the lasting current, where it is no pulse any more but load [-]."""
    long = tap.lead == "power" and accessory.inrush_s > LONGEST_PULSE_S
    return max(1.0, accessory.inrush_multiple) if long else 1.0


def fuse_limits(
    taps: Sequence[Tap], slot: np.ndarray, slots: SlotArrays, rules: dict[str, float]
) -> Floats:
    """What each tap's own fuse carries for long [A, (taps,)], infinite where there is none."""
    bay, share = rules["ambient_engine_bay_c"], rules["continuous_share"]
    limits = [
        np.inf
        if tap.fuse is None
        # the accessory fuse sits at the slot, or by the battery in an own feed
        else facts.fuse_limit(
            tap.fuse.family, tap.fuse.rating, bay if at < 0 else float(slots.ambient_c[at]), share
        )
        for tap, at in zip(taps, slot, strict=True)
    ]
    return np.array(limits, dtype=float)
