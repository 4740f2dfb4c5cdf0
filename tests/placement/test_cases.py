"""Cases from the trade that decide a source or a tap: the tool comes to the accepted conclusion.

Each case names where its figures are from; what is common practice is marked as such. Where the
published arithmetic is simple it is redone beside the check.
"""

import pytest

from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.gather import rated_current
from fusemap.checks import Finding, findings
from fusemap.errors import EditRefused
from fusemap.fixes.trial import find_fixes
from fusemap.placement import candidates, suggest_tap
from fusemap.placement.joint import fit_plan, plan_rest
from fusemap.placement.suggest import own_feed, terminal_words
from fusemap.vehicle import Cable, Fuse, Vehicle, VoltageCutOff, edits, look_up
from tests.vehicles import loads, one_slot, with_accessory


def found(vehicle: Vehicle, code: str) -> list[Finding]:
    return [f for f in findings(vehicle, assess(vehicle)) if f.code == code]


def with_second_slot(vehicle: Vehicle, feed_class: str) -> Vehicle:
    """A further panel with one slot, measured, behind a 15 A fuse."""
    vehicle = edits.add_panel(vehicle, "Second", 1, 1)
    return edits.change_slot(
        vehicle,
        "slot-2",
        feed_class=feed_class,
        live_side="left",
        fuse=Fuse(family="mini", rating=15.0),
        own_load=loads(0.5),
    )


def at_slot(a: Assessment) -> tuple[float, float]:
    """The most through host fuse and live contact of the only slot [A]."""
    return float(a.slots.host_a.max()), float(a.slots.live_contact_a.max())


# --- which way round -----------------------------------------------------------------------------


def test_reversed_10_a_of_own_load_and_10_a_of_accessory_go_through_a_10_a_fuse() -> None:
    """10 A + 10 A = 20 A, 200 % of the host fuse; the right way round it carries its own 10 A.

    Source: a camera fitter's question with its accepted answer (common practice, no source).
    """
    right = with_accessory(one_slot(own_a=10.0, rating=10.0), 10.0, way_round="live_side")
    wrong = edits.change_tap(right, "tap-1", way_round="load_side")
    assert at_slot(assess(wrong))[0] == pytest.approx(20.0)
    assert at_slot(assess(right))[0] == pytest.approx(10.0)
    (finding,) = found(wrong, "reversed_tap")
    first = find_fixes(assess(wrong), finding)[0]
    assert first.effect is not None
    assert first.effect.vehicle == right


def test_a_10_a_accessory_fuse_beside_a_5_a_original_is_independent_of_it() -> None:
    """The original fuse does not see the accessory; contact and feed carry the sum.

    Source: a tractor owner's measurement with a meter (common practice, no source).
    """
    vehicle = with_accessory(
        one_slot(own_a=3.0, rating=5.0), 7.0, fuse=Fuse(family="mini", rating=10)
    )
    host, contact = at_slot(assess(vehicle))
    assert host == pytest.approx(3.0)
    assert contact == pytest.approx(10.0)
    assert not found(vehicle, "host_overloaded")
    assert assess(vehicle).feeds.current_a.max() == pytest.approx(10.0)
    # what the contact bears is an assumption: the larger fuse is told, until that is entered
    assert found(vehicle, "fuse_above_host")
    known = edits.change_slot(vehicle, "slot-1", contact_limit_a=15.0)
    assert not found(known, "fuse_above_host")
    for otherwise in ({"way_round": "load_side"}, {"fuse": Fuse(family="mini", rating=15)}):
        assert found(edits.change_tap(known, "tap-1", **otherwise), "fuse_above_host")


def test_a_proposed_tap_always_sits_on_the_live_side() -> None:
    """The leg common to both fuses goes onto the contact that is live with the fuse out.

    Source: several fitting instructions (common practice, no source).
    """
    vehicle = edits.add_accessory(one_slot(), "Camera", watts=4.0)
    fields = suggest_tap(vehicle, assess(vehicle), vehicle.accessories[0], "power", "slot-1")
    assert (fields["kind"], fields["way_round"]) == ("two_fuse", "live_side")


# --- which fuse ----------------------------------------------------------------------------------


