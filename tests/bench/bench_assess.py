"""How long one assessment takes: 3 panels, 120 slots, 30 accessories, 5 states.

Run by hand: python tests/bench/bench_assess.py. The bare network solve is in bench_network.py.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.vehicle import Fuse, Vehicle, edits
from tests.vehicles import large


def milliseconds(work: Callable[[Vehicle], object], vehicles: list[Vehicle]) -> tuple[float, float]:
    """Median and 95th percentile over the vehicles [ms]."""
    times = []
    for vehicle in vehicles:
        start = time.perf_counter()
        work(vehicle)
        times.append((time.perf_counter() - start) * 1e3)
    times.sort()
    return statistics.median(times), times[int(0.95 * len(times))]


def main() -> None:
    """Print the times of each part, every vehicle an edit away from the one before."""
    vehicle = large()
    slots = [s.id for panel in vehicle.panels for s in panel.slots]
    edited = []
    for n in range(200):
        rating = (10.0, 15.0, 20.0, 25.0)[n % 4]
        vehicle = edits.change_slot(
            vehicle, slots[n % len(slots)], fuse=Fuse(family="mini", rating=rating)
        )
        edited.append(vehicle)
    for vehicle in edited[:10]:
        findings(vehicle, assess(vehicle))
    parts: dict[str, Callable[[Vehicle], object]] = {
        "assess": assess,
        "assess + every hop": lambda v: assess(v).hops,
        "assess + parked": lambda v: assess(v).parked,
        "assess + findings": lambda v: findings(v, assess(v)),
    }
    base = None
    for name, work in parts.items():
        median, p95 = milliseconds(work, edited)
        base = median if base is None else base
        print(f"{name:20} median {median:6.2f} ms   p95 {p95:6.2f} ms   {median / base:5.2f} x")


if __name__ == "__main__":
    main()
