"""What a kind of hop is made of: its figures for all taps, its words for one, what a breach means.

In: a `Setting` for the figures of all taps at once, a `View` of one tap for its words. Everything
about one kind stands in one class, in the module of its family.
"""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cached_property
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from fusemap.assess import facts
from fusemap.assess.currents import Circuit
from fusemap.assess.end import End
from fusemap.assess.figures import Figures
from fusemap.assess.result import (
    Basis,
    Floats,
    HopKey,
    Severity,
    SlotFigures,
    TapFigures,
    worst,
)
from fusemap.assess.runs import stacked
from fusemap.assess.verdict import SLACK, VERDICTS, Ground
from fusemap.assess.words import fuse_words
from fusemap.electrics.cable_heat import temperature_in_turns
from fusemap.text import Amount, Argument, Text, say
from fusemap.vehicle import Accessory, Fuse, Tap

Input = tuple[Argument, Argument]
"""What goes into a sum: its name and its value."""

_FAILS, _MAY_NOT, _UNCHECKED, _HOLDS = range(len(VERDICTS))
NO_VERDICT = len(VERDICTS)
"""The rank of what has no such hop: everything decides before it."""


class HopFigures(Struct, frozen=True, eq=False, dict=True):
    """One kind of hop for all taps [(taps,)]; `state` is the worst state's row, −1 where none
    matters. `load` is what is known, `most` its end on the unsafe side, `least` that of the limit
    where it has one. A tap that has no such hop has NaN; `blind` marks those that have it, and no
    figures.
    """

    key: HopKey
    load: Floats
    most: Floats
    limit: Floats
    unit: str
    state: np.ndarray
    blind: np.ndarray
    at_most: bool = True
    least: Floats | None = None

    @cached_property
    def hard(self) -> Floats:
        """The limit's end on the unsafe side [unit, (taps,)]."""
        return self.limit if self.least is None else self.least

    @cached_property
    def given(self) -> np.ndarray:
        """Which taps have this hop, with a limit."""
        return ~np.isnan(self.load) & np.isfinite(self.limit)

    @cached_property
    def unchecked(self) -> np.ndarray:
        """Which taps have this hop without what it takes to hold it against a limit."""
        return np.asarray(self.blind & ~self.given)

    @cached_property
    def broken(self) -> np.ndarray:
        """Which taps pass the limit by what is known (beyond rounding)."""
        return self._passes(self.load, self.limit)

    @cached_property
    def unsure(self) -> np.ndarray:
        """Which taps do not pass the limit by what is known, and may pass it."""
        return np.asarray(self._passes(self.most, self.hard) & ~self.broken)

    @cached_property
    def rank(self) -> np.ndarray:
        """Each tap's verdict as its place in `VERDICTS` [(taps,)]; else `NO_VERDICT`."""
        found = np.where(self.given, _HOLDS, np.where(self.unchecked, _UNCHECKED, NO_VERDICT))
        return np.where(self.broken, _FAILS, np.where(self.unsure, _MAY_NOT, found))

    def _passes(self, load: Floats, limit: Floats) -> np.ndarray:
        more, less = (load, limit) if self.at_most else (limit, load)
        over = np.subtract(more, less, out=np.zeros(load.shape), where=self.given)
        return np.asarray(over > SLACK * np.maximum(1.0, np.abs(limit)))


class Held(NamedTuple):
    """What all taps bear and what they may [(taps,)]; the row of the worst state, if any matters.

    NaN where a tap has no such hop: no cable given, no fuse, nothing published.
    """

    load: Floats
    limit: Floats
    state: np.ndarray | None = None


class Warmth:
    """How warm the cables of all taps get, at both ends of what flows and on both ways at once."""

    def __init__(self, a: Figures) -> None:
        self._taps = a.circuit.taps
        self._cables = tuple(end.circuit.cables for end in (a.known, a.most))
        self._peak = np.stack([worst(end.taps.current_a) for end in (a.known, a.most)])

    @cached_property
    def loaded_c(self) -> Floats:
        """Under the load [°C, (ends, ways, taps)]; the ways are out and back."""
        runs = (run for cables in self._cables for run in (cables.out, cables.back))
        load = (self._peak.repeat(2, axis=0).ravel(), *self._turns(4))
        return stacked(*runs).warm_c(*load).reshape(2, 2, -1)

    @cached_property
    def before_c(self) -> Floats:
        """The thinner one before a fault, were it to lie by itself [°C, (ends, taps)]."""
        both = stacked(*(cables.thinner for cables in self._cables))
        found = np.full(self._peak.size, np.nan)
        at = both.given
        share, on_s = self._turns(2)
        found[at] = temperature_in_turns(
            self._peak.ravel()[at],
            share[at],
            on_s[at],
            both.r20_mohm_per_m[at],
            both.area_mm2[at],
            both.od_mm[at],
            both.ambient_c[at],
        )
        return found.reshape(2, -1)

    def _turns(self, count: int) -> tuple[Floats, Floats]:
        """Heat share and length of a turn of every tap, so many times in a row."""
        return np.tile(self._taps.heat_share, count), np.tile(self._taps.on_s, count)


