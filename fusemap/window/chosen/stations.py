"""The way of one tap as stations: real things one after the other, and what decides at each.

In: an assessed vehicle and a tap. Out: `Station`s from the relay down to the earth. Every hop of
the chain stands at one station (`AT`): what decides there is shown, all of them when it is opened.
The slots of a feed are stations of the same kind. No Qt.
"""

from collections.abc import Iterable, Iterator
from math import isfinite, isnan
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess import Assessment, Hop
from fusemap.assess.chain import added_hops, feed_hop
from fusemap.assess.sure_words import LINK_NAME
from fusemap.assess.verdict import VERDICT_WORDS, VERDICTS, Verdict, decides, verdict_of
from fusemap.assess.words import cable_words, fuse_words
from fusemap.text import NOTHING, Amount, Argument, Text, given, many, run_on, say, share
from fusemap.vehicle import Cable, Feed, Fuse, Slot, Tap, look_up
from fusemap.vehicle.words import SEATED, SWITCH, TAP, FeedClass, span_words
from fusemap.window.chain.chain_hops import end_words, margin_words
from fusemap.window.chosen.station_places import AT, LEADS, WHAT, Part, Place

MOST_SHARE: Final = 99.0
"""A share past this is shown as this [-]."""


class Station(Struct, frozen=True):
    """One real thing on the way. `key` tells it from the others of its way.

    `share` of its limit is used by what is known, at most `most`; both `None` where nothing is
    loaded or no limit is known. `figure` is what stands at the right of its `title`; `left` and
    `right` are its second line. `hops` all that is reckoned of it. `caution` is one of the work,
    `in_lid` says that it stands in the lid, `slot_id` that choosing it leads to that slot.
    """

    key: str
    part: Part
    title: Argument
    share: float | None = None
    most: float | None = None
    figure: Argument = NOTHING
    verdict: Verdict | None = None
    left: Argument = NOTHING
    right: Argument = NOTHING
    hops: tuple[Hop, ...] = ()
    fuse: Fuse | None = None
    feed_class: FeedClass = "unknown"
    caution: bool = False
    in_lid: bool = False
    slot_id: str = ""

    @property
    def judged(self) -> bool:
        """Whether its verdict is shown: one that holds needs no sign on every row."""
        return self.verdict is not None and self.verdict != "holds"

    @property
    def rated(self) -> Text:
        """Which fuse is drawn there, for whoever cannot read it off; nothing where none is."""
        if self.fuse is None:
            return NOTHING
        return say("fuse of {rating}", rating=given(self.fuse.rating, "A"))

    @property
    def words(self) -> Text:
        """All of it in a sentence, for whoever hears it."""
        verdict = NOTHING if self.verdict is None else VERDICT_WORDS[self.verdict]
        parts = (self.title, self.figure, verdict, self.left, self.right)
        return run_on(*(part for part in parts if part), between=", ")


# --- the way of a tap -----------------------------------------------------------------------------


def stations_of(a: Assessment, tap_id: str, *, folded: bool = False) -> tuple[Station, ...]:
    """The stations of one tap, in the order of the current. Raises KeyError where there is none.

    With `folded` all feeds above it stand at the nearest one, which then shows what decides of all.
    """
    return both_ways(a, tap_id)[folded]


def both_ways(a: Assessment, tap_id: str) -> tuple[tuple[Station, ...], tuple[Station, ...]]:
    """The stations of one tap with every feed above it, and with these folded."""
    tap = look_up.tap(a.vehicle, tap_id)
    hops = a.chains[tap_id].hops
    feeds = [hop for hop in hops if AT[hop.key] == "feed"]
    # an added feed has hops of its cable besides: they stand at the same feed
    above = {hop.feed: tuple(each for each in feeds if each.feed == hop.feed) for hop in feeds}
    each_feed = [_feed(a, tap, here[0], here) for here in above.values()]
    one_feed = each_feed
    if len(above) > 1:
        nearest = list(above.values())[-1]
        one_feed = [_feed(a, tap, nearest[0], tuple(feeds))]
    before, behind = _before_feeds(a, tap, hops), _from_slot(a, tap, hops)
    return (*before, *each_feed, *behind), (*before, *one_feed, *behind)


