"""What would make it sure: the fewest readings that turn a *may not hold* into a verdict.

In: figures at both ends. Out: the doubts, each a place that may pass its limit in some states, and
the readings that settle them, the cheapest first: millivolts across a fuse, with nothing pulled,
before a clamp. A reading in one state says nothing of another.

A feed read as a whole settles itself: then the vehicle's own part of it is known. A slot that is
read may come out at anything between what is known and its most; it is chosen where the least of
that would do, since then one reading decides, either way.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.currents import feeds_over, slot_figures
from fusemap.assess.ends import most_own_a
from fusemap.assess.figures import Figures
from fusemap.assess.result import Floats, HopKey, Mask
from fusemap.assess.verdict import SLACK
from fusemap.vehicle import STATES, Fuse, State

Place = Literal["slot", "feed"]
How = Literal["millivolts", "clamp"]
COST: Final[dict[How, int]] = {"millivolts": 1, "clamp": 3}
"""What a reading costs against another, ours: a clamp wants a cable that is free to be reached."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A place that may pass its limit in some states, and does not by what is known."""

    place: Place
    place_id: str
    key: HopKey
    states: tuple[State, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A reading that would settle doubts: where, in which state, how, and which."""

    place: Place
    place_id: str
    state: State
    how: How
    settles: tuple[Doubt, ...]


Spot = tuple[Place, int, int]
"""A reading by its place, that place's column, and the state's row."""


@dataclass(frozen=True, eq=False)
class _Open:
    """Which places may pass their limits [(states, …)]: contacts and hosts by slot, feeds."""

    contact: Mask
    host: Mask
    feed: Mask

    @property
    def any(self) -> bool:
        """Whether one of them is in doubt."""
        return bool(self.contact.any() or self.host.any() or self.feed.any())


def doubts(a: Figures) -> tuple[Doubt, ...]:
    """Every slot and feed in use that may pass its limit."""
    return tuple(_named(a, _Search(a).open()))


def measure_next(a: Figures) -> tuple[Wanted, ...]:
    """The readings that would settle all doubts, the cheapest first."""
    search = _Search(a)
    search.choose()
    found = [_wanted(a, search, spot) for spot in search.chosen]
    return tuple(sorted(found, key=lambda each: (COST[each.how], STATES.index(each.state))))


class _Search:
    """Readings chosen so far; each is taken to come out at what is known."""

    def __init__(self, a: Figures) -> None:
        self.a = a
        self.chosen: list[Spot] = []
        self._over = feeds_over(a.circuit)
        self._drawn = a.most.taps.current_a
        self._tapped = np.zeros(len(a.slots.ids), dtype=bool)
        self._tapped[a.circuit.tapped] = True

    def open(self, without: Spot | None = None) -> _Open:
        """What is in doubt once the chosen readings are taken, but for one."""
        own, carried = self._after([spot for spot in self.chosen if spot != without])
        c, known, limits = self.a.circuit, self.a.slots, self.a.slots
        slots = replace(c.slots, own_a=own)
        most = slot_figures(replace(c, slots=slots), self._drawn)
        feed = most_own_a(c, own, carried) + self._drawn @ self._over.T
        return _Open(
            _between(known.live_contact_a, most.live_contact_a, limits.contact_limit_a)
            & self._tapped,
            _between(known.host_a, most.host_a, limits.host_limit_a) & self._tapped,
            _between(self.a.feeds.current_a, feed, self.a.feeds.limit_a) & self._over.any(axis=1),
        )

    def _after(self, spots: Sequence[Spot]) -> tuple[Floats, Floats]:
        """The most of own loads, and what is measured of feeds, once these readings are taken."""
        c = self.a.circuit
        own, carried = c.slots.own_most_a.copy(), c.feeds.carried_a.copy()
        for place, column, row in spots:
            if place == "slot":
                own[row, column] = c.slots.own_a[row, column]
        least = most_own_a(c, c.slots.own_a, np.where(np.isnan(carried), -np.inf, carried))
        for place, column, row in spots:
            if place == "feed":
                carried[row, column] = least[row, column]
        return own, carried

    def choose(self) -> None:
        """Choose readings until nothing is in doubt, then leave out what is not needed."""
        while True:
            found = self.open()
            spots = [*self._for_slots(found), *self._for_feeds(found)]
            new = [spot for spot in spots if spot not in self.chosen]
            if not new:
                break
            self.chosen.append(new[0])
        for spot in sorted(self.chosen, key=self.cost, reverse=True):
            if not self.open(without=spot).any:
                self.chosen.remove(spot)

    def _for_slots(self, found: _Open) -> Iterator[Spot]:
        for row, column in np.argwhere(found.contact | found.host).tolist():
            yield ("slot", column, row)

    def _for_feeds(self, found: _Open) -> Iterator[Spot]:
        """The feed itself, or one slot below it where that does and is easier to read."""
        for row, feed in np.argwhere(found.feed).tolist():
            whole: Spot = ("feed", feed, row)
            alone = self._one_slot(row, feed)
            yield whole if alone is None or self.cost(alone) >= self.cost(whole) else alone

    def _one_slot(self, row: int, feed: int) -> Spot | None:
        """The slot below a feed whose reading alone may settle it."""
        c = self.a.circuit
        own, _ = self._after(self.chosen)
        spread = np.where(self._under(feed), own[row] - c.slots.own_a[row], 0.0)
        if not spread.any():
            return None
        spot: Spot = ("slot", int(spread.argmax()), row)
        self.chosen.append(spot)
        settled = not self.open().feed[row, feed]
        self.chosen.remove(spot)
        return spot if settled else None

    def _under(self, feed: int) -> Mask:
        """Which slots hang below a feed [(slots,)]."""
        parent, at = self.a.circuit.feeds.parent, self.a.circuit.slots.feed.copy()
        found = at == feed
        while (at >= 0).any():
            at = np.where(at >= 0, parent[at], -1)
            found |= at == feed
        return np.asarray(found)

    def fuse(self, place: Place, column: int) -> Fuse | None:
        """The fuse across which it can be read."""
        if place == "slot":
            return self.a.circuit.slots.slots[column].fuse
        return self.a.vehicle.feeds[column].fuse

    def how(self, spot: Spot) -> How:
        """How a reading is taken: without pulling anything where the fuse's figure is known."""
        fuse = self.fuse(spot[0], spot[1])
        readable = fuse is not None and facts.fuse_resistance(fuse) is not None
        return "millivolts" if readable else "clamp"

    def cost(self, spot: Spot) -> int:
        """What a reading costs against another."""
        return COST[self.how(spot)]


def _between(known: Floats, most: Floats, limit: Floats) -> Mask:
    """Where the limit is passed at the most, and not by what is known."""
    bound = np.where(np.isfinite(limit), limit + SLACK * np.maximum(1.0, np.abs(limit)), np.inf)
    return np.asarray((most > bound) & (known <= bound))


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


def _wanted(a: Figures, search: _Search, spot: Spot) -> Wanted:
    place, column, row = spot
    ids = a.slots.ids if place == "slot" else a.feeds.ids
    return Wanted(
        place, ids[column], STATES[row], search.how(spot), tuple(_named(a, search.open(spot)))
    )
