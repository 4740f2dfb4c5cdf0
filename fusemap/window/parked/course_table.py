"""The course of the charge as a table: what the chart draws, to be read row by row.

In: `ChartFigures` of the vehicle as it is. Out: a row for each moment that the chart shows at first
and for everything that happens in it, with day, charge and how many such vehicles start. The charge
is the middle of many such vehicles, and so is when they no longer start, are empty or can freeze;
what else happens is that of one with the usual figures.
"""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from fusemap.text import Duration, Style
from fusemap.window.parked import chart_words as words
from fusemap.window.parked.chart_figures import ChartFigures
from fusemap.window.parked.time_axis import moment

STEPS: Final = (1.0, 2.0, 3.0, 6.0, 12.0, 24.0, 48.0, 96.0, 168.0, 336.0)
"""Steps from row to row [h]; the first with which there are no more than `MOST` rows."""
MOST: Final = 12
Row = tuple[str, str, str]


def course_rows(figures: ChartFigures, style: Style) -> Iterator[Row]:
    """When, how full, how many start, what happens: in order of time."""
    end = figures.first_view_h()
    step = next((each for each in STEPS if end / each <= MOST), STEPS[-1])
    happens: dict[float, list[str]] = {step * n: [] for n in range(int(end / step) + 1)}
    for each in figures.happenings:
        if 0 <= each.hours <= end:
            happens.setdefault(each.hours, []).append(style.show(each.words))
    for hours in sorted(happens):
        yield (
            f"{style.show(Duration(hours))}\n{moment(figures.start, hours, style)}",
            f"{words.charge_words(figures.now, hours, style)}\n"
            f"{words.chance_words(figures, hours, style)}",
            "\n".join(happens[hours]),
        )


class CourseTable(QTableWidget):
    """Those rows, as high as they are; what is around it scrolls."""

    def __init__(self, style: Style) -> None:
        super().__init__(0, 3)
        self._style = style
        self.setObjectName("parkedCourse")
        self.setAccessibleName(self.tr("Charge left over the time parked"))
        self.setHorizontalHeaderLabels(
            [
                self.tr("After"),
                self.tr("Charge, starts"),
                self.tr("What happens; switching and harm by the usual figures"),
            ]
        )
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.verticalHeader().hide()
        head = self.horizontalHeader()
        head.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        head.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)

    def show_figures(self, figures: ChartFigures) -> None:
        """Show these."""
        rows = tuple(course_rows(figures, self._style))
        self.setRowCount(len(rows))
        for place, row in enumerate(rows):
            for column, text in enumerate(row):
                self.setItem(place, column, QTableWidgetItem(text))
        self._fit()

    def _fit(self) -> None:
        self.resizeRowsToContents()
        edge = 2 * self.frameWidth()
        bar = self.horizontalScrollBar().sizeHint().height()
        high = self.verticalHeader().length() + self.horizontalHeader().sizeHint().height()
        self.setFixedHeight(high + edge + bar)
