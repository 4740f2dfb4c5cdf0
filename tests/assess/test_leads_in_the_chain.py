"""The leads behind a converter and the link of two batteries as hops of the chain, like any other.

Sums beside the tests are done by hand; heat and protection are held in `tests/outside`.
"""

from collections.abc import Callable
from typing import Any, get_args

import pytest
from msgspec.structs import replace

from fusemap.assess import Hop, assess
from fusemap.assess.link import link_of
from fusemap.assess.result import HopKey
from fusemap.checks import findings, whole_verdict
from fusemap.checks.each_tap import tap_verdicts
from fusemap.fixes.fix import key_of
from fusemap.fixes.table import FIXES
from fusemap.fixes.trial import find_fixes
from fusemap.text import Style
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, look_up
from fusemap.window.chosen.content import content_of
from fusemap.window.chosen.station_places import AT, LEADS, WHAT
from fusemap.window.chosen.stations import stations_of, way_behind
from fusemap.window.document import Selection
from fusemap.window.way.course import legs
from tests import trade_vehicles as trade


def hops(vehicle: Vehicle, of: str) -> dict[str, Hop]:
    """The hops of the chain of one accessory's power lead."""
    tap = trade.tap_of(vehicle, of)
    return {hop.id: hop for hop in assess(vehicle).chains[tap.id].hops}


def radio(**fields: Any) -> tuple[Vehicle, str]:
    """The truck with its radio's lead changed, and the radio's id."""
    vehicle = trade.truck()
    it = trade.of(vehicle, "two_way_radio")
    return edits.change_accessory(vehicle, it, **fields), it


def test_behind_a_converter_each_lead_has_its_hops_after_the_output() -> None:
    vehicle, it = radio()
    found = hops(vehicle, "converter_24_12")
    keys = list(found)
    behind = [each for each in keys if each.endswith(f":{it}")]
    assert behind == [
        f"output_{each}:{it}" for each in ("fuse", "heat", "heat_back", "fault", "drop", "voltage")
    ]
    assert keys.index("converter") < keys.index(behind[0])
    assert all(found[each].verdict == "holds" for each in behind)
    assert found[f"output_fuse:{it}"].ground == "published"
    assert found[f"output_drop:{it}"].ground == "assumed"


def test_a_spread_of_the_load_gives_the_lead_both_ends() -> None:
    """4.05 A ± half: at most some 6.1 A, more than the 5.6 A that a 7.5 A fuse carries for long."""
    vehicle, it = radio(current_spread=0.5)
    hop = hops(vehicle, "converter_24_12")[f"output_fuse:{it}"]
    assert hop.verdict == "may_not_hold"
    assert hop.end == pytest.approx(1.5 * hop.load, rel=0.03)
    a = assess(vehicle)
    assert any(d.place == "output" and d.place_id == it for d in a.doubts)
    told = next(f for f in findings(vehicle, a) if f.code == "output_may_not_hold")
    assert told.place_id == it
    assert whole_verdict(vehicle, a, findings(vehicle, a)) == "may_not_hold"
    assert any("clamp" in str(trial.fix.title) for trial in find_fixes(a, told))


def test_a_lead_that_nobody_entered_leaves_the_chain_unchecked() -> None:
    vehicle, it = radio(lead_cable=None, lead_back=None, lead_fuse=None)
    hop = hops(vehicle, "converter_24_12")[f"output_heat:{it}"]
    assert hop.verdict == "unchecked"
    assert str(hop.missing)


def test_without_fuse_and_rating_the_fault_cannot_be_checked() -> None:
    vehicle, it = radio(lead_fuse=None)
    converter = look_up.accessory(vehicle, trade.of(vehicle, "converter_24_12"))
    assert converter.converter is not None
    vehicle = edits.change_accessory(
        vehicle, converter.id, converter=replace(converter.converter, rating_a=None)
    )
    assert hops(vehicle, "converter_24_12")[f"output_fault:{it}"].verdict == "unchecked"


def test_a_broken_lead_breaks_the_chain_and_the_taps_verdict() -> None:
    thin = Cable(section_mm2=0.22, length_m=8.0)
    vehicle, it = radio(lead_cable=thin, lead_back=thin)
    a, tap = assess(vehicle), trade.tap_of(vehicle, "converter_24_12")
    assert a.chains[tap.id].verdict == tap_verdicts(vehicle, a)[tap.id] == "fails"
    assert hops(vehicle, "converter_24_12")[f"output_drop:{it}"].verdict == "fails"


def test_the_way_of_what_hangs_behind_leaves_out_its_neighbours() -> None:
    vehicle, it = radio()
    other = trade.of(vehicle, "phone_charger")
    keys = [station.key for station in way_behind(assess(vehicle), it)]
    assert keys[-3:] == ["device", f"behind:{it}", "earth"]
    assert f"behind:{other}" not in keys


def test_the_pane_of_what_hangs_behind_shows_its_own_way_alone() -> None:
    vehicle, it = radio()
    tap = trade.tap_of(vehicle, "converter_24_12")
    content = content_of(vehicle, assess(vehicle), Selection("accessory", it), tap, Style("en"))
    behind = [station.key for station in content.way if station.key.startswith("behind:")]
    assert behind == [f"behind:{it}"]
    above = content_of(vehicle, assess(vehicle), Selection("tap", tap.id), tap, Style("en"))
    assert sum(station.key.startswith("behind:") for station in above.way) == 2


