"""What a photo in a vehicle cannot be, told without looking at the picture itself.

Its text has to be base 64 that begins as a JPEG does, and its four corners a grid seen from some
side: none of them on or within the lines between the others. Whether the picture can be drawn is
found out by who draws it.
"""

import re
from collections.abc import Iterator, Sequence
from typing import Final

from fusemap.text import say
from fusemap.vehicle.photo import CORNERS, PanelPhoto, PhotoPoint
from fusemap.vehicle.validity.bounds import Fault

JPEG_START: Final = "/9j/"
"""The bytes FF D8 FF in base 64."""
LEAST_TURN: Final = 1e-4
"""Least twice-area of the triangle at a corner [share of the picture]: less is no corner."""

_BASE_64: Final = re.compile(r"[A-Za-z0-9+/]+={0,2}")


def photo_faults(photo: PanelPhoto, path: str) -> Iterator[Fault]:
    """A text that is no JPEG picture, and corners that no grid has."""
    text = photo.jpeg
    if not text.startswith(JPEG_START):
        yield Fault(f"{path}.jpeg", say("it is not a JPEG picture"), say("take the photo in again"))
    elif len(text) % 4 or _BASE_64.fullmatch(text) is None:
        yield Fault(
            f"{path}.jpeg", say("it is not text in base 64"), say("take the photo in again")
        )
    for name in CORNERS:
        point = getattr(photo, name)
        if not (0.0 <= point.across <= 1.0 and 0.0 <= point.down <= 1.0):
            yield Fault(
                f"{path}.{name}",
                say("it is outside the picture"),
                say("shares run from {least} to {most}", least=0, most=1),
            )
            return
    if not is_grid(photo.corners):
        yield Fault(
            f"{path}.{CORNERS[0]}",
            say("the four corners are not those of a grid"),
            say("set each corner of the grid on its corner of the panel"),
        )


def is_grid(corners: Sequence[PhotoPoint]) -> bool:
    """Whether four points, one after the other round, are the corners of a convex quadrilateral.

    >>> is_grid(PanelPhoto(jpeg="").corners)
    True
    >>> is_grid([PhotoPoint(across=a, down=d) for a, d in ((0, 0), (1, 1), (1, 0), (0, 1))])
    False
    """
    turns = [_turn(corners[at - 2], corners[at - 1], corners[at]) for at in range(len(corners))]
    return all(turn > LEAST_TURN for turn in turns) or all(turn < -LEAST_TURN for turn in turns)


def _turn(before: PhotoPoint, here: PhotoPoint, after: PhotoPoint) -> float:
    """Twice the area of the triangle of three points; its sign is the way it turns."""
    return (here.across - before.across) * (after.down - here.down) - (here.down - before.down) * (
        after.across - here.across
    )
