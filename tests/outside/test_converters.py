"""A converter at the end of a cable, through the whole assessment, against scipy's root finding.

Everything that goes in is entered or published; nothing is taken from the program.
"""

import pytest
from scipy.optimize import brentq

from fusemap.assess import assess
from fusemap.vehicle import STATES, Battery, Cable, Converter, Vehicle, edits

REST_V = 25.1
BATTERY_OHM = 2 * 0.004
"""Two of 4 mΩ in series, as entered."""

CABLE_OHM_PER_M = 0.00314
"""6 mm² of thin-wall vehicle cable at 20 °C (a UK trade catalogue of automotive cable)."""

RADIO_W, CONVERTER_W, EFFICIENCY = 120.0, 3.0, 0.85


def test_a_converter_on_its_cable_settles_where_an_independent_solver_says() -> None:
    """V = E − I·R and V·I = own W + output W ÷ efficiency, solved by scipy's brentq."""
    battery = Battery(capacity_ah=100.0, soh=1.0, rest_v=REST_V, resistance_mohm=4.0)
    v = edits.set_rule(Vehicle(name="Truck", system_v=24, battery=battery), "ambient_cabin_c", 20.0)
    v = edits.add_accessory(
        v,
        "Converter",
        watts=CONVERTER_W,
        rated_v=27.6,
        converter=Converter(output_v=13.8, efficiency=EFFICIENCY),
    )
    cable = Cable(section_mm2=6.0, length_m=40.0)
    v = edits.place(v, "accessory-1", cable_out=cable, cable_back=cable)
    v = edits.add_accessory(v, "Radio", watts=RADIO_W, rated_v=13.8, supplied_by="accessory-1")
    a = assess(v)
    row = STATES.index("ignition")
    ohm = BATTERY_OHM + 80.0 * CABLE_OHM_PER_M + 2 * 0.001  # a joint at either end
    watts = CONVERTER_W + RADIO_W / EFFICIENCY
    volts = brentq(lambda x: x - (REST_V - ohm * watts / x), REST_V / 2, REST_V, xtol=1e-12)
    # 6 A over 6 mm² warm it by 2 K, which costs less than 1 % of the drop
    assert REST_V - float(a.taps.voltage_v[row, 0]) == pytest.approx(REST_V - volts, rel=0.015)
