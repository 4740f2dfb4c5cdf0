"""The rows of the list of findings: the place, its figure, what was found, the sign of its group.

In: findings in the order of their groups, and their figures. Out: a model for a `RowList`, and the
painter of its rows: the first of each group has the group's words above it, which are no row of
their own, so that the keyboard goes from finding to finding.
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from PySide6.QtCore import QAbstractListModel, QObject, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter
from PySide6.QtWidgets import QStyleOptionViewItem, QWidget

from fusemap.checks.finding import SEVERITY, Finding
from fusemap.text import Style
from fusemap.window.chosen.measures import sized
from fusemap.window.findings.groups import GROUP_WORDS, Group, group_of
from fusemap.window.parts.row_list import LOOK, Index, Line, RowLook, RowPainter
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme, draw_severity

FINDING = LOOK + 1
HEADING = LOOK + 2
PARTS: Final = ("where", "what", "sum", "rule", "source", "remedy")
HEADER: Final = ("Severity", "Where", "What", "Sum", "Rule", "Source", "What to do")
COLOURS: Final[dict[Group, str]] = {"fails": "stop", "may_not_hold": "caution"}
"""In which colour a group's figures stand; the others are words like any."""


def cells(finding: Finding, style: Style) -> tuple[str, ...]:
    """A finding as a row of a table."""
    return (
        style.show(SEVERITY[finding.severity]),
        *(style.show(getattr(finding, part)) for part in PARTS),
    )


def look_of(finding: Finding, style: Style, figure: str = "") -> RowLook:
    """A finding as a row of the list."""
    group = group_of(finding)
    where = Line(
        style.show(finding.where), "strong", right=figure, right_colour=COLOURS.get(group, "text")
    )
    return RowLook(lines=(where, Line(style.show(finding.what), colour="muted_text")), mark=group)


def draw_group(painter: QPainter, place: QRectF, group: Group, theme: Theme) -> None:
    """The sign of a group: that of its verdict, else that of its severity."""
    if group == "caution" or group == "note":
        draw_severity(painter, place, group, theme)
    else:
        draw_verdict(painter, place, group, theme)


def draw_mark(painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme) -> None:
    """The sign at the left of a row."""
    draw_group(painter, place, look.mark, theme)  # type: ignore[arg-type]


class FindingsModel(QAbstractListModel):
    """The findings that are to be seen."""

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.findings: tuple[Finding, ...] = ()
        self.figures: dict[Finding, str] = {}

    def set_findings(self, findings: Iterable[Finding], figures: Mapping[Finding, str]) -> None:
        """Show these with their figures; nothing happens where they are the same."""
        found, said = tuple(findings), dict(figures)
        if found != self.findings:
            self.beginResetModel()
            self.findings, self.figures = found, said
            self.endResetModel()
        elif said != self.figures:
            self.figures = said
            self.dataChanged.emit(self.index(0, 0), self.index(len(found) - 1, 0))

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self.findings)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look, its finding, the words above it, and its own words."""
        if not index.isValid():
            return None
        finding = self.findings[index.row()]
        if role == LOOK:
            return look_of(finding, self._style, self.figures.get(finding, ""))
        if role == FINDING:
            return finding
        if role == HEADING:
            return self._heading(index.row())
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            show = self._style.show
            word = show(SEVERITY[finding.severity])
            return f"{word}: {show(finding.where)}. {show(finding.what)}"
        return None

    def _heading(self, row: int) -> str:
        """The words of a group above its first finding; none above the others."""
        group = group_of(self.findings[row])
        if row and group_of(self.findings[row - 1]) == group:
            return ""
        return self._style.show(GROUP_WORDS[group])


class GroupedPainter(RowPainter):
    """Rows with the words of their group above the first of each."""

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(theme, draw_mark, False, parent)

    def _heading_high(self, option: QStyleOptionViewItem, words: str, width: int) -> int:
        if not words:
            return 0
        font = QFontMetrics(sized(option.font, 12, strong=True))
        room = QRect(0, 0, max(1, width - 2 * self._edge(option)), 9999)
        wrap = Qt.TextFlag.TextWordWrap
        return font.boundingRect(room, wrap, words).height() + round(font.height() * 0.9)

    def _edge(self, option: QStyleOptionViewItem) -> int:
        return round(QFontMetrics(option.font).height() * 0.6)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """As high as the text needs, with the words above it."""
        size = super().sizeHint(option, index)
        above = self._heading_high(option, index.data(HEADING) or "", size.width())
        return size + QSize(0, above)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """The words of the group on the page's ground, then the row itself."""
        words = index.data(HEADING) or ""
        high = self._heading_high(option, words, option.rect.width())
        if high:
            painter.save()
            painter.setFont(sized(option.font, 12, strong=True))
            painter.setPen(self._theme.colour("muted_text"))
            edge = self._edge(option)
            below = round(QFontMetrics(option.font).height() * 0.2)
            room = option.rect.adjusted(edge, 0, -edge, high - option.rect.height() - below)
            flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignBottom
            painter.drawText(room, flags, words)
            painter.restore()
            option.rect = option.rect.adjusted(0, high, 0, 0)
        super().paint(painter, option, index)
