"""The rows of a form by sections: in one column, or in two to four where there is room.

In: rows as `QFormLayout` takes them; `begin` starts a section. Out: sections that keep their order,
down the first column and then down the next; one that asks for the whole width stands right below
them all. Fields are equally wide in all of them, and none is wider than somebody reads across.
Where a section stands changes with the width, and when another thing is shown, never while one
types.
"""

from collections.abc import Iterator
from itertools import accumulate
from typing import Final, cast

from PySide6.QtCore import QObject, QSize, Qt
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QLayout, QVBoxLayout, QWidget

LEAST_EMS: Final = 24
"""A column is at least so wide where there are two [heights of the font]."""
EASY_EMS: Final = 34
"""And where there are more than two."""
MOST_COLUMNS: Final = 4
MOST_EMS: Final = 40
"""And never wider than this; the only one may be half as wide again."""
LABEL_EMS: Final = 12
"""A label up to this long sets where all fields begin; a longer one has its own line if need be."""


def place_in(rows: QFormLayout, widget: QWidget) -> tuple[int, QFormLayout.ItemRole]:
    """The row of a widget, −1 where it is in none, and what it is there."""
    return cast("tuple[int, QFormLayout.ItemRole]", rows.getWidgetPosition(widget))


class _Section(QWidget):
    """The rows from one heading to the next."""

    def __init__(self, form: QWidget, *, across: bool) -> None:
        super().__init__(form)
        self.across = across
        self.rows = QFormLayout(self)
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.rows.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.rows.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        self.rows.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)

    def labels(self) -> list[QLabel]:
        """What stands before its fields."""
        inside = [each for each in self.children() if isinstance(each, QLabel)]
        return [each for each in inside if self._role(each) == QFormLayout.ItemRole.LabelRole]

    def _role(self, widget: QWidget) -> QFormLayout.ItemRole | None:
        row, role = place_in(self.rows, widget)
        return role if row >= 0 else None

    def high(self, width: int) -> int:
        """How high it is in a column of this width [px]."""
        return self.rows.heightForWidth(width)


