"""Fuse and cable of what is selected: a sentence, the chart, what a current does, the sum behind.

In: `document.selection` and the assessment. Out: the picture as PNG or SVG, its course as CSV. The
chart and what draws it are loaded when this is first shown.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fusemap.vehicle import Tap, Vehicle
from fusemap.window.chain import band_words
from fusemap.window.chain.chain_words import taps_of, title_words
from fusemap.window.document import Document, Selection
from fusemap.window.parts import export
from fusemap.window.parts.basis_view import BasisView, basis_text
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme, severity_icon, space

if TYPE_CHECKING:
    from fusemap.window.chain.band_chart import BandChart


class BandView(QWidget):
    """Everything about one tap's fuse against its cable."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self._theme = theme
        self._stale = True
        self._taps: tuple[Tap, ...] = ()
        self._chosen = ""
        self.chart: BandChart | None = None
        self.setObjectName("bandView")
        self.setAccessibleName(self.tr("Fuse and cable"))
        self.mark = QLabel()
        self.headline = self._label("bandHeadline")
        font = self.headline.font()
        font.setBold(True)
        self.headline.setFont(font)
        self.order = self._label("bandOrder")
        self.reading = self._label("bandReading")
        self.reading.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        self.why = BasisView(self.tr("How this came about"), "bandWhy")
        self.chooser = QComboBox()
        self.chooser.setObjectName("bandChooser")
        self.chooser.setAccessibleName(self.tr("Which tap"))
        self.chooser.activated.connect(lambda row: self.show_tap(self._taps[row].id))
        self._lay_out()
        self._later = Later(self._catch_up, self)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selection_changed)

    def _label(self, key: str) -> QLabel:
        label = QLabel()
        label.setObjectName(key)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        return label

    # --- its parts ------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        gap = space(self, "small")
        self._place = QWidget()
        self._place.setMinimumHeight(self.fontMetrics().height() * 12)
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
        words = QHBoxLayout()
        words.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        words.addWidget(self.headline, 1)
        self.head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.head.setSpacing(space(self, "small"))
        self.head.addLayout(words, 1)
        tools = QHBoxLayout()
        tools.addStretch(1)
        tools.addWidget(self.chooser)
        self.save_button = self._save_button()
        tools.addWidget(self.save_button)
        self.head.addLayout(tools)
        return self.head

    def _save_button(self) -> QPushButton:
        button = QPushButton(self.tr("Save"))
        button.setObjectName("bandSave")
        button.setAccessibleName(self.tr("Save chart or figures"))
        menu = QMenu(button)
        for text, key in (
            (self.tr("Chart as PNG…"), "png"),
            (self.tr("Chart as SVG…"), "svg"),
            (self.tr("Course as CSV…"), "csv"),
        ):
            action = menu.addAction(text)
            action.setObjectName(f"bandSave_{key}")
            action.triggered.connect(lambda _=False, key=key: self.save(key))
        button.setMenu(menu)
        return button

    def _make_chart(self) -> "BandChart":
        from fusemap.window.chain.band_chart import BandChart

        self.chart = BandChart(self._theme)
        self.chart.read.connect(self._read)
        layout = self._place.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.insertWidget(0, self.chart, 1)
        return self.chart

    # --- what is shown --------------------------------------------------------------------------

    @property
    def tap_id(self) -> str:
        """The tap that is shown; empty when there is none."""
        return self._chosen

    def show_tap(self, tap_id: str) -> None:
        """Show this tap, where it is among those of what is selected."""
        self._chosen = tap_id
        self.refresh()

    def refresh(self) -> None:
        """Show fuse and cable as they are now."""
        self._stale = False
        self._taps = taps_of(self.document.vehicle, self.document.selection)
        ids = [tap.id for tap in self._taps]
        if self._chosen not in ids:
            self._chosen = ids[0] if ids else ""
        self._fill_chooser(ids)
        there = bool(ids)
        for widget in (self._place, self.reading, self.why, self.save_button, self.mark):
            widget.setVisible(there)
        self.order.setVisible(False)
        if there:
            self._show()
        else:
            self.headline.setText(self._empty_words())

    def _fill_chooser(self, ids: list[str]) -> None:
        several = self._taps if len(ids) > 1 else ()
        titles = [title_words(self.document.assessment, tap) for tap in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(len(ids) > 1)
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._chosen))

    def _show(self) -> None:
        from fusemap.advice import series_of
        from fusemap.assess.band import tap_band

        a = self.document.assessment
        band, chain = tap_band(a, self._chosen), a.chains[self._chosen]
        size = self.fontMetrics().height()
        severity = "note" if band_words.holds(band, chain) else "stop"
        if band.missing:
            severity = "caution"
        icon = severity_icon(severity, self._theme, size)  # type: ignore[arg-type]
        self.mark.setPixmap(icon.pixmap(size, size))
        self.headline.setText(band_words.headline(band, chain))
        words = band_words.order_words(series_of(a, self._chosen), band.fault_a)
        self.order.setText(words)
        self.order.setVisible(bool(words))
        self.why.show_text(basis_text(band.basis), band.basis.source)
        chart = self.chart or self._make_chart()
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
            self.reading.setText(band_words.reading(band, band.at(current_a)))

    def _selection_changed(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._chosen = selection.id
        self._show_soon()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._show_soon()

    def _show_soon(self) -> None:
        self._stale = True
        self._later.start()

    def _catch_up(self) -> None:
        """Show what changed, if anybody can see it."""
        if self._stale and self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        self._catch_up()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The tools go below the sentence where it is narrow."""
        super().resizeEvent(event)
        wide = self.width() > self.fontMetrics().averageCharWidth() * 80
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self.head.setDirection(way)

    # --- files ----------------------------------------------------------------------------------

    def save(self, kind: str) -> None:
        """Ask where to save the chart (png, svg) or its course (csv)."""
        if self.chart is None or self.chart.band is None:
            return
        filters = {
            "png": self.tr("Pictures (*.png)"),
            "svg": self.tr("Drawings (*.svg)"),
        }
        export.ask_where(
            self,
            self.document,
            self.tr("Save"),
            export.file_name(
                self.document.vehicle.name, f"{self.chart.band.title} fuse and cable", f".{kind}"
            ),
            filters.get(kind, self.tr("Tables (*.csv)")),
            lambda path: self.write(kind, path),
        )

    def write(self, kind: str, path: Path) -> None:
        """Write one of these files. Raises `FileProblem` when it cannot be written."""
        if self.chart is None or self.chart.band is None:
            return
        if kind == "csv":
            export.write_csv(path, band_words.HEADER, band_words.rows(self.chart.band))
            return
        back = self._theme.colour("base")
        with self.chart.picture() as drawn:
            if kind == "png":
                export.write_png(path, *drawn, back)
            else:
                export.write_svg(path, *drawn, back, self.headline.text())
