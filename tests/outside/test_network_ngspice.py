"""Network voltages against the circuit simulator ngspice, to 0.1 mV.

Source: ngspice (Debian package `ngspice`), operating point of the same network; constant-power and
filament loads as behavioural current sources.
"""

import subprocess
from pathlib import Path

import numpy as np
import pytest

from fusemap.electrics.network import solve, tree
from tests.outside.references import needs_program

pytestmark = needs_program("ngspice")

# parent, branch Ω, amperes at 12 V, exponent, EMF
NETWORKS = {
    "one cable, a resistance": ([-1], [0.2], [5.0], [1.0], 12.6),
    "constant power at the end of a long cable": (
        [-1, 0],
        [0.02, 0.35],
        [1.0, 7.5],
        [0.0, -1.0],
        12.6,
    ),
    "filament lamps on a common feed": (
        [-1, 0, 0, 0],
        [0.03, 0.1, 0.15, 0.2],
        [0.0, 1.75, 4.6, 5.0],
        [0.0, 0.55, 0.55, 0.55],
        13.9,
    ),
    "two levels of feeds, every kind of load": (
        [-1, 0, 0, 1, 1, 2, 2],
        [0.004, 0.01, 0.012, 0.08, 0.11, 0.05, 0.4],
        [0.5, 0.0, 2.0, 4.0, 3.0, 6.0, 1.5],
        [0.0, 0.0, 0.0, -1.0, 1.0, 0.55, -1.0],
        12.2,
    ),
    "six levels deep": (
        [-1, 0, 1, 2, 3, 4],
        [0.005, 0.01, 0.01, 0.02, 0.02, 0.05],
        [1.0, 1.0, 1.0, 2.0, 2.0, 3.0],
        [0.0, -1.0, 1.0, -1.0, 0.55, -1.0],
        24.8,
    ),
    "near the knee of a constant-power load": ([-1], [0.1], [29.0], [-1.0], 12.0),
}


def by_ngspice(
    parent: list[int], ohm: list[float], amps: list[float], kind: list[float], emf: float, at: Path
) -> np.ndarray:
    """Node voltages of the operating point [V]."""
    lines = ["* network", f"Vs src 0 {emf!r}"]
    for node, above in enumerate(parent):
        upper = "src" if above < 0 else f"n{above}"
        lines.append(f"R{node} {upper} n{node} {ohm[node]!r}")
        if kind[node] == 1.0:
            lines.append(f"Rl{node} n{node} 0 {12.0 / amps[node]!r}")
        elif kind[node] == 0.0:
            lines.append(f"Il{node} n{node} 0 {amps[node]!r}")
        elif kind[node] == -1.0:
            lines.append(f"Bl{node} n{node} 0 I={amps[node] * 12.0!r}/V(n{node})")
        else:
            lines.append(f"Bl{node} n{node} 0 I={amps[node]!r}*pow(V(n{node})/12,{kind[node]!r})")
    wanted = " ".join(f"v(n{node})" for node in range(len(parent)))
    start = " ".join(f"v(n{node})={emf!r}" for node in range(len(parent)))
    lines += [
        f".nodeset {start}",
        ".options reltol=1e-9 vntol=1e-10 abstol=1e-13",
        ".control",
        "set numdgt=12",
        "op",
        f"print {wanted}",
        ".endc",
        ".end",
    ]
    deck = at / "network.cir"
    deck.write_text("\n".join(lines) + "\n", encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", str(deck)], capture_output=True, text=True, check=False, timeout=60
    )
    found = {}
    for line in done.stdout.splitlines():
        if line.startswith("v(n") and "=" in line:
            name, value = line.split("=")
            found[int(name.strip()[3:-1])] = float(value)
    return np.array([found[node] for node in range(len(parent))])


@pytest.mark.parametrize("name", NETWORKS)
def test_voltages_equal_ngspice(name: str, tmp_path: Path) -> None:
    parent, ohm, amps, kind, emf = NETWORKS[name]
    ours = solve(
        tree(parent),
        resistance_ohm=ohm,
        emf_v=emf,
        load_a=amps,
        load_at_v=12.0,
        load_exponent=kind,
    )
    assert ours.voltage_v == pytest.approx(
        by_ngspice(parent, ohm, amps, kind, emf, tmp_path), abs=1e-4
    )
