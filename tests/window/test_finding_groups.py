"""What a finding says, its figure, its way, and what a way out makes of it: without a window."""

import pytest

from fusemap.assess import assess
from fusemap.checks import Finding, findings
from fusemap.fixes.after import after, stops_after
from fusemap.fixes.trial import find_fixes
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, edits
from fusemap.window.chosen.stations import share_words
from fusemap.window.findings.groups import GROUPS, figure_of, group_of, grouped
from fusemap.window.findings.way_of import way_of
from tests.vehicles import one_slot, with_accessory


def overloaded() -> Vehicle:
    """A lamp on the load side of a fuse that it overloads."""
    return with_accessory(
        one_slot(own_a=7.0),
        amperes=6.0,
        way_round="load_side",
        fuse=Fuse(family="mini", rating=10),
        cable_out=Cable(section_mm2=1.5, length_m=2.0),
    )


def found(vehicle: Vehicle, code: str) -> Finding:
    return next(f for f in findings(vehicle, assess(vehicle)) if f.code == code)


def plain(words: object) -> str:
    return str(words).replace(NARROW_SPACE, " ")


def test_what_one_stops_for_comes_first_and_what_is_not_known_before_what_wants_care() -> None:
    vehicle = edits.change_slot(overloaded(), "slot-1", own_load=StateLoads(ignition=7.0))
    order = [group_of(f) for f in grouped(findings(vehicle, assess(vehicle)))]
    assert order == sorted(order, key=GROUPS.index)
    assert group_of(found(vehicle, "host_overloaded")) == "fails"
    assert group_of(found(vehicle, "own_load_unknown")) == "unchecked"
    assert group_of(found(vehicle, "reversed_tap")) == "caution"


def test_the_figure_of_an_overload_is_the_share_of_its_limit_at_both_ends() -> None:
    vehicle = overloaded()
    a = assess(vehicle)
    known, most = (float(end.slots.worst_share[0]) for end in (a.known, a.most))
    words = plain(figure_of(a, found(vehicle, "host_overloaded")))
    assert words == plain(share_words(known, most))
    assert words.startswith(str(round(100 * known)))
    assert words.endswith(" %")


def test_the_figure_of_lost_voltage_is_what_is_lost() -> None:
    """6 A through 2 × 6 m of 0.5 mm² copper lose more than the 0.6 V that are allowed.

    Source: resistivity of copper 0.01724 Ωmm²/m at 20 °C (IEC 60028), so at least 1.2 V.
    """
    thin = Cable(section_mm2=0.5, length_m=6.0)
    vehicle = with_accessory(
        one_slot(), amperes=6.0, fuse=Fuse(family="mini", rating=7.5), cable_out=thin,
        cable_back=thin,
    )  # fmt: skip
    lost = plain(figure_of(assess(vehicle), found(vehicle, "cable_drop")))
    least = 6.0 * 2 * 6.0 * 0.01724 / 0.5
    assert lost.endswith(" V")
    assert least < float(lost.removesuffix(" V").split("–")[0]) < 3 * least


@pytest.mark.parametrize(
    ("code", "station"), [("host_overloaded", "host"), ("reversed_tap", "tap")]
)
def test_a_way_breaks_at_the_station_that_the_finding_is_about(code: str, station: str) -> None:
    vehicle = overloaded()
    stations, broken = way_of(assess(vehicle), found(vehicle, code))
    assert stations[0].part == "battery"
    assert broken == station
    assert broken in [each.key for each in stations]


def test_a_finding_about_the_battery_has_no_way() -> None:
    vehicle = overloaded()
    about = found(vehicle, "reversed_tap")
    elsewhere = Finding(
        code="ice", severity="note", what=about.what, place="battery", place_id="battery",
        where="", sum=about.sum, rule=about.rule, source="", remedy=about.remedy,
    )  # fmt: skip
    assert way_of(assess(vehicle), elsewhere) == ((), "")


def test_what_a_way_out_makes_of_a_place_is_what_the_vehicle_then_says() -> None:
    vehicle = overloaded()
    about = found(vehicle, "host_overloaded")
    effect = next(t.effect for t in find_fixes(assess(vehicle), about) if t.effect is not None)
    then = after(vehicle, effect, about)
    assert then is not None
    a = assess(edits.change_tap(vehicle, "tap-1", way_round="live_side"))
    assert then.known == pytest.approx(float(a.known.slots.worst_share[0]))
    assert then.most == pytest.approx(float(a.most.slots.worst_share[0]))
    assert then.verdict == "holds"
    left = [f for f in findings(a.vehicle, a) if f.severity == "stop"]
    assert stops_after(effect) == len(left)


def test_where_a_lead_moves_it_is_the_slot_that_it_moves_to() -> None:
    vehicle = edits.add_panel(overloaded(), "Boot", 1, 1, ambient_c=25.0)
    other = vehicle.panels[1].slots[0].id
    vehicle = edits.change_slot(
        vehicle, other, fuse=Fuse(family="mini", rating=20), feed_class="permanent",
        feed="feed-1", live_side="left", circuit="Socket",
        own_load=StateLoads(asleep=1, awake=1, accessory=1, ignition=1, running=1),
    )  # fmt: skip
    about = found(vehicle, "host_overloaded")
    trials = find_fixes(assess(vehicle), about)
    moved = next(
        t.effect for t in trials if t.effect is not None and t.effect.vehicle.taps[0].slot == other
    )
    then, a = after(vehicle, moved, about), assess(moved.vehicle)
    assert then is not None
    assert then.known == pytest.approx(float(a.known.slots.worst_share[a.slots.index[other]]))
