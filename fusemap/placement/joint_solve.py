"""Solving a `Model`, stage by stage, each stage's optimum held in the next.

In: a model, the rules left aside (for finding out which conflict). Out: the chosen columns, or
`None` where there are none. Each stage is a `Programme` solved to the end, so that the result is
provably the best; none is rounded.

A `Programme` has a model as rows over columns that are taken or not. `least` gives the choice with
the least cost, `hold` keeps a cost at its optimum in what is asked next, `least_feed_share` gives
the least worst load share of feeds. HiGHS (scipy's `milp`) solves each to the end by branch and
bound and cuts; `proven` says when it was stopped before.

Stages: leads left open, then own feeds that no rule asks for; hosts by what they feed, first the
fewest supplies and control units, then the fewest circuits that nobody knows; the worst load share
of a contact or feed that the plan uses; rest current [mA]; cable ways (one for each accessory and
panel); their distances; last, of equals, the roomier slots.

What a host feeds comes after the changes: a lead left open is no plan, and an own feed is hours of
work that a small lead seldom is worth; the finding at such a host offers one as its way out. It
comes before all shares: no room at a contact makes a control unit a better host than a radio.
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess.result import Floats
from fusemap.placement.joint_model import Column, Model

if TYPE_CHECKING:
    from scipy.sparse import csr_array

TOLERANCE = 1e-7
"""By how much a later stage may miss an earlier stage's optimum, to allow for rounding."""
SLOWEST_S = 20.0
"""A stage is stopped after this time; the plan then says that it is not proven [s]."""

Row = tuple[dict[int, float], float, float]
"""Factors by place, the least and the most their sum may be."""


