"""The check after the job reads what hangs behind a converter, which has no tap of its own."""

import pytest

from fusemap.assess import assess
from fusemap.probing import final_check
from fusemap.probing.check_step import CheckStep
from fusemap.vehicle import Converter, Vehicle, edits, reading_edits
from tests.plain import plain
from tests.probing.vehicles import WHEN
from tests.vehicles import one_slot, with_accessory


@pytest.fixture
def truck() -> Vehicle:
    """A 24 V vehicle with a converter on its slot, and a radio behind that."""
    vehicle = with_accessory(one_slot(), 0.1)
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", name="Step-down", rated_v=27.6,
        converter=Converter(output_v=13.8, rating_a=10.0),
    )  # fmt: skip
    vehicle = edits.change_vehicle(vehicle, system_v=24)
    return edits.add_accessory(
        vehicle, "Radio", amperes=4.0, rated_v=13.8, supplied_by="accessory-1"
    )


def output(vehicle: Vehicle) -> list[CheckStep]:
    return [each for each in final_check.steps(vehicle, assess(vehicle)) if each.key == "output"]


def test_the_volts_behind_the_output_are_asked_for(truck: Vehicle) -> None:
    (step,) = output(truck)
    assert step.title == "Step-down: voltage behind its output, loaded"
    assert "Radio. The lowest counts." in str(step.how)
    assert step.expected is not None
    assert step.expected.typical == 13.8
    assert step.verdict == "open"


def test_nothing_is_asked_where_nothing_hangs_on_it(truck: Vehicle) -> None:
    assert output(edits.remove_accessory(truck, "accessory-2")) == []


@pytest.mark.parametrize(
    ("volts", "verdict", "cause"),
    [(13.6, "agrees", ""), (11.0, "differs", "behind the converter"), (24.6, "differs", "more")],
)
def test_a_reading_far_off_is_told_and_is_not_that_at_the_converter_itself(
    truck: Vehicle, volts: float, verdict: str, cause: str
) -> None:
    (step,) = output(truck)
    fields = final_check.fields(step) | {"when": WHEN, "value": volts}
    read = reading_edits.add_reading(truck, **fields)
    (done,) = output(read)
    assert done.verdict == verdict
    assert cause in plain(str(done.causes[0])) if cause else done.causes == ()
    own = [each for each in final_check.steps(read, assess(read)) if each.key == "volts"]
    assert [each.verdict for each in own] == ["open"]
