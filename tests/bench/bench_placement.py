"""How long placing takes: ranking, the joint plan against trying every plan, fixes.

Run by hand: python tests/bench/bench_placement.py. The large vehicle has 3 panels, 120 slots, six
nested feeds and 12 loose accessories, four of them with a sense lead. Every plan there is can be
tried on a small one only; on the large one the count of plans is printed. All in one process.
"""

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import scipy.optimize  # noqa: F401  its import is not what is measured

from fusemap.assess import Assessment, assess
from fusemap.checks import findings
from fusemap.files.demos import read_demo
from fusemap.fixes.trial import find_fixes
from fusemap.placement import candidates
from fusemap.placement.joint import plan_rest
from fusemap.placement.joint_model import build, unplaced_leads
from fusemap.placement.joint_solve import solve, worst_share
from fusemap.vehicle import Vehicle, edits
from tests.placement.test_joint import BruteForce
from tests.vehicles import large


def median(work: Callable[[], object], rounds: int = 5) -> float:
    """The median time of a piece of work [s]."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def loose(vehicle: Vehicle, count: int) -> Vehicle:
    """The vehicle with so many accessories that have no source."""
    for n in range(count):
        vehicle = edits.add_accessory(
            vehicle,
            f"Accessory {n + 1}",
            watts=10.0 + 6 * n,
            rated_v=13.8,
            standby_a=0.002,
            leads=("power", "sense") if n % 3 == 0 else ("power",),
            needs=("switched", "permanent", "either")[n % 3],
        )
    return vehicle


def plans(a: Assessment) -> int:
    """How many ways there are to put the loose leads onto slots that take them."""
    count = 1
    for lead in unplaced_leads(a.vehicle):
        fitting = candidates(a.vehicle, a, lead.accessory, lead.name)
        count *= max(1, sum(c.fits for c in fitting))
    return count


def against_every_plan(a: Assessment) -> None:
    """Print how long it takes to try every plan there is, and what the joint plan needs for it."""
    plans = sum(1 for _ in BruteForce(a).plans())
    start = time.perf_counter()
    share = BruteForce(a).best()[3]
    tried_s = time.perf_counter() - start
    leads = unplaced_leads(a.vehicle)
    model = build(a, leads)
    solved = solve(model)
    same = solved is not None and abs(worst_share(model, solved.columns) - share) < 1e-6
    joint_s = median(lambda: solve(build(a, leads)))
    size = f"{len(leads)} leads × {len(a.slots.ids)}"
    print(f"{f'every plan, {size}':30} {tried_s * 1e3:9.1f} ms   {plans} plans")
    print(
        f"{'joint plan, the same':30} {joint_s * 1e3:9.1f} ms   {tried_s / joint_s:8.1f} x faster, "
        + ("as light" if same else "NOT as light")
    )


def main() -> None:
    """Print the times of each part and their ratios."""
    big = assess(loose(large(accessories=0), 12))
    base = median(lambda: assess(big.vehicle))
    first = big.vehicle.accessories[0]
    rows = {
        "assess": base,
        "rank 120 slots for one lead": median(lambda: candidates(big.vehicle, big, first)),
        "joint plan, model only": median(lambda: build(big, unplaced_leads(big.vehicle))),
        "joint plan, 12 × 120": median(lambda: plan_rest(big)),
    }
    tight = assess(edits.change_feed(loose(large(accessories=0), 12), "feed-1", limit_a=100.0))
    rows["the same with conflicts"] = median(lambda: plan_rest(tight), 3)
    for name, seconds in rows.items():
        print(f"{name:30} {seconds * 1e3:9.1f} ms   {seconds / base:8.1f} x assess")
    print(f"{'plans there are, 12 × 120':30} {plans(big):9.1e}")

    for count in (1, 2):
        against_every_plan(assess(loose(large(panels=1, accessories=0), count)))

    demo = read_demo("family_estate")
    a = assess(demo)
    for finding in findings(demo, a):
        seconds = median(lambda f=finding: find_fixes(a, f), 1)  # type: ignore[misc]
        print(f"fixes of {finding.code:18} {seconds * 1e3:9.1f} ms")


if __name__ == "__main__":
    main()
