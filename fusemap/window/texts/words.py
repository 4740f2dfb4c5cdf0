"""Earth or ground, as the user says it: a translator over all texts of the window.

The texts are written with “earth”. Source: both words are the trade's own, earth in British and
ground in American English.
"""

import re
from typing import Final

from PySide6.QtCore import QCoreApplication, QTranslator

_WORD: Final = re.compile(r"\b([Ee])arth(ed|ing|s)?\b")
_ENDS: Final = {"ed": "ed", "ing": "ing", "s": "s", None: ""}
_KEY: Final = "groundWords"


def ground_words(text: str) -> str:
    """A text with “ground” for “earth”.

    >>> ground_words("Earth point: earth the accessory here, not on the unearthed bracket")
    'Ground point: ground the accessory here, not on the unearthed bracket'
    """
    return _WORD.sub(lambda m: ("G" if m[1] == "E" else "g") + "round" + _ENDS[m[2]], text)


class GroundWords(QTranslator):
    """Answers for every text that has the word in it."""

    def isEmpty(self) -> bool:
        """Always asked."""
        return False

    def translate(
        self, context: str, source: str, comment: str | None = None, n: int = -1
    ) -> str | None:
        """The text with the other word, or nothing where the word is not in it."""
        return ground_words(source) if "arth" in source else None


def say_ground(on: bool) -> None:
    """Say ground from now on, or earth again; texts already shown stay until made anew."""
    app = QCoreApplication.instance()
    assert app is not None
    installed = app.findChild(GroundWords, _KEY)
    if on and installed is None:
        translator = GroundWords(app)
        translator.setObjectName(_KEY)
        app.installTranslator(translator)
    elif not on and installed is not None:
        app.removeTranslator(installed)
        installed.setParent(None)
