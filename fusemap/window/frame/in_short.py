"""Three short lists below a lid that leaves room: findings, what draws parked, what makes it sure.

In: the document. Out: `page_wanted` for the page a list is the head of, `finding_wanted`,
`place_wanted`. They are filled a moment after the last change, one after the other, so that the
hand is never stopped; until then a list is empty, and says so.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPalette, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from fusemap.text import NOTHING, Argument, many
from fusemap.window.chosen.links import LinkButton
from fusemap.window.document import Document
from fusemap.window.parts.later import CatchingUp, Later
from fusemap.window.parts.row_list import Line, RowList, RowLook, RowModel
from fusemap.window.style.letters import letters
from fusemap.window.style.measures import px
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme, draw_severity
from fusemap.window.texts.plain import plain_label

if TYPE_CHECKING:
    from fusemap.assess import Assessment
    from fusemap.assess.parked.rows import DrawRow
    from fusemap.assess.sure import Wanted
    from fusemap.checks.finding import Finding

HIGH: Final = 232
"""So high are the lists with their heads [px of the design]."""
MOST: Final = 4
"""So many rows are shown at most."""
REST_MS: Final = 400
"""Nothing was changed for so long before a list is filled [ms]."""
SIGNS: Final = ("holds", "may_not_hold", "fails", "unchecked")
"""The marks of a row that are signs of a verdict."""


class ShortList(QWidget):
    """A head with the way to the whole of it, and its first rows."""

    whole_wanted = Signal()
    row_wanted = Signal(object)

    def __init__(
        self, theme: Theme, key: str, title: str, look_of: Callable[[Any], RowLook]
    ) -> None:
        super().__init__()
        self.setObjectName(f"inShort_{key}")
        self.setAccessibleName(title)
        self.title = QLabel(title)
        self.title.setFont(letters(self, strong=True))
        self.whole = LinkButton(f"inShort_{key}_whole")
        self.whole.clicked.connect(self.whole_wanted)
        self.whole.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.model: RowModel[Any] = RowModel(look_of, self)
        self.list = _Rows(theme, key, title)
        self.list.setModel(self.model)
        self.list.clicked.connect(self._go)
        self.list.activated.connect(self._go)
        self.empty = plain_label()
        self.empty.setProperty("muted", True)
        self.empty.setWordWrap(True)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.whole)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(px(self, 2))
        column.addLayout(head)
        column.addWidget(self.empty)
        column.addWidget(self.list, 1)
        self.show_rows(None, "", "")

    def show_rows(self, rows: tuple[Any, ...] | None, whole: str, empty: str) -> None:
        """Show the first of these; `None` while they are reckoned. `empty` stands for none."""
        self.whole.show_words(whole)
        self.whole.setVisible(bool(whole))
        self.model.set_rows((rows or ())[:MOST])
        self.empty.setText(self.tr("being reckoned") if rows is None else empty)
        self.empty.setVisible(not rows)
        self.list.fit()

    def _go(self, index: QModelIndex | QPersistentModelIndex) -> None:
        if index.isValid():
            self.row_wanted.emit(self.model.rows[index.row()])


class _Rows(RowList):
    """Rows with the sign of a verdict; as many as fit whole, never scrolled."""

    def __init__(self, theme: Theme, key: str, title: str) -> None:
        super().__init__(theme, _draw_sign, ruled=False)
        self.setObjectName(f"inShort_{key}_rows")
        self.setAccessibleName(title)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        ground = self.palette()
        ground.setColor(QPalette.ColorRole.Base, theme.colour("window"))
        self.setPalette(ground)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other rows fit."""
        super().resizeEvent(event)
        self.fit()

    def fit(self) -> None:
        """A row that would be cut is left out: the way to all of them stands above."""
        room = self.viewport().height()
        for row in range(self.model().rowCount()):
            room -= self.sizeHintForIndex(self.model().index(row, 0)).height()
            self.setRowHidden(row, room < 0)

    def minimumSizeHint(self) -> QSize:
        """It takes what is left."""
        return QSize(px(self, 180), px(self, 40))


def _draw_sign(painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme) -> None:
    """The verdict of a row; a dot where it has none."""
    if look.mark in SIGNS:
        draw_verdict(painter, place, look.mark, theme)  # type: ignore[arg-type]
        return
    if look.mark in ("caution", "note"):
        draw_severity(painter, place, look.mark, theme)  # type: ignore[arg-type]
        return
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("muted_text"))
    size = place.width() / 7
    painter.drawEllipse(QPointF(place.center()), size, size)


