"""What is kept of one vehicle, as values of one kind, in a file of the user's state folder.

A convenience: one that is missing, broken or from another vehicle gives nothing, and a folder that
cannot be written to costs the memory and nothing else. Texts are kept as what they are made of, so
that they are said again in whatever language there is then. No Qt.
"""

from contextlib import suppress
from pathlib import Path
from typing import Any, Generic, TypeVar

import msgspec

from fusemap.text import Amount, Duration, Listing, Section, Text
from fusemap.window.probe.kept_file import kept_file

MOST_KEPT = 40
"""Sessions kept; the oldest go."""


Kept = TypeVar("Kept", bound=msgspec.Struct)


class KeptOf(Generic[Kept]):
    """What is kept of one vehicle, on disk, as values of one kind."""

    def __init__(
        self, folder: Path, path: Path | None, goes_by: str, kind: type[Kept], prefix: str
    ) -> None:
        self.path = kept_file(folder, path, goes_by, prefix)
        self._kind = kind
        self._prefix = prefix

    def found(self) -> Kept | None:
        """What was kept, as it was left."""
        try:
            written = self.path.read_bytes()
            return msgspec.json.decode(written, type=self._kind, dec_hook=_read)
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError, LookupError, AttributeError):
            return None

    def write(self, kept: Kept) -> None:
        """Keep it as it is now."""
        new = self.path.with_suffix(".new")
        with suppress(OSError):
            first = not self.path.exists()
            self.path.parent.mkdir(parents=True, exist_ok=True)
            new.write_bytes(msgspec.json.encode(kept, enc_hook=_plain))
            new.replace(self.path)
            if first:
                self._let_old_go()

    def _let_old_go(self) -> None:
        there = self.path.parent.glob(f"{self._prefix}-*.json")
        files = sorted(there, key=lambda path: path.stat().st_mtime)
        for old in files[:-MOST_KEPT]:
            old.unlink(missing_ok=True)


# --- texts ----------------------------------------------------------------------------------------

FIELDS = ("template", "parts", "context", "others", "count", "case", "bare")
"""What a text is made of."""


def _plain(value: Any) -> dict[str, Any]:
    """A text as what it is made of; amounts and rows are written by themselves."""
    if not isinstance(value, Text):
        raise NotImplementedError(f"{type(value).__name__} is not kept")
    return {name: getattr(value, name) for name in FIELDS}


def _read(kind: type, kept: Any) -> Text:
    """A text from what was written; one of an earlier version was written in English."""
    if isinstance(kept, str):
        return Text(kept)
    text = _text(kept)
    str(text)  # a place that nothing stands in is told here and not while it is shown
    return text


def _text(kept: dict[str, Any]) -> Text:
    parts = {name: _part(part) for name, part in kept["parts"].items()}
    rest = {name: kept[name] for name in FIELDS[2:]}
    return Text(kept["template"], parts, **rest)


def _part(kept: Any) -> Any:
    """What stands in a place of a text: told by what it is made of."""
    if not isinstance(kept, dict):
        return kept
    if "template" in kept:
        return _text(kept)
    if "joint" in kept:
        return Listing(tuple(_part(part) for part in kept["parts"]), kept["joint"])
    for kind, name in ((Amount, "value"), (Section, "area_mm2"), (Duration, "hours")):
        if name in kept:
            return msgspec.convert(kept, kind)
    raise ValueError("it is not known what this was")
