"""Behind a converter: what its output gives, what its input takes, and what the parked car pays.

Sums are done by hand beside each test: energy balance, input W = own W + output W ÷ efficiency.
"""

import numpy as np
import pytest

from fusemap.assess import Hop, assess
from fusemap.assess.converters import most_behind_w
from fusemap.vehicle import KEY_STATES, STATES, Converter, Vehicle, edits, look_up
from tests.plain import plain

ALWAYS = tuple(STATES)
RUNNING, ASLEEP = STATES.index("running"), STATES.index("asleep")


def truck(**converter: object) -> Vehicle:
    """24 V; a converter of 2 W own draw on a permanent own feed, 85 % efficient, 10 A."""
    fields = {"output_v": 13.8, "rating_a": 10.0, "efficiency": 0.85} | converter
    v = edits.add_accessory(
        Vehicle(name="Truck", system_v=24),
        "Converter",
        watts=2.0,
        rated_v=27.6,
        works_in=ALWAYS,
        converter=Converter(**fields),
    )
    return edits.place(v, "accessory-1")


def with_load(vehicle: Vehicle, name: str = "Radio", **fields: object) -> Vehicle:
    usual = {"watts": 55.2, "rated_v": 13.8, "supplied_by": "accessory-1"}
    return edits.add_accessory(vehicle, name, **(usual | fields))


def input_w(vehicle: Vehicle, state: int = RUNNING) -> float:
    a = assess(vehicle)
    return float(a.taps.voltage_v[state, 0] * a.taps.current_a[state, 0])


def test_a_converter_takes_its_own_draw_and_its_output_over_its_efficiency() -> None:
    assert input_w(truck()) == pytest.approx(2.0)
    assert input_w(with_load(truck())) == pytest.approx(2.0 + 55.2 / 0.85)


def test_the_output_current_is_at_the_outputs_voltage() -> None:
    """55.2 W at 13.8 V is 4 A (W ÷ V), whatever the vehicle's 24 V do."""
    output = assess(with_load(truck())).circuit.taps.behind.output("accessory-1")
    assert output is not None
    assert output.current_a[RUNNING] == pytest.approx(4.0)


def test_loads_add_up_on_the_output() -> None:
    v = with_load(with_load(truck()), "Charger", watts=27.6)
    output = assess(v).circuit.taps.behind.output("accessory-1")
    assert output is not None
    assert output.current_a[RUNNING] == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("kind", "watts"), [("constant_power", 48.0), ("constant_current", 55.2), ("resistive", 63.48)]
)
def test_a_load_behind_a_converter_gets_the_output_voltage_by_its_kind(
    kind: str, watts: float
) -> None:
    """4 A at 12 V on 13.8 V: 48 W as electronics, 4 A × 13.8 V, 48 W × (13.8/12)² as a heater."""
    v = with_load(truck(), watts=None, amperes=4.0, rated_v=12.0, load_kind=kind)
    assert input_w(v) == pytest.approx(2.0 + watts / 0.85)


def test_what_hangs_behind_works_only_while_the_converter_works() -> None:
    v = edits.change_accessory(with_load(truck(), works_in=ALWAYS), "accessory-1",
                               works_in=KEY_STATES, standby_a=0.01)  # fmt: skip
    a = assess(v)
    assert a.taps.current_a[ASLEEP, 0] == pytest.approx(0.01, rel=0.15)
    radio = a.circuit.taps.behind.supplied[0]
    assert list(radio.works) == [False, False, True, True, True]


def test_a_load_at_rest_behind_a_working_converter_draws_its_standby() -> None:
    """20 mA standby at 13.8 V is 0.276 W, over 85 %."""
    v = with_load(truck(), standby_a=0.02)
    assert input_w(v, ASLEEP) == pytest.approx(2.0 + 0.02 * 13.8 / 0.85)


