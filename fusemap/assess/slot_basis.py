"""How each current and each limit at a slot came about, for whoever asks.

In: an assessed vehicle, a slot, one of its figures, a state. Out: a `Basis` with the sum in words,
every part of it with its current, and the source.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, Literal

import numpy as np

from fusemap.assess import facts
from fusemap.assess.hop_view import KIRCHHOFF, fuse_words
from fusemap.assess.result import Basis, Floats
from fusemap.units import percent, quantity
from fusemap.vehicle import STATES, Slot, State, look_up

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

Figure = Literal["own_a", "accessory_a", "host_a", "live_contact_a", "load_contact_a"]
FORMULAS: Final[dict[Figure, str]] = {
    "own_a": "what the vehicle's own circuit draws, as measured or entered",
    "accessory_a": "every accessory tapped here, summed, each at the voltage it gets",
    "host_a": "own load + accessories that pass the host fuse",
    "live_contact_a": "own load + every accessory that takes its current from the live contact",
    "load_contact_a": "own load + accessories that pass the load contact",
}
WAY: Final[dict[Figure, str]] = {
    "host_a": "through_host",
    "live_contact_a": "through_live",
    "load_contact_a": "through_load",
}
"""Which of a tap's ways each current is summed over."""


def current_basis(a: Assessment, slot_id: str, figure: Figure, state: State) -> Basis:
    """How a current at a slot came about in a state. Raises EditRefused without such a slot."""
    slot, row = look_up.slot(a.vehicle, slot_id), STATES.index(state)
    column = a.slots.index[slot_id]
    if figure == "own_a":
        return _own_load(a, slot, row, column)
    own = float(a.slots.own_a[row, column])
    known = bool(a.slots.own_known[row, column])
    inputs = []
    if figure != "accessory_a":
        words = quantity(own, "A") if known else "not measured, reckoned as 0 A"
        inputs.append(("Own load", words))
    inputs += [*_taps(a, slot_id, figure, row)]
    total = float(_figures(a, figure)[row, column])
    inputs.append(("Sum", quantity(total, "A")))
    return Basis(FORMULAS[figure], tuple(inputs), KIRCHHOFF)


def _figures(a: Assessment, figure: Figure) -> Floats:
    found: Floats = getattr(a.slots, figure)
    return found


def _own_load(a: Assessment, slot: Slot, row: int, column: int) -> Basis:
    live = bool(a.slots.live[row, column])
    known = bool(a.slots.own_known[row, column])
    words = quantity(float(a.slots.own_a[row, column]), "A")
    if not live:
        words = f"the slot is dead then (feed class: {slot.feed_class.replace('_', '-')})"
    elif not known:
        words = "not measured, reckoned as 0 A"
    return Basis(FORMULAS["own_a"], (("Own load", words),), "as entered for this slot")


def _taps(a: Assessment, slot_id: str, figure: Figure, row: int) -> Iterator[tuple[str, str]]:
    """Every accessory on the slot with what of it passes here."""
    taps = a.circuit.taps
    way = WAY.get(figure)
    passes = np.ones(len(taps.ids)) if way is None else getattr(taps, way)
    for column, tap in enumerate(taps.taps):
        if tap.slot != slot_id:
            continue
        lead = "" if tap.lead == "power" else f", {tap.lead} lead"
        drawn = quantity(float(a.taps.current_a[row, column]), "A")
        here = passes[column] > 0
        yield (
            f"{taps.accessories[column].name}{lead}",
            drawn if here else f"{drawn}, does not pass here",
        )


def limit_basis(a: Assessment, slot_id: str, figure: Figure) -> Basis | None:
    """How a limit at a slot came about; `None` for a current that has none."""
    slot = look_up.slot(a.vehicle, slot_id)
    column = a.slots.index[slot_id]
    if figure == "host_a":
        return _host_limit(a, slot, column)
    if figure not in ("live_contact_a", "load_contact_a"):
        return None
    limit = quantity(float(a.slots.contact_limit_a[column]), "A")
    if slot.contact_limit_a is not None:
        return Basis(
            "what the slot's contacts may carry, as entered",
            (("Limit", limit),),
            "as entered for this slot",
        )
    family = facts.family_name(slot.family)
    inputs: list[tuple[str, str]] = [("Family", family)]
    formula = "what the family's contacts may carry, as published"
    if facts.contact_published(slot.family) is None:
        formula = "the family's largest rating × holder share, as nothing is published for it"
        inputs.append(("Holder share", percent(a.rule("holder_share"))))
    return Basis(formula, (*inputs, ("Limit", limit)), facts.contact_source(slot.family))


def _host_limit(a: Assessment, slot: Slot, column: int) -> Basis | None:
    if slot.fuse is None:
        return None
    return Basis(
        "share × rating × rerating at the ambient, or the maker's table where that is lower",
        (
            ("Host fuse", fuse_words(slot.fuse)),
            ("Share", percent(a.rule("continuous_share"))),
            ("Ambient", quantity(float(a.slots.ambient_c[column]), "°C")),
            ("Limit", quantity(float(a.slots.host_limit_a[column]), "A")),
        ),
        a.rules["continuous_share"].source,
    )
