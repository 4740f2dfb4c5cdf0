"""A lid drawn on its photo with mouse and keys: corners, lines, gaps and relay places."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest

from fusemap.window.main_window import MainWindow
from fusemap.window.photo.fit_view import FIRST_CORNERS
from fusemap.window.photo.lid_on_photo import LidOnPhoto
from fusemap.window.photo.taking import pack
from fusemap.window.photo.walk_dialog import WalkDialog
from tests.window.photo.pictures import picture

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def drawn(window: MainWindow, qtbot: Any) -> LidOnPhoto:
    """The grid on a picture, four rows of six at first."""
    window.resize(1200, 800)
    window.show_start()
    window.first.take_photo(window.start, picture())
    view = window.start.new.on_photo
    assert view is not None
    qtbot.waitUntil(lambda: view.width() > 200)
    return view


def spot(view: LidOnPhoto, row: float, column: float) -> QPoint:
    """Where a point of the grid is on the screen, in rows and columns."""
    return view.lay().map(QPointF(column, row)).toPoint()


def size(view: LidOnPhoto) -> tuple[int, int]:
    return view.lid.rows, view.lid.columns


def drag(view: LidOnPhoto, start: QPoint, to: QPoint) -> None:
    QTest.mousePress(view, LEFT, pos=start)
    for step in range(1, 6):
        QTest.mouseMove(view, start + (to - start) * step / 5)
    QTest.mouseRelease(view, LEFT, pos=to)


def test_a_line_dragged_says_how_many_rows_there_are(window: MainWindow, drawn: LidOnPhoto) -> None:
    """The first line within is drawn to half the height: two rows; to an eighth: eight."""
    assert size(drawn) == (4, 6)
    drag(drawn, spot(drawn, 1, 2.5), spot(drawn, 2, 2.5))
    assert size(drawn) == (2, 6)
    assert window.start.new.rows.value() == 2, "the field says so, too"
    drag(drawn, spot(drawn, 1, 2.5), spot(drawn, 0.25, 2.5))
    assert size(drawn) == (8, 6)


def test_a_line_dragged_says_how_many_columns_there_are(drawn: LidOnPhoto) -> None:
    drag(drawn, spot(drawn, 1.5, 3), spot(drawn, 1.5, 1.5))
    assert size(drawn) == (4, 12)


def test_a_line_under_the_mouse_says_that_it_can_be_dragged(drawn: LidOnPhoto) -> None:
    QTest.mouseMove(drawn, spot(drawn, 1.5, 3))
    assert drawn.cursor().shape() == Qt.CursorShape.SplitHCursor
    QTest.mouseMove(drawn, spot(drawn, 1, 2.5))
    assert drawn.cursor().shape() == Qt.CursorShape.SplitVCursor
    QTest.mouseMove(drawn, spot(drawn, 1.5, 2.5))
    assert drawn.cursor().shape() == Qt.CursorShape.ArrowCursor


def test_whoever_comes_back_to_the_same_picture_finds_the_grid_as_it_lay(
    window: MainWindow, drawn: LidOnPhoto, qtbot: Any
) -> None:
    drag(drawn, drawn.at(0).toPoint(), drawn.at(0).toPoint() + QPoint(60, 40))
    lay = drawn.corners
    assert lay != FIRST_CORNERS
    QTest.keyClick(drawn, Key.Key_Escape)
    assert window.start.currentIndex() == 0
    window.first.take_photo(window.start, picture())
    again = window.start.new.on_photo
    assert again is not None
    assert again.corners == lay
    QTest.keyClick(again, Key.Key_Escape)
    window.first.take_photo(window.start, picture(rows=3))
    assert window.start.new.on_photo.corners == FIRST_CORNERS, "another lid is drawn anew"


def test_clicks_make_a_place_a_gap_a_relay_place_and_a_slot_again(drawn: LidOnPhoto) -> None:
    seen = []
    for _ in range(3):
        QTest.mouseClick(drawn, LEFT, pos=spot(drawn, 1.5, 2.5))
        seen.append(drawn.lid.kinds.get((1, 2)))
    assert seen == ["gap", "relay", None]


def test_a_drag_over_places_makes_gaps_of_them_all(drawn: LidOnPhoto) -> None:
    QTest.mousePress(drawn, LEFT, pos=spot(drawn, 0.5, 0.5))
    for column in (1.5, 2.5, 3.5):
        QTest.mouseMove(drawn, spot(drawn, 0.5, column))
    QTest.mouseRelease(drawn, LEFT, pos=spot(drawn, 0.5, 3.5))
    assert drawn.lid.kinds == {(0, column): "gap" for column in range(4)}


def test_keys_alone_draw_a_grid(drawn: LidOnPhoto) -> None:
    drawn.setFocus(Qt.FocusReason.TabFocusReason)
    QTest.keyClick(drawn, Key.Key_Right, CTRL)
    QTest.keyClick(drawn, Key.Key_Up, CTRL)
    assert size(drawn) == (3, 7)
    before = drawn.corners[0]
    QTest.keyClick(drawn, Key.Key_Left)
    assert drawn.corners[0].across < before.across
    for _ in range(4):
        QTest.keyClick(drawn, Key.Key_Tab)
    QTest.keyClick(drawn, Key.Key_Down)
    QTest.keyClick(drawn, Key.Key_Space)
    QTest.keyClick(drawn, Key.Key_Right)
    QTest.keyClick(drawn, Key.Key_Space)
    QTest.keyClick(drawn, Key.Key_Space)
    assert drawn.lid.kinds == {(1, 0): "gap", (1, 1): "relay"}
    QTest.keyClick(drawn, Key.Key_Insert)
    assert drawn.lid.kinds == {(1, 0): "gap"}
    assert drawn.accessibleName() == "row 2, column 2: F8, mini"


def test_no_fewer_than_one_row_and_no_more_than_a_panel_has(drawn: LidOnPhoto) -> None:
    drawn.setFocus()
    for _ in range(9):
        QTest.keyClick(drawn, Key.Key_Up, CTRL)
    assert drawn.lid.rows == 1


def test_a_corner_is_dragged_and_the_places_go_with_it(drawn: LidOnPhoto) -> None:
    start = drawn.at(2).toPoint()
    drag(drawn, start, start - QPoint(80, 60))
    assert drawn.lid.kinds == {}, "no place was clicked on the way"
    assert drawn.place_at(QPointF(start)) is None
    assert drawn.place_at(QPointF(spot(drawn, 3.5, 5.5))) == (3, 5)


def test_the_panel_is_made_as_it_was_drawn(
    window: MainWindow, drawn: LidOnPhoto, qtbot: Any
) -> None:
    drag(drawn, spot(drawn, 1, 2.5), spot(drawn, 2, 2.5))
    QTest.mouseClick(drawn, LEFT, pos=spot(drawn, 1.5, 5.5))
    drawn.setFocus()
    QTest.keyClick(drawn, Key.Key_Return)
    qtbot.waitUntil(lambda: bool(window.document.vehicle.panels))
    qtbot.waitUntil(lambda: bool(window.findChildren(WalkDialog)))
    (panel,) = window.document.vehicle.panels
    assert (panel.rows, panel.columns, len(panel.slots)) == (2, 6, 11)
    assert panel.photo is not None
    assert panel.photo.corners == drawn.corners
    assert panel.photo.jpeg == pack(picture())


def test_back_at_the_doors_the_questions_are_without_a_picture_again(
    window: MainWindow, drawn: LidOnPhoto
) -> None:
    window.show_new()
    assert window.start.new.on_photo is None
    assert window.start.new.questions.grid.isVisible()


def test_turning_the_grid_is_for_a_photo_taken_from_another_side(
    window: MainWindow, drawn: LidOnPhoto
) -> None:
    first = drawn.corners
    QTest.mouseClick(window.start.new.turn_button, LEFT)
    assert drawn.corners == (*first[1:], first[0])


def test_the_picture_stands_below_the_questions_where_both_have_no_room_beside_each_other(
    window: MainWindow, drawn: LidOnPhoto, qtbot: Any
) -> None:
    questions = window.start.new.questions
    place = drawn.mapTo(window, QPoint(0, 0))
    assert place.x() > questions.mapTo(window, QPoint(questions.width(), 0)).x()
    window.resize(620, 800)
    qtbot.waitUntil(lambda: drawn.y() >= questions.geometry().bottom())
    assert drawn.mapTo(window, QPoint(drawn.width(), 0)).x() <= window.width()
    window.resize(1200, 800)
    qtbot.waitUntil(lambda: drawn.x() >= questions.geometry().right())
