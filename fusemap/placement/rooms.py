"""What one lead asks of its source, state by state, and what is left for it at every slot.

In: an assessed vehicle, an accessory (in it or not), one of its leads. Out: the `Ask`: currents
[A, (states,)] as they would be were the source live in every state, and the mean while parked. They
are bounds: a constant power is reckoned at the lowest voltage any feed may have, less the allowed
drop; a lamp or a heater at the highest. Source: I = I0·(V/V0)^p (`electrics.loads.LOAD_EXPONENTS`).

And the room for it, there and at every place above: arrays [A, (places, slots)], the tightest place
of every slot, and the load shares of the vehicle's own parts [(slots,)]. The lead's own current,
where it is placed already, does not stand in its own way.

A tap on the live side loads live contact, tap, its fuse and everything upstream. Where the live
side was not measured the host fuse may carry the accessory too and has to have room for it.
"""

from functools import cached_property, lru_cache

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import Assessment, facts
from fusemap.assess.converters import most_behind_w
from fusemap.assess.end import End
from fusemap.assess.gather import rated_current, works_for_hours
from fusemap.assess.result import Floats, Mask
from fusemap.electrics.fuses import LONGEST_PULSE_S, inrush_check
from fusemap.electrics.loads import LOAD_EXPONENTS
from fusemap.vehicle import PARKED_STATES, STATES, Accessory, look_up
from fusemap.vehicle.words import LeadName

ASLEEP = STATES.index("asleep")
PARKED = np.array([state in PARKED_STATES for state in STATES])
LOWEST_SHARE = 0.7
"""A voltage is never reckoned below this share of the rated one: the drop checks tell that."""


class Ask(Struct, frozen=True, eq=False):
    """What one lead asks [A, (states,)] of a source that is live in every state.

    `rest_a` is the mean while the vehicle is parked and asleep; `start_a` the peak at switching on,
    `pulse_a2s` the I²t of it where it is short; `lasting_a` what its fuse has to bear for good: a
    start that lasts longer than a pulse counts as load.
    """

    accessory: Accessory
    lead: LeadName
    current_a: Floats
    rest_a: float
    start_a: float
    pulse_a2s: float

    @property
    def peak_a(self) -> float:
        """The most it asks in any state [A]."""
        return float(self.current_a.max())

    def times(self, factor: float) -> "Ask":
        """The same with so much more current while it works."""
        return replace(self, current_a=self.current_a * factor, start_a=self.start_a * factor)

    @property
    def largest_fuse_a(self) -> float:
        """The largest fuse the device's maker allows in front of this lead [A], inf if not said."""
        largest = self.accessory.largest_fuse_a
        return np.inf if largest is None or self.lead != "power" else largest

    @property
    def lasting_a(self) -> float:
        """What its fuse has to bear for good [A]."""
        long = self.lead == "power" and self.accessory.inrush_s > LONGEST_PULSE_S
        return self.start_a if long else self.peak_a


def ask_of(
    a: Assessment, accessory: Accessory, lead: LeadName, *, relayed: bool | None = None
) -> Ask:
    """What a lead asks. `relayed`: whether a relay's coil hangs on the sense lead (`None`: as now).

    An accessory whose sense lead has no place yet is reckoned as at work in every state but asleep:
    wherever that lead goes, it asks no more.
    """
    if lead == "sense":
        coil = _is_relayed(a, accessory) if relayed is None else relayed
        drawn = accessory.sense_a + (_coil(a, accessory) if coil else 0.0)
        return Ask(accessory, lead, np.full(len(STATES), drawn), drawn, drawn, 0.0)
    works = _works(a, accessory)
    current = np.where(works, worst_current(a, accessory), accessory.standby_a)
    start = float(current.max()) * max(1.0, accessory.inrush_multiple)
    short = accessory.inrush_s <= LONGEST_PULSE_S
    return Ask(
        accessory,
        lead,
        current,
        _rest(accessory, bool(works[ASLEEP]), float(current[ASLEEP])),
        start,
        start**2 * accessory.inrush_s if short else 0.0,
    )


