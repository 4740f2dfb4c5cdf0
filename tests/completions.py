"""What a vehicle of which most is not known may turn out to be.

`completed(rng, vehicle)` is one of which everything is known and that could be the same: every own
load between what is known of it and what its fuse, its feeds and the whole vehicle let it be, every
resistance, start and spread within the named rules. The bounds are reckoned from the tables by
`reckoning_tables`, nothing of the program decides them.
"""

from typing import Any

from msgspec.structs import replace
from numpy.random import Generator

from fusemap.vehicle import (
    BATTERY,
    Accessory,
    Battery,
    Cable,
    Feed,
    Fuse,
    RuleChoice,
    Slot,
    StateLoads,
    Tap,
    Vehicle,
)
from tests import reckoning_tables as tables
from tests.reckoning import LIVE, STATES
from tests.unknown_vehicles import INF, SWITCHED


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
        self.sun: dict[str, float] = {}
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
            self.v = self._in_warmth(self._ways(self.v))
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
            parking=self._parking(own, other),
            battery=self._battery(self.v.battery),
        )

    def _parking(self, own: dict[str, StateLoads], other: dict[str, StateLoads]) -> Any:
        """An alternator that gives anything from what it does at idle on, beside these own loads.

        Where nobody read its label it is one of any usual size, that gives what the vehicle takes.
        """
        parking = self.v.parking
        if self.rng is None or parking.spare_a is not None:
            return parking
        whole = sum(each.running or 0.0 for each in (*own.values(), *other.values()))
        said = parking.alternator_a is not None or parking.alternator_idle_a is not None
        if said and self.up_to(1.0) < 0.5:
            return parking
        spare = self._idle_a() + self.up_to(2 * self.rule["alternator_spare_a"]) - whole
        return replace(parking, spare_a=max(0.0, spare))

    def _idle_a(self) -> float:
        """What the alternator gives hot while the engine idles [A]."""
        parking, rated, idle = (
            self.v.parking,
            self.v.parking.alternator_a,
            self.v.parking.alternator_idle_a,
        )
        if rated is None:
            key = "small_alternator_a" if self._small() else "alternator_a"
            rated = self._between(key) * 12 / self.v.system_v
        if idle is None:
            idle = rated * self.rule["alternator_idle_share"]
            idle *= self._between("alternator_idle_times")
        if parking.starts_by == "contactors":
            return rated if parking.alternator_idle_a is None else idle
        return float(idle * self.rule["alternator_hot_share"])

    def _small(self) -> bool:
        """Whether its battery may be a motorcycle's."""
        battery = self.v.battery
        if battery.cca_a is not None:
            return battery.cca_a <= tables.unanswered("small_cold_a").hard
        return (battery.capacity_ah or INF) <= tables.unanswered("small_ah").hard

    # --- single figures ---

    def _between(self, key: str) -> float:
        """A figure that nobody answered, between its ends; the usual one where nothing is drawn."""
        ends = tables.unanswered(key)
        if self.rng is None:
            return ends.usual
        return ends.mild + self.up_to(1.0) * (ends.hard - ends.mild)

    def _battery(self, battery: Battery) -> Battery:
        """A battery with a capacity, a charge and a resistance; the bad ends at the most."""
        low, usual, high = tables.usual_charge(battery.chemistry)
        soc, capacity, own = battery.start_soc, battery.capacity_ah, battery.resistance_mohm
        if soc is None:
            soc = usual if self.rng is None else high - self.up_to(high - low)
        if capacity is None:
            capacity = 60.0 if self.rng is None else 90.0 - self.up_to(90.0 - 36.0)
        if own is None:
            row = tables.battery_row(battery.chemistry)
            share = self._between("resistance_share")
            own = share * float(row["resistance_mohm_70ah"]) * 70.0 / capacity
        return replace(battery, start_soc=soc, capacity_ah=capacity, resistance_mohm=own)

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

    # --- how warm it gets ---

    def _in_warmth(self, given: Vehicle) -> Vehicle:
        """Cables and fuses in the frost or in the sun, where nobody said it."""
        chosen = {choice.key for choice in given.rules}
        said = {panel.place for panel in given.panels if panel.ambient_c is not None}
        open_ = [p for p in ("cabin", "boot") if p not in said and f"ambient_{p}_c" not in chosen]
        self.sun = {place: self._between(f"ambient_{place}_c") for place in open_}
        rules = [
            RuleChoice(key=f"ambient_{place}_c", value=warm) for place, warm in self.sun.items()
        ]
        return replace(given, rules=(*given.rules, *rules))

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
            )
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
            most = limit if limit < INF else self.rule["feed_open_a"]
            more[f"+{feed.id}"] = self.up_to(min(most, bound)) if said is None else 0.0
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
                limit = self._limit(feed)
                if limit == INF:
                    self._within_rule(feed.id, keys, sure, more)
                self._within(keys, sure, more, min(limit, bound))
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

    def _within_rule(
        self, feed: str, keys: list[str], sure: dict[str, float], more: dict[str, float]
    ) -> None:
        """What nobody said of a feed without any limit, no more than the rule has for all of it."""
        below = sum(sure[key] + more[key] for key in keys) - more[f"+{feed}"]
        more[f"+{feed}"] = min(more[f"+{feed}"], max(0.0, self.rule["feed_open_a"] - below))

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
        """How warm a fuse gets that its own loads pass: they do so in summer, too."""
        if own_c is not None:
            return own_c
        return float(max(self.rule[f"ambient_{place}_c"], self.sun.get(place, -INF)))

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
