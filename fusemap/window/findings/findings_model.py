"""Findings as rows of a list and as rows of a table.

In: findings, worst first. Out: per row a `RowLook`, the finding itself (`FINDING`), its words.
"""

from typing import Any

from PySide6.QtCore import QAbstractListModel, QObject, QRectF, Qt
from PySide6.QtGui import QPainter

from fusemap.checks.finding import Finding
from fusemap.window.parts.row_list import LOOK, Index, Line, RowLook
from fusemap.window.style.theme import Theme, draw_severity, severity_shape
from fusemap.window.texts.languages import said

FINDING = LOOK + 1
HEADER = ("Severity", "Where", "What", "Sum", "Rule", "Source", "What to do")


def cells(finding: Finding) -> tuple[str, ...]:
    """A finding as a row of a table."""
    return (
        severity_shape(finding.severity).word,
        *(said(getattr(finding, part)) for part in ("where", "what", "sum", "rule", "source")),
        said(finding.remedy),
    )


def look_of(finding: Finding) -> RowLook:
    """A finding as a row of the list."""
    word = severity_shape(finding.severity).word
    return RowLook(
        lines=(
            Line(word, "strong", finding.severity, right=said(finding.where), right_colour="text"),
            Line(said(finding.what)),
        ),
        mark=finding.severity,
    )


def draw_mark(painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme) -> None:
    """The shape of the severity."""
    draw_severity(painter, place, look.mark, theme)  # type: ignore[arg-type]


class FindingsModel(QAbstractListModel):
    """The findings that are to be seen."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
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
            return look_of(finding)
        if role == FINDING:
            return finding
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            word = severity_shape(finding.severity).word
            return f"{word}: {said(finding.where)}. {said(finding.what)}"
        return None
