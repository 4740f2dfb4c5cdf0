"""The photo of a lid on the window: dropped, pasted, fitted with mouse and keys, seen behind."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, QRect, Qt, QUrl
from PySide6.QtGui import (
    QColor,
    QDragEnterEvent,
    QDragMoveEvent,
    QDropEvent,
    QGuiApplication,
    QImage,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QPushButton, QToolButton

from fusemap.text import say
from fusemap.vehicle import PanelPhoto, Vehicle, edits
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.arrangement import Arrangement
from fusemap.window.panel.panel_drop import Payload, Stuck
from fusemap.window.panel.panel_model import LOOK
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.photo import taking
from fusemap.window.photo.backdrop import WORDS_COVERED, Backdrop
from fusemap.window.photo.fit_dialog import FitDialog
from fusemap.window.photo.fit_view import FIRST_CORNERS, LARGE_STEP, STEP, FitView
from fusemap.window.settings import Settings
from fusemap.window.style.theme import DARK, LIGHT, Theme, contrast
from tests.window.photo.pictures import COLOURS, content, file_of, picture

Key = Qt.Key
LEFT, COPY = Qt.MouseButton.LeftButton, Qt.DropAction.CopyAction
PLAIN, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier


@pytest.fixture
def pictured(van: Vehicle, qapp: Any) -> Vehicle:
    """The van, its cabin panel of two rows of four with a photo that fits as it is."""
    return edits.set_photo(van, "panel-1", taking.pack(picture()))


@pytest.fixture
def open_van(window: MainWindow, van: Vehicle) -> PanelView:
    window.document.set_vehicle(van)
    return shown(window)


def shown(window: MainWindow) -> PanelView:
    view = window.panels.view
    assert view is not None
    return view


def photo(window: MainWindow, panel: int = 0) -> PanelPhoto | None:
    return window.document.vehicle.panels[panel].photo


def dialog(window: MainWindow) -> FitDialog:
    return next(each for each in window.findChildren(FitDialog) if each.isVisible())


def done(window: MainWindow) -> None:
    button = dialog(window).findChild(QPushButton, "fitDone")
    QTest.mouseClick(button, LEFT)


def drop(view: PanelView, mime: QMimeData) -> bool:
    at = view.viewport().rect().center()
    QApplication.sendEvent(view.viewport(), QDragEnterEvent(at, COPY, mime, LEFT, PLAIN))
    QApplication.sendEvent(view.viewport(), QDragMoveEvent(at, COPY, mime, LEFT, PLAIN))
    event = QDropEvent(QPointF(at), COPY, mime, LEFT, PLAIN)
    QApplication.sendEvent(view.viewport(), event)
    return event.isAccepted()


def mime_of_file(path: Path) -> QMimeData:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path))])
    return mime


# --- taking in -----------------------------------------------------------------------------------


def test_a_picture_file_dropped_on_the_panel_is_fitted_and_is_one_step(
    window: MainWindow, open_van: PanelView, tmp_path: Path
) -> None:
    path = file_of(tmp_path, "lid.png", content(picture(), "png"))
    steps = window.document.stack.count()
    assert drop(open_van, mime_of_file(path))
    assert photo(window) is None, "not before its corners are set"
    done(window)
    assert photo(window) is not None
    assert window.document.stack.count() == steps + 1
    window.actions_.trigger("undo")
    assert photo(window) is None


def test_a_picture_dropped_is_copied_and_stays_where_it_comes_from(
    open_van: PanelView, tmp_path: Path
) -> None:
    """Where a move is proposed and accepted, a file manager deletes its file."""
    mime = mime_of_file(file_of(tmp_path, "lid.png", content(picture(), "png")))
    at, both = open_van.viewport().rect().center(), COPY | Qt.DropAction.MoveAction
    shift = Qt.KeyboardModifier.ShiftModifier
    entered = QDragEnterEvent(at, both, mime, LEFT, shift)
    moved = QDragMoveEvent(at, both, mime, LEFT, shift)
    dropped = QDropEvent(QPointF(at), both, mime, LEFT, shift)
    for event in (entered, moved, dropped):
        assert event.proposedAction() == Qt.DropAction.MoveAction
        QApplication.sendEvent(open_van.viewport(), event)
        assert (event.isAccepted(), event.dropAction()) == (True, COPY)


def test_leaving_the_fitting_takes_nothing_in(
    window: MainWindow, open_van: PanelView, tmp_path: Path
) -> None:
    drop(open_van, mime_of_file(file_of(tmp_path, "a.jpg", content(picture(), "jpg"))))
    QTest.keyClick(dialog(window), Key.Key_Escape)
    assert photo(window) is None


def test_a_picture_that_cannot_be_read_is_said_quietly(
    window: MainWindow, open_van: PanelView, tmp_path: Path
) -> None:
    drop(open_van, mime_of_file(file_of(tmp_path, "lid.heic", b"ftypheic")))
    assert window.findChild(FitDialog) is None
    assert "Only JPEG, PNG and WebP" in window.message.text or "only JPEG" in window.message.text
    assert "lid.heic" in window.message.text


def test_a_file_that_is_no_picture_is_said_to_be_none(
    window: MainWindow, open_van: PanelView, tmp_path: Path
) -> None:
    drop(open_van, mime_of_file(file_of(tmp_path, "a.txt", b"x")))
    assert window.findChild(FitDialog) is None
    assert "a.txt" in window.message.text


def test_a_picture_is_pasted_from_the_clipboard(window: MainWindow, open_van: PanelView) -> None:
    QGuiApplication.clipboard().setImage(picture())
    window.clipboard.paste()
    done(window)
    assert photo(window) is not None


def test_a_picture_is_chosen_from_the_menu_and_from_the_form(
    window: MainWindow, open_van: PanelView, tmp_path: Path
) -> None:
    path = file_of(tmp_path, "lid.jpg", content(picture(), "jpg"))
    window.document.select("panel", "panel-2")
    assert not window.actions_.by_key["fit_photo"].isEnabled()
    window.actions_.trigger("photo")
    choose(window, path)
    done(window)
    assert photo(window, 1) is not None
    assert photo(window) is None
    assert window.actions_.by_key["fit_photo"].isEnabled()

    window.document.select("panel", "panel-1")
    assert window.work is not None
    window.show_page("panel")
    form = window.work.details.page("panel")
    fit = form.findChild(QPushButton, "panelPhoto_fit")
    assert not fit.isEnabled()
    QTest.mouseClick(form.findChild(QPushButton, "panelPhoto_choose"), LEFT)
    choose(window, path)
    done(window)
    assert photo(window) is not None
    assert fit.isEnabled()
    QTest.mouseClick(form.findChild(QPushButton, "panelPhoto_remove"), LEFT)
    assert photo(window) is None
    assert photo(window, 1) is not None


def choose(window: MainWindow, path: Path) -> None:
    files = [d for d in window.findChildren(QFileDialog) if d.objectName() == "photoFile"]
    files[-1].fileSelected.emit(str(path))
    files[-1].close()


# --- fitting -------------------------------------------------------------------------------------


@pytest.fixture
def fitting(window: MainWindow, pictured: Vehicle, qtbot: Any) -> FitView:
    """The photo being fitted, its corners a little inside."""
    fitted = edits.fit_photo(pictured, "panel-1", FIRST_CORNERS)
    window.document.set_vehicle(fitted)
    window.actions_.trigger("fit_photo")
    view = dialog(window).view
    qtbot.waitUntil(lambda: view.width() > 200)
    return view


def moved(view: FitView, corner: int) -> tuple[float, float]:
    now, before = view.corners[corner], FIRST_CORNERS[corner]
    return round(now.across - before.across, 4), round(now.down - before.down, 4)


def test_the_arrow_keys_move_the_corner_that_tab_has_chosen(
    window: MainWindow, fitting: FitView
) -> None:
    QTest.keyClick(fitting, Key.Key_Right)
    QTest.keyClick(fitting, Key.Key_Tab)
    QTest.keyClick(fitting, Key.Key_Down, SHIFT)
    QTest.keyClick(fitting, Key.Key_Tab)
    QTest.keyClick(fitting, Key.Key_Tab)
    QTest.keyClick(fitting, Key.Key_Left, SHIFT)
    QTest.keyClick(fitting, Key.Key_Tab, SHIFT)
    QTest.keyClick(fitting, Key.Key_Up)
    assert [moved(fitting, corner) for corner in range(4)] == [
        (STEP, 0.0), (0.0, LARGE_STEP), (0.0, -STEP), (-LARGE_STEP, 0.0),
    ]  # fmt: skip
    QTest.keyClick(dialog(window), Key.Key_Return)
    kept = photo(window)
    assert kept is not None
    assert kept.corners == fitting.corners


def test_tab_after_the_last_corner_goes_on_to_the_buttons(
    window: MainWindow, fitting: FitView
) -> None:
    for _ in range(3):
        QTest.keyClick(fitting, Key.Key_Tab)
    assert fitting.chosen == 3
    assert dialog(window).focusWidget() is fitting
    QTest.keyClick(fitting, Key.Key_Tab)
    assert dialog(window).focusWidget() is not fitting


def test_a_corner_is_dragged_with_the_mouse(fitting: FitView) -> None:
    start = fitting.at(2).toPoint()
    to = start - QPoint(60, 30)
    QTest.mousePress(fitting, LEFT, pos=start)
    QTest.mouseMove(fitting, to)
    QTest.mouseRelease(fitting, LEFT, pos=to)
    assert (fitting.at(2) - QPointF(to)).manhattanLength() < 3
    QTest.mouseMove(fitting, start)
    assert (fitting.at(2) - QPointF(to)).manhattanLength() < 3, "it was let go"


def test_a_corner_is_drawn_outside_a_picture_that_does_not_show_the_whole_panel(
    window: MainWindow, fitting: FitView
) -> None:
    start, picture = fitting.at(0).toPoint(), fitting.picture()
    QTest.mousePress(fitting, LEFT, pos=start)
    QTest.mouseMove(fitting, QPoint(2, 2))
    assert fitting.corners[0].across < 0
    assert fitting.corners[0].down < 0
    assert fitting.picture() == picture, "it does not run away from the mouse"
    QTest.mouseRelease(fitting, LEFT, pos=QPoint(2, 2))
    assert fitting.picture().width() < picture.width(), "now there is room for the next drag"
    assert fitting.rect().contains(fitting.at(0).toPoint())
    done(window)
    kept = photo(window)
    assert kept is not None
    assert kept.top_left.across < 0


def test_a_corner_never_bends_the_grid_inwards_nor_goes_beyond_bounds(fitting: FitView) -> None:
    start = fitting.at(0).toPoint()
    QTest.mousePress(fitting, LEFT, pos=start)
    QTest.mouseMove(fitting, QPoint(-99_999, -99_999))
    assert (fitting.corners[0].across, fitting.corners[0].down) == (-1.0, -1.0)
    QTest.mouseMove(fitting, fitting.at(2).toPoint() - QPoint(2, 2))
    assert (fitting.corners[0].across, fitting.corners[0].down) == (-1.0, -1.0)


def test_a_loupe_shows_what_is_below_the_corner_in_hand(fitting: FitView) -> None:
    """Three times larger, where the corner is not; put away when the corner is let go."""
    start = fitting.at(0).toPoint()
    QTest.mousePress(fitting, LEFT, pos=start)
    glass = fitting.loupe()
    assert not glass.contains(QPointF(start))
    seen = fitting.grab().toImage()
    ratio = seen.devicePixelRatio()
    centre = glass.center() + QPointF(8, -8)
    there = seen.pixelColor((centre * ratio).toPoint())
    assert there == QColor(COLOURS[0])
    QTest.mouseRelease(fitting, LEFT, pos=start)
    after = fitting.grab().toImage()
    assert after.pixelColor((centre * ratio).toPoint()) != there


def test_a_photo_taken_upside_down_is_turned_by_two_quarters(
    window: MainWindow, fitting: FitView
) -> None:
    turn = dialog(window).findChild(QPushButton, "fitTurn")
    for _ in range(2):
        QTest.mouseClick(turn, LEFT)
    assert fitting.corners == (*FIRST_CORNERS[2:], *FIRST_CORNERS[:2])


def test_a_screen_reader_hears_the_corner_and_where_it_is(fitting: FitView) -> None:
    fitting._choose(1)
    said = fitting.accessibleName().replace("\u202f", " ")
    assert said == "Corner top right: 92 % from the left, 8 % from the top"


# --- behind the slots ----------------------------------------------------------------------------


def middle(view: PanelView, row: int, column: int) -> QColor:
    """The colour below the words on a place of the screen, where the photo is seen."""
    view.scrollTo(view.panel_model.index(row, column))
    cell = view.visualRect(view.panel_model.index(row, column))
    image = view.viewport().grab().toImage()
    ratio = image.devicePixelRatio()
    x, y = cell.left() + cell.width() * 0.84, cell.center().y() + cell.height() * 0.12
    return image.pixelColor(round(x * ratio), round(y * ratio))


def nearest(colour: QColor) -> str:
    """Which of the photo's colours this is, seen through a card."""
    return max(COLOURS[:6], key=lambda name: _alike(QColor(name), colour))


