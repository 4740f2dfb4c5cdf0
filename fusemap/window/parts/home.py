"""Where the keyboard goes in a part of the window: what that part is for.

A part says so by its `home`. A focus proxy would do the same, but the Tab key takes a part that has
one for its proxy on the way on, and not on the way back: what stands before it could be reached in
one direction only.
"""

from collections.abc import Iterator
from typing import Protocol, runtime_checkable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTabBar, QTabWidget, QWidget


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
    # not by `nextInFocusChain`: PySide lets what it returns belong to the widget that was asked,
    # the window to the last of all; when that one goes, the window's menus and actions are lost
    for candidate in _inside(pane):
        if _stops(candidate, pane):
            return _tabs_above(candidate, pane) or candidate
    return pane


def _inside(widget: QWidget) -> Iterator[QWidget]:
    """What is in it, as deep as it goes; no further than is asked for."""
    for child in widget.children():
        if isinstance(child, QWidget):
            yield child
            yield from _inside(child)


def _stops(candidate: QWidget, pane: QWidget) -> bool:
    takes = bool(candidate.focusPolicy() & Qt.FocusPolicy.TabFocus)
    return takes and candidate.isVisibleTo(pane) and candidate.isEnabled()


def _tabs_above(candidate: QWidget, pane: QWidget) -> QTabBar | None:
    """The outermost row of tabs above it: made after its pages, and stopped at before them."""
    found, around = None, candidate.parentWidget()
    while around is not None:
        if isinstance(around, QTabWidget) and _stops(around.tabBar(), pane):
            found = around.tabBar()
        around = None if around is pane else around.parentWidget()
    return found
