"""What was found about the vehicle, worst first, with the sum, the rule and what to do.

At the head stands the verdict on the whole vehicle, and the way to what would make it sure.

In: `document.findings`. Out: with Enter, a double click or “Show it” the place of a finding is
selected. A click on a severity's count hides or shows its findings. The rows of the list and of a
copied table are made by `look_of` and `cells`.
"""

from collections.abc import Iterable
from typing import Any, Final

from PySide6.QtCore import QAbstractListModel, QObject, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPainter, QResizeEvent, QShortcut
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.checks.finding import SEVERITIES, SEVERITY, Finding, Severity
from fusemap.text import Style
from fusemap.window.document import Document
from fusemap.window.findings.finding_details import Details
from fusemap.window.findings.verdict_line import VerdictLine
from fusemap.window.forms.form import scrolled
from fusemap.window.parts import export
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.layouts import SideBySide, is_wide
from fusemap.window.parts.row_list import LOOK, Index, Line, RowList, RowLook
from fusemap.window.style.theme import Theme, draw_severity, severity_icon, space

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


class FindingsList(CatchingUp):
    """Header with counts, the list, and beside it everything about the finding it stands on."""

    counted = Signal(int, int, int)
    """How many to stop for, to be careful with, to note: told when it may have changed."""
    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""
    sure_wanted = Signal()
    """What would make it sure is to be read now."""
    place_wanted = Signal(str, str)
    """The place of a finding is to be shown: its kind and id."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._theme = theme
        self.setObjectName("findingsList")
        self.setAccessibleName(self.tr("Findings"))
        self.model = FindingsModel(theme.style, self)
        self.list = _List(theme, self)
        self.list.setModel(self.model)
        self.list.selectionModel().currentChanged.connect(self._show_details)
        self.list.doubleClicked.connect(self.jump)
        self.empty = QLabel()
        self.empty.setWordWrap(True)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.empty.setObjectName("findingsEmpty")
        self.filters: dict[Severity, QToolButton] = {}
        self.details = Details(document, theme, self.jump)
        self.details.fixes.probe_wanted.connect(self.probe_wanted)
        self.details.fixes.told_wanted.connect(self.told_wanted)
        self.verdict = VerdictLine(document, theme)
        self.verdict.measure_wanted.connect(self.sure_wanted)
        self.verdict.told_wanted.connect(self.told_wanted)
        self.split = SideBySide("findingsSplit", self.list, scrolled(self.details))
        self.split.setMinimumHeight(self.fontMetrics().height() * 6)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.verdict)
        whole.addLayout(self._header())
        whole.addWidget(self.empty, 1)
        whole.addWidget(self.split, 1)

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes: to the list."""
        return self.list

    def _header(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(*(space(self, "small"),) * 4)
        row.setSpacing(space(self, "small"))
        for severity in SEVERITIES:
            row.addWidget(self._filter(severity))
        row.addStretch(1)
        for text, key, name, do in (
            (self.tr("Copy all"), "findingsCopy", self.tr("Copy these findings"), self.copy),
            (self.tr("Save as CSV…"), "findingsSave", self.tr("Save these findings"), self.save),
        ):
            button = QPushButton(text)
            button.setObjectName(key)
            button.setAccessibleName(name)
            button.clicked.connect(do)
            row.addWidget(button)
        return row

    def _filter(self, severity: Severity) -> QToolButton:
        button = QToolButton()
        size = self.fontMetrics().height()
        word = self._theme.style.show(SEVERITY[severity])
        button.setIcon(severity_icon(severity, self._theme, size))
        button.setIconSize(QSize(size, size))
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setCheckable(True)
        button.setChecked(True)
        button.setObjectName(f"findings_{severity}")
        button.setToolTip(self.tr("Show or hide: {word}").format(word=word))
        button.toggled.connect(self.refresh)
        self.filters[severity] = button
        return button

    # --- what is shown --------------------------------------------------------------------------

    @property
    def counts(self) -> dict[Severity, int]:
        """How many findings there are of each severity, shown or not."""
        found = [finding.severity for finding in self.document.findings]
        return {severity: found.count(severity) for severity in SEVERITIES}

    @property
    def summary(self) -> str:
        """The counts in words: “2 stop · 3 caution · 5 note”; empty when nothing was found."""
        words = [f"{n} {self._word(severity)}" for severity, n in self.counts.items() if n]
        return " · ".join(words)

    def _word(self, severity: Severity) -> str:
        """A severity's word behind its count."""
        return self._theme.style.show(SEVERITY[severity].small())

    def fill(self) -> None:
        """Show what is found now, keeping the finding the cursor is on."""
        counts = self.counts
        for severity, button in self.filters.items():
            text = f"{counts[severity]} {self._word(severity)}"
            button.setText(text)
            button.setAccessibleName(text)
        kept = self.current()
        self.model.set_findings(
            tuple(f for f in self.document.findings if self.filters[f.severity].isChecked())
        )
        self._go_to(kept)
        self.verdict.show_soon()
        none = not self.model.findings
        self.empty.setText(self._empty_words())
        self.empty.setVisible(none)
        self.split.setVisible(not none)
        self.counted.emit(*counts.values())

    def _empty_words(self) -> str:
        if self.document.findings:
            return self.tr("All findings are hidden. Press a count above to see its findings.")
        if not self.document.vehicle.taps:
            return self.tr("Nothing found. Place an accessory on a slot, and it is checked here.")
        return self.tr("Nothing found: everything checked holds.")

    def current(self) -> Finding | None:
        """The finding the cursor is on."""
        finding = self.list.currentIndex().data(FINDING)
        return finding if isinstance(finding, Finding) else None

    def _go_to(self, kept: Finding | None) -> None:
        """The cursor onto the same finding as before, else onto the first."""
        rows = range(len(self.model.findings))
        same = (r for r in rows if kept is not None and _same(self.model.findings[r], kept))
        row = next(same, 0 if rows else -1)
        if row != self.list.currentIndex().row():
            self.list.setCurrentIndex(self.model.index(row, 0))
        self._show_details()

    def _show_details(self, *_: object) -> None:
        self.details.show_finding(self.current())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where it is wide enough, else one below the other."""
        super().resizeEvent(event)
        self.split.turn(is_wide(self, 90))

    # --- what can be asked ----------------------------------------------------------------------

    def jump(self, *_: object) -> None:
        """Go to the place of the finding the cursor is on."""
        self.select_place()
        finding = self.current()
        if finding is not None:
            self.place_wanted.emit(finding.place, finding.place_id)

    def select_place(self) -> None:
        """Select the place of the finding the cursor is on."""
        finding = self.current()
        if finding is not None:
            self.document.select(finding.place, finding.place_id)

    def show_finding(self, finding: Finding) -> None:
        """Put the cursor onto a finding, whichever are hidden."""
        for button in self.filters.values():
            button.setChecked(True)
        self.refresh()
        self._go_to(finding)

    def copy(self) -> None:
        """Put the findings shown on the clipboard as a table."""
        export.copy_table(HEADER, self.cells(self.model.findings))

    def cells(self, findings: Iterable[Finding]) -> list[tuple[str, ...]]:
        """Findings as rows of a table, in the reader's words."""
        return [cells(finding, self._theme.style) for finding in findings]

    def save(self) -> None:
        """Ask where to save the findings shown."""
        rows = self.cells(self.model.findings)
        export.ask_where(
            self,
            self.document,
            self.tr("Save the findings"),
            export.file_name(self.document.vehicle.name, self.tr("findings"), ".csv"),
            self.tr("Tables (*.csv)"),
            lambda path: export.write_csv(path, HEADER, rows),
        )


def _same(one: Finding, other: Finding) -> bool:
    return (one.code, one.place, one.place_id) == (other.code, other.place, other.place_id)


class _List(RowList):
    """Enter jumps, Ctrl+C copies the finding."""

    def __init__(self, theme: Theme, findings: FindingsList) -> None:
        super().__init__(theme, draw_mark)
        self._findings = findings
        self.setObjectName("findingsRows")
        self.setAccessibleName(self.tr("Findings, worst first"))
        copy = QShortcut(QKeySequence.StandardKey.Copy, self)
        copy.setContext(Qt.ShortcutContext.WidgetShortcut)
        copy.activated.connect(self._copy_one)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter jumps to the place."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._findings.jump()
        else:
            super().keyPressEvent(event)

    def source_here(self) -> str:
        """The source of the finding the cursor is on."""
        finding = self._findings.current()
        return "" if finding is None else str(finding.source)

    def _copy_one(self) -> None:
        finding = self._findings.current()
        if finding is not None:
            export.copy_table(HEADER, self._findings.cells([finding]))
