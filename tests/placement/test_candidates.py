"""Which slots an accessory can take its power from, in which order, and why not the others."""

import pytest

from fusemap.assess import assess
from fusemap.placement import Candidate, candidates, suggest_tap
from fusemap.vehicle import Accessory, Fuse, Vehicle, edits
from tests.vehicles import one_slot, only_slot, with_accessory

LAMP = Accessory(id="new", name="Lamp", amperes=5.0, rated_v=12.0)


def only(vehicle: Vehicle, accessory: Accessory = LAMP, lead: str = "power") -> Candidate:
    """What is said about the only slot."""
    (found,) = candidates(vehicle, assess(vehicle), accessory, lead)
    return found


def changed(**fields: object) -> Vehicle:
    """The vehicle with its only slot changed."""
    vehicle = one_slot()
    return edits.change_slot(vehicle, only_slot(vehicle).id, **fields)


def test_a_sound_slot_fits_and_says_what_is_left() -> None:
    found = only(one_slot())
    assert found.fits
    assert found.margin_a == pytest.approx(0.75 * 10.0 - 5.0, abs=0.02)
    assert "left at an accessory fuse of 10 A" in found.reasons[0]


@pytest.mark.parametrize(
    ("fields", "word"),
    [
        ({"critical": True, "critical_reason": "airbag"}, "airbag"),
        ({"monitored": True}, "watches"),
        ({"feed_class": "unfed"}, "no supply"),
        ({"feed_class": "unknown"}, "not measured"),
        ({"feed_class": "lighting"}, "lamps on only"),
        ({"family": "maxi", "fuse": Fuse(family="maxi", rating=40.0)}, "no fuse tap"),
        ({"contact_limit_a": 4.0}, "room for"),
    ],
)
def test_a_slot_is_ruled_out_with_its_reason(fields: dict[str, object], word: str) -> None:
    found = only(changed(**fields))
    assert not found.fits
    assert any(word in reason for reason in found.reasons)


def test_a_permanent_need_rules_out_a_switched_slot_and_the_other_way_round() -> None:
    permanent = Accessory(id="new", name="Tracker", amperes=0.04, needs="permanent")
    switched = Accessory(id="new", name="Charger", amperes=2.0, needs="switched")
    assert not only(changed(feed_class="ignition"), permanent).fits
    assert only(changed(feed_class="permanent"), permanent).fits
    assert only(changed(feed_class="ignition"), switched).fits
    assert not only(changed(feed_class="permanent"), switched).fits


def test_a_sense_lead_wants_a_switched_slot() -> None:
    camera = Accessory(id="new", name="Camera", amperes=0.4, leads=("power", "sense"))
    assert only(changed(feed_class="ignition"), camera, "sense").fits
    assert not only(changed(feed_class="permanent"), camera, "sense").fits


def test_the_parent_feed_counts_too() -> None:
    vehicle = edits.change_feed(one_slot(), "feed-1", limit_a=6.0)
    found = only(vehicle)
    assert not found.fits
    assert "Main feed" in " ".join(found.reasons)
    assert found.margin_a == pytest.approx(6.0 - 2.0 - 5.0)


def test_a_placed_accessory_does_not_stand_in_its_own_way() -> None:
    vehicle = with_accessory(edits.change_feed(one_slot(), "feed-1", limit_a=7.5))
    assert only(vehicle, vehicle.accessories[0]).fits


def test_a_12_volt_accessory_needs_a_converter_in_a_24_volt_vehicle() -> None:
    vehicle = edits.change_vehicle(one_slot(), system_v=24)
    assert "converter" in only(vehicle).reasons[0]


def test_those_that_fit_come_first_and_each_slot_once() -> None:
    vehicle = edits.add_panel(one_slot(), "Second", 2, 3)
    listed = candidates(vehicle, assess(vehicle), LAMP)
    assert [c.fits for c in listed] == sorted((c.fits for c in listed), reverse=True)
    assert len({c.slot_id for c in listed}) == 7


def test_the_proposed_tap_removes_its_own_findings() -> None:
    from fusemap.checks import findings

    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), "Lamp", amperes=4.0, rated_v=12.0
    )
    slot = only_slot(vehicle)
    fields = suggest_tap(vehicle, assess(vehicle), vehicle.accessories[0], "power", slot.id)
    placed = edits.place(vehicle, "accessory-1", slot=slot.id, **fields)
    severities = {f.severity for f in findings(placed, assess(placed))}
    assert severities <= {"note"}


def test_90_watts_at_12_volts_get_a_10_amp_fuse() -> None:
    """90 W ÷ 12 V = 7.5 A, a 10 A fuse at 25 °C, beside a 2 A neighbour on a 15 A host.

    Common practice, no source.
    """
    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), "Light bar", watts=90.0, rated_v=12.0
    )
    fields = suggest_tap(
        vehicle, assess(vehicle), vehicle.accessories[0], "power", only_slot(vehicle).id
    )
    assert fields["fuse"] == Fuse(family="mini", rating=10.0)
    assert only(vehicle, vehicle.accessories[0]).fits
