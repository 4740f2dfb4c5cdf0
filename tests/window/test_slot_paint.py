"""How a slot is drawn: nothing overlaps, nothing is cut, and no mark is by colour alone."""

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QImage, QPainter

from fusemap.placement import Candidate
from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import FEED_CLASSES, Fuse, Slot
from fusemap.window.panel.panel_delegate import offer_text, paint_offer
from fusemap.window.panel.panel_drop import Offer
from fusemap.window.panel.slot_paint import (
    HIGH,
    WIDE,
    Places,
    SlotPainter,
    card_size,
    load_figure,
    scaled_font,
    two_lines,
)
from fusemap.window.panel.slot_words import SlotLook, TapMark
from fusemap.window.style.colours import contrast
from fusemap.window.style.theme import DARK, LIGHT, PROBE

SLOT = Slot(
    id="a",
    row=0,
    column=0,
    label="F12",
    circuit="Radio",
    fuse=Fuse(family="mini", rating=15),
    feed_class="ignition",
)


@given(st.floats(6, 120), st.floats(0, 500), st.floats(0, 500))
def test_nothing_on_a_card_overlaps_or_leaves_it(unit: float, x: float, y: float) -> None:
    at = Places.on(QRectF(x, y, WIDE * unit, HIGH * unit), unit)
    parts = (at.label, at.feed, at.centre, at.words, at.bar)
    assert all(at.card.contains(part) for part in parts)
    assert not any(one.intersects(other) for one, other in combinations(parts, 2))
    assert at.words.height() >= 2 * 0.88 * unit * 0.98
    for orientation in ("upright", "lying"):
        arrow = unit * 0.44
        body = at.body(orientation)  # type: ignore[arg-type]
        assert at.centre.adjusted(0, -unit * 0.1, 0, unit * 0.1).contains(
            body.adjusted(-arrow, -arrow, arrow, arrow)
        )


def painted(qapp: Any, look: SlotLook, theme: Any = LIGHT, side: str = "unknown") -> QImage:
    font = scaled_font(qapp.font(), 2.0)
    picture = QImage(card_size(font), QImage.Format.Format_RGB32)
    picture.fill(theme.colour("base"))
    painter = QPainter(picture)
    at = Places.on(QRectF(picture.rect()), QFontMetricsF(font).height())
    SlotPainter(painter, theme, font).paint(at, look, look.slot.orientation, side)  # type: ignore[arg-type]
    painter.end()
    return picture


def changed(before: QImage, after: QImage) -> QRect:
    """The part of a picture that differs from another."""
    found = QRect()
    for x in range(before.width()):
        for y in range(before.height()):
            if before.pixel(x, y) != after.pixel(x, y):
                found = found.united(QRect(x, y, 1, 1))
    return found


def test_the_live_side_is_marked_at_its_own_edge(qapp: Any) -> None:
    plain = painted(qapp, SlotLook(SLOT))
    middle = plain.rect().center()
    marks = {
        side: changed(plain, painted(qapp, SlotLook(SLOT), side=side))
        for side in ("left", "right", "top", "bottom")
    }
    assert marks["left"].right() < middle.x() < marks["right"].left()
    body = Places.on(QRectF(plain.rect()), plain.height() / HIGH).body("upright").toRect()
    assert marks["top"].bottom() <= body.top() + 1
    assert marks["bottom"].top() >= body.bottom() - 1


def test_every_mark_is_seen_without_its_colour(qapp: Any) -> None:
    """Each changes the grey picture too."""

    def grey(slot: Slot, **more: Any) -> QImage:
        return painted(qapp, SlotLook(slot, **more)).convertToFormat(
            QImage.Format.Format_Grayscale8
        )

    from msgspec.structs import replace

    plain = grey(SLOT)
    tap = TapMark("t", "a", "Camera", "power", "live_side", 3.0)
    reversed_tap = TapMark("t", "a", "Camera", "power", "load_side", 3.0)
    pictures = [
        plain,
        grey(replace(SLOT, critical=True)),
        grey(replace(SLOT, monitored=True)),
        grey(replace(SLOT, orientation="lying")),
        grey(replace(SLOT, fuse=None)),
        grey(replace(SLOT, fuse=None, kind="relay")),
        grey(replace(SLOT, fuse=None, kind="blocked")),
        grey(SLOT, share=0.6),
        grey(SLOT, share=1.2),
        grey(SLOT, taps=(tap,)),
        grey(SLOT, taps=(reversed_tap,)),
        *(grey(replace(SLOT, feed_class=each)) for each in FEED_CLASSES if each != "ignition"),
    ]
    assert not any(one == other for one, other in combinations(pictures, 2))


def test_ratings_read_well_on_every_fuse_colour(qapp: Any) -> None:
    from fusemap import tables
    from fusemap.window.panel.slot_paint import fuse_colours

    for family in tables.fuse_families().values():
        for rating in family.ratings_a:
            for theme in (LIGHT, DARK, PROBE):
                fill, ink = fuse_colours(family.key, rating, theme)
                assert contrast(fill.name(), ink.name()) >= 4.5


