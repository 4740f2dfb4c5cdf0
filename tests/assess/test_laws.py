"""The laws of the network, through the whole assessment: whatever the vehicle, they hold."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.cables import way_parts
from fusemap.electrics.network_voltages import KNEE
from fusemap.vehicle import STATES, Cable, Converter, Fuse, Vehicle, edits
from tests.strategies import vehicles
from tests.vehicles import one_slot, with_accessory

SLOW = settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
SECTIONS = (0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0)


def usual() -> st.SearchStrategy[Vehicle]:
    return vehicles(usual=True)


@SLOW
@given(usual())
def test_currents_sum_to_zero_at_every_feed(vehicle: Vehicle) -> None:
    """What flows into a feed is its other load, its slots and what hangs below it.

    Below half of its source's voltage a load draws less than it asks (`network_voltages.KNEE`).
    """
    a = assess(vehicle)
    c = a.circuit
    at_most_v = c.emf_v if c.second is None else np.maximum(c.emf_v, c.second.emf_v)
    for column in range(len(a.feeds.ids)):
        below = a.feeds.current_a[:, c.feeds.parent == column].sum(axis=1)
        slots = a.slots.live_contact_a[:, c.slots.feed == column].sum(axis=1)
        # a splice takes its current behind the contacts, and so from the slot's own way too
        taps = a.taps.current_a[:, (c.taps.slot < 0) & (c.taps.feed == column)].sum(axis=1)
        other = c.feeds.other_a[:, column]
        fed = a.feeds.voltage_v[:, column] >= KNEE * at_most_v
        summed = (below + slots + taps + other)[fed]
        assert a.feeds.current_a[fed, column] == pytest.approx(summed, abs=1e-6)


@SLOW
@given(usual(), st.floats(1.0, 3.0), st.data())
def test_more_load_never_raises_a_voltage(
    vehicle: Vehicle, more: float, data: st.DataObject
) -> None:
    """A larger load on one accessory lowers the voltage of every other, or leaves it."""
    assume(vehicle.accessories)
    grown = data.draw(st.sampled_from(vehicle.accessories))
    before = assess(vehicle)
    watts = None if grown.watts is None else grown.watts * more
    amperes = None if grown.amperes is None else grown.amperes * more
    larger = replace(grown, watts=watts, amperes=amperes)
    after = assess(
        replace(
            vehicle,
            accessories=tuple(larger if a.id == grown.id else a for a in vehicle.accessories),
        )
    )
    # where the supply cannot give the power asked, a load is reckoned as a resistance instead
    assume(not before.taps.collapsed.any() and not after.taps.collapsed.any())
    assert np.all(after.battery_v <= before.battery_v + 1e-6)
    assert np.all(after.feeds.voltage_v <= before.feeds.voltage_v + 1e-6)


@given(
    st.floats(0.5, 12.0),
    st.floats(0.3, 8.0),
    st.sampled_from(["constant_power", "constant_current", "resistive", "filament"]),
    st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_a_thicker_cable_never_runs_hotter_nor_drops_more(
    amperes: float, metres: float, kind: str, by_cable: bool
) -> None:
    found = []
    for section in SECTIONS:
        cable = Cable(section_mm2=section, length_m=metres)
        v = with_accessory(
            one_slot(rating=30.0),
            amperes,
            fuse=Fuse(family="mini", rating=30.0),
            cable_out=cable,
            cable_back=cable if by_cable else None,
        )
        v = edits.change_accessory(v, "accessory-1", load_kind=kind)
        a = assess(v)
        hops = {hop.key: hop.load for hop in a.chains["tap-1"].hops}
        collapsed = bool(a.taps.collapsed.any())
        found.append((hops["heat_out"], hops["drop"], hops["far_end"], collapsed))
    for (hot, drop, end, gone), (cooler, less, further, _) in pairwise(found):
        if not gone:
            # a heater draws more behind a thicker cable; the copper still gets no hotter
            assert cooler <= hot + 1e-6
            assert less <= drop + 1e-9
        assert further >= end - 1e-9


@given(st.floats(0.2, 15.0), st.floats(1.0, 2.0))
@settings(max_examples=40, deadline=None)
def test_more_load_behind_a_converter_asks_more_of_everything_above(
    watts: float, more: float
) -> None:
    def truck(load_w: float) -> Vehicle:
        v = edits.add_accessory(
            Vehicle(name="Truck", system_v=24),
            "Converter",
            watts=1.0,
            rated_v=27.6,
            converter=Converter(),
        )
        v = edits.place(v, "accessory-1", cable_out=Cable(section_mm2=1.0, length_m=3.0))
        return edits.add_accessory(v, "Radio", watts=load_w, supplied_by="accessory-1")

    less, most = assess(truck(watts)), assess(truck(watts * more))
    assert np.all(most.battery_a >= less.battery_a - 1e-9)
    assert np.all(most.taps.voltage_v <= less.taps.voltage_v + 1e-9)


def test_the_parts_of_the_way_add_up_to_the_drop() -> None:
    """Joint, fuse, cable out and return: together what the chain says."""
    for back in (None, Cable(section_mm2=1.0, length_m=3.0)):
        v = with_accessory(
            one_slot(),
            6.0,
            fuse=Fuse(family="mini", rating=10.0),
            cable_out=Cable(section_mm2=1.0, length_m=3.0),
            cable_back=back,
            joint="butt_crimp",
        )
        a = assess(v)
        parts = way_parts(
            v.taps[0],
            a.circuit.conductor_ohm[:, 0],
            a.rule_values,
            float(a.circuit.taps.earth_mohm[0]),
        )
        drop = next(h for h in a.chains["tap-1"].hops if h.key == "drop")
        assert sum(part.ohm for part in parts) * 6.0 == pytest.approx(drop.load)
        ends = "body" if back is None else "earth"
        assert [part.key for part in parts][-1] == ends
        named = dict(drop.basis.inputs)
        assert any("Joint, butt crimp" in name for name in named)
        assert "Cable out" in named
        assert "Accessory fuse" in named


def test_the_voltage_behind_feeds_and_cable_names_both_losses() -> None:
    v = with_accessory(one_slot(), 6.0, cable_out=Cable(section_mm2=1.0, length_m=3.0))
    v = edits.change_accessory(v, "accessory-1", min_voltage_v=10.0)
    hop = next(h for h in assess(v).chains["tap-1"].hops if h.key == "voltage")
    named = dict(hop.basis.inputs)
    losses = {"Feeds and slot", "From there and back"}
    assert set(named) == {"Battery or alternator", *losses, "At worst"}
    assert f"= {hop.most:.2f}" in str(named["At worst"]), (
        "the sum of the lowest comes out as judged"
    )


def test_a_cable_between_two_sizes_is_as_thick_as_lies_between_them() -> None:
    """Data sheet of thin-wall FLRY-B to ISO 6722: 1.5 mm² 2.4 mm thick, 2 mm² 2.8 mm."""
    thick = {
        section: float(_carrying(section).circuit.cables.out.od_mm[0])
        for section in (1.5, 1.75, 2.0)
    }
    assert thick[1.5] == pytest.approx(2.4)
    assert thick[2.0] == pytest.approx(2.8)
    assert thick[1.75] == pytest.approx((2.4 + 2.8) / 2, rel=0.02)


def _carrying(section_mm2: float) -> Assessment:
    cable = Cable(section_mm2=section_mm2, length_m=3.0)
    return assess(with_accessory(one_slot(), 8.0, cable_out=cable))


@pytest.mark.parametrize(("system_v", "allowed_v"), [(12, 0.6), (24, 1.2)])
def test_the_allowed_drop_is_a_share_of_the_vehicles_own_voltage(
    system_v: int, allowed_v: float
) -> None:
    vehicle = edits.change_vehicle(one_slot(), system_v=system_v)
    vehicle = edits.add_accessory(vehicle, "Lamp", amperes=5.0, rated_v=float(system_v))
    vehicle = edits.set_rule(vehicle, "allowed_drop_share", 0.05)
    vehicle = edits.place(
        vehicle,
        "accessory-1",
        slot=vehicle.panels[0].slots[0].id,
        cable_out=Cable(section_mm2=1.0, length_m=4.0),
    )
    drop = next(hop for hop in assess(vehicle).chains["tap-1"].hops if hop.key == "drop")
    assert drop.limit == pytest.approx(allowed_v)


def test_a_filament_lamp_at_work_draws_by_the_voltage_it_gets() -> None:
    """Standard Handbook for Electrical Engineers, 11th ed., p. 22-8: (V/V0) to the power of 0.55.

    Worked by hand: at 14.1 V a lamp of 5 A at 12 V draws exp(0.55 × ln(14.1/12)) × 5 A = 5.46 A.
    """
    lamp = with_accessory(one_slot(own_a=0.0), 5.0, cable_out=Cable(section_mm2=4.0, length_m=0.1))
    lamp = edits.change_accessory(lamp, "accessory-1", load_kind="filament")
    a = assess(lamp)
    running = STATES.index("running")
    assert a.taps.voltage_v[running, 0] == pytest.approx(14.1, abs=0.1)
    by_hand = 5.46 + (a.taps.voltage_v[running, 0] - 14.1) * 0.55 * 5.46 / 14.1
    assert a.taps.current_a[running, 0] == pytest.approx(by_hand, rel=2e-3)
