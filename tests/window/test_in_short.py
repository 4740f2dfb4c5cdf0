"""On a large screen three short lists stand below the lid, and each row leads on."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.assess.sure_words import order
from fusemap.text import ENGLISH
from fusemap.window.frame.in_short import MOST, InShort, ShortList
from fusemap.window.main_window import MainWindow
from fusemap.window.parked.draws_list import drawn_words
from fusemap.window.style.measures import px

Key = Qt.Key


@pytest.fixture
def short(opened: MainWindow, qtbot: Any) -> InShort:
    opened.resize(2560, 1440)
    lists = opened.work.lid.short
    assert lists is not None
    qtbot.waitUntil(lambda: all(each.model.rows for each in of(lists)), timeout=10000)
    return lists


def of(lists: InShort) -> tuple[ShortList, ...]:
    return (lists.findings, lists.draws, lists.sure)


def test_they_are_not_even_made_where_there_is_no_room(opened: MainWindow) -> None:
    assert opened.work.lid.short is None
    opened.resize(2560, 1440)
    assert opened.work.lid.short is not None
    opened.resize(1366, 768)
    assert not opened.work.lid.short.isVisible()


def test_they_begin_with_the_worst_and_the_largest(opened: MainWindow, short: InShort) -> None:
    assert short.findings.model.rows == opened.document.findings[:MOST]
    draws = short.draws.model.rows
    assert [each.mean_a for each in draws] == sorted((e.mean_a for e in draws), reverse=True)
    a = opened.document.assessment
    words = [str(order(a.vehicle, each)) for each in short.sure.model.rows]
    assert words == [str(order(a.vehicle, each)) for each in a.measure_next[:MOST]]


def test_no_row_is_cut(short: InShort) -> None:
    for each in of(short):
        room = each.list.viewport().rect()
        shown = [row for row in range(len(each.model.rows)) if not each.list.isRowHidden(row)]
        assert shown
        for row in shown:
            assert room.contains(each.list.visualRect(each.model.index(row, 0)))


def test_what_draws_says_both_its_ends(short: InShort) -> None:
    row = short.draws.model.rows[0]
    assert row.low_a < row.high_a
    head = short.draws.model.index(0, 0).data()
    assert drawn_words((row,), ENGLISH) in head, "as the page of the standing has it"
    assert "–" in head


def test_an_edit_leaves_no_old_figure_standing(
    opened: MainWindow, short: InShort, qtbot: Any
) -> None:
    from fusemap.vehicle import edits

    assert opened.document.apply("Off", edits.unplace, opened.document.vehicle.taps[0].id)
    qtbot.waitUntil(lambda: short.findings.model.rows == ())
    assert short.findings.empty.isVisible()
    qtbot.waitUntil(lambda: bool(short.draws.model.rows), timeout=10000)
    assert short.findings.model.rows == opened.document.findings[:MOST]


def test_rows_and_heads_lead_on(opened: MainWindow, short: InShort, qtbot: Any) -> None:
    work = opened.work
    short.findings.list.setFocus()
    short.findings.list.setCurrentIndex(short.findings.model.index(1, 0))
    qtbot.keyClick(short.findings.list, Key.Key_Return)
    assert work.page == "findings"
    assert work.findings.current() == opened.document.findings[1]
    opened.tasks.show("plan")
    qtbot.mouseClick(short.findings.whole, Qt.MouseButton.LeftButton)
    assert work.page == "findings"
    opened.tasks.show("plan")
    row = short.draws.model.rows[0]
    short.draws.row_wanted.emit(row)
    assert opened.document.selection is not None
    assert (opened.document.selection.kind, opened.document.selection.id) == (row.target, row.id)
    qtbot.mouseClick(short.draws.whole, Qt.MouseButton.LeftButton)
    assert work.page == "parked"
    opened.tasks.show("plan")
    qtbot.mouseClick(short.sure.whole, Qt.MouseButton.LeftButton)
    assert opened.tasks.shown == "probe"


def test_what_leads_on_is_high_enough_to_be_hit(short: InShort) -> None:
    for each in of(short):
        assert each.whole.height() >= px(each, 28)
        assert each.list.visualRect(each.model.index(0, 0)).height() >= px(each, 28)
