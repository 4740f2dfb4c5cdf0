"""What is looked at on every page, in which sizes, and what may be as it is, with the reason."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from PySide6.QtWidgets import QWidget

from fusemap.window.settings import LanguageChoice, ThemeChoice
from tests.window import looked_at

SIZES: Final = ((1280, 720), (1366, 768), (1440, 900), (2560, 1440))

MAY_BE: Final = {
    r"sideways: .*tablesRows": "a table of many columns: its own scroll bar leads to them",
    r"sideways: .*readingsTable": "the same",
    r"sideways: .*pastePreview": "as wide as what somebody pastes",
    r"sideways: .*slotCurrents": "the same, at double type",
    r"(clipped|sideways): QScrollArea addPanelScroll": "double type on a screen of 800 px",
    r"shortened: .*, FeedStrip": "pointed at, the strip says the whole",
    r"tiny: .*, Door door_": "ratings in the picture of a lid, which nobody has to read",
}
"""Faults that are none, by how they read."""

MAY_BE_FAINT: Final = ("Door door_",)
"""Pictures of fuses in their standard colours, which nobody has to read."""


@dataclass(frozen=True)
class Case:
    """One way to look: a language, how much larger the font is, a theme, the window's size [px]."""

    language: LanguageChoice
    font: float
    theme: ThemeChoice
    size: tuple[int, int]

    def __str__(self) -> str:
        return f"{self.language} {self.font:g} {self.theme} {self.size[0]}"


def faults_of(page: QWidget) -> Iterator[str]:
    """What is wrong with a page, each with its kind before it."""
    looked = looked_at.look(page)
    found = {
        "clipped": looked_at.clipped(page),
        "small": looked_at.too_small(page),
        "over": looked_at.overlapping(page),
        "out": looked_at.cut_off(page),
        "sideways": looked_at.scrolled_sideways(page),
        "cell": looked_at.cells_cut(page),
        "edge": looked_at.at_the_edge(page),
        "plain": looked_at.like_plain_words(page),
        "squeezed": looked_at.squeezed(looked),
        "beyond": looked_at.off_the_page(looked),
        "written over": looked_at.written_over(looked),
        "tiny": looked_at.tiny(looked),
        "shortened": looked_at.shortened(looked),
        "faint": looked_at.faint(looked),
        "nameless": looked_at.nameless(page),
    }
    for kind, faults in found.items():
        for each in faults:
            fault = f"{kind}: {each}"
            if not any(re.search(known, fault) for known in MAY_BE):
                yield fault
    looked_at.forget()
