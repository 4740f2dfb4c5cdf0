"""The fields of one fuse that may be absent, for the forms of taps, links and outputs."""

from collections.abc import Callable
from typing import Any, Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.vehicle import Fuse
from fusemap.window.forms import choices
from fusemap.window.forms.fields import ChoiceField, NumberField
from fusemap.window.forms.form import Form, MayBeAbsent, side_by_side

FIRST_FUSE: Final = Fuse(family="", rating=5.0)
"""A fuse until its family is chosen: it then gets this rating, or the one next to it [A]."""


class FuseFields:
    """One row of a form: a fuse that may be absent, its family and rating.

    `label` stands before it, `key` before the object names of its two fields; where it is `one_of`
    several in a form, a screen reader is told the label with each.
    """

    def __init__(
        self, form: Form, label: str, part: MayBeAbsent[Fuse], key: str, *, one_of: bool = False
    ) -> None:
        self._form = form
        self._part = part
        self._label = label
        self._key = key
        self._one_of = one_of
        tr = form.tr
        self._family = self._choice("fuse", tr("Fuse family"), lambda f: f.family, self._put_family)
        self._family.set_choices([(None, tr("No fuse")), *choices.fuse_families(form.theme.style)])
        self._rating = self._choice(
            "rating", tr("Fuse rating"), lambda f: f.rating, self._put_rating
        )
        self.row = side_by_side(self._family, self._rating)
        form.add(label, self.row)
        form.watch(self._family)
        form.watch(self._rating)
        self._own = self._resistance()
        form.add(tr("Its resistance"), self._own)

    def _choice(
        self, key: str, name: str, read: Callable[[Fuse], Any], write: Callable[[Any], bool]
    ) -> ChoiceField:
        return ChoiceField(
            lambda: None if (fuse := self._part.get()) is None else read(fuse),
            write,
            [],
            name=f"{self._label}: {name}" if self._one_of else name,
            key=f"{self._key}{key}",
        )

    def _resistance(self) -> NumberField:
        """What this very fuse was measured to have; asked only where none is published."""
        name = self._form.tr("Its resistance")
        return NumberField(
            self._form.document,
            self._form.theme.style,
            lambda: None if (fuse := self._part.get()) is None else fuse.resistance_mohm,
            self._put_resistance,
            name=f"{self._label}: {name}" if self._one_of else name,
            unit="mΩ",
            key=f"{self._key}mohm",
            optional=True,
            least=0,
            hint=self._form.tr("As measured cold, with four wires; none is published for it"),
        )

    def _put_resistance(self, mohm: float | None) -> bool:
        fuse = self._part.get()
        return fuse is not None and self._put(replace(fuse, resistance_mohm=mohm))

    def offer(self) -> None:
        """Offer the ratings of the family there is now."""
        fuse = self._part.get()
        self._rating.set_choices(
            [] if fuse is None else choices.fuse_ratings(fuse.family, self._form.theme.style)
        )
        self._rating.setVisible(fuse is not None)
        self._form.rows.setRowVisible(self._own, fuse is not None and _asked(fuse))

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
        # another rating is another fuse: what was measured of the first says nothing of it
        other = None if fuse is None else replace(fuse, rating=rating, resistance_mohm=None)
        return other is not None and self._put(other)

    def _put(self, fuse: Fuse | None) -> bool:
        return self._part.put(self._label, fuse)


def _asked(fuse: Fuse) -> bool:
    """Whether its resistance can only be known by measuring it, or was measured."""
    published = tables.fuse_resistance(fuse.family, fuse.rating)
    return published is None or fuse.resistance_mohm is not None
