"""What a converter takes for a load behind a lead, by hand.

A held power behind a resistance has a closed form: at an output of E volts with R ohms on the way
to P watts, V = (E + √(E² − 4·R·P)) / 2 and I = P / V. Source: Kirchhoff's laws, Ohm's law.
"""

import pytest

from fusemap.assess import assess
from fusemap.assess.outputs import output_leads
from fusemap.vehicle import STATES, Cable, Converter, Vehicle, edits
from tests.vehicles import one_slot

RUNNING = STATES.index("running")
OUT_V, SHARE, WATTS = 13.8, 0.85, 110.0


def behind(length_m: float | None) -> Vehicle:
    """A converter that gives 13.8 V, with 110 W behind a lead of 2.5 mm², there and back."""
    lead = None if length_m is None else Cable(section_mm2=2.5, length_m=length_m)
    vehicle = one_slot()
    vehicle = edits.add_accessory(
        vehicle, "Converter", watts=0.001, rated_v=12.0,
        converter=Converter(output_v=OUT_V, efficiency=SHARE, rating_a=20.0),
    )  # fmt: skip
    converter = vehicle.accessories[-1].id
    vehicle = edits.place(vehicle, converter, kind="own_feed")
    return edits.add_accessory(
        vehicle, "Radio", watts=WATTS, rated_v=OUT_V, supplied_by=converter, lead_cable=lead,
        lead_back=lead,
    )  # fmt: skip


def taken_w(vehicle: Vehicle) -> tuple[float, float]:
    """Watts at the converter's input, known and at the most."""
    ends = (end.circuit.taps for end in (assess(vehicle).known, assess(vehicle).most))
    known, most = (float(taps.asked_a[RUNNING, 0] * 12.0) for taps in ends)
    return known, most


@pytest.mark.parametrize("length_m", [1.0, 6.0, 15.0])
def test_what_its_leads_lose_is_asked_of_its_supply(length_m: float) -> None:
    vehicle = behind(length_m)
    (lead,) = output_leads(assess(vehicle))
    ohm = lead.known.drop_v / lead.known.load_a
    # 7.41 mΩ/m at 20 °C by IEC 60228 class 5 for tinned, 7.98: the table's, a few kelvin warmer
    assert 2 * length_m * 0.0072 < ohm < 2 * length_m * 0.0092
    left = (OUT_V + (OUT_V**2 - 4 * ohm * WATTS) ** 0.5) / 2
    assert lead.known.voltage_v == pytest.approx(left, rel=1e-9)
    known, most = taken_w(vehicle)
    assert known == pytest.approx(OUT_V * WATTS / left / SHARE + 0.001, rel=1e-9)
    assert most >= known


def test_a_longer_lead_asks_more_and_none_entered_may_ask_the_most_allowed() -> None:
    short, long, none = (taken_w(behind(each)) for each in (1.0, 10.0, None))
    assert WATTS / SHARE < short[0] < long[0]
    assert none[0] == pytest.approx(WATTS / SHARE + 0.001)
    assert none[1] > none[0] * 1.05
