"""How warm the cabin and the boot get, where nobody said it: as warm as in the sun, at the most.

The most is the table's, of cars logged in summer (`unanswered`, ambient_cabin_c, ambient_boot_c).
"""

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.sure_words import headline, order
from fusemap.checks import findings, whole_verdict
from fusemap.vehicle import Cable, Fuse, Vehicle, edits, look_up
from tests import reckoning_tables as tables
from tests.vehicles import one_slot

HARD = {place: tables.unanswered(f"ambient_{place}_c").hard for place in ("cabin", "boot")}


def heated(amperes: float, place: str = "cabin", **fields: object) -> Vehicle:
    """A load for good on an own feed whose cable lies in one place."""
    vehicle = edits.change_panel(one_slot(), "panel-1", ambient_c=None)
    vehicle = edits.add_accessory(
        vehicle, "heater", amperes=amperes, rated_v=12.0, load_kind="constant_current"
    )
    wire = replace(Cable(section_mm2=1.5, length_m=1.0, place=place), **fields)  # type: ignore[arg-type]
    guard = Fuse(family="regular", rating=40.0)
    made = edits.place(vehicle, "accessory-1", kind="own_feed", fuse=guard, cable_out=wire)
    return edits.change_battery(made, resistance_mohm=5.0, start_soc=0.9)


def ends(vehicle: Vehicle) -> tuple[float, float, float]:
    """How warm its cable gets at both ends, and what its insulation bears [°C]."""
    hop = assess(vehicle).hops["heat_out"]
    return float(hop.load[0]), float(hop.most[0]), float(hop.limit[0])


def doubtful(place: str = "cabin") -> Vehicle:
    """One whose cable holds at 25 °C around it, and not in the sun."""
    for amperes in np.arange(10.0, 30.0, 0.5).tolist():
        known, most, limit = ends(heated(amperes, place))
        if known < limit < most:
            return heated(amperes, place)
    raise AssertionError("none is in doubt")


def verdict(a: Assessment) -> str:
    return a.chains.hop("tap-1", "heat_out").verdict


@pytest.mark.parametrize("place", ["cabin", "boot"])
def test_at_the_most_it_is_as_warm_as_in_the_sun(place: str) -> None:
    """As if the rule had been set to that: the same temperature within rounding."""
    vehicle = heated(12.0, place)
    known, most, _ = ends(vehicle)
    told = edits.set_rule(vehicle, f"ambient_{place}_c", HARD[place])
    assert most == pytest.approx(ends(told)[0], rel=1e-9)
    assert most > known + 20.0


@pytest.mark.parametrize("place", ["cabin", "boot"])
def test_no_answer_up_to_that_is_worse_than_none(place: str) -> None:
    vehicle = heated(14.0, place)
    for answer in (-20.0, 25.0, 40.0, HARD[place]):
        told = edits.set_rule(vehicle, f"ambient_{place}_c", answer)
        assert ends(told)[1] <= ends(vehicle)[1] + 1e-9
        volts = [assess(v).most.taps.voltage_v.min() for v in (told, vehicle)]
        assert volts[0] >= volts[1] - 1e-9


def test_a_place_that_was_said_or_is_hot_by_its_rule_is_left_as_it_is() -> None:
    told = edits.set_rule(heated(12.0), "ambient_cabin_c", 25.0)
    by_panel = edits.change_panel(heated(12.0), "panel-1", ambient_c=25.0)
    bay = heated(12.0, "engine_bay")
    for vehicle in (told, by_panel, bay):
        known, most, _ = ends(vehicle)
        assert most == pytest.approx(known, rel=1e-12)


def test_what_hangs_on_it_may_not_hold_and_asks_for_it_alone() -> None:
    vehicle = doubtful()
    a = assess(vehicle)
    assert verdict(a) == "may_not_hold"
    assert whole_verdict(vehicle, a, findings(vehicle, a)) != "holds"
    asked = [w for w in a.measure_next if any(d.key == "heat_out" for d in w.settles)]
    assert [(each.how, each.state) for each in asked] == [("warmth", None)]
    assert str(order(vehicle, asked[0])) == (
        "Cabin and boot: say how warm the air gets there at most"
    )
    assert "the cabin and the boot" in str(headline(vehicle, asked))
    # what else is to be said at that very place does not hide it
    twice = str(headline(vehicle, (*asked, replace(asked[0], how="say"))))
    assert "the cabin and the boot" in twice
    assert str(look_up.accessory(vehicle, "accessory-1").name) in twice
    told = assess(edits.change_panel(vehicle, "panel-1", ambient_c=25.0))
    assert verdict(told) == "holds"
    assert not [wanted for wanted in told.measure_next if wanted.how == "warmth"]


def test_it_is_not_asked_for_where_it_would_not_do() -> None:
    """Too hot by the load alone, at its most: a clamp is wanted then."""
    vehicle = doubtful()
    amperes = vehicle.accessories[0].amperes or 0.0
    vehicle = edits.change_accessory(vehicle, "accessory-1", amperes=amperes, current_spread=0.4)
    asked = assess(vehicle).measure_next
    assert [w.how for w in asked if any(d.key == "heat_out" for d in w.settles)] == ["clamp"]
