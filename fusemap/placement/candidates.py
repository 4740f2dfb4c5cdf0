"""Where one lead of an accessory can take its power from: every slot, ranked, with its reasons.

In: an assessed vehicle, an accessory (in it or not), a lead. Out: `Candidate`s, best first: those
that fit, named circuits before those of which nobody said what they feed; then by what is left at
their tightest place, by what they add to the rest current, by distance. A slot whose own load was
not measured is ranked by the least that may be left there.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from fusemap.assess import Assessment
from fusemap.leave_alone import is_nameless
from fusemap.placement import distance
from fusemap.placement.rooms import Ask, Rooms, ask_of, rest_on, rooms
from fusemap.placement.rules import SLOT_WORDS, broken_rules, left_words
from fusemap.text import Amount, Text, run_on, say
from fusemap.vehicle import Accessory, Panel, Slot, Vehicle, look_up
from fusemap.vehicle.words import LeadName

TIGHT = 0.2
"""A slot that fits is called tight where less than this share of what is asked is left."""
GRAIN_A = 0.1
"""Margins closer than this are the same for the ranking [A]."""


NO_WORDS = Text("")


@dataclass(frozen=True, slots=True)
class Candidate:
    """One slot as a source: whether it fits, what is left at the tightest place [A], and why.

    `margin_a` is negative where something would be overloaded. The first reason decides. `verdict`
    is a word or two for a small card; `least_a` what is left should an own load that was not
    measured be the most it may; `rest_a` what the parked vehicle draws more; `share` the worst load
    share of contact and feeds then; `rules` the keys of the rules it breaks; `step` the distance;
    `nameless` that nobody said what the slot feeds.
    """

    slot_id: str
    fits: bool
    margin_a: float
    reasons: tuple[Text, ...]
    verdict: Text = NO_WORDS
    least_a: float = 0.0
    rest_a: float = 0.0
    share: float = 0.0
    rules: tuple[str, ...] = ()
    step: int = 0
    nameless: bool = False


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


def rank_key(c: Candidate) -> tuple[int, bool, float, float, int]:
    """What candidates are ranked by, less is better; of those ruled out the nearest to fitting."""
    return len(c.rules), c.nameless, -round(c.least_a / GRAIN_A), round(c.rest_a, 4), c.step


def _candidate(a: Assessment, left: Rooms, column: int, panel: Panel, slot: Slot) -> Candidate:
    broken = broken_rules(a, left, column)
    share = float(left.share[column])
    rest = rest_on(a, left.ask, column)
    step = distance.step_to(a.vehicle, left.ask.accessory, left.ask.lead, panel, slot)
    if broken:
        verdict, reasons = broken[0].verdict, tuple(rule.reason for rule in broken)
    else:
        doubts = tuple(_doubts(a, left.ask, slot, column))
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
        nameless=is_nameless(slot),
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
    other = distance.other_slot(a.vehicle, ask.accessory, ask.lead)
    here = distance.home(a.vehicle, ask.accessory) if other is None else other[1].place
    return distance.step_words(step, here, panel.place)


def _doubts(a: Assessment, ask: Ask, slot: Slot, column: int) -> Iterator[Text]:
    """What speaks against trusting this slot, without ruling it out."""
    if is_nameless(slot):
        yield say("Nobody said what it feeds.")
    if slot.fuse is None:
        yield say("No host fuse is entered here.")
    if not a.slots.own_known[:, column].all():
        yield say("Its own load was not measured in every state.")
    if slot.live_side == "unknown":
        yield say("Its live side was not measured.")
    if any(tap.accessory != ask.accessory.id for tap in look_up.taps_on(a.vehicle, slot.id)):
        yield say("Another accessory is joined here already.")
