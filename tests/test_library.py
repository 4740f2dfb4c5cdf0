"""The library: every kind makes an accessory that a vehicle can have."""

from itertools import pairwise

import pytest

from fusemap import tables
from fusemap.advise import library
from fusemap.tables import AccessoryKind
from fusemap.vehicle import Vehicle, edits, validity

KINDS = library.kinds()


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_kind_can_be_added_to_a_vehicle(kind: AccessoryKind) -> None:
    vehicle = edits.add_accessory(Vehicle(name="Van"), **library.fields(kind.key))
    made = vehicle.accessories[0]
    assert made.kind == kind.key
    own = tables.converters().get(kind.key)
    usual = kind.typical if own is None else own.own_w
    assert (made.watts if kind.unit == "W" else made.amperes) == usual
    assert list(validity.faults(vehicle)) == []


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_usual_figures_lie_in_their_own_range(kind: AccessoryKind) -> None:
    assert kind.low <= kind.typical <= kind.high
    assert kind.standby_low_a <= kind.standby_a <= kind.standby_high_a


def test_kinds_of_one_group_stand_together() -> None:
    groups = [kind.group for kind in KINDS]
    changes = sum(one != other for one, other in pairwise(groups))
    assert changes == len(set(groups)) - 1


def test_each_kind_is_there_once() -> None:
    assert len({kind.key for kind in KINDS}) == len(KINDS)


def test_a_kind_for_24_volts_is_rated_at_24_volts() -> None:
    assert library.fields("converter_24_12")["rated_v"] == pytest.approx(27.6)
    assert library.fields("radio")["rated_v"] == pytest.approx(13.8)


def test_a_converter_of_the_library_supplies_others_and_draws_little_by_itself() -> None:
    made = library.fields("converter_24_12")
    assert made["converter"].output_v == pytest.approx(13.8)
    assert made["watts"] < 5.0
    assert "10\u202fA at 13.8\u202fV" in library.figures(library.kind("converter_24_12"))
    assert "converter" not in library.fields("radio")


def test_a_cut_off_of_the_table_becomes_the_accessorys() -> None:
    cut_off = library.fields("cool_box_compressor")["cut_off"]
    assert (cut_off.off_v, cut_off.on_v) == (10.4, 11.7)
    assert library.fields("radio")["cut_off"] is None


def test_searching_finds_by_the_beginning_of_words_in_any_order() -> None:
    assert [kind.key for kind in library.find("box cool comp")] == ["cool_box_compressor"]
    assert {kind.group for kind in library.find("LIGHTING")} == {"lighting"}
    assert library.find("spaceship") == ()
    assert library.find("  ") == KINDS


def test_a_kind_that_is_not_there_is_said() -> None:
    with pytest.raises(KeyError):
        library.fields("spaceship")
