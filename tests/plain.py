"""What is said, as a reader of English sees it, with ordinary spaces."""

from fusemap.text import ENGLISH, NARROW_SPACE, Argument


def plain(said: Argument) -> str:
    """A text or an amount in English."""
    return ENGLISH.show(said).replace(NARROW_SPACE, " ")
