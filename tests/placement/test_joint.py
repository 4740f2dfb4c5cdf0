"""All loose leads together: the plan is the best there is, and says why when there is none."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from fusemap.assess import Assessment, assess
from fusemap.checks import findings
from fusemap.placement import candidates
from fusemap.placement.joint import Plan, fit_plan, plan_rest
from fusemap.placement.joint_model import unplaced_leads
from fusemap.placement.rooms import ask_of, rest_on, rooms
from fusemap.placement.rules import relay_reason
from fusemap.placement.suggest import with_sense
from fusemap.vehicle import Accessory, Fuse, StateLoads, Vehicle, edits, look_up
from tests.placement.small_vehicles import vehicles
from tests.vehicles import loads, one_slot

# --- every plan there is, one by one ------------------------------------------------------------


@dataclass(frozen=True)
class Way:
    """One way for one lead: a slot, an own feed, or nowhere; reckoned by itself."""

    slot: str | None
    own: bool = False
    open: bool = False


def ways(a: Assessment, accessory: Accessory, lead: str) -> list[Way]:
    """Every way that might be, slots first."""
    slots = [Way(s) for s in a.slots.ids]
    return [*slots, *([Way(None, own=True)] if lead == "power" else []), Way(None, open=True)]


class BruteForce:
    """Tries all plans of a vehicle. Rules about single slots are asked of `candidates`."""

    def __init__(self, a: Assessment) -> None:
        self.a, self.vehicle = a, a.vehicle
        self.leads = [(lead.accessory, lead.name) for lead in unplaced_leads(a.vehicle)]
        self.fits: dict[tuple[str, str, bool], dict[str, object]] = {}

    def candidate(self, accessory: Accessory, lead: str, slot: str, relayed: bool) -> object:
        key = (accessory.id, lead, relayed)
        if key not in self.fits:
            found = candidates(self.vehicle, self.a, accessory, lead, relayed=relayed or None)
            self.fits[key] = {c.slot_id: c for c in found}
        return self.fits[key][slot]

    def plans(self) -> Iterator[list[tuple[Accessory, str, Way, bool]]]:
        """All plans that break no rule, as (accessory, lead, way, with a relay's coil)."""
        for chosen in product(*(ways(self.a, *lead) for lead in self.leads)):
            plan = [(*lead, way) for lead, way in zip(self.leads, chosen, strict=True)]
            relayed = {it.id for it, _, way in plan if way.own and self.has_relay(it)}
            bare = [it for it, _, way in plan if way.own and it.id in relayed
                    and "sense" not in it.leads]  # fmt: skip
            for coils in product(self.a.slots.ids, repeat=len(bare)):
                more = [
                    (with_sense(it), "sense", Way(s)) for it, s in zip(bare, coils, strict=True)
                ]
                whole = [(it, lead, way, lead == "sense" and it.id in relayed)
                         for it, lead, way in (*plan, *more)]  # fmt: skip
                if self.holds(whole, relayed):
                    yield whole

    def has_relay(self, it: Accessory) -> bool:
        heavy = bool(relay_reason(self.a, ask_of(self.a, it, "power")))
        return it.needs == "switched" or (it.needs == "either" and heavy)

    def holds(self, plan: list[tuple[Accessory, str, Way, bool]], relayed: set[str]) -> bool:
        seats = [way.slot for _, _, way, _ in plan if way.slot is not None]
        if len(seats) != len(set(seats)):
            return False
        for it, lead, way, coil in plan:
            if way.slot and not self.candidate(it, lead, way.slot, coil).fits:
                return False
            if lead == "sense" and way.open and it.id in relayed:
                return False
        for it in relayed:
            placed = look_up.tap_of(self.vehicle, it, "sense")
            assert placed is None  # no small vehicle has a sense lead placed by itself
        added = self.added(plan)
        room = np.maximum(self.a.feeds.limit_a - self.a.feeds.current_a, 0.0)
        return bool((added <= room + 1e-9).all())

    def added(self, plan: list[tuple[Accessory, str, Way, bool]]) -> np.ndarray:
        """What the plan adds to every feed [(states, feeds)]."""
        total = np.zeros_like(self.a.feeds.current_a)
        for it, lead, way, coil in plan:
            if way.slot is None:
                continue
            at = self.a.slots.index[way.slot]
            drawn = ask_of(self.a, it, lead, relayed=coil or None).current_a
            feed = look_up.slot(self.vehicle, way.slot).feed
            while feed is not None:
                total[:, self.a.feeds.index[feed]] += drawn * self.a.slots.live[:, at]
                feed = look_up.feed(self.vehicle, feed).parent
        return total

    def costs(self, plan: list[tuple[Accessory, str, Way, bool]]) -> tuple[float, ...]:
        """Changes, controls, unclear hosts, worst share, rest current [A], cable ways, steps."""
        change, rest, steps, shares, routes = 0.0, 0.0, 0, [0.0], set()
        hosts = [way.slot for _, _, way, _ in plan if way.slot is not None]
        late, unsaid = hosts_of(self.vehicle, hosts)
        added = self.added(plan)
        for it, lead, way, coil in plan:
            ask = ask_of(self.a, it, lead, relayed=coil or None)
            if way.open:
                change += 1000
            elif way.own:
                change += 0 if relay_reason(self.a, ask) else 1
                rest += 0.0 if self.has_relay(it) else ask.rest_a
                steps += 5
                routes.add((it.id, "battery"))
            else:
                found = self.candidate(it, lead, way.slot, coil)
                at = self.a.slots.index[way.slot]
                shares.append(found.share)
                rest += rest_on(self.a, ask, at)
                steps += found.step
                routes.add((it.id, look_up.panel_of(self.vehicle, way.slot).id))
                for feed in self.feeds_over(way.slot):
                    total = self.a.most.feeds.current_a[:, feed] + added[:, feed]
                    shares.append(float(total.max() / self.a.feeds.limit_a[feed]))
        return (change, float(late), float(unsaid), max(shares), rest, float(len(routes)),
                float(steps))  # fmt: skip

    def feeds_over(self, slot: str) -> list[int]:
        found, feed = [], look_up.slot(self.vehicle, slot).feed
        while feed is not None:
            at = self.a.feeds.index[feed]
            if np.isfinite(self.a.feeds.limit_a[at]):
                found.append(at)
            feed = look_up.feed(self.vehicle, feed).parent
        return found

    def best(self) -> tuple[float, ...]:
        """The least costs, one after the other."""
        left = np.array([self.costs(plan) for plan in self.plans()])
        for stage in range(left.shape[1]):
            left = left[left[:, stage] <= left[:, stage].min() + 1e-7]
        return tuple(left[0])


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicle=vehicles())
def test_no_plan_is_better_than_the_joint_plan(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    changes, late, unsaid, share, rest, ways_, steps = BruteForce(a).best()
    plan = plan_rest_once(a)
    made = sum(1000 if each.open else each.change for each in plan.placed)
    assert made == changes
    assert plan.proven
    assert hosts_of(vehicle, slots_of(plan)) == (late, unsaid)
    assert plan.worst_share == pytest.approx(share, abs=1e-6)
    assert plan.rest_a == pytest.approx(rest, abs=1e-6)
    assert (plan.ways, plan.steps) == (ways_, steps)
    assert bool(plan.conflicts) == (changes > 0)


def hosts_of(vehicle: Vehicle, slot_ids: list[str]) -> tuple[int, int]:
    """How many hosts are control units or supplies, and how many nobody knows; by the names that
    `small_vehicles` draws."""
    slots = [look_up.slot(vehicle, slot_id) for slot_id in slot_ids]
    late = unknown = 0
    for slot in slots:
        named_late = slot.circuit in ("Body module", "Main feed box 2")
        if slot.function == "comfort":
            continue
        if slot.function in ("control", "supply") or named_late:
            late += 1
        elif not slot.harmless:
            doubted = slot.function == "unclear" and slot.circuit in ("Radio", "Seat heating")
            unknown += doubted or slot.circuit in ("", "Xyz 4")
    return late, unknown


def slots_of(plan: Plan) -> list[str]:
    """Every slot a plan names, those of relay coils too."""
    own = [each.own.sense_slot for each in plan.placed if each.own and each.own.sense_fields]
    # a coil hangs on the slot of the sense lead, where there is one
    named = dict.fromkeys((*(each.slot_id for each in plan.placed), *own))
    return [slot_id for slot_id in named if slot_id is not None]


@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicle=vehicles())
def test_no_plan_and_no_candidate_is_a_circuit_that_waits_for_an_answer(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    asking = [s for s in look_up.slots(vehicle) if s.circuit in ("Airbag", "Headlamp left")]
    waiting = {slot.id for slot in asking if not slot.harmless}
    for accessory in vehicle.accessories:
        for lead in accessory.leads:
            fit = {c.slot_id for c in candidates(vehicle, a, accessory, lead) if c.fits}
            assert not fit & waiting
    assert not waiting & set(slots_of(plan_rest(a)))


def test_an_airbag_nobody_answered_for_is_not_planned_on_though_it_is_the_roomiest() -> None:
    """Airbag, ABS, no name, radio, all alike: only the radio and then the nameless slot."""
    vehicle = row_of_slots("ignition", "ignition", "ignition", "ignition")
    for slot_id, name in (("slot-1", "Airbag"), ("slot-2", "ABS"), ("slot-3", ""),
                          ("slot-4", "Radio")):  # fmt: skip
        vehicle = edits.change_slot(vehicle, slot_id, circuit=name)
    vehicle = edits.change_slot(vehicle, "slot-4", own_load=loads(3.0))
    vehicle = added(vehicle, "Charger", 2.0)
    (placed,) = plan_rest(assess(vehicle)).placed
    assert placed.slot_id == "slot-4"
    ranked = candidates(vehicle, assess(vehicle), vehicle.accessories[0])
    assert [c.slot_id for c in ranked if c.fits] == ["slot-4", "slot-3"]
    assert (ranked[1].verdict, ranked[1].reasons[-1]) == ("unsure", "Nobody said what it feeds.")
    assert all("airbag" in r for c in ranked if c.slot_id == "slot-1" for r in c.reasons[:1])


def test_the_written_answer_frees_the_slot() -> None:
    vehicle = edits.change_slot(row_of_slots("ignition"), "slot-1", circuit="Airbag bed pump")
    vehicle = added(vehicle, "Charger", 2.0)
    assert plan_rest(assess(vehicle)).placed[0].slot_id is None
    vehicle = edits.change_slot(vehicle, "slot-1", harmless="air bed pump, traced")
    assert plan_rest(assess(vehicle)).placed[0].slot_id == "slot-1"


def test_a_third_relay_coil_is_offered_another_circuit_than_the_two_it_would_join() -> None:
    """Coils of 0.155 A beside each other on a control circuit that drives 0.3 A."""
    vehicle = edits.add_panel(one_slot(feed_class="ignition", circuit="Radio"), "Second", 1, 1)
    like = vehicle.panels[0].slots[0]
    vehicle = edits.change_slot(vehicle, "slot-2", fuse=like.fuse, feed_class="ignition",
                                own_load=like.own_load, live_side="left",
                                circuit="Lighter")  # fmt: skip
    for number in (1, 2):
        vehicle = added(vehicle, f"Lamp {number}", 8.0, leads=("power", "sense"), sense_a=0.155)
        if number == 1:
            vehicle = edits.place(vehicle, "accessory-1", "sense", slot="slot-1", kind="splice")
    found = candidates(vehicle, assess(vehicle), vehicle.accessories[1], "sense")
    assert [(c.slot_id, c.fits) for c in found] == [("slot-2", True), ("slot-1", False)]
    assert "beside 0.155 A of others" in str(found[1].reasons[0]).replace("\u202f", " ")


def plan_rest_once(a: Assessment) -> Plan:
    """The plan for the currents as they are asked, without the look at the whole network."""
    from fusemap.placement import joint
    from fusemap.placement.joint_model import build

    return joint._plan(build(a, unplaced_leads(a.vehicle)))


# --- what a fitter asks of a plan ----------------------------------------------------------------


def row_of_slots(*classes: str, limit_a: float = 40.0, rating: float = 15.0) -> Vehicle:
    """A panel with a slot of each class on a feed, every load and live side measured."""
    vehicle = one_slot()
    vehicle = edits.change_feed(vehicle, "feed-1", limit_a=limit_a)
    vehicle = edits.remove_panel(vehicle, "panel-1")
    vehicle = edits.add_panel(vehicle, "Dash", 1, len(classes))
    for slot, feed_class in zip(vehicle.panels[0].slots, classes, strict=True):
        vehicle = edits.change_slot(
            vehicle,
            slot.id,
            fuse=Fuse(family="mini", rating=rating),
            feed_class=feed_class,
            feed="feed-1",
            own_load=loads(1.0),
            live_side="left",
        )
    return vehicle


def added(vehicle: Vehicle, name: str, amperes: float, **fields: object) -> Vehicle:
    return edits.add_accessory(vehicle, name, amperes=amperes, rated_v=12.0, **fields)


def test_a_lead_with_one_slot_only_gets_it_though_another_comes_first() -> None:
    """Camera and tracker both like the permanent slot; the tracker has no other."""
    vehicle = added(row_of_slots("permanent", "ignition"), "Camera", 0.4)
    vehicle = added(vehicle, "Tracker", 0.04, needs="permanent")
    alone = candidates(vehicle, assess(vehicle), vehicle.accessories[0])
    plan = plan_rest(assess(vehicle))
    where = {each.accessory_id: each.slot_id for each in plan.placed}
    assert where == {"accessory-1": "slot-2", "accessory-2": "slot-1"}
    assert all(c.fits for c in alone)


def test_the_reason_says_who_took_the_slot_that_would_be_best_alone() -> None:
    vehicle = added(row_of_slots("ignition", "permanent", "permanent"), "Camera", 0.4,
                    needs="switched")  # fmt: skip
    vehicle = added(vehicle, "Lamp", 0.4, needs="switched")
    vehicle = edits.change_slot(vehicle, "slot-2", feed_class="accessory", own_load=loads(3.0))
    plan = plan_rest(assess(vehicle))
    words = " ".join(str(reason) for each in plan.placed for reason in each.reasons)
    assert "Alone it would go on F1" in words


def test_a_load_that_was_not_measured_counts_as_the_most_its_fuse_may_carry() -> None:
    """Both slots have room; 1 A measured is less than up to 11 A behind an unread 15 A fuse."""
    vehicle = row_of_slots("permanent", "permanent")
    vehicle = edits.change_slot(vehicle, "slot-1", own_load=StateLoads())
    vehicle = added(vehicle, "Tracker", 2.0, needs="permanent")
    a = assess(vehicle)
    unread, read = rooms(a, ask_of(a, vehicle.accessories[0], "power")).share
    limit = float(a.slots.contact_limit_a[0])
    # the feed above both may carry what the other slot's fuse does
    assert read == pytest.approx((float(a.slots.host_limit_a[0]) + 3.0) / 40.0)
    at_most = float(a.slots.host_limit_a[0])
    feed = (at_most + 1.0 + 2.0) / 40.0
    assert unread == pytest.approx(max((at_most + 2.0) / limit, feed))
    assert slots_of(plan_rest(a)) == ["slot-2"]


def test_what_is_placed_stays_where_it_is() -> None:
    vehicle = added(row_of_slots("permanent", "permanent"), "Camera", 0.4)
    vehicle = edits.place(vehicle, "accessory-1", slot="slot-2")
    vehicle = added(vehicle, "Tracker", 0.04)
    plan = plan_rest(assess(vehicle))
    after = fit_plan(vehicle, plan)
    assert [each.accessory_id for each in plan.placed] == ["accessory-2"]
    assert look_up.tap_of(after, "accessory-1") == vehicle.taps[0]
    assert look_up.tap_of(after, "accessory-2").slot == "slot-1"


def test_two_loads_share_no_feed_that_carries_only_one() -> None:
    vehicle = row_of_slots("ignition", "ignition", "ignition", limit_a=9.0)
    vehicle = edits.add_feed(vehicle, "Second", limit_a=9.0)
    vehicle = edits.change_slot(vehicle, "slot-3", feed="feed-2")
    for name in ("One", "Two"):
        vehicle = added(vehicle, name, 5.0)
    plan = plan_rest(assess(vehicle))
    feeds = {look_up.slot(vehicle, each.slot_id).feed for each in plan.placed}
    assert feeds == {"feed-1", "feed-2"}


def test_the_conflict_names_the_feed_that_is_too_small_for_both() -> None:
    vehicle = row_of_slots("ignition", "ignition", limit_a=9.0)
    for name in ("Pump", "Lamp"):
        vehicle = added(vehicle, name, 5.0, needs="either")
    plan = plan_rest(assess(vehicle))
    (conflict,) = plan.conflicts
    assert conflict.rules == ("feed:feed-1",)
    assert {accessory for accessory, _ in conflict.leads} == {"accessory-1", "accessory-2"}
    assert "Main feed" in conflict.reasons[1]
    assert sum(each.change for each in plan.placed) == 1, "one own feed is the least change"
    assert plan.complete


def test_the_conflict_names_the_seat_when_two_want_one_slot() -> None:
    vehicle = added(row_of_slots("permanent"), "Tracker", 0.04, needs="permanent")
    vehicle = added(vehicle, "Alarm", 0.5, needs="permanent")
    (conflict,) = plan_rest(assess(vehicle)).conflicts
    assert conflict.rules == ("seat",)
    assert conflict.reasons[1] == "A slot takes one fuse tap."


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicle=vehicles())
def test_every_rule_and_lead_of_a_conflict_is_needed(vehicle: Vehicle) -> None:
    from fusemap.placement.conflicts import FIXED, _with_leads
    from fusemap.placement.joint_model import build
    from fusemap.placement.joint_solve import is_possible

    a = assess(vehicle)
    plan = plan_rest_once(a)
    model = build(a, unplaced_leads(vehicle))
    every = {rule for column in model.columns for rule in column.rules}
    every |= {"seat", *(f"feed:{feed}" for feed in a.feeds.ids)}
    every -= {"relay"}
    for conflict in plan.conflicts:
        numbers = [
            n
            for n, lead in enumerate(model.leads)
            if not lead.coil and (lead.accessory.id, lead.name) in conflict.leads
        ]
        small, kept = _with_leads(model, numbers), set(conflict.rules)

        def each_is_needed(aside: set[str], of: object = small, by: set[str] = kept) -> bool:
            if is_possible(of, frozenset(aside)):
                return False
            return all(is_possible(of, frozenset(aside | {rule})) for rule in by)

        # what is no source at all either stays in force or is not needed
        assert each_is_needed(every - kept) or each_is_needed(every - kept - set(FIXED))
        for gone in numbers:
            fewer = [n for n in numbers if n != gone]
            assert not fewer or is_possible(_with_leads(model, fewer))


