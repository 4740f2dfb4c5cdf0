"""Solving a `Model`, stage by stage, each stage's optimum held in the next.

In: a model, the rules left aside (for finding out which conflict). Out: the chosen columns, or
`None` where there are none. Each stage is a `Programme` solved to the end, so that the result is
provably the best; none is rounded.

Stages: leads left open, then own feeds that no rule asks for; slots of which nobody said what they
feed; the worst load share of a contact or
feed that the plan uses; rest current [mA]; cable ways (one for each accessory and panel); their
distances; last, of equals, the roomier slots.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from fusemap.assess.result import Floats
from fusemap.placement.joint_model import Column, Model
from fusemap.placement.joint_programme import Programme


@dataclass(frozen=True, eq=False)
class Solution:
    """The chosen columns and whether every stage was solved to the end."""

    columns: tuple[Column, ...]
    proven: bool


Held = tuple[Floats, float] | None
"""Costs of a model's columns and the most they may sum up to."""


def solve(model: Model, dropped: frozenset[str] = frozenset()) -> Solution | None:
    """The best choice without anything left open or own feeds no rule asks for; else `None`."""
    some = _only(model, lambda c: not c.change and set(c.rules) <= dropped)
    if not any(c.nameless for c in some.columns):
        return _best(some, dropped, None)
    costs = np.array([float(c.nameless) for c in some.columns])
    chosen = Programme(some, dropped).least(costs)
    return None if chosen is None else _best(some, dropped, (costs, float(costs @ chosen)))


def is_possible(model: Model, dropped: frozenset[str] = frozenset()) -> bool:
    """Whether there is such a choice at all, with some rules left aside."""
    some = _only(model, lambda c: not c.change and set(c.rules) <= dropped)
    return Programme(some, dropped).least(np.zeros(len(some.columns))) is not None


def solve_with_changes(model: Model) -> Solution:
    """The best choice with the fewest leads left open, then own feeds more, then nameless slots."""
    sound = _only(model, lambda c: not c.rules)
    weight = len(model.leads) + 1
    costs = np.array([_change_cost(c, weight) * weight + c.nameless for c in sound.columns])
    chosen = Programme(sound, frozenset()).least(costs)
    assert chosen is not None  # everything may be left open
    solved = _best(sound, frozenset(), (costs, float(costs @ chosen)))
    assert solved is not None
    return solved


def _change_cost(column: Column, weight: int) -> float:
    if column.way == "open":
        return float(weight)
    return 1.0 if column.change else 0.0


def _only(model: Model, keep: Callable[[Column], bool]) -> Model:
    """The model with some of its columns; coils go where no relay is left to drive."""
    kept = [c for c in model.columns if keep(c)]
    relays = {model.leads[c.lead].accessory.id for c in kept if c.relay}
    return replace(
        model,
        columns=tuple(c for c in kept if not c.coil or model.leads[c.lead].accessory.id in relays),
    )


def _best(model: Model, dropped: frozenset[str], held: Held) -> Solution | None:
    """Share, rest current, cable ways, distance, and of equals the roomier slots."""
    share, proven = _least_share(model, dropped, held)
    if share is None:
        return None
    programme = _under(model, share, dropped, held)
    chosen = np.zeros(0)
    for costs in _stages(programme):
        found = programme.least(costs)
        assert found is not None  # the choice before is still there
        chosen = found
        programme.hold(costs, _cost(programme, costs, found))
    return Solution(tuple(programme.chosen(chosen)), proven and programme.proven)


def _under(model: Model, share: float, dropped: frozenset[str], held: Held) -> Programme:
    """The programme with nothing above a load share."""
    roof = share * (1 + 1e-9) + 1e-9
    kept = [n for n, c in enumerate(model.columns) if c.share <= roof]
    some = replace(model, columns=tuple(model.columns[n] for n in kept), roof=roof)
    programme = Programme(some, dropped)
    if held is not None:
        programme.hold(held[0][kept], held[1])
    return programme


def _least_share(model: Model, dropped: frozenset[str], held: Held) -> tuple[float | None, bool]:
    """The least worst load share, and whether it is proven; `None` where there is no choice.

    It is the share of one of the columns, or that of a feed between two of them: the first column
    share under which there is a choice is found by doubling and halving, then the feeds are asked.
    """
    shares = sorted({0.0, *(c.share for c in model.columns)})
    proven = True

    def can(at: int) -> bool:
        nonlocal proven
        programme = _under(model, shares[at], dropped, held)
        found = programme.least(np.zeros(len(programme.columns)))
        proven = proven and programme.proven
        return found is not None

    low = -1 if held is not None else bisect_left(shares, _floor(model)) - 1
    step, high = 1, min(low + 1, len(shares) - 1)
    while not can(high):
        if high == len(shares) - 1:
            return _above_all(model, dropped, held, shares[-1])
        low, step, high = high, step * 2, min(high + step, len(shares) - 1)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if can(middle) else (middle, high)
    if low < 0:
        return shares[high], proven
    lighter = replace(
        model, columns=tuple(c for c in model.columns if c.share <= shares[low]), roof=shares[high]
    )
    programme = Programme(lighter, dropped)
    if held is not None:
        programme.hold(_kept(model, lighter, held[0]), held[1])
    if programme.least(np.zeros(len(lighter.columns))) is None:
        return shares[high], proven and programme.proven
    by_feed = programme.least_feed_share(shares[low], shares[high])
    return (shares[high] if by_feed is None else by_feed), proven and programme.proven


def _kept(model: Model, some: Model, costs: Floats) -> Floats:
    here = {id(c) for c in some.columns}
    return np.array([cost for c, cost in zip(model.columns, costs, strict=True) if id(c) in here])


def _above_all(
    model: Model, dropped: frozenset[str], held: Held, heaviest: float
) -> tuple[float | None, bool]:
    """No column's share is enough: a feed with several leads is heavier than each alone."""
    programme = Programme(model, dropped)
    if held is not None:
        programme.hold(*held)
    return programme.least_feed_share(heaviest, np.inf), programme.proven


def _floor(model: Model) -> float:
    """No plan can be better than this: of each lead the lightest place, of these the worst."""
    best: dict[int, float] = {}
    for c in model.columns:
        best[c.lead] = min(best.get(c.lead, np.inf), c.share)
    own = {n for n, lead in enumerate(model.leads) if not lead.coil}
    return max((best[n] for n in own if n in best), default=0.0)


def _stages(programme: Programme) -> list[Floats]:
    columns = programme.columns
    ways = np.concatenate([np.zeros(len(columns)), np.ones(len(programme.routes))])
    order = np.array([c.slot for c in columns]) / max(1, len(programme.model.a.slots.ids))
    roomy = np.array([min(c.share, 10.0) for c in columns]) + 1e-3 * order
    return [
        np.array([1000 * c.rest_a for c in columns]),
        ways,
        np.array([float(c.step) for c in columns]),
        roomy,
    ]


def _cost(programme: Programme, costs: Floats, chosen: Floats) -> float:
    """What a choice costs; a cable way counts once."""
    count = len(programme.columns)
    total = float(costs[:count] @ chosen)
    if costs.size > count:
        total += len({c.route for c in programme.chosen(chosen) if c.route[0]})
    return total
