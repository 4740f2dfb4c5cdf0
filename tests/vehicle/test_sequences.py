"""Whatever is done to a vehicle, in whatever order, it stays a vehicle that can be."""

from collections.abc import Callable, Iterator
from typing import Any

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from fusemap import files, tables
from fusemap.errors import EditRefused, InputProblem
from fusemap.vehicle import (
    FEED_CLASSES,
    Cable,
    Converter,
    CrankReading,
    StandReading,
    StateLoads,
    Vehicle,
    edits,
    look_up,
    reading_edits,
)
from fusemap.vehicle.edits.panels import Lid
from fusemap.vehicle.validity import faults
from tests.strategies import families, fuses, numbers, parts, photos, vehicles

Ask = Callable[[st.SearchStrategy[Any]], Any]
GONE = "not-there"


def ids(found: Any) -> st.SearchStrategy[str]:
    """One of these parts' ids, now and then one that is not there."""
    there = [part.id for part in found]
    return st.sampled_from([*there, *there, GONE])


def lines() -> st.SearchStrategy[int]:
    return st.integers(-1, 4)


def add_panel(vehicle: Vehicle, ask: Ask) -> Vehicle:
    size = st.integers(0, 3)
    return edits.add_panel(vehicle, "New", ask(size), ask(size), family=ask(families()))


