"""The chain of one tap in words: battery, feeds, slot, tap, fuse, cable, accessory and back.

Figures and words are those of `hops`; the feeds above a tap are put in front of them. A chain is
put together when somebody looks at it. It says too what could not be held against a limit, and what
is missing for it: a hop that has no figures must not pass for one that holds.
"""

from collections.abc import Iterator, Mapping

import numpy as np

from fusemap.assess import facts
from fusemap.assess.figures import Figures
from fusemap.assess.hops import HOPS
from fusemap.assess.hops.kind import HopFigures, HopKind, View
from fusemap.assess.result import Basis, Chain, Hop, HopKey
from fusemap.assess.words import KIRCHHOFF, chain_title, fuse_words
from fusemap.text import Text, given, say
from fusemap.vehicle import STATES, Feed, look_up


class Chains(Mapping[str, Chain]):
    """All chains by tap id, each made when it is asked for."""

    def __init__(self, a: Figures, hops: Mapping[HopKey, HopFigures]) -> None:
        self._a = a
        self._hops = hops
        self._made: dict[str, Chain] = {}

    def __getitem__(self, tap_id: str) -> Chain:
        if tap_id not in self._made:
            self._made[tap_id] = make_chain(self.view(tap_id))
        return self._made[tap_id]

    def view(self, tap_id: str) -> View:
        """One tap with everything its words are taken from. Raises KeyError where there is none."""
        column = self._a.taps.index[tap_id]
        return View(self._a, self._hops, self._a.circuit.taps.taps[column], column)

    def __iter__(self) -> Iterator[str]:
        return iter(self._a.taps.ids)

    def __len__(self) -> int:
        return len(self._a.taps.ids)


def make_chain(v: View) -> Chain:
    """The chain of one tap, from the battery's side to the accessory and back."""
    feeds = _feeds_above(v)
    there = (kind for kind in HOPS if v.hops[kind.key].given[v.column])
    hops = (*_feed_hops(v, feeds), *(_hop(v, kind) for kind in there))
    return Chain(v.tap.id, chain_title(v.a.vehicle, v.tap), hops, unchecked(v, feeds))


def _hop(v: View, kind: HopKind) -> Hop:
    """One hop of a tap with its words."""
    figures, row = v.hops[kind.key], v.worst_row(kind.key)
    return Hop(
        key=kind.key,
        title=kind.title(v),
        quantity=kind.quantity,
        load=float(figures.load[v.column]),
        limit=float(figures.limit[v.column]),
        unit=kind.unit,
        basis=kind.basis(v),
        state=None if row < 0 else STATES[row],
        at_most=kind.at_most,
        chosen=kind.chosen,
    )


def _feeds_above(v: View) -> tuple[Feed, ...]:
    """The feeds above a tap, from the battery downwards."""
    vehicle, slot = v.a.vehicle, v.tap.slot
    first = v.tap.feed if slot is None else look_up.slot(vehicle, slot).feed
    return tuple(look_up.feeds_above(vehicle, first))[::-1]


def _feed_hops(v: View, feeds: tuple[Feed, ...]) -> Iterator[Hop]:
    """The feeds above a tap; those without any limit are left out."""
    for feed in feeds:
        column = v.a.feeds.index[feed.id]
        limit = float(v.a.feeds.limit_a[column])
        if not np.isfinite(limit):
            continue
        load = v.a.feeds.current_a[:, column]
        own = say("not given") if feed.limit_a is None else given(feed.limit_a, "A")
        fuse = say("none given") if feed.fuse is None else fuse_words(feed.fuse)
        yield Hop(
            key="feed",
            feed=feed.id,
            title=say("Feed “{feed}”", feed=feed.name),
            quantity=say("current"),
            load=float(load.max()),
            limit=limit,
            unit="A",
            state=STATES[int(load.argmax())],
            basis=Basis(
                say(
                    "everything that hangs below this feed, summed; the tighter of its own limit "
                    "and what its fuse carries for long"
                ),
                ((say("Own limit"), own), (say("Fuse"), fuse)),
                KIRCHHOFF,
            ),
        )


def unchecked(v: View, feeds: tuple[Feed, ...]) -> tuple[Text, ...]:
    """Every hop of a tap that is missing for want of a figure; `feeds` are those above it."""
    return (*_feeds(feeds), *_slot(v), *_inrush(v), *_cable(v), *_converter(v))


def _feeds(feeds: tuple[Feed, ...]) -> Iterator[Text]:
    for feed in feeds:
        if feed.limit_a is None and feed.fuse is None:
            yield say("Feed “{feed}”: neither a limit nor a fuse is entered", feed=feed.name)


def _slot(v: View) -> Iterator[Text]:
    if v.tap.slot is not None:
        slot = look_up.slot(v.a.vehicle, v.tap.slot)
        if slot.fuse is None:
            yield say(
                "Host fuse {slot}: no fuse is entered in this slot", slot=look_up.slot_words(slot)
            )


def _inrush(v: View) -> Iterator[Text]:
    fuse = v.tap.fuse
    if v.tap.lead != "power" or fuse is None or not v.accessory.inrush_s > 0:
        return
    missing = facts.melting_i2t(fuse.family, fuse.rating) is None
    if missing and not v.hops["inrush"].given[v.column]:
        yield say("Inrush through the accessory fuse: its melting I²t is not published")


def _cable(v: View) -> Iterator[Text]:
    if v.tap.cable_out is None:
        yield say("Cable: section and length are not entered")
    elif v.guard is None:
        yield say("Cable in an overload and in a short circuit: no fuse protects it")


def _converter(v: View) -> Iterator[Text]:
    converter = v.accessory.converter
    used = converter is not None and v.a.circuit.taps.behind.of(v.column)
    if converter is not None and used and v.tap.lead == "power" and converter.rating_a is None:
        yield say("Converter output: its rating is not entered")
