"""Vehicles of the trade: built as handbooks say nothing is told; one planted fault is found alone.

The handbooks' ways: a fuse at either end of a battery's link and a charger between unlike batteries
(charger makers' manuals), a block's fuse next to the battery in a sleeve (ISO 13590; ABYC E-11), a
relay's coil through a switch, fuse and cable to match (ISO 8820-3, IEC 60364-4-43), a converter
near what hangs on it (a charger maker's tip), the common blade of a tap on the live side.
"""

from collections.abc import Callable
from typing import Any

import pytest
from msgspec.structs import replace

from fusemap import files
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import Vehicle, edits, look_up
from tests import trade_vehicles as trade


def told(vehicle: Vehicle) -> set[str]:
    """The codes of stops and cautions."""
    found = findings(vehicle, assess(vehicle))
    return {f.code for f in found if f.severity != "note"}


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_right_practice_has_no_stop_and_no_caution(build: Callable[[], Vehicle]) -> None:
    vehicle = build()
    assert told(vehicle) == set()
    assert files.parse(files.render(vehicle)) == vehicle


def second(**changes: Any) -> Vehicle:
    return edits.change_second_battery(trade.camper(), **changes)


def straight_coil() -> Vehicle:
    vehicle = trade.pickup()
    return edits.change_tap(vehicle, trade.tap_of(vehicle, "light_bar", "sense").id, switch="none")


def small_switch() -> Vehicle:
    vehicle = trade.pickup()
    return edits.change_tap(vehicle, trade.tap_of(vehicle, "winch").id, switch_limit_a=100.0)


def far_radio() -> Vehicle:
    vehicle = trade.truck()
    it = look_up.accessory(vehicle, trade.of(vehicle, "two_way_radio"))
    assert it.lead_cable is not None
    far = replace(it.lead_cable, length_m=14.0)
    return edits.change_accessory(vehicle, it.id, lead_cable=far, lead_back=far)


def small_converter() -> Vehicle:
    vehicle = trade.truck()
    it = look_up.accessory(vehicle, trade.of(vehicle, "converter_24_12"))
    assert it.converter is not None
    return edits.change_accessory(vehicle, it.id, converter=replace(it.converter, rating_a=4.5))


def wrong_way_round() -> Vehicle:
    vehicle = trade.motorcycle()
    return edits.change_tap(vehicle, vehicle.taps[0].id, way_round="load_side")


def far_fuse() -> Vehicle:
    vehicle = trade.van()
    return edits.change_feed(vehicle, vehicle.feeds[-1].id, unfused_m=3.2)


def tow_on_a_lamp_fuse() -> Vehicle:
    vehicle = trade.van()
    tap = trade.tap_of(vehicle, "tow_module")
    return edits.change_tap(vehicle, tap.id, fuse=trade.fuse(15.0, "regular"))


def never_topped_up() -> Vehicle:
    return edits.change_parking(trade.electric(), topped_up="no", stand_days=120.0)


FAULTS: dict[str, tuple[Callable[[], Vehicle], str]] = {
    "a link without a fuse at one battery": (lambda: second(far_fuse=None), "link_unfused"),
    "a plain relay between lead and lithium": (lambda: second(link="relay"), "link_joins_unlike"),
    "a light bar on the key alone": (straight_coil, "coil_without_switch"),
    "a winch's switch too small": (small_switch, "switch_overloaded"),
    "a radio far behind its converter": (far_radio, "output_drop"),
    "a converter too small": (small_converter, "converter_overloaded"),
    "a tap the wrong way round": (wrong_way_round, "reversed_tap"),
    "a block's fuse far from the battery": (far_fuse, "feed_unfused_too_long"),
    "a fuse too small for a tow socket": (tow_on_a_lamp_fuse, "fuse_overloaded"),
    "an electric car left for months": (never_topped_up, "stands_too_short"),
}


CAME_ALONG = {"stands_too_short": ("deep_discharge",)}
"""What the same fault does besides, and is told of itself."""


@pytest.mark.parametrize("fault", FAULTS)
def test_one_planted_fault_is_found_alone_and_has_a_way_out(fault: str) -> None:
    build, code = FAULTS[fault]
    vehicle = build()
    assert told(vehicle) == {code, *CAME_ALONG.get(code, ())}
    a = assess(vehicle)
    finding = next(f for f in findings(vehicle, a) if f.code == code)
    ways = [trial.fix for trial in find_fixes(a, finding)]
    assert ways
    for way in ways:
        if way.edit is not None:
            assert code not in told(way.edit(vehicle)), str(way.title)
