"""What would make it sure: the fewest answers that turn a *may not hold* into a verdict.

In: figures at both ends. Out: the doubts, each a place that may pass its limit in some states, and
what settles them, the cheapest first: what somebody knows and has not said, millivolts across a
fuse with nothing pulled, a clamp. A reading in one state says nothing of another. Where another
reading does nobody is sent to a circuit that is to be left alone.

A feed read as a whole settles itself: then the vehicle's own part of it is known. Whatever is asked
may come out at anything between what is known and its most; it is chosen where the least of that
would do, since then it decides, either way.
"""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess import facts
from fusemap.assess.currents import feeds_over, slot_figures
from fusemap.assess.doubts import Doubt, Held, Place, at_cables, at_leads, at_taps
from fusemap.assess.end import End
from fusemap.assess.ends import most_own_a, volts_with_any_label
from fusemap.assess.figures import Figures
from fusemap.assess.gather import TapArrays
from fusemap.assess.hops.limit import Beside
from fusemap.assess.result import Floats, HopKey, Mask
from fusemap.assess.sources import unsaid_places
from fusemap.assess.supply import RUNNING, idle_at
from fusemap.assess.sure_warmth import by_the_warmth
from fusemap.assess.verdict import SLACK
from fusemap.circuits import counts_critical
from fusemap.vehicle import STATES, Fuse, State

How = Literal["say", "label", "warmth", "length", "millivolts", "volts", "contacts", "clamp"]
COST: Final[dict[How, int]] = {
    "say": 1, "label": 1, "warmth": 1, "length": 1,
    "millivolts": 2, "volts": 3, "contacts": 4, "clamp": 5,
}  # fmt: skip
"""What an answer costs against another, ours: a clamp wants a cable that can be got round."""


class Wanted(Struct, frozen=True):
    """What would settle doubts: where, how it is found out, in which state, and which doubts.

    To `say` is what a feed carries besides its slots, or how an accessory starts; the `label` is
    the alternator's, the `warmth` that of the cabin or the boot, both at the first of the places
    that hang on it; a `length` is taken with a tape. Then there is no state.
    """

    place: Place
    place_id: str
    how: How
    state: State | None
    settles: tuple[Doubt, ...]


class _Spot(Struct, frozen=True):
    """An answer by its place, that place's column, and the state's row; −1 for all of them."""

    place: Place
    column: int
    row: int


class _Open(Struct, frozen=True, eq=False):
    """Which places may pass their limits [(states, …)]: contacts and hosts by slot, feeds."""

    contact: Mask
    host: Mask
    feed: Mask

    @property
    def any(self) -> bool:
        """Whether one of them is in doubt."""
        return bool(self.contact.any() or self.host.any() or self.feed.any())

    def beyond(self, other: "_Open") -> "_Open":
        """What is in doubt here and not there."""
        return _Open(
            self.contact & ~other.contact, self.host & ~other.host, self.feed & ~other.feed
        )


def doubts(a: Figures, hops: Held, beside: Beside) -> tuple[Doubt, ...]:
    """Every slot and feed in use, every tap, and every added cable, that may pass a limit."""
    slots, feeds = a.most.slots, a.most.feeds
    found = _open(a, a.most, slots.host_a, slots.live_contact_a, feeds.current_a)
    places = _named(a, found)
    return (*places, *at_taps(a, hops), *at_cables(a, beside.feeds), *at_leads(beside))


ASK: Final[dict[HopKey, How]] = {"inrush": "say", "drop": "volts", "voltage": "volts"}
"""How a doubt about a tap is settled; all others by a clamp round its lead."""


