"""What draws while parked, circuit by circuit: it adds up, says where, and how sure that is."""

import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.band import parked_band
from fusemap.assess.parked.rows import DrawRow, draw_rows
from fusemap.files.demos import demo_names, read_demo
from fusemap.vehicle import edits

DEMOS = [key for key, _ in demo_names()]


def rows_of(a: Assessment) -> tuple[DrawRow, ...]:
    band = parked_band(a, draws=50)
    return draw_rows(a, a.parked, {each.key: each.range for each in band.inputs})


def by_name(a: Assessment) -> dict[str, DrawRow]:
    return {str(row.name): row for row in rows_of(a)}


@pytest.mark.parametrize("demo", DEMOS)
def test_the_rows_add_up_to_what_the_forecast_says(demo: str) -> None:
    a = assess(read_demo(demo))
    rows = rows_of(a)
    charge = sum(consumer.charge_ah for consumer in a.parked.consumers)
    assert sum(row.charge_ah for row in rows) == pytest.approx(charge, abs=0.001)
    assert sum(row.share for row in rows) == pytest.approx(1.0, abs=0.001)
    assert [row.charge_ah for row in rows] == sorted((r.charge_ah for r in rows), reverse=True)


@pytest.mark.parametrize("demo", DEMOS)
def test_every_row_has_both_ends(demo: str) -> None:
    for row in rows_of(assess(read_demo(demo))):
        assert 0 <= row.low_a <= row.mean_a <= row.high_a, row
        assert row.low_a < row.high_a, row


def test_a_measured_rest_current_is_shared_out_by_what_each_circuit_draws() -> None:
    vehicle = read_demo("family_estate")
    rows = by_name(assess(vehicle))
    slots = {slot.id: slot for panel in vehicle.panels for slot in panel.slots}
    cluster = rows["Instrument cluster"]
    assert (cluster.target, cluster.id, str(cluster.where)) == ("slot", "dash-f1", "F1")
    assert cluster.mean_a == pytest.approx(slots["dash-f1"].own_load.asleep)
    assert not rows["F26"].sure
    assert str(rows["F26"].where) == "not named"


def test_what_is_on_the_shelf_counts_and_is_not_sure_of_its_place() -> None:
    box = by_name(assess(read_demo("family_estate")))["Cool box"]
    assert (str(box.where), box.target, box.sure) == ("not placed", "accessory", False)
    assert box.charge_ah > 0


def test_a_librarys_figure_has_the_librarys_span() -> None:
    camera = by_name(assess(read_demo("family_estate")))["Dash camera"]
    assert camera.high_a > 1.2 * camera.mean_a, "nobody measured it"


def test_wake_ups_that_nobody_logged_are_a_row_from_nothing_to_their_most() -> None:
    vehicle = read_demo("small_old_car")
    a = assess(vehicle)
    row = by_name(a)["Wake-ups that nobody logged"]
    assert (row.mean_a, row.low_a) == (0.0, 0.0)
    assert row.high_a == pytest.approx(a.rule("wake_ups_ma") / 1000)
    assert not row.sure
    logged = edits.change_parking(vehicle, night_logged=True)
    assert "Wake-ups that nobody logged" not in by_name(assess(logged))
