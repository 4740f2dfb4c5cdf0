"""Every bench, one after the other, as one page of text with the date and the machine.

Run by hand: python tests/bench/bench_all.py [NAME …], where a name is a part of a bench's name.
Each runs in a process of its own, so that nothing is warm for the next. Out: what they print.
"""

import datetime
import os
import platform
import subprocess
import sys
import time
from pathlib import Path

FOLDER = Path(__file__).parent
BUDGETS = (
    ("start to the first painted window, demo vehicle", "≤ 1.3 × a bare window", "bench_window"),
    ("start to every card with its true figure", "≤ 1.2 × a bare window", "bench_start"),
    ("edit to repaint, 3 panels, 120 slots, 30 accessories", "p95 ≤ 16 ms", "bench_window"),
    ("assess alone", "≤ 2 ms", "bench_assess"),
    ("parked forecast, 1000 draws × 60 days", "≤ 50 ms", "bench_parked"),
    ("memory of the running window", "≤ 1.5 × a bare window", "bench_window"),
)
"""What is asked, how much of it, and the bench that says so."""


def machine() -> str:
    """What this ran on."""
    return f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors, Python " + (
        platform.python_version()
    )


def benches(names: list[str]) -> list[Path]:
    """Those whose name has one of these parts in it; all without any."""
    found = sorted(path for path in FOLDER.glob("bench_*.py") if path.name != Path(__file__).name)
    return [path for path in found if not names or any(name in path.stem for name in names)]


def main() -> int:
    """Run them; the exit code says whether all of them ended well."""
    print(f"{datetime.date.today().isoformat()}, {machine()}\n")
    for what, limit, where in BUDGETS:
        print(f"  {what:55} {limit:24} {where}")
    failed = 0
    for path in benches(sys.argv[1:]):
        print(f"\n== {path.stem}", flush=True)
        began = time.perf_counter()
        done = subprocess.run((sys.executable, str(path)), check=False, cwd=FOLDER.parents[1])
        failed += done.returncode != 0
        print(f"-- {time.perf_counter() - began:.0f} s, exit code {done.returncode}", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
