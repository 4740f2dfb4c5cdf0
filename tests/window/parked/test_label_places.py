"""Labels of a chart never touch one another, whatever they want."""

import random
from itertools import pairwise

import pytest

from fusemap.window.parked.label_places import Box, Placed, Wanted, placed, spread

ROOM = Box(0, 0, 600, 300)


def some(seed: int) -> list[Wanted]:
    chance = random.Random(seed)
    return [
        Wanted(
            f"label {n}",
            chance.uniform(20, 140),
            chance.choice((14.0, 28.0)),
            chance.uniform(0, 600),
            chance.uniform(0, 300),
            weight=chance.randint(0, 9),
            clear=chance.choice((0.0, 6.0)),
        )
        for n in range(chance.randint(1, 9))
    ]


@pytest.mark.parametrize("seed", range(60))
def test_no_label_touches_another_or_what_is_taken(seed: int) -> None:
    taken = [Box(100, 100, 300, 108), Box(299, 0, 301, 300)]
    found = placed(some(seed), ROOM, taken)
    boxes = [each.box for each in found.values()]
    assert all(ROOM.holds(box) for box in boxes)
    walls = [*boxes, *taken]
    clashes = [(a, b) for n, a in enumerate(boxes) for b in walls[n + 1 :] if a.touches(b)]
    assert clashes == []


@pytest.mark.parametrize("seed", range(60))
def test_no_leader_crosses_another_label(seed: int) -> None:
    found = placed(some(seed), ROOM)
    for key, each in found.items():
        if each.leader is None:
            continue
        x, y, to_x, to_y = each.leader
        others = [other.box for name, other in found.items() if name != key]
        for n in range(21):
            at = x + (to_x - x) * n / 20, y + (to_y - y) * n / 20
            point = Box(*at, *at)
            assert not any(box.touches(point) for box in others), (key, each.leader)


def test_a_label_stands_beside_its_point_where_it_can() -> None:
    found = placed([Wanted("a", 50, 14, 300, 150)], ROOM)
    assert found["a"] == Placed(Box(275, 132, 325, 146), None)


def test_where_it_cannot_it_stands_farther_off_with_a_leader() -> None:
    around = [
        Box(290, 130, 310, 138), Box(290, 160, 310, 168),
        Box(330, 146, 340, 154), Box(260, 146, 270, 154),
    ]  # fmt: skip
    found = placed([Wanted("a", 50, 14, 300, 150)], ROOM, around)
    leader = found["a"].leader
    assert leader is not None
    assert leader[2:] == (300, 150)


def test_what_weighs_more_comes_first_and_what_finds_no_place_is_left_out() -> None:
    room = Box(0, 0, 60, 20)
    found = placed([Wanted("light", 50, 14, 30, 0), Wanted("heavy", 50, 14, 30, 0, weight=5)], room)
    assert list(found) == ["heavy"]


def test_names_in_a_column_keep_their_order_and_never_overlap() -> None:
    tops = spread([(50, 20), (45, 20), (52, 20), (290, 20)], 0, 300)
    spans = sorted(zip(tops, (20, 20, 20, 20), strict=True))
    assert all(a[0] + a[1] <= b[0] for a, b in pairwise(spans))
    assert tops[1] < tops[0] < tops[2] < tops[3] <= 280
