"""Where the labels of a chart go, so that none touches another. Plain geometry, no Qt.

In: what each label wants (size, the point it belongs to, on which side it likes to stand), the room
there is, what it must not cover and what it had better not. Out: a box for each that found one. A
label that would touch something beside its point stands farther off and has a leader to its point.
All lengths in pixels, y downwards.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import cos, hypot, pi, sin
from typing import Final, Literal

from msgspec import Struct

Side = Literal["above", "below", "right", "left"]
RINGS: Final = 14
"""So many distances are tried, each three quarters of a label's height farther off."""
WAYS: Final = 24
"""Directions that are tried at each distance."""
Priced = tuple["Box", float]
"""A part of a curve, and what it costs to stand on it, in pixels of distance."""


class Box(Struct, frozen=True):
    """A rectangle: left, top, right and bottom."""

    left: float
    top: float
    right: float
    bottom: float

    def touches(self, other: "Box", air: float = 0.0) -> bool:
        """Whether two boxes have a point in common, or come nearer than `air`."""
        return (
            self.left < other.right + air
            and other.left < self.right + air
            and self.top < other.bottom + air
            and other.top < self.bottom + air
        )

    def holds(self, other: "Box") -> bool:
        """Whether another lies within this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        """The point of this box that lies nearest to another point."""
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)


class Wanted(Struct, frozen=True):
    """A label to be placed: its size, its point, the sides it likes, the most liked first.

    What weighs more is placed first. What is drawn at its point reaches `clear` pixels from it: a
    label keeps farther off, and its leader may end within.
    """

    key: str
    width: float
    height: float
    x: float
    y: float
    sides: tuple[Side, ...] = ("above", "below", "right", "left")
    weight: int = 0
    clear: float = 0.0


class Placed(Struct, frozen=True):
    """Where a label stands, and its leader from the label to its point, where it has one."""

    box: Box
    leader: tuple[float, float, float, float] | None


def placed(
    wanted: Iterable[Wanted],
    room: Box,
    taken: Sequence[Box] = (),
    crossed: Sequence[Priced] = (),
    gap: float = 4.0,
) -> dict[str, Placed]:
    """A place for each label, by its key; those without any are left out.

    No box touches another one, one of `taken`, or the leader of another label, and all are within
    the `room`; `crossed` are parts of curves, which a label leaves free where it can.
    """
    found: dict[str, Placed] = {}
    walls = list(taken)
    for each in sorted(wanted, key=lambda label: -label.weight):
        best = _best(each, room, walls, crossed, gap)
        if best is not None:
            found[each.key] = best
            walls.append(best.box)
            walls.extend(_beads(best.leader))
    return found


def _best(
    each: Wanted, room: Box, walls: Sequence[Box], crossed: Sequence[Priced], gap: float
) -> Placed | None:
    """The cheapest place that is free: beside the point before farther off."""
    best: tuple[float, Placed] | None = None
    for cost, box, far in _tries(each, gap):
        if best is not None and cost >= best[0]:
            continue
        if not room.holds(box) or any(box.touches(wall, gap / 2) for wall in walls):
            continue
        leader = _leader(each, box) if far else None
        beads = _beads(leader)
        if any(bead.touches(wall) for bead in beads[1:] for wall in walls
               if _far(bead, each) > each.clear + gap):  # fmt: skip
            continue
        cost += max((price for part, price in crossed if box.touches(part)), default=0.0)
        if best is None or cost < best[0]:
            best = cost, Placed(box, leader)
    return None if best is None else best[1]


def _tries(each: Wanted, gap: float) -> Iterator[tuple[float, Box, bool]]:
    """Places to try: what each costs, its box, and whether it is far from its point."""
    off = gap + each.clear
    for rank, side in enumerate(each.sides):
        for slide in (0.0, -0.35, 0.35):
            yield rank * 3.0 + abs(slide) * 8.0, _beside(each, side, off, slide), False
    for ring in range(1, RINGS + 1):
        reach = ring * each.height * 0.75
        for way in range(WAYS):
            angle = 2 * pi * way / WAYS
            x = each.x + cos(angle) * (reach + each.width / 2)
            y = each.y + sin(angle) * (reach + each.height / 2)
            box = Box(
                x - each.width / 2, y - each.height / 2, x + each.width / 2, y + each.height / 2
            )
            near = box.nearest(each.x, each.y)
            far = hypot(near[0] - each.x, near[1] - each.y)
            if far > off:
                yield 20.0 + far, box, True


def _beside(each: Wanted, side: Side, gap: float, slide: float) -> Box:
    """Right beside the point on one side, slid along it by a share of the label's length."""
    wide, high = each.width, each.height
    left = each.x - wide / 2 + slide * wide
    top = each.y - high / 2 + slide * high
    if side == "above":
        top = each.y - gap - high
    elif side == "below":
        top = each.y + gap
    elif side == "right":
        left = each.x + gap
    else:
        left = each.x - gap - wide
    return Box(left, top, left + wide, top + high)


def _leader(each: Wanted, box: Box) -> tuple[float, float, float, float]:
    """From the label's nearest edge to its point."""
    x, y = box.nearest(each.x, each.y)
    return x, y, each.x, each.y


def _far(bead: Box, each: Wanted) -> float:
    """How far a bead of the leader lies from the label's point."""
    return hypot(bead.left + 1 - each.x, bead.top + 1 - each.y)


def _beads(leader: tuple[float, float, float, float] | None) -> list[Box]:
    """A leader as a string of small boxes, from the label to the point."""
    if leader is None:
        return []
    x, y, to_x, to_y = leader
    count = max(2, int(hypot(to_x - x, to_y - y) / 4))
    return [
        Box(px - 1, py - 1, px + 1, py + 1)
        for px, py in (
            (x + (to_x - x) * n / count, y + (to_y - y) * n / count) for n in range(count + 1)
        )
    ]


def spread(tops: Sequence[tuple[float, float]], low: float, high: float) -> list[float]:
    """Tops of labels in a column, moved apart so that none touches the next [px].

    tops: where each wants its top, and how high it is; they keep the order of what they want.

    >>> spread([(10, 20), (15, 20)], 0, 100)
    [10, 30]
    """
    order = sorted(range(len(tops)), key=lambda n: tops[n][0])
    found = [0.0] * len(tops)
    at = low
    for n in order:
        found[n] = at = max(at, tops[n][0])
        at += tops[n][1]
    at = high
    for n in reversed(order):
        found[n] = min(found[n], at - tops[n][1])
        at = found[n]
    return found
