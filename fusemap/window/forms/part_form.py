"""A form about one part of the vehicle: fields bound to the part's fields by name."""

from collections.abc import Callable, Sequence
from typing import Any

from msgspec import Struct

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.binding import Binding, Fields
from fusemap.window.forms.fields import ChoiceField, NumberField, TextField
from fusemap.window.forms.form import Form
from fusemap.window.style.theme import Theme


class PartForm(Form):
    """`part` gives the part as it is now; `change(vehicle, **fields)` is the edit of it.

    The object name of a field is the form's key and the field's own name.
    """

    def __init__(
        self,
        document: Document,
        theme: Theme,
        key: str,
        name: str,
        part: Callable[[], Struct],
        change: Callable[..., Vehicle],
    ) -> None:
        super().__init__(document, theme, key, name)
        self.part = part
        self._change = change
        self._own = Fields(self, Binding(part, self.write, key))

    def called(self) -> str:
        """What the steps of the history call this part."""
        return self.accessibleName()

    def write(self, field: str, label: str, value: Any) -> bool:
        """Ask for another value of one field."""
        text = f"{self.called()}: {label}"
        return self.document.apply(text, self._change, **{field: value})

    def number(self, field: str, label: str, unit: str = "", **options: Any) -> NumberField:
        """A number; the options are those of `NumberField`."""
        return self._own.number(field, label, unit, **options)

    def text(self, field: str, label: str, **options: Any) -> TextField:
        """A line of text."""
        return self._own.text(field, label, **options)

    def choice(
        self, field: str, label: str, choices: Sequence[tuple[Any, str]], **options: Any
    ) -> ChoiceField:
        """One of several values."""
        return self._own.choice(field, label, choices, **options)
