"""Sockets: tow sockets pin by pin, the lighter's, the testers', the vehicle's plug for accessories.

Pins, cores and returns: ISO 11446:2012 and ISO 1724 as plug makers and a caravan maker's manual
(2022) give them. Lighter socket: an owner's manual, 120 W or 10 A.
"""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap import files, tables
from fusemap.assess import assess
from fusemap.checks import Finding, findings
from fusemap.errors import EditRefused
from fusemap.fixes.trial import find_fixes
from fusemap.placement import candidates
from fusemap.probing.final_check import steps
from fusemap.vehicle import Vehicle, edits, look_up
from tests import trade_vehicles as trade
from tests.vehicles import one_slot

LAMPS_W = {1: 21.0, 2: 21.0, 4: 21.0, 5: 15.0, 6: 42.0, 7: 15.0, 8: 21.0}
"""A caravan's filament lamps pin by pin [W]; usual bulbs of 5 and 21 W, from memory."""


def told(vehicle: Vehicle, *severities: str) -> dict[str, Finding]:
    """The findings of these severities by code; stops and cautions where none is named."""
    wanted = severities or ("stop", "caution")
    return {f.code: f for f in findings(vehicle, assess(vehicle)) if f.severity in wanted}


def towing(**socket: Any) -> Vehicle:
    """The trade's van with a caravan: its fridge on pin 10 by a relay, its battery on pin 9."""
    vehicle = trade.van()
    module = trade.of(vehicle, "tow_module")
    vehicle = edits.change_accessory(vehicle, module, watts=None, amperes=13.5)
    usual = {"kind": "tow_13", "place": "underbody", "module": module, "returns_joined": "no",
             "lamps_joined": "no"}  # fmt: skip
    vehicle = edits.add_socket(vehicle, "Tow socket", **(usual | socket))
    for number, watts in LAMPS_W.items():
        vehicle = edits.set_pin(vehicle, "socket-1", number, watts=watts)
    for name in ("bolt at the tow bar, left", "bolt at the tow bar, right"):
        vehicle = trade.bolt(vehicle, name)
    vehicle = edits.add_accessory(
        vehicle, "Caravan lights", amperes=4.0, load_kind="constant_current", needs="permanent",
        works_in=("accessory", "ignition", "running"), figures_from="meter", standby_a=0.01,
    )  # fmt: skip
    wire = trade.cable(6.0, 1.0, "engine_bay", trade.Stretch(length_m=4.0, place="sill"))
    vehicle = trade.own(vehicle, trade.fuse(15.0, "regular"), wire, earth="earth-2")
    vehicle = edits.plug_in(vehicle, vehicle.accessories[-1].id, "socket-1", 9)
    vehicle = edits.add_accessory(
        vehicle, "Caravan fridge", amperes=10.0, load_kind="resistive", needs="switched",
        leads=("power", "sense"), sense_a=0.0, works_in=("running",), figures_from="meter",
    )  # fmt: skip
    vehicle = trade.own(vehicle, trade.fuse(15.0, "regular"), wire, relay=True, earth="earth-3")
    vehicle = edits.plug_in(vehicle, vehicle.accessories[-1].id, "socket-1", 10)
    return trade.tapped(vehicle, "Rear wiper", 2.0, trade.cable(0.75, 2.0), "sense")


def on_pin(vehicle: Vehicle, pin: int) -> str:
    """The id of the tap that ends at a pin."""
    return next(tap.id for tap in vehicle.taps if tap.pin == pin)


def test_a_caravan_wired_as_the_standard_says_has_no_stop_and_no_caution() -> None:
    vehicle = towing()
    assert told(vehicle) == {}
    assert files.parse(files.render(vehicle)) == vehicle
    assert set(told(vehicle, "note")) >= {"trailer_draws_parked"}


@pytest.mark.parametrize(
    ("kind", "supplies", "returns"),
    [
        ("tow_13", {9: 13, 10: 11}, {3, 11, 13}),
        ("tow_7", {}, {3}),
        ("tow_15", {9: 4}, {4, 13}),
    ],
)
def test_pins_of_the_standards(kind: str, supplies: dict[int, int], returns: set[int]) -> None:
    pins = tables.socket_pins(kind)
    assert len(pins) == {"tow_13": 13, "tow_7": 7, "tow_15": 15}[kind]
    given = {n: pin.returns_by for n, pin in pins.items() if pin.role in ("permanent", "switched")}
    assert given == supplies
    assert {n for n, pin in pins.items() if pin.role == "return"} == returns
    thick = {n for n, pin in pins.items() if pin.section_mm2 == 2.5}
    assert thick == returns | set(supplies)


