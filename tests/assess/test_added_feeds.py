"""Cables of added feeds: how far to the fuse, how warm, what protects them.

The lengths before a fuse are those of ISO 13590:2018 (180, 500, 900 mm) and ABYC E-11 (1020 and
1830 mm in a sleeve), standards for boats.
"""

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.runs import hardest
from fusemap.checks import findings, whole_verdict
from fusemap.electrics.cable import resistance_ohm
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import STATES, Cable, Feed, Fuse, Stretch, Vehicle, edits
from fusemap.vehicle.words import Sleeve

LEAD = Cable(section_mm2=16.0, length_m=0.5, place="engine_bay")
GUARD = Fuse(family="strip_30", rating=60.0)


def with_feed(**fields: object) -> Vehicle:
    told = {"added": True, "cable": LEAD, "fuse": GUARD, "sleeve": "sleeved", "unfused_m": 0.1}
    return edits.add_feed(Vehicle(name="Van"), "Block", **(told | fields))  # type: ignore[arg-type]


def told(vehicle: Vehicle) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, assess(vehicle)) if f.place == "feed"}


class TestLengthBeforeTheFuse:
    @pytest.mark.parametrize(
        ("metres", "sleeve", "from_block", "severity"),
        [
            (0.12, "open", False, None),
            (0.17, "open", False, None),
            (0.20, "open", False, "stop"),
            (0.40, "sleeved", True, None),
            (0.70, "sleeved", True, "caution"),
            (1.10, "sleeved", True, "stop"),
            (0.85, "sleeved", False, None),
            (1.50, "sleeved", False, "caution"),
            (2.00, "sleeved", False, "stop"),
        ],
    )
    def test_against_the_lengths_of_the_standards(
        self, metres: float, sleeve: Sleeve, from_block: bool, severity: str | None
    ) -> None:
        long = Cable(section_mm2=16.0, length_m=3.0)
        vehicle = with_feed(sleeve=sleeve, unfused_m=metres, cable=long)
        if from_block:
            vehicle = edits.add_feed(vehicle, "Stud")
            stud = vehicle.feeds[-1].id
            vehicle = edits.change_feed(vehicle, vehicle.feeds[0].id, parent=stud)
        assert told(vehicle).get("feed_unfused_too_long") == severity

    def test_a_fuse_that_nobody_measured_may_sit_at_the_far_end(self) -> None:
        vehicle = with_feed(unfused_m=None, cable=Cable(section_mm2=16.0, length_m=4.0))
        a = assess(vehicle)
        found = a.feed_hops["feed_unfused"]
        assert (float(found.load[0]), float(found.most[0])) == (0.0, 4000.0)
        assert whole_verdict(vehicle, a, findings(vehicle, a)) == "may_not_hold"
        assert [wanted.how for wanted in a.measure_next] == ["length"]

    def test_of_a_short_cable_it_matters_not_where_the_fuse_is(self) -> None:
        short = Cable(section_mm2=16.0, length_m=0.15)
        assert "feed_cable_may_not_hold" not in told(with_feed(unfused_m=None, cable=short))

    def test_a_sleeve_that_nobody_looked_at_counts_as_none(self) -> None:
        assert "feed_unfused_too_long" in told(with_feed(sleeve="unknown", unfused_m=0.3))

    def test_a_fuse_above_that_protects_it_too_leaves_nothing_unfused(self) -> None:
        vehicle = with_feed(
            unfused_m=1.0, sleeve="open", cable=Cable(section_mm2=16.0, length_m=2.0)
        )
        vehicle = edits.add_feed(vehicle, "Main", fuse=GUARD)
        above = vehicle.feeds[-1].id
        guarded = edits.change_feed(vehicle, vehicle.feeds[0].id, parent=above)
        assert "feed_unfused_too_long" not in told(guarded)
        heavy = edits.change_feed(guarded, above, fuse=Fuse(family="strip_51", rating=300.0))
        assert told(heavy)["feed_unfused_too_long"] == "stop"

    def test_without_any_fuse_nothing_protects_it(self) -> None:
        assert told(with_feed(fuse=None))["feed_fuse_missing"] == "stop"


