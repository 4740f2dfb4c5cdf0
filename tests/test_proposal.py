"""What would be right for a tap: fuse and cable that together hold, and the edit for them."""

import numpy as np
import pytest

from fusemap.advise.advice import sections
from fusemap.advise.proposal import Proposal, own_failing, proposal, published
from fusemap.assess import assess
from fusemap.assess.hops import OWN
from fusemap.electrics.sizing import CRITERIA
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, look_up
from tests.vehicles import one_slot, only_slot, with_accessory


def tapped(
    amperes: float = 5.0,
    *,
    mm2: float = 0.5,
    metres: float = 2.0,
    rating: float = 15.0,
    **more: object,
) -> Vehicle:
    tap = {
        "fuse": Fuse(family="mini", rating=rating),
        "cable_out": Cable(section_mm2=mm2, length_m=metres),
        "earth_point": "bolt",
        "ceiling_a": 20.0,
    }
    return with_accessory(one_slot(rating=20.0), amperes, **(tap | more))


def right(vehicle: Vehicle, tap_id: str = "tap-1") -> Proposal:
    return proposal(assess(vehicle), tap_id)


def adopted(vehicle: Vehicle) -> Vehicle:
    return edits.change_tap(vehicle, "tap-1", **right(vehicle).changes)


@pytest.mark.parametrize("amperes", [0.5, 2.0, 5.0, 8.0])
@pytest.mark.parametrize("metres", [0.5, 3.0, 9.0])
def test_what_is_adopted_holds(amperes: float, metres: float) -> None:
    vehicle = tapped(amperes, metres=metres)
    found = right(vehicle)
    assert found.section_mm2 is not None
    assert found.left == ()
    assert own_failing(assess(adopted(vehicle)), "tap-1") == ()


def test_after_adopting_there_is_nothing_left_to_adopt() -> None:
    vehicle = adopted(tapped(8.0, mm2=0.35, metres=9.0))
    assert right(vehicle).changes == {}


def test_the_next_smaller_section_would_not_hold() -> None:
    vehicle = tapped(8.0, metres=9.0)
    found = right(vehicle)
    area = sections().area_mm2
    smaller = float(area[np.searchsorted(area, found.section_mm2) - 1])
    assert found.fuse is not None
    thin = edits.change_tap(
        vehicle, "tap-1", fuse=found.fuse, cable_out=Cable(section_mm2=smaller, length_m=9.0)
    )
    broken = own_failing(assess(thin), "tap-1")
    assert found.sections is not None
    keys = {"drop": "drop", "heat": "heat_out", "floor": "section"}
    decided = found.sections.decided_by
    assert keys.get(decided, decided) in {hop.key for hop in broken}


def test_the_right_fuse_is_the_smallest_that_carries_the_load() -> None:
    """5 A lasting at 75 % of the rating and 25 °C: 7.5 A carries 5.6 A, 5 A only 3.75 A."""
    found = right(tapped(5.0))
    assert found.fuse == Fuse(family="mini", rating=7.5)


def test_a_tow_loads_power_at_a_thin_cable_is_tried_as_a_whole() -> None:
    """Constant power draws more behind a thin cable: fuse and cable have to suit each other."""
    v = edits.add_accessory(one_slot(rating=30.0), "Heater", watts=100.0, rated_v=12.0)
    v = edits.place(v, "accessory-1", slot=only_slot(v).id, fuse=Fuse(family="mini", rating=10.0),
                    cable_out=Cable(section_mm2=0.5, length_m=8.0), ceiling_a=20.0)  # fmt: skip
    found = right(v)
    assert found.left == ()
    assert own_failing(assess(edits.change_tap(v, "tap-1", **found.changes)), "tap-1") == ()


def test_what_is_right_already_is_left_alone() -> None:
    vehicle = tapped(5.0, mm2=0.5, metres=1.0, rating=7.5)
    found = right(vehicle)
    assert found.holds_now
    assert found.changes == {}
    assert found.fuse is look_up.tap(vehicle, "tap-1").fuse


def test_the_return_cable_gets_the_same_section() -> None:
    back = Cable(section_mm2=0.35, length_m=6.0, colour="brown")
    found = right(tapped(8.0, metres=6.0, cable_back=back))
    assert found.changes["cable_back"].section_mm2 == found.changes["cable_out"].section_mm2
    assert found.changes["cable_back"].colour == "brown"


def test_no_fuse_above_the_host_is_proposed() -> None:
    vehicle = edits.change_slot(
        tapped(9.0), only_slot(tapped()).id, fuse=Fuse(family="mini", rating=10.0)
    )
    assert right(vehicle).fuse is None


