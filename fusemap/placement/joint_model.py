"""The joint plan as an integer programme: one column for each way a lead can be placed.

In: an assessed vehicle and its leads without a source. Out: a `Model` whose rows say: each lead
once; one two-fuse tap to a slot; a relay's coil wherever a relay is; every feed within its limit in
every vehicle state, with all that is there already. Currents are the bounds of `rooms`.
"""

from collections.abc import Iterator
from typing import Literal

import numpy as np
from msgspec import Struct, field

from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.circuits import rank
from fusemap.placement.candidates import BATTERY, step_to
from fusemap.placement.rooms import Ask, Base, ask_of, base_of, rest_on, rooms
from fusemap.placement.rules import broken_rules, relay_reason, wrong_voltage
from fusemap.placement.suggest import with_sense
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import LeadName

Way = Literal["slot", "own_feed", "open"]
MUST_BE_OWN = "relay"
"""The rule that sends a lead to an own feed; others only leave it as a last resort."""


class Lead(Struct, frozen=True):
    """One lead without a source. `coil` stands for the coil of a relay that is only planned."""

    accessory: Accessory
    name: LeadName
    coil: bool = False


class Column(Struct, frozen=True, eq=False):
    """One way to place a lead.

    `slot` is a column of the slots (−1 none), `coil` says that a relay's coil hangs on it, `relay`
    that it needs one. `load_a` [A, (states,)] is drawn below the feeds of `loads_slot`; `share`
    is the worst load share of the vehicle's own parts were it alone, `rest_a` [A] what it adds to
    the rest current, `step` its distance, `route` the cable way it opens; `rules` what it breaks;
    `host` is the rank of the slot's circuit by its function (`circuits.RANKS`).
    """

    lead: int
    way: Way
    slot: int = -1
    coil: bool = False
    relay: bool = False
    load_a: Floats = field(default_factory=lambda: np.zeros(5))
    loads_slot: int = -1
    share: float = 0.0
    rest_a: float = 0.0
    step: int = 0
    route: tuple[str, str] = ("", "")
    rules: tuple[str, ...] = ()
    change: bool = False
    host: int = 0


class Model(Struct, frozen=True, eq=False):
    """Everything the solver needs: leads, columns, what flows already, what the feeds may carry.

    `roof` is the load share that no feed may pass by what is added, `spare` the factor on what
    power leads ask.
    """

    a: Assessment
    leads: tuple[Lead, ...]
    columns: tuple[Column, ...]
    base: Base
    roof: float = np.inf
    spare: float = 1.0

    @property
    def feed_room_a(self) -> Floats:
        """What the feeds can take in addition [A, (states, feeds)]; nothing where they are over.

        By what is known they keep to their limits, at the most they stay under the roof.
        """
        limit = self.a.feeds.limit_a
        room = limit - self.base.feed_a
        if np.isfinite(self.roof):
            hard = self.a.most.feeds.limit_a
            under = np.where(np.isfinite(hard), hard * self.roof, np.inf)
            room = np.minimum(room, under - self.base.most_feed_a)
        return np.asarray(np.maximum(room, 0.0))


def unplaced_leads(vehicle: Vehicle) -> tuple[Lead, ...]:
    """Every lead without a source, in the order of the accessories; power before sense.

    What hangs on a converter or a second battery has its source there; what is to be removed
    needs none.
    """
    placed = {(tap.accessory, tap.lead) for tap in vehicle.taps}
    found = []
    for accessory in vehicle.accessories:
        elsewhere = accessory.supplied_by is not None or accessory.battery != "starter"
        if elsewhere or accessory.found == "remove":
            continue
        for name in sorted(accessory.leads, key=lambda lead: lead != "power"):
            if (accessory.id, name) not in placed:
                found.append(Lead(accessory, name))
    return tuple(found)