def _alike(one: QColor, other: QColor) -> float:
    pairs = [(a.red(), a.green(), a.blue()) for a in (one, other)]
    means = [sum(each) / 3 for each in pairs]
    return sum((a - means[0]) * (b - means[1]) for a, b in zip(*pairs, strict=True)) / (
        sum((a - means[0]) ** 2 for a in pairs[0]) ** 0.5
    )


@pytest.fixture
def strong(window: MainWindow, pictured: Vehicle, qtbot: Any) -> PanelView:
    """The van's panel with its photo strongly behind it."""
    window.resize(1200, 800)
    window.document.set_vehicle(pictured)
    window.actions_.trigger("photo_strong")
    view = shown(window)
    view.clearSelection()
    qtbot.wait(50)
    return view


def test_each_place_of_the_photo_lies_behind_its_slot(strong: PanelView) -> None:
    seen = [nearest(middle(strong, 0, column)) for column in range(4)]
    assert seen == list(COLOURS[:4])


def test_a_gap_shows_the_photo_itself(strong: PanelView) -> None:
    colour = middle(strong, 1, 2)
    wanted = QColor(COLOURS[6])
    assert max(abs(colour.red() - wanted.red()), abs(colour.blue() - wanted.blue())) < 12


def test_the_photo_turns_and_mirrors_with_the_panel(strong: PanelView, qtbot: Any) -> None:
    strong.turn(1)
    qtbot.wait(20)
    # A quarter clockwise: the first column is now the first row, its lower place at the left.
    assert nearest(middle(strong, 0, 1)) == COLOURS[0]
    assert nearest(middle(strong, 3, 1)) == COLOURS[3]
    strong.turn(-1)
    strong.mirror()
    qtbot.wait(20)
    assert nearest(middle(strong, 0, 3)) == COLOURS[0]


