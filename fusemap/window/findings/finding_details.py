"""Everything about one finding: the sentence, its way, its ways out, and behind a button the sum.

In: a finding. Out: text that can be copied, the way to its place and to the tables behind it; one
step of the history for the fix that is chosen, or `probe_wanted` with the slot or feed where a
reading is missing, `told_wanted` where something is to be said. Fixes are tried out when somebody
looks, a moment after the cursor has come to rest.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from fusemap.checks.finding import Finding
from fusemap.text import NOTHING, Argument, Text, say
from fusemap.vehicle import Vehicle
from fusemap.window.chosen.links import LinkButton
from fusemap.window.chosen.measures import sized
from fusemap.window.document import Document
from fusemap.window.findings.fix_row import FixRow
from fusemap.window.findings.groups import figure_of, group_of
from fusemap.window.findings.rows import draw_group
from fusemap.window.findings.station_row import StationRow
from fusemap.window.parts.later import Later
from fusemap.window.parts.sources import open_tables
from fusemap.window.style.marks import drawn_icon
from fusemap.window.style.measures import px
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label
from fusemap.window.trying import Trying

if TYPE_CHECKING:
    from fusemap.assess.verdict import Verdict
    from fusemap.fixes.after import After
    from fusemap.fixes.trial import Effect, Trial


REST_MS = 150
"""The cursor rests so long on a finding before its fixes are tried [ms]."""


class FixesView(QWidget):
    """Every fix of one finding, plainest first."""

    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing; or
    what draws is to be found: `hunt` and nothing."""
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""

    shown = Signal()
    """They are tried, and stand there."""
    keyboard_left = Signal()
    """The button that has the keyboard goes away."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._theme, self._style = theme, theme.style
        self._document = document
        self._finding: Finding | None = None
        self.buttons: list[QPushButton] = []
        self.setObjectName("findingFixes")
        self.setAccessibleName(self.tr("Ways out"))
        self.heading = plain_label("findingFixesHeading", self.tr("Ways out"))
        self.heading.setProperty("muted", True)
        self.heading.setContentsMargins(0, space(self, "small"), 0, 0)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(space(self, "small"))
        self._column.addWidget(self.heading)
        self._rows: list[QWidget] = []
        self._later = Later(self._try, self)
        self._later.setInterval(REST_MS)
        self._trying = Trying(document, self)
        document.changed.connect(self._vehicle_changed)
        self.hide()

    def show_finding(self, finding: Finding | None) -> None:
        """Show the fixes of this one, as soon as they are tried."""
        if finding == self._finding and self._rows:
            return
        self._finding = finding
        self._clear()
        self.setVisible(finding is not None)
        self._trying.stop()
        known = None if finding is None else self._document.trials.get(finding)
        if known is not None:
            self._show(known)
        elif finding is not None:
            self.heading.setText(self.tr("Looking for ways out …"))
            self._later.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Try what was not tried while out of view."""
        super().showEvent(event)
        if self._finding is not None and not self._rows:
            self._later.start()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        finding, self._finding = self._finding, None
        self.show_finding(finding if finding in self._document.findings else None)

    # --- trying and showing -----------------------------------------------------------------------

    def _try(self) -> None:
        if self._finding is not None and self.isVisible():
            self._trying.ask(self._finding, self._show)

    def _show(self, found: "tuple[Trial, ...]") -> None:
        assert self._finding is not None  # fixes belong to a finding
        self._clear()
        worthwhile = [
            t for t in found if t.fix.edit is not None or t.fix.title != self._finding.remedy
        ]
        self.heading.setText(self.tr("Ways out"))
        self.setVisible(bool(worthwhile))
        for number, trial in enumerate(worthwhile, start=1):
            self._add(self._row(number, trial))
        self.shown.emit()

    def _add(self, row: QWidget) -> None:
        self._rows.append(row)
        self._column.addWidget(row)
        row.show()  # left alone, Qt shows it and gives it a height in a later turn

    def _clear(self) -> None:
        if any(button.hasFocus() for button in self.buttons):
            # else Qt hands it to whatever comes next in the window
            self.keyboard_left.emit()
        for row in self._rows:
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self._rows, self.buttons = [], []

    def _row(self, number: int, trial: "Trial") -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.fixes.trial import effect_words

        title = self._style.show(trial.fix.title)
        if trial.fix.read is not None:
            row = FixRow(self._theme, number, title, "")
            tip = self.tr("Opens the Probe page at this place")
            return self._offered(row, self.tr("Measure now"), tip, number, self._read, trial)
        if trial.fix.hunt:
            row = FixRow(self._theme, number, title, "")
            tip = self.tr("Opens the hunt for what drains it")
            return self._offered(row, self.tr("Find it"), tip, number, self._hunt, trial)
        if trial.fix.tell is not None:
            row = FixRow(self._theme, number, title, "")
            tip = self.tr("Opens the field for it")
            return self._offered(row, self.tr("Say it"), tip, number, self._tell, trial)
        if trial.effect is None:
            text = self.tr("Beside the vehicle: {what}").format(what=title)
            return plain_label(f"fix_{number}", text)
        assert self._finding is not None  # fixes belong to a finding
        lines = effect_words(trial.effect, self._finding)
        row = FixRow(self._theme, number, title, "\n".join(map(self._style.show, lines)))
        self._figures(row, trial.effect, self._finding)
        tip = self.tr("Do this; Undo takes it back")
        return self._offered(row, self.tr("Do it"), tip, number, self._do, trial)

    def _figures(self, row: FixRow, effect: "Effect", finding: Finding) -> None:
        """The figure of its place before and after; how many findings one stops for there are."""
        # the whole planner comes with it, which nobody waits for at the start
        from fusemap.fixes.after import after, stops_after

        found, show = after(self._document.vehicle, effect, finding), self._style.show
        before = sum(each.severity == "stop" for each in self._document.findings)
        stops = say("stops {before} → {after}", before=before, after=stops_after(effect))
        verdict = _verdict(effect, finding, None if found is None else found.verdict)
        row.show_figures(verdict, show(self._before_after(effect, finding, found)), show(stops))

    def _before_after(self, effect: "Effect", finding: Finding, found: "After | None") -> Text:
        """Both figures of its place; nothing where it is about none."""
        # it comes with what reckons, which the window starts without
        from fusemap.window.chosen.stations import share_words

        now = figure_of(self._document.assessment, finding)
        then: Argument = NOTHING
        if finding.place == "tap":
            then = figure_of(effect.after, finding)
        elif found is not None:
            then = share_words(found.known, found.most)
        return say("{before} → {after}", before=now, after=then) if now and then else NOTHING

    def _offered(
        self,
        row: FixRow,
        words: str,
        tip: str,
        number: int,
        do: "Callable[[Trial], None]",
        trial: "Trial",
    ) -> FixRow:
        """A row with its button; the first of all is the one that is recommended."""
        title = self._style.show(trial.fix.title)
        button = row.offer(title, words, number, partial(do, trial))
        button.setToolTip(tip)
        if not self.buttons:
            row.recommend()
        self.buttons.append(button)
        return row

    def _read(self, trial: "Trial") -> None:
        if trial.fix.read is not None:
            self.probe_wanted.emit(*trial.fix.read, trial.fix.state or "")

    def _hunt(self, trial: "Trial") -> None:
        self.probe_wanted.emit("hunt", "", "")

    def _tell(self, trial: "Trial") -> None:
        if trial.fix.tell is not None:
            self.told_wanted.emit(*trial.fix.tell)

    def _do(self, trial: "Trial") -> None:
        edit = trial.fix.edit
        if edit is not None:
            self._document.apply(self._style.show(trial.fix.title), edit)


