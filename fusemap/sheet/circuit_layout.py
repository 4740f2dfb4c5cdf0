"""Where everything of a circuit diagram stands: rows from plus at the left to earth at the right.

In: a `Circuit`, the size of a page [mm], and how wide a text is. Out: a drawing per page: lines,
symbols and words with their places [mm] from its top left corner. Each part has a row. What hangs
on a part stands below it, and its row begins at the trunk of that part, a line straight down;
trunks lie the further right the deeper a part hangs, so that no line has to cross another. Where a
page ends, each trunk that goes on has a letter, and begins with it on the next page. No Qt.
"""

from typing import Final

from msgspec import Struct

from fusemap.sheet.circuit import Circuit, Part
from fusemap.sheet.circuit_drawing import LINE_MM, Drawing, Line, Symbol, Type, Words, letter
from fusemap.sheet.circuit_rows import LEFT, Rows

GAP: Final = 1.0
LETTER_HIGH: Final = LINE_MM + 2.5


def lay_out(
    circuit: Circuit, wide: float, high: float, type_: Type, first: float | None = None
) -> tuple[Drawing, ...]:
    """The pages of a circuit [mm]; `high` may be infinite for one drawing of all.

    `first` is what the first page has room for, where that is less.
    """
    return _Layout(circuit, wide, (high if first is None else first, high), type_).pages()


class _Open(Struct, eq=False):
    """A trunk that still has rows below it."""

    x: float
    left: int
    dashed: bool = False
    from_y: float = 0.0
    letter: str = ""


class _Layout:
    """Rows put on pages."""

    def __init__(
        self, circuit: Circuit, wide: float, high: tuple[float, float], type_: Type
    ) -> None:
        self._parts = circuit.parts
        self._type = type_
        self._high = high
        self._wide = wide
        self._rows = Rows(circuit.parts, wide, type_)
        self._letters = 0

    def pages(self) -> tuple[Drawing, ...]:
        """Every page filled from the top."""
        pages = [Drawing(self._wide)]
        below: dict[tuple[str, str], int] = {}
        for part in self._parts:
            if part.parent and not part.beside:
                slot = (part.parent, part.at)
                below[slot] = below.get(slot, 0) + 1
        open_: dict[tuple[str, str], _Open] = {}
        y = 0.0
        for part in self._parts:
            trunk = open_.get((part.parent, part.at))
            row = self._rows.row(part, LEFT if trunk is None else trunk.x)
            room = self._high[len(pages) > 1] - (LETTER_HIGH if open_ else 0.0)
            if y > LETTER_HIGH + 1 and y + row.above + row.below > room:
                y = self._break(pages, open_)
            line = y + row.above
            if trunk is not None and not part.beside:
                self._join(pages[-1], trunk, line, part)
                if not trunk.left:
                    del open_[part.parent, part.at]
            row.draw(pages[-1], line)
            for at, (x, down) in row.trunks.items():
                count = below.get((part.key, at), 0)
                if count:
                    open_[part.key, at] = _Open(x, count, from_y=line + down)
            y = line + row.below + GAP
            pages[-1].high = y
        return tuple(pages)

    def _join(self, page: Drawing, trunk: _Open, line: float, part: Part) -> None:
        """The trunk down to a row; a dot where it goes on."""
        page.lines.append(Line(trunk.x, trunk.from_y, trunk.x, line, part.doubtful))
        trunk.from_y = line
        trunk.left -= 1
        if trunk.left:
            page.symbols.append(Symbol("dot", trunk.x - 0.6, line - 0.6, 1.2, 1.2, "joint"))

    def _break(self, pages: list[Drawing], open_: dict[tuple[str, str], _Open]) -> float:
        """End a page: every open trunk gets a letter, and begins with it on the next."""
        page, following = pages[-1], Drawing(self._wide)
        foot = page.high + 1.5
        for trunk in open_.values():
            if not trunk.letter:
                trunk.letter = letter(self._letters)
                self._letters += 1
            page.lines.append(Line(trunk.x, trunk.from_y, trunk.x, foot))
            self._name(page, trunk, foot + 0.4)
            self._name(following, trunk, 0.0)
            trunk.from_y = LINE_MM + 0.4
        if open_:
            page.high = foot + LINE_MM + 0.4
        pages.append(following)
        return LINE_MM + 2.0 if open_ else 0.0

    def _name(self, page: Drawing, trunk: _Open, y: float) -> None:
        wide = self._type.wide(trunk.letter, True)
        x = trunk.x - wide / 2
        page.words.append(Words((trunk.letter,), x, y, wide, LINE_MM, "letter", bold=True))
