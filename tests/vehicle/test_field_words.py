"""Every field of the document has a word, so that no refusal names one as the file does."""

from collections.abc import Iterator

import pytest
from msgspec import Struct

from fusemap.errors import EditRefused
from fusemap.style import Style
from fusemap.vehicle import Vehicle, edits, model, parts
from fusemap.vehicle.field_words import FIELDS, PARTS, in_words
from fusemap.vehicle.words import STATES


def field_names() -> Iterator[str]:
    for module in (model, parts):
        for each in vars(module).values():
            if isinstance(each, type) and issubclass(each, Struct):
                yield from each.__struct_fields__


def test_every_field_there_is_has_a_word() -> None:
    assert set(field_names()) - set(STATES) <= set(FIELDS) | set(PARTS)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("parent", "Supplied by"),
        ("battery", "On battery"),
        ("battery.capacity_ah", "Battery, capacity"),
        ("panels[0].slots[2].fuse.rating", "Panel 1, slot 3, fuse rating"),
        ("second_battery.link_cable.length_m", "Second battery, cable of the link, length"),
        ("own_load.asleep", "Own load, asleep"),
        ("", "Vehicle"),
    ],
)
def test_the_way_to_a_field_is_said_in_words(path: str, words: str) -> None:
    assert in_words(path) == words


def test_a_refusal_names_its_field_in_the_language_of_the_user() -> None:
    van = edits.add_feed(Vehicle(name="Van"), "Main")
    with pytest.raises(EditRefused) as caught:
        edits.change_feed(van, "feed-1", parent="feed-1")
    assert Style("de").show(caught.value.where) == "Versorgt von"
    assert Style("fr").show(caught.value.where) == "Alimenté par"