class Setting(Struct, frozen=True, eq=False, dict=True):
    """What the figures of all taps are made from, at one end of what flows.

    `at_most` says that it is the end of the most that may be; the `warmth` is of both.
    """

    a: Figures
    end: End
    warmth: Warmth
    at_most: bool

    @property
    def circuit(self) -> Circuit:
        """The gathered arrays at this end."""
        return self.end.circuit

    @property
    def slots(self) -> SlotFigures:
        """Currents and limits at the slots at this end."""
        return self.end.slots

    @property
    def taps(self) -> TapFigures:
        """Currents and voltages of the taps at this end."""
        return self.end.taps

    @property
    def upstream_ohm(self) -> Floats:
        """Resistance above each tap during a short [Ω, (taps,)] at this end."""
        return self.end.upstream_ohm

    @property
    def rules(self) -> dict[str, float]:
        """The named rules by key."""
        return self.a.rule_values

    @property
    def count(self) -> int:
        """How many taps there are."""
        return len(self.circuit.taps.ids)

    def blank(self) -> Floats:
        """An array with a place for every tap, nothing known yet."""
        return np.full(self.count, np.nan)

    @cached_property
    def peak_a(self) -> Floats:
        """What each tap carries in its worst state [A, (taps,)]."""
        return worst(self.taps.current_a)

    @cached_property
    def peak_state(self) -> np.ndarray:
        """The row of that state [(taps,)]."""
        return np.asarray(self.taps.current_a.argmax(axis=0))

    @cached_property
    def power(self) -> np.ndarray:
        """Which taps are power leads [(taps,)]."""
        return np.array([tap.lead == "power" for tap in self.circuit.taps.taps])

    @cached_property
    def protection(self) -> list[facts.Protection | None]:
        """How each tap's protecting fuse protects, `None` where there is no fuse."""
        multiple = self.rules["overload_multiple"]
        return [
            None if fuse is None else facts.protection(fuse.family, fuse.rating, multiple)
            for fuse in self.circuit.cables.protecting
        ]


class View(Struct, frozen=True, eq=False):
    """One tap with everything its words are taken from."""

    a: Figures
    hops: Mapping[HopKey, HopFigures]
    tap: Tap
    column: int

    @property
    def accessory(self) -> Accessory:
        """The accessory it supplies."""
        return self.a.circuit.taps.accessories[self.column]

    @property
    def guard(self) -> Fuse | None:
        """The fuse that protects the cable."""
        return self.a.circuit.cables.protecting[self.column]

    @property
    def protection(self) -> facts.Protection | None:
        """How that fuse protects, `None` without one."""
        fuse = self.guard
        if fuse is None:
            return None
        return facts.protection(fuse.family, fuse.rating, self.a.rule("overload_multiple"))

    def protected_by(self) -> Input:
        """The same as an input of a sum."""
        return say("Protected by"), say("no fuse") if self.guard is None else fuse_words(self.guard)

    def rule_ground(self, key: str) -> Ground:
        """Where the limit that a named rule sets is from."""
        return self.a.rules[key].ground

    def rule(self, key: str) -> Input:
        """A named rule as an input of a sum."""
        rule = self.a.rules[key]
        return rule.label, Amount(rule.value, rule.unit) if rule.unit else rule.value

    def load(self, key: HopKey) -> float:
        """What a hop of this tap bears."""
        return float(self.hops[key].load[self.column])

    def worst_row(self, key: HopKey) -> int:
        """The row of the state in which a hop of this tap is worst."""
        return int(self.hops[key].state[self.column])


class Breach(Struct, frozen=True):
    """What it means that a tap passes a limit, and what to do."""

    severity: Severity
    what: Text
    rule: Text
    remedy: Text


class HopKind(ABC):
    """One kind of hop. `quantity` is what is compared, in `unit`; `at_most` on which side it holds.

    One that `warms` has a limit that gets lower where its place gets warmer.
    `code` names the finding of a tap that passes the limit; it is empty where that is told once for
    a whole slot or converter. `own` is a hop that another fuse or cable of the tap can cure,
    `protects` one that says whether a fuse protects its cable, `printed` one that stands on paper
    even when it holds, `chosen` a chosen size and no load; beyond one that is not `dangerous`
    nothing burns, but something works badly.
    """

    key: HopKey
    quantity: Text = say("current")
    unit: str = "A"
    at_most: bool = True
    code: str = ""
    own: bool = False
    protects: bool = False
    printed: bool = False
    chosen: bool = False
    warms: bool = False
    dangerous: bool = True

    @abstractmethod
    def figures(self, s: Setting) -> Held:
        """Load and limit of all taps [unit, (taps,)]."""

    @abstractmethod
    def title(self, v: View) -> Text:
        """What it is called at one tap."""

    @abstractmethod
    def basis(self, v: View) -> Basis:
        """How its figures came about at one tap."""

    def blind(self, s: Setting) -> np.ndarray:
        """Which taps have this hop without the figures for it [(taps,)]."""
        return np.zeros(s.count, dtype=bool)

    def missing(self, v: View) -> Text:
        """What is missing to check it at one tap; asked only where it is blind."""
        raise NotImplementedError(f"{self.key} is never without figures")

    def ground(self, v: View) -> Ground:
        """Where its limit is from at one tap."""
        return "published"

    def breach(self, v: View) -> Breach:
        """What it means that this tap passes the limit; asked only of a kind with a code."""
        raise NotImplementedError(f"{self.key} is told elsewhere")

    def both(self, known: Setting, most: Setting) -> tuple[Held, Held]:
        """The figures at both ends; a kind that takes long reckons them in one go."""
        return self.figures(known), self.figures(most)

    def held(self, known: Setting, most: Setting) -> HopFigures:
        """The figures of all taps at both ends."""
        (load, limit, state), (outer, least, _) = self.both(known, most)
        if state is None:
            state = np.full(known.count, -1, dtype=np.intp)
        worse = np.fmax(load, outer) if self.at_most else np.fmin(load, outer)
        return HopFigures(
            self.key,
            load,
            worse,
            limit,
            self.unit,
            state,
            self.blind(known),
            self.at_most,
            np.fmin(limit, least) if self.warms else None,
        )
