"""What passes the gate can be saved, kept, read again and assessed; what does not never exists."""

import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from msgspec import Struct, inspect
from msgspec.structs import replace

from fusemap import files, tables
from fusemap.assess import assess
from fusemap.errors import EditRefused, FileProblem, InputProblem
from fusemap.files import document_file
from fusemap.files.kept import Keeper
from fusemap.files.validate import MOST_BYTES, MOST_INDENTED, refuse_edit, vehicle_faults
from fusemap.probing import paste
from fusemap.vehicle import (
    Accessory,
    Battery,
    Feed,
    LogEntry,
    Meter,
    Panel,
    Parking,
    Reading,
    SecondBattery,
    Slot,
    Tap,
    Vehicle,
    edits,
    look_up,
    reading_edits,
)
from fusemap.vehicle.field_words import in_words
from fusemap.vehicle.texts import MOST_LONG
from fusemap.vehicle.validity import MOST, MOST_OTHERS, MOST_SLOTS, span
from tests.strategies import parts, vehicles
from tests.vehicle.test_sequences import ACTIONS as ORDINARY
from tests.vehicle.test_sequences import Ask, ids

WHEN = "2025-05-17T18:30:00"


def with_history(lines: int) -> Vehicle:
    """A van with a long history."""
    return Vehicle(name="Van", log=(LogEntry(when=WHEN, text="x" * MOST_LONG),) * lines)


