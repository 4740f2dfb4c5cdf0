"""Random vehicles of which most is not known, and what they may turn out to be.

`vehicle(rng)` makes one that can be; `completed(rng, vehicle)` one of which everything is known and
that could be the same: every own load between what is known of it and what its fuse, its feeds and
the whole vehicle let it be, every resistance, start and spread within the named rules. Its bounds
are reckoned from the tables by `reckoning_tables`, nothing of the program decides them.
"""

from typing import Any

from msgspec.structs import replace
from numpy.random import Generator

from fusemap.vehicle import (
    BATTERY,
    Accessory,
    Battery,
    Cable,
    Converter,
    Feed,
    Fuse,
    Panel,
    Parking,
    RuleChoice,
    Slot,
    StateLoads,
    Tap,
    Vehicle,
)
from fusemap.vehicle.validity import faults
from tests import reckoning_tables as tables
from tests.reckoning import LIVE, STATES

FAMILIES = ("mini", "mini", "mini", "regular", "regular", "micro2", "low_profile_mini", "glass",
            "ceramic", "cartridge")  # fmt: skip
CLASSES = ("permanent", "permanent", "ignition", "ignition", "accessory", "delayed_off",
           "lighting", "unknown", "unfed")  # fmt: skip
SWITCHED = ("ignition", "accessory", "delayed_off", "lighting")
LOADS = ("constant_power", "constant_power", "constant_current", "resistive", "filament", "motor")
INF = float("inf")


def vehicle(rng: Generator, known: float | None = None) -> Vehicle:
    """One that can be; `known` is the share of its figures somebody knows [-].

    Every other one is planned with care, so that much of it holds; the rest is anything at all.
    """
    while True:
        share = rng.uniform(0.1, 0.9) if known is None else known
        maker = _Careful if rng.random() < 0.5 else _Maker
        found = maker(rng, share).vehicle()
        if not any(True for _ in faults(found)):
            return found


