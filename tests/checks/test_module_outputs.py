"""Outputs of a control unit: nothing hangs there but what the maker allows."""

import pytest

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.errors import EditRefused
from fusemap.placement import candidates
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, look_up
from tests.vehicles import one_slot, only_slot


def output(limit_a: float | None = None) -> Vehicle:
    """A vehicle whose only slot is an output of a control unit, and a relay on an own feed."""
    vehicle = one_slot(feed_class="ignition", fuse=None, kind="module", contact_limit_a=limit_a)
    vehicle = edits.add_accessory(vehicle, "Cool box", watts=45.0, leads=("power", "sense"))
    cable = Cable(section_mm2=2.5, length_m=2.0)
    return edits.place(
        vehicle, "accessory-1", relay=True, fuse=Fuse(family="regular", rating=10.0),
        cable_out=cable,
    )  # fmt: skip


def test_no_power_is_taken_from_it() -> None:
    for limit_a in (None, 0.5):
        with pytest.raises(EditRefused, match="control unit"):
            edits.place(output(limit_a), "accessory-1", slot=only_slot(output()).id)


def test_a_coil_hangs_there_only_where_the_maker_says_how_much() -> None:
    slot = only_slot(output()).id
    with pytest.raises(EditRefused, match="control unit"):
        edits.place(output(), "accessory-1", "sense", slot=slot)
    vehicle = edits.place(output(0.5), "accessory-1", "sense", slot=slot)
    assert look_up.tap(vehicle, "tap-2").kind == "splice"
    with pytest.raises(EditRefused, match="no fuse"):
        edits.change_tap(vehicle, "tap-2", kind="two_fuse")
    told = {f.code: f.severity for f in findings(vehicle, assess(vehicle))}
    assert told["module_tapped"] == "note"
    assert "host_fuse_missing" not in told


def test_more_than_the_maker_allows_is_a_stop() -> None:
    vehicle = edits.place(output(0.1), "accessory-1", "sense", slot=only_slot(output()).id)
    told = {f.code: f.severity for f in findings(vehicle, assess(vehicle))}
    assert told["contact_overloaded"] == "stop"


def test_a_limit_that_is_taken_back_leaves_a_stop() -> None:
    slot = only_slot(output()).id
    vehicle = edits.place(output(0.5), "accessory-1", "sense", slot=slot)
    vehicle = edits.change_slot(vehicle, slot, contact_limit_a=None)
    told = {f.code: f.severity for f in findings(vehicle, assess(vehicle))}
    assert told["module_tapped"] == "stop"


def test_it_is_never_proposed() -> None:
    vehicle = output(0.5)
    accessory = look_up.accessory(vehicle, "accessory-1")
    assert candidates(vehicle, assess(vehicle), accessory, "power") == ()
