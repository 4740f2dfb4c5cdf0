"""The feeds: the tree of what supplies what, over the form of the one that is selected.

The tree has each feed's load in the worst state and its limit, as assessed; the form its name and
place, what supplies it, what it may carry, other load on it, and what was measured of it as a whole
with its evidence.
"""

from math import isfinite
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QSplitter,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap import tables
from fusemap.text import Amount, Text, say
from fusemap.vehicle import STATES, Cable, Feed, Fuse, StateLoads, Vehicle, edits, look_up
from fusemap.vehicle.model import UNREAD
from fusemap.vehicle.words import span_words
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_parts import FIRST_CUT_OFF, CutOffFields
from fusemap.window.forms.cable_fields import CableFields
from fusemap.window.forms.count_box import CountBox
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField
from fusemap.window.forms.form import MayBeAbsent, PartForm, scrolled, side_by_side
from fusemap.window.parts.headings import muted_label
from fusemap.window.parts.later import InSight
from fusemap.window.parts.number_box import with_air
from fusemap.window.style.sheet import as_dangerous
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label

MOST_WAYS: Final = 24
"""A fuse block is never asked for with more."""


class FeedPage(InSight):
    """Tree and form, and buttons to add and remove feeds."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._style = theme.style
        self.setObjectName("feedPage")
        self.setAccessibleName(self.tr("Feeds"))
        self.tree = FeedTree(document, theme)
        self.form = FeedForm(document, theme)
        self._lay_out()
        document.changed.connect(self.changed)
        document.selected.connect(self._selected)
        first = document.vehicle.feeds[0].id if document.vehicle.feeds else ""
        self.form.show_feed(first)
        self._selected(document.selection)
        self.fill()

    def _lay_out(self) -> None:
        self.add = self._button("feed_add", self.tr("Add feed"), self._add)
        self.remove = as_dangerous(
            self._button("feed_remove", self.tr("Remove feed"), self._remove)
        )
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        self.add_block = self._button("block_add", self.tr("Add fuse block"), self._add_block)
        self.ways = CountBox(self._style, "block_ways", self.tr("Ways of the block"), 1, MOST_WAYS)
        self.ways.setValue(6)
        self.ways.setSuffix(self.tr(" ways"))
        with_air(self.ways)
        # a line of their own: in a large font one would be wider than the page
        below = QHBoxLayout()
        below.addWidget(self.add_block)
        below.addWidget(self.ways)
        below.addStretch(1)
        upper = QWidget()
        column = QVBoxLayout(upper)
        edge = self.fontMetrics().height() // 2
        column.setContentsMargins(edge, edge, edge, 0)
        self.nothing = muted_label(self.tr(
            "No feed is entered yet. A feed is what brings the battery’s plus to a group of slots, "
            "with its own fuse or relay. Add one to say what several slots share: then it is "
            "reckoned what it carries with all of them."
        ))  # fmt: skip
        self.nothing.setObjectName("feedNothing")
        column.addWidget(self.nothing)
        column.addWidget(self.tree, 1)
        column.addLayout(buttons)
        column.addLayout(below)
        splitter = QSplitter(Qt.Orientation.Vertical)
        splitter.setChildrenCollapsible(False)
        splitter.addWidget(upper)
        self._fields = scrolled(self.form)
        splitter.addWidget(self._fields)
        splitter.setStretchFactor(1, 1)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(splitter)

    def _button(self, key: str, text: str, do: object) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(do)
        return button

    def fill(self) -> None:
        """Show the feeds as they are now."""
        self._stale = False
        self.tree.fill(self.form.feed_id)
        self.remove.setEnabled(bool(self.form.isEnabled()))
        empty = not self._document.vehicle.feeds
        self.nothing.setVisible(empty)
        for part in (self.tree, self._fields, self.remove):
            part.setVisible(not empty)

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "feed":
            if selection.id != self.form.feed_id:
                self.form.show_feed(selection.id)
            self.tree.show_current(selection.id)
            self.remove.setEnabled(self.form.isEnabled())

    def _add(self) -> None:
        """Add a feed below the selected one."""
        vehicle = self._document.vehicle
        below = self.form.feed_id if self.form.isEnabled() else None
        name = self.tr("Feed {n}").format(n=len(vehicle.feeds) + 1)
        if self._document.apply(self.tr("Add feed"), edits.add_feed, name, parent=below):
            self._document.select("feed", self._document.vehicle.feeds[-1].id)

    def _add_block(self) -> None:
        """Add a fuse block with so many ways, below the selected feed."""
        if self.ways.problem is not None:
            self._document.refused.emit(self.ways.problem)
            self.ways.setFocus(Qt.FocusReason.OtherFocusReason)
            self.ways.selectAll()
            return
        vehicle = self._document.vehicle
        below = self.form.feed_id if self.form.isEnabled() else None
        blocks = sum(panel.kind == "block" for panel in vehicle.panels)
        name = self.tr("Fuse block {n}").format(n=blocks + 1)
        text, ways = self.tr("Add fuse block"), self.ways.value()
        if self._document.apply(text, edits.add_block, name, ways, family="regular", parent=below):
            self._document.select("feed", self._document.vehicle.feeds[-1].id)

    def _remove(self) -> None:
        vehicle = self._document.vehicle
        feed = look_up.feed(vehicle, self.form.feed_id)
        text = self.tr("Remove feed {name}").format(name=feed.name)
        if self._document.apply(text, edits.remove_feed, feed.id):
            left = self._document.vehicle.feeds
            self.form.show_feed(left[0].id if left else "")
            self.fill()


ID: Final = Qt.ItemDataRole.UserRole


class FeedTree(QTreeWidget):
    """The feeds below the battery, each with load and limit."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._style = theme.style
        self._filling = False
        self.setObjectName("feedTree")
        self.setAccessibleName(self.tr("Feeds"))
        self.setHeaderLabels([self.tr("Feed"), self.tr("Load"), self.tr("Limit")])
        self.setUniformRowHeights(True)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for column in (1, 2):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.ResizeToContents)
        self.currentItemChanged.connect(self._chosen)

    def fill(self, selected: str) -> None:
        """Show the feeds as they are now, with one of them current."""
        vehicle = self._document.vehicle
        self._filling = True
        self.clear()
        battery = QTreeWidgetItem([self.tr("Battery")])
        self.addTopLevelItem(battery)
        items: dict[str | None, QTreeWidgetItem] = {None: battery}
        waiting = list(vehicle.feeds)
        while waiting:
            ready = [feed for feed in waiting if feed.parent in items]
            for feed in ready:
                items[feed.id] = self._item(feed)
                items[feed.parent].addChild(items[feed.id])
            waiting = [feed for feed in waiting if feed.id not in items]
        self.expandAll()
        self._filling = False
        self.show_current(selected)

    def show_current(self, feed_id: str) -> None:
        """Put the cursor on a feed, without selecting it."""
        self._filling = True
        for item in self.findItems("*", Qt.MatchFlag.MatchWildcard | Qt.MatchFlag.MatchRecursive):
            if item.data(0, ID) == feed_id and item is not self.currentItem():
                self.setCurrentItem(item)
        self._filling = False

    def _item(self, feed: Feed) -> QTreeWidgetItem:
        # loaded when it is first needed: the start stays short
        from fusemap.assess.verdict import verdict_of

        figures, most = self._document.assessment.feeds, self._document.assessment.most.feeds
        column = figures.index[feed.id]
        load, limit = float(figures.current_a[:, column].max()), float(figures.limit_a[column])
        end = float(most.current_a[:, column].max())
        load_words = self._style.show(span_words(load, end, "A"))
        limit_words = (
            self._style.show(Amount(limit, "A")) if isfinite(limit) else self.tr("not known")
        )
        item = QTreeWidgetItem([feed.name or feed.id, load_words, limit_words])
        item.setData(0, ID, feed.id)
        for place in (1, 2):
            item.setTextAlignment(place, Qt.AlignmentFlag.AlignRight)
        verdict = verdict_of(load, end, limit)
        if verdict == "fails":
            item.setText(1, self.tr("{load} over!").format(load=load_words))
        elif verdict == "may_not_hold":
            size = self.fontMetrics().height()
            item.setIcon(1, verdict_icon("may_not_hold", self._theme, size))
            item.setToolTip(1, self.tr("It may be too much; the chain says what to measure"))
        return item

    def _chosen(self, item: QTreeWidgetItem | None) -> None:
        if item is not None and not self._filling:
            feed_id = item.data(0, ID)
            self._document.select(*(("feed", feed_id) if feed_id else ("battery",)))