class Programme:
    """A model as rows over its columns, then its cable ways, then what a stage adds."""

    def __init__(self, model: Model, dropped: frozenset[str]) -> None:
        self.model = model
        self.columns = model.columns
        self.routes = sorted({c.route for c in model.columns if c.route[0]})
        self.proven = True
        self._rows: list[Row] = []
        count = len(self.columns)
        self._route_at = {route: count + n for n, route in enumerate(self.routes)}
        self.width = count + len(self.routes)
        self._lead_rows()
        if "seat" not in dropped:
            self._seat_rows()
        self._coil_rows()
        self._feed_rows(dropped)
        self._route_rows()

    # --- rows -----------------------------------------------------------------------------------

    def _lead_rows(self) -> None:
        for index, lead in enumerate(self.model.leads):
            mine = {n: 1.0 for n, c in enumerate(self.columns) if c.lead == index}
            if not lead.coil:
                self._rows.append((mine, 1.0, 1.0))

    def _seat_rows(self) -> None:
        """One two-fuse tap to a slot."""
        for mine in self._by(lambda c: c.slot if c.slot >= 0 else None).values():
            if len(mine) > 1:
                self._rows.append((dict.fromkeys(mine, 1.0), 0.0, 1.0))

    def _coil_rows(self) -> None:
        """As many coils of an accessory on sense slots as it has relays."""
        coils = self._by(lambda c: self._accessory(c) if c.coil else None)
        relays = self._by(lambda c: self._accessory(c) if c.relay else None)
        for accessory in coils.keys() | relays.keys():
            row = dict.fromkeys(coils.get(accessory, ()), 1.0)
            row |= dict.fromkeys(relays.get(accessory, ()), -1.0)
            self._rows.append((row, 0.0, 0.0))

    def _accessory(self, column: Column) -> str:
        return self.model.leads[column.lead].accessory.id

    def _by(self, key: Callable[[Column], Any]) -> dict[Any, list[int]]:
        found: dict[Any, list[int]] = {}
        for n, column in enumerate(self.columns):
            where = key(column)
            if where is not None:
                found.setdefault(where, []).append(n)
        return found

    def _feed_rows(self, dropped: frozenset[str]) -> None:
        """What every feed may take on in every state."""
        for feed, feed_id in enumerate(self.model.a.feeds.ids):
            if f"feed:{feed_id}" in dropped:
                continue
            room = self.model.feed_room_a[:, feed]
            for state, row in enumerate(self.loads_on(feed)):
                if row and sum(row.values()) > room[state]:
                    self._rows.append((row, 0.0, float(room[state]) * (1 + 1e-9) + 1e-9))

    def loads_on(self, feed: int) -> list[dict[int, float]]:
        """What each column draws through a feed [A], a row for each state."""
        above = self.model.base.above[feed]
        rows: list[dict[int, float]] = [{} for _ in range(self.model.base.feed_a.shape[0])]
        for n, column in enumerate(self.columns):
            if column.loads_slot >= 0 and above[column.loads_slot]:
                for state, amperes in enumerate(column.load_a):
                    if amperes > 0:
                        rows[state][n] = float(amperes)
        return rows

    def _route_rows(self) -> None:
        """A way is open where one of its leads uses it: r ≥ the sum of each lead's columns."""
        uses: dict[tuple[int, int], list[int]] = {}
        for n, column in enumerate(self.columns):
            if column.route[0]:
                uses.setdefault((column.lead, self._route_at[column.route]), []).append(n)
        for (_, route), mine in uses.items():
            self._rows.append(({**dict.fromkeys(mine, 1.0), route: -1.0}, -np.inf, 0.0))

    def hold(self, costs: Floats, most: float) -> None:
        """Keep a cost of the columns at most at an earlier optimum."""
        row = {int(n): float(costs[n]) for n in np.flatnonzero(costs)}
        self._rows.append((row, -np.inf, most + TOLERANCE))

    # --- solving --------------------------------------------------------------------------------

    def least(self, costs: Floats) -> Floats | None:
        """The 0/1 choice of columns with the least cost [(columns,)]; `None` where there is none.

        `costs` may also have a place for each cable way.
        """
        whole = np.zeros(self.width)
        whole[: costs.size] = costs
        found = self._solve(whole, self.width, [])
        return None if found is None else found[: len(self.columns)]

    def least_feed_share(self, at_least: float, at_most: float) -> float | None:
        """The least worst load share of the feeds in use; `None` where no choice is possible."""
        t = self.width
        rows: list[Row] = []
        width = t + 1
        feeds = self.model.a.feeds
        for feed in range(len(feeds.ids)):
            limit = float(self.model.a.most.feeds.limit_a[feed])
            if not np.isfinite(limit) or limit <= 0:
                continue
            used, width = width, width + 1
            for mine in self._uses_of(feed):
                rows.append(({**dict.fromkeys(mine, 1.0), used: -1.0}, -np.inf, 0.0))
            for state, row in enumerate(self.loads_on(feed)):
                base = float(self.model.base.most_feed_a[state, feed]) / limit
                scaled = {n: amperes / limit for n, amperes in row.items()}
                rows.append(({**scaled, used: base, t: -1.0}, -np.inf, 0.0))
        costs = np.zeros(width)
        costs[t] = 1.0
        found = self._solve(costs, width, rows, (at_least, at_most))
        return None if found is None else worst_share(self.model, self.chosen(found))

    def _uses_of(self, feed: int) -> list[list[int]]:
        """Columns below a feed, of which at most one can be chosen: by slot, and by lead."""
        above = self.model.base.above[feed]

        def below(c: Column) -> bool:
            return c.loads_slot >= 0 and bool(above[c.loads_slot])

        by_slot = self._by(lambda c: c.loads_slot if below(c) else None)
        by_lead = self._by(lambda c: c.lead if below(c) else None)
        return [*by_slot.values(), *by_lead.values()]

    def chosen(self, x: Floats) -> list[Column]:
        """The columns of a choice."""
        return [c for c, on in zip(self.columns, x, strict=False) if on]

    def _solve(
        self,
        costs: Floats,
        width: int,
        more: list[Row],
        span: tuple[float, float] = (0.0, 1.0),
    ) -> Floats | None:
        # loaded here, since it takes longer than all the rest of a start together
        from scipy.optimize import Bounds, LinearConstraint, milp

        if not self.columns:
            return np.zeros(width) if not self.model.leads else None
        rows = [*self._rows, *more]
        matrix, low, high = _matrix(rows, width)
        binary = np.zeros(width)
        binary[: len(self.columns)] = 1
        lowest, highest = np.zeros(width), np.ones(width)
        if width > self.width:
            lowest[self.width], highest[self.width] = span
        result = milp(
            costs,
            integrality=binary,
            bounds=Bounds(lowest, highest),
            constraints=LinearConstraint(matrix, low, high),
            options={"mip_rel_gap": 0.0, "time_limit": SLOWEST_S},
        )
        if result.x is None:
            return None
        self.proven = self.proven and result.status == 0
        found: Floats = np.asarray(result.x)
        found[: len(self.columns)] = np.round(found[: len(self.columns)])
        return found