def _verdict(effect: "Effect", finding: Finding, there: "Verdict | None") -> "Verdict | None":
    """What to think of a way out: what it brings up as bad as its finding counts first."""
    worse = {each.severity for each in effect.worse_than(finding)}
    if "stop" in worse:
        return "fails"
    return "may_not_hold" if worse and there != "fails" else there


class Details(QWidget):
    """Everything about one finding, as text that can be copied."""

    def __init__(self, document: Document, theme: Theme, jump: Callable[[], None]) -> None:
        super().__init__()
        self._theme = theme
        self._document = document
        self._finding: Finding | None = None
        self.setObjectName("findingDetails")
        self.setAccessibleName(self.tr("About this finding"))
        self._column = QVBoxLayout(self)
        self._column.setSpacing(space(self, "small"))
        self._column.setContentsMargins(px(self, 16), px(self, 8), px(self, 16), px(self, 8))
        self.labels: dict[str, QLabel] = {}
        self._headings: dict[str, QLabel] = {}
        self.mark = QLabel()
        self._add_head(jump)
        self.way = StationRow(theme)
        self.fixes = FixesView(document, theme)
        self._column.addWidget(self.way)
        self._column.addWidget(self.fixes)
        self._add("remedy", self.tr("What to do"), self._column)
        self.more = self._opener()
        self._column.addWidget(self.more, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self._hidden())
        self._column.addStretch(1)  # room that is left over stays below, not between

    def _add_head(self, jump: Callable[[], None]) -> None:
        """The sign, what was found, and the way to where it is."""
        head = QHBoxLayout()
        head.setSpacing(px(self, 12))
        head.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignTop)
        words = QVBoxLayout()
        words.setSpacing(0)
        self._add("what", "", words)
        self.labels["what"].setFont(sized(self.font(), 18, strong=True))
        self.button = LinkButton("findingShow", self.tr("Show it"))
        self.button.set_flush()
        self.button.clicked.connect(jump)
        words.addWidget(self.button)
        head.addLayout(words, 1)
        self._column.addLayout(head)

    def _opener(self) -> QToolButton:
        """What opens the sum with its sources; it stays open from finding to finding."""
        button = QToolButton()
        button.setObjectName("findingMore")
        button.setText(self.tr("Sum, rule and source"))
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        button.setArrowType(Qt.ArrowType.RightArrow)
        button.setMinimumHeight(px(self, 28))
        button.setAutoRaise(True)
        button.setCheckable(True)
        button.toggled.connect(self._open)
        return button

    def _hidden(self) -> QWidget:
        """The sum, how it is reckoned, the rule, the source, the tables."""
        self.basis = QWidget()
        self.basis.setObjectName("findingBasis")
        column = QVBoxLayout(self.basis)
        column.setContentsMargins(px(self, 12), 0, 0, 0)
        column.setSpacing(space(self, "small"))
        for key, title in (
            ("sum", self.tr("Sum")),
            ("formula", self.tr("How it is reckoned")),
            ("rule", self.tr("Rule")),
            ("source", self.tr("Source")),
        ):
            self._add(key, title, column)
        self.tables = as_link(QToolButton())
        self.tables.setObjectName("findingTables")
        self.tables.setText(self.tr("The tables behind it"))
        self.tables.clicked.connect(self._show_tables)
        column.addWidget(self.tables, 0, Qt.AlignmentFlag.AlignLeft)
        self.basis.hide()
        return self.basis

    def _open(self, on: bool) -> None:
        self.more.setArrowType(Qt.ArrowType.DownArrow if on else Qt.ArrowType.RightArrow)
        self.basis.setVisible(on and self._finding is not None)

    def _add(self, key: str, title: str, column: QVBoxLayout) -> None:
        label = QLabel()
        label.setObjectName(f"finding_{key}")
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        if title:
            heading = QLabel(title)
            heading.setProperty("muted", True)
            heading.setContentsMargins(0, space(self, "small"), 0, 0)
            self._headings[key] = heading
            column.addWidget(heading)
        column.addWidget(label)
        self.labels[key] = label

    def show_finding(self, finding: Finding | None) -> None:
        """Show this one, or nothing."""
        self._finding = finding
        show = self._theme.style.show
        for key, label in self.labels.items():
            label.setText("" if finding is None else show(getattr(finding, key)))
            for widget in filter(None, (self._headings.get(key), label)):
                widget.setVisible(bool(label.text()))
        self.fixes.show_finding(finding)
        for each in (self.mark, self.button, self.more):
            each.setVisible(finding is not None)
        self._open(self.more.isChecked())
        self._show_way(finding)
        if finding is not None:
            self._show_sign(finding)
            self.button.show_words(self.tr("Show {where}").format(where=show(finding.where)))

    def _show_sign(self, finding: Finding) -> None:
        size, group = px(self, 24), group_of(finding)
        icon = drawn_icon(lambda painter, at: draw_group(painter, at, group, self._theme), size)
        self.mark.setPixmap(icon.pixmap(QSize(size, size)))

    def _show_way(self, finding: Finding | None) -> None:
        if finding is None:
            self.way.show_way((), "")
            return
        # it comes with what reckons, which the window starts without
        from fusemap.window.findings.way_of import way_of

        self.way.show_way(*way_of(self._document.assessment, finding))

    def source_here(self) -> str:
        """The source of the finding shown."""
        return "" if self._finding is None else str(self._finding.source)

    def _show_tables(self) -> None:
        open_tables(self, self.source_here())