def test_the_cores_of_15_pins_are_as_a_cable_maker_counts_them() -> None:
    """A cable maker's guide to trailer cables: ISO 12098 has 3 × 2.5 mm² and 12 × 1.5 mm²."""
    sections = [pin.section_mm2 for pin in tables.socket_pins("tow_15").values()]
    assert (sections.count(2.5), sections.count(1.5)) == (3, 12)


def test_15_pins_are_numbered_by_a_standard_of_their_own() -> None:
    """Pin 2 is the right indicator and pin 4 the earth, which 13 pins have otherwise."""
    thirteen, fifteen = tables.socket_pins("tow_13"), tables.socket_pins("tow_15")
    assert fifteen[2].function == thirteen[4].function == "right direction indicator"
    assert fifteen[4].role == thirteen[3].role == "return"
    assert (thirteen[9].role, fifteen[9].role) == ("permanent", "permanent")


def test_of_15_pins_the_supply_is_9_and_no_sensor_or_data() -> None:
    vehicle = edits.change_socket(towing(), "socket-1", kind="tow_15")
    wrong = told(vehicle)
    assert "wrong_pin" in wrong  # what was on 10 of 13 is a sensor here
    assert "15 pins" in str(wrong["wrong_pin"].remedy)


class TestPins:
    def test_a_core_of_2_5_mm2_bears_15_a_and_not_a_fuse_of_40(self) -> None:
        vehicle = towing()
        small = edits.change_tap(vehicle, on_pin(vehicle, 9), fuse=trade.fuse(40.0, "regular"))
        assert "trailer_core_unprotected" in told(small, "stop")
        # the fix is the fuse that the core bears
        finding = told(small, "stop")["trailer_core_unprotected"]
        first = find_fixes(assess(small), finding)[0]
        assert first.fix.edit is not None
        assert "trailer_core_unprotected" not in told(first.fix.edit(small), "stop")

    def test_a_thinner_core_is_what_is_reckoned(self) -> None:
        vehicle = towing()
        column = assess(vehicle).taps.index[on_pin(vehicle, 10)]
        before = assess(vehicle).hops["trailer_core"].load[column]
        thin = edits.set_pin(vehicle, "socket-1", 10, section_mm2=1.0)
        assert assess(thin).hops["trailer_core"].load[column] > before

    def test_a_core_that_its_load_alone_overheats(self) -> None:
        vehicle = towing()
        thin = edits.set_pin(vehicle, "socket-1", 10, section_mm2=0.2)
        assert "trailer_core_too_hot" in told(thin, "stop")

    def test_18_a_on_a_pin_are_too_many(self) -> None:
        vehicle = towing()
        more = edits.change_accessory(vehicle, vehicle.taps[-2].accessory, amperes=18.0)
        assert "socket_overloaded" in told(more, "stop")
        said = edits.change_socket(more, "socket-1", limit_a=20.0)
        assert "socket_overloaded" not in told(said, "stop")

    def test_lamps_of_200_w_on_one_pin_are_too_many(self) -> None:
        """200 W ÷ 12 V = 16.7 A on a pin for 15 A."""
        vehicle = edits.set_pin(towing(), "socket-1", 6, watts=200.0)
        finding = told(vehicle, "stop")["lamp_pin_overloaded"]
        assert "brake lamps" in str(finding.what)
        assert "16.7" in str(finding.sum)

    @pytest.mark.parametrize("pin", [2, 12])
    def test_a_supply_on_a_pin_of_another_use_is_a_stop(self, pin: int) -> None:
        vehicle = towing()
        wrong = edits.change_tap(vehicle, on_pin(vehicle, 9), pin=pin)
        finding = told(wrong)["wrong_pin"]
        first = find_fixes(assess(wrong), finding)[0]
        assert first.fix.edit is not None
        assert "wrong_pin" not in told(first.fix.edit(wrong))

    def test_no_pin_of_seven_is_a_supply(self) -> None:
        assert "wrong_pin" in told(towing(kind="tow_7"))