def _before_feeds(a: Assessment, tap: Tap, hops: tuple[Hop, ...]) -> tuple[Station, ...]:
    """What stands above the feeds: the link to the first battery, the second one itself."""
    found: list[Station] = []
    link = tuple(hop for hop in hops if AT[hop.key] == "link")
    if link:
        found.append(_with_hops(Station("link", "relay", LINK_NAME), "link", link))
    if look_up.battery_of_tap(a.vehicle, tap) == "second":
        # the starter battery goes without saying; this one does not
        found.append(Station("battery", "battery", say("Second battery"), in_lid=True))
    return tuple(found)


def _from_slot(a: Assessment, tap: Tap, hops: tuple[Hop, ...]) -> tuple[Station, ...]:
    """From the host fuse to the earth."""
    found: list[Station] = []
    makers: dict[Place, Station] = {
        "host": _host(a, tap),
        "tap": _tap(tap),
        "switch": Station("switch", "relay", SWITCH[tap.switch].capital()),
        "relay": Station("relay", "relay", say("Relay contact, 30 to 87")),
        "cable": _cable(tap.cable_out),
        "device": Station("device", "device", look_up.accessory(a.vehicle, tap.accessory).name),
        "earth": _earth(tap),
    }
    for place, station in makers.items():
        if place == "earth":
            found.extend(_behind(a, hops))
        here = tuple(hop for hop in hops if AT[hop.key] == place)
        if here or _is_there(place, tap):
            found.append(_with_hops(station, place, here))
    return tuple(found)


def _behind(a: Assessment, hops: tuple[Hop, ...]) -> Iterator[Station]:
    """What hangs behind a converter, each with the lead that leads to it."""
    for name in dict.fromkeys(hop.behind for hop in hops if hop.behind):
        it = look_up.accessory(a.vehicle, name)
        left = NOTHING if it.lead_cable is None else cable_words(it.lead_cable)
        station = Station(behind_key(name), "device", it.name, left=left, fuse=it.lead_fuse)
        here = tuple(hop for hop in hops if hop.behind == name)
        yield _with_hops(station, "behind", here)


def behind_key(accessory_id: str) -> str:
    """The key of the station of an accessory behind a converter."""
    return f"behind:{accessory_id}"


def way_behind(a: Assessment, accessory_id: str, *, folded: bool = False) -> tuple[Station, ...]:
    """The way to an accessory behind a converter, without what else hangs there; none unplaced."""
    it = look_up.accessory(a.vehicle, accessory_id)
    over = [each.id for each in look_up.above(a.vehicle, it)]
    tap = look_up.tap_of(a.vehicle, over[-1]) if over else None
    if tap is None or tap.id not in a.chains:
        return ()
    mine = {behind_key(each) for each in (accessory_id, *over)}
    found = stations_of(a, tap.id, folded=folded)
    return tuple(s for s in found if s.key in mine or not s.key.startswith(behind_key("")))


def _is_there(place: Place, tap: Tap) -> bool:
    """Whether a place on the way is there, even where nothing is reckoned of it."""
    if place == "host":
        return tap.slot is not None
    if place == "relay":
        return tap.relay
    return place in ("tap", "cable", "device") or (place == "earth" and tap.lead == "power")


