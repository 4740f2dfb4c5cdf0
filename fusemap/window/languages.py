"""The window's language: a translator that reads our own files, one per language.

`resources/languages/window_<code>.json` holds the window's texts by their English, and
`words_<code>.json` the sentences of checks, chains and tables, with places in braces for what
varies. In: the code of a language. Out: Qt's `translate` and `tr` answer in that language, and
`said` gives a sentence from below the window in it.
"""

import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Final

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

PACKAGE: Final = "fusemap.resources.languages"
LANGUAGES: Final[Mapping[str, str]] = {
    "en": "English",
    "de": "Deutsch",
    "es": "Español",
    "fr": "Français",
    "nl": "Nederlands",
}
"""The languages there are, by code, each in its own words."""

_KEY: Final = "windowLanguage"
_PLACE: Final = re.compile(r"\{(\w+)\}")
_NUMBER: Final = re.compile(r"(?<=\d)\.(?=\d)")


def said(text: str) -> str:
    """A sentence that comes from below the window, in the user's language."""
    return QCoreApplication.translate("Said", text) if text else text


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
        self.texts = read(f"window_{code}.json")
        self.phrases = Phrases(read(f"words_{code}.json"), self.texts.get(".", "."))

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
        return self.texts.get(source)


class Phrases:
    """Sentences with places in them, and what they are in another language."""

    def __init__(self, known: Mapping[str, str], decimal: str = ".") -> None:
        self._decimal = decimal
        self._whole = {text: own for text, own in known.items() if not _PLACE.search(text)}
        made = [(text, own) for text, own in known.items() if _PLACE.search(text)]
        made.sort(key=lambda pair: -len(_PLACE.sub("", pair[0])))
        self._patterns = [(pattern(text), own) for text, own in made]
        self._found: dict[str, str | None] = {}

    def said(self, text: str) -> str:
        """The sentence in the language; with its numbers alone where it is not known.

        What stands in a place is looked up as well, so that a state inside a sum is translated.

        >>> Phrases({"{a} with {b}": "{a} bei {b}", "engine off": "Motor aus"}, ",").said(
        ...     "2.5 A with engine off")
        '2,5 A bei Motor aus'
        """
        found = self.find(text)
        return self._numbers(text) if found is None else found

    def find(self, text: str) -> str | None:
        """The sentence in the language, `None` where it is not known."""
        if text not in self._found:
            if len(self._found) > 20_000:
                self._found.clear()
            self._found[text] = self._look_up(text)
        return self._found[text]

    def _look_up(self, text: str) -> str | None:
        if text in self._whole:
            return self._whole[text]
        if text[:1].isupper() and (lower := text[0].lower() + text[1:]) in self._whole:
            own = self._whole[lower]
            return own[:1].upper() + own[1:]
        for form, own in self._patterns:
            match = form.fullmatch(text)
            if match is not None:
                parts = {name: self.said(part) for name, part in match.groupdict().items()}
                return _PLACE.sub(lambda m, parts=parts: parts.get(m[1], m[0]), own)  # type: ignore[misc]
        return None

    def _numbers(self, text: str) -> str:
        return text if self._decimal == "." else _NUMBER.sub(self._decimal, text)


def pattern(text: str) -> re.Pattern[str]:
    """What matches a sentence made from a text with places in braces.

    >>> pattern("{a} > {b}").fullmatch("2 A > 1 A")["b"]
    '1 A'
    """
    parts = _PLACE.split(text)
    seen: set[str] = set()
    made = []
    for index, part in enumerate(parts):
        if index % 2 == 0:
            made.append(re.escape(part))
        elif part in seen:
            made.append(f"(?P={part})")
        else:
            seen.add(part)
            made.append(f"(?P<{part}>.+?)")
    return re.compile("".join(made), re.DOTALL)


@cache
def read(name: str) -> Mapping[str, str]:
    """One file of texts by their English; empty where there is none."""
    path = files(PACKAGE).joinpath(name)
    if not path.is_file():
        return {}
    found: dict[str, str] = json.loads(path.read_text(encoding="utf-8"))
    return found