@pytest.mark.parametrize("rating", [2, 7.5, 15, 100, 500])
def test_a_rating_is_never_cut(qapp: Any, rating: float) -> None:
    """Its ink stays inside the body of an upright fuse."""
    family = "strip_51" if rating > 80 else "mini"
    fuse = Fuse(family=family, rating=rating)
    slot = Slot(id="a", row=0, column=0, family=family, fuse=fuse)
    other = Slot(id="a", row=0, column=0, family=family, fuse=Fuse(family=family, rating=333))
    font = scaled_font(qapp.font(), 2.0)
    at = Places.on(QRectF(0, 0, *card_size(font).toTuple()), QFontMetricsF(font).height())
    body = at.body("upright").toAlignedRect()
    difference = changed(painted(qapp, SlotLook(slot)), painted(qapp, SlotLook(other)))
    assert body.adjusted(-4, -4, 4, 4).contains(difference)


@pytest.mark.parametrize(
    ("look", "says"),
    [
        (SlotLook(SLOT, share=0.62), "62 %"),
        (SlotLook(SLOT, share=0.62, most_share=0.93, measured=False), "62–93 %"),
        (SlotLook(SLOT, measured=False), "not measured"),
        (SlotLook(SLOT, most_share=1.4, measured=False, partly_measured=True), "0–140 %"),
        (SlotLook(SLOT, assessed=False), "…"),
        (SlotLook(SLOT, share=1.21), "121 %"),
        (SlotLook(Slot(id="a", row=0, column=0)), ""),
    ],
)
def test_the_figure_beside_the_bar_is_honest(look: SlotLook, says: str) -> None:
    text, role = load_figure(look, Style())
    assert text.replace(NARROW_SPACE, " ") == says
    assert (role == "stop") == (look.share > 1)


def test_the_bar_of_a_slot_that_is_not_yet_assessed_is_not_that_of_an_unloaded_one(
    qapp: Any,
) -> None:
    def bar(look: SlotLook) -> QImage:
        picture = painted(qapp, look)
        at = Places.on(QRectF(picture.rect()), picture.height() / HIGH)
        return picture.copy(at.bar.adjusted(0, 0, -at.bar.width() / 2, 0).toRect())

    assert bar(SlotLook(SLOT, assessed=False)) != bar(SlotLook(SLOT))


@pytest.mark.parametrize("zoom", [0.6, 0.9, 1.0, 1.6])
@pytest.mark.parametrize("word", ["empty", "leer", "ausgebaut", "vide"])
def test_the_word_in_an_empty_slot_is_whole_or_not_there(
    qapp: Any, monkeypatch: pytest.MonkeyPatch, zoom: float, word: str
) -> None:
    """No “em…” on every card of a new panel."""
    monkeypatch.setattr("fusemap.window.panel.slot_paint.tr", lambda text: word)
    font = scaled_font(qapp.font(), zoom)
    painter = Words()
    picture = QImage(card_size(font), QImage.Format.Format_RGB32)
    painter.begin(picture)
    at = Places.on(QRectF(picture.rect()), QFontMetricsF(font).height())
    empty = SlotLook(Slot(id="a", row=0, column=0, label="F1"))
    SlotPainter(painter, LIGHT, font).paint(at, empty, "upright", "unknown")
    painter.end()
    assert set(painter.written) <= {"F1", "?", word, ""}, "label, feed mark, and the whole word"


class Words(QPainter):
    """Keeps what is written."""

    def __init__(self) -> None:
        super().__init__()
        self.written: list[str] = []

    def drawText(self, *args: Any) -> Any:
        self.written += [arg for arg in args if isinstance(arg, str)]
        return super().drawText(*args)


def test_a_circuit_breaks_between_words(qapp: Any) -> None:
    metrics = QFontMetricsF(qapp.font())
    width = metrics.horizontalAdvance("Airbag control ")
    assert two_lines("Radio", metrics, width) == ("Radio", "")
    assert two_lines("Airbag control unit", metrics, width) == ("Airbag control", "unit")
    assert two_lines("Donaudampfschiffkapitän", metrics, width) == ("Donaudampfschiffkapitän", "")


def offer(fits: bool, margin: float, rank: int = 0) -> Offer:
    return Offer(Candidate("a", fits, margin, ("Because.",)), rank)


@pytest.mark.parametrize(
    ("slot", "made", "says"),
    [
        (SLOT, offer(True, 3.214, 1), "+3.2 A"),
        (SLOT, offer(False, -1.4), "−1.4 A"),
        (SLOT, offer(False, 4.0), "no"),
        (Slot(id="a", row=0, column=0, critical=True), offer(False, -2.0), "critical"),
        (Slot(id="a", row=0, column=0, feed_class="unfed"), offer(False, 2.0), "unfed"),
    ],
)
def test_an_offer_says_what_is_left_or_why_not(slot: Slot, made: Offer, says: str) -> None:
    assert offer_text(slot, made, Style()).replace(NARROW_SPACE, " ") == says


def test_a_good_and_a_bad_offer_differ_without_colour(qapp: Any) -> None:
    font = scaled_font(qapp.font(), 2.0)
    pictures = []
    for made in (offer(True, 1.5, 1), offer(False, -1.5)):
        picture = QImage(card_size(font), QImage.Format.Format_RGB32)
        picture.fill(Qt.GlobalColor.white)
        painter = QPainter(picture)
        at = Places.on(QRectF(picture.rect()), QFontMetricsF(font).height())
        paint_offer(painter, at, font, LIGHT, SLOT, made, aimed=False)
        painter.end()
        pictures.append(picture.convertToFormat(QImage.Format.Format_Grayscale8))
    assert pictures[0] != pictures[1]
