"""How fast the network is solved: ours, scipy's root finder in-process, ngspice as a process.

A vehicle's network of 250 nodes in 5 states: 6 feeds, 100 tapped slots of two nodes, accessories.
All three find the same voltages, which is checked first.

Run by hand: python tests/bench/bench_network.py
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from scipy.optimize import root

sys.path.insert(0, str(Path(__file__).parents[2]))

from fusemap.electrics.network import Solution, _tree, solve, tree

STATES, NODES, FEEDS, SLOTS = 5, 250, 6, 100


@dataclass(frozen=True)
class Case:
    """A network in several states."""

    parent: np.ndarray
    ohm: np.ndarray
    amps: np.ndarray
    kind: np.ndarray
    emf: np.ndarray

    def solved(self) -> Solution:
        return solve(
            tree(self.parent),
            resistance_ohm=self.ohm,
            emf_v=self.emf,
            load_a=self.amps,
            load_exponent=self.kind,
        )


def vehicle(seed: int = 1) -> Case:
    """Battery, feeds, the live contact and the far side of each slot's fuse, accessories."""
    random = np.random.default_rng(seed)
    first_live, first_load, first_tap = 1 + FEEDS, 1 + FEEDS + SLOTS, 1 + FEEDS + 2 * SLOTS
    parent = np.concatenate(
        [
            [-1, 0, 0, 1, 1, 2, 2],
            random.integers(1, first_live, SLOTS),
            np.arange(first_live, first_load),
            random.integers(first_load, first_tap, NODES - first_tap),
        ]
    )
    ohm = np.where(np.arange(NODES) < first_tap, 0.002, 0.06)
    amps = np.zeros((STATES, NODES))
    on = random.random((STATES, SLOTS)) < 0.4
    amps[:, first_load:first_tap] = on * random.uniform(0.0, 1.0, SLOTS)
    amps[:, first_tap:] = random.uniform(0.0, 2.0, (STATES, NODES - first_tap))
    kind = np.zeros(NODES)
    kind[first_tap:] = random.choice([-1.0, 0.0, 0.55, 1.0], NODES - first_tap)
    return Case(parent, ohm, amps, kind, np.array([12.4, 12.5, 12.6, 14.0, 12.6]))


def by_scipy(case: Case) -> np.ndarray:
    """Node voltages [V] from the balance of currents at each node."""

    def unbalance(voltage: np.ndarray, state: int) -> np.ndarray:
        above = np.where(case.parent < 0, case.emf[state], voltage[case.parent])
        into = (above - voltage) / case.ohm
        left = into - case.amps[state] * (voltage / 12.0) ** case.kind
        np.subtract.at(left, case.parent[case.parent >= 0], into[case.parent >= 0])
        return left

    starts = [np.full(NODES, emf - 0.1) for emf in case.emf]
    return np.array([root(unbalance, v, args=(s,)).x for s, v in enumerate(starts)])


def decks(case: Case, folder: Path) -> list[Path]:
    """One simulator file for each state."""
    paths = []
    for state, emf in enumerate(case.emf):
        lines = ["* bench", f"Vs src 0 {float(emf)!r}"]
        for node, above in enumerate(case.parent):
            upper = "src" if above < 0 else f"n{above}"
            lines.append(f"R{node} {upper} n{node} {float(case.ohm[node])!r}")
            amps, kind = float(case.amps[state, node]), float(case.kind[node])
            if amps:
                lines.append(f"Bl{node} n{node} 0 I={amps!r}*pow(V(n{node})/12,{kind!r})")
        start = " ".join(f"v(n{node})={float(emf)!r}" for node in range(NODES))
        wanted = "print " + " ".join(f"v(n{node})" for node in range(NODES))
        lines += [f".nodeset {start}", ".control", "set numdgt=12", "op", wanted, ".endc", ".end"]
        paths.append(folder / f"state{state}.cir")
        paths[-1].write_text("\n".join(lines) + "\n", encoding="ascii")
    return paths


def by_ngspice(paths: list[Path]) -> np.ndarray:
    """Node voltages [V], one process for each state."""
    found = []
    for path in paths:
        done = subprocess.run(
            ["ngspice", "-b", str(path)], capture_output=True, text=True, check=False
        )
        lines = [line for line in done.stdout.splitlines() if line.startswith("v(n")]
        found.append([float(line.split("=")[1]) for line in lines])
    return np.array(found)


def seconds(work: Callable[[], object], times: int) -> float:
    """Median time [s]."""
    taken = []
    for _ in range(times + 1):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken[1:])


def main() -> None:
    """Print times and ratios."""
    case = vehicle()
    mine = seconds(case.solved, 500)
    voltage = case.solved().voltage_v
    print(f"{STATES} states x {NODES} nodes, {os.cpu_count()} processors")
    print(f"ours: {mine * 1e3:.2f} ms")

    heavy = replace(case, amps=case.amps.copy(), kind=case.kind.copy())
    heavy.amps[0, -1], heavy.kind[-1] = 80.0, -1.0
    assert heavy.solved().collapsed.any()
    print(f"ours with a collapse in one state: {seconds(heavy.solved, 50) / mine:.1f} x")
    new = seconds(lambda: _tree.__wrapped__(case.parent.tobytes()), 20)
    print(f"checking a new tree, once for each shape of network: {new / mine:.1f} x")

    off = float(np.abs(by_scipy(case) - voltage).max())
    other = seconds(lambda: by_scipy(case), 3)
    print(f"scipy root finding in-process: {other / mine:.0f} x, off by {off * 1e6:.2g} µV at most")
    if shutil.which("ngspice") is None:
        print("ngspice: not installed here")
        return
    with tempfile.TemporaryDirectory() as folder:
        paths = decks(case, Path(folder))
        off = float(np.abs(by_ngspice(paths) - voltage).max())
        other = seconds(lambda: by_ngspice(paths), 3)
        print(f"ngspice as a process: {other / mine:.0f} x, off by {off * 1e6:.2g} µV at most")


if __name__ == "__main__":
    main()
