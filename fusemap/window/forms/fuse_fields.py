"""The fields of a tap's own fuse: family and rating, both from the tables."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Final

from fusemap.vehicle import Fuse
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_choices import side_by_side
from fusemap.window.forms.fields import ChoiceField

if TYPE_CHECKING:
    from fusemap.window.forms.lead_form import LeadForm

FIRST_RATING: Final = 5.0
"""The rating a first fuse gets, or the one next to it [A]."""


class FuseFields:
    """One row of a form: which fuse protects the accessory's cable."""

    def __init__(self, form: "LeadForm") -> None:
        self._form = form
        tr = form.tr
        self._family = self._choice("fuse", tr("Fuse family"), lambda f: f.family, self._put_family)
        self._family.set_choices([(None, tr("No fuse")), *choices.fuse_families()])
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
            self._form.document,
            lambda: None if (fuse := self._form.tap().fuse) is None else read(fuse),
            write,
            [],
            name=name,
            key=f"{self._form.objectName()}_{key}",
        )

    def offer(self) -> None:
        """Offer the ratings of the family there is now."""
        fuse = self._form.tap().fuse
        self._rating.set_choices([] if fuse is None else choices.fuse_ratings(fuse.family))
        self._rating.setVisible(fuse is not None)

    def _put_family(self, family: str | None) -> bool:
        """Another family, with the rating next to the one there was."""
        if family is None:
            return self._put(None)
        old = self._form.tap().fuse
        wanted = old.rating if old is not None else FIRST_RATING
        ratings = [rating for rating, _ in choices.fuse_ratings(family)]
        nearest = min(ratings, key=lambda rating: (abs(rating - wanted), rating))
        return self._put(Fuse(family=family, rating=nearest))

    def _put_rating(self, rating: float) -> bool:
        fuse = self._form.tap().fuse
        return fuse is not None and self._put(Fuse(family=fuse.family, rating=rating))

    def _put(self, fuse: Fuse | None) -> bool:
        return self._form.write("fuse", self._form.tr("accessory fuse"), fuse)
