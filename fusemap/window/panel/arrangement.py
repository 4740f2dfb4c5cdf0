"""How a panel is turned and mirrored on the screen, so that it looks as it does under the dash.

In: places and sides of the panel as the document has them; out: as the view shows them. This is
the view's state alone, nothing of it stands in the vehicle. No Qt.
"""

from typing import Final, TypeVar

from msgspec import Struct

from fusemap.vehicle.words import LiveSide, Orientation

T = TypeVar("T")

_CLOCKWISE: Final[dict[LiveSide, LiveSide]] = {
    "top": "right",
    "right": "bottom",
    "bottom": "left",
    "left": "top",
    "unknown": "unknown",
}
_MIRRORED: Final[dict[LiveSide, LiveSide]] = {"left": "right", "right": "left"}
_ASIDE: Final[dict[Orientation, Orientation]] = {"upright": "lying", "lying": "upright"}


class Arrangement(Struct, frozen=True):
    """A panel of `rows` × `columns`, mirrored left to right if so, then turned clockwise.

    >>> Arrangement(2, 3, quarter_turns=1).shown(0, 2)
    (2, 1)
    >>> Arrangement(2, 3, quarter_turns=1).side("left")
    'top'
    """

    rows: int
    columns: int
    quarter_turns: int = 0
    mirrored: bool = False

    @property
    def size(self) -> tuple[int, int]:
        """Rows and columns as they are shown."""
        across = self.quarter_turns % 2
        return (self.columns, self.rows) if across else (self.rows, self.columns)

    def shown(self, row: int, column: int) -> tuple[int, int]:
        """Where a place of the panel stands on the screen."""
        high, wide = self.rows, self.columns
        if self.mirrored:
            column = wide - 1 - column
        for _ in range(self.quarter_turns % 4):
            row, column, high, wide = column, high - 1 - row, wide, high
        return row, column

    def place(self, row: int, column: int) -> tuple[int, int]:
        """Which place of the panel stands at a place of the screen."""
        high, wide = self.size
        for _ in range(-self.quarter_turns % 4):
            row, column, high, wide = column, high - 1 - row, wide, high
        return row, wide - 1 - column if self.mirrored else column

    def side(self, side: LiveSide) -> LiveSide:
        """Which side of the screen a side of the panel is on."""
        if self.mirrored:
            side = _MIRRORED.get(side, side)
        for _ in range(self.quarter_turns % 4):
            side = _CLOCKWISE[side]
        return side

    def panel_side(self, side: LiveSide) -> LiveSide:
        """Which side of the panel a side of the screen is."""
        for _ in range(-self.quarter_turns % 4):
            side = _CLOCKWISE[side]
        return _MIRRORED.get(side, side) if self.mirrored else side

    def orientation(self, orientation: Orientation) -> Orientation:
        """How a fuse stands on the screen."""
        return _ASIDE[orientation] if self.quarter_turns % 2 else orientation

    def corners(self, corners: tuple[T, T, T, T]) -> tuple[T, T, T, T]:
        """What stands at the panel's corners, clockwise from the top left, as it is shown.

        >>> Arrangement(2, 3, quarter_turns=1).corners(("a", "b", "c", "d"))
        ('d', 'a', 'b', 'c')
        """
        a, b, c, d = corners
        if self.mirrored:
            a, b, c, d = b, a, d, c
        for _ in range(self.quarter_turns % 4):
            a, b, c, d = d, a, b, c
        return a, b, c, d

    def axis(self, axis: str) -> str:
        """Which axis of the panel, "row" or "column", an axis of the screen is."""
        return axis if self.quarter_turns % 2 == 0 else ("column" if axis == "row" else "row")


class ViewState(Struct, frozen=True):
    """How a panel is shown; `zoom` is `None` while it is fitted to its room."""

    quarter_turns: int = 0
    mirrored: bool = False
    zoom: float | None = None
