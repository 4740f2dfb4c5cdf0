"""How long the vehicle may stand: a sentence, the chart, who draws how much, what was assumed.

In: the assessment's parked forecast. Out: the picture as PNG or SVG, the figures as CSV. The chart
and what draws it are loaded when this is first shown.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.week import checked_week
from fusemap.errors import FusemapError
from fusemap.fixes.what_if import WhatIf
from fusemap.text import Argument, Text, say
from fusemap.window.document import Document
from fusemap.window.forms.form import scrolled
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.parked import parked_words
from fusemap.window.parked.parked_lists import ConsumerTable, WhatIfList
from fusemap.window.parked.parked_words import (
    compared,
    reading,
    sample_header,
    sample_rows,
    second_curve,
    series,
)
from fusemap.window.parts import export
from fusemap.window.parts.export import ask_for_file, save_button, write_drawing
from fusemap.window.parts.headline import BasisView, Headline, basis_text
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.layouts import SideBySide, is_wide, turn
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label

if TYPE_CHECKING:
    from fusemap.window.parked.parked_chart import ParkedChart

DAY_H = 24.0


class ParkedView(CatchingUp):
    """Everything about the parked vehicle."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._theme = theme
        self.parked: ParkedFigures | None = None
        self.chart: ParkedChart | None = None
        self.setObjectName("parkedView")
        self.setAccessibleName(self.tr("Parked"))
        self.says = Headline(theme, "parkedHeadline")
        self.mark, self.headline = self.says.mark, self.says.label
        self.caveat = copyable_label("parkedCaveat")
        self.caveat.setProperty("muted", True)
        self.measure = copyable_label("parkedMeasureNext")
        self.ending = copyable_label("parkedEnding")
        self.week = copyable_label("parkedWeek")
        self.second = copyable_label("parkedSecond")
        self.what_if = WhatIfList(document, theme)
        self.what_if.ticked.connect(self._compare)
        self.reading = copyable_label("parkedReading")
        self.reading.setMinimumHeight(self.fontMetrics().lineSpacing() * 2)
        self.table = ConsumerTable(document, theme)
        self.assumed = copyable_label("parkedAssumed")
        self.why = BasisView(document, theme.style, self.tr("How this came about"), "parkedWhy")
        self._lay_out()

    # --- its parts ------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        gap = space(self, "small")
        self._place = QWidget()
        self._place.setMinimumHeight(self.fontMetrics().height() * 8)
        inside = QVBoxLayout(self._place)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(gap)
        inside.addWidget(self.reading)
        self._side_area = scrolled(self._side())
        self.split = SideBySide("parkedSplit", self._place, self._side_area)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addLayout(self._head())
        column.addWidget(self.ending)
        column.addWidget(self.measure)
        column.addWidget(self.caveat)
        column.addWidget(self.split, 1)

    def _head(self) -> QBoxLayout:
        self.head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self.head.setSpacing(space(self, "small"))
        self.head.addLayout(self.says, 1)
        self.head.addLayout(self._tools())
        return self.head

    def _tools(self) -> QHBoxLayout:
        tools = QHBoxLayout()
        tools.addStretch(1)
        self.who = QToolButton()
        self.who.setText(self.tr("Who took it"))
        self.who.setObjectName("parkedWho")
        self.who.setCheckable(True)
        self.who.setToolTip(self.tr("Show who took the charge, instead of what is left"))
        self.who.toggled.connect(self._show_who)
        tools.addWidget(self.who)
        self.log = QToolButton()
        self.log.setText(self.tr("Log"))
        self.log.setObjectName("parkedLog")
        self.log.setAccessibleName(self.tr("Logarithmic time"))
        self.log.setCheckable(True)
        self.log.setToolTip(self.tr("Hours and months on one axis, the first hours wide"))
        self.log.toggled.connect(self._show_log)
        tools.addWidget(self.log)
        for text, key, hours in (
            (self.tr("Day"), "day", DAY_H),
            (self.tr("Week"), "week", 7 * DAY_H),
            (self.tr("Month"), "month", 30 * DAY_H),
            (self.tr("All"), "all", float("inf")),
        ):
            tools.addWidget(self._zoom_button(text, key, hours))
        tools.addWidget(LearnButton("standing", self._theme.style))
        tools.addWidget(save_button("parkedSave", self.save, (self.tr("Table as CSV…"), "table")))
        return tools

    def _zoom_button(self, text: str, key: str, hours: float) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setObjectName(f"parkedZoom_{key}")
        button.setAccessibleName(self.tr("Show: {span}").format(span=text))
        button.clicked.connect(lambda: self.zoom_to(hours))
        return button

    def _side(self) -> QWidget:
        side = QWidget()
        column = QVBoxLayout(side)
        column.setContentsMargins(space(self), 0, 0, 0)
        column.setSpacing(space(self, "small"))
        column.addWidget(self.table)
        for label in (self.week, self.second):
            column.addWidget(label)
        column.addWidget(self.what_if)
        column.addWidget(self.assumed)
        column.addWidget(self.why)
        column.addStretch(1)
        side.setObjectName("parkedSide")
        side.setAccessibleName(self.tr("Who draws how much"))
        return side

    def _make_chart(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.window.parked.parked_chart import ParkedChart

        self.chart = ParkedChart(self._theme)
        self.chart.read.connect(self._read)
        self.chart.height_changed.connect(self._height_changed)
        layout = self._place.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.insertWidget(0, self.chart, 1)
        self.chart.show()  # at once: the keyboard may be on its way here

    @property
    def home(self) -> QWidget | None:
        """Where the keyboard goes: to the chart, once there is one."""
        return self.chart

    # --- what is shown --------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Begin at the top: what was scrolled to when it was left is not what one comes for."""
        super().showEvent(event)
        self._side_area.verticalScrollBar().setValue(0)

    def fill(self) -> None:
        """Show the forecast as it is now."""
        if self.chart is None:
            self._make_chart()
        try:
            parked = self.document.assessment.parked
            band = self.document.assessment.band
        except FusemapError as error:
            self._show_problem(error)
            return
        self.parked = parked
        self._show(parked, band)

    def _show(self, parked: ParkedFigures, band: ParkedBand) -> None:
        parking = self.document.vehicle.parking
        fits = parked_words.fits(parked, band, parking.stand_days)
        style = self._theme.style
        words = style.show(parked_words.headline(parked, band, parking.stand_days))
        self.says.say("note" if fits else "caution", words)
        self.caveat.setText(style.show(parked_words.caveat()))
        self.measure.setText(style.show(band.measure_next))
        ending = parked_words.ending(self.document.assessment, parked, parking.stand_days)
        self.ending.setText(style.show(ending))
        self._show_more(parked)
        self.table.show_consumers(parked.consumers)
        self._give_table_room()
        self.assumed.setText(
            "\n".join(
                (
                    *self._listed(say("Assumed:"), parked.assumed),
                    *self._listed(say("What makes it uncertain:"), parked_words.spread_lines(band)),
                )
            )
        )
        self.why.show_text(basis_text(parked.basis, style), str(parked.basis.source))
        for widget in (self.split, self.caveat, self.measure):
            widget.setVisible(True)
        self.ending.setVisible(bool(ending))
        if self.chart is not None:
            self.chart.setAccessibleDescription(words)
            self.chart.show_series(series(parked, band, parking.stand_days, parking.locked_at_h))
            if not self.reading.text():
                self._tell_how_to_read()

    def _show_more(self, parked: ParkedFigures) -> None:
        """The week, the second battery, and the changes to be tried."""
        week, words = checked_week(self.document.assessment)
        style = self._theme.style
        doubts = () if week is None else week.assumed
        listed = self._listed(say("Assumed:"), doubts)
        self.week.setText("\n".join((style.show(words or ""), *listed)))
        self.week.setVisible(bool(words))
        taken = () if parked.second is None else parked.second.assumed
        listed = self._listed(say("Assumed of the second battery:"), taken)
        second = style.show(parked_words.second_battery(parked))
        self.second.setText("\n".join((second, *listed)))
        self.second.setVisible(parked.second is not None)
        self._compare(self.what_if.compared)
        self.what_if.start(self.document.assessment)

    def _listed(self, head: Text, texts: Sequence[Argument]) -> tuple[str, ...]:
        """A heading and a line for each; nothing where there is nothing to list."""
        words = [self._theme.style.show(text) for text in texts]
        lines = (f"• {each[:1].upper()}{each[1:]}" for each in words)
        return (self._theme.style.show(head), *lines) if words else ()

    def _compare(self, ticked: tuple[WhatIf, ...]) -> None:
        """Draw the charge of what is ticked beside this vehicle's."""
        if self.chart is not None:
            curves = [compared(each) for each in ticked]
            if self.parked is not None:
                curves += second_curve(self.parked)
            self.chart.show_compared(tuple(curves))
            self._give_table_room()

    def _give_table_room(self) -> None:
        """As wide as it needs, but never more than half."""
        needed = max(self.table.needed_width(), self.what_if.needed_width())
        needed += self.fontMetrics().height() * 2
        beside = self.split.orientation() == Qt.Orientation.Horizontal
        self._side_area.setMinimumWidth(min(needed, self.width() // 2) if beside else 0)

    def _show_problem(self, error: FusemapError) -> None:
        """What keeps the forecast from being made, instead of everything else."""
        self.parked = None
        self.says.say("stop", self._theme.style.show(error.text))
        for widget in (self.split, self.caveat, self.measure, self.ending):
            widget.setVisible(False)

    def _tell_how_to_read(self) -> None:
        self.reading.setText(
            self.tr(
                "Point at the chart, or use Left and Right in it, to read a moment. + and − zoom."
            )
        )

    def _read(self, hour: float) -> None:
        if self.chart is not None and self.chart.series is not None:
            words = reading(self.chart.series, hour)
            self.reading.setText(self._theme.style.show(words))

    def _show_who(self, on: bool) -> None:
        if self.chart is not None:
            self.chart.show_consumers(on)

    def _show_log(self, on: bool) -> None:
        if self.chart is not None:
            self.chart.show_log(on)

    def _height_changed(self, both: bool) -> None:
        self.who.setVisible(not both)

    def zoom_to(self, hours: float) -> None:
        """Show so many hours from locking on."""
        if self.chart is not None:
            self.chart.zoom_to(hours)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where it is wide enough, else one below the other."""
        super().resizeEvent(event)
        wide = is_wide(self, 110)
        self.split.turn(wide)
        turn(self.head, wide)
        self._give_table_room()

    # --- files ----------------------------------------------------------------------------------

    def save(self, kind: str) -> None:
        """Ask where to save the chart (png, svg), its course or its table (csv, table)."""
        if self.parked is None or self.chart is None or self.chart.series is None:
            return
        what = self.tr("parked table") if kind == "table" else self.tr("parked")
        ask_for_file(self, self.document, what, kind, self.write)

    def write(self, kind: str, path: Path) -> None:
        """Write one of these files. Raises `FileProblem` when it cannot be written."""
        if self.chart is None or self.chart.series is None:
            return
        if kind in ("png", "svg"):
            ground, title = self._theme.colour("base"), self.headline.text()
            write_drawing(kind, path, self.chart.picture(), ground, title)
        elif kind == "csv":
            header = sample_header(self.chart.series, self._theme.style)
            export.write_csv(path, header, sample_rows(self.chart.series))
        else:
            export.write_csv(path, self.table.header_words, self.table.rows())
