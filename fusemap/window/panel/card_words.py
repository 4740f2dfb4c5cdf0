"""How words and figures are brought onto the lines of a card: smaller, closer, narrower, parted.

In: a text, a font and a width [px]; out: the font with which it fits, or its lines.
"""

from typing import Final, NamedTuple

from PySide6.QtCore import QSizeF
from PySide6.QtGui import QFont, QFontMetricsF

from fusemap.hyphens import SOFT, softened
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.measures import per_font

LEAST: Final = 0.85
"""Words that do not fit are made smaller down to this size against their font."""
NARROWEST: Final = 72
"""Then narrower, down to so many hundredths of their breadth."""
UNPARTED: Final = 0.94
"""A word that fits at this share of its breadth is not parted."""
CLOSER: Final = 94.0
"""How close the signs of a figure are set where it is broad, in hundredths."""
SMALLEST_FIGURE: Final = 0.4
SIZES: Final = (1.0, 0.9, 0.8)
"""How much smaller a name is written before it is cut."""


def squeezed(font: QFont, text: str, width: float) -> QFont:
    """The font for a word, smaller and then narrower where that brings it onto its line."""
    wide = QFontMetricsF(font).horizontalAdvance(text)
    if wide <= width:
        return font
    smaller = scaled_font(font, max(LEAST, width / wide))
    stretch = 100
    # A font grows in steps, so it is tried, not reckoned.
    while QFontMetricsF(smaller).horizontalAdvance(text) > width and stretch > NARROWEST:
        stretch -= 4
        smaller.setStretch(stretch)
    return smaller


def narrowed(font: QFont, text: str, width: float) -> QFont:
    """A font with which a figure fits: set closer first, then smaller, and as small as it must."""
    return QFont(_narrowed(font, text, width))


@per_font
def _narrowed(font: QFont, text: str, width: float) -> QFont:
    made = QFont(font)
    if QFontMetricsF(made).horizontalAdvance(text) <= width:
        return made
    made.setLetterSpacing(QFont.SpacingType.PercentageSpacing, CLOSER)
    factor = 1.0
    # A font grows in steps, so it is tried, not reckoned.
    while QFontMetricsF(made).horizontalAdvance(text) > width and factor > SMALLEST_FIGURE:
        factor -= 0.05
        made = scaled_font(font, factor, font.bold())
        made.setLetterSpacing(QFont.SpacingType.PercentageSpacing, CLOSER)
    return made


class Lines(NamedTuple):
    """Words on the lines of a place: each with its font, and how far the lines are apart [px]."""

    lines: tuple[tuple[str, QFont], ...]
    pitch: float
    whole: bool


def laid_out(text: str, font: QFont, pitch: float, place: QSizeF) -> Lines:
    """A name on the lines of a place, in the largest of `SIZES` in which it is whole."""
    return _laid_out(font, text, pitch, place.width(), place.height())


@per_font
def _laid_out(font: QFont, text: str, pitch: float, width: float, height: float) -> Lines:
    made = Lines((), pitch, not text)
    for size in SIZES if text else ():
        smaller, apart = scaled_font(font, size), pitch * size
        room = min(3, int((height + 0.5) / apart))
        if room < 1:
            continue
        lines = lines_of(text, QFontMetricsF(smaller), width, room)
        fitted = tuple((line, squeezed(smaller, line, width)) for line in lines)
        whole = all(
            QFontMetricsF(narrow).horizontalAdvance(line) <= width for line, narrow in fitted
        )
        if whole or not made.lines:
            made = Lines(fitted, apart, whole)
        if whole:
            break
    return made


def lines_of(text: str, metrics: QFontMetricsF, width: float, most: int) -> list[str]:
    """A text broken between words onto at most so many lines; the last may still be too long."""
    lines: list[str] = []
    words = [part for word in text.split() for part in parted(word, metrics, width, most)]
    while words:
        line = words.pop(0)
        while words and (
            len(lines) == most - 1 or metrics.horizontalAdvance(_joined(line, words[0])) <= width
        ):
            line = _joined(line, words.pop(0))
        lines.append(line.replace(SOFT, "-"))
    return lines


def _joined(line: str, word: str) -> str:
    """Two words, or the two parts of one."""
    return line[:-1] + word if line.endswith(SOFT) else f"{line} {word}"


def parted(word: str, metrics: QFontMetricsF, width: float, lines: int) -> list[str]:
    """A word that no narrow letters bring onto a line, in two parts where there are two lines.

    It is parted between two syllables, as near to its middle as both parts fit: whole in two parts
    of the usual size reads better than small, or than its beginning alone.
    """
    if lines < 2 or metrics.horizontalAdvance(word) * UNPARTED <= width:
        return [word]
    pieces = softened(word).split(SOFT)
    found = []
    for at in range(1, len(pieces)):
        first, second = "".join(pieces[:at]), "".join(pieces[at:])
        if metrics.horizontalAdvance(f"{first}-") <= width:
            whole = metrics.horizontalAdvance(second) <= width
            found.append((not whole, abs(len(first) - len(second)), first, second))
    if not found:
        return [word]
    *_, first, second = min(found)
    return [first + SOFT, second]
