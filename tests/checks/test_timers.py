"""Timers and interlocks in a lead, cut-offs in a feed: when they open, what is taken parked."""

import pytest

from fusemap import files
from fusemap.assess import assess
from fusemap.assess.parked.draws import accessory_draws, draw_words
from fusemap.checks import findings
from fusemap.errors import EditRefused
from fusemap.fixes.trial import find_fixes
from fusemap.placement.joint import fit_plan, plan_rest
from fusemap.vehicle import STATES, Vehicle, VoltageCutOff, edits, look_up
from tests import trade_vehicles as trade

ALWAYS = ("asleep", "awake", "accessory", "ignition", "running")
ASLEEP, AWAKE, ACCESSORY = (STATES.index(s) for s in ("asleep", "awake", "accessory"))


def box(**tap: object) -> Vehicle:
    """A fan of 4 A that works whenever it has supply, on a permanent slot."""
    vehicle = trade.bolt(trade.base("Van", battery=trade.STARTER, parking=trade.QUIET))
    vehicle = edits.add_accessory(
        vehicle, "Fan", amperes=4.0, load_kind="constant_current", needs="permanent",
        works_in=ALWAYS, figures_from="meter",
    )  # fmt: skip
    vehicle = trade.tapped(vehicle, "Rear socket", 7.5, trade.cable(1.5, 2.0))
    return edits.change_tap(vehicle, vehicle.taps[-1].id, **tap)


def taken_ah(vehicle: Vehicle) -> float:
    """What the accessory takes of the battery in a week [Ah], by the draws of the forecast."""
    (draw,) = (d for _, d in accessory_draws(assess(vehicle)) if d.name == "Fan")
    return sum(float(current) * (min(end, 168.0) - start) for start, end, current in draw.phases)


def told(vehicle: Vehicle) -> set[str]:
    return {f.code for f in findings(vehicle, assess(vehicle)) if f.severity != "note"}


class TestTimer:
    @pytest.mark.parametrize("minutes", [10.0, 60.0, 300.0])
    def test_it_takes_its_current_times_its_minutes(self, minutes: float) -> None:
        """4 A for n minutes: 4·n/60 Ah, asleep after 20 min or not."""
        assert taken_ah(box(switch="timer", timer_min=minutes)) == pytest.approx(4 * minutes / 60)

    def test_the_standing_is_longer_for_it(self) -> None:
        with_timer = assess(box(switch="timer", timer_min=30.0)).parked.days
        assert with_timer > assess(box()).parked.days

    def test_it_draws_a_little_itself_while_it_waits(self) -> None:
        draws = {d.name: d for _, d in accessory_draws(assess(box(switch="timer", timer_min=30.0)))}
        assert float(draws["Fan, timer"].phases[-1][2]) == pytest.approx(0.005)
        assert str(draw_words("Fan, timer")) == "Fan, timer"
        on_ignition = box(switch="timer", timer_min=30.0)
        slot = trade.slot(on_ignition, "Rear wiper")
        moved = edits.change_tap(on_ignition, on_ignition.taps[0].id, slot=slot)
        assert not [d for _, d in accessory_draws(assess(moved)) if d.name == "Fan, timer"]

    def test_it_is_closed_with_the_key_and_open_once_the_vehicle_sleeps(self) -> None:
        live = assess(box(switch="timer", timer_min=30.0)).taps.live[:, 0]
        assert live[[ACCESSORY, AWAKE]].all()
        assert not live[ASLEEP]
        assert "key_off_load" in told(box())
        assert told(box(switch="timer", timer_min=30.0)) == set()

    def test_one_that_nobody_set_is_reckoned_as_never_opening(self) -> None:
        vehicle = box(switch="timer")
        assert assess(vehicle).taps.live[ASLEEP, 0]
        finding = next(f for f in findings(vehicle, assess(vehicle)) if f.code == "timer_not_set")
        way = find_fixes(assess(vehicle), finding)[0].fix
        assert way.edit is not None
        assert way.edit(vehicle).taps[0].timer_min == 15.0

    def test_in_the_wire_to_a_coil_it_opens_the_relay(self) -> None:
        vehicle = trade.bolt(trade.base("Van", battery=trade.STARTER, parking=trade.QUIET))
        vehicle = edits.add_accessory(
            vehicle, "Fan", amperes=4.0, load_kind="constant_current", works_in=ALWAYS,
            leads=("power", "sense"), sense_a=0.0, figures_from="meter",
        )  # fmt: skip
        vehicle = trade.own(
            vehicle, trade.fuse(7.5), trade.cable(2.5, 2.0, "engine_bay"), relay=True
        )
        vehicle = trade.tapped(vehicle, "Rear socket", 2.0, trade.cable(0.75, 2.0), "sense")
        timed = edits.change_tap(vehicle, vehicle.taps[-1].id, switch="timer", timer_min=90.0)
        assert taken_ah(timed) == pytest.approx(4 * 1.5)

    def test_what_switches_it_carries_it(self) -> None:
        small = box(switch="timer", timer_min=30.0, switch_limit_a=3.0)
        assert "switch_overloaded" in told(small)


def test_an_interlock_with_the_ignition_is_open_without_it() -> None:
    live = assess(box(switch="ignition")).taps.live[:, 0]
    assert [state for state, on in zip(STATES, live, strict=True) if on] == ["ignition", "running"]


