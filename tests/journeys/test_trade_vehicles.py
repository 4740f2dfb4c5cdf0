"""The six vehicles of the trade, each entered into the running window by keys and mouse."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from msgspec import Struct

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


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_a_vehicle_of_the_trade_is_entered_by_hand(
    hands: Hands, build: Callable[[], Vehicle]
) -> None:
    wanted = build()
    hands.enter(wanted)
    assert told(hands.vehicle) == []
    assert list(differing(hands.vehicle, wanted)) == []
