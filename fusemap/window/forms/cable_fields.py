"""The fields of one cable, for the forms of taps and feeds: copper, and the way it takes.

A cable lies in one place until somebody says that it goes on in another.
"""

from typing import Final

from msgspec.structs import replace
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from fusemap.text import Text
from fusemap.vehicle import Cable, Stretch
from fusemap.window.forms import choices
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField
from fusemap.window.forms.form import Fields, Form, MayBeAbsent, side_by_side
from fusemap.window.style.theme import space

FIRST_CABLE: Final = Cable(section_mm2=1.5, length_m=2.0)
"""A cable until its figures are entered."""
FIRST_STRETCH: Final = Stretch(length_m=1.0)
"""The next part of its way until it is said."""


class WayRows(QWidget):
    """The further stretches of a cable: place, length, how many lie together; and one more."""

    def __init__(self, form: Form, part: MayBeAbsent[Cable], key: str) -> None:
        super().__init__()
        self._form = form
        self._part = part
        self._key = f"{key}_way"
        self._rows: list[QWidget] = []
        self._fields: list[ChoiceField | NumberField] = []
        self.setObjectName(self._key)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(space(self, "small"))
        self.more = QPushButton(form.tr("Goes on in another place"))
        self.more.setObjectName(f"{self._key}_more")
        self.more.clicked.connect(self._add)
        self._column.addWidget(self.more)

    def refresh(self) -> None:
        """Show the stretches as they are now."""
        count = len(self._stretches())
        while len(self._rows) > count:
            self._drop(self._rows.pop())
        while len(self._rows) < count:
            row = self._row(len(self._rows))
            self._column.insertWidget(len(self._rows), row)
            self._rows.append(row)
        for field in self._fields:
            field.refresh()

    def _stretches(self) -> tuple[Stretch, ...]:
        cable = self._part.get()
        return () if cable is None else cable.further

    def _row(self, at: int) -> QWidget:
        form, tr = self._form, self._form.tr
        place = ChoiceField(
            lambda: self._at(at).place,
            lambda value: self._put(at, tr("place"), place=value),
            choices.places(),
            name=tr("Then through, place"),
            key=f"{self._key}_{at}_place",
        )
        length = NumberField(
            form.document,
            form.theme.style,
            lambda: self._at(at).length_m,
            lambda value: self._put(at, tr("length"), length_m=value),
            name=tr("Then through, length"),
            unit="m",
            least=0,
            key=f"{self._key}_{at}_length_m",
        )
        bundle = NumberField(
            form.document,
            form.theme.style,
            lambda: self._at(at).bundle,
            lambda value: self._put(at, tr("bundled"), bundle=value),
            name=tr("Then through, bundled"),
            whole=True,
            least=1,
            key=f"{self._key}_{at}_bundle",
            hint=tr("How many loaded conductors lie together, this one among them"),
        )
        away = QPushButton(tr("Remove"))
        away.setObjectName(f"{self._key}_{at}_remove")
        away.setAccessibleName(tr("Remove this part of the way"))
        away.clicked.connect(lambda: self._remove(at))
        self._fields += [place, length, bundle]
        return side_by_side(place, length, bundle, away)

    def _drop(self, row: QWidget) -> None:
        self._fields = [field for field in self._fields if not row.isAncestorOf(field)]
        self._column.removeWidget(row)
        row.hide()
        row.deleteLater()

    def _at(self, at: int) -> Stretch:
        there = self._stretches()
        return there[at] if at < len(there) else FIRST_STRETCH

    def _put(self, at: int, label: str, **changes: object) -> bool:
        there = list(self._stretches())
        if at >= len(there):
            return False
        there[at] = replace(there[at], **changes)
        return self._write(label, tuple(there))

    def _add(self) -> None:
        self._write(self._form.tr("another place"), (*self._stretches(), FIRST_STRETCH))

    def _remove(self, at: int) -> None:
        there = self._stretches()
        self._write(self._form.tr("one place less"), there[:at] + there[at + 1 :])

    def _write(self, label: str, further: tuple[Stretch, ...]) -> bool:
        return self._part.put(label, replace(self._part.now(), further=further))


class CableFields:
    """One cable: section, length, insulation, where it lies, with how many; `there` ticks it.

    `way` has the further places its way leads through.
    """

    def __init__(
        self, form: Form, title: Text, there: str, part: MayBeAbsent[Cable], key: str
    ) -> None:
        self._form = form
        self._part = part
        self._style = form.theme.style
        self._title = title
        self._heading = form.section(self._style.show(title))
        self.there = CheckField(
            lambda: part.get() is not None,
            self._write_there,
            text=there,
            name=self._heading.text(),
            key=f"{key}_there",
        )
        form.add("", self.there)
        self._figures = Fields(form, part.bound(key))
        self._add_copper()
        self._add_surroundings()
        self.way = WayRows(form, part, key)
        form.add(form.tr("Then through"), self.way)

    def _add_copper(self) -> None:
        tr, rows = self._form.tr, self._figures
        self._section = rows.choice("section_mm2", tr("Section"), choices.sections(self._style))
        self._length = rows.number(
            "length_m",
            tr("Length"),
            "m",
            least=0,
            hint=tr("One way; a length in feet is typed with ft behind it"),
        )
        rows.choice("insulation", tr("Insulation"), choices.insulations(self._style))

    def _add_surroundings(self) -> None:
        tr, rows = self._form.tr, self._figures
        rows.choice("place", tr("Lies in"), choices.places())
        rows.number(
            "bundle",
            tr("Bundled"),
            whole=True,
            least=1,
            hint=tr("How many loaded conductors lie together, this one among them"),
        )
        rows.text("colour", tr("Colour"), placeholder=tr("red, brown…"))

    def _write_there(self, on: bool) -> bool:
        label = self._style.show(self._title.small())
        return self._part.put(label, self._part.now() if on else None)

    def show_rows(self, on: bool) -> None:
        """Show the fields that there are now."""
        cable = self._part.get()
        self._form.rows.setRowVisible(self._heading, on)
        self._form.rows.setRowVisible(self.there, on)
        self._figures.show(on and cable is not None)
        self._form.rows.setRowVisible(self.way, on and cable is not None)
        if cable is not None:
            self._section.set_choices(choices.sections(self._style, cable.section_mm2))
            self._length.setToolTip(choices.length_words(cable.whole_m, self._style))
