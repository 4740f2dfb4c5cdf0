"""A map of somebody with the same vehicle type helps, and decides nothing on its own."""

import pytest
from hypothesis import HealthCheck, given, settings

from fusemap import files
from fusemap.errors import EditRefused
from fusemap.probing import conclusions, plan, travel
from fusemap.probing.plan import HandOrder
from fusemap.vehicle import BATTERY, Fuse, StateLoads, Vehicle, edits, look_up
from fusemap.vehicle.validity import faults
from tests.probing.vehicles import dead, live, mv, read
from tests.strategies import vehicles


@pytest.fixture
def kims() -> Vehicle:
    """Kim's car, read and fitted with a camera."""
    v = edits.add_feed(Vehicle(name="Estate", note="private"), "Dash feed", limit_a=60.0)
    v = edits.add_panel(v, "Dash", 1, 4)
    for n in range(1, 5):
        fuse = Fuse(family="mini", rating=15.0)
        v = edits.change_slot(v, f"slot-{n}", fuse=fuse, circuit=f"Circuit {n}", feed="feed-1")
        v = edits.change_slot(v, f"slot-{n}", note="under the lid")
    v = edits.change_slot(v, "slot-4", critical=True, critical_reason="airbags")
    v = edits.change_slot(v, "slot-3", feed_class="ignition",
                          own_load=StateLoads(ignition=2.0))  # fmt: skip
    v = edits.add_accessory(v, "Camera", watts=5.0)
    v = edits.place(v, "accessory-1", slot="slot-1")
    v = edits.add_log(v, "2025-01-01", "private too")
    after = read(v, live(), mv(1.0), dead("accessory", target_id="slot-2"),
                 live("ignition", target_id="slot-2"))  # fmt: skip
    return conclusions.conclude(v, after)


@pytest.fixture
def mine(kims) -> Vehicle:
    return travel.take_in(Vehicle(name="Mine"), travel.to_give_away(kims), "Kim")


def test_given_away_without_accessories_notes_and_history(kims):
    given_away = travel.to_give_away(kims, "Kim")
    text = files.render(given_away)
    assert "Camera" not in text
    assert "private" not in text
    assert "under the lid" not in text
    assert {r.by for r in given_away.readings} == {"Kim"}
    assert list(faults(given_away)) == []


def test_nothing_is_decided_on_a_borrowed_map_alone(mine):
    for slot in look_up.slots(mine):
        assert slot.feed_class == "unknown"
        assert slot.live_side == "unknown"
        assert slot.own_load == StateLoads()
        assert slot.borrowed.by == "Kim"
    assert all(not r.verified and r.by == "Kim" for r in mine.readings)
    assert conclusions.conclude(mine, mine) == mine
    assert look_up.slot(mine, "slot-3").borrowed.own_load.ignition == 2.0
    assert list(faults(mine)) == []


def test_what_supplies_a_slot_and_what_bounds_its_load_travel_along(kims):
    load, most = StateLoads(asleep=0.0), StateLoads(asleep=0.204)
    kims = edits.change_slot(kims, "slot-1", feed=BATTERY, own_load=load, own_most=most)
    kims = edits.change_slot(kims, "slot-2", feed=None)
    mine = travel.take_in(Vehicle(name="Mine"), travel.to_give_away(kims), "Kim")
    first, second, third, _ = look_up.slots(mine)
    assert (first.feed, second.feed, third.feed) == (BATTERY, None, mine.feeds[0].id)
    assert (first.own_load, first.own_most) == (StateLoads(), StateLoads())
    assert (first.borrowed.own_load, first.borrowed.own_most) == (load, most)
    assert list(faults(mine)) == []


def test_a_critical_mark_counts_even_when_borrowed(mine):
    assert look_up.slot(mine, "slot-4").critical
    own = edits.add_panel(Vehicle(name="Own"), "Dash", 1, 4)
    own = travel.take_in(own, mine, "Kim")
    assert look_up.slot(own, "slot-4").critical