def _feed(a: Assessment, tap: Tap, hop: Hop, hops: tuple[Hop, ...]) -> Station:
    slot = None if tap.slot is None else look_up.slot(a.vehicle, tap.slot)
    if hop.feed.startswith("?"):
        station = Station(hop.id, "feed", hop.title, feed_class="unknown", in_lid=True)
        return _with_hops(station, "feed", hops)
    feed = look_up.feed(a.vehicle, hop.feed)
    mine = slot is not None and slot.feed == feed.id
    feed_class: FeedClass = slot.feed_class if slot is not None and mine else "unknown"
    part: Part = "relay" if feed_class not in ("permanent", "unknown") else "fuse"
    station = Station(
        hop.id,
        part if feed.fuse is not None or part == "relay" else "feed",
        feed.name,
        fuse=feed.fuse,
        feed_class=feed_class,
        in_lid=True,
    )
    return _with_hops(station, "feed", hops)


def _host(a: Assessment, tap: Tap) -> Station:
    if tap.slot is None:
        return Station("host", "fuse", NOTHING)
    slot = look_up.slot(a.vehicle, tap.slot)
    name = look_up.slot_words(slot)
    title = say("Host fuse {slot}", slot=name)
    if slot.fuse is not None:
        title = say("Host fuse {slot}, {rating}", slot=name, rating=given(slot.fuse.rating, "A"))
    return Station("host", "fuse", title, fuse=slot.fuse, in_lid=True)


def _tap(tap: Tap) -> Station:
    turned = tap.kind in SEATED and tap.way_round == "load_side"
    rating = None if tap.fuse is None else given(tap.fuse.rating, "A")
    if tap.kind == "own_feed":
        title = say("Own feed, no fuse") if rating is None else say("Own fuse, {a}", a=rating)
        return Station("tap", "fuse", title, fuse=tap.fuse)
    title = TAP[tap.kind]
    if rating is not None:
        title = say("{tap}, its {rating} fuse", tap=TAP[tap.kind], rating=rating)
    note = say("reversed") if turned else NOTHING
    return Station("tap", "tap", title, fuse=tap.fuse, caution=turned, right=note)


def _cable(cable: Cable | None) -> Station:
    if cable is None:
        return Station("cable", "cable", say("Cable: not entered"))
    title = say(
        "Cable {section}, {length}",
        section=Amount(cable.section_mm2, "mm²"),
        length=given(cable.whole_m, "m"),
    )
    return Station("cable", "cable", title)


def _earth(tap: Tap) -> Station:
    title = end_words(tap)
    if tap.cable_back is None and tap.earth_point:
        title = say("Earth: {point}", point=tap.earth_point)
    left = NOTHING if tap.cable_back is None else cable_words(tap.cable_back)
    return Station("earth", "earth", title, left=left)


# --- what decides at a station --------------------------------------------------------------------


def deciding(hops: Iterable[Hop]) -> Hop | None:
    """The hop that is shown of several: of those that can be checked the worst, then the fullest.

    A chosen size that is as large as it has to be uses nothing up.
    """
    checked = [hop for hop in hops if hop.verdict != "unchecked"]
    loads = [hop for hop in checked if not (hop.chosen and hop.passed)]
    found = loads or checked
    return min(found, key=lambda h: (VERDICTS.index(h.verdict), -h.most_share), default=None)


def _with_hops(station: Station, place: Place, hops: tuple[Hop, ...]) -> Station:
    """A station with the figures of its hops."""
    if not hops:
        return station
    hop = deciding(hops)
    verdict = decides(each.verdict for each in hops)
    if hop is None:
        words = hops[0].missing.capital() if hops[0].missing else NOTHING
        known = [each for each in hops if not isnan(each.load)]
        figure = load_words(known[0]) if known else NOTHING
        return _made(station, figure=figure, verdict=verdict, left=words, hops=hops)
    lead = hop.key == LEADS[place] and (place != "feed" or hop.id == station.key)
    in_volts = hop.key in ("voltage", "output_voltage")
    return _made(
        station,
        share=None if in_volts or hop.chosen else hop.share,
        most=None if in_volts or hop.chosen else hop.most_share,
        figure=load_words(hop)
        if in_volts or hop.chosen
        else share_words(hop.share, hop.most_share),
        verdict=verdict,
        left=_used(hop) if lead else _of_what(station, hop),
        right=_note(station, hops, hop, verdict),
        hops=hops,
    )


