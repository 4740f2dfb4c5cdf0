"""The second battery in the network: its own voltage, its own current, its link open and closed.

The whole circuit is solved once more as an ordinary linear one, by the nodal method (conductance
matrix, `numpy.linalg.solve`), from the figures entered alone.
"""

from typing import Any

import numpy as np
import pytest

from fusemap import tables
from fusemap.assess import assess
from fusemap.assess.sources import SECOND
from fusemap.checks import findings
from fusemap.electrics.cable import resistance_ohm
from fusemap.vehicle import STATES, Cable, Fuse, SecondBattery, Vehicle, edits, look_up
from tests.vehicles import one_slot

ALWAYS = STATES
ASLEEP, RUNNING = STATES.index("asleep"), STATES.index("running")
WIRE = Cable(section_mm2=6.0, length_m=4.0)
HEAVY = Cable(section_mm2=25.0, length_m=4.0)
FUSE = Fuse(family="strip_30", rating=60.0)


def camper(*, battery: str = "second", load: float = 10.0, **second: Any) -> Vehicle:
    """A van with two batteries and one accessory for good, on an own feed."""
    vehicle = edits.change_battery(Vehicle(name="Van"), resistance_mohm=5.0, rest_v=12.7)
    told: dict[str, Any] = {"rest_v": 13.2, "resistance_mohm": 8.0, "capacity_ah": 100.0}
    vehicle = edits.change_second_battery(vehicle, **(told | second))
    vehicle = edits.add_accessory(
        vehicle,
        "Fridge",
        amperes=load,
        rated_v=12.0,
        load_kind="constant_current",
        works_in=ALWAYS,
        battery=battery,
    )
    return edits.place(vehicle, "accessory-1", fuse=FUSE, cable_out=WIRE)


def volts(vehicle: Vehicle) -> np.ndarray:
    return assess(vehicle).taps.voltage_v[:, 0]


def test_each_battery_gives_its_own_voltage() -> None:
    lead = assess(camper(battery="starter"))
    lithium = assess(camper())
    assert lead.currents.second_a[ASLEEP] == 0.0
    assert lead.battery_a[ASLEEP] == pytest.approx(10.0)
    assert lithium.battery_a[ASLEEP] == 0.0
    assert lithium.currents.second_a[ASLEEP] == pytest.approx(10.0)
    assert lithium.currents.second_v[ASLEEP] == pytest.approx(13.2 - 10.0 * 0.008)
    at_rest = lead.circuit.emf_v[ASLEEP]
    assert lead.battery_v[ASLEEP] == pytest.approx(at_rest - 10.0 * 0.005)
    higher = lithium.taps.voltage_v[ASLEEP, 0] - lead.taps.voltage_v[ASLEEP, 0]
    assert higher == pytest.approx((13.2 - 0.08) - (at_rest - 0.05))


def test_another_battery_is_another_answer() -> None:
    """LiFePO4 of 100 Ah, and AGM of 20: by their labels alone."""
    big = camper(chemistry="lifepo4", rest_v=None, resistance_mohm=None)
    small = camper(chemistry="agm", capacity_ah=20.0, rest_v=None, resistance_mohm=None)
    assert volts(big)[ASLEEP] > volts(small)[ASLEEP] + 0.3


def nodal(branches: list[tuple[int, int, float]], held: dict[int, float], drawn: float) -> float:
    """Voltage at node 2 of a network by the nodal method; `drawn` is taken there."""
    count = 1 + max(max(a, b) for a, b, _ in branches)
    g, i = np.zeros((count, count)), np.zeros(count)
    for a, b, ohm in branches:
        g[[a, b], [a, b]] += 1 / ohm
        g[[a, b], [b, a]] -= 1 / ohm
    i[2] = -drawn
    for node, value in held.items():
        g[node], i[node] = 0.0, value
        g[node, node] = 1.0
    return float(np.linalg.solve(g, i)[2])


@pytest.mark.parametrize("section", [10.0, 25.0])
def test_with_the_engine_running_link_and_battery_share_the_load(section: float) -> None:
    """Node 0 the alternator, node 1 the second battery's voltage, node 2 its posts."""
    cable = Cable(section_mm2=section, length_m=5.0)
    vehicle = camper(load=40.0, rest_v=12.6, link="relay", link_cable=cable)
    a = assess(edits.change_parking(vehicle, spare_a=80.0))
    charging = a.rule("charging_v")
    link = _copper(cable, a.rule("ambient_cabin_c"))
    held = {0: charging, 1: 12.6}
    by_nodes = nodal([(0, 2, link), (1, 2, 0.008)], held, 40.0)
    assert a.currents.second_v[RUNNING] == pytest.approx(by_nodes, abs=1e-6)
    assert a.currents.second_v[ASLEEP] == pytest.approx(12.6 - 40.0 * 0.008)


def _copper(cable: Cable, warm_c: float) -> float:
    from fusemap import tables

    row = next(w for w in tables.conductors() if w.area_mm2 == cable.section_mm2)
    return float(resistance_ohm(row.r20_mohm_per_m, cable.length_m, warm_c))


def test_a_charger_holds_it_up_as_far_as_its_current_goes() -> None:
    a = assess(camper(link="dcdc", charger_a=30.0, rest_v=12.6))
    raised = 12.6 + 0.9 * 30.0 * 0.008
    assert a.currents.second_v[RUNNING] == pytest.approx(raised - 10.0 * 0.008)
    assert a.battery_a[RUNNING] == pytest.approx(30.0)
    assert a.battery_a[ASLEEP] == 0.0


