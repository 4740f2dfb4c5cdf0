"""A converter at the end of a cable, through the whole assessment, against scipy's root finding."""

import pytest
from scipy.optimize import brentq

from fusemap.assess import assess
from fusemap.assess.result import worst
from fusemap.vehicle import STATES, Cable, Converter, Vehicle, edits


def test_a_converter_on_its_cable_settles_where_an_independent_solver_says() -> None:
    """V = E − I·R and V·I = own W + output W ÷ efficiency, solved by scipy's brentq."""
    v = edits.add_accessory(
        Vehicle(name="Truck", system_v=24),
        "Converter",
        watts=3.0,
        rated_v=27.6,
        converter=Converter(output_v=13.8, efficiency=0.85),
    )
    v = edits.place(
        v,
        "accessory-1",
        cable_out=Cable(section_mm2=0.75, length_m=9.0),
        cable_back=Cable(section_mm2=0.75, length_m=9.0),
    )
    v = edits.add_accessory(v, "Radio", watts=120.0, rated_v=13.8, supplied_by="accessory-1")
    a = assess(v)
    row = STATES.index("ignition")
    watts = 3.0 + 120.0 / 0.85
    emf = float(a.circuit.emf_v[row])
    ohm = a.circuit.source_ohm + float(a.circuit.cables.hot_ohm(worst(a.circuit.taps.asked_a))[0])
    volts = brentq(lambda x: x - (emf - ohm * watts / x), emf / 2, emf, xtol=1e-12)
    assert float(a.taps.voltage_v[row, 0]) == pytest.approx(volts, abs=1e-4)
