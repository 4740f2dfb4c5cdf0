"""Which texts a vehicle may hold: not too long, and without signs that nobody sees.

Control characters, signs that turn the direction of writing round, and signs without any width can
make a text say on screen something else than what stands in it; half a character cannot be written
at all. A file that holds one is refused with the place; what is typed or pasted is cleaned of them.
"""

import re
import unicodedata
from collections.abc import Iterator
from typing import Final

from fusemap.text import Text, say
from fusemap.vehicle.parts import MOST_JPEG_LETTERS

MOST_LETTERS: Final = 500
"""The longest text of one line [characters]."""
MOST_ID: Final = 100
"""The longest id [characters]."""
MOST_LONG: Final = 100_000
"""The longest note or line of the history [characters]."""
LONG: Final = frozenset(
    {"note", "text", "justification", "found_how", "critical_reason", "harmless"}
)
"""Fields that may hold several lines."""
LEAST_TOLD, LEAST_DIFFERENT, LEAST_WORDS = 8, 4, 2
"""A written reason has so many letters or digits, different ones, and words; ours."""
_UNSPACED: Final = "\u2e80"
"""From here on stand the scripts of East Asia, which put no spaces between words."""
_LIMITS: Final = dict.fromkeys(LONG, MOST_LONG) | {"id": MOST_ID, "jpeg": MOST_JPEG_LETTERS}

# Controls but tab and line ends; Unicode's line ends; embeddings, overrides and isolates of
# direction (the marks that Hebrew and Arabic need stay); what has no width; halves of a character.
_UNSEEN: Final = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\u00ad\u180e"
    "\u200b\u2060-\u2065\u206a-\u206f\ufeff\ufff9-\ufffb\U000e0000-\U000e007f\ud800-\udfff"
)
_IN_LINES: Final = re.compile(f"[{_UNSEEN}]")
_IN_ONE_LINE: Final = re.compile(f"[{_UNSEEN}\t\n\r]")


def limit(name: str) -> int:
    """The longest text for a field of this name [characters].

    >>> limit("note") > limit("circuit") > limit("id")
    True
    """
    return _LIMITS.get(name, MOST_LETTERS)


def is_plain(name: str, text: str) -> bool:
    """Whether a text is fine at a glance, as nearly all are; else look with `text_faults`."""
    return text.isascii() and text.isprintable() and len(text) <= limit(name)


def text_faults(name: str, text: str) -> Iterator[tuple[Text, Text]]:
    """What is wrong with a text for a field of this name, and what to do about it.

    >>> str(list(text_faults("circuit", "Radio\\u202e"))[0][0])
    'character 6 changes the direction of writing (U+202E)'
    """
    if len(text) > limit(name):
        yield (
            say("the text is longer than {n} characters", n=limit(name)),
            say("make it shorter"),
        )
    found = (_IN_LINES if name in LONG else _IN_ONE_LINE).search(text)
    if found is not None:
        yield _said(found[0], found.start() + 1), say("type this text again")


def clean(text: str, *, lines: bool = False) -> str:
    """A typed or pasted text without the signs that nobody sees; ends of lines become spaces.

    With `lines` it may have several lines, which then end as they do everywhere else here.

    >>> clean("Fog\\u200b lamps\\n"), clean("first\\r\\nsecond", lines=True)
    ('Fog lamps', 'first\\nsecond')
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = text.replace("\u2028", "\n").replace("\u2029", "\n")
    if not lines:
        text = re.sub(r"[\t\n]+", " ", text)
    return _IN_LINES.sub("", text).strip()


def tells(text: str) -> bool:
    """Whether a text can be the reason for touching a circuit: a few words, not one or a letter.

    Only its length can be judged; whether it is true is up to who wrote it.

    >>> tells("x"), tells("........"), tells("necessary"), tells("rear socket, traced")
    (False, False, False, True)
    """
    if not text:  # as nearly always
        return False
    told = [letter for letter in text.casefold() if letter.isalnum()]
    words = re.findall(r"\w{2,}", text)
    spoken = len(words) >= LEAST_WORDS or any(letter >= _UNSPACED for letter in told)
    return spoken and len(told) >= LEAST_TOLD and len(set(told)) >= LEAST_DIFFERENT


def is_reasoned(feeds: str, found_how: str) -> bool:
    """Whether a reason to touch a circuit has both its parts: what it feeds, how that was found.

    >>> is_reasoned("the rear socket alone", "traced with a meter")
    True
    >>> is_reasoned("the rear socket alone", ""), is_reasoned("rear socket", "rear socket")
    (False, False)
    """
    return tells(feeds) and tells(found_how) and feeds.strip() != found_how.strip()


def _said(sign: str, at: int) -> Text:
    number = f"U+{ord(sign):04X}"
    if "\ud800" <= sign <= "\udfff":
        return say("character {n} is broken", n=at)
    if "\u202a" <= sign <= "\u202e" or "\u2066" <= sign <= "\u2069":
        return say("character {n} changes the direction of writing ({sign})", n=at, sign=number)
    if unicodedata.category(sign) in ("Cc", "Zl", "Zp"):
        return say("character {n} is a control character ({sign})", n=at, sign=number)
    return say("character {n} cannot be seen ({sign})", n=at, sign=number)
