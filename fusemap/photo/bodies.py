"""The colour of whatever is in each place of a grid, however the picture was taken.

The grid is straightened first. What is looked for is the largest patch of one colour in the middle
of a place that is not the panel's own plastic, as it is seen between the places: print, test points
and glare are smaller, shadow changes its lightness alone.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.photo.light import Colours, lab, light
from fusemap.photo.places import Point, projection

SAMPLES: Final = 36
"""Of a place, across and down."""
RING: Final = 0.07
"""The edge of a place, where the panel itself is seen [share of the place]."""
MIDDLE: Final = 0.24
"""What lies nearer to the edge than this is no fuse [share of the place]."""
UNLIKE: Final = 9.0
"""From here on a colour is not the panel's [CIELAB]."""
NEAR: Final = 11.0
"""So far the colours of one patch may be apart [CIELAB, lightness halved]."""
LEAST_PATCH: Final = 0.12
"""A patch that covers less of the middle is no fuse's body."""
EMPTY: Final = 0.06
"""Where less than this of the middle is unlike the panel, nothing is in the place."""
GLARE: Final = 0.92
"""Light above this in all three colours is a reflection, or too much for the camera."""
_HALVED: Final = np.array([0.5, 1.0, 1.0])


class Body(Struct, frozen=True):
    """What is in a place: its light (3 values), and how much of the middle is unlike the panel.

    `light` is `None` where no patch is large enough, `within` the share of it in the picture.
    """

    light: NDArray[np.float64] | None
    unlike: float
    within: float

    @property
    def empty(self) -> bool:
        """Whether nothing but the panel is seen there."""
        return self.within > 0.95 and self.unlike < EMPTY


def straightened(
    picture: NDArray[np.uint8], corners: Sequence[Point], rows: int, columns: int
) -> Colours:
    """The grid upright: rows × columns × samples × samples × 3, encoded 0 to 1.

    `picture` is height × width × 3 in sRGB; what lies outside it is not a number.
    """
    high, wide = picture.shape[:2]
    v, u = np.meshgrid(_middles(rows), _middles(columns), indexing="ij")
    a, b, c, d, e, f, g, h = projection(corners)
    below = g * u + h * v + 1.0
    x = (a * u + b * v + c) / below * wide - 0.5
    y = (d * u + e * v + f) / below * high - 0.5
    outside = (x < -1) | (y < -1) | (x > wide) | (y > high)
    x, y = np.clip(x, 0, wide - 1.001), np.clip(y, 0, high - 1.001)
    left, top = x.astype(int), y.astype(int)
    p, q = (x - left)[..., None], (y - top)[..., None]
    encoded = picture[top, left] * (1 - p) * (1 - q) + picture[top, left + 1] * p * (1 - q)
    encoded += picture[top + 1, left] * (1 - p) * q + picture[top + 1, left + 1] * p * q
    encoded = encoded / 255.0
    encoded[outside] = np.nan
    cells = encoded.reshape(rows, SAMPLES, columns, SAMPLES, 3)
    return np.ascontiguousarray(cells.swapaxes(1, 2))


def _middles(places: int) -> Colours:
    count = places * SAMPLES
    return (np.arange(count) + 0.5) / count


def _frame(edge: float) -> NDArray[np.bool_]:
    """The samples of a place that lie nearer to its edge than this."""
    at = (np.arange(SAMPLES) + 0.5) / SAMPLES
    near = np.minimum(at, 1 - at) < edge
    return near[:, None] | near[None, :]


def bodies(cells: Colours) -> dict[tuple[int, int], Body]:
    """What is in each place of a straightened grid, by row and column."""
    linear = light(cells)
    ring, middle = _frame(RING), ~_frame(MIDDLE)
    whole = linear[:, :, ring]
    panel = np.nanmedian(whole.reshape(-1, 3), axis=0)
    found = {}
    for row, column in np.ndindex(cells.shape[:2]):
        place = linear[row, column]
        inside = place[middle]
        inside = inside[~np.isnan(inside[:, 0])]
        within = len(inside) / int(middle.sum())
        if within < 0.7:
            found[row, column] = Body(None, 0.0, within)
            continue
        found[row, column] = _body(inside, _local(panel, place[ring]), within)
    return found


def _local(panel: Colours, ring: Colours) -> Colours:
    """The panel's plastic as it is lit there."""
    here = np.nanmedian(ring, axis=0)
    factor = float(np.clip(here.sum() / max(panel.sum(), 1e-6), 0.3, 3.0))
    return panel * factor


def _body(inside: Colours, panel: Colours, within: float) -> Body:
    colours = lab(inside) * _HALVED
    away = np.linalg.norm(colours - lab(panel) * _HALVED, axis=1)
    unlike = away > UNLIKE
    share = float(unlike.mean())
    glare = inside.min(axis=1) > GLARE
    # Where most of it glares, it is a light body in strong light.
    if glare[unlike].sum() < 0.5 * max(1, int(unlike.sum())):
        unlike &= ~glare
    points, lights = colours[unlike], inside[unlike]
    if len(points) < LEAST_PATCH * len(inside):
        return Body(None, share, within)
    step = max(1, len(points) // 160)
    some = points[::step]
    apart = np.linalg.norm(some[:, None] - some[None, :], axis=2)
    centre = some[int((apart < NEAR).sum(axis=1).argmax())]
    patch = np.linalg.norm(points - centre, axis=1) < NEAR
    if patch.sum() < LEAST_PATCH * len(inside):
        return Body(None, share, within)
    return Body(np.median(lights[patch], axis=0), share, within)