class TestFeeds:
    def test_pin_10_without_a_relay_drains_while_parked(self) -> None:
        """A fridge of 10 A on it takes 240 Ah a day. A caravan maker: engine running only."""
        vehicle = towing()
        tap = on_pin(vehicle, 10)
        fridge = look_up.tap(vehicle, tap).accessory
        bare = edits.change_accessory(
            vehicle, fridge, leads=("power",), works_in=("asleep", "awake", "running")
        )
        bare = edits.change_tap(bare, tap, relay=False)
        finding = told(bare)["pin_live_parked"]
        assert "Ah" in str(finding.sum)
        first = find_fixes(assess(bare), finding)[0]
        assert first.fix.edit is not None
        assert "pin_live_parked" not in told(first.fix.edit(bare))
        # and the forecast counts it
        good, bad = (assess(each).parked.days for each in (vehicle, bare))
        assert bad < good

    def test_pin_9_on_a_switched_slot_is_dead_while_parked(self) -> None:
        vehicle = towing()
        tap = look_up.tap(vehicle, on_pin(vehicle, 9))
        slot = trade.slot(vehicle, "Rear wiper")
        moved = edits.place(vehicle, tap.accessory, slot=slot, socket="socket-1", pin=9)
        finding = told(moved)["pin_dead_parked"]
        way = find_fixes(assess(moved), finding)[0].fix
        assert way.edit is not None
        mended = way.edit(moved)
        assert "pin_dead_parked" not in told(mended)
        assert look_up.tap(mended, tap.id).pin == 9, "it still ends there"

    def test_what_a_coupled_trailer_takes_shortens_the_standing(self) -> None:
        vehicle = towing()
        left = edits.change_accessory(
            vehicle, look_up.tap(vehicle, on_pin(vehicle, 9)).accessory, standby_a=0.5
        )
        assert assess(left).parked.days < assess(vehicle).parked.days
        assert "0.5" in str(told(left, "note")["trailer_draws_parked"].sum)


class TestTrailer:
    def test_joined_returns_are_told_with_the_sum(self) -> None:
        """4 + 10 A of supplies and 156 W ÷ 12 V = 13 A of lamps on one core of 2.5 mm²."""
        finding = told(towing(returns_joined="yes"))["returns_joined"]
        assert "13" in str(finding.sum)
        assert "27" in str(finding.sum)  # at 14.2 V the fridge takes its 10 A all but

    def test_returns_nobody_looked_at_are_a_note(self) -> None:
        vehicle = towing(returns_joined="unknown")
        assert "returns_joined" not in told(vehicle)
        assert "returns_not_looked_at" in told(vehicle, "note")

    def test_bridged_tail_lamps(self) -> None:
        vehicle = towing(lamps_joined="yes")
        finding = told(vehicle)["tail_lamps_joined"]
        way = find_fixes(assess(vehicle), finding)[0].fix
        assert way.edit is not None
        assert told(way.edit(vehicle)) == {}

    def test_a_module_takes_what_its_lamps_take(self) -> None:
        vehicle = towing()
        module = vehicle.sockets[0].module
        small = edits.change_accessory(vehicle, module, amperes=5.0)
        finding = told(small)["module_light"]
        way = find_fixes(assess(small), finding)[0].fix
        assert way.edit is not None
        mended = look_up.accessory(way.edit(small), module)
        assert mended.amperes == pytest.approx(sum(LAMPS_W.values()) / 12, abs=0.011)

    def test_lamps_without_a_module(self) -> None:
        assert "lamps_without_module" in told(towing(module=None))


def with_lighter(kind: str = "lighter", **fields: Any) -> Vehicle:
    vehicle = edits.change_slot(one_slot(own_a=0.0, rating=15.0), "slot-1", circuit="Socket")
    return edits.add_socket(vehicle, "Socket", kind=kind, slot="slot-1", **fields)