def test_typing_in_a_gap_of_the_photo_makes_a_slot(strong: PanelView, window: MainWindow) -> None:
    strong.setCurrentIndex(strong.panel_model.index(1, 2))
    QTest.keyClick(strong, Key.Key_Insert)
    assert len(window.document.vehicle.panels[0].slots) == 8


def test_the_name_of_what_waits_in_a_slot_has_its_ground_on_the_photo(
    strong: PanelView, qtbot: Any
) -> None:
    """Where an accessory was refused, its name is read over any colour of the lid."""
    cell = strong.visualRect(strong.panel_model.index(0, 1))
    foot = QRect(cell.left() + 8, cell.bottom() - 14, cell.width() - 16, 6)

    def light() -> float:
        """Share of what is as light as a card's own ground."""
        seen = strong.viewport().grab(foot).toImage()
        points = [seen.pixelColor(x, y) for x in range(seen.width()) for y in range(seen.height())]
        return sum(min(c.red(), c.green(), c.blue()) > 200 for c in points) / len(points)

    before = light()
    slot = strong.panel_model.index(0, 1).data(LOOK).slot
    strong.delegate.waiting = Stuck(
        Payload(accessory="accessory-2"), slot.id, "Cool box", say("no"), ()
    )
    strong.viewport().update()
    qtbot.wait(20)
    assert before < 0.3
    assert light() > 0.3


