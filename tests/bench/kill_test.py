"""The long kill test: random edits through the real window, killed at random moments, many times.

Run by hand: python tests/bench/kill_test.py [KILLS [EDITS [FIRST_SEED]]], 100 times within 200
edits unless told otherwise. Prints what was found after each kill, and the sums at the end; the
exit code is the number of kills that lost more than the edit in flight, or had another fault.
"""

import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.kill import Killed, next_start, run_and_kill

DEMOS = ("light_truck", "family_estate", "small_old_car")


def judged(killed: Killed, found: str) -> str:
    """What a kill came to, in a few words."""
    if killed.wrong:
        return "WRONG VEHICLE"
    if "Traceback" in killed.complaints:
        return "FAULT"
    if found == (killed.told_since or [killed.over])[-1]:
        return "nothing lost"
    return "edit in flight lost" if found in killed.allowed else "LOST MORE"


def main(kills: int = 100, edits: int = 200, first: int = 1) -> int:
    """Kill so many times, and print."""
    counts: Counter[str] = Counter()
    in_flight = made = changes = 0
    start = time.perf_counter()
    for seed in range(first, first + kills):
        with tempfile.TemporaryDirectory(prefix="fusemap-kill-") as folder:
            killed = run_and_kill(seed, Path(folder), edits, DEMOS[seed % len(DEMOS)])
            said = judged(killed, next_start(Path(folder)))
        counts[said] += 1
        made += killed.edits
        changes += killed.changes
        in_flight += bool(killed.told_since)
        print(f"{seed}: after {killed.edits} edits, {said}", flush=True)
        if said.isupper():
            print(killed.wrong, killed.complaints[-3000:], flush=True)
    took = time.perf_counter() - start
    print(
        f"{kills} kills, {made} random things done before them ({changes} "
        f"changed the vehicle), {in_flight} within an edit, {took:.0f} s"
    )
    for said, count in counts.most_common():
        print(f"  {count:4} {said}")
    return sum(count for said, count in counts.items() if said.isupper())


if __name__ == "__main__":
    sys.exit(min(100, main(*(int(word) for word in sys.argv[1:]))))
