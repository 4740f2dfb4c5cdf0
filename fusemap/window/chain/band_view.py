"""Fuse and cable of what is selected: a sentence, the chart, what a current does, the sum behind.

In: `document.selection` and the assessment. Out: the picture as PNG or SVG, its course as CSV. The
chart, what reckons it and what draws it are loaded when this is first shown.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fusemap.window.chain import band_words
from fusemap.window.chain.chain_view import TapView
from fusemap.window.document import Document
from fusemap.window.parts import export
from fusemap.window.parts.export import ask_for_file, save_button, write_drawing
from fusemap.window.parts.headline import BasisView, Headline, basis_text
from fusemap.window.parts.layouts import is_wide, turn
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label

if TYPE_CHECKING:
    from fusemap.checks.finding import Severity
    from fusemap.window.chain.band_chart import BandChart


class BandView(TapView):
    """Everything about one tap's fuse against its cable."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme, "bandChooser")
        self.chart: BandChart | None = None
        self.setObjectName("bandView")
        self.setAccessibleName(self.tr("Fuse and cable"))
        self.says = Headline(theme, "bandHeadline")
        self.mark, self.headline = self.says.mark, self.says.label
        self.order = copyable_label("bandOrder")
        self.reading = copyable_label("bandReading")
        self.reading.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        self.why = BasisView(document, theme.style, self.tr("How this came about"), "bandWhy")
        self._lay_out()

    # --- its parts ------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        gap = space(self, "small")
        self._place = QWidget()
        self._place.setMinimumHeight(self.fontMetrics().height() * 17)
        # in a scroll area it takes the height there is, not the height it would like
        self._place.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        inside = QVBoxLayout(self._place)
        inside.setContentsMargins(0, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addLayout(self._head())
        column.addWidget(self.order)
        column.addWidget(self._place, 1000)
        column.addWidget(self.reading)
        column.addWidget(self.why)
        column.addStretch(1)

    def _head(self) -> QBoxLayout:
        self.head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.head.setSpacing(space(self, "small"))
        self.head.addLayout(self.says, 1)
        tools = QHBoxLayout()
        tools.addStretch(1)
        tools.addWidget(self.chooser)
        self.save_button = save_button("bandSave", self.save)
        tools.addWidget(self.save_button)
        self.head.addLayout(tools)
        return self.head

    def _make_chart(self) -> "BandChart":
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain.band_chart import BandChart

        self.chart = BandChart(self._theme)
        self.chart.read.connect(self._read)
        layout = self._place.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.insertWidget(0, self.chart, 1)
        self.chart.show()  # at once: the keyboard may be on its way here
        return self.chart

    @property
    def home(self) -> QWidget | None:
        """Where the keyboard goes: to the chart, once there is one."""
        return self.chart

    # --- what is shown --------------------------------------------------------------------------

    @property
    def tap_id(self) -> str:
        """The tap that is shown; empty when there is none."""
        return self._chosen

    def show_chosen(self) -> None:
        """Show fuse and cable of the chosen tap, or what to select."""
        there = bool(self._chosen)
        for widget in (self._place, self.reading, self.why, self.save_button, self.mark):
            widget.setVisible(there)
        self.order.setVisible(False)
        if there:
            self._show()
        else:
            self.headline.setText(self._empty_words())

    def _show(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.advise.advice import series_of
        from fusemap.assess.band import tap_band

        a = self.document.assessment
        band, chain = tap_band(a, self._chosen), a.chains[self._chosen]
        severity: Severity = "note" if band_words.holds(band, chain) else "stop"
        if band.missing:
            severity = "caution"
        style = self._theme.style
        headline = style.show(band_words.headline(band, chain))
        self.says.say(severity, headline)
        words = band_words.order_words(series_of(a, self._chosen), band.fault_a)
        self.order.setText("" if words is None else style.show(words))
        self.order.setVisible(words is not None)
        self.why.show_text(basis_text(band.basis, style), str(band.basis.source))
        chart = self.chart or self._make_chart()
        chart.setAccessibleDescription(headline)
        chart.show_band(band)
        if not self.reading.text():
            self.reading.setText(
                self.tr("Point at the chart, or use Left and Right in it, to read a current.")
            )

    def _empty_words(self) -> str:
        if self.document.selection is None:
            return self.tr("Select a slot or an accessory to see its fuse and cable.")
        return self.tr("Nothing is tapped here yet.")

    def _read(self, current_a: float) -> None:
        band = None if self.chart is None else self.chart.band
        if band is not None:
            words = band_words.reading(band, band.at(current_a))
            self.reading.setText(self._theme.style.show(words))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The tools go below the sentence where it is narrow."""
        super().resizeEvent(event)
        turn(self.head, is_wide(self, 80))

    # --- files ----------------------------------------------------------------------------------

    def save(self, kind: str) -> None:
        """Ask where to save the chart (png, svg) or its course (csv)."""
        if self.chart is None or self.chart.band is None:
            return
        what = f"{self.chart.band.title} fuse and cable"
        ask_for_file(self, self.document, what, kind, self.write)

    def write(self, kind: str, path: Path) -> None:
        """Write one of these files. Raises `FileProblem` when it cannot be written."""
        if self.chart is None or self.chart.band is None:
            return
        if kind == "csv":
            export.write_csv(path, band_words.HEADER, band_words.rows(self.chart.band))
        else:
            ground, title = self._theme.colour("base"), self.headline.text()
            write_drawing(kind, path, self.chart.picture(), ground, title)
