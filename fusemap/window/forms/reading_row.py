"""Readings of the battery: the form that takes one, and those there are, each with a button.

In: the document, what one kind of reading is asked for. Out: one edit for a whole reading, and rows
kept in step with the readings there are.
"""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from fusemap.text import Text
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.fields import NumberField
from fusemap.window.forms.form import Form
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label


class ReadingRow(QWidget):
    """One reading in words, and a button that takes it out, which is told by `title`."""

    def __init__(self, key: str, title: str, take_out: Callable[[], object]) -> None:
        super().__init__()
        self.words: QLabel = plain_label()
        remove = as_link(QToolButton())
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


class ReadingForm(Form):
    """The fields of a new reading, a button that notes it, and the readings there are below.

    Who makes one gives it its fields, says what they make (`_made`), whether all are there
    (`_whole`), which readings there are (`_told`) and how one is taken out (`_take_out`).
    """

    def __init__(
        self,
        document: Document,
        theme: Theme,
        key: str,
        title: str,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        super().__init__(document, theme, key, title)
        self._key = key
        self._now = now
        self._rows: list[ReadingRow] = []
        self.rows.setContentsMargins(0, 0, 0, 0)

    @property
    def _typed(self) -> dict[str, Any]:
        """What is typed and not noted yet, by field."""
        return self.document.drafts.setdefault(self._key, {})

    def _number(self, field: str, label: str, unit: str, scale: float = 1.0) -> NumberField:
        made = NumberField(
            self.document,
            self.theme.style,
            lambda: self._typed.get(field),
            partial(self._type, field),
            name=label,
            unit=unit,
            scale=scale,
            optional=True,
            key=f"{self._key}_{field}",
        )
        self.add(label, made)
        return made

    def _type(self, field: str, value: Any) -> bool:
        self._typed[field] = value
        self._take.setEnabled(self._whole())
        return True

    def _add_button(self, words: str, noted: str, edit: Callable[..., Vehicle]) -> None:
        """The button that notes the reading, by an edit that is told as `noted`."""
        self._take = QPushButton(words)
        self._take.setObjectName(f"{self._key}_note")
        self._take.clicked.connect(lambda: self._note_down(noted, edit))
        self.rows.addRow(self._take)

    def _note_down(self, noted: str, edit: Callable[..., Vehicle]) -> None:
        reading = self._made(self._now().isoformat(timespec="minutes"))
        if self.document.apply(noted, edit, reading):
            self._typed.clear()
            self.refresh()

    def refresh(self) -> None:
        """Show the readings as they are now."""
        super().refresh()
        self._take.setEnabled(self._whole())
        told = self._told()
        keep_rows(self, self._rows, len(told), self._row)
        for row, (when, words) in zip(self._rows, told, strict=True):
            row.say(self.theme, when, words)

    def _row(self, index: int) -> ReadingRow:
        title, edit = self._take_out(index + 1)

        def take_out() -> None:
            self.document.apply(title, edit, index)

        return ReadingRow(f"{self._key}{index}", title, take_out)

    def _made(self, when: str) -> object:
        """The reading of what was typed, taken at `when`."""
        raise NotImplementedError

    def _whole(self) -> bool:
        """Whether all of it was typed."""
        raise NotImplementedError

    def _told(self) -> list[tuple[str, Text]]:
        """The readings there are: when, and in words."""
        raise NotImplementedError

    def _take_out(self, number: int) -> tuple[str, Callable[..., Vehicle]]:
        """What taking out the so-manieth is called, and the edit that does it."""
        raise NotImplementedError


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
