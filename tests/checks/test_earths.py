"""Earth points: the sensor at the minus post, how many share a screw, and what that costs.

20 mV with everything on it at work, 5 mV where a motor hangs there: a car maker's workshop guide.
Two eyelets under one screw: a van maker's body-builder manual. Ohm's law.
"""

from typing import Any

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.checks.earths import worst_drop_mv
from fusemap.errors import EditRefused
from fusemap.vehicle import Cable, EarthPoint, Fuse, Vehicle, edits


def with_earth(*loads: dict[str, Any], **fields: Any) -> Vehicle:
    """A van with accessories on own feeds, all back by one point."""
    vehicle = edits.add_earth(Vehicle(name="Van"), "bolt", **fields)
    for number, load in enumerate(loads):
        vehicle = edits.add_accessory(vehicle, f"Thing {number}", **load)
        vehicle = edits.place(
            vehicle,
            vehicle.accessories[-1].id,
            fuse=Fuse(family="regular", rating=30.0),
            cable_out=Cable(section_mm2=6.0, length_m=1.0),
            earth=vehicle.earths[0].id,
        )
    return vehicle


LAMP = {"amperes": 8.0, "load_kind": "constant_current"}
MOTOR = {"amperes": 8.0, "load_kind": "motor"}


def told(vehicle: Vehicle) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, assess(vehicle)) if f.place == "earth"}


def test_a_sensor_at_the_minus_post_forbids_it() -> None:
    assert told(with_earth(LAMP, kind="battery_minus", sensor="yes")) == {
        "earth_past_sensor": "stop"
    }
    assert told(with_earth(LAMP, kind="battery_minus")) == {"earth_sensor_unknown": "caution"}
    assert told(with_earth(LAMP, kind="battery_minus", sensor="no")) == {}


def test_the_third_eyelet_is_one_too_many() -> None:
    assert told(with_earth(LAMP, others=1)) == {}
    assert told(with_earth(LAMP, LAMP, others=1)) == {"earth_crowded": "caution"}
    assert told(with_earth(LAMP, LAMP)) == {"earth_not_counted": "note"}
    assert told(with_earth(LAMP, LAMP, LAMP, others=0, kind="bar")) == {}


def test_what_all_of_it_costs_together() -> None:
    """12 mV at 8 A are 1.5 mΩ: good; 30 A on it are 45 mV: too much."""
    point = EarthPoint(id="e", name="bolt", resistance_mohm=1.5)
    assert worst_drop_mv(point, np.array([[8.0]])) == (12.0, 0)
    assert worst_drop_mv(point, np.array([[0.0, 0.0], [20.0, 10.0]])) == (45.0, 1)
    assert told(with_earth(LAMP, others=0, resistance_mohm=1.5)) == {}
    many = with_earth(LAMP, LAMP, others=0, resistance_mohm=1.5)
    assert told(many) == {"earth_drop_high": "caution"}


def test_a_motor_is_held_to_less() -> None:
    assert told(with_earth(MOTOR, others=0, resistance_mohm=1.0)) == {"earth_drop_high": "caution"}
    assert told(with_earth(LAMP, others=0, resistance_mohm=1.0)) == {}


def test_a_motor_beside_a_sensor() -> None:
    assert "earth_shared_badly" in told(with_earth(MOTOR, others=0, sensitive="yes"))
    assert "earth_shared_badly" not in told(with_earth(LAMP, others=0, sensitive="yes"))


def test_a_measured_point_takes_the_place_of_the_rule() -> None:
    drops = []
    for mohm in (None, 1.0, 9.0):
        a = assess(with_earth(LAMP, others=0, resistance_mohm=mohm))
        drops.append(float(a.circuit.cables.fixed_ohm[0]) * 1000)
    rule = assess(Vehicle(name="Van")).rule("body_return_mohm")
    assert drops[1] - drops[0] == pytest.approx(1.0 - rule)
    assert drops[2] - drops[1] == pytest.approx(8.0)


def test_one_in_use_stays() -> None:
    vehicle = with_earth(LAMP)
    with pytest.raises(EditRefused, match="1 accessory has its earth"):
        edits.remove_earth(vehicle, vehicle.earths[0].id)
    free = edits.change_tap(vehicle, vehicle.taps[0].id, earth=None)
    assert edits.remove_earth(free, free.earths[0].id).earths == ()
    with pytest.raises(EditRefused, match="earth point"):
        edits.change_tap(vehicle, vehicle.taps[0].id, earth="earth-9")
