"""The window's language: a translator that reads our own files, one per language.

`resources/languages/window_<code>.json` holds the window's texts by their English (“Context|text”
where one English text is two in the language), and
`words_<code>.json` the sentences of checks, chains and tables, with places in braces for what
varies. In: the code of a language. Out: Qt's `translate` and `tr` answer in that language, and
`said` gives a sentence from below the window in it.
"""

from collections.abc import Iterable
from typing import Final

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from fusemap.catalogues import LANGUAGES, forms, messages
from fusemap.phrases import Phrases, read
from fusemap.text import Argument, Style

_KEY: Final = "windowLanguage"


def said(text: Argument) -> str:
    """A sentence that comes from below the window, in the user's language."""
    if not isinstance(text, str):
        return style().show(text)
    return QCoreApplication.translate("Said", text) if text else text


def style() -> Style:
    """The language and the units in force."""
    return Style(
        language(),
        length=_units("m"),  # type: ignore[arg-type]
        temperature=_units("°C"),  # type: ignore[arg-type]
        section_unit=_units("mm²"),  # type: ignore[arg-type]
    )


def section_words(area_mm2: float) -> str:
    """A conductor's section with both gauges."""
    return style().section(area_mm2)


def _units(unit: str) -> str:
    return QCoreApplication.translate("Units", unit)


def keep_names(names: Iterable[str]) -> None:
    """Leave these names as they are wherever they stand in a sentence from below the window."""
    app = QCoreApplication.instance()
    for texts in app.findChildren(Texts, _KEY) if app is not None else ():
        texts.phrases.keep(names)


def small(word: str) -> str:
    """A word inside a sentence: without its capital, but for German, where nouns keep theirs.

    >>> small("Caution")
    'caution'
    """
    return word if language() == "de" else word.lower()


def language() -> str:
    """The code of the language in force."""
    return QCoreApplication.translate("Language", "en")


def chosen_language(choice: str) -> str:
    """The language a choice means now; `system` follows the desktop, English where we have none."""
    if choice != "system":
        return choice if choice in LANGUAGES else "en"
    code = QLocale.system().name().partition("_")[0]
    return code if code in LANGUAGES else "en"


def speak(code: str) -> None:
    """Speak a language from now on; texts already shown stay until made anew."""
    app = QCoreApplication.instance()
    assert app is not None
    for old in app.findChildren(QTranslator, _KEY):
        app.removeTranslator(old)
        old.setParent(None)
    if code == "en":
        return
    for translator in (_qt_texts(code), Texts(code)):
        translator.setParent(app)
        translator.setObjectName(_KEY)
        app.installTranslator(translator)


def _qt_texts(code: str) -> QTranslator:
    """The words of Qt's own boxes, where they are installed with it."""
    translator = QTranslator()
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    translator.load(f"qtbase_{code}", folder)
    return translator


class Texts(QTranslator):
    """Answers from the files of one language."""

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
        self.messages = messages(code)
        self.phrases = Phrases(read(f"words_{code}.json"), forms(code).decimal)

    def isEmpty(self) -> bool:
        """Always asked."""
        return False

    def translate(
        self, context: str, source: str, comment: str | None = None, n: int = -1
    ) -> str | None:
        """The text in this language, or nothing where it has none."""
        if context == "Said":
            return self.phrases.said(source)
        if context == "Language":
            return self.code
        if context == "Numbers" and source == ".":
            return forms(self.code).decimal
        for meant in (context, ""):
            if self.messages.knows(source, meant):
                return self.messages.single(source, meant)
        return None
