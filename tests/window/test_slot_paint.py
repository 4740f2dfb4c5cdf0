"""How a slot is drawn: nothing overlaps, nothing is cut, and no mark is by colour alone."""

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QImage, QPainter

from fusemap.placement import Candidate
from fusemap.text import Style
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import FEED_CLASSES, Fuse, Slot
from fusemap.window.panel import slot_paint
from fusemap.window.panel.card_places import (
    FITTED,
    LEAST_CELL,
    PITCH,
    Places,
    fitting,
    least_zoom,
)
from fusemap.window.panel.card_words import lines_of, narrowed
from fusemap.window.panel.offer_paint import (
    left_text,
    offer_state,
    paint_offer,
    reason_text,
)
from fusemap.window.panel.panel_drop import Offer
from fusemap.window.panel.slot_paint import SlotPainter, load_figure, paint_bar
from fusemap.window.panel.slot_words import SlotLook, TapMark
from fusemap.window.style.colours import contrast
from fusemap.window.style.letters import scaled_font
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


SHAPES = sorted(LEAST_CELL)


@given(
    st.floats(6, 120),
    st.floats(0, 500),
    st.sampled_from(SHAPES),
    st.floats(1, 3),
    st.floats(1, 3),
)
def test_nothing_on_a_card_overlaps_or_leaves_it(
    unit: float, x: float, shape: Any, wider: float, higher: float
) -> None:
    wide, high = LEAST_CELL[shape]
    at = Places.on(QRectF(x, x, wide * unit * wider, high * unit * higher), unit)
    figure = [] if at.figure in (at.head, at.words) else [at.figure]
    parts = [at.fuse, at.feed, at.head, *figure, at.words]
    assert all(grown(at.card, 0.01).contains(part) for part in parts)
    parts = [grown(part, -0.01) for part in parts]
    assert not any(one.intersects(other) for one, other in combinations(parts, 2))
    assert at.words.height() >= (1.7 if at.shape == "below" else 0.9) * PITCH * unit
    if at.under is not None:
        assert grown(at.card, 0.01).contains(at.under)
        assert not any(at.under.intersects(grown(part, -0.01)) for part in (at.feed, at.fuse))
        assert not at.under.intersects(grown(at.words, -0.01))
    if at.signs is not None:
        assert grown(at.card, 0.01).contains(at.signs)
        others = (at.fuse, at.feed, at.head, at.figure, at.bar, at.words)
        assert not any(at.signs.intersects(grown(part, -0.01)) for part in others)
    arrow = unit * (0.3 if at.shape != "flat" else 0.12)
    for orientation in ("upright", "lying"):
        body = at.body(orientation)  # type: ignore[arg-type]
        assert grown(at.fuse, unit * 0.06).contains(body.adjusted(-arrow, -arrow, arrow, arrow))


def grown(place: QRectF, by: float) -> QRectF:
    return place.adjusted(-by, -by, by, by)


def painted(
    qapp: Any, look: SlotLook, theme: Any = LIGHT, side: str = "unknown", shape: Any = "below"
) -> QImage:
    font = scaled_font(qapp.font(), 2.0)
    picture = QImage(card_size(font, shape), QImage.Format.Format_RGB32)
    picture.fill(theme.colour("base"))
    painter = QPainter(picture)
    SlotPainter(painter, theme, font).paint(
        places(picture, font),
        look,
        look.slot.orientation,
        side,  # type: ignore[arg-type]
    )
    painter.end()
    return picture


def card_size(font: QFont, shape: Any = "below") -> QSize:
    """The smallest card of a shape."""
    unit = QFontMetricsF(font).height()
    return QSize(*(int(share * unit) + 1 for share in LEAST_CELL[shape]))


def places(picture: QImage, font: QFont) -> Places:
    return Places.on(QRectF(picture.rect()), QFontMetricsF(font).height())


