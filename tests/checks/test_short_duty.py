"""What works for a short time only: a winch is no lasting load, and not nothing.

Outside: the adiabatic formula of IEC 60949 for copper, K = 226 A·s½/mm², β = 234.5 K, which no
cable can get warmer than; published operating times of the fuse; Ohm's law at the battery.
"""

from math import exp

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.advise import library
from fusemap.assess import assess, facts
from fusemap.assess.gather import rated_current
from fusemap.checks import findings
from fusemap.checks.shorts import run_of
from fusemap.placement.suggest import own_feed
from fusemap.vehicle import STATES, Battery, Cable, Fuse, Vehicle, edits
from tests import trade_vehicles as trade
from tests.vehicles import one_slot

RUNNING = STATES.index("running")


def winch(
    amperes: float = 300.0, section_mm2: float = 50.0, rating: float = 300.0, **fields: object
) -> Vehicle:
    """A winch at the battery, 2 m away, in the engine bay at 25 °C."""
    vehicle = trade.bolt(trade.base("Pickup", battery=trade.STARTER, parking=trade.QUIET))
    vehicle = edits.set_rule(vehicle, "ambient_engine_bay_c", 25.0)
    usual = {"watts": None, "amperes": amperes, "duty": 1.0, "duty_period_s": 0.0}
    vehicle = trade.add(vehicle, "winch", **(usual | {"short_s": 60.0} | fields))
    guard = Fuse(family="strip_51", rating=rating, resistance_mohm=0.25)
    wire = Cable(section_mm2=section_mm2, length_m=2.0, place="engine_bay")
    return trade.own(vehicle, guard, wire, switch="hand", switch_limit_a=400.0)


def told(vehicle: Vehicle, *severities: str) -> set[str]:
    wanted = severities or ("stop", "caution")
    return {f.code for f in findings(vehicle, assess(vehicle)) if f.severity in wanted}


def warm_c(vehicle: Vehicle) -> float:
    return float(assess(vehicle).hops["heat_out"].load[0])


class TestCable:
    @pytest.mark.parametrize("seconds", [5.0, 20.0, 60.0])
    @pytest.mark.parametrize("section_mm2", [35.0, 50.0, 70.0])
    def test_it_warms_by_its_own_time_constant(self, seconds: float, section_mm2: float) -> None:
        """Never above IEC 60949's adiabatic temperature, and near it while little heat leaves."""
        vehicle = winch(section_mm2=section_mm2, short_s=seconds)
        vehicle = edits.set_rule(vehicle, "short_rest_min", 240.0)
        current = float(assess(vehicle).taps.current_a[RUNNING, 0])
        rise = (25.0 + 234.5) * (exp((current / (226 * section_mm2)) ** 2 * seconds) - 1)
        # what is left of the run before is some kelvin after a pause of four hours at most
        assert warm_c(vehicle) <= 25.0 + rise * 1.05 + 4.0
        assert warm_c(vehicle) >= 25.0 + rise * 0.75

    def test_for_good_it_would_burn(self) -> None:
        assert "cable_too_hot_out" not in told(winch())
        assert "cable_too_hot_out" in told(winch(short_s=None), "stop")
        assert warm_c(winch(short_s=None)) > 2 * warm_c(winch())

    def test_a_thin_cable_burns_in_a_short_run_too(self) -> None:
        assert "cable_too_hot_out" in told(winch(section_mm2=10.0), "stop")

    def test_a_shorter_pause_leaves_it_warmer(self) -> None:
        vehicle = winch()
        close = edits.set_rule(vehicle, "short_rest_min", 2.0)
        assert warm_c(close) > warm_c(vehicle) + 5.0


