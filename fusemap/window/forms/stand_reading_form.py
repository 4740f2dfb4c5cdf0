"""What standings showed: one is typed in here, those there are stand below, with what they taught.

In: the battery's readings, as the document has them. Out: one edit for a whole reading; what no
standing shows is refused with the reason.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import Any, Final

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.assess.parked.learning import reading_words
from fusemap.vehicle import FittedThen, StandReading, edits
from fusemap.window.document import Document
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField
from fusemap.window.forms.form import Form
from fusemap.window.forms.reading_row import ReadingRow, keep_rows
from fusemap.window.style.theme import Theme

ASKED: Final = {
    "rests": ("rest_v", "later_v"),
    "night": ("mean_a",),
    "start": ("started", "rest_v", "temperature_c"),
}
"""What each kind of reading is asked for, besides its hours."""
MAY_BE_BLANK: Final = frozenset({("start", "rest_v"), ("start", "temperature_c")})


class StandReadingForm(Form):
    """The fields of a new reading, and the readings there are."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        title = QCoreApplication.translate("StandReadingForm", "What a standing showed")
        super().__init__(document, theme, "standReading", title)
        self._now = now
        self._kind: str = "night"
        self._fitted = True
        self._typed: dict[str, Any] = {}
        self._asked: dict[str, QWidget] = {}
        self._rows: list[ReadingRow] = []
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.note(self.tr("Each one narrows how long it may stand, by what is true of this car."))
        self._add_kind()
        self._add_figures()
        self._add_fitted()
        self._take = QPushButton(self.tr("Note this standing"))
        self._take.setObjectName("standReading_note")
        self._take.clicked.connect(self._note_down)
        self.rows.addRow(self._take)
        self.refresh()

    def _add_kind(self) -> None:
        label = self.tr("What was followed")
        choices = [
            ("night", self.tr("The current of a night, with a clamp")),
            ("rests", self.tr("Rest voltages some days apart")),
            ("start", self.tr("A start after standing")),
        ]
        self.add(
            label,
            ChoiceField(
                lambda: self._kind, self._choose, choices, name=label, key="standReading_kind"
            ),
        )

    def _add_figures(self) -> None:
        self._number("hours", self.tr("Over"), "h")
        self._number("mean_a", self.tr("Current on the mean"), "mA", 0.001)
        started = self.tr("It started")
        box = ChoiceField(
            lambda: self._typed.get("started"),
            partial(self._type, "started"),
            [(None, self.tr("Not said")), (True, self.tr("Yes")), (False, self.tr("No"))],
            name=started,
            key="standReading_started",
        )
        self.add(started, box)
        self._asked["started"] = box
        self._number("rest_v", self.tr("At rest, of one 12 V battery"), "V")
        self._number("later_v", self.tr("At rest, later"), "V")
        self._number("temperature_c", self.tr("Temperature then"), "°C")

    def _number(self, field: str, label: str, unit: str, scale: float = 1.0) -> None:
        made = NumberField(
            self.document,
            self.theme.style,
            lambda: self._typed.get(field),
            partial(self._type, field),
            name=label,
            unit=unit,
            scale=scale,
            optional=True,
            key=f"standReading_{field}",
        )
        self.add(label, made)
        self._asked[field] = made

    def _add_fitted(self) -> None:
        self.add(
            "",
            CheckField(
                lambda: self._fitted,
                self._set_fitted,
                text=self.tr("The accessories that have a place drew then as well"),
                key="standReading_fitted",
                hint=self.tr("Else the vehicle alone is meant, as it was before they were fitted"),
            ),
        )

    def _set_fitted(self, on: bool) -> bool:
        self._fitted = on
        return True

    def _choose(self, kind: Any) -> bool:
        self._kind = kind
        self.refresh()
        return True

    def _type(self, field: str, value: Any) -> bool:
        self._typed[field] = value
        self._enable()
        return True

    def _enable(self) -> None:
        wanted = ("hours", *ASKED[self._kind])
        there = all(
            self._typed.get(each) is not None or (self._kind, each) in MAY_BE_BLANK
            for each in wanted
        )
        self._take.setEnabled(there)

    def _note_down(self) -> None:
        figures = {each: self._typed.get(each) for each in ("hours", *ASKED[self._kind])}
        placed = {tap.accessory for tap in self.document.vehicle.taps if self._fitted}
        reading = StandReading(
            kind=self._kind,  # type: ignore[arg-type]
            when=self._now().isoformat(timespec="minutes"),
            fitted=tuple(FittedThen(accessory=each) for each in sorted(placed)),
            **figures,  # type: ignore[arg-type]
        )
        if self.document.apply(self.tr("Standing noted"), edits.add_stand_reading, reading):
            self._typed = {}
            self.refresh()

    def refresh(self) -> None:
        """Show the readings as they are now, and the fields of the kind that was chosen."""
        super().refresh()
        self._enable()
        for field, widget in self._asked.items():
            self.rows.setRowVisible(widget, field == "hours" or field in ASKED[self._kind])
        readings = self.document.vehicle.battery.stand_readings
        keep_rows(self, self._rows, len(readings), self._row)
        for row, reading in zip(self._rows, readings, strict=True):
            row.say(self.theme, reading.when, reading_words(reading))

    def _row(self, index: int) -> ReadingRow:
        title = self.tr("Remove standing {n}").format(n=index + 1)

        def take_out() -> None:
            self.document.apply(title, edits.remove_stand_reading, index)

        return ReadingRow(f"standReading{index}", title, take_out)
