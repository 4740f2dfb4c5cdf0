"""What of a text a catalogue has not got."""

import re
from collections.abc import Iterator

from fusemap.catalogues import Messages
from fusemap.text import Argument, Listing, Text

_PLACES = re.compile(r"\{\w+\}")
_WORDS = re.compile(r"[a-z]{3,}")


def not_in(messages: Messages, text: Argument) -> Iterator[str]:
    """The templates of a text, and of the texts in its places, that a catalogue has not got."""
    if isinstance(text, Text):
        wordless = text.bare or not _WORDS.search(_PLACES.sub("", text.template))
        if not wordless and not messages.knows(text.template, text.context):
            yield text.template
        for part in text.parts.values():
            yield from not_in(messages, part)
    elif isinstance(text, Listing):
        for part in text.parts:
            yield from not_in(messages, part)
