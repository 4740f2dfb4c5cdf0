"""The ranked sources of an accessory: reasons in words, Enter places, the panel shows the same."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.placement import candidates
from fusemap.vehicle import edits, look_up
from fusemap.window.document import Document
from fusemap.window.forms.source_list import SourceList
from fusemap.window.parts.row_list import LOOK
from fusemap.window.style.theme import LIGHT

Key = Qt.Key


@pytest.fixture
def shown(document: Document, qtbot: Any) -> SourceList:
    document.select("accessory", "accessory-2")
    view = SourceList(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(500, 500)
    with qtbot.waitExposed(view):
        view.show()
    return view


def slots(view: SourceList) -> list[str]:
    return [row.slot_id for row in view.model.rows]


def go_to(view: SourceList, slot_id: str) -> None:
    view.list.setCurrentIndex(view.model.index(slots(view).index(slot_id), 0))


def test_every_slot_is_listed_in_the_order_of_the_ranking(
    shown: SourceList, document: Document
) -> None:
    cool_box = look_up.accessory(document.vehicle, "accessory-2")
    ranked = candidates(document.vehicle, document.assessment, cool_box)
    assert slots(shown) == [c.slot_id for c in ranked]
    first = shown.model.index(0, 0).data(LOOK)
    assert first.mark == "fits"
    assert str(ranked[0].reasons[0]) in first.text
    assert shown.summary.text() == "One slot can take it."


def test_a_slot_that_is_ruled_out_names_the_rule(shown: SourceList) -> None:
    row = shown.model.rows[slots(shown).index("slot-3")]
    assert row.look.mark == "no"
    assert "Its circuit must be left alone: airbags." in row.look.text


def test_enter_places_it_as_one_step(shown: SourceList, document: Document, qtbot: Any) -> None:
    before = document.vehicle
    qtbot.keyClick(shown.list, Key.Key_Return)
    tap = look_up.tap_of(document.vehicle, "accessory-2")
    assert tap is not None
    assert tap.slot == "slot-2"
    assert tap.fuse is not None
    assert document.stack.count() == 1
    document.stack.undo()
    assert document.vehicle == before


def test_enter_on_a_ruled_out_slot_says_why(
    shown: SourceList, document: Document, qtbot: Any
) -> None:
    told: list[str] = []
    document.refused.connect(lambda error: told.append(str(error)))
    go_to(shown, "slot-3")
    assert not shown.button.isEnabled()
    qtbot.keyClick(shown.list, Key.Key_Return)
    assert document.stack.count() == 0
    assert "left alone" in told[0]


def test_where_it_sits_now_is_said_and_not_offered_again(
    shown: SourceList, document: Document, qtbot: Any
) -> None:
    qtbot.keyClick(shown.list, Key.Key_Return)
    qtbot.waitUntil(lambda: any(row.now for row in shown.model.rows))
    row = next(row for row in shown.model.rows if row.now)
    assert row.slot_id == "slot-2"
    assert "(here now)" in row.look.text
    go_to(shown, "slot-2")
    assert not shown.button.isEnabled()


def test_each_lead_has_its_own_ranking(shown: SourceList, document: Document, qtbot: Any) -> None:
    assert not shown.lead.isVisible()
    document.apply("x", edits.change_accessory, "accessory-2", leads=("power", "sense"))
    qtbot.waitUntil(shown.lead.isVisible)
    power = shown.model.rows
    qtbot.keyClick(shown.lead, Key.Key_Down)
    qtbot.waitUntil(lambda: shown.model.rows != power)
    permanent = shown.model.rows[slots(shown).index("slot-4")]
    assert "A sense lead needs a switched slot" in permanent.look.text


def test_a_heavy_load_is_offered_a_relay_with_its_terminals(
    shown: SourceList, document: Document, qtbot: Any
) -> None:
    document.apply("x", edits.change_accessory, "accessory-2", watts=240.0)
    qtbot.waitUntil(lambda: shown.model.rows[0].slot_id == "")
    text = shown.model.rows[0].look.text
    for part in ("Own feed with a relay", "Terminal 30", "Terminal 86", "belongs on an own feed"):
        assert part in text
    shown.list.setCurrentIndex(shown.model.index(0, 0))
    qtbot.keyClick(shown.list, Key.Key_Return)
    power = look_up.tap_of(document.vehicle, "accessory-2")
    sense = look_up.tap_of(document.vehicle, "accessory-2", "sense")
    assert power is not None
    assert power.relay
    assert sense is not None
    assert document.stack.count() == 2


def test_show_on_the_panel_takes_the_lead_up(shown: SourceList, qtbot: Any) -> None:
    with qtbot.waitSignal(shown.show_on_panel) as told:
        qtbot.mouseClick(shown.panel_button, Qt.MouseButton.LeftButton)
    assert told.args == [{"accessory": "accessory-2", "lead": "power"}]


def test_another_accessory_begins_at_its_best_source(
    shown: SourceList, document: Document, qtbot: Any
) -> None:
    go_to(shown, "slot-3")
    document.select("accessory", "accessory-1")
    qtbot.waitUntil(lambda: any(row.now for row in shown.model.rows))
    assert shown.list.currentIndex().row() == 0