def worst_current(a: Assessment, accessory: Accessory) -> Floats:
    """The most an accessory draws while it works [A, (states,)], over the voltages it may get.

    A converter takes all that hangs behind it too, at work at once.
    """
    behind_w = most_behind_w(a.vehicle.accessories, accessory, a.rule_values)
    exponent = LOAD_EXPONENTS["constant_power" if behind_w else accessory.load_kind]
    rated = accessory.rated_v
    if exponent < 0:
        feeds = a.most.feeds.voltage_v
        lowest = np.minimum(a.most.currents.battery_v, feeds.min(axis=1) if feeds.size else np.inf)
        lowest = lowest - a.rule("allowed_drop_share") * a.vehicle.system_v
        volts = np.clip(lowest, LOWEST_SHARE * rated, rated)
    else:
        volts = np.maximum(a.circuit.emf_v, rated)
    whole = rated_current(accessory) + behind_w / rated
    return np.asarray(whole * (volts / rated) ** exponent)


def _is_relayed(a: Assessment, accessory: Accessory) -> bool:
    tap = look_up.tap_of(a.vehicle, accessory.id)
    return tap is not None and tap.relay


def _coil(a: Assessment, accessory: Accessory) -> float:
    """What the coil of its relay draws [A]: the relay's own figure, else the rule's."""
    tap = look_up.tap_of(a.vehicle, accessory.id)
    own = None if tap is None else tap.relay_coil_a
    return a.rule("relay_coil_ma") / 1000 if own is None else own


def _works(a: Assessment, accessory: Accessory) -> Mask:
    """In which states it works if its source is live."""
    own = np.array([state in accessory.works_in for state in STATES])
    if "sense" not in accessory.leads:
        return own
    tap = look_up.tap_of(a.vehicle, accessory.id, "sense")
    if tap is None:
        return np.asarray(own | ~(np.arange(len(STATES)) == ASLEEP))
    live = np.ones(len(STATES), dtype=bool)
    if tap.slot is not None:
        live = a.slots.live[:, a.slots.index[tap.slot]]
    return np.asarray(live | (own & PARKED))


def rest_on(a: Assessment, ask: Ask, column: int) -> float:
    """What a lead on slot number `column` adds to the rest current [A].

    On a slot that is live asleep its mean; on a delayed-off slot what it draws until that is dead,
    spread over the first day. A sense lead on one keeps its accessory at work as long.
    """
    slot = a.circuit.slots.slots[column]
    if a.slots.live[ASLEEP, column]:
        return ask.rest_a
    if slot.feed_class != "delayed_off":
        return 0.0
    awake = float(ask.current_a[STATES.index("awake")])
    if ask.lead == "sense":
        awake += float(worst_current(a, ask.accessory).max())
    return awake * min(slot.delayed_off_min / (24 * 60), 1.0)


def _rest(accessory: Accessory, works: bool, asleep_a: float) -> float:
    """The mean current while parked and asleep [A], timers and duty reckoned in."""
    standby = accessory.standby_a
    if not works or accessory.run_on_min is not None:
        return standby
    working = asleep_a * accessory.duty
    if not accessory.timetable:
        return working
    hours = sum((span.to_h - span.from_h) % 24 for span in accessory.timetable)
    return standby + max(0.0, working - standby) * min(1.0, hours / 24)


CONTACT, CEILING, FUSE, HOST, FEED = range(5)
PLACES = ("contact", "ceiling", "fuse", "host", "feed")
"""Rules about room, in the order of the arrays' first axis."""


class Base(Struct, frozen=True, eq=False):
    """What flows without the lead [A]: at live contacts and hosts (states, slots), in feeds.

    Each at what is known, and at the most that it may be. `above[f, s]` says that feed f lies above
    slot s.
    """

    contact_a: Floats
    host_a: Floats
    feed_a: Floats
    most_contact_a: Floats
    most_host_a: Floats
    most_feed_a: Floats
    above: Mask


def base_of(a: Assessment, accessory_id: str = "", lead: str = "power") -> Base:
    """What flows in the vehicle without one lead of an accessory."""
    above = feeds_over_slots(a)
    known, most = (_without(a, end, above, accessory_id, lead) for end in (a.known, a.most))
    return Base(*known, *most, above)


