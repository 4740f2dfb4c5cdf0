"""The feed strip in the lid: it is the legend, it has both ends, and a click lights its slots."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest

from fusemap.assess import assess
from fusemap.files import demos
from fusemap.style import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import FEED_CLASSES, Vehicle, edits
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.strip_places import RING, THIN_RING, places_in, verdict_place
from fusemap.window.panel.strip_rows import Carried, StripRow, carried, strip_rows
from fusemap.window.panel.strip_words import ampere_words, share_words
from fusemap.window.style.theme import LIGHT
from tests import trade_vehicles as trade


@pytest.fixture
def estate() -> Vehicle:
    return demos.read_demo("family_estate")


@pytest.fixture
def lid(qtbot: Any, estate: Vehicle) -> PanelPages:
    pages = PanelPages(Document(estate), LIGHT)
    qtbot.addWidget(pages)
    pages.resize(1010, 580)
    _ = pages.document.assessment
    pages.show()
    qtbot.wait(30)
    return pages


@pytest.mark.parametrize("demo", [key for key, _ in demos.demo_names()])
def test_every_slot_that_something_supplies_stands_behind_one_row(demo: str) -> None:
    vehicle = demos.read_demo(demo)
    a = assess(vehicle)
    for panel in vehicle.panels:
        rows = strip_rows(panel, vehicle, a)
        behind = [slot for row in rows for slot in row.slots]
        fed = [s for s in panel.slots if s.kind == "fuse" and s.feed_class != "unfed"]
        assert sorted(behind) == sorted(s.id for s in fed)
        assert rows[0].feed_class is None, "the battery first"
        for row in rows[1:]:
            classes = {s.feed_class for s in panel.slots if s.id in row.slots}
            assert row.key == "?" or classes == {row.feed_class}, "it is the legend of the marks"


def test_what_a_feed_carries_is_the_worst_state_and_at_most_its_own_fuse(estate: Vehicle) -> None:
    a = assess(estate)
    for column, feed in enumerate(estate.feeds):
        found = carried(estate, a, feed.id)
        assert found is not None
        assert found.known_a == a.feeds.current_a[:, column].max()
        assert found.most_a >= found.known_a
        if feed.fuse is not None:
            assert found.most_a <= max(found.known_a, feed.fuse.rating)


def test_while_nothing_is_reckoned_there_is_no_figure(estate: Vehicle) -> None:
    for row in strip_rows(estate.panels[0], estate, None):
        assert row.carried is None
        assert share_words(row, Style(), folded=False) == ampere_words(row, Style()) == ""


@pytest.mark.parametrize(
    ("known", "most", "share", "amperes"),
    [
        (27.9, 40.0, "70–100 %", "27.9–40 A"),
        (5.4, 5.4, "14 %", "5.4 A"),
        (0.375, 0.398, "1 %", "0.38–0.4 A"),
        (0.0, 40.0, "0–100 %", "0–40 A"),
    ],
)
def test_both_ends_are_written(known: float, most: float, share: str, amperes: str) -> None:
    row = StripRow(
        "feed:a", "ignition", ("a",), frozenset(), "", Carried(known, most, 40.0, "holds")
    )
    words = (share_words(row, Style(), folded=False), ampere_words(row, Style()))
    assert tuple(each.replace(NARROW_SPACE, " ") for each in words) == (share, amperes)


def made_rows(count: int) -> list[StripRow]:
    load = Carried(27.9, 40.0, 40.0, "holds")
    head = StripRow("battery", None, ("main",), frozenset(), "", load)
    others = [
        StripRow(f"feed:{n}", FEED_CLASSES[n % 5], (str(n),), frozenset({"a"}), "", load)
        for n in range(count)
    ]
    return [head, *others]


@given(st.integers(0, 8), st.floats(200, 1400), st.floats(10, 34), st.booleans())
def test_nothing_in_the_strip_overlaps_and_the_figures_go_last(
    count: int, high: float, unit: float, folded: bool
) -> None:
    rows = made_rows(count)
    places = places_in(unit * 6, high, unit, rows, folded=folded)
    assert len(places) == len(rows)
    parts = [p for at in places for p in (at.mark, at.name, at.bar, at.figure, at.amperes)]
    seen = [part for part in parts if part.height() > 0]
    for one, other in pairwise(seen):
        assert other.top() >= one.bottom() - 0.01
    assert seen[-1].bottom() <= high + 0.01
    for one, other in pairwise(places[1:]):
        gap = other.mark.top() - max(each.bottom() for each in (one.mark, one.figure, one.amperes))
        if not one.figure.height():
            assert gap >= RING * unit - 0.01, "the ring round one mark covers no other"
        else:
            below = one.figure.top() - one.mark.bottom()
            assert min(gap, below) >= THIN_RING * unit - 0.01, "nor a figure"
    for at in places:
        if at.name.height() or at.amperes.height() or at.bar.height():
            assert at.figure.height() > 0, "figures yield after all the rest"


def test_a_click_selects_the_feed_and_lights_its_slots(lid: PanelPages) -> None:
    page = lid.current_page()
    assert page is not None
    strip, document = page.strip, lid.document
    number = next(n for n, row in enumerate(strip.rows) if row.feed_class == "ignition")
    where = strip.station(number).toPoint()
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=where)
    assert document.selection == Selection("feed", strip.rows[number].feeds[0])
    assert page.view.delegate.lit == strip.rows[number].slots
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=where)
    assert page.view.delegate.lit == frozenset()
    QTest.keyClick(strip, Qt.Key.Key_Down)
    QTest.keyClick(strip, Qt.Key.Key_Down)
    assert strip.chosen == strip.rows[1].key
    document.select("slot", "dash-f1")
    assert strip.chosen == ""


def test_slots_that_nobody_read_have_a_row_that_is_hatched_to_its_end(
    lid: PanelPages, estate: Vehicle
) -> None:
    page = lid.current_page()
    assert page is not None
    strip = page.strip
    number = next(n for n, row in enumerate(strip.rows) if row.key == "?")
    assert strip.rows[number].slots == {
        s.id for s in estate.panels[0].slots if s.feed_class == "unknown" and s.kind == "fuse"
    }
    bar = strip.places()[number].bar
    picture = strip.grab().toImage()
    y = round(bar.center().y())
    inks = [
        picture.pixelColor(x, y).name()
        for x in range(round(bar.left()) + 2, round(bar.right()) - 2)
    ]
    late = inks[-len(inks) // 3 :]
    assert len({*late}) > 1, "strokes to the very end: never an empty bar"


def test_it_folds_and_grows_with_the_page(lid: PanelPages, qtbot: Any) -> None:
    page = lid.current_page()
    assert page is not None
    strip = page.strip
    usual = strip.width()
    lid.resize(620, 520)
    qtbot.wait(20)
    assert strip.width() < usual
    lid.resize(2200, 1200)
    qtbot.wait(20)
    assert strip.width() > usual * 1.2


def test_what_a_row_is_and_carries_is_told_in_words(lid: PanelPages) -> None:
    page = lid.current_page()
    assert page is not None
    strip = page.strip
    for row in strip.rows:
        words = strip.words_of(row)
        assert words.strip()
        assert not row.slots or str(len(row.slots)) in words
    assert strip.childAt(QPoint(3, 3)) is None
    assert QFontMetricsF(strip.small).height() == strip.unit


def test_a_feed_that_goes_leaves_its_row(lid: PanelPages, qtbot: Any) -> None:
    page = lid.current_page()
    assert page is not None
    before = len(page.strip.rows)
    panel = lid.document.vehicle.panels[0]
    ids = [s.id for s in panel.slots if s.feed_class == "accessory"]
    for slot_id in ids:
        lid.document.apply("x", edits.change_slot, slot_id, feed_class="unfed")
    qtbot.wait(20)
    assert len(page.strip.rows) == before - 1


# --- a second battery -----------------------------------------------------------------------------


def test_a_panel_on_the_second_battery_says_so_at_its_head() -> None:
    vehicle = trade.camper()
    second = [f.id for f in vehicle.feeds if f.battery == "second" and f.parent is None]
    assert second, "the camper has one"
    vehicle = all_on(vehicle, second[0])
    head, *others = strip_rows(vehicle.panels[0], vehicle, None)
    assert str(head.source) == "second battery"
    assert not any(row.source for row in others), "said once"


def test_among_feeds_of_the_starter_battery_one_of_the_second_says_so() -> None:
    vehicle = trade.camper()
    second = next(f.id for f in vehicle.feeds if f.battery == "second" and f.parent is None)
    first = next(f.id for f in vehicle.feeds if f.battery != "second" and f.parent is None)
    vehicle = all_on(vehicle, first)
    one = next(s for s in vehicle.panels[0].slots if s.kind == "fuse")
    vehicle = edits.change_slot(vehicle, one.id, feed=second, feed_class="permanent")
    head, *others = strip_rows(vehicle.panels[0], vehicle, None)
    assert not head.source or str(head.source) != "second battery"
    assert [row.feeds for row in others if row.source] == [(second,)]


def all_on(vehicle: Vehicle, feed: str) -> Vehicle:
    """Every fuse slot of the first panel on this feed, live always."""
    for slot in vehicle.panels[0].slots:
        if slot.kind == "fuse":
            vehicle = edits.change_slot(vehicle, slot.id, feed=feed, feed_class="permanent")
    return vehicle


def test_the_strip_shows_that_the_keyboard_is_on_it(lid: PanelPages, qtbot: Any) -> None:
    lid.activateWindow()
    qtbot.waitActive(lid)
    strip = lid.current_page().strip
    without = strip.grab().toImage()
    strip.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.waitUntil(strip.hasFocus)
    assert strip.grab().toImage() != without


@pytest.mark.parametrize("folded", [False, True])
@pytest.mark.parametrize("high", [140, 200, 300, 580, 1100])
@pytest.mark.parametrize("times", [1.0, 1.5])
def test_a_verdict_stands_beside_its_mark_and_over_no_other(
    lid: PanelPages, folded: bool, high: int, times: float
) -> None:
    strip = lid.current_page().strip
    strip.fold(folded)
    strip.enlarge(times)
    strip.resize(strip.sizeHint().width(), high)
    places = strip.places()
    marks = [strip.mark_place(number, place) for number, place in enumerate(places)]
    for mark, row in zip(marks, strip.rows, strict=True):
        mark.setWidth(mark.width() if row.feed_class is None else strip._wide(row, mark))
    shapes = [verdict_place(place, strip.unit) for place in places]
    for shape in shapes:
        assert not any(shape.intersects(mark) for mark in marks)
        assert shape.right() <= strip.width()
    for above, below in pairwise(shapes):
        assert not above.intersects(below)
    for above, below in pairwise(marks):
        assert below.top() - above.bottom() >= strip.unit * RING * 0.99
