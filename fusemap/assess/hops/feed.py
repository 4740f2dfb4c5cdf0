"""Hops of an added feed's cable: warm enough at its load, protected, and near enough to its source.

A feed that the vehicle's maker laid is the maker's affair: of it only the current is held against
its limit (`chain.feed_hop`). One that was added has a cable that somebody chose: it is held against
the same limits as an accessory's, and the part of it before its first fuse against the lengths that
boats' standards allow.
"""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from typing import Final

import numpy as np

from fusemap.assess import facts
from fusemap.assess.figures import Figures
from fusemap.assess.hops.cable_limits import (
    COOLER,
    FAR_END_SUM,
    HEAT_RULE,
    HEAT_SUM,
    OVERLOAD_SUM,
    SHORT_RULE,
    SHORT_SUM,
    far_end_breach,
    heat_source,
)
from fusemap.assess.hops.feed_cables import FeedCables, FeedView
from fusemap.assess.hops.kind import Breach, HopFigures
from fusemap.assess.result import Basis, Floats, Hop, HopKey, worst
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words
from fusemap.text import NOTHING, Amount, Text, Words, say
from fusemap.vehicle import Feed

MM: Final = 1000.0
"""Millimetres to the metre."""


class FeedHop(ABC):
    """One kind of limit of an added feed's cable, for all feeds at once."""

    key: HopKey
    code: str
    quantity: Text
    unit: str
    at_most = True

    @abstractmethod
    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        """What is known, the end on the unsafe side, and the limit [unit, (feeds,)]; NaN: none."""

    @abstractmethod
    def title(self, v: FeedView) -> Text:
        """What it is called at one feed."""

    @abstractmethod
    def basis(self, v: FeedView) -> Basis:
        """How its figures came about at one feed."""

    @abstractmethod
    def breach(self, v: FeedView) -> Breach:
        """What it means that this feed passes the limit."""

    def ground(self, v: FeedView) -> Ground:
        """Where its limit is from at one feed."""
        return v.guard_ground()

    def held(self, c: FeedCables) -> HopFigures:
        """The figures of all feeds; blind where one was added and nothing can be held."""
        load, most, limit = self.ends(c)
        added = np.array([feed.added for feed in c.feeds], dtype=bool)
        state = np.full(len(c.feeds), -1, dtype=np.intp)
        return HopFigures(self.key, load, most, limit, self.unit, state, added, self.at_most)


class FeedHeat(FeedHop):
    """The cable at the load of all that hangs below."""

    key = "feed_heat"
    code = "feed_cable_too_hot"
    quantity = say("conductor temperature")
    unit = "°C"

    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        known = c.loaded_c(c.a.known.feeds.current_a)
        most = c.loaded_c(c.a.most.feeds.current_a, most=True)
        return known, np.fmax(known, most), c.run.limit_c

    def title(self, v: FeedView) -> Text:
        return say("Cable of “{feed}”, its warmth", feed=v.feed.name)

    def ground(self, v: FeedView) -> Ground:
        return "published"

    def basis(self, v: FeedView) -> Basis:
        ambient = Amount(float(v.cables.run.ambient_c[v.column]), "°C")
        wire = facts.wire(v.cable.section_mm2, v.cable.insulation)
        return Basis(
            HEAT_SUM,
            (
                (say("Cable"), cable_words(v.cable)),
                (say("Ambient"), ambient),
                (
                    say("Current that warms it"),
                    Amount(float(worst(v.a.feeds.current_a)[v.column]), "A"),
                ),
            ),
            heat_source(wire),
        )

    def breach(self, v: FeedView) -> Breach:
        return Breach(
            "stop",
            say("The cable of this feed gets hotter than its insulation bears."),
            HEAT_RULE,
            COOLER,
        )


THICKER: Final = say("Use a thicker cable or a smaller fuse at its source.")


class FeedOverload(FeedHop):
    """The hottest the cable gets at an overload that its fuse lets pass."""

    key = "feed_overload"
    code = "feed_cable_overload"
    quantity = say("conductor temperature")
    unit = "°C"

    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        hot, hottest = (c.overload_c(c.guards, most=most) for most in (False, True))
        return hot, hottest, np.where(np.isnan(hot), np.nan, c.run.overload_limit_c)

    def title(self, v: FeedView) -> Text:
        return say("Cable of “{feed}” while its fuse lets an overload pass", feed=v.feed.name)

    def basis(self, v: FeedView) -> Basis:
        return Basis(
            OVERLOAD_SUM,
            v.inputs(),
            v.guard_source(),
        )

    def breach(self, v: FeedView) -> Breach:
        return Breach(
            "stop",
            say("The fuse lets an overload pass long enough to overheat this feed’s cable."),
            v.a.rules["overload_multiple"].label,
            THICKER,
        )


class FeedShort(FeedHop):
    """What the fuse lets through in a short against what the copper takes up."""

    key = "feed_short"
    code = "feed_cable_short"
    quantity = say("I²t")
    unit = "A²s"

    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        through = c.through_a2s(c.guards)
        return through, through, np.where(np.isnan(through), np.nan, c.bears_a2s())

    def title(self, v: FeedView) -> Text:
        return say("Cable of “{feed}” in a hard short", feed=v.feed.name)

    def basis(self, v: FeedView) -> Basis:
        return Basis(
            SHORT_SUM,
            v.inputs(),
            say("IEC 60364-4-43; {source}", source=v.guard_source()),
        )

    def breach(self, v: FeedView) -> Breach:
        return Breach(
            "stop",
            say("A short circuit overheats this feed’s cable before its fuse has opened."),
            SHORT_RULE,
            THICKER,
        )


