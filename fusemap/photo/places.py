"""Where the places of a grid are on a picture of it that was taken from some side.

Points are shares of the picture's width and height, from its top left; the four corners stand
clockwise from the top left of the grid. Corners may lie outside the picture.

Source: Heckbert, P., "Fundamentals of Texture Mapping and Image Warping", 1989, section 2.2.3
(projective mapping of the unit square onto a quadrilateral).
"""

from collections.abc import Sequence
from typing import Final

Point = tuple[float, float]
Projection = tuple[float, ...]
"""The eight coefficients a … h of x = (au + bv + c) / (gu + hv + 1), y = (du + ev + f) / (…)."""

MOST_LINES: Final = 40
"""A drag never asks for more rows or columns."""


def projection(corners: Sequence[Point]) -> Projection:
    """The way from the unit square onto the quadrilateral of these four corners.

    >>> projection(((0, 0), (2, 0), (2, 1), (0, 1)))
    (2.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    dx1, dx2, sx = x1 - x2, x3 - x2, x0 - x1 + x2 - x3
    dy1, dy2, sy = y1 - y2, y3 - y2, y0 - y1 + y2 - y3
    by = dx1 * dy2 - dx2 * dy1
    g = (sx * dy2 - dx2 * sy) / by if by else 0.0
    h = (dx1 * sy - sx * dy1) / by if by else 0.0
    return (
        float(x1 - x0 + g * x1), float(x3 - x0 + h * x3), float(x0),
        float(y1 - y0 + g * y1), float(y3 - y0 + h * y3), float(y0),
        g + 0.0, h + 0.0,
    )  # fmt: skip


def seen(way: Projection, across: float, down: float) -> Point:
    """Where a point of the unit square is on the picture."""
    a, b, c, d, e, f, g, h = way
    below = g * across + h * down + 1.0
    return (a * across + b * down + c) / below, (d * across + e * down + f) / below


def meant(way: Projection, point: Point) -> Point:
    """The point of the unit square that is seen there; the other way of `seen`.

    >>> way = projection(((0.1, 0.2), (0.9, 0.1), (0.8, 0.9), (0.2, 0.7)))
    >>> [round(each, 9) for each in meant(way, seen(way, 0.25, 0.5))]
    [0.25, 0.5]
    """
    a, b, c, d, e, f, g, h = way
    x, y = point
    p, q, r = a - g * x, b - h * x, x - c
    s, t, u = d - g * y, e - h * y, y - f
    by = p * t - q * s
    return ((r * t - q * u) / by, (p * u - r * s) / by) if by else (0.0, 0.0)


def corners_of(
    corners: Sequence[Point], size: tuple[int, int], place: tuple[int, int], beyond: float = 0.0
) -> tuple[Point, ...]:
    """The four corners of a place of a grid of `size` rows and columns, clockwise.

    `beyond`: how much more of its surroundings is taken at each side [share of a place].

    >>> corners_of(((0, 0), (1, 0), (1, 1), (0, 1)), (2, 4), (1, 0))
    ((0.0, 0.5), (0.25, 0.5), (0.25, 1.0), (0.0, 1.0))
    """
    way, (rows, columns), (row, column) = projection(corners), size, place
    left, right = (column - beyond) / columns, (column + 1 + beyond) / columns
    top, foot = (row - beyond) / rows, (row + 1 + beyond) / rows
    square = ((left, top), (right, top), (right, foot), (left, foot))
    return tuple(seen(way, *each) for each in square)


def upright(quad: Sequence[Point]) -> tuple[Point, ...]:
    """The corners of a place so that its head is what is highest on the picture, and not mirrored.

    >>> upright(((1, 1), (0, 1), (0, 0), (1, 0)))
    ((0, 0), (1, 0), (1, 1), (0, 1))
    >>> upright(((1, 0), (0, 0), (0, 1), (1, 1)))
    ((0, 0), (1, 0), (1, 1), (0, 1))
    """
    around = zip(quad, [*quad[1:], quad[0]], strict=True)
    turn = sum(one[0] * other[1] - other[0] * one[1] for one, other in around)
    ways = quad if turn > 0 else quad[::-1]
    turned = [(*ways[at:], *ways[:at]) for at in range(4)]
    return min(turned, key=lambda each: each[0][1] + each[1][1] - each[2][1] - each[3][1])


def count_at(share: float, line: int) -> int:
    """How many rows a grid has whose line `line` (1 is the first within) lies at this share.

    >>> [count_at(share, 1) for share in (0.5, 0.34, 0.26, 0.24, 0.0)], count_at(0.5, 2)
    ([2, 3, 4, 4, 40], 4)
    """
    least = line / MOST_LINES
    return max(line + 1, round(line / max(share, least)))
