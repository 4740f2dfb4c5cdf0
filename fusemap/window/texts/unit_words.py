"""The units the user wants to see, as a translator that answers for the names of units.

In: what was chosen: metres or feet, °C or °F, mm² or AWG first. Out: `numbers.shown_unit` and
`numbers.gauge_first` answer so.
"""

from collections.abc import Mapping
from typing import Final

from PySide6.QtCore import QCoreApplication, QTranslator

_KEY: Final = "unitWords"


class UnitWords(QTranslator):
    """Answers for the units that are shown in others."""

    def __init__(self, words: Mapping[str, str]) -> None:
        super().__init__()
        self._words = dict(words)

    def isEmpty(self) -> bool:
        """Always asked."""
        return False

    def translate(
        self, context: str, source: str, comment: str | None = None, n: int = -1
    ) -> str | None:
        """The other unit's name, or nothing."""
        return self._words.get(source) if context == "Units" else None


def show_units(*, length: str, temperature: str, section: str) -> None:
    """Show these units from now on; figures already shown stay until made anew."""
    app = QCoreApplication.instance()
    assert app is not None
    for old in app.findChildren(QTranslator, _KEY):
        app.removeTranslator(old)
        old.setParent(None)
    wanted = {"m": length, "°C": temperature, "mm²": section}
    words = {unit: own for unit, own in wanted.items() if own != unit}
    if words:
        translator = UnitWords(words)
        translator.setParent(app)
        translator.setObjectName(_KEY)
        app.installTranslator(translator)
