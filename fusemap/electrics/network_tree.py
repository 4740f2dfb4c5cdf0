"""The tree of a radial network: which branch feeds which node, and what two ways share.

In: the parent of each node. Out: for each node the branches on its way from the source, and for
each two nodes where their ways part. Nothing here has a unit.

Source: definition of a tree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from fusemap.electrics.values import Floats
from fusemap.errors import InputProblem
from fusemap.text import say


@dataclass(frozen=True, eq=False)
class Tree:
    """A checked tree: the parent of each node (−1 the source), and what follows from it.

    `on_way` is the matrix A. `parting[i, k]` is the last node that the ways from the source to i
    and to k share, or `nodes` where they share nothing but the source. Read-only.
    """

    parent: NDArray[np.intp]
    on_way: Floats
    parting: NDArray[np.intp]

    @property
    def nodes(self) -> int:
        """How many nodes there are."""
        return int(self.parent.size)


def tree(parent: Sequence[int] | NDArray[np.intp]) -> Tree:
    """The tree in which node i hangs on node parent[i], −1 meaning the source.

    parent: whole numbers, shape (nodes,), in any order. Raises InputProblem for a parent that does
    not exist and for nodes that hang on each other in a circle. Source: definition.

    >>> tree([-1, 0, 0]).on_way
    array([[1., 0., 0.],
           [1., 1., 0.],
           [1., 0., 1.]])
    """
    return _tree(np.asarray(parent, dtype=np.intp).tobytes())


@lru_cache(maxsize=16)
def _tree(key: bytes) -> Tree:
    parent = np.frombuffer(key, dtype=np.intp)
    wrong = np.flatnonzero((parent < -1) | (parent >= parent.size))
    if wrong.size:
        raise InputProblem(
            say("there is no node {node}", node=int(parent[wrong[0]])), f"parent[{wrong[0]}]"
        )
    on_way, depth = _ways(parent)
    parting = np.full(on_way.shape, parent.size)
    for node in np.argsort(depth, kind="stable").tolist():
        if parent[node] >= 0:
            parting[node] = parting[parent[node]]
        parting[node, on_way[:, node] > 0.0] = node
    on_way.setflags(write=False)
    parting.setflags(write=False)
    return Tree(parent, on_way, parting)


def _ways(parent: NDArray[np.intp]) -> tuple[Floats, NDArray[np.intp]]:
    """The matrix A, and how many branches lie on each node's way."""
    count = parent.size
    on_way = np.zeros((count, count))
    depth = np.zeros(count, dtype=np.intp)
    here = np.arange(count)
    for _ in range(count):
        left = np.flatnonzero(here >= 0)
        if not left.size:
            break
        on_way[left, here[left]] = 1.0
        depth[left] += 1
        here[left] = parent[here[left]]
    circle = here[here >= 0]  # after so many steps upwards, whoever is left goes round in it
    if circle.size:
        raise InputProblem(say("this node hangs on itself, over others"), f"parent[{circle[0]}]")
    return on_way, depth
