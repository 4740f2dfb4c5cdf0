"""The fields of one cable of a tap: section, length, insulation, where it lies, with how many.

In: the form of the lead and which of its cables, `cable_out` or `cable_back`. A cable that is not
there has one box to tick; without a cable back the current returns by the body.
"""

from typing import TYPE_CHECKING, Any, Final, Literal

from msgspec.structs import replace
from PySide6.QtWidgets import QWidget

from fusemap.vehicle import Cable
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_choices import insulations, length_words, sections
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField, TextField

if TYPE_CHECKING:
    from fusemap.window.forms.lead_form import LeadForm

Which = Literal["cable_out", "cable_back"]
FIRST_CABLE: Final = Cable(section_mm2=1.5, length_m=2.0)
"""A cable until its figures are entered."""


class CableFields:
    """Rows of a form for one cable."""

    def __init__(self, form: "LeadForm", which: Which, title: str) -> None:
        self._form = form
        self._which = which
        self._rows: list[QWidget] = []
        self._heading = form.section(title)
        self.there = CheckField(
            form.document,
            lambda: self._cable() is not None,
            self._write_there,
            text=self._there_words(),
            name=title,
            key=self._key("there"),
        )
        form.add("", self.there)
        self._add_copper()
        self._add_surroundings()

    def _there_words(self) -> str:
        if self._which == "cable_out":
            return self._form.tr("A cable of its own")
        return self._form.tr("By its own cable, not by the body")

    def _add_copper(self) -> None:
        tr = self._form.tr
        self._section = ChoiceField(
            self._form.document,
            lambda: self._now().section_mm2,
            lambda value: self._write(tr("section"), section_mm2=value),
            sections(),
            name=tr("Section"),
            key=self._key("section"),
        )
        self._row(tr("Section"), self._section)
        self._length = NumberField(
            self._form.document,
            lambda: self._now().length_m,
            lambda value: self._write(tr("length"), length_m=value),
            name=tr("Length"),
            unit="m",
            least=0,
            key=self._key("length"),
            hint=tr("One way; a length in feet is typed with ft behind it"),
        )
        self._row(tr("Length"), self._length)
        insulation = ChoiceField(
            self._form.document,
            lambda: self._now().insulation,
            lambda value: self._write(tr("insulation"), insulation=value),
            insulations(),
            name=tr("Insulation"),
            key=self._key("insulation"),
        )
        self._row(tr("Insulation"), insulation)

    def _add_surroundings(self) -> None:
        tr = self._form.tr
        place = ChoiceField(
            self._form.document,
            lambda: self._now().place,
            lambda value: self._write(tr("place"), place=value),
            choices.places(),
            name=tr("Lies in"),
            key=self._key("place"),
        )
        self._row(tr("Lies in"), place)
        bundle = NumberField(
            self._form.document,
            lambda: self._now().bundle,
            lambda value: self._write(tr("bundle"), bundle=value),
            name=tr("Bundled"),
            whole=True,
            least=1,
            key=self._key("bundle"),
            hint=tr("How many loaded conductors lie together, this one among them"),
        )
        self._row(tr("Bundled"), bundle)
        colour = TextField(
            self._form.document,
            lambda: self._now().colour,
            lambda value: self._write(tr("colour"), colour=value),
            name=tr("Colour"),
            key=self._key("colour"),
            placeholder=tr("red, brown…"),
        )
        self._row(tr("Colour"), colour)

    def _row(self, label: str, field: QWidget) -> None:
        self._form.add(label, field)
        self._rows.append(field)

    def _key(self, what: str) -> str:
        return f"{self._form.objectName()}_{self._which}_{what}"

    # --- the cable ------------------------------------------------------------------------------

    def _cable(self) -> Cable | None:
        cable: Cable | None = getattr(self._form.tap(), self._which)
        return cable

    def _now(self) -> Cable:
        return self._cable() or FIRST_CABLE

    def _write(self, label: str, **changes: Any) -> bool:
        return self._form.write(self._which, label, replace(self._now(), **changes))

    def _write_there(self, on: bool) -> bool:
        """A first cable back is like the cable out."""
        label = self._heading.text().lower()
        first = self._form.tap().cable_out or FIRST_CABLE
        return self._form.write(self._which, label, first if on else None)

    def show_rows(self, on: bool) -> None:
        """Show the fields that there are now."""
        cable = self._cable()
        self._form.rows.setRowVisible(self._heading, on)
        self._form.rows.setRowVisible(self.there, on)
        for row in self._rows:
            self._form.rows.setRowVisible(row, on and cable is not None)
        if cable is not None:
            self._section.set_choices(sections(cable.section_mm2))
            self._length.setToolTip(length_words(cable.length_m))