def resize_panel(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_panel(vehicle, ask(ids(vehicle.panels)), rows=ask(st.integers(0, 4)))


def remove_panel(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_panel(vehicle, ask(ids(vehicle.panels)))


def insert_line(vehicle: Vehicle, ask: Ask) -> Vehicle:
    axis = ask(st.sampled_from(["row", "column"]))
    return edits.insert_line(vehicle, ask(ids(vehicle.panels)), axis, ask(lines()))


def remove_line(vehicle: Vehicle, ask: Ask) -> Vehicle:
    axis = ask(st.sampled_from(["row", "column"]))
    return edits.remove_line(vehicle, ask(ids(vehicle.panels)), axis, ask(lines()))


def add_lid(vehicle: Vehicle, ask: Ask) -> Vehicle:
    places = st.tuples(st.integers(0, 3), st.integers(0, 3))
    lid = Lid(
        rows=ask(st.integers(0, 3)),
        columns=ask(st.integers(0, 3)),
        family=ask(families()),
        families=ask(st.dictionaries(places, families(), max_size=3)),
        kinds=ask(st.dictionaries(places, st.sampled_from(["gap", "relay"]), max_size=3)),
        labels=ask(st.sampled_from(["", "F1", "1-3, 1-3", "A, B", "F1-R2"])),
    )
    return edits.add_lid(vehicle, "New", lid)


def set_photo(vehicle: Vehicle, ask: Ask) -> Vehicle:
    photo = ask(photos())
    corners = ask(st.sampled_from([(), photo.corners, (photo.top_left,) * 4]))
    return edits.set_photo(vehicle, ask(ids(vehicle.panels)), photo.jpeg, corners)


def fit_photo(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.fit_photo(vehicle, ask(ids(vehicle.panels)), ask(photos()).corners)


def remove_photo(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_photo(vehicle, ask(ids(vehicle.panels)))


def add_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    family = ask(families())
    return edits.add_slot(
        vehicle, ask(ids(vehicle.panels)), ask(lines()), ask(lines()), family=family
    )


def move_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    slot = ask(ids(look_up.slots(vehicle)))
    return edits.change_slot(vehicle, slot, row=ask(lines()), column=ask(lines()))


def fill_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_slot(vehicle, ask(ids(look_up.slots(vehicle))), fuse=ask(fuses()))


def change_family(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_slot(vehicle, ask(ids(look_up.slots(vehicle))), family=ask(families()))


def change_kind(vehicle: Vehicle, ask: Ask) -> Vehicle:
    kind = ask(st.sampled_from(["fuse", "relay", "blocked"]))
    return edits.change_slot(vehicle, ask(ids(look_up.slots(vehicle))), kind=kind)


def change_several_slots(vehicle: Vehicle, ask: Ask) -> Vehicle:
    chosen = ask(st.lists(ids(look_up.slots(vehicle)), max_size=3))
    return edits.change_slots(
        vehicle,
        chosen,
        feed_class=ask(st.sampled_from(FEED_CLASSES)),
        critical=ask(st.booleans()),
        own_load=ask(parts(StateLoads, True)),
    )


def remove_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_slot(vehicle, ask(ids(look_up.slots(vehicle))))


def add_feed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.add_feed(vehicle, "New", parent=ask(st.none() | ids(vehicle.feeds)))


def hang_feed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    feed = ask(ids(vehicle.feeds))
    return edits.change_feed(vehicle, feed, parent=ask(st.none() | ids(vehicle.feeds)))


def hang_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    slot = ask(ids(look_up.slots(vehicle)))
    return edits.change_slot(vehicle, slot, feed=ask(st.none() | ids(vehicle.feeds)))


def remove_feed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_feed(vehicle, ask(ids(vehicle.feeds)))


def add_block(vehicle: Vehicle, ask: Ask) -> Vehicle:
    parent = ask(st.none() | ids(vehicle.feeds))
    return edits.add_block(vehicle, "Block", ask(st.integers(0, 5)), parent=parent)


def add_earth(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.add_earth(vehicle, "bolt", others=ask(st.none() | st.integers(-1, 3)))


def name_earth(vehicle: Vehicle, ask: Ask) -> Vehicle:
    tap = ask(ids(vehicle.taps))
    named = edits.change_tap(vehicle, tap, earth_point=ask(st.sampled_from(["", "sill"])))
    named = edits.name_earth(named, tap)
    return vehicle if named == vehicle else named


def change_earth(vehicle: Vehicle, ask: Ask) -> Vehicle:
    ohm = ask(st.none() | numbers("resistance_mohm", usual=True))
    return edits.change_earth(vehicle, ask(ids(vehicle.earths)), resistance_mohm=ohm)


def add_socket(vehicle: Vehicle, ask: Ask) -> Vehicle:
    kind = ask(st.sampled_from(["lighter", "diagnosis", "tow_13", "tow_7"]))
    slots = [None, *(slot.id for panel in vehicle.panels for slot in panel.slots)]
    return edits.add_socket(vehicle, "Socket", kind=kind, slot=ask(st.sampled_from(slots)))


def change_socket(vehicle: Vehicle, ask: Ask) -> Vehicle:
    slots = [None, *(slot.id for panel in vehicle.panels for slot in panel.slots)]
    module = ask(st.sampled_from([None, *(each.id for each in vehicle.accessories)]))
    changes = {"slot": ask(st.sampled_from(slots)), "module": module}
    return edits.change_socket(vehicle, ask(ids(vehicle.sockets)), **changes)


def set_pin(vehicle: Vehicle, ask: Ask) -> Vehicle:
    number, watts = ask(st.integers(0, 16)), ask(st.none() | st.floats(-1.0, 100.0))
    return edits.set_pin(vehicle, ask(ids(vehicle.sockets)), number, watts=watts)


def remove_socket(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_socket(vehicle, ask(ids(vehicle.sockets)))


def plug_in(vehicle: Vehicle, ask: Ask) -> Vehicle:
    accessory, socket = ask(ids(vehicle.accessories)), ask(ids(vehicle.sockets))
    return edits.plug_in(vehicle, accessory, socket, ask(st.integers(-1, 14)))


def earth_tap(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_tap(vehicle, ask(ids(vehicle.taps)), earth=ask(ids(vehicle.earths)))


def remove_earth(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_earth(vehicle, ask(ids(vehicle.earths)))


def add_accessory(vehicle: Vehicle, ask: Ask) -> Vehicle:
    watts = ask(st.none() | numbers("watts", True))
    return edits.add_accessory(vehicle, "New", watts=watts)


def change_leads(vehicle: Vehicle, ask: Ask) -> Vehicle:
    leads = ask(st.sampled_from([("power",), ("power", "sense"), ("sense",)]))
    return edits.change_accessory(vehicle, ask(ids(vehicle.accessories)), leads=leads)


def make_converter(vehicle: Vehicle, ask: Ask) -> Vehicle:
    converter = ask(st.sampled_from([None, Converter(), Converter(output_v=5.0, rating_a=3.0)]))
    return edits.change_accessory(vehicle, ask(ids(vehicle.accessories)), converter=converter)


def hang(vehicle: Vehicle, ask: Ask) -> Vehicle:
    on = ask(ids(vehicle.accessories) | st.none())
    return edits.change_accessory(vehicle, ask(ids(vehicle.accessories)), supplied_by=on)


def remove_accessory(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_accessory(vehicle, ask(ids(vehicle.accessories)))


def place(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.place(
        vehicle,
        ask(ids(vehicle.accessories)),
        ask(st.sampled_from(["power", "sense"])),
        slot=ask(st.none() | ids(look_up.slots(vehicle))),
        justification=ask(st.sampled_from(["", "no other", "the rear socket"])),
        found_how=ask(st.sampled_from(["", "followed the wire"])),
    )


def feed_tap(vehicle: Vehicle, ask: Ask) -> Vehicle:
    feed = ask(st.none() | ids(vehicle.feeds))
    return edits.change_tap(vehicle, ask(ids(vehicle.taps)), feed=feed, relay=ask(st.booleans()))


def change_tap(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_tap(
        vehicle,
        ask(ids(vehicle.taps)),
        kind=ask(st.sampled_from(["two_fuse", "splice", "own_feed"])),
        lead=ask(st.sampled_from(["power", "sense"])),
        cable_out=ask(st.none() | parts(Cable, True)),
        fuse=ask(st.none() | fuses()),
    )


def unplace(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.unplace(vehicle, ask(ids(vehicle.taps)))


def change_battery(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_battery(
        vehicle, capacity_ah=ask(st.sampled_from([0.0, 44.0, 70.0])), soh=ask(st.floats(0, 2))
    )


def read_a_start(vehicle: Vehicle, ask: Ask) -> Vehicle:
    rest, cranking = ask(st.floats(9, 15)), ask(st.floats(5, 13))
    response = ask(st.sampled_from(["steady", "slow", "fast"]))
    return edits.add_crank_reading(
        vehicle,
        CrankReading(rest_v=rest, crank_v=cranking, temperature_c=5.0, response=response),
    )


def take_a_start_out(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_crank_reading(vehicle, ask(st.integers(0, 2)))


def showed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.add_stand_reading(
        vehicle,
        StandReading(
            kind=ask(st.sampled_from(["rests", "night", "start"])),
            hours=ask(st.sampled_from([0.5, 14.0, 100.0])),
            rest_v=ask(st.sampled_from([None, 12.6])),
            later_v=ask(st.sampled_from([None, 12.4, 12.9])),
            mean_a=ask(st.sampled_from([None, 0.05])),
            started=ask(st.sampled_from([None, True, False])),
        ),
    )


def forget_standing(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.remove_stand_reading(vehicle, ask(st.integers(0, 2)))


def change_parking(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_parking(vehicle, stand_days=ask(st.floats(-1, 30)))


def add_second_battery(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_second_battery(vehicle, capacity_ah=ask(st.sampled_from([0.0, 95.0])))


def remove_second_battery(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.set_second_battery(vehicle, None)


def set_rule(vehicle: Vehicle, ask: Ask) -> Vehicle:
    key = ask(st.sampled_from(sorted(tables.rule_defaults())))
    return edits.set_rule(vehicle, key, ask(st.none() | st.just(tables.rule_defaults()[key].value)))


def write_log(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.add_log(vehicle, "2024-05-01", ask(st.text(max_size=5)))


def rename(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_vehicle(vehicle, name=ask(st.text(max_size=5)))


def read_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.add_reading(
        vehicle,
        when=ask(st.sampled_from(["2025-05-17T18:30", "2025-05-17T18:31", "yesterday"])),
        quantity=ask(st.sampled_from(["live", "millivolts"])),
        value=ask(st.sampled_from([0.0, 1.0, 0.4])),
        target_id=ask(ids(look_up.slots(vehicle))),
        meter=ask(st.none() | ids(vehicle.meters)),
        corrects=ask(st.none() | ids(vehicle.readings)),
    )


def read_vehicle(vehicle: Vehicle, ask: Ask) -> Vehicle:
    amperes = {"when": "2025-05-17", "quantity": "clamp_current", "target": "vehicle"}
    values = ask(st.lists(st.floats(-6000, 6000), max_size=2))
    return reading_edits.add_readings(vehicle, [amperes | {"value": one} for one in values])


def withdraw_reading(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.withdraw_reading(vehicle, ask(ids(vehicle.readings)), ask(st.text()))


def restore_reading(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.restore_reading(vehicle, ask(ids(vehicle.readings)))


def add_meter(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.add_meter(vehicle, "Pocket meter")


def change_meter(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.change_meter(vehicle, ask(ids(vehicle.meters)), name=ask(st.text()))


def remove_meter(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.remove_meter(vehicle, ask(ids(vehicle.meters)))


def sign_off(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return reading_edits.sign_off(vehicle, "2025-05-17", ask(st.sampled_from(["Kim", " "])))


ACTIONS = (
    add_panel, resize_panel, remove_panel, insert_line, remove_line, add_slot, move_slot, fill_slot,
    set_photo, fit_photo, remove_photo, change_family, change_kind, change_several_slots,
    remove_slot, add_lid, add_feed, hang_feed, hang_slot, remove_feed, add_accessory, change_leads,
    add_block, add_earth, name_earth, change_earth, earth_tap, remove_earth,
    add_socket, change_socket, set_pin, remove_socket, plug_in,
    make_converter, hang, hang, remove_accessory,
    place, place, place, feed_tap, change_tap, unplace, change_battery, change_parking,
    read_a_start, read_a_start, take_a_start_out, showed, showed, forget_standing,
    add_second_battery, remove_second_battery, set_rule, write_log, rename,
    read_slot, read_slot, read_vehicle, withdraw_reading, restore_reading, add_meter, change_meter,
    remove_meter, sign_off,
)  # fmt: skip


def parts_of(vehicle: Vehicle) -> Iterator[tuple[str, Any]]:
    """Every part that has an id, with its sort."""
    for sort in (
        "panels",
        "feeds",
        "earths",
        "sockets",
        "accessories",
        "taps",
        "meters",
        "readings",
    ):
        yield from ((f"{sort} {part.id}", part) for part in getattr(vehicle, sort))
    yield from ((f"slot {slot.id}", slot) for slot in look_up.slots(vehicle))


def assert_shared(old: Vehicle, new: Vehicle) -> None:
    """What did not change is the very same object: views tell by that what to redraw."""
    before = dict(parts_of(old))
    for name, part in parts_of(new):
        if part == before.get(name):
            assert part is before[name], f"{name} was made anew though nothing in it changed"


def assert_sensible(refusal: EditRefused | InputProblem) -> None:
    assert refusal.what
    assert refusal.remedy, f"“{refusal}” does not say what to do"
    assert not str(refusal.where).startswith(".")


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vehicles(usual=True), st.data())
def test_any_edits_in_any_order_leave_a_possible_vehicle_and_undo_comes_back(start, data):
    history = [start]
    written = [files.render(start)]
    for _ in range(data.draw(st.integers(1, 25))):
        action = data.draw(st.sampled_from(ACTIONS))
        old = history[-1]
        try:
            new = action(old, data.draw)
        except (EditRefused, InputProblem) as refusal:
            assert_sensible(refusal)
            event(f"{action.__name__} refused")
            continue
        event(f"{action.__name__} done")
        assert list(faults(new)) == []
        assert_shared(old, new)
        assert {r.id for r in old.readings} <= {r.id for r in new.readings}, "a reading was lost"
        history.append(new)
        written.append(files.render(new))
    # Undo shows the old values again: none of them was touched by what came later.
    assert [files.render(vehicle) for vehicle in history] == written
    assert files.parse(written[-1]) == history[-1]


def test_every_edit_there_is_takes_part():
    """A new edit has to be added to the actions above."""
    public = {
        name
        for module in (edits, reading_edits)
        for name, value in vars(module).items()
        if callable(value) and getattr(value, "__module__", "").startswith(module.__name__)
    }
    tried = set().union(*(action.__code__.co_names for action in ACTIONS))
    helpers = {"free_id", "free_ids"}
    assert {name for name in public if not name.startswith("_")} - helpers <= tried
