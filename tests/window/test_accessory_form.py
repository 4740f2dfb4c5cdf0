"""The forms of an accessory and of its taps: each field is an edit, only what applies is shown."""

from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QPlainTextEdit, QPushButton, QWidget

from fusemap.errors import FusemapError, InputProblem
from fusemap.vehicle import Accessory, ClockSpan, Fuse, Tap, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.choices import joints, sections
from fusemap.window.forms.entry import read_spans, show_spans
from fusemap.window.forms.tap_form import TapForm
from fusemap.window.style.theme import LIGHT


def van() -> Vehicle:
    vehicle = edits.add_feed(Vehicle(name="Van"), "Main supply", limit_a=60.0)
    vehicle = edits.add_panel(vehicle, "Cabin", 1, 3)
    fuse = Fuse(family="mini", rating=15)
    vehicle = edits.change_slot(vehicle, "slot-1", feed_class="permanent", fuse=fuse)
    vehicle = edits.change_slot(
        vehicle, "slot-2", critical=True, critical_reason="airbag", feed_class="ignition"
    )
    return edits.add_accessory(vehicle, "Camera", watts=6.9, rated_v=13.8)


@pytest.fixture
def document(qapp: Any) -> Document:
    document = Document(van())
    document.select("accessory", "accessory-1")
    return document


def shown(qtbot: Any, form: QWidget) -> Any:
    qtbot.addWidget(form)
    form.resize(460, 900)
    with qtbot.waitExposed(form):
        form.show()
    return form


@pytest.fixture
def form(document: Document, qtbot: Any) -> AccessoryForm:
    made: AccessoryForm = shown(qtbot, AccessoryForm(document, LIGHT))
    return made


@pytest.fixture
def taps(document: Document, qtbot: Any) -> TapForm:
    made: TapForm = shown(qtbot, TapForm(document, LIGHT))
    return made


def accessory(document: Document) -> Accessory:
    return document.vehicle.accessories[0]


def tap(document: Document) -> Tap:
    return document.vehicle.taps[0]


def enter(qtbot: Any, form: QWidget, key: str, text: str) -> QLineEdit:
    field = form.findChild(QLineEdit, key)
    assert field is not None, key
    field.setFocus()
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    return field


def choose(form: QWidget, key: str, start: str) -> None:
    field = form.findChild(QComboBox, key)
    assert field is not None, key
    rows = [row for row in range(field.count()) if field.itemText(row).startswith(start)]
    assert rows, [field.itemText(row) for row in range(field.count())]
    field.setCurrentIndex(rows[0])
    field.activated.emit(rows[0])


def tick(qtbot: Any, form: QWidget, key: str) -> None:
    field = form.findChild(QCheckBox, key)
    assert field is not None, key
    qtbot.keyClick(field, Qt.Key.Key_Space)


# --- the accessory ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "typed", "field", "value"),
    [
        ("name", "Rear camera", "name", "Rear camera"),
        ("amount", "12,5", "watts", 12.5),
        ("rated_v", "12", "rated_v", 12),
        ("duty", "35", "duty", 0.35),
        ("duty_period_s", "600", "duty_period_s", 600),
        ("standby_a", "32", "standby_a", 0.032),
        ("standby_a", "0.2 A", "standby_a", 0.2),
        ("run_on_min", "30", "run_on_min", 30),
        ("timetable", "22-6", "timetable", (ClockSpan(from_h=22, to_h=6),)),
        ("min_voltage_v", "10.8", "min_voltage_v", 10.8),
        ("inrush_multiple", "5", "inrush_multiple", 5),
        ("inrush_s", "0.1", "inrush_s", 0.1),
    ],
)
def test_each_field_is_an_undoable_edit(
    form: AccessoryForm,
    document: Document,
    qtbot: Any,
    key: str,
    typed: str,
    field: str,
    value: Any,
) -> None:
    before = document.vehicle
    enter(qtbot, form, f"accessory_{key}", typed)
    now = getattr(accessory(document), field)
    assert now == (pytest.approx(value) if isinstance(value, float) else value)
    assert document.stack.count() == 1
    document.stack.undo()
    assert document.vehicle is before


def test_the_same_load_can_be_given_in_amperes(
    form: AccessoryForm, document: Document, qtbot: Any
) -> None:
    choose(form, "accessory_unit", "amperes")
    assert accessory(document).watts is None
    assert accessory(document).amperes == pytest.approx(6.9 / 13.8)
    enter(qtbot, form, "accessory_amount", "800 mA")
    assert accessory(document).amperes == pytest.approx(0.8)
    choose(form, "accessory_unit", "watts")
    assert accessory(document).watts == pytest.approx(0.8 * 13.8)


