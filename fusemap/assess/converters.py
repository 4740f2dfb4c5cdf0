"""What hangs behind converters, in every vehicle state: watts, currents, and who takes how much.

In: the accessories and, of each converter that has a tap, when it is live and at work. Out: what
its output gives [A, (states,)], and what that asks of its own supply [W, (states,)].

A converter takes its own draw and, for each watt at its output's terminals, 1 ÷ efficiency watts:
what hangs on it, and what the leads to it lose (`output_lead`). Its output holds its voltage.
Source: energy balance.
"""

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from msgspec import Struct

from fusemap.assess.output_lead import Asked, Named, lead_flow
from fusemap.assess.result import Floats, Mask
from fusemap.electrics.loads import LOAD_EXPONENTS, load_current
from fusemap.vehicle import STATES, Accessory

Hanging = Mapping[str, tuple[Accessory, ...]]
Wants = Callable[[Accessory], Mask]


class Supplied(Struct, frozen=True, eq=False):
    """One accessory behind a converter [(states,)].

    `column` is the tap of the converter it hangs on in the end. `drawn_a` [A] flows in the lead to
    it from an output of `volts` [V], and `left_v` [V] is left at it; `taken_w` [W] that costs the
    vehicle by itself with what its lead loses, all converters on the way reckoned with; `rest_w`
    [W] it costs while it has supply and does not work.
    """

    accessory: Accessory
    converter: Accessory
    column: int
    volts: float
    live: Mask
    works: Mask
    drawn_a: Floats
    left_v: Floats
    taken_w: Floats
    rest_w: float


class Output(Struct, frozen=True, eq=False):
    """The output of a converter: current [A, (states,)]; `limit_a` infinite where not known."""

    converter: Accessory
    column: int
    current_a: Floats
    limit_a: float


class Behind(Struct, frozen=True, eq=False):
    """Everything behind converters, and what it asks of each tap [W, (states, taps)]."""

    supplied: tuple[Supplied, ...]
    outputs: tuple[Output, ...]
    asked_w: Floats

    def of(self, column: int) -> tuple[Supplied, ...]:
        """What hangs, in the end, on one tap."""
        return tuple(each for each in self.supplied if each.column == column)

    def output(self, accessory_id: str) -> Output | None:
        """The output of a converter, `None` where nothing hangs on it."""
        return next((each for each in self.outputs if each.converter.id == accessory_id), None)


def hanging(accessories: Sequence[Accessory]) -> Hanging:
    """What hangs on each converter, by its id; empty where no converter is used."""
    found: dict[str, tuple[Accessory, ...]] = {}
    for each in accessories:
        if each.supplied_by is not None:
            found[each.supplied_by] = (*found.get(each.supplied_by, ()), each)
    return found


def power_w(accessory: Accessory, volts: float) -> float:
    """What an accessory takes at a voltage [V] while it works [W].

    >>> round(power_w(Accessory(id="a", name="radio", amperes=4.0, rated_v=12.0), 13.8), 6)
    48.0
    """
    rated = accessory.amperes
    if rated is None:
        rated = (accessory.watts or 0.0) / accessory.rated_v
    return float(load_current(rated, volts, accessory.rated_v, accessory.load_kind)) * volts


def behind(
    on: Hanging,
    taps: Sequence[tuple[int, Accessory, Mask]],
    count: int,
    wants: Wants,
    rules: dict[str, float],
    *,
    most: bool = False,
) -> Behind:
    """What hangs behind the converters among `taps` (column, accessory, at work [(states,)]).

    `count` is how many taps there are; `wants` says in which states an accessory works when it has
    supply. At its `most` the leads have all that they may.
    """
    supplied: list[Supplied] = []
    outputs: list[Output] = []
    named = frozenset(rules.items()) if on else frozenset()
    asked = np.zeros((len(STATES), count))
    for column, accessory, works in taps:
        if accessory.id in on:
            walk = _Walk(on, wants, column, supplied, outputs, named, most)
            asked[:, column] = walk.output(accessory, works, 1.0)
    return Behind(tuple(supplied), tuple(outputs), asked)


class _Walk(Struct, frozen=True, eq=False):
    """Goes down from the converter of one tap and notes what it meets."""

    on: Hanging
    wants: Wants
    column: int
    supplied: list[Supplied]
    outputs: list[Output]
    rules: Named
    most: bool

    def output(self, converter: Accessory, works: Mask, cost: float) -> Floats:
        """What the output of a converter asks of its own supply [W]; 1 W there costs `cost`."""
        given = converter.converter
        if given is None:  # only converters have anything hanging on them
            return np.zeros(len(STATES))
        cost = cost / given.efficiency
        watts = np.zeros(len(STATES))
        for each in self.on.get(converter.id, ()):
            watts = watts + self.load(each, converter, given.output_v, works, cost)
        limit = np.inf if given.rating_a is None else given.rating_a
        self.outputs.append(Output(converter, self.column, watts / given.output_v, float(limit)))
        return np.asarray(watts / given.efficiency)

    def load(
        self, accessory: Accessory, converter: Accessory, volts: float, live: Mask, cost: float
    ) -> Floats:
        """What an accessory and all behind it ask of the output it hangs on [W]."""
        works = live & self.wants(accessory)
        own = np.where(works, power_w(accessory, volts), accessory.standby_a * volts) * live
        used = accessory.id in self.on
        further = self.output(accessory, works, cost) if used else 0.0 * own
        kind = "constant_power" if used else accessory.load_kind
        flows, left = self._through_lead(
            accessory, volts, (own + further) / volts, np.where(works, LOAD_EXPONENTS[kind], 0.0)
        )
        self.supplied.append(
            Supplied(
                accessory,
                converter,
                self.column,
                volts,
                live,
                works,
                flows,
                left,
                (flows * volts - further) * cost,
                accessory.standby_a * volts * cost,
            )
        )
        return np.asarray(flows * volts)

    def _through_lead(
        self, accessory: Accessory, volts: float, asked_a: Floats, exponent: Floats
    ) -> tuple[Floats, Floats]:
        """What flows in the lead to an accessory [A], and what is left there [V], in each state."""
        each = list(zip(asked_a.tolist(), exponent.tolist(), strict=True))
        # most states ask the same of it
        met = {
            one: lead_flow(Asked(accessory, volts, *one), self.rules, most=self.most)
            for one in set(each)
        }
        flows, left = np.array([met[one] for one in each]).T
        return flows, left


def most_behind_w(
    accessories: Sequence[Accessory], converter: Accessory, rules: dict[str, float]
) -> float:
    """The most that hangs behind a converter asks of its supply, all at work at once [W]."""
    on = hanging(accessories)
    if converter.id not in on:
        return 0.0
    every = np.ones(len(STATES), dtype=bool)
    whole = behind(on, [(0, converter, every)], 1, lambda _: every, rules, most=True)
    return float(whole.asked_w.max())