class TestCableOfAFeed:
    def test_the_makers_own_feed_is_not_asked_for_a_cable(self) -> None:
        vehicle = edits.add_feed(Vehicle(name="Van"), "Dash", fuse=GUARD)
        assert not told(vehicle)
        assert not assess(vehicle).feed_hops

    def test_an_added_one_without_a_cable_is_never_green(self) -> None:
        vehicle = with_feed(cable=None)
        a = assess(vehicle)
        assert whole_verdict(vehicle, a, findings(vehicle, a)) == "unchecked"

    def test_a_thin_cable_behind_a_large_fuse_is_told_with_a_way_out(self) -> None:
        vehicle = with_feed(cable=Cable(section_mm2=2.5, length_m=2.0))
        codes = told(vehicle)
        assert codes["feed_cable_overload"] == "stop"
        a = assess(vehicle)
        finding = next(f for f in findings(vehicle, a) if f.code == "feed_cable_overload")
        ways = [trial for trial in find_fixes(a, finding) if trial.fix.edit is not None]
        assert ways
        mended = ways[0].fix.edit(vehicle)  # type: ignore[misc]
        assert "feed_cable_overload" not in told(mended)

    def test_its_copper_is_in_the_network(self) -> None:
        lead = Cable(section_mm2=6.0, length_m=5.0)
        ohm = []
        for cable in (None, lead):
            a = assess(with_feed(cable=cable, resistance_mohm=1.0))
            ohm.append(float(a.circuit.feeds.ohm[0]))
        # IEC 60228, class 5: 6 mm² has 3.30 mΩ/m at 20 °C; ISO 6722 has 3.14
        assert ohm[1] - ohm[0] == pytest.approx(5.0 * 3.2e-3, rel=0.05)


class TestAWayThroughPlaces:
    def test_the_hardest_stretch_decides(self) -> None:
        """IEC 60364-5-52, 523.8: the part with the most adverse conditions decides."""
        rules = {k: v.value for k, v in assess(Vehicle(name="Van")).rules.items()}
        way = Cable(
            section_mm2=2.5,
            length_m=3.0,
            place="cabin",
            further=(
                Stretch(length_m=0.2, place="engine_bay"),
                Stretch(length_m=2.0, place="boot"),
            ),
        )
        assert hardest(way, rules).place == "engine_bay"
        together = Cable(
            section_mm2=2.5,
            length_m=1.0,
            place="engine_bay",
            further=(Stretch(length_m=2.0, place="under_carpet", bundle=14),),
        )
        assert hardest(together, rules).bundle == 14

    def test_all_of_its_length_costs_volts(self) -> None:
        def ohm(cable: Cable) -> float:
            vehicle = edits.add_accessory(Vehicle(name="Van"), "Lamp", watts=60.0)
            vehicle = edits.place(vehicle, vehicle.accessories[0].id, cable_out=cable)
            return float(assess(vehicle).circuit.cables.fault_ohm[0])

        one = Cable(section_mm2=1.5, length_m=5.0)
        two = Cable(section_mm2=1.5, length_m=2.0, further=(Stretch(length_m=3.0),))
        assert ohm(two) == pytest.approx(ohm(one))
        assert ohm(one) == pytest.approx(float(resistance_ohm(12.7, 5.0, 85.0)), rel=0.02)

    def test_crossings_are_counted_at_the_bulkhead(self) -> None:
        bay, cabin = Stretch(length_m=1, place="engine_bay"), Stretch(length_m=1, place="cabin")
        assert Cable(section_mm2=1, length_m=1, place="engine_bay").crossings == 0
        assert Cable(section_mm2=1, length_m=1, place="engine_bay", further=(cabin,)).crossings == 1
        assert Cable(section_mm2=1, length_m=1, place="cabin", further=(bay, cabin)).crossings == 2