class FeedFarEnd(FeedHop):
    """A short at the end of the cable: does the fuse open?"""

    key = "feed_far_end"
    code = "feed_cable_far_end"
    quantity = say("fault current")
    unit = "× rating"
    at_most = False

    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        found = c.short_multiple()
        wanted = np.where(np.isnan(found), np.nan, c.a.rule("far_end_multiple"))
        return found, found, wanted

    def title(self, v: FeedView) -> Text:
        return say("Short at the end of “{feed}”: does the fuse open?", feed=v.feed.name)

    def ground(self, v: FeedView) -> Ground:
        return v.a.rules["far_end_multiple"].ground

    def basis(self, v: FeedView) -> Basis:
        return Basis(
            FAR_END_SUM,
            ((say("Voltage"), Amount(v.fault_v, "V")), *v.inputs()),
            v.a.rules["far_end_multiple"].source,
        )

    def breach(self, v: FeedView) -> Breach:
        found = float(v.cables.short_multiple()[v.column])
        least, rule = v.a.rule("far_end_multiple_least"), v.a.rules["far_end_multiple"]
        return far_end_breach(found, least, rule, THICKER)


class FeedUnfused(FeedHop):
    """How far along the cable its fuse is: nothing opens for a short before it.

    Where nobody measured it the fuse may sit at the cable's far end; where it has none that part is
    the whole cable. A fuse above that protects this cable, too, leaves nothing unfused.
    """

    key = "feed_unfused"
    code = "feed_unfused_too_long"
    quantity = say("unfused length")
    unit = "mm"

    def ends(self, c: FeedCables) -> tuple[Floats, Floats, Floats]:
        whole = c.run.length_m * MM
        own = np.array([feed.fuse is not None for feed in c.feeds], dtype=bool)
        said = np.array(
            [np.nan if feed.unfused_m is None else feed.unfused_m * MM for feed in c.feeds],
            dtype=float,
        )
        known = np.where(own, np.nan_to_num(said), whole)
        most = np.where(own & ~np.isnan(said), said, whole)
        known, most = (np.where(c.shielded, 0.0, each) for each in (known, most))
        limit = np.array([limit_mm(c.a, feed) for feed in c.feeds], dtype=float)
        return known, most, np.where(np.isnan(whole), np.nan, limit)

    def title(self, v: FeedView) -> Text:
        return say("Cable of “{feed}” before its fuse", feed=v.feed.name)

    def ground(self, v: FeedView) -> Ground:
        return v.a.rules[rule_key(v.feed)].ground

    def basis(self, v: FeedView) -> Basis:
        rule = v.a.rules[rule_key(v.feed)]
        entered = v.feed.unfused_m
        length: Words | Amount = say("not measured: the fuse may sit at its far end")
        if v.feed.fuse is None:
            length = say("no fuse of its own: the whole cable")
        elif entered is not None:
            length = Amount(entered * MM, "mm")
        return Basis(
            say(
                "length along the cable from where the current is taken to the first fuse; a figure"
                " for boats, lent to vehicles, whose makers only say “near the source”"
            ),
            ((say("Before the fuse"), length), (rule.label, Amount(rule.value, "mm"))),
            rule.source,
        )

    def breach(self, v: FeedView) -> Breach:
        length = float(self.ends(v.cables)[0][v.column])
        most = v.a.rule(caution_key(v.feed) or rule_key(v.feed))
        return Breach(
            "stop" if length > most else "caution",
            say("Nothing protects the first part of this feed’s cable.")
            if v.feed.fuse is not None
            else say("Nothing protects this feed’s cable: there is no fuse above it."),
            v.a.rules[rule_key(v.feed)].label,
            say(
                "Put the fuse next to where the current is taken, and the cable before it into a "
                "sleeve from end to end."
            ),
        )


def rule_key(feed: Feed) -> str:
    """The named rule that bounds the unfused part of a feed [mm].

    >>> rule_key(Feed(id="f", name="Camper block", sleeve="sleeved"))
    'unfused_post_mm'
    """
    if feed.sleeve != "sleeved":
        return "unfused_open_mm"
    return "unfused_post_mm" if feed.parent is None else "unfused_sleeved_mm"


def caution_key(feed: Feed) -> str | None:
    """The named rule up to which a longer one is a caution only; `None` where there is none."""
    return None if feed.sleeve != "sleeved" else rule_key(feed).replace("_mm", "_most_mm")


def limit_mm(a: Figures, feed: Feed) -> float:
    """How long the part before its fuse may be [mm]."""
    return a.rule(rule_key(feed))


FEED_HOPS: Final[tuple[FeedHop, ...]] = (
    FeedUnfused(),
    FeedHeat(),
    FeedOverload(),
    FeedShort(),
    FeedFarEnd(),
)
"""All limits of an added feed's cable, in the order of the current."""


def made_hop(v: FeedView, kind: FeedHop, figures: HopFigures) -> Hop:
    """One limit of one feed with its words."""
    checked = bool(figures.given[v.column])
    missing = NOTHING if checked else v.missing()
    return Hop(
        key=kind.key,
        feed=v.feed.id,
        title=kind.title(v),
        quantity=kind.quantity,
        load=float(figures.load[v.column]),
        most=float(figures.most[v.column]),
        limit=float(figures.limit[v.column]) if checked else np.nan,
        unit=kind.unit,
        basis=kind.basis(v) if checked else Basis(missing),
        at_most=kind.at_most,
        ground=kind.ground(v) if checked else "none",
        missing=missing,
    )


def feed_hop_figures(a: Figures) -> Mapping[HopKey, HopFigures]:
    """All of them by key [(feeds,)]; empty where no feed was added."""
    if not any(feed.added for feed in a.vehicle.feeds):
        return {}
    cables = FeedCables(a)
    return {kind.key: kind.held(cables) for kind in FEED_HOPS}
