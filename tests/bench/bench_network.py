"""How fast the network is solved: ours, scipy's root finder in-process, ngspice as a process.

Run by hand: python tests/bench/bench_network.py
"""

import subprocess
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from scipy.optimize import root

from fusemap.electrics.network import solve, tree

STATES, NODES = 5, 200


def seconds(work: Callable[[], object], times: int) -> float:
    """Best time of a few rounds [s]."""
    work()
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        for _ in range(times):
            work()
        best = min(best, (time.perf_counter() - start) / times)
    return best


def main() -> None:
    """Print the ratios."""
    random = np.random.default_rng(1)
    parent = np.array([-1, *(random.integers(-1, i) for i in range(1, NODES))])
    ohm = random.uniform(0.001, 0.01, NODES)
    amps = np.where(random.random((STATES, NODES)) < 0.3, random.uniform(0, 0.5, NODES), 0.0)
    kind = random.choice([-1.0, 0.0, 1.0], NODES)
    emf = np.full(STATES, 12.6)

    def ours() -> object:
        return solve(
            tree(parent),
            resistance_ohm=ohm,
            emf_v=emf,
            load_a=amps,
            load_at_v=12.0,
            load_exponent=kind,
        )

    def unbalance(voltage: np.ndarray, state: int) -> np.ndarray:
        above = np.where(parent < 0, 12.6, voltage[parent])
        into = (above - voltage) / ohm
        left = into - amps[state] * (voltage / 12.0) ** kind
        np.subtract.at(left, parent[parent >= 0], into[parent >= 0])
        return left

    def scipys() -> object:
        return [root(unbalance, np.full(NODES, 12.5), args=(s,)) for s in range(STATES)]

    deck = ["* bench", "Vs src 0 12.6"]
    for node, above in enumerate(parent):
        upper = "src" if above < 0 else f"n{above}"
        deck.append(f"R{node} {upper} n{node} {ohm[node]!r}")
        if amps[0, node]:
            law = f"{amps[0, node]!r}*pow(V(n{node})/12,{kind[node]!r})"
            deck.append(f"Bl{node} n{node} 0 I={law}")
    deck += [".control", "op", "print v(n0)", ".endc", ".end"]

    mine = seconds(ours, 50)
    theirs = seconds(scipys, 1)
    print(f"{STATES} states x {NODES} nodes: ours {mine * 1e3:.2f} ms")
    print(f"scipy root finding in-process: {theirs / mine:.0f} x as long")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.cir"
        path.write_text("\n".join(deck) + "\n", encoding="ascii")

        def spice() -> object:
            return [
                subprocess.run(["ngspice", "-b", str(path)], capture_output=True, check=False)
                for _ in range(STATES)
            ]

        print(f"ngspice as a process: {seconds(spice, 1) / mine:.0f} x as long")


if __name__ == "__main__":
    main()