def test_at_its_worst_nobody_counts_on_the_link() -> None:
    a = assess(camper(link="relay", rest_v=12.6))
    assert a.most.currents.second_v[RUNNING] == pytest.approx(12.6 - 10.0 * 0.008)


def test_a_block_fed_by_the_second_battery_is_on_it() -> None:
    vehicle = edits.add_block(camper(battery="starter"), "Block", 4, feed={"battery": "second"})
    slot = look_up.slots(vehicle)
    vehicle = edits.change_slot(vehicle, next(slot).id, fuse=Fuse(family="regular", rating=20.0))
    vehicle = edits.unplace(vehicle, vehicle.taps[0].id)
    vehicle = edits.place(
        vehicle, "accessory-1", slot=vehicle.panels[0].slots[0].id, kind="terminal", cable_out=WIRE
    )
    a = assess(vehicle)
    assert look_up.battery_of(vehicle, vehicle.accessories[0]) == "second"
    assert a.battery_a[ASLEEP] == 0.0
    assert a.currents.second_a[ASLEEP] == pytest.approx(10.0)
    assert a.parked.second is not None
    assert a.parked.second.accessories == ("accessory-1",)


def test_a_short_behind_it_has_its_resistance() -> None:
    weak = camper(resistance_mohm=80.0)
    strong = camper(resistance_mohm=8.0)
    least = [
        next(h for h in assess(v).chains["tap-1"].hops if h.key == "far_end").load
        for v in (weak, strong)
    ]
    assert least[0] < least[1]


def codes(vehicle: Vehicle) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, assess(vehicle)) if "link" in f.code}


class TestLink:
    def test_nothing_entered_is_said(self) -> None:
        assert codes(camper()) == {"link_not_entered": "caution"}

    def test_a_fuse_at_one_end_alone_is_a_stop(self) -> None:
        assert codes(camper(near_fuse=FUSE))["link_unfused"] == "stop"
        assert codes(camper(link_cable=WIRE))["link_unfused"] == "stop"

    def test_right_practice_is_quiet(self) -> None:
        assert codes(camper(near_fuse=FUSE, far_fuse=FUSE, link="dcdc", charger_a=30.0)) == {}

    def test_through_a_relay_an_empty_battery_may_take_more_than_a_fuse_carries(self) -> None:
        """Right practice as well: worth knowing, nothing burns, a fuse may open."""
        told = codes(camper(near_fuse=FUSE, far_fuse=FUSE, chemistry="agm", link_cable=HEAVY))
        assert told == {"link_may_not_hold": "note"}

    def test_a_plain_relay_joins_no_lead_with_lithium(self) -> None:
        fused = {"near_fuse": FUSE, "far_fuse": FUSE}
        told = codes(camper(chemistry="lifepo4", **fused))
        assert told == {"link_joins_unlike": "caution", "link_may_not_hold": "note"}

    def test_a_plug_in_fuse_carries_no_charger_above_20_a(self) -> None:
        blade = Fuse(family="maxi", rating=40.0)
        told = codes(camper(link="dcdc", charger_a=30.0, near_fuse=blade, far_fuse=FUSE))
        assert told == {"link_blade_fuse": "caution"}

    def test_a_fuse_below_the_chargers_current_is_told(self) -> None:
        small = Fuse(family="strip_30", rating=30.0)
        told = codes(camper(link="dcdc", charger_a=35.0, near_fuse=small, far_fuse=FUSE))
        assert told == {"link_fuse_too_small": "caution"}


def test_one_feed_and_an_accessory_straight_on_the_second_battery() -> None:
    """Of a single feed there is none before it: an own feed from the second battery is no feed."""
    vehicle = edits.set_second_battery(one_slot(), SecondBattery(chemistry="agm"))
    vehicle = edits.add_accessory(vehicle, "Pump", watts=20.0, battery="second")
    a = assess(edits.place(vehicle, "accessory-1"))
    assert a.circuit.tap_roots.tolist() == [SECOND]
    assert a.taps.current_a.max() > 0


@pytest.mark.parametrize("kind", ["resistive", "filament"])
@pytest.mark.parametrize("link", ["relay", "dcdc"])
def test_a_load_that_follows_its_voltage_may_hang_on_a_full_and_fresh_one(
    kind: str, link: str
) -> None:
    """Whatever is read of it within the table's spans, no more flows than was said before."""
    unread = camper(rest_v=None, resistance_mohm=None, chemistry="agm", link=link)
    unread = edits.change_accessory(unread, "accessory-1", load_kind=kind)
    most = assess(unread).most.taps.current_a[:, 0]
    known = assess(unread).taps.current_a[:, 0]
    assert (most[:RUNNING] > known[:RUNNING] * 1.005).all()
    usual = 3.5 * 70.0 / 100.0  # of an AGM battery of 70 Ah, by its capacity
    full = float(np.max(tables.rest_voltage("agm").volts))
    for mohm in (0.7 * usual, usual, 2.0 * usual):
        for charger in (None, 30.0):
            told = edits.change_second_battery(
                unread, rest_v=full, resistance_mohm=mohm, charger_a=charger
            )
            assert (assess(told).taps.current_a[:, 0] <= most * (1 + 1e-9)).all()
