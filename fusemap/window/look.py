"""The look the user has chosen: theme and words. Chosen in the menu, kept, told when it changes."""

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication

from fusemap.window.settings import Settings
from fusemap.window.theme import Theme, apply_theme
from fusemap.window.words import say_ground


class Look(QObject):
    """Puts the chosen look onto the application. After `changed` the views have to be made anew."""

    changed = Signal()

    def __init__(self, settings: Settings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings
        say_ground(settings.kept.earth_word == "ground")
        self.theme: Theme = apply_theme(_application(), settings.kept.theme)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._desktop_changed)

    def set_theme(self, choice: str) -> None:
        """Take another theme, and keep the choice."""
        self._settings.kept.theme = choice  # type: ignore[assignment]
        self._settings.save()
        self._apply()

    def set_earth_word(self, word: str) -> None:
        """Say earth or ground, and keep the choice."""
        self._settings.kept.earth_word = word  # type: ignore[assignment]
        self._settings.save()
        say_ground(word == "ground")
        self.changed.emit()

    def chosen(self, group: str) -> str:
        """What is in force of several choices."""
        return str(getattr(self._settings.kept, group))

    def _desktop_changed(self) -> None:
        if self._settings.kept.theme == "system":
            self._apply()

    def _apply(self) -> None:
        self.theme = apply_theme(_application(), self._settings.kept.theme)
        self.changed.emit()


def _application() -> QApplication:
    app = QApplication.instance()
    assert isinstance(app, QApplication)
    return app
