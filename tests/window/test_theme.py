"""The look: every pair that is used can be read, and every mark tells itself apart."""

from itertools import combinations
from typing import Any, get_args

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QImage, QPainter, QPalette
from PySide6.QtWidgets import QSplitter, QWidget

from fusemap import tables
from fusemap.vehicle.words import FEED_CLASSES
from fusemap.window.style import colours, marks, theme
from fusemap.window.style.colours import (
    DARK,
    GRAPHIC_PAIRS,
    LIGHT,
    PROBE,
    TEXT_PAIRS,
    THEMES,
    Theme,
)

by_name = pytest.mark.parametrize("look", THEMES, ids=lambda look: look.name)


def test_contrast_is_that_of_the_published_examples() -> None:
    # W3C, Understanding SC 1.4.3: #777777 on white is 4.48:1 and just fails; #767676 passes.
    assert colours.contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)
    assert colours.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@by_name
@pytest.mark.parametrize(("ink", "paper"), TEXT_PAIRS)
def test_whatever_is_written_can_be_read(look: Theme, ink: str, paper: str) -> None:
    needed = 7.0 if look is PROBE else 4.5
    assert colours.contrast(getattr(look, ink), getattr(look, paper)) >= needed


@by_name
@pytest.mark.parametrize(("ink", "paper"), GRAPHIC_PAIRS)
def test_frames_can_be_seen(look: Theme, ink: str, paper: str) -> None:
    assert colours.contrast(getattr(look, ink), getattr(look, paper)) >= 3.0


@by_name
def test_the_palette_writes_readably_on_all_it_writes_on(look: Theme) -> None:
    role, group = QPalette.ColorRole, QPalette.ColorGroup
    made = theme.palette(look)
    for state in (group.Active, group.Inactive, group.Disabled):
        for ink, paper in (
            (role.WindowText, role.Window),
            (role.Text, role.Base),
            (role.Text, role.AlternateBase),
            (role.ButtonText, role.Button),
            (role.HighlightedText, role.Highlight),
            (role.ToolTipText, role.ToolTipBase),
            (role.PlaceholderText, role.Base),
            (role.BrightText, role.Base),
        ):
            pair = made.color(state, ink).name(), made.color(state, paper).name()
            assert colours.contrast(*pair) >= 4.5, (state, ink, paper)


def test_dark_is_dark_and_light_is_not() -> None:
    assert DARK.dark
    assert PROBE.dark
    assert not LIGHT.dark


def drawn(draw: Any, look: Theme) -> QImage:
    """A mark with all colour taken out of it."""
    image = QImage(32, 32, QImage.Format.Format_ARGB32)
    image.fill(look.colour("base"))
    painter = QPainter(image)
    draw(painter, QRectF(2, 2, 28, 28))
    painter.end()
    return image.convertToFormat(QImage.Format.Format_Grayscale8)


def differing(one: QImage, other: QImage) -> float:
    """Share of points that clearly differ."""
    size = one.width() * one.height()
    pairs = zip(bytes(one.constBits()), bytes(other.constBits()), strict=True)
    return sum(abs(a - b) > 60 for a, b in pairs) / size


@by_name
def test_feed_classes_differ_without_their_colours(qapp: Any, look: Theme) -> None:
    images = {
        feed: drawn(lambda p, r, f=feed: marks.draw_feed_mark(p, r, f, look), look)
        for feed in FEED_CLASSES
    }
    assert min(differing(images[a], images[b]) for a, b in combinations(images, 2)) > 0.03


@by_name
def test_severities_differ_without_their_colours(qapp: Any, look: Theme) -> None:
    images = [
        drawn(lambda p, r, s=kind: marks.draw_severity(p, r, s, look), look)
        for kind in ("stop", "caution", "note")
    ]
    assert min(differing(a, b) for a, b in combinations(images, 2)) > 0.03


def test_every_feed_class_has_its_own_sign_shape_and_word(qapp: Any) -> None:
    found = [marks.feed_mark(feed) for feed in FEED_CLASSES]
    for field in ("shape", "word"):
        assert len({getattr(mark, field) for mark in found}) == len(FEED_CLASSES)
    signs = [mark.sign for mark in found if mark.sign]
    assert len(set(signs)) == len(signs)


