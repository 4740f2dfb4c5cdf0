"""Accessories behind converters: what may hang on what, and what an edit takes along."""

import pytest

from fusemap import files
from fusemap.errors import EditRefused, FileProblem
from fusemap.vehicle import Converter, Vehicle, edits, look_up
from fusemap.vehicle.look_up import above, hanging_on, misfit


@pytest.fixture
def truck() -> Vehicle:
    """24 V; accessory-1 a converter on an own feed, accessory-2 a 12 V radio on the shelf."""
    v = edits.add_accessory(
        Vehicle(name="Truck", system_v=24),
        "Converter",
        watts=2.0,
        rated_v=27.6,
        converter=Converter(rating_a=10.0),
    )
    v = edits.place(v, "accessory-1")
    return edits.add_accessory(v, "Radio", watts=50.0, rated_v=13.8)


def hung(vehicle: Vehicle) -> Vehicle:
    return edits.change_accessory(vehicle, "accessory-2", supplied_by="accessory-1")


@pytest.mark.parametrize(
    ("rated_v", "supply_v", "said"),
    [
        (12.0, 12.0, ""), (13.8, 12.0, ""), (16.0, 12.0, ""), (24.0, 24.0, ""), (28.8, 24.0, ""),
        (13.8, 24.0, "too_low"), (16.0, 24.0, "too_low"), (24.0, 12.0, "too_high"),
        (18.0, 12.0, "too_high"), (18.0, 24.0, ""), (5.0, 12.0, "too_low"), (12.0, 13.8, ""),
    ],
)  # fmt: skip
def test_a_rated_voltage_suits_its_own_system_only(rated_v, supply_v, said):
    assert misfit(rated_v, supply_v) == said


class TestPlacing:
    def test_a_12_volt_accessory_is_refused_on_24_volts_and_the_middle_is_ruled_out(self, truck):
        with pytest.raises(EditRefused) as refusal:
            edits.place(truck, "accessory-2")
        assert "not made for 24\u202fV" in refusal.value.what
        assert "never take 12 V from the middle of two batteries" in refusal.value.remedy

    def test_a_24_volt_accessory_is_refused_on_12_volts(self):
        v = edits.add_accessory(Vehicle(name="Car"), "Pump", watts=50.0, rated_v=24.0)
        with pytest.raises(EditRefused, match="not made for 12\u202fV"):
            edits.place(v, "accessory-1")

    def test_behind_a_converter_it_is_welcome(self, truck):
        assert [a.name for a in hanging_on(hung(truck), "accessory-1")] == ["Radio"]

    def test_a_24_volt_accessory_is_refused_behind_a_12_volt_output(self, truck):
        v = edits.change_accessory(truck, "accessory-2", rated_v=24.0)
        with pytest.raises(EditRefused, match=r"not made for 13\.8\u202fV"):
            hung(v)

    def test_hanging_it_up_takes_its_power_tap_off(self):
        v = edits.add_accessory(Vehicle(name="Car"), "Boost", watts=1.0, converter=Converter())
        v = edits.add_accessory(v, "Radio", watts=50.0, leads=("power", "sense"))
        v = edits.place(edits.place(v, "accessory-2"), "accessory-2", "sense")
        assert [tap.lead for tap in hung(v).taps] == ["sense"]

    def test_placing_it_takes_it_off_the_converter(self, truck):
        v = edits.change_accessory(hung(truck), "accessory-2", rated_v=24.0)
        v = edits.place(v, "accessory-2")
        assert look_up.accessory(v, "accessory-2").supplied_by is None
        assert look_up.tap_of(v, "accessory-2") is not None

    def test_another_lead_cannot_become_its_power_tap(self, truck):
        v = edits.change_accessory(hung(truck), "accessory-2", rated_v=24.0,
                                   leads=("power", "sense"))  # fmt: skip
        v = edits.place(v, "accessory-2", "sense")
        with pytest.raises(EditRefused, match="hangs on a converter"):
            edits.change_tap(v, v.taps[-1].id, lead="power")


class TestWhatHangsOnWhat:
    def test_a_converter_may_hang_on_a_converter(self, truck):
        v = edits.add_accessory(
            truck, "Charger", watts=0.5, rated_v=12.0, converter=Converter(output_v=5.0)
        )
        v = edits.change_accessory(v, "accessory-3", supplied_by="accessory-1")
        v = edits.add_accessory(v, "Phone", watts=10.0, rated_v=5.0, supplied_by="accessory-3")
        names = [each.name for each in above(v, look_up.accessory(v, "accessory-4"))]
        assert names == ["Charger", "Converter"]

    def test_nothing_supplies_itself(self, truck):
        v = edits.change_accessory(hung(truck), "accessory-2", converter=Converter())
        v = edits.change_accessory(v, "accessory-1", rated_v=12.0)
        with pytest.raises(EditRefused, match="would supply itself"):
            edits.change_accessory(v, "accessory-1", supplied_by="accessory-2")

    def test_what_is_no_converter_supplies_nothing(self, truck):
        with pytest.raises(EditRefused, match="is no converter"):
            edits.change_accessory(truck, "accessory-1", supplied_by="accessory-2")

    def test_a_converter_stays_one_while_something_hangs_on_it(self, truck):
        with pytest.raises(EditRefused, match="“Radio” hangs on “Converter”"):
            edits.change_accessory(hung(truck), "accessory-1", converter=None)

    def test_a_converter_that_goes_leaves_what_hung_on_it_on_the_shelf(self, truck):
        v = edits.remove_accessory(hung(truck), "accessory-1")
        assert [(a.name, a.supplied_by) for a in v.accessories] == [("Radio", None)]
        assert v.taps == ()


class TestFiles:
    def test_what_hangs_on_a_converter_comes_back_from_the_file(self, truck):
        assert files.parse(files.render(hung(truck))) == hung(truck)

    @pytest.mark.parametrize(
        ("old", "new", "where"),
        [
            ('"supplied_by": "accessory-1"', '"supplied_by": "gone"',
             "accessories[1].supplied_by"),
            ('"supplied_by": "accessory-1"', '"supplied_by": "accessory-2"',
             "accessories[1].supplied_by"),
            ('"accessory": "accessory-1"', '"accessory": "accessory-2"', "taps[0].accessory"),
            ('"rating_a": 10.0', '"efficiency": 1.2', "accessories[0].converter.efficiency"),
        ],
    )  # fmt: skip
    def test_a_file_in_which_it_cannot_hang_so_is_refused(self, truck, old, new, where):
        text = files.render(hung(truck))
        assert old in text
        with pytest.raises(FileProblem) as problem:
            files.parse(text.replace(old, new))
        assert problem.value.where == where
