"""Colours by what they are for, light, dark, and the dark high-contrast one for beside the vehicle.

`USED_PAIRS` lists what is drawn on what and the contrast it needs; a test computes every one.
Contrast is the ratio of relative luminances. Source: W3C, WCAG 2.1, success criteria 1.4.3
(text, 4.5:1) and 1.4.11 (graphics, 3:1).
"""

from typing import Final, Literal

from msgspec import Struct
from PySide6.QtGui import QColor

from fusemap.text import ENGLISH, Style

ThemeName = Literal["light", "dark", "probe"]


class Theme(Struct, frozen=True):
    """How the window shows things: every colour by its role, as “#rrggbb”, and the style of words.

    Grounds: `window` the page, `base` rail, shelf and inputs, `raised` buttons' and heads' hover,
    `lid_top` to `lid_bottom` the lid with `lid_edge` round it, `slot` a place one may use, `sealed`
    one that is flush. Words: `text`, `muted_text`; `frame` borders and marks, never words.
    Verdicts: `good` holds, `caution` may not hold, `stop` does not, each with its tint, and
    `cannot_say`. `load` is a bar below its limit on its `load_track`: never green. `way` with its
    casing and chevron is the current's way, `bus` a feed that is not chosen. `part` with `part_pin`
    is a drawn relay, tap or battery; `band` and `host_band` are when a fuse and its host open;
    `caution_sign` the triangle of a caution, with rim and sign.
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
    cannot_say: str
    stop_tint: str
    caution_tint: str
    note_tint: str
    good_tint: str
    slot: str
    sealed: str
    slot_empty: str
    slot_blocked: str
    lid_top: str
    lid_bottom: str
    lid_edge: str
    way: str
    way_casing: str
    way_chevron: str
    bus: str
    load: str
    load_track: str
    part: str
    part_pin: str
    caution_sign: str
    caution_rim: str
    caution_ink: str
    lead_red: str
    lead_black: str
    drop_good: str
    drop_bad: str
    mark: str
    mark_text: str
    band: str
    host_band: str
    style: Style = ENGLISH

    def colour(self, role: str) -> QColor:
        """The colour of a role; raises `AttributeError` for one that does not exist."""
        return QColor(getattr(self, role))

    @property
    def dark(self) -> bool:
        """Whether light is written on dark."""
        return luminance(self.base) < luminance(self.text)


LIGHT: Final = Theme(
    name="light",
    window="#f5f6f4",
    base="#ffffff",
    raised="#e9edeb",
    text="#182226",
    muted_text="#4f5d63",
    line="#c3cbca",
    frame="#6b787e",
    accent="#0c5a78",
    accent_text="#ffffff",
    accent_tint="#e2eef3",
    stop="#9c1020",
    caution="#875a00",
    note="#0c5a78",
    good="#0b6b4a",
    cannot_say="#56646b",
    stop_tint="#fbe7e4",
    caution_tint="#fbf0d9",
    note_tint="#e2eef3",
    good_tint="#e3f1e8",
    slot="#ffffff",
    sealed="#dde3e2",
    slot_empty="#dde3e2",
    slot_blocked="#c9d1d0",
    lid_top="#e8ecea",
    lid_bottom="#e3e8e7",
    lid_edge="#c3cbca",
    way="#2487ae",
    way_casing="#0c4a63",
    way_chevron="#ffffff",
    bus="#667479",
    load="#5e7077",
    load_track="#e4e8e7",
    part="#3c494e",
    part_pin="#e8ebec",
    caution_sign="#e0a11c",
    caution_rim="#875a00",
    caution_ink="#182226",
    lead_red="#e5443b",
    lead_black="#8c999e",
    drop_good="#0b6b4a",
    drop_bad="#9c1020",
    mark="#182226",
    mark_text="#ffffff",
    band="#0c5a78",
    host_band="#76408c",
)

DARK: Final = Theme(
    name="dark",
    window="#14191b",
    base="#1d2427",
    raised="#2a3337",
    text="#eef2f1",
    muted_text="#b4c0c3",
    line="#3a4448",
    frame="#93a1a6",
    accent="#6fc3e2",
    accent_text="#06222d",
    accent_tint="#183843",
    stop="#ff8f84",
    caution="#f0ba4a",
    note="#6fc3e2",
    good="#70d4a0",
    cannot_say="#a9b6bb",
    stop_tint="#42201d",
    caution_tint="#3a2f16",
    note_tint="#183843",
    good_tint="#17352a",
    slot="#2c3539",
    sealed="#252d30",
    slot_empty="#252d30",
    slot_blocked="#3b464a",
    lid_top="#22292c",
    lid_bottom="#1e2528",
    lid_edge="#3a4448",
    way="#6fc3e2",
    way_casing="#0b2c39",
    way_chevron="#06222d",
    bus="#7c8b90",
    load="#9fb0b6",
    load_track="#3b464a",
    part="#4a585d",
    part_pin="#c9cfd1",
    caution_sign="#f0ba4a",
    caution_rim="#f0ba4a",
    caution_ink="#182226",
    lead_red="#e5443b",
    lead_black="#8c999e",
    drop_good="#6fcf97",
    drop_bad="#ff8a7e",
    mark="#eef2f1",
    mark_text="#1d2427",
    band="#6fc3e2",
    host_band="#d3a0e2",
)

PROBE: Final = Theme(
    name="probe",
    window="#080b0c",
    base="#13191b",
    raised="#1d2528",
    text="#ffffff",
    muted_text="#c9d3d5",
    line="#4a555a",
    frame="#98a4a9",
    accent="#7fd0ee",
    accent_text="#06222d",
    accent_tint="#0e2d39",
    stop="#ff9186",
    caution="#ffd071",
    note="#7fd0ee",
    good="#8ff0c0",
    cannot_say="#c9d3d5",
    stop_tint="#33100e",
    caution_tint="#302204",
    note_tint="#0e2d39",
    good_tint="#0a2a16",
    slot="#1d2528",
    sealed="#151b1e",
    slot_empty="#151b1e",
    slot_blocked="#39424a",
    lid_top="#13191b",
    lid_bottom="#0f1416",
    lid_edge="#4a555a",
    way="#7fd0ee",
    way_casing="#0b2c39",
    way_chevron="#06222d",
    bus="#8a999e",
    load="#b4c2c7",
    load_track="#333d41",
    part="#5a686d",
    part_pin="#c9cfd1",
    caution_sign="#ffd071",
    caution_rim="#ffd071",
    caution_ink="#182226",
    lead_red="#e5443b",
    lead_black="#8c999e",
    drop_good="#8ff0c0",
    drop_bad="#ff9186",
    mark="#ffffff",
    mark_text="#0b0d0f",
    band="#7fd0ee",
    host_band="#e2b8ee",
)

THEMES: Final = (LIGHT, DARK, PROBE)

_SURFACES = ("window", "base", "raised")
_WORDS = ("text", "muted_text", "accent", "stop", "caution", "note", "good", "cannot_say")
_JUDGED = ("stop", "caution", "note", "good")
_LID = ("lid_top", "lid_bottom")
_PLACES = (*_LID, "slot", "sealed", "slot_empty")
VERDICT_ROLES: Final[dict[str, str]] = {
    "holds": "good",
    "may_not_hold": "caution",
    "fails": "stop",
    "unchecked": "cannot_say",
}
"""Which colour a verdict has."""

TEXT_PAIRS: Final[tuple[tuple[str, str], ...]] = (
    *((word, surface) for surface in _SURFACES for word in _WORDS),
    *((band, "base") for band in ("band", "host_band")),
    ("accent_text", "accent"),
    *((word, "accent_tint") for word in ("text", "muted_text", "accent")),
    *(("text", f"{kind}_tint") for kind in _JUDGED),
    *((kind, f"{kind}_tint") for kind in _JUDGED),
    *((word, ground) for word in ("text", "muted_text") for ground in _PLACES),
    *((word, "slot") for word in ("accent", "stop", "caution", "good", "cannot_say")),
    *((word, ground) for word in ("stop", "good", "accent") for ground in _LID),
    ("text", "slot_blocked"),
    ("drop_good", "base"),
    ("drop_bad", "base"),
    ("mark_text", "mark"),
    ("caution_ink", "caution_sign"),
)
"""What is written on what."""

GRAPHIC_PAIRS: Final[tuple[tuple[str, str], ...]] = (
    ("frame", "base"),
    ("frame", "window"),
    ("accent", "base"),
    ("accent", "window"),
    *(("mark", ground) for ground in (*_SURFACES, "accent_tint")),
    *(("frame", ground) for ground in _PLACES),
    *(("accent", ground) for ground in _PLACES),
    *(("bus", ground) for ground in _LID),
    ("load", "load_track"),
    *(("load", ground) for ground in ("slot", "window", "base", *_LID)),
    *(("caution", ground) for ground in ("sealed", *_LID)),
    *(("cannot_say", ground) for ground in ("sealed", *_LID)),
    ("way_chevron", "way"),
    ("part_pin", "part"),
    ("caution_rim", "base"),
    ("caution_rim", "window"),
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
