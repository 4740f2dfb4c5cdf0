"""Where the current's way runs on the screen: from the battery to a contact, out of the lid, on.

In: where things stand (boxes and points in one system of coordinates [px], y downwards) and what is
to be visited. Out: a `Route`, the corners of a line and which of them are stops. The line runs in
the gutters between cards and in the lanes beside them; over a card only to its own contacts,
along the column of its fuse. No Qt: whatever turns, mirrors, scrolls or resizes the panel gives
other boxes and is followed by them.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import hypot
from typing import Final, NamedTuple

from msgspec import Struct

from fusemap.vehicle.words import LiveSide

UNKNOWN: Final = "?"
"""The key of a source of which nobody knows what it is."""
NEAR: Final = 0.01
"""Points nearer than this are one [px]."""


class Point(NamedTuple):
    """A place on the screen [px]."""

    x: float
    y: float


class Box(NamedTuple):
    """A rectangle on the screen [px]."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> Point:
        """Its centre."""
        return Point((self.left + self.right) / 2, (self.top + self.bottom) / 2)

    def grown(self, by: float) -> "Box":
        """So much larger on every side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def crossed_by(self, a: Point, b: Point) -> bool:
        """Whether a line along an axis goes through its inside."""
        return (
            max(a.x, b.x) > self.left + NEAR
            and min(a.x, b.x) < self.right - NEAR
            and max(a.y, b.y) > self.top + NEAR
            and min(a.y, b.y) < self.bottom - NEAR
        )


class Stop(NamedTuple):
    """What stands on the way: its key, and where its middle is."""

    key: str
    at: Point


class Seat(Struct, frozen=True):
    """A slot as it stands on the screen.

    `cell` ends in the middle of the gutters around the card, `column` is the room of the fuse with
    its arrows, `fuse` its body, `mark` the feed mark below it. With `words_below` the card's words
    stand below the mark and leave no way out downwards.
    """

    cell: Box
    column: Box
    fuse: Box
    mark: Box
    words_below: bool = False


class Tapped(Struct, frozen=True):
    """How a slot is passed: its live side as shown, through the fuse or not, and whether at all.

    `ends`: nothing is tapped, the way ends at the live contact.
    """

    side: LiveSide
    through: bool = False
    ends: bool = False


class Lid(Struct, frozen=True):
    """What the way runs through before it leaves the lid.

    `rim` is the lid itself, `field` what is seen of its cards, `lane` the place between strip and
    cards [x], `bus` that of the bus in the strip [x], `ceiling` where the way goes over the battery
    [y], `inner` the lane at the right of the cards [x]; `edge` is the room above and below the
    cards for a way that goes past all of them [px].
    """

    rim: Box
    field: Box
    lane: float
    bus: float
    ceiling: float
    inner: float
    edge: float = 0.0


class Route(Struct, frozen=True):
    """The corners of a way and its stops: each the number of its corner and its key."""

    points: tuple[Point, ...]
    stops: tuple[tuple[int, str], ...]
    grommet: Point | None = None

    @property
    def visited(self) -> tuple[str, ...]:
        """The keys of all that is visited, in the sense of the current."""
        return tuple(key for _, key in self.stops)

    @property
    def length(self) -> float:
        """How long it is [px]."""
        return sum(distance(a, b) for a, b in pairwise(self.points))


def distance(a: Point, b: Point) -> float:
    """How far two points are apart [px]."""
    return hypot(b.x - a.x, b.y - a.y)


class _Pen:
    """Draws a line corner by corner; a corner on the same line is left out."""

    def __init__(self) -> None:
        self.points: list[Point] = []
        self.stops: list[tuple[int, str]] = []
        self.grommet: Point | None = None

    def to(self, x: float, y: float, *keys: str) -> None:
        """Go on to a point; with keys it is a stop, an empty one is passed and not told of."""
        here = Point(x, y)
        if not self.points or distance(self.points[-1], here) > NEAR:
            self._drop_needless(here)
            self.points.append(here)
        self.stops += [(len(self.points) - 1, key) for key in keys if key]

    def _drop_needless(self, to: Point) -> None:
        """The last corner goes where the line passes straight over it, or turns back idly."""
        if len(self.points) < 2 or (self.stops and self.stops[-1][0] == len(self.points) - 1):
            return
        a, b = self.points[-2:]
        if (abs(a.x - b.x) < NEAR and abs(b.x - to.x) < NEAR) or (
            abs(a.y - b.y) < NEAR and abs(b.y - to.y) < NEAR
        ):
            self.points.pop()
            if distance(self.points[-1], to) <= NEAR:
                self.points.pop()

    def route(self) -> Route:
        return Route(tuple(self.points), tuple(self.stops), self.grommet)


def route(
    lid: Lid,
    source: Sequence[Stop],
    seat: Seat | None,
    tapped: Tapped | None,
    goal: Sequence[Stop] = (),
    pane: Box | None = None,
    aside: float = 0.0,
) -> Route:
    """The way from its source over a slot to what stands in the pane.

    `source` begins at the battery's post; the others stand on the bus, the last is where the way
    leaves it. Without `seat` it is an own feed: it leaves above all cards. `aside` moves it in the
    outer lane [px], so that two leads of one accessory do not lie on each other.
    """
    pen = _Pen()
    _along_the_bus(pen, lid, source)
    if seat is None or tapped is None:
        if not goal:
            return pen.route()
        level: float | None = lid.field.top - lid.edge
        pen.to(lid.lane, pen.points[-1].y)
        pen.to(lid.lane, lid.field.top - lid.edge)
    elif not _seen(seat, lid):
        level = _to_what_is_out_of_sight(pen, lid, seat, tapped)
    else:
        level = _over_the_card(pen, lid, seat, tapped)
    if level is not None:
        _out_of_the_lid(pen, lid, level, goal, pane, aside)
    return pen.route()


def _along_the_bus(pen: _Pen, lid: Lid, source: Sequence[Stop]) -> None:
    """From the battery's post over its edge to the bus, and along it."""
    first, *others = source
    pen.to(first.at.x, first.at.y, first.key)
    if first.key == UNKNOWN:
        return
    if len(others) == 0 or all(distance(first.at, each.at) < NEAR for each in others):
        pen.stops += [(0, each.key) for each in others if each.key]
        pen.to(first.at.x, lid.ceiling)
        return
    waiting: list[str] = []
    for each in others[:-1]:
        if distance(first.at, each.at) < NEAR:
            pen.stops.append((0, each.key))
        else:
            waiting.append(each.key)
    pen.to(first.at.x, lid.ceiling)
    pen.to(lid.bus, lid.ceiling)
    for each in others[:-1]:
        if each.key in waiting:
            pen.to(lid.bus, each.at.y, each.key)
    last = others[-1]
    pen.to(lid.bus, last.at.y)
    pen.to(last.at.x, last.at.y, last.key)


