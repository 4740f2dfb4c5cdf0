"""Added feeds, fuse blocks and earth points, entered with keys and mouse."""

from typing import Any

from fusemap.vehicle import Cable, Stretch, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.earth_page import EarthPage
from fusemap.window.forms.feed_page import FeedPage
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
