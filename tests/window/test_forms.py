"""The forms for vehicle, panel, battery, parking, feeds and rules."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QComboBox,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from fusemap import tables
from fusemap.files.demos import read_demo
from fusemap.vehicle import STATES, Fuse, StateLoads, Vehicle, WakeUp, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_form import AccessoryForm
from fusemap.window.forms.feed_page import FeedPage
from fusemap.window.forms.form import scrolled
from fusemap.window.forms.form_rows import starts
from fusemap.window.forms.parking_form import ParkingForm
from fusemap.window.forms.rules_form import RuleRow, RulesForm
from fusemap.window.forms.slot_form import SlotForm
from fusemap.window.forms.vehicle_form import BatteryForm, PanelForm, VehicleForm
from fusemap.window.style import measures
from fusemap.window.style.theme import LIGHT, apply_theme
from tests.window.form_hands import choose, click, enter, shown


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 3))


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [
        ("capacity_ah", "70", 70.0),
        ("reserve_min", "2 h", 120.0),
        ("cca_a", "680", 680.0),
        ("age_years", "3,5", 3.5),
        ("soh", "85", 0.85),
        ("start_soc", "80 %", 0.8),
        ("rest_v", "12.55", 12.55),
        ("resistance_mohm", "4.2", 4.2),
        ("parallel", "2", 2),
    ],
)
def test_every_battery_field_is_written(
    document: Document, qtbot: Any, field: str, typed: str, value: float
) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    enter(form, qtbot, f"battery_{field}", typed)
    assert getattr(document.vehicle.battery, field) == pytest.approx(value)
    assert document.stack.undoText().startswith("Battery: ")


def test_the_battery_kind_is_chosen(document: Document, qtbot: Any) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    choose(form, "battery_chemistry", "Lead-acid, glass mat (AGM)")
    assert document.vehicle.battery.chemistry == "agm"


def test_with_24_volts_it_is_said_that_one_battery_is_meant(document: Document, qtbot: Any) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    assert not form._pair.isVisible()
    document.apply("24 V", edits.change_vehicle, system_v=24)
    assert form._pair.isVisible()


def test_a_health_beyond_belief_is_refused(document: Document, qtbot: Any) -> None:
    form = shown(BatteryForm(document, LIGHT), qtbot)
    field = enter(form, qtbot, "battery_soh", "400")
    assert field.property("wrong") is True
    assert document.vehicle.battery.soh is None


def test_rest_currents_are_typed_in_milliamperes_or_amperes(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    enter(form, qtbot, "parking_rest_current_a", "26")
    enter(form, qtbot, "parking_awake_current_a", "3.6 A")
    assert document.vehicle.parking.rest_current_a == pytest.approx(0.026)
    assert document.vehicle.parking.awake_current_a == pytest.approx(3.6)


def test_the_hour_of_parking_is_an_hour_of_the_day(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    assert enter(form, qtbot, "parking_locked_at_h", "25").property("wrong") is True
    assert document.vehicle.parking.locked_at_h == 18.0


def test_wake_ups_are_added_changed_and_removed(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    click(form, qtbot, "parking_addWakeUp")
    click(form, qtbot, "parking_addWakeUp")
    enter(form, qtbot, "wakeUp1_every_h", "6")
    enter(form, qtbot, "wakeUp1_current_a", "800")
    assert document.vehicle.parking.wake_ups[1] == WakeUp(every_h=6.0, minutes=5.0, current_a=0.8)
    click(form, qtbot, "wakeUp0_remove")
    assert [w.every_h for w in document.vehicle.parking.wake_ups] == [6.0]
    assert form.findChild(QLineEdit, "wakeUp0_every_h").text() == "6"
    document.stack.undo()
    assert form.findChild(QLineEdit, "wakeUp1_every_h").text() == "6"


def test_what_wakes_it_stands_in_as_many_lines_as_it_takes(document: Document, qtbot: Any) -> None:
    form = shown(ParkingForm(document, LIGHT), qtbot)
    click(form, qtbot, "parking_addWakeUp")
    remove = form.findChild(QWidget, "wakeUp0_remove")
    assert remove is not None
    row = remove.parentWidget()
    assert row is not None
    in_one = row.sizeHint()
    assert row.heightForWidth(in_one.width()) == in_one.height()
    assert row.heightForWidth(in_one.width() // 2) >= 2 * in_one.height()
    listed = row.parentWidget()
    assert listed is not None
    assert listed.minimumSizeHint().width() < in_one.width() // 2


def test_the_vehicle_has_a_name_a_voltage_and_a_note(document: Document, qtbot: Any) -> None:
    form = shown(VehicleForm(document, LIGHT), qtbot)
    enter(form, qtbot, "vehicle_name", "Blue van")
    note = form.findChild(QPlainTextEdit, "vehicle_note")
    note.setFocus()
    qtbot.keyClicks(note, "fitted in May")
    note.clearFocus()
    assert document.vehicle.name == "Blue van"
    assert document.vehicle.note == "fitted in May"


def test_a_panel_does_not_shrink_over_its_slots(document: Document, qtbot: Any) -> None:
    form = shown(PanelForm(document, LIGHT), qtbot)
    document.select("panel", "panel-1")
    assert enter(form, qtbot, "panel_rows", "1").property("wrong") is True
    enter(form, qtbot, "panel_columns", "4")
    assert (document.vehicle.panels[0].rows, document.vehicle.panels[0].columns) == (2, 4)


def test_the_panel_form_shows_the_panel_that_is_selected(document: Document, qtbot: Any) -> None:
    document.apply("Add", edits.add_panel, "Boot", 1, 2)
    form = shown(PanelForm(document, LIGHT), qtbot)
    document.select("panel", "panel-2")
    assert form.findChild(QLineEdit, "panel_name").text() == "Boot"


# --- feeds ---------------------------------------------------------------------------------------


def tree_of(page: FeedPage) -> list[tuple[int, str]]:
    """The tree as (depth, name)."""

    def below(item: Any, depth: int) -> list[tuple[int, str]]:
        lines = [(depth, item.text(0))]
        for row in range(item.childCount()):
            lines += below(item.child(row), depth + 1)
        return lines

    return below(page.tree.topLevelItem(0), 0)


def test_feeds_are_added_below_the_selected_one(document: Document, qtbot: Any) -> None:
    page = shown(FeedPage(document, LIGHT), qtbot)
    click(page, qtbot, "feed_add")
    enter(page, qtbot, "feed_name", "Main fuse")
    click(page, qtbot, "feed_add")
    enter(page, qtbot, "feed_name", "Ignition relay")
    assert tree_of(page) == [(0, "Battery"), (1, "Main fuse"), (2, "Ignition relay")]
    assert document.vehicle.feeds[1].parent == document.vehicle.feeds[0].id


def test_a_feed_is_never_offered_what_hangs_below_it(document: Document, qtbot: Any) -> None:
    document.apply("a", edits.add_feed, "Main")
    document.apply("b", edits.add_feed, "Relay", parent="feed-1")
    document.apply("c", edits.add_feed, "Other")
    page = shown(FeedPage(document, LIGHT), qtbot)
    document.select("feed", "feed-1")
    offered = page.findChild(QComboBox, "feed_parent")
    words = [offered.itemText(row) for row in range(offered.count())]
    assert words == ["Straight from the battery", "Other"]


def test_fuse_limit_and_loads_of_a_feed_are_written(document: Document, qtbot: Any) -> None:
    document.apply("a", edits.add_feed, "Main")
    page = shown(FeedPage(document, LIGHT), qtbot)
    assert not page.findChild(QComboBox, "feed_rating").isEnabled()
    choose(page, "feed_fuse", choices.family_and_size("maxi", LIGHT.style))
    choose(page, "feed_rating", "60\u202fA")
    enter(page, qtbot, "feed_limit_a", "45")
    enter(page, qtbot, "feed_resistance_mohm", "3")
    enter(page, qtbot, "feed_load_running", "12,5")
    (feed,) = document.vehicle.feeds
    assert feed.fuse == Fuse(family="maxi", rating=60.0)
    assert (feed.limit_a, feed.resistance_mohm) == (45.0, 3.0)
    assert (feed.other_load.running, feed.other_load.asleep) == (12.5, None)


def test_that_nothing_else_hangs_on_a_feed_is_one_answer(document: Document, qtbot: Any) -> None:
    document.apply("a", edits.add_feed, "Main")
    page = shown(FeedPage(document, LIGHT), qtbot)
    assert not page.findChild(QPushButton, "feed_other_unknown").isEnabled()
    click(page, qtbot, "feed_nothing_else")
    (feed,) = document.vehicle.feeds
    assert [getattr(feed.other_load, state) for state in STATES] == [0.0] * 5
    assert not page.findChild(QPushButton, "feed_nothing_else").isEnabled()
    click(page, qtbot, "feed_other_unknown")
    assert document.vehicle.feeds[0].other_load == StateLoads()
    document.stack.undo()
    assert document.vehicle.feeds[0] == feed


def test_removing_a_feed_hangs_what_was_below_on_its_parent(document: Document, qtbot: Any) -> None:
    document.apply("a", edits.add_feed, "Main")
    document.apply("b", edits.add_feed, "Relay", parent="feed-1")
    page = shown(FeedPage(document, LIGHT), qtbot)
    document.select("feed", "feed-1")
    click(page, qtbot, "feed_remove")
    assert tree_of(page) == [(0, "Battery"), (1, "Relay")]
    document.stack.undo()
    assert tree_of(page) == [(0, "Battery"), (1, "Main"), (2, "Relay")]


def test_the_tree_shows_load_and_limit_as_assessed(qtbot: Any) -> None:
    document = Document(read_demo("family_estate"))
    page = shown(FeedPage(document, LIGHT), qtbot)
    figures = document.assessment.feeds
    item = page.tree.topLevelItem(0).child(0)
    column = figures.index[item.data(0, Qt.ItemDataRole.UserRole)]
    assert item.text(1).startswith(f"{figures.current_a[:, column].max():.0f}")
    assert item.text(2).startswith(f"{figures.limit_a[column]:.0f}")


def test_a_click_in_the_tree_selects_the_feed(qtbot: Any) -> None:
    document = Document(read_demo("family_estate"))
    page = shown(FeedPage(document, LIGHT), qtbot)
    item = page.tree.topLevelItem(0).child(0).child(0)
    where = page.tree.visualItemRect(item).center()
    qtbot.mouseClick(page.tree.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert document.selection is not None
    assert document.selection.id == item.data(0, Qt.ItemDataRole.UserRole)
    assert page.tree.currentItem() is item
    assert page.findChild(QLineEdit, "feed_name").text() == item.text(0)


# --- rules ---------------------------------------------------------------------------------------


def test_every_named_rule_can_be_changed_and_reset(document: Document, qtbot: Any) -> None:
    form = shown(RulesForm(document, LIGHT), qtbot)
    for key, rule in tables.rule_defaults().items():
        field = form.findChild(QLineEdit, f"rule_{key}")
        scale = 1.0 if rule.unit else 100.0
        assert float(field.text()) == pytest.approx(rule.value * scale)
        enter(form, qtbot, f"rule_{key}", f"{rule.high * scale:g}")
        assert document.assessment.rule(key) == pytest.approx(rule.high)
        click(form, qtbot, f"rule_{key}_reset")
        assert document.vehicle.rules == ()


def test_a_rule_out_of_its_bounds_is_refused(document: Document, qtbot: Any) -> None:
    form = shown(RulesForm(document, LIGHT), qtbot)
    field = enter(form, qtbot, "rule_continuous_share", "140")
    assert field.property("wrong") is True
    assert document.vehicle.rules == ()


def test_a_blank_rule_is_its_default_again(document: Document, qtbot: Any) -> None:
    form = shown(RulesForm(document, LIGHT), qtbot)
    enter(form, qtbot, "rule_continuous_share", "70")
    assert document.assessment.rule("continuous_share") == pytest.approx(0.7)
    field = enter(form, qtbot, "rule_continuous_share", "")
    assert document.vehicle.rules == ()
    assert field.text() == "75"


def test_a_family_is_offered_with_the_size_that_tells_it_from_the_others() -> None:
    """A mini and a low-profile mini differ in height alone, a micro2 and a micro3 in width."""
    sizes = dict(choices.fuse_families(LIGHT.style))
    for one, other in (("mini", "low_profile_mini"), ("micro2", "micro3"), ("regular", "maxi")):
        bodies = tables.fuse_bodies()
        assert bodies[one] != bodies[other]
        assert "mm" in sizes[one]
    assert sizes["strip_30"] == "strip, 30 mm holes"


def test_the_fields_of_a_form_are_equally_wide(qtbot: Any, qapp: Any) -> None:
    """What stands alone beside its label ends at one edge, whatever is in it."""
    apply_theme(qapp, LIGHT)
    document = Document(read_demo("family_estate"))
    form = SlotForm(document, LIGHT)
    document.select("slot", document.vehicle.panels[0].slots[0].id)
    qtbot.addWidget(form)
    form.resize(480, 900)
    form.show()
    qtbot.wait(120)
    keys = ("label", "circuit", "kind", "family", "rating", "feed_class")
    fields = [form.findChild(QWidget, f"slot_{key}") for key in keys]
    assert None not in fields
    edges = {(field.geometry().left(), field.geometry().right()) for field in fields if field}
    assert len(edges) == 1
    assert min(field.height() for field in fields if field) >= measures.TARGET


def test_what_takes_something_away_looks_so(qtbot: Any) -> None:
    page = FeedPage(Document(read_demo("family_estate")), LIGHT)
    qtbot.addWidget(page)
    assert page.remove.property("kind") == "danger"


def test_a_form_stands_in_two_columns_where_there_is_room_and_goes_back_to_one(
    qtbot: Any, qapp: Any
) -> None:
    """Sections keep their order; none is parted; fields begin at one distance in both columns."""
    apply_theme(qapp, LIGHT)
    form = BatteryForm(Document(read_demo("family_estate")), LIGHT)
    area = scrolled(form)
    qtbot.addWidget(area)
    area.resize(1100, 700)
    area.show()
    qtbot.wait(50)
    assert form.rows.columns == 2
    kind = form.findChild(QWidget, "battery_chemistry")
    assert kind is not None
    left, right = (each.mapTo(form, QPoint(0, 0)) for each in (kind, form.second))
    assert right.x() > left.x() + kind.width(), "beside it"
    heads = [each.mapTo(form, QPoint(0, 0)) for each in form.findChildren(QLabel) if head(each)]
    columns = {point.x() for point in heads}
    assert len(columns) == 2
    for column in columns:
        down = [point.y() for point in heads if point.x() == column]
        assert down == sorted(down)
    area.resize(500, 700)
    qtbot.wait(50)
    assert form.rows.columns == 1
    assert area.horizontalScrollBar().maximum() == 0


def head(label: QLabel) -> bool:
    """Whether it is the heading of a section of the battery's own."""
    return label.font().bold() and label.isVisible()


