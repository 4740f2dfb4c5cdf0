"""What stands beside the panel: the chosen thing, and behind “More” its long form.

In: the document, the `Details` with the long forms. Out: one of the two. Choosing something else
shows it in short again; a page asked for by its name, and what has no short form, is shown in full.
Escape or the button above the long form leads back.
"""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from fusemap.window.chosen.content import CHOSEN
from fusemap.window.chosen.links import LinkButton
from fusemap.window.chosen.pane import ChosenPane
from fusemap.window.details import Details
from fusemap.window.document import Document, Selection
from fusemap.window.parts.home import first_stop
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme


class Beside(QStackedWidget):
    """The pane of the chosen thing over its long form; one of them is seen."""

    changed = Signal()
    """The other of the two is seen now."""

    def __init__(self, document: Document, theme: Theme, details: Details) -> None:
        super().__init__()
        self._document = document
        self.details = details
        self.pane = ChosenPane(document, theme)
        self.setObjectName("beside")
        self.setAccessibleName(self.tr("Beside the panel"))
        self._long = QWidget()
        self.back = LinkButton("chosenBack", self.tr("‹ Back to the short view"))
        self.back.setToolTip(self.tr("Esc leads back, too"))
        self.back.clicked.connect(self.show_short)
        column = QVBoxLayout(self._long)
        column.setContentsMargins(px(self, 8), px(self, 4), 0, 0)
        column.setSpacing(px(self, 4))
        column.addWidget(self.back)
        column.addWidget(details, 1)
        self.addWidget(self.pane)
        self.addWidget(self._long)
        escape = QShortcut(QKeySequence(Qt.Key.Key_Escape), self._long)
        escape.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        escape.activated.connect(self.show_short)
        self.pane.more_wanted.connect(self.show_more)
        details.asked.connect(self._asked)
        document.selected.connect(self._selected)
        self._selected(document.selection)

    @property
    def long(self) -> bool:
        """Whether the long form is seen."""
        return self.currentWidget() is self._long

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes."""
        return first_stop(self.details if self.long else self.pane)

    def show_more(self) -> None:
        """Show the long form of what is chosen, with the keyboard in it."""
        self.details.show_selected()
        self._turn(long=True)
        first_stop(self.details).setFocus(Qt.FocusReason.OtherFocusReason)

    def show_short(self) -> None:
        """Show the chosen thing in short, with the keyboard on the way to the rest."""
        if self.long:
            self._turn(long=False)
            self.pane.head.more.setFocus(Qt.FocusReason.OtherFocusReason)

    def _asked(self) -> None:
        self._turn(long=True)

    def _selected(self, selection: Selection | None) -> None:
        self._turn(long=selection is not None and selection.kind not in CHOSEN)

    def _turn(self, *, long: bool) -> None:
        wanted = self._long if long else self.pane
        selection = self._document.selection
        self.back.setVisible(selection is None or selection.kind in CHOSEN)
        if self.currentWidget() is not wanted:
            self.setCurrentWidget(wanted)
            self.changed.emit()
