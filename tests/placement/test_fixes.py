"""Fixes: each really removes its finding, and says what else it brings up."""

import inspect
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import fusemap.checks
from fusemap.assess import assess
from fusemap.assess.hops import HOPS, link, output
from fusemap.assess.hops.feed import FEED_HOPS
from fusemap.checks import SEVERITIES, Finding, findings
from fusemap.checks.whole import NOT_KNOWN
from fusemap.files.demos import demo_names, read_demo
from fusemap.fixes.table import FIXES
from fusemap.fixes.trial import Trial, effect_words, find_fixes
from fusemap.text import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, VoltageCutOff, edits, look_up
from tests import strategies
from tests.vehicles import one_slot, with_accessory


def codes() -> set[str]:
    """Every code in the source of the checks, and those of the limits of a chain."""
    folder = Path(fusemap.checks.__file__).parent
    text = "\n".join(path.read_text(encoding="utf-8") for path in folder.glob("*.py"))
    kinds = {kind.code for kind in (*HOPS, *FEED_HOPS) if kind.code}
    said = " ".join(re.findall(r"code=(.+)", text))
    return {*re.findall(r'"([a-z_]+)"', said), *kinds, *_codes_beside()}


def _codes_beside() -> set[str]:
    """Those of the limits that stand beside the taps' own."""
    text = inspect.getsource(link) + inspect.getsource(output)
    return set(re.findall(r'(?:Limit\(hop, |code = )"([a-z_]+)"', text))


def test_every_finding_has_find_fixes() -> None:
    assert len(codes()) > 40
    assert codes() == set(FIXES)


def test_what_keeps_a_vehicle_from_holding_are_findings_there_are() -> None:
    assert codes() >= NOT_KNOWN


def key(finding: Finding) -> tuple[str, str, str]:
    return finding.code, finding.place, finding.place_id


def check_fixes(vehicle: Vehicle, finding: Finding) -> list[Trial]:
    """Make every fix and look at the vehicle it leads to, by the checks themselves."""
    a = assess(vehicle)
    before = {key(f): SEVERITIES.index(f.severity) for f in findings(vehicle, a)}
    found = list(find_fixes(a, finding))
    assert found, "somebody is told what to do at least"
    bad = SEVERITIES.index(finding.severity)
    for trial in found:
        assert trial.fix.title
        if trial.effect is None:
            assert trial.fix.edit is None
            continue
        assert trial.fix.edit is not None
        after = trial.fix.edit(vehicle)
        assert after == trial.effect.vehicle
        now = {key(f): f for f in findings(after, assess(after))}
        assert key(finding) not in now
        said = " ".join(map(str, effect_words(trial.effect, finding)))
        for new, f in now.items():
            rank = SEVERITIES.index(f.severity)
            if rank <= bad and rank < before.get(new, 9):
                assert f"brings up a {f.severity}: {f.where}" in said
        assert vehicle == a.vehicle, "a fix is tried on a copy"
    return found


@pytest.mark.parametrize("name", [key for key, _ in demo_names()])
def test_every_fix_of_a_demo_vehicle_removes_its_finding(name: str) -> None:
    vehicle = read_demo(name)
    done, told = 0, findings(vehicle, assess(vehicle))
    for finding in told:
        found = check_fixes(vehicle, finding)
        done += any(each.effect is not None for each in found)
    unsure = {finding.code for finding in told} <= {"feed_may_not_hold"}
    assert done or unsure, "a demo vehicle has something to find, with a fix, or to measure"


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(vehicle=strategies.vehicles(usual=True), data=st.data())
def test_every_fix_of_a_random_vehicle_removes_its_finding(
    vehicle: Vehicle, data: st.DataObject
) -> None:
    found = findings(vehicle, assess(vehicle))
    if found:
        check_fixes(vehicle, data.draw(st.sampled_from(found), label="finding"))


# --- what a master would do -----------------------------------------------------------------------