def test_a_converter_behind_a_converter_pays_twice() -> None:
    v = with_load(
        truck(), "USB socket", watts=1.0, converter=Converter(output_v=5.0, efficiency=0.8)
    )
    v = with_load(v, "Telephone", watts=10.0, rated_v=5.0, supplied_by="accessory-2")
    assert input_w(v) == pytest.approx(2.0 + (1.0 + 10.0 / 0.8) / 0.85)
    telephone = next(
        s for s in assess(v).circuit.taps.behind.supplied if s.accessory.name == "Telephone"
    )
    assert telephone.taken_w[RUNNING] == pytest.approx(10.0 / 0.8 / 0.85)


def test_what_each_takes_adds_up_to_what_the_converter_takes() -> None:
    v = with_load(truck(), "USB socket", watts=1.0, converter=Converter(output_v=5.0))
    v = with_load(v, "Telephone", watts=10.0, rated_v=5.0, supplied_by="accessory-2")
    v = with_load(v, "Radio", standby_a=0.01)
    behind = assess(v).circuit.taps.behind
    assert sum(s.taken_w for s in behind.supplied) == pytest.approx(behind.asked_w[:, 0])


def test_without_a_tap_of_the_converter_nothing_flows() -> None:
    v = edits.unplace(with_load(truck()), "tap-1")
    a = assess(v)
    assert a.circuit.taps.behind.supplied == ()
    assert np.all(a.battery_a == 0)


def test_the_most_behind_a_converter_counts_all_at_once() -> None:
    v = with_load(with_load(truck()), "Charger", watts=27.6, works_in=("running",))
    converter = look_up.accessory(v, "accessory-1")
    # no leads are entered: each may cost 5 % of what is there, which a held power asks back
    asked = most_behind_w(v.accessories, converter, assess(v).rule_values)
    assert asked == pytest.approx(82.8 / 0.85 * 2 / (1 + (1 - 4 * 0.05) ** 0.5), rel=1e-9)
    radio = look_up.accessory(v, "accessory-2")
    assert most_behind_w(v.accessories, radio, assess(v).rule_values) == 0.0


def converter_hop(vehicle: Vehicle) -> Hop:
    return assess(vehicle).chains.hop("tap-1", "converter")


def test_the_chain_has_the_converters_output_as_a_hop() -> None:
    hop = converter_hop(with_load(truck()))
    assert (hop.key, hop.load, hop.limit) == ("converter", pytest.approx(4.0), 10.0)
    assert plain(dict(hop.basis.inputs)["Radio"]) == "4 A"


def test_a_converter_whose_rating_is_not_known_cannot_be_checked() -> None:
    hop = converter_hop(with_load(truck(rating_a=None)))
    assert (hop.key, hop.load, hop.verdict) == ("converter", pytest.approx(4.0), "unchecked")


def test_parked_each_consumer_behind_a_converter_is_told_by_itself() -> None:
    """A tracker of 1.38 W behind it costs 1.38 ÷ 0.85 W; the converter itself 2 W."""
    v = with_load(truck(), "Tracker", watts=1.38, works_in=ALWAYS)
    v = edits.change_parking(v, rest_current_a=0.02)
    named = {c.name: c for c in assess(v).parked.consumers}
    assert named["Tracker"].mean_a / named["Converter"].mean_a == pytest.approx(
        (1.38 / 0.85) / 2.0, rel=1e-6
    )


def test_parked_a_timer_behind_a_converter_ends_its_own_draw_only() -> None:
    v = with_load(truck(), "Camera", watts=4.0, works_in=ALWAYS, run_on_min=60.0)
    v = edits.change_parking(v, rest_current_a=0.02, stand_days=1.0)
    consumers = {c.name: c.charge_ah for c in assess(v).parked.consumers}
    volts = 24.5
    assert consumers["Camera"] == pytest.approx(4.0 / 0.85 / volts, rel=0.06)
    assert consumers["Converter"] > 2.0 / volts * 24
