"""Everything about one finding: the sum, the rule, what to do, and its fixes, a button for each.

In: a finding. Out: text that can be copied, the way to its place and to the tables behind it; one
step of the history for the fix that is chosen, or `probe_wanted` with the slot or feed where a
reading is missing, `told_wanted` where something is to be said. Fixes are tried out when somebody
looks, a moment after the cursor has come to rest.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QLabel, QToolButton, QVBoxLayout, QWidget

from fusemap.checks.finding import Finding
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.parts.later import Later
from fusemap.window.parts.layouts import WrappingButton
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_label

if TYPE_CHECKING:
    from fusemap.fixes.trial import Trial


REST_MS = 150
"""The cursor rests so long on a finding before its fixes are tried [ms]."""


class FixesView(QWidget):
    """Every fix of one finding, plainest first."""

    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""

    shown = Signal()
    """They are tried, and stand there."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._style = theme.style
        self._document = document
        self._finding: Finding | None = None
        self._known: dict[Finding, tuple[Trial, ...]] = {}
        self.buttons: list[WrappingButton] = []
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
        document.changed.connect(self._vehicle_changed)
        self.hide()

    def show_finding(self, finding: Finding | None) -> None:
        """Show the fixes of this one, as soon as they are tried."""
        if finding == self._finding and self._rows:
            return
        self._finding = finding
        self._clear()
        self.setVisible(finding is not None)
        if finding in self._known:
            self._show(self._known[finding])
        elif finding is not None:
            self.heading.setText(self.tr("Looking for ways out …"))
            self._later.start()

    def showEvent(self, event: QShowEvent) -> None:
        """Try what was not tried while out of view."""
        super().showEvent(event)
        if self._finding is not None and not self._rows:
            self._later.start()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._known = {}
        finding, self._finding = self._finding, None
        self.show_finding(finding if finding in self._document.findings else None)

    # --- trying and showing -----------------------------------------------------------------------

    def _try(self) -> None:
        # the whole planner comes with it, which nobody waits for at the start
        from fusemap.fixes.trial import find_fixes

        finding = self._finding
        if finding is None or not self.isVisible():
            return
        if finding not in self._known:
            self._known[finding] = find_fixes(self._document.assessment, finding)
        self._clear()
        self._show(self._known[finding])

    def _show(self, found: "tuple[Trial, ...]") -> None:
        assert self._finding is not None  # fixes belong to a finding
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
            button = self._button(number, self.tr("Measure now"), partial(self._read, trial))
            button.setToolTip(self.tr("Opens the Probe page at this place"))
            return self._with_lines(number, button, [title])
        if trial.fix.tell is not None:
            button = self._button(number, self.tr("Say it"), partial(self._tell, trial))
            button.setToolTip(self.tr("Opens the field for it"))
            return self._with_lines(number, button, [title])
        if trial.effect is None:
            text = self.tr("Beside the vehicle: {what}").format(what=title)
            return plain_label(f"fix_{number}", text)
        assert self._finding is not None  # fixes belong to a finding
        button = self._button(number, title, partial(self._do, trial))
        button.setToolTip(self.tr("Do this; Undo takes it back"))
        lines = effect_words(trial.effect, self._finding)
        return self._with_lines(number, button, [self._style.show(line) for line in lines])

    def _with_lines(self, number: int, button: WrappingButton, lines: list[str]) -> QWidget:
        """A button, and below it what is to be said about it."""
        row = QFrame()
        row.setObjectName(f"fixRow_{number}")
        column = QVBoxLayout(row)
        column.setContentsMargins(0, 0, 0, space(self, "small"))
        column.setSpacing(space(self, "hair"))
        column.addWidget(button)
        effect = plain_label(f"fixEffect_{number}", "\n".join(lines))
        effect.setContentsMargins(space(self, "medium"), 0, 0, 0)
        effect.setProperty("muted", True)
        effect.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        column.addWidget(effect)
        effect.setVisible(bool(lines))  # shown before it stands in the row it would be a window
        return row

    def _button(self, number: int, text: str, do: Callable[[], None]) -> WrappingButton:
        button = WrappingButton(text)
        button.setObjectName(f"fix_{number}")
        button.clicked.connect(lambda: do())
        self.buttons.append(button)
        return button

    def _read(self, trial: "Trial") -> None:
        if trial.fix.read is not None:
            self.probe_wanted.emit(*trial.fix.read, trial.fix.state or "")

    def _tell(self, trial: "Trial") -> None:
        if trial.fix.tell is not None:
            self.told_wanted.emit(*trial.fix.tell)

    def _do(self, trial: "Trial") -> None:
        edit = trial.fix.edit
        if edit is not None:
            self._document.apply(self._style.show(trial.fix.title), edit)


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
        self.labels: dict[str, QLabel] = {}
        self._headings: dict[str, QLabel] = {}
        for key, title in (
            ("what", ""),
            ("sum", self.tr("Sum")),
            ("formula", self.tr("How it is reckoned")),
            ("remedy", self.tr("What to do")),
            ("rule", self.tr("Rule")),
            ("source", self.tr("Source")),
        ):
            self.labels[key] = self._label(key, title)
            if key == "sum":
                self.fixes = FixesView(document, theme)
                self._column.addWidget(self.fixes)
        self.tables = QToolButton()
        self.tables.setObjectName("findingTables")
        self.tables.setText(self.tr("The tables behind it"))
        self.tables.clicked.connect(self._show_tables)
        self.button = WrappingButton(self.tr("Show it"))
        self.button.setObjectName("findingShow")
        self.button.clicked.connect(jump)
        self._column.addWidget(self.tables, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self.button)
        self._column.addStretch(1)  # room that is left over stays below, not between

    def _label(self, key: str, title: str) -> QLabel:
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
            self._column.addWidget(heading)
        else:
            embolden(label)
        self._column.addWidget(label)
        return label

    def show_finding(self, finding: Finding | None) -> None:
        """Show this one, or nothing."""
        self._finding = finding
        show = self._theme.style.show
        for key, label in self.labels.items():
            label.setText("" if finding is None else show(getattr(finding, key)))
            for widget in filter(None, (self._headings.get(key), label)):
                widget.setVisible(bool(label.text()))
        self.fixes.show_finding(finding)
        self.button.setVisible(finding is not None)
        self.tables.setVisible(finding is not None)
        if finding is not None:
            self.button.show_words(self.tr("Show {where}").format(where=show(finding.where)))

    def source_here(self) -> str:
        """The source of the finding shown."""
        return "" if self._finding is None else str(self._finding.source)

    def _show_tables(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.tables_page import open_tables

        open_tables(self, self._document, self._theme.style, self.source_here())
