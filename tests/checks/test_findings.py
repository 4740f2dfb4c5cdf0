"""Each check finds what it is for, and stays silent on a sound job."""

import pytest
from msgspec.structs import replace

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import CHECKS, SEVERITIES, Finding, findings
from fusemap.files.demos import demo_names, read_demo
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import BATTERY, Cable, Fuse, Parking, Vehicle, VoltageCutOff, edits
from tests.plain import plain
from tests.vehicles import one_slot, only_slot, with_accessory

SOUND_TAP = {
    "fuse": Fuse(family="mini", rating=7.5),
    "cable_out": Cable(section_mm2=1.5, length_m=2.0),
    "joint": "butt_crimp",
    "earth_point": "bolt behind the left kick panel",
}


def found(vehicle: Vehicle) -> dict[str, Finding]:
    """The findings by code."""
    return {finding.code: finding for finding in findings(vehicle, assess(vehicle))}


def sound() -> Vehicle:
    """A job with nothing to find."""
    vehicle = with_accessory(one_slot(feed_class="ignition"), **SOUND_TAP)
    return edits.change_parking(vehicle, stand_days=7.0)


def test_a_sound_job_has_no_finding() -> None:
    assert found(sound()) == {}


def test_a_reversed_tap_loads_the_host_and_is_told() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", way_round="load_side")
    assert "reversed_tap" in found(vehicle)
    assert "7 A" in plain(found(vehicle)["reversed_tap"].sum)


def test_an_overloaded_host_fuse_stops_the_job() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", way_round="load_side")
    vehicle = edits.change_slot(
        vehicle, only_slot(vehicle).id, fuse=Fuse(family="mini", rating=7.5)
    )
    finding = found(vehicle)["host_overloaded"]
    assert finding.severity == "stop"
    assert finding.place_id == only_slot(vehicle).id


def test_a_live_contact_is_held_against_its_own_limit() -> None:
    vehicle = edits.change_slot(sound(), only_slot(sound()).id, contact_limit_a=6.0)
    assert found(vehicle)["contact_overloaded"].severity == "stop"


def test_an_overloaded_feed_is_found_although_every_fuse_is_fine() -> None:
    vehicle = edits.change_feed(sound(), "feed-1", limit_a=6.0)
    assert set(found(vehicle)) == {"feed_overloaded"}


def test_a_tap_without_any_fuse_stops_the_job() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", fuse=None)
    assert found(vehicle)["fuse_missing"].severity == "stop"


def test_a_fuse_too_small_for_its_load_will_open() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", fuse=Fuse(family="mini", rating=4.0))
    assert found(vehicle)["fuse_overloaded"].severity == "stop"


def test_an_accessory_fuse_above_the_host_is_told() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", fuse=Fuse(family="mini", rating=20.0))
    assert "fuse_above_host" in found(vehicle)


def test_a_long_thin_cable_may_never_open_its_fuse() -> None:
    cable = Cable(section_mm2=0.5, length_m=14.0)
    vehicle = edits.change_tap(
        sound(), "tap-1", cable_out=cable, fuse=Fuse(family="mini", rating=15.0)
    )
    assert found(vehicle)["cable_far_end"].severity == "stop"


def test_a_return_cable_has_to_be_strong_enough_too() -> None:
    """However thick the cable out: a return of 0.35 mm² breaks, one of 0.5 mm² lasts."""

    def behind(area_mm2: float) -> dict[str, Finding]:
        back = Cable(section_mm2=area_mm2, length_m=0.3)
        return found(edits.change_tap(sound(), "tap-1", cable_back=back))

    thin = behind(0.35)["cable_back_too_thin_to_last"]
    assert (thin.severity, thin.place) == ("caution", "tap")
    assert plain(thin.sum).startswith("0.35 mm² < 0.5 mm²; Out ")
    assert "cable_back_too_thin_to_last" not in behind(0.5)
    assert "cable_back_too_thin_to_last" not in found(sound())


def test_too_much_drop_is_told_with_the_sum() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", cable_out=Cable(section_mm2=1.5, length_m=14.0))
    finding = found(vehicle)["cable_drop"]
    assert ">" in finding.sum
    assert finding.source


def test_a_finding_about_a_hop_says_how_its_sum_is_reckoned() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", cable_out=Cable(section_mm2=1.5, length_m=14.0))
    formula = plain(found(vehicle)["cable_drop"].formula)
    assert formula.startswith("current × (joint + fuse + cable out")


def test_an_overloaded_contact_names_where_its_limit_is_from() -> None:
    entered = edits.change_slot(sound(), only_slot(sound()).id, contact_limit_a=6.0)
    assert found(entered)["contact_overloaded"].source == "as entered for this slot"


