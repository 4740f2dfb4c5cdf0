"""Every hop of every tap as figures: what it bears and what it may bear [(taps,)].

Out: one `HopFigures` per kind of hop, in the order of the current. A hop that does not exist for a
tap (no cable given, no fuse, nothing published) is NaN there. `chain` puts words to them, the
checks read them as they are.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from fusemap.assess import facts
from fusemap.assess.cables import Runs
from fusemap.assess.currents import Circuit, Currents, host_ohm
from fusemap.assess.gather_taps import fuse_load_a
from fusemap.assess.result import Floats, worst
from fusemap.electrics.cable_heat import temperature_in_turns
from fusemap.electrics.fuses import LONGEST_PULSE_S, inrush_check, pulse_i2t
from fusemap.electrics.protection import adiabatic_k, far_end, overload_gap, short_check


@dataclass(frozen=True, eq=False)
class HopFigures:
    """One kind of hop for all taps; `state` is the worst state's row, −1 where none matters."""

    key: str
    load: Floats
    limit: Floats
    unit: str
    state: np.ndarray
    at_most: bool = True

    @property
    def given(self) -> np.ndarray:
        """Which taps have this hop, with a limit."""
        return ~np.isnan(self.load) & np.isfinite(self.limit)

    @property
    def broken(self) -> np.ndarray:
        """Which taps pass the limit (beyond rounding)."""
        over = self.load - self.limit if self.at_most else self.limit - self.load
        slack = 1e-9 * np.maximum(1.0, np.abs(np.nan_to_num(self.limit, posinf=0.0)))
        return np.asarray(self.given & (np.nan_to_num(over, nan=-1.0, posinf=np.inf) > slack))


@dataclass(frozen=True, eq=False)
class Setting:
    """What the figures are made from."""

    circuit: Circuit
    found: Currents
    rules: dict[str, float]
    system_v: int

    @property
    def count(self) -> int:
        """How many taps there are."""
        return len(self.circuit.taps.ids)

    def blank(self) -> Floats:
        """An array with a place for every tap, nothing known yet."""
        return np.full(self.count, np.nan)


def hop_figures(setting: Setting) -> Mapping[str, HopFigures]:
    """All hops by key, in the order of the current."""
    if setting.count == 0:
        return {}
    return {hop.key: hop for make in HOPS for hop in make(setting)}


def _no_state(count: int) -> np.ndarray:
    return np.full(count, -1, dtype=np.intp)


def _at_slot(s: Setting, key: str, load: Floats, limit: Floats) -> HopFigures:
    """A hop at the slot: a current (states, slots) against a limit (slots,)."""
    column = s.circuit.taps.slot
    on = column >= 0
    loads, limits, state = s.blank(), s.blank(), _no_state(s.count)
    loads[on] = worst(load)[column[on]]
    limits[on] = limit[column[on]]
    state[on] = load.argmax(axis=0)[column[on]] if load.size else -1
    return HopFigures(key, loads, limits, "A", state)


def _slot_hops(s: Setting) -> list[HopFigures]:
    slots = s.found.slots
    return [
        _at_slot(s, "live_contact", slots.live_contact_a, slots.contact_limit_a),
        _at_slot(s, "host_fuse", slots.host_a, slots.host_limit_a),
    ]


def _own_hops(s: Setting) -> list[HopFigures]:
    """The tap itself and the accessory fuse."""
    drawn = s.found.taps.current_a
    state = drawn.argmax(axis=0)
    taps = s.circuit.taps.taps
    ceiling = [
        (s.rules["tap_kit_ceiling_a"] if tap.ceiling_a is None else tap.ceiling_a)
        if tap.kind in ("two_fuse", "take_off_lead")
        else np.nan
        for tap in taps
    ]
    fused = np.array([tap.fuse is not None for tap in taps])
    return [
        HopFigures(
            "tap",
            np.where(np.isnan(ceiling), np.nan, worst(drawn)),
            np.array(ceiling, dtype=float),
            "A",
            state,
        ),
        HopFigures(
            "accessory_fuse",
            np.where(fused, fuse_load_a(s.circuit.taps, worst(drawn)), np.nan),
            s.found.taps.fuse_limit_a,
            "A",
            state,
        ),
    ]


def _relay_hops(s: Setting) -> list[HopFigures]:
    """A relay's contact in an own feed, and what a sense lead asks of its circuit."""
    drawn = s.found.taps.current_a
    state, taps = drawn.argmax(axis=0), s.circuit.taps.taps
    relayed = np.array([tap.relay and tap.lead == "power" for tap in taps])
    sense = np.array([tap.lead == "sense" for tap in taps])
    rule = s.rules["relay_contact_a"] * (s.rules["relay_24v_share"] if s.system_v == 24 else 1.0)
    contact = [rule if tap.relay_limit_a is None else tap.relay_limit_a for tap in taps]
    budget = np.full(s.count, s.rules["sense_budget_ma"] / 1000)
    peak = worst(drawn)
    return [
        HopFigures("sense", np.where(sense, peak, np.nan), budget, "A", state),
        HopFigures("relay", np.where(relayed, peak, np.nan), np.array(contact), "A", state),
    ]


