"""Where the keyboard goes in a part of the window: what that part is for.

A part says so by its `home`. A focus proxy would do the same, but the Tab key takes a part that has
one for its proxy on the way on, and not on the way back: what stands before it could be reached in
one direction only.
"""

from typing import Protocol, runtime_checkable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget


@runtime_checkable
class HasHome(Protocol):
    """A part of the window that is there for one thing above all."""

    @property
    def home(self) -> QWidget | None:
        """What the part is for; `None` while there is nothing of it."""


def first_stop(pane: QWidget) -> QWidget:
    """What a part of the window is for, where that is seen; else its first widget with the Tab key.

    The part itself where there is none.
    """
    home = pane.home if isinstance(pane, HasHome) else None
    if home is not None and home.isVisibleTo(pane) and home.isEnabled():
        return home
    candidate = pane.nextInFocusChain()
    while candidate is not None and candidate is not pane:
        takes = bool(candidate.focusPolicy() & Qt.FocusPolicy.TabFocus)
        inside = pane.isAncestorOf(candidate)
        if takes and inside and candidate.isVisibleTo(pane) and candidate.isEnabled():
            return candidate
        candidate = candidate.nextInFocusChain()
    return pane
