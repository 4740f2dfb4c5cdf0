"""How much each circuit draws at a level: both ends, from all that was read at it together.

In: a level and the vehicle's fused slots. Out: `Shares`. What is known are bounds of sums: the
whole current bounds all circuits and what is on none, each reading bounds its circuit, each pull
bounds the pulled ones and all others, what goes into a panel all that is in it. Ends are drawn
closer until nothing changes; they are outer ends, so that no circuit is ever said to draw more, or
less, than it may.
"""

from collections.abc import Iterable
from math import inf

from msgspec import Struct

from fusemap.probing.hunt.levels import Level, least_of, most_of
from fusemap.probing.hunt.state import WORTH_A
from fusemap.probing.loads import Load
from fusemap.vehicle import Slot

_PASSES = 4
"""How often the bounds are drawn closer; more changes nothing worth a reading."""

CLOSER = 0.1
"""In a band narrower than this share of its end a circuit draws the middle, whatever it was read as
across its fuse [-]; ours."""

OUTSIDE = ""
"""In the place of a slot's id: what is on no fuse of the panels."""


class Share(Struct, frozen=True):
    """What a circuit draws asleep [A] with both ends; `read` is the reading of it, if there is one.

    `slot` is `None` for what is on no fuse of the panels.
    """

    slot: Slot | None
    low_a: float
    current_a: float
    high_a: float
    read: Load | None = None

    @property
    def found(self) -> bool:
        """Whether it surely draws what is worth finding."""
        return self.low_a >= WORTH_A

    @property
    def open(self) -> bool:
        """Whether it may draw that, and may not."""
        return not self.found and self.high_a >= WORTH_A


class Shares(Struct, frozen=True):
    """All circuits at one level, what is on none of them, and the least and most unexplained [A].

    Unexplained is what is drawn beside those found; `hidden` the most of it that may be on fuses.
    `contradicts`: no currents fit the readings.
    """

    level: Level
    slots: tuple[Share, ...]
    outside: Share
    unexplained: tuple[float, float]
    contradicts: bool
    hidden: float

    @property
    def found(self) -> tuple[Share, ...]:
        """The circuits that surely draw, the largest first."""
        those = [share for share in self.slots if share.found]
        return tuple(sorted(those, key=lambda share: -share.current_a))

    @property
    def open(self) -> tuple[Share, ...]:
        """The circuits that may draw what is worth finding, and may not."""
        return tuple(share for share in self.slots if share.open)


class _Bound(Struct, frozen=True):
    """The ends of a sum [A] over these circuits."""

    over: frozenset[str]
    low: float
    high: float


def shares(level: Level, slots: Iterable[Slot]) -> Shares:
    """What each of these slots draws at a level, and what is on none of them."""
    by_id = {slot.id: slot for slot in slots}
    every = frozenset((*by_id, OUTSIDE))
    bounds = _bounds(level, every)
    across = {key: load for key, load in level.of_slots.items() if key in by_id}
    low = {key: least_of(across.get(key)) for key in every}
    high = {key: most_of(level.across.get(key)) for key in every}
    contradicts = not _draw_closer(low, high, bounds)
    made = {key: _share(by_id.get(key), low[key], high[key], across.get(key)) for key in every}
    made[OUTSIDE] = _as_rest(level, made)
    found = frozenset(key for key in by_id if made[key].found)
    if contradicts:
        return _not_together(level, by_id, across)
    return Shares(
        level,
        tuple(made[key] for key in by_id),
        made[OUTSIDE],
        _unexplained(every - found, low, high, bounds),
        contradicts,
        _unexplained(every - found - {OUTSIDE}, low, high, bounds)[1],
    )


def _not_together(level: Level, by_id: dict[str, Slot], across: dict[str, Load]) -> Shares:
    """What is left where no currents fit all readings: what surely flowed when it was read."""
    whole = level.whole.high_a
    made = tuple(
        _share(slot, least_of(across.get(key)), whole, across.get(key))
        for key, slot in by_id.items()
    )
    return Shares(level, made, Share(None, 0.0, 0.0, whole), (0.0, whole), True, whole)


