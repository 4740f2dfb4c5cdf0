"""A quiet card over the foot of the lid: circuits whose names or classes say to leave them alone.

In: what `fusemap.placement.answers` asks of slots whose names were typed. Out: one step of the
history for the marks that are confirmed, or `answers_wanted`, to answer one by one. Nothing is
marked by itself; “Not now” keeps it quiet about these slots as long as their names stay, and they
stay left alone.
"""

import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, QPoint, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QWidget

from fusemap.text import Style
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.panel.hint_line import HintLine
from fusemap.window.parts.cut_label import Cut
from fusemap.window.parts.later import Later
from fusemap.window.style.measures import px
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.placement.answers import Question

SOON_MS = 300
"""So long after the last letter was typed the names are looked at [ms]."""
NAMED = 3
"""So many slots are named in the line; the others are counted."""


class MarksBanner(QFrame):
    """Circuits to leave alone, to be marked all at once or answered one by one."""

    answers_wanted = Signal()
    """The list of all circuits is to be shown."""

    def __init__(
        self,
        document: Document,
        style: Style,
        page: QWidget | None = None,
        lid: QWidget | None = None,
    ) -> None:
        super().__init__(page)
        self._document = document
        self._style = style
        self._lid = lid
        """It lies over the foot of this part of the page."""
        self._quiet: set[tuple[str, str]] = set()
        self._opened_now = True
        self._waited = False
        """What finds the questions was not loaded: it has been waited for what comes first."""
        self._found: tuple[Question, ...] = ()
        self.setObjectName("marksBanner")
        self.setAccessibleName(self.tr("Circuits to leave alone"))
        self.words = Cut("marksWords")
        self.mark_button = self._button("marksApply", self.tr("Mark them"), self.confirm)
        self.each_button = self._button(
            "marksEach", self.tr("Answer one by one"), self.answers_wanted.emit
        )
        self.later_button = self._button("marksLater", self.tr("Not now"), self.dismiss)
        row = QHBoxLayout(self)
        edge = space(self, "small")
        row.setContentsMargins(edge * 2, edge // 2, edge // 2, edge // 2)
        row.setSpacing(edge)
        row.addWidget(self.words, 1)
        for button in (self.mark_button, self.each_button, self.later_button):
            row.addWidget(button)
        self._later = Later(self.refresh, self)
        self._later.setInterval(SOON_MS)
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)
        if lid is not None:
            lid.installEventFilter(self)
        self.hide()
        self._later.start()

    # --- where it lies --------------------------------------------------------------------------

    def lie(self) -> None:
        """At the right of the lid's foot, as wide as its words need beside what is said there."""
        page = self.parentWidget()
        if self._lid is None or page is None:
            return
        edge = px(self, 8)
        at = self._lid.mapTo(page, QPoint(0, 0))
        words = self.words.fontMetrics().horizontalAdvance(self.words.text())
        # words that may be cut ask for no room of their own in the row
        wide = min(self._lid.width() - 2 * edge, self.sizeHint().width() + words + px(self, 8))
        high = self.sizeHint().height()
        right, bottom = at.x() + self._lid.width() - edge, at.y() + self._lid.height() - edge // 4
        self.setGeometry(right - wide, bottom - high, wide, high)
        self.raise_()
        self._keep_clear(wide + edge)

    def _keep_clear(self, wide: int) -> None:
        """What is said at the lid's foot ends before so much of its line [px]."""
        for hint in self._lid.findChildren(HintLine) if self._lid is not None else ():
            hint.keep_clear(wide)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow the lid; no event is held back."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Move) and not self.isHidden():
            self.lie()
        return False

    def _button(self, key: str, text: str, do: Callable[[], object]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button

    # --- what is shown ----------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what is proposed now; where a window opens, after its figures and its verdict."""
        page = self.parentWidget()
        if page is not None and not self._waited and "fusemap.placement" not in sys.modules:
            self._waited = True
            self._later.start_when_painted(page)
            page.update()
            return
        # loaded when it is first needed: with it comes what computes
        from fusemap.placement.answers import warned

        asked = warned(self._document.vehicle)
        if self._opened_now:
            # of a vehicle that is opened only what is critical is told, the rest when it is typed
            self._opened_now = False
            self._hush(each for each in asked if each.proposal != "leave_alone")
        self._found = tuple(each for each in asked if self._key(each) not in self._quiet)
        names = self._names()
        self.words.setText(
            self.tr("By name to be left alone or watched: {names}").format(names=names)
        )
        self.words.setToolTip(plain_tip(self._words(names)))
        self.setAccessibleDescription(self._words(names))
        self.lie() if self._found else self._keep_clear(0)
        self.setVisible(bool(self._found))

    def _key(self, question: "Question") -> tuple[str, str]:
        """What was turned down: to be asked about this slot under this name."""
        return question.slot.id, question.slot.circuit

    def _names(self) -> str:
        names = [self._style.show(look_up.slot_with_circuit(each.slot)) for each in self._found]
        named = ", ".join(names[:NAMED])
        more = len(names) - len(names[:NAMED])
        if more > 0:
            named = self.tr("{names} and {n} more").format(names=named, n=more)
        return named

    def _words(self, names: str) -> str:
        return self.tr(
            "By their names or feed classes, these circuits are to be left alone or are watched by "
            "the vehicle: {names}. Mark them, or answer what they really are; until then nothing "
            "is planned there."
        ).format(names=names)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if old.panels is not new.panels:
            self._later.start()

    def _opened(self) -> None:
        self._quiet.clear()
        self._opened_now = True
        self._later.start()

    # --- what can be asked ------------------------------------------------------------------------

    def confirm(self) -> None:
        """Mark all of them, as one step."""
        from fusemap.placement.answers import take_proposals  # as above

        text = self.tr("Mark circuits to leave alone")
        self._document.apply(text, take_proposals, [each.slot.id for each in self._found])
        self.refresh()

    def dismiss(self) -> None:
        """Ask no more about these; they stay left alone."""
        self._hush(self._found)
        self.refresh()

    def _hush(self, those: "Iterable[Question]") -> None:
        self._quiet.update(self._key(each) for each in those)