def measure_next(a: Figures, hops: Held, beside: Beside) -> tuple[Wanted, ...]:
    """The answers that would settle all doubts, the cheapest first."""
    by_label, by_warmth = _by_the_label(a, hops), by_the_warmth(a, hops, beside)
    search, warm = _searched(a, asked=bool(by_warmth))
    found = [search.wanted(spot) for spot in search.chosen]
    by_warmth += warm
    if by_label:
        found.append(Wanted("tap", by_label[0].place_id, "label", None, by_label))
    if by_warmth:
        first = by_warmth[0]
        found.append(Wanted(first.place, first.place_id, "warmth", None, by_warmth))
    for doubt in at_taps(a, hops):
        if doubt in by_label or doubt in by_warmth:
            continue
        how = ASK.get(doubt.key, "clamp")
        state = doubt.states[0] if doubt.states and how != "say" else None
        found.append(Wanted("tap", doubt.place_id, how, state, (doubt,)))
    found += (w for w in _of_cables(a, beside.feeds) if not set(w.settles) <= set(by_warmth))
    found += _of_leads(d for d in at_leads(beside) if d not in by_warmth)
    return tuple(
        sorted(found, key=lambda w: (COST[w.how], -1 if w.state is None else STATES.index(w.state)))
    )


def _by_the_label(a: Figures, hops: Held) -> tuple[Doubt, ...]:
    """Voltages in doubt for an alternator whose label nobody read, that a good one would settle."""
    low = [d for d in at_taps(a, hops) if d.key == "voltage" and d.states == (STATES[RUNNING],)]
    if not low or not a.most.currents.limited or a.circuit.alternator.idle_said:
        return ()
    best = idle_at(a.vehicle, a.rule_values, "mild")
    works = a.taps.works & a.taps.live
    volts = np.where(works, volts_with_any_label(a.known, a.most, best), np.inf).min(axis=0)
    at = [a.taps.index[doubt.place_id] for doubt in low]
    limit = hops["voltage"].limit
    return tuple(d for d, column in zip(low, at, strict=True) if volts[column] >= limit[column])


def _searched(a: Figures, *, asked: bool) -> tuple["_Search", tuple[Doubt, ...]]:
    """The answers about slots and feeds, and what the warmth of their places settles besides.

    Whether fuses sit in the sun is `asked` where something else hangs on it; else only where no
    other answer would do, or where it saves some.
    """
    search = _Search(a, a.most)
    search.choose()
    if not unsaid_places(a.vehicle):
        return search, ()
    usual, open_ = _Search(a, a.known), search.open(search.chosen)
    if not asked and not search.open(()).beyond(usual.open(())).any and not open_.any:
        return search, ()
    usual.choose()
    spared, most = (each.open(usual.chosen) for each in (usual, search))
    warm = most.beyond(spared)
    settled = not open_.beyond(spared).any
    if not warm.any or (settled and not asked and len(usual.chosen) + 1 >= len(search.chosen)):
        return search, ()
    return usual, tuple(_named(a, warm))


def _of_cables(a: Figures, feed_hops: Held) -> Iterator[Wanted]:
    """What settles the doubts about added cables: a tape, or a clamp round them at their load."""
    for doubt in at_cables(a, feed_hops):
        if doubt.key == "feed_unfused":
            yield Wanted("feed", doubt.place_id, "length", None, (doubt,))
            continue
        column = a.feeds.index[doubt.place_id]
        row = int(a.most.feeds.current_a[:, column].argmax())
        yield Wanted("feed", doubt.place_id, "clamp", STATES[row], (doubt,))


def _of_leads(found: Iterable[Doubt]) -> Iterator[Wanted]:
    """What settles those about leads behind converters and about the link: a clamp round them."""
    asked: dict[tuple[Place, str], tuple[Doubt, ...]] = {}
    for doubt in found:
        key = (doubt.place, doubt.place_id)
        asked[key] = (*asked.get(key, ()), doubt)
    for (place, place_id), settled in asked.items():
        yield Wanted(place, place_id, "clamp", STATES[-1] if place == "link" else None, settled)


def _open(a: Figures, end: End, host_a: Floats, contact_a: Floats, feed_a: Floats) -> _Open:
    """What is in doubt where so much may flow [A, (states, …)]; only what is in use.

    `end` has the limits that what may flow is held against.
    A contact to which somebody gave a limit is in doubt without a tap, too: by what is known it is
    said to pass it, tapped or not.
    """
    slots, feeds, tapped = a.slots, a.feeds, np.zeros(len(a.slots.ids), dtype=bool)
    tapped[a.circuit.tapped] = True
    given = [each.contact_limit_a is not None for each in a.circuit.slots.slots]
    at_contact = tapped | np.array(given, dtype=bool)
    used = feeds_over(a.circuit).any(axis=1)
    return _Open(
        _between(slots.live_contact_a, contact_a, slots.contact_limit_a, end.slots.contact_limit_a)
        & at_contact,
        _between(slots.host_a, host_a, slots.host_limit_a, end.slots.host_limit_a) & tapped,
        _between(feeds.current_a, feed_a, feeds.limit_a, end.feeds.limit_a) & used,
    )