class TestBlock:
    @pytest.fixture
    def camper(self) -> Vehicle:
        """A block under the seat, as the handbooks have it: sleeve, fuse at the post, own earth."""
        vehicle = edits.change_battery(Vehicle(name="Camper"), capacity_ah=95.0, cca_a=800.0)
        vehicle = edits.change_parking(vehicle, stand_days=0.05)
        lead = Cable(
            section_mm2=16.0,
            length_m=0.3,
            place="engine_bay",
            further=(Stretch(length_m=3.0, place="sill"),),
        )
        told = {"cable": lead, "fuse": GUARD, "sleeve": "sleeved", "unfused_m": 0.3}
        vehicle = edits.add_block(vehicle, "Block", 6, family="regular", feed=told)
        vehicle = edits.add_earth(vehicle, "seat bolt", others=0, resistance_mohm=0.5)
        for way, (name, watts, rating, area) in enumerate(
            (("Cool box", 60.0, 10.0, 2.5), ("Lamps", 40.0, 5.0, 1.5))
        ):
            vehicle = edits.add_accessory(vehicle, name, watts=watts)
            slot = vehicle.panels[0].slots[way].id
            fuse = Fuse(family="regular", rating=rating)
            vehicle = edits.change_slot(vehicle, slot, fuse=fuse, live_side="left", circuit=name)
            vehicle = edits.place(
                vehicle,
                vehicle.accessories[-1].id,
                slot=slot,
                kind="terminal",
                cable_out=Cable(section_mm2=area, length_m=3.0),
                earth=vehicle.earths[0].id,
            )
        return vehicle

    def test_built_as_the_handbooks_say_it_brings_no_stop_and_no_caution(
        self, camper: Vehicle
    ) -> None:
        a = assess(camper)
        found = findings(camper, a)
        assert [f.code for f in found if f.severity != "note" and f.place != "battery"] == []
        assert whole_verdict(camper, a, found) == "holds"

    def test_its_ways_are_known_to_be_empty_and_stay_so_under_any_name(
        self, camper: Vehicle
    ) -> None:
        slots = camper.panels[0].slots
        assert all(slot.function == "added" for slot in slots)
        assert slots[0].circuit == "Cool box"
        a = assess(camper)
        assert np.array_equal(a.slots.own_a, np.zeros((len(STATES), 6)))

    def test_the_fuse_of_a_way_is_the_accessorys_and_carries_it(self, camper: Vehicle) -> None:
        a = assess(camper)
        assert float(a.slots.host_a[:, 0].max()) == pytest.approx(
            float(a.taps.current_a[:, 0].max())
        )
        keys = {hop.key for hop in a.chains[camper.taps[0].id].hops}
        assert {"feed_unfused", "feed_heat", "feed_far_end", "overload", "short"} <= keys

    def test_too_much_on_the_block_is_told_at_its_feed(self, camper: Vehicle) -> None:
        small = Fuse(family="strip_30", rating=30.0)
        feed = camper.feeds[0].id
        heavy = edits.change_accessory(camper, camper.accessories[0].id, watts=400.0)
        codes = told(edits.change_feed(heavy, feed, fuse=small))
        assert codes["feed_overloaded"] == "stop"


def test_feeds_keep_their_order_of_fuses() -> None:
    """The nearest fuse above protects a feed that has none of its own."""
    vehicle = edits.add_feed(Vehicle(name="Van"), "Main", fuse=GUARD)
    vehicle = edits.add_feed(vehicle, "Branch", parent=vehicle.feeds[0].id, added=True, cable=LEAD)
    assert isinstance(vehicle.feeds[1], Feed)
    assert "feed_fuse_missing" not in told(vehicle)
