"""Slot by slot: typed beside the piece of the photo; what a colour says is confirmed by a key."""

from typing import Any

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtTest import QTest

from fusemap.vehicle import PhotoPoint, Slot, Vehicle, edits, look_up
from fusemap.vehicle.edits.panels import Lid
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.photo.taking import pack
from fusemap.window.photo.walk import SlotBySlot
from fusemap.window.photo.walk_dialog import WalkDialog
from fusemap.window.style.theme import LIGHT
from tests.photo.lids import WAYS, Taken, image_of, taken

Key = Qt.Key
LEFT = Qt.MouseButton.LeftButton
SHIFT = Qt.KeyboardModifier.ShiftModifier


@pytest.fixture(scope="module")
def lid(qapp: Any) -> Taken:
    """A panel of 4 × 8, taken by daylight."""
    return taken(WAYS[0], 300)


@pytest.fixture
def document(lid: Taken) -> Document:
    vehicle = edits.add_lid(Vehicle(name="Bus"), "Lid", Lid(rows=lid.rows, columns=lid.columns))
    corners = [PhotoPoint(across=round(x, 4), down=round(y, 4)) for x, y in lid.corners]
    jpeg = pack(image_of(lid.pixels))
    return Document(edits.set_photo(vehicle, vehicle.panels[0].id, jpeg, corners))


@pytest.fixture
def walk(document: Document, qtbot: Any) -> SlotBySlot:
    widget = SlotBySlot(document, LIGHT, document.vehicle.panels[0].id)
    qtbot.addWidget(widget)
    widget.resize(900, 600)
    widget.show()
    qtbot.waitUntil(lambda: bool(widget._proposals))
    return widget


def slots(walk: SlotBySlot) -> list[Slot]:
    return list(look_up.slots(walk._document.vehicle))


def truth(lid: Taken, number: int) -> float | None:
    return list(lid.truth.values())[number]


def number_of(lid: Taken, *ratings: float | None) -> int:
    """The first slot that really holds one of these."""
    return next(n for n, rating in enumerate(lid.truth.values()) if rating in ratings)


def take(walk: SlotBySlot, number: int) -> None:
    while walk._slot_id != slots(walk)[number].id:
        QTest.keyClick(walk.line, Key.Key_Down)


def test_rating_and_name_are_typed_and_enter_goes_on(walk: SlotBySlot) -> None:
    QTest.keyClicks(walk.line, "15 Radio")
    QTest.keyClick(walk.line, Key.Key_Return)
    QTest.keyClicks(walk.line, "Horn")
    QTest.keyClick(walk.line, Key.Key_Return)
    first, second, *_ = slots(walk)
    assert first.fuse is not None
    assert (first.fuse.rating, first.circuit) == (15, "Radio")
    assert (second.fuse, second.circuit) == (None, "Horn")
    assert walk.where.text() == "Slot 3 of 32"
    assert walk._document.selection.id == slots(walk)[2].id, "the other views are there, too"


def test_no_fuse_is_an_answer_and_is_walked_past(walk: SlotBySlot) -> None:
    QTest.keyClicks(walk.line, "-")
    QTest.keyClick(walk.line, Key.Key_Return)
    first = slots(walk)[0]
    assert first.fuse is None
    assert first.seen_empty
    QTest.keyClick(walk.line, Key.Key_Up)
    assert walk.line.text().strip() == "-"
    QTest.keyClicks(walk.line, "15")
    QTest.keyClick(walk.line, Key.Key_Return)
    assert slots(walk)[0].fuse is not None
    assert not slots(walk)[0].seen_empty


def test_what_stands_below_the_line_keeps_its_place_while_proposals_come(
    walk: SlotBySlot, lid: Taken
) -> None:
    places = set()
    for number in sorted(number_of(lid, each) for each in (15.0, None, 10.0)):
        take(walk, number)
        QTest.qWait(1)
        places.add(walk.grey_button.y())
    walk._proposals = {}
    walk._show()
    QTest.qWait(1)
    places.add(walk.grey_button.y())
    assert len(places) == 1, places


def test_a_rating_that_is_not_made_is_refused_and_one_stays(walk: SlotBySlot) -> None:
    told: list[str] = []
    walk._document.refused.connect(lambda error: told.append(str(error)))
    QTest.keyClicks(walk.line, "17 Radio")
    QTest.keyClick(walk.line, Key.Key_Return)
    assert told
    assert walk.where.text() == "Slot 1 of 32"
    assert slots(walk)[0].fuse is None


def test_arrows_and_shift_enter_walk_and_store_nothing(walk: SlotBySlot) -> None:
    steps = walk._document.stack.count()
    QTest.keyClicks(walk.line, "15")
    for _ in range(2):
        QTest.keyClick(walk.line, Key.Key_Down)
    QTest.keyClick(walk.line, Key.Key_Up)
    QTest.keyClick(walk.line, Key.Key_Return, SHIFT)
    assert walk.where.text() == "Slot 1 of 32"
    assert walk._document.stack.count() == steps


def test_an_empty_line_stores_nothing_whatever_the_colour_says(walk: SlotBySlot) -> None:
    """A proposal is never stored by the key that merely goes on."""
    steps = walk._document.stack.count()
    for _ in range(32):
        QTest.keyClick(walk.line, Key.Key_Return)
    assert walk._document.stack.count() == steps
    assert all(slot.fuse is None for slot in slots(walk))


