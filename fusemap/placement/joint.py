"""The best plan for all leads that have no source yet, together and provably.

In: an assessed vehicle. Out: a `Plan`, and `fit_plan`, which puts it into the vehicle as one edit.
What is placed already stays where it is.

The order of what counts: no rule broken; then the fewest supplies of other boxes and control
units, then the fewest circuits that nobody knows; then the least worst load share that any contact
or feed of the plan may have, with what is not known at its most; then the least added rest current;
then the fewest and the shortest cables. By
default a slot takes one two-fuse tap, and leads that belong on a relay get an own feed from the
battery.
Where there is no such plan the `conflicts` say why, and the plan makes the least change that helps:
the fewest leads left open, then the fewest own feeds beside those that rules ask for. What is known
never passes a limit; where what is not known may, the plan says what to measure first.

Currents are bounds (`rooms`); the plan is then assessed whole, and where the network finds a limit
passed it is made again with 5 % more current.
"""

from typing import Any

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace

from fusemap import tables
from fusemap.advise.advice import fuse_for
from fusemap.assess import Assessment, assess
from fusemap.assess.sure_words import headline
from fusemap.placement import suggest
from fusemap.placement.candidates import Candidate, candidates
from fusemap.placement.conflicts import Conflict, find_conflicts
from fusemap.placement.joint_model import Column, Lead, Model, build, unplaced_leads
from fusemap.placement.joint_solve import Solution, solve, solve_with_changes, worst_share
from fusemap.placement.rooms import ask_of
from fusemap.placement.suggest import OWN_FEED_FAMILIES, own_feed_fuse, suggest_tap
from fusemap.text import NOTHING, Argument, Text, given, say, share
from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadName

MORE = 1.05
TRIES = 3
"""How often a plan is made again, and with how much more current each time."""
HOLDER_NAME = say("Added fuse holder")
HEAVIEST_HELD_A = 30.0
"""Heavier loads go to the battery by themselves [A]; ours."""


class Placement(Struct, frozen=True):
    """Where a plan puts one lead, with the fields of its tap and why there.

    `own` is the own feed where it gets one; `open` says that no place was found.
    """

    accessory_id: str
    lead: LeadName
    slot_id: str | None = None
    fields: dict[str, Any] = field(default_factory=dict)
    own: suggest.OwnFeed | None = None
    open: bool = False
    change: bool = False
    reasons: tuple[Text, ...] = ()


class Plan(Struct, frozen=True, eq=False):
    """A plan for all leads without a source.

    `worst_share` that the parts it uses may have, `measure` what would make it sure (nothing where
    it is), `rest_a` [A] added while parked, `ways` cable ways and the
    sum of their `steps`; `proven` that no other plan is better; `conflicts` why there is none
    without changes; `holder` the main fuse of an added fuse holder for the own feeds of `held`.
    """

    placed: tuple[Placement, ...]
    worst_share: float
    rest_a: float
    ways: int
    steps: int
    proven: bool
    conflicts: tuple[Conflict, ...] = ()
    changes: tuple[Text, ...] = ()
    holder: Fuse | None = None
    held: tuple[str, ...] = ()
    measure: Text = NOTHING

    @property
    def complete(self) -> bool:
        """Whether every lead has a place."""
        return not any(each.open for each in self.placed)


def plan_rest(a: Assessment, leads: tuple[Lead, ...] | None = None) -> Plan:
    """The best plan for the leads without a source, or for some of them."""
    wanted = unplaced_leads(a.vehicle) if leads is None else leads
    spare = 1.0
    for _ in range(TRIES):
        plan = _plan(build(a, wanted, spare=spare))
        if _holds(a, plan):
            break
        spare *= MORE
    return replace(plan, measure=_measure(a, plan))


def _measure(a: Assessment, plan: Plan) -> Text:
    """What would make sure what the plan leaves in doubt that was not in doubt before."""
    if not plan.placed:
        return NOTHING
    new = assess(fit_plan(a.vehicle, plan))
    old = {(doubt.place, doubt.place_id, doubt.key) for doubt in a.doubts}
    asked = [
        each
        for each in new.measure_next
        if any((doubt.place, doubt.place_id, doubt.key) not in old for doubt in each.settles)
    ]
    return headline(new.vehicle, asked) if asked else NOTHING


