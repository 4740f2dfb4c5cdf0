"""How each current and each limit at a slot came about, for whoever asks.

In: an assessed vehicle, a slot, one of its figures, a state. Out: a `Basis` with the sum in words,
every part of it with its current, and the source.
"""

from collections.abc import Iterator
from typing import Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.figures import Figures
from fusemap.assess.result import Basis, Floats
from fusemap.assess.words import KIRCHHOFF, fuse_words, lead_words
from fusemap.text import Amount, Argument, Text, say, share
from fusemap.vehicle import STATES, Slot, State, look_up
from fusemap.vehicle.words import FEED

Figure = Literal["own_a", "accessory_a", "host_a", "live_contact_a", "load_contact_a"]
FORMULAS: Final[dict[Figure, Text]] = {
    "own_a": say("what the vehicle's own circuit draws, as measured or entered"),
    "accessory_a": say("every accessory tapped here, summed, each at the voltage it gets"),
    "host_a": say("own load + accessories that pass the host fuse"),
    "live_contact_a": say(
        "own load + every accessory that takes its current from the live contact"
    ),
    "load_contact_a": say("own load + accessories that pass the load contact"),
}
NOT_MEASURED: Final = say("not measured, reckoned as 0 A")
AT_THIS_SLOT: Final = say("as entered for this slot")
WAY: Final[dict[Figure, str]] = {
    "host_a": "through_host",
    "live_contact_a": "through_live",
    "load_contact_a": "through_load",
}
"""Which of a tap's ways each current is summed over."""


def current_basis(a: Figures, slot_id: str, figure: Figure, state: State) -> Basis:
    """How a current at a slot came about in a state. Raises EditRefused without such a slot."""
    slot, row = look_up.slot(a.vehicle, slot_id), STATES.index(state)
    column = a.slots.index[slot_id]
    if figure == "own_a":
        return _own_load(a, slot, row, column)
    own = float(a.slots.own_a[row, column])
    known = bool(a.slots.own_known[row, column])
    inputs: list[tuple[Argument, Argument]] = []
    if figure != "accessory_a":
        inputs.append((say("Own load"), Amount(own, "A") if known else NOT_MEASURED))
    inputs += [*_taps(a, slot_id, figure, row)]
    total = float(_figures(a, figure)[row, column])
    inputs.append((say("Sum"), Amount(total, "A")))
    return Basis(FORMULAS[figure], tuple(inputs), KIRCHHOFF)


def _figures(a: Figures, figure: Figure) -> Floats:
    found: Floats = getattr(a.slots, figure)
    return found


def _own_load(a: Figures, slot: Slot, row: int, column: int) -> Basis:
    live = bool(a.slots.live[row, column])
    known = bool(a.slots.own_known[row, column])
    words: Argument = Amount(float(a.slots.own_a[row, column]), "A")
    if not live:
        feed = FEED[slot.feed_class].label
        words = say("the slot is dead then (feed class: {feed_class})", feed_class=feed)
    elif not known:
        words = NOT_MEASURED
    return Basis(FORMULAS["own_a"], ((say("Own load"), words),), AT_THIS_SLOT)


def _taps(
    a: Figures, slot_id: str, figure: Figure, row: int
) -> Iterator[tuple[Argument, Argument]]:
    """Every accessory on the slot with what of it passes here."""
    taps = a.circuit.taps
    way = WAY.get(figure)
    passes = np.ones(len(taps.ids)) if way is None else getattr(taps, way)
    for column, tap in enumerate(taps.taps):
        if tap.slot != slot_id:
            continue
        drawn = Amount(float(a.taps.current_a[row, column]), "A")
        yield (
            lead_words(taps.accessories[column], tap),
            drawn if passes[column] > 0 else say("{current}, does not pass here", current=drawn),
        )


def limit_basis(a: Figures, slot_id: str, figure: Figure) -> Basis | None:
    """How a limit at a slot came about; `None` for a current that has none."""
    slot = look_up.slot(a.vehicle, slot_id)
    column = a.slots.index[slot_id]
    if figure == "host_a":
        return _host_limit(a, slot, column)
    if figure not in ("live_contact_a", "load_contact_a"):
        return None
    limit = (say("Limit"), Amount(float(a.slots.contact_limit_a[column]), "A"))
    if slot.contact_limit_a is not None:
        return Basis(say("what the slot's contacts may carry, as entered"), (limit,), AT_THIS_SLOT)
    family = (say("Family"), Text(facts.family_name(slot.family)))
    source = facts.contact_source(slot.family)
    if facts.contact_published(slot.family) is not None:
        formula = say("what the family's contacts may carry, as published")
        return Basis(formula, (family, limit), source)
    return Basis(
        say("the family's largest rating × holder share, as nothing is published for it"),
        (family, (say("Holder share"), share(a.rule("holder_share"))), limit),
        source,
    )


def _host_limit(a: Figures, slot: Slot, column: int) -> Basis | None:
    if slot.fuse is None:
        return None
    return Basis(
        say("share × rating × rerating at the ambient, or the maker's table where that is lower"),
        (
            (say("Host fuse"), fuse_words(slot.fuse)),
            (say("Share"), share(a.rule("continuous_share"))),
            (say("Ambient"), Amount(float(a.slots.ambient_c[column]), "°C")),
            (say("Limit"), Amount(float(a.slots.host_limit_a[column]), "A")),
        ),
        a.rules["continuous_share"].source,
    )