def _without(
    a: Assessment, end: End, above: Mask, accessory_id: str, lead: str
) -> tuple[Floats, Floats, Floats]:
    """Contacts, hosts and feeds at one end [A], without one lead of an accessory."""
    contact, host = end.slots.live_contact_a.copy(), end.slots.host_a.copy()
    feed = end.feeds.current_a.copy()
    tap = next((t for t in a.vehicle.taps if (t.accessory, t.lead) == (accessory_id, lead)), None)
    if tap is not None:
        column = a.taps.index[tap.id]
        drawn = end.taps.current_a[:, column]
        at = int(a.circuit.taps.slot[column])
        if at >= 0:
            contact[:, at] -= drawn * a.circuit.taps.through_live[column]
            host[:, at] -= drawn * a.circuit.taps.through_host[column]
            feed -= drawn[:, None] * above[:, at]
        elif tap.feed is not None:
            feed -= drawn[:, None] * np.isin(a.feeds.ids, list(_upwards(a, tap.feed)))
    return contact, host, feed


def _upwards(a: Assessment, feed_id: str | None) -> list[str]:
    """A feed and its parents."""
    found = []
    while feed_id is not None:
        found.append(feed_id)
        feed_id = look_up.feed(a.vehicle, feed_id).parent
    return found


def feeds_over_slots(a: Assessment) -> Mask:
    """Which feeds lie above which slots [(feeds, slots)]."""
    feeds = a.circuit.feeds
    count = len(feeds.ids)
    over = np.zeros((count + 1, count), dtype=bool)
    for column in range(count):
        at = column
        while at >= 0:
            over[column, at] = True
            at = int(feeds.parent[at])
    return np.asarray(over[a.circuit.slots.feed].T)  # row −1, straight from the battery, is empty


class Rooms(Struct, frozen=True, eq=False, dict=True):
    """What one lead would leave at every slot.

    `left_a` [A, (places, slots)] by what is known, in the order of `PLACES`, negative where
    something would be overloaded; `least_a` [A, (slots,)] the least that may be left, everything
    that is not known at its most; `feed` is the column of the tightest feed (−1 none); `fuse_a` the
    largest accessory fuse that tap and host allow [A], `worn` where even that one does not bear the
    start; `share` the worst load share that
    the vehicle's own parts may have.
    """

    ask: Ask
    left_a: Floats
    least_a: Floats
    feed: np.ndarray
    fuse_a: Floats
    worn: Mask
    share: Floats

    @cached_property
    def tightest(self) -> np.ndarray:
        """The place with the least left, of every slot."""
        return np.asarray(self.left_a.argmin(axis=0))

    @cached_property
    def margin_a(self) -> Floats:
        """What is left there [A, (slots,)]."""
        return np.asarray(self.left_a.min(axis=0))


def rooms(a: Assessment, ask: Ask) -> Rooms:
    """What a lead would leave at every slot, at every place above it."""
    base = base_of(a, ask.accessory.id, ask.lead)
    slots, live = a.slots, a.slots.live
    asked = ask.current_a[:, None] * live
    relevant = live | ~live.any(axis=0)
    peak = np.where(relevant, ask.current_a[:, None], 0.0).max(axis=0)
    lasts = np.maximum(peak, ask.lasting_a * (peak > 0))
    unsure = np.array([s.live_side == "unknown" for s in a.circuit.slots.slots], dtype=bool)
    fuse_a, fuse_limit, bears = _largest_fuses(a, ask, slots.ambient_c)
    host = np.where(unsure, base.host_a + asked, 0.0)
    most_host = np.where(unsure, base.most_host_a + asked, 0.0)
    left = np.full((len(PLACES), len(slots.ids)), np.inf)
    left[CONTACT] = _least(slots.contact_limit_a - base.contact_a - asked, relevant)
    left[CEILING] = a.rule("tap_kit_ceiling_a") - peak
    left[FUSE] = fuse_limit - lasts
    left[HOST] = np.where(unsure, slots.host_limit_a - host.max(axis=0, initial=0.0), np.inf)
    left[FEED], tightest = _left_of_feeds(a.known, base.feed_a, base.above, asked, relevant)
    least = np.minimum(
        left.min(axis=0), _least(slots.contact_limit_a - base.most_contact_a - asked, relevant)
    )
    hard = a.most.slots
    least = np.minimum(
        least, np.where(unsure, _least(hard.host_limit_a - most_host, relevant), np.inf)
    )
    least = np.minimum(least, _largest_fuses(a, ask, hard.ambient_c)[1] - lasts)
    # whatever feeds it may have no room at all
    least = np.where(_unbounded(a, base.above), np.minimum(least, -peak), least)
    most_feed, _ = _left_of_feeds(a.most, base.most_feed_a, base.above, asked, relevant)
    worn = (bears == 0) & (fuse_a > 0)
    return Rooms(
        ask,
        left,
        np.minimum(least, most_feed),
        tightest,
        fuse_a,
        worn,
        _shares(a, base, asked, most_host),
    )


