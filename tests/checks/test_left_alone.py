"""Taps where nothing belongs: by the circuit's name, by seat, relay and device."""

import pytest

from fusemap.assess import assess
from fusemap.checks import Finding, findings
from fusemap.vehicle import Fuse, Vehicle, edits
from tests.plain import plain
from tests.vehicles import one_slot, with_accessory

ANSWER = "feeds the air bed pump, traced"


def found(vehicle: Vehicle, code: str) -> list[Finding]:
    return [f for f in findings(vehicle, assess(vehicle)) if f.code == code]


def tapped(circuit: str, **fields: object) -> Vehicle:
    """Something tapped on the only slot, which has this name."""
    return edits.change_slot(with_accessory(one_slot()), "slot-1", circuit=circuit, **fields)


def test_a_tap_on_an_airbag_that_nobody_marked_is_a_stop() -> None:
    (one,) = found(tapped("Airbag control unit"), "looks_critical")
    assert one.severity == "stop"
    assert "airbag" in one.sum
    assert found(tapped("Radio"), "looks_critical") == []


def test_the_stop_goes_with_a_written_answer_and_becomes_another_with_the_mark() -> None:
    assert found(tapped("Airbag", harmless=ANSWER), "looks_critical") == []
    marked = tapped("Airbag", critical=True)
    assert found(marked, "looks_critical") == []
    assert [f.severity for f in found(marked, "critical_tapped")] == ["stop"]


SOCKET, HANDBOOK = "maker's own option socket", "read in the handbook"


@pytest.mark.parametrize(
    ("reason", "severity"),
    [
        (("x", HANDBOOK), "stop"),
        (("xxxxxxxxxxxx", "xxxx xxxxxxxx"), "stop"),
        (("necessary", HANDBOOK), "stop"),
        ((SOCKET, ""), "stop"),
        ((SOCKET, "x"), "stop"),
        ((SOCKET, SOCKET), "stop"),
        (("", HANDBOOK), "stop"),
        ((SOCKET, HANDBOOK), "caution"),
    ],
)
@pytest.mark.parametrize("critical", [True, False])
def test_only_what_it_feeds_and_how_that_was_found_is_a_reason_to_touch_a_circuit(
    reason: tuple[str, str], severity: str, critical: bool
) -> None:
    feeds, how = reason
    vehicle = edits.change_tap(
        with_accessory(one_slot()), "tap-1", justification=feeds, found_how=how
    )
    vehicle = edits.change_slot(vehicle, "slot-1", circuit="Airbag", critical=critical)
    (one,) = found(vehicle, "critical_tapped" if critical else "looks_critical")
    assert one.severity == severity
    assert feeds in one.sum
    assert how in one.sum
    assert ("how that was found" in one.remedy) == (severity == "stop")


def test_a_lamp_circuit_that_nobody_answered_for_is_cautioned_by_name_or_by_class() -> None:
    by_name = found(tapped("Headlamp left"), "looks_monitored")
    by_class = found(tapped("Panel", feed_class="lighting"), "looks_monitored")
    assert [f.severity for f in (*by_name, *by_class)] == ["caution", "caution"]
    assert "lighting" in by_class[0].sum
    for answered in ({"monitored": True}, {"harmless": "plain bulbs, nothing watches them"}):
        assert found(tapped("Panel", feed_class="lighting", **answered), "looks_monitored") == []


def test_a_second_fuse_tap_in_one_slot_has_no_seat() -> None:
    vehicle = edits.add_accessory(with_accessory(one_slot()), "Camera", amperes=0.4)
    assert found(vehicle, "seat_taken") == []
    for kind in ("two_fuse", "take_off_lead"):
        both = edits.place(vehicle, "accessory-2", slot="slot-1", kind=kind)
        (one,) = found(both, "seat_taken")
        assert (one.severity, plain(one.sum)) == ("stop", "2 taps: Lamp, Camera")
    spliced = edits.place(vehicle, "accessory-2", slot="slot-1", kind="splice")
    assert found(spliced, "seat_taken") == []


def coils(count: int) -> Vehicle:
    """So many relay coils of 0.155 A on one ignition slot."""
    vehicle = one_slot(feed_class="ignition", circuit="Radio")
    for number in range(count):
        vehicle = edits.add_accessory(vehicle, f"Lamp {number}", amperes=8.0, rated_v=12.0,
                                      leads=("power", "sense"), sense_a=0.005)  # fmt: skip
        name = vehicle.accessories[-1].id
        vehicle = edits.place(vehicle, name, slot=None, relay=True)
        vehicle = edits.place(vehicle, name, "sense", slot="slot-1", kind="splice")
    return vehicle


def test_the_coils_on_one_control_circuit_share_its_budget() -> None:
    """Two coils of 150 mA reach the 300 mA of a usual control output, as a hobby text on amplifier
    turn-on leads puts it; three of 0.155 A take 0.465 A. Common practice."""
    assert found(coils(1), "sense_circuit_overloaded") == []
    (one,) = found(coils(3), "sense_circuit_overloaded")
    assert "0.465" in one.sum
    assert found(coils(3), "sense_overloaded") == [], "each by itself is within it"