def changed(before: QImage, after: QImage) -> QRect:
    """The part of a picture that differs from another."""
    found = QRect()
    for x in range(before.width()):
        for y in range(before.height()):
            if before.pixel(x, y) != after.pixel(x, y):
                found = found.united(QRect(x, y, 1, 1))
    return found


@pytest.mark.parametrize("shape", SHAPES)
def test_the_live_side_is_marked_at_its_own_edge(qapp: Any, shape: Any) -> None:
    plain = painted(qapp, SlotLook(SLOT), shape=shape)
    at = places(plain, scaled_font(qapp.font(), 2.0))
    middle = at.fuse.center().toPoint()
    marks = {
        side: changed(plain, painted(qapp, SlotLook(SLOT), side=side, shape=shape))
        for side in ("left", "right", "top", "bottom")
    }
    assert marks["left"].right() < middle.x() < marks["right"].left()
    body = at.body("upright").toRect()
    assert marks["top"].bottom() <= body.top() + 1
    assert marks["bottom"].top() >= body.bottom() - 1
    assert all(at.fuse.adjusted(-1, -1, 1, 1).contains(QRectF(mark)) for mark in marks.values())


def test_every_mark_is_seen_without_its_colour(qapp: Any) -> None:
    """Each changes the grey picture too."""

    def grey(slot: Slot, **more: Any) -> QImage:
        return painted(qapp, SlotLook(slot, **more)).convertToFormat(
            QImage.Format.Format_Grayscale8
        )

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


def drawn_signs(
    qapp: Any, monkeypatch: pytest.MonkeyPatch, label: str, higher: float = 1.0
) -> list[str]:
    """Which signs a circuit has that its name says to leave alone, on a card as broad as can be."""
    drawn: list[str] = []
    for name in ("padlock", "question"):
        monkeypatch.setattr(slot_paint, f"_{name}", lambda *_, name=name: drawn.append(name))
    font = scaled_font(qapp.font(), 2.0)
    size = card_size(font)
    picture = QImage(size.width(), round(size.height() * higher), QImage.Format.Format_RGB32)
    painter = QPainter(picture)
    look = SlotLook(replace(SLOT, circuit="Airbag", label=label), most_share=1.0)
    SlotPainter(painter, LIGHT, font).paint(places(picture, font), look, "upright", "unknown")
    painter.end()
    return drawn


