"""What a stage beside the vehicle shows at one moment, as plain values; and the keys of it.

Any page that fills these in stands on the same stage, in the same rhythm: a state, a question, a
place to draw, an entry, what is said to it, what was stored last, the keys, how far it is.
"""

from collections.abc import Sequence
from typing import Literal

from msgspec import Struct

KeyPlace = Literal["row", "wide", "main"]
Tone = Literal["text", "muted_text", "caution", "stop", "good"]


class KeyShown(Struct, frozen=True):
    """A key of the picture: what stands on it, what it does, a second line; `press` is its name.

    The `main` one is filled: it is what goes on. A key in the `row` stands above the wide ones.
    """

    press: str
    cap: str
    words: str
    more: str = ""
    place: KeyPlace = "row"


class LastShown(Struct, frozen=True):
    """Something that was stored: of what, what was read, what that means."""

    name: str
    value: str
    means: str = ""


class PadKey(Struct, frozen=True):
    """A key: what it presses, one after the other, and what stands on it, or a drawing's name.

    One that makes no sense now is not `usable`: it is drawn flat and pressed all the same, so that
    the page says why.
    """

    presses: tuple[str, ...]
    cap: str
    icon: str = ""
    usable: bool = True


Column = tuple[PadKey, ...]


class Pad(Struct, frozen=True):
    """Columns of keys, each as high as the others together; `row` are keys of the page that stand
    below the pad besides those of its picture.
    """

    columns: tuple[Column, ...]
    row: tuple[KeyShown, ...] = ()


class Shown(Struct, frozen=True):
    """One moment of a stage. `done` of `total` fills the bar; `typed` with its `unit` the entry."""

    state: str
    how: str
    progress: str
    done: int
    total: int
    question: str
    under: str
    said: str
    keys: Sequence[KeyShown]
    said_tone: Tone = "text"
    said_alone: bool = False
    """Whether what is said takes the room of what was stored last, too."""
    under_yields: bool = False
    """Whether lines that stand under the question are left out rather than written small."""
    typed: str = ""
    unit: str = ""
    last: Sequence[LastShown] = ()
    pad: Pad | None = None
    """The keys of the keypad; `None` where nothing is typed."""
