"""Where one lead of an accessory can take its power from: every slot, ranked, with its reasons.

In: an assessed vehicle, an accessory (in it or not), a lead. Out: `Candidate`s, best first: those
that fit, comfort circuits before those of which nobody knows what they feed, these before supplies
of other boxes and control units; within each by what is left at
their tightest place, by what they add to the rest current, by distance. A slot whose own load was
not measured is ranked by the least that may be left there.

How far a source lies from an accessory is counted in steps as a fitter would; nothing is measured.
The anchor is the accessory's other lead where it is placed, else the place where its cable ends,
else where such an accessory usually sits (ours).
"""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from fusemap.advise.library import starts_as_usual
from fusemap.assess import Assessment
from fusemap.circuits import circuit_of, is_nameless, rank
from fusemap.placement.rooms import Ask, Rooms, ask_of, rest_on, rooms
from fusemap.placement.rules import SLOT_WORDS, broken_rules, left_words
from fusemap.text import Amount, Text, given, run_on, say, say_in
from fusemap.vehicle import Accessory, Panel, Slot, Vehicle, look_up
from fusemap.vehicle.words import LeadName, Place

NEXT, PANEL, PLACE, OTHER, BULKHEAD, BATTERY = range(6)
"""Next to the other lead, on its panel, in the same place of the vehicle, in another one, through
the bulkhead, at the battery."""
STAYS: Final[dict[Place, Text]] = {
    "cabin": say("The cable stays in the cabin."),
    "engine_bay": say("The cable stays under the bonnet."),
    "boot": say("The cable stays in the boot."),
    "under_carpet": say("The cable stays under the carpet."),
}
ENDS: Final[dict[Place, Text]] = {
    "cabin": say_in("end of a cable", "the cabin"),
    "engine_bay": say_in("end of a cable", "the engine bay"),
    "boot": say_in("end of a cable", "the boot"),
    "under_carpet": say_in("end of a cable", "below the carpet"),
}
USUAL: Final[dict[str, Place]] = {
    "light_bar": "engine_bay",
    "horn": "engine_bay",
    "winch": "engine_bay",
    "rear_camera": "boot",
    "tow_module": "boot",
    "cool_box_compressor": "boot",
    "cool_box_thermo": "boot",
}
"""Where accessories of a kind usually sit; all others in the cabin (common practice, ours)."""


def step_to(
    vehicle: Vehicle, accessory: Accessory, lead: LeadName, panel: Panel, slot: Slot
) -> int:
    """The step from an accessory to a slot, its other lead being the nearest anchor."""
    other = other_slot(vehicle, accessory, lead)
    if other is not None:
        there, its_panel = other
        if its_panel.id == panel.id:
            near = abs(there.row - slot.row) + abs(there.column - slot.column) <= 1
            return NEXT if near else PANEL
        return between(its_panel.place, panel.place)
    return between(home(vehicle, accessory), panel.place)


def between(one: Place, other: Place) -> int:
    """The step between two places of the vehicle."""
    if one == other:
        return PLACE
    return BULKHEAD if "engine_bay" in (one, other) else OTHER


def home(vehicle: Vehicle, accessory: Accessory) -> Place:
    """Where the accessory sits: where its cable lies, else where such a thing usually sits."""
    for tap in vehicle.taps:
        if tap.accessory == accessory.id and tap.cable_out is not None:
            return tap.cable_out.place
    return USUAL.get(accessory.kind, "cabin")


def other_slot(vehicle: Vehicle, accessory: Accessory, lead: LeadName) -> tuple[Slot, Panel] | None:
    """The slot of the accessory's other lead, with its panel."""
    for tap in vehicle.taps:
        if tap.accessory == accessory.id and tap.lead != lead and tap.slot is not None:
            return look_up.slot(vehicle, tap.slot), look_up.panel_of(vehicle, tap.slot)
    return None