def test_the_numbers_in_the_marks_are_those_of_the_standard(qapp: Any) -> None:
    """DIN 72552: what the table of terminal numbers says a number is used for."""
    used = {terminal.number.upper(): terminal.use for terminal in tables.terminals()}
    numbers = {feed: marks.feed_mark(feed).sign for feed in FEED_CLASSES}
    assert numbers["permanent"] == "30"
    assert used["30"] == "permanent feed"
    assert numbers["ignition"] == "15"
    assert used["15"] == "ignition feed"
    assert numbers["accessory"] == "15R"
    assert used["15R"] == "accessory feed"
    assert numbers["lighting"] == "58"
    assert used["58"].startswith("lighting feed")
    assert (numbers["delayed_off"], numbers["unfed"], numbers["unknown"]) == ("", "", "?")


@by_name
@pytest.mark.parametrize("high", [10, 12, 18, 32])
def test_the_number_in_a_mark_is_written_whole(qapp: Any, look: Theme, high: int) -> None:
    """At the height of the smallest card, too, and in a place no broader than high."""
    for wide, least in ((high, 0), (round(high * marks.FEED_WIDE), 6)):
        for feed in FEED_CLASSES:
            image = QImage(wide + 8, high + 8, QImage.Format.Format_ARGB32)
            image.fill(look.colour("base"))
            painter = Rects(image)
            place = QRectF(4, 4, wide, high)
            marks.draw_feed_mark(painter, place, feed, look)
            painter.end()
            mark = marks.feed_mark_place(place, feed)
            assert place.contains(mark.adjusted(0.01, 0.01, -0.01, -0.01))
            assert painter.pixels >= least or not marks.feed_mark(feed).sign
            assert painter.broadest <= mark.width()


class Rects(QPainter):
    """Keeps how broad the broadest text is, and its size."""

    broadest, pixels = 0.0, 0

    def drawText(self, *args: Any) -> Any:
        text = next(arg for arg in args if isinstance(arg, str))
        self.broadest = max(self.broadest, QFontMetricsF(self.font()).horizontalAdvance(text))
        self.pixels = self.font().pixelSize()
        return super().drawText(*args)


def test_every_severity_has_its_own_shape_and_word(qapp: Any) -> None:
    from fusemap.checks.finding import Severity

    found = [marks.severity_shape(kind) for kind in get_args(Severity)]
    assert [mark.word for mark in found] == ["Stop", "Caution", "Note"]
    assert len({mark.shape for mark in found}) == 3


def test_spaces_grow_with_the_font(qtbot: Any) -> None:
    widget = QWidget()
    qtbot.addWidget(widget)
    widget.setFont(QFont("", 10))
    small = theme.space(widget, "large")
    widget.setFont(QFont("", 30))
    assert theme.space(widget, "large") > 2 * small


def test_a_theme_is_put_onto_the_application(qapp: Any) -> None:
    assert theme.apply_theme(qapp, "dark") is DARK
    assert qapp.palette().color(QPalette.ColorRole.Base) == DARK.colour("base")
    assert theme.apply_theme(qapp, "light") is LIGHT
    assert qapp.palette().color(QPalette.ColorRole.Base) == LIGHT.colour("base")


@by_name
@pytest.mark.parametrize("way", list(Qt.Orientation), ids=["columns", "rows"])
def test_where_parts_can_be_dragged_apart_is_seen(
    qtbot: Any, look: Theme, way: Qt.Orientation
) -> None:
    """A line between them in the colour of frames, broad enough to be taken hold of."""
    splitter = QSplitter(way)
    splitter.setStyleSheet(theme.style_sheet(look))
    splitter.addWidget(QWidget())
    splitter.addWidget(QWidget())
    qtbot.addWidget(splitter)
    splitter.resize(200, 200)
    splitter.show()
    handle = splitter.handle(1)
    picture = handle.grab().toImage()
    seen = {picture.pixelColor(x, y).name() for x in range(picture.width())
            for y in range(picture.height())}  # fmt: skip
    assert look.colour("frame").name() in seen
    assert min(handle.width(), handle.height()) >= 5
