"""Random vehicles of which most is not known; `completions` says what each may turn out to be."""

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
    Pin,
    RuleChoice,
    Slot,
    Socket,
    StateLoads,
    Tap,
    Vehicle,
)
from fusemap.vehicle.validity import faults
from fusemap.vehicle.words import LeadSwitch
from tests import reckoning_tables as tables
from tests.reckoning import STATES

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


SWITCHES: tuple[LeadSwitch, ...] = (
    "unsaid", "hand", "none", "unsaid", "main_beam", "park_brake", "ignition", "timer"
)  # fmt: skip
"""In leads by their number."""


SOCKETS: tuple[Socket, ...] = (
    Socket(
        id="socket-1", name="Tow socket", kind="tow_13", pins=(Pin(number=10, section_mm2=1.0),)
    ),
    Socket(id="socket-2", name="Socket", kind="lighter", slot="slot-0-0"),
)


def plugged(taps: tuple[Tap, ...]) -> tuple[Tap, ...]:
    """Some own feeds end at a tow socket's pin; of those on the first slot some are plugged in."""
    return tuple(_in_a_socket(number, tap) for number, tap in enumerate(taps))


def _in_a_socket(number: int, tap: Tap) -> Tap:
    if tap.lead != "power" or number % 3 == 1:
        return tap
    if tap.slot is None:
        return replace(tap, socket="socket-1", pin=9 + number % 2)
    there = tap.slot == SOCKETS[1].slot and tap.kind == "splice"
    return replace(tap, kind="plug", socket="socket-2") if there else tap


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
            taps=plugged(self.taps(shelf, slots, feeds)),
            sockets=SOCKETS,
            rules=tuple(rule for rule in rules if self.often(0.25)),
        )

    def battery(self) -> Battery:
        chemistry = self.one("flooded", "agm", "efb")
        capacity = self.around(45.0, 110.0) if self.knows() else None
        charge = self.around(0.6, 1.0)
        return Battery(
            chemistry=chemistry,
            capacity_ah=capacity,
            # by its last digit, so that nothing else is drawn otherwise
            start_soc=None if round(charge * 1000) % 3 == 0 else charge,
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
            short_s=(5.0, 60.0, 900.0)[number % 3] if number % 4 == 1 else None,
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
            switch=SWITCHES[number % len(SWITCHES)],
            switch_limit_a=4.0 * number if number % 3 else None,
            timer_min=10.0 * number if number % 2 else None,
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