def only(vehicle: Vehicle, code: str) -> list[Trial]:
    """The fixes of the one finding of this code."""
    (finding,) = (f for f in findings(vehicle, assess(vehicle)) if f.code == code)
    return check_fixes(vehicle, finding)


def titles(found: list[Trial]) -> list[str]:
    return [str(each.fix.title) for each in found]


def test_a_reversed_tap_is_turned_round() -> None:
    vehicle = with_accessory(
        one_slot(), way_round="load_side", fuse=Fuse(family="mini", rating=7.5)
    )
    (fix,) = only(vehicle, "reversed_tap")
    assert fix.fix.title == "Turn the tap of “Lamp” round"
    assert fix.effect.vehicle.taps[0].way_round == "live_side"


def test_a_thin_cable_is_made_thicker_or_its_fuse_smaller_or_shorter() -> None:
    vehicle = with_accessory(
        one_slot(),
        amperes=2.0,
        fuse=Fuse(family="mini", rating=10.0),
        cable_out=Cable(section_mm2=0.5, length_m=18.0),
        earth_point="bolt",
    )
    words = titles(only(vehicle, "cable_far_end"))
    assert words[0].startswith(f"Fit an accessory fuse of 3{NARROW_SPACE}A")
    assert any(w.startswith("Use a cable of") for w in words)
    assert any(w.startswith(f"Shorten the cable from 18{NARROW_SPACE}m") for w in words)


def test_the_thicker_cable_is_the_one_that_passes_every_check() -> None:
    vehicle = with_accessory(
        one_slot(),
        amperes=5.0,
        fuse=Fuse(family="mini", rating=10.0),
        cable_out=Cable(section_mm2=0.5, length_m=8.0),
        earth_point="bolt",
    )
    first = only(vehicle, "cable_drop")[0]
    after = first.effect.vehicle
    assert not [f for f in findings(after, assess(after)) if f.code.startswith("cable_")]


def test_a_missing_fuse_is_fitted_with_a_cable_that_matches() -> None:
    vehicle = with_accessory(one_slot(), fuse=None, cable_out=Cable(section_mm2=0.5, length_m=2.0))
    (fix,) = only(vehicle, "fuse_missing")
    tap = fix.effect.vehicle.taps[0]
    assert tap.fuse == Fuse(family="mini", rating=7.5)
    codes_after = {f.code for f in findings(fix.effect.vehicle, assess(fix.effect.vehicle))}
    assert not codes_after & {"cable_short", "cable_overload_gap", "fuse_overloaded"}


def test_a_heavy_load_goes_onto_a_relay_of_its_own() -> None:
    vehicle = with_accessory(one_slot(rating=30.0), amperes=14.0)
    vehicle = edits.change_accessory(vehicle, "accessory-1", needs="switched")
    vehicle = edits.add_panel(vehicle, "Second", 1, 1)
    slot = vehicle.panels[1].slots[0]
    vehicle = edits.change_slot(vehicle, slot.id, feed_class="ignition", live_side="left",
                                fuse=Fuse(family="mini", rating=10.0))  # fmt: skip
    (fix,) = only(vehicle, "heavy_without_relay")
    after = fix.effect.vehicle
    power, sense = (look_up.tap_of(after, "accessory-1", lead) for lead in ("power", "sense"))
    assert (power.kind, power.relay) == ("own_feed", True)
    assert sense.slot == slot.id
    assert "its coil on" in fix.fix.title


def test_a_cut_off_is_raised_no_further_than_needed() -> None:
    cut_off = VoltageCutOff(off_v=10.5, on_v=12.0)
    vehicle = with_accessory(one_slot(own_a=0.0), amperes=1.0)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", works_in=("asleep", "awake"), cut_off=cut_off
    )
    vehicle = edits.change_parking(vehicle, stand_days=3.0)
    (fix,) = only(vehicle, "cut_off_too_low")
    off = fix.effect.vehicle.accessories[0].cut_off.off_v
    lower = edits.change_accessory(
        fix.effect.vehicle, "accessory-1", cut_off=VoltageCutOff(off_v=off - 0.1, on_v=13.0)
    )
    assert [f for f in findings(lower, assess(lower)) if f.code == "cut_off_too_low"]


