"""A letter to press for every entry of a menu, where its text brings none of its own.

Translated menus are written without “&”: here each entry gets a letter that no other of its menu
has, the first of a word where that is still free.
"""

from collections.abc import Iterable

from PySide6.QtGui import QAction


def with_letters(texts: Iterable[str]) -> list[str]:
    """The texts, each with “&” before its letter; as it is where no letter is left.

    >>> with_letters(["Datei", "Drucken", "&Bild", "Bad"])
    ['&Datei', 'D&rucken', '&Bild', 'B&ad']
    """
    given = list(texts)
    taken = {text[text.index("&") + 1].lower() for text in given if "&" in text[:-1]}
    made = []
    for text in given:
        place = None if "&" in text else _place(text, taken)
        if place is None:
            made.append(text)
            continue
        taken.add(text[place].lower())
        made.append(f"{text[:place]}&{text[place:]}")
    return made


def _place(text: str, taken: set[str]) -> int | None:
    """Where the letter is: beginnings of words first."""
    starts: list[int] = [at for at in range(len(text)) if at == 0 or text[at - 1] == " "]
    order: list[int] = [*starts, *range(len(text))]
    for at in order:
        if text[at].isalnum() and text[at].lower() not in taken:
            return at
    return None


def give_letters(entries: Iterable[QAction]) -> None:
    """Give each of these entries of one menu its letter."""
    actions = [action for action in entries if not action.isSeparator()]
    for action, text in zip(actions, with_letters(a.text() for a in actions), strict=True):
        if text != action.text():
            action.setText(text)
