"""What the colours of a panel's photo say of its slots, as proposals that somebody confirms.

In: a panel, its picture, and a grey of it where one was shown. Out: for each slot the proposal.
What it is reckoned with is loaded when it is first asked for.
"""

from typing import TYPE_CHECKING

from PySide6.QtGui import QImage

from fusemap.vehicle import Panel

if TYPE_CHECKING:
    from fusemap.photo.ratings import Proposal

Grey = tuple[float, float, float]


def proposals_of(panel: Panel, image: QImage, grey: Grey | None) -> "dict[str, Proposal]":
    """What each fuse slot may hold, by its id. Raises ValueError for a grey too dark to tell."""
    # The window starts without what reckons.
    import numpy as np

    from fusemap.photo.ratings import propose

    if panel.photo is None:
        return {}
    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    high, wide, line = plain.height(), plain.width(), plain.bytesPerLine()
    rows = np.frombuffer(plain.constBits(), np.uint8).reshape(high, line)
    pixels = rows[:, : wide * 3].reshape(high, wide, 3)
    slots = {(s.row, s.column): s for s in panel.slots if s.kind == "fuse"}
    families = {place: slot.family for place, slot in slots.items()}
    corners = [(c.across, c.down) for c in panel.photo.corners]
    found = propose(pixels, corners, (panel.rows, panel.columns), families, grey)
    return {slots[place].id: proposal for place, proposal in found.items()}
