"""The fields of a low-voltage cut-off: whether there is one, its voltages, its delay."""

from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from fusemap.vehicle import VoltageCutOff
from fusemap.window.forms.fields import CheckField, NumberField

if TYPE_CHECKING:
    from fusemap.window.forms.accessory_form import AccessoryForm

FIRST: Final = VoltageCutOff(off_v=12.0, on_v=12.6)
"""A cut-off before its figures are entered, for 12 V; its voltages are doubled for 24 V."""


class CutOffFields:
    """Rows of a form; the voltages are there only with a cut-off."""

    def __init__(self, form: "AccessoryForm") -> None:
        self._form = form
        tr = form.tr
        self._there = CheckField(
            form.document,
            lambda: form.accessory().cut_off is not None,
            self._write_there,
            text=tr("Low-voltage cut-off: it switches off by itself"),
            key="accessory_cut_off",
        )
        form.add("", self._there)
        self._rows = [
            self._number("off_v", tr("Off below"), "V"),
            self._number("on_v", tr("On again above"), "V"),
            self._number("delay_s", tr("After"), "s"),
        ]

    def _now(self) -> VoltageCutOff:
        return self._form.accessory().cut_off or FIRST

    def _number(self, field: str, label: str, unit: str) -> NumberField:
        made = NumberField(
            self._form.document,
            lambda: getattr(self._now(), field),
            lambda value: self._write(replace(self._now(), **{field: value})),
            name=label,
            unit=unit,
            least=0,
            key=f"accessory_cut_off_{field}",
        )
        self._form.add(label, made)
        return made

    def _write_there(self, on: bool) -> bool:
        double = self._form.document.vehicle.system_v / 12
        first = replace(FIRST, off_v=FIRST.off_v * double, on_v=FIRST.on_v * double)
        return self._write(first if on else None)

    def _write(self, cut_off: VoltageCutOff | None) -> bool:
        return self._form.write("cut_off", self._form.tr("low-voltage cut-off"), cut_off)

    def show_rows(self) -> None:
        """Show the figures only where there is a cut-off."""
        for row in self._rows:
            self._form.rows.setRowVisible(row, self._form.accessory().cut_off is not None)
