"""The lamp pins of a tow socket after the job: which are asked for, by which return, how much."""

import pytest

from fusemap.assess import assess
from fusemap.errors import EditRefused
from fusemap.probing import final_check, taking
from fusemap.probing.check_step import CheckStep
from fusemap.probing.evidence import pin_words
from fusemap.vehicle import Vehicle, edits, reading_edits
from fusemap.vehicle.words import SocketKind
from tests.probing.vehicles import WHEN
from tests.vehicles import one_slot, with_accessory


def with_socket(kind: SocketKind, *, module: bool = True, **fields: object) -> Vehicle:
    """A vehicle with a tow socket whose lamps its accessory switches, or with one left alone."""
    vehicle = with_accessory(one_slot(), 5.0)
    switched_by = vehicle.accessories[0].id if module else None
    return edits.add_socket(vehicle, "Tow bar", kind=kind, module=switched_by, **fields)


def lamp_steps(vehicle: Vehicle) -> list[CheckStep]:
    return [step for step in final_check.steps(vehicle, assess(vehicle)) if step.key == "lamp_pin"]


@pytest.mark.parametrize(
    ("kind", "pins"),
    [
        # contact allocation of ISO 11446: lamps 1, 2, 4 to 8; 9 and 10 are supplies
        ("tow_13", {1: 3, 2: 3, 4: 3, 5: 3, 6: 3, 7: 3, 8: 3}),
        # ISO 1724: lamps on all but 3, which is their return
        ("tow_7", {1: 3, 2: 3, 4: 3, 5: 3, 6: 3, 7: 3}),
        # ISO 12098: lamps 1 to 3 and 5 to 8, by 4
        ("tow_15", {1: 4, 2: 4, 3: 4, 5: 4, 6: 4, 7: 4, 8: 4}),
    ],
)
def test_every_lamp_pin_is_read_against_its_own_return(
    kind: SocketKind, pins: dict[int, int]
) -> None:
    steps = lamp_steps(with_socket(kind))
    assert [step.pin for step in steps] == list(pins)
    for step in steps:
        assert f"against its pin {pins[step.pin]}." in str(step.how)
        assert "this lamp switched on" in str(step.how)


def test_a_socket_that_the_plan_leaves_alone_is_not_asked_about() -> None:
    assert lamp_steps(with_socket("tow_13", module=False)) == []
    assert lamp_steps(with_socket("lighter", module=False)) == []


def test_a_lit_lamp_has_the_battery_s_volts_less_what_a_cable_may_lose() -> None:
    """Ohm's law at the rule's share: 3 % of 12 V are 0.36 V less, beside the battery's own band."""
    vehicle = with_socket("tow_13")
    a = assess(vehicle)
    expected = lamp_steps(vehicle)[0].expected
    assert expected is not None
    battery = float(a.battery_v[3])
    assert vehicle.system_v == 12
    assert expected.typical == pytest.approx(battery)
    assert expected.low == pytest.approx(battery - 0.5 - 12 * a.rule("allowed_drop_share"))
    assert expected.high == pytest.approx(battery + 0.5)


def read(vehicle: Vehicle, pin: int, volts: float) -> Vehicle:
    step = next(step for step in lamp_steps(vehicle) if step.pin == pin)
    return reading_edits.add_reading(
        vehicle, **(final_check.fields(step) | {"when": WHEN, "value": volts})
    )


def test_a_reading_stands_for_its_own_pin_alone() -> None:
    steps = {step.pin: step for step in lamp_steps(read(with_socket("tow_13"), 4, 12.1))}
    assert steps[4].verdict == "agrees"
    assert {step.verdict for pin, step in steps.items() if pin != 4} == {"open"}


def test_a_dead_pin_differs_with_its_likely_causes_and_changes_no_plan() -> None:
    vehicle = read(with_socket("tow_13"), 6, 0.2)
    step = next(step for step in lamp_steps(vehicle) if step.pin == 6)
    assert step.verdict == "differs"
    assert "without a trailer" in str(step.causes[0])
    assert any("return is bad" in str(cause) for cause in step.causes)
    assert taking.taking(vehicle, assess(vehicle), step) is None


def test_a_reading_names_its_pin_and_its_socket_has_to_be_there() -> None:
    vehicle = read(with_socket("tow_13"), 6, 12.0)
    assert str(pin_words(vehicle.sockets[0], vehicle.readings[-1].pin)) == "Tow bar, pin 6"
    with pytest.raises(EditRefused):
        reading_edits.add_reading(
            vehicle, when=WHEN, quantity="volts", value=12.0, target="socket", target_id="socket-9"
        )


def test_no_new_socket_takes_the_id_that_readings_speak_of() -> None:
    vehicle = edits.remove_socket(read(with_socket("tow_13"), 6, 12.0), "socket-1")
    assert edits.add_socket(vehicle, "Another").sockets[0].id != "socket-1"