def test_every_slot_says_whose_word_it_is_until_it_is_read_here(mine):
    first = travel.verdicts(mine)[0]
    assert first.agrees is None
    assert first.words == "permanent by Kim’s map, not read here"
    read_here = read(mine, live())
    assert travel.verdicts(read_here)[0].agrees
    other = read(mine, dead(), live("accessory"))
    assert travel.verdicts(other)[0].words == "Kim’s map says permanent, read here: accessory"


def test_the_shortest_pass_reads_only_what_the_job_stands_on(mine):
    assert plan.shortest_pass(mine, HandOrder()) == ()
    job = edits.add_accessory(mine, "Charger", watts=20.0)
    job = edits.place(job, "accessory-1", slot="slot-1")
    steps = [(s.round.kind, s.round.state, s.slots) for s in plan.shortest_pass(job, HandOrder())]
    assert steps == [("sweep", "asleep", ("slot-1",)), ("contacts", "ignition", ("slot-1",))]
    moved = edits.place(job, "accessory-1", slot="slot-2")
    states = [s.round.state for s in plan.shortest_pass(moved, HandOrder())]
    assert states == ["accessory", "ignition", "ignition"]
    done = read(moved, dead("accessory", target_id="slot-2"),
                live("ignition", target_id="slot-2"))  # fmt: skip
    assert [s.round.kind for s in plan.shortest_pass(done, HandOrder())] == ["contacts"]
    assert not plan.is_borrowed(done, look_up.slot(done, "slot-2"))
    assert plan.is_borrowed(done, look_up.slot(done, "slot-1"))


def test_the_session_walks_the_shortest_pass_on_one_key(mine):
    from tests.probing.walk import Walk

    job = edits.add_accessory(mine, "Charger", watts=20.0)
    job = edits.place(job, "accessory-1", slot="slot-2")  # Kim says: ignition
    walk = Walk(job).press("job")
    assert (walk.session.round.state, walk.session.slot) == ("accessory", "slot-2")
    walk.type("-").press("enter")
    assert (walk.session.round.state, walk.session.slot) == ("ignition", "slot-2")
    walk.type("+").press("enter").type("8")
    assert look_up.slot(walk.vehicle, "slot-2").feed_class == "ignition"
    assert look_up.slot(walk.vehicle, "slot-2").live_side == "top"
    assert plan.shortest_pass(walk.vehicle, HandOrder()) == ()
    assert len(walk.vehicle.readings) == len(job.readings) + 4  # of three entries
    assert "all verified" in walk.press("job", "job").session.message or not walk.session.job


def test_own_readings_and_names_stay_where_a_panel_is_matched(kims):
    own = edits.add_panel(Vehicle(name="Own"), "dash", 1, 4)
    own = edits.change_slot(own, "slot-1", circuit="Radio")
    own = read(own, live())
    own = conclusions.conclude(own, own)
    both = travel.take_in(own, travel.to_give_away(kims), "Kim")
    assert len(both.panels) == 1
    assert both.feeds == ()  # no slot came in that would hang on one
    first = look_up.slot(both, "slot-1")
    assert (first.circuit, first.feed_class) == ("Radio", "permanent")
    assert first.fuse == Fuse(family="mini", rating=15.0)
    assert look_up.slot(both, "slot-2").circuit == "Circuit 2"
    assert {r.target_id for r in both.readings} == {"slot-1", "slot-2"}


def test_a_map_of_another_voltage_or_of_nobody_is_refused(kims):
    truck = edits.add_panel(Vehicle(name="Truck", system_v=24), "Dash", 1, 1)
    with pytest.raises(EditRefused, match="12\u202fV"):
        travel.take_in(truck, kims, "Kim")
    with pytest.raises(EditRefused, match="whose"):
        travel.take_in(Vehicle(name="Mine"), kims, " ")


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vehicles(usual=True), vehicles(usual=True))
def test_any_map_can_be_given_and_taken_in_and_the_file_holds_it(own, other):
    lent = travel.to_give_away(other)
    assert list(faults(lent)) == []
    try:
        both = travel.take_in(own, lent, "Kim")
    except EditRefused:
        return
    assert list(faults(both)) == []
    assert files.parse(files.render(both)) == both
    assert both.readings[: len(own.readings)] == own.readings
    assert both.accessories == own.accessories
