"""The document: one vehicle as a frozen value.

Everything is a frozen struct or a tuple; things refer to each other by `id`. An edit
(`fusemap.vehicle.edits`) makes a new vehicle and shares what did not change. Units stand in the
field's name (`_a`, `_v`, `_m`, `_mm2`, `_min`, `_h`, `_ah`, `_c`); a fuse's rating is in amperes.
`None` means *not known* or *not measured*, never zero.

A default never changes its value: files leave out what equals the default.
"""

from typing import Final

from fusemap.vehicle.parts import (
    Cable,
    CrankReading,
    Drive,
    Fuse,
    Maintainer,
    Meter,
    PanelPhoto,
    Reading,
    SecondBattery,
    SignOff,
    Socket,
    StandReading,
    Value,
)
from fusemap.vehicle.words import (
    KEY_STATES,
    AnsweredFunction,
    BatteryName,
    ChargedBy,
    Chemistry,
    EarthKind,
    EngineFuel,
    FeedClass,
    FeedNeed,
    FiguresFrom,
    Found,
    FuseFailed,
    LabelStandard,
    LeadName,
    LeadSwitch,
    LiveSide,
    LoadKind,
    Orientation,
    PanelKind,
    Place,
    Sleeve,
    SlotKind,
    StartsBy,
    State,
    SystemVoltage,
    TapKind,
    ToppedUp,
    WayRound,
    YesNo,
)


class StateLoads(Value, frozen=True, kw_only=True):
    """A current [A] in each vehicle state; `None` where it was not measured."""

    asleep: float | None = None
    awake: float | None = None
    accessory: float | None = None
    ignition: float | None = None
    running: float | None = None


UNREAD: Final = StateLoads()
"""No current known in any state. This very value is left out of a file, an equal one is not."""


class BorrowedSlot(Value, frozen=True, kw_only=True):
    """What somebody else's map says of a slot; nothing is decided on it alone."""

    by: str
    feed_class: FeedClass = "unknown"
    delayed_off_min: float = 0.0
    live_side: LiveSide = "unknown"
    own_load: StateLoads = UNREAD
    own_most: StateLoads = UNREAD


class Slot(Value, frozen=True, kw_only=True):
    """One place of a panel, at row and column counted from 0 at the top left.

    `family` says which fuses fit; `fuse` what is in it now. `feed` names the feed above it; it is
    `BATTERY` where the slot hangs straight on the battery, `None` where nobody said. `own_most` is
    the most that `own_load` may be in a state where a reading only bounds it (`None`: the load is
    as it stands). `contact_limit_a` is what its live contact may carry; of an output of a control
    unit what its maker lets hang there besides its own load. `fuse_failed` says how its fuse opened
    before. `harmless` says in writing what it feeds where its name or class wrongly looks like a
    circuit to leave alone. `critical`, `monitored` and, where it is neither, `function` are a
    person's answer to what it is for the vehicle; with none of them nobody answered. `borrowed` is
    what somebody else's map says of it. `seen_empty`: somebody looked, and no fuse was in it; it
    says nothing beside a fuse.
    """

    id: str
    row: int
    column: int
    label: str = ""
    kind: SlotKind = "fuse"
    orientation: Orientation = "upright"
    family: str = "mini"
    fuse: Fuse | None = None
    circuit: str = ""
    critical: bool = False
    critical_reason: str = ""
    monitored: bool = False
    live_side: LiveSide = "unknown"
    feed_class: FeedClass = "unknown"
    delayed_off_min: float = 0.0
    feed: str | None = None
    own_load: StateLoads = UNREAD
    contact_limit_a: float | None = None
    note: str = ""
    borrowed: BorrowedSlot | None = None
    harmless: str = ""
    own_most: StateLoads = UNREAD
    function: AnsweredFunction | None = None
    fuse_failed: FuseFailed = "no"
    seen_empty: bool = False