def test_off_shows_nothing_of_it_and_faint_less_than_strong(
    strong: PanelView, window: MainWindow, qtbot: Any
) -> None:
    colours = {}
    for strength in ("strong", "faint", "off"):
        window.actions_.trigger(f"photo_{strength}")
        qtbot.wait(20)
        colours[strength] = middle(strong, 0, 0).hsvSaturation()
    assert colours["strong"] > colours["faint"] > colours["off"]


def test_the_button_goes_round_and_the_choice_is_remembered(
    strong: PanelView, window: MainWindow
) -> None:
    button = window.findChild(QToolButton, "photo_panel-1")
    assert button.isVisible()
    said = []
    for _ in range(4):
        QTest.mouseClick(button, LEFT)
        said.append(button.toolTip().rpartition(": ")[2])
    assert said == ["alone", "off", "faint", "strong"]
    assert Settings().kept.photo_strength == "strong"
    assert window.actions_.by_key["photo_strong"].isChecked()
    window.actions_.trigger("remove_photo")
    assert not button.isVisible()


def test_a_photo_taken_in_while_photos_are_off_is_seen(
    window: MainWindow, open_van: PanelView
) -> None:
    window.actions_.trigger("photo_off")
    window.photos.take_for_shown(picture())
    done(window)
    assert window.photos.strength == "faint"