class TestDrivingLamp:
    def lamp(self, **sense: object) -> Vehicle:
        vehicle = trade.bolt(trade.base("Pickup", battery=trade.STARTER, parking=trade.QUIET))
        vehicle = trade.add(vehicle, "driving_lamp", sense_a=0.0)
        vehicle = trade.own(
            vehicle, trade.fuse(10.0, "regular"), trade.cable(2.5, 2.0, "engine_bay"), relay=True
        )
        vehicle = trade.tapped(vehicle, "Rear wiper", 2.0, trade.cable(0.75, 2.0), "sense")
        return edits.change_tap(vehicle, vehicle.taps[-1].id, earth=None, **sense)

    @pytest.mark.parametrize("switch", ["none", "unsaid", "hand", "park_brake"])
    def test_it_may_not_burn_without_the_main_beam(self, switch: str) -> None:
        vehicle = self.lamp(switch=switch)
        assert told(vehicle) == {"driving_lamp_alone"}
        a = assess(vehicle)
        finding = next(f for f in findings(vehicle, a) if f.code == "driving_lamp_alone")
        ways = [each.fix for each in find_fixes(a, finding) if each.fix.edit is not None]
        assert ways
        for way in ways:
            assert way.edit is not None
            assert told(way.edit(vehicle)) == set()

    def test_with_the_main_beam_nothing_is_told(self) -> None:
        assert told(self.lamp(switch="main_beam")) == set()

    def test_a_plan_puts_the_switch_in(self) -> None:
        vehicle = trade.base("Pickup", battery=trade.STARTER, parking=trade.QUIET)
        vehicle = trade.add(vehicle, "driving_lamp", sense_a=0.0)
        after = fit_plan(vehicle, plan_rest(assess(vehicle)))
        assert any(tap.switch == "main_beam" for tap in after.taps)
        assert "driving_lamp_alone" not in told(after)

    def test_a_work_lamp_is_no_driving_lamp(self) -> None:
        vehicle = edits.change_accessory(self.lamp(switch="hand"), "accessory-1", kind="work_lamp")
        assert "driving_lamp_alone" not in told(vehicle)


class TestCutOffInAFeed:
    """A cut-off module in the feed of a block switches off all that hangs below it."""

    def block(self, off_v: float | None) -> Vehicle:
        vehicle = trade.bolt(trade.base("Van", battery=trade.STARTER, parking=trade.QUIET))
        cut_off = None if off_v is None else VoltageCutOff(off_v=off_v, on_v=13.0)
        vehicle = edits.add_block(
            vehicle, "Block", 2, feed={
                "cable": trade.cable(10.0, 0.5, "engine_bay"), "unfused_m": 0.15,
                "sleeve": "sleeved", "fuse": trade.fuse(40.0, "strip_30"), "cut_off": cut_off,
            },
        )  # fmt: skip
        for way in vehicle.panels[-1].slots:
            vehicle = edits.change_slot(vehicle, way.id, fuse=trade.fuse(5.0, "regular"))
            vehicle = edits.add_accessory(
                vehicle, f"Box {way.label}", amperes=1.0, load_kind="constant_current",
                needs="permanent", works_in=ALWAYS, figures_from="meter",
            )  # fmt: skip
            vehicle = edits.place(
                vehicle, vehicle.accessories[-1].id, slot=way.id, kind="terminal",
                cable_out=trade.cable(1.5, 2.0), joint="ring_terminal", earth="earth-1",
            )  # fmt: skip
        return vehicle

    def test_it_ends_what_hangs_below_it(self) -> None:
        without, with_one = (assess(self.block(volts)).parked for volts in (None, 12.3))
        assert {each.name for each in with_one.forecast.cut_offs} == {"Box 1", "Box 2"}
        assert not without.forecast.cut_offs
        assert with_one.days > 2 * without.days
        assert "key_off_load" in told(self.block(None))
        assert "key_off_load" not in told(self.block(12.3))

    def test_of_two_the_higher_one_trips(self) -> None:
        vehicle = self.block(12.3)
        own = VoltageCutOff(off_v=12.5, on_v=13.0)
        vehicle = edits.change_accessory(vehicle, "accessory-1", cut_off=own)
        volts = [look_up.cut_off_of(vehicle, it).off_v for it in vehicle.accessories]
        assert volts == [12.5, 12.3]

    def test_one_that_is_too_high_is_set_lower_in_the_feed(self) -> None:
        vehicle = self.block(12.75)
        a = assess(vehicle)
        finding = next(f for f in findings(vehicle, a) if f.code == "cut_off_too_high")
        way = next(each.fix for each in find_fixes(a, finding) if each.fix.edit is not None)
        mended = way.edit(vehicle)
        assert mended.feeds[-1].cut_off.off_v < 12.75
        assert mended.accessories == vehicle.accessories

    def test_what_cannot_be(self) -> None:
        vehicle = self.block(12.3)
        with pytest.raises(EditRefused):
            edits.change_feed(
                vehicle, vehicle.feeds[-1].id, cut_off=VoltageCutOff(off_v=12.5, on_v=12.0)
            )
        assert files.parse(files.render(vehicle)) == vehicle