def _between(known: Floats, most: Floats, limit: Floats, least: Floats) -> Mask:
    """Where the least of a limit is passed at the most, and the limit not by what is known."""
    return np.asarray((most > _bound(least)) & (known <= _bound(limit)))


def _bound(limit: Floats) -> Floats:
    slack = SLACK * np.maximum(1.0, np.abs(limit))
    return np.asarray(np.where(np.isfinite(limit), limit + slack, np.inf))


def _named(a: Figures, found: _Open) -> Iterator[Doubt]:
    places: tuple[tuple[Mask, Place, HopKey], ...] = (
        (found.contact, "slot", "live_contact"),
        (found.host, "slot", "host_fuse"),
        (found.feed, "feed", "feed"),
    )
    for mask, place, key in places:
        ids = a.slots.ids if place == "slot" else a.feeds.ids
        for column in np.flatnonzero(mask.any(axis=0)).tolist():
            states = tuple(STATES[row] for row in np.flatnonzero(mask[:, column]))
            yield Doubt(place, ids[column], key, states)


class _Search:
    """Answers chosen so far; each is taken to come out at what is known.

    `end` has the limits: at the most that may be those in the sun.
    """

    def __init__(self, a: Figures, end: End) -> None:
        self.a = a
        self.end = end
        self.chosen: list[_Spot] = []
        self._over = feeds_over(a.circuit)
        self._drawn = a.most.taps.current_a
        # nobody is sent to a circuit to leave alone where another reading does
        self._readable = np.array(
            [not counts_critical(s) for s in a.circuit.slots.slots], dtype=bool
        )

    def choose(self) -> None:
        """Choose answers until nothing is in doubt, then leave out what is not needed."""
        while True:
            found = self.open(self.chosen)
            spots = [*self._for_slots(found), *self._for_feeds(found)]
            # states do not know of each other: one new answer for each of them at a time
            new = {spot.row: spot for spot in reversed(spots) if spot not in self.chosen}
            if not new:
                break
            self.chosen.extend(new.values())
        for spot in sorted(self.chosen, key=self.cost, reverse=True):
            rest = [each for each in self.chosen if each != spot]
            if not self.open(rest).any:
                self.chosen = rest

    def open(self, spots: Sequence[_Spot]) -> _Open:
        """What is in doubt once these answers are given."""
        c = self.a.circuit
        own, carried, said = self._after(spots)
        told = replace(c, feeds=replace(c.feeds, said_a=said))
        at = self.end.circuit.slots
        most = replace(c, slots=replace(at, own_a=own), taps=self._taps(spots))
        slots = slot_figures(most, self._drawn)
        feed = most_own_a(told, own, carried) + self._drawn @ self._over.T
        return _open(self.a, self.end, slots.host_a, slots.live_contact_a, feed)

    def _taps(self, spots: Sequence[_Spot]) -> TapArrays:
        """The taps at the most, those as planned whose slot’s live side is known by then."""
        taps, most = self.a.circuit.taps, self.a.most.circuit.taps
        told = [spot.column for spot in spots if spot.place == "slot" and spot.row < 0]
        planned = np.isin(taps.slot, told)
        through = np.where(planned, taps.through_host, most.through_host)
        return replace(most, through_host=through)

    def _after(self, spots: Sequence[_Spot]) -> tuple[Floats, Floats, Floats]:
        """Most of the own loads, what is measured and said of feeds, after these answers."""
        c = self.a.circuit
        own, carried = c.slots.own_most_a.copy(), c.feeds.carried_a.copy()
        said = c.feeds.said_a.copy()
        for spot in spots:
            if spot.place == "slot" and spot.row < 0:
                continue
            if spot.place == "slot":
                own[spot.row, spot.column] = c.slots.own_a[spot.row, spot.column]
            elif spot.row < 0:
                said[:, spot.column] = np.nan_to_num(said[:, spot.column])
            else:
                known = self.a.feeds.current_a - self.a.taps.current_a @ self._over.T
                carried[spot.row, spot.column] = known[spot.row, spot.column]
        return own, carried, said

    def _for_slots(self, found: _Open) -> Iterator[_Spot]:
        """Its own load, or which of its contacts is live, whichever is cheaper and does."""
        for row, column in np.argwhere(found.contact | found.host).tolist():
            ways = [_Spot("slot", column, row)]
            slot = self.a.circuit.slots.slots[column]
            if slot.live_side == "unknown" and found.host[row, column]:
                ways.append(_Spot("slot", column, -1))
            new = [spot for spot in ways if spot not in self.chosen]
            doing = [spot for spot in new if self._does(spot, row, column)]
            yield from doing[:1] or new[-1:]

    def _does(self, spot: _Spot, row: int, column: int) -> bool:
        left = self.open([*self.chosen, spot])
        return not (left.host | left.contact)[row, column]

    def _for_feeds(self, found: _Open) -> Iterator[_Spot]:
        """The cheapest that settles a feed: what else it carries, a slot or two, the whole feed."""
        for row, feed in np.argwhere(found.feed).tolist():
            ways: list[tuple[_Spot, ...]] = [(_Spot("feed", feed, row),)]
            ways += [way for way in self._instead(row, feed) if self._settles(way, row, feed)]
            yield from min(ways, key=lambda way: sum(map(self.cost, way)))

    def _instead(self, row: int, feed: int) -> Iterator[tuple[_Spot, ...]]:
        """What may be asked in place of the whole feed; slots that may draw most come first."""
        c = self.a.circuit
        own, _, said = self._after(self.chosen)
        if np.isnan(said[:, feed]).any():
            yield (_Spot("feed", feed, -1),)
        asked = self._under(feed) & self._readable
        spread = np.where(asked, own[row] - c.slots.own_a[row], 0.0)
        most = [_Spot("slot", int(at), row) for at in np.argsort(-spread)[:2] if spread[at] > 0]
        yield from (tuple(most[:count]) for count in range(1, len(most) + 1))

    def _settles(self, way: Sequence[_Spot], row: int, feed: int) -> bool:
        return not self.open([*self.chosen, *way]).feed[row, feed]

    def _under(self, feed: int) -> Mask:
        """Which slots hang below a feed [(slots,)]."""
        parent, at = self.a.circuit.feeds.parent, self.a.circuit.slots.feed.copy()
        found = at == feed
        while (at >= 0).any():
            at = np.where(at >= 0, parent[np.maximum(at, 0)], -1)
            found |= at == feed
        return np.asarray(found)

    def _fuse(self, spot: _Spot) -> Fuse | None:
        """The fuse across which it can be read."""
        if spot.place == "slot":
            return self.a.circuit.slots.slots[spot.column].fuse
        return self.a.vehicle.feeds[spot.column].fuse

    def how(self, spot: _Spot) -> How:
        """How it is found out: without pulling anything where the fuse's figure is known."""
        if spot.row < 0:
            return "contacts" if spot.place == "slot" else "say"
        fuse = self._fuse(spot)
        readable = fuse is not None and facts.fuse_resistance(fuse) is not None
        return "millivolts" if readable else "clamp"

    def cost(self, spot: _Spot) -> int:
        """What it costs against another."""
        return COST[self.how(spot)]

    def wanted(self, spot: _Spot) -> Wanted:
        """The answer with the doubts that stay without it."""
        ids = self.a.slots.ids if spot.place == "slot" else self.a.feeds.ids
        rest = [each for each in self.chosen if each != spot]
        return Wanted(
            spot.place,
            ids[spot.column],
            self.how(spot),
            None if spot.row < 0 else STATES[spot.row],
            tuple(_named(self.a, self.open(rest))),
        )
