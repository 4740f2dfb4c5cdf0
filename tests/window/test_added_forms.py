"""Added feeds, fuse blocks and earth points, entered with keys and mouse."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from fusemap.vehicle import Cable, Converter, Fuse, SecondBattery, Stretch, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.earth_page import EarthPage
from fusemap.window.forms.feed_page import FeedPage
from fusemap.window.forms.form import scrolled
from fusemap.window.forms.second_battery_form import SecondBatteryForm
from fusemap.window.forms.socket_page import SocketPage
from fusemap.window.forms.tap_form import TapForm
from fusemap.window.style.theme import LIGHT
from tests.window.form_hands import choose, click, enter, shown


class TestAddedFeed:
    def test_a_feed_with_its_cable_and_fuse(self, qtbot: Any) -> None:
        document = Document(Vehicle(name="Van"))
        page = shown(FeedPage(document, LIGHT), qtbot)
        click(page, qtbot, "feed_add")
        assert not page.form._unfused.isVisible()
        click(page, qtbot, "feed_added")
        click(page, qtbot, "feed_cable_there")
        enter(page, qtbot, "feed_cable_length_m", "0,5")
        click(page, qtbot, "feed_cable_way_more")
        enter(page, qtbot, "feed_cable_way_0_length_m", "3")
        choose(page, "feed_cable_way_0_place", "Door sill")
        enter(page, qtbot, "feed_unfused_m", "0.3")
        choose(page, "feed_sleeve", "In a sleeve from end to end")
        feed = document.vehicle.feeds[0]
        assert feed.added
        assert (feed.unfused_m, feed.sleeve) == (0.3, "sleeved")
        assert feed.cable == Cable(
            section_mm2=16.0,
            length_m=0.5,
            place="engine_bay",
            further=(Stretch(length_m=3.0, place="sill"),),
        )
        click(page, qtbot, "feed_cable_way_0_remove")
        assert document.vehicle.feeds[0].cable == Cable(
            section_mm2=16.0, length_m=0.5, place="engine_bay"
        )

    def test_a_fuse_block_brings_its_feed_and_its_empty_ways(self, qtbot: Any) -> None:
        document = Document(Vehicle(name="Van"))
        page = shown(FeedPage(document, LIGHT), qtbot)
        page.ways.setValue(4)
        click(page, qtbot, "block_add")
        block = document.vehicle.panels[0]
        assert (block.kind, len(block.slots)) == ("block", 4)
        assert {slot.feed for slot in block.slots} == {document.vehicle.feeds[0].id}
        document.stack.undo()
        assert document.vehicle == Vehicle(name="Van")

    def test_a_feed_says_which_of_two_batteries_it_hangs_on(self, qtbot: Any) -> None:
        vehicle = edits.add_feed(Vehicle(name="Camper"), "Block")
        document = Document(vehicle)
        page = shown(FeedPage(document, LIGHT), qtbot)
        document.select("feed", vehicle.feeds[0].id)
        assert not page.form._battery.isVisible()
        document.apply("second", edits.set_second_battery, SecondBattery())
        choose(page, "feed_battery", "Second battery")
        assert document.vehicle.feeds[0].battery == "second"


class TestSecondBattery:
    def test_its_voltage_its_resistance_and_the_whole_link(self, qtbot: Any) -> None:
        document = Document(Vehicle(name="Camper"))
        form = shown(SecondBatteryForm(document, LIGHT), qtbot)
        assert not form._near.row.isVisible()
        assert not form._cable.there.isVisible()
        click(form, qtbot, "second_switch")
        enter(form, qtbot, "second_rest_v", "13,2")
        enter(form, qtbot, "second_resistance_mohm", "6")
        choose(form, "second_near_fuse_fuse", "strip, 30 mm holes")
        click(form, qtbot, "second_link_cable_there")
        enter(form, qtbot, "second_link_cable_length_m", "4")
        click(form, qtbot, "second_link_cable_way_more")
        second = document.vehicle.second_battery
        assert second is not None
        assert (second.rest_v, second.resistance_mohm) == (13.2, 6.0)
        assert second.near_fuse == Fuse(family="strip_30", rating=60.0)
        assert second.far_fuse is None
        assert second.link_cable is not None
        assert (second.link_cable.section_mm2, second.link_cable.whole_m) == (16.0, 5.0)
        choose(form, "second_near_fuse_fuse", "No fuse")
        form._cable.there.click()
        second = document.vehicle.second_battery
        assert second is not None
        assert (second.near_fuse, second.link_cable) == (None, None)

    def test_a_new_one_has_its_fields_in_sight_and_the_keyboard_in_the_first(
        self, qtbot: Any
    ) -> None:
        """Not on the button, which removes it again by the next key."""
        form = SecondBatteryForm(Document(Vehicle(name="Camper")), LIGHT)
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.addSpacing(500)
        column.addWidget(form)
        area = shown(scrolled(inside), qtbot)
        area.resize(600, 540)
        qtbot.wait(20)
        area.activateWindow()
        form.switch.setFocus()
        form.switch.click()
        field = form.findChild(QWidget, "second_chemistry")
        qtbot.waitUntil(field.hasFocus)
        for each in (form.switch, field, form.findChild(QWidget, "second_link")):
            top = each.mapTo(area, QPoint()).y()
            assert 0 <= top < area.height() - each.height()


class TestEarthPoints:
    def test_add_describe_and_remove_one(self, qtbot: Any) -> None:
        document = Document(Vehicle(name="Van"))
        page = shown(EarthPage(document, LIGHT), qtbot)
        click(page, qtbot, "earth_add")
        enter(page, qtbot, "earth_name", "bolt under the seat")
        enter(page, qtbot, "earth_others", "1")
        enter(page, qtbot, "earth_resistance_mohm", "1.5")
        point = document.vehicle.earths[0]
        assert (point.name, point.others, point.resistance_mohm) == ("bolt under the seat", 1, 1.5)
        choose(page, "earth_kind", "Minus post of the battery")
        assert page.form._sensor.isVisible()
        choose(page, "earth_sensor", "Yes")
        assert document.vehicle.earths[0].sensor == "yes"
        click(page, qtbot, "earth_remove")
        assert document.vehicle.earths == ()

    def test_what_was_only_named_becomes_a_point_that_others_share(self, qtbot: Any) -> None:
        vehicle = Vehicle(name="Van")
        for name in ("Camera", "Tracker"):
            vehicle = edits.add_accessory(vehicle, name, watts=5.0)
            vehicle = edits.place(vehicle, vehicle.accessories[-1].id, earth_point="seat bolt")
        document = Document(vehicle)
        form = shown(TapForm(document, LIGHT), qtbot)
        for accessory in vehicle.accessories:
            document.select("accessory", accessory.id)
            click(form, qtbot, "powerLead_makeEarth")
        assert [point.name for point in document.vehicle.earths] == ["seat bolt"]
        assert {tap.earth for tap in document.vehicle.taps} == {document.vehicle.earths[0].id}


class TestSwitch:
    def test_a_switch_in_a_lead_and_what_it_carries(self, qtbot: Any) -> None:
        vehicle = edits.add_accessory(Vehicle(name="Pickup"), "Light bar", watts=90.0)
        vehicle = edits.place(vehicle, "accessory-1")
        document = Document(vehicle)
        form = shown(TapForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-1")
        lead = form.leads["power"]
        assert not lead._switch_limit.isVisible()
        choose(form, "powerLead_switch", "A hand switch")
        enter(form, qtbot, "powerLead_switch_limit_a", "16")
        (tap,) = document.vehicle.taps
        assert (tap.switch, tap.switch_limit_a) == ("hand", 16.0)
        choose(form, "powerLead_switch", "None: straight through")
        assert not lead._switch_limit.isVisible()

    def test_fuse_and_cable_behind_a_converter(self, qtbot: Any) -> None:
        vehicle = edits.add_accessory(
            Vehicle(name="Truck"), "Converter", watts=2.0, converter=Converter()
        )
        vehicle = edits.add_accessory(vehicle, "Radio", watts=50.0)
        document = Document(vehicle)
        form = shown(TapForm(document, LIGHT), qtbot)
        document.select("accessory", "accessory-2")
        assert not form.behind.isVisible()
        document.apply("x", edits.change_accessory, "accessory-2", supplied_by="accessory-1")
        assert form.behind.isVisible()
        choose(form, "outputLead_fuse", "mini (11 × 4 × 16\u202fmm)")
        form.behind._out.there.click()
        enter(form, qtbot, "outputLead_lead_cable_length_m", "3")
        radio = document.vehicle.accessories[1]
        assert radio.lead_fuse == Fuse(family="mini", rating=5.0)
        assert radio.lead_cable == Cable(section_mm2=1.5, length_m=3.0)


@pytest.mark.parametrize("kind", ["earth", "socket", "feed"])
def test_a_list_with_nothing_in_it_says_what_for_and_how_to_begin(qtbot: Any, kind: str) -> None:
    page = {"earth": EarthPage, "socket": SocketPage, "feed": FeedPage}[kind](
        Document(Vehicle(name="Van")), LIGHT
    )
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    nothing = page.findChild(QLabel, f"{kind}Nothing")
    assert nothing is not None
    assert nothing.isVisible()
    assert "yet" in nothing.text()
    assert "Add" in nothing.text(), "how to begin"
    fields = page.form
    assert not fields.isVisible(), "no fields of what is not there"
    click(page, qtbot, f"{kind}_add")
    assert not nothing.isVisible()
    assert fields.isVisible()
    click(page, qtbot, f"{kind}_remove")
    assert nothing.isVisible()


def test_a_list_of_parts_is_no_higher_than_its_rows(qtbot: Any) -> None:
    """The form of the one chosen has the rest of a high page."""
    document = Document(Vehicle(name="Van"))
    page = shown(EarthPage(document, LIGHT), qtbot)
    page.resize(900, 1200)
    for rows in range(1, 4):
        click(page, qtbot, "earth_add")
        qtbot.wait(20)
        assert page.list.count() == rows
        last = page.list.visualItemRect(page.list.item(rows - 1))
        assert page.list.viewport().rect().contains(last)
        assert page.list.viewport().height() - last.bottom() <= 4
