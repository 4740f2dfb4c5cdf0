"""How the pane of the chosen thing uses the height it has, and how much it would like.

In: the pane's parts. Out: the ways to lay it out, from much room to little, and heights [px].
"""

from typing import Final, NamedTuple

from PySide6.QtWidgets import QWidget

from fusemap.window.chosen.station_button import BARE, PITCH, TIGHT


class Room(NamedTuple):
    """How all is laid out at a height: the pitch, feeds at one station, facts in one line."""

    pitch: int
    feeds_folded: bool
    facts_folded: bool
    lines: bool


ROOMS: Final = (
    Room(PITCH, False, False, True),
    Room(TIGHT, False, False, True),
    Room(TIGHT, True, False, True),
    Room(TIGHT, True, True, True),
    Room(TIGHT, True, True, False),
    Room(BARE, True, True, False),
)
"""From much room to little."""


def high_around(pane: QWidget, head: QWidget, foot: QWidget) -> int:
    """How high head and foot are in full with what parts them from what is scrolled between [px].

    Also where they are squeezed now: a pane that was given too little must be able to ask for more.
    """
    column = pane.layout()
    assert column is not None
    edges = column.contentsMargins()
    width = pane.width() - edges.left() - edges.right()
    high = sum(
        part.heightForWidth(width) if part.hasHeightForWidth() else part.sizeHint().height()
        for part in (head, foot)
    )
    return high + edges.top() + edges.bottom() + 2 * column.spacing()
