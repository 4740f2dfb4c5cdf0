"""Pages filled from the top: strips that stay whole, headings that stay with what follows.

In: strips of a height that draw themselves, and the shape of the page. Out: for each page the
strips with their places. Nothing is lost: what does not fit goes on on the next page. Lengths are
dots of 1/1200 inch.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Final, Literal

from PySide6.QtGui import QPainter

from fusemap.sheet.paint_text import Setting, mm

Paper = Literal["a4", "letter"]
SIZES_MM: Final[dict[Paper, tuple[float, float]]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height. Source: ISO 216 (A4); ANSI/ASME Y14.1 (Letter, 8.5 × 11 inches)."""

Draw = Callable[[QPainter, float, float], None]


@dataclass(frozen=True, slots=True)
class PageShape:
    """Size of a page and where on it the content goes [dots]."""

    width: float
    height: float
    left: float
    top: float
    right: float
    bottom: float

    @property
    def wide(self) -> float:
        """Width of the content."""
        return self.width - self.left - self.right

    @property
    def high(self) -> float:
        """Height of the content."""
        return self.height - self.top - self.bottom


def page_shape(paper: Paper) -> PageShape:
    """A page with room for its head and foot."""
    width, height = SIZES_MM[paper]
    return PageShape(mm(width), mm(height), mm(15), mm(21), mm(15), mm(18))


@dataclass(frozen=True, eq=False)
class Strip:
    """A piece that is not broken: its height, how it draws itself at a place, what belongs to it.

    `keep` holds it on the page of the strip after it; `head` is drawn again above it where it
    begins a page; `gap` is room above it, which falls away at the top of a page.
    """

    height: float
    draw: Draw
    keep: bool = False
    head: "Strip | None" = None
    gap: float = 0.0
    new_page: bool = False


@dataclass(eq=False)
class Flow:
    """Pages being filled."""

    shape: PageShape
    pages: list[list[tuple[float, Strip]]] = field(default_factory=lambda: [[]])
    _used: float = 0.0

    def add(self, strips: Iterable[Strip]) -> None:
        """Put strips below each other, in groups that stay together where a page can hold them."""
        group: list[Strip] = []
        for strip in strips:
            group.append(strip)
            if not strip.keep:
                self._place(group)
                group = []
        self._place(group)

    def _place(self, group: list[Strip]) -> None:
        if not group:
            return
        needed = sum(strip.height + strip.gap for strip in group)
        at_top = not self.pages[-1]
        too_low = self._used + needed > self.shape.high + 0.5
        if not at_top and (group[0].new_page or (too_low and self._worth_breaking(needed))):
            self._break()
        for strip in group:
            self._put(strip)

    def _worth_breaking(self, needed: float) -> bool:
        """A group larger than a page is broken anyway; it begins where there is room."""
        return needed <= self.shape.high or self._used > self.shape.high * 0.6

    def _put(self, strip: Strip) -> None:
        gap = strip.gap if self.pages[-1] else 0.0
        if self.pages[-1] and self._used + gap + strip.height > self.shape.high + 0.5:
            self._break()
            gap = 0.0
        if not self.pages[-1] and strip.head is not None and len(self.pages) > 1:
            self._append(strip.head)
        self._used += gap
        self._append(strip)

    def _append(self, strip: Strip) -> None:
        self.pages[-1].append((self._used, strip))
        self._used += strip.height

    def _break(self) -> None:
        self.pages.append([])
        self._used = 0.0

    def draw(self, painter: QPainter, page: int) -> None:
        """Draw one page's strips."""
        for y, strip in self.pages[page]:
            strip.draw(painter, self.shape.left, self.shape.top + y)


def set_line(made: Setting, index: int, inset: float = 0.0) -> Draw:
    """How one line of a set text draws itself, its left edge so far in."""

    def draw(painter: QPainter, x: float, y: float) -> None:
        made.draw(painter, x + inset, y, index, index + 1)

    return draw


def nothing(painter: QPainter, x: float, y: float) -> None:
    """Draws nothing."""


def gap(height: float) -> Strip:
    """Empty room."""
    return Strip(height, nothing)
