"""Readings of the battery under the form that takes them: each in words, with a button.

In: the form, how many there are, what the n-th one says. Out: rows kept in step with them.
"""

from collections.abc import Callable
from datetime import datetime

from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from fusemap.text import Text
from fusemap.window.forms.form import Form
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label


class ReadingRow(QWidget):
    """One reading in words, and a button that takes it out, which is told by `title`."""

    def __init__(self, key: str, title: str, take_out: Callable[[], object]) -> None:
        super().__init__()
        self.words: QLabel = plain_label()
        remove = QToolButton()
        remove.setText(self.tr("Remove"))
        remove.setObjectName(f"{key}_remove")
        remove.setAccessibleName(title)
        remove.clicked.connect(take_out)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.words, 1)
        line.addWidget(remove)

    def say(self, theme: Theme, when: str, words: Text) -> None:
        """Say what was read, and on which day where that was noted."""
        said = theme.style.show(words)
        if when:
            said = f"{theme.style.forms.day(datetime.fromisoformat(when))}: {said}"
        self.words.setText(said)


def keep_rows(
    form: Form, rows: list[ReadingRow], count: int, make: Callable[[int], ReadingRow]
) -> None:
    """As many rows below a form as there are readings."""
    while len(rows) > count:
        form.rows.removeRow(rows.pop())
    while len(rows) < count:
        row = make(len(rows))
        rows.append(row)
        form.rows.addRow(row)
