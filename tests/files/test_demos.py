"""The vehicles that come with the program: whole, invented, and each with something to find."""

import pytest

from fusemap import files
from fusemap.assess import assess
from fusemap.assess.outputs import output_leads
from fusemap.assess.parked.ends import standing_end
from fusemap.assess.sure_words import headline
from fusemap.catalogues import messages
from fusemap.checks import findings, whole_verdict
from fusemap.circuits import unanswered
from fusemap.errors import FileProblem
from fusemap.files import demos
from fusemap.vehicle import Vehicle, edits, look_up
from tests.plain import plain

KEYS = [key for key, _ in demos.demo_names()]


def found(vehicle: Vehicle) -> set[tuple[str, str]]:
    """What is found, as (code, where it is)."""
    return {(f.code, f.where) for f in findings(vehicle, assess(vehicle))}


def codes(vehicle: Vehicle) -> list[str]:
    return sorted(f.code for f in findings(vehicle, assess(vehicle)))


def stops(vehicle: Vehicle) -> list[str]:
    return [f.code for f in findings(vehicle, assess(vehicle)) if f.severity == "stop"]


def test_the_one_with_something_of_everything_comes_first():
    assert KEYS == [
        "family_estate", "courier_van", "light_truck", "little_hatchback", "small_old_car",
    ]  # fmt: skip


@pytest.mark.parametrize("key", KEYS)
def test_a_demo_stands_in_its_file_as_the_program_writes_it(key):
    assert files.render(demos.read_demo(key)) == demos.demo_text(key)


@pytest.mark.parametrize("key", KEYS)
def test_each_tells_its_story(key):
    assert len(demos.read_demo(key).note) > 200
    assert demos.read_demo(key).log


@pytest.mark.parametrize("key", ["nowhere", "../pyproject", "", "family_estate.fusemap"])
def test_a_demo_that_is_not_there_is_told_with_those_that_are(key):
    with pytest.raises(FileProblem, match="small_old_car"):
        demos.read_demo(key)


def test_one_holds_whatever_was_not_measured():
    """Only two of eight slots were read, not in every state; the whole is green all the same."""
    van = demos.read_demo("courier_van")
    a = assess(van)
    assert (~a.slots.own_known).any(axis=0).sum() >= 6
    assert whole_verdict(van, a, findings(van, a)) == "holds"


def test_of_one_two_readings_would_make_it_sure():
    car = demos.read_demo("little_hatchback")
    a = assess(car)
    assert whole_verdict(car, a, findings(car, a)) == "may_not_hold"
    assert {(w.place, w.how, w.state) for w in a.measure_next} == {
        ("slot", "millivolts", "running")
    }
    assert str(headline(car, a.measure_next)) == (
        "Measure F3 Seat heating and F2 Rear wiper, then it is sure."
    )


