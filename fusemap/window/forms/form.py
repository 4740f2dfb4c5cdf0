"""A form: labelled fields under headings, shown anew when the vehicle has changed.

Refreshes only while it can be seen; what changed meanwhile is shown when it comes back into view.

`PartForm` is about one part of the vehicle: its fields are bound to the part's fields by name. A
`Binding` says how a part is read and how the change of one of its fields is asked for; `Fields`
makes the rows of a form for it. A part may be one that is not always there, as a cable or a
converter: then it is read as it would be at first, and the first figure entered makes it.
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Generic, TypeVar

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import EditRefused
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.fields import ChoiceField, Field, NumberField, TextField
from fusemap.window.forms.form_rows import FormRows
from fusemap.window.parts.layouts import WholeWords
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label


class Form(QWidget):
    """A column of labelled fields, built by `add`, `section` and `note`."""

    def __init__(self, document: Document, theme: Theme, key: str, name: str) -> None:
        super().__init__()
        self.document = document
        self.theme = theme
        self.fields: list[Field] = []
        self._stale = False
        self._headings: list[QLabel] = []
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.rows = FormRows(self)
        self._set_spacing()
        document.changed.connect(self._vehicle_changed)

    def section(self, title: str, *, across: bool = False) -> QLabel:
        """A heading over the rows that follow; they need the whole width where `across`."""
        self.rows.begin(across=across)
        heading = plain_label(text=title, wrap=False)
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        heading.setContentsMargins(0, self.fontMetrics().height() // 2, 0, 0)
        self.rows.addRow(heading)
        return heading

    def note(self, text: str) -> QLabel:
        """A line of plain words."""
        label = WholeWords("")
        label.setText(text)
        label.setProperty("muted", True)
        self.rows.addRow(label)
        return label

    def add(self, label: str, field: QWidget, *, follow: Callable[[], None] | None = None) -> None:
        """A labelled field; a field of `fields` is refreshed with the form.

        `follow` is called at each refresh, after the field: to hide it, or to offer other choices.
        """
        if label:
            self.rows.addRow(label, field)
        else:
            self.rows.addRow(field)
        self.watch(field)
        if follow is not None:
            self.fields.append(Following(follow))

    def watch(self, field: "QWidget | Following") -> None:
        """Refresh with the form a field that stands somewhere inside one of its rows."""
        if hasattr(field, "refresh"):
            self.fields.append(field)

    def refresh(self) -> None:
        """Show the values as they are now; a place that is gone leaves the form as it was."""
        self._stale = False
        try:
            for field in self.fields:
                field.refresh()
        except EditRefused:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()
        self.rows.share(anew=True)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Sections stand side by side where there is room."""
        super().resizeEvent(event)
        self.rows.share()

    def minimumSizeHint(self) -> QSize:
        """In one column."""
        return self.rows.least()

    def changeEvent(self, event: QEvent) -> None:
        """Spacing follows the font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_spacing()

    def _set_spacing(self) -> None:
        height = self.fontMetrics().height()
        self.rows.setVerticalSpacing(height // 3)
        self.rows.setHorizontalSpacing(height)
        self.rows.setContentsMargins(height // 2, height // 2, height // 2, height // 2)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self.refresh()
        else:
            self._stale = True


class Following:
    """Calls a function at each refresh."""

    def __init__(self, follow: Callable[[], None]) -> None:
        self.refresh = follow


def scrolled(inside: QWidget) -> QScrollArea:
    """A widget in a frame that scrolls up and down when there is not enough room."""
    area = scroll_area()
    fill_area(area, inside)
    return area


def scroll_area(parent: QWidget | None = None) -> QScrollArea:
    """Such a frame with nothing in it yet."""
    area = QScrollArea(parent)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    # What is inside takes the keyboard, and is scrolled to.
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    return area


def fill_area(area: QScrollArea, inside: QWidget) -> None:
    """Put a widget into it; one with many others in it is best made on its viewport."""
    area.setWidget(inside)
    area.setObjectName(f"{inside.objectName()}Scroll")
    area.setAccessibleName(inside.accessibleName())


def side_by_side(*widgets: QWidget) -> QWidget:
    """Fields in one row of a form."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(space(row, "small"))
    for widget in widgets:
        line.addWidget(widget)
    return row


def below_each_other(widgets: Iterable[QWidget]) -> QWidget:
    """Fields under each other at one label."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(space(whole, "small"))
    for widget in widgets:
        column.addWidget(widget)
    return whole


P = TypeVar("P", bound=Struct)
W = TypeVar("W", bound=QWidget)


class Binding(Struct, frozen=True):
    """How a part is read, how one of its fields is written, and how its fields are called.

    `write(field, label, value)` asks for the edit and says whether it was done; `label` names the
    step of the history. `key` stands before the field's own name in its object name.
    """

    read: Callable[[], Struct]
    write: Callable[[str, str, Any], bool]
    key: str


class MayBeAbsent(Generic[P], Struct, frozen=True):
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