def test_rows_that_come_and_go_move_the_rest_of_their_column(qtbot: Any, qapp: Any) -> None:
    """In two columns, too: a cut-off is ticked, its three figures come, nothing lies over them."""
    apply_theme(qapp, LIGHT)
    document = Document(read_demo("family_estate"))
    tracker = next(a for a in document.vehicle.accessories if a.cut_off is None)
    document.select("accessory", tracker.id)
    form = AccessoryForm(document, LIGHT)
    area = scrolled(form)
    qtbot.addWidget(area)
    area.resize(1000, 700)
    area.show()
    qtbot.wait(50)
    assert form.rows.columns == 2
    tick = form.findChild(QAbstractButton, "accessory_cut_off")
    below = form.findChild(QWidget, "accessory_converter")
    assert tick is not None
    assert below is not None

    def at(widget: QWidget) -> int:
        return widget.mapTo(form, QPoint(0, 0)).y()

    before = at(below)
    tick.click()
    qtbot.wait(50)
    figure = form.findChild(QWidget, "accessory_cut_off_delay_s")
    assert figure is not None
    assert figure.isVisible()
    if figure.mapTo(form, QPoint(0, 0)).x() == below.mapTo(form, QPoint(0, 0)).x():
        assert at(below) >= at(figure) + figure.height()
    assert at(below) > before
    tick.click()
    qtbot.wait(50)
    assert at(below) == before