def build(a: Assessment, wanted: tuple[Lead, ...], *, spare: float = 1.0) -> Model:
    """The model for these leads; `spare` is a factor on what power leads ask."""
    vehicle = a.vehicle
    leads = list(wanted)
    for lead in wanted:
        if lead.name == "power" and "sense" not in lead.accessory.leads:
            leads.append(Lead(with_sense(lead.accessory), "sense", coil=True))
    columns: list[Column] = []
    for index, lead in enumerate(leads):
        columns.extend(_columns(vehicle, a, leads, index, lead, spare))
    return Model(a, tuple(leads), tuple(columns), base_of(a), spare=spare)


def _columns(
    vehicle: Vehicle, a: Assessment, leads: list[Lead], index: int, lead: Lead, spare: float
) -> Iterator[Column]:
    if lead.name == "power":
        ask = ask_of(a, lead.accessory, "power").times(spare)
        yield from _slot_columns(vehicle, a, index, ask)
        yield from _own_feed_columns(vehicle, a, index, ask)
    else:
        it = lead.accessory
        power_open = any(o.name == "power" and o.accessory.id == it.id for o in leads)
        if not lead.coil:
            yield from _slot_columns(vehicle, a, index, ask_of(a, it, "sense"))
        if power_open:
            relayed = ask_of(a, it, "sense", relayed=True)
            yield from _slot_columns(vehicle, a, index, relayed, coil=True)
    if not lead.coil:
        yield Column(index, "open", change=True)


def _slot_columns(
    vehicle: Vehicle, a: Assessment, index: int, ask: Ask, *, coil: bool = False
) -> Iterator[Column]:
    left = rooms(a, ask)
    at = -1
    for panel in vehicle.panels:
        for slot in panel.slots:
            if slot.kind != "fuse":
                continue
            at += 1
            live = a.slots.live[:, at]
            yield Column(
                index,
                "slot",
                slot=at,
                coil=coil,
                load_a=ask.current_a * live,
                loads_slot=at,
                share=float(left.share[at]),
                rest_a=rest_on(a, ask, at),
                step=step_to(vehicle, ask.accessory, ask.lead, panel, slot),
                route=(ask.accessory.id, panel.id),
                rules=tuple(rule.key for rule in broken_rules(a, left, at)),
                host=rank(slot),
            )


def _own_feed_columns(vehicle: Vehicle, a: Assessment, index: int, ask: Ask) -> Iterator[Column]:
    """An own feed from the battery, with a relay where the accessory is switched."""
    it = ask.accessory
    must = bool(relay_reason(a, ask))
    relay = it.needs == "switched" or (it.needs == "either" and must)
    sense = look_up.tap_of(vehicle, it.id, "sense")
    coil: tuple[Floats, int, tuple[str, ...], float] = (np.zeros(5), -1, (), 0.0)
    if relay and sense is not None:
        coil = _coil_on(a, sense, it)
    load, at, rules, share = coil
    voltage = (rule.key for rule in wrong_voltage(vehicle, it))
    yield Column(
        index,
        "own_feed",
        relay=relay and sense is None,
        load_a=load,
        loads_slot=at,
        share=share,
        rest_a=0.0 if relay else ask.rest_a,
        step=BATTERY,
        route=(it.id, "battery"),
        rules=(*rules, *voltage),
        change=not must,
    )


def _coil_on(
    a: Assessment, sense: Tap, accessory: Accessory
) -> tuple[Floats, int, tuple[str, ...], float]:
    """What a coil adds where the sense lead sits already: load, slot, rules broken, share."""
    coil = a.rule("relay_coil_ma") / 1000
    total = accessory.sense_a + coil
    over = total > a.rule("sense_budget_ma") / 1000 * (1 + 1e-9)
    if sense.slot is None:
        return np.zeros(5), -1, ("budget",) if over else (), 0.0
    at = a.slots.index[sense.slot]
    live = a.slots.live[:, at]
    left = rooms(a, ask_of(a, accessory, "sense", relayed=True))
    found = {rule.key for rule in broken_rules(a, left, at)} - {"seat"}
    return np.where(live, coil, 0.0), at, tuple(sorted(found)), float(left.share[at])
