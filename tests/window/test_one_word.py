"""What a slot is not taken for is one word in the list of sources, in a drag and at its form."""

import pytest

from fusemap.assess import assess
from fusemap.catalogues import LANGUAGES
from fusemap.placement import candidates
from fusemap.style import Style
from fusemap.vehicle import Vehicle, edits, look_up
from fusemap.vehicle.words import FEED
from fusemap.window.forms.slot_form import MARKED
from fusemap.window.panel.offer_paint import reason_text
from fusemap.window.panel.panel_drop import Offer
from fusemap.window.texts.languages import speak

MARKS = {
    "slot-1": ({"critical": True}, MARKED["critical", True]),
    "slot-2": ({"monitored": True}, MARKED["monitored", True]),
    "slot-3": ({"feed_class": "unfed"}, FEED["unfed"].feed),
}


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_mark_is_one_word_wherever_it_is_said(qapp: object, language: str) -> None:
    van = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 3)
    for slot_id, (changes, _) in MARKS.items():
        van = edits.change_slot(van, slot_id, **{"feed_class": "permanent"} | changes)
    van = edits.add_accessory(van, "Camera", watts=4.0)
    style = Style(language)
    speak(style)
    try:
        for each in candidates(van, assess(van), van.accessories[0]):
            words = style.show(MARKS[each.slot_id][1])
            dragged = reason_text(look_up.slot(van, each.slot_id), Offer(each, 0), style)
            assert (style.show(each.verdict), dragged) == (words, words)
    finally:
        speak("en")
