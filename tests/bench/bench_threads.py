"""What threads of the linear algebra library cost or save: a large vehicle after each edit.

Run by hand: python tests/bench/bench_threads.py. Two processes by turns, one as numpy comes and
one as the program sets it (`fusemap.__main__.one_thread`); the ratios are what counts. Processor
time is that of all threads together.
"""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from fusemap.__main__ import THREADS, one_thread

SIZES = ((3, 30, 20), (8, 120, 5), (12, 240, 2))
"""Panels of 40 slots, accessories with a tap each, edits."""
ROUNDS = 3


def child(mode: str, panels: int, accessories: int, edits: int) -> None:
    """Assess and look for findings after each edit; print both times per edit [ms]."""
    if mode == "one":
        one_thread()
    from fusemap.assess import assess
    from fusemap.checks import findings
    from fusemap.vehicle.edits import change_vehicle
    from tests.vehicles import large

    vehicle = large(panels, accessories)
    findings(vehicle, assess(vehicle))
    for work in (assess, lambda edited: findings(edited, assess(edited))):
        wall, used = time.perf_counter(), time.process_time()
        for number in range(edits):
            work(change_vehicle(vehicle, name=f"Edit {number}"))
        print((time.perf_counter() - wall) * 1e3 / edits)
        print((time.process_time() - used) * 1e3 / edits)


def measured(mode: str, size: tuple[int, int, int]) -> list[float]:
    """The times of one process: assess wall and processor, with findings wall and processor."""
    clean = {name: value for name, value in os.environ.items() if name not in THREADS}
    command = [sys.executable, __file__, mode, *map(str, size)]
    done = subprocess.run(command, capture_output=True, text=True, check=True, env=clean)
    return [float(line) for line in done.stdout.split()]


def main() -> None:
    """Print both beside each other for each size."""
    for size in SIZES:
        print(f"{size[0] * 40} slots, {size[1]} accessories (ms per edit, median of {ROUNDS})")
        turns = [(measured("many", size), measured("one", size)) for _ in range(ROUNDS)]
        names = ("assess, on the clock", "assess, processor time",
                 "and findings, on the clock", "and findings, processor time")  # fmt: skip
        for place, name in enumerate(names):
            many, one = (statistics.median(turn[way][place] for turn in turns) for way in (0, 1))
            print(
                f"  {name:30} as it comes {many:9.1f}   one thread {one:9.1f}   {many / one:5.1f} x"
            )


if __name__ == "__main__":
    if len(sys.argv) > 1:
        child(sys.argv[1], *map(int, sys.argv[2:]))
    else:
        main()
