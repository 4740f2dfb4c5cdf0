"""A switch in a lead: what it opens, what it may carry, and a lamp that has none."""

from typing import Any

import pytest

from fusemap.advise import library
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.fixes.trial import find_fixes
from fusemap.placement import candidates
from fusemap.vehicle import STATES, Cable, Fuse, Vehicle, edits, look_up
from tests.vehicles import one_slot, only_slot


def light_bar(feed_class: Any = "ignition", system_v: Any = 12, **sense: Any) -> Vehicle:
    """A light bar on an own feed through a relay, its coil on the only slot."""
    vehicle = edits.change_vehicle(one_slot(feed_class=feed_class), system_v=system_v)
    rated = {"rated_v": 13.8 * system_v / 12}
    fields = library.fields("light_bar") | {"leads": ("power", "sense"), "sense_a": 0.0} | rated
    vehicle = edits.add_accessory(vehicle, **fields)
    own = {"fuse": Fuse(family="regular", rating=15.0), "relay": True}
    cable = Cable(section_mm2=2.5, length_m=3.0)
    vehicle = edits.place(vehicle, "accessory-1", slot=None, cable_out=cable, **own)
    fuse, wire = Fuse(family="mini", rating=2.0), Cable(section_mm2=0.75, length_m=2.0)
    where = {"slot": only_slot(vehicle).id, "fuse": fuse, "cable_out": wire}
    return edits.place(vehicle, "accessory-1", "sense", **where, **sense)


def told(vehicle: Vehicle, code: str) -> list[Any]:
    return [f for f in findings(vehicle, assess(vehicle)) if f.code == code]


@pytest.mark.parametrize("switch", ["unsaid", "none"])
def test_a_light_bar_on_the_key_alone_is_told_with_a_way_out(switch: Any) -> None:
    vehicle = light_bar(switch=switch)
    (finding,) = told(vehicle, "coil_without_switch")
    assert finding.severity == "caution"
    ways = [trial.fix for trial in find_fixes(assess(vehicle), finding)]
    assert len(ways) == 2
    for way in ways:
        assert way.edit is not None
        assert not told(way.edit(vehicle), "coil_without_switch")


@pytest.mark.parametrize("switch", ["hand", "main_beam", "park_brake"])
def test_with_a_switch_nothing_is_said(switch: Any) -> None:
    assert not told(light_bar(switch=switch), "coil_without_switch")


def test_what_nobody_switches_by_hand_needs_no_switch() -> None:
    """The pump of a sink or a fridge on a relay goes with the key, as the handbooks draw it."""
    vehicle = light_bar()
    vehicle = edits.change_accessory(vehicle, "accessory-1", kind="cool_box_compressor")
    assert not told(vehicle, "coil_without_switch")


def test_an_open_switch_lets_nothing_flow_while_parked() -> None:
    """On a permanent slot the relay would stay on for good; its hand switch is open then."""
    straight, switched = (light_bar("permanent", switch=each) for each in ("none", "hand"))
    asleep = STATES.index("asleep")
    for vehicle, flows in ((straight, True), (switched, False)):
        a = assess(vehicle)
        assert (a.taps.current_a[asleep] > 0).tolist() == [flows, flows]
        assert bool(told(vehicle, "relay_stays_on")) is flows
    assert [f.severity for f in told(switched, "switch_may_be_left_on")] == ["note"]


def test_the_main_beam_needs_the_ignition() -> None:
    a = assess(light_bar("permanent", switch="main_beam"))
    on = [s for s, flows in zip(STATES, a.taps.current_a[:, 0] > 0, strict=True) if flows]
    assert on == ["ignition", "running"]


def test_a_lamp_circuit_drives_a_coil_only_with_the_main_beam() -> None:
    for switch, fits in (("hand", False), ("main_beam", True)):
        vehicle = light_bar("lighting", switch=switch)
        accessory = look_up.accessory(vehicle, "accessory-1")
        (found,) = candidates(vehicle, assess(vehicle), accessory, "sense", relayed=True)
        assert ("class" not in found.rules) is fits


@pytest.mark.parametrize(("system_v", "limit"), [(12, 10.0), (24, 5.0)])
def test_a_switch_that_says_nothing_carries_the_rule(system_v: Any, limit: float) -> None:
    vehicle = light_bar(system_v=system_v, switch="hand")
    a = assess(vehicle)
    hop = next(h for h in a.chains["tap-2"].hops if h.key == "switch")
    assert (hop.limit, hop.verdict, hop.ground) == (limit, "holds", "assumed")


def test_a_small_switch_in_the_power_lead_is_a_stop() -> None:
    vehicle = edits.change_tap(light_bar(switch="hand"), "tap-1", switch="hand", switch_limit_a=3.0)
    (finding,) = told(vehicle, "switch_overloaded")
    assert finding.severity == "stop"
    first = find_fixes(assess(vehicle), finding)[0].fix
    assert first.edit is not None
    assert look_up.tap(first.edit(vehicle), "tap-1").switch_limit_a == 16.0
