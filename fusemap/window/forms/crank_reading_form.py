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
from PySide6.QtWidgets import QHBoxLayout, QPushButton

from fusemap.assess.parked.start_words import reading_words
from fusemap.vehicle import CrankReading, edits
from fusemap.vehicle.words import MeterResponse
from fusemap.window.document import Document
from fusemap.window.forms.fields import ChoiceField, NumberField
from fusemap.window.forms.form import Form
from fusemap.window.forms.reading_row import ReadingRow, keep_rows
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.style.theme import Theme

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
        self._rows: list[ReadingRow] = []
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
        keep_rows(self, self._rows, len(readings), self._row)
        for row, reading in zip(self._rows, readings, strict=True):
            row.say(self.theme, reading.when, reading_words(reading))

    def _row(self, index: int) -> ReadingRow:
        title = self.tr("Remove start {n}").format(n=index + 1)

        def take_out() -> None:
            self.document.apply(title, edits.remove_crank_reading, index)

        return ReadingRow(f"crankReading{index}", title, take_out)
