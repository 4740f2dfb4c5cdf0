"""What lies before the user: the pages of one window, and which of them is shown.

It is what the tools of the window are given: the document, its views, and the window itself only
as what a dialog opens over. It knows none of the tools. `turned` tells that another page is shown
or a view has changed, so that what can be done now may be other than before.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QMainWindow, QStackedWidget

from fusemap.window.document import Document
from fusemap.window.settings import Settings
from fusemap.window.style.theme import Look

if TYPE_CHECKING:
    from fusemap.window.work_area import WorkArea


class Desk(QObject):
    """The pages of a window; the work area is made when it is first shown, and anew on request."""

    turned = Signal()
    work_made = Signal(object)
    """The views were made: a `WorkArea`."""

    def __init__(
        self, window: QMainWindow, document: Document, settings: Settings, look: Look
    ) -> None:
        super().__init__(window)
        self.window = window
        self.document = document
        self.settings = settings
        self.look = look
        self.pages = QStackedWidget()
        self.work: WorkArea | None = None

    @property
    def working(self) -> bool:
        """Whether the vehicle in hand is shown, with its panel and details."""
        return self.work is not None and self.pages.currentWidget() is self.work

    def show_work(self) -> None:
        """Show the vehicle in hand."""
        self.pages.setCurrentWidget(self.work or self._make_work())
        self.turned.emit()

    def _make_work(self) -> "WorkArea":
        # loaded when it is first needed: the start stays short
        from fusemap.window.work_area import WorkArea

        self.work = WorkArea(self.document, self.look.theme, self.settings, self.pages)
        self.work_made.emit(self.work)
        self.pages.addWidget(self.work)
        return self.work

    def make_work_anew(self, keep: bool) -> None:
        """Make the views in the look there is now, on the same page; `keep` their sizes."""
        if self.work is None:
            return
        if keep:
            self.work.keep()
        showing = self.working
        old, self.work = self.work, None
        self.pages.removeWidget(old)
        if showing:
            self._make_work().show_as(old)
            self.show_work()
        old.deleteLater()

    def focus_pane(self, pane: str) -> None:
        """Go to a part of the work area."""
        if self.work is not None:
            self.work.focus_pane(pane)