def _converter(s: Setting) -> list[HopFigures]:
    """The output of a converter that has a tap and something hanging on it."""
    load, limit, state = s.blank(), s.blank(), _no_state(s.count)
    for output in s.circuit.taps.behind.outputs:
        column = output.column
        if s.circuit.taps.accessories[column].id == output.converter.id:
            load[column], limit[column] = output.current_a.max(), output.limit_a
            state[column] = output.current_a.argmax()
    return [HopFigures("converter", load, limit, "A", state)]


def _inrush(s: Setting) -> list[HopFigures]:
    """A short start against the fuse's melting I²t; a long one is load, see `_own_hops`."""
    load, limit = s.blank(), s.blank()
    rows = zip(s.circuit.taps.taps, s.circuit.taps.accessories, strict=True)
    for i, (tap, accessory) in enumerate(rows):
        short = 0 < accessory.inrush_s <= LONGEST_PULSE_S
        if tap.lead != "power" or tap.fuse is None or not short:
            continue
        melting = facts.melting_i2t(tap.fuse.family, tap.fuse.rating)
        if melting is None:
            continue
        peak = worst(s.circuit.taps.asked_a)[i] * accessory.inrush_multiple
        check = inrush_check(pulse_i2t("constant", peak, accessory.inrush_s), melting)
        load[i], limit[i] = check.found, check.limit
    return [HopFigures("inrush", load, limit, "A²s", _no_state(s.count))]


def _heat(s: Setting) -> list[HopFigures]:
    taps = s.circuit.taps
    drawn, state = worst(s.found.taps.current_a), s.found.taps.current_a.argmax(axis=0)
    return [
        HopFigures(key, run.warm_c(drawn, taps.heat_share, taps.on_s), run.limit_c, "°C", state)
        for key, run in (("heat_out", s.circuit.cables.out), ("heat_back", s.circuit.cables.back))
    ]


def _section(s: Setting) -> list[HopFigures]:
    run = s.circuit.cables.out
    floor = np.where(run.given, s.rules["mechanical_floor_mm2"], np.nan)
    return [HopFigures("section", run.area_mm2, floor, "mm²", _no_state(s.count), at_most=False)]


def _protection(s: Setting) -> list[facts.Protection | None]:
    """How each tap's protecting fuse protects, `None` where there is no fuse."""
    multiple = s.rules["overload_multiple"]
    return [
        None if fuse is None else facts.protection(fuse.family, fuse.rating, multiple)
        for fuse in s.circuit.cables.protecting
    ]


def thinner(out: Runs, back: Runs) -> Runs:
    """Of each tap's two conductors the thinner one, which the fuse has to protect."""
    use_back = back.given & (np.nan_to_num(back.area_mm2, nan=np.inf) < out.area_mm2)
    fields = Runs.__dataclass_fields__
    return Runs(**{f: np.where(use_back, getattr(back, f), getattr(out, f)) for f in fields})


def overload_points(s: Setting) -> tuple[Floats, Floats]:
    """Multiples [-] and longest times [s] of every tap's protecting fuse [(points, taps)].

    Shorter lists are filled up with NaN; a time is infinite where the fuse may carry it for good.
    """
    lists = [() if guard is None else guard.overloads for guard in _protection(s)]
    table = np.full((max(map(len, lists), default=0), s.count, 2), np.nan)
    for column, points in enumerate(lists):
        table[: len(points), column] = np.reshape(points, (-1, 2))
    return table[..., 0], table[..., 1]


def _overload(s: Setting) -> list[HopFigures]:
    """The hottest a cable gets at any overload that its fuse may carry."""
    run = thinner(s.circuit.cables.out, s.circuit.cables.back)
    multiples, seconds = overload_points(s)
    load, limit = s.blank(), s.blank()
    point, column = np.nonzero(run.given & ~np.isnan(seconds))
    if column.size:
        before = _alone_c(s, run)
        gap = overload_gap(
            s.circuit.cables.rating_a[column],
            seconds[point, column],
            run.overload_limit_c[column],
            run.r20_mohm_per_m[column],
            run.area_mm2[column],
            run.od_mm[column],
            run.ambient_c[column],
            multiple=multiples[point, column],
            start_c=before[column],
        )
        load[column] = -np.inf
        np.maximum.at(load, column, np.asarray(gap.found))
        limit[column] = np.asarray(gap.limit)
    return [HopFigures("overload", load, limit, "°C", _no_state(s.count))]