class TestLighter:
    def test_what_is_plugged_in_hangs_behind_the_fuse_of_the_slot(self) -> None:
        vehicle = edits.add_accessory(with_lighter(), "Box", amperes=6.0)
        vehicle = edits.plug_in(vehicle, "accessory-1", "socket-1")
        (tap,) = vehicle.taps
        assert (tap.kind, tap.slot, tap.socket) == ("plug", "slot-1", "socket-1")
        assert assess(vehicle).slots.host_a.max() > 6.0

    def test_12_a_are_more_than_a_lighter_socket_carries_for_long(self) -> None:
        vehicle = edits.add_accessory(
            with_lighter(), "Pump", amperes=12.0, load_kind="constant_current"
        )
        vehicle = edits.plug_in(vehicle, "accessory-1", "socket-1")
        finding = told(vehicle, "stop")["socket_overloaded"]
        ways = [each.fix.edit for each in find_fixes(assess(vehicle), finding)]
        assert any(edit is not None and not edit(vehicle).taps for edit in ways)
        own = [edit(vehicle) for edit in ways if edit is not None and edit(vehicle).taps]
        assert own
        assert all(each.taps[0].socket is None for each in own)
        stronger = edits.change_socket(vehicle, "socket-1", limit_a=15.0)
        assert "socket_overloaded" not in told(stronger, "stop")

    def test_it_follows_its_socket_to_another_slot(self) -> None:
        vehicle = edits.add_panel(with_lighter(), "Second", 1, 1)
        vehicle = edits.add_accessory(vehicle, "Box", amperes=6.0)
        vehicle = edits.plug_in(vehicle, "accessory-1", "socket-1")
        moved = edits.change_socket(vehicle, "socket-1", slot="slot-2")
        assert moved.taps[0].slot == "slot-2"
        assert edits.place(moved, "accessory-1", slot="slot-1").taps[0].socket is None

    def test_what_cannot_be(self) -> None:
        vehicle = edits.add_accessory(with_lighter(), "Box", amperes=6.0)
        plugged = edits.plug_in(vehicle, "accessory-1", "socket-1")
        for edit in (
            lambda: edits.remove_socket(plugged, "socket-1"),
            lambda: edits.change_socket(plugged, "socket-1", slot=None),
            lambda: edits.remove_slot(vehicle, "slot-1"),
            lambda: edits.change_tap(plugged, "tap-1", socket=None),
            lambda: edits.plug_in(
                edits.change_socket(vehicle, "socket-1", slot=None), "accessory-1", "socket-1"
            ),
        ):
            with pytest.raises(EditRefused):
                edit()
        broken = replace(plugged, taps=(replace(plugged.taps[0], socket="gone"),))
        with pytest.raises(Exception, match="gone"):
            files.parse(files.render(broken))


def test_nothing_stays_in_the_diagnosis_socket() -> None:
    vehicle = edits.add_accessory(with_lighter("diagnosis"), "Dongle", amperes=0.05)
    vehicle = edits.plug_in(vehicle, "accessory-1", "socket-1")
    finding = told(vehicle)["in_diagnosis_socket"]
    ways = [each.fix for each in find_fixes(assess(vehicle), finding)]
    assert any(way.edit is not None and not way.edit(vehicle).taps for way in ways)


def test_its_slot_is_offered_for_nothing_else() -> None:
    vehicle = edits.add_accessory(with_lighter("diagnosis"), "Camera", watts=5.0)
    (candidate,) = candidates(vehicle, assess(vehicle), vehicle.accessories[0])
    assert "diagnosis" in candidate.rules
    other = edits.change_socket(vehicle, "socket-1", kind="lighter")
    (candidate,) = candidates(other, assess(other), other.accessories[0])
    assert "diagnosis" not in candidate.rules


def test_the_vehicles_own_plug_carries_what_its_guide_says() -> None:
    vehicle = edits.add_accessory(
        with_lighter("harness", limit_a=5.0), "Lamp", amperes=7.0, load_kind="constant_current"
    )
    vehicle = edits.plug_in(vehicle, "accessory-1", "socket-1")
    a = assess(vehicle)
    assert float(a.hops["socket"].limit[0]) == 5.0
    assert np.isfinite(a.hops["socket"].load[0])
    assert "socket_overloaded" in told(vehicle, "stop")


def test_the_check_reads_each_supply_at_its_pin_against_its_own_return() -> None:
    """Pin 9 against 13 and pin 10 against 11, the volts as reckoned for this load."""
    vehicle = towing()
    a = assess(vehicle)
    read = {step.target_id: step for step in steps(vehicle, a) if step.key == "volts"}
    for pin, back in ((9, 13), (10, 11)):
        step = read[on_pin(vehicle, pin)]
        assert f"pin {pin} of" in str(step.how)
        assert f"against its pin {back}" in str(step.how)
        column = a.taps.index[step.target_id]
        assert step.expected is not None
        row = int(a.taps.current_a[:, column].argmax())
        assert step.expected.typical == a.taps.voltage_v[row, column]
