"""What was found about the vehicle, by what is to be done, worst first; each with its ways out.

At the head stands the verdict on the whole vehicle, and the way to what would make it sure.

In: `document.findings`. Out: with Enter, a double click or “Show …” the place of a finding is
selected. A click on a group's count hides or shows its findings. Figures are reckoned a moment
after the last edit, and only while somebody looks.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QPalette, QResizeEvent, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.checks.finding import SEVERITIES, SEVERITY, Finding, Severity
from fusemap.text import many
from fusemap.window.chosen.measures import label, sized
from fusemap.window.document import Document
from fusemap.window.findings.finding_details import REST_MS, Details
from fusemap.window.findings.groups import (
    GROUP_WORDS,
    GROUPS,
    Group,
    figure_of,
    group_of,
    grouped,
)
from fusemap.window.findings.rows import (
    FINDING,
    HEADER,
    FindingsModel,
    GroupedPainter,
    cells,
    draw_group,
)
from fusemap.window.findings.verdict_line import VerdictLine
from fusemap.window.forms.form import scrolled
from fusemap.window.parts import export
from fusemap.window.parts.later import CatchingUp, Later
from fusemap.window.parts.layouts import SideBySide, is_wide
from fusemap.window.parts.row_list import RowList
from fusemap.window.style.marks import drawn_icon
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space

if TYPE_CHECKING:
    from fusemap.assess import Assessment


LEAST = (150, 200)
"""Below each other list and details keep this height [px of the design]."""


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
        self.filters: dict[Group, QToolButton] = {}
        self._figured: Assessment | None = None
        self._figures: dict[Finding, str] = {}
        self._soon = Later(self._reckon, self)
        self._soon.setInterval(REST_MS)
        self.title = label("findingsTitle", sized(self.font(), 14, strong=True))
        self.details = Details(document, theme, self.jump)
        self.details.fixes.probe_wanted.connect(self.probe_wanted)
        self.details.fixes.told_wanted.connect(self.told_wanted)
        self.details.fixes.keyboard_left.connect(self.list.setFocus)
        self.verdict = VerdictLine(document, theme)
        self.verdict.measure_wanted.connect(self.sure_wanted)
        self.verdict.told_wanted.connect(self.told_wanted)
        self.split = SideBySide("findingsSplit", self.list, scrolled(self.details), LEAST)
        self.split.setSizes([2000, 3600])
        self.split.setStretchFactor(0, 1)
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
        edge, gap = px(self, 16), space(self, "small")
        row.setContentsMargins(edge, gap, edge, gap)
        row.setSpacing(space(self, "small"))
        self.title.setWordWrap(False)
        row.addWidget(self.title)
        row.addSpacing(space(self, "medium"))
        for group in GROUPS:
            row.addWidget(self._filter(group))
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

    def _filter(self, group: Group) -> QToolButton:
        button = QToolButton()
        size = self.fontMetrics().height()
        icon = drawn_icon(lambda painter, at: draw_group(painter, at, group, self._theme), size)
        word = self._theme.style.show(GROUP_WORDS[group])
        button.setIcon(icon)
        button.setIconSize(QSize(size, size))
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setMinimumHeight(px(self, 28))
        button.setCheckable(True)
        button.setChecked(True)
        button.setObjectName(f"findings_{group}")
        button.setToolTip(self.tr("Show or hide: {word}").format(word=word))
        button.toggled.connect(self.refresh)
        self.filters[group] = button
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
        found = self.document.findings
        self._count(found)
        kept = self.current()
        shown = grouped(f for f in found if self.filters[group_of(f)].isChecked())
        if self._figured is not self.document.assessment:
            self._figures = {}
            self._soon.start()
        self.model.set_findings(shown, self._figures)
        self._go_to(kept)
        self.verdict.show_soon()
        self.empty.setText(self._empty_words())
        self.empty.setVisible(not shown)
        self.split.setVisible(bool(shown))
        self.counted.emit(*self.counts.values())

    def _count(self, found: tuple[Finding, ...]) -> None:
        """How many there are, and of which group."""
        show = self._theme.style.show
        self.title.setText(show(many("{n} finding", "{n} findings", len(found))))
        self.title.setVisible(bool(found))
        groups = [group_of(each) for each in found]
        for group, button in self.filters.items():
            count = groups.count(group)
            button.setText(str(count))
            word = show(GROUP_WORDS[group])
            button.setAccessibleName(self.tr("{word}, {n}").format(word=word, n=count))
            button.setVisible(count > 0)

    def showEvent(self, event: QShowEvent) -> None:
        """Reckon the figures that were not reckoned while out of view."""
        super().showEvent(event)
        self._soon.start()

    def _reckon(self) -> None:
        """Say the figure of each finding."""
        a = self.document.assessment
        if not self.isVisible() or self._figured is a:
            return
        show = self._theme.style.show
        self._figures = {f: show(figure_of(a, f)) for f in self.document.findings}
        self._figured = a
        self.model.set_findings(self.model.findings, self._figures)

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
        self.split.turn(is_wide(self, 105))

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
        super().__init__(theme)
        self.painter_of_rows = GroupedPainter(theme, self)
        self.setItemDelegate(self.painter_of_rows)
        ground = self.palette()
        ground.setColor(QPalette.ColorRole.Base, theme.colour("window"))
        self.setPalette(ground)
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