def test_a_heavy_switched_load_gets_a_relay_whose_coil_sits_on_a_switched_slot() -> None:
    vehicle = added(row_of_slots("permanent", "ignition"), "Light bar", 14.0, needs="switched")
    plan = plan_rest(assess(vehicle))
    after = fit_plan(vehicle, plan)
    power, sense = (look_up.tap_of(after, "accessory-1", lead) for lead in ("power", "sense"))
    assert (power.kind, power.relay, power.slot) == ("own_feed", True, None)
    assert sense.slot == "slot-2"
    words = " ".join(str(reason) for each in plan.placed for reason in each.reasons)
    for terminal in ("30", "87", "86", "85"):
        assert f"Terminal {terminal}:" in words
    assert not plan.conflicts, "an own feed that a rule asks for is no change"
    assert assess(after).taps.current_a[0].max() == 0, "nothing is drawn while parked"


def test_a_coil_beyond_the_sense_budget_leaves_the_lead_open() -> None:
    vehicle = added(row_of_slots("permanent", "ignition"), "Light bar", 14.0, needs="switched")
    vehicle = edits.set_rule(vehicle, "relay_coil_ma", 400.0)
    plan = plan_rest(assess(vehicle))
    assert not plan.complete
    assert any("budget" in conflict.rules for conflict in plan.conflicts)


