"""Where nobody measured, the end that decides has its sum, too: whoever reads it can add it up."""

import re

import pytest

from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.result import Hop
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, edits
from tests.plain import plain


def car(**slot: object) -> Assessment:
    """A camera on a slot of 15 A, of which somebody said that it is permanent, and nothing else."""
    made = edits.add_panel(Vehicle(name="Car"), "Dash", 1, 2)
    made = edits.change_slot(
        made, "slot-1", feed_class="permanent", fuse=Fuse(family="mini", rating=15), **slot
    )
    made = edits.add_accessory(made, **library.fields("dash_camera_parking"))
    made = edits.change_accessory(made, "accessory-1", min_voltage_v=10.8)
    made = edits.place(
        made, "accessory-1", "power", slot="slot-1", kind="two_fuse",
        fuse=Fuse(family="mini", rating=2), cable_out=Cable(section_mm2=0.5, length_m=2.0),
    )  # fmt: skip
    return assess(made)


def hop(a: Assessment, key: str) -> Hop:
    """A hop of the camera's chain."""
    (tap,) = a.vehicle.taps
    return next(each for each in a.chains[tap.id].hops if each.key == key)


def said(hop: Hop, label: str) -> str:
    """An input of its sum."""
    return next((plain(value) for name, value in hop.basis.inputs if plain(name) == label), "")


def figures(words: str) -> list[float]:
    """The figures of a sum, mV and mA as V and A."""
    return [
        float(number) / (1000 if unit.startswith("m") else 1)
        for number, unit in re.findall(r"([0-9.]+) (m?[VA])", words)
    ]


def test_the_least_voltage_at_the_accessory_can_be_added_up() -> None:
    found = hop(car(), "voltage")
    words = said(found, "At worst")
    battery, feeds, way, left = figures(words)
    assert battery - feeds - way == pytest.approx(left, abs=0.02)
    assert left == pytest.approx(found.end, abs=0.01)
    assert words.endswith("key at accessory")


@pytest.mark.parametrize("key", ["live_contact", "host_fuse"])
def test_the_most_that_passes_a_slot_can_be_added_up(key: str) -> None:
    """Own load, of which nobody knows, and what is tapped."""
    found = hop(car(), key)
    own, tapped = figures(said(found, "At worst"))
    assert own + tapped == pytest.approx(found.end, rel=0.01)
    assert own > 10.0


def test_what_a_fuse_carries_at_its_warmest_is_said_with_how_warm_that_is() -> None:
    found = hop(car(), "host_fuse")
    words = said(found, "At its warmest")
    assert words.startswith("60 °C: limit ")
    assert figures(words)[-1] == pytest.approx(found.hard, abs=0.05)


def test_where_all_of_it_was_measured_there_is_no_other_end_of_the_contact() -> None:
    read = StateLoads(asleep=0.1, awake=0.1, accessory=0.1, ignition=0.1, running=0.1)
    a = car(own_load=read)
    own, tapped = figures(said(hop(a, "live_contact"), "At worst"))
    assert own == pytest.approx(0.1, rel=0.01)
    assert tapped < 1.0