def test_a_dash_camera_wants_2_a_not_10_to_30() -> None:
    """0.25 to 0.45 A of load; the cable decides how large the fuse may be.

    Source: fitting instructions of camera makers, 2 to 3 A (common practice).
    """
    vehicle = edits.add_accessory(one_slot(), **library.fields("dash_camera_parking"))
    fields = suggest_tap(vehicle, assess(vehicle), vehicle.accessories[0], "power", "slot-1")
    assert fields["fuse"].rating == 2.0


def test_an_accessory_fuse_above_the_fuse_upstream_is_told() -> None:
    """A 30 A fuse in an inverter stayed whole while the 15 A fuse of the socket opened, twice.

    Source: a traveller's diary (2003); the smallest fuse upstream opens first.
    """
    vehicle = with_accessory(one_slot(rating=15.0), 5.0, fuse=Fuse(family="mini", rating=30.0))
    (finding,) = found(vehicle, "fuse_above_host")
    for trial in find_fixes(assess(vehicle), finding):
        assert trial.effect is not None
        tap = trial.effect.vehicle.taps[0]
        assert tap.slot is None or tap.fuse.rating <= 15.0


def test_two_55_w_lamps_get_a_relay_and_15_a() -> None:
    """110 W ÷ 11 V = 10 A: all of a 10 A fuse; by a share of 75 or 80 % it has to be 15 A.

    Source: an owners' worked example of lamps, fuse, wire and relay (common practice).
    """
    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), "Driving lamps", watts=110.0, rated_v=12.0,
        load_kind="filament", needs="switched",
    )  # fmt: skip
    assert not candidates(vehicle, assess(vehicle), vehicle.accessories[0])[0].fits
    after = fit_plan(vehicle, plan_rest(assess(vehicle)))
    tap = look_up.tap_of(after, "accessory-1")
    assert tap is not None
    assert (tap.relay, tap.fuse.rating) == (True, 15.0)


# --- a relay with its own feed -------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["light_bar", "air_compressor", "winch", "inverter", "amplifier"])
def test_heavy_accessories_and_motors_get_an_own_feed(kind: str) -> None:
    """Above the threshold, or a motor: the original circuit is a trigger at most.

    Source: a body-builder guide (2004) and a vehicle maker's manual, motors by three.
    """
    vehicle = edits.add_accessory(one_slot(feed_class="ignition"), **library.fields(kind))
    vehicle = with_second_slot(vehicle, "permanent")
    plan = plan_rest(assess(vehicle))
    power = next(each for each in plan.placed if each.lead == "power")
    assert power.own is not None
    assert power.slot_id is None


def test_a_compressor_cool_box_gets_15_a_near_the_supply() -> None:
    """Source: a compressor fridge's manual, 15 A fuse near the supply, 2.5 mm² up to 2.5 m."""
    vehicle = edits.add_accessory(one_slot(), **library.fields("cool_box_compressor"))
    (placed,) = plan_rest(assess(vehicle)).placed
    assert placed.own is not None
    assert placed.own.fields["fuse"].rating == 15.0


def test_an_amplifier_of_2_by_100_w_draws_28_a_from_a_feed_of_its_own() -> None:
    """Total output × 2 ÷ 14 V = 28.5 A; at 75 % that asks for a fuse of 40 A.

    Source: a retailer's help page on amplifiers (common practice: half is lost).
    """
    vehicle = edits.add_accessory(one_slot(), "Amplifier", amperes=400 / 14, rated_v=14.0,
                                  kind="amplifier", needs="permanent")  # fmt: skip
    own = own_feed(vehicle, assess(vehicle), vehicle.accessories[0])
    assert not own.relay
    assert own.fields["fuse"].rating >= 400 / 14 / 0.75


def test_an_amplifier_entered_by_its_output_takes_twice_that() -> None:
    """2 × 100 W: 400 W from the supply, 28.6 A at 14 V; entered as 200 W it is told.

    Source: a retailer's help page on amplifiers (common practice: half is lost).
    """
    vehicle = edits.add_accessory(
        one_slot(), "Amplifier", watts=200.0, rated_v=14.0, kind="amplifier", output_w=200.0
    )
    (finding,) = found(vehicle, "amplifier_takes_more")
    way = find_fixes(assess(vehicle), finding)[0].fix
    assert way.edit is not None
    mended = way.edit(vehicle)
    assert rated_current(mended.accessories[0]) == pytest.approx(200 * 2 / 14, abs=0.02)
    assert not found(mended, "amplifier_takes_more")
    # what a meter showed is believed
    assert not found(
        edits.change_accessory(vehicle, "accessory-1", figures_from="meter"),
        "amplifier_takes_more",
    )


