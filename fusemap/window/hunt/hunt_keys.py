"""Keys of the keyboard as keys of a hunt, and what is heard after Enter."""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from fusemap.probing.hunt import Outcome, Step
from fusemap.window.beside.sounds import Sound

NAMED: Final[dict[int, str]] = {
    Qt.Key.Key_Return: "enter", Qt.Key.Key_Enter: "enter", Qt.Key.Key_Asterisk: "skip",
    Qt.Key.Key_Slash: "undo", Qt.Key.Key_Backspace: "back", Qt.Key.Key_Escape: "clear",
    Qt.Key.Key_C: "by", Qt.Key.Key_P: "no_pull", Qt.Key.Key_F: "to_fuses", Qt.Key.Key_L: "lock",
    Qt.Key.Key_N: "anew", Qt.Key.Key_E: "enough", Qt.Key.Key_Space: " ",
}  # fmt: skip
"""Keys that are no characters of a figure."""
FIGURES: Final = frozenset("0123456789.,-mva:+ ")
"""Characters of a figure, or of a row of a night."""


def key_of(event: QKeyEvent) -> str:
    """The name of a key of the hunt; empty for one that is not for it."""
    if event.matches(QKeySequence.StandardKey.Paste):
        return "paste"
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
    )
    if held:
        return ""
    text = event.text().lower().replace("−", "-")
    if text and text in FIGURES:
        return text
    named = NAMED.get(event.key(), "")
    # any other letter is heard as one that does nothing
    return named or (text if text.strip() and text.isprintable() else "")


def sound_after(before: Step, done: Outcome, after: Step) -> Sound:
    """The sound of Enter: stored, or asked about, or all is done."""
    if done.hunt.doubts:
        return "doubted"
    return "done" if after.kind == "end" and before.kind != "end" else "stored"