class FormRows(QObject):
    """The sections of one form. What is called as in `QFormLayout` does what it does there."""

    def __init__(self, form: QWidget) -> None:
        super().__init__(form)
        self._form = form
        self._sections: list[_Section] = []
        self._columns = 1
        self._whole = QVBoxLayout(form)
        self._whole.setSpacing(0)
        self._beside = QHBoxLayout()
        self._whole.addLayout(self._beside)
        self._whole.addStretch(1)
        self._lanes = [QVBoxLayout() for _ in range(MOST_COLUMNS)]
        for lane in self._lanes:
            lane.setSpacing(0)
            lane.addStretch(1)
            self._beside.addLayout(lane, 1)
        self._edges = (0, 0, 0, 0)
        self.begin()

    # --- rows -----------------------------------------------------------------------------------

    def begin(self, *, across: bool = False) -> None:
        """Start a section; the rows that follow stay together, `across` below all others."""
        if self._sections and not self._sections[-1].rows.rowCount():
            return
        made = _Section(self._form, across=across)
        if self._sections:
            made.rows.setVerticalSpacing(self._sections[0].rows.verticalSpacing())
            made.rows.setHorizontalSpacing(self._sections[0].rows.horizontalSpacing())
        self._sections.append(made)
        if across:
            self._whole.insertWidget(self._whole.count() - 1, made)
        else:
            self._lanes[0].insertWidget(self._lanes[0].count() - 1, made)

    def addRow(self, first: str | QWidget | QLayout, field: QWidget | None = None) -> None:
        """A row below all others: one thing across, or a label and a field."""
        rows = self._sections[-1].rows
        if field is not None:
            rows.addRow(cast("str", first), field)
        else:
            rows.addRow(cast("QWidget", first))

    def insert_above(self, below: QWidget, row: QWidget) -> None:
        """A row above the one in which `below` stands."""
        rows = self._of(below).rows
        rows.insertRow(place_in(rows, below)[0], row)

    def removeRow(self, widget: QWidget) -> None:
        """Take away the row of a widget, and the widget."""
        self._of(widget).rows.removeRow(widget)

    def setRowVisible(self, widget: QWidget, on: bool) -> None:
        """Show the row of a widget, or hide it."""
        self._of(widget).rows.setRowVisible(widget, on)

    def labelForField(self, field: QWidget) -> QWidget | None:
        """The label before a field."""
        return self._of(field).rows.labelForField(field)

    def invalidate(self) -> None:
        """Lay all rows out anew."""
        for each in self._sections:
            each.rows.invalidate()

    def _of(self, widget: QWidget) -> _Section:
        return next(each for each in self._sections if each.rows.indexOf(widget) >= 0)

    # --- room -----------------------------------------------------------------------------------

    def setVerticalSpacing(self, space: int) -> None:
        """Between rows [px]."""
        for each in self._sections:
            each.rows.setVerticalSpacing(space)

    def setHorizontalSpacing(self, space: int) -> None:
        """Between label and field, and twice that between columns [px]."""
        for each in self._sections:
            each.rows.setHorizontalSpacing(space)

    def setContentsMargins(self, left: int, top: int, right: int, bottom: int) -> None:
        """Round all of them [px]."""
        self._edges = (left, top, right, bottom)
        self._whole.setContentsMargins(left, top, right, bottom)

    def least(self) -> QSize:
        """What one column needs at least [px]."""
        wide = max(each.minimumSizeHint().width() for each in self._sections)
        return QSize(wide + self._edges[0] + self._edges[2], self._whole.minimumSize().height())

    @property
    def columns(self) -> int:
        """In how many columns the sections stand."""
        return self._columns

    def share(self, *, anew: bool = False) -> None:
        """Find the columns that the width has room for, and put the sections into them.

        Sections that are in the right number of columns stay where they are, unless `anew`.
        """
        em = self._form.fontMetrics().height()
        left, top, right, bottom = self._edges
        room = self._form.width() - left - right
        gap = self._sections[0].rows.horizontalSpacing() * 2
        parts = [each for each in self._sections if not each.across]
        columns = self._fitting(room, gap, len(parts))
        wide = (room - gap * (columns - 1)) // columns
        wide = min(wide, MOST_EMS * em if columns > 1 else MOST_EMS * em * 3 // 2)
        spare = max(0, room - wide * columns - gap * (columns - 1))
        self._whole.setContentsMargins(left, top, right + spare, bottom)
        if self._beside.spacing() != (gap if columns > 1 else 0):
            self._beside.setSpacing(gap if columns > 1 else 0)
        if columns != self._columns or anew:
            self._columns = columns
            self._align(em)
            self._place(parts, starts([each.high(wide) for each in parts], columns))

    def _fitting(self, room: int, gap: int, parts: int) -> int:
        """How many columns that width has room for [px], at most one for each part."""
        em = self._form.fontMetrics().height()
        own = self.least().width() - self._edges[0] - self._edges[2]
        for columns in range(min(MOST_COLUMNS, parts), 1, -1):
            least = max((LEAST_EMS if columns == 2 else EASY_EMS) * em, own)
            if room >= least * columns + gap * (columns - 1):
                return columns
        return 1

    def _align(self, em: int) -> None:
        """All fields begin at the same distance from their column's edge."""
        every = (label for each in self._sections for label in each.labels())
        labels = [label for label in every if not label.isHidden()]
        usual = [w for each in labels if (w := each.sizeHint().width()) <= LABEL_EMS * em]
        for each in labels:
            each.setMinimumWidth(max(usual, default=0))

    def _place(self, parts: list[_Section], first: list[int]) -> None:
        # removed by the lane itself: an item that is only taken out of it goes on being told of
        # every change, in the place of the one that stands there now
        for each in parts:
            for lane in self._lanes:
                lane.removeWidget(each)
        for at, each in enumerate(parts):
            lane = self._lanes[sum(start <= at for start in first) - 1]
            lane.insertWidget(lane.count() - 1, each)
        for number in range(len(self._lanes)):
            self._beside.setStretch(number, 1 if number < self._columns else 0)


def starts(high: list[int], columns: int) -> list[int]:
    """Which section begins each column, so that the highest column is as low as can be.

    `high` has the height of each section in their order [px], at least as many as columns; of
    equals those are taken that are most alike in height.
    """
    above = [0, *accumulate(high)]
    # for so many columns, how the first sections stand best in them
    best: list[tuple[tuple[int, int], list[int]]] = [((up, up * up), [0]) for up in above]
    for column in range(1, columns):
        best = [
            min(_with_one_more(best, above, column, end)) if end > column else ((0, 0), [])
            for end in range(len(above))
        ]
    return best[-1][1]


def _with_one_more(
    best: list[tuple[tuple[int, int], list[int]]], above: list[int], column: int, end: int
) -> Iterator[tuple[tuple[int, int], list[int]]]:
    """Every place where the last column may begin, with what that comes to."""
    for at in range(column, end):
        (highest, squares), first = best[at]
        own = above[end] - above[at]
        yield (max(highest, own), squares + own * own), [*first, at]
