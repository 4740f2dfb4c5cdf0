"""Lay out at once what has just been filled, instead of in some turns of the event loop to come.

Qt asks for a new layout by an event to the widget around; that one asks the next, a turn later.
What is painted in between has rows of no height, and a gap where the old ones were. The main window
calls this before it is painted, so that no view has to.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent

DEEP: Final = 16
"""More widgets than lie in one another; each round answers the requests of one of them."""


def lay_out_now() -> None:
    """Answer every request for a layout that waits, and those that come of it, from inside out."""
    for _ in range(DEEP):
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
