"""A second reckoning of a whole vehicle of which everything is known: what it bears, what it may.

Written apart from the program: its own physics (sweeps up and down the tree until the voltages
stand), its own reading of the tables (`reckoning_tables`), its own cable heat (`reckoning_heat`).
It takes the document's structs and imports nothing of the program. What is not known counts as
nothing here; whoever asks has completed the vehicle.

Source: Kirchhoff's laws; I = I0·(V/V0)^p; IEC 60364-4-43 and 60364-5-54 for a short; the named
rules of the project for the rest.
"""

from types import SimpleNamespace
from typing import Any

import numpy as np

from tests import reckoning_heat as heat
from tests import reckoning_tables as tables
from tests.reckoning_network import Network
from tests.reckoning_objects import Objects
from tests.reckoning_parts import POWERS, Found, Reckoned, Solved
from tests.reckoning_parts import for_hours as _for_hours
from tests.reckoning_parts import fuse_ohm as _fuse_ohm
from tests.reckoning_parts import rated_a as _rated_a
from tests.reckoning_parts import run_ohm as _run_ohm

STATES = ("asleep", "awake", "accessory", "ignition", "running")
KEY_IN = ("accessory", "ignition", "running")
LIVE = {
    "permanent": STATES,
    "unknown": STATES,
    "ignition": ("ignition", "running"),
    "lighting": ("ignition", "running"),
    "accessory": KEY_IN,
    "delayed_off": ("awake", *KEY_IN),
    "unfed": (),
}
SWITCHES = ("hand", "main_beam", "park_brake", "ignition", "timer")
INF = float("inf")


def reckon(vehicle: Any) -> Reckoned:
    """Everything of a vehicle of which everything is known."""
    return _Reckoning(vehicle).whole()