def _alone_c(s: Setting, run: Runs) -> Floats:
    """How warm each conductor is before a fault, were it to lie by itself [°C, (taps,)]."""
    taps, at, found = s.circuit.taps, run.given, s.blank()
    found[at] = temperature_in_turns(
        worst(s.found.taps.current_a)[at],
        taps.heat_share[at],
        taps.on_s[at],
        run.r20_mohm_per_m[at],
        run.area_mm2[at],
        run.od_mm[at],
        run.ambient_c[at],
    )
    return found


def _short(s: Setting) -> list[HopFigures]:
    run = thinner(s.circuit.cables.out, s.circuit.cables.back)
    through = np.array([np.nan if g is None else g.let_through_a2s for g in _protection(s)])
    at = run.given & (np.nan_to_num(through) > 0)
    load, limit = s.blank(), s.blank()
    if at.any():
        k = adiabatic_k(run.limit_c[at], run.short_end_c[at])
        check = short_check(through[at], run.area_mm2[at], k)
        load[at], limit[at] = check.found, check.limit
    return [HopFigures("short", load, limit, "A²s", _no_state(s.count))]


def upstream_ohm(c: Circuit) -> Floats:
    """Resistance [Ω] above each tap during a short: source, feeds, slot, and its own joints.

    Where the host fuse carries the accessory, that fuse and the second contact count too.
    """
    total = {-1: c.source_ohm}
    for column in _feeds_downwards(c):
        total[column] = total[int(c.feeds.parent[column])] + float(c.feeds.ohm[column])
    on = c.taps.slot >= 0
    feed = np.where(on, c.slots.feed[c.taps.slot] if on.any() else -1, c.taps.feed)
    found = np.array([total[int(column)] for column in feed], dtype=float)
    found[on] += c.contact_ohm
    through = on & (c.taps.through_host > 0)
    found[through] += host_ohm(c, c.taps.slot[through])
    return found + c.cables.fixed_ohm


def fault_a(c: Circuit) -> Floats:
    """Current in a short at the far end of each tap's cable [A, (taps,)], NaN without a cable."""
    ohm = c.cables.fault_ohm() + upstream_ohm(c)
    return np.where(c.cables.out.given, c.fault_v / ohm, np.nan)


def _feeds_downwards(c: Circuit) -> list[int]:
    """Columns of the feeds, every parent before what hangs on it."""
    order: list[int] = []
    left = set(range(len(c.feeds.ids)))
    while left:
        ready = sorted(i for i in left if int(c.feeds.parent[i]) not in left)
        order.extend(ready)
        left -= set(ready)
    return order


def _far_end(s: Setting) -> list[HopFigures]:
    cables = s.circuit.cables
    at = cables.out.given & ~np.isnan(cables.rating_a)
    load, limit = s.blank(), s.blank()
    if at.any():
        end = far_end(
            s.circuit.fault_v,
            cables.rating_a[at],
            cables.fault_ohm()[at],
            upstream_ohm(s.circuit)[at],
            wanted=s.rules["far_end_multiple"],
            least=s.rules["far_end_multiple_least"],
        )
        load[at], limit[at] = end.wanted.found, end.wanted.limit
    return [HopFigures("far_end", load, limit, "× rating", _no_state(s.count), at_most=False)]


def _voltage(s: Setting) -> list[HopFigures]:
    taps = s.found.taps
    power = np.array([tap.lead == "power" for tap in s.circuit.taps.taps])
    dropped = power & s.circuit.cables.out.given
    drop = np.where(dropped, worst(taps.drop_v), np.nan)
    allowed = np.full(s.count, s.rules["allowed_drop_share"] * s.system_v)
    lowest = np.where(taps.works, taps.voltage_v, np.inf)
    least = [
        np.nan if a.min_voltage_v is None else a.min_voltage_v for a in s.circuit.taps.accessories
    ]
    at_work = power & taps.works.any(axis=0) & ~np.isnan(least)
    return [
        HopFigures("drop", drop, allowed, "V", taps.drop_v.argmax(axis=0)),
        HopFigures(
            "voltage",
            np.where(at_work, lowest.min(axis=0), np.nan),
            np.array(least, dtype=float),
            "V",
            lowest.argmin(axis=0),
            at_most=False,
        ),
    ]


HOPS: tuple[Callable[[Setting], list[HopFigures]], ...] = (
    _slot_hops,
    _own_hops,
    _relay_hops,
    _inrush,
    _section,
    _heat,
    _overload,
    _short,
    _far_end,
    _voltage,
    _converter,
)
"""How the hops are made, in the order of the current."""
