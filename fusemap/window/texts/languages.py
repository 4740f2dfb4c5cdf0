"""Qt's own texts in the user's language: the one translator of the window.

In: the style in force. Out: `tr` and `translate` answer from the language's catalogue, in the
style's words. Figures and texts from below the window are shown by the style itself.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from fusemap.catalogues import LANGUAGES, messages
from fusemap.text import Style, Text

__all__ = ["LANGUAGES", "Texts", "chosen_language", "speak"]

_KEY: Final = "windowLanguage"
_KEYS: Final = "QShortcut"
"""The context that Qt asks for the names of keys in."""


def chosen_language(choice: str) -> str:
    """The language a choice means now; `system` follows the desktop, English where we have none."""
    if choice != "system":
        return choice if choice in LANGUAGES else "en"
    code = QLocale.system().name().partition("_")[0]
    return code if code in LANGUAGES else "en"


def speak(style: Style | str) -> None:
    """Say Qt's texts in a style, or in the language of this code, from now on.

    Texts already shown stay until they are made anew.
    """
    wanted = Style(style) if isinstance(style, str) else style
    app = QCoreApplication.instance()
    assert app is not None
    for old in app.findChildren(QTranslator, _KEY):
        app.removeTranslator(old)
        old.setParent(None)
    for translator in _translators(wanted):
        translator.setParent(app)
        translator.setObjectName(_KEY)
        app.installTranslator(translator)


def _translators(style: Style) -> tuple[QTranslator, ...]:
    """Those of Qt's boxes and of our texts, which is asked first; English is written as it is."""
    if style.language == "en":
        return (Texts(style),) if style.ground else ()
    return _qt_texts(style.language), Texts(style)


def _qt_texts(code: str) -> QTranslator:
    """The words of Qt's own boxes, where they are installed with it."""
    translator = QTranslator()
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    translator.load(f"qtbase_{code}", folder)
    return translator


class Texts(QTranslator):
    """Answers from the catalogue of one language, in the words of a style."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self._style = style
        self._messages = messages(style.language)

    def isEmpty(self) -> bool:
        """Always asked."""
        return False

    def translate(
        self, context: str, source: str, comment: str | None = None, n: int = -1
    ) -> str | None:
        """The text in this language, or nothing where it has none.

        The names of keys are Qt's own: “Return” is no way back to the battery, “Down” no direction.
        """
        if context == _KEYS:
            return None
        for meant in (context, ""):
            if self._messages.knows(source, meant):
                return self._style.show(Text(source, context=meant))
        spaced = self._style.spaced(source)
        return spaced if spaced != source else None
