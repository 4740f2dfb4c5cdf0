"""Second batteries, added feeds, leads behind converters, links: reckoned a second time.

The part of `reckoning` that knows them. Nothing of the program is imported. A lead behind a
converter is solved by a bracket, a battery and an alternator on one node by its currents' sum.
Source: as there; what a lead battery takes as charge: rate × capacity × what lacks.
"""

from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.optimize import brentq

from tests import reckoning_heat as heat
from tests import reckoning_tables as tables
from tests.reckoning_network import Network
from tests.reckoning_parts import POWERS, Reckoned, Solved, fuse_ohm, rated_a, run_ohm

INF = float("inf")
RATES = 0.8, 1.3
"""Usual and highest rate of charge of a lead battery [1/h]."""
CHARGER_A, CHARGER_PASSES = 20.0, 0.9


class Objects:
    """What is reckoned besides slots and taps."""

    if TYPE_CHECKING:
        v: Any
        rule: dict[str, float]
        feeds: dict[str, Any]
        by_id: dict[str, Any]
        supplied: dict[str, list[Any]]
        earths: dict[str, Any]
        emf: dict[str, float]
        out: Reckoned

        def _warm(self, place: str, own_c: float | None = None) -> float: ...
        def _core(self, cable: Any) -> heat.Core: ...
        def _core_c(self, cable: Any, current_a: float, share: float, on_s: float) -> float: ...
        def _hold(
            self, hop: str, at: str, load: float, limit: float, at_least: bool = False
        ) -> None: ...
        def _inside_ohm(self) -> float: ...
        def _wants(self, it: Any, state: str) -> bool: ...
        def _works(self, tap: Any, state: str) -> bool: ...
        def _emf(self, state: str) -> float: ...
        def _behind_w(self, converter: Any, works: bool, state: str) -> float: ...
        def _own_a(self, slot: Any, state: str) -> float: ...
        def solved(self, net: Network | None, state: str, *, second: bool) -> Solved | None: ...
        def _live(self, tap: Any, state: str) -> bool: ...

    # --- the second battery ---

    def on_second(self, feed: str | None) -> bool:
        """Whether a feed hangs, in the end, on the second battery."""
        if feed not in self.feeds or self.v.second_battery is None:
            return False
        at = self.feeds[feed]
        while at.parent is not None:
            at = self.feeds[at.parent]
        return bool(at.battery == "second")

    def tap_on_second(self, tap: Any) -> bool:
        """Whether a lead does."""
        if tap.slot is not None:
            slots = (s for p in self.v.panels for s in p.slots)
            return self.on_second(next(s for s in slots if s.id == tap.slot).feed)
        if tap.feed is not None:
            return self.on_second(tap.feed)
        there = self.v.second_battery is not None
        return there and bool(self.by_id[tap.accessory].battery == "second")

    def _second_own(self) -> tuple[float, float]:
        """Its own voltage [V] and what it has inside [Ω]."""
        second, times = self.v.second_battery, self.v.system_v // 12
        row = tables.battery_row(second.chemistry)
        soc = float(row["start_soc"]) if second.start_soc is None else second.start_soc
        volts = second.rest_v
        if volts is None:
            volts = tables.rest_v(second.chemistry, soc) * times
        capacity = 60.0 if second.capacity_ah is None else second.capacity_ah
        ohm = second.resistance_mohm
        if ohm is None:
            ohm = float(row["resistance_mohm_70ah"]) * 70 / capacity
        return volts, ohm * times / 1000

    def _charging_v(self) -> float:
        return float(self.rule["charging_v"] * self.v.system_v / 12)

    def _link_ohm(self) -> float:
        second, cable = self.v.second_battery, self.v.second_battery.link_cable
        copper = 0.0 if cable is None else run_ohm(cable, self._warm(cable.place))
        return float(copper + fuse_ohm(second.near_fuse) + fuse_ohm(second.far_fuse))

    def charger_a(self, state: str) -> float:
        """What a DC-DC charger takes on the first battery's side [A]."""
        second = self.v.second_battery
        if second is None or second.link != "dcdc" or state != "running":
            return 0.0
        return CHARGER_A if second.charger_a is None else float(second.charger_a)

    def second_network(self, state: str, first_v: float | None = None) -> Network | None:
        """Its terminals with nothing on them yet; link closed while the engine runs.

        `first_v` [V] is where the first one's stand then, the charging voltage where not given.
        """
        if self.v.second_battery is None:
            return None
        volts, ohm = self._second_own()
        charging = self._charging_v()
        if state != "running":
            return Network(volts, ohm)
        if self.v.second_battery.link == "dcdc":
            given = CHARGER_PASSES * self.charger_a(state) * ohm
            return Network(max(volts, min(charging, volts + given)), ohm)
        if charging <= volts:
            return Network(volts, ohm)
        # two sources on one node: its voltage unloaded, and how far one ampere pulls it down
        link, own = 1 / max(self._link_ohm(), 1e-6), 1 / max(ohm, 1e-6)
        first_v = charging if first_v is None else first_v
        node = np.linalg.solve([[link + own]], [[link * first_v + own * volts, -1.0]])[0]
        return Network(float(node[0]), float(-node[1]), charging)

    # --- the alternator ---

    def _alternator_a(self) -> float:
        """What it gives at most [A], as far as is known."""
        parking = self.v.parking
        known = sum(f.other_load.running or 0.0 for f in self.v.feeds
                    if not self.on_second(f.id))  # fmt: skip
        for slot, _ in self.slots.values():
            if not self.on_second(slot.feed):
                known += self._own_a(slot, "running")
        if parking.spare_a is not None:
            return float(known + parking.spare_a)
        if parking.alternator_a is None:
            return float(known + self.rule["alternator_spare_a"])
        hot = parking.alternator_a
        if parking.starts_by != "contactors":
            hot *= self.rule["alternator_hot_share"]
        usual = min(hot, self.rule["vehicle_running_a"] * 12 / self.v.system_v)
        return float(known + hot - max(known, usual))

    def with_the_engine_running(self) -> tuple[Solved | None, Solved | None]:
        """Both batteries where the sum of all currents on the first one's post is none."""
        high, limit = self._charging_v(), self._alternator_a()
        own_v, own_ohm = self._emf("ignition"), max(self._inside_ohm(), 1e-6)
        second, link = self.v.second_battery, float("inf")
        if second is not None and second.link != "dcdc" and high > self._second_own()[0]:
            link = max(self._link_ohm(), 1e-6)

        def at(volts: float) -> tuple[Any, Any, float, float]:
            """Both solved with the first post at a voltage; asked of it, and taken by the link."""
            first = self.solved(Network(volts, 0.0, high), "running", second=False)
            other = self.solved(self.second_network("running", volts), "running", second=True)
            assert first is not None
            asked, taken = first[2]["battery"], 0.0
            if other is not None and link < INF:
                there_v, there_ohm = self._second_own()
                stands = other[1]["battery"]
                gives = max(0.0, there_v - stands) / max(there_ohm, 1e-6)
                asked += max(0.0, other[2]["battery"] - gives)
                taken = (volts - stands) / link
            return first, other, asked, taken

        def left(volts: float) -> float:
            first, _, _, taken = at(volts)
            return float(limit + (own_v - volts) / own_ohm - first[2]["battery"] - taken)

        first, other, asked, _ = at(high)
        if asked <= limit * (1 + 1e-12):
            return first, other
        if left(own_v) > 0:  # lamps and heaters draw less meanwhile
            short = at(own_v)[2] < limit
            stands = brentq(lambda v: at(v)[2] - limit, own_v, high, xtol=1e-12) if short else own_v
        else:
            low = own_v
            while left(low) < 0:
                low -= 0.1
            stands = brentq(left, low, own_v, xtol=1e-13, rtol=1e-14)
        return at(stands)[:2]

    def root_ohm(self, *, second: bool) -> float:
        """What a battery has inside, at its most [Ω]."""
        return self._second_own()[1] if second else self._inside_ohm()

    def fault_v(self, *, second: bool) -> float:
        """What drives a short [V]."""
        low = self.rule["fault_min_v"] * self.v.system_v / 12
        return min(low, self._second_own()[0]) if second else min(*self.emf.values(), low)

    def earth_mohm(self, tap: Any) -> float:
        """The way back by the body [mΩ]."""
        point = None if tap.earth is None else self.earths[tap.earth]
        measured = None if point is None else point.resistance_mohm
        if measured is not None:
            return float(measured)
        post = point is None or point.kind == "battery_minus"
        return 0.0 if tap.cable_back is not None and post else self.rule["body_return_mohm"]

    # --- cables and their fuses ---

    def _protects(self, cable: Any, fuse: Any, before_c: float) -> tuple[float, float, float]:
        """Hottest in an overload [°C], I²t let through and I²t borne [A²s]."""
        core, (limit, _, end) = self._core(cable), tables.insulation(cable.insulation)
        multiple = self.rule["overload_multiple"]
        through, overloads = tables.protection(fuse.family, fuse.rating, multiple)
        hottest = max(heat.after(s, times * fuse.rating, core, before_c) for times, s in overloads)
        k = 226.0 * np.log((234.5 + end) / (234.5 + limit)) ** 0.5
        return hottest, through, (k * cable.section_mm2) ** 2

    def added_feeds(self) -> None:
        """The cables of feeds that somebody laid."""
        for feed in (f for f in self.feeds.values() if f.added and f.cable is not None):
            peak = max(self.out.feeds_a[state][feed.id] for state in self.emf)
            warm = self._core_c(feed.cable, peak, 1.0, 0.0)
            bears, overload, _ = tables.insulation(feed.cable.insulation)
            self._hold("feed_heat", feed.id, warm, bears)
            over = self._fuse_over(feed)
            guard = feed.fuse or over
            if guard is not None:
                hottest, through, may = self._protects(feed.cable, guard, warm)
                self._hold("feed_overload", feed.id, hottest, overload)
                self._hold("feed_short", feed.id, through, may)
                times = self._feed_short_a(feed) / guard.rating
                wanted = self.rule["far_end_multiple"]
                self._hold("feed_far_end", feed.id, times, wanted, at_least=True)
            whole = feed.cable.length_m + sum(each.length_m for each in feed.cable.further)
            bare = whole if feed.fuse is None else (feed.unfused_m or 0.0)
            if over is not None:
                hottest, through, may = self._protects(feed.cable, over, warm)
                bare = 0.0 if hottest <= overload and through <= may else bare
            self._hold("feed_unfused", feed.id, 1000 * bare, self._bare_mm(feed))

    def _bare_mm(self, feed: Any) -> float:
        if feed.sleeve != "sleeved":
            return self.rule["unfused_open_mm"]
        return self.rule["unfused_post_mm" if feed.parent is None else "unfused_sleeved_mm"]

    def _fuse_over(self, feed: Any) -> Any:
        at = feed.parent
        while at is not None:
            if self.feeds[at].fuse is not None:
                return self.feeds[at].fuse
            at = self.feeds[at].parent
        return None

    def _feed_short_a(self, feed: Any) -> float:
        """A short at its end, all copper on the way as warm as in a short [A]."""
        second = self.on_second(feed.id)
        total = self.root_ohm(second=second) + self.rule["body_return_mohm"] / 1000
        at = feed
        while at is not None:
            copper = 0.0 if at.cable is None else run_ohm(at.cable, 85.0)
            total += copper + at.resistance_mohm / 1000 + fuse_ohm(at.fuse)
            if at.fuse is None and at.limit_a is None:
                # nobody said what protects it: at most the smallest fuse that feeds several slots
                total += tables.most_ohm_of_a_like_fuse(30.0)
            at = None if at.parent is None else self.feeds[at.parent]
        return self.fault_v(second=second) / total

    # --- behind converters ---

    def leads_behind(self) -> None:
        """The leads to what hangs behind converters that have a source."""
        for tap in self.v.taps:
            it = self.by_id[tap.accessory]
            if tap.lead == "power" and it.id in self.supplied and it.converter is not None:
                working = [state for state in self.emf if self._works(tap, state)]
                self._below(it, working)

    def _below(self, converter: Any, working: list[str]) -> None:
        """`working`: the states in which this converter gives something."""
        for it in self.supplied.get(converter.id, []):
            on = [state for state in working if self._wants(it, state)]
            asked = max((self._takes_a(it, converter, s, on) for s in working), default=0.0)
            if it.lead_cable is not None:
                self._lead(it, converter, asked)
            if it.converter is not None and it.id in self.supplied:
                self._below(it, on)

    def _takes_a(self, it: Any, converter: Any, state: str, on: list[str]) -> float:
        """What it and all behind it take of the output it hangs on [A]."""
        volts = converter.converter.output_v
        drawn = rated_a(it) * (volts / it.rated_v) ** POWERS[it.load_kind]
        own = float(drawn if state in on else it.standby_a)
        if it.converter is None or state not in on:
            return own
        return own + self._behind_w(it, True, state) / volts

    def _lead(self, it: Any, converter: Any, asked: float) -> None:
        current, volts = self.lead_flow(it, converter.converter.output_v, asked)
        self._lead_limits(it, converter, current, volts)

    def lead_flow(
        self, it: Any, out_v: float, asked: float, *, works: bool = True
    ) -> tuple[float, float]:
        """What flows in the lead to a thing behind a converter [A], and what is left there [V]."""
        if it.lead_cable is None or asked <= 0:
            return asked, out_v
        power = -1.0 if it.id in self.supplied else POWERS[it.load_kind]
        power = power if works else 0.0
        ways = [each for each in (it.lead_cable, it.lead_back) if each is not None]
        fixed = fuse_ohm(it.lead_fuse)
        if it.lead_back is None:
            fixed += self.rule["body_return_mohm"] / 1000

        def left_v(current: float) -> float:
            warm = [min(self._core_c(each, current, 1.0, 0.0), 1000.0) for each in ways]
            ohm = sum(run_ohm(each, at) for each, at in zip(ways, warm, strict=True))
            return float(out_v - current * (fixed + ohm))

        def surplus(current: float) -> float:
            return current - asked * (max(left_v(current), 1e-9) / out_v) ** power

        current = float(brentq(surplus, 0.0, 2 * asked, xtol=1e-13, rtol=1e-13))
        return current, left_v(current)

    def _lead_limits(self, it: Any, converter: Any, current: float, volts: float) -> None:
        fuse, out_v = it.lead_fuse, converter.converter.output_v
        if fuse is not None:
            warm, share = self._warm(it.lead_cable.place), self.rule["continuous_share"]
            carries = tables.fuse_limit(fuse.family, fuse.rating, warm, share)
            self._hold("output_fuse", it.id, current, carries)
        worst = (-INF, 0.0, 0.0)
        for name, cable in (("output_heat", it.lead_cable), ("output_heat_back", it.lead_back)):
            if cable is None:
                continue
            bears, overload, _ = tables.insulation(cable.insulation)
            warm = self._core_c(cable, current, 1.0, 0.0)
            self._hold(name, it.id, warm, bears)
            found = [INF]
            if converter.converter.rating_a is not None:
                gives = converter.converter.rating_a * self.rule["converter_limit_times"]
                found.append(self._core_c(cable, gives, 1.0, 0.0))
            if fuse is not None:
                found.append(self._protects(cable, fuse, warm)[0])
            worst = max(worst, (min(found) - overload, min(found), overload))
        if worst[1] < INF:
            self._hold("output_fault", it.id, worst[1], worst[2])
        lost = self.rule["allowed_drop_share"] * out_v
        self._hold("output_drop", it.id, out_v - volts, lost)
        if it.min_voltage_v is not None:
            self._hold("output_voltage", it.id, volts, it.min_voltage_v, at_least=True)

    # --- the link ---

    def link(self) -> None:
        """The link between two batteries: its fuses at what flows by what is known, its cable."""
        second = self.v.second_battery
        if second is None:
            return
        flows = self._link_a()
        if flows is None:
            return
        passes = CHARGER_PASSES if second.link == "dcdc" else 1.0
        cable = second.link_cable
        ends = (
            ("link_near_fuse", second.near_fuse, flows, 0),
            ("link_far_fuse", second.far_fuse, flows * passes, -1),
        )
        for name, fuse, current, at in ends:
            if fuse is not None:
                place = "engine_bay" if cable is None else (cable, *cable.further)[at].place
                share = self.rule["continuous_share"]
                carries = tables.fuse_limit(fuse.family, fuse.rating, self._warm(place), share)
                self._hold(name, "link", current, carries)
        if cable is not None:
            self._hold(
                "link_heat",
                "link",
                self._core_c(cable, flows, 1.0, 0.0),
                tables.insulation(cable.insulation)[0],
            )
            if second.near_fuse is not None and second.far_fuse is not None:
                self._link_protected(cable, (second.near_fuse, second.far_fuse))

    def _link_a(self) -> float | None:
        second = self.v.second_battery
        if second.link == "dcdc":
            return None if second.charger_a is None else float(second.charger_a)
        volts, ohm = self._second_own()
        drives = max(0.0, self._charging_v() - volts) / (max(self._link_ohm(), 1e-6) + ohm)
        takes = 0.0
        if second.chemistry != "lifepo4":
            capacity = 60.0 if second.capacity_ah is None else second.capacity_ah
            takes = RATES[0] * capacity * (1 - second.start_soc)
        return float(self.out.second_a["running"] + min(drives, takes))

    def _link_protected(self, cable: Any, fuses: tuple[Any, Any]) -> None:
        core = self._core(cable)
        _, overload, _ = tables.insulation(cable.insulation)
        most = min(fuse.rating for fuse in fuses)
        flows = self._link_a() or 0.0
        if self.v.second_battery.link == "dcdc":
            most = min(most, flows)
        before = heat.for_good(max(most, flows), core)
        found = [self._protects(cable, fuse, before) for fuse in fuses]
        self._hold("link_overload", "link", max(each[0] for each in found), overload)
        self._hold("link_short", "link", max(each[1] for each in found), found[0][2])
        times = []
        for fuse, second in zip(fuses, (False, True), strict=True):
            ohm = self.root_ohm(second=second) + run_ohm(cable, 85.0) + fuse_ohm(fuse)
            ohm += self.rule["body_return_mohm"] / 1000
            times.append(self.fault_v(second=second) / ohm / fuse.rating)
        wanted = self.rule["far_end_multiple"]
        self._hold("link_far_end", "link", min(times), wanted, at_least=True)
