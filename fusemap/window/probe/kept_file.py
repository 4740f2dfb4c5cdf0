"""Which file keeps a probing session, a hunt, a check or what is out of a vehicle: asked for with
none of them loaded. No Qt.
"""

from hashlib import sha256
from pathlib import Path
from typing import Final

HUNT: Final = "hunting"
"""With what the name of a file that keeps a hunt begins."""
TAKEN_OUT: Final = "out"
"""The same of what was taken out for a check or a probing round."""


def kept_file(folder: Path, path: Path | None, goes_by: str, prefix: str) -> Path:
    """It goes by the vehicle's own file; by what the document `goes_by` where it stands in none."""
    told_by = str(path) if path is not None else "unsaved " + goes_by
    key = sha256(told_by.encode("utf-8", "replace")).hexdigest()[:16]
    return folder / f"{prefix}-{key}.json"


def written_at(folder: Path, path: Path) -> float:
    """When what is kept of a file's hunt, or of what is out, was last written [s]; 0 for never."""
    return max(_written_at(kept_file(folder, path, "", each)) for each in (HUNT, TAKEN_OUT))


def _written_at(file: Path) -> float:
    try:
        return file.stat().st_mtime
    except OSError:
        return 0.0