def too_large() -> Vehicle:
    return with_history(MOST_BYTES // MOST_LONG)


def nearly_too_large() -> Vehicle:
    return with_history(MOST_BYTES // MOST_LONG - 1)


class TestHowLargeAVehicleMayBe:
    def test_the_old_file_stays_where_the_new_one_could_not_be_read_again(self, tmp_path):
        path = tmp_path / "van.fusemap"
        files.write_vehicle(path, Vehicle(name="Van"))
        with pytest.raises(FileProblem, match="20 MB"):
            files.write_vehicle(path, too_large())
        assert files.read_vehicle(path) == Vehicle(name="Van")

    def test_the_largest_that_is_saved_is_read_again(self, tmp_path):
        path = tmp_path / "van.fusemap"
        files.write_vehicle(path, nearly_too_large())
        assert files.read_vehicle(path) == nearly_too_large()

    def test_an_edit_that_no_file_could_hold_is_refused_at_once(self):
        before = nearly_too_large()
        with pytest.raises(EditRefused, match="20 MB") as caught:
            refuse_edit(before, edits.add_log(before, WHEN, "x" * MOST_LONG))
        assert caught.value.remedy
        refuse_edit(before, edits.add_log(before, WHEN, "short"))

    def test_work_too_large_to_come_back_is_told_and_what_was_kept_stays(self, tmp_path):
        keeper = Keeper(tmp_path, "1")
        keeper.write(Vehicle(name="Van"), None)
        with pytest.raises(OSError, match="20 MB"):
            keeper.write(too_large(), None)
        keeper.settle()
        (kept,) = tmp_path.glob("*.kept")
        assert files.parse(kept.read_bytes().partition(b"\n")[2]) == Vehicle(name="Van")

    def test_a_file_on_one_line_that_could_not_be_saved_again_is_refused(self):
        one = Reading(id="r", when="2025-05-17", quantity="volts", value=1.0)
        readings = tuple(replace(one, id=f"r{n}") for n in range(MOST["readings"]))
        vehicle = replace(with_history(MOST_BYTES // MOST_LONG - 17), readings=readings)
        text = files.compact(vehicle)
        assert len(text) < MOST_BYTES < len(files.render(vehicle))
        with pytest.raises(FileProblem, match="20 MB") as caught:
            files.parse(text, "van.fusemap")
        assert caught.value.where == "van.fusemap"


class TestHowManyValuesAFileMayHave:
    def test_commas_and_brackets_in_texts_are_no_values(self):
        text = "0,123 {[" * (MOST_LONG // 8)
        vehicle = Vehicle(name="Van", log=(LogEntry(when=WHEN, text=text),) * 150)
        written = files.render(vehicle)
        assert sum(map(written.count, ",{[")) > document_file.MOST_VALUES
        assert files.parse(written) == vehicle

    def test_quotes_in_texts_do_not_hide_what_stands_outside_them(self):
        values = "[]," * document_file.MOST_VALUES
        for text in (
            rf'{{"a": "\\", "b": [{values}[]]}}',
            rf'{{"a\"": "\\\"", "b": [{values}[]]}}',
        ):
            with pytest.raises(FileProblem, match="values"):
                files.parse(text)

    @pytest.mark.parametrize("end", ["", "\\", '\\"', '"'])
    def test_a_text_that_never_ends_is_counted_in_one_go(self, end):
        start = time.process_time()
        with pytest.raises(FileProblem):
            files.parse("," * (document_file.MOST_VALUES + 1) + '"' + r"\"" * 5_000_000 + end)
        assert time.process_time() - start < 5.0  # tried from each quote it would take hours

    def test_the_vehicle_with_most_of_everything_has_fewer(self):
        assert most_values(Vehicle) <= document_file.MOST_VALUES


def most_values(struct: type[Struct]) -> int:
    """The commas and brackets of a part with most of everything: slots are counted only once."""
    infos = inspect.type_info(struct).fields
    return 1 + len(infos) + sum(most_of_field(info.name, info.type) for info in infos)


def most_of_field(name: str, kind: inspect.Type) -> int:
    match kind:
        case inspect.UnionType(types=types):
            return max(most_of_field(name, one) for one in types)
        case inspect.StructType(cls=cls):
            return most_values(cls)
        case inspect.VarTupleType(item_type=item):
            most = MOST.get(name, MOST_OTHERS)
            if name == "panels":  # the slots of all panels together are bounded
                slots = MOST_SLOTS * (most_values(Slot) + 1)
                return most * (most_values(Panel) - slots + 1) + slots + 1
            return 1 + most * (most_of_field(name, item) + 1)
    return 0


class TestPastes:
    """An ordinary wrong table, pasted into a vehicle."""

    TABLE = "Time;Current\n" + "\n".join(
        f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02};0,123" for n in range(86_400)
    )

    def test_a_logger_table_of_a_day_pasted_three_times_leaves_a_vehicle_that_opens(self, tmp_path):
        vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)
        pasted = paste.preview(vehicle, self.TABLE, WHEN)
        assert len(pasted.unusable) >= 86_400
        for _ in range(3):
            after = paste.take_in(vehicle, pasted, WHEN)
            refuse_edit(vehicle, after)
            vehicle = after
        path = tmp_path / "van.fusemap"
        files.write_vehicle(path, vehicle)
        assert files.read_vehicle(path) == vehicle
        assert path.stat().st_size < 100_000

    def test_the_rows_left_out_of_the_history_are_counted(self):
        vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)
        text = "Slot;Rating\n" + "\n".join(f"G{n};10" for n in range(1, 1001))
        done = paste.take_in(vehicle, paste.preview(vehicle, text, WHEN), WHEN)
        (line,) = [entry.text for entry in done.log]
        kept = line.count("no slot is labelled")
        assert kept == paste.MOST_ROWS_KEPT
        assert f"rows left out here: {1000 - kept}" in line

    def test_a_table_of_long_rows_takes_one_line_of_the_history(self):
        vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)
        text = "Slot;Note\n" + "\n".join(f"G{n};{'x' * 70_000}" for n in range(5))
        done = paste.take_in(vehicle, paste.preview(vehicle, text, WHEN), WHEN)
        (line,) = [entry.text for entry in done.log]
        assert len(line) <= MOST_LONG
        assert "x" * 70_000 in line
        assert "rows left out here: 4" in line


class TestWordsAndFamilies:
    @pytest.mark.parametrize(
        ("edit", "changes", "where"),
        [
            (edits.change_vehicle, {"system_v": 36}, "system_v"),
            (edits.change_battery, {"chemistry": "steam"}, "battery.chemistry"),
            (edits.change_parking, {"starts_by": "pushing"}, "parking.starts_by"),
            (edits.add_feed, {"name": "Main", "place": "moon"}, "feeds[0].place"),
            (edits.set_rule, {"key": "golden_rule", "value": 1.0}, "rules[0].key"),
            (edits.set_rule, {"key": "charging_v", "value": 50.0}, "rules[0].value"),
            (edits.add_panel, {"name": "Dash", "rows": 1, "columns": 1, "family": "mni"},
             "panels[0].slots[0].family"),
        ],
    )  # fmt: skip
    def test_what_stands_in_no_table_and_no_list_of_words_is_refused(self, edit, changes, where):
        van = Vehicle(name="Van")
        with pytest.raises(EditRefused) as caught:
            refuse_edit(van, edit(van, **changes))
        assert caught.value.where == in_words(where)
        assert caught.value.remedy

    def test_a_wrong_word_is_found_where_it_stands_among_parts_let_in_before(self):
        van = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 2)
        van = edits.add_feed(edits.add_feed(van, "Main"), "Side")
        (panel,) = van.panels
        slots = (*panel.slots[:2], replace(panel.slots[2], orientation="askew"), panel.slots[3])
        wrong = {
            "panels[0].slots[2].orientation": {"panels": (replace(panel, slots=slots),)},
            "panels[0].place": {"panels": (replace(panel, place="moon"),)},
            "feeds[1].place": {"feeds": (van.feeds[0], replace(van.feeds[1], place="moon"))},
        }
        for where, changes in wrong.items():
            with pytest.raises(EditRefused) as caught:
                refuse_edit(van, replace(van, **changes))
            assert caught.value.where == in_words(where)


