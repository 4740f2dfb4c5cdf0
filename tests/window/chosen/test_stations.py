"""Every hop of a chain has its station, in vehicles of the trade with all that they carry."""

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, get_args

import pytest
from PySide6.QtCore import QPoint, QRectF
from PySide6.QtGui import QPainter, QPixmap

from fusemap.assess import assess
from fusemap.assess.result import HopKey
from fusemap.text import ENGLISH
from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from fusemap.window.chosen.parts_drawn import draw_part
from fusemap.window.chosen.station_button import StationButton
from fusemap.window.chosen.stations import AT, WHAT, feed_station, stations_of
from fusemap.window.findings.station_row import StationRow
from fusemap.window.style.theme import LIGHT
from tests import trade_vehicles as trade


@contextmanager
def noted(note: Callable[[QPainter, str], object]) -> Iterator[None]:
    """Note every text that is drawn meanwhile."""
    usual = QPainter.drawText

    def draw(painter: QPainter, *how: Any) -> Any:
        note(painter, next(each for each in how if isinstance(each, str)))
        return usual(painter, *how)

    QPainter.drawText = draw  # type: ignore[method-assign,assignment]
    try:
        yield
    finally:
        QPainter.drawText = usual  # type: ignore[method-assign]


def test_each_kind_of_hop_has_a_station_and_a_name() -> None:
    assert set(AT) == set(WHAT) == set(get_args(HopKey))


@pytest.mark.parametrize("build", trade.BUILT, ids=lambda build: build.__name__)
def test_every_hop_of_a_trade_vehicle_stands_at_one_station(build: Callable[[], Vehicle]) -> None:
    a = assess(build())
    for tap in a.vehicle.taps:
        for folded in (False, True):
            stations = stations_of(a, tap.id, folded=folded)
            keys = [station.key for station in stations]
            assert len(keys) == len(set(keys))
            stood = [hop for station in stations for hop in station.hops]
            assert sorted(hop.id for hop in stood) == sorted(h.id for h in a.chains[tap.id].hops)


def test_a_cable_through_several_places_is_said_with_its_whole_length() -> None:
    a = assess(trade.van())
    tow = trade.tap_of(a.vehicle, "tow_module")
    cable = next(each for each in stations_of(a, tow.id) if each.key == "cable")
    assert "4\N{NARROW NO-BREAK SPACE}m" in str(cable.title)


def test_a_feed_whose_own_cable_does_not_hold_says_so() -> None:
    """Two square millimetres and a half behind sixty amperes, at the living block of the camper."""
    vehicle = trade.camper()
    feed = next(each for each in vehicle.feeds if each.added and each.cable is not None)
    assert feed_station(assess(vehicle), feed).verdict == "holds"
    thin = edits.change_feed(vehicle, feed.id, cable=trade.cable(2.5, 0.6))
    station = feed_station(assess(thin), look_up.feed(thin, feed.id))
    assert station.verdict == "fails"
    assert "feed_overload" in {hop.key for hop in station.hops}


@pytest.mark.parametrize("rating", [2.0, 7.5, 25.0, 60.0, 150.0, 300.0])
def test_a_drawn_fuse_has_its_rating_written_on_it(qtbot: Any, rating: float) -> None:
    """At the size of the pads, at the scale of a plain screen."""
    family = "mini" if rating < 40 else "mega"
    picture = QPixmap(40, 40)
    written: list[str] = []
    with noted(lambda painter, text: written.append(text)):
        painter = QPainter(picture)
        draw_part(painter, QRectF(1, 1, 32, 32), "fuse", LIGHT, Fuse(family=family, rating=rating))
        painter.end()
    assert written == [ENGLISH.number(rating)]


def test_a_station_says_which_fuse_is_drawn_there(qtbot: Any) -> None:
    a = assess(trade.van())
    tow = trade.tap_of(a.vehicle, "tow_module")
    stations = stations_of(a, tow.id)
    row = StationRow(LIGHT)
    qtbot.addWidget(row)
    row.resize(900, 200)
    row.show_way(stations, "")
    fused = [number for number, each in enumerate(stations) if each.fuse is not None]
    assert fused
    for number, pad in enumerate(row.pads()):
        told = row.told_at(pad.center().toPoint())
        assert str(stations[number].words) in told
        assert ("Fuse of" in told) is (number in fused)
        button = StationButton(LIGHT)
        qtbot.addWidget(button)
        button.show_station(stations[number], 52, lines=True)
        assert ("Fuse of" in button.toolTip()) is (number in fused)
    assert row.told_at(QPoint(1, 190)) == ""


@pytest.mark.parametrize("wide", [500, 700, 900, 1100, 1600])
def test_more_stations_than_fit_in_a_line_are_shared_out_evenly(qtbot: Any, wide: int) -> None:
    """Nine stand as five and four, not as eight and a last one alone."""
    a = assess(trade.van())
    stations = stations_of(a, trade.tap_of(a.vehicle, "tow_module").id)
    row = StationRow(LIGHT)
    qtbot.addWidget(row)
    for many in range(1, 10):
        row.show_way((stations * 3)[:many], "")
        row.resize(wide, row.heightForWidth(wide))
        lines = Counter(pad.top() for pad in row.pads())
        assert max(lines.values()) - min(lines.values()) < len(lines)
        assert row.pads()[-1].bottom() <= row.height()
