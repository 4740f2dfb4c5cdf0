"""What a circuit diagram is drawn of: lines, symbols and words with their places [mm].

In: words and how wide they are. Out: the parts of a `Drawing`, and texts broken into lines. No Qt.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final, Literal, NamedTuple, Protocol

POINTS: Final = 7.5
LINE_MM: Final = POINTS * 1.25 * 25.4 / 72
"""Height of a line of words."""

SymbolKind = Literal[
    "fuse", "fuse_upright", "battery", "chassis", "box", "contact", "switch", "coil", "dot", "ring",
    "arrow", "cores", "output",
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
    """A symbol in its place; `key` is the part it is of."""

    kind: SymbolKind
    x: float
    y: float
    wide: float
    high: float
    key: str


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


@dataclass(eq=False)
class Drawing:
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
    """A text in lines of a width [mm]; a word longer than it is broken anywhere."""
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
            count = max(
                n for n in range(1, len(word)) if n == 1 or type_.wide(word[:n], bold) <= wide
            )
            lines.append(word[:count])
            word = word[count:]
        line = word
    return (*lines, *([line] if line else []))


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