FIRST_LEAD: Final = Cable(section_mm2=16.0, length_m=1.0, place="engine_bay")
"""The cable of an added feed until its figures are entered."""
NOTHING_ELSE: Final = StateLoads(**dict.fromkeys(STATES, 0.0))


class FeedForm(PartForm):
    """The feed that was selected last."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.feed_id = ""
        super().__init__(document, theme, "feed", self.tr("Feed"), self._feed, self._change_feed)
        self.section(self.tr("This feed"))
        self.text("name", self.tr("Name"))
        self._parent = self.choice("parent", self.tr("Supplied by"), [])
        self._battery = self.choice("battery", self.tr("Battery"), choices.batteries())
        self.choice("place", self.tr("Where it sits"), choices.places())
        self._add_limits()
        self._add_cable()
        self.section(self.tr("What else it carries, besides the slots"))
        self.note(
            self.tr(
                "Current to things that are on none of the panels. Blank is not known, 0 is "
                "nothing."
            )
        )
        self._add_answers()
        self._add_loads("other_load", "feed_load", self.tr("not known"))
        self.section(self.tr("Measured as a whole"))
        self.note(
            self.tr(
                "What all that hangs below it drew together, without the accessories of this plan: "
                "by clamp round its cable or from the millivolts across its fuse, at the upper "
                "end of what the meter may have missed. Blank is not measured."
            )
        )
        self._add_loads("carried", "feed_carried", self.tr("not measured"))
        self.evidence = plain_label("feedEvidence")
        self.evidence.setProperty("muted", True)
        self.add("", self.evidence, follow=self._show_evidence)

    def _add_limits(self) -> None:
        self.section(self.tr("What it may carry"))
        self._family = ChoiceField(
            lambda: fuse.family if (fuse := self._feed().fuse) else None,
            self._write_family,
            [(None, self.tr("No fuse of its own")), *choices.fuse_families(self.theme.style)],
            name=self.tr("Fuse"),
            key="feed_fuse",
        )
        self.add(self.tr("Fuse"), self._family)
        self._rating = ChoiceField(
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

    def _add_cable(self) -> None:
        """What is asked of a feed that was added: its cable, and how far its fuse is."""
        added = CheckField(
            lambda: self._feed().added,
            lambda on: self.write("added", self.tr("added"), on),
            text=self.tr("Added, not laid by the vehicle’s maker"),
            key="feed_added",
        )
        self.add("", added, follow=self._show_added)
        part = MayBeAbsent(
            lambda: self._feed().cable,
            lambda label, cable: self.write("cable", label, cable),
            lambda: FIRST_LEAD,
        )
        self._cable = CableFields(
            self, say("Cable of the feed"), self.tr("Its cable is known"), part, "feed_cable"
        )
        self._unfused = self.number(
            "unfused_m",
            self.tr("Fuse after"),
            "m",
            least=0,
            optional=True,
            placeholder=self.tr("not measured"),
            hint=self.tr("Along the cable, from where the current is taken to the fuse"),
        )
        cut = MayBeAbsent(
            lambda: self._feed().cut_off,
            lambda _, part: self.write("cut_off", self.tr("low-voltage cut-off"), part),
            lambda: FIRST_CUT_OFF,
        )
        self._cut_off = CutOffFields(self, cut, "feed_cut_off")
        self._sleeve = self.choice("sleeve", self.tr("Before the fuse"), choices.sleeves())

    def _show_added(self) -> None:
        if not hasattr(self, "_sleeve"):
            return
        on = self._feed().added
        self._cable.show_rows(on)
        self._cut_off.show_rows()
        for row in (self._unfused, self._sleeve):
            self.rows.setRowVisible(row, on)

    def _add_answers(self) -> None:
        """The two answers that need no figure."""
        self._nothing = self._answer(
            "feed_nothing_else", self.tr("Nothing else hangs on it"), NOTHING_ELSE
        )
        self._unsaid = self._answer("feed_other_unknown", self.tr("Not known"), UNREAD)
        self.add("", side_by_side(self._nothing, self._unsaid))

    def _answer(self, key: str, text: str, loads: StateLoads) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: self.write("other_load", text, loads))
        return button

    def _add_loads(self, field: str, key: str, blank: str) -> None:
        """A current in every state."""
        for state, words in choices.states(self.theme.style):
            made = self._load(field, state, words, placeholder=blank, key=f"{key}_{state}")
            self.add(words, made)

    def _load(
        self, field: str, state: str, words: str, *, placeholder: str, key: str
    ) -> NumberField:
        return NumberField(
            self.document,
            self.theme.style,
            lambda: getattr(getattr(self._feed(), field), state),
            lambda value: self.write(
                field, words, replace(getattr(self._feed(), field), **{state: value})
            ),
            name=words,
            unit="A",
            optional=True,
            placeholder=placeholder,
            key=key,
        )

    def _show_evidence(self) -> None:
        """From which readings it is; what concludes from them loads with the first of them."""
        vehicle, feed = self.document.vehicle, self._feed()
        lines: tuple[Text, ...] = ()
        if any((each.target, each.target_id) == ("feed", feed.id) for each in vehicle.readings):
            # loaded when it is first needed: the start stays short
            from fusemap.probing.feed_loads import evidence_lines

            lines = evidence_lines(vehicle, feed)
        self.evidence.setText("\n".join(map(self.theme.style.show, lines)))
        self.evidence.setVisible(bool(lines))

    def part_name(self) -> str:
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
            self._nothing.setEnabled(self._feed().other_load != NOTHING_ELSE)
            self._unsaid.setEnabled(self._feed().other_load != UNREAD)
            two = self.document.vehicle.second_battery is not None
            self.rows.setRowVisible(self._battery, two and self._feed().parent is None)
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
