"""What only some accessories have: a low-voltage cut-off, a converter's output.

In: the form, and the part of the accessory it may have. Out: one edit per finished field.
"""

from typing import Final

from msgspec.structs import replace

from fusemap.text import Amount
from fusemap.vehicle import Accessory, Converter, VoltageCutOff, look_up
from fusemap.window.forms.fields import CheckField
from fusemap.window.forms.form import Fields, Form, MayBeAbsent

FIRST_CUT_OFF: Final = VoltageCutOff(off_v=12.0, on_v=12.6)
"""A cut-off before its figures are entered, for 12 V; its voltages are doubled for 24 V."""

FIRST_CONVERTER: Final = Converter()
"""A converter before its figures are entered."""


class CutOffFields:
    """Whether there is a cut-off, its voltages, its delay; the figures only where there is one."""

    def __init__(
        self, form: Form, part: MayBeAbsent[VoltageCutOff], key: str = "accessory_cut_off"
    ) -> None:
        tr = form.tr
        self._form = form
        self._part = part
        form.add(
            "",
            CheckField(
                lambda: part.get() is not None,
                self._write_there,
                text=tr("Low-voltage cut-off: it switches off by itself"),
                key=key,
            ),
        )
        self._figures = Fields(form, part.bound(key))
        self._figures.number("off_v", tr("Off below"), "V", least=0)
        self._figures.number("on_v", tr("On again above"), "V", least=0)
        self._figures.number("delay_s", tr("After"), "s", least=0)

    def show_rows(self) -> None:
        """Show the figures only where there is a cut-off."""
        self._figures.show(self._part.get() is not None)

    def _write_there(self, on: bool) -> bool:
        double = self._form.document.vehicle.system_v / 12
        first = self._part.first()
        first = replace(first, off_v=first.off_v * double, on_v=first.on_v * double)
        return self._part.put("", first if on else None)


class ConverterFields:
    """Whether the accessory is a converter, what its output gives, what hangs there."""

    def __init__(self, form: Form, part: MayBeAbsent[Converter]) -> None:
        tr = form.tr
        self._form = form
        self._part = part
        form.section(tr("What hangs on it"))
        form.add(
            "",
            CheckField(
                lambda: part.get() is not None,
                lambda on: part.put("", part.first() if on else None),
                text=tr("It is a converter and supplies others"),
                key="accessory_converter",
                hint=tr("Its own draw above is then what it takes with nothing on its output"),
            ),
        )
        self._figures = Fields(form, part.bound("accessory_converter"))
        self._add_figures()
        self._hanging = form.note("")

    def _add_figures(self) -> None:
        tr, number = self._form.tr, self._figures.number
        number("output_v", tr("Output"), "V", least=0, hint=tr("The voltage its output holds"))
        number(
            "rating_a",
            tr("Gives for long"),
            "A",
            least=0,
            optional=True,
            hint=tr("The lasting current of its output, not the peak"),
        )
        number(
            "efficiency",
            tr("Efficiency"),
            "%",
            scale=0.01,
            least=0,
            most=100,
            hint=tr("How much of what it takes comes out again"),
        )

    def show_rows(self, accessory: Accessory) -> None:
        """Show the figures, and what hangs on the output, only where there is a converter."""
        there = self._part.get() is not None
        self._figures.show(there)
        self._form.rows.setRowVisible(self._hanging, there)
        if there:
            self._hanging.setText(self._words(accessory))

    def _words(self, accessory: Accessory) -> str:
        form = self._form
        names = [each.name for each in look_up.hanging_on(form.document.vehicle, accessory.id)]
        if not names:
            return form.tr(
                "Nothing hangs on it yet. Under “How it is connected” of an accessory, choose this "
                "converter as its source."
            )
        output = form.document.assessment.circuit.taps.behind.output(accessory.id)
        listed = ", ".join(names)
        if output is None:
            return form.tr("On its output: {names}.").format(names=listed)
        return form.tr("On its output: {names}, together up to {current}.").format(
            names=listed, current=form.theme.style.show(Amount(float(output.current_a.max()), "A"))
        )