def _bounds(level: Level, every: frozenset[str]) -> list[_Bound]:
    found = [_Bound(every, level.whole.low_a, level.whole.high_a)]
    for pulled in level.pulled:
        if not pulled.sure:
            continue  # it may have gone off by itself: what comes back with the fuse in tells
        those = pulled.slots & every
        found.append(_Bound(those, *pulled.drop))
        found.append(_Bound(every - those, *pulled.rest))
    for fed in level.fed:
        those = fed.slots & every
        found.append(_Bound(those, fed.load.low_a, fed.load.high_a))
        beside = (level.whole.low_a - fed.load.high_a, level.whole.high_a - fed.load.low_a)
        found.append(_Bound(every - those, max(0.0, beside[0]), max(0.0, beside[1])))
    # the smallest first: so a sum is parted into pulls that bound it closely
    return sorted(found, key=lambda bound: bound.high)


def _draw_closer(low: dict[str, float], high: dict[str, float], bounds: list[_Bound]) -> bool:
    """Narrow the ends in place; whether the readings go together."""
    fits = True
    for _ in range(_PASSES):
        before = (dict(low), dict(high))
        for bound in bounds:
            least = sum(low[key] for key in bound.over)
            for key in bound.over:
                high[key] = min(high[key], max(0.0, bound.high - (least - low[key])))
            fits = fits and least <= bound.high + 1e-9
            _raise_lows(bound, low, high, bounds)
        if (low, high) == before:
            break
    return fits


def _raise_lows(
    bound: _Bound, low: dict[str, float], high: dict[str, float], bounds: list[_Bound]
) -> None:
    """What the others of a sum cannot be, one of them must be."""
    if bound.low <= 0 or not bound.over:
        return
    total = _most(bound.over, high, bounds)
    for key in bound.over:
        # most sums say nothing of their parts: that is seen without adding up the others
        if total - high[key] < bound.low - low[key]:
            others = _most(bound.over - {key}, high, bounds)
            low[key] = max(low[key], min(high[key], bound.low - others))


def _most(over: frozenset[str], high: dict[str, float], bounds: list[_Bound]) -> float:
    """The most that a sum may be [A]: pulled together where that says less than one by one."""
    left, total = over, 0.0
    for bound in bounds:
        inside = bound.over & left
        # a part of a pull is at most the whole of it
        if len(inside) > 1 and sum(high[key] for key in inside) > bound.high:
            total, left = total + bound.high, left - inside
    return total + sum(high[key] for key in left)


def _share(slot: Slot | None, low: float, high: float, read: Load | None) -> Share:
    high = max(low, high)
    middle = low if high == inf else (low + high) / 2
    # what it was read as, unless other readings tell it much closer
    if read is not None and not read.below_floor and high - low > CLOSER * high:
        middle = read.current_a
    elif low == 0:
        middle = 0.0
    return Share(slot, low, min(high, max(low, middle)), high, read)


def _as_rest(level: Level, made: dict[str, Share]) -> Share:
    """What is on no fuse: nothing was read of it, so it is what the others leave."""
    rest = made[OUTSIDE]
    if rest.low_a <= 0:
        return rest
    left = level.whole.current_a - sum(s.current_a for key, s in made.items() if key != OUTSIDE)
    return Share(None, rest.low_a, min(rest.high_a, max(rest.low_a, left)), rest.high_a)


def _unexplained(
    over: frozenset[str], low: dict[str, float], high: dict[str, float], bounds: list[_Bound]
) -> tuple[float, float]:
    """The least and the most that these draw together [A]."""
    most = _most(over, high, bounds)
    least = sum(low[key] for key in over)
    for bound in bounds:
        if over <= bound.over:
            beside = bound.over - over
            most = min(most, bound.high - sum(low[key] for key in beside))
            least = max(least, bound.low - _most(beside, high, bounds))
    return max(0.0, least), max(0.0, most)
