"""Figures of a part that an accessory may have: a converter's output, a cut-off's voltages.

In: the form, which field of the accessory the part is, and what it is before anything is entered.
Out: one edit per finished field; it makes the part where there was none.
"""

from typing import TYPE_CHECKING, Any, Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from fusemap.window.forms.fields import NumberField

if TYPE_CHECKING:
    from fusemap.window.forms.accessory_form import AccessoryForm

P = TypeVar("P", bound=Struct)


class PartFields(Generic[P]):
    """Rows of a form about one part; `called` names it in the history."""

    def __init__(self, form: "AccessoryForm", field: str, called: str, first: P) -> None:
        self._form = form
        self._field = field
        self._called = called
        self._first = first
        self._rows: list[NumberField] = []

    def part(self) -> P | None:
        """The part as it is now; `None` where the accessory has none."""
        found: P | None = getattr(self._form.accessory(), self._field)
        return found

    def write(self, part: P | None) -> bool:
        """Give the accessory this part, or take it away."""
        return self._form.write(self._field, self._called, part)

    def add_number(self, field: str, label: str, unit: str, **options: Any) -> None:
        """A row for one figure of the part; `options` are those of `NumberField`."""
        made = NumberField(
            self._form.document,
            lambda: getattr(self.part() or self._first, field),
            lambda value: self.write(replace(self.part() or self._first, **{field: value})),
            name=label,
            unit=unit,
            least=0,
            key=f"accessory_{self._field}_{field}",
            **options,
        )
        self._form.add(label, made)
        self._rows.append(made)

    def show_rows(self) -> None:
        """Show the figures only where there is such a part."""
        for row in self._rows:
            self._form.rows.setRowVisible(row, self.part() is not None)
