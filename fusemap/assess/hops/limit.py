"""Limits that stand beside the taps' own: each a hop with its words, and what passing it means.

Leads behind converters and the link between two batteries are few: their hops are made one by one,
where those of taps and feeds are reckoned for all at once.
"""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from fusemap.assess.hops.kind import Breach, HopFigures
from fusemap.assess.result import Hop, HopKey


class Limit(Struct, frozen=True):
    """A hop, the code of the finding where it does not hold, and what that means.

    Beyond one that is not `dangerous` nothing burns, but something works badly.
    """

    hop: Hop
    code: str
    breach: Breach
    dangerous: bool = True


class Beside(Struct, frozen=True, eq=False):
    """All limits beside the taps' own.

    `feeds` are those of added feeds' cables, by hop and for all feeds; `outputs` those of the leads
    behind converters, by the accessory at their end; `link` those of the link of two batteries.
    """

    feeds: Mapping[HopKey, HopFigures]
    outputs: Mapping[str, tuple[Limit, ...]]
    link: tuple[Limit, ...]

    @property
    def single(self) -> Iterable[Limit]:
        """Those that were made one by one."""
        for limits in self.outputs.values():
            yield from limits
        yield from self.link