def test_another_theme_keeps_the_photo(strong: PanelView, window: MainWindow, qtbot: Any) -> None:
    window.actions_.trigger("theme_dark")
    qtbot.wait(50)
    assert nearest(middle(shown(window), 0, 1)) == COLOURS[1]


@pytest.mark.qt_log_ignore("JPEG", extend=True)
def test_a_broken_photo_is_said_and_all_else_works(
    window: MainWindow, van: Vehicle, qtbot: Any
) -> None:
    window.document.set_vehicle(edits.set_photo(van, "panel-1", "/9j/4AAQSkZJRgABAQ=="))
    view = shown(window)
    assert window.work is not None
    page = window.work.panels.pages()[0]
    qtbot.waitUntil(lambda: "cannot be drawn" in page.hint.text())
    window.actions_.trigger("fit_photo")
    assert window.findChild(FitDialog) is None
    assert "cannot be drawn" in window.message.text
    view.go_to("slot-5")
    QTest.keyClicks(view, "5")
    QTest.keyClick(QApplication.focusWidget() or view, Key.Key_Return)
    window.actions_.trigger("remove_photo")
    assert photo(window) is None
    assert "cannot be drawn" not in page.hint.text()


@pytest.mark.parametrize("theme", [LIGHT, DARK])
@pytest.mark.parametrize("behind", ["#000000", "#ffffff"])
@pytest.mark.parametrize("ground", ["base", "accent_tint"])
def test_words_can_be_read_over_any_photo(theme: Theme, behind: str, ground: str) -> None:
    over, under = theme.colour(ground), QColor(behind)
    mixed = QColor(
        *(
            round(a * WORDS_COVERED + b * (1 - WORDS_COVERED))
            for a, b in zip(over.getRgb()[:3], under.getRgb()[:3], strict=True)
        )
    )
    for role in ("text", "muted_text", "accent", "caution", "stop"):
        least = 4.5 if ground == "base" else 4.0
        assert contrast(getattr(theme, role), mixed.name()) >= least, role


def test_the_photo_is_warped_so_that_its_corners_meet_the_grid(qapp: Any) -> None:
    """A slanting photo of the panel lies straight behind it."""
    from fusemap.vehicle import PhotoPoint
    from fusemap.vehicle.parts import CORNERS

    aslant = QImage(900, 700, QImage.Format.Format_RGB32)
    aslant.fill(QColor("#404040"))
    spots = ((0.2, 0.1), (0.9, 0.3), (0.8, 0.9), (0.1, 0.7))
    for (across, down), colour in zip(spots, COLOURS, strict=False):
        x, y = round(across * 900), round(down * 700)
        for dx in range(-25, 26):
            for dy in range(-25, 26):
                aslant.setPixelColor(x + dx, y + dy, QColor(colour))
    points = [PhotoPoint(across=across, down=down) for across, down in spots]
    held = PanelPhoto(jpeg=taking.pack(aslant), **dict(zip(CORNERS, points, strict=True)))
    straight = Backdrop(held, Arrangement(2, 4)).picture
    assert straight is not None
    image = straight.toImage()
    right, low = image.width() - 6, image.height() - 6
    places = ((5, 5), (right, 5), (right, low), (5, low))
    seen = [nearest(image.pixelColor(*place)) for place in places]
    assert seen == list(COLOURS[:4])


