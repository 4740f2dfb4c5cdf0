"""Outlines that the window and the paper both draw, as plain points. No Qt."""

from math import cos, pi, sin


def regular_polygon(corners: int, turned: float) -> tuple[tuple[float, float], ...]:
    """Corners of a regular polygon, point up, stretched to a square of side 1 (x, y).

    `turned` is by how much it is turned, as a share of a corner.

    >>> [(round(x, 9), round(y, 9)) for x, y in regular_polygon(4, 0.0)]
    [(0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)]
    """
    angles = [2 * pi * (k + turned) / corners - pi / 2 for k in range(corners)]
    across, down = [cos(angle) for angle in angles], [sin(angle) for angle in angles]
    return tuple(zip(_stretched(across), _stretched(down), strict=True))


def _stretched(values: list[float]) -> list[float]:
    least, most = min(values), max(values)
    return [(value - least) / (most - least) for value in values]
