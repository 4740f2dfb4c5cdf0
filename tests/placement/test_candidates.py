"""Which slots an accessory can take its power from, in which order, and why not the others."""

import pytest
from msgspec.structs import replace

from fusemap.advise import library
from fusemap.assess import assess
from fusemap.placement import Candidate, candidates, suggest_tap
from fusemap.placement.rooms import ask_of
from fusemap.text import Amount
from fusemap.vehicle import STATES, Accessory, Fuse, StateLoads, Vehicle, edits, look_up
from tests.vehicles import loads, one_slot, only_slot, with_accessory

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
    assert "left at an accessory fuse of 10\u202fA" in found.reasons[0]


@pytest.mark.parametrize(
    ("fields", "word"),
    [
        ({"critical": True, "critical_reason": "airbag"}, "airbag"),
        ({"monitored": True}, "watches"),
        ({"feed_class": "unfed"}, "no supply"),
        ({"feed_class": "unknown"}, "not measured"),
        ({"feed_class": "lighting"}, "lamps on only"),
        ({"family": "maxi", "fuse": Fuse(family="maxi", rating=40.0)}, "No fuse tap"),
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
    assert "Main feed" in " ".join(map(str, found.reasons))
    asked = ask_of(assess(vehicle), LAMP, "power").peak_a
    assert LAMP.amperes <= asked < 1.01 * LAMP.amperes  # of one power, behind a worn battery
    assert found.margin_a == pytest.approx(6.0 - 2.0 - asked)


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


# --- the order of the ranking ---------------------------------------------------------------------


def two_panels(**second: object) -> Vehicle:
    """A slot in the cabin, and a second panel whose only slot is alike but for `second`."""
    vehicle = edits.add_panel(one_slot(), "Second", 1, 1, place=second.pop("place", "cabin"))
    like = only_slot(vehicle)
    fields = {"fuse": like.fuse, "feed_class": like.feed_class, "feed": like.feed,
              "own_load": like.own_load, "live_side": "left", "circuit": like.circuit}  # fmt: skip
    return edits.change_slot(vehicle, "slot-2", **(fields | second))


def order(vehicle: Vehicle, accessory: Accessory = LAMP, lead: str = "power") -> list[str]:
    return [c.slot_id for c in candidates(vehicle, assess(vehicle), accessory, lead)]


def test_the_roomier_slot_comes_first() -> None:
    vehicle = two_panels(fuse=Fuse(family="mini", rating=7.5))
    assert order(vehicle) == ["slot-1", "slot-2"]
    assert order(edits.change_slot(vehicle, "slot-1", contact_limit_a=6.0))[0] == "slot-2"


def test_of_equal_room_the_one_that_draws_less_while_parked_comes_first() -> None:
    camera = Accessory(id="new", name="Camera", amperes=0.4, standby_a=0.02)
    assert order(two_panels(feed_class="ignition"), camera) == ["slot-2", "slot-1"]


def test_of_equal_room_and_drain_the_nearer_one_comes_first() -> None:
    vehicle = edits.change_panel(two_panels(), "panel-1", place="engine_bay", ambient_c=25.0)
    vehicle = edits.change_panel(vehicle, "panel-2", ambient_c=25.0)
    found = candidates(vehicle, assess(vehicle), LAMP)
    assert [c.slot_id for c in found] == ["slot-2", "slot-1"]
    assert "bulkhead" in " ".join(map(str, found[1].reasons))
    assert "stays in the cabin" in " ".join(map(str, found[0].reasons))


def test_next_to_the_other_lead_is_nearest() -> None:
    vehicle = edits.insert_line(one_slot(feed_class="ignition"), "panel-1", "column", 1)
    vehicle = edits.insert_line(vehicle, "panel-1", "column", 2)
    like = only_slot(vehicle)
    fields = {"fuse": like.fuse, "own_load": like.own_load, "live_side": "left",
              "feed_class": "ignition", "feed": like.feed}  # fmt: skip
    vehicle = edits.add_slot(vehicle, "panel-1", 0, 2, **fields)
    vehicle = edits.add_slot(vehicle, "panel-1", 0, 1, **fields)
    vehicle = edits.add_accessory(vehicle, "Camera", amperes=0.4, leads=("power", "sense"))
    vehicle = edits.place(vehicle, "accessory-1", slot="slot-1")
    found = candidates(vehicle, assess(vehicle), vehicle.accessories[0], "sense")
    assert [c.slot_id for c in found if c.fits] == ["slot-3", "slot-2"]
    assert "next to" in " ".join(map(str, found[0].reasons))


def test_a_slot_whose_load_was_not_measured_comes_after_one_that_was() -> None:
    vehicle = two_panels(own_load=StateLoads(), fuse=Fuse(family="mini", rating=25.0))
    found = candidates(vehicle, assess(vehicle), LAMP)
    assert [c.slot_id for c in found] == ["slot-1", "slot-2"]
    assert found[1].fits
    assert found[1].verdict == "unsure"
    assert found[1].least_a < found[1].margin_a


def test_of_those_ruled_out_the_nearest_to_fitting_comes_first() -> None:
    vehicle = two_panels(critical=True, feed_class="unfed")
    vehicle = edits.change_slot(vehicle, "slot-1", monitored=True)
    assert order(vehicle) == ["slot-1", "slot-2"]


# --- what a tap cannot do -------------------------------------------------------------------------


def test_a_slot_with_a_tap_takes_no_second_one() -> None:
    vehicle = edits.add_accessory(one_slot(), "Camera", amperes=0.4)
    vehicle = edits.place(vehicle, "accessory-1", slot="slot-1")
    (found,) = candidates(vehicle, assess(vehicle), LAMP)
    assert found.verdict == "taken"
    assert "The tap of “Camera” sits here already." in found.reasons
    assert only(vehicle, vehicle.accessories[0]).fits, "it does not stand in its own way"


def test_the_accessory_fuse_may_not_be_above_the_host_fuse() -> None:
    found = only(changed(fuse=Fuse(family="mini", rating=5.0)))
    assert not found.fits
    assert found.rules == ("fuse",)
    assert "n accessory fuse of 5\u202fA" in found.reasons[0]


def test_where_the_live_side_is_not_measured_the_host_has_to_have_room_too() -> None:
    tight = changed(live_side="unknown", fuse=Fuse(family="mini", rating=7.5))
    small = Accessory(id="new", name="Lamp", amperes=4.0, rated_v=12.0)
    assert only(edits.change_slot(tight, "slot-1", live_side="left"), small).fits
    found = only(tight, small)
    assert found.rules == ("host",)
    assert "live side is not measured" in found.reasons[0]


def test_a_start_that_wears_every_fuse_out_wants_an_own_feed() -> None:
    pump = Accessory(id="new", name="Box", amperes=4.0, rated_v=12.0, inrush_multiple=3.0,
                     inrush_s=0.5)  # fmt: skip
    found = only(one_slot(), pump)
    assert found.verdict == "hard start"
    assert only(one_slot(), Accessory(id="new", name="Box", amperes=4.0, rated_v=12.0)).fits


def test_a_start_that_is_only_its_kinds_usual_one_warns_and_forbids_nothing() -> None:
    """A compressor cool box runs on 15 A sockets everywhere; its start is a figure from memory."""
    kind = library.kind("cool_box_compressor")
    assert kind.source.status == "memory"
    box = Accessory(id="new", **{**library.fields(kind.key), "needs": "either"})
    found = only(one_slot(), box)
    assert found.fits
    assert found.verdict == "unsure"
    assert any("starts softly" in str(reason) for reason in found.reasons)
    measured = replace(box, inrush_multiple=2.9)
    assert only(one_slot(), measured).verdict == "hard start"


def test_a_start_that_lasts_counts_as_load() -> None:
    heater = Accessory(id="new", name="Heater", amperes=3.0, rated_v=12.0, inrush_multiple=3.0,
                       inrush_s=60.0)  # fmt: skip
    found = only(one_slot(), heater)
    assert found.rules == ("fuse",)
    asked = ask_of(assess(one_slot()), heater, "power").start_a
    assert 9.0 <= asked < 1.01 * 9.0  # of one power, behind a worn battery
    assert f"{Amount(asked, 'A')} asked" in found.reasons[0]


@pytest.mark.parametrize(
    ("amperes", "kind", "fits"),
    [(3.0, "motor", True), (4.0, "motor", False), (7.0, "constant_current", True)],
)
def test_a_motor_wants_contacts_for_three_times_its_current(
    amperes: float, kind: str, fits: bool
) -> None:
    it = Accessory(id="new", name="Pump", amperes=amperes, rated_v=12.8, load_kind=kind)
    found = only(one_slot(), it)
    assert found.fits is fits
    assert fits or found.verdict == "relay"


@pytest.mark.parametrize(
    "fields",
    [{}, {"critical": True}, {"monitored": True}, {"feed_class": "unfed"},
     {"contact_limit_a": 4.0}, {"live_side": "unknown"}],
)  # fmt: skip
def test_a_verdict_is_a_word_or_two(fields: dict[str, object]) -> None:
    assert 1 <= len(str(only(changed(**fields)).verdict).split()) <= 2


# --- what the host feeds --------------------------------------------------------------------------


def ranked_by(*circuits: str, **last: object) -> list[tuple[str, str, str]]:
    """The slots of these names, all alike, as (circuit, verdict, last reason), best first."""
    vehicle = edits.add_panel(one_slot(circuit=circuits[0]), "Second", 1, len(circuits) - 1)
    like = only_slot(vehicle)
    for number, circuit in enumerate(circuits[1:], start=2):
        vehicle = edits.change_slot(
            vehicle, f"slot-{number}", circuit=circuit, fuse=like.fuse, own_load=like.own_load,
            feed_class=like.feed_class, feed=like.feed, live_side="left",
        )  # fmt: skip
    vehicle = edits.change_slot(vehicle, f"slot-{len(circuits)}", **last)
    found = candidates(vehicle, assess(vehicle), LAMP)
    names = {slot.id: slot.circuit for slot in look_up.slots(vehicle)}
    return [(names[c.slot_id], str(c.verdict), str(c.reasons[-1])) for c in found if c.fits]


def test_comfort_comes_before_what_nobody_knows_and_control_units_last() -> None:
    found = ranked_by("BCM", "Fuse box 2", "Xyz 4", "", "Airbag", "Headlamp", "Radio")
    assert [name for name, _, _ in found] == ["Radio", "Xyz 4", "", "BCM", "Fuse box 2"]
    assert [verdict for _, verdict, _ in found] == ["fits", *["unsure"] * 4]
    assert "not clear from its name" in found[1][2]
    assert "Nobody said" in found[2][2]
    assert "control unit" in found[3][2]
    assert "other boxes" in found[4][2]


def test_a_fuller_comfort_circuit_comes_before_an_empty_control_unit() -> None:
    found = ranked_by("BCM", "Radio", own_load=loads(6.0))
    assert [name for name, _, _ in found] == ["Radio", "BCM"]


def test_an_answer_moves_a_circuit_to_its_place() -> None:
    assert [name for name, _, _ in ranked_by("Radio", "Xyz 4", function="comfort")] == [
        "Radio", "Xyz 4",
    ]  # fmt: skip
    assert [name for name, _, _ in ranked_by("Xyz 4", "Radio", function="control")] == [
        "Xyz 4", "Radio",
    ]  # fmt: skip


def test_a_host_fuse_that_is_too_small_for_the_accessory_alone_is_so_unmeasured_too() -> None:
    """5 A that may pass a 5 A fuse, which carries 3.8 A: whatever the slot draws by itself."""
    small = {"fuse": Fuse(family="mini", rating=5.0), "live_side": "unknown"}
    measured, unread = (
        only(changed(**small, own_load=own), Accessory(id="new", name="Lamp", amperes=4.5))
        for own in (StateLoads(asleep=0.0, awake=0.0, accessory=0.0, ignition=0.0, running=0.0),
                    StateLoads())
    )  # fmt: skip
    assert "host" in measured.rules
    assert set(unread.rules) >= set(measured.rules)


def test_an_accessory_is_reckoned_at_the_lowest_voltage_its_feed_may_have() -> None:
    """30 A unread over 10 mΩ are 0.3 V less for 60 W than with nothing there."""
    radio = Accessory(id="new", name="Radio", watts=60.0, rated_v=13.8)
    known = changed(own_load=StateLoads(**dict.fromkeys(STATES, 0.0)))
    assert only(changed(own_load=StateLoads()), radio).margin_a < only(known, radio).margin_a
