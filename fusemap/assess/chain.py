"""The chain of one tap in words: battery, feeds, slot, tap, fuse, cable, accessory and back.

The figures are those of `hops`; `hop_words` and `cable_words` give each its title, its sum and its
source. A chain is put together when somebody looks at it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING

import numpy as np

from fusemap.assess import cable_words as cables
from fusemap.assess import hop_words
from fusemap.assess.hop_view import (
    KIRCHHOFF,
    TAP_WORDS,
    WAY_WORDS,
    View,
    Words,
    cable_words,
    fuse_words,
)
from fusemap.assess.result import Basis, Chain, Hop
from fusemap.assess.unchecked import unchecked
from fusemap.vehicle import STATES, Feed, look_up

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

__all__ = ["KIRCHHOFF", "TAP_WORDS", "WAY_WORDS", "cable_words", "fuse_words"]


class Chains(Mapping[str, Chain]):
    """All chains by tap id, each made when it is asked for."""

    def __init__(self, assessment: Assessment) -> None:
        self._assessment = assessment
        self._made: dict[str, Chain] = {}

    def __getitem__(self, tap_id: str) -> Chain:
        if tap_id not in self._assessment.taps.index:
            raise KeyError(tap_id)
        if tap_id not in self._made:
            self._made[tap_id] = make_chain(self._assessment, tap_id)
        return self._made[tap_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._assessment.taps.ids)

    def __len__(self) -> int:
        return len(self._assessment.taps.ids)


def make_chain(assessment: Assessment, tap_id: str) -> Chain:
    """The chain of one tap, from the battery's side to the accessory and back."""
    tap = look_up.tap(assessment.vehicle, tap_id)
    view = View(assessment, tap, assessment.taps.index[tap_id])
    feeds = _feeds_above(view)
    hops = [*_feed_hops(view, feeds)]
    for key, figures in assessment.hops.items():
        load, limit = view.figure(key)
        if not figures.given[view.column]:
            continue
        row = int(figures.state[view.column])
        title, what, basis = WORDS[key](view)
        hops.append(
            Hop(
                key=key,
                title=title,
                quantity=what,
                load=load,
                limit=limit,
                unit=figures.unit,
                basis=basis,
                state=None if row < 0 else STATES[row],
                at_most=figures.at_most,
            )
        )
    name = look_up.accessory(assessment.vehicle, tap.accessory).name
    lead = "" if tap.lead == "power" else f", {tap.lead} lead"
    return Chain(
        tap_id,
        f"{name}{lead}: {look_up.source_name(assessment.vehicle, tap)}",
        tuple(hops),
        unchecked(view, feeds),
    )


def _feeds_above(view: View) -> tuple[Feed, ...]:
    """The feeds above a tap, from the battery downwards."""
    vehicle, slot = view.assessment.vehicle, view.tap.slot
    first = view.tap.feed if slot is None else look_up.slot(vehicle, slot).feed
    return tuple(look_up.feeds_above(vehicle, first))[::-1]


def _feed_hops(view: View, feeds: tuple[Feed, ...]) -> Iterator[Hop]:
    """The feeds above a tap; those without any limit are left out."""
    a = view.assessment
    for feed in feeds:
        column = a.feeds.index[feed.id]
        limit = float(a.feeds.limit_a[column])
        if not np.isfinite(limit):
            continue
        load = a.feeds.current_a[:, column]
        state = STATES[int(load.argmax())]
        yield Hop(
            key=f"feed:{feed.id}",
            title=f"Feed “{feed.name}”",
            quantity="current",
            load=float(load.max()),
            limit=limit,
            unit="A",
            state=state,
            basis=Basis(
                "everything that hangs below this feed, summed; the tighter of its own limit and "
                "what its fuse carries for long",
                (
                    ("Own limit", "not given" if feed.limit_a is None else f"{feed.limit_a:g} A"),
                    ("Fuse", "none given" if feed.fuse is None else fuse_words(feed.fuse)),
                ),
                KIRCHHOFF,
            ),
        )


WORDS: Mapping[str, Callable[[View], Words]] = {**hop_words.WORDS, **cables.WORDS}
"""Title, quantity and basis of each kind of hop."""