class InShort(CatchingUp):
    """The three lists side by side."""

    page_wanted = Signal(str)
    """“findings”, “standing” or “sure”: all of it is to be seen."""
    finding_wanted = Signal(object)
    place_wanted = Signal(str, str)
    """This place is to be shown: its kind and id."""
    wanted_wanted = Signal(object)
    """This is to be read or said now: a `Wanted`."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._theme = theme
        self.setObjectName("inShort")
        self.setAccessibleName(self.tr("In short"))
        self.findings = ShortList(theme, "findings", self.tr("Findings"), self._of_finding)
        self.draws = ShortList(theme, "draws", self.tr("What draws, parked"), self._of_draw)
        self.sure = ShortList(theme, "sure", self.tr("What would make it sure"), self._of_wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(px(self, 8), 0, px(self, 8), 0)
        row.setSpacing(px(self, 32))
        for each, page in (
            (self.findings, "findings"),
            (self.draws, "standing"),
            (self.sure, "sure"),
        ):
            row.addWidget(each, 1)
            each.whole_wanted.connect(partial(self.page_wanted.emit, page))
        self.findings.row_wanted.connect(self.finding_wanted)
        self.draws.row_wanted.connect(lambda each: self.place_wanted.emit(each.target, each.id))
        self.sure.row_wanted.connect(self.wanted_wanted)
        self.setFixedHeight(px(self, HIGH))
        self._of: Assessment | None = None
        """What the rows are of: until they are made anew an edit is not theirs."""
        self._steps = [Later(step, self) for step in (self._find, self._ask, self._forecast)]
        for step in self._steps:
            step.setInterval(REST_MS)

    def fill(self) -> None:
        """Nothing of the vehicle before; what there is now a moment later."""
        for each in (self.findings, self.draws, self.sure):
            each.show_rows(None, "", "")
        for step in self._steps:
            step.stop()
        self._steps[0].start()

    # --- step by step ---------------------------------------------------------------------------

    def _next(self, step: int) -> None:
        if self.isVisible():
            self._steps[step].start()
        else:
            self._stale = True

    def _find(self) -> None:
        found = self.document.findings
        self._of = self.document.assessment
        whole = self._theme.style.show(many("all {n}", "all {n}", len(found))) if found else ""
        self.findings.show_rows(found, whole, self.tr("Nothing was found."))
        self._next(1)

    def _ask(self) -> None:
        if self._of is not self.document.assessment:
            return  # it was edited since, and all is filled anew
        asked = self.document.assessment.measure_next
        whole = self.tr("to the readings") if asked else ""
        self.sure.show_rows(asked, whole, self.tr("Nothing: no answer would change a verdict."))
        self._next(2)

    def _forecast(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.assess.parked.rows import draw_rows
        from fusemap.errors import FusemapError

        a, why = self.document.assessment, ""
        rows: tuple[DrawRow, ...] = ()
        try:
            rows = draw_rows(a, a.parked, {each.key: each.range for each in a.band.inputs})
        except FusemapError as error:
            why = self._theme.style.show(error.text)
        self.draws.show_rows(rows, self.tr("Standing"), why or self.tr("Nothing that is known."))

    # --- rows -----------------------------------------------------------------------------------

    def _look(self, mark: str, name: Argument, under: Argument, figure: Argument) -> RowLook:
        show = self._theme.style.show
        colour = {"fails": "stop", "may_not_hold": "caution"}.get(mark, "text")
        head = Line(show(name), "strong", right=show(figure), right_colour=colour)
        return RowLook((head, Line(show(under), colour="muted_text")), mark)

    def _of_finding(self, finding: "Finding") -> RowLook:
        # it comes with what reckons, which the window starts without
        from fusemap.window.findings.groups import figure_of, group_of

        assert self._of is not None, "its row was made with it"
        figure = figure_of(self._of, finding)
        return self._look(group_of(finding), finding.where, finding.what, figure)

    def _of_draw(self, row: "DrawRow") -> RowLook:
        # it comes with what reckons, which the window starts without
        from fusemap.window.parked.draws_list import drawn_words

        ends = drawn_words((row,), self._theme.style)
        return self._look("" if row.sure else "unchecked", row.name, row.where, ends)

    def _of_wanted(self, wanted: "Wanted") -> RowLook:
        # it comes with what reckons, which the window starts without
        from fusemap.assess.sure_words import order, settles

        a = self._of
        assert a is not None, "its row was made with it"
        return self._look("may_not_hold", order(a.vehicle, wanted), settles(a, wanted), NOTHING)