def test_it_says_what_the_load_is_in_the_other_unit(form: AccessoryForm) -> None:
    assert "0.5\u202fA at 13.8\u202fV" in form._sum.text()


def test_a_sense_lead_is_added_and_has_its_current(
    form: AccessoryForm, document: Document, qtbot: Any
) -> None:
    field = form.findChild(QLineEdit, "accessory_sense_a")
    assert field is not None
    assert not field.isVisible()
    tick(qtbot, form, "accessory_sense")
    assert accessory(document).leads == ("power", "sense")
    assert field.isVisible()
    enter(qtbot, form, "accessory_sense_a", "7")
    assert accessory(document).sense_a == pytest.approx(0.007)


def test_it_works_in_the_states_that_are_ticked(
    form: AccessoryForm, document: Document, qtbot: Any
) -> None:
    tick(qtbot, form, "accessory_works_asleep")
    tick(qtbot, form, "accessory_works_accessory")
    assert accessory(document).works_in == ("asleep", "ignition", "running")


def test_a_cut_off_has_its_voltages_only_where_there_is_one(
    form: AccessoryForm, document: Document, qtbot: Any
) -> None:
    off = form.findChild(QLineEdit, "accessory_cut_off_off_v")
    assert off is not None
    assert not off.isVisible()
    tick(qtbot, form, "accessory_cut_off")
    assert off.isVisible()
    enter(qtbot, form, "accessory_cut_off_off_v", "11.8")
    enter(qtbot, form, "accessory_cut_off_delay_s", "90")
    cut_off = accessory(document).cut_off
    assert cut_off is not None
    assert (cut_off.off_v, cut_off.on_v, cut_off.delay_s) == (11.8, 12.6, 90)
    tick(qtbot, form, "accessory_cut_off")
    assert accessory(document).cut_off is None


def test_a_cut_off_cannot_come_on_below_where_it_goes_off(
    form: AccessoryForm, document: Document, qtbot: Any
) -> None:
    refused: list[FusemapError] = []
    document.refused.connect(refused.append)
    tick(qtbot, form, "accessory_cut_off")
    field = enter(qtbot, form, "accessory_cut_off_off_v", "13")
    assert field.property("wrong") is True
    assert "on again" in refused[0].remedy or "12.6" in refused[0].what
    kept = accessory(document).cut_off
    assert kept is not None
    assert kept.off_v == 12.0


def test_needs_and_load_kind_are_chosen(form: AccessoryForm, document: Document) -> None:
    choose(form, "accessory_needs", "A permanent")
    choose(form, "accessory_load_kind", "Filament")
    choose(form, "accessory_kind", "Dash camera with")
    made = accessory(document)
    assert (made.needs, made.load_kind, made.kind) == (
        "permanent",
        "filament",
        "dash_camera_parking",
    )


def test_the_form_follows_the_selection_by_accessory_and_by_tap(
    form: AccessoryForm, document: Document
) -> None:
    document.apply("Add", edits.add_accessory, "Lamp", watts=5.0)
    document.apply("Place", edits.place, "accessory-2", slot="slot-1")
    document.select("tap", "tap-1")
    assert form.accessory_id == "accessory-2"
    document.select("slot", "slot-1")
    assert form.accessory_id == "accessory-2"


def test_removing_the_accessory_leaves_the_form_standing(
    form: AccessoryForm, document: Document
) -> None:
    document.apply("Remove", edits.remove_accessory, "accessory-1")
    document.stack.undo()
    name = form.findChild(QLineEdit, "accessory_name")
    assert name is not None
    assert name.text() == "Camera"


@pytest.mark.parametrize(
    ("typed", "spans"),
    [
        ("22:00–06:00", [(22, 6)]),
        ("7.30-9, 17 to 18.15", [(7.5, 9), (17, 18.25)]),
        ("", []),
        ("0-24", [(0, 24)]),
    ],
)
def test_hours_are_read_as_people_type_them(typed: str, spans: list[tuple[float, float]]) -> None:
    found = read_spans(typed)
    assert [(span.from_h, span.to_h) for span in found] == spans
    assert read_spans(show_spans(found)) == found


@pytest.mark.parametrize("typed", ["noon", "22", "25-3", "3-3", "1:75-2", "22-6-7"])
def test_hours_that_are_none_are_refused(typed: str) -> None:
    with pytest.raises(InputProblem):
        read_spans(typed, "Timetable")


# --- the taps -----------------------------------------------------------------------------------


def test_a_lead_that_is_not_placed_can_be_put_on_a_slot_from_the_list(
    taps: TapForm, document: Document
) -> None:
    choose(taps, "powerLead_source", "F1")
    assert tap(document).slot == "slot-1"
    assert tap(document).fuse is not None
    assert tap(document).cable_out is not None


