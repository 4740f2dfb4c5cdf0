"""Keys of the keyboard as keys of a probing session, and the legend of all of them."""

from typing import Final, Literal

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QKeyEvent

from fusemap.probing import keys

translate = QCoreApplication.translate
Key = Qt.Key

PageKey = keys.Key | Literal["pull", "options", "start", "in", "none"]
"""Keys of a session, and those that the page answers itself; `none` is a letter that is no key."""

NAMED: Final[dict[int, PageKey]] = {
    Key.Key_Return: "enter",
    Key.Key_Enter: "enter",
    Key.Key_Asterisk: "skip",
    Key.Key_Slash: "undo",
    Key.Key_Backspace: "back",
    Key.Key_Escape: "clear",
    Key.Key_Up: "up",
    Key.Key_Down: "down",
    Key.Key_Left: "left",
    Key.Key_Right: "right",
    Key.Key_Home: "home",
    Key.Key_PageDown: "next_round",
    Key.Key_PageUp: "previous_round",
    Key.Key_Space: "unit",
    Key.Key_L: "lock",
    Key.Key_T: "instrument",
    Key.Key_P: "pull",
    Key.Key_I: "in",
    Key.Key_J: "job",
    Key.Key_S: "sure",
    Key.Key_O: "options",
    Key.Key_K: "start",
}
"""Keys that are no characters of a reading."""


_TYPED: Final[dict[str, PageKey]] = {text: text for text in keys.CHARACTERS}


def session_key(event: QKeyEvent) -> PageKey | None:
    """The session's name for a key press; `None` for one that is not for it."""
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
    )
    if held:
        return None
    text = event.text().lower().replace("−", "-")
    found = _TYPED.get(text) or NAMED.get(event.key())
    # any other letter is heard as one that does nothing
    return found or ("none" if text.strip() and text.isprintable() else None)


def legend() -> tuple[tuple[str, str], ...]:
    """The keys and what they do, for the foot of the page."""
    return (
        ("⏎", translate("Probe", "store, go on")),
        ("+", translate("Probe", "live")),
        ("−", translate("Probe", "dead")),
        ("*", translate("Probe", "skip")),
        ("/", translate("Probe", "undo")),
        ("m v a", translate("Probe", "unit")),
        (translate("Probe", "Space"), translate("Probe", "next unit")),
        (translate("Probe", "PgDn"), translate("Probe", "next round")),
        ("L", translate("Probe", "locked now")),
        ("P", translate("Probe", "pull the next fuse")),
        ("I", translate("Probe", "it is back in")),
        ("J", translate("Probe", "only what this job needs")),
        ("S", translate("Probe", "only what makes it sure")),
        ("T", translate("Probe", "meter or test lamp")),
        ("O", translate("Probe", "walk, round, meter")),
        ("K", translate("Probe", "one start, with a meter")),
    )


def contact_legend() -> tuple[tuple[str, str], ...]:
    """The keys while contacts are read."""
    return (
        ("8 2 4 6", translate("Probe", "the live contact: top, bottom, left, right")),
        ("−", translate("Probe", "none")),
        ("+", translate("Probe", "both")),
        ("⏎", translate("Probe", "store, go on")),
        ("*", translate("Probe", "skip")),
        ("/", translate("Probe", "undo")),
        ("I", translate("Probe", "it is back in")),
    )
