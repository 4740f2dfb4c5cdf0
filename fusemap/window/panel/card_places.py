"""Where on a card everything goes, and how large the cards of a panel are in the room there is.

In: a cell and the height of its font. Out: places that never overlap and never leave the card. A
card is laid out in one of four shapes, as its cell is broad, high, flat or small: the words beside
the fuse, below it, on one line at its side, or label and figure alone. All measures are shares of
the font's height, so a card grows with font, zoom and display; what the room leaves over goes to
the words.
"""

from collections.abc import Sequence
from typing import Final, Literal, NamedTuple

from msgspec import Struct
from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QFont, QFontMetricsF

from fusemap.vehicle.words import Orientation
from fusemap.window.style.letters import scaled_font

Shape = Literal["beside", "below", "flat", "small"]

LEAST_CELL: Final[dict[Shape, tuple[float, float]]] = {
    "beside": (10.32, 4.4),
    "below": (7.32, 6.1),
    "flat": (10.32, 3.1),
    "small": (4.75, 5.5),
}
"""The smallest cell of each shape (width, height), in heights of its font."""
STRETCHED: Final = (1.5, 1.75)
"""So much wider and higher than the smallest cell of its font a cell may be, for its words."""

SMALL: Final = 0.88
"""Size of the small words against the font."""
PITCH: Final = 0.94
"""Distance of two lines of small words, in heights of the font."""

FITTED: Final = (0.6, 2.0)
"""How small and how large the cards are made by themselves."""
PLAIN: Final = 1.0
"""How large at most, where the panel has to be scrolled all the same."""
STEP: Final = 0.04
FLATTER: Final = 1.2
"""So much larger the cards have to be before they are made flat for it."""
HIGHER: Final = 1.15
"""So much larger the cards have to be before their words go below the fuse."""
FULL: Final[tuple[Shape, ...]] = ("beside", "below")
"""The shapes with all the parts of a card."""
ENDLESS: Final = 10**6
LEAST_LINE, LEAST_LARGE = 12.0, 0.45
"""The line of a large font that is still read [px], and how small it is made for it at most."""
MODEST: Final = 0.76
"""So small the cards become before another view beside them yields."""
SEEN: Final = 2
"""So many rows of a panel that is scrolled are seen whole, where such cards do for that."""

_GUTTER, _ACROSS, _DOWN = 0.33, 0.3, 0.19
_MARK = 1.1
SIGN: Final = 0.95
"""How large padlock, eye and question are, in heights of the font."""
_HEAD, _BAR = 1.15, 0.42
_COLUMN: Final = 2.15
"""Width of the fuse with its feed mark."""
_ARROW: Final = 0.32
"""What the arrow of the live side needs outside the fuse's body."""
_UNDER: Final = 0.98
"""So much room below the feed mark, and the verdict's shape stands there."""
_SMALL_FUSE: Final = (2.36, 2.3)
"""Room of the fuse on a card of label and figure alone, with the arrows of its live side."""
_SMALL_EDGE: Final = 0.2
_FLAT_ARROW, _FLAT_MARK = 0.2, 1.0
_TALLEST: Final = 2.2
"""Height of a standing fuse where there is room for it."""


LEAST_SMALL: Final = 0.8
"""How small the cards of a panel are made that is shown beside another one."""


def shape_of(wide: float, high: float) -> Shape:
    """How a cell is laid out, of its size in heights of its font."""
    if high < LEAST_CELL["beside"][1] - 1e-6:
        return "flat"
    if wide < LEAST_CELL["below"][0] - 1e-6 and high >= LEAST_CELL["small"][1] - 1e-6:
        return "small"
    if wide < LEAST_CELL["beside"][0] - 1e-6 and high >= LEAST_CELL["below"][1] - 1e-6:
        return "below"
    return "beside"


