"""Loads that work for hours while parked: the fuse of their cable, and what switches them off."""

import pytest

from fusemap.advise.advice import tap_advice
from fusemap.assess import assess
from fusemap.checks import Finding, findings
from fusemap.fixes.trial import find_fixes
from fusemap.placement.suggest import suggest_tap
from fusemap.vehicle import Cable, ClockSpan, Fuse, Vehicle, VoltageCutOff, edits
from tests.vehicles import one_slot, only_slot, with_accessory

PARKED = ("asleep", "awake")
LITTLE = 0.06


def standing(amperes: float, rating: float, family: str = "mini", **accessory: object) -> Vehicle:
    """An accessory on an own feed that works while the vehicle is parked."""
    vehicle = with_accessory(
        one_slot(rating=30.0),
        amperes,
        kind="own_feed",
        fuse=Fuse(family=family, rating=rating),
        cable_out=Cable(section_mm2=6.0, length_m=1.0),
        earth_point="bolt",
    )
    return edits.change_accessory(
        vehicle, "accessory-1", **{"works_in": PARKED, "needs": "permanent"} | accessory
    )


def found(vehicle: Vehicle) -> dict[str, Finding]:
    return {finding.code: finding for finding in findings(vehicle, assess(vehicle))}


def removed(vehicle: Vehicle, finding: Finding) -> set[str]:
    """What the ways out of a finding take away, those that are edits."""
    effects = [tried.effect for tried in find_fixes(assess(vehicle), finding)]
    return {gone.code for effect in effects if effect is not None for gone in effect.removed}


def test_29_amperes_for_good_are_too_much_for_a_fuse_of_40() -> None:
    """0.70 × 40 A = 28 A, the share of a body-builder guide (2015); the fuse itself bears 30 A."""
    finding = found(standing(29.0, 40.0, "maxi"))["lasting_load"]
    assert finding.severity == "caution"
    assert "29 A > 28 A" in str(finding.sum).replace("\u202f", " ")
    assert "fuse_overloaded" not in found(standing(29.0, 40.0, "maxi"))
    assert "lasting_load" not in found(standing(27.5, 40.0, "maxi"))


@pytest.mark.parametrize(
    "short",
    [
        {"works_in": ("ignition", "running"), "needs": "either"},
        {"run_on_min": 30.0},
        {"timetable": (ClockSpan(from_h=23.75, to_h=0.25),)},
        {"duty": 0.5, "duty_period_s": 1200.0},
    ],
    ids=str,
)
def test_a_load_of_less_than_an_hour_may_take_more(short: dict[str, object]) -> None:
    assert "lasting_load" in found(standing(7.3, 10.0))
    assert "lasting_load" not in found(standing(7.3, 10.0, **short))


def test_advice_and_proposal_take_the_share_that_the_verdict_takes() -> None:
    """7.3 A for good: 7.5 A of a 10 A fuse are borne, 7 A are right; the next is 15 A."""
    vehicle = standing(7.3, 10.0)
    advised = tap_advice(assess(vehicle), "tap-1").fuse
    assert advised is not None
    assert advised.rating_a == 15.0
    unplaced = edits.unplace(vehicle, "tap-1")
    unplaced = edits.set_rule(unplaced, "tap_kit_ceiling_a", 20.0)
    slot = only_slot(unplaced).id
    fields = suggest_tap(unplaced, assess(unplaced), unplaced.accessories[0], "power", slot)
    assert fields["fuse"] == Fuse(family="mini", rating=15.0)
    assert "lasting_load" not in found(edits.place(unplaced, "accessory-1", slot=slot, **fields))


def test_a_way_out_of_a_lasting_load_is_the_next_fuse() -> None:
    vehicle = standing(7.3, 10.0)
    finding = found(vehicle)["lasting_load"]
    assert finding.code in removed(vehicle, finding)


class TestKeyOff:
    """Above 100 mA with the key off something has to switch it (a van maker's converter guide)."""

    def test_two_amperes_that_nothing_switches_off_are_told(self) -> None:
        finding = found(standing(2.0, 5.0))["key_off_load"]
        said = str(finding.sum).replace("\u202f", " ")
        assert said == "asleep 2 A > 0.1 A, 48 Ah a day"

    def test_what_draws_little_may_stay_on(self) -> None:
        assert "key_off_load" not in found(standing(LITTLE, 5.0))

    @pytest.mark.parametrize(
        "guarded",
        [
            {"cut_off": VoltageCutOff(off_v=12.2, on_v=12.9)},
            {"run_on_min": 90.0},
            {"timetable": (ClockSpan(from_h=1.0, to_h=3.0),)},
        ],
        ids=str,
    )
    def test_a_cut_off_or_a_timer_switches_it(self, guarded: dict[str, object]) -> None:
        assert "key_off_load" not in found(standing(2.0, 5.0, **guarded))

    def test_what_it_draws_when_its_timer_is_over_counts(self) -> None:
        slow = standing(2.0, 5.0, run_on_min=90.0, standby_a=0.2)
        assert "asleep 0.2 A" in str(found(slow)["key_off_load"].sum).replace("\u202f", " ")

    def test_a_way_out_of_it_is_a_cut_off(self) -> None:
        vehicle = standing(2.0, 5.0)
        finding = found(vehicle)["key_off_load"]
        assert finding.code in removed(vehicle, finding)