def test_the_padlock_yields_last_to_a_long_label(
    qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An airbag whose label leaves room for one sign does not look like a lamp to ask about."""
    assert drawn_signs(qapp, monkeypatch, "F1") == ["padlock", "question"]
    labels = [f"F{'1' * digits}" for digits in range(1, 8)]
    seen = [drawn_signs(qapp, monkeypatch, label) for label in labels]
    assert ["padlock"] in seen
    assert ["question"] not in seen


def test_signs_without_room_beside_the_label_stand_below_the_bar_of_a_high_card(
    qapp: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    signs = drawn_signs(qapp, monkeypatch, "F1111111", higher=1.6)
    assert signs == ["padlock", "question"]


def test_ratings_read_well_on_every_fuse_colour(qapp: Any) -> None:
    from fusemap import tables
    from fusemap.window.panel.fuse_paint import fuse_colours

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
    at = Places.on(QRectF(QPoint(), card_size(font)), QFontMetricsF(font).height())
    body = at.body("upright").toAlignedRect()
    difference = changed(painted(qapp, SlotLook(slot)), painted(qapp, SlotLook(other)))
    assert body.adjusted(-3, -3, 3, 3).contains(difference)


@pytest.mark.parametrize(
    ("look", "says", "role"),
    [
        (SlotLook(SLOT, share=0.62, most_share=0.62), "62 %", "text"),
        (SlotLook(SLOT, share=0.62, most_share=1.0, measured=False), "62–100 %", "text"),
        (SlotLook(SLOT, most_share=1.0, measured=False), "0–100 %", "text"),
        (SlotLook(SLOT, share=0.35, most_share=1.29), "35–129 %", "caution"),
        (SlotLook(SLOT, assessed=False), "…", "muted_text"),
        (SlotLook(SLOT, share=1.21, most_share=1.21), "121 %", "stop"),
        (SlotLook(Slot(id="a", row=0, column=0)), "", "muted_text"),
        (SlotLook(replace(SLOT, critical=True), share=0.5, most_share=0.5), "", "muted_text"),
        (SlotLook(replace(SLOT, critical=True), share=1.5, most_share=1.5), "150 %", "stop"),
    ],
)
def test_the_figure_is_honest_about_both_its_ends(look: SlotLook, says: str, role: str) -> None:
    text, ink = load_figure(look, Style())
    assert text.replace(NARROW_SPACE, " ") == says
    assert ink == role


def bar(look: SlotLook) -> QImage:
    picture = QImage(120, 24, QImage.Format.Format_RGB32)
    picture.fill(LIGHT.colour("base"))
    painter = QPainter(picture)
    paint_bar(painter, QRectF(10, 8, 100, 8), look, LIGHT)
    painter.end()
    return picture


def ink_of(picture: QImage, left: int, right: int) -> float:
    """Share of the track that is not plain track, between two places of its length."""
    track = LIGHT.colour("load_track").rgb()
    points = [picture.pixel(x, y) for x in range(left, right) for y in range(9, 15)]
    return sum(point != track for point in points) / len(points)


def test_known_is_solid_possible_is_hatched_and_what_is_not_measured_is_never_empty() -> None:
    known = bar(SlotLook(SLOT, share=0.5, most_share=0.5))
    assert ink_of(known, 12, 58) == 1.0
    assert ink_of(known, 62, 105) == 0.0
    both = bar(SlotLook(SLOT, share=0.5, most_share=1.0))
    assert ink_of(both, 12, 58) == 1.0
    assert 0.15 < ink_of(both, 62, 105) < 0.95
    unmeasured = bar(SlotLook(SLOT, share=0.0, most_share=1.0, measured=False))
    assert 0.15 < ink_of(unmeasured, 14, 105) < 0.95
    unloaded = bar(SlotLook(SLOT))
    assert ink_of(unloaded, 14, 105) == 0.0
    for look in (SlotLook(SLOT, share=1.2, most_share=1.2), SlotLook(SLOT, most_share=1.2)):
        past = bar(look)
        assert past.pixel(110, 4) != LIGHT.colour("base").rgb(), "a stop stands out at the end"


def test_what_is_not_yet_assessed_has_dots_and_no_figure(qapp: Any) -> None:
    asked, known = SlotLook(SLOT, assessed=False), SlotLook(SLOT)
    assert painted(qapp, asked) != painted(qapp, known)
    assert load_figure(known, Style())[0] != load_figure(asked, Style())[0]


@pytest.mark.parametrize("shape", SHAPES)
def test_an_empty_slot_needs_no_word(qapp: Any, shape: Any) -> None:
    """Its outline with two slits says it."""
    empty = SlotLook(Slot(id="a", row=0, column=0, label="F1"))
    assert written(qapp, empty, shape, 1.0) == ["F1", "?"]


LOOKS = [
    SlotLook(SLOT, share=0.41, most_share=1.0),
    SlotLook(replace(SLOT, circuit="Climate control panel", label="F108"), share=1.21,
             most_share=1.28, taps=(TapMark("t", "a", "Camera", "power", "live_side", 3.0),)),
    SlotLook(replace(SLOT, circuit="Instrument lighting", monitored=True,
                     critical_reason="x"), share=0.35, most_share=1.29),
    SlotLook(replace(SLOT, circuit="Steering assistance control", critical=True, monitored=True)),
]  # fmt: skip


@pytest.mark.parametrize("zoom", [0.6, 0.76, 1.0, 1.4, 2.0])
@pytest.mark.parametrize("shape", SHAPES)
def test_nothing_that_never_yields_is_cut_on_the_smallest_card(
    qapp: Any, shape: Any, zoom: float
) -> None:
    """Label, rating, feed mark and the figure with both ends are written whole in every shape."""
    for look in LOOKS:
        words = written(qapp, look, shape, zoom)
        figure = load_figure(look, Style())[0]
        for text in (look.slot.label, "15", *([figure] if figure else [])):
            assert text in words, (text, words)
        assert not any("…" in text for text in words[: 4 if figure else 3])


@pytest.mark.parametrize("zoom", [0.6, 1.0, 2.0])
def test_a_name_of_three_words_is_whole_before_the_bar_is_there(qapp: Any, zoom: float) -> None:
    look = SlotLook(replace(SLOT, circuit="Climate control panel"), share=0.5, most_share=0.5)
    words = " ".join(written(qapp, look, "beside", zoom))
    assert "Climate control" in words
    assert "panel" in words


def written(qapp: Any, look: SlotLook, shape: Any, zoom: float) -> list[str]:
    """What is written on the smallest card of a shape; fails where it leaves the card."""
    font = scaled_font(qapp.font(), zoom)
    painter = Words()
    picture = QImage(card_size(font, shape), QImage.Format.Format_RGB32)
    painter.begin(picture)
    at = places(picture, font)
    assert at.shape == shape
    SlotPainter(painter, LIGHT, font).paint(at, look, "upright", "top")
    painter.end()
    for text, wide, place in painter.set:
        assert wide <= place.width() + 1.0, (text, wide, place.width())
        assert grown(at.card, 0.5).contains(place), text
    return painter.written


@pytest.mark.parametrize("scale", [1, 2])
@pytest.mark.parametrize("grid", [(4, 8), (6, 6), (12, 5), (1, 40), (3, 2), (0, 0)])
@pytest.mark.parametrize("room", [(620, 330), (850, 380), (900, 420), (1700, 900)])
def test_cards_grow_and_shrink_with_the_room(
    qapp: Any, scale: int, grid: tuple[int, int], room: tuple[int, int]
) -> None:
    """Whole where the least that can be read allows, else all of it one way."""
    font = scaled_font(qapp.font(), scale)
    rows, columns = grid
    size = fitting(font, rows, columns, QSize(*room), 14)
    assert least_zoom(font) <= size.zoom <= FITTED[1]
    wide, high = size.cell.width() * columns, size.cell.height() * rows
    assert wide <= room[0] or high <= room[1]
    unit = QFontMetricsF(scaled_font(font, size.zoom)).height()
    at = Places.on(QRectF(QPoint(), size.cell), unit)
    least = LEAST_CELL[at.shape]
    assert size.cell.width() >= least[0] * unit
    assert size.cell.height() >= least[1] * unit
    smallest = QFontMetricsF(scaled_font(font, least_zoom(font))).height()
    could = any(
        w * smallest + 1 <= room[0] / max(1, columns) and h * smallest + 1 <= room[1] / max(1, rows)
        for shape, (w, h) in LEAST_CELL.items()
        if shape != "small"  # it is taken for a panel beside another one alone
    )
    assert (wide <= room[0] and high <= room[1]) == could


class Words(QPainter):
    """Keeps what is written, how broad it is and where."""

    def __init__(self) -> None:
        super().__init__()
        self.written: list[str] = []
        self.set: list[tuple[str, float, QRectF]] = []

    def drawText(self, *args: Any) -> Any:
        text = next(arg for arg in args if isinstance(arg, str))
        self.written.append(text)
        wide = QFontMetricsF(self.font()).horizontalAdvance(text)
        self.set.append((text, wide, QRectF(args[0])))
        return super().drawText(*args)


def test_a_circuit_breaks_between_words(qapp: Any) -> None:
    metrics = QFontMetricsF(qapp.font())
    width = metrics.horizontalAdvance("Airbag control ")
    assert lines_of("", metrics, width, 2) == []
    assert lines_of("Radio", metrics, width, 2) == ["Radio"]
    assert lines_of("Airbag control unit", metrics, width, 2) == ["Airbag control", "unit"]
    assert lines_of("Airbag control unit", metrics, width, 1) == ["Airbag control unit"]
    assert lines_of("Innenleuchten", metrics, width, 2) == ["Innenleuchten"]


def test_a_word_too_long_for_any_line_is_parted_where_a_syllable_begins(qapp: Any) -> None:
    metrics = QFontMetricsF(qapp.font())
    word = "Instrumentenbeleuchtung"
    width = metrics.horizontalAdvance("Instrumenten-")
    assert lines_of(word, metrics, width, 2) == ["Instrumenten-", "beleuchtung"]
    assert lines_of(word, metrics, width, 1) == [word]
    assert lines_of("12345678901234567890123456", metrics, width, 2) == [
        "12345678901234567890123456"
    ]


def test_a_figure_is_set_closer_and_smaller_before_it_is_cut(qapp: Any) -> None:
    whole = QFontMetricsF(qapp.font()).horizontalAdvance("41–100 %")
    for room in (whole + 1, whole * 0.95, whole * 0.7):
        font = narrowed(qapp.font(), "41–100 %", room)
        assert QFontMetricsF(font).horizontalAdvance("41–100 %") <= room + 0.5


def offer(fits: bool, margin: float, least: float, *rules: str) -> Offer:
    candidate = Candidate("a", fits, margin, ("Because.",), rules=rules, least_a=least)
    return Offer(candidate, 1 if fits else 0)


@pytest.mark.parametrize(
    ("made", "state", "left"),
    [
        (offer(True, 3.214, 3.214), "can", "3.2"),
        (offer(True, 0.214, 0.214), "can", "0.21"),
        (offer(True, 5.9, -1.0), "may_not", "0–5.9"),
        (offer(True, 5.9, 2.0), "can", "2–5.9"),
        (offer(False, 4.0, 4.0, "unknown"), "ask", "4"),
        (offer(False, 4.0, 4.0, "class"), "refused", "4"),
    ],
)
def test_an_offer_says_what_is_left_with_both_its_ends(made: Offer, state: str, left: str) -> None:
    """Green only where even the most that may flow leaves room."""
    assert offer_state(made) == state
    assert left_text(made, Style()) == (left, "A left")


@pytest.mark.parametrize(
    ("slot", "made", "says"),
    [
        (SLOT, offer(False, -1.4, -1.4, "budget"), "1.4 A over"),
        (SLOT, offer(False, 4.0, 4.0, "class"), "ignition only"),
        (replace(SLOT, feed_class="permanent"), offer(False, 4.0, 4.0, "class"), "always live"),
        (replace(SLOT, critical=True), offer(False, -2.0, -2.0, "critical"), "leave alone"),
        (replace(SLOT, feed_class="unfed"), offer(False, 2.0, 2.0, "unfed"), "no supply"),
        (replace(SLOT, feed_class="unknown"), offer(False, 2.0, 2.0, "unknown"), "live when?"),
        (SLOT, offer(False, 2.0, 2.0, "looks_critical"), "answer first"),
    ],
)
def test_a_refused_slot_says_why_in_two_or_three_words(slot: Slot, made: Offer, says: str) -> None:
    assert reason_text(slot, made, Style()).replace(NARROW_SPACE, " ") == says


def test_what_can_and_what_cannot_take_it_differ_without_colour(qapp: Any) -> None:
    font = scaled_font(qapp.font(), 2.0)
    pictures = []
    for made in (offer(True, 1.5, 1.5), offer(True, 1.5, -1.0), offer(False, -1.5, -1.5, "budget"),
                 offer(False, 1.5, 1.5, "unknown")):  # fmt: skip
        picture = QImage(card_size(font), QImage.Format.Format_RGB32)
        picture.fill(Qt.GlobalColor.white)
        painter = QPainter(picture)
        at = Places.on(QRectF(picture.rect()), QFontMetricsF(font).height())
        paint_offer(painter, at, font, LIGHT, SLOT, made)
        painter.end()
        pictures.append(picture.convertToFormat(QImage.Format.Format_Grayscale8))
    assert not any(one == other for one, other in combinations(pictures, 2))


@pytest.mark.parametrize(
    ("word", "first"),
    [
        ("Zentralverriegelung", "Zentral-"),
        ("Nebelschlussleuchte", "Nebelschluss-"),
        ("Instrumentenbeleuchtung", "Instrumenten-"),
        ("Bremslichtschalter", "Bremslicht-"),
    ],
)
def test_a_long_word_is_parted_between_syllables_near_its_middle(
    qapp: Any, word: str, first: str
) -> None:
    """Names of circuits as vehicles' handbooks print them; parted as German spelling allows."""
    metrics = QFontMetricsF(qapp.font())
    width = metrics.horizontalAdvance(word) * 0.74
    lines = lines_of(word, metrics, width, 2)
    assert "".join(lines).replace("-", "") == word
    assert len(lines) == 2
    assert all(metrics.horizontalAdvance(line) <= width for line in lines)
    if first != "Zentral-":
        assert lines[0] == first
    else:
        assert lines[0] in ("Zentral-", "Zentralver-")
    assert lines_of(word, metrics, width / 0.96 / 0.74, 2) == [word], "whole where it fits"


def test_accessories_have_a_second_line_before_they_are_written_small(qapp: Any) -> None:
    font = scaled_font(qapp.font(), 1.0)
    unit = QFontMetricsF(font).height()
    tap = TapMark("t", "a", "Rear-seat USB sockets", "power", "live_side", 3.0)

    def sizes(high: float, wide: float = 10.4) -> list[tuple[str, float]]:
        painter = Words()
        picture = QImage(round(unit * wide), round(unit * high), QImage.Format.Format_RGB32)
        painter.begin(picture)
        at = places(picture, font)
        SlotPainter(painter, LIGHT, font).paint(at, SlotLook(SLOT, taps=(tap,)), "upright", "top")
        painter.end()
        return [(text, wide) for text, wide, _ in painter.set]

    words = [text for text, _ in sizes(7.2)]
    assert "Rear-seat USB" in words
    assert "sockets" in words
    assert "Rear-seat USB sockets" in [text for text, _ in sizes(4.5)], "one line where it is low"
    below = [text for text, _ in sizes(9.0, wide=8.0)]
    assert "Rear-seat USB" in below, "below the fuse, too, where the card is high"
    assert "sockets" in below


@pytest.mark.parametrize("circuit", ["Accessory relay", "Glove-box lamp", "Climate control panel"])
@pytest.mark.parametrize("high", [4.5, 6.5])
def test_over_a_photo_every_line_of_the_circuit_has_its_ground(
    qapp: Any, circuit: str, high: float
) -> None:
    font = scaled_font(qapp.font(), 1.0)
    unit = QFontMetricsF(font).height()
    look, broken = SlotLook(replace(SLOT, circuit=circuit)), set()
    for tenth in range(50, 120):
        painter = Words()
        wide = round(unit * tenth / 10)
        picture = QImage(wide, round(unit * high), QImage.Format.Format_RGB32)
        painter.begin(picture)
        at, drawn = places(picture, font), SlotPainter(painter, LIGHT, font)
        drawn.paint(at, look, "upright", "top")
        grounds = drawn.grounds(at, look)
        painter.end()
        lines = [place for text, _, place in painter.set if text.rstrip("-…") in circuit]
        broken.add(len(lines))
        for place in lines:
            assert any(grown(each, 0.6).contains(place) for each in grounds), (tenth, at.shape)
    assert len(broken) > 1