def relayed(amperes: float, load_kind: str, system_v: int = 12, **tap: object) -> Vehicle:
    vehicle = edits.change_vehicle(one_slot(), system_v=system_v)
    vehicle = edits.add_accessory(vehicle, "Load", amperes=amperes, rated_v=float(system_v),
                                  load_kind=load_kind)  # fmt: skip
    return edits.place(vehicle, "accessory-1", slot=None, relay=True, **tap)


def test_a_motors_relay_is_held_against_three_times_its_current() -> None:
    """Body-builder guides (2004, 2016) ask for contacts of three times a motor's rated current."""
    (one,) = found(relayed(25.0, "motor"), "relay_contact_light")
    assert "3 ×" in one.sum
    assert one.severity == "caution"
    assert found(relayed(25.0, "constant_current"), "relay_contact_light") == []
    assert found(relayed(25.0, "motor", relay_limit_a=150.0), "relay_contact_light") == []


def test_lamps_take_a_relay_of_twice_their_current() -> None:
    """A relay supplier's example: 2 × 55 W at 12 V, 9.2 A, take a relay of 20 A."""
    assert found(relayed(9.2, "filament", relay_limit_a=20.0), "relay_contact_light") == []
    assert found(relayed(9.2, "filament", relay_limit_a=15.0), "relay_contact_light")


def test_on_24_volts_a_relay_that_does_not_say_carries_half() -> None:
    """A plug-in power relay's data sheet: 40 A lasting on 12 V, 20 A on 24 V."""
    load = "constant_current"
    assert found(relayed(28.0, load), "relay_overloaded") == []
    assert found(relayed(28.0, load, 24), "relay_overloaded")
    assert found(relayed(28.0, load, 24, relay_limit_a=30.0), "relay_overloaded") == []


def test_a_sense_lead_on_a_permanent_slot_tells_its_accessory_nothing() -> None:
    def sensed(feed_class: str) -> Vehicle:
        vehicle = one_slot(feed_class=feed_class, circuit="Radio")
        vehicle = edits.add_accessory(vehicle, "Camera", amperes=0.4, leads=("power", "sense"))
        return edits.place(vehicle, "accessory-1", "sense", slot="slot-1")

    assert [f.severity for f in found(sensed("permanent"), "sense_always_live")] == ["caution"]
    assert found(sensed("ignition"), "sense_always_live") == []


def camera(rating: float, largest: float | None = None) -> Vehicle:
    vehicle = with_accessory(one_slot(), 0.3, fuse=Fuse(family="mini", rating=rating))
    return edits.change_accessory(vehicle, "accessory-1", largest_fuse_a=largest)


def test_a_camera_of_a_third_of_an_ampere_behind_15_a_asks_for_its_own_largest_fuse() -> None:
    (one,) = found(camera(15.0), "fuse_far_above_load")
    assert one.severity == "note"
    assert found(camera(3.0), "fuse_far_above_load") == []
    assert found(camera(15.0, 15.0), "fuse_far_above_load") == [], "it is answered"


def test_a_fuse_above_the_largest_the_device_allows_is_a_stop() -> None:
    (one,) = found(camera(15.0, 3.0), "fuse_above_device")
    assert (one.severity, plain(one.sum)) == ("stop", "15 A > 3 A")
    assert found(camera(3.0, 3.0), "fuse_above_device") == []


def test_the_proposed_fuse_keeps_to_what_the_device_allows() -> None:
    from fusemap.placement import suggest_tap

    vehicle = edits.add_accessory(one_slot(circuit="Radio"), "Strip", amperes=1.6, rated_v=12.0,
                                  load_kind="constant_current", largest_fuse_a=2.0)  # fmt: skip
    fields = suggest_tap(vehicle, assess(vehicle), vehicle.accessories[0], "power", "slot-1")
    assert fields["fuse"].rating <= 2.0
    free = edits.change_accessory(vehicle, "accessory-1", largest_fuse_a=None)
    fields = suggest_tap(free, assess(free), free.accessories[0], "power", "slot-1")
    assert fields["fuse"].rating == 3.0


@pytest.mark.parametrize(
    ("circuit", "code"),
    [("BCM", "control_tapped"), ("Fuse box 2", "supply_tapped"), ("Xyz 4", "unclear_tapped"),
     ("", "unclear_tapped")],
)  # fmt: skip
def test_a_tap_on_no_comfort_circuit_is_cautioned_by_name_and_by_answer(
    circuit: str, code: str
) -> None:
    (one,) = found(tapped(circuit), code)
    assert one.severity == "caution"
    assert circuit in one.sum
    assert found(tapped(circuit, function="comfort"), code) == []


@pytest.mark.parametrize("function", ["control", "supply", "unclear"])
def test_an_answer_against_a_comfort_name_counts(function: str) -> None:
    assert found(tapped("Radio"), f"{function}_tapped") == []
    assert [
        f.severity for f in found(tapped("Radio", function=function), f"{function}_tapped")
    ] == ["caution"]


def test_an_answer_without_a_word_frees_no_airbag() -> None:
    """A file made by hand may hold one."""
    assert [f.severity for f in found(tapped("Airbag", function="comfort"), "looks_critical")] == [
        "stop"
    ]