def _of_what(station: Station, hop: Hop) -> Text:
    """A figure that the station is not there for, with its name."""
    other_feed = bool(hop.feed) and f"feed:{hop.feed}" != station.key
    what = hop.title if other_feed else WHAT[hop.key].capital()
    return say("{what}: {used}", what=what, used=_used(hop))


def _made(station: Station, **fields: object) -> Station:
    return replace(station, **fields)


def _note(station: Station, hops: tuple[Hop, ...], hop: Hop, verdict: Verdict) -> Argument:
    """What stands at the right of the second line: by how much it fails, what is not sure."""
    if verdict in ("fails", "may_not_hold"):
        return margin_words(hop)
    blind = sum(each.verdict == "unchecked" for each in hops)
    if blind:
        return many("{n} sum cannot be checked", "{n} sums cannot be checked", blind)
    if station.right:
        return station.right
    warm = next((each for each in hops if each.key == "heat_out" and each is not hop), None)
    return NOTHING if warm is None else _used(warm)


def _used(hop: Hop) -> Text:
    """Load of limit: “6.82 of 5.63 A”, “0.39 of 0.6 V lost”, “needs 10 V”."""
    limit = Amount(hop.decides, hop.unit)
    if hop.key in ("voltage", "output_voltage"):
        return say("needs {limit}", limit=limit)
    if hop.key in ("drop", "output_drop"):
        return say("{load} of {limit} lost", load=load_words(hop), limit=limit)
    if not hop.at_most:
        return say("{load}, at least {limit} needed", load=load_words(hop), limit=limit)
    return say("{load} of {limit}", load=load_words(hop), limit=limit)


def load_words(hop: Hop) -> Argument:
    """The load alone, both ends where they differ; without the unit where its limit says it."""
    if hop.key in ("voltage", "output_voltage"):
        return span_of(hop)
    plain = hop.unit in ("A", "V") and min(abs(hop.load), hop.limit) >= 0.1
    if not plain or isnan(hop.limit):
        return span_words(hop.load, hop.end, hop.unit)
    low, high = Amount(hop.load), Amount(hop.end)
    return low if str(low) == str(high) else run_on(low, high, between="–")


def span_of(hop: Hop) -> Argument:
    """The load with its unit, both ends where they differ, the lower first: “9.71–11.2 V”."""
    low, high = sorted((hop.load, hop.end))
    plain = hop.unit in ("A", "V") and low >= 0.1
    one, other = Amount(low, hop.unit), Amount(high, hop.unit)
    if not plain or str(one) == str(other):
        return span_words(low, high, hop.unit)
    return run_on(Amount(low), other, between="–")


def share_words(known: float, most: float) -> Argument:
    """A share of a limit with both its ends: “70–100 %”."""
    low, high = (share(min(each, MOST_SHARE)) for each in (known, max(known, most)))
    if str(low) == str(high):
        return low
    return run_on(Amount(round(100 * known)), high, between="–")


def slot_way(a: Assessment, slot: Slot, *, folded: bool = False) -> tuple[Station, ...]:
    """The way to a slot where nothing is tapped: its feeds and its own fuse."""
    if slot.feed is None or slot.id not in a.slots.index:
        return (_own_fuse(a, slot),) if slot.id in a.slots.index else ()
    hops = [feed_hop(a, each) for each in look_up.feeds_above(a.vehicle, slot.feed)][::-1]
    there = Tap(id="", accessory="", slot=slot.id)
    found = [_feed(a, there, hop, (hop,)) for hop in hops]
    if folded and hops:
        found = [_feed(a, there, hops[-1], tuple(hops))]
    return (*found, _own_fuse(a, slot))