def test_a_thin_cable_behind_a_large_fuse_overheats_in_an_overload() -> None:
    vehicle = edits.change_tap(
        sound(),
        "tap-1",
        fuse=Fuse(family="regular", rating=40.0),
        cable_out=Cable(section_mm2=0.75, length_m=1.0),
    )
    assert found(vehicle)["cable_overload_gap"].severity == "stop"


def test_an_unknown_class_is_a_caution_and_reckoned_live() -> None:
    vehicle = edits.change_slot(sound(), only_slot(sound()).id, feed_class="unknown")
    assert "class_unknown" in found(vehicle)


def test_an_unmeasured_own_load_is_a_note() -> None:
    from fusemap.vehicle import StateLoads

    vehicle = edits.change_slot(sound(), only_slot(sound()).id, own_load=StateLoads(running=2.0))
    assert found(vehicle)["own_load_unknown"].severity == "note"


def test_a_tapped_slot_whose_feed_nobody_named_is_a_note() -> None:
    slot_id = only_slot(sound()).id
    unnamed = edits.change_slot(sound(), slot_id, feed=None)
    finding = found(unnamed)["feed_unknown"]
    assert (finding.severity, finding.place_id) == ("note", slot_id)
    assert "feed_unknown" not in found(sound())
    straight = edits.change_slot(unnamed, slot_id, feed_class="permanent", feed=BATTERY)
    assert "feed_unknown" not in found(straight)
    assert "feed_unknown" not in found(edits.unplace(unnamed, "tap-1"))
    assert "feed_unknown" not in found(edits.change_slot(unnamed, slot_id, feed_class="unfed"))


def test_a_feed_with_neither_fuse_nor_limit_is_a_note() -> None:
    bare = edits.change_feed(sound(), "feed-1", limit_a=None)
    finding = found(bare)["feed_without_limit"]
    assert (finding.severity, finding.place, finding.place_id) == ("note", "feed", "feed-1")
    fuse = Fuse(family="maxi", rating=40.0)
    for known in ({"limit_a": 40.0}, {"fuse": fuse}):
        assert "feed_without_limit" not in found(edits.change_feed(bare, "feed-1", **known))


def test_a_switched_slot_that_a_file_hangs_on_the_battery_is_a_caution() -> None:
    """An edit is refused; a file that says so opens, and says more than can be."""
    slot_id = only_slot(sound()).id
    straight = edits.change_slot(sound(), slot_id, feed_class="permanent", feed=BATTERY)
    assert "switched_from_battery" not in found(straight)
    panel = straight.panels[0]
    wrong = replace(panel.slots[0], feed_class="ignition")
    written = files.render(replace(straight, panels=(replace(panel, slots=(wrong,)),)))
    opened = files.parse(written)
    finding = found(opened)["switched_from_battery"]
    assert (finding.severity, finding.place_id) == ("caution", slot_id)
    (way,) = find_fixes(assess(opened), finding)
    assert way.fix.edit is not None
    assert "switched_from_battery" not in found(way.fix.edit(opened))


def test_a_critical_circuit_stays_a_caution_even_with_a_written_reason() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", justification="maker's own option socket",
                               found_how="read in the handbook")  # fmt: skip
    vehicle = edits.change_slot(vehicle, only_slot(vehicle).id, critical=True)
    assert found(vehicle)["critical_tapped"].severity == "caution"


def test_a_12_volt_lamp_on_24_volts_stops_the_job() -> None:
    vehicle = edits.change_vehicle(sound(), system_v=24)
    assert found(vehicle)["wrong_voltage"].severity == "stop"


def test_a_vehicle_that_stands_too_long_is_told_with_and_without_the_accessories() -> None:
    vehicle = with_accessory(one_slot(), amperes=0.2, **SOUND_TAP)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", works_in=("asleep", "awake", "accessory", "ignition", "running")
    )
    vehicle = edits.change_parking(vehicle, stand_days=30.0)
    finding = found(vehicle)["stands_too_short"]
    assert "without the accessories" in finding.sum
    assert "Lamp" in finding.sum


def test_a_cut_off_below_the_crank_limit_is_told() -> None:
    vehicle = with_accessory(one_slot(), amperes=0.2, **SOUND_TAP)
    vehicle = edits.change_accessory(
        vehicle,
        "accessory-1",
        works_in=("asleep", "awake", "accessory", "ignition", "running"),
        cut_off=VoltageCutOff(off_v=11.0, on_v=12.6),
    )
    assert "cut_off_too_low" in found(vehicle)


