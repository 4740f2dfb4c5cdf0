"""The verdict on the whole vehicle in one line: its sign, a sentence, what would make it sure.

In: the assessed vehicle with its findings. Out: `measure_wanted` for the readings that settle what
may not hold, `told_wanted` for what is to be said and not read. It is reckoned when somebody looks,
a moment after the last edit; meanwhile the line is grey and its buttons wait.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QPushButton, QWidget

from fusemap.window.document import Document
from fusemap.window.parts.later import Later
from fusemap.window.parts.layouts import is_wide, turn
from fusemap.window.style.measures import px
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label, plain_tip

if TYPE_CHECKING:
    from fusemap.assess.sure import Wanted
    from fusemap.fixes.fix import Fix

REST_MS = 150
"""Nothing was changed for so long before it is reckoned what to measure [ms]."""


class VerdictLine(QWidget):
    """Sign, sentence, and two buttons where there is something to measure or to say.

    `asked` is what would make it sure, `None` while that is not reckoned yet.
    """

    measure_wanted = Signal()
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._told: Fix | None = None
        self.asked: tuple[Wanted, ...] | None = None
        self.setObjectName("verdictLine")
        self.setAccessibleName(self.tr("Verdict"))
        self.mark = QLabel()
        self.mark.setObjectName("verdictMark")
        self.words = copyable_label("verdictWords", strong=True)
        self.measure = self._button("verdictMeasure", self.tr("Measure these"))
        self.measure.setToolTip(self.tr("Probe asks exactly what would make it sure"))
        self.measure.clicked.connect(self.measure_wanted)
        self.tell = self._button("verdictTell", self.tr("Say it"))
        self.tell.clicked.connect(self._tell)
        self._soon = Later(self._reckon, self)
        self._soon.setInterval(REST_MS)
        self._lay_out()
        document.opened.connect(self._clear)

    def _button(self, key: str, text: str) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.hide()
        return button

    def _lay_out(self) -> None:
        gap = space(self, "small")
        said = QHBoxLayout()
        said.setSpacing(gap)
        said.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignVCenter)
        said.addWidget(self.words, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(gap)
        buttons.addWidget(self.measure)
        buttons.addWidget(self.tell)
        buttons.addStretch(1)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._row.setContentsMargins(px(self, 16), gap, px(self, 16), 0)
        self._row.setSpacing(gap)
        self._row.addLayout(said, 1)
        self._row.addLayout(buttons)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Buttons beside the sentence where it is wide enough, else below it."""
        super().resizeEvent(event)
        turn(self._row, is_wide(self, 90))

    def showEvent(self, event: QShowEvent) -> None:
        """Reckon what was not reckoned while out of view."""
        super().showEvent(event)
        self._soon.start()

    # --- what is shown --------------------------------------------------------------------------

    def _clear(self) -> None:
        """Another vehicle: what was said of the one before is not said of it."""
        self.words.setText("…")
        self.mark.clear()
        self.measure.hide()
        self.tell.hide()
        self.show_soon()

    def show_soon(self) -> None:
        """The verdict may be another one: until it is reckoned the line is grey."""
        if self.isEnabled():
            self.setEnabled(False)
        self.asked = None
        self._soon.start()

    def _reckon(self) -> None:
        """Say the verdict on the vehicle as it is now, and what would make it sure."""
        if not self.isVisible() or self.asked is not None:
            return
        # loaded when it is first needed: the start stays short
        from fusemap.assess.sure_words import headline
        from fusemap.checks import verdict_words, whole_verdict

        vehicle, show = self._document.vehicle, self._theme.style.show
        a, found = self._document.assessment, self._document.findings
        verdict, self.asked = whole_verdict(vehicle, a, found), a.measure_next
        size = round(self.fontMetrics().height() * 1.2)
        self.mark.setPixmap(verdict_icon(verdict, self._theme, size).pixmap(size, size))
        words = show(verdict_words(vehicle, a, found, verdict))
        if verdict == "may_not_hold":
            words = f"{words} {show(headline(vehicle, self.asked))}"
        self.words.setText(words)
        self._offer(self.asked)
        self.setEnabled(True)

    def _offer(self, asked: "tuple[Wanted, ...]") -> None:
        """A button for what is read, and one for what is said."""
        # loaded when it is first needed: the start stays short
        from fusemap.fixes.fix import answer

        ways = [answer(self._document.vehicle, each) for each in asked]
        self._told = next((way for way in ways if way.tell is not None), None)
        self.measure.setVisible(any(way.read is not None for way in ways))
        self.tell.setVisible(self._told is not None)
        if self._told is not None:
            title = self._theme.style.show(self._told.title)
            self.tell.setToolTip(plain_tip(title))
            self.tell.setAccessibleDescription(title)

    def _tell(self) -> None:
        if self._told is not None and self._told.tell is not None:
            self.told_wanted.emit(*self._told.tell)
