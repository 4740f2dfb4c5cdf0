"""A converter looks for a slot with all that hangs behind it."""

import pytest

from fusemap.assess import assess
from fusemap.placement import candidates
from fusemap.vehicle import Converter, Vehicle, edits, look_up
from tests.vehicles import one_slot


def with_converter(watts: float) -> Vehicle:
    v = edits.add_accessory(one_slot(feed_class="accessory"), "Charger", watts=1.0, rated_v=12.0,
                            converter=Converter(output_v=5.0, efficiency=0.5))  # fmt: skip
    return edits.add_accessory(v, "Telephone", watts=watts, rated_v=5.0, supplied_by="accessory-1")


@pytest.mark.parametrize(("watts", "fits"), [(10.0, True), (60.0, False)])
def test_what_hangs_behind_a_converter_is_asked_of_the_slot_too(watts: float, fits: bool) -> None:
    """60 W at half the efficiency is 120 W, over 10 A at 12 V: too heavy for a slot."""
    v = with_converter(watts)
    best = candidates(v, assess(v), look_up.accessory(v, "accessory-1"))[0]
    assert best.fits is fits