class TestFuse:
    def test_it_bears_a_run_that_its_curve_certainly_lets_pass(self) -> None:
        points = facts.time_points("strip_51", 300.0)
        assert points is not None
        assert float(points.band(1.0).min_s) >= 60.0
        assert "fuse_overloaded" not in told(winch(rating=300.0))

    def test_one_that_may_open_within_the_run_is_told(self) -> None:
        points = facts.time_points("strip_51", 150.0)
        assert points is not None
        assert float(points.band(2.0).min_s) < 60.0
        assert "fuse_overloaded" in told(winch(rating=150.0))

    def test_for_good_the_same_fuse_is_too_small(self) -> None:
        assert "fuse_overloaded" in told(winch(short_s=None))


class TestBattery:
    def test_the_battery_gives_what_the_alternator_does_not(self) -> None:
        """300 A less 80 A of the alternator, at E − I·R of the battery."""
        vehicle = edits.change_parking(winch(), spare_a=80.0)
        a = assess(vehicle)
        run = run_of(a, 0)
        assert run is not None
        current = float(a.taps.current_a[RUNNING].sum())
        assert run.battery_a == pytest.approx(current - 80.0)
        emf = float(a.circuit.emf_v[STATES.index("ignition")])
        assert run.battery_v == pytest.approx(emf - run.battery_a * a.circuit.source_ohm)
        assert run.battery_v == a.battery_v[RUNNING]
        way = float(a.taps.current_a[RUNNING, 0]) * float(
            (a.circuit.cables.fixed_ohm + a.circuit.conductor_ohm.sum(axis=0))[0]
        )
        assert run.device_v == pytest.approx(run.battery_v - way)

    def test_a_small_battery_sags_below_what_it_needs(self) -> None:
        def low(vehicle: Vehicle) -> tuple[str, float]:
            a = assess(vehicle)
            code = next((f.code for f in findings(vehicle, a) if f.code == "low_voltage"), "")
            return code, float(a.taps.voltage_v[RUNNING, 0])

        enough, volts = low(edits.change_parking(winch(min_voltage_v=11.0), spare_a=80.0))
        assert (enough, volts > 11.0) == ("", True)
        small = Battery(chemistry="flooded", capacity_ah=30.0, cca_a=250.0, label_standard="en",
                        soh=0.8, start_soc=0.7)  # fmt: skip
        weak = replace(winch(min_voltage_v=11.0), battery=small)
        code, volts = low(weak)
        assert (code, volts < 11.0) == ("low_voltage", True)
        code, volts = low(edits.change_parking(weak, spare_a=400.0))
        assert (code, volts > 11.0) == ("", True)

    def test_what_a_run_takes_is_told(self) -> None:
        """(300 − 80) A × 60 s = 3.67 Ah, put back by 80 A in 2.75 min."""
        vehicle = edits.change_parking(winch(load_kind="constant_current"), spare_a=80.0)
        note = next(
            f for f in findings(vehicle, assess(vehicle)) if f.code == "run_takes_of_battery"
        )
        assert "3.67" in str(note.sum)
        assert "2.75" in str(note.sum)


def test_a_proposal_for_a_winch_has_a_cable_and_a_fuse() -> None:
    """A winch of 200 A: no lasting load, and a cable that lasts through its run."""
    vehicle = edits.add_accessory(one_slot(feed_class="ignition"), **library.fields("winch"))
    own = own_feed(vehicle, assess(vehicle), vehicle.accessories[0])
    cable, fuse = own.fields["cable_out"], own.fields["fuse"]
    assert cable is not None
    assert fuse is not None
    placed = edits.place(vehicle, "accessory-1", **own.fields)
    for key in ("heat_out", "accessory_fuse", "overload", "short"):
        hop = assess(placed).hops[key]
        assert not hop.broken.any(), key
    assert rated_current(vehicle.accessories[0]) == 200.0


def test_a_run_of_an_hour_is_a_lasting_load() -> None:
    lasting, hour = winch(short_s=None, amperes=150.0), winch(short_s=3600.0, amperes=150.0)
    assert warm_c(hour) == pytest.approx(warm_c(lasting), rel=0.05)
    assert np.isfinite(warm_c(hour))