def test_no_fuse_above_the_taps_ceiling_is_proposed() -> None:
    """8 A want a 15 A fuse (10 A carry 7.5 A for long); a usual kit takes 10 A."""
    assert right(tapped(8.0)).fuse == Fuse(family="mini", rating=15.0)
    found = right(tapped(8.0, ceiling_a=None))
    assert (found.fuse, found.changes) == (None, {})
    assert found.advice.fuse is not None
    assert found.advice.fuse.reason == "tap"


def test_without_a_cable_the_fuse_alone_is_proposed() -> None:
    found = right(tapped(5.0, cable_out=None))
    assert found.fuse == Fuse(family="mini", rating=7.5)
    assert (found.section_mm2, found.sections) == (None, None)


def test_an_own_feed_without_a_fuse_family_gets_no_proposal() -> None:
    vehicle = with_accessory(
        one_slot(), 5.0, kind="own_feed", cable_out=Cable(section_mm2=1.0, length_m=2.0)
    )
    found = right(vehicle)
    assert (found.fuse, found.section_mm2, found.changes) == (None, None, {})


def test_a_sense_lead_keeps_its_fuse() -> None:
    v = edits.add_accessory(one_slot(), "Camera", watts=5.0, leads=("power", "sense"))
    fuse = Fuse(family="mini", rating=2.0)
    v = edits.place(v, "accessory-1", "sense", slot=only_slot(v).id, fuse=fuse,
                    cable_out=Cable(section_mm2=0.22, length_m=3.0))  # fmt: skip
    found = right(v, v.taps[0].id)
    assert found.fuse == fuse
    assert found.section_mm2 == 0.5
    assert set(found.changes) == {"cable_out"}


def test_every_section_comes_with_every_criterion() -> None:
    found = right(tapped(5.0)).sections
    assert found is not None
    assert set(found.checks) == set(CRITERIA)
    assert len(found.passes) == len(sections().area_mm2)


def test_only_hops_that_fuse_or_cable_can_cure_are_told() -> None:
    assert "live_contact" not in OWN
    vehicle = edits.change_slot(
        tapped(5.0, mm2=1.0, rating=7.5), only_slot(tapped()).id, contact_limit_a=2.0
    )
    assert right(vehicle).holds_now


class TestPublishedBeside:
    def test_the_models_figure_is_for_the_tables_own_temperatures(self) -> None:
        """DIN VDE 0298-4, table 11: 1.5 mm² in free air, 70 °C at 30 °C, carries 24 A; the model
        20.8 A with vehicle cable."""
        row = next(b for b in published(1.5, "pvc") if b.row.arrangement.startswith("1 loaded"))
        assert row.row.current_a == 24.0
        assert row.model_a == pytest.approx(20.8, abs=0.3)
        assert row.ratio == pytest.approx(20.8 / 24.0, abs=0.02)

    def test_another_arrangement_or_unstated_temperatures_have_no_ratio(self) -> None:
        rows = published(1.5, "pvc")
        assert all(b.ratio is None for b in rows if b.row.ambient_c is None)
        assert all(b.ratio is None for b in rows if "2 or 3" in b.row.arrangement)
        assert any(b.ratio is None for b in rows)

    def test_classes_above_the_insulations_are_left_out(self) -> None:
        assert max(b.row.conductor_c or 0 for b in published(1.0, "pvc")) <= 105.0
        assert max(b.row.conductor_c or 0 for b in published(1.0, "silicone")) > 105.0

    def test_the_mean_over_the_seen_tables_is_within_twenty_percent(self) -> None:
        ratios = [
            b.ratio
            for area in sections().area_mm2
            for b in published(float(area), "silicone")
            if b.ratio is not None and b.row.source.status == "seen"
        ]
        assert len(ratios) > 20
        assert 0.8 < np.mean(ratios) < 1.2


def test_a_smaller_fuse_brings_its_own_resistance_into_the_drop() -> None:
    """A 2 A fuse instead of 15 A: 171 mV ÷ 2 A instead of 98 mV ÷ 15 A, 0.079 Ω more."""
    vehicle = tapped(1.4, mm2=0.5, metres=2.0, rating=15.0)
    found = right(vehicle)
    assert found.fuse == Fuse(family="mini", rating=2.0)
    assert found.sections is not None
    adopted_drop = next(h for h in assess(adopted(vehicle)).chains["tap-1"].hops if h.key == "drop")
    index = list(sections().area_mm2).index(found.section_mm2)
    assert found.sections.checks["drop"].at(index).found == pytest.approx(adopted_drop.load)