def _seen(seat: Seat, lid: Lid) -> bool:
    """Whether the column of its fuse with both gutters is among what is seen of the cards."""
    field, middle, cell = lid.field, seat.fuse.middle, seat.cell
    return (
        field.left - NEAR <= middle.x <= field.right + NEAR
        and field.top - lid.edge - NEAR <= cell.top
        and cell.bottom <= field.bottom + lid.edge + NEAR
    )


def _to_what_is_out_of_sight(pen: _Pen, lid: Lid, seat: Seat, tapped: Tapped) -> float | None:
    """A slot that is scrolled away: to the edge of what is seen, and on from there."""
    field, middle = lid.field, seat.fuse.middle
    pen.to(lid.lane, pen.points[-1].y)
    above = middle.y - field.top < field.bottom - middle.y
    y = field.top - lid.edge if above else field.bottom + lid.edge
    pen.to(lid.lane, y)
    x = min(max(middle.x, field.left), field.right)
    pen.to(x, y, "live_contact", *(("host_fuse",) if tapped.through else ()))
    return None if tapped.ends else y


def _over_the_card(pen: _Pen, lid: Lid, seat: Seat, tapped: Tapped) -> float | None:
    """To the live contact, through the fuse where it is tapped behind it, and back to a gutter.

    The height of the gutter it goes on in; `None` where it ends here.
    """
    side = tapped.side
    if side == "unknown":
        high = seat.fuse.bottom - seat.fuse.top >= seat.fuse.right - seat.fuse.left
        side = "top" if high else "left"
    from_below = pen.points[-1].y > seat.fuse.middle.y
    pen.to(lid.lane, pen.points[-1].y)
    back = _in(pen, lid, seat, side, from_below=from_below)
    if tapped.ends:
        return None
    if tapped.through:
        return _through(pen, seat, side)
    for point in back[:-1]:
        pen.to(*point)
    return back[-1].y


def _in(pen: _Pen, lid: Lid, seat: Seat, side: LiveSide, *, from_below: bool) -> list[Point]:
    """To the live contact; the way back to the gutter it goes on in, whose height comes last."""
    cell, fuse, middle = seat.cell, seat.fuse, seat.fuse.middle
    if side == "top" or (side == "bottom" and not seat.words_below):
        gutter = cell.top if side == "top" else cell.bottom
        pen.to(lid.lane, gutter)
        pen.to(middle.x, gutter)
        pen.to(middle.x, fuse.top if side == "top" else fuse.bottom, "live_contact")
        return [Point(middle.x, gutter), Point(middle.x, gutter)]
    if side == "right":
        beside = (fuse.right + seat.column.right) / 2
        pen.to(lid.lane, cell.top)
        pen.to(beside, cell.top)
        pen.to(beside, middle.y)
        pen.to(fuse.right, middle.y, "live_contact")
        up = Point(beside, cell.top)
        return [Point(beside, middle.y), up, up]
    first = abs(cell.left - lid.field.left) < 1.0
    on = cell.top if first and from_below else cell.bottom
    left = lid.lane if first else cell.left
    if not first:
        pen.to(lid.lane, cell.top)
        pen.to(left, cell.top)
    y = middle.y if side == "left" else seat.mark.middle.y
    pen.to(left, y)
    if side == "left":
        pen.to(fuse.left, y, "live_contact")
        return [Point(left, y), Point(left, on), Point(left, on)]
    pen.to(middle.x, y)
    pen.to(middle.x, fuse.bottom, "live_contact")
    return [Point(middle.x, y), Point(left, y), Point(left, on), Point(left, on)]


