"""What is found about converters, relays and sense leads."""

import pytest

from fusemap.assess import assess
from fusemap.checks import Finding, findings
from fusemap.vehicle import (
    KEY_STATES,
    STATES,
    Battery,
    Converter,
    Parking,
    Vehicle,
    VoltageCutOff,
    edits,
    look_up,
)
from tests.vehicles import one_slot, only_slot


def found(vehicle: Vehicle) -> dict[str, Finding]:
    return {finding.code: finding for finding in findings(vehicle, assess(vehicle))}


def plain(text: object) -> str:
    return str(text).replace("\u202f", " ")


def truck(*, works_in: tuple[str, ...] = KEY_STATES, **radio: object) -> Vehicle:
    """24 V; a converter of 13.8 V and 10 A on an own feed, and a radio of 4 A behind it."""
    v = edits.add_accessory(
        Vehicle(
            name="Truck",
            system_v=24,
            battery=Battery(capacity_ah=110.0, soh=1.0, start_soc=1.0),
            parking=Parking(rest_current_a=0.02, awake_current_a=0.02),
        ),
        "Converter",
        watts=2.0,
        rated_v=27.6,
        works_in=works_in,
        converter=Converter(rating_a=10.0),
    )
    v = edits.place(v, "accessory-1")
    usual = {"watts": 55.2, "rated_v": 13.8, "supplied_by": "accessory-1"}
    return edits.add_accessory(v, "Radio", **(usual | radio))


def test_a_converter_within_its_rating_has_nothing_to_tell_about_it() -> None:
    codes = {code for code in found(truck()) if "converter" in code or "voltage" in code}
    assert codes == set()


def test_an_overloaded_converter_stops_the_job_and_the_sum_names_what_hangs_on_it() -> None:
    v = edits.add_accessory(truck(), "Inverter", watts=138.0, rated_v=12.0,
                            supplied_by="accessory-1")  # fmt: skip
    finding = found(v)["converter_overloaded"]
    assert finding.severity == "stop"
    assert finding.place_id == "accessory-1"
    assert plain(finding.sum).startswith("Radio 4 A + Inverter 10 A = 14 A > 10 A")


def test_a_converter_without_a_rating_is_asked_for_it() -> None:
    v = edits.change_accessory(truck(), "accessory-1", converter=Converter())
    assert "gives up to 4 A" in plain(found(v)["converter_rating_unknown"].sum)


def test_a_converter_on_which_nothing_hangs_says_that_its_load_is_not_known() -> None:
    assert "converter_unused" in found(edits.remove_accessory(truck(), "accessory-2"))
    assert "converter_unused" not in found(truck())


def test_an_output_of_another_voltage_stops_the_job() -> None:
    v = edits.change_accessory(truck(), "accessory-1", converter=Converter(output_v=5.0))
    assert found(v)["converter_wrong_output"].severity == "stop"


def test_a_12_volt_accessory_on_24_volts_is_told_to_use_a_converter_never_the_middle() -> None:
    v = edits.add_accessory(Vehicle(name="Van"), "Radio", watts=50.0)
    v = edits.change_vehicle(edits.place(v, "accessory-1"), system_v=24)
    finding = found(v)["wrong_voltage"]
    assert finding.severity == "stop"
    assert "never take 12 V from the middle of two batteries" in finding.remedy


def test_an_accessory_that_needs_more_than_the_output_gives_is_told() -> None:
    assert "converter_output_low" in found(truck(min_voltage_v=14.0))
    assert "converter_output_low" not in found(truck(min_voltage_v=11.0))


def test_behind_a_converter_without_a_source_nothing_is_reckoned() -> None:
    v = edits.unplace(truck(), "tap-1")
    assert "“Converter”" in found(v)["converter_not_placed"].remedy
    assert {f.place_id for f in findings(v, assess(v)) if f.code == "not_placed"} == {"accessory-1"}


def test_a_tracker_behind_a_switched_converter_is_dead_while_parked() -> None:
    assert "converter_off_while_parked" in found(truck(needs="permanent"))
    always = truck(works_in=STATES, needs="permanent")
    assert "converter_off_while_parked" not in found(always)


def test_a_radio_behind_a_converter_that_never_sleeps_drains() -> None:
    v = truck(works_in=STATES, needs="switched", standby_a=0.02)
    assert "20 mA" in plain(found(v)["converter_drains_while_parked"].sum)
    assert "converter_drains_while_parked" not in found(truck(needs="switched", standby_a=0.02))


def test_a_cut_off_behind_a_converter_never_sees_the_battery() -> None:
    v = truck(cut_off=VoltageCutOff(off_v=11.5, on_v=12.5))
    assert "cut_off_behind_converter" in found(v)


def relayed(*, slot_class: str = "ignition", **power: object) -> Vehicle:
    """A light bar on an own feed with a relay, its sense lead on the only slot."""
    v = edits.add_accessory(one_slot(feed_class=slot_class), "Light bar", amperes=20.0,
                            rated_v=12.0, load_kind="constant_current",
                            leads=("power", "sense"))  # fmt: skip
    v = edits.place(v, "accessory-1", relay=True, **power)
    return edits.place(v, "accessory-1", "sense", slot=only_slot(v).id)


def hop(vehicle: Vehicle, lead: str, key: str):
    tap = look_up.tap_of(vehicle, "accessory-1", lead)
    assert tap is not None
    return next(h for h in assess(vehicle).chains[tap.id].hops if h.key == key)


def test_a_relays_contact_carries_the_accessory() -> None:
    contact = hop(relayed(), "power", "relay")
    assert (contact.load, contact.limit) == (pytest.approx(20.0), 30.0)
    assert "30 to 87" in contact.title


def test_a_relay_too_small_for_its_load_stops_the_job() -> None:
    assert "relay_overloaded" not in found(relayed())
    assert found(relayed(relay_limit_a=15.0))["relay_overloaded"].severity == "stop"


def test_the_sense_lead_carries_the_relays_coil() -> None:
    """Usual coil 150 mA by the rule, and 5 mA of the accessory itself."""
    assert hop(relayed(), "sense", "sense").load == pytest.approx(0.155)
    assert hop(relayed(relay_coil_a=0.4), "sense", "sense").load == pytest.approx(0.405)


def test_a_coil_that_asks_too_much_of_its_circuit_is_told() -> None:
    assert "sense_overloaded" not in found(relayed())
    assert plain(found(relayed(relay_coil_a=0.4))["sense_overloaded"].sum).startswith("0.405 A >")


def test_a_relay_whose_coil_hangs_on_nothing_is_told() -> None:
    v = relayed()
    assert "relay_undriven" not in found(v)
    sense = look_up.tap_of(v, "accessory-1", "sense")
    assert sense is not None
    assert "relay_undriven" in found(edits.unplace(v, sense.id))


def test_a_relay_on_a_permanent_circuit_stays_on_all_night() -> None:
    assert "relay_stays_on" not in found(relayed())
    assert "0.155 A" in plain(found(relayed(slot_class="permanent"))["relay_stays_on"].sum)


def test_only_a_relay_can_have_a_contact_of_its_own() -> None:
    v = edits.place(relayed(relay_limit_a=15.0), "accessory-1", slot=only_slot(relayed()).id)
    tap = look_up.tap_of(v, "accessory-1")
    assert tap is not None
    assert (tap.relay, tap.relay_limit_a) == (False, None)
