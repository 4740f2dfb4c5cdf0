"""The verdict on the whole vehicle, in three cells that are always there: each leads to its reason.

In: what `JobState` knows. Out: `reason_wanted` with which of the three: whether it holds, how long
it stands, what is open. A cell that is being reckoned shows three dots.
"""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from fusemap.window.frame.rail_buttons import two_lines
from fusemap.window.parts.leading import LeadingButton
from fusemap.window.style.bars import draw_dots
from fusemap.window.style.letters import FIGURE, SMALL, letters
from fusemap.window.style.measures import px
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.job import Cell

CELLS: Final = ("holds", "days", "open")
"""The three, from left to right."""
SHARES: Final = {"holds": 10, "days": 13, "open": 8}
"""Of the width, as long as their words are as a rule."""
INK: Final = {
    "holds": "good",
    "may_not_hold": "caution",
    "fails": "stop",
    "unchecked": "text",
}
"""In which colour the figure of a verdict stands."""


class VerdictStrip(QWidget):
    """The three cells; as wide as they need, the rest shared."""

    reason_wanted = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("verdictStrip")
        self.setAccessibleName(self.tr("Verdict"))
        self.cells = {key: VerdictCell(key, theme) for key in CELLS}
        row = self._row = QHBoxLayout(self)
        edge = px(self, 8)
        row.setContentsMargins(edge, 0, edge, 0)
        row.setSpacing(px(self, 8))
        for key, cell in self.cells.items():
            row.addWidget(cell, SHARES[key])
            cell.wanted.connect(self.reason_wanted)
        self.setFixedHeight(px(self, 56))

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        for cell in self.cells.values():
            cell.theme = theme
            cell.update()

    def show_cells(self, said: "Mapping[str, Cell | None]") -> None:
        """Say all three; `None` while one is reckoned."""
        for key, cell in self.cells.items():
            cell.show_cell(said[key])
        self._give_room()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width: figures large and beside the words, or small and above them."""
        super().resizeEvent(event)
        self._give_room()

    def minimumSizeHint(self) -> QSize:
        """Any window is wide enough: what there is no room for yields."""
        return QSize(px(self, 200), px(self, 56))

    def _give_room(self) -> None:
        room = max(1, self.width() - px(self, 8) * 4)
        whole = sum(SHARES.values())
        usual = [room * SHARES[key] // whole for key in self.cells]
        cells = list(self.cells.values())
        large = all(
            cell.width_for(large=True) <= wide for cell, wide in zip(cells, usual, strict=True)
        )
        for cell in cells:
            cell.large = large
        needs = [cell.sizeHint().width() for cell in cells]
        for cell, wide in zip(cells, lent(usual, needs), strict=True):
            self._row.setStretchFactor(cell, wide)
            cell.update()


def lent(usual: Sequence[int], needs: Sequence[int]) -> list[int]:
    """The width of each cell: its usual one, where the words of all have room in that.

    A cell whose words are longer takes from the others what they leave empty.

    >>> lent([400, 500, 300], [350, 500, 330]), lent([400, 500, 300], [350, 450, 600])
    ([370, 500, 330], [350, 450, 400])
    """
    lacks = [max(0, need - wide) for wide, need in zip(usual, needs, strict=True)]
    spare = [max(0, wide - need) for wide, need in zip(usual, needs, strict=True)]
    moved = min(sum(lacks), sum(spare))
    if not moved:
        return list(usual)
    return [
        wide + moved * lack // sum(lacks) - moved * left // sum(spare)
        for wide, lack, left in zip(usual, lacks, spare, strict=True)
    ]


class VerdictCell(LeadingButton):
    """Shape, figure, title, and a line that says more; a button to its reason."""

    wanted = Signal(str)

    def __init__(self, key: str, theme: Theme) -> None:
        super().__init__()
        self.key = key
        self.theme = theme
        self.large = True
        self._said: Cell | None = None
        self.figure = self.title = self.note = self.short = ""
        self.setObjectName(f"verdict_{key}")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.clicked.connect(lambda: self.wanted.emit(self.key))
        self.show_cell(None)

    @property
    def reckoned(self) -> bool:
        """Whether something is said, and nothing waited for."""
        return self._said is not None

    @property
    def verdict(self) -> str:
        """The verdict it shows; empty while it is reckoned."""
        return "" if self._said is None else self._said.verdict

    def show_cell(self, said: "Cell | None") -> None:
        """Say it; `None` while it is reckoned."""
        self._said = said
        show = self.theme.style.show
        if said is None:
            self.figure = self.note = self.short = ""
            self.title = self._names()[self.key]
            words = self.tr("{what}: being reckoned").format(what=self.title)
        else:
            self.figure, self.title, self.note = map(show, (said.figure, said.title, said.note))
            self.short = show(said.short)
            words = ". ".join(filter(None, (self.title, self.figure, self.note)))
        self.setAccessibleName(words)
        self.setToolTip(plain_tip(words))
        self.setAccessibleDescription(self._leads_to()[self.key])
        self.update()

    def _names(self) -> dict[str, str]:
        return {
            "holds": self.tr("Does it hold?"),
            "days": self.tr("How long may it stand?"),
            "open": self.tr("What is open?"),
        }

    def _leads_to(self) -> dict[str, str]:
        return {
            "holds": self.tr("Leads to the findings"),
            "days": self.tr("Leads to how long it may stand"),
            "open": self.tr("Leads to what can be answered and measured"),
        }

    # --- how it is laid out ---------------------------------------------------------------------

    def _lines(self) -> tuple[str, str]:
        """What stands beside a large figure, or in two lines where that is small."""
        if self.large:
            return self.title, self.note
        return (self.figure, self.title) if self.figure else (self.title, self.note)

    def width_for(self, *, large: bool) -> int:
        """What shape, figure and title take [px]; the line below them may be cut."""
        body = QFontMetrics(letters(self, strong=True))
        title = body.horizontalAdvance(self.title)
        beside = px(self, 8 + 24 + 10 + 8)
        if not large:
            if not self.figure:
                return beside + title
            small = QFontMetrics(letters(self, SMALL)).horizontalAdvance(self.title)
            return beside + max(small, body.horizontalAdvance(self.figure))
        figure = QFontMetrics(letters(self, FIGURE, strong=True)).horizontalAdvance(self.figure)
        return beside + title + (figure + px(self, 10) if self.figure else 0)

    def sizeHint(self) -> QSize:
        """With all its words, as they are laid out now."""
        least = self.width_for(large=self.large)
        if not self.large and self.figure:
            return QSize(least, px(self, 56))
        small = QFontMetrics(letters(self, SMALL))
        note = small.horizontalAdvance(self.note) + px(self, 10)
        title = QFontMetrics(letters(self, strong=True)).horizontalAdvance(self.title)
        return QSize(least + max(0, note - title), px(self, 56))

    def minimumSizeHint(self) -> QSize:
        """Small beside small."""
        return QSize(px(self, 60), px(self, 56))

    # --- drawing --------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Shape, figure, two lines."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw_ground(painter)
        size = px(self, 24 if self.large else 20)
        left = px(self, 8)
        middle = self.height() / 2
        shape = QRectF(left, middle - size / 2, size, size)
        if self._said is None:
            draw_dots(painter, shape, self.theme.colour("muted_text"))
        else:
            draw_verdict(painter, shape, self._said.verdict, self.theme)
        left += size + px(self, 10)
        if self.large and self.figure:
            left = self._draw_figure(painter, left)
        self._draw_lines(painter, left)
        painter.end()

    def _draw_ground(self, painter: QPainter) -> None:
        inside = QRectF(self.rect()).adjusted(1, 4, -1, -4)
        focus = QPen(self.theme.colour("accent"), 2)
        painter.setPen(focus if self.hasFocus() else Qt.PenStyle.NoPen)
        lit = self.underMouse() or self.isDown()
        painter.setBrush(self.theme.colour("raised") if lit else Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(inside, px(self, 8), px(self, 8))

    def _ink(self) -> str:
        return "muted_text" if self._said is None else INK[self._said.verdict]

    def _draw_figure(self, painter: QPainter, left: int) -> int:
        painter.setFont(letters(self, FIGURE, strong=True))
        painter.setPen(self.theme.colour(self._ink()))
        wide = painter.fontMetrics().horizontalAdvance(self.figure)
        place = QRectF(left, 0, wide + 1, self.height())
        painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, self.figure)
        return left + wide + px(self, 10)

    def _draw_lines(self, painter: QPainter, left: int) -> None:
        first, second = self._lines()
        room = self.width() - left - px(self, 6)
        middle, high = self.height() / 2, px(self, 19)
        top = QRectF(left, middle - (high if second else high / 2), room, high)
        painter.setFont(letters(self, strong=True))
        figure_above = not self.large and bool(self.figure)
        if not figure_above and painter.fontMetrics().horizontalAdvance(first) > room:
            # the verdict itself is whole; what is said more of it yields
            painter.setFont(letters(self, SMALL, strong=True))
            first, second = two_lines(first, painter.fontMetrics(), room)
            painter.setPen(self.theme.colour("text"))
            self._draw_line(painter, QRectF(left, middle - high, room, high), first)
            self._draw_line(painter, QRectF(left, middle, room, high), second)
            return
        painter.setPen(self.theme.colour(self._ink() if figure_above else "text"))
        self._draw_line(painter, top, first)
        painter.setFont(letters(self, SMALL))
        painter.setPen(self.theme.colour("text" if figure_above else "muted_text"))
        if second == self.note:
            second = self.note_in(room)
        self._draw_line(painter, QRectF(left, middle, room, high), second)

    def note_in(self, room: float) -> str:
        """What is said more in so much room [px]: where all of it has none, the same short."""
        wide = QFontMetrics(letters(self, SMALL)).horizontalAdvance(self.note)
        return self.short if self.short and wide > room else self.note

    def _draw_line(self, painter: QPainter, place: QRectF, words: str) -> None:
        end = Qt.TextElideMode.ElideRight
        shown = painter.fontMetrics().elidedText(words, end, int(place.width()))
        painter.drawText(place, Qt.AlignmentFlag.AlignVCenter, shown)
