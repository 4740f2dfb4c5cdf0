"""Colours by what they are for, light, dark, and the dark high-contrast one for beside the vehicle.

`USED_PAIRS` lists what is drawn on what and the contrast it needs; a test computes every one.
Contrast is the ratio of relative luminances. Source: W3C, WCAG 2.1, success criteria 1.4.3
(text, 4.5:1) and 1.4.11 (graphics, 3:1).
"""

from dataclasses import dataclass
from typing import Final, Literal

from PySide6.QtGui import QColor

from fusemap.text import ENGLISH, Style

ThemeName = Literal["light", "dark", "probe"]


@dataclass(frozen=True)
class Theme:
    """How the window shows things: every colour by its role, as “#rrggbb”, and the style of words.

    `style` is the language and the units that texts and figures are said in.
    """

    name: ThemeName
    window: str
    base: str
    raised: str
    text: str
    muted_text: str
    line: str
    frame: str
    accent: str
    accent_text: str
    accent_tint: str
    stop: str
    caution: str
    note: str
    good: str
    stop_tint: str
    caution_tint: str
    note_tint: str
    good_tint: str
    slot_empty: str
    slot_blocked: str
    drop_good: str
    drop_bad: str
    mark: str
    mark_text: str
    chart_1: str
    chart_2: str
    chart_3: str
    chart_4: str
    chart_5: str
    chart_6: str
    chart_7: str
    chart_8: str
    style: Style = ENGLISH

    def colour(self, role: str) -> QColor:
        """The colour of a role; raises `AttributeError` for one that does not exist."""
        return QColor(getattr(self, role))

    @property
    def dark(self) -> bool:
        """Whether light is written on dark."""
        return luminance(self.base) < luminance(self.text)

    @property
    def chart(self) -> tuple[str, ...]:
        """The colours of lines and areas, in the order to use them."""
        return tuple(getattr(self, f"chart_{number}") for number in range(1, 9))


LIGHT: Final = Theme(
    name="light",
    window="#f2f4f6",
    base="#ffffff",
    raised="#e7ebef",
    text="#1a222c",
    muted_text="#525d69",
    line="#c6cdd4",
    frame="#6d7883",
    accent="#0f5c86",
    accent_text="#ffffff",
    accent_tint="#dcebf4",
    stop="#a8201a",
    caution="#7d4a00",
    note="#2a5a86",
    good="#19633a",
    stop_tint="#fbe4e2",
    caution_tint="#fbeed3",
    note_tint="#e2edf6",
    good_tint="#ddf0e3",
    slot_empty="#e3e7eb",
    slot_blocked="#b9c1c9",
    drop_good="#19633a",
    drop_bad="#a8201a",
    mark="#1a222c",
    mark_text="#ffffff",
    chart_1="#0f5c86",
    chart_2="#ad4a00",
    chart_3="#006c58",
    chart_4="#76408c",
    chart_5="#6a5800",
    chart_6="#a02d5c",
    chart_7="#3a6ea8",
    chart_8="#525d69",
)

DARK: Final = Theme(
    name="dark",
    window="#1a1f25",
    base="#222930",
    raised="#2d353e",
    text="#e9eef3",
    muted_text="#aab4be",
    line="#434d57",
    frame="#7f8b97",
    accent="#6db9e8",
    accent_text="#0c1a24",
    accent_tint="#21394a",
    stop="#ff938a",
    caution="#f0b850",
    note="#8fc4f2",
    good="#80d09b",
    stop_tint="#4a2422",
    caution_tint="#43351a",
    note_tint="#22374a",
    good_tint="#1f3d2b",
    slot_empty="#38414a",
    slot_blocked="#4b555f",
    drop_good="#80d09b",
    drop_bad="#ff938a",
    mark="#e9eef3",
    mark_text="#222930",
    chart_1="#6db9e8",
    chart_2="#ffab6b",
    chart_3="#63d0b4",
    chart_4="#d3a0e2",
    chart_5="#d6c560",
    chart_6="#f195b4",
    chart_7="#a3c3fa",
    chart_8="#aab4be",
)

PROBE: Final = Theme(
    name="probe",
    window="#000000",
    base="#0b0d0f",
    raised="#1c2126",
    text="#ffffff",
    muted_text="#c9d1d9",
    line="#5a6570",
    frame="#98a4af",
    accent="#8fd0ff",
    accent_text="#000000",
    accent_tint="#0e2b3f",
    stop="#ffaba4",
    caution="#ffd071",
    note="#a9d6ff",
    good="#9be8b3",
    stop_tint="#33100e",
    caution_tint="#302204",
    note_tint="#0c2236",
    good_tint="#0a2a16",
    slot_empty="#262c32",
    slot_blocked="#39424a",
    drop_good="#9be8b3",
    drop_bad="#ffaba4",
    mark="#ffffff",
    mark_text="#0b0d0f",
    chart_1="#8fd0ff",
    chart_2="#ffbd8a",
    chart_3="#7fe3c9",
    chart_4="#e2b8ee",
    chart_5="#e6d777",
    chart_6="#f9aec7",
    chart_7="#b9d2ff",
    chart_8="#c9d1d9",
)

THEMES: Final = (LIGHT, DARK, PROBE)

_SURFACES = ("window", "base", "raised")
_WORDS = ("text", "muted_text", "accent", "stop", "caution", "note", "good")
TEXT_PAIRS: Final[tuple[tuple[str, str], ...]] = (
    *((word, surface) for surface in _SURFACES for word in _WORDS),
    *((chart, "base") for chart in (f"chart_{number}" for number in range(1, 9))),
    ("accent_text", "accent"),
    ("text", "accent_tint"),
    *(("text", f"{kind}_tint") for kind in ("stop", "caution", "note", "good")),
    *((kind, f"{kind}_tint") for kind in ("stop", "caution", "note", "good")),
    ("text", "slot_empty"),
    ("muted_text", "slot_empty"),
    ("text", "slot_blocked"),
    ("drop_good", "base"),
    ("drop_bad", "base"),
    ("mark_text", "mark"),
)
"""What is written on what."""

GRAPHIC_PAIRS: Final[tuple[tuple[str, str], ...]] = (
    ("frame", "base"),
    ("frame", "window"),
    ("accent", "base"),
    ("accent", "window"),
    *(("mark", ground) for ground in (*_SURFACES, "accent_tint")),
)
"""Frames and marks that must be seen to know what a thing is."""


def luminance(colour: str) -> float:
    """Relative luminance 0…1 of a “#rrggbb” colour. Source: W3C, WCAG 2.1, “relative luminance”.

    >>> luminance("#ffffff"), luminance("#000000")
    (1.0, 0.0)
    """
    parts = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return round(0.2126 * red + 0.7152 * green + 0.0722 * blue, 9)


def contrast(one: str, other: str) -> float:
    """Contrast ratio 1…21 of two colours. Source: W3C, WCAG 2.1, “contrast ratio”.

    >>> contrast("#000000", "#ffffff")
    21.0
    """
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
