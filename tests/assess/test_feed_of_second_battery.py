"""An added feed that begins at the second battery is assessed like any other."""

from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.vehicle import Cable, Feed, Fuse, SecondBattery
from tests.vehicles import one_slot


def test_nothing_protects_its_cable_before_its_own_fuse() -> None:
    cable = Cable(section_mm2=10.0, length_m=2.0)
    feed = Feed(id="block", name="Block", added=True, cable=cable, battery="second",
                fuse=Fuse(family="strip_30", rating=60.0), unfused_m=1.5)  # fmt: skip
    bench = one_slot()
    vehicle = replace(
        bench, second_battery=SecondBattery(capacity_ah=90.0), feeds=(*bench.feeds, feed)
    )
    a = assess(vehicle)
    assert a.feed_hops
    assert any(each.where == "Block" or each.place_id == "block" for each in findings(vehicle, a))
