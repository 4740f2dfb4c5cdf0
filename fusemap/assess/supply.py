"""What holds the voltage up: the alternator beside the battery, and a second battery.

In: a vehicle and its rules. Out: what they are in each vehicle state, as far as is known, and at
the least that they may give.

What an alternator gives is two figures of its label: the rated current and that of an idling engine
(ISO 8854: at 6000 and 1500 turns a minute of its own, both cold at 23 °C). Hot it gives less, by a
rule's share; without the second figure the first is taken by a rule's share. What the vehicle takes
of it by itself is what was measured, and no less than a rule's current while that is not all. Known
is what it has to spare on the road: as entered, else the rated current hot less what the vehicle
takes, else a rule's. The least is what an idling engine leaves beside the most that the vehicle
may take; where nobody read the label it is that of the smallest usual alternator. The maker made
it large enough for the vehicle itself: what nobody measured of that is no more than what it gives.
What the drive battery's converter gives in a hybrid or electric car hangs neither on heat nor on
speed here: it states a lasting current.
"""

from typing import Literal

import numpy as np
from msgspec import Struct

from fusemap import tables
from fusemap.assess.battery import (
    CHARGER_A,
    CHARGER_SHARE,
    BatteryModel,
    emf_at_most,
    ohm_at_least,
    ohm_at_most,
    second_model,
    small_battery,
)
from fusemap.assess.result import Floats
from fusemap.assess.sources import cable_mohm, fuse_mohm
from fusemap.electrics.charging import LEAST_OHM
from fusemap.vehicle import STATES, SecondBattery, Vehicle

RUNNING = STATES.index("running")
TURNS = np.arange(len(STATES)) == RUNNING
"""Whether the engine runs [(states,)]."""


class Alternator(Struct, frozen=True, eq=False):
    """What the alternator gives [A]. `hot_a` is None where its label is not known.

    `idle_a` is the least it gives at idle, hot; `idle_said` whether anything of its label was read.

    `spare_a` is what it is known to have to spare beside the vehicle's own loads, or None where
    that follows from `hot_a`; `entered_a` what somebody entered as that. `rule_spare_a` is the
    rule's; `vehicle_a` what the vehicle takes by itself at least, while not all was measured.
    """

    hot_a: float | None
    idle_a: float
    idle_said: bool
    entered_a: float | None
    rule_spare_a: float
    vehicle_a: float

    def spare_a(self, own_a: float) -> float:
        """What it is known to have to spare [A], the vehicle's own loads known to be own_a [A]."""
        if self.entered_a is not None:
            return self.entered_a
        if self.hot_a is None:
            return self.rule_spare_a
        return self.hot_a - max(own_a, min(self.vehicle_a, self.hot_a))

    def least_spare_a(self, own_a: float, most_own_a: float) -> float:
        """The least it may have to spare [A], beside own loads of own_a to most_own_a [A].

        One whose label nobody read gives what the vehicle is known to take, whatever its size.
        """
        return self.least_with(self.idle_a, own_a, most_own_a)

    def least_with(self, idle_a: float, own_a: float, most_own_a: float) -> float:
        """The same where it gives idle_a [A] at idle."""
        most_own_a = max(own_a, most_own_a, self.vehicle_a)
        _, middle_a, _ = sorted((own_a, idle_a, most_own_a))
        spare_a = idle_a - middle_a
        return spare_a if self.idle_said else max(0.0, spare_a)


def alternator(vehicle: Vehicle, rules: dict[str, float]) -> Alternator:
    """The alternator of a vehicle, as far as its label is known."""
    rated = vehicle.parking.alternator_a
    return Alternator(
        None if rated is None else _hot_share(vehicle, rules) * rated,
        idle_at(vehicle, rules, "hard"),
        not (rated is None and vehicle.parking.alternator_idle_a is None),
        vehicle.parking.spare_a,
        rules["alternator_spare_a"],
        rules["vehicle_running_a"] * 12 / vehicle.system_v,
    )


