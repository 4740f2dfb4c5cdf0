"""The steps of the check after fitting: what was predicted, what was measured, the verdict.

In: the steps of `fusemap.probing.final_check`. A verdict has a word and a mark, never colour alone.
"""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from fusemap.probing.check_step import CheckStep
from fusemap.window.style.theme import Theme, severity_icon

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