def test_the_rules_stand_in_as_many_columns_as_there_is_room_for(
    document: Document, qtbot: Any, qapp: Any
) -> None:
    """A large screen is not left half empty beside a form that has to be scrolled."""
    apply_theme(qapp, LIGHT)
    form = shown(RulesForm(document, LIGHT), qtbot)
    rows = form.findChildren(RuleRow)
    for wide, columns in ((500, 1), (1300, 2), (1600, 3), (2500, 4), (1300, 2)):
        form.resize(wide, 900)
        qtbot.waitUntil(lambda columns=columns: form.rows.columns == columns)
        qtbot.waitUntil(
            lambda columns=columns: len({row.mapTo(form, QPoint()).x() for row in rows}) == columns
        )


def test_what_needs_the_whole_width_stands_right_below_the_columns(qtbot: Any, qapp: Any) -> None:
    """On a high screen, too: the currents by state are not pushed to its foot."""
    apply_theme(qapp, LIGHT)
    document = Document(read_demo("family_estate"))
    form = SlotForm(document, LIGHT)
    document.select("slot", document.vehicle.taps[0].slot)
    area = scrolled(form)
    qtbot.addWidget(area)
    area.resize(1600, 2000)
    area.show()
    qtbot.wait(80)
    assert form.rows.columns > 1
    parts = [each for each in form.rows._sections if not each.across]
    below = next(each for each in form.rows._sections if each.across)
    lowest = max(each.geometry().bottom() for each in parts)
    assert 0 < below.y() - lowest < 2 * form.fontMetrics().height()


@pytest.mark.parametrize(
    ("high", "columns", "first"),
    [
        ([10, 20, 30], 1, [0]),
        ([10, 20, 30], 2, [0, 2]),
        ([10, 20, 30], 3, [0, 1, 2]),
        ([30, 10, 10, 10], 2, [0, 1]),
        ([20, 10, 10, 50], 3, [0, 1, 3]),
        ([5, 5, 5, 5, 5, 5, 5, 5], 4, [0, 2, 4, 6]),
    ],
)
def test_columns_begin_where_the_highest_is_lowest(
    high: list[int], columns: int, first: list[int]
) -> None:
    assert starts(high, columns) == first
