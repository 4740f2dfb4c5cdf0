"""The fields of a tap's own fuse, and of each of its cables.

In: the form, and the part of the tap it may have. Out: one edit per finished field; a cable that is
not there has one box to tick; without a cable back the current returns by the body.
"""

from collections.abc import Callable
from typing import Any, Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.text import Text
from fusemap.vehicle import Cable, Fuse
from fusemap.window.forms import choices
from fusemap.window.forms.fields import CheckField, ChoiceField
from fusemap.window.forms.form import Form, side_by_side
from fusemap.window.forms.part_form import Fields, MayBeAbsent

FIRST_CABLE: Final = Cable(section_mm2=1.5, length_m=2.0)
"""A cable until its figures are entered."""

FIRST_FUSE: Final = Fuse(family="", rating=5.0)
"""A fuse until its family is chosen: it then gets this rating, or the one next to it [A]."""


class FuseFields:
    """One row of a form: which fuse protects the accessory's cable, family and rating."""

    def __init__(self, form: Form, part: MayBeAbsent[Fuse]) -> None:
        self._form = form
        self._part = part
        tr = form.tr
        self._family = self._choice("fuse", tr("Fuse family"), lambda f: f.family, self._put_family)
        self._family.set_choices([(None, tr("No fuse")), *choices.fuse_families(form.theme.style)])
        self._rating = self._choice(
            "rating", tr("Fuse rating"), lambda f: f.rating, self._put_rating
        )
        self.row = side_by_side(self._family, self._rating)
        form.add(tr("Accessory fuse"), self.row)
        form.watch(self._family)
        form.watch(self._rating)

    def _choice(
        self, key: str, name: str, read: Callable[[Fuse], Any], write: Callable[[Any], bool]
    ) -> ChoiceField:
        return ChoiceField(
            lambda: None if (fuse := self._part.get()) is None else read(fuse),
            write,
            [],
            name=name,
            key=f"{self._form.objectName()}_{key}",
        )

    def offer(self) -> None:
        """Offer the ratings of the family there is now."""
        fuse = self._part.get()
        self._rating.set_choices(
            [] if fuse is None else choices.fuse_ratings(fuse.family, self._form.theme.style)
        )
        self._rating.setVisible(fuse is not None)

    def _put_family(self, family: str | None) -> bool:
        """Another family, with the rating next to the one there was."""
        if family is None:
            return self._put(None)
        wanted = self._part.now().rating
        ratings = tables.fuse_family(family).ratings_a
        nearest = min(ratings, key=lambda rating: (abs(rating - wanted), rating))
        return self._put(Fuse(family=family, rating=nearest))

    def _put_rating(self, rating: float) -> bool:
        fuse = self._part.get()
        return fuse is not None and self._put(replace(fuse, rating=rating))

    def _put(self, fuse: Fuse | None) -> bool:
        return self._part.put(self._form.tr("accessory fuse"), fuse)


class CableFields:
    """One cable: section, length, insulation, where it lies, with how many; `there` ticks it."""

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
        if cable is not None:
            self._section.set_choices(choices.sections(self._style, cable.section_mm2))
            self._length.setToolTip(choices.length_words(cable.length_m, self._style))
