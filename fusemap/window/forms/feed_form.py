"""One feed: its name and place, what supplies it, what it may carry, other load on it."""

from msgspec.structs import replace

from fusemap import tables
from fusemap.vehicle import Feed, Fuse, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.fields import ChoiceField, NumberField
from fusemap.window.forms.part_form import PartForm
from fusemap.window.style.theme import Theme


class FeedForm(PartForm):
    """The feed that was selected last."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.feed_id = ""
        super().__init__(document, theme, "feed", self.tr("Feed"), self._feed, self._change_feed)
        self.section(self.tr("This feed"))
        self.text("name", self.tr("Name"))
        self._parent = self.choice("parent", self.tr("Supplied by"), [])
        self.choice("place", self.tr("Where it sits"), choices.places())
        self._add_limits()
        self.section(self.tr("Other load on it"))
        self.note(self.tr("What it carries to things that are on none of the panels."))
        for state, words in choices.states(self.theme.style):
            self._add_load(state, words)

    def _add_limits(self) -> None:
        self.section(self.tr("What it may carry"))
        self._family = ChoiceField(
            self.document,
            lambda: fuse.family if (fuse := self._feed().fuse) else None,
            self._write_family,
            [(None, self.tr("No fuse of its own")), *choices.fuse_families(self.theme.style)],
            name=self.tr("Fuse"),
            key="feed_fuse",
        )
        self.add(self.tr("Fuse"), self._family)
        self._rating = ChoiceField(
            self.document,
            lambda: fuse.rating if (fuse := self._feed().fuse) else None,
            self._write_rating,
            [],
            name=self.tr("Rating"),
            key="feed_rating",
        )
        self.add(self.tr("Rating"), self._rating)
        hint = self.tr("Where the cable or relay may carry less than the fuse, or no fuse is known")
        by_fuse = self.tr("by the fuse")
        self.number(
            "limit_a",
            self.tr("Limit"),
            "A",
            optional=True,
            placeholder=by_fuse,
            hint=hint,
        )
        self.number("resistance_mohm", self.tr("Resistance"), "mΩ", least=0)

    def _add_load(self, state: str, words: str) -> None:
        field = NumberField(
            self.document,
            self.theme.style,
            lambda: getattr(self._feed().other_load, state),
            lambda value: self.write(
                "other_load", words, replace(self._feed().other_load, **{state: value})
            ),
            name=words,
            unit="A",
            optional=True,
            key=f"feed_load_{state}",
        )
        self.add(words, field)

    def called(self) -> str:
        """The feed by name."""
        return self._feed().name

    def show_feed(self, feed_id: str) -> None:
        """Show another feed."""
        self.feed_id = feed_id
        self.refresh()

    def refresh(self) -> None:
        """Show the feed as it is now, with the choices there are for it."""
        here = any(feed.id == self.feed_id for feed in self.document.vehicle.feeds)
        self.setEnabled(here)
        if here and hasattr(self, "_rating"):
            self._parent.set_choices(choices.feeds(self.document.vehicle, above=self.feed_id))
            fuse = self._feed().fuse
            self._rating.set_choices(
                choices.fuse_ratings(fuse.family, self.theme.style) if fuse else []
            )
            self._rating.setEnabled(fuse is not None)
        super().refresh()

    def _feed(self) -> Feed:
        feeds = self.document.vehicle.feeds
        return next((f for f in feeds if f.id == self.feed_id), Feed(id="", name=""))

    def _change_feed(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_feed(vehicle, self.feed_id, **changes)

    def _write_family(self, family: str | None) -> bool:
        fuse = None if family is None else Fuse(family=family, rating=self._nearest(family))
        return self.write("fuse", self.tr("fuse"), fuse)

    def _write_rating(self, rating: float) -> bool:
        fuse = self._feed().fuse
        return fuse is not None and self.write(
            "fuse", self.tr("fuse"), replace(fuse, rating=rating)
        )

    def _nearest(self, family: str) -> float:
        """The rating of another family nearest to the one there is."""
        ratings = tables.fuse_family(family).ratings_a
        fuse = self._feed().fuse
        wanted = fuse.rating if fuse else max(ratings)
        return min(ratings, key=lambda rating: abs(rating - wanted))
