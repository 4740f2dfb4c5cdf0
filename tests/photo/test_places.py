"""Where places are on a tilted picture: against Qt's own warp, and there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF, QTransform

from fusemap.photo.places import Point, corners_of, count_at, meant, projection, seen

ASLANT = ((0.2, 0.1), (0.9, 0.2), (0.8, 0.9), (0.1, 0.7))
BEYOND = ((-0.2, 0.1), (1.2, -0.1), (0.9, 1.1), (0.1, 0.9))
shares = st.floats(0, 1)


@pytest.mark.parametrize("corners", [ASLANT, BEYOND])
@given(across=shares, down=shares)
def test_places_are_where_a_general_library_sees_them(
    corners: tuple[Point, ...], across: float, down: float
) -> None:
    """Qt's `QTransform.quadToQuad` of the same four corners."""
    area = QRectF(0, 0, 1, 1)
    square = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
    onto = QTransform.quadToQuad(QPolygonF(square), QPolygonF([QPointF(*c) for c in corners]))
    there = onto.map(QPointF(across, down))
    assert seen(projection(corners), across, down) == pytest.approx(
        (there.x(), there.y()), abs=1e-9
    )


@pytest.mark.parametrize("corners", [ASLANT, BEYOND])
@given(across=shares, down=shares)
def test_what_is_seen_there_is_what_was_meant(
    corners: tuple[Point, ...], across: float, down: float
) -> None:
    way = projection(corners)
    assert meant(way, seen(way, across, down)) == pytest.approx((across, down), abs=1e-7)


def test_the_corners_of_the_grid_are_those_of_its_outermost_places() -> None:
    assert corners_of(ASLANT, (3, 5), (0, 0))[0] == pytest.approx(ASLANT[0])
    assert corners_of(ASLANT, (3, 5), (2, 4))[2] == pytest.approx(ASLANT[2])


def test_neighbours_share_their_corners_and_what_lies_beyond_overlaps() -> None:
    left, right = (corners_of(ASLANT, (3, 5), (1, column)) for column in (1, 2))
    assert left[1] == pytest.approx(right[0])
    assert left[2] == pytest.approx(right[3])
    wider = corners_of(ASLANT, (3, 5), (1, 1), beyond=0.2)
    assert wider[1][0] > left[1][0]


def test_a_line_says_how_many_there_are_and_never_none() -> None:
    assert [count_at(1 / n, 1) for n in range(2, 20)] == list(range(2, 20))
    assert count_at(0.9, 1) == 2
    assert count_at(-3.0, 1) == 40
