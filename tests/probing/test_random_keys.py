"""Whatever is pressed in whatever order: no reading is lost, no state is impossible.

The long run, 10,000 sequences, is made by ``FUSEMAP_KEY_SEQUENCES=10000``.
"""

import os

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from fusemap.probing import session, walking
from fusemap.probing.keys import NAMED, press
from fusemap.probing.plan import ROUNDS, HandOrder
from fusemap.vehicle import Fuse, Reading, Vehicle, edits
from fusemap.vehicle.validity import faults
from tests.probing.walk import Walk

SEQUENCES = int(os.environ.get("FUSEMAP_KEY_SEQUENCES", "150"))
KEYS = st.sampled_from([*"0123456789,.+-*/mva", *NAMED, *["enter"] * 12, "x", "§"])
STEPS = st.one_of(
    KEYS.map(lambda key: (key,)),
    st.sampled_from(["+", "-", "0", "1.2", "+0,4", "12000", "-3", "40-65", "35ma", "12,4v"]).map(
        lambda text: (*text, "enter")
    ),
)


def small() -> Vehicle:
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 2)
    vehicle = edits.add_panel(vehicle, "Boot", 1, 2, family="micro2")
    for number, rating in ((1, 15.0), (2, 7.5), (3, 30.0)):
        fuse = Fuse(family="mini", rating=rating)
        vehicle = edits.change_slot(vehicle, f"slot-{number}", fuse=fuse)
    vehicle = edits.change_slot(vehicle, "slot-2", critical=True)
    vehicle = edits.change_slot(vehicle, "slot-4", kind="relay")
    vehicle = edits.add_feed(vehicle, "Dash feed", limit_a=20.0)
    vehicle = edits.add_feed(vehicle, "Boot feed", fuse=Fuse(family="maxi", rating=30.0))
    for number, feed in ((1, "feed-1"), (3, "feed-1"), (5, "feed-2")):
        vehicle = edits.change_slot(vehicle, f"slot-{number}", feed=feed)
    vehicle = edits.add_accessory(vehicle, "Camera", watts=60.0)
    return edits.place(vehicle, "accessory-1", slot="slot-1")


ORDERS = st.builds(
    HandOrder,
    along=st.sampled_from(["rows", "columns"]),
    from_right=st.booleans(),
    mirrored=st.booleans(),
)


def test_feeds_are_among_what_is_asked() -> None:
    walk = Walk(small()).press("sure")
    assert {step.feeds for step in session.rounds_left(walk.session, walk.vehicle)} >= {("feed-1",)}


@settings(max_examples=SEQUENCES, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.lists(STEPS, max_size=30),
    st.sampled_from(ROUNDS),
    ORDERS,
    st.sampled_from([1.0, 45.0, 400.0]),
    st.booleans(),
)
def test_no_key_loses_a_reading_or_leaves_an_impossible_state(steps, first, order, seconds, sure):
    vehicle = small()
    walk = Walk(vehicle, walking.start(vehicle, order), seconds).begin(first)
    if sure:
        walk.press("sure")
    for key in (key for step in steps for key in step):
        before = walk.vehicle.readings
        stored = walk.session
        walk.press(key)
        after = walk.vehicle.readings
        kept, old = ([_raw(reading) for reading in those] for those in (after, before))
        assert kept[: len(old)] == old, "a reading was changed or lost"
        if len(after) > len(before):
            event(f"stored at a {after[-1].target}")
            assert stored.typed
            assert walk.session.entered[-1].readings == tuple(r.id for r in after[len(before) :])
        assert session.impossible(walk.session, walk.vehicle) == ()
    assert list(faults(walk.vehicle)) == []


def _raw(reading: Reading) -> tuple[object, ...]:
    """What nothing may change."""
    return (reading.id, reading.when, reading.quantity, reading.value, reading.highest,
            reading.target, reading.target_id)  # fmt: skip


ENTRIES = ["+", "-", "1.2", "0", "+0,4", "8a", "1.2mv"]


@settings(max_examples=60, deadline=None)
@given(st.lists(st.sampled_from(ENTRIES), min_size=1, max_size=12), st.booleans())
def test_taking_everything_back_leaves_the_vehicle_as_it_was_but_for_the_list(entries, sure):
    vehicle = small()
    walk = Walk(vehicle).begin(ROUNDS[1])
    if sure:
        walk.press("sure")
    for entry in entries:
        walk.type(entry)
    for _ in range(40):
        walk.press("clear", "/")
    assert (walk.vehicle.panels, walk.vehicle.feeds) == (vehicle.panels, vehicle.feeds)
    assert all(r.withdrawn for r in walk.vehicle.readings)


def test_a_key_pressed_with_no_panel_at_all_does_no_harm():
    vehicle = Vehicle(name="Empty")
    walk = Walk(vehicle)
    for key in [*"1+-*/,", *NAMED]:
        walk.press(key)
    assert session.impossible(walk.session, walk.vehicle) == ()
    assert press(walk.session, vehicle, "enter", walk.now).vehicle is None
