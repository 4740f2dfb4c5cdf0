"""Whether a hunt was left with a fuse out: read from what is kept of it, with no page made.

In: what is kept of a vehicle's hunt, the vehicle, and the time. Out: what comes before all else.
"""

from datetime import datetime

from fusemap.probing import hunt
from fusemap.text import Text
from fusemap.vehicle import Vehicle
from fusemap.window.hunt import words
from fusemap.window.probe.kept import KeptHunt


def left_out(kept: KeptHunt, vehicle: Vehicle, now: datetime) -> Text | None:
    """Which fuse to put back, or to look whether it is in; `None` where all are, or no hunt is."""
    held = kept.read(vehicle)
    if held is None:
        return None
    if held.seen_in and not held.hunt.scene.out:
        return None
    return words.not_back(held.hunt, hunt.next_step(held.hunt, vehicle, now), vehicle)