def step_words(step: int, here: Place, there: Place) -> Text:
    """The step as a sentence.

    >>> str(step_words(BULKHEAD, "engine_bay", "cabin"))
    'The cable goes through the bulkhead, from the engine bay to the cabin.'
    """
    ends = {"here": ENDS[here], "there": ENDS[there]}
    return {
        NEXT: say("It sits next to the accessory’s other lead."),
        PANEL: say("It is on the panel of the accessory’s other lead."),
        PLACE: STAYS[here],
        OTHER: say("The cable goes from {here} to {there}.", **ends),
        BULKHEAD: say("The cable goes through the bulkhead, from {here} to {there}.", **ends),
        BATTERY: say("The cable goes all the way to the battery."),
    }[step]


TIGHT = 0.2
"""A slot that fits is called tight where less than this share of what is asked is left."""
GRAIN_A = 0.1
"""Margins closer than this are the same for the ranking [A]."""
MOST_A = 1e6
"""Stands for room without end in the ranking [A]."""


NO_WORDS = Text("")


class Candidate(Struct, frozen=True):
    """One slot as a source: whether it fits, what is left at the tightest place [A], and why.

    `margin_a` is negative where something would be overloaded. The first reason decides. `verdict`
    is a word or two for a small card; `least_a` what is left should an own load that was not
    measured be the most it may; `rest_a` what the parked vehicle draws more; `share` the worst load
    share of contact and feeds then; `rules` the keys of the rules it breaks; `step` the distance;
    `host` is the rank of the slot's circuit by its function (`circuits.RANKS`); `measured` says
    that its own load is known in every state.
    """

    slot_id: str
    fits: bool
    margin_a: float
    reasons: tuple[Text, ...]
    verdict: Text = NO_WORDS
    least_a: float = 0.0
    measured: bool = True
    rest_a: float = 0.0
    share: float = 0.0
    rules: tuple[str, ...] = ()
    step: int = 0
    host: int = 0


def candidates(
    vehicle: Vehicle,
    assessment: Assessment,
    accessory: Accessory,
    lead: LeadName = "power",
    *,
    relayed: bool | None = None,
) -> tuple[Candidate, ...]:
    """Every fuse slot once as a source for one lead, best first.

    The accessory need not be in the vehicle. Where this lead is placed already, its own current is
    not counted against the slot it sits on. `relayed` says that a relay's coil will hang on the
    sense lead.
    """
    left = rooms(assessment, ask_of(assessment, accessory, lead, relayed=relayed))
    panels = [(p, s) for p in vehicle.panels for s in p.slots if s.kind == "fuse"]
    found = [
        _candidate(assessment, left, column, panel, slot)
        for column, (panel, slot) in enumerate(panels)
    ]
    order = {c.slot_id: n for n, c in enumerate(found)}
    return tuple(sorted(found, key=lambda c: (*rank_key(c), order[c.slot_id])))


def rank_key(c: Candidate) -> tuple[float, ...]:
    """What candidates are ranked by, less is better; of those ruled out the nearest to fitting.

    Of those that may leave as little the ones whose own load was measured come first; where all
    else is the same, of these those with more room by what is known.
    """
    least, known = (-round(min(room, MOST_A) / GRAIN_A) for room in (c.least_a, c.margin_a))
    known = known if c.measured else 0  # the less is known, the more room there seems to be
    return len(c.rules), c.host, least, not c.measured, round(c.rest_a, 4), c.step, known


