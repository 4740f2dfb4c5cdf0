"""Starts that were followed with a meter: one is typed in here, those there are stand below.

In: the battery's readings, as the document has them. Out: one edit for a whole reading, since none
of its figures says anything by itself; what cannot be a start is refused with the reason.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import Final

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout

from fusemap.assess.parked.start_words import reading_words
from fusemap.text import Text
from fusemap.vehicle import CrankReading, Vehicle, edits
from fusemap.vehicle.words import MeterResponse
from fusemap.window.document import Document
from fusemap.window.forms.fields import ChoiceField
from fusemap.window.forms.reading_row import ReadingForm
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.style.theme import Theme

PAGE: Final = "task_start"
"""The help page about how a start is followed safely."""


FIGURES: Final = ("rest_v", "crank_v", "temperature_c")


class CrankReadingForm(ReadingForm):
    """The fields of a start, and the starts there are."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        title = QCoreApplication.translate("CrankReadingForm", "One start, followed with a meter")
        super().__init__(document, theme, "crankReading", title, now)
        self._add_learn()
        self._number("rest_v", self.tr("At rest, before"), "V")
        self._number("crank_v", self.tr("Lowest while it turns"), "V")
        self._number("temperature_c", self.tr("Temperature then"), "°C")
        self._add_response()
        self._add_button(
            self.tr("Note this start"), self.tr("Start noted"), edits.add_crank_reading
        )
        self.refresh()

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
                lambda: self._typed.get("response", "slow"),
                partial(self._type, "response"),
                choices,
                name=label,
                key="crankReading_response",
                hint=self.tr("The meter’s manual names the response of its MIN"),
            ),
        )

    def _whole(self) -> bool:
        return all(self._typed.get(each) is not None for each in FIGURES)

    def _made(self, when: str) -> CrankReading:
        figures = {each: self._typed[each] for each in FIGURES}
        return CrankReading(when=when, response=self._typed.get("response", "slow"), **figures)

    def _told(self) -> list[tuple[str, Text]]:
        readings = self.document.vehicle.battery.crank_readings
        return [(each.when, reading_words(each)) for each in readings]

    def _take_out(self, number: int) -> tuple[str, Callable[..., Vehicle]]:
        return self.tr("Remove start {n}").format(n=number), edits.remove_crank_reading