def _holds(a: Assessment, plan: Plan) -> bool:
    """Whether the network finds every limit kept that is kept without the plan."""
    new = assess(fit_plan(a.vehicle, plan))
    slots = np.all(new.slots.live_contact_a <= new.slots.contact_limit_a * (1 + 1e-9), axis=0)
    were = np.all(a.slots.live_contact_a <= a.slots.contact_limit_a * (1 + 1e-9), axis=0)
    feeds = np.all(new.feeds.current_a <= new.feeds.limit_a * (1 + 1e-9), axis=0)
    fed = np.all(a.feeds.current_a <= a.feeds.limit_a * (1 + 1e-9), axis=0)
    count, old = len(a.feeds.ids), set(a.taps.ids)
    fuse = new.hops.get("accessory_fuse")
    blown = fuse is not None and any(
        over and tap.id not in old
        for over, tap in zip(fuse.broken.tolist(), new.vehicle.taps, strict=True)
    )
    kept = bool((slots | ~were).all() and (feeds[:count] | ~fed).all() and feeds[count:].all())
    return kept and not blown


def _plan(model: Model) -> Plan:
    found = solve(model)
    if found is not None:
        return _plan_in_words(model, found, ())
    found = solve_with_changes(model)
    helped = [c.lead for c in found.columns if c.change]
    return _plan_in_words(model, found, find_conflicts(model, helped))


# --- words and fields -----------------------------------------------------------------------------


def _plan_in_words(model: Model, found: Solution, conflicts: tuple[Conflict, ...]) -> Plan:
    vehicle = model.a.vehicle
    made = _Words(model, found)
    placed = tuple(
        made.place(column)
        for column in sorted(found.columns, key=lambda c: c.lead)
        if not model.leads[column.lead].coil
    )
    changes = [_change_words(vehicle, each) for each in placed if each.change or each.open]
    if made.holder is not None:
        changes.append(
            say(
                "{holder}: one lead from the battery behind a main fuse of {rating} feeds {count} "
                "of them.",
                holder=HOLDER_NAME,
                rating=given(made.holder.rating, "A"),
                count=len(made.held),
            )
        )
    return Plan(
        placed,
        worst_share(model, found.columns),
        sum(c.rest_a for c in found.columns),
        len({c.route for c in found.columns if c.route[0]}),
        sum(c.step for c in found.columns),
        found.proven,
        conflicts,
        tuple(changes),
        made.holder,
        made.held,
    )


class _Words:
    """Makes places with their fields and reasons of chosen columns."""

    def __init__(self, model: Model, found: Solution) -> None:
        self.model, self.a = model, model.a
        self.coils = {self._id(c): c for c in found.columns if c.coil}
        self.taken = {c.slot: model.leads[c.lead] for c in found.columns if c.slot >= 0}
        own = [model.leads[c.lead] for c in found.columns if c.way == "own_feed"]
        self.holder, self.held = _holder(self.a, own)

    def _id(self, column: Column) -> str:
        return self.model.leads[column.lead].accessory.id

    def place(self, column: Column) -> Placement:
        """One lead's place."""
        lead = self.model.leads[column.lead]
        if column.way == "open":
            why = self._no_slot(lead)
            return Placement(lead.accessory.id, lead.name, open=True, reasons=(why,))
        return self._own_feed(column, lead) if column.way == "own_feed" else self._slot(column)

    def _own_feed(self, column: Column, lead: Lead) -> Placement:
        a, it = self.a, lead.accessory
        coil = self.coils.get(it.id)
        own = suggest.own_feed(
            a.vehicle,
            a,
            it,
            sense_slot=None if coil is None else a.slots.ids[coil.slot],
            relay=coil is not None or column.loads_slot >= 0,
            source=say("the added fuse holder") if it.id in self.held else "",
            spare=self.model.spare,
        )
        why = self._no_slot(lead) if column.change else own.why
        words = (
            *(() if why is None else (why,)),
            *suggest.feed_words(own),
            *suggest.terminal_words(own),
            *own.problems,
        )
        return Placement(it.id, "power", own=own, change=column.change, reasons=words)

    def _no_slot(self, lead: Lead) -> Text:
        """Why none of the slots does."""
        ranked = candidates(self.a.vehicle, self.a, lead.accessory, lead.name)
        if not ranked:
            return say("There is no fuse slot.")
        if ranked[0].fits:
            return say("The slots that can take it are needed for others, or not all together.")
        nearest = look_up.slot_with_circuit(look_up.slot(self.a.vehicle, ranked[0].slot_id))
        return say(
            "No slot can take it; the nearest, {slot}: {reason}",
            slot=nearest,
            reason=ranked[0].reasons[0],
        )

    def _slot(self, column: Column) -> Placement:
        a, lead = self.a, self.model.leads[column.lead]
        it, relayed = lead.accessory, column.coil or None
        slot_id = a.slots.ids[column.slot]
        ranked = candidates(a.vehicle, a, it, lead.name, relayed=relayed)
        fields = suggest_tap(
            a.vehicle, a, it, lead.name, slot_id, relayed=relayed, spare=self.model.spare
        )
        here = next(c for c in ranked if c.slot_id == slot_id)
        reasons = (*here.reasons, *self._instead(ranked[0], here, lead))
        return Placement(it.id, lead.name, slot_id, fields, reasons=reasons)

    def _instead(self, best: Candidate, here: Candidate, lead: Lead) -> tuple[Text, ...]:
        """Why not the slot that would be best for this lead alone."""
        if best.slot_id == here.slot_id:
            return ()
        name = look_up.slot_with_circuit(look_up.slot(self.a.vehicle, best.slot_id))
        other = self.taken.get(self.a.slots.index[best.slot_id])
        if other is not None:
            return (_taken_by(name, other),)
        if here.share < best.share - 1e-6:
            return (
                say(
                    "Not {slot}: a contact or feed would be {part} loaded.",
                    slot=name,
                    part=share(best.share),
                ),
            )
        return ()