def test_a_lead_can_be_given_an_own_feed(taps: TapForm, document: Document) -> None:
    choose(taps, "powerLead_source", "Own feed: Main supply")
    assert (tap(document).kind, tap(document).feed, tap(document).slot) == (
        "own_feed",
        "feed-1",
        None,
    )
    choose(taps, "powerLead_source", "Own feed: Straight from the battery")
    assert tap(document).feed is None
    assert len(document.vehicle.taps) == 1


def test_a_slot_to_be_left_alone_is_taken_only_with_a_written_reason(
    taps: TapForm, document: Document, qtbot: Any
) -> None:
    refused: list[FusemapError] = []
    document.refused.connect(refused.append)
    choose(taps, "powerLead_source", "F2")
    assert document.vehicle.taps == ()
    assert "must be left alone (airbag)" in taps.leads["power"].source.why.text()
    button = taps.findChild(QPushButton, "powerLead_anyway")
    reason = taps.findChild(QPlainTextEdit, "powerLead_justification")
    how = taps.findChild(QPlainTextEdit, "powerLead_found_how")
    assert button is not None
    assert reason is not None
    assert how is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.vehicle.taps == ()
    assert "the reason is blank" in refused[0].what
    reason.setFocus()
    qtbot.keyClicks(reason, "Bench set-up, no airbag fitted")
    taps.activateWindow()
    button.setFocus()
    reason.commit()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.vehicle.taps == (), "how that was found is missing"
    assert "not complete" in refused[-1].what
    how.setFocus()
    qtbot.keyClicks(how, "wired it ourselves")
    button.setFocus()
    how.commit()
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert tap(document).slot == "slot-2"
    assert tap(document).justification == "Bench set-up, no airbag fitted"
    assert tap(document).found_how == "wired it ourselves"
    assert not button.isVisible()
    assert reason.isVisible()


def test_choosing_another_slot_drops_the_question(taps: TapForm, document: Document) -> None:
    choose(taps, "powerLead_source", "F2")
    choose(taps, "powerLead_source", "F1")
    assert tap(document).slot == "slot-1"
    button = taps.findChild(QPushButton, "powerLead_anyway")
    assert button is not None
    assert not button.isVisible()


@pytest.fixture
def placed(taps: TapForm, document: Document) -> TapForm:
    document.apply("Place", edits.place, "accessory-1", slot="slot-1")
    return taps


def test_fuse_family_and_rating_come_from_the_tables(placed: TapForm, document: Document) -> None:
    choose(placed, "powerLead_fuse", "mini")
    assert tap(document).fuse == Fuse(family="mini", rating=5)
    choose(placed, "powerLead_rating", "7.5")
    assert tap(document).fuse == Fuse(family="mini", rating=7.5)
    choose(placed, "powerLead_fuse", "No fuse")
    assert tap(document).fuse is None


def test_another_family_keeps_the_nearest_rating(placed: TapForm, document: Document) -> None:
    choose(placed, "powerLead_fuse", "mini")
    choose(placed, "powerLead_rating", "15")
    choose(placed, "powerLead_fuse", "maxi")
    assert tap(document).fuse == Fuse(family="maxi", rating=20)


def test_the_tap_and_its_way_round_are_chosen(placed: TapForm, document: Document) -> None:
    choose(placed, "powerLead_way_round", "Load side")
    choose(placed, "powerLead_kind", "Fuse with take-off")
    made = tap(document)
    assert (made.kind, made.way_round) == ("take_off_lead", "load_side")


def test_a_cable_has_its_section_length_and_surroundings(
    placed: TapForm, document: Document, qtbot: Any
) -> None:
    tick(qtbot, placed, "powerLead_cable_out_there")
    choose(placed, "powerLead_cable_out_section_mm2", "2.5")
    enter(qtbot, placed, "powerLead_cable_out_length_m", "10 ft")
    enter(qtbot, placed, "powerLead_cable_out_bundle", "3")
    choose(placed, "powerLead_cable_out_place", "Engine bay")
    choose(placed, "powerLead_cable_out_insulation", "cross-linked")
    cable = tap(document).cable_out
    assert cable is not None
    assert cable.length_m == pytest.approx(3.048)
    assert (cable.section_mm2, cable.bundle, cable.place, cable.insulation) == (
        2.5,
        3,
        "engine_bay",
        "xlpe",
    )


