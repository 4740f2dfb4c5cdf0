"""What a vehicle file holds, and what is said about one that does not."""

import json

import pytest
from hypothesis import HealthCheck, given, settings

from fusemap import files, tables
from fusemap.errors import FileProblem
from fusemap.files import demos
from fusemap.vehicle import (
    Accessory,
    Battery,
    Cable,
    Feed,
    Fuse,
    Panel,
    RuleChoice,
    Slot,
    Tap,
    Vehicle,
    edits,
)
from fusemap.vehicle.validity import faults
from tests.strategies import vehicles


def van() -> Vehicle:
    """A van with one panel of two rows of four, a fuse in the last slot."""
    made = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 4)
    return edits.change_slot(made, "slot-8", fuse=Fuse(family="mini", rating=10))


def fields(vehicle: Vehicle | None = None) -> dict:
    """The fields of a file, to be broken."""
    return json.loads(files.render(vehicle or van()))


def problem(text: str | bytes | dict) -> FileProblem:
    """What is said about a file."""
    given_text = json.dumps(text) if isinstance(text, dict) else text
    with pytest.raises(FileProblem) as caught:
        files.parse(given_text, "van.fusemap")
    assert caught.value.what
    assert caught.value.remedy
    return caught.value


class TestWhatStandsInIt:
    def test_format_and_version_come_first_then_what_is_not_its_default(self):
        lines = files.render(van()).splitlines()
        assert lines[:5] == [
            "{",
            '  "format": "fusemap vehicle",',
            '  "version": 8,',
            '  "name": "Van",',
            '  "panels": [',
        ]
        assert not any("note" in line or "battery" in line for line in lines)

    def test_it_is_utf_8_that_can_be_read_by_eye(self):
        text = files.render(Vehicle(name="Kübelwagen ½ 🚐"))
        assert "Kübelwagen ½ 🚐" in text
        assert text.endswith("}\n")

    @settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
    @given(vehicles())
    def test_what_is_written_is_what_is_read(self, vehicle):
        assert list(faults(vehicle)) == []
        text = files.render(vehicle)
        again = files.parse(text)
        assert again == vehicle
        assert files.render(again) == text

    def test_bytes_with_a_mark_at_the_front_are_read_too(self):
        assert files.parse(b"\xef\xbb\xbf" + files.render(van()).encode()) == van()

    def test_a_vehicle_of_300_slots_stays_far_below_the_bound(self):
        bus = Vehicle(name="Bus")
        for _ in range(5):
            bus = edits.add_panel(bus, "Panel", 6, 10)
        assert len(files.render(bus)) < files.validate.MOST_BYTES / 100