class TestFamilyEstate:
    @pytest.fixture
    def estate(self) -> Vehicle:
        return demos.read_demo("family_estate")

    def test_it_has_both_panels_in_their_real_arrangement(self, estate):
        slots = list(look_up.slots(estate))
        assert len([s for s in slots if s.kind == "fuse"]) >= 44
        assert {s.kind for s in slots} == {"fuse", "relay", "blocked"}
        assert {s.orientation for s in slots} == {"upright", "lying"}
        assert len({s.family for s in slots}) >= 4
        assert len({s.feed_class for s in slots}) == 7
        assert all(p.rows * p.columns > len(p.slots) for p in estate.panels), "no gaps"

    def test_the_blown_climate_fuse_comes_from_the_reversed_tap(self, estate):
        assert ("host_overloaded", "F11 Climate control panel") in found(estate)
        turned = edits.change_tap(estate, "tap-3", way_round="live_side")
        assert ("host_overloaded", "F11 Climate control panel") not in found(turned)

    def test_the_car_did_not_start_because_of_the_parking_camera(self, estate):
        parked = assess(estate).parked
        assert parked.hours_placed < 24 * estate.parking.stand_days < parked.hours_without
        placed = {tap.accessory for tap in estate.taps}
        drawn = [each.accessory for each in parked.consumers if each.accessory in placed]
        assert drawn[0] == "accessory-camera"

    def test_the_cool_box_on_the_shelf_counts_and_it_is_said(self, estate):
        parked = assess(estate).parked
        assert parked.unplaced == ("Cool box", "Phone charger")
        assert parked.hours < parked.hours_placed / 5
        assert any("Cool box" in str(each) for each in parked.assumed)

    def test_as_a_petrol_car_it_might_have_started_as_the_diesel_it_is_it_did_not(self, estate):
        """Side by side, without what still lies on the shelf; both ends in days."""
        on_slots = {tap.accessory for tap in estate.taps}
        for each in estate.accessories:
            if each.id not in on_slots:
                estate = edits.remove_accessory(estate, each.id)
        petrol, diesel = (
            assess(edits.change_parking(estate, engine_fuel=fuel, engine_l=litres))
            for fuel, litres in (("petrol", 1.6), ("diesel", 2.0))
        )
        assert petrol.parked.days == pytest.approx(10.5, abs=0.3)
        assert diesel.parked.days == pytest.approx(8.8, abs=0.3)
        assert petrol.band.low_h / 24 == pytest.approx(6.4, abs=0.5)
        assert diesel.band.low_h == 0.0, "one of twenty does not start even at once"
        assert petrol.chance > 0.6 > 0.5 > diesel.chance
        wants = ["a petrol engine of 1.6 l wants 7.6 V", "a diesel engine of 2 l wants 8 V"]
        for a, words in zip((petrol, diesel), wants, strict=True):
            assert words in plain(standing_end(a, a.parked, a.band.middle).words)

    def test_its_headline_before_and_after_the_accessories_with_the_sum(self, estate):
        """The charge from locking to the end is what the rows took, and what leaks with it."""
        parked = assess(estate).parked
        assert parked.hours < parked.hours_placed < parked.hours_without
        capacity = 70.0 * 0.85
        gone = (parked.start_soc - parked.need.soc) * capacity
        assert sum(each.charge_ah for each in parked.consumers) == pytest.approx(gone, abs=0.1)

    def test_the_tow_sockets_cable_is_too_thin_for_its_fuse(self, estate):
        assert "cable_overload_gap" in stops(estate)
        tap = look_up.tap(estate, "tap-7")
        thicker = edits.change_tap(
            estate,
            "tap-7",
            cable_out=_of_section(tap.cable_out, 4.0),
            cable_back=_of_section(tap.cable_back, 4.0),
        )
        assert "cable_overload_gap" not in stops(thicker)


def _of_section(cable, section_mm2):
    return type(cable)(section_mm2=section_mm2, length_m=cable.length_m, place=cable.place)


class TestSmallOldCar:
    @pytest.fixture
    def car(self) -> Vehicle:
        return demos.read_demo("small_old_car")

    def test_the_accessories_are_what_is_too_much_for_its_one_lead(self, car):
        assert stops(car) == ["feed_overloaded"]
        without = edits.remove_accessory(car, "accessory-radio")
        assert stops(edits.remove_accessory(without, "accessory-phone")) == []

    def test_the_radio_empties_the_old_battery_within_days(self, car):
        a = assess(car)
        assert a.parked.days < 3.0
        assert a.band.high_h < 24 * car.parking.stand_days
        proper = edits.change_accessory(car, "accessory-radio", standby_a=0.008)
        assert assess(proper).parked.days > car.parking.stand_days


