"""A slot's place and its feed as a reader is told them: in the language shown, and once."""

import re
from pathlib import Path

import pytest

import fusemap.window
from fusemap.assess import assess
from fusemap.files.demos import read_demo
from fusemap.text import ENGLISH, Style
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.words import FEED
from fusemap.window.chosen.accessory_facts import accessory_facts, seat
from fusemap.window.chosen.facts import slot_facts
from fusemap.window.forms.choices import sources
from fusemap.window.pages.own_tables import fitting_rows, own_tables
from fusemap.window.shelf.shelf_rows import own_rows
from tests.vehicles import one_slot, only_slot, with_accessory

GERMAN = Style("de")


def labelled(label: str) -> Vehicle:
    """A vehicle whose one slot has this label and an accessory on it."""
    vehicle = with_accessory(one_slot())
    return edits.change_slot(vehicle, only_slot(vehicle).id, label=label, circuit="")


def test_the_place_of_a_slot_without_a_label_is_said_in_the_language_shown() -> None:
    vehicle = labelled("")
    (slots, *_) = own_tables(vehicle, assess(vehicle), GERMAN)
    (row,) = fitting_rows(slots, "", GERMAN).values()
    assert row[0] == "Zeile 1, Spalte 1"
    assert own_rows(vehicle, GERMAN)[0].short == "Zeile 1, Spalte 1"
    assert sources(vehicle, GERMAN)[0][1] == "Zeile 1, Spalte 1"


def test_no_view_asks_for_the_name_that_is_english_where_there_is_no_label() -> None:
    asked = re.compile(r"look_up\.(slot_name|slot_and_circuit)\(")
    folder = Path(fusemap.window.__file__).parent
    assert [each.name for each in folder.rglob("*.py") if asked.search(each.read_text())] == []


@pytest.mark.parametrize(("label", "words"), [("7", "an Platz 7"), ("F7", "an F7")])
def test_an_accessory_on_a_slot_with_a_bare_number_sits_on_a_slot(label: str, words: str) -> None:
    vehicle = labelled(label)
    assert GERMAN.show(seat(vehicle, vehicle.accessories[0])) == words


def test_where_an_accessory_sits_stands_in_its_head_alone() -> None:
    vehicle = labelled("F7")
    accessory = vehicle.accessories[0]
    where = str(seat(vehicle, accessory))
    assert where not in [str(each.value) for each in accessory_facts(vehicle, accessory)]
    accessories = own_tables(vehicle, assess(vehicle), ENGLISH)[1]
    assert str(accessories.rows[0][2]) == where


@pytest.mark.parametrize("language", ["en", "de", "es", "fr", "nl"])
@pytest.mark.parametrize("key", ["family_estate", "light_truck"])
def test_a_feed_whose_name_says_its_class_is_not_told_the_class_before(
    key: str, language: str
) -> None:
    style, vehicle = Style(language), read_demo(key, language)
    checked = 0
    for slot in look_up.slots(vehicle):
        told = {each.key: each.value for each in slot_facts(vehicle, None, slot, style)}
        if "feed" not in told:
            continue
        said = style.show(told["feed"])
        label, number = style.show(FEED[slot.feed_class].label), FEED[slot.feed_class].terminal
        assert said.casefold().count(label.casefold()) <= 1
        if number:
            assert not (f"({number})" in said and said.startswith(f"{label}, "))
        checked += 1
    assert checked > 5


def test_a_feed_whose_name_says_nothing_of_its_class_keeps_it() -> None:
    vehicle = one_slot()
    named = edits.change_feed(vehicle, vehicle.feeds[0].id, name="Main stud")
    told = {
        each.key: str(each.value) for each in slot_facts(named, None, only_slot(named), ENGLISH)
    }
    assert told["feed"] == "permanent, Main stud"
