"""One table of words for vehicle states and for feed classes, and one of units by field."""

from typing import get_args

import pytest

from fusemap.catalogues import LANGUAGES, messages
from fusemap.text import Style, Text
from fusemap.vehicle import FEED_CLASSES, STATES, Battery, Parking, Tap
from fusemap.vehicle.words import FEED, STATE, FeedClass, State, unit_of

WORDS = [
    text
    for table in (STATE, FEED)
    for words in table.values()
    for text in words
    if isinstance(text, Text)
]


def test_every_state_and_every_feed_class_has_its_words() -> None:
    assert set(STATE) == set(get_args(State)) == set(STATES)
    assert set(FEED) == set(get_args(FeedClass)) == set(FEED_CLASSES)
    assert all(isinstance(text, Text) and text for text in WORDS)


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_every_language_has_the_words_for_states_and_feeds(code: str) -> None:
    assert not [t for t in WORDS if not messages(code).knows(t.template, t.context)]


def test_the_class_of_a_feed_is_not_called_as_an_accessory_is() -> None:
    german = Style("de")
    assert german.show(FEED["accessory"].label) != german.show(Text("accessory"))


def test_no_two_states_or_classes_are_called_alike() -> None:
    for table in (STATE, FEED):
        for form in zip(*table.values(), strict=True):
            texts = {str(each) for each in form if isinstance(each, Text)}
            assert len(texts) in (0, len(table))


def test_the_unit_of_a_field_is_told_by_its_name() -> None:
    assert unit_of("rest_current_a") == "A"
    assert unit_of("section_mm2") == "mm²"
    assert unit_of("age_years") == "years"
    assert unit_of("low_soc") == "%"
    assert unit_of("parallel") == ""


@pytest.mark.parametrize("part", [Battery, Parking, Tap])
def test_every_figure_with_a_unit_in_its_name_has_that_unit(part: type) -> None:
    ends = {"a": "A", "v": "V", "c": "°C", "h": "h", "min": "min", "mohm": "mΩ", "ah": "Ah"}
    for name in part.__struct_fields__:  # type: ignore[attr-defined]
        end = name.rpartition("_")[2]
        if "_" in name and end in ends:
            assert unit_of(name) == ends[end], name
