"""The fields of a low-voltage cut-off: whether there is one, its voltages, its delay."""

from typing import TYPE_CHECKING, Final

from msgspec.structs import replace

from fusemap.vehicle import VoltageCutOff
from fusemap.window.forms.fields import CheckField
from fusemap.window.forms.part_fields import PartFields

if TYPE_CHECKING:
    from fusemap.window.forms.accessory_form import AccessoryForm

FIRST: Final = VoltageCutOff(off_v=12.0, on_v=12.6)
"""A cut-off before its figures are entered, for 12 V; its voltages are doubled for 24 V."""


class CutOffFields(PartFields[VoltageCutOff]):
    """Rows of a form; the voltages are there only with a cut-off."""

    def __init__(self, form: "AccessoryForm") -> None:
        tr = form.tr
        super().__init__(form, "cut_off", tr("low-voltage cut-off"), FIRST)
        self._there = CheckField(
            form.document,
            lambda: self.part() is not None,
            self._write_there,
            text=tr("Low-voltage cut-off: it switches off by itself"),
            key="accessory_cut_off",
        )
        form.add("", self._there)
        self.add_number("off_v", tr("Off below"), "V")
        self.add_number("on_v", tr("On again above"), "V")
        self.add_number("delay_s", tr("After"), "s")

    def _write_there(self, on: bool) -> bool:
        double = self._form.document.vehicle.system_v / 12
        first = replace(FIRST, off_v=FIRST.off_v * double, on_v=FIRST.on_v * double)
        return self.write(first if on else None)
