"""Cables of added feeds with the fuses that protect them, and one of them with its words.

In: the figures of a vehicle. Out: per feed what its cable warms to, what its fuse lets through,
what a short at its end comes to.
"""

from functools import cached_property

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.currents import feeds_downwards
from fusemap.assess.figures import Figures
from fusemap.assess.hops.kind import Input
from fusemap.assess.result import Floats, worst
from fusemap.assess.runs import Runs, runs
from fusemap.assess.sources import SECOND, STARTER, roots, warmest
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words, fuse_words
from fusemap.electrics.protection import (
    adiabatic_k,
    far_end,
    short_check,
)
from fusemap.text import NOTHING, Text, Words, say
from fusemap.vehicle import Cable, Feed, Fuse

Guards = tuple[Fuse | None, ...]


class FeedCables(Struct, frozen=True, eq=False, dict=True):
    """The cables of all feeds [(feeds,)] and the fuses that protect them.

    `guards` is the nearest fuse of each feed, its own or one above; `above` the nearest one above
    its own, which alone protects what lies before it.
    """

    a: Figures

    @cached_property
    def feeds(self) -> tuple[Feed, ...]:
        """All feeds of the vehicle."""
        return self.a.vehicle.feeds

    @cached_property
    def run(self) -> Runs:
        """The conductors; NaN where the feed was not added, or has no cable entered."""
        return self._runs(self.a.rule_values)

    @cached_property
    def warm_run(self) -> Runs:
        """The same, their places as warm as they may get."""
        return self._runs(warmest(self.a.vehicle, self.a.rule_values))

    def _runs(self, rules: dict[str, float]) -> Runs:
        return runs([f.cable if f.added else None for f in self.feeds], rules)

    @cached_property
    def above(self) -> Guards:
        """The nearest fuse above each feed's own place."""
        found: dict[int, Fuse | None] = {STARTER: None, SECOND: None}
        parents = self.a.circuit.feeds.parent
        for column in feeds_downwards(self.a.circuit.feeds):
            over = int(parents[column])
            own = None if over < 0 else self.feeds[over].fuse
            found[column] = own if own is not None else found[over]
        return tuple(found[column] for column in range(len(self.feeds)))

    @cached_property
    def guards(self) -> Guards:
        """The fuse that protects each feed's cable."""
        return tuple(
            feed.fuse if feed.fuse is not None else over
            for feed, over in zip(self.feeds, self.above, strict=True)
        )

    def loaded_c(self, current_a: Floats, *, most: bool = False) -> Floats:
        """How warm the conductors get for good [°C] in the worst state of currents [A]."""
        return (self.warm_run if most else self.run).temperature_c(worst(current_a))

    def overload_c(self, guards: Guards, *, most: bool = False) -> Floats:
        """The hottest they get at an overload that these fuses let pass [°C]; NaN without one."""
        found, run = np.full(len(self.feeds), np.nan), self.warm_run if most else self.run
        before = self.loaded_c(self.a.most.feeds.current_a, most=most)
        multiple = self.a.rule("overload_multiple")
        for at, fuse in enumerate(guards):
            if fuse is None or not self.run.given[at]:
                continue
            found[at] = run.overload_c(at, fuse, multiple, float(before[at]))
        return found

    def through_a2s(self, guards: Guards) -> Floats:
        """What these fuses let through in a short [A²s], NaN without one."""
        multiple = self.a.rule("overload_multiple")
        through = [
            np.nan
            if fuse is None
            else facts.protection(fuse.family, fuse.rating, multiple).let_through_a2s
            for fuse in guards
        ]
        return np.where(self.run.given, np.array(through, dtype=float), np.nan)

    def bears_a2s(self) -> Floats:
        """What the conductors take up in a short [A²s]; NaN where there is none."""
        found, at = np.full(len(self.feeds), np.nan), self.run.given
        if at.any():
            k = adiabatic_k(self.run.limit_c[at], self.run.short_end_c[at])
            found[at] = short_check(0.0, self.run.area_mm2[at], k).limit
        return found

    def short_multiple(self) -> Floats:
        """A short at the end of each feed, as a multiple of its fuse's rating [-]; NaN without."""
        found = np.full(len(self.feeds), np.nan)
        rating = np.array([np.nan if f is None else f.rating for f in self.guards], dtype=float)
        at = self.run.given & ~np.isnan(rating)
        if at.any():
            end = far_end(
                self.a.circuit.fault_v_at(roots(self.a.circuit.feeds))[at],
                rating[at],
                self.run.fault_ohm()[at],
                self._other_ohm()[at],
                wanted=self.a.rule("far_end_multiple"),
                least=self.a.rule("far_end_multiple_least"),
            )
            found[at] = end.wanted.found
        return found

    def _other_ohm(self) -> Floats:
        """Source, feeds above, the feed's own fuse, and the body [Ω]; at the most they may be."""
        feeds = self.a.most.circuit.feeds
        total = self.a.circuit.inner_ohm()
        for column in feeds_downwards(feeds):
            total[column] = total[int(feeds.parent[column])] + float(feeds.ohm[column])
        whole = np.array([total[column] for column in range(len(self.feeds))])
        body = self.a.rule("body_return_mohm") / 1000
        # its own copper is in the cable already
        return np.asarray(np.maximum(whole - np.nan_to_num(self.run.fault_ohm()), 0.0) + body)

    @cached_property
    def shielded(self) -> np.ndarray:
        """Which cables are protected before their own fuse, too, by one above [(feeds,)]."""
        hot = self.overload_c(self.above, most=True) <= self.run.overload_limit_c
        return np.asarray(hot & (self.through_a2s(self.above) <= self.bears_a2s()))


class FeedView(Struct, frozen=True, eq=False):
    """One added feed with everything its words are taken from."""

    cables: FeedCables
    column: int

    @property
    def a(self) -> Figures:
        """All figures of the vehicle."""
        return self.cables.a

    @property
    def feed(self) -> Feed:
        """The feed."""
        return self.cables.feeds[self.column]

    @property
    def cable(self) -> Cable:
        """Its cable, for a hop that exists only with it."""
        assert self.feed.cable is not None
        return self.feed.cable

    @property
    def fault_v(self) -> float:
        """What drives a short of it [V]."""
        root = roots(self.a.circuit.feeds)[self.column]
        return float(self.a.circuit.fault_v_at(root))

    @property
    def guard(self) -> Fuse | None:
        """The fuse that protects it."""
        return self.cables.guards[self.column]

    def inputs(self) -> tuple[Input, ...]:
        """The cable and its fuse as inputs of a sum."""
        guard = say("no fuse") if self.guard is None else fuse_words(self.guard)
        return (say("Cable"), cable_words(self.cable)), (say("Protected by"), guard)

    def guard_source(self) -> Words:
        """Where the times of its fuse are from."""
        fuse = self.guard
        if fuse is None:
            return ""
        multiple = self.a.rule("overload_multiple")
        return facts.protection(fuse.family, fuse.rating, multiple).source

    def guard_ground(self) -> Ground:
        """Where they are from, in a word."""
        fuse = self.guard
        if fuse is None:
            return "none"
        found = facts.protection(fuse.family, fuse.rating, self.a.rule("overload_multiple"))
        return "published" if found.published else "analogy"

    def missing(self) -> Text:
        """Why nothing can be said of its cable; empty where it can."""
        if self.feed.cable is None:
            return say("section and length of the feed’s cable are not entered")
        return NOTHING if self.guard is not None else say("no fuse protects this cable")
