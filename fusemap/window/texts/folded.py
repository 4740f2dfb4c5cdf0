"""Text as it is searched: without capitals and accents."""

import unicodedata


def folded(text: str) -> str:
    """The text without capitals and accents.

    >>> folded("Glacière À COMPRESSEUR")
    'glaciere a compresseur'
    """
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))