class Panel(Value, frozen=True, kw_only=True):
    """A fuse panel: a grid of places, some of which hold slots. `place` sets its ambient.

    `photo` is a picture of it or of its lid, to compare the slots with. A `block` is a fuse block
    that was added, with nothing of the vehicle's own on it.
    """

    id: str
    name: str
    rows: int
    columns: int
    place: Place = "cabin"
    ambient_c: float | None = None
    slots: tuple[Slot, ...] = ()
    photo: PanelPhoto | None = None
    kind: PanelKind = "vehicle"


class VoltageCutOff(Value, frozen=True, kw_only=True):
    """A low-voltage cut-off: off below `off_v` for `delay_s`, on above `on_v`."""

    off_v: float
    on_v: float
    delay_s: float = 60.0


class Feed(Value, frozen=True, kw_only=True):
    """What supplies slots or other feeds: a cable from the battery, a main fuse, a relay's output.

    `parent` is the feed above it, `None` for the battery, of two the one named by `battery`: who
    enters a feed has looked. `limit_a` is what it may carry for long, where known; else its `fuse`
    decides.
    `other_load` is the current it carries to things that are on no panel. `carried` is what all
    that hangs below it drew together when somebody measured it, less accessories of this plan; it
    is the upper end of what was measured.
    A feed that the vehicle's maker did not lay is `added`: `cable` is its cable, `unfused_m` [m]
    how far along it its fuse is from where the current is taken, `sleeve` how that part is covered.
    `cut_off` is a low-voltage cut-off in it, for all that hangs below.
    """

    id: str
    name: str
    parent: str | None = None
    fuse: Fuse | None = None
    limit_a: float | None = None
    resistance_mohm: float = 0.0
    place: Place = "engine_bay"
    other_load: StateLoads = UNREAD
    carried: StateLoads = UNREAD
    added: bool = False
    cable: Cable | None = None
    unfused_m: float | None = None
    sleeve: Sleeve = "unknown"
    battery: BatteryName = "starter"
    cut_off: VoltageCutOff | None = None


class Battery(Value, frozen=True, kw_only=True):
    """The starter battery, as its label and a meter tell.

    With a 24 V system these are the figures of one of the two 12 V batteries in series.
    `start_soc` and `soh` are shares 0…1; `rest_v` [V] is the whole system's rest voltage.
    `measured_cca_a` [A] is what a tester says of the label's `cca_a` today, which is meant as
    `label_standard` has it. `charged_by` says how full driving leaves it; `crank_readings` are
    starts followed with a meter, `stand_readings` what standings showed. `low_` and `high_` are the
    ends between which a figure lies.
    """

    chemistry: Chemistry = "flooded"
    capacity_ah: float | None = None
    reserve_min: float | None = None
    cca_a: float | None = None
    parallel: int = 1
    age_years: float | None = None
    soh: float | None = None
    start_soc: float | None = None
    rest_v: float | None = None
    resistance_mohm: float | None = None
    measured_cca_a: float | None = None
    low_soh: float | None = None
    high_soh: float | None = None
    low_soc: float | None = None
    high_soc: float | None = None
    label_standard: LabelStandard = "unknown"
    charged_by: ChargedBy = "unknown"
    crank_readings: tuple[CrankReading, ...] = ()
    stand_readings: tuple[StandReading, ...] = ()


class WakeUp(Value, frozen=True, kw_only=True):
    """While parked the vehicle wakes `every_h` for `minutes` and then draws `current_a` more."""

    every_h: float
    minutes: float
    current_a: float