def idle_at(vehicle: Vehicle, rules: dict[str, float], end: Literal["hard", "mild"]) -> float:
    """What an idling engine's alternator gives hot at an end of what its label leaves open [A]."""
    parking = vehicle.parking
    idle, rated = parking.alternator_idle_a, parking.alternator_a
    if rated is None:
        small = small_battery(vehicle.battery)
        ends = tables.unanswered("small_alternator_a" if small else "alternator_a")
        rated = getattr(ends, end) * 12 / vehicle.system_v
    if idle is None:
        times = getattr(tables.unanswered("alternator_idle_times"), end)
        idle = rated * min(1.0, rules["alternator_idle_share"] * times)
        if parking.starts_by == "contactors":
            idle = rated
    return float(_hot_share(vehicle, rules) * idle)


def _hot_share(vehicle: Vehicle, rules: dict[str, float]) -> float:
    """What is left of its current in the heat [-]; a converter states a lasting one."""
    return 1.0 if vehicle.parking.starts_by == "contactors" else rules["alternator_hot_share"]


class Source(Struct, frozen=True, eq=False):
    """A second battery as its circuit sees it: voltage and inner resistance [V, Ω, (states,)].

    `link_ohm` [Ω, (states,)] joins it to the first, infinite where no relay does; `asks` says
    whether what hangs on it may be a load of the alternator though no link is reckoned with.
    `fault_v` [V] drives a short; `charger_a` [A] is what a DC-DC charger takes on its other side.
    """

    emf_v: Floats
    ohm: Floats
    link_ohm: Floats
    asks: bool
    fault_v: float
    charger_a: float = 0.0


def second_source(
    vehicle: Vehicle, rules: dict[str, float], *, linked: bool = True, strong: bool = False
) -> Source | None:
    """The second battery in every state, `linked` or left alone; `None` where there is none.

    Left alone it is as weak as it may be, `strong` as strong: full, fresh, a good charger on it.

    While the engine runs a relay joins it to the first. A DC-DC charger gives its current up to the
    charging voltage; none is said to give a usual one. Not known resistances of the link are none.
    """
    second = vehicle.second_battery
    if second is None:
        return None
    model = second_model(second, vehicle.system_v)
    own_v = second.rest_v
    if own_v is None:
        charge = model.start_soc if linked else model.ranges["charge"][0]
        own_v = _fullest_v(model) if strong else float(model.wells.ocv(charge))
    own_ohm = float(np.asarray(model.wells.terminal_ohm)) if linked else ohm_at_most(model)
    own_ohm = ohm_at_least(model) if strong else own_ohm
    emf, ohm = np.full(len(STATES), own_v), np.full(len(STATES), own_ohm)
    charging = rules["charging_v"] * vehicle.system_v / 12
    link = np.full(len(STATES), np.inf)
    taken = 0.0
    if second.link == "dcdc":
        taken = CHARGER_A if second.charger_a is None else second.charger_a
        if linked:
            lifted = own_v + CHARGER_SHARE * taken * own_ohm
            lifted = charging if strong and second.charger_a is None else lifted
            emf[RUNNING] = max(own_v, min(charging, lifted))
    elif linked and charging > own_v:
        link[RUNNING] = max(link_ohm(second, rules), LEAST_OHM)
        emf[RUNNING] = charging if strong else own_v  # one that takes no charge pulls nothing down
    asks = not linked and second.link != "dcdc"
    low = min(own_v, rules["fault_min_v"] * vehicle.system_v / 12)
    return Source(emf, ohm, link, asks, low, taken)


def _fullest_v(model: BatteryModel) -> float:
    """Voltage at rest [V] of a second battery at the most charge that it may have."""
    if "charge" in model.measured:
        return emf_at_most(model)
    mild = tables.unanswered("second_soc").mild
    return float(model.wells.ocv(max(mild, model.ranges["charge"][2])))


def link_ohm(second: SecondBattery, rules: dict[str, float]) -> float:
    """Resistance of the link between two batteries, as far as it is known [Ω]: cable and fuses.

    Source: series resistances; table `conductors`, table `fuse_resistance`.
    """
    cable = second.link_cable
    copper = 0.0 if cable is None else cable_mohm(cable, rules)
    return (copper + fuse_mohm(second.near_fuse) + fuse_mohm(second.far_fuse)) / 1000
