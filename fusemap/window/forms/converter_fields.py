"""The fields of a converter: whether the accessory is one, what its output gives, what hangs there.

In: the accessory of a form. Out: one edit per finished field.
"""

from typing import TYPE_CHECKING, Final

from fusemap.vehicle import Converter, supply
from fusemap.window.forms.fields import CheckField
from fusemap.window.forms.part_fields import PartFields
from fusemap.window.texts.numbers import quantity

if TYPE_CHECKING:
    from fusemap.window.forms.accessory_form import AccessoryForm

FIRST: Final = Converter()
"""A converter before its figures are entered."""


class ConverterFields(PartFields[Converter]):
    """Rows of a form; the figures are there only with a converter."""

    def __init__(self, form: "AccessoryForm") -> None:
        tr = form.tr
        super().__init__(form, "converter", tr("converter"), FIRST)
        form.section(tr("What hangs on it"))
        self._there = CheckField(
            form.document,
            lambda: self.part() is not None,
            lambda on: self.write(FIRST if on else None),
            text=tr("It is a converter and supplies others"),
            key="accessory_converter",
            hint=tr("Its own draw above is then what it takes with nothing on its output"),
        )
        form.add("", self._there)
        self.add_number("output_v", tr("Output"), "V", hint=tr("The voltage its output holds"))
        self.add_number(
            "rating_a",
            tr("Gives for long"),
            "A",
            optional=True,
            hint=tr("The lasting current of its output, not the peak"),
        )
        self.add_number(
            "efficiency",
            tr("Efficiency"),
            "%",
            scale=0.01,
            most=100,
            hint=tr("How much of what it takes comes out again"),
        )
        self._hanging = form.note("")

    def show_rows(self) -> None:
        """Show the figures, and what hangs on the output, only where there is a converter."""
        super().show_rows()
        there = self.part() is not None
        self._form.rows.setRowVisible(self._hanging, there)
        if there:
            self._hanging.setText(self._words())

    def _words(self) -> str:
        form = self._form
        vehicle, accessory = form.document.vehicle, form.accessory()
        names = [each.name for each in supply.hanging_on(vehicle, accessory.id)]
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
            names=listed, current=quantity(float(output.current_a.max()), "A")
        )
