"""After fitting: the guided check, predicted beside measured, causes where they differ, signature.

In: the document. The steps come from the plan (`fusemap.probing.final_check`); each value typed is
a reading of its own, and signing puts name, date and the count into the vehicle. A verdict has a
word and a mark, never colour alone.

Keys: the keyboard rests on the answer. A figure, + or y, - or n go to the step in hand wherever
they are typed, but for the name; Enter stores a reading and never signs.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFrame,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import InputProblem
from fusemap.probing import final_check
from fusemap.probing.check_step import CheckStep, read_answer
from fusemap.probing.loads import CHARGER_WARNING
from fusemap.vehicle import Vehicle, reading_edits
from fusemap.window.document import Document
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.headings import heading_label
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.plain import plain_label

COLUMNS = 4


class CheckTable(QTableWidget):
    """A row for each step; the row in hand stays when the steps are made anew."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(0, COLUMNS)
        self._theme = theme
        self.setObjectName("checkTable")
        self.setAccessibleName(self.tr("Steps of the check"))
        self.setHorizontalHeaderLabels(
            [self.tr("Check"), self.tr("Predicted"), self.tr("Measured"), self.tr("Verdict")]
        )
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        for column in (0, 1):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        rows = self.verticalHeader()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What is typed is the answer to the step in hand; it searches no list."""
        if typed_text(event):
            event.ignore()
        else:
            super().keyPressEvent(event)

    def show_steps(self, steps: Sequence[CheckStep]) -> None:
        """Show these steps, without telling of the rows passed meanwhile."""
        kept = self.currentRow()
        self.blockSignals(True)
        self.setRowCount(len(steps))
        for row, step in enumerate(steps):
            self._fill(row, step)
        self.blockSignals(False)
        self.setCurrentCell(min(max(0, kept), len(steps) - 1), 0)

    def _fill(self, row: int, step: CheckStep) -> None:
        verdict, severity = self._verdict(step)
        show = self._theme.style.show
        words = (show(step.title), show(step.predicted_words), show(step.measured_words), verdict)
        for column, text in enumerate(words):
            item = QTableWidgetItem(text)
            if column == COLUMNS - 1 and severity:
                size = self.fontMetrics().height()
                item.setIcon(severity_icon(severity, self._theme, size))  # type: ignore[arg-type]
            self.setItem(row, column, item)

    def _verdict(self, step: CheckStep) -> tuple[str, str]:
        """The verdict as a word, with the severity of its mark."""
        if step.verdict == "differs":
            return self.tr("differs"), "caution"
        if step.verdict == "agrees":
            return (self.tr("agrees") if step.expected else self.tr("noted")), ""
        return "", ""


def typed_text(event: QKeyEvent) -> str:
    """What a key writes; empty for a blank and for a key that commands."""
    held = Qt.KeyboardModifier
    commands = event.modifiers() & (held.ControlModifier | held.AltModifier | held.MetaModifier)
    text = event.text()
    return text if text.strip() and text.isprintable() and not commands else ""


class CheckPage(QWidget):
    """The list of steps, the one in hand, and the signature."""

    def __init__(
        self, document: Document, theme: Theme, now: Callable[[], datetime] = datetime.now
    ) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._now = now
        self._steps: tuple[CheckStep, ...] = ()
        self._stale = True
        self.setObjectName("checkPage")
        self.setAccessibleName(self.tr("Check"))
        self._build()
        self._lay_out()
        document.changed.connect(self._vehicle_changed)

    # --- building -------------------------------------------------------------------------------

    def _build(self) -> None:
        self.table = CheckTable(self._theme)
        self.table.currentCellChanged.connect(self._step_chosen)
        self.title = heading_label("")
        self.title.setObjectName("checkTitle")
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.how = plain_label("checkHow")
        self.predicted = plain_label("checkPredicted")
        self.entry = QLineEdit()
        self.entry.setObjectName("checkEntry")
        self.entry.setAccessibleName(self.tr("Measured"))
        self.entry.setMaxLength(40)
        self.yes = self._button("checkYes", self.tr("&Yes"), lambda: self._answer("+"))
        self.no = self._button("checkNo", self.tr("&No"), lambda: self._answer("-"))
        self.problem = plain_label("checkProblem")
        self.causes = plain_label("checkCauses")
        self.tally = plain_label("checkTally", wrap=False)
        self.by = QLineEdit()
        self.by.setObjectName("checkBy")
        self.by.setAccessibleName(self.tr("Signed by"))
        self.by.setPlaceholderText(self.tr("name"))
        self.by.setMaxLength(80)
        self.sign = self._button("checkSign", self.tr("&Sign the check"), self._sign)
        self._build_asking()
        self.signed = plain_label("checkSigned")

    def _build_asking(self) -> None:
        """What is asked before a check with open steps is signed."""
        self.asking = QWidget()
        self.asking_words = plain_label("checkAsking")
        self.sign_open = self._button(
            "checkSignOpen", self.tr("Sign all the same"), self._sign_as_it_is
        )
        self.go_open = self._button("checkGoOpen", self.tr("Go to an open step"), self._go_open)
        column = QVBoxLayout(self.asking)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.asking_words)
        row = QHBoxLayout()
        for button in (self.go_open, self.sign_open):
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
        self.asking.hide()

    def _button(self, key: str, text: str, do: Callable[[], None]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(do)
        return button

    def _lay_out(self) -> None:
        edge = space(self, "large")
        answer = QHBoxLayout()
        answer.addWidget(self.entry, 1)
        answer.addWidget(self.yes)
        answer.addWidget(self.no)
        answer.addStretch(1)
        step = QWidget()
        column = QVBoxLayout(step)
        column.setContentsMargins(edge, 0, edge, 0)
        column.setSpacing(space(self, "medium"))
        for widget in (self.title, self.how, self.predicted):
            column.addWidget(widget)
        column.addLayout(answer)
        for widget in (self.problem, self.causes):
            column.addWidget(widget)
        column.addStretch(1)
        line = QFrame()
        line.setFrameShape(QFrame.Shape.HLine)
        column.addWidget(line)
        column.addWidget(self.tally)
        signing = QHBoxLayout()
        signing.addWidget(self.by, 1)
        signing.addWidget(self.sign)
        column.addLayout(signing)
        column.addWidget(self.asking)
        column.addWidget(self.signed)
        splitter = QSplitter()
        splitter.setObjectName("checkSplitter")
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(self.table)
        splitter.addWidget(scrolled(step))
        splitter.setStretchFactor(0, 3)
        splitter.setStretchFactor(1, 2)
        splitter.setSizes([6000, 4000])
        whole = QVBoxLayout(self)
        whole.setContentsMargins(*(space(self, "medium"),) * 4)
        whole.addWidget(splitter)

    # --- showing --------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()
        self.entry.setFocus()

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes: to the answer."""
        return self.entry

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter, and what no field has taken, is for the step in hand."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.by.hasFocus():
                self.sign.setFocus()
            else:
                self.entry.setFocus()
                self._store()
        elif typed_text(event):
            self.entry.setFocus()
            self.entry.insert(event.text())
        else:
            super().keyPressEvent(event)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Make the steps anew from the plan and the readings."""
        self._stale = False
        self.asking.hide()
        document = self._document
        self._steps = final_check.steps(document.vehicle, document.assessment)
        self.table.show_steps(self._steps)
        self._show_step()
        self._show_tally()

    def current(self) -> CheckStep | None:
        """The step in hand."""
        row = self.table.currentRow()
        return self._steps[row] if 0 <= row < len(self._steps) else None

    def _step_chosen(self, row: int, column: int, old_row: int, old_column: int) -> None:
        if row != old_row:
            self.problem.setText("")
            self._show_step()

    def _show_step(self) -> None:
        step = self.current()
        if step is None:
            return
        show = self._theme.style.show
        self.title.setText(show(step.title))
        how = show(step.how)
        if step.key == "rest":
            how = f"{how}\n{show(CHARGER_WARNING)}"
        self.how.setText(how)
        predicted = self.tr("Predicted: {value}").format(value=show(step.predicted_words))
        measured = ""
        if step.measured_words:
            measured = "\n" + self.tr("Measured: {value}").format(value=show(step.measured_words))
        self.predicted.setText(predicted + measured)
        asks = bool(step.unit)
        self.yes.setVisible(not asks)
        self.no.setVisible(not asks)
        self.entry.clear()
        self.entry.setPlaceholderText(
            self.tr("measured, in {unit}").format(unit=step.unit)
            if asks
            else self.tr("{yes} or {no}, + or −").format(yes=_letter(self.yes), no=_letter(self.no))
        )
        self._show_causes(step)

    def _show_causes(self, step: CheckStep) -> None:
        if not step.causes:
            self.causes.setText("")
            return
        lines = [self.tr("It differs. Likely causes, the likeliest first:")]
        show = self._theme.style.show
        lines += [f"{number}. {show(cause)}" for number, cause in enumerate(step.causes, start=1)]
        self.causes.setText("\n".join(lines))

    def _show_tally(self) -> None:
        count = final_check.tally(self._steps)
        self.tally.setText(
            self.tr("{good} agree, {bad} differ, {left} open").format(
                good=count.agreeing, bad=count.differing, left=count.left_open
            )
        )
        signed = self._document.vehicle.sign_offs
        lines = [
            self.tr("Signed {when} by {by}: {good} agreed, {bad} differed, {left} open").format(
                when=sign.when[:16].replace("T", " "), by=sign.by, good=sign.passed,
                bad=sign.differing, left=sign.left_open,
            )
            for sign in signed[-3:]
        ]  # fmt: skip
        self.signed.setText("\n".join(lines))

    # --- asking ---------------------------------------------------------------------------------

    def _answer(self, typed: str) -> None:
        self.entry.setText(typed)
        self._store()

    def _store(self) -> None:
        """Store what is typed as a reading of the step in hand, and go on to the next open one."""
        step = self.current()
        typed = self.entry.text().strip().replace(" ", "").replace("−", "-")
        if step is None or not typed:
            return
        if not step.unit:
            typed = self._sign_of(typed)
        try:
            value, highest = read_answer(step, typed)
        except InputProblem as problem:
            self.problem.setText(self._theme.style.show(problem.text))
            return
        fields: dict[str, Any] = final_check.fields(step) | {
            "when": self._now().isoformat(timespec="seconds"),
            "value": value,
            "highest": highest,
            "by": self.by.text().strip(),
        }
        if self._document.apply(
            self.tr("Check: {what}").format(what=self._theme.style.show(step.title)),
            reading_edits.add_reading,
            **fields,
        ):
            self.problem.setText("")
            self._go_on()
            # A button pressed may be gone with its step, and the keyboard with it.
            self.entry.setFocus()

    def _sign_of(self, typed: str) -> str:
        """Yes and no, typed as a word or its first letter, as the signs that stand for them."""
        for sign, button, english in (("+", self.yes, "y"), ("-", self.no, "n")):
            word = button.text().replace("&", "").casefold()
            if typed.casefold() in (word, word[:1], english):
                return sign
        return typed

    def _go_on(self) -> None:
        """To the next open step; where the reading differs it stays, so that causes are seen."""
        row = self.table.currentRow()
        if row >= 0 and self._steps[row].verdict != "differs":
            self._go_open()

    def _go_open(self) -> None:
        """To the next open step, with the keyboard."""
        self.asking.hide()
        self.entry.setFocus()
        row = self.table.currentRow()
        for at in (*range(row + 1, len(self._steps)), *range(row)):
            if self._steps[at].verdict == "open":
                self.table.setCurrentCell(at, 0)
                return

    def _sign(self) -> None:
        """Sign, or ask first where a step is open; that a name is missing is told by the edit."""
        left = final_check.tally(self._steps).left_open
        if not left or not self.by.text().strip():
            self._sign_as_it_is()
            return
        self.asking_words.setText(
            self.tr("Steps still open: {n}. The signature says so for good.").format(n=left)
        )
        self.asking.show()

    def _sign_as_it_is(self) -> None:
        count = final_check.tally(self._steps)
        self._document.apply(
            self.tr("Sign the check"),
            reading_edits.sign_off,
            self._now().isoformat(timespec="seconds"),
            self.by.text(),
            passed=count.agreeing,
            differing=count.differing,
            left_open=count.left_open,
        )


def _letter(button: QPushButton) -> str:
    return button.text().replace("&", "")[:1].lower()
