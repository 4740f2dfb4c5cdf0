"""How warm cables are is kept while nothing of it changes; whatever does is reckoned anew."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.currents import Circuit
from fusemap.assess.result import Floats, worst
from fusemap.assess.runs import stacked
from fusemap.vehicle import Cable, Fuse, Vehicle, edits
from tests.vehicles import large


def on_first_tap(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    return lambda v: edits.change_tap(v, v.taps[0].id, **fields)


def way(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    return on_first_tap(cable_out=Cable(**{"section_mm2": 1.0, "length_m": 3.0, **fields}))


EDITS: dict[str, Callable[[Vehicle], Vehicle]] = {
    "section": way(section_mm2=0.5),
    "length": way(length_m=9.0),
    "bundle": way(bundle=4),
    "place": way(place="engine_bay"),
    "cable back": on_first_tap(cable_back=Cable(section_mm2=0.75, length_m=3.0)),
    "load": lambda v: edits.change_accessory(v, v.taps[0].accessory, watts=None, amperes=7.0),
    "the rule for the cabin": lambda v: edits.set_rule(v, "ambient_cabin_c", 55.0),
}


def reckoned(c: Circuit) -> Floats:
    """The same by hand, with nothing kept."""
    cables, asked_a = c.cables, worst(c.taps.asked_a)
    both = stacked(cables.out, cables.back)
    load = (np.tile(each, 2) for each in (asked_a, cables.mean_share, cables.on_s))
    return both.ohm(both.warm_c(*load)).reshape(2, -1)


@pytest.mark.parametrize("what", EDITS)
def test_another_cable_or_load_is_as_warm_as_it_gets(what: str) -> None:
    vehicle = way()(large())
    before = assess(vehicle).circuit
    changed = assess(EDITS[what](vehicle)).circuit
    for circuit in (before, changed):
        assert np.array_equal(circuit.conductor_ohm, reckoned(circuit))
    assert not np.array_equal(changed.conductor_ohm, before.conductor_ohm)


def test_another_fuse_leaves_the_cables_as_warm_as_they_are() -> None:
    vehicle = large()
    slot = vehicle.panels[0].slots[0].id
    changed = edits.change_slot(vehicle, slot, fuse=Fuse(family="mini", rating=25.0))
    one, other = assess(vehicle).circuit, assess(changed).circuit
    assert np.array_equal(one.conductor_ohm, other.conductor_ohm)
    assert np.array_equal(other.conductor_ohm, reckoned(other))
