"""What differs is said in the words of the window, short, with units, and nothing left out."""

from typing import Any

from hypothesis import HealthCheck, given, settings

from fusemap.text import ENGLISH, Style
from fusemap.vehicle import BATTERY, Cable, Fuse, Slot, StateLoads, Tap, Vehicle, WakeUp, edits
from fusemap.vehicle.difference import Difference, FieldChange, differences
from fusemap.vehicle.model import (
    Accessory,
    Battery,
    Converter,
    Drive,
    Feed,
    Maintainer,
    Panel,
    Parking,
    SecondBattery,
    VoltageCutOff,
)
from fusemap.vehicle.words import STATE
from fusemap.window.files.difference_words import CHOICES, FIELDS, MOST_LETTERS, row, rows
from fusemap.window.texts.languages import speak
from tests.strategies import vehicles


def said(
    name: str, before: object, after: object, part: str = "slot", style: Style = ENGLISH
) -> str:
    change = FieldChange(name, before, after)
    return style.show(row(Difference(part, "changed", "F1 Radio", (change,)))[1]).replace(
        "\u202f", " "
    )


def test_a_part_is_named_by_its_sort_and_its_name() -> None:
    assert row(Difference("slot", "added", "F1 Radio")) == ("Slot F1 Radio", "added")
    assert row(Difference("battery", "changed", "", ()))[0] == "Battery"
    assert row(Difference("hovercraft_skirt", "removed", "front")) == (
        "hovercraft skirt front",
        "removed",
    )


def test_figures_have_their_units() -> None:
    assert said("fuse.rating", 10.0, 15.0) == "fuse rating 10 A → 15 A"
    assert said("standby_a", 0.0, 0.035) == "standby current 0 A → 35 mA"
    assert said("capacity_ah", None, 70.0) == "capacity not given → 70 Ah"
    assert said("soh", 1.0, 0.85) == "health 100 % → 85 %"
    assert said("own_load.ignition", None, 2.5) == "own load, ignition on not given → 2.5 A"
    assert said("cable_out.section_mm2", 1.5, 2.5) == "cable out, section 1.5 mm² → 2.5 mm²"


def test_the_load_that_somebody_else_s_map_says_is_named_as_the_slot_s_own() -> None:
    assert said("borrowed.own_load.asleep", 1.0, 2.0) == "own load, asleep 1 A → 2 A"


def test_what_supplies_a_slot_or_a_tap_is_said_where_it_is_no_feed() -> None:
    assert said("feed", None, BATTERY) == "feed not known → straight from the battery"
    assert said("feed", "feed-1", None) == "feed “feed-1” → not known"
    assert said("feed", "feed-1", None, "tap") == "feed “feed-1” → battery"
    assert said("own_most.asleep", None, 0.2) == "own load, at most, asleep not given → 0.2 A"


def test_what_comes_and_goes_is_none_or_what_it_is() -> None:
    assert said("fuse", Fuse(family="mini", rating=10), None) == "fuse 10 A → none"
    assert said("slot", "slot-1", None) == "slot “slot-1” → none"
    assert said("critical", False, True) == "leave alone no → yes"


def test_a_field_without_words_of_its_own_is_shown_by_its_name() -> None:
    assert said("coolant_min", 0.0, 20.0) == "coolant 0 min → 20 min"


def test_every_field_a_user_can_change_has_words() -> None:
    kept = {"id", "jpeg", "top_left", "top_right", "bottom_right", "bottom_left", "key"}
    for struct in (Accessory, Battery, Cable, Converter, Drive, Feed, Fuse, Maintainer, Parking,
                   Panel, SecondBattery, Slot, StateLoads, Tap, VoltageCutOff, WakeUp):  # fmt: skip
        # lists of parts are compared part by part
        missing = set(struct.__struct_fields__) - set(FIELDS) - set(STATE) - kept - {"slots"}
        assert not missing, struct.__name__


def test_what_differs_is_said_in_the_language_and_its_units() -> None:
    german = Style("de", length="ft")
    assert said("duty", 1.0, 0.31, "accessory", german) == "Einschaltdauer 100 % → 31 %"
    assert said("critical", False, True, "slot", german).endswith("nein → ja")
    assert said("cable_out.length_m", None, 3.048, "tap", german).endswith("→ 10 ft")


def test_what_was_chosen_is_said_as_the_form_offers_it(qapp: Any) -> None:
    speak("fr")
    french = Style("fr")
    try:
        for field, offered in CHOICES.items():
            first, *_, last = offered()
            words = said(field, first[0], last[0], "battery", french)
            assert words.endswith(f"{first[1]} → {last[1]}"), field
        kinds = said("chemistry", "flooded", "efb", "battery", french)
    finally:
        speak(Style())
    assert "flooded" not in kinds
    assert "EFB" in kinds


def test_a_name_stays_as_it_is_whatever_it_says() -> None:
    assert said("circuit", "Battery", "none", "slot", Style("de")).endswith("“Battery” → “none”")


def test_long_texts_are_cut_and_those_alike_in_front_only_said_to_have_changed() -> None:
    assert len(said("circuit", "", "x" * 500)) < MOST_LETTERS + 40
    assert said("note", "x" * 200, "x" * 201) == "note changed"


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(vehicles(), vehicles())
def test_any_two_vehicles_can_be_put_into_words(one: Vehicle, other: Vehicle) -> None:
    found = differences(one, other)
    for difference, texts in zip(found, rows(found), strict=True):
        what, how = map(str, texts)
        assert what
        assert how or not difference.fields
        assert "\n" not in what + how


def test_every_part_of_a_change_is_said() -> None:
    van = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 2)
    slot: Slot = van.panels[0].slots[0]
    after = edits.change_slot(
        van, slot.id, circuit="Radio", own_load=StateLoads(ignition=2.0, running=3.0)
    )
    ((_, how),) = rows(differences(van, after))
    assert str(how).count(";") == 2