class Places(Struct, frozen=True):
    """The places on one card. Nothing overlaps and nothing leaves it.

    `fuse` is the room of the fuse with the arrows of its live side, `head` that of label, signs and
    figure; where the card is high the figure has a row of its own, `figure`. `bar` is taken from
    the top of `words` by what draws it. `under` is the room below the feed mark, `signs` that
    between bar and words for the signs that have none beside the label, if any.
    """

    unit: float
    shape: Shape
    card: QRectF
    fuse: QRectF
    feed: QRectF
    head: QRectF
    figure: QRectF
    bar: QRectF
    words: QRectF
    under: QRectF | None = None
    signs: QRectF | None = None

    @classmethod
    def on(cls, cell: QRectF, unit: float) -> "Places":
        """The places on a cell, `unit` being the height of its font [px]."""
        shape = shape_of(cell.width() / unit, cell.height() / unit)
        gap, edge = (_GUTTER, _ACROSS) if shape != "small" else (_SMALL_EDGE, _SMALL_EDGE)
        gap *= unit
        card = cell.adjusted(gap, gap, -gap, -gap)
        down = unit * (_DOWN if shape != "flat" else 0.1)
        inside = card.adjusted(unit * edge, down, -unit * edge, -down)
        if shape == "flat":
            return _flat(unit, card, inside)
        if shape == "small":
            return _small(unit, card, inside)
        return (_below if shape == "below" else _beside)(unit, card, inside)

    def body(self, orientation: Orientation) -> QRectF:
        """The fuse's body: upright high, lying wide."""
        if self.shape == "flat":
            across, down = self.unit * _FLAT_ARROW, self.unit * _FLAT_ARROW * 0.5
            return self.fuse.adjusted(across, down, -across, -down)
        arrow = self.unit * _ARROW
        high = self.fuse.height() - 2 * arrow
        wide, high = (
            (self.unit * 1.55, high)
            if orientation == "upright"
            else (self.fuse.width() - 2 * arrow, min(high, self.unit * 1.4))
        )
        body = QRectF(0, 0, wide, high)
        body.moveCenter(self.fuse.center())
        return body


def _column(unit: float, inside: QRectF, high: float) -> tuple[QRectF, QRectF]:
    """Fuse and feed mark, one over the other at the left of a block so high."""
    wide, mark = min(unit * _COLUMN, inside.width() * 0.4), unit * _MARK
    tall = min(unit * (_TALLEST + 2 * _ARROW), high - mark)
    fuse = QRectF(inside.left(), inside.top(), wide, tall)
    return fuse, QRectF(inside.left(), fuse.bottom(), wide, mark)


def _beside(unit: float, card: QRectF, inside: QRectF) -> Places:
    """Label, figure, bar and words at the right of the fuse."""
    fuse, feed = _column(unit, inside, inside.height())
    left = fuse.right() + unit * 0.22
    wide = inside.right() - left
    head = QRectF(left, inside.top(), wide, unit * _HEAD)
    bar = QRectF(left, head.bottom(), wide, unit * _BAR)
    words = QRectF(left, head.bottom(), wide, inside.bottom() - head.bottom())
    under = None
    if inside.bottom() - feed.bottom() >= unit * _UNDER:
        side = unit * PITCH
        under = QRectF(feed.center().x() - side / 2, inside.bottom() - side, side, side)
    return Places(unit, "beside", card, fuse, feed, head, head, bar, words, under)


def _below(unit: float, card: QRectF, inside: QRectF) -> Places:
    """Label, figure and bar beside the fuse; the words below, as broad as the card."""
    block = min(unit * (_TALLEST + 2 * _ARROW + _MARK), inside.height() - unit * 2 * PITCH)
    fuse, feed = _column(unit, inside, block)
    left = fuse.right() + unit * 0.22
    wide = inside.right() - left
    head = QRectF(left, inside.top(), wide, unit * _HEAD)
    figure = QRectF(left, head.bottom(), wide, unit * _HEAD)
    bar = QRectF(left, figure.bottom(), wide, unit * _BAR)
    words = QRectF(inside.left(), feed.bottom(), inside.width(), inside.bottom() - feed.bottom())
    signs = QRectF(left, bar.bottom(), wide, feed.bottom() - bar.bottom())
    if signs.height() < unit * SIGN:
        return Places(unit, "below", card, fuse, feed, head, figure, bar, words)
    return Places(unit, "below", card, fuse, feed, head, figure, bar, words, signs=signs)


def _flat(unit: float, card: QRectF, inside: QRectF) -> Places:
    """Two lines: fuse, label and figure; feed mark and words."""
    wide, half = min(unit * _COLUMN, inside.width() * 0.4), inside.height() / 2
    line = min(half, unit * _HEAD)
    fuse = QRectF(inside.left(), inside.top(), wide, line - unit * 0.06)
    mark = min(half, unit * _FLAT_MARK)
    feed = QRectF(inside.left(), inside.top() + half + (half - mark) / 2, wide, mark)
    left = fuse.right() + unit * 0.22
    head = QRectF(left, inside.top(), inside.right() - left, line)
    words = QRectF(left, inside.top() + half, head.width(), half)
    return Places(unit, "flat", card, fuse, feed, head, head, QRectF(), words)


