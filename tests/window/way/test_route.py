"""The way's geometry: it runs in gutters and lanes, and over a card only to its own contacts."""

from itertools import pairwise
from math import hypot

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fusemap.vehicle.words import LiveSide
from fusemap.window.way.route import (
    Box,
    Lid,
    Point,
    Route,
    Seat,
    Stop,
    Tapped,
    arrows,
    distance,
    rounded,
    route,
    trimmed,
    turns_back,
)

SIDES: tuple[LiveSide, ...] = ("left", "right", "top", "bottom", "unknown")
GAP = 5.0


class Panel:
    """A made-up lid of so many cards, its strip at the left and a pane at the right or below."""

    def __init__(
        self,
        rows: int,
        columns: int,
        wide: float = 140.0,
        high: float = 84.0,
        pane_below: bool = False,
    ) -> None:
        left, top = 110.0, 40.0
        self.rows, self.columns, self.wide, self.high = rows, columns, wide, high
        field = Box(left, top, left + columns * wide, top + rows * high)
        rim = Box(10.0, 8.0, field.right + 14.0, field.bottom + 20.0)
        self.lid = Lid(rim, field, lane=left, bus=18.0, ceiling=34.0, inner=field.right + 7.0)
        self.pane = (
            Box(10.0, rim.bottom + 24.0, rim.right, rim.bottom + 300.0)
            if pane_below
            else Box(rim.right + 24.0, 8.0, rim.right + 330.0, rim.bottom)
        )
        x = self.pane.left + 20.0
        self.goal = [
            Stop(key, Point(x, self.pane.top + 90.0 + 52.0 * n))
            for n, key in enumerate(("tap", "cable", "device", "earth"))
        ]

    def source(self, share: float) -> list[Stop]:
        """Battery, a feed on the bus, and one at which the way leaves."""
        field = self.lid.field
        y = field.top + 30 + share * (field.bottom - field.top - 60)
        post = Point(40.0, field.top + 4)
        return [
            Stop("battery", post),
            Stop("feed:main", post),
            Stop("feed:30", Point(40.0, field.top + 20)),
            Stop("feed:15", Point(40.0, y)),
        ]

    def cell(self, row: int, column: int) -> Box:
        x, y = self.lid.field.left + column * self.wide, self.lid.field.top + row * self.high
        return Box(x, y, x + self.wide, y + self.high)

    def cards(self) -> dict[tuple[int, int], Box]:
        return {
            (row, column): self.cell(row, column).grown(-GAP)
            for row in range(self.rows)
            for column in range(self.columns)
        }

    def seat(self, row: int, column: int, *, lying: bool, below: bool) -> Seat:
        cell = self.cell(row, column)
        x, y = cell.left + GAP + 4, cell.top + GAP + 3
        column_ = Box(x, y, x + 34, y + 46)
        body = Box(x + 5, y + 11, x + 29, y + 33) if lying else Box(x + 6, y + 5, x + 28, y + 41)
        return Seat(cell, column_, body, Box(x, y + 46, x + 34, y + 63), words_below=below)


def crossed(panel: Panel, found: Route, own: tuple[int, int], seat: Seat) -> list[str]:
    """Every place where a way goes over a card where it may not."""
    wrong = []
    for a, b in pairwise(found.points):
        for place, card in panel.cards().items():
            if not card.crossed_by(a, b):
                continue
            inside = Box(card.left, card.top, seat.column.right, card.bottom)
            if place != own or max(a.x, b.x) > inside.right + 0.01:
                wrong.append(f"{place}: {a} to {b}")
    return wrong


places = st.tuples(st.integers(0, 5), st.integers(0, 7))


@given(
    places, st.sampled_from(SIDES), st.booleans(), st.booleans(), st.booleans(), st.booleans(),
    st.floats(0, 1), st.booleans(),
)  # fmt: skip
def test_it_crosses_no_card_but_over_its_own_contacts(
    place: tuple[int, int],
    side: LiveSide,
    through: bool,
    lying: bool,
    below: bool,
    ends: bool,
    share: float,
    pane_below: bool,
) -> None:
    panel = Panel(6, 8, pane_below=pane_below)
    seat = panel.seat(*place, lying=lying, below=below)
    tapped = Tapped(side, through=through, ends=ends)
    found = route(panel.lid, panel.source(share), seat, tapped, panel.goal, panel.pane)
    assert crossed(panel, found, place, seat) == []
    for a, b in pairwise(found.points):
        assert abs(a.x - b.x) < 0.01 or abs(a.y - b.y) < 0.01, "along an axis"
        assert distance(a, b) > 0.01
    contact = ["live_contact"] if ends or not through else ["live_contact", "host_fuse"]
    passed = [] if ends else ["tap", "cable", "device", "earth"]
    feeds = ["battery", "feed:main", "feed:30", "feed:15"]
    assert list(found.visited) == [*feeds, *contact, *passed]
    numbers = [number for number, _ in found.stops]
    assert numbers == sorted(numbers), "in the sense of the current"


@given(places, st.sampled_from(SIDES), st.booleans(), st.floats(0, 1))
def test_it_touches_the_contact_of_the_live_side(
    place: tuple[int, int], side: LiveSide, lying: bool, share: float
) -> None:
    panel = Panel(6, 8)
    seat = panel.seat(*place, lying=lying, below=False)
    found = route(panel.lid, panel.source(share), seat, Tapped(side), panel.goal, panel.pane)
    fuse = seat.fuse
    at = next(found.points[number] for number, key in found.stops if key == "live_contact")
    expected = {
        "top": Point(fuse.middle.x, fuse.top),
        "bottom": Point(fuse.middle.x, fuse.bottom),
        "left": Point(fuse.left, fuse.middle.y),
        "right": Point(fuse.right, fuse.middle.y),
        "unknown": (Point(fuse.left, fuse.middle.y) if lying else Point(fuse.middle.x, fuse.top)),
    }[side]
    assert distance(at, expected) < 0.01