class Parking(Value, frozen=True, kw_only=True):
    """How the vehicle is parked: the temperatures, and what it draws by itself.

    `rest_current_a` is the whole vehicle's, asleep, as measured; `awake_current_a` the whole
    vehicle's between locking and `sleep_after_min`. `starts_by` cranking, or by closing the
    contactors of a hybrid or electric car. `engine_fuel` and `engine_l` [l] are its engine and its
    size, `cranking_a` [A] what the starter takes when warm, `spare_a` [A] what the alternator gives
    on the road beyond what the vehicle uses; `alternator_a` and `alternator_idle_a` [A] the two
    currents of its label, rated and at idle. `night_logged`: a night was followed with a meter,
    there are no other wake-ups. `locked_on` is the day on which it is locked, an ISO 8601 date.
    `night_c` and `day_c` [°C] are the lowest and the highest of a usual day; they take the place of
    `temperature_c`. `topped_up`: the drive battery charges the 12 V battery meanwhile, for
    `top_up_min` at a time with `top_up_a` [A], at most `top_up_times`. `low_` and `high_` are the
    ends between which a figure lies.
    """

    stand_days: float = 7.0
    sleep_after_min: float = 60.0
    locked_at_h: float = 18.0
    temperature_c: float = 15.0
    coldest_c: float | None = None
    rest_current_a: float | None = None
    awake_current_a: float | None = None
    wake_ups: tuple[WakeUp, ...] = ()
    starts_by: StartsBy = "cranking"
    cranking_a: float | None = None
    low_temperature_c: float | None = None
    high_temperature_c: float | None = None
    low_rest_current_a: float | None = None
    high_rest_current_a: float | None = None
    drives: tuple[Drive, ...] = ()
    spare_a: float | None = None
    alternator_a: float | None = None
    alternator_idle_a: float | None = None
    maintainer: Maintainer | None = None
    engine_fuel: EngineFuel = "unknown"
    engine_l: float | None = None
    night_logged: bool = False
    locked_on: str = ""
    night_c: float | None = None
    day_c: float | None = None
    topped_up: ToppedUp = "unknown"
    top_up_min: float | None = None
    top_up_times: float | None = None
    top_up_a: float | None = None


class ClockSpan(Value, frozen=True, kw_only=True):
    """A span of the day, in hours of the clock; it may run over midnight."""

    from_h: float
    to_h: float


class Converter(Value, frozen=True, kw_only=True):
    """What an accessory that converts voltage gives to others.

    `output_v` [V] is held at its output while it works; `rating_a` [A] is what the output may give
    for long, `None` where that is not known; `efficiency` the share of the power that comes out.
    """

    output_v: float = 13.8
    rating_a: float | None = None
    efficiency: float = 0.85


class Accessory(Value, frozen=True, kw_only=True):
    """A thing to be supplied.

    Either `watts` or `amperes`, at `rated_v`. `works_in` are the vehicle states in which it works
    when it has supply; in others it draws `standby_a`. With a sense lead placed it works when that
    lead is live, and in those parked states `works_in` names. `timetable` limits its work while
    parked to hours of the day; `run_on_min` ends it that long after locking. `found`: an earlier
    owner fitted it, and whether it is to be kept, removed, or not known yet. `battery` is the one
    it hangs on; `current_spread` the share by which its current may differ from what is entered.
    `figures_from` says whose its figures are; unsaid, those that equal the library's are the
    library's. `rest_from` says so of `standby_a` alone, `None` as of the others: who measured what
    it takes at work has not measured what it takes at rest. `parked_mode` is what it does while
    parked, of the modes that the library has of it.
    `short_s` [s] is the longest that it works at a time, `None` for as long as somebody likes;
    `output_w` [W] what an amplifier gives out on all its channels, which is not what it takes.
    Behind a converter `lead_cable` leads to it and `lead_back` back (`None`: by the body), with
    `lead_fuse` at the converter's output.
    """

    id: str
    name: str
    kind: str = ""
    watts: float | None = None
    amperes: float | None = None
    rated_v: float = 13.8
    load_kind: LoadKind = "constant_power"
    needs: FeedNeed = "either"
    leads: tuple[LeadName, ...] = ("power",)
    works_in: tuple[State, ...] = KEY_STATES
    standby_a: float = 0.0
    sense_a: float = 0.005
    duty: float = 1.0
    duty_period_s: float = 0.0
    run_on_min: float | None = None
    timetable: tuple[ClockSpan, ...] = ()
    cut_off: VoltageCutOff | None = None
    min_voltage_v: float | None = None
    inrush_multiple: float = 1.0
    inrush_s: float = 0.0
    note: str = ""
    found: Found = "no"
    converter: Converter | None = None
    supplied_by: str | None = None
    battery: BatteryName = "starter"
    current_spread: float | None = None
    largest_fuse_a: float | None = None
    figures_from: FiguresFrom = "unsaid"
    rest_from: FiguresFrom | None = None
    parked_mode: str = ""
    lead_cable: Cable | None = None
    lead_back: Cable | None = None
    lead_fuse: Fuse | None = None
    short_s: float | None = None
    output_w: float | None = None


