"""A view of the vehicle that is filled only while somebody can see it.

In: the document. Whatever changes is shown once, in the next turn of the event loop, however much
changed meanwhile; a view that is out of sight catches up when it comes into view.
"""

from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget

from fusemap.window.document import Document
from fusemap.window.parts.later import Later


class CatchingUp(QWidget):
    """What such views have in common; each says in `fill` what it shows."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self._stale = True
        self._later = Later(self._catch_up, self)
        document.changed.connect(self.show_soon)

    def fill(self) -> None:
        """Show the vehicle as it is now."""
        raise NotImplementedError

    def refresh(self, *_: object) -> None:
        """Show the vehicle as it is now, without waiting."""
        self._stale = False
        self.fill()

    def show_soon(self, *_: object) -> None:
        """Show what changed, soon or when this comes into view."""
        self._stale = True
        self._later.start()

    def came_into_view(self) -> None:
        """Catch up at once; a view that takes long says so first and does it later."""
        self._catch_up()

    def _catch_up(self) -> None:
        """Show what changed, if anybody can see it."""
        if self._stale and self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        self.came_into_view()
