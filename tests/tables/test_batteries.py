"""Battery tables: believable defaults, and a point for the empty battery."""

import pytest

from fusemap import tables
from fusemap.electrics.battery import FreezingPoints
from fusemap.vehicle import words


def test_every_chemistry_of_the_document_has_its_defaults() -> None:
    assert set(tables.battery_chemistries()) == set(words.Chemistry.__args__)  # type: ignore[attr-defined]


def test_defaults_are_believable() -> None:
    for kind in tables.battery_chemistries().values():
        assert 1.0 <= kind.r <= 1.15
        assert 0.01 <= kind.self_discharge_share_30d_20c <= 0.15
        assert 0.5 <= kind.soh <= 1.0
        assert 0.5 <= kind.start_soc <= 1.0
        assert (kind.k_per_h is None) == (kind.key == "lifepo4")


def test_lead_acid_rest_voltages_lie_between_eleven_and_a_half_and_thirteen_volts() -> None:
    for key in ("flooded", "efb", "agm", "gel"):
        curve = tables.rest_voltage(key)
        assert min(curve.volts) > 11.5
        assert max(curve.volts) < 13.0


def test_an_empty_battery_freezes_soonest() -> None:
    """Water freezes first: below a quarter charge the limit keeps rising."""
    points = tables.freezing_points()
    assert points.soc[0] == 0.0
    assert points.soc[-1] == 1.0
    assert list(points.temperature_c) == sorted(points.temperature_c, reverse=True)
    ice = FreezingPoints(points.soc, points.temperature_c)
    assert float(ice.temperature(0.05)) > float(ice.temperature(0.25)) + 5


@pytest.mark.parametrize(("gravity", "freezes_c"), [(1.20, -27.0), (1.15, -15.0)])
def test_freezing_agrees_with_a_table_by_specific_gravity(gravity: float, freezes_c: float) -> None:
    """US Army TM 5-1185: 1.200 freezes at −27 °C, 1.150 at −15 °C.

    Charge by specific gravity: 1.265 full, 1.190 half, 1.160 a quarter (a battery maker's support
    text, middle of each range).
    """
    by_gravity = {1.20: 0.5 + 0.25 * (1.20 - 1.19) / (1.225 - 1.19), 1.15: 0.25 * (0.03 / 0.04)}
    points = tables.freezing_points()
    ice = FreezingPoints(points.soc, points.temperature_c)
    assert float(ice.temperature(by_gravity[gravity])) == pytest.approx(freezes_c, abs=3.5)