class EarthPoint(Value, frozen=True, kw_only=True):
    """A place where currents go back: a bolt of the body, a bar of a block, the battery's post.

    `stud_mm` [mm] is its thread; `others` counts the eyelets that sit there besides those of this
    plan, `None` where nobody looked; `sensitive` says whether a sensor or a radio has its earth
    there too; `sensor` whether the battery's minus post has a battery sensor on it.
    `resistance_mohm` [mΩ] is what was measured from it to the battery's minus post.
    """

    id: str
    name: str
    kind: EarthKind = "body"
    place: Place = "cabin"
    stud_mm: float | None = None
    others: int | None = None
    sensitive: YesNo = "unknown"
    sensor: YesNo = "unknown"
    resistance_mohm: float | None = None


class Tap(Value, frozen=True, kw_only=True):
    """One lead of an accessory joined to a source: a slot, or (own feed) a feed or the battery.

    `slot` is `None` for an own feed; `feed` then names its source, `None` meaning the battery.
    `cable_back` `None` means return by the body. `relay` puts a relay into an own feed: its coil
    is then driven by the accessory's sense lead; `relay_limit_a` [A] is what its contact may carry
    and `relay_coil_a` [A] what its coil draws, where the relay in hand says so. `justification`
    says what a critical slot feeds, `found_how` how that was found; without both it is refused
    (`texts.is_reasoned`). `earth` is the earth point that its current goes back by; `earth_point`
    is one that is only named. `switch` is what opens and closes this lead, for a relay the wire of
    its coil; `switch_limit_a` [A] is what that may carry, where it says so; a timer opens it
    `timer_min` after the ignition went off, `None` where that is not known. `socket` is the socket
    that the lead is plugged into, or in which it ends, at its contact `pin`.
    """

    id: str
    accessory: str
    lead: LeadName = "power"
    slot: str | None = None
    feed: str | None = None
    kind: TapKind = "two_fuse"
    way_round: WayRound = "live_side"
    fuse: Fuse | None = None
    cable_out: Cable | None = None
    cable_back: Cable | None = None
    joint: str = ""
    earth_point: str = ""
    ceiling_a: float | None = None
    relay: bool = False
    justification: str = ""
    relay_limit_a: float | None = None
    relay_coil_a: float | None = None
    found_how: str = ""
    earth: str | None = None
    switch: LeadSwitch = "unsaid"
    switch_limit_a: float | None = None
    timer_min: float | None = None
    socket: str | None = None
    pin: int = 0


class RuleChoice(Value, frozen=True, kw_only=True):
    """A named rule given another value for this vehicle."""

    key: str
    value: float


class LogEntry(Value, frozen=True, kw_only=True):
    """A line of the vehicle's history; `when` is an ISO 8601 date or date and time."""

    when: str
    text: str


class Vehicle(Value, frozen=True, kw_only=True):
    """A vehicle: everything the user knows and plans about its electrical supply."""

    name: str
    system_v: SystemVoltage = 12
    note: str = ""
    battery: Battery = Battery()
    second_battery: SecondBattery | None = None
    parking: Parking = Parking()
    panels: tuple[Panel, ...] = ()
    feeds: tuple[Feed, ...] = ()
    earths: tuple[EarthPoint, ...] = ()
    accessories: tuple[Accessory, ...] = ()
    taps: tuple[Tap, ...] = ()
    rules: tuple[RuleChoice, ...] = ()
    log: tuple[LogEntry, ...] = ()
    meters: tuple[Meter, ...] = ()
    readings: tuple[Reading, ...] = ()
    sign_offs: tuple[SignOff, ...] = ()
    sockets: tuple[Socket, ...] = ()