def test_one_key_takes_what_the_colour_says_and_the_name_is_typed_behind_it(
    walk: SlotBySlot, lid: Taken
) -> None:
    number = number_of(lid, 10.0, 15.0, 20.0, 30.0)
    take(walk, number)
    wanted = truth(lid, number)
    assert walk.said.text() == "By its colour it may be:"
    assert walk.takes[0].isVisible()
    assert f"{wanted:g}" in walk.takes[0].text()
    QTest.keyClick(walk.line, "+")
    assert slots(walk)[number].fuse is None, "in the line, and not stored yet"
    QTest.keyClicks(walk.line, "Radio")
    QTest.keyClick(walk.line, Key.Key_Return)
    stored = slots(walk)[number]
    assert stored.fuse is not None
    assert (stored.fuse.rating, stored.circuit) == (wanted, "Radio")


def test_the_second_of_two_has_a_key_of_its_own(walk: SlotBySlot, lid: Taken) -> None:
    """Grey and clear look alike: 2 A or 25 A."""
    number = number_of(lid, 2.0, 25.0)
    take(walk, number)
    offers = walk._offers()
    assert set(offers) == {2.0, 25.0}
    QTest.keyClick(walk.line, "*")
    QTest.keyClick(walk.line, Key.Key_Return)
    stored = slots(walk)[number].fuse
    assert stored is not None
    assert stored.rating == offers[1]


def test_a_button_takes_it_for_the_mouse(walk: SlotBySlot, lid: Taken) -> None:
    number = number_of(lid, 10.0)
    take(walk, number)
    QTest.mouseClick(walk.takes[0], LEFT)
    assert walk.line.text() == "10 "


def test_where_something_is_typed_the_keys_are_letters(walk: SlotBySlot, lid: Taken) -> None:
    take(walk, number_of(lid, 10.0))
    QTest.keyClicks(walk.line, "Amp+")
    assert walk.line.text() == "Amp+"


def test_a_slot_that_has_its_fuse_is_asked_nothing(walk: SlotBySlot, lid: Taken) -> None:
    number = number_of(lid, 10.0)
    take(walk, number)
    QTest.keyClicks(walk.line, "5")
    QTest.keyClick(walk.line, Key.Key_Return)
    QTest.keyClick(walk.line, Key.Key_Up)
    assert walk.line.text() == "5 "
    assert walk.said.text() == ""
    assert not walk.takes[0].isVisible()


def test_an_empty_place_is_said_to_look_empty(walk: SlotBySlot, lid: Taken) -> None:
    take(walk, number_of(lid, None))
    assert walk.said.text() == "It looks empty in the photo."
    assert not any(button.isVisible() for button in walk.takes)


def test_a_click_on_the_photo_takes_a_slot_in_hand(walk: SlotBySlot) -> None:
    slot = slots(walk)[21]
    middle = walk.overview.outline(slot).boundingRect().center()
    QTest.mouseClick(walk.overview, LEFT, pos=middle.toPoint())
    assert walk._slot_id == slot.id
    assert walk.line.hasFocus() or walk.isVisible()


def test_a_grey_is_shown_by_a_click_and_its_light_is_used(walk: SlotBySlot, lid: Taken) -> None:
    QTest.mouseClick(walk.grey_button, LEFT)
    area = walk.overview.picture()
    # A sheet of grey paper lies in the upper left corner of the picture.
    spot = QPointF(area.width() * 0.04, area.height() * 0.03).toPoint()
    before = walk._slot_id
    QTest.mouseClick(walk.overview, LEFT, pos=spot)
    assert walk._slot_id == before, "the click was for the grey"
    assert walk._grey == pytest.approx(lid.grey, abs=0.04)
    QTest.qWait(50)
    assert walk.light.text() == "light known by the grey you showed"
    assert not walk.grey_button.isChecked()


def test_a_grey_too_dark_is_said_and_not_used(walk: SlotBySlot) -> None:
    walk._take_grey((0.02, 0.02, 0.02))
    QTest.qWait(50)
    assert "too dark" in walk.light.text()
    assert walk._grey is None
    assert walk._proposals


def test_undo_while_walking_is_seen_in_the_line(walk: SlotBySlot) -> None:
    QTest.keyClicks(walk.line, "15 Radio")
    QTest.keyClick(walk.line, Key.Key_Return)
    QTest.keyClick(walk.line, Key.Key_Up)
    assert walk.line.text() == "15 Radio"
    walk._document.stack.undo()
    assert walk.line.text() == ""


def test_the_walk_is_opened_by_a_key_from_the_panel_and_ends_after_the_last_slot(
    window: MainWindow, document: Document, qtbot: Any
) -> None:
    window.document.set_vehicle(document.vehicle)
    action = window.actions_.by_key["walk_photo"]
    assert [each.toString() for each in action.shortcuts()] == ["Ctrl+Shift+F"]
    action.trigger()
    (dialog,) = window.findChildren(WalkDialog)
    assert dialog.isVisible()
    for _ in range(31):
        QTest.keyClick(dialog.walk.line, Key.Key_Return)
    assert dialog.walk.where.text() == "Slot 32 of 32"
    assert dialog.isVisible()
    QTest.keyClick(dialog.walk.line, Key.Key_Return)
    assert not dialog.isVisible()


def test_without_a_photo_there_is_nothing_to_walk(window: MainWindow, van: Vehicle) -> None:
    window.document.set_vehicle(van)
    assert not window.actions_.by_key["walk_photo"].isEnabled()
