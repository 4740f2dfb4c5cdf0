"""What a circuit diagram is drawn of: lines, symbols and words with their places [mm].

In: words and how wide they are. Out: the parts of a `Drawing`, and texts broken into lines. No Qt.
"""

from collections.abc import Callable
from typing import Final, Literal, NamedTuple, Protocol

from msgspec import Struct, field

from fusemap.hyphens import SOFT, softened

POINTS: Final = 7.5
LINE_MM: Final = POINTS * 1.25 * 25.4 / 72
"""Height of a line of words."""

SymbolKind = Literal[
    "fuse", "fuse_upright", "battery", "chassis", "box", "contact", "switch", "coil", "dot", "ring",
    "arrow", "cores", "output", "pins",
]  # fmt: skip


class Type(Protocol):
    """The type that words are set in."""

    def clean(self, text: str) -> str:
        """A text as it can be drawn."""

    def wide(self, text: str, bold: bool) -> float:
        """How wide a text is on one line [mm]."""


class Line(NamedTuple):
    """A conductor from one place to another."""

    x1: float
    y1: float
    x2: float
    y2: float
    dashed: bool = False


class Symbol(NamedTuple):
    """A symbol in its place; `key` is the part it is of.

    A socket's `pins` stand in a circle, the `pin` that the line ends at is filled.
    """

    kind: SymbolKind
    x: float
    y: float
    wide: float
    high: float
    key: str
    pins: int = 0
    pin: int = 0


class Words(NamedTuple):
    """Lines of words, their place, and the part they are of."""

    lines: tuple[str, ...]
    x: float
    y: float
    wide: float
    high: float
    key: str
    bold: bool = False
    white: bool = False


class Drawing(Struct, eq=False):
    """One page of a diagram."""

    wide: float
    high: float = 0.0
    lines: list[Line] = field(default_factory=list)
    symbols: list[Symbol] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


class Row(NamedTuple):
    """A part laid out: how far it reaches above and below its line, and how it draws itself.

    `draw` is given the drawing and the y of the line; `trunks` are where lines go down from it: x
    and how far below its line each begins.
    """

    above: float
    below: float
    draw: Callable[[Drawing, float], None]
    trunks: dict[str, tuple[float, float]]


def broken(text: str, wide: float, type_: Type, bold: bool = False) -> tuple[str, ...]:
    """A text in lines of a width [mm]; a word longer than it between syllables, else anywhere."""
    lines: list[str] = []
    line = ""
    for word in type_.clean(text).split(" "):
        trial = f"{line} {word}" if line else word
        if type_.wide(trial, bold) <= wide:
            line = trial
            continue
        if line:
            lines.append(line)
        while type_.wide(word, bold) > wide and len(word) > 1:
            piece, word = _parted(word, wide, type_, bold)
            lines.append(piece)
        line = word
    return (*lines, *([line] if line else []))


def _parted(word: str, wide: float, type_: Type, bold: bool) -> tuple[str, str]:
    """As much of a word as a line takes, and the rest."""
    pieces = softened(word).split(SOFT)
    for count in range(len(pieces) - 1, 0, -1):
        piece = "".join(pieces[:count])
        if type_.wide(f"{piece}-", bold) <= wide:
            return f"{piece}-", word[len(piece) :]
    fits = (n for n in range(len(word) - 1, 1, -1) if type_.wide(word[:n], bold) <= wide)
    count = next(fits, 1)
    return word[:count], word[count:]


def put(
    page: Drawing,
    lines: tuple[str, ...],
    x: float,
    y: float,
    wide: float,
    key: str,
    *,
    bold: bool = False,
) -> None:
    """Lines of words at a place of a page, if there are any."""
    if lines:
        page.words.append(Words(lines, x, y, wide, len(lines) * LINE_MM, key, bold))


def letter(index: int) -> str:
    """The name of a place where a line goes on on the next page: a, b … z, aa."""
    high, low = divmod(index, 26)
    return (letter(high - 1) if high else "") + "abcdefghijklmnopqrstuvwxyz"[low]