def _taken_by(slot: Argument, other: Lead) -> Text:
    """That the best slot of a lead goes to another one."""
    places = {"slot": slot, "accessory": other.accessory.name}
    if other.name == "power":
        return say(
            "Alone it would go on {slot}; with everything planned, “{accessory}” goes there.",
            **places,
        )
    if other.coil:
        return say(
            "Alone it would go on {slot}; with everything planned, the relay coil of “{accessory}” "
            "goes there.",
            **places,
        )
    return say(
        "Alone it would go on {slot}; with everything planned, the sense lead of “{accessory}” "
        "goes there.",
        **places,
    )


def _holder(a: Assessment, own: list[Lead]) -> tuple[Fuse | None, tuple[str, ...]]:
    """The main fuse of one added fuse holder for several own feeds, and whose they are."""
    asks = [ask_of(a, lead.accessory, "power") for lead in own]
    asks = [ask for ask in asks if ask.lasting_a <= HEAVIEST_HELD_A]
    total = sum(ask.lasting_a for ask in asks)
    fuses = [own_feed_fuse(a, ask) for ask in asks]
    largest = max((fuse.rating for fuse in fuses if fuse is not None), default=0.0)
    if len(asks) < 2:
        return None, ()
    warm = a.rule("ambient_engine_bay_c")
    for family in OWN_FEED_FAMILIES[1:]:
        most = tables.fuse_family(family).contact_limit_a
        rating = fuse_for(a, family, max(total, largest), ambient_c=warm).rating_a
        if rating is not None and rating > largest and (most is None or total <= most):
            return Fuse(family=family, rating=rating), tuple(ask.accessory.id for ask in asks)
    return None, ()


def _change_words(vehicle: Vehicle, each: Placement) -> Text:
    name = look_up.accessory(vehicle, each.accessory_id).name
    if each.open and each.lead == "power":
        return say("“{accessory}” is left without a source.", accessory=name)
    if each.open:
        return say("“{accessory}” (sense lead) is left without a source.", accessory=name)
    if each.own is not None and each.own.relay:
        return say("“{accessory}” gets an own feed with a relay.", accessory=name)
    return say("“{accessory}” gets an own feed.", accessory=name)


# --- the edit -------------------------------------------------------------------------------------


def fit_plan(vehicle: Vehicle, plan: Plan) -> Vehicle:
    """Put a whole plan into the vehicle."""
    source = None
    if plan.holder is not None:
        vehicle = edits.add_feed(vehicle, str(HOLDER_NAME), fuse=plan.holder, place="engine_bay")
        source = vehicle.feeds[-1].id
    for each in plan.placed:
        if each.own is not None:
            feed = source if each.accessory_id in plan.held else None
            own = replace(each.own, fields={**each.own.fields, "feed": feed})
            vehicle = suggest.fit(vehicle, own)
    for each in plan.placed:
        if each.slot_id is not None:
            vehicle = edits.place(
                vehicle, each.accessory_id, each.lead, slot=each.slot_id, **each.fields
            )
    return vehicle
