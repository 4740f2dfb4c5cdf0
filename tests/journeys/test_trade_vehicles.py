"""The six vehicles of the trade, each entered into the running window by keys and mouse.

Built as handbooks say nothing is told of them; then a mistake of the trade is made by hand, and its
way out is taken from the list of findings.
"""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from msgspec import Struct
from PySide6.QtCore import Qt

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from tests import trade_vehicles as trade
from tests.journeys.trade_hands import Hands


@pytest.fixture
def hands(qtbot: Any) -> Hands:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1500, 1000)
    with qtbot.waitExposed(window):
        window.show()
    window.activateWindow()
    return Hands(window)


def told(vehicle: Vehicle) -> list[str]:
    found = findings(vehicle, assess(vehicle))
    return sorted(f.code for f in found if f.severity != "note")


def differing(now: Any, wanted: Any, at: str = "") -> Iterator[tuple[str, Any, Any]]:
    """Every figure in which the two differ, by its path."""
    if isinstance(now, Struct) and type(now) is type(wanted):
        for name in (each for each in now.__struct_fields__ if each != "when"):
            yield from differing(getattr(now, name), getattr(wanted, name), f"{at}.{name}")
    elif isinstance(now, tuple) and isinstance(wanted, tuple) and len(now) == len(wanted):
        for number, (one, other) in enumerate(zip(now, wanted, strict=True)):
            yield from differing(one, other, f"{at}[{number}]")
    elif isinstance(now, float) and isinstance(wanted, float):
        if now != pytest.approx(wanted, rel=1e-12):
            yield at, now, wanted
    elif now != wanted:
        yield at, now, wanted


def by_a_relay(hands: Hands) -> None:
    hands.page(Qt.Key.Key_B)
    hands.put("second_link", "relay")


def on_the_key_alone(hands: Hands) -> None:
    hands.lead_of("light_bar")
    hands.put("senseLead_switch", "none")


def far_behind(hands: Hands) -> None:
    hands.lead_of("two_way_radio")
    hands.put("outputLead_lead_cable_length_m", 14.0)
    hands.put("outputLead_lead_back_length_m", 14.0)


def the_wrong_way_round(hands: Hands) -> None:
    hands.lead_of("usb_socket")
    hands.put("powerLead_way_round", "load_side")


def a_fuse_far_away(hands: Hands) -> None:
    hands.feed_of("Load space block")
    hands.put("feed_unfused_m", 3.2)


def never_topped_up(hands: Hands) -> None:
    hands.page(Qt.Key.Key_K)
    hands.put("parking_topped_up", "no")
    hands.put("parking_stand_days", 120.0)


MISTAKES: dict[str, tuple[Callable[[Hands], None], str]] = {
    "camper": (by_a_relay, "link_joins_unlike"),
    "pickup": (on_the_key_alone, "coil_without_switch"),
    "truck": (far_behind, "output_drop"),
    "motorcycle": (the_wrong_way_round, "reversed_tap"),
    "van": (a_fuse_far_away, "feed_unfused_too_long"),
    "electric": (never_topped_up, "stands_too_short"),
}
"""What is done wrong at each, and the finding that says so."""


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_a_vehicle_of_the_trade_is_entered_spoilt_and_mended(
    hands: Hands, build: Callable[[], Vehicle]
) -> None:
    wanted = build()
    hands.enter(wanted)
    assert told(hands.vehicle) == []
    assert list(differing(hands.vehicle, wanted)) == []
    mistake, code = MISTAKES[build.__name__]
    mistake(hands)
    assert code in told(hands.vehicle)
    hands.way_out(code)
    assert code not in told(hands.vehicle)