def test_the_currents_way_leads_on_behind_the_converter() -> None:
    vehicle, it = radio()
    (leg,) = legs(vehicle, Selection("accessory", it))
    assert (leg.accessory, leg.behind) == (trade.of(vehicle, "converter_24_12"), (it,))
    (own,) = legs(vehicle, Selection("accessory", leg.accessory))
    assert own.behind == ()


# --- the link -------------------------------------------------------------------------------------


def linked(**changes: Any) -> Vehicle:
    return edits.change_second_battery(trade.camper(), **changes)


def test_the_link_stands_above_what_hangs_on_the_second_battery() -> None:
    found = hops(trade.camper(), "cool_box_compressor")
    assert list(found)[:6] == [
        "link_near_fuse",
        "link_heat",
        "link_overload",
        "link_short",
        "link_far_end",
        "link_far_fuse",
    ]
    assert all(found[key].verdict == "holds" for key in list(found)[:6])


def test_a_charger_loads_the_near_side_with_its_own_current_and_passes_nine_tenths() -> None:
    found = hops(trade.camper(), "cool_box_compressor")
    assert found["link_near_fuse"].load == pytest.approx(30.0)
    assert found["link_far_fuse"].load == pytest.approx(27.0)


def test_what_a_charger_takes_has_to_be_known() -> None:
    found = hops(linked(charger_a=None), "cool_box_compressor")
    assert {found[k].verdict for k in ("link_near_fuse", "link_heat")} == {"unchecked"}


def test_through_a_relay_flows_what_hangs_there_and_the_charge() -> None:
    """An AGM of 100 Ah at half: 0.8/h · 100 · 0.5 = 40 A of charge, and the fridge's 3 to 4 A."""
    vehicle = linked(link="relay", chemistry="agm", start_soc=0.5, rest_v=12.3)
    link = link_of(assess(vehicle))
    assert link is not None
    fridge = float(assess(vehicle).currents.second_a[-1])
    assert link.known_a == pytest.approx(40.0 + fridge)
    assert link.most_a > link.known_a


def test_no_more_flows_through_a_relay_than_the_voltage_drives() -> None:
    """1.2 V over some 100 mΩ of a long thin cable: 12 A, whatever the battery would take."""
    wire = Cable(section_mm2=1.5, length_m=10.0)
    vehicle = linked(link="relay", chemistry="agm", start_soc=0.5, rest_v=13.0, link_cable=wire)
    link = link_of(assess(vehicle))
    assert link is not None
    drives = 1.2 / (10 * 12.7e-3)  # ISO 6722-1: 12.7 mΩ/m at 20 °C
    fridge = float(assess(vehicle).currents.second_a[-1])
    assert drives * 0.8 < link.known_a - fridge < drives


def test_a_short_at_either_end_is_fed_by_the_other_battery() -> None:
    link = link_of(assess(trade.camper()))
    assert link is not None
    assert link.near is not None
    assert link.far is not None
    assert link.near.short_a != link.far.short_a
    assert link.near.short_a > 3.5 * 50.0


FAULTS: dict[str, tuple[Callable[[], Vehicle], str, str]] = {
    "a thin cable": (
        lambda: linked(link_cable=Cable(section_mm2=2.5, length_m=4.0, place="engine_bay")),
        "link_cable_too_hot",
        "stop",
    ),
    "fuses far above the cable": (
        lambda: linked(
            link_cable=Cable(section_mm2=6.0, length_m=4.0),
            near_fuse=Fuse(family="strip_30", rating=150.0),
            far_fuse=Fuse(family="strip_30", rating=150.0),
        ),
        "link_cable_overload",
        "stop",
    ),
    "a fuse that the charger keeps near its rating": (
        lambda: linked(near_fuse=Fuse(family="strip_30", rating=40.0)),
        "link_fuse_overloaded",
        "caution",
    ),
    "a cable so long that no fuse opens": (
        lambda: linked(
            link_cable=Cable(section_mm2=10.0, length_m=40.0),
        ),
        "link_cable_far_end",
        "caution",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_link_built_wrong_is_told_and_has_a_way_out(fault: str) -> None:
    build, code, severity = FAULTS[fault]
    vehicle = build()
    a = assess(vehicle)
    told = [f for f in findings(vehicle, a) if f.code == code]
    assert [f.severity for f in told] == [severity]
    ways = [t.fix.edit for t in find_fixes(a, told[0]) if t.fix.edit is not None]
    assert ways
    for way in ways:
        mended = way(vehicle)
        assert key_of(told[0]) not in {key_of(f) for f in findings(mended, assess(mended))}


# --- where they are drawn -------------------------------------------------------------------------


def test_every_kind_of_hop_has_its_station() -> None:
    """One that has none ends the pane with a fault as soon as such a lead is chosen."""
    every = set(get_args(HopKey))
    assert set(AT) == every
    assert set(AT.values()) == set(LEADS)
    assert every - set(WHAT) <= {"switch"}


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_every_lead_of_the_trades_vehicles_can_be_drawn(build: Callable[[], Vehicle]) -> None:
    vehicle = build()
    a = assess(vehicle)
    for tap in vehicle.taps:
        stations = stations_of(a, tap.id)
        drawn = [hop for station in stations for hop in station.hops]
        assert sorted(hop.id for hop in drawn) == sorted(h.id for h in a.chains[tap.id].hops)


def test_every_code_of_these_hops_has_a_way_out() -> None:
    a = assess(trade.camper()), assess(trade.truck())
    codes = {limit.code for each in a for limit in each.beside.single if limit.code}
    assert codes <= set(FIXES)
