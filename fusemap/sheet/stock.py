"""What labels are printed on, as it is bought: sheets of labels, endless tape, or plain paper.

In: the name of a kind, or a user's own numbers. Out: its sizes [mm]. The kinds are common ones of
office labels and of tape for label printers, from memory; whoever has another measures it. No Qt.
"""

from math import isfinite
from typing import Final, Literal

from msgspec import Struct

from fusemap.errors import InputProblem
from fusemap.text import Amount, Text, say

Kind = Literal["plain", "sheet", "tape"]
StockPaper = Literal["", "a4", "letter"]
SIZES_MM: Final[dict[StockPaper, tuple[float, float]]] = {
    "a4": (210.0, 297.0),
    "letter": (215.9, 279.4),
}
"""Width and height of the sheets labels are on. Source: ISO 216; ANSI/ASME Y14.1."""
LEAST_MM: Final = 3.0
"""A label lower than this holds no type that can be read."""
NUMBERS: Final = 8


class Stock(Struct, frozen=True):
    """A kind of label stock, all in mm.

    A label is `wide_mm` × `high_mm`; on a sheet so many stand across and down it, the first one
    `left_mm` and `top_mm` from its corner, each a pitch from the next. Of a tape `high_mm` is its
    width and `wide_mm` the length that is cut off. `taken`: so many labels of the first sheet are
    used already.
    """

    kind: Kind
    wide_mm: float
    high_mm: float
    paper: StockPaper = ""
    across: int = 1
    down: int = 1
    left_mm: float = 0.0
    top_mm: float = 0.0
    pitch_x_mm: float = 0.0
    pitch_y_mm: float = 0.0
    taken: int = 0

    @property
    def numbers(self) -> tuple[float, ...]:
        """Those of an own sheet, in the order in which they are typed; lengths in mm."""
        return (self.wide_mm, self.high_mm, self.across, self.down, self.left_mm, self.top_mm,
                self.pitch_x_mm, self.pitch_y_mm)  # fmt: skip

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of what goes through the printer; of plain paper as it is chosen."""
        if self.kind == "tape":
            return self.wide_mm, self.high_mm
        return SIZES_MM[self.paper] if self.paper else (0.0, 0.0)

    @property
    def words(self) -> Text:
        """What it is called."""
        wide, high = Amount(self.wide_mm, "mm"), Amount(self.high_mm, "mm")
        if self.kind == "tape":
            return say("Endless tape, {size} wide", size=high)
        if self.kind == "plain":
            return say("Plain paper to cut, {wide} × {high}", wide=wide, high=high)
        return say(
            "{paper} sheet, {count} labels of {wide} × {high}",
            paper="A4" if self.paper == "a4" else "Letter",
            count=self.across * self.down,
            wide=wide,
            high=high,
        )


PLAIN: Final = Stock("plain", 38.1, 21.2, across=4, pitch_x_mm=40.6, pitch_y_mm=21.2)
STOCKS: Final[dict[str, Stock]] = {
    "plain": PLAIN,
    "a4-65": Stock("sheet", 38.1, 21.2, "a4", 5, 13, 4.75, 10.7, 40.6, 21.2),
    "a4-48": Stock("sheet", 45.7, 21.2, "a4", 4, 12, 9.8, 21.3, 48.3, 21.2),
    "a4-40": Stock("sheet", 48.5, 25.4, "a4", 4, 10, 8.0, 21.5, 48.5, 25.4),
    "a4-21": Stock("sheet", 63.5, 38.1, "a4", 3, 7, 7.2, 15.1, 66.0, 38.1),
    "letter-80": Stock("sheet", 44.45, 12.7, "letter", 4, 20, 7.2, 12.7, 52.3, 12.7),
    "letter-30": Stock("sheet", 66.7, 25.4, "letter", 3, 10, 4.8, 12.7, 69.9, 25.4),
    "tape-6": Stock("tape", 50.0, 6.0),
    "tape-9": Stock("tape", 50.0, 9.0),
    "tape-12": Stock("tape", 50.0, 12.0),
    "tape-18": Stock("tape", 50.0, 18.0),
    "tape-24": Stock("tape", 50.0, 24.0),
}
"""The kinds by name. Sizes of sheets and widths of tapes: common ones, from memory."""


def own_sheet(paper: StockPaper, numbers: tuple[float, ...]) -> Stock:
    """A sheet by a user's own numbers.

    In mm: width, height, then how many across and down, then left and top margin, pitch across and
    down. Raises `InputProblem` where the labels do not lie on the sheet side by side.
    """
    if len(numbers) != NUMBERS or not all(isfinite(each) and each >= 0 for each in numbers):
        raise _wrong(say("eight numbers are needed, in mm: {order}", order=ORDER))
    wide, high, across, down, left, top, pitch_x, pitch_y = numbers
    if across != int(across) or down != int(down) or min(across, down, wide, high) < 1:
        raise _wrong(say("how many labels stand across and down is a whole number from 1 on"))
    if high < LEAST_MM:
        raise _wrong(say("a label is at least {least} high", least=Amount(LEAST_MM, "mm")))
    if (across > 1 and pitch_x < wide) or (down > 1 and pitch_y < high):
        raise _wrong(say("the labels lie on each other: the pitch is from one label to the next"))
    size = SIZES_MM[paper]
    ends = left + (across - 1) * pitch_x + wide, top + (down - 1) * pitch_y + high
    if ends[0] > size[0] + 0.5 or ends[1] > size[1] + 0.5:
        raise _wrong(say("the labels reach beyond the sheet"))
    return Stock("sheet", wide, high, paper, int(across), int(down), left, top, pitch_x, pitch_y)


ORDER: Final = say("width, height, across, down, left, top, pitch across, pitch down")


def _wrong(what: Text) -> InputProblem:
    return InputProblem(what, "", say("measure the sheet with a ruler"))


def written(stock: Stock) -> str:
    """A stock as a word that can be kept: its name, or its own numbers.

    >>> written(STOCKS["tape-12"]), written(own_sheet("a4", (50, 20, 4, 10, 5, 10, 50, 20)))
    ('tape-12', 'a4 50 20 4 10 5 10 50 20')
    """
    for name, each in STOCKS.items():
        if each == stock:
            return name
    return " ".join([stock.paper, *(f"{each:g}" for each in stock.numbers)])


def read(word: str) -> Stock:
    """A stock from such a word. Raises `InputProblem`.

    >>> read("tape-9").high_mm, read("letter 60 20 3 12 10 10 65 20").paper
    (9.0, 'letter')
    """
    if word in STOCKS:
        return STOCKS[word]
    name, *rest = word.split() or [""]
    try:
        numbers = tuple(float(each) for each in rest)
    except ValueError:
        numbers = ()
    papers: dict[str, StockPaper] = {"a4": "a4", "letter": "letter"}
    if name in papers:
        return own_sheet(papers[name], numbers)
    what = say("there is no label stock “{name}”", name=word)
    remedy = say(
        "one of {names}, or “a4” or “letter” with eight numbers in mm: {order}",
        names=", ".join(STOCKS),
        order=ORDER,
    )
    raise InputProblem(what, "", remedy)