def camera_with_cut_off(off_v: float, **fields: object) -> Vehicle:
    """A camera of 0.4 A, meant to work while parked on a battery that rests at 12.6 V."""
    vehicle = with_accessory(one_slot(own_a=0.0), amperes=0.4, **SOUND_TAP)
    cut_off = VoltageCutOff(off_v=off_v, on_v=off_v + 0.5)
    given = {"works_in": ("asleep", "awake"), "cut_off": cut_off, **fields}
    vehicle = edits.change_accessory(vehicle, "accessory-1", **given)
    return edits.change_battery(vehicle, start_soc=0.9)


@pytest.mark.parametrize(
    ("off_v", "told"), [(12.2, False), (12.4, False), (12.6, True), (13.0, True)]
)
def test_a_cut_off_that_trips_as_soon_as_the_load_works_is_told(off_v: float, told: bool) -> None:
    vehicle = camera_with_cut_off(off_v)
    assert ("cut_off_too_high" in found(vehicle)) == told
    if told:
        finding = found(vehicle)["cut_off_too_high"]
        assert "1 minute" in finding.sum
        assert "12.3 V" in str(finding.remedy).replace("\u202f", " ")


def test_a_cut_off_of_what_is_off_while_parked_may_be_as_high_as_it_likes() -> None:
    vehicle = camera_with_cut_off(13.0, works_in=("running",), standby_a=0.01)
    assert "cut_off_too_high" not in found(vehicle)


def test_a_large_load_that_has_its_share_of_the_battery_is_not_cut_off_too_high() -> None:
    vehicle = camera_with_cut_off(11.9, amperes=9.0)
    (trip,) = assess(vehicle).parked.forecast.cut_offs
    assert trip.first_trip_h < 3.0
    assert "cut_off_too_high" not in found(vehicle)


def test_a_cut_off_that_just_saves_the_start_is_not_to_be_lowered() -> None:
    vehicle = edits.change_parking(camera_with_cut_off(12.5), coldest_c=-25.0)
    vehicle = edits.change_battery(vehicle, start_soc=0.8)
    assert "Charge" in found(vehicle)["cut_off_too_high"].remedy


def test_a_high_rest_current_is_told_before_anything_is_added() -> None:
    vehicle = edits.change_parking(one_slot(), rest_current_a=0.12)
    assert found(vehicle)["rest_current_high"].severity == "caution"


def test_a_battery_below_the_crank_limit_stops_at_once() -> None:
    vehicle = edits.change_battery(one_slot(), start_soc=0.25)
    assert found(vehicle)["does_not_start_now"].severity == "stop"


def test_a_changed_rule_changes_the_finding() -> None:
    vehicle = edits.set_rule(sound(), "allowed_drop_share", 0.01)
    assert "cable_drop" in found(vehicle)
    assert found(edits.set_rule(vehicle, "allowed_drop_share", None)) == {}


def test_findings_come_worst_first_and_are_complete() -> None:
    vehicle = edits.change_tap(sound(), "tap-1", fuse=None, earth_point="", way_round="load_side")
    listed = findings(vehicle, assess(vehicle))
    order = [SEVERITIES.index(finding.severity) for finding in listed]
    assert order == sorted(order)
    for finding in listed:
        for text in (finding.what, finding.where, finding.sum, finding.rule, finding.source):
            assert plain(text).strip()
        assert plain(finding.remedy).strip()


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_every_check_copes_with_a_bare_vehicle(check: object) -> None:
    vehicle = Vehicle(name="Bare", parking=Parking())
    for finding in check(vehicle, assess(vehicle)):  # type: ignore[operator]
        assert finding.code


UNREAD = {"class_unknown", "live_side_unknown", "host_fuse_missing", "somebody_elses_word"}
GRAVE = {"stands_too_short", "deep_discharge", "cable_too_thin_to_last", "host_overloaded"}


def test_that_it_will_not_start_or_gets_hot_is_told_before_what_was_not_read() -> None:
    vehicle = with_accessory(one_slot(live_side="unknown", own_a=0.0), amperes=2.0)
    vehicle = edits.change_accessory(vehicle, "accessory-1", works_in=("asleep", "running"))
    vehicle = edits.change_parking(vehicle, stand_days=7.0)
    codes = [f.code for f in findings(vehicle, assess(vehicle)) if f.severity == "caution"]
    assert codes.index("stands_too_short") < codes.index("live_side_unknown")


@pytest.mark.parametrize("name", [name for name, _ in demo_names()])
def test_in_every_demo_vehicle_the_grave_is_told_before_the_unread(name: str) -> None:
    vehicle = read_demo(name)
    for severity in SEVERITIES:
        codes = [f.code for f in findings(vehicle, assess(vehicle)) if f.severity == severity]
        ranks = [code in UNREAD for code in codes if code in UNREAD | GRAVE]
        assert ranks == sorted(ranks), codes
