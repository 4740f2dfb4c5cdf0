"""From a number to the tables it rests on: what its source is, and the way there.

A part of the window that shows a number says its source; a window that has the tables shows them.
"""

from typing import Protocol, runtime_checkable

from PySide6.QtWidgets import QWidget


@runtime_checkable
class HasSource(Protocol):
    """A part of the window that shows a number and knows what it rests on."""

    def source_here(self) -> str:
        """The source of the number that the cursor is on; empty where it is on none."""


@runtime_checkable
class HasTables(Protocol):
    """A window that can show the tables."""

    def tables_page(self, source: str) -> QWidget:
        """Show them on the rows that a source text cites; the page with them."""


def source_at(widget: QWidget | None) -> str:
    """The source of the number that the keyboard is on; empty where it is on none."""
    while widget is not None:
        if isinstance(widget, HasSource):
            return widget.source_here()
        widget = widget.parentWidget()
    return ""


def open_tables(near: QWidget, source: str) -> QWidget | None:
    """The tables on the rows that a source text cites, in the window round `near` that has them."""
    around: QWidget | None = near
    while around is not None:
        if isinstance(around, HasTables):
            return around.tables_page(source)
        around = around.parentWidget()
    return None