@pytest.mark.parametrize(("section_mm2", "metres"), [(2.5, 2.5), (4.0, 4.0), (6.0, 6.0)])
def test_a_fridge_makers_cables_lose_half_a_volt(section_mm2: float, metres: float) -> None:
    """At 15 A each pairing of the table loses 2 × L × I × 0.0175 ÷ A = 0.525 V out and back.

    Source: a compressor fridge's manual, table of cables; 15 A fuse, 10.4 V at the fridge.
    """
    vehicle = edits.add_accessory(
        one_slot(), "Fridge", amperes=15.0, load_kind="constant_current", min_voltage_v=10.4
    )
    wire = Cable(section_mm2=section_mm2, length_m=metres)
    vehicle = edits.place(
        vehicle, "accessory-1", fuse=Fuse(family="regular", rating=20), cable_out=wire,
        cable_back=wire,
    )  # fmt: skip
    ohm = assess(vehicle).circuit.conductor_ohm[:, 0].sum()
    # warm copper resists up to a fifth more than the table's
    assert 0.9 <= 15.0 * ohm / 0.525 <= 1.3
    # what the device needs is held against what arrives there, the drop taken off
    assert assess(vehicle).hops["voltage"].limit[0] == 10.4
    far = Cable(section_mm2=2.5, length_m=14.0)
    long = edits.change_tap(vehicle, "tap-1", cable_out=far, cable_back=far)
    assert found(long, "low_voltage")
    assert not found(vehicle, "low_voltage")


def test_the_relay_is_wired_by_its_terminal_numbers() -> None:
    """30 from the battery, 87 to the load, 86 and 85 the coil. Source: DIN 72552."""
    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), **library.fields("light_bar") | {"watts": 200.0}
    )
    words = terminal_words(own_feed(vehicle, assess(vehicle), vehicle.accessories[0]))
    assert [str(line).split(":")[0] for line in words[:4]] == [
        "Terminal 30", "Terminal 87", "Terminal 86", "Terminal 85",
    ]  # fmt: skip
    assert "battery" in words[0]
    assert "earth" in words[3]


def test_a_relay_coil_is_reckoned_with_150_ma_not_with_5() -> None:
    """Source: trade texts on vehicle relays, 120 to 180 mA."""
    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), "Lamp", watts=200.0, needs="switched"
    )
    own = own_feed(vehicle, assess(vehicle), vehicle.accessories[0])
    assert 0.120 <= own.coil_a <= 0.180


def test_above_300_ma_a_control_wire_needs_a_relay_of_its_own() -> None:
    """Two coils of 150 mA reach the usual 300 mA; with anything more the budget is passed.

    Source: an amplifier installer's page, usual output of a switching wire (common practice).
    """
    vehicle = edits.add_accessory(one_slot(feed_class="ignition"), "Amplifiers", watts=5.0,
                                  leads=("power", "sense"), sense_a=0.150)  # fmt: skip
    within = candidates(vehicle, assess(vehicle), vehicle.accessories[0], "sense", relayed=True)
    assert within[0].fits, "150 mA + 150 mA is just within"
    vehicle = edits.change_accessory(vehicle, "accessory-1", sense_a=0.160)
    (over,) = candidates(vehicle, assess(vehicle), vehicle.accessories[0], "sense", relayed=True)
    assert "budget" in over.rules


# --- circuits that are no source -----------------------------------------------------------------


def test_a_tow_socket_is_never_fed_from_a_lamp_circuit() -> None:
    """Towed lamps on watched circuits bring warnings, or the module shuts down.

    Source: fitting instructions for towing electrics (common practice).
    """
    vehicle = edits.add_accessory(one_slot(monitored=True), **library.fields("tow_module"))
    (candidate,) = candidates(vehicle, assess(vehicle), vehicle.accessories[0])
    assert {"monitored", "relay"} <= set(candidate.rules)
    plan = plan_rest(assess(vehicle))
    assert plan.placed[0].own is not None