def test_several_own_feeds_share_one_added_fuse_holder() -> None:
    vehicle = row_of_slots("ignition")
    for name in ("Heater", "Fridge"):
        vehicle = added(vehicle, name, 11.0, needs="permanent")
    plan = plan_rest(assess(vehicle))
    after = fit_plan(vehicle, plan)
    holder = after.feeds[-1]
    assert holder.fuse == plan.holder
    assert {tap.feed for tap in after.taps} == {holder.id}
    assert not [f for f in findings(after, assess(after)) if f.code == "feed_overloaded"]


def test_nothing_to_plan_is_an_empty_plan() -> None:
    vehicle = one_slot()
    plan = plan_rest(assess(vehicle))
    assert plan.placed == ()
    assert plan.complete
    assert fit_plan(vehicle, plan) == vehicle


DATA_GAPS = {
    "live_side_unknown", "class_unknown", "host_fuse_missing", "unclear_tapped",
    "contact_may_not_hold", "host_may_not_hold", "feed_may_not_hold", "tap_may_not_hold",
}  # fmt: skip
LAST_RESORT = {"control_tapped", "supply_tapped"}
PARKED = {
    "stands_too_short", "cut_off_too_low", "does_not_start_now", "ice", "cut_off_chatters",
    "deep_discharge", "driving_puts_too_little_back",
}  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicle=vehicles())
def test_a_plan_brings_no_finding_but_gaps_in_the_readings_and_days(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    before = {(f.code, f.place_id) for f in findings(vehicle, a)}
    plan = plan_rest(a)
    after = fit_plan(vehicle, plan)
    new = {
        f.code
        for f in findings(after, assess(after))
        if f.severity != "note" and (f.code, f.place_id) not in before
    }
    if plan.complete:
        assert new <= DATA_GAPS | PARKED | LAST_RESORT
    else:
        assert new <= DATA_GAPS | PARKED | LAST_RESORT | {"sense_not_placed"}
