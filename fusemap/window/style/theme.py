"""The look of the window: one theme put onto the application, and the measures that go with it.

`apply_theme` sets Qt's Fusion style, a palette and a small style sheet. The palette's BrightText is
the colour of what is wrong; PlaceholderText that of muted words. No size is in pixels: everything
is a share of the font's height (`space`), so that it grows with the user's font and display.
"""

from typing import Final, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.window.style.colours import (
    DARK,
    LIGHT,
    PROBE,
    Theme,
    ThemeName,
    contrast,
    luminance,
    readable_on,
)
from fusemap.window.style.marks import (
    FeedMark,
    SeverityMark,
    draw_feed_mark,
    draw_severity,
    feed_icon,
    feed_mark,
    severity_icon,
    severity_shape,
)

__all__ = [
    "DARK",
    "LIGHT",
    "PROBE",
    "FeedMark",
    "SeverityMark",
    "Theme",
    "ThemeChoice",
    "ThemeName",
    "apply_theme",
    "chosen_theme",
    "contrast",
    "draw_feed_mark",
    "draw_severity",
    "feed_icon",
    "feed_mark",
    "luminance",
    "readable_on",
    "severity_icon",
    "severity_shape",
    "space",
]

ThemeChoice = Literal["light", "dark", "system"]

SPACES: Final = {"hair": 0.125, "small": 0.25, "medium": 0.5, "large": 1.0, "wide": 2.0}
"""The spacing scale, in heights of the font."""


def space(widget: QWidget, size: str = "medium") -> int:
    """A distance of the spacing scale for a widget's font [px]."""
    return max(1, round(QFontMetrics(widget.font()).height() * SPACES[size]))


def chosen_theme(choice: ThemeChoice) -> Theme:
    """The theme a choice means now; `system` follows the desktop, light where it says nothing."""
    if choice != "system":
        return DARK if choice == "dark" else LIGHT
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return DARK if dark else LIGHT


def apply_theme(app: QApplication, choice: ThemeChoice | Theme = "system") -> Theme:
    """Give the whole application a theme, and say which one it is."""
    theme = choice if isinstance(choice, Theme) else chosen_theme(choice)
    if app.style().name() != "fusion":
        app.setStyle("Fusion")
    app.setPalette(palette(theme))
    app.setStyleSheet(style_sheet(theme))
    return theme


def palette(theme: Theme) -> QPalette:
    """The theme as Qt's palette."""
    role = QPalette.ColorRole
    colours = {
        role.Window: "window",
        role.WindowText: "text",
        role.Base: "base",
        role.AlternateBase: "raised",
        role.ToolTipBase: "raised",
        role.ToolTipText: "text",
        role.PlaceholderText: "muted_text",
        role.Text: "text",
        role.Button: "raised",
        role.ButtonText: "text",
        role.BrightText: "stop",
        role.Light: "base",
        role.Midlight: "raised",
        role.Mid: "line",
        role.Dark: "frame",
        role.Shadow: "frame",
        role.Highlight: "accent",
        role.HighlightedText: "accent_text",
        role.Accent: "accent",
        role.Link: "accent",
        role.LinkVisited: "accent",
    }
    made = QPalette()
    for place, name in colours.items():
        made.setColor(place, theme.colour(name))
    for place in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, place, theme.colour("muted_text"))
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, theme.colour("line"))
    made.setColor(QPalette.ColorGroup.Disabled, role.HighlightedText, theme.colour("text"))
    return made


def style_sheet(theme: Theme) -> str:
    """The little that a palette cannot say."""
    return _SHEET.format(**{name: getattr(theme, name) for name in _NAMES})


_NAMES: Final = tuple(
    field for field in LIGHT.__dataclass_fields__ if field not in ("name", "style")
)
_SHEET: Final = """
QToolTip {{ color: {text}; background: {raised}; border: 1px solid {frame}; padding: 0.25em; }}
QLabel[muted="true"] {{ color: {muted_text}; }}
QLineEdit, QPlainTextEdit {{ background: {base}; color: {text}; border: 1px solid {frame};
    placeholder-text-color: {muted_text}; border-radius: 3px; padding: 0.1em 0.25em; }}
QLineEdit:focus, QPlainTextEdit:focus {{ border-color: {accent}; background: {accent_tint}; }}
QLineEdit:disabled, QPlainTextEdit:disabled {{ border-color: {line}; background: {window};
    color: {muted_text}; }}
QAbstractSpinBox QLineEdit, QComboBox QLineEdit {{ border: none; background: transparent;
    padding: 0; }}
QLineEdit[wrong="true"], QPlainTextEdit[wrong="true"] {{
    background: {stop_tint}; color: {text}; border: 2px solid {stop}; }}
QToolBar {{ background: {window}; border: none; border-bottom: 1px solid {line};
    spacing: 0.25em; padding: 0.25em; }}
QToolBar::separator {{ background: {line}; width: 1px; margin: 0.25em; }}
QMainWindow::separator {{ background: {line}; width: 1px; height: 1px; }}
QSplitter::handle:horizontal {{ width: 5px; background: qlineargradient(x1:0, y1:0, x2:1, y2:0,
    stop:0.39 {window}, stop:0.4 {frame}, stop:0.6 {frame}, stop:0.61 {window}); }}
QSplitter::handle:vertical {{ height: 5px; background: qlineargradient(x1:0, y1:0, x2:0, y2:1,
    stop:0.39 {window}, stop:0.4 {frame}, stop:0.6 {frame}, stop:0.61 {window}); }}
QSplitter::handle:hover {{ background: {accent}; }}
QHeaderView::section {{ background: {raised}; color: {text}; border: none;
    border-right: 1px solid {line}; border-bottom: 1px solid {line}; padding: 0.25em 0.4em; }}
QFrame#messageBar[kind="stop"] {{ background: {stop_tint}; border-top: 2px solid {stop}; }}
QFrame#standingMark {{ background: {stop_tint}; border-bottom: 2px solid {stop}; }}
QFrame#messageBar[kind="note"] {{ background: {note_tint}; border-top: 2px solid {note}; }}
"""