def _own_fuse(a: Assessment, slot: Slot) -> Station:
    """The fuse of a slot with the vehicle's own load on it."""
    name = look_up.slot_words(slot)
    title = say("Fuse {slot}: none in it", slot=name)
    if slot.fuse is not None:
        title = say("Fuse {slot}, {rating}", slot=name, rating=given(slot.fuse.rating, "A"))
    return replace(slot_station(a, slot), key="host", title=title, slot_id="", in_lid=True)


# --- the slots of a feed --------------------------------------------------------------------------


def slots_of(a: Assessment, feed: Feed) -> tuple[Station, ...]:
    """What hangs on a feed: its slots, the fullest first."""
    here = [slot for slot in look_up.slots(a.vehicle) if slot.feed == feed.id]
    found = [
        slot_station(a, slot) for slot in here if slot.id in a.slots.index and slot.kind == "fuse"
    ]
    return tuple(sorted(found, key=lambda each: -(each.most or 0.0)))


def slot_station(a: Assessment, slot: Slot) -> Station:
    """A slot of a feed: both ends of what its fuse carries."""
    column = a.slots.index[slot.id]
    known, most = (float(end.slots.worst_share[column]) for end in (a.known, a.most))
    station = Station(
        f"slot:{slot.id}",
        "fuse",
        look_up.slot_with_circuit(slot),
        fuse=slot.fuse,
        slot_id=slot.id,
    )
    limit, hard = (float(end.slots.host_limit_a[column]) for end in (a.known, a.most))
    if slot.fuse is None or not isfinite(limit):
        return _made(station, left=say("no fuse in it"))
    low, high = (float(end.slots.host_a[:, column].max()) for end in (a.known, a.most))
    limit = hard if low <= limit and high > hard else limit
    return _made(
        station,
        share=known,
        most=max(known, most),
        figure=share_words(known, most),
        verdict=verdict_of(known, most, 1.0),
        left=say("{load} of {limit}", load=span_words(low, high, "A"), limit=Amount(limit, "A")),
        right=_slot_note(a, column),
    )


def _slot_note(a: Assessment, column: int) -> Argument:
    """That the vehicle's own load was not measured in some state, where that is so."""
    live = a.slots.live[:, column]
    if bool((a.slots.own_known[:, column] | ~live).all()):
        return NOTHING
    return say("not measured in every state")


def feed_station(a: Assessment, feed: Feed) -> Station:
    """A feed itself, with all that hangs below it."""
    title = feed.name if feed.fuse is None else say(
        "{feed}, {fuse}", feed=feed.name, fuse=fuse_words(feed.fuse)
    )  # fmt: skip
    station = Station(f"feed:{feed.id}", "fuse" if feed.fuse else "feed", title, fuse=feed.fuse)
    cable = added_hops(a, feed, a.feed_hops) if feed.added else ()
    return _with_hops(station, "feed", (feed_hop(a, feed), *cable))


def feed_way(a: Assessment, feed: Feed) -> tuple[Station, ...]:
    """A feed and all that it hangs on, in the order of the current."""
    above = tuple(look_up.feeds_above(a.vehicle, feed.id))
    return tuple(feed_station(a, each) for each in above[::-1])


def parts_of(station: Station) -> Iterator[Hop]:
    """All that is reckoned of a station, what decides first."""
    first = deciding(station.hops)
    yield from (hop for hop in (first,) if hop is not None)
    yield from (hop for hop in station.hops if hop is not first)


def worst_of(way: Iterable[Station]) -> Station | None:
    """The station that decides of a whole way: the worst verdict, of these the fullest."""
    judged = [each for each in way if each.verdict is not None and each.figure]
    fullest = sorted(judged, key=lambda each: each.most or each.share or 0.0, reverse=True)
    return min(fullest, key=lambda each: VERDICTS.index(each.verdict or "holds"), default=None)
