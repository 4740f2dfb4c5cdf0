"""Buttons that look like words: acts that belong to a sentence rather than a row of buttons."""

from PySide6.QtCore import Qt

from fusemap.window.parts.layouts import WrappingButton
from fusemap.window.style.theme import Theme


def link_button(words: str = "") -> WrappingButton:
    """A button of words alone, which wrap where they are longer than the room for them."""
    made = WrappingButton(words)
    made.setProperty("link", True)
    made.setCursor(Qt.CursorShape.PointingHandCursor)
    layout = made.layout()
    assert layout is not None
    layout.setContentsMargins(0, 0, 0, 0)
    return made


def link_sheet(theme: Theme) -> str:
    """How such buttons look: in the accent, or quiet; tinted under the mouse, ringed in focus."""
    return (
        "QPushButton[link] { border: 2px solid transparent; border-radius: 4px;"
        " background: transparent; text-align: left; }"
        f' QPushButton[link="true"] {{ color: {theme.accent}; font-weight: 600; }}'
        f' QPushButton[link="true"] QLabel {{ color: {theme.accent}; font-weight: 600; }}'
        f' QPushButton[link="quiet"] QLabel {{ color: {theme.muted_text}; }}'
        f" QPushButton[link]:hover {{ background: {theme.accent_tint}; }}"
        f" QPushButton[link]:focus {{ border-color: {theme.accent}; }}"
        " QPushButton[link]::menu-indicator { width: 0; }"
    )