# --- whatever is done -----------------------------------------------------------------------------

BEYOND = (0.0, -1.0, 1e-12, 1e300, -1e300, float("nan"), float("inf"), 1e9, 5e-324)


def anything(name: str, kind: inspect.Type) -> st.SearchStrategy[Any]:
    """A value of the right sort for a field: possible, at the ends of what is, or far beyond."""
    match kind:
        case inspect.UnionType(types=types):
            return st.one_of(*(anything(name, one) for one in types))
        case inspect.FloatType():
            return st.floats(*span(name)) | st.sampled_from([*span(name), *BEYOND])
        case inspect.IntType():
            return st.integers(-1, 70) | st.sampled_from([*map(int, span(name)), 10**30])
        case inspect.LiteralType(values=values):
            return st.sampled_from([*values, *values, "no such word"])
        case inspect.StrType():
            return st.text(max_size=5) | st.sampled_from(["x" * 501, "slot-1", "mini", "0,1" * 99])
        case inspect.StructType(cls=cls):
            return parts(cls) | st.builds(cls, **_any_fields(cls))
        case inspect.VarTupleType(item_type=item):
            few = st.lists(anything(name, item), max_size=3).map(tuple)
            many = MOST.get(name, MOST_OTHERS) + 1
            return few | few.map(lambda items: items[:1] * many)
        case inspect.NoneType():
            return st.none()
    return st.booleans()


def _any_fields(struct: type[Struct]) -> dict[str, st.SearchStrategy[Any]]:
    return {f.name: anything(f.name, f.type) for f in inspect.type_info(struct).fields}


def any_changes(struct: type[Struct], *but: str) -> st.SearchStrategy[dict[str, Any]]:
    """Some fields of a part with any values; its id and what has edits of its own keep theirs."""
    free = {name: of for name, of in _any_fields(struct).items() if name not in ("id", *but)}
    names = st.lists(st.sampled_from(sorted(free)), min_size=1, max_size=3, unique=True)
    return names.flatmap(lambda chosen: st.fixed_dictionaries({n: free[n] for n in chosen}))


