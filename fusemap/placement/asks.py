"""What one lead of an accessory asks of its source, state by state.

In: an assessed vehicle, an accessory (in it or not), one of its leads. Out: currents [A, (states,)]
as they would be were the source live in every state, and the mean while parked. They are bounds: a
constant power is reckoned at the lowest voltage any feed has, less the allowed drop; a lamp or a
heater at the highest. Source: I = I0·(V/V0)^p (`electrics.loads.LOAD_EXPONENTS`).
"""

from dataclasses import dataclass, replace

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.converters import most_behind_w
from fusemap.assess.gather import rated_current
from fusemap.assess.result import Floats, Mask
from fusemap.electrics.fuses import LONGEST_PULSE_S
from fusemap.electrics.loads import LOAD_EXPONENTS
from fusemap.vehicle import KEY_STATES, PARKED_STATES, STATES, Accessory, look_up
from fusemap.vehicle.words import LeadName

ASLEEP = STATES.index("asleep")
PARKED = np.array([state in PARKED_STATES for state in STATES])
KEYED = np.array([state in KEY_STATES for state in STATES])
LOWEST_SHARE = 0.7
"""A voltage is never reckoned below this share of the rated one: the drop checks tell that."""


@dataclass(frozen=True, eq=False)
class Ask:
    """What one lead asks [A, (states,)] of a source that is live in every state.

    `rest_a` is the mean while the vehicle is parked and asleep; `start_a` the peak at switching on,
    `pulse_a2s` the I²t of it where it is short; `lasting_a` what its fuse has to bear for good: a
    start that lasts longer than a pulse counts as load.
    """

    accessory: Accessory
    lead: LeadName
    current_a: Floats
    rest_a: float
    start_a: float
    pulse_a2s: float

    @property
    def peak_a(self) -> float:
        """The most it asks in any state [A]."""
        return float(self.current_a.max())

    def times(self, factor: float) -> "Ask":
        """The same with so much more current while it works."""
        return replace(self, current_a=self.current_a * factor, start_a=self.start_a * factor)

    @property
    def largest_fuse_a(self) -> float:
        """The largest fuse the device's maker allows in front of this lead [A], inf if not said."""
        largest = self.accessory.largest_fuse_a
        return np.inf if largest is None or self.lead != "power" else largest

    @property
    def lasting_a(self) -> float:
        """What its fuse has to bear for good [A]."""
        long = self.lead == "power" and self.accessory.inrush_s > LONGEST_PULSE_S
        return self.start_a if long else self.peak_a


def ask_of(
    a: Assessment, accessory: Accessory, lead: LeadName, *, relayed: bool | None = None
) -> Ask:
    """What a lead asks. `relayed`: whether a relay's coil hangs on the sense lead (`None`: as now).

    An accessory whose sense lead has no place yet is reckoned as at work in every state but asleep:
    wherever that lead goes, it asks no more.
    """
    if lead == "sense":
        coil = _is_relayed(a, accessory) if relayed is None else relayed
        drawn = accessory.sense_a + (_coil(a, accessory) if coil else 0.0)
        return Ask(accessory, lead, np.full(len(STATES), drawn), drawn, drawn, 0.0)
    works = _works(a, accessory)
    current = np.where(works, worst_current(a, accessory), accessory.standby_a)
    start = float(current.max()) * max(1.0, accessory.inrush_multiple)
    short = accessory.inrush_s <= LONGEST_PULSE_S
    return Ask(
        accessory,
        lead,
        current,
        _rest(accessory, bool(works[ASLEEP]), float(current[ASLEEP])),
        start,
        start**2 * accessory.inrush_s if short else 0.0,
    )


def worst_current(a: Assessment, accessory: Accessory) -> Floats:
    """The most an accessory draws while it works [A, (states,)], over the voltages it may get.

    A converter takes all that hangs behind it too, at work at once.
    """
    behind_w = most_behind_w(a.vehicle.accessories, accessory)
    exponent = LOAD_EXPONENTS["constant_power" if behind_w else accessory.load_kind]
    rated = accessory.rated_v
    if exponent < 0:
        feeds = a.feeds.voltage_v
        lowest = np.minimum(a.battery_v, feeds.min(axis=1) if feeds.size else np.inf)
        lowest = lowest - a.rule("allowed_drop_share") * a.vehicle.system_v
        volts = np.clip(lowest, LOWEST_SHARE * rated, rated)
    else:
        volts = np.maximum(a.circuit.emf_v, rated)
    whole = rated_current(accessory) + behind_w / rated
    return np.asarray(whole * (volts / rated) ** exponent)


def _is_relayed(a: Assessment, accessory: Accessory) -> bool:
    tap = look_up.tap_of(a.vehicle, accessory.id)
    return tap is not None and tap.relay


def _coil(a: Assessment, accessory: Accessory) -> float:
    """What the coil of its relay draws [A]: the relay's own figure, else the rule's."""
    tap = look_up.tap_of(a.vehicle, accessory.id)
    own = None if tap is None else tap.relay_coil_a
    return a.rule("relay_coil_ma") / 1000 if own is None else own


def _works(a: Assessment, accessory: Accessory) -> Mask:
    """In which states it works if its source is live."""
    own = np.array([state in accessory.works_in for state in STATES])
    if "sense" not in accessory.leads:
        return own
    tap = look_up.tap_of(a.vehicle, accessory.id, "sense")
    if tap is None:
        return np.asarray(own | ~(np.arange(len(STATES)) == ASLEEP))
    live = np.ones(len(STATES), dtype=bool)
    if tap.slot is not None:
        live = a.slots.live[:, a.slots.index[tap.slot]]
    return np.asarray(live | (own & PARKED))


def rest_on(a: Assessment, ask: Ask, column: int) -> float:
    """What a lead on slot number `column` adds to the rest current [A].

    On a slot that is live asleep its mean; on a delayed-off slot what it draws until that is dead,
    spread over the first day. A sense lead on one keeps its accessory at work as long.
    """
    slot = a.circuit.slots.slots[column]
    if a.slots.live[ASLEEP, column]:
        return ask.rest_a
    if slot.feed_class != "delayed_off":
        return 0.0
    awake = float(ask.current_a[STATES.index("awake")])
    if ask.lead == "sense":
        awake += float(worst_current(a, ask.accessory).max())
    return awake * min(slot.delayed_off_min / (24 * 60), 1.0)


def _rest(accessory: Accessory, works: bool, asleep_a: float) -> float:
    """The mean current while parked and asleep [A], timers and duty reckoned in."""
    standby = accessory.standby_a
    if not works or accessory.run_on_min is not None:
        return standby
    working = asleep_a * accessory.duty
    if not accessory.timetable:
        return working
    hours = sum((span.to_h - span.from_h) % 24 for span in accessory.timetable)
    return standby + max(0.0, working - standby) * min(1.0, hours / 24)
