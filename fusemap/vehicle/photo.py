"""The photo of a panel or its lid, with the place of the panel's grid on it.

The picture is kept in the vehicle itself, as JPEG bytes in base 64, so that one file holds all.
Places on the picture are shares 0…1 of its width and height, from its top left.
"""

from typing import Final

from fusemap.vehicle.value import Value

MOST_JPEG_BYTES: Final = 200_000
"""The largest picture that is kept [bytes]."""
MOST_JPEG_LETTERS: Final = (MOST_JPEG_BYTES + 2) // 3 * 4
"""The same as text in base 64 [characters]."""


class PhotoPoint(Value, frozen=True, kw_only=True):
    """A place on a picture: shares of its width from the left, of its height from the top."""

    across: float
    down: float


class PanelPhoto(Value, frozen=True, kw_only=True):
    """A photo of a panel, and where on it the four corners of the panel's grid are.

    The corners are those of the panel as the document has it, before turning and mirroring.
    """

    jpeg: str
    top_left: PhotoPoint = PhotoPoint(across=0.0, down=0.0)
    top_right: PhotoPoint = PhotoPoint(across=1.0, down=0.0)
    bottom_right: PhotoPoint = PhotoPoint(across=1.0, down=1.0)
    bottom_left: PhotoPoint = PhotoPoint(across=0.0, down=1.0)

    @property
    def corners(self) -> "tuple[PhotoPoint, PhotoPoint, PhotoPoint, PhotoPoint]":
        """The four corners, clockwise from the top left."""
        return self.top_left, self.top_right, self.bottom_right, self.bottom_left


CORNERS: Final = ("top_left", "top_right", "bottom_right", "bottom_left")
"""The names of the corners, clockwise from the top left."""