def _through(pen: _Pen, seat: Seat, side: LiveSide) -> float:
    """From the live contact through the fuse, and out on the other side; the gutter's height."""
    cell, fuse, middle = seat.cell, seat.fuse, seat.fuse.middle
    pen.to(*middle, "host_fuse")
    if side == "bottom":
        pen.to(middle.x, cell.top)
        return cell.top
    if side == "right":
        pen.to(cell.left, middle.y)
        pen.to(cell.left, cell.bottom)
        return cell.bottom
    if side == "left":
        beside, under = (fuse.right + seat.column.right) / 2, (fuse.bottom + seat.mark.top) / 2
        pen.to(beside, middle.y)
        pen.to(beside, under)
        pen.to(middle.x, under)
    if seat.words_below:
        pen.to(middle.x, seat.mark.middle.y)
        pen.to(cell.left, seat.mark.middle.y)
        pen.to(cell.left, cell.bottom)
    else:
        pen.to(middle.x, cell.bottom)
    return cell.bottom


def _out_of_the_lid(
    pen: _Pen, lid: Lid, level: float, goal: Sequence[Stop], pane: Box | None, aside: float
) -> None:
    """Along the gutter, through the grommet in the rim, down the lane to what is in the pane."""
    if pane is not None and pane.top >= lid.rim.bottom - 1:
        pen.to(lid.inner, level)
        pen.to(lid.inner, lid.rim.bottom)
        pen.grommet = Point(lid.inner, lid.rim.bottom)
        turn = (lid.rim.bottom + pane.top) / 2 + aside
        pen.to(lid.inner, turn)
        if goal:
            # down its edge, where no word of its head stands
            pen.to(pane.left + aside, turn)
            pen.to(pane.left + aside, goal[0].at.y)
    else:
        pen.to(lid.rim.right, level)
        pen.grommet = Point(lid.rim.right, level)
        if not goal:
            return
        edge = pane.left if pane is not None else goal[0].at.x
        turn = (lid.rim.right + edge) / 2 + aside
        pen.to(turn, level)
        pen.to(turn, goal[0].at.y)
    for each in goal:
        pen.to(*each.at, each.key)


# --- how it is drawn ------------------------------------------------------------------------------


class Corner(NamedTuple):
    """A corner and where its rounding begins and ends."""

    before: Point
    at: Point
    after: Point


def rounded(points: Sequence[Point], radius: float) -> Iterator[Corner]:
    """Every corner of a line between its ends, rounded by at most `radius` [px]."""
    for a, b, c in zip(points, points[1:], points[2:], strict=False):
        first, second = distance(a, b), distance(b, c)
        cut = min(radius, first / 2, second / 2)
        if first < NEAR or second < NEAR or turns_back(a, b, c):
            yield Corner(b, b, b)
            continue
        yield Corner(_towards(b, a, cut), b, _towards(b, c, cut))


def turns_back(a: Point, b: Point, c: Point) -> bool:
    """Whether a line goes back at `b` the way it came."""
    return (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y) < 0 and abs(
        (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x)
    ) < NEAR


def _towards(a: Point, b: Point, far: float) -> Point:
    share = far / distance(a, b)
    return Point(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)


def trimmed(points: Sequence[Point], share: float) -> tuple[Point, ...]:
    """The beginning of a line, so large a share of its length."""
    if share >= 1 or len(points) < 2:
        return tuple(points)
    left = share * sum(distance(a, b) for a, b in pairwise(points))
    made = [points[0]]
    for a, b in pairwise(points):
        long = distance(a, b)
        if long >= left:
            return (*made, _towards(a, b, left) if long > NEAR else b)
        left -= long
        made.append(b)
    return tuple(made)


def arrows(
    points: Sequence[Point], apart: float, clear: float
) -> Iterator[tuple[Point, tuple[int, int]]]:
    """Where chevrons stand and which way they point (x, y: −1, 0 or 1), at least `apart` [px].

    None nearer to a corner than `clear`, and none on the short visit to a contact and back.
    """
    visits = {
        number
        for number, (a, b, c) in enumerate(zip(points, points[1:], points[2:], strict=False))
        if turns_back(a, b, c)
    }
    since = apart / 2
    for number, (a, b) in enumerate(pairwise(points)):
        long = distance(a, b)
        if number in visits or number - 1 in visits or long < 2 * clear:
            since += long
            continue
        way = (_sign(b.x - a.x), _sign(b.y - a.y))
        at = max(clear, apart - since)
        while at <= long - clear:
            yield _towards(a, b, at), way
            since = -at
            at += apart
        since += long


def _sign(value: float) -> int:
    return (value > NEAR) - (value < -NEAR)
