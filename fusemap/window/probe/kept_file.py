"""Which file keeps a probing session, a hunt or a check of a vehicle: asked for without loading any
of them. No Qt.
"""

from hashlib import sha256
from pathlib import Path
from typing import Final

HUNT: Final = "hunting"
"""With what the name of a file that keeps a hunt begins."""


def kept_file(folder: Path, path: Path | None, goes_by: str, prefix: str) -> Path:
    """It goes by the vehicle's own file; by what the document `goes_by` where it stands in none."""
    told_by = str(path) if path is not None else "unsaved " + goes_by
    key = sha256(told_by.encode("utf-8", "replace")).hexdigest()[:16]
    return folder / f"{prefix}-{key}.json"


def written_at(folder: Path, path: Path) -> float:
    """When what is kept of a file's hunt was last written [s]; 0 where nothing is."""
    try:
        return kept_file(folder, path, "", HUNT).stat().st_mtime
    except OSError:
        return 0.0