def test_a_tap_on_the_live_side_goes_on_in_the_same_gutter_and_a_reversed_one_below() -> None:
    panel = Panel(3, 4)
    seat = panel.seat(1, 2, lying=False, below=False)
    levels = {}
    for through in (False, True):
        found = route(
            panel.lid,
            panel.source(0.5),
            seat,
            Tapped("top", through=through),
            panel.goal,
            panel.pane,
        )
        assert found.grommet is not None
        assert found.grommet.x == panel.lid.rim.right
        levels[through] = found.grommet.y
    assert levels == {False: seat.cell.top, True: seat.cell.bottom}


def test_a_reversed_one_passes_fuse_feed_mark_and_what_stands_below_it() -> None:
    panel = Panel(3, 4)
    seat = panel.seat(1, 2, lying=False, below=False)
    found = route(panel.lid, panel.source(0.5), seat, Tapped("top", through=True), panel.goal)
    middle = seat.fuse.middle
    for y in (middle.y, seat.mark.middle.y, seat.cell.bottom - GAP - 1):
        assert any(on(Point(middle.x, y), a, b) for a, b in pairwise(found.points))


def on(point: Point, a: Point, b: Point) -> bool:
    return abs(distance(a, point) + distance(point, b) - distance(a, b)) < 0.01


@given(st.floats(-400, 900), st.floats(-400, 900), st.sampled_from(SIDES), st.booleans())
def test_a_card_that_is_scrolled_away_is_led_to_the_edge_of_what_is_seen(
    x: float, y: float, side: LiveSide, through: bool
) -> None:
    panel = Panel(3, 3)
    field = panel.lid.field
    moved = panel.seat(0, 0, lying=False, below=False)
    dx, dy = x - moved.cell.left, y - moved.cell.top
    seat = Seat(*(Box(b.left + dx, b.top + dy, b.right + dx, b.bottom + dy)
                  for b in (moved.cell, moved.column, moved.fuse, moved.mark)))  # fmt: skip
    assume(not field.grown(50).crossed_by(Point(x, y), Point(x + 141, y)))
    found = route(panel.lid, panel.source(0.4), seat, Tapped(side, through=through), panel.goal,
                  panel.pane)  # fmt: skip
    wide = Box(panel.lid.rim.left, panel.lid.rim.top, panel.pane.right, panel.pane.bottom + 200)
    for point in found.points:
        assert wide.left <= point.x <= wide.right
        assert wide.top - 1 <= point.y <= wide.bottom
    assert found.visited[-1] == "earth"


def test_an_own_feed_passes_above_all_cards() -> None:
    panel = Panel(4, 5)
    source = panel.source(0.5)[:2]
    found = route(panel.lid, source, None, None, panel.goal, panel.pane)
    assert found.visited == ("battery", "feed:main", "tap", "cable", "device", "earth")
    assert not any(
        card.crossed_by(a, b) for a, b in pairwise(found.points) for card in panel.cards().values()
    )


def test_a_source_that_nobody_knows_begins_at_its_mark_and_not_at_the_battery() -> None:
    panel = Panel(3, 3)
    seat = panel.seat(2, 2, lying=True, below=False)
    unknown = Stop("?", Point(40.0, 250.0))
    found = route(panel.lid, [unknown], seat, Tapped("unknown", ends=True))
    assert found.points[0] == unknown.at
    assert found.visited == ("?", "live_contact")
    assert crossed(panel, found, (2, 2), seat) == []


def test_a_feed_alone_ends_at_its_mark() -> None:
    panel = Panel(3, 3)
    found = route(panel.lid, panel.source(0.5), None, None)
    assert found.points[-1] == panel.source(0.5)[-1].at


@pytest.mark.parametrize("radius", [1.0, 7.0, 50.0])
def test_a_rounded_corner_cuts_no_more_than_half_of_what_it_joins(radius: float) -> None:
    panel = Panel(3, 4)
    seat = panel.seat(1, 2, lying=False, below=False)
    points = route(panel.lid, panel.source(0.5), seat, Tapped("top"), panel.goal, panel.pane).points
    corners = list(rounded(points, radius))
    assert len(corners) == len(points) - 2
    for corner, (a, b, c) in zip(corners, zip(points, points[1:], points[2:], strict=False),
                                 strict=True):  # fmt: skip
        if turns_back(a, b, c):
            assert corner.before == corner.after == b
            continue
        assert distance(corner.before, b) <= min(radius, distance(a, b) / 2) + 1e-6
        assert on(corner.before, a, b)
        assert on(corner.after, b, c)


@given(st.floats(0, 1))
def test_the_beginning_of_a_line_is_as_long_as_its_share(share: float) -> None:
    points = (Point(0, 0), Point(100, 0), Point(100, 40), Point(100, 0), Point(160, 0))
    part = trimmed(points, share)
    long = sum(distance(a, b) for a, b in pairwise(part))
    assert long == pytest.approx(240 * share, abs=1e-6)


def test_chevrons_point_in_the_sense_of_the_current_and_stand_apart() -> None:
    points = (Point(0, 0), Point(0, 200), Point(400, 200), Point(400, 150), Point(400, 200),
              Point(700, 200))  # fmt: skip
    found = list(arrows(points, 70, 14))
    assert {way for _, way in found} == {(0, 1), (1, 0)}
    assert not any(150 < at.y < 200 and at.x == 400 for at, _ in found), "none on a visit"
    for (one, _), (other, _) in pairwise(found):
        assert hypot(other.x - one.x, other.y - one.y) > 40