def _candidate(a: Assessment, left: Rooms, column: int, panel: Panel, slot: Slot) -> Candidate:
    broken = broken_rules(a, left, column)
    usual = tuple(r for r in broken if r.key == "start" and starts_as_usual(left.ask.accessory))
    # What nobody measured on this very accessory warns; it forbids nothing.
    broken = tuple(rule for rule in broken if rule not in usual)
    share = float(left.share[column])
    rest = rest_on(a, left.ask, column)
    step = step_to(a.vehicle, left.ask.accessory, left.ask.lead, panel, slot)
    if broken:
        verdict, reasons = broken[0].verdict, tuple(rule.reason for rule in broken)
    else:
        hard = (_hard_start(left, column) for _ in usual)
        doubts = (*hard, *_unsure(left, column), *_doubts(a, left.ask, slot, column))
        tight = left.margin_a[column] < TIGHT * left.ask.peak_a
        verdict = say("tight") if tight else say("unsure") if doubts else say("fits")
        reasons = (*_good(a, left, column, rest), _step_words(a, left.ask, panel, step), *doubts)
    return Candidate(
        slot_id=slot.id,
        fits=not broken,
        margin_a=float(left.margin_a[column]),
        reasons=reasons,
        verdict=verdict,
        least_a=float(left.least_a[column]),
        rest_a=rest,
        share=share,
        rules=tuple(rule.key for rule in broken),
        step=step,
        host=rank(slot),
        measured=bool(a.slots.own_known[:, column].all()),
    )


def _good(a: Assessment, left: Rooms, column: int, rest: float) -> Iterator[Text]:
    """What speaks for a slot: its class, the room, the rest current."""
    slot = a.circuit.slots.slots[column]
    tightest = int(left.tightest[column])
    yield run_on(SLOT_WORDS[slot.feed_class], left_words(a, left, tightest, column))
    if left.ask.lead == "power":
        yield _rest_words(slot, rest)


def _rest_words(slot: Slot, rest_a: float) -> Text:
    current = Amount(rest_a, "A", significant=2)
    if not rest_a:
        return say("Parked it draws nothing here.")
    if slot.feed_class == "delayed_off":
        return say("Parked it draws {current} on the first day’s mean.", current=current)
    return say("Parked it draws {current}.", current=current)


def _step_words(a: Assessment, ask: Ask, panel: Panel, step: int) -> Text:
    other = other_slot(a.vehicle, ask.accessory, ask.lead)
    here = home(a.vehicle, ask.accessory) if other is None else other[1].place
    return step_words(step, here, panel.place)


def _hard_start(left: Rooms, column: int) -> Text:
    return say(
        "Kinds like it usually start with {current} for {time}, which would wear out a fuse of "
        "{rating}, the largest here. Measure its start, or take one that starts softly.",
        current=Amount(left.ask.start_a, "A"),
        time=Amount(left.ask.accessory.inrush_s, "s"),
        rating=given(float(left.fuse_a[column]), "A"),
    )


def _unsure(left: Rooms, column: int) -> Iterator[Text]:
    """Whether what is not known may leave too little."""
    if left.least_a[column] < -1e-9:
        yield say(
            "By what is known there is room; what was not measured may leave {current} too little.",
            current=Amount(-float(left.least_a[column]), "A"),
        )


def _doubts(a: Assessment, ask: Ask, slot: Slot, column: int) -> Iterator[Text]:
    """What speaks against trusting this slot, without ruling it out."""
    yield from _circuit_doubts(slot)
    if slot.fuse is None:
        yield say("No host fuse is entered here.")
    if not a.slots.own_known[:, column].all():
        yield say("Its own load was not measured in every state.")
    if slot.live_side == "unknown":
        yield say("Its live side was not measured.")
    if any(tap.accessory != ask.accessory.id for tap in look_up.taps_on(a.vehicle, slot.id)):
        yield say("Another accessory is joined here already.")


def _circuit_doubts(slot: Slot) -> Iterator[Text]:
    """What speaks against a slot for what it feeds."""
    circuit = circuit_of(slot)
    if circuit.function == "control":
        yield say("It feeds a control unit: only where nothing else is left.")
    elif circuit.function == "supply":
        yield say("It supplies other boxes: only where nothing else is left.")
    elif is_nameless(slot):
        yield say("Nobody said what it feeds.")
    elif circuit.function == "unclear":
        yield say("What it feeds is not clear from its name.")