def _small(unit: float, card: QRectF, inside: QRectF) -> Places:
    """Fuse and feed mark side by side, below them label and figure, which has the words' place."""
    fuse = QRectF(inside.left(), inside.top(), unit * _SMALL_FUSE[0], unit * _SMALL_FUSE[1])
    left = fuse.right() + unit * 0.06
    feed = QRectF(left, fuse.center().y() - unit / 2, inside.right() - left, unit)
    head = QRectF(inside.left(), fuse.bottom(), inside.width(), unit * _HEAD)
    words = QRectF(inside.left(), head.bottom(), inside.width(), inside.bottom() - head.bottom())
    return Places(unit, "small", card, fuse, feed, head, words, QRectF(), words)


# --- how large the cards are ----------------------------------------------------------------------


class CardSize(NamedTuple):
    """A cell [px], and how much larger its font is than that of the window."""

    zoom: float
    cell: QSize


def fitting_small(font: QFont, rows: int, columns: int, room: QSize) -> CardSize | None:
    """The largest cards of label and figure alone, where so many of them have room."""
    whole = QSize(room.width() // max(1, columns), room.height() // max(1, rows))
    found = _largest(font, whole, ("small",), PLAIN)
    if found is None or found.zoom < LEAST_SMALL:
        return None
    # in height there is nothing to be won by more room
    high = _least("small", QFontMetricsF(scaled_font(font, found.zoom)).height()).height()
    return CardSize(found.zoom, QSize(found.cell.width(), high))


def fitting(font: QFont, rows: int, columns: int, room: QSize, bar: int) -> CardSize:
    """The largest cards with which the whole panel is seen, stretched into the room there is.

    Where even the smallest do not do, the panel is scrolled one way alone, `bar` being how broad
    the bar of the scrolling is [px]; some rows are seen whole where modest cards do for that.
    """
    rows, columns = max(1, rows), max(1, columns)
    whole = QSize(room.width() // columns, room.height() // rows)
    beside, below = (_largest(font, whole, (shape,), FITTED[1]) for shape in FULL)
    full = beside
    if below is not None and (beside is None or below.zoom > beside.zoom * HIGHER):
        full = below
    flat = _largest(font, whole, ("flat",), PLAIN)
    if full is not None and (flat is None or flat.zoom < full.zoom * FLATTER):
        return full
    if flat is not None:
        return flat
    wide = QSize((room.width() - bar) // columns, ENDLESS)
    high = QSize(ENDLESS, (room.height() - bar) // rows)
    some = _largest(
        font, QSize(wide.width(), room.height() // SEEN), FULL[::-1], PLAIN, stretched=False
    )
    if some is not None and some.zoom >= MODEST:
        return some
    for one_way in (wide, high):
        found = _largest(font, one_way, FULL[::-1], PLAIN, stretched=False)
        if found is not None:
            return found
    return chosen(font, least_zoom(font), whole)


def least_zoom(font: QFont) -> float:
    """How small the cards are made by themselves: in a large font they still read at less."""
    smallest = LEAST_LINE / QFontMetricsF(font).height()
    return max(LEAST_LARGE, min(FITTED[0], smallest))


def modest_height(font: QFont, rows: int, columns: int, wide: int) -> int:
    """How high so many rows are with cards that are small and still have all their parts [px]."""
    unit = QFontMetricsF(scaled_font(font, MODEST)).height()
    cells = [_least(shape, unit) for shape in FULL]
    return rows * min((c.height() for c in cells if c.width() * columns <= wide), default=0)


def chosen(font: QFont, zoom: float, room: QSize) -> CardSize:
    """Cards of a chosen size, in the shape that suits their share of the room best."""
    unit = QFontMetricsF(scaled_font(font, zoom)).height()
    shares = {
        shape: min(room.width() / LEAST_CELL[shape][0], room.height() / LEAST_CELL[shape][1])
        for shape in FULL
    }
    best = max(shares, key=lambda shape: shares[shape])
    return CardSize(zoom, _least(best, unit))


def _least(shape: Shape, unit: float) -> QSize:
    wide, high = LEAST_CELL[shape]
    return QSize(int(wide * unit) + 1, int(high * unit) + 1)


def _largest(
    font: QFont, cell: QSize, shapes: Sequence[Shape], zoom: float, *, stretched: bool = True
) -> CardSize | None:
    """The largest cards, from `zoom` down, in a cell so large; `None` where none can be read."""
    smallest = least_zoom(font)
    while True:
        # A font grows in steps, so the size of a card is asked for, not reckoned.
        unit = QFontMetricsF(scaled_font(font, zoom)).height()
        for shape in shapes:
            least = _least(shape, unit)
            if least.width() <= cell.width() and least.height() <= cell.height():
                most = least
                if stretched:
                    across, down = STRETCHED
                    most = QSize(round(least.width() * across), round(least.height() * down))
                return CardSize(round(zoom, 3), cell.boundedTo(most))
        if zoom <= smallest:
            return None
        zoom = max(smallest, zoom - STEP)
