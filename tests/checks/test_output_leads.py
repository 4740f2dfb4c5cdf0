"""The lead behind a converter: what it costs, how warm it gets, and what protects it."""

from typing import Any

import pytest

from fusemap.assess import assess
from fusemap.assess.outputs import OutputLead, output_leads
from fusemap.checks import findings
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import Cable, Converter, Fuse, Vehicle, edits

SWITCHED = ("accessory", "ignition", "running")


def behind(lead: Any, *, converter: Any = None, **load: Any) -> Vehicle:
    """24 V, a converter on an own feed, and a radio behind it with this lead."""
    vehicle = edits.add_accessory(
        Vehicle(name="Truck", system_v=24),
        "Converter",
        watts=2.0,
        rated_v=27.6,
        works_in=SWITCHED,
        converter=converter or Converter(rating_a=20.0, output_v=14.0),
    )
    vehicle = edits.place(vehicle, "accessory-1", fuse=Fuse(family="regular", rating=20.0))
    usual = {"amperes": 9.0, "rated_v": 14.0, "load_kind": "constant_current"}
    return edits.add_accessory(
        vehicle, "Radio", supplied_by="accessory-1", **(usual | load), **lead
    )


def cable(section_mm2: float = 2.5, length_m: float = 2.0, **more: Any) -> dict[str, Any]:
    out = Cable(section_mm2=section_mm2, length_m=length_m)
    return {"lead_cable": out, "lead_back": out, **more}


def lead_of(vehicle: Vehicle) -> OutputLead:
    (lead,) = output_leads(assess(vehicle))
    return lead


def told(vehicle: Vehicle) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, assess(vehicle)) if "output" in f.code}


def test_a_lead_that_nobody_entered_is_asked_for() -> None:
    assert told(behind({})) == {"output_cable_not_given": "note"}


def test_a_right_lead_has_nothing_to_tell() -> None:
    fuse = Fuse(family="regular", rating=15.0)
    assert told(behind(cable(lead_fuse=fuse))) == {}


def test_the_drop_is_that_of_the_copper_on_both_ways() -> None:
    """2 m of 2.5 mm² each way: 7.6 mΩ/m at 20 °C (ISO 6722-1, class A), 9 A: at least 0.27 V."""
    lead = lead_of(behind(cable()))
    assert 9.0 * 2 * 2.0 * 7.60e-3 < lead.most.drop_v < 1.25 * 9.0 * 2 * 2.0 * 7.60e-3
    assert lead.most.voltage_v == pytest.approx(14.0 - lead.most.drop_v)


def test_a_load_of_the_same_watts_draws_more_where_the_cable_costs_voltage() -> None:
    """P = V·I: a source of 14 V behind R gives 126 W at V = (14 + √(14² − 4·126·R))/2."""
    lead = lead_of(behind(cable(1.5, 6.0), load_kind="constant_power"))
    ohm = lead.most.drop_v / lead.most.load_a
    assert lead.most.voltage_v == pytest.approx((14 + (14**2 - 4 * 126 * ohm) ** 0.5) / 2, rel=1e-6)
    assert lead.most.load_a > 9.0


def test_a_thin_lead_gets_too_hot_and_a_thicker_one_helps() -> None:
    vehicle = behind(cable(0.35, 1.0), amperes=19.0)
    assert told(vehicle)["output_cable_too_hot"] == "stop"
    assert_mended(vehicle, "output_cable_too_hot")


def test_a_cable_that_bears_all_that_the_converter_gives_needs_no_fuse() -> None:
    small = Converter(rating_a=5.0, output_v=14.0)
    assert "output_cable_unprotected" not in told(behind(cable(1.5), converter=small, amperes=3.0))


def test_a_thin_cable_on_a_large_converter_needs_a_fuse() -> None:
    large = Converter(rating_a=40.0, output_v=14.0)
    vehicle = behind(cable(0.75), converter=large, amperes=3.0)
    assert told(vehicle) == {"output_cable_unprotected": "stop"}
    assert_mended(vehicle, "output_cable_unprotected")


def test_without_a_rating_and_without_a_fuse_nothing_is_known_to_protect_it() -> None:
    unrated = Converter(output_v=14.0)
    assert told(behind(cable(), converter=unrated))["output_cable_unprotected"] == "caution"


def test_a_fuse_too_small_for_the_load_is_told() -> None:
    vehicle = behind(cable(lead_fuse=Fuse(family="regular", rating=10.0)))
    assert told(vehicle) == {"output_fuse_overloaded": "caution"}
    assert_mended(vehicle, "output_fuse_overloaded")


def test_place_the_voltage_change_near_the_load() -> None:
    """20 A behind the converter on 0.1 Ω leave 12.0 V of 14 V; the same cable before it leaves
    26.8 V of 28 V, 13.4 V of 14 V. Source: a charger maker's tip on where to put a converter.
    """
    each_m = lead_of(behind(cable(2.5, 1.0), amperes=20.0))
    far = behind(cable(2.5, 0.1 / (each_m.most.drop_v / each_m.most.load_a)), amperes=20.0)
    assert lead_of(far).most.voltage_v == pytest.approx(12.0)
    assert told(far)["output_drop"] == "caution"
    finding = next(f for f in findings(far, assess(far)) if f.code == "output_drop")
    assert "nearer" in str(finding.remedy)
    long = far.accessories[1].lead_cable
    near = edits.change_tap(far, "tap-1", cable_out=long, cable_back=long)
    near = edits.change_accessory(near, "accessory-2", **cable(2.5, 0.5))
    assert "output_drop" not in told(near)
    a = assess(near)
    left = float((a.taps.voltage_v[:, 0] / a.taps.source_v[:, 0]).min())
    assert lead_of(near).most.voltage_v * left > 13.0


def assert_mended(vehicle: Vehicle, code: str) -> None:
    a = assess(vehicle)
    finding = next(f for f in findings(vehicle, a) if f.code == code)
    ways = [trial.fix.edit for trial in find_fixes(a, finding) if trial.fix.edit is not None]
    assert ways
    assert code not in told(ways[0](vehicle))