class _Maker:
    def __init__(self, rng: Generator, known: float) -> None:
        self.rng, self.known = rng, known

    def one(self, *choices: Any) -> Any:
        return choices[int(self.rng.integers(len(choices)))]

    def knows(self) -> bool:
        return bool(self.rng.random() < self.known)

    def often(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def around(self, low: float, high: float) -> float:
        return round(float(self.rng.uniform(low, high)), 3)

    def fuse(self, family: str, most: float = INF) -> Fuse | None:
        ratings = [r for r in tables.ratings(family) if r <= most]
        if not ratings:
            return None
        measured = self.around(1.0, 30.0) if self.often(0.1) else None
        return Fuse(family=family, rating=self.one(*ratings), resistance_mohm=measured)

    def loads(self, most: float) -> StateLoads:
        """What was measured: in all states, some or none."""
        asleep = self.around(0.0, 0.02)
        level = self.around(0.0, most)
        values = [asleep, *(round(level * self.rng.uniform(0.3, 1.0), 3) for _ in STATES[1:])]
        whole, all_or_some = self.knows(), self.often(0.5)
        given = [whole if all_or_some else self.knows() for _ in STATES]
        return StateLoads(
            **{s: v for s, v, there in zip(STATES, values, given, strict=True) if there}
        )

    def vehicle(self) -> Vehicle:
        feeds = self.feeds()
        panels = tuple(self.panel(n, feeds) for n in range(self.one(1, 1, 2)))
        slots = [s for p in panels for s in p.slots]
        shelf = self.shelf()
        rules = [
            RuleChoice(key="far_end_multiple", value=2.5),
            RuleChoice(key="own_load_share", value=0.6),
            RuleChoice(key="least_voltage_v", value=10.8),
            RuleChoice(key="feed_unknown_mohm", value=4.0),
        ]
        return Vehicle(
            name="Bench",
            system_v=self.one(12, 12, 24),
            battery=self.battery(),
            parking=Parking(
                rest_current_a=self.around(0.01, 0.1) if self.knows() else None,
                awake_current_a=self.around(0.5, 6.0) if self.knows() else None,
            ),
            panels=panels,
            feeds=feeds,
            accessories=shelf,
            taps=self.taps(shelf, slots, feeds),
            rules=tuple(rule for rule in rules if self.often(0.25)),
        )

    def battery(self) -> Battery:
        return Battery(
            chemistry=self.one("flooded", "agm", "efb"),
            capacity_ah=self.around(45.0, 110.0) if self.knows() else None,
            start_soc=self.around(0.6, 1.0) if self.knows() else None,
            resistance_mohm=self.around(3.0, 12.0) if self.often(0.2) else None,
        )

    def feeds(self) -> tuple[Feed, ...]:
        made: list[Feed] = []
        for number in range(self.one(0, 1, 2, 3, 4)):
            fuse = self.fuse(self.one("strip_30", "maxi", "regular", "cartridge"))
            made.append(
                Feed(
                    id=f"feed-{number}",
                    name=f"Feed {number}",
                    parent=self.one(None, *(each.id for each in made)),
                    limit_a=self.around(10.0, 80.0) if self.often(0.6) else None,
                    fuse=fuse if self.often(0.6) else None,
                    resistance_mohm=self.around(0.5, 12.0) if self.knows() else 0.0,
                    place=self.one("engine_bay", "cabin"),
                    other_load=self.loads(5.0),
                    carried=self.loads(20.0) if self.often(0.2) else StateLoads(),
                )
            )
        return tuple(made)

    def panel(self, number: int, feeds: tuple[Feed, ...]) -> Panel:
        count = int(self.rng.integers(2, 7))
        slots = tuple(self.slot(f"slot-{number}-{n}", n, feeds) for n in range(count))
        return Panel(
            id=f"panel-{number}",
            name=f"P{number}",
            rows=1,
            columns=count,
            place=self.one("cabin", "cabin", "engine_bay", "boot"),
            ambient_c=self.around(-10.0, 70.0) if self.often(0.2) else None,
            slots=slots,
        )

    def slot(self, slot_id: str, column: int, feeds: tuple[Feed, ...]) -> Slot:
        family, feed_class = self.one(*FAMILIES), self.one(*CLASSES)
        fuse = self.fuse(family) if self.often(0.85) else None
        above = [None, *(feed.id for feed in feeds), *(feed.id for feed in feeds)]
        if feed_class not in SWITCHED:
            above.append(BATTERY)
        own = self.loads(0.5 * (5.0 if fuse is None else fuse.rating))
        most = StateLoads()
        if self.often(0.2):
            bounds = {
                state: round(value + self.around(0.0, 0.5), 3)
                for state in STATES
                if (value := getattr(own, state)) is not None and self.often(0.7)
            }
            most = StateLoads(**bounds)
        return Slot(
            id=slot_id,
            row=0,
            column=column,
            family=family,
            fuse=fuse,
            circuit=self.one("Radio", "Seat heating", ""),
            live_side=self.one("left", "left", "unknown"),
            feed_class=feed_class,
            delayed_off_min=20.0 if feed_class == "delayed_off" else 0.0,
            feed=self.one(*above),
            own_load=own,
            own_most=most,
            contact_limit_a=self.around(6.0, 25.0) if self.often(0.3) else None,
        )

    def shelf(self) -> tuple[Accessory, ...]:
        made: list[Accessory] = []
        for number in range(self.one(1, 2, 3, 4)):
            above = next((each.id for each in made if each.converter is not None), None)
            behind = above if self.often(0.6) else None
            made.append(self.accessory(number, behind))
        return tuple(made)

    def accessory(self, number: int, behind: str | None) -> Accessory:
        amperes = self.around(0.1, 9.0) if self.often(0.85) else self.around(9.0, 30.0)
        in_watts = self.often(0.5)
        rated = self.one(12.0, 13.8, 24.0)
        states = [state for state in STATES if self.often(0.6)]
        converter = None
        if behind is None and self.often(0.25):
            converter = Converter(
                output_v=self.one(12.0, 13.8),
                rating_a=self.around(3.0, 15.0) if self.knows() else None,
                efficiency=0.85,
            )
            amperes = 0.1
        start = self.knows()
        return Accessory(
            id=f"accessory-{number}",
            name=f"A{number}",
            watts=round(amperes * rated, 3) if in_watts else None,
            amperes=None if in_watts else amperes,
            rated_v=rated,
            load_kind=self.one(*LOADS),
            leads=self.one(("power",), ("power",), ("power", "sense")),
            works_in=tuple(states),
            standby_a=self.one(0.0, 0.01, 0.1),
            sense_a=self.one(0.005, 0.1, 0.25),
            duty=self.one(1.0, 1.0, 0.3),
            duty_period_s=self.one(0.0, 1.0, 60.0, 1800.0),
            min_voltage_v=self.around(0.7, 0.95) * rated if self.knows() else None,
            inrush_multiple=self.around(1.0, 6.0) if start else 1.0,
            inrush_s=self.one(0.0, 0.01, 0.2, 3.0) if start else 0.0,
            converter=converter,
            supplied_by=behind,
            current_spread=self.one(0.1, 0.3) if not self.knows() else None,
        )

    def taps(
        self, shelf: tuple[Accessory, ...], slots: list[Slot], feeds: tuple[Feed, ...]
    ) -> tuple[Tap, ...]:
        made: list[Tap] = []
        for it in shelf:
            for lead in it.leads:
                if (lead == "power" and it.supplied_by is not None) or self.often(0.15):
                    continue
                made.append(self.tap(len(made), it, lead, slots, feeds))
        return tuple(made)

    def tap(
        self, number: int, it: Accessory, lead: Any, slots: list[Slot], feeds: tuple[Feed, ...]
    ) -> Tap:
        slot = self.one(*slots) if self.often(0.8) else None
        feed = self.one(None, *(each.id for each in feeds)) if slot is None else None
        fuse = self.fuse(self.one("mini", "mini", "regular", "glass", "micro2", "cartridge"), 30.0)
        return Tap(
            id=f"tap-{number}",
            accessory=it.id,
            lead=lead,
            slot=None if slot is None else slot.id,
            feed=feed,
            kind="own_feed" if slot is None else self.one("two_fuse", "take_off_lead", "splice"),
            way_round=self.one("live_side", "live_side", "load_side"),
            fuse=fuse if self.often(0.85) else None,
            cable_out=self.cable() if self.often(0.85) else None,
            cable_back=self.cable() if self.often(0.3) else None,
            joint=self.one("", "butt_crimp", "lever_connector"),
            relay=slot is None and self.often(0.5),
            relay_limit_a=self.around(10.0, 40.0) if self.often(0.3) else None,
            relay_coil_a=self.around(0.1, 0.25) if self.often(0.3) else None,
        )

    def cable(self) -> Cable:
        return Cable(
            section_mm2=self.one(0.35, 0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0),
            length_m=self.around(0.3, 6.0),
            insulation=self.one("pvc", "pvc", "xlpe", "pvc_70"),
            place=self.one("cabin", "cabin", "engine_bay", "under_carpet"),
            bundle=self.one(1, 1, 1, 3),
        )


class _Careful(_Maker):
    """Light loads, large enough fuses and cables, everything named and traced."""

    system_v = 12

    def vehicle(self) -> Vehicle:
        self.system_v = self.one(12, 12, 24)
        return replace(super().vehicle(), system_v=self.system_v, rules=())

    def feeds(self) -> tuple[Feed, ...]:
        return tuple(
            replace(feed, fuse=feed.fuse or self.fuse("strip_30"), limit_a=None)
            for feed in super().feeds()
        )

    def slot(self, slot_id: str, column: int, feeds: tuple[Feed, ...]) -> Slot:
        made = super().slot(slot_id, column, feeds)
        feed_class = self.one("permanent", "ignition", "accessory")
        above = [feed.id for feed in feeds] or [None if feed_class in SWITCHED else BATTERY]
        family = self.one("mini", "regular", "regular")
        return replace(
            made,
            family=family,
            fuse=Fuse(family=family, rating=self.one(7.5, 10.0, 15.0, 20.0)),
            circuit="Rear socket",
            harmless="a socket in the rear, traced by hand",
            live_side="left",
            feed_class=feed_class,
            delayed_off_min=0.0,
            feed=self.one(*above),
        )

    def accessory(self, number: int, behind: str | None) -> Accessory:
        made = super().accessory(number, None)
        rated = self.system_v * 1.15
        return replace(
            made,
            amperes=self.around(0.1, 4.0),
            watts=None,
            rated_v=rated,
            leads=("power",),
            works_in=("ignition", "running"),
            standby_a=self.one(0.0, 0.005),
            duty=1.0,
            duty_period_s=0.0,
            min_voltage_v=self.system_v * self.around(0.8, 1.0) if self.knows() else None,
            inrush_s=self.one(0.0, 0.01),
            converter=None,
        )

    def tap(
        self, number: int, it: Accessory, lead: Any, slots: list[Slot], feeds: tuple[Feed, ...]
    ) -> Tap:
        made = super().tap(number, it, lead, slots, feeds)
        rating = next(r for r in (2.0, 3.0, 5.0, 7.5) if r * 0.55 >= (it.amperes or 0.0))
        cable = Cable(section_mm2=self.one(1.0, 1.5, 2.5), length_m=self.around(0.5, 3.0))
        return replace(
            made,
            kind="own_feed" if made.slot is None else "two_fuse",
            way_round="live_side",
            fuse=Fuse(family="mini", rating=rating),
            cable_out=cable,
            cable_back=None,
            joint="butt_crimp",
            earth_point="bolt",
            relay=False,
            justification="a socket in the rear",
        )


# --- what it may turn out to be -------------------------------------------------------------------


def at_what_is_known(given: Vehicle) -> Vehicle:
    """The vehicle with nothing where nothing is known, and no spread."""
    return _Completer(None, given).vehicle()


def completed(rng: Generator, given: Vehicle, further: frozenset[str] = frozenset()) -> Vehicle:
    """One vehicle that could be this one; `further` names what is open besides currents."""
    return _Completer(rng, given, further).vehicle()


class _Completer:
    """Draws what is not known; without a generator it stays at its lower end."""

    def __init__(
        self, rng: Generator | None, given: Vehicle, further: frozenset[str] = frozenset()
    ) -> None:
        self.rng, self.v, self.further = rng, given, further
        self.rule = tables.rule_defaults() | {each.key: each.value for each in given.rules}
        self.mode = (
            "known"
            if rng is None
            else str(rng.choice(["most", "corners", "corners", "any", "any"]))
        )

    def up_to(self, most: float) -> float:
        """Something between 0 and the most."""
        if self.rng is None or most <= 0:
            return 0.0
        if self.mode == "most":
            return most
        if self.mode == "corners" or self.rng.random() < 0.3:
            return most * float(self.rng.integers(2))
        return most * float(self.rng.random())

    def vehicle(self) -> Vehicle:
        if self.rng is not None:
            self.v = self._ways(self.v)
        own, other = self._own_loads()
        return replace(
            self.v,
            panels=tuple(
                replace(
                    panel,
                    slots=tuple(
                        replace(
                            self._slot(slot),
                            own_load=own[slot.id],
                            own_most=StateLoads(),
                        )
                        for slot in panel.slots
                    ),
                )
                for panel in self.v.panels
            ),
            feeds=tuple(self._feed(feed, other[feed.id]) for feed in self.v.feeds),
            accessories=tuple(self._accessory(each) for each in self.v.accessories),
            taps=tuple(replace(t, fuse=self._fuse(t.fuse)) for t in self.v.taps),
        )

    # --- single figures ---

    def _fuse(self, fuse: Fuse | None) -> Fuse | None:
        if fuse is None or fuse.resistance_mohm is not None or self.rng is None:
            return fuse
        if tables.resistance_published(fuse.family, fuse.rating):
            return fuse
        most = tables.most_ohm_of_a_like_fuse(fuse.rating) * 1000
        return replace(fuse, resistance_mohm=self.up_to(most))

    def _slot(self, slot: Slot) -> Slot:
        return replace(slot, fuse=self._fuse(slot.fuse))

    def _feed(self, feed: Feed, other: StateLoads) -> Feed:
        ohm = feed.resistance_mohm
        return replace(
            feed,
            fuse=self._fuse(feed.fuse),
            resistance_mohm=ohm if ohm > 0 else self.up_to(self.rule["feed_unknown_mohm"]),
            other_load=other,
            carried=StateLoads(),
        )

    def _accessory(self, it: Accessory) -> Accessory:
        if self.rng is None:
            return replace(it, current_spread=None)
        by = 1.0
        if it.current_spread:
            by += it.current_spread * (2 * self.up_to(1.0) - 1)
        changed: dict[str, Any] = {
            name: value * by
            for name in ("watts", "amperes", "standby_a")
            if (value := getattr(it, name)) is not None
        }
        kind = "input" if it.converter is not None else it.load_kind
        if it.inrush_s <= 0 and kind in ("motor", "filament", "input"):
            more = self.rule[f"start_{kind}_times"] - 1
            changed["inrush_multiple"] = 1 + self.up_to(more)
            changed["inrush_s"] = max(1e-6, self.up_to(self.rule[f"start_{kind}_s"]))
        return replace(it, current_spread=None, **changed)

    # --- what hangs where ---

    def _ways(self, given: Vehicle) -> Vehicle:
        """What is open besides currents: classes, live sides, what supplies a slot."""
        assert self.rng is not None
        if "class" in self.further:
            given = self._slots(given, self._classed)
        if "live_side" in self.further:
            sides = {s.id: s.live_side for p in given.panels for s in p.slots}
            given = replace(given, taps=tuple(self._turned(t, sides) for t in given.taps))
        if "unseen" in self.further:
            given = self._supplied(given)
        if "cable" in self.further:
            cable = Cable(section_mm2=1.5, length_m=round(self.up_to(6.0), 3))
            given = replace(
                given,
                taps=tuple(
                    t if t.cable_out is not None else replace(t, cable_out=cable)
                    for t in given.taps
                ),
            )
        return given

    def _slots(self, given: Vehicle, change: Any) -> Vehicle:
        return replace(
            given,
            panels=tuple(replace(p, slots=tuple(change(s) for s in p.slots)) for p in given.panels),
        )

    def _classed(self, slot: Slot) -> Slot:
        assert self.rng is not None
        if slot.feed_class != "unknown":
            return slot
        classes = [c for c in LIVE if slot.feed != BATTERY or c not in SWITCHED]
        return replace(slot, feed_class=str(self.rng.choice(classes)))  # type: ignore[arg-type]

    def _turned(self, tap: Tap, sides: dict[str, str]) -> Tap:
        assert self.rng is not None
        if tap.slot is None or sides[tap.slot] != "unknown":
            return tap
        ways = ["live_side", "load_side"]
        return replace(tap, way_round=str(self.rng.choice(ways)))  # type: ignore[arg-type]

    def _supplied(self, given: Vehicle) -> Vehicle:
        """What nobody said hangs on an unseen feed of its class, or on one there is."""
        assert self.rng is not None
        ohm = self.up_to(self.rule["feed_unknown_mohm"])
        open_ = {s.feed_class for p in given.panels for s in p.slots if s.feed is None}
        new = tuple(
            Feed(
                id=f"unseen-{each}",
                name=each,
                resistance_mohm=ohm,
                other_load=StateLoads(**dict.fromkeys(STATES, 0.0)),
            )  # fmt: skip
            for each in sorted(open_)
        )

        def hung(slot: Slot) -> Slot:
            return replace(slot, feed=f"unseen-{slot.feed_class}") if slot.feed is None else slot

        return replace(self._slots(given, hung), feeds=(*given.feeds, *new))

    # --- the vehicle's own loads ---

    def _own_loads(self) -> tuple[dict[str, StateLoads], dict[str, StateLoads]]:
        """What every slot draws by itself, and what else every feed carries."""
        found = [self._in_state(state) for state in STATES]
        slots = {
            key: StateLoads(**{s: own[key] for s, (own, _) in zip(STATES, found, strict=True)})
            for key in found[0][0]
        }
        feeds = {
            key: StateLoads(**{s: o[key] for s, (_, o) in zip(STATES, found, strict=True)})
            for key in found[0][1]
        }
        return slots, feeds

    def _in_state(self, state: str) -> tuple[dict[str, float], dict[str, float]]:
        bound = self._whole(state)
        sure: dict[str, float] = {}
        more: dict[str, float] = {}
        under: dict[str, list[str]] = {feed.id: [] for feed in self.v.feeds}
        for panel in self.v.panels:
            warm = self._warm(panel.place, panel.ambient_c)
            for slot in panel.slots:
                if slot.kind != "fuse":
                    continue
                sure[slot.id], more[slot.id] = self._slot_span(slot, state, warm)
                more[slot.id] = min(more[slot.id], max(0.0, bound - sure[slot.id]))
                if slot.feed in under:
                    under[slot.feed].append(slot.id)
        for feed in self.v.feeds:
            said = getattr(feed.other_load, state)
            limit = self._limit(feed)
            sure[f"+{feed.id}"] = 0.0 if said is None else said
            open_ = said is None and limit < INF
            more[f"+{feed.id}"] = self.up_to(min(limit, bound)) if open_ else 0.0
        parts = self._held(state, sure, more, under, bound)
        self._within(parts, sure, more, bound)
        own = {key: sure[key] + more[key] for key in sure if not key.startswith("+")}
        return own, {f.id: sure[f"+{f.id}"] + more[f"+{f.id}"] for f in self.v.feeds}

    def _held(
        self,
        state: str,
        sure: dict[str, float],
        more: dict[str, float],
        under: dict[str, list[str]],
        bound: float,
    ) -> list[str]:
        """Keep every feed within what it carries, from the lowest up; all keys there are."""
        for feed in reversed(self._downwards()):
            keys = [*self._below(feed.id, under)]
            measured = getattr(feed.carried, state)
            if measured is None:
                self._within(keys, sure, more, min(self._limit(feed), bound))
                continue
            self._within(keys, sure, more, measured)
            rest = measured - sum(sure[key] + more[key] for key in keys)
            for key in keys:  # as it was measured it stays
                sure[key], more[key] = sure[key] + more[key], 0.0
            sure[f"+{feed.id}"] += max(0.0, rest)
        return list(sure)

    def _below(self, feed: str, under: dict[str, list[str]]) -> list[str]:
        found = [f"+{feed}", *under[feed]]
        for each in self.v.feeds:
            if each.parent == feed:
                found += self._below(each.id, under)
        return found

    def _within(
        self, keys: list[str], sure: dict[str, float], more: dict[str, float], bound: float
    ) -> None:
        """Lessen what is open of these so that together they come to no more than the bound."""
        room = max(0.0, bound - sum(sure[key] for key in keys))
        drawn = sum(more[key] for key in keys)
        if drawn <= room:
            return
        order = list(keys)
        if self.rng is not None and self.mode != "any":
            self.rng.shuffle(order)  # the first ones keep all of it
            for key in order:
                more[key] = min(more[key], room)
                room -= more[key]
            return
        for key in keys:
            more[key] *= room / drawn

    def _downwards(self) -> list[Feed]:
        found: list[Feed] = []
        while len(found) < len(self.v.feeds):
            known = {None, *(each.id for each in found)}
            found += [f for f in self.v.feeds if f.parent in known and f.id not in known]
        return found

    def _slot_span(self, slot: Slot, state: str, warm: float) -> tuple[float, float]:
        """What is known of an own load, and something of what it may be beyond [A]."""
        if state not in LIVE[slot.feed_class]:
            return 0.0, 0.0
        load, most = getattr(slot.own_load, state), getattr(slot.own_most, state)
        if load is not None:
            return load, 0.0 if most is None else self.up_to(max(0.0, most - load))
        share = self.rule["own_load_share"]
        if slot.fuse is None:
            carries = tables.contact_limit(slot.family, self.rule["holder_share"])
        else:
            carries = tables.fuse_limit(
                slot.fuse.family, slot.fuse.rating, warm, self.rule["continuous_share"]
            )
        return 0.0, self.up_to(share * carries)

    def _warm(self, place: str, own_c: float | None = None) -> float:
        return float(self.rule[f"ambient_{place}_c"] if own_c is None else own_c)

    def _limit(self, feed: Feed) -> float:
        limit = INF if feed.limit_a is None else feed.limit_a
        if feed.fuse is None:
            return limit
        share = self.rule["continuous_share"]
        by_fuse = tables.fuse_limit(
            feed.fuse.family, feed.fuse.rating, self._warm(feed.place), share
        )
        return min(limit, by_fuse)

    def _whole(self, state: str) -> float:
        """The most the whole vehicle draws by itself [A]."""
        parking = self.v.parking
        if state == "asleep":
            measured = [
                each
                for each in (parking.rest_current_a, parking.high_rest_current_a)
                if each is not None
            ]
            return max(measured) if measured else self.rule["asleep_most_a"]
        if state == "awake" and parking.awake_current_a is not None:
            return parking.awake_current_a
        return INF
