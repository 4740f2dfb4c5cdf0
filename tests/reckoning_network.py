"""A tree of resistances with loads, solved by sweeps up and down until its voltages stand.

Nothing of the program is imported. Source: Kirchhoff's laws; I = I0·(V/V0)^p.
"""

STANDS_V, SWEEPS, SLOW_SWEEPS = 1e-11, 200, 100_000
"""Voltages stand where they move by less [V]; so many turns are tried, the quick and the sure."""


class Network:
    """A tree: parent and resistance [Ω] of each node, what is drawn there (A, at V, power)."""

    def __init__(self, emf_v: float, inside_ohm: float, knee_of_v: float | None = None) -> None:
        self.emf_v = emf_v
        self.knee_v = (emf_v if knee_of_v is None else knee_of_v) / 2
        self.parent, self.ohm = {"battery": ""}, {"battery": inside_ohm}
        self.draws: dict[str, list[tuple[float, float, float]]] = {"battery": []}

    def add(self, node: str, parent: str, ohm: float) -> None:
        """Hang a node below one that is there."""
        self.parent[node], self.ohm[node], self.draws[node] = parent, ohm, []

    def solve(self) -> tuple[dict[str, float], dict[str, float]]:
        """Voltages [V] and the currents into the nodes [A]: sweeps up and down until they stand."""
        volts = dict.fromkeys(self.parent, self.emf_v)
        for _ in range(SWEEPS):
            new = self._from_currents(self._gathered({n: self._drawn(n, volts[n]) for n in volts}))
            moved = max(abs(new[node] - volts[node]) for node in new)
            volts = new
            if moved < STANDS_V:
                break
        else:
            volts = self._from_above()
        return volts, self._gathered({node: self._drawn(node, volts[node]) for node in volts})

    def _gathered(self, drawn: dict[str, float]) -> dict[str, float]:
        """The current into each node [A]: what is drawn there and below."""
        for node in reversed(self.parent):
            if self.parent[node]:
                drawn[self.parent[node]] += drawn[node]
        return drawn

    def _from_currents(self, into: dict[str, float]) -> dict[str, float]:
        volts: dict[str, float] = {}
        for node, parent in self.parent.items():
            volts[node] = (volts[parent] if parent else self.emf_v) - into[node] * self.ohm[node]
        return volts

    def _from_above(self) -> dict[str, float]:
        """The highest voltages that stand, from above: every load held as a conductance in turn.

        A conductance grows while its voltage falls, so each turn ends lower than the one before.
        """
        volts = dict.fromkeys(self.parent, self.emf_v)
        for _ in range(SLOW_SWEEPS):
            seen = {n: self._drawn(n, v) / v if v > 0 else 0.0 for n, v in volts.items()}
            for node in reversed(self.parent):
                parent = self.parent[node]
                if parent:
                    seen[parent] += seen[node] / (1 + seen[node] * self.ohm[node])
            new: dict[str, float] = {}
            for node, parent in self.parent.items():
                above = new[parent] if parent else self.emf_v
                new[node] = above / (1 + seen[node] * self.ohm[node])
            moved = max(abs(new[node] - volts[node]) for node in new)
            volts = new
            if moved < STANDS_V:
                return volts
        raise ArithmeticError("the voltages do not stand")

    def _drawn(self, node: str, volts: float) -> float:
        total = 0.0
        for amperes, at_v, power in self.draws[node]:
            held = max(volts, self.knee_v)  # below it a load counts as a resistance
            total += amperes * (held / at_v) ** power * max(volts / held, 0.0)
        return total
