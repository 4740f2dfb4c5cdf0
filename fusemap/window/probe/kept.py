"""Where a probing session stands, kept in a file at every key, so that nothing typed is lost.

One small JSON file per vehicle file in the user's state folder. A convenience: one that is missing,
broken or from another vehicle gives no session, and a folder that cannot be written to costs the
memory and nothing else. No Qt.
"""

from contextlib import suppress
from hashlib import sha256
from pathlib import Path

import msgspec

from fusemap.probing.session import Session, resumed
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
            found = msgspec.json.decode(self.path.read_bytes(), type=Session)
        except (OSError, msgspec.MsgspecError, UnicodeDecodeError):
            return None
        return resumed(found, vehicle)

    def write(self, session: Session) -> None:
        """Keep the session as it is now."""
        new = self.path.with_suffix(".new")
        with suppress(OSError):
            first = not self.path.exists()
            self.path.parent.mkdir(parents=True, exist_ok=True)
            new.write_bytes(msgspec.json.encode(session))
            new.replace(self.path)
            if first:
                self._let_old_go()

    def _let_old_go(self) -> None:
        files = sorted(self.path.parent.glob("probing-*.json"), key=lambda p: p.stat().st_mtime)
        for old in files[:-MOST_KEPT]:
            old.unlink(missing_ok=True)
