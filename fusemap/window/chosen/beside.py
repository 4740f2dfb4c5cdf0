"""What stands beside the panel: the chosen thing, or the list of all circuits to be answered.

In: the document. Out: one of the two. The list is made when it is first asked for; choosing
something else, Escape, or the button above the list leads back to the chosen thing.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from fusemap.window.chosen.links import LinkButton
from fusemap.window.chosen.pane import ChosenPane
from fusemap.window.document import Document, Selection
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.home import first_stop
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.window.pages.circuits_page import CircuitsPage


class Beside(QStackedWidget):
    """The pane of the chosen thing over the list of circuits; one of them is seen."""

    changed = Signal()
    """The other of the two is seen now."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._list: CircuitsPage | None = None
        self.pane = ChosenPane(document, theme)
        self.setObjectName("beside")
        self.setAccessibleName(self.tr("Beside the panel"))
        self._listed = QWidget()
        self.back = LinkButton("circuitsBack", self.tr("‹ Back to what is chosen"))
        self.back.setToolTip(self.tr("Esc leads back, too"))
        self.back.clicked.connect(self.show_chosen)
        self._column = QVBoxLayout(self._listed)
        self._column.setContentsMargins(px(self, 8), px(self, 4), 0, 0)
        self._column.setSpacing(px(self, 4))
        self._column.addWidget(self.back)
        self.addWidget(self.pane)
        self.addWidget(self._listed)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self._listed)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.show_chosen)
        document.selected.connect(self._selected)

    @property
    def listing(self) -> bool:
        """Whether the list of circuits is seen."""
        return self.currentWidget() is self._listed

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes."""
        return first_stop(self.circuits if self.listing else self.pane)

    @property
    def circuits(self) -> "CircuitsPage":
        """The list of circuits; made when it is first needed."""
        if self._list is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.pages.circuits_page import CircuitsPage

            self._list = CircuitsPage(self._document, self._theme)
            self._column.addWidget(scrolled(self._list), 1)
        return self._list

    def show_circuits(self) -> None:
        """Show the list of all circuits, with the keyboard in it."""
        self.circuits.show()
        self._turn(listing=True)
        first_stop(self.circuits).setFocus(Qt.FocusReason.OtherFocusReason)

    def show_chosen(self) -> None:
        """Show the chosen thing, with the keyboard on it."""
        if self.listing:
            self._turn(listing=False)
            first_stop(self.pane).setFocus(Qt.FocusReason.OtherFocusReason)

    def _selected(self, selection: Selection | None) -> None:
        self._turn(listing=False)

    def _turn(self, *, listing: bool) -> None:
        wanted = self._listed if listing else self.pane
        if self.currentWidget() is not wanted:
            self.setCurrentWidget(wanted)
            self.changed.emit()