def any_slot(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_slot(vehicle, ask(ids(look_up.slots(vehicle))), **ask(any_changes(Slot)))


def any_panel(vehicle: Vehicle, ask: Ask) -> Vehicle:
    changes = ask(any_changes(Panel, "slots"))
    return edits.change_panel(vehicle, ask(ids(vehicle.panels)), **changes)


def any_feed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_feed(vehicle, ask(ids(vehicle.feeds)), **ask(any_changes(Feed)))


def new_feed(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.add_feed(vehicle, "New", **ask(any_changes(Feed, "name")))


def any_accessory(vehicle: Vehicle, ask: Ask) -> Vehicle:
    changes = ask(any_changes(Accessory))
    return edits.change_accessory(vehicle, ask(ids(vehicle.accessories)), **changes)


def any_tap(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_tap(vehicle, ask(ids(vehicle.taps)), **ask(any_changes(Tap, "accessory")))


def any_battery(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_battery(vehicle, **ask(any_changes(Battery)))


def any_second_battery(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_second_battery(vehicle, **ask(any_changes(SecondBattery)))


def any_parking(vehicle: Vehicle, ask: Ask) -> Vehicle:
    return edits.change_parking(vehicle, **ask(any_changes(Parking)))


def any_rule(vehicle: Vehicle, ask: Ask) -> Vehicle:
    key = ask(st.sampled_from([*sorted(tables.rule_defaults()), "golden_rule"]))
    return edits.set_rule(vehicle, key, ask(st.floats() | st.floats(0.0, 1.0)))


def any_meter(vehicle: Vehicle, ask: Ask) -> Vehicle:
    ranges = ask(_any_fields(Meter)["ranges"])
    return reading_edits.add_meter(vehicle, "Pocket meter", ranges)


def any_readings(vehicle: Vehicle, ask: Ask) -> Vehicle:
    known = {"when": WHEN, "quantity": "volts", "value": 12.0, "target": "vehicle"}
    return reading_edits.add_readings(vehicle, [known | ask(any_changes(Reading))])


def many_readings(vehicle: Vehicle, ask: Ask) -> Vehicle:
    one = {"when": WHEN, "quantity": "volts", "value": 12.0, "target": "vehicle"}
    return reading_edits.add_readings(vehicle, [one] * ask(st.sampled_from([2, 20_001])))


def long_history(vehicle: Vehicle, ask: Ask) -> Vehicle:
    text = "x" * ask(st.sampled_from([5, MOST_LONG, MOST_LONG + 1]))
    for _ in range(ask(st.sampled_from([1, 70, 201]))):
        vehicle = edits.add_log(vehicle, WHEN, text)
    return vehicle


def any_vehicle(vehicle: Vehicle, ask: Ask) -> Vehicle:
    name, volts = ask(st.text(max_size=5)), ask(st.sampled_from([12, 24, 36]))
    return edits.change_vehicle(vehicle, name=name, system_v=volts)


def a_paste(vehicle: Vehicle, ask: Ask) -> Vehicle:
    rows = ask(st.lists(st.lists(st.sampled_from(CELLS), max_size=6), max_size=4))
    times = ask(st.sampled_from([1, 500]))
    text = "Slot;Rating;Feed;mV;Current;Note\n" + "\n".join([";".join(row) for row in rows] * times)
    return paste.take_in(vehicle, paste.preview(vehicle, text, WHEN), WHEN)


CELLS = ("F1", "F2", "", "10", "7,5", "0,4", "35 mA", "permanent", "1e99", "x" * 600, "=1+1", "\0")
WILD = (
    any_slot, any_slot, any_panel, any_feed, new_feed, any_accessory, any_accessory, any_tap,
    any_battery, any_second_battery, any_parking, any_rule, any_meter, any_readings, many_readings,
    long_history, any_vehicle, a_paste,
)  # fmt: skip


def assert_holds(vehicle: Vehicle) -> None:
    """It can be assessed, saved and kept, and comes back the same."""
    assert list(vehicle_faults(vehicle)) == [], "the gate lets through what it refuses as a whole"
    assert files.parse(files.render(vehicle)) == vehicle
    assert files.parse(files.compact(vehicle)) == vehicle
    a = assess(vehicle)
    for figures in (a.battery_a, a.battery_v, a.slots.live_contact_a, a.feeds.current_a):
        assert np.isfinite(figures).all()
    assert a.parked.hours >= 0.0


def assert_on_disk(vehicle: Vehicle) -> None:
    with tempfile.TemporaryDirectory() as made:
        path = Path(made) / "van.fusemap"
        files.write_vehicle(path, vehicle)
        assert files.read_vehicle(path) == vehicle
        keeper = Keeper(Path(made), "1")
        keeper.write(vehicle, path)
        keeper.settle()
        (kept,) = Path(made).glob("*.kept")
        assert files.parse(kept.read_bytes().partition(b"\n")[2]) == vehicle


@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicles(usual=True) | vehicles(), st.data())
def test_what_any_edit_accepts_can_be_saved_kept_read_again_and_assessed(start, data):
    vehicle = start
    for _ in range(data.draw(st.integers(1, 8))):
        action = data.draw(st.sampled_from([*WILD, *WILD, *ORDINARY]))
        try:
            after = action(vehicle, data.draw)
            refuse_edit(vehicle, after)
        except (EditRefused, InputProblem):
            event(f"{action.__name__} refused")
            continue
        event(f"{action.__name__} done")
        assert_holds(after)
        vehicle = after
    assert_on_disk(vehicle)


def depth(kind: inspect.Type) -> int:
    """In how many objects and lists a value of a kind may stand inside one another."""
    if isinstance(kind, inspect.UnionType):
        return max(map(depth, kind.types))
    if isinstance(kind, inspect.StructType):
        return 1 + max(depth(field.type) for field in kind.fields)
    if isinstance(kind, inspect.VarTupleType | inspect.ListType):
        return 1 + depth(kind.item_type)
    if isinstance(kind, inspect.TupleType):
        return 1 + max(map(depth, kind.item_types))
    if isinstance(kind, inspect.DictType):
        return 1 + depth(kind.value_type)
    return 0


def test_no_sign_of_a_file_becomes_more_than_is_reckoned_with_when_it_is_indented() -> None:
    """Each may begin a line, end one and be indented by two for each part that it is in."""
    deep = depth(inspect.type_info(Vehicle))
    assert 4 < deep <= 10
    assert 2 + 2 * deep < MOST_INDENTED
