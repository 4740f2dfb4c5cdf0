"""Where a probing session stands, kept in a file at every key, so that nothing typed is lost.

One small JSON file per vehicle file in the user's state folder. A convenience: one that is missing,
broken or from another vehicle gives no session, and a folder that cannot be written to costs the
memory and nothing else. Texts are kept as what they are made of, so that they are said again in
whatever language there is then. No Qt.
"""

from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec

from fusemap.probing.session import Session, resume
from fusemap.text import Amount, Duration, Listing, Section, Text
from fusemap.vehicle import Vehicle

MOST_KEPT = 40
"""Sessions kept; the oldest go."""


class KeptSession:
    """The session of one vehicle, on disk."""

    def __init__(self, folder: Path, path: Path | None, vehicle: Vehicle) -> None:
        name = str(path) if path is not None else "unsaved " + vehicle.name
        key = sha256(name.encode("utf-8", "replace")).hexdigest()[:16]
        self.path = folder / f"probing-{key}.json"

    def read(self, vehicle: Vehicle) -> Session | None:
        """The session as it was left, as far as it still fits the vehicle."""
        try:
            written = self.path.read_bytes()
            found = msgspec.json.decode(written, type=Session, dec_hook=_read)
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError, LookupError, AttributeError):
            return None
        return resume(found, vehicle)

    def write(self, session: Session) -> None:
        """Keep the session as it is now."""
        new = self.path.with_suffix(".new")
        with suppress(OSError):
            first = not self.path.exists()
            self.path.parent.mkdir(parents=True, exist_ok=True)
            new.write_bytes(msgspec.json.encode(session, enc_hook=_plain))
            new.replace(self.path)
            if first:
                self._let_old_go()

    def _let_old_go(self) -> None:
        files = sorted(self.path.parent.glob("probing-*.json"), key=lambda p: p.stat().st_mtime)
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
