"""The look of the window: one theme put onto the application, and the measures that go with it.

`Look` is what the user has chosen (colours, language, words, units), kept, and told when it
changes; its `theme` is all of it as one value, which the views are given.

`apply_theme` sets Qt's Fusion style, a palette and a small style sheet. The palette's BrightText is
the colour of what is wrong; PlaceholderText that of muted words. No size is in pixels: everything
is a share of the font's height (`space`), so that it grows with the user's font and display.
"""

from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QFontMetrics, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.text import Style
from fusemap.window.settings import (
    EarthWord,
    LanguageChoice,
    LengthUnit,
    SectionUnit,
    Settings,
    TemperatureUnit,
    ThemeChoice,
)
from fusemap.window.style.colours import (
    DARK,
    LIGHT,
    PROBE,
    Theme,
    ThemeName,
    contrast,
    luminance,
)
from fusemap.window.style.keyboard import follow_keyboard
from fusemap.window.style.marks import (
    FEED_WIDE,
    FeedMark,
    SeverityMark,
    draw_doubt,
    draw_feed_mark,
    draw_severity,
    feed_icon,
    feed_mark,
    severity_icon,
    severity_shape,
)
from fusemap.window.style.sheet import style_sheet
from fusemap.window.texts.languages import chosen_language, speak

__all__ = [
    "DARK",
    "FEED_WIDE",
    "LIGHT",
    "PROBE",
    "FeedMark",
    "Look",
    "SeverityMark",
    "Theme",
    "ThemeChoice",
    "ThemeName",
    "apply_theme",
    "chosen_theme",
    "contrast",
    "draw_doubt",
    "draw_feed_mark",
    "draw_severity",
    "feed_icon",
    "feed_mark",
    "luminance",
    "severity_icon",
    "severity_shape",
    "space",
    "style_sheet",
]

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
    app.setStyleSheet(style_sheet(theme, app.font()))
    follow_keyboard(app)
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


class Look(QObject):
    """Puts the chosen look onto the application. After `changed` the views have to be made anew."""

    changed = Signal()
    spoken = Signal()
    """Another language: before `changed`, for what is not made anew with the views."""

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        self.theme: Theme = self._themed()
        speak(self.theme.style)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._desktop_changed)

    def set_theme(self, choice: ThemeChoice) -> None:
        """Take another theme, and keep the choice."""
        self._settings.kept.theme = choice
        self._settings.save()
        self._apply()

    def set_earth_word(self, word: EarthWord) -> None:
        """Say earth or ground, and keep the choice."""
        self._settings.kept.earth_word = word
        self._settings.save()
        self._say_anew()
        self.changed.emit()

    def set_language(self, choice: LanguageChoice) -> None:
        """Speak another language, and keep the choice."""
        self._settings.kept.language = choice
        self._settings.save()
        self._say_anew()
        self.spoken.emit()
        self.changed.emit()

    def set_length_unit(self, unit: LengthUnit) -> None:
        """Show lengths in this unit, and keep the choice."""
        self._settings.kept.length_unit = unit
        self._show_units()

    def set_temperature_unit(self, unit: TemperatureUnit) -> None:
        """Show temperatures in this unit, and keep the choice."""
        self._settings.kept.temperature_unit = unit
        self._show_units()

    def set_section_unit(self, unit: SectionUnit) -> None:
        """Show this size of a cable first, and keep the choice."""
        self._settings.kept.section_unit = unit
        self._show_units()

    def _show_units(self) -> None:
        self._settings.save()
        self._say_anew()
        self.changed.emit()

    def _style(self) -> Style:
        """The language and the units that are chosen."""
        kept = self._settings.kept
        code = chosen_language(kept.language)
        return Style(
            code,
            length=kept.length_unit,
            temperature=kept.temperature_unit,
            section_unit=kept.section_unit,
            ground=code == "en" and kept.earth_word == "ground",
        )

    def _say_anew(self) -> None:
        self.theme = replace(self.theme, style=self._style())
        speak(self.theme.style)

    def _themed(self) -> Theme:
        return replace(apply_theme(_application(), self._settings.kept.theme), style=self._style())

    def _desktop_changed(self) -> None:
        if self._settings.kept.theme == "system":
            self._apply()

    def _apply(self) -> None:
        self.theme = self._themed()
        self.changed.emit()


def _application() -> QApplication:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app
