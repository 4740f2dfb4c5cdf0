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
from PySide6.QtWidgets import QWidget

from fusemap.assess.parked.learning import reading_words
from fusemap.text import Text
from fusemap.vehicle import FittedThen, StandReading, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField
from fusemap.window.forms.reading_row import ReadingForm
from fusemap.window.style.theme import Theme

ASKED: Final = {
    "rests": ("rest_v", "later_v"),
    "night": ("mean_a",),
    "start": ("started", "rest_v", "temperature_c"),
}
"""What each kind of reading is asked for, besides its hours."""
MAY_BE_BLANK: Final = frozenset({("start", "rest_v"), ("start", "temperature_c")})


class StandReadingForm(ReadingForm):
    """The fields of a standing, and the standings there are."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:
        title = QCoreApplication.translate("StandReadingForm", "What a standing showed")
        super().__init__(document, theme, "standReading", title, now)
        self._asked: dict[str, QWidget] = {}
        self.note(self.tr("Each one narrows how long it may stand, by what is true of this car."))
        self._add_kind()
        self._add_figures()
        self._add_fitted()
        self._add_button(
            self.tr("Note this standing"), self.tr("Standing noted"), edits.add_stand_reading
        )
        self.refresh()

    @property
    def _asked_for(self) -> dict[str, Any]:
        """Which kind is noted, and whether the accessories drew: kept from one to the next."""
        return self.document.drafts.setdefault("standReading kind", {})

    @property
    def _kind(self) -> str:
        return str(self._asked_for.get("kind", "night"))

    @property
    def _fitted(self) -> bool:
        return bool(self._asked_for.get("fitted", True))

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

    def _number(self, field: str, label: str, unit: str, scale: float = 1.0) -> NumberField:
        made = super()._number(field, label, unit, scale)
        self._asked[field] = made
        return made

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
        self._asked_for["fitted"] = on
        return True

    def _choose(self, kind: Any) -> bool:
        self._asked_for["kind"] = kind
        self.refresh()
        return True

    def _whole(self) -> bool:
        return all(
            self._typed.get(each) is not None or (self._kind, each) in MAY_BE_BLANK
            for each in ("hours", *ASKED[self._kind])
        )

    def _made(self, when: str) -> StandReading:
        figures = {each: self._typed.get(each) for each in ("hours", *ASKED[self._kind])}
        placed = {tap.accessory for tap in self.document.vehicle.taps if self._fitted}
        return StandReading(
            kind=self._kind,  # type: ignore[arg-type]
            when=when,
            fitted=tuple(FittedThen(accessory=each) for each in sorted(placed)),
            **figures,  # type: ignore[arg-type]
        )

    def refresh(self) -> None:
        """Show the readings as they are now, and the fields of the kind that was chosen."""
        super().refresh()
        for field, widget in self._asked.items():
            self.rows.setRowVisible(widget, field == "hours" or field in ASKED[self._kind])

    def _told(self) -> list[tuple[str, Text]]:
        readings = self.document.vehicle.battery.stand_readings
        return [(each.when, reading_words(each)) for each in readings]

    def _take_out(self, number: int) -> tuple[str, Callable[..., Vehicle]]:
        return self.tr("Remove standing {n}").format(n=number), edits.remove_stand_reading
