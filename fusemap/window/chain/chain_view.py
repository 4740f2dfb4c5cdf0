"""What is selected, hop by hop from the battery to the accessory and back.

In: `document.selection` and the assessment's chains. Each hop shows load, limit and margin; Right
or Enter opens how they came about, Left closes it. A `TapView` shows one tap of what is selected,
chosen above it where there are several; the chain and the band are such views.
"""

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QHBoxLayout, QPushButton, QTabWidget, QVBoxLayout, QWidget

from fusemap.vehicle import Tap, look_up
from fusemap.window.chain.chain_hops import ChainModel, Hops, end_words, start_words, verdict
from fusemap.window.chain.tap_words import title_words
from fusemap.window.document import Document, Selection, taps_of
from fusemap.window.forms.form import scrolled
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.parts import export
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.layouts import WholeWords, turn
from fusemap.window.style.theme import Theme, space

if TYPE_CHECKING:
    from fusemap.window.chain.advice_view import AdviceView


class TapView(CatchingUp):
    """Which tap is shown; what of it, each view says in `show_chosen`."""

    def __init__(self, document: Document, theme: Theme, chooser_name: str) -> None:
        super().__init__(document)
        self._theme = theme
        self._taps: tuple[Tap, ...] = ()
        self._chosen = ""
        self.chooser = Choice()
        self.chooser.setObjectName(chooser_name)
        self.chooser.setAccessibleName(self.tr("Which tap"))
        self.chooser.activated.connect(lambda row: self.show_tap(self._taps[row].id))
        document.selected.connect(self._selection_changed)

    def show_chosen(self) -> None:
        """Show the chosen tap, or that there is none."""
        raise NotImplementedError

    def show_tap(self, tap_id: str) -> None:
        """Show this tap, where it is among those of what is selected."""
        self._chosen = tap_id
        self.refresh()

    def fill(self) -> None:
        """Show the chosen tap, or the first there is, as it is now."""
        self._taps = taps_of(self.document.vehicle, self.document.selection)
        ids = [tap.id for tap in self._taps]
        if self._chosen not in ids:
            self._chosen = ids[0] if ids else ""
        self._fill_chooser(ids)
        self.show_chosen()

    def _fill_chooser(self, ids: list[str]) -> None:
        several = self._taps if len(ids) > 1 else ()
        titles = [self._title(tap) for tap in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(len(ids) > 1)
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._chosen))

    def _title(self, tap: Tap) -> str:
        return self._theme.style.show(title_words(self.document.vehicle, tap))

    def _selection_changed(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._chosen = selection.id
        self.show_soon()


SENTENCE_LETTERS = 40
"""Beside the buttons the verdict has room for so many letters, or it stands above them."""
HEADER = ("Hop", "Quantity", "Load", "Limit", "Margin", "Unit", "State", "Formula", "Source")


class ChainView(TapView):
    """The verdict, the chooser where there are several taps, and the hops.

    `band_wanted` asks for the chart of fuse and cable of the tap shown.
    """

    band_wanted = Signal(str)

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme, "chainChooser")
        self.setObjectName("chainView")
        self.setAccessibleName(self.tr("Chain from battery to accessory and back"))
        self.model = ChainModel(theme.style, self)
        self.list = Hops(document, theme, self.model)
        self.tabs = QTabWidget()
        self._advice_place = QWidget()
        self.advice: AdviceView | None = None
        self.verdict = WholeWords("chainVerdict")
        self.copy_button = QPushButton(self.tr("Copy"))
        self.copy_button.setObjectName("chainCopy")
        self.copy_button.setAccessibleName(self.tr("Copy the chain as a table"))
        self.copy_button.clicked.connect(self.copy)
        self.band_button = QPushButton(self.tr("Fuse and cable"))
        self.band_button.setObjectName("chainBand")
        self.band_button.setToolTip(self.tr("The fuse’s band against the cable’s damage curve"))
        self.band_button.clicked.connect(lambda: self.band_wanted.emit(self.tap_id))
        self._lay_out()

    def _lay_out(self) -> None:
        gap = space(self, "medium")
        head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        head.setContentsMargins(gap, gap, gap, gap)
        head.setSpacing(gap)
        words = QVBoxLayout()
        words.addWidget(self.chooser)
        words.addWidget(self.verdict)
        head.addLayout(words, 1)
        tools = QHBoxLayout()
        tools.addStretch(1)
        for button in (LearnButton("order", self._theme.style), self.band_button, self.copy_button):
            tools.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        head.addLayout(tools)
        self._head, self._tools = head, tools
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.tabs.setDocumentMode(True)
        self.tabs.setMinimumHeight(self.fontMetrics().height() * 3)  # the verdict is read whole
        self.tabs.setObjectName("chainTabs")
        self.tabs.setAccessibleName(self.tr("Chain"))
        self.tabs.addTab(self.list, self.tr("Hop by hop"))
        self.tabs.addTab(self._advice_place, self.tr("What would be right"))
        QVBoxLayout(self._advice_place).setContentsMargins(0, 0, 0, 0)
        self.tabs.currentChanged.connect(self._show_advice)
        column.addLayout(head)
        column.addWidget(self.tabs, 1000)
        column.addStretch(1)  # what there is to say stays at the top when there is no list

    @property
    def tap_id(self) -> str:
        """The tap whose chain is shown; empty when there is none."""
        return "" if self.model.chain is None else self.model.chain.tap_id

    def show_chosen(self) -> None:
        """Show the chain of the chosen tap, or what to select."""
        there = bool(self._chosen)
        self.tabs.setVisible(there)
        self.copy_button.setVisible(there)
        self.band_button.setVisible(there)
        if not there:
            self.model.set_chain(None)
            self.verdict.setText(self._empty_words())
            return
        chain = self.document.assessment.chains[self._chosen]
        tap = look_up.tap(self.document.vehicle, self._chosen)
        other = chain.tap_id != self.tap_id
        self.model.set_chain(chain, start_words(self.document.assessment, tap), end_words(tap))
        if other:
            self.list.scrollToTop()
        self.verdict.setText(self._theme.style.show(verdict(chain)))
        self._show_advice()

    def show_advice(self) -> None:
        """Show what would be right instead of the hops."""
        self.tabs.setCurrentWidget(self._advice_place)

    def _show_advice(self, *_: object) -> None:
        """Say what would be right, if anybody looks: every section is tried for it."""
        if self.tabs.currentWidget() is not self._advice_place or not self.tap_id:
            return
        if self.advice is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.chain.advice_view import AdviceView

            self.advice = AdviceView(self.document, self._theme)
            layout = self._advice_place.layout()
            assert layout is not None
            area = scrolled(self.advice)
            layout.addWidget(area)
            area.show()
        self.advice.show_tap(self.tap_id)

    def _empty_words(self) -> str:
        if self.document.selection is None:
            return self.tr("Select a slot or an accessory to see its chain.")
        return self.tr("Nothing is tapped here yet. Put an accessory on it to see its chain.")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The buttons go below the sentence where it is narrow."""
        super().resizeEvent(event)
        least = self.fontMetrics().averageCharWidth() * SENTENCE_LETTERS
        turn(self._head, self.width() > self._tools.sizeHint().width() + least)

    def copy(self) -> None:
        """Put the chain on the clipboard as a table."""
        if self.model.chain is not None:
            export.copy_table(HEADER, map(_cells, self.model.chain.hops))


def _cells(hop: Any) -> tuple[object, ...]:
    return (
        str(hop.title),
        str(hop.quantity),
        round(hop.load, 6),
        round(hop.limit, 6),
        round(hop.margin, 6),
        hop.unit,
        hop.state or "",
        str(hop.basis.formula),
        str(hop.basis.source),
    )