class TestNotAVehicleFile:
    @pytest.mark.parametrize("text", ["", "  \n", b"", b"\xef\xbb\xbf"])
    def test_empty(self, text):
        assert "empty" in problem(text).what

    def test_too_large(self):
        error = problem(b" " * (files.validate.MOST_BYTES + 1))
        assert "20 MB" in error.what
        assert error.where == "van.fusemap"

    def test_not_text(self):
        assert "byte 3" in problem(b"{ \n\xff\xfe").what

    @pytest.mark.parametrize("text", ["Fuses of my van\n1 15 A radio\n", "<html></html>", "[1, 2"])
    def test_a_text_that_is_no_vehicle_is_said_to_be_none(self, text):
        """Not where the reader of JSON gave up: “line 1, column 1: expecting value”."""
        with pytest.raises(FileProblem) as caught:
            files.parse(text, "notes.txt")
        assert "not a vehicle file" in caught.value.what
        assert caught.value.remedy == "choose a vehicle file"

    def test_broken_json_names_line_and_column(self):
        error = problem('{\n  "format": "fusemap vehicle",\n  "version" 1\n}')
        assert error.where == "van.fusemap"
        assert str(error.what).startswith("line 3, column 13: ")

    def test_cut_short_it_is_broken_at_its_end(self):
        text = files.render(van())
        cut = text[: len(text) // 2]
        assert f"line {cut.count(chr(10)) + 1}, " in problem(cut).what

    def test_nested_without_end(self):
        assert "nested" in problem("[" * 200_000).what
        assert "nested" in problem('{"a":' * 200_000).what

    def test_a_number_of_thousands_of_digits(self):
        assert "too long" in problem('{"format": ' + "1" * 5000 + "}").what

    @pytest.mark.parametrize(
        "text", ["[]", "1", '"x"', "{}", '{"format": "other"}', '{"format": ["fusemap vehicle"]}']
    )
    def test_another_format(self, text):
        error = problem(text)
        assert error.where == "van.fusemap"
        assert "not a vehicle file" in error.what

    @pytest.mark.parametrize("version", [None, "1", 0, -1, 1.0, True])
    def test_no_version(self, version):
        assert problem({"format": files.FORMAT, "version": version}).where == "version"

    def test_newer_than_this_program(self):
        error = problem(fields() | {"version": files.VERSION + 1, "hovercraft": True})
        assert f"version {files.VERSION + 1}" in error.what
        assert f"version {files.VERSION}" in error.what
        assert "newer" in error.remedy


class TestFieldsThatAreWrong:
    def change(self, *steps_and_value) -> FileProblem:
        *steps, value = steps_and_value
        whole = at = fields()
        for step in steps[:-1]:
            at = at[step]
        at[steps[-1]] = value
        return problem(whole)

    def test_a_rating_the_family_does_not_have(self):
        error = self.change("panels", 0, "slots", 7, "fuse", "rating", 12)
        ratings = ", ".join(f"{r:g}" for r in tables.fuse_family("mini").ratings_a)
        assert str(error) == (
            "panels[0].slots[7].fuse.rating: 12 is not a rating of the mini family "
            f"(its ratings are {ratings} A)"
        )

    def test_text_where_a_number_belongs(self):
        error = self.change("panels", 0, "slots", 7, "fuse", "rating", "ten")
        assert error.where == "panels[0].slots[7].fuse.rating"
        assert error.what == "this is text, where a number belongs"

    def test_null_where_a_list_belongs(self):
        error = self.change("panels", None)
        assert (error.where, error.what) == ("panels", "this is null, where a list [ ] belongs")

    def test_a_field_that_is_missing(self):
        whole = fields()
        del whole["panels"][0]["slots"][3]["id"]
        error = problem(whole)
        assert (error.where, error.what) == ("panels[0].slots[3].id", "it is missing")

    def test_an_unknown_field_and_the_one_that_was_meant(self):
        error = self.change("panels", 0, "slots", 2, "familly", "mini")
        assert error.where == "panels[0].slots[2].familly"
        assert error.remedy == "did you mean “family”?"

    def test_an_unknown_field_like_no_other_is_told_what_is_known(self):
        error = self.change("battery", {"quux": 1})
        assert error.where == "battery.quux"
        assert "capacity_ah" in error.remedy

    def test_an_unknown_field_of_a_part_that_may_be_missing(self):
        assert self.change("panels", 0, "slots", 7, "fuse", "ratng", 10).remedy == (
            "did you mean “rating”?"
        )

    def test_an_unknown_field_at_the_top(self):
        assert self.change("feds", []).remedy == "did you mean “feeds”?"

    def test_an_unknown_word(self):
        error = self.change("panels", 0, "slots", 1, "feed_class", "permanant")
        assert error.where == "panels[0].slots[1].feed_class"
        assert (error.what, error.remedy) == (
            "“permanant” is not known here",
            "did you mean “permanent”?",
        )

    def test_a_voltage_no_vehicle_has(self):
        error = self.change("system_v", 36)
        assert (error.where, error.remedy) == ("system_v", "known are 12, 24")

    def test_a_number_beyond_all_floats_is_still_placed(self):
        text = files.render(edits.change_battery(van(), capacity_ah=70.0))
        error = problem(text.replace("70.0", "1e999"))
        assert error.where == "battery.capacity_ah"
        assert error.what == "inf is not a number"

    def test_a_whole_number_beyond_all_belief(self):
        assert "huge" in self.change("battery", {"parallel": 10**40}).what

    def test_not_a_number_is_not_a_number(self):
        text = files.render(edits.change_battery(van(), capacity_ah=70.0))
        assert problem(text.replace("70.0", "NaN")).where == "battery.capacity_ah"

    def test_half_a_character(self):
        text = files.render(Vehicle(name="Van")).replace("Van", r"Van\ud83d")
        assert (problem(text).where, problem(text).remedy) == ("name", "type this text again")


class TestPartsThatCannotBe:
    def test_a_slot_outside_its_panel(self):
        panel = Panel(
            id="p", name="Dash", rows=4, columns=4, slots=(Slot(id="s", row=9, column=0),)
        )
        error = problem(files.render(Vehicle(name="Van", panels=(panel,))))
        assert (error.where, error.what) == (
            "panels[0].slots[0].row",
            "9 is outside the panel's 4 rows",
        )

    @pytest.mark.parametrize(
        ("vehicle", "where"),
        [
            (Vehicle(name="x", taps=(Tap(id="t", accessory="a", slot="s"),)), "taps[0].accessory"),
            (Vehicle(name="x", feeds=(Feed(id="f", name="F", parent="f"),)), "feeds"),
            (Vehicle(name="x", feeds=(Feed(id="f", name="F", parent="g"),)), "feeds[0].parent"),
            (Vehicle(name="x", accessories=(Accessory(id="a", name="A"),)), "accessories[0].watts"),
            (Vehicle(name="x", battery=Battery(soh=-1.0)), "battery.soh"),
            (
                Vehicle(
                    name="x",
                    panels=(
                        Panel(id="p", name="P", rows=1, columns=1),
                        Panel(id="p", name="Q", rows=1, columns=1),
                    ),
                ),
                "panels[1].id",
            ),
        ],
    )
    def test_other_contradictions_name_their_place(self, vehicle, where):
        assert problem(files.render(vehicle)).where == where

    @pytest.mark.parametrize(
        ("vehicle", "where", "what"),
        [
            (
                Vehicle(
                    name="x", feeds=(Feed(id="f", name="F", fuse=Fuse(family="mni", rating=10)),)
                ),
                "feeds[0].fuse.family",
                "“mni” is not a fuse family",
            ),
            (
                Vehicle(
                    name="x",
                    accessories=(Accessory(id="a", name="A", watts=1.0),),
                    taps=(
                        Tap(
                            id="t",
                            accessory="a",
                            kind="own_feed",
                            cable_back=Cable(section_mm2=1.0, length_m=1.0, insulation="silk"),
                        ),
                    ),
                ),
                "taps[0].cable_back.insulation",
                "“silk” is not a cable insulation",
            ),
            (
                Vehicle(
                    name="x", accessories=(Accessory(id="a", name="A", watts=1.0, kind="ufo"),)
                ),
                "accessories[0].kind",
                "“ufo” is not a kind of accessory",
            ),
            (
                Vehicle(name="x", rules=(RuleChoice(key="golden_rule", value=1.0),)),
                "rules[0].key",
                "“golden_rule” is not a named rule",
            ),
        ],
    )
    def test_what_no_table_has(self, vehicle, where, what):
        error = problem(files.render(vehicle))
        assert (error.where, error.what) == (where, what)


class TestReadingAndWriting:
    def test_a_file_is_written_and_read(self, tmp_path):
        path = tmp_path / "van.fusemap"
        files.write_vehicle(path, van())
        assert files.read_vehicle(path) == van()

    def test_what_could_not_be_read_again_is_not_written(self, tmp_path):
        path = tmp_path / "van.fusemap"
        files.write_vehicle(path, van())
        with pytest.raises(FileProblem, match="golden_rule"):
            files.write_vehicle(path, edits.set_rule(van(), "golden_rule", 1.0))
        assert files.read_vehicle(path) == van()

    def test_a_file_that_is_not_there(self, tmp_path):
        with pytest.raises(FileProblem, match="no such file"):
            files.read_vehicle(tmp_path / "gone.fusemap")

    def test_a_folder(self, tmp_path):
        with pytest.raises(FileProblem, match="folder"):
            files.read_vehicle(tmp_path)

    def test_a_file_without_end_is_read_no_further_than_the_bound(self, tmp_path):
        path = tmp_path / "long.fusemap"
        with open(path, "wb") as file:
            file.truncate(3_000_000_000)  # holes: takes no room on the disk
        with pytest.raises(FileProblem, match="20 MB"):
            files.read_vehicle(path)


@pytest.mark.parametrize(("key", "title"), demos.demo_names())
def test_a_demo_vehicle_is_written_as_it_stands_in_its_file(key, title):
    assert files.render(demos.read_demo(key)) == demos.demo_text(key)
    assert demos.read_demo(key).name == title