class TestLightTruck:
    @pytest.fixture
    def truck(self) -> Vehicle:
        return demos.read_demo("light_truck")

    def test_it_has_24_volts_and_two_batteries_in_series(self, truck):
        assert truck.system_v == 24
        assert assess(truck).battery_v.min() > 23

    def test_the_body_supply_carries_too_much(self, truck):
        codes = found(truck)
        assert ("feed_overloaded", "Body supply behind fuse B") in codes

    def test_a_short_at_the_tailboard_lamp_leaves_the_fuse_whole(self, truck):
        assert "cable_far_end" in stops(truck)

    def test_nothing_made_for_12_volts_hangs_on_24(self, truck):
        placed = {tap.accessory for tap in truck.taps}
        assert all(each.rated_v > 20 for each in truck.accessories if each.id in placed)

    def test_the_radio_gets_its_12_volts_from_the_converter(self, truck):
        """4 A at 13.8 V ÷ 85 % and 2 W of its own are 67 W, 2.7 A at some 25 V.

        The lead to it, 3 m of 1.5 mm² (12 mΩ/m), a fuse: some 55 mΩ at 4 A are 1.6 % more.
        """
        a = assess(truck)
        output = a.circuit.taps.behind.output("accessory-converter")
        assert output.current_a.max() == pytest.approx(4.0 * 1.016, rel=2e-3)
        drawn = a.taps.current_a[:, a.taps.index["tap-5"]]
        assert drawn.max() == pytest.approx(2.7, rel=0.03)

    def test_its_chain_is_whole_behind_the_converter_too(self, truck):
        """A lead there and back with a fuse of its own, nothing of it left open."""
        codes = {each.code for each in findings(truck, assess(truck))}
        assert not {code for code in codes if code.startswith(("output_", "lead_"))}
        (lead,) = output_leads(assess(truck))
        assert lead.accessory.lead_fuse is not None
        assert lead.known.load_a < lead.fuse_limit_a


@pytest.mark.parametrize("key", KEYS)
def test_whoever_mapped_it_answered_for_every_circuit_that_looks_critical(key):
    slots = look_up.slots(demos.read_demo(key))
    assert [slot.circuit for slot in slots if "critical" in unanswered(slot)] == []
    assert "looks_monitored" not in {code for code, _ in found(demos.read_demo(key))}


LANGUAGES = ("de", "es", "fr", "nl")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", KEYS)
def test_a_demo_vehicle_is_opened_in_the_words_of_a_language(key, language):
    english, told = demos.read_demo(key), demos.read_demo(key, language)
    assert told.name != english.name
    assert told.note != english.note
    assert dict(demos.demo_names(language))[key] == told.name
    slots = list(zip(look_up.slots(english), look_up.slots(told), strict=True))
    assert all(one.label == other.label for one, other in slots)
    assert sum(one.circuit != other.circuit for one, other in slots) > 0.8 * sum(
        bool(one.circuit) for one, _ in slots
    )
    assert files.parse(files.render(told)) == told


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", KEYS)
def test_its_figures_and_findings_are_the_same_in_every_language(key, language):
    english, told = demos.read_demo(key), demos.read_demo(key, language)
    assert codes(told) == codes(english)
    assert [unanswered(slot) for slot in look_up.slots(told)] == [
        unanswered(slot) for slot in look_up.slots(english)
    ]
    assert assess(told).parked.hours == assess(english).parked.hours
    points = [len({tap.earth_point for tap in each.taps}) for each in (told, english)]
    assert points[0] == points[1]


@pytest.mark.parametrize("key", KEYS)
def test_in_english_a_demo_vehicle_stands_as_in_its_file(key):
    assert demos.read_demo(key, "en") == files.parse(demos.demo_text(key))


@pytest.mark.parametrize("key", KEYS)
def test_every_word_of_a_demo_vehicle_is_in_every_language(key):
    for language in LANGUAGES:
        known = messages(language)
        assert [word for word in demos.demo_words(key) if not known.knows(word, "demo")] == []


def test_the_colours_of_cables_are_in_the_readers_language():
    cables = [tap.cable_out for tap in demos.read_demo("family_estate", "de").taps]
    colours = {cable.colour for cable in cables if cable is not None and cable.colour}
    assert "rot" in colours
    assert "red" not in colours
