"""What is known stands apart from what may be: bars, the table of a slot, the tree of feeds."""

from typing import Any

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QImage, QPainter

from fusemap.sheet.record import worth_recording
from fusemap.style import ENGLISH
from fusemap.vehicle import StateLoads, edits, look_up, reading_edits
from fusemap.vehicle.difference import differences
from fusemap.vehicle.model import UNREAD
from fusemap.window.document import Document
from fusemap.window.files.difference_words import rows
from fusemap.window.forms.feed_page import FeedPage
from fusemap.window.forms.slot_currents import COLUMNS, CurrentsModel
from fusemap.window.parts.row_list import Bar, draw_bar
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import DARK, LIGHT, Theme
from tests.assess.test_ends import camera, ten_slots
from tests.vehicles import one_slot, with_accessory

IGNITION = 3


def words(text: Any) -> str:
    return str(text).replace("\u202f", " ")


def painted(bar: Bar, theme: Theme) -> QImage:
    image = QImage(200, 10, QImage.Format.Format_ARGB32)
    painter = QPainter(image)
    draw_bar(painter, QRectF(0, 0, 200, 10), bar, theme)
    painter.end()
    return image


def share_of(image: QImage, colour: str, left: int, right: int) -> float:
    """Which share of the middle line between two places has about this colour."""
    wanted = tuple(int(colour[at : at + 2], 16) for at in (1, 3, 5))
    line = [image.pixelColor(x, 5).getRgb()[:3] for x in range(left, right)]
    near = [max(abs(a - b) for a, b in zip(one, wanted, strict=True)) < 40 for one in line]
    return sum(near) / len(near)


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
def test_the_known_part_of_a_bar_is_full_and_the_possible_part_hatched(theme: Theme) -> None:
    image = painted(Bar(0.4, "accent", 1.2, "caution"), theme)
    assert share_of(image, theme.accent, 2, 78) == 1.0
    assert 0.1 < share_of(image, theme.caution, 82, 198) < 0.9
    assert share_of(painted(Bar(0.4), theme), theme.slot_empty, 82, 198) == 1.0


def test_every_verdict_has_a_shape_of_its_own(qapp: Any) -> None:
    shapes = set()
    for verdict in ("holds", "may_not_hold", "fails", "unchecked"):
        image = QImage(24, 24, QImage.Format.Format_ARGB32)
        image.fill(Qt.GlobalColor.white)
        painter = QPainter(image)
        draw_verdict(painter, QRectF(0, 0, 24, 24), verdict, LIGHT)
        painter.end()
        inked = [image.pixelColor(x, y).lightness() < 200 for x in range(24) for y in range(24)]
        shapes.add(tuple(inked))
    assert len(shapes) == 4


def test_a_current_that_may_pass_its_limit_says_so_in_words(qapp: Any) -> None:
    """8 A through a 15 A fuse whose own load may be 11.25 A."""
    vehicle = with_accessory(one_slot(own_load=UNREAD), 8.0, way_round="load_side")
    model = CurrentsModel(Document(vehicle), LIGHT)
    model.show_slot(next(look_up.slots(vehicle)).id)
    cell = model.index(IGNITION, COLUMNS.index("host_a"))
    assert words(model.data(cell)).endswith("A\nmay be over")
    assert model.data(cell, Qt.ItemDataRole.ForegroundRole) == LIGHT.colour("caution")
    known = edits.change_slot(vehicle, "slot-1", own_load=one_slot().panels[0].slots[0].own_load)
    model = CurrentsModel(Document(known), LIGHT)
    model.show_slot("slot-1")
    assert "may be" not in model.data(model.index(IGNITION, COLUMNS.index("host_a")))


def test_the_tree_of_feeds_has_both_ends(qtbot: Any) -> None:
    page = FeedPage(Document(camera(ten_slots())), LIGHT)
    qtbot.addWidget(page)
    item = page.tree.topLevelItem(0).child(0)
    assert words(item.text(1)) == "6.5 to 35 A"
    assert not item.icon(1).isNull()
    assert page.tree._style is ENGLISH


def test_what_a_feed_carried_is_told_among_what_differs() -> None:
    before = ten_slots()
    after = edits.change_feed(before, "feed-1", carried=StateLoads(ignition=12.3))
    ((part, how),) = rows(differences(before, after))
    assert words(part) == "Feed Main feed"
    assert words(how) == "measured as a whole, ignition on not given → 12.3 A"


def test_the_record_lists_what_was_read_of_a_feed() -> None:
    vehicle = reading_edits.add_reading(
        ten_slots(), when="2025-05-17", target="feed", target_id="feed-1",
        quantity="clamp_current", value=12.0, state="ignition",
    )  # fmt: skip
    assert [each.id for each in vehicle.readings if worth_recording(each)] == ["reading-1"]
