"""Every kind of hop there is, one module for each family, and their figures for all taps.

A limit is added by a class in its family's module, in that module's `HOPS`, and its key in
`HopKey`: chain, findings, proposals and paper follow.
"""

from collections.abc import Mapping
from typing import Final

from fusemap.assess.figures import Figures
from fusemap.assess.hops import cable, protection, slot, sockets, switching, voltage
from fusemap.assess.hops.kind import HopFigures, HopKind, Setting, Warmth
from fusemap.assess.result import HopKey

HOPS: Final[tuple[HopKind, ...]] = (
    *slot.HOPS,
    *switching.HOPS,
    *cable.HOPS,
    *protection.HOPS,
    *sockets.HOPS,
    *voltage.HOPS,
)
"""All kinds of hops, in the order of the current."""

KINDS: Final[Mapping[HopKey, HopKind]] = {kind.key: kind for kind in HOPS}
OWN: Final[frozenset[HopKey]] = frozenset(kind.key for kind in HOPS if kind.own)
"""The hops that another fuse or another cable of the tap can cure."""
PROTECTING: Final[frozenset[HopKey]] = frozenset(kind.key for kind in HOPS if kind.protects)
"""The hops that say whether a fuse protects its cable."""
PRINTED: Final[frozenset[HopKey]] = frozenset(kind.key for kind in HOPS if kind.printed)
"""The hops that stand on paper even when they hold."""


def hop_figures(a: Figures) -> Mapping[HopKey, HopFigures]:
    """All hops by key, in the order of the current; none without a tap."""
    if not a.circuit.taps.ids:
        return {}
    warmth = Warmth(a)
    known = Setting(a, a.known, warmth, at_most=False)
    most = Setting(a, a.most, warmth, at_most=True)
    return {kind.key: kind.held(known, most) for kind in HOPS}


def keys_of(code: str) -> frozenset[HopKey]:
    """The hops that a finding of this code can be about; none where it is about something else."""
    return frozenset(kind.key for kind in HOPS if kind.code == code)