class _Reckoning(Objects):
    def __init__(self, vehicle: Any) -> None:
        self.v = vehicle
        self.rule = tables.rule_defaults() | {each.key: each.value for each in vehicle.rules}
        self.by_id = {each.id: each for each in vehicle.accessories}
        self.slots = {
            slot.id: (slot, self._warm(panel.place, panel.ambient_c))
            for panel in vehicle.panels
            for slot in panel.slots
            if slot.kind in ("fuse", "module")
        }
        self.feeds = {each.id: each for each in vehicle.feeds}
        self.supplied: dict[str, list[Any]] = {}
        for each in vehicle.accessories:
            if each.supplied_by is not None:
                self.supplied.setdefault(each.supplied_by, []).append(each)
        self.out = Reckoned()
        self._dropped: dict[str, dict[str, float]] = {}
        self.earths = {each.id: each for each in vehicle.earths}
        self.emf = {state: self._emf(state) for state in STATES}
        self.asked = {
            tap.id: {state: self._asked(tap, state) for state in STATES} for tap in vehicle.taps
        }

    def _warm(self, place: str, own_c: float | None = None) -> float:
        return float(self.rule[f"ambient_{place}_c"] if own_c is None else own_c)

    def whole(self) -> Reckoned:
        for state in STATES:
            self._state(state)
        self._places()
        for tap in self.v.taps:
            self._tap(tap)
        self.added_feeds()
        self.leads_behind()
        self.link()
        return self.out

    # --- the source ---

    def _emf(self, state: str) -> float:
        battery, volts = self.v.battery, self.v.system_v
        if state == "running":
            return float(self.rule["charging_v"] * volts / 12)
        row = tables.battery_row(battery.chemistry)
        soc = float(row["start_soc"]) if battery.start_soc is None else battery.start_soc
        return tables.rest_v(battery.chemistry, soc) * volts / 12

    def _inside_ohm(self) -> float:
        battery = self.v.battery
        capacity = 60.0 if battery.capacity_ah is None else battery.capacity_ah
        usual = float(tables.battery_row(battery.chemistry)["resistance_mohm_70ah"])
        each = usual * 70 / capacity if battery.resistance_mohm is None else battery.resistance_mohm
        return float(each / battery.parallel * (self.v.system_v // 12) / 1000)

    # --- what works and what it asks ---

    def _closed(self, tap: Any, state: str) -> bool:
        """A switch is closed while the thing is to work; the main beam wants the ignition.

        A timer has opened once the vehicle sleeps; one that nobody set never does.
        """
        if tap.switch not in SWITCHES or (tap.switch == "timer" and tap.timer_min is None):
            return True
        if tap.switch == "timer":
            return state != "asleep"
        beam = tap.switch not in ("main_beam", "ignition") or state in ("ignition", "running")
        return beam and state in self.by_id[tap.accessory].works_in

    def _live(self, tap: Any, state: str) -> bool:
        if not self._closed(tap, state):
            return False
        if tap.slot is not None:
            return state in LIVE[self.slots[tap.slot][0].feed_class]
        return self._wants(self.by_id[tap.accessory], state) if tap.relay else True

    def _wants(self, it: Any, state: str) -> bool:
        sense = [t for t in self.v.taps if t.accessory == it.id and t.lead == "sense"]
        if not sense:
            return state in it.works_in
        slot = sense[-1].slot
        told = self._closed(sense[-1], state)
        told = told and (slot is None or state in LIVE[self.slots[slot][0].feed_class])
        if self._relay(it) is not None:
            return told
        return told or (state in it.works_in and state in ("asleep", "awake"))

    def _relay(self, it: Any) -> Any:
        found = [t for t in self.v.taps if t.accessory == it.id and t.lead == "power" and t.relay]
        return found[-1] if found else None

    def _works(self, tap: Any, state: str) -> bool:
        return self._live(tap, state) and self._wants(self.by_id[tap.accessory], state)

    def _asked(self, tap: Any, state: str) -> float:
        it = self.by_id[tap.accessory]
        if not self._live(tap, state):
            return 0.0
        if tap.lead == "sense":
            relay, coil = self._relay(it), 0.0
            if relay is not None:
                own = relay.relay_coil_a
                coil = self.rule["relay_coil_ma"] / 1000 if own is None else own
            return float(it.sense_a + coil)
        works = self._works(tap, state)
        own = _rated_a(it) if works else it.standby_a
        return float(own + self._behind_w(it, works, state) / it.rated_v)

    def _behind_w(self, converter: Any, works: bool, state: str) -> float:
        """What hangs behind a converter asks of its supply [W]."""
        if not works or converter.converter is None:
            return 0.0
        return self._output_w(converter, state) / converter.converter.efficiency

    def _output_w(self, converter: Any, state: str) -> float:
        volts, total = converter.converter.output_v, 0.0
        for each in self.supplied.get(converter.id, []):
            works = self._wants(each, state)
            drawn = _rated_a(each) * (volts / each.rated_v) ** POWERS[each.load_kind]
            own = (drawn if works else each.standby_a) * volts
            asked = (own + self._behind_w(each, works, state)) / volts
            total += volts * self.lead_flow(each, volts, asked, works=works)[0]
        return float(total)

    def _power_of(self, tap: Any) -> float:
        it = self.by_id[tap.accessory]
        if tap.lead != "power":
            return 0.0
        return -1.0 if it.id in self.supplied else POWERS[it.load_kind]

    # --- one state ---

    def _state(self, state: str) -> None:
        if state == "running":
            both = self.with_the_engine_running()
        else:
            first = self.solved(Network(self.emf[state], self._inside_ohm()), state, second=False)
            both = first, self.solved(self.second_network(state), state, second=True)
        figures = (self.out.taps_a, self.out.taps_v, self._dropped, self.out.feeds_a)
        taps_a, taps_v, dropped, feeds_a = (each.setdefault(state, {}) for each in figures)
        for found, second in zip(both, (False, True), strict=True):
            if found is None:
                continue
            net, volts, into = found
            for tap in (t for t in self.v.taps if t.id in net.parent):
                taps_a[tap.id], taps_v[tap.id] = into[tap.id], volts[tap.id]
                dropped[tap.id] = volts[net.parent[tap.id]] - volts[tap.id]
            feeds_a |= {feed: into[feed] for feed in self.feeds if feed in net.parent}
            (self.out.second_v if second else self.out.battery_v)[state] = volts["battery"]
            (self.out.second_a if second else self.out.battery_a)[state] = into["battery"]

    def solved(self, net: Network | None, state: str, *, second: bool) -> Solved | None:
        """One of the batteries with all that hangs on it: voltages and currents."""
        if net is None:
            return None
        if not second:
            net.draws["battery"].append((self.charger_a(state), 12.0, 0.0))
        self._hang(net, state, second=second)
        return net, *net.solve()

    def _hang(self, net: Network, state: str, *, second: bool) -> None:
        """What hangs on one of the batteries."""
        for feed in self._downwards():
            if self.on_second(feed.id) != second:
                continue
            own = getattr(feed.other_load, state) or 0.0
            net.add(feed.id, feed.parent or "battery", self._feed_ohm(feed))
            net.draws[feed.id].append((own, 12.0, 0.0))
        contact = self.rule["contact_resistance_mohm"] / 1000
        for slot, _ in self.slots.values():
            above = slot.feed if slot.feed in self.feeds else "battery"
            if self.on_second(above) != second:
                continue
            net.add(f"{slot.id} live", above, contact)
            net.add(f"{slot.id} load", f"{slot.id} live", contact + _fuse_ohm(slot.fuse))
            net.draws[f"{slot.id} load"].append((self._own_a(slot, state), 12.0, 0.0))
        for tap in self.v.taps:
            above = tap.feed or "battery"
            if tap.slot is not None:
                above = f"{tap.slot} {'load' if _through_host(tap) else 'live'}"
            if self.tap_on_second(tap) != second:
                continue
            net.add(tap.id, above, self._way_ohm(tap))
            if self._live(tap, state):
                at_v = self.by_id[tap.accessory].rated_v
                net.draws[tap.id].append((self.asked[tap.id][state], at_v, self._power_of(tap)))

    def _downwards(self) -> list[Any]:
        found: list[Any] = []
        while len(found) < len(self.feeds):
            known = {None, *(each.id for each in found)}
            found += [f for f in self.feeds.values() if f.parent in known and f.id not in known]
        return found

    def _own_a(self, slot: Any, state: str) -> float:
        if state not in LIVE[slot.feed_class] or slot.kind == "module":
            return 0.0
        return float(getattr(slot.own_load, state) or 0.0)

    def _feed_ohm(self, feed: Any) -> float:
        cable = feed.cable
        copper = 0.0 if cable is None else _run_ohm(cable, self._warm(cable.place))
        return float(feed.resistance_mohm / 1000 + copper + _fuse_ohm(feed.fuse))

    def _way_ohm(self, tap: Any) -> float:
        """Joint, fuse, cable out, and the way back [Ω], the cables warm from what is asked [A]."""
        asked = max(self.asked[tap.id].values())
        share, on_s = self._turns(tap)
        share = share if on_s > 0 else 1.0
        ways = [
            _run_ohm(cable, self._core_c(cable, asked, share, on_s))
            for cable in (tap.cable_out, tap.cable_back)
            if cable is not None
        ]
        return self._fixed_ohm(tap) + sum(ways)

    def _fixed_ohm(self, tap: Any) -> float:
        contact, body = self.rule["contact_resistance_mohm"], self.earth_mohm(tap)
        joint = tables.joint_mohm(tap.joint, contact)
        back = body + (0.0 if tap.cable_back is None else contact)
        return float((joint + back) / 1000 + _fuse_ohm(tap.fuse))

    def _core(self, cable: Any) -> heat.Core:
        r20, od = tables.conductor(cable.section_mm2)
        # the hottest stretch of its way decides
        warm = max(self._warm(each.place) for each in (cable, *cable.further))
        return heat.Core(r20, cable.section_mm2, od, warm)

    def _core_c(self, cable: Any, current_a: float, share: float, on_s: float) -> float:
        core = self._core(cable)
        if cable.bundle > 1:
            return heat.in_bundle(current_a * (1.0 if on_s > 0 else share), cable.bundle, core)
        return heat.in_turns(current_a, share, on_s, core)

    def _turns(self, tap: Any) -> tuple[float, float]:
        """Root of the mean square over the peak [-], and how long a turn lasts [s]."""
        it = self.by_id[tap.accessory]
        whole = tap.lead != "power" or it.id in self.supplied
        turns = it.duty < 1.0 and it.duty_period_s > 0.0
        if whole or (it.short_s is None and not turns):
            return 1.0, 0.0
        slow = it.duty_period_s >= 10.0
        one = it.duty * it.duty_period_s if slow else 0.0
        if it.short_s is None:
            return it.duty**0.5, one
        rests = it.short_s / (it.short_s + 60 * self.rule["short_rest_min"])
        return (it.duty if it.duty < 1.0 else rests) ** 0.5, max(it.short_s, one)

    # --- places ---

    def _hold(self, hop: str, at: str, load: float, limit: float, at_least: bool = False) -> None:
        self.out.held[hop, at] = Found(float(load), float(limit), at_least)

    def _places(self) -> None:
        share, holder = self.rule["continuous_share"], self.rule["holder_share"]
        for slot, warm in self.slots.values():
            taps = [tap for tap in self.v.taps if tap.slot == slot.id]
            contact, host = [], []
            for state in STATES:
                own, drawn = self._own_a(slot, state), self.out.taps_a[state]
                contact.append(own + sum(drawn[t.id] for t in taps))
                host.append(own + sum(drawn[t.id] for t in taps if _through_host(t)))
            limit = slot.contact_limit_a
            limit = tables.contact_limit(slot.family, holder) if limit is None else limit
            self._hold("live_contact", slot.id, max(contact), limit)
            if slot.fuse is not None:
                carries = tables.fuse_limit(slot.fuse.family, slot.fuse.rating, warm, share)
                self._hold("host_fuse", slot.id, max(host), carries)
        for feed in self.feeds.values():
            limit = INF if feed.limit_a is None else feed.limit_a
            if feed.fuse is not None:
                warm = self._warm(feed.place)
                by_fuse = tables.fuse_limit(feed.fuse.family, feed.fuse.rating, warm, share)
                limit = min(limit, by_fuse)
            if limit < INF:
                load = max(self.out.feeds_a[state][feed.id] for state in STATES)
                self._hold("feed", feed.id, load, limit)

    # --- one tap ---

    def _tap(self, tap: Any) -> None:
        drawn = {state: self.out.taps_a[state][tap.id] for state in STATES}
        peak = max(drawn.values())
        self._currents(tap, peak, drawn["asleep"])
        self._voltages(tap)
        if tap.lead == "power" and tap.fuse is not None:
            self._start(tap)
        self._cables(tap, peak)
        if tap.socket is not None:
            self._socket(tap, peak)

    def _socket(self, tap: Any, peak: float) -> None:
        """The contact that a lead is in, and the trailer's core behind it."""
        socket = next(each for each in self.v.sockets if each.id == tap.socket)
        tow = socket.kind.startswith("tow")
        rule = self.rule["socket_tow_a" if tow else f"socket_{socket.kind}_a"]
        self._hold("socket", tap.id, peak, rule if socket.limit_a is None else socket.limit_a)
        own = [pin.section_mm2 for pin in socket.pins if pin.number == tap.pin]
        area = (own and own[0]) or tables.trailer_core(socket.kind, tap.pin)
        if not tow or area is None:
            return
        core = self._core(
            SimpleNamespace(section_mm2=area, insulation="pvc", place="trailer", further=())
        )
        bears, overload_limit, _ = tables.insulation("pvc")
        warm = heat.for_good(peak, core)
        self._hold("trailer_core", tap.id, warm, bears)
        guard = self._guard(tap)
        if guard is None:
            return
        _, overloads = tables.protection(guard.family, guard.rating, self.rule["overload_multiple"])
        hottest = [
            heat.after(seconds, times * guard.rating, core, warm) if warm < INF else INF
            for times, seconds in overloads
        ]
        self._hold("trailer_overload", tap.id, max(hottest), overload_limit)

    def _currents(self, tap: Any, peak: float, asleep: float) -> None:
        it, guard = self.by_id[tap.accessory], self._guard(tap)
        if tap.kind in ("two_fuse", "take_off_lead"):
            rule = self.rule["tap_kit_ceiling_a"]
            self._hold("tap", tap.id, peak, rule if tap.ceiling_a is None else tap.ceiling_a)
        if tap.fuse is not None:
            warm = self._warm("engine_bay") if tap.slot is None else self.slots[tap.slot][1]
            family, rating = tap.fuse.family, tap.fuse.rating
            limit = tables.fuse_limit(family, rating, warm, self.rule["continuous_share"])
            self._hold("accessory_fuse", tap.id, self._fuse_load(tap, peak), limit)
        lasts = tap.lead == "power" and self._works(tap, "asleep") and _for_hours(it)
        if guard is not None and lasts:
            share = self.rule["cable_share_of_fuse"]
            self._hold("lasting", tap.id, asleep, share * guard.rating)
        if tap.switch in SWITCHES:
            share = self.rule["relay_24v_share"] if self.v.system_v == 24 else 1.0
            own, rule = tap.switch_limit_a, self.rule["switch_contact_a"] * share
            self._hold("switch", tap.id, peak, rule if own is None else own)
        if tap.lead == "sense":
            self._hold("sense", tap.id, peak, self.rule["sense_budget_ma"] / 1000)
        elif tap.relay:
            share = self.rule["relay_24v_share"] if self.v.system_v == 24 else 1.0
            own = tap.relay_limit_a
            rule = self.rule["relay_contact_a"] * share
            self._hold("relay", tap.id, peak, rule if own is None else own)
        if tap.lead == "power" and it.id in self.supplied and it.converter is not None:
            volts, most = it.converter.output_v, it.converter.rating_a
            out = [self._output_w(it, s) for s in STATES if self._works(tap, s)]
            if most is not None:
                self._hold("converter", tap.id, max(out, default=0.0) / volts, most)

    def _guard(self, tap: Any) -> Any:
        """The fuse that protects the cable."""
        if tap.fuse is not None:
            return tap.fuse
        return self.slots[tap.slot][0].fuse if tap.slot and _through_host(tap) else None

    def _fuse_load(self, tap: Any, peak: float) -> float:
        it = self.by_id[tap.accessory]
        if tap.lead == "power" and it.inrush_s > 1.0 and it.inrush_multiple > 1.0:
            return float(peak * it.inrush_multiple)
        share, on_s = self._turns(tap)
        family, rating = tap.fuse.family, tap.fuse.rating
        if 0 < on_s <= 120 and on_s <= tables.soonest(family, rating, peak / rating):
            return peak * share
        return peak

    def _start(self, tap: Any) -> None:
        it = self.by_id[tap.accessory]
        if not 0 < it.inrush_s <= 1.0:
            return
        peak = max(self.asked[tap.id].values()) * it.inrush_multiple
        melts = tables.melting(tap.fuse.family, tap.fuse.rating, peak)
        if melts is not None:
            self._hold("inrush", tap.id, peak**2 * it.inrush_s, 0.22 * melts)

    def _voltages(self, tap: Any) -> None:
        if tap.lead != "power":
            return
        it = self.by_id[tap.accessory]
        if tap.cable_out is not None:
            live = [state for state in STATES if self._live(tap, state)]
            drop = max((self._dropped[state][tap.id] for state in live), default=0.0)
            self._hold("drop", tap.id, drop, self.rule["allowed_drop_share"] * self.v.system_v)
        at_work = [self.out.taps_v[s][tap.id] for s in STATES if self._works(tap, s)]
        if at_work:
            rule = self.rule["least_voltage_v"] * self.v.system_v / 12
            least = rule if it.min_voltage_v is None else it.min_voltage_v
            if tap.cable_out is not None or min(at_work) < least:
                self._hold("voltage", tap.id, min(at_work), least, at_least=True)

    def _cables(self, tap: Any, peak: float) -> None:
        share, on_s = self._turns(tap)
        runs = {"out": tap.cable_out, "back": tap.cable_back}
        for side, cable in runs.items():
            if cable is None:
                continue
            section, floor = cable.section_mm2, self.rule["mechanical_floor_mm2"]
            name = "section" if side == "out" else "section_back"
            self._hold(name, tap.id, section, floor, at_least=True)
            bears = tables.insulation(cable.insulation)[0]
            self._hold(f"heat_{side}", tap.id, self._core_c(cable, peak, share, on_s), bears)
        guard = self._guard(tap)
        if guard is None or tap.cable_out is None:
            return
        back = tap.cable_back
        thinner = back is not None and back.section_mm2 < tap.cable_out.section_mm2
        self._protected(tap, back if thinner else tap.cable_out, guard, peak)

    def _protected(self, tap: Any, cable: Any, guard: Any, peak: float) -> None:
        core, (share, on_s) = self._core(cable), self._turns(tap)
        limit, overload_limit, end = tables.insulation(cable.insulation)
        through, overloads = tables.protection(
            guard.family, guard.rating, self.rule["overload_multiple"]
        )
        before = heat.in_turns(peak, share, on_s, core)
        hottest = [
            heat.after(seconds, times * guard.rating, core, before) if before < INF else INF
            for times, seconds in overloads
        ]
        self._hold("overload", tap.id, max(hottest), overload_limit)
        if through > 0:
            k = 226.0 * np.log((234.5 + end) / (234.5 + limit)) ** 0.5
            self._hold("short", tap.id, through, (k * cable.section_mm2) ** 2)
        volts = self.fault_v(second=self.tap_on_second(tap))
        ohm = self._fixed_ohm(tap) + self._above_ohm(tap)
        ohm += sum(_run_ohm(c, 85.0) for c in (tap.cable_out, tap.cable_back) if c is not None)
        times = volts / ohm / guard.rating
        self._hold("far_end", tap.id, times, self.rule["far_end_multiple"], at_least=True)

    def _above_ohm(self, tap: Any) -> float:
        """Everything between the battery's inside and the tap's joint [Ω]."""
        total, at = self.root_ohm(second=self.tap_on_second(tap)), tap.feed
        if tap.slot is not None:
            slot = self.slots[tap.slot][0]
            contact = self.rule["contact_resistance_mohm"] / 1000
            total += contact
            if _through_host(tap):
                total += contact + _fuse_ohm(slot.fuse)
            at = slot.feed if slot.feed in self.feeds else None
        while at is not None:
            total += self._feed_ohm(self.feeds[at])
            at = self.feeds[at].parent
        return float(total)


def _through_host(tap: Any) -> bool:
    """Whether the accessory's current passes the slot's own fuse."""
    turned = tap.kind != "own_feed" and tap.way_round == "load_side"
    return bool(tap.kind in ("splice", "terminal", "plug") or turned)
