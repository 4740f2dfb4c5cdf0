"""The panel as a table: what each place says, and what is redrawn."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QModelIndex, Qt

from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import BATTERY, Fuse, StateLoads, edits, look_up
from fusemap.window.document import Document
from fusemap.window.panel.panel_model import LABEL, LOOK, PanelModel

SAYS = Qt.ItemDataRole.AccessibleTextRole
TEACHES = Qt.ItemDataRole.ToolTipRole


@pytest.fixture
def model(document: Document) -> PanelModel:
    return PanelModel(document, Style(), "panel-1", document)


def said(model: PanelModel, slot_id: str, role: int = SAYS) -> str:
    return str(model.index_of(slot_id).data(role)).replace(NARROW_SPACE, " ")


def redrawn(model: PanelModel) -> list[tuple[int, int]]:
    cells: list[tuple[int, int]] = []

    def note(top: QModelIndex, bottom: QModelIndex) -> None:
        assert top == bottom
        cells.append((top.row(), top.column()))

    model.dataChanged.connect(note)
    return cells


def test_the_model_keeps_qts_rules(model: PanelModel, qtmodeltester: Any) -> None:
    qtmodeltester.check(model, force_py=True)


def test_a_slot_says_everything_in_one_sentence(document: Document, model: PanelModel) -> None:
    figures = document.assessment.slots
    share, most = (
        round(100 * end.worst_share[figures.index["slot-1"]])
        for end in (figures, document.assessment.most.slots)
    )
    assert 30 < share < most < 50
    assert said(model, "slot-1") == (
        f"F1, 10 A mini, Radio, accessory feed, {share} % loaded, at most {most} %, "
        "tapped: Dash cam from the live side, 3 A"
    )
    assert said(model, "slot-3").startswith("F3, 7.5 A mini, Airbags, ignition feed, own load not")
    assert said(model, "slot-3").endswith("leave alone")


def test_no_slot_has_a_figure_before_it_is_assessed(
    document: Document, monkeypatch: pytest.MonkeyPatch, qtbot: Any
) -> None:
    """The panel is painted before its figures are there; it must not say 0 % meanwhile."""
    monkeypatch.setattr(Document, "numbers_ready", False)
    model = PanelModel(document, Style(), "panel-1", document)
    assert "%" not in said(model, "slot-1")
    assert "load being reckoned" in said(model, "slot-1")
    assert "Load being reckoned" in said(model, "slot-3", TEACHES)
    monkeypatch.undo()
    qtbot.waitUntil(lambda: "% loaded" in said(model, "slot-1"))
    assert "own load not measured" in said(model, "slot-3")


def test_a_slot_read_in_one_round_is_not_said_to_be_not_measured(
    document: Document, model: PanelModel
) -> None:
    """Read with the ignition on, where nothing flows: that much is known."""
    assert "own load not measured" in said(model, "slot-3")
    loads = StateLoads(ignition=0.0)
    document.apply("x", edits.change_slot, "slot-3", own_load=loads)
    assert "0 % loaded, at most 100 %" in said(model, "slot-3")
    assert "not measured" not in said(model, "slot-3", TEACHES)


def test_what_is_not_measured_is_not_said_to_be_nothing(
    document: Document, model: PanelModel
) -> None:
    slot = look_up.slot(document.vehicle, "slot-4")
    loads = replace(slot.own_load, running=None)
    document.apply("x", edits.change_slot, "slot-4", own_load=loads)
    assert "at most 100 %" in said(model, "slot-4")


def test_an_overloaded_slot_says_so(document: Document, model: PanelModel) -> None:
    slot = look_up.slot(document.vehicle, "slot-2")
    loads = replace(slot.own_load, running=14.0)
    document.apply("x", edits.change_slot, "slot-2", own_load=loads)
    assert "overloaded" in said(model, "slot-2")
    assert model.index_of("slot-2").data(LOOK).overloaded


def test_a_relay_an_empty_slot_and_a_gap_say_what_they_are(model: PanelModel) -> None:
    assert said(model, "slot-6") == "R1, relay, Starter relay"
    assert "empty, for mini" in said(model, "slot-5")
    gap = model.index(1, 2)
    assert gap.data(LOOK) is None
    assert gap.data(SAYS) == "gap, row 2, column 3"


def test_the_tooltip_teaches_what_the_marks_mean(model: PanelModel) -> None:
    told = said(model, "slot-3", TEACHES)
    assert "Leave alone (padlock): airbags" in told
    assert "Ignition feed: live with the ignition on" in told
    told = said(model, "slot-2", TEACHES)
    assert "Live side left" in told
    assert "worst with engine running" in told


def test_the_tooltip_says_what_supplies_a_slot(document: Document, model: PanelModel) -> None:
    document.apply("x", edits.add_feed, "Main fuse")
    document.apply("y", edits.change_slot, "slot-2", feed_class="permanent", feed=None)
    assert "Which feed is not known" in said(model, "slot-2", TEACHES)
    document.apply("y", edits.change_slot, "slot-2", feed=BATTERY)
    assert "Supplied by: straight from the battery" in said(model, "slot-2", TEACHES)
    document.apply("y", edits.change_slot, "slot-2", feed=document.vehicle.feeds[-1].id)
    assert "Supplied by: Main fuse" in said(model, "slot-2", TEACHES)


def test_the_tooltip_says_both_ends_of_a_load_that_is_only_bounded(
    document: Document, model: PanelModel
) -> None:
    assert "as read" not in said(model, "slot-2", TEACHES)
    load, most = StateLoads(asleep=0.0), StateLoads(asleep=0.204)
    document.apply("x", edits.change_slot, "slot-2", own_load=load, own_most=most)
    assert "Own load as read: asleep 0 to 0.204 A" in said(model, "slot-2", TEACHES)


def test_only_the_slot_edited_is_redrawn(document: Document, model: PanelModel) -> None:
    cells = redrawn(model)
    document.apply("x", edits.change_slot, "slot-4", circuit="Hooter")
    assert cells == [(0, 3)]


def test_an_accessory_placed_redraws_its_slot_and_what_it_takes_volts_from(
    document: Document, model: PanelModel
) -> None:
    """The camera on the first slot holds its power: at the most it draws a little more now."""
    cells = redrawn(model)
    document.apply("x", edits.place, "accessory-2", slot="slot-2")
    assert set(cells) == {(0, 1), (0, 0)}


def test_a_name_elsewhere_redraws_nothing(document: Document, model: PanelModel) -> None:
    cells = redrawn(model)
    document.apply("x", edits.change_vehicle, name="Bus")
    document.apply("x", edits.change_slot, "slot-9", circuit="Main supply")
    assert cells == []


def test_warmer_air_changes_every_fuses_limit(document: Document, model: PanelModel) -> None:
    cells = redrawn(model)
    document.apply("x", edits.change_panel, "panel-1", ambient_c=70.0)
    loaded = {(0, 0), (0, 1), (0, 3), (1, 3)}
    assert loaded <= set(cells)


def test_a_new_row_makes_the_table_larger(document: Document, model: PanelModel) -> None:
    document.apply("x", edits.insert_line, "panel-1", "row", 0)
    assert (model.rowCount(), model.columnCount()) == (3, 4)
    assert model.index_of("slot-1") == model.index(1, 0)
    document.stack.undo()
    assert model.index_of("slot-1") == model.index(0, 0)


def test_a_panel_that_is_removed_leaves_an_empty_table(
    document: Document, model: PanelModel
) -> None:
    document.apply("x", edits.unplace, "tap-1")
    document.apply("x", edits.remove_panel, "panel-1")
    assert model.rowCount() == 0
    document.stack.undo()
    assert model.rowCount() == 2


def test_turned_and_mirrored_the_same_slots_are_there(model: PanelModel) -> None:
    ids = {f"slot-{n}" for n in (1, 2, 3, 4, 5, 6, 8)}
    for turns in range(4):
        for mirrored in (False, True):
            model.arrange(turns, mirrored)
            assert (model.rowCount(), model.columnCount()) == ((2, 4) if turns % 2 == 0 else (4, 2))
            assert {model.slot(model.index_of(each)).id for each in ids} == ids  # type: ignore[union-attr]


def test_the_tooltip_says_the_live_side_as_it_is_seen(model: PanelModel) -> None:
    model.arrange(0, True)
    assert "Live side right" in said(model, "slot-2", TEACHES)
    model.arrange(1, False)
    assert "Live side at the top" in said(model, "slot-2", TEACHES)


def test_a_rating_and_a_circuit_are_typed_in_one_line(
    document: Document, model: PanelModel
) -> None:
    assert model.setData(model.index_of("slot-5"), "15 Rear lamps")
    slot = look_up.slot(document.vehicle, "slot-5")
    assert slot.fuse == Fuse(family="mini", rating=15)
    assert slot.circuit == "Rear lamps"
    assert document.stack.undoText().replace(NARROW_SPACE, " ") == "F5: 15 A Rear lamps"


def test_a_rating_that_is_not_made_is_refused_with_those_that_are(
    document: Document, model: PanelModel
) -> None:
    told: list[str] = []
    document.refused.connect(lambda error: told.append(str(error).replace(NARROW_SPACE, " ")))
    before = document.vehicle
    assert not model.setData(model.index_of("slot-1"), "12")
    assert document.vehicle is before
    assert "there is no 12 A fuse in the mini family" in told[0]
    assert "2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30 A" in told[0]


def test_a_relay_takes_no_fuse(document: Document, model: PanelModel) -> None:
    assert not model.setData(model.index_of("slot-6"), "10")
    assert look_up.slot(document.vehicle, "slot-6").fuse is None


def test_typing_on_a_gap_makes_a_slot_there(document: Document, model: PanelModel) -> None:
    assert model.setData(model.index(1, 2), "10 Trailer")
    slot = model.slot(model.index(1, 2))
    assert slot is not None
    assert (slot.label, slot.circuit, slot.family) == ("F11", "Trailer", "mini")
    assert document.stack.count() == 1
    document.stack.undo()
    assert model.gap(model.index(1, 2))


def test_a_label_is_typed_and_may_be_taken_away(document: Document, model: PanelModel) -> None:
    model.setData(model.index_of("slot-1"), "12a", LABEL)
    assert look_up.slot(document.vehicle, "slot-1").label == "12a"
    model.setData(model.index_of("slot-1"), "", LABEL)
    assert look_up.slot(document.vehicle, "slot-1").label == ""


def test_what_is_tapped_can_be_dragged_and_what_is_not_cannot(model: PanelModel) -> None:
    can = Qt.ItemFlag.ItemIsDragEnabled
    assert model.flags(model.index_of("slot-1")) & can
    assert not model.flags(model.index_of("slot-2")) & can