def test_a_12_v_accessory_in_a_24_v_vehicle_never_takes_the_middle_of_two_batteries() -> None:
    """24 V − 13 V = 11 V: one battery is overcharged, the other starved.

    Source: a maker's text on charge equalisers (common practice).
    """
    vehicle = edits.change_vehicle(one_slot(), system_v=24)
    vehicle = edits.add_accessory(vehicle, "Radio", watts=20.0, rated_v=13.8)
    (candidate,) = candidates(vehicle, assess(vehicle), vehicle.accessories[0])
    assert "middle of two batteries" in candidate.reasons[0]
    plan = plan_rest(assess(vehicle))
    assert not plan.complete, "not from a slot, and not from the battery either"


def test_a_camera_with_parking_mode_gets_permanent_power_and_a_switched_sense_lead() -> None:
    """On one switched slot it never enters parking mode, on one permanent slot it never leaves it.

    Source: fitting instructions of camera makers (common practice).
    """
    vehicle = one_slot(feed_class="permanent")
    vehicle = with_second_slot(vehicle, "ignition")
    vehicle = edits.add_accessory(vehicle, **library.fields("dash_camera_parking"))
    plan = plan_rest(assess(vehicle))
    assert {each.lead: each.slot_id for each in plan.placed} == {
        "power": "slot-1",
        "sense": "slot-2",
    }


# --- lamps, the middle of two batteries, a cut-off, a fuse that opened ----------------------------


def test_two_lamps_of_55_w_want_a_relay_of_20_a() -> None:
    """110 W ÷ 12 V = 9.2 A: twice that is above 15 A, and a 20 A relay is the next.

    Source: a relay supplier's example of choosing one.
    """
    vehicle = edits.add_accessory(
        one_slot(feed_class="ignition"), "Lamps", watts=110.0, rated_v=12.0, load_kind="filament",
        leads=("power", "sense"),
    )  # fmt: skip
    vehicle = edits.place(vehicle, "accessory-1", relay=True, relay_limit_a=15.0)
    assert found(vehicle, "relay_contact_light")
    assert not found(edits.change_tap(vehicle, "tap-1", relay_limit_a=20.0), "relay_contact_light")


def test_nothing_is_taken_from_the_middle_of_two_batteries() -> None:
    """With the isolator in the earth line open, 12 V gear there gets some 12 V the wrong way round.

    Source: a charger maker's tip on 12 V gear in 24 V vehicles. The program takes no 12 V from
    there at all.
    """
    truck = edits.change_vehicle(one_slot(), system_v=24)
    truck = edits.add_accessory(truck, "Radio", watts=50.0, rated_v=13.8)
    with pytest.raises(EditRefused) as refused:
        edits.place(truck, "accessory-1", slot="slot-1")
    assert "middle of two batteries" in str(refused.value.remedy)


def test_a_cut_off_that_trips_early_tells_of_the_battery() -> None:
    """A camera that stops within hours of a drive: the battery is not charged fully.

    Source: an owner's measurements of dark current and of a camera's parking mode.
    """
    camera = {"works_in": ("asleep", "awake", "accessory", "ignition", "running")}
    vehicle = edits.add_accessory(
        one_slot(), "Camera", watts=4.0, cut_off=VoltageCutOff(off_v=12.8, on_v=13.0), **camera
    )
    vehicle = edits.place(vehicle, "accessory-1", slot="slot-1")
    (finding,) = found(vehicle, "cut_off_too_high")
    assert "not charged fully" in str(finding.remedy)


@pytest.mark.parametrize(("how", "sign"), [("sagged", "weak short"), ("burst", "hard short")])
def test_how_a_fuse_failed_tells_what_to_look_for(how: str, sign: str) -> None:
    """An element that heated and sagged: a weak short where a harness rubbed, after six years.

    Source: an owner's report in a thread on short circuits.
    """
    bare = edits.change_slot(one_slot(), "slot-1", fuse_failed=how)
    (finding,) = found(bare, "fuse_opened_before")
    assert finding.severity == "note"
    assert sign in str(finding.remedy)
    (finding,) = found(with_accessory(bare, 2.0), "fuse_opened_before")
    assert finding.severity == "caution"