def test_a_cut_off_that_trips_at_once_is_lowered_no_further_than_needed() -> None:
    cut_off = VoltageCutOff(off_v=13.0, on_v=13.6)
    vehicle = with_accessory(one_slot(own_a=0.0), amperes=0.4)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", works_in=("asleep", "awake"), cut_off=cut_off
    )
    (way,) = only(vehicle, "cut_off_too_high")
    off = way.effect.vehicle.accessories[0].cut_off.off_v
    assert off < 12.7
    higher = edits.change_accessory(
        vehicle, "accessory-1", cut_off=VoltageCutOff(off_v=round(off + 0.1, 2), on_v=13.6)
    )
    assert [f for f in findings(higher, assess(higher)) if f.code == "cut_off_too_high"]


def test_standing_longer_is_offered_by_cut_off_timer_duty_and_not_working() -> None:
    vehicle = with_accessory(one_slot(own_a=0.0), amperes=1.0)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", works_in=("asleep", "awake", "running")
    )
    vehicle = edits.change_parking(vehicle, stand_days=7.0)
    words = titles(only(vehicle, "stands_too_short"))
    for start in ("Let a cut-off", "Let “Lamp” stop", "Let “Lamp” draw", "Do not let “Lamp” work"):
        assert any(w.startswith(start) for w in words), (start, words)


def test_what_only_somebody_beside_the_car_can_do_has_words_and_no_button() -> None:
    own_earth = {"cable_out": Cable(section_mm2=1.5, length_m=1.0), "earth_point": ""}
    (way,) = only(with_accessory(one_slot(), **own_earth), "earth_unnamed")
    assert way.effect is None
    assert way.fix.title == "Choose an existing earth bolt on bare metal, and name it."


@pytest.mark.parametrize(
    ("code", "fields"),
    [
        ("live_side_unknown", {"live_side": "unknown"}),
        ("class_unknown", {"feed_class": "unknown"}),
        ("own_load_unknown", {"own_load": StateLoads()}),
    ],
)
def test_where_a_reading_is_missing_to_take_it_is_the_first_way(
    code: str, fields: dict[str, Any]
) -> None:
    vehicle = two_slots(**fields)
    first, *others = only(vehicle, code)
    assert first.fix.read == ("slot", vehicle.taps[0].slot)
    assert first.effect is None
    assert not any(each.fix.read for each in others)


def test_a_slot_that_was_measured_dead_is_not_to_be_measured_again() -> None:
    assert not any(way.fix.read for way in only(two_slots(feed_class="unfed"), "class_unknown"))


def two_slots(**fields: Any) -> Vehicle:
    """A lamp on a slot with these fields, and a second slot it might move to."""
    vehicle = one_slot()
    vehicle = edits.add_panel(vehicle, "Rear", 1, 1)
    spare = list(look_up.slots(vehicle))[-1]
    first = next(look_up.slots(vehicle))
    vehicle = edits.change_slot(
        vehicle, spare.id, fuse=first.fuse, feed_class=first.feed_class, live_side=first.live_side,
        own_load=first.own_load,
    )  # fmt: skip
    return edits.change_slot(with_accessory(vehicle), first.id, **fields)


def test_the_effect_is_told_in_margins_and_days() -> None:
    vehicle = with_accessory(one_slot(own_a=6.0), amperes=6.0, way_round="load_side")
    first = only(vehicle, "host_overloaded")[0]
    (finding,) = (f for f in findings(vehicle, assess(vehicle)) if f.code == "host_overloaded")
    words = effect_words(first.effect, finding)
    assert any("→" in line and "of the limit" in line for line in words)
