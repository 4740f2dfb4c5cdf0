"""Random vehicles of the trade of which everything is known: two batteries, blocks, converters.

Each has a second battery with its link, a block on either battery, an output of a control unit,
converters with leads behind them, measured earth points and cables through several places.
"""

from typing import Any

from msgspec.structs import replace
from numpy.random import Generator

from fusemap.vehicle import (
    Battery,
    Cable,
    Converter,
    Fuse,
    SecondBattery,
    Stretch,
    Vehicle,
    edits,
)
from fusemap.vehicle.validity import faults
from tests import reckoning_tables as tables
from tests.trade_vehicles import QUIET, base, bolt, loads, slot

PLACES = ("cabin", "engine_bay", "boot", "sill", "under_carpet", "roof", "underbody")
LOADS = ("constant_power", "constant_current", "resistive", "filament", "motor")
WORKS = (("ignition", "running"), ("accessory", "ignition", "running"), ("running",))


def vehicle(rng: Generator) -> Vehicle:
    """One that can be."""
    while True:
        found = _Maker(rng).vehicle()
        if not any(True for _ in faults(found)):
            return found


class _Maker:
    def __init__(self, rng: Generator) -> None:
        self.rng = rng

    def one(self, *choices: Any) -> Any:
        return choices[int(self.rng.integers(len(choices)))]

    def often(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def around(self, low: float, high: float) -> float:
        return round(float(self.rng.uniform(low, high)), 3)

    def cable(self, *sections: float, most_m: float = 4.0) -> Cable:
        further = tuple(
            Stretch(length_m=self.around(0.2, most_m), place=self.one(*PLACES))
            for _ in range(self.one(0, 0, 1, 2))
        )
        return Cable(
            section_mm2=self.one(*sections),
            length_m=self.around(0.3, most_m),
            insulation=self.one("pvc", "xlpe"),
            place=self.one(*PLACES),
            further=further,
        )

    def fuse(self, family: str, least: float, most: float) -> Fuse:
        fitting = [rating for rating in tables.ratings(family) if least <= rating <= most]
        return Fuse(family=family, rating=self.one(*fitting), resistance_mohm=self.around(0.2, 5.0))

    def bolted(self) -> Fuse:
        return self.fuse("strip_30", 40.0, 125.0)

    def vehicle(self) -> Vehicle:
        volts = self.one(12, 12, 24)
        battery = Battery(
            chemistry=self.one("agm", "flooded"), capacity_ah=self.around(45.0, 180.0),
            start_soc=self.around(0.6, 1.0), resistance_mohm=self.around(3.0, 9.0),
        )  # fmt: skip
        made = base("Bench", system_v=volts, parking=QUIET, battery=battery)
        made = edits.set_second_battery(made, self.second(volts))
        made = bolt(made)
        made = edits.change_earth(made, made.earths[0].id, resistance_mohm=self.around(0.1, 8.0))
        for number in range(self.one(1, 2)):
            made = self.with_block(made, number)
        made = self.with_module(made)
        for _ in range(self.one(1, 2)):
            made = self.with_converter(made)
        if self.often(0.7):
            made = self.straight(self.load(made, battery="second"))
        return self.with_alternator(made)

    def with_alternator(self, made: Vehicle) -> Vehicle:
        """Of any size, half of them too small for what is at work."""
        label = self.around(8.0, 120.0)
        chosen = self.one(
            {"alternator_a": label, "alternator_idle_a": label / 2},
            {"alternator_a": label, "alternator_idle_a": None},
            {"alternator_a": None, "alternator_idle_a": None, "spare_a": self.around(1.0, 60.0)},
            {"alternator_a": None, "alternator_idle_a": None},
        )
        return edits.change_parking(made, **chosen)

    def second(self, system_v: int) -> SecondBattery:
        chemistry = self.one("agm", "gel", "lifepo4")
        rest = self.around(12.2, 13.3) * system_v / 12
        return SecondBattery(
            chemistry=chemistry, capacity_ah=self.around(60.0, 200.0),
            start_soc=self.around(0.4, 1.0), link=self.one("relay", "dcdc"),
            rest_v=rest if self.often(0.5) else None, charger_a=self.one(20.0, 30.0, 50.0),
            resistance_mohm=self.around(3.0, 12.0) if self.often(0.5) else None,
            link_cable=self.cable(10.0, 16.0, 25.0) if self.often(0.9) else None,
            near_fuse=self.bolted(), far_fuse=self.bolted(),
        )  # fmt: skip

    def with_block(self, made: Vehicle, number: int) -> Vehicle:
        feed = {
            "battery": self.one("second", "second", "starter"),
            "fuse": self.bolted() if self.often(0.8) else None,
            "cable": self.cable(6.0, 10.0, 16.0, 25.0),
            "resistance_mohm": self.around(0.2, 2.0),
            "unfused_m": self.around(0.05, 2.0),
            "sleeve": self.one("sleeved", "open"),
            "place": self.one("cabin", "engine_bay", "boot"),
        }
        if feed["fuse"] is None:
            feed["unfused_m"] = None
        made = edits.add_block(made, f"Block {number}", 3, family="regular", place="boot",
                               feed=feed)  # fmt: skip
        mine = made.feeds[-1].id
        made = edits.change_feed(made, mine, other_load=loads(0.0))
        if self.often(0.4):  # a further feed below it, the cable of which the first may protect
            made = edits.add_feed(
                made, f"Sub {number}", parent=mine, added=True, resistance_mohm=0.5,
                cable=self.cable(2.5, 6.0), other_load=loads(0.0),
                fuse=self.fuse("regular", 10.0, 30.0) if self.often(0.5) else None,
            )  # fmt: skip
            made = self.own_feed(self.load(made, battery=feed["battery"]), made.feeds[-1].id)
        for way in made.panels[-1].slots[: self.one(1, 2)]:
            made = edits.change_slot(made, way.id, fuse=self.fuse("regular", 5.0, 30.0))
            made = self.load(made, battery=feed["battery"])
            made = edits.place(
                made, made.accessories[-1].id, slot=way.id, kind="terminal",
                cable_out=self.cable(1.5, 2.5, 4.0), joint="ring_terminal", **self.back(made),
            )  # fmt: skip
        return made

    def with_module(self, made: Vehicle) -> Vehicle:
        """An output of a control unit with what its maker lets hang there: a relay's coil."""
        place = slot(made, "Rear wiper")
        made = edits.change_slot(
            made, place, kind="module", fuse=None, contact_limit_a=self.around(0.1, 2.0)
        )
        made = self.load(made, leads=("power", "sense"), sense_a=self.around(0.0, 0.1))
        it = made.accessories[-1].id
        made = edits.place(
            made, it, slot=None, relay=True, fuse=self.fuse("regular", 5.0, 30.0),
            cable_out=self.cable(2.5, 4.0), relay_coil_a=self.around(0.1, 0.2), **self.back(made),
        )  # fmt: skip
        return edits.place(made, it, "sense", slot=place, kind="splice",
                           cable_out=self.cable(0.75, 1.0))  # fmt: skip

    def with_converter(self, made: Vehicle) -> Vehicle:
        made = edits.add_accessory(
            made, "Converter", watts=self.around(0.5, 3.0), rated_v=made.system_v * 1.15,
            works_in=self.one(*WORKS), load_kind="constant_power",
            inrush_multiple=2.0, inrush_s=0.01,
            battery=self.one("starter", "second"),
            converter=Converter(
                output_v=self.one(5.0, 12.0, 13.8, 24.0),
                rating_a=self.around(3.0, 20.0) if self.often(0.8) else None,
                efficiency=self.around(0.8, 0.95),
            ),
        )  # fmt: skip
        it = made.accessories[-1]
        assert it.converter is not None
        made = self.straight(made)
        # at 5 V a thin cable takes so much that a load of constant power collapses
        thin = () if it.converter.output_v < 12.0 else (0.5, 0.75)
        for number in range(self.one(1, 2, 3)):
            lead = {
                "lead_cable": self.cable(*thin, 1.5, 2.5) if self.often(0.9) else None,
                "lead_back": self.cable(*thin, 1.5) if self.often(0.6) else None,
                "lead_fuse": self.fuse("regular", 3.0, 15.0) if self.often(0.7) else None,
            }
            if lead["lead_cable"] is None:
                lead = {}
            made = edits.add_accessory(
                made, f"Behind {number}", supplied_by=it.id, rated_v=it.converter.output_v,
                amperes=self.around(0.1, 3.0), load_kind=self.one(*LOADS),
                works_in=self.one(*WORKS), standby_a=self.one(0.0, 0.02),
                min_voltage_v=0.9 * it.converter.output_v if self.often(0.5) else None, **lead,
            )  # fmt: skip
        return made

    def load(self, made: Vehicle, **fields: Any) -> Vehicle:
        usual = {
            "amperes": self.around(0.2, 8.0),
            "rated_v": made.system_v * 1.1,
            "load_kind": self.one(*LOADS),
            "works_in": self.one(*WORKS),
            "standby_a": self.one(0.0, 0.02),
            "inrush_multiple": 2.0,
            "inrush_s": 0.01,
        }
        return edits.add_accessory(made, f"Load {len(made.accessories)}", **(usual | fields))

    def back(self, made: Vehicle) -> dict[str, Any]:
        back = self.cable(1.5, 2.5, 4.0) if self.often(0.5) else None
        return {"cable_back": back, "earth": made.earths[0].id}

    def straight(self, made: Vehicle) -> Vehicle:
        """The newest accessory on an own feed from its battery."""
        return self.own_feed(made, None)

    def own_feed(self, made: Vehicle, feed: str | None) -> Vehicle:
        it = made.accessories[-1]
        return edits.place(
            made, it.id, slot=None, feed=feed, fuse=self.fuse("regular", 5.0, 30.0),
            cable_out=self.cable(1.5, 2.5, 4.0), joint="ring_terminal", **self.back(made),
        )  # fmt: skip


def without_link(made: Vehicle) -> Vehicle:
    """The same with nothing that joins its batteries while it drives: a link that gives nothing."""
    second = made.second_battery
    assert second is not None
    return replace(made, second_battery=replace(second, link="dcdc", charger_a=0.0))
