"""Whether a hunt was left with a fuse out: read from what is kept of it, with no page made.

In: where it is kept, a vehicle with its file, and the time. Out: what comes before all else.
"""

from datetime import datetime
from pathlib import Path

from fusemap.probing import hunt
from fusemap.text import Text
from fusemap.vehicle import Vehicle
from fusemap.window.hunt import words
from fusemap.window.probe.kept import KeptHunt


def left_out(folder: Path, path: Path | None, vehicle: Vehicle, now: datetime) -> Text | None:
    """Which fuse to put back, or to look whether it is in; `None` where all are, or no hunt is."""
    held = KeptHunt(folder, path, vehicle).read(vehicle)
    if held is None:
        return None
    if held.seen_in and not held.hunt.scene.out:
        return None
    return words.not_back(held.hunt, hunt.next_step(held.hunt, vehicle, now), vehicle)