def _matrix(rows: list[Row], width: int) -> "tuple[csr_array, Floats, Floats]":
    from scipy.sparse import csr_array  # loaded with the solver, not at the start

    starts = np.cumsum([0, *(len(row) for row, _, _ in rows)])
    columns = np.fromiter((n for row, _, _ in rows for n in row), dtype=int)
    values = np.fromiter((v for row, _, _ in rows for v in row.values()), dtype=float)
    matrix = csr_array((values, columns, starts), shape=(len(rows), width))
    return matrix, np.array([r[1] for r in rows]), np.array([r[2] for r in rows])


def worst_share(model: Model, chosen: Sequence[Column]) -> float:
    """The worst load share that the contacts and feeds of a plan may have, in any state."""
    shares = [c.share for c in chosen if c.loads_slot >= 0]
    for feed, limit in enumerate(model.a.most.feeds.limit_a):
        below = [c for c in chosen if c.loads_slot >= 0 and model.base.above[feed, c.loads_slot]]
        if below and np.isfinite(limit) and limit > 0:
            total = model.base.most_feed_a[:, feed] + sum(c.load_a for c in below)
            shares.append(float(total.max()) / float(limit))
    return max(shares, default=0.0)


class Solution(Struct, frozen=True, eq=False):
    """The chosen columns and whether every stage was solved to the end."""

    columns: tuple[Column, ...]
    proven: bool


Held = tuple[tuple[Floats, float], ...]
"""Costs of a model's columns and the most they may sum up to, of each stage done."""


def solve(model: Model, dropped: frozenset[str] = frozenset()) -> Solution | None:
    """The best choice without anything left open or own feeds no rule asks for; else `None`."""
    some = _only(model, lambda c: not c.change and set(c.rules) <= dropped)
    held = _least_of_each(some, dropped, _by_host(some))
    return None if held is None else _best(some, dropped, held)


def is_possible(model: Model, dropped: frozenset[str] = frozenset()) -> bool:
    """Whether there is such a choice at all, with some rules left aside."""
    some = _only(model, lambda c: not c.change and set(c.rules) <= dropped)
    return Programme(some, dropped).least(np.zeros(len(some.columns))) is not None


def solve_with_changes(model: Model) -> Solution:
    """The best choice with the fewest leads left open, then own feeds more, then the best hosts."""
    sound = _only(model, lambda c: not c.rules)
    changes = (
        np.array([float(c.way == "open") for c in sound.columns]),
        np.array([float(c.change and c.way != "open") for c in sound.columns]),
    )
    held = _least_of_each(sound, frozenset(), (*changes, *_by_host(sound)))
    assert held is not None  # everything may be left open
    solved = _best(sound, frozenset(), held)
    assert solved is not None
    return solved


def _by_host(model: Model) -> tuple[Floats, ...]:
    """A cost for each rank of hosts but comfort, the last to be taken first."""
    ranks = np.array([c.host for c in model.columns])
    return tuple((ranks == rank).astype(float) for rank in sorted({*ranks.tolist()} - {0})[::-1])


def _least_of_each(model: Model, dropped: frozenset[str], stages: Sequence[Floats]) -> Held | None:
    """Each cost at its least, the first first; `None` where there is no choice."""
    programme = Programme(model, dropped)
    held: list[tuple[Floats, float]] = []
    for costs in stages:
        if not costs.any():
            continue
        chosen = programme.least(costs)
        if chosen is None:
            return None
        held.append((costs, float(costs @ chosen)))
        programme.hold(*held[-1])
    return tuple(held)


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
    for costs, most in held:
        programme.hold(costs[kept], most)
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

    low = -1 if held else bisect_left(shares, _floor(model)) - 1
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
    for costs, most in held:
        programme.hold(_kept(model, lighter, costs), most)
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
    for costs, most in held:
        programme.hold(costs, most)
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
