"""Findings as rows of a list and as rows of a table.

In: findings, worst first. Out: per row a `RowLook`, the finding itself (`FINDING`), its words.
"""

from typing import Any, Final

from PySide6.QtCore import QAbstractListModel, QObject, QRectF, Qt
from PySide6.QtGui import QPainter

from fusemap.checks.finding import SEVERITY, Finding
from fusemap.text import Style
from fusemap.window.parts.row_list import LOOK, Index, Line, RowLook
from fusemap.window.style.theme import Theme, draw_severity

FINDING = LOOK + 1
PARTS: Final = ("where", "what", "sum", "rule", "source", "remedy")
HEADER: Final = ("Severity", "Where", "What", "Sum", "Rule", "Source", "What to do")


def cells(finding: Finding, style: Style) -> tuple[str, ...]:
    """A finding as a row of a table."""
    return (
        style.show(SEVERITY[finding.severity]),
        *(style.show(getattr(finding, part)) for part in PARTS),
    )


def look_of(finding: Finding, style: Style) -> RowLook:
    """A finding as a row of the list."""
    word, where = style.show(SEVERITY[finding.severity]), style.show(finding.where)
    return RowLook(
        lines=(
            Line(word, "strong", finding.severity, right=where, right_colour="text"),
            Line(style.show(finding.what)),
        ),
        mark=finding.severity,
    )


def draw_mark(painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme) -> None:
    """The shape of the severity."""
    draw_severity(painter, place, look.mark, theme)  # type: ignore[arg-type]


class FindingsModel(QAbstractListModel):
    """The findings that are to be seen."""

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.findings: tuple[Finding, ...] = ()

    def set_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show these; nothing happens where they are the same."""
        if findings != self.findings:
            self.beginResetModel()
            self.findings = findings
            self.endResetModel()

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self.findings)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look, its finding, and its words."""
        if not index.isValid():
            return None
        finding = self.findings[index.row()]
        if role == LOOK:
            return look_of(finding, self._style)
        if role == FINDING:
            return finding
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            show = self._style.show
            word = show(SEVERITY[finding.severity])
            return f"{word}: {show(finding.where)}. {show(finding.what)}"
        return None
