"""A page looked at by program: every line of type with its place, its size, and how it was broken.

In: laid out pages. Out: what is wrong with them, in words: lines on each other or outside the page,
type too small to read, words broken or shortened where they must stand whole, a single line left
alone at the foot or at the head of a page. Places are millimetres from the page's top left.
"""

from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_ink import Setting

LEAST_POINTS = 7.5
MARGIN_MM = 9.5
INCH_MM = 25.4
POINTS = 72.0
FOOT_MM = 16.0
"""The foot of a page begins so far above its edge."""
MARKS = ("!", "?", "i")
"""Signs within the marks of the severities: parts of a drawing."""
MAY_SHORTEN = ("labels",)
"""What a small label has no room for stands whole in the cut list, by the label's number."""


@dataclass(frozen=True, eq=False)
class Line:
    """A line of type as it is drawn."""

    text: str
    left: float
    top: float
    right: float
    foot: float
    points: float
    bold: bool
    broken: bool
    made: Setting

    @property
    def shortened(self) -> bool:
        """Whether it ends in dots that stand for something left out."""
        return self.text.rstrip().endswith("…") and not self.made.layout.text().isspace()


@contextmanager
def watched(found: list[Line]) -> Iterator[None]:
    """Note every line of type that is drawn meanwhile."""
    usual = Setting.draw

    def draw(
        self: Setting,
        painter: QPainter,
        x: float,
        y: float,
        first: int = 0,
        last: int | None = None,
    ) -> None:
        usual(self, painter, x, y, first, last)
        end = self.lines if last is None else min(last, self.lines)
        for index in range(first, end):
            place = painter.combinedTransform().mapRect(_ink(self, index, x, y, first))
            found.append(_line(self, index, place, painter.device().logicalDpiX()))

    Setting.draw = draw  # type: ignore[method-assign]
    try:
        yield
    finally:
        Setting.draw = usual  # type: ignore[method-assign]


def _ink(made: Setting, index: int, x: float, y: float, first: int) -> QRectF:
    """Where a line's letters are [dots]: from the height of its capitals to its base line."""
    line = made.layout.lineAt(index)
    base = y + (index - first) * made.line_height + made.ascent
    high = made.layout.font().pixelSize() * 0.73
    box = line.naturalTextRect()
    return QRectF(x + box.left(), base - high, box.width(), high)


def _line(made: Setting, index: int, place: QRectF, dpi: float) -> Line:
    line, whole = made.layout.lineAt(index), made.layout.text()
    start, end = line.textStart(), line.textStart() + line.textLength()
    cut = 0 < end < len(whole) and whole[end - 1].isalnum() and whole[end].isalnum()
    scale = INCH_MM / dpi
    return Line(
        whole[start:end],
        place.left() * scale,
        place.top() * scale,
        place.right() * scale,
        place.bottom() * scale,
        place.height() / 0.73 / dpi * POINTS,
        made.layout.font().bold(),
        cut,
        made,
    )


def lines_of(pages: Pages, dpi: float = 96.0) -> list[list[Line]]:
    """Every page's lines of type in the order in which they are drawn."""
    wide, high = pages.size_mm
    found = []
    for number in range(len(pages)):
        size = (round(wide / INCH_MM * dpi), round(high / INCH_MM * dpi))
        image = QImage(*size, QImage.Format.Format_Mono)
        image.setDotsPerMeterX(round(dpi / INCH_MM * 1000))
        image.setDotsPerMeterY(round(dpi / INCH_MM * 1000))
        page: list[Line] = []
        painter = QPainter(image)
        with watched(page):
            pages.draw(painter, number, dpi)
        painter.end()
        found.append(page)
    return found


def faults(pages: Pages) -> list[str]:
    """What is wrong with a part's pages, each with the page it is on, counted from 1."""
    drawn = lines_of(pages)
    found = []
    for number, page in enumerate(drawn, start=1):
        every = (*_overlaps(page), *_outside(page, pages.size_mm), *_small(page))
        found += [f"page {number}: {each}" for each in (*every, *_cut(page, pages.content.part))]
    return found + list(_alone(drawn, pages.size_mm[1]))


def _overlaps(page: list[Line]) -> Iterator[str]:
    ordered = sorted((line for line in page if line.text.strip()), key=lambda line: line.top)
    for index, one in enumerate(ordered):
        for other in ordered[index + 1 :]:
            if other.top > one.foot - 0.25:
                break
            if min(one.right, other.right) - max(one.left, other.left) > 0.25:
                yield f"“{one.text}” and “{other.text}” lie on each other"


def _outside(page: list[Line], size_mm: tuple[float, float]) -> Iterator[str]:
    wide, high = size_mm
    for line in page:
        inside = line.left > MARGIN_MM and line.right < wide - MARGIN_MM
        if not (inside and line.top > MARGIN_MM and line.foot < high - MARGIN_MM):
            yield f"“{line.text}” is outside the margins"


def _small(page: list[Line]) -> Iterator[str]:
    for line in page:
        if line.points < LEAST_POINTS - 0.05 and line.text.strip() not in ("", *MARKS):
            yield f"“{line.text}” is set in {line.points:.1f} points"


def _cut(page: list[Line], part: str) -> Iterator[str]:
    for line in page:
        if line.broken:
            yield f"a word is broken after “{line.text}”"
        if line.shortened and part not in MAY_SHORTEN:
            yield f"“{line.text}” is shortened"


def _alone(drawn: list[list[Line]], high: float) -> Iterator[str]:
    """Of a text that goes on on the next page at least two lines stand on each."""
    for number, (page, following) in enumerate(pairwise(drawn), start=1):
        here, there = Counter(id(x.made) for x in page), Counter(id(x.made) for x in following)
        for made in {line.made for line in page if id(line.made) in there and line.made.lines > 1}:
            if min(here[id(made)], there[id(made)]) < 2:
                yield f"pages {number} and {number + 1}: a line of “{made.layout.text()}” is alone"
        inside = [line for line in page if line.foot < high - FOOT_MM]
        last = max(inside, key=lambda line: line.foot, default=None)
        if last is not None and _heads(last):
            yield f"page {number}: the heading “{last.text}” is alone at its foot"


def _heads(line: Line) -> bool:
    """Whether a line is the heading of a section."""
    return line.bold and abs(line.points - 12.5) < 0.1
