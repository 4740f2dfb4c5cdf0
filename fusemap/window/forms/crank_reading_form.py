"""Starts that were followed with a meter: one is typed in here, those there are stand below.

In: the battery's readings, as the document has them. Out: one edit for a whole reading, since none
of its figures says anything by itself; what cannot be a start is refused with the reason.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from fusemap.assess.parked.start_words import reading_words
from fusemap.vehicle import CrankReading, edits
from fusemap.vehicle.words import MeterResponse
from fusemap.window.document import Document
from fusemap.window.forms.fields import ChoiceField, NumberField
from fusemap.window.forms.form import Form
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label

PAGE: Final = "task_start"
"""The help page about how a start is followed safely."""


class CrankReadingForm(Form):
    """The fields of a new reading, and the readings there are."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        title = QCoreApplication.translate("CrankReadingForm", "One start, followed with a meter")
        super().__init__(document, theme, "crankReading", title)
        self._now = now
        self._typed: dict[str, Any] = self._blank()
        self._rows: list[CrankReadingRow] = []
        self.rows.setContentsMargins(0, 0, 0, 0)
        self._add_learn()
        self._number("rest_v", self.tr("At rest, before"), "V")
        self._number("crank_v", self.tr("Lowest while it turns"), "V")
        self._number("temperature_c", self.tr("Temperature then"), "°C")
        self._add_response()
        self._take = QPushButton(self.tr("Note this start"))
        self._take.setObjectName("crankReading_note")
        self._take.clicked.connect(self._note_down)
        self.rows.addRow(self._take)
        self.refresh()

    def _blank(self) -> dict[str, Any]:
        return {"rest_v": None, "crank_v": None, "temperature_c": None, "response": "slow"}

    def _add_learn(self) -> None:
        self.note(
            self.tr(
                "It tells more of the start than label, age and engine together. Hands out of the "
                "engine bay while it turns."
            )
        )
        line = QHBoxLayout()
        line.addStretch(1)
        line.addWidget(LearnButton(PAGE, self.theme.style))
        self.rows.addRow(line)

    def _number(self, field: str, label: str, unit: str) -> None:
        made = NumberField(
            self.document,
            self.theme.style,
            lambda: self._typed[field],
            partial(self._type, field),
            name=label,
            unit=unit,
            optional=True,
            key=f"crankReading_{field}",
        )
        self.add(label, made)

    def _add_response(self) -> None:
        choices: list[tuple[MeterResponse, str]] = [
            ("slow", self.tr("Held by MIN, 100 ms or slower")),
            ("steady", self.tr("Seen steady on the display")),
            ("fast", self.tr("Held by a MIN of 1 ms or faster")),
        ]
        label = self.tr("How it was read")
        self.add(
            label,
            ChoiceField(
                lambda: self._typed["response"],
                partial(self._type, "response"),
                choices,
                name=label,
                key="crankReading_response",
                hint=self.tr("The meter’s manual names the response of its MIN"),
            ),
        )

    def _type(self, field: str, value: Any) -> bool:
        self._typed[field] = value
        self._enable()
        return True

    def _enable(self) -> None:
        self._take.setEnabled(None not in self._typed.values())

    def _note_down(self) -> None:
        when = self._now().isoformat(timespec="minutes")
        reading = CrankReading(when=when, **self._typed)
        if self.document.apply(self.tr("Start noted"), edits.add_crank_reading, reading):
            self._typed = self._blank()
            self.refresh()

    def refresh(self) -> None:
        """Show the readings as they are now."""
        super().refresh()
        self._enable()
        readings = self.document.vehicle.battery.crank_readings
        while len(self._rows) > len(readings):
            self.rows.removeRow(self._rows.pop())
        while len(self._rows) < len(readings):
            row = CrankReadingRow(self.document, self.theme, len(self._rows))
            self._rows.append(row)
            self.rows.addRow(row)
        for row in self._rows:
            row.refresh()


class CrankReadingRow(QWidget):
    """One reading in words, and a button that takes it out."""

    def __init__(self, document: Document, theme: Theme, index: int) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._index = index
        self.words: QLabel = plain_label()
        remove = QToolButton()
        remove.setText(self.tr("Remove"))
        remove.setObjectName(f"crankReading{index}_remove")
        remove.setAccessibleName(self.tr("Remove start {n}").format(n=index + 1))
        remove.clicked.connect(self._take_out)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.addWidget(self.words, 1)
        line.addWidget(remove)
        self.refresh()

    def refresh(self) -> None:
        """Show the reading as it is now."""
        reading = self._document.vehicle.battery.crank_readings[self._index]
        style = self._theme.style
        words = style.show(reading_words(reading))
        if reading.when:
            words = f"{style.forms.day(datetime.fromisoformat(reading.when))}: {words}"
        self.words.setText(words)

    def _take_out(self) -> None:
        text = self.tr("Remove start {n}").format(n=self._index + 1)
        self._document.apply(text, edits.remove_crank_reading, self._index)