def test_a_first_cable_back_is_like_the_cable_out(
    placed: TapForm, document: Document, qtbot: Any
) -> None:
    tick(qtbot, placed, "powerLead_cable_out_there")
    enter(qtbot, placed, "powerLead_cable_out_length_m", "4")
    tick(qtbot, placed, "powerLead_cable_back_there")
    assert tap(document).cable_back == tap(document).cable_out
    tick(qtbot, placed, "powerLead_cable_back_there")
    assert tap(document).cable_back is None


def test_joint_earth_point_and_ceiling_are_edits(
    placed: TapForm, document: Document, qtbot: Any
) -> None:
    choose(placed, "powerLead_joint", "Ring terminal")
    enter(qtbot, placed, "powerLead_earth_point", "Bolt at the pillar")
    enter(qtbot, placed, "powerLead_ceiling_a", "8")
    made = tap(document)
    assert (made.joint, made.earth_point, made.ceiling_a) == (
        "ring_terminal",
        "Bolt at the pillar",
        8,
    )


def test_a_relay_is_offered_to_an_own_feed_only(
    placed: TapForm, document: Document, qtbot: Any
) -> None:
    relay = placed.findChild(QCheckBox, "powerLead_relay")
    assert relay is not None
    assert not relay.isVisible()
    choose(placed, "powerLead_source", "Own feed: Straight")
    assert relay.isVisible()
    tick(qtbot, placed, "powerLead_relay")
    assert tap(document).relay


def test_take_off_leaves_the_accessory_on_the_shelf(
    placed: TapForm, document: Document, qtbot: Any
) -> None:
    button = placed.findChild(QPushButton, "powerLead_takeOff")
    assert button is not None
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.vehicle.taps == ()
    assert len(document.vehicle.accessories) == 1
    assert not button.isVisible()


def test_the_sense_lead_has_a_form_only_where_there_is_one(
    taps: TapForm, document: Document
) -> None:
    assert not taps.leads["sense"].isVisible()
    document.apply("Sense", edits.change_accessory, "accessory-1", leads=("power", "sense"))
    assert taps.leads["sense"].isVisible()
    choose(taps, "senseLead_source", "F1")
    assert tap(document).lead == "sense"


def test_a_section_stands_with_its_gauge_never_alone() -> None:
    assert dict(sections(LIGHT.style))[2.5] == "2.5\u202fmm² (about AWG\u202f13)"


def test_a_joint_that_must_not_be_used_says_so() -> None:
    words = dict(joints(LIGHT.style))
    assert words["twist_and_tape"].endswith("do not use")


def test_every_field_is_named_for_a_screen_reader(form: AccessoryForm, taps: TapForm) -> None:
    for kind in (QLineEdit, QComboBox, QCheckBox, QPlainTextEdit, QPushButton):
        for whole in (form, taps):
            for field in whole.findChildren(kind):
                assert field.accessibleName() or field.text(), field.objectName()  # type: ignore[attr-defined]


def test_a_circuit_that_looks_critical_asks_for_the_reason_too_and_a_letter_is_none(
    taps: TapForm, document: Document, qtbot: Any
) -> None:
    refused: list[FusemapError] = []
    document.refused.connect(refused.append)
    document.apply("ask", edits.change_slot, "slot-2", circuit="Airbag", critical=False)
    choose(taps, "powerLead_source", "F2")
    assert document.vehicle.taps == ()
    assert "airbag" in taps.leads["power"].source.why.text()
    button = taps.findChild(QPushButton, "powerLead_anyway")
    reason = taps.findChild(QPlainTextEdit, "powerLead_justification")
    assert button is not None
    assert reason is not None
    reason.setPlainText("x")
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert document.vehicle.taps == ()
    assert "not complete" in refused[-1].what


def test_a_reason_of_an_older_file_is_shown_and_asked_to_be_completed(
    taps: TapForm, document: Document, qtbot: Any
) -> None:
    """Such a file has one text alone; nothing of it is lost."""
    choose(taps, "powerLead_source", "F1")
    older = edits.change_slot(document.vehicle, "slot-1", critical=True)
    document.set_vehicle(edits.change_tap(older, tap(document).id, justification="it has to be"))
    document.select("accessory", "accessory-1")
    source = taps.leads["power"].source
    reason = taps.findChild(QPlainTextEdit, "powerLead_justification")
    how = taps.findChild(QPlainTextEdit, "powerLead_found_how")
    assert reason is not None
    assert how is not None
    assert reason.toPlainText() == "it has to be"
    assert "not complete" in source.short.text()
    how.setFocus()
    qtbot.keyClicks(how, "traced with a meter")
    taps.activateWindow()
    reason.setFocus()
    how.commit()
    assert tap(document).justification == "it has to be"
    assert tap(document).found_how == "traced with a meter"
    assert source.short.text() == ""