def _unbounded(a: Assessment, above: Mask) -> Mask:
    """Which slots have no fuse entered, no feed that is known, or one without limit [(slots,)]."""
    endless = above[~np.isfinite(a.feeds.limit_a)].any(axis=0)
    bare = ~np.isfinite(a.slots.host_limit_a)
    return np.asarray(~a.circuit.slots.feed_known | endless | bare)


def _left_of_feeds(
    end: End, feed_a: Floats, above: Mask, asked: Floats, relevant: Mask
) -> tuple[Floats, np.ndarray]:
    """What every slot's tightest feed would have left [A, (slots,)], and its column; −1 none."""
    count = asked.shape[1]
    if not len(end.feeds.ids) or not count:
        return np.full(count, np.inf), np.full(count, -1)
    # (feeds, states, slots): few feeds, so this stays small
    through = feed_a.T[:, :, None] + asked[None]
    left = np.where(relevant[None], end.feeds.limit_a[:, None, None] - through, np.inf).min(axis=1)
    left = np.where(above, left, np.inf)
    return left.min(axis=0), left.argmin(axis=0)


def _least(left: Floats, relevant: Mask) -> Floats:
    return np.asarray(np.where(relevant, left, np.inf).min(axis=0))


def _shares(a: Assessment, base: Base, asked: Floats, host: Floats) -> Floats:
    """The worst share that contact, host and feeds may have [(slots,)]; host [A] at its most."""
    with np.errstate(divide="ignore", invalid="ignore"):
        contact = (base.most_contact_a + asked) / a.slots.contact_limit_a
        own = host / a.most.slots.host_limit_a
        feed = (base.most_feed_a.T[:, :, None] + asked[None]) / a.most.feeds.limit_a[:, None, None]
    feed = np.where(base.above[:, None, :], np.nan_to_num(feed, posinf=np.inf), 0.0)
    worst = np.maximum(np.nan_to_num(contact, posinf=np.inf), np.nan_to_num(own, posinf=np.inf))
    return np.asarray(np.maximum(worst.max(axis=0), feed.max(axis=(0, 1), initial=0.0)))


def _largest_fuses(a: Assessment, ask: Ask, ambient_c: Floats) -> Floats:
    """The largest fuse of every slot as warm as its place is [(3, slots)], see `_largest_fuse`."""
    found = [_largest_fuse(a, ask, at, float(warm)) for at, warm in enumerate(ambient_c)]
    return np.array(found, dtype=float).reshape(-1, 3).T


def _largest_fuse(a: Assessment, ask: Ask, column: int, warm: float) -> tuple[float, float, bool]:
    """The largest accessory fuse [A] here, its lasting load [A], whether it bears the start."""
    slot = a.circuit.slots.slots[column]
    host = np.inf if slot.fuse is None else slot.fuse.rating
    ceiling = min(a.rule("tap_kit_ceiling_a"), host, ask.largest_fuse_a)
    share = a.rule("continuous_share")
    rating, limit, bears = largest_fuse(slot.family, ceiling, warm, share, ask.pulse_a2s)
    if ask.lead == "power" and works_for_hours(ask.accessory):
        limit = min(limit, a.rule("cable_share_of_fuse") * rating)
    return rating, limit, bears


@lru_cache(maxsize=4096)
def largest_fuse(
    family: str, ceiling_a: float, ambient_c: float, share: float, pulse_a2s: float
) -> tuple[float, float, bool]:
    """The largest rating [A] of a family up to a ceiling, its lasting load [A] at an ambient [°C],
    and whether it bears an inrush [A²s] 100 000 times; (0, 0, True) where there is none.

    >>> rating, lasting, bears = largest_fuse("mini", 12.0, 25.0, 0.75, 50.0)
    >>> rating, round(lasting, 1), bears
    (10.0, 7.5, False)
    """
    ratings = [r for r in tables.fuse_family(family).ratings_a if r <= ceiling_a]
    if not ratings:
        return 0.0, 0.0, True
    rating = max(ratings)
    melting = facts.melting_i2t(family, rating)
    bears = melting is None or bool(inrush_check(pulse_a2s, melting).passed)
    return rating, facts.fuse_limit(family, rating, ambient_c, share), bears
