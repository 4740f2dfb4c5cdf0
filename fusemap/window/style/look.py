"""The look the user has chosen: colours, language, words, units.

Chosen in the menu, kept, and told when it changes. `theme` is all of it as one value, which the
views are given.
"""

from dataclasses import replace

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

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
from fusemap.window.style.theme import Theme, apply_theme
from fusemap.window.texts.languages import chosen_language, speak


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
