"""A form about one part of the vehicle: fields bound to the part's fields by name.

A `Binding` says how a part is read and how the change of one of its fields is asked for; `Fields`
makes the rows of a form for it, `PartForm` is a whole form. A part may be one that is not always
there, as a cable or a converter: then it is read as it would be at first, and the first figure
entered makes it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtWidgets import QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.fields import ChoiceField, NumberField, TextField
from fusemap.window.forms.form import Form, side_by_side
from fusemap.window.style.theme import Theme

P = TypeVar("P", bound=Struct)
W = TypeVar("W", bound=QWidget)


@dataclass(frozen=True)
class Binding:
    """How a part is read, how one of its fields is written, and how its fields are called.

    `write(field, label, value)` asks for the edit and says whether it was done; `label` names the
    step of the history. `key` stands before the field's own name in its object name.
    """

    read: Callable[[], Struct]
    write: Callable[[str, str, Any], bool]
    key: str


@dataclass(frozen=True)
class MayBeAbsent(Generic[P]):
    """A part that may be absent: `get` gives it or `None`, `put(label, part)` writes it.

    `first` is the part as it would be before any of its figures is entered.
    """

    get: Callable[[], P | None]
    put: Callable[[str, P | None], bool]
    first: Callable[[], P]

    def now(self) -> P:
        """The part as it is, or as it would be at first."""
        return self.get() or self.first()

    def bound(self, key: str) -> Binding:
        """Its fields, each written by making the whole part anew."""
        return Binding(self.now, self._write, key)

    def _write(self, field: str, label: str, value: Any) -> bool:
        return self.put(label, replace(self.now(), **{field: value}))


class Fields:
    """Rows of a form for one part; `rows` are their widgets."""

    def __init__(self, form: Form, binding: Binding) -> None:
        self._form = form
        self._binding = binding
        self.rows: list[QWidget] = []

    def number(self, field: str, label: str, unit: str = "", **options: Any) -> NumberField:
        """A number; the options are those of `NumberField`."""
        made = NumberField(
            self._form.document,
            self._form.theme.style,
            lambda: getattr(self._binding.read(), field),
            lambda value: self._binding.write(field, label, value),
            name=label,
            unit=unit,
            key=f"{self._binding.key}_{field}",
            **options,
        )
        return self._added(label, made)

    def text(self, field: str, label: str, **options: Any) -> TextField:
        """A line of text."""
        made = TextField(
            self._form.document,
            self._form.theme.style,
            lambda: getattr(self._binding.read(), field),
            lambda value: self._binding.write(field, label, value),
            name=label,
            key=f"{self._binding.key}_{field}",
            **options,
        )
        return self._added(label, made)

    def choice(
        self, field: str, label: str, choices: Sequence[tuple[Any, str]], **options: Any
    ) -> ChoiceField:
        """One of several values."""
        made = ChoiceField(
            lambda: getattr(self._binding.read(), field),
            lambda value: self._binding.write(field, label, value),
            choices,
            name=label,
            key=f"{self._binding.key}_{field}",
            **options,
        )
        return self._added(label, made)

    def show(self, on: bool) -> None:
        """Show the rows, or none of them."""
        for row in self.rows:
            self._form.rows.setRowVisible(row, on)

    def _added(self, label: str, field: W) -> W:
        self._form.add(label, field)
        self.rows.append(field)
        return field


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

    def part_name(self) -> str:
        """What the steps of the history call this part."""
        return self.accessibleName()

    def write(self, field: str, label: str, value: Any) -> bool:
        """Ask for another value of one field."""
        text = f"{self.part_name()}: {label}"
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


def between(
    form: PartForm, low: str, high: str, label: str, unit: str, scale: float = 1.0, hint: str = ""
) -> None:
    """A row with the two ends of a range; blank takes the program's proposal."""
    made = []
    for field, end in ((low, form.tr("low end")), (high, form.tr("high end"))):
        made.append(_end(form, field, f"{label}, {end}", unit, scale, hint))
    form.add(label, side_by_side(*made))
    for each in made:
        form.watch(each)


def _end(form: PartForm, field: str, name: str, unit: str, scale: float, hint: str) -> NumberField:
    return NumberField(
        form.document,
        form.theme.style,
        lambda: getattr(form.part(), field),
        lambda value: form.write(field, name, value),
        name=name,
        unit=unit,
        scale=scale,
        optional=True,
        placeholder=form.tr("usual"),
        key=f"{form.objectName()}_{field}",
        hint=hint,
    )