# --- the photo alone ------------------------------------------------------------------------------


def test_a_key_shows_the_photo_without_cards_and_brings_them_back(
    strong: PanelView, window: MainWindow, qtbot: Any
) -> None:
    action = window.actions_.by_key["photo_alone"]
    assert [each.toString() for each in action.shortcuts()] == ["Ctrl+Shift+O"]
    veiled = middle(strong, 0, 0)
    action.trigger()
    qtbot.wait(20)
    shown_colour, wanted = middle(strong, 0, 0), QColor(COLOURS[0])
    assert (
        max(abs(shown_colour.red() - wanted.red()), abs(shown_colour.blue() - wanted.blue())) < 12
    )
    action.trigger()
    qtbot.wait(20)
    assert middle(strong, 0, 0) == veiled


def test_without_cards_each_slot_has_its_outline_and_its_label(
    strong: PanelView, window: MainWindow, qtbot: Any
) -> None:
    window.actions_.trigger("photo_alone")
    qtbot.wait(20)
    image = strong.viewport().grab().toImage()
    ratio = image.devicePixelRatio()
    cell = strong.visualRect(strong.panel_model.index(0, 1))
    plain = QColor(COLOURS[1]).hue()
    head = {
        image.pixelColor(round(x * ratio), round((cell.top() + 12) * ratio)).hue()
        for x in range(cell.left() + 4, cell.left() + 30)
    }
    assert head != {plain}, "its label stands on a plate at its head"
    gap = strong.visualRect(strong.panel_model.index(1, 2)).center()
    wanted = QColor(COLOURS[6])
    seen = image.pixelColor((QPointF(gap) * ratio).toPoint())
    assert abs(seen.red() - wanted.red()) < 12


# --- beside the line ------------------------------------------------------------------------------


def test_the_piece_of_the_photo_stands_beside_the_line_while_one_types(
    window: MainWindow, strong: PanelView, qtbot: Any
) -> None:
    window.actions_.trigger("photo_off")
    strong.setFocus()
    strong.setCurrentIndex(strong.panel_model.index(0, 2))
    assert not strong.beside.isVisible()
    QTest.keyClicks(strong, "1")
    line = strong.findChild(QLineEdit, "slotEntry")
    piece = strong.beside
    assert piece.isVisible()
    assert not piece.geometry().intersects(line.geometry()), "the line is never covered"
    assert strong.viewport().rect().contains(piece.geometry())
    seen = piece.grab().toImage().pixelColor(piece.rect().center())
    assert nearest(seen) == COLOURS[2]
    QTest.keyClick(line, Key.Key_Escape)
    assert not piece.isVisible()


def test_without_a_photo_nothing_stands_beside_the_line(
    window: MainWindow, open_van: PanelView
) -> None:
    open_van.setCurrentIndex(open_van.panel_model.index(0, 2))
    QTest.keyClicks(open_van, "1")
    assert not open_van.beside.isVisible()


# --- in Probe -------------------------------------------------------------------------------------


def test_probe_shows_the_piece_of_the_slot_in_hand_and_none_where_there_is_no_photo(
    window: MainWindow, pictured: Vehicle, qtbot: Any
) -> None:
    window.document.set_vehicle(pictured)
    window.tasks.probe_at("slot", "slot-4", None)
    page = window.tasks.probe
    assert page is not None
    qtbot.wait(20)
    assert page.piece.isVisible()
    seen = page.piece.grab().toImage().pixelColor(page.piece.rect().center())
    assert nearest(seen) == COLOURS[3]
    window.tasks.probe_at("slot", "slot-9", None)
    qtbot.wait(20)
    assert not page.piece.isVisible(), "the engine bay has no photo"
