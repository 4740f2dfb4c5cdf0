"""Why no plan is possible: the fewest leads and rules that cannot be had together.

In: a model for which there is no choice. Out: a `Conflict`, found by leaving one lead or rule after
the other aside: what is not needed to make it impossible is dropped, so every lead and rule named
is needed (an irreducible set by the deletion filter: Chinneck and Dravnieks, ORSA Journal on
Computing 3, 1991). Which of several such sets comes out depends on the order.
"""

from collections.abc import Callable, Sequence
from typing import Final, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from fusemap.placement.joint_model import MUST_BE_OWN, Column, Lead, Model
from fusemap.placement.joint_solve import is_possible
from fusemap.text import Amount, Argument, Text, in_row, say
from fusemap.vehicle import look_up

FIXED = (
    "critical",
    "diagnosis",
    "monitored",
    "looks_critical",
    "looks_monitored",
    "unfed",
    "unknown",
    "voltage",
)
"""Rules that say what is no source at all; named only where nothing else explains it."""

ORDER = (*FIXED, "tap", "start", "host", "contact", "ceiling", "fuse", "budget", "seat", "class")
"""Rules in the order in which they are left aside first, to see whether they are needed."""

MOST = 6
"""So many conflicts are told at most."""
T = TypeVar("T")


class Conflict(Struct, frozen=True):
    """Leads that cannot all be placed while these rules hold; `reasons` says it in sentences."""

    leads: tuple[tuple[str, str], ...]
    rules: tuple[str, ...]
    reasons: tuple[Text, ...]


def find_conflicts(model: Model, helped: Sequence[int]) -> tuple[Conflict, ...]:
    """The conflicts of a model for which `joint_solve.solve` finds nothing, one after the other.

    `helped` are the leads that a change takes out of the way; each conflict names one at least.
    """
    numbers = [n for n, lead in enumerate(model.leads) if not lead.coil]
    found: list[Conflict] = []
    while len(found) < MOST and not is_possible(_with_leads(model, numbers)):
        conflict, needed = _find(model, numbers)
        found.append(conflict)
        gone = [n for n in needed if n in helped] or needed
        numbers = [n for n in numbers if n not in gone]
    return tuple(found)


def _find(model: Model, numbers: Sequence[int]) -> tuple[Conflict, list[int]]:
    """One conflict among these leads, and the leads it needs."""
    needed = _needed(numbers, lambda left: not is_possible(_with_leads(model, left)))
    small = _with_leads(model, needed)
    broken = {rule for column in small.columns for rule in column.rules}
    feeds = {f"feed:{feed}" for feed in model.a.feeds.ids}
    rules = [rule for rule in ORDER if rule in broken | {"seat"}]
    rules += sorted((broken | feeds) - set(rules) - {MUST_BE_OWN})
    bendable = [rule for rule in rules if rule not in FIXED]
    if is_possible(small, frozenset(bendable)):
        rules = bendable

    def impossible(kept: Sequence[str]) -> bool:
        return not is_possible(small, frozenset(rules) - frozenset(kept))

    kept = _needed(rules, impossible)
    leads = tuple((model.leads[n].accessory.id, model.leads[n].name) for n in needed)
    return Conflict(leads, tuple(kept), _sentences(model, needed, kept)), needed


def _needed(items: Sequence[T], still: Callable[[Sequence[T]], bool]) -> list[T]:
    """What is left of the items when each is dropped that can be, the condition still holding."""
    left = list(items)
    for item in items:
        fewer = [other for other in left if other != item]
        if still(fewer):
            left = fewer
    return left


def _with_leads(model: Model, numbers: Sequence[int]) -> Model:
    """The model for some of its leads; where a power lead may get a relay its coil comes along."""
    kept = set(numbers)
    powered = {model.leads[n].accessory.id for n in kept if model.leads[n].name == "power"}
    leads: list[Lead] = []
    columns: list[Column] = []
    for n, lead in enumerate(model.leads):
        coil_only = n not in kept
        if coil_only and (lead.name == "power" or lead.accessory.id not in powered):
            continue
        columns.extend(
            replace(c, lead=len(leads))
            for c in model.columns
            if c.lead == n and (c.coil or not coil_only)
        )
        leads.append(replace(lead, coil=coil_only))
    return replace(model, leads=tuple(leads), columns=tuple(columns))


def _sentences(model: Model, numbers: Sequence[int], rules: Sequence[str]) -> tuple[Text, ...]:
    names = [_lead_name(model.leads[n]) for n in numbers]
    if len(names) == 1:
        head = say("There is no place for {lead}, as long as all of this holds:", lead=names[0])
    else:
        head = say(
            "There is no place for all of {leads} together, as long as all of this holds:",
            leads=in_row(names, "and"),
        )
    return (head, *(rule_words(model, rule) for rule in rules))


def _lead_name(lead: Lead) -> Argument:
    if lead.name == "power":
        return lead.accessory.name
    return say("{accessory} (sense lead)", accessory=lead.accessory.name)


def rule_words(model: Model, rule: str) -> Text:
    """A rule as a sentence."""
    a = model.a
    if rule.startswith("feed:"):
        feed = look_up.feed(a.vehicle, rule.removeprefix("feed:"))
        limit = float(a.feeds.limit_a[a.feeds.index[feed.id]])
        return say(
            "The feed “{feed}” carries {limit} at most.",
            feed=feed.name,
            limit=Amount(limit, "A"),
        )
    if rule == "ceiling":
        ceiling = Amount(a.rule("tap_kit_ceiling_a"), "A")
        return say("A fuse tap carries {limit} at most.", limit=ceiling)
    if rule == "budget":
        budget = Amount(a.rule("sense_budget_ma") / 1000, "A")
        return say("A sense circuit drives {limit} at most.", limit=budget)
    return RULE_WORDS[rule]


RULE_WORDS: Final[dict[str, Text]] = {
    "critical": say("Circuits marked “leave alone” are no source."),
    "diagnosis": say("The circuit of the diagnosis socket is kept free for testers."),
    "monitored": say("Circuits that the vehicle watches are left alone."),
    "looks_critical": say("Circuits whose names say to leave them alone wait for an answer."),
    "looks_monitored": say(
        "Circuits whose names say that the vehicle watches them wait for an answer."
    ),
    "unfed": say("Slots without supply are no source."),
    "unknown": say("Slots whose feed class was not measured are no source."),
    "voltage": say("The accessory’s voltage has to be the vehicle’s."),
    "tap": say("A tap has to exist for the fuse’s shape."),
    "start": say("The accessory fuse has to bear the start."),
    "host": say("Where the live side is not measured the host fuse has to have room."),
    "contact": say("The live contacts keep within their limit."),
    "fuse": say("The accessory fuse is not above host fuse and tap, and carries the load."),
    "seat": say("A slot takes one fuse tap."),
    "class": say("The feed class fits what the lead needs."),
}
"""Rules without a figure as sentences."""
