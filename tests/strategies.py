"""Vehicles for property tests: any vehicle that can be, made from the document's own fields.

`vehicles()` gives every sort of vehicle a file may hold, up to the ends of every range;
`vehicles(usual=True)` the sort that stands in a workshop, for tests that compute with it.
New fields of the document are taken in by themselves: the fields are asked for their types.
"""

from functools import cache
from typing import Any

from hypothesis import strategies as st
from msgspec import Struct, inspect
from msgspec.structs import replace

from fusemap import tables
from fusemap.vehicle import (
    BATTERY,
    STATES,
    WEEKDAYS,
    Accessory,
    Battery,
    BorrowedSlot,
    Cable,
    CrankReading,
    Drive,
    EarthPoint,
    Feed,
    Fuse,
    LogEntry,
    Meter,
    Panel,
    PanelPhoto,
    Parking,
    PhotoPoint,
    Pin,
    Reading,
    RuleChoice,
    SecondBattery,
    SignOff,
    Slot,
    Socket,
    StandReading,
    StateLoads,
    Tap,
    Vehicle,
    VoltageCutOff,
)
from fusemap.vehicle.model import UNREAD
from fusemap.vehicle.parts import UNITS
from fusemap.vehicle.texts import clean
from fusemap.vehicle.validity import LONGEST_DRIVE_MIN, MOST_READ, RANGES, span
from fusemap.vehicle.words import TOW

# What is usual by the end of a field's name, the first that fits: (least, most).
USUAL = {
    "locked_at_h": (0.0, 23.5),
    "start_h": (0.0, 23.5),
    "cranking_a": (80.0, 400.0),
    "short_s": (1.0, 300.0),
    "output_w": (10.0, 400.0),
    "_spread": (0.0, 0.4),
    "from_h": (0.0, 24.0),
    "to_h": (0.0, 24.0),
    "asleep": (0.0, 0.05),
    "minutes": (0.1, 10.0),
    "standby_a": (0.0, 0.1),
    "rest_current_a": (0.005, 0.2),
    "awake_current_a": (0.2, 8.0),
    "sense_a": (0.0, 0.05),
    "cca_a": (200.0, 900.0),
    "largest_fuse_a": (1.0, 60.0),
    "_a": (0.0, 60.0),
    "_ah": (30.0, 230.0),
    "reserve_min": (60.0, 200.0),
    "_min": (0.0, 120.0),
    "every_h": (0.5, 48.0),
    "rated_v": (12.0, 28.0),
    "_v": (9.0, 28.0),
    "_m": (0.2, 8.0),
    "_mm2": (0.35, 35.0),
    "_mohm": (0.1, 30.0),
    "_s": (0.0, 10.0),
    "_c": (-30.0, 85.0),
    "_days": (0.0, 60.0),
    "_years": (0.0, 15.0),
    "engine_l": (0.05, 8.0),
    "watts": (0.5, 400.0),
    "amperes": (0.05, 40.0),
    "duty": (0.05, 1.0),
    "efficiency": (0.5, 0.95),
    "share": (0.0, 0.1),
    "counts": (0.0, 10.0),
    "resolution": (1e-6, 0.1),
    "soh": (0.4, 1.0),
    "_soc": (0.4, 1.0),
    "_multiple": (1.0, 8.0),
    "bundle": (1, 12),
    "number": (1, 13),
    "pin": (0, 13),
    "parallel": (1, 2),
}
# What nobody sees on screen is refused in a vehicle: controls, marks of direction, line ends.
FIELD_WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp")), max_size=12
).filter(lambda text: clean(text, lines=True) == text.strip())


def families() -> st.SearchStrategy[str]:
    """A fuse family the tables have."""
    return st.sampled_from(sorted(tables.fuse_families()))


@st.composite
def fuses(draw: st.DrawFn, family: str | None = None) -> Fuse:
    """A fuse with a rating of its family, measured or not."""
    with_ratings = [f for f in sorted(tables.fuse_families()) if tables.fuse_family(f).ratings_a]
    family = draw(st.sampled_from(with_ratings)) if family is None else family
    rating = draw(st.sampled_from(tables.fuse_family(family).ratings_a))
    measured = draw(st.none() | numbers("resistance_mohm", usual=True))
    return Fuse(family=family, rating=rating, resistance_mohm=measured)


def numbers(name: str, usual: bool) -> st.SearchStrategy[float]:
    """A number for a field of this name; usual ones have the digits people write."""
    if usual:
        least, most = next((span for end, span in USUAL.items() if name.endswith(end)), (0.0, 30.0))
        return st.floats(least, most).map(lambda value: max(least, round(value, 3)))
    least, most = span(name)
    return st.floats(max(least, -1e9), min(most, 1e9), allow_subnormal=False)


def _whole_numbers(name: str, usual: bool) -> st.SearchStrategy[int]:
    least, most = USUAL[name] if usual and name in USUAL else span(name)
    return st.integers(int(least), int(min(most, 1e9)))


def _field(name: str, kind: inspect.Type, usual: bool) -> st.SearchStrategy[Any]:
    match kind:
        case inspect.UnionType(types=types):
            return st.one_of(*(_field(name, one, usual) for one in types))
        case inspect.NoneType():
            return st.none()
        case inspect.BoolType():
            return st.booleans()
        case inspect.FloatType():
            return numbers(name, usual)
        case inspect.IntType():
            return _whole_numbers(name, usual)
        case inspect.LiteralType(values=values):
            return st.sampled_from(values)
        case inspect.StrType():
            return FIELD_WORDS
        case inspect.StructType(cls=cls):
            return parts(cls, usual)
        case inspect.VarTupleType(item_type=item):
            return st.lists(_field(name, item, usual), max_size=3).map(tuple)
    raise TypeError(f"no strategy for the field {name}: {kind}")


OWN = {
    Fuse: lambda usual: fuses(),
    VoltageCutOff: lambda usual: cut_offs(usual),
    Cable: lambda usual: parts_as_they_are(
        Cable, usual, insulation=st.sampled_from(sorted(tables.insulations()))
    ),
    RuleChoice: lambda usual: rule_choices(),
    Battery: lambda usual: ranged(Battery, usual),
    Parking: lambda usual: ranged(Parking, usual),
    Drive: lambda usual: drives(usual),
    Slot: lambda usual: parts_as_they_are(Slot, usual).map(bounded),
    BorrowedSlot: lambda usual: parts_as_they_are(BorrowedSlot, usual).map(bounded),
    PanelPhoto: lambda usual: photos(),
    CrankReading: lambda usual: crank_readings(),
    StandReading: lambda usual: stand_readings(),
}


def parts(struct: type[Struct], usual: bool = False) -> st.SearchStrategy[Any]:
    """Any part of this sort that can be by itself."""
    return OWN[struct](usual) if struct in OWN else parts_as_they_are(struct, usual)


def parts_as_they_are(
    struct: type[Struct], usual: bool, /, **own: st.SearchStrategy[Any]
) -> st.SearchStrategy[Any]:
    """A part whose fields do not hang together, but for those given in `own`."""
    return st.builds(struct, **(_fields(struct, usual) | own))


@cache
def _fields(struct: type[Struct], usual: bool) -> dict[str, st.SearchStrategy[Any]]:
    found = {}
    for field in inspect.type_info(struct).fields:
        made = _field(field.name, field.type, usual)
        found[field.name] = made if field.required else st.just(_default(field)) | made
    return found


def _default(field: inspect.Field) -> Any:
    """The default of a field, made new where the document makes it new."""
    made = field.default_factory
    return made() if callable(made) else field.default


def ranged(struct: type[Struct], usual: bool) -> st.SearchStrategy[Any]:
    """A part whose ranges have their low end below their high end."""

    def sorted_ends(part: Any) -> Any:
        changes = {}
        for low, high in (*RANGES, ("night_c", "day_c")):
            ends = [getattr(part, name, None) for name in (low, high)]
            if None not in ends:
                changes |= dict(zip((low, high), sorted(ends), strict=True))
        return replace(part, **changes)

    own = {}
    if struct is Parking:
        own["locked_on"] = st.sampled_from(["", "2025-05-17"])
    return parts_as_they_are(struct, usual, **own).map(sorted_ends)


@st.composite
def photos(draw: st.DrawFn) -> PanelPhoto:
    """A photo with each corner of the grid near its own corner of the picture."""
    inside = st.floats(0.0, 0.24)
    ways = {
        "top_left": (0, 0),
        "top_right": (1, 0),
        "bottom_right": (1, 1),
        "bottom_left": (0, 1),
    }
    corners = {
        name: PhotoPoint(across=abs(right - draw(inside)), down=abs(low - draw(inside)))
        for name, (right, low) in ways.items()
    }
    return PanelPhoto(jpeg=draw(st.sampled_from(["/9j/", "/9j/4AAQ", "/9j/+w=="])), **corners)


def drives(usual: bool) -> st.SearchStrategy[Drive]:
    """A drive of some length, on some days."""
    days = st.lists(st.sampled_from(WEEKDAYS), min_size=1, max_size=7).map(tuple)
    minutes = st.floats(1.0, 90.0 if usual else LONGEST_DRIVE_MIN)
    return parts_as_they_are(Drive, usual, minutes=minutes, weekdays=days)


@st.composite
def crank_readings(draw: st.DrawFn) -> CrankReading:
    """A start that was followed with a meter: less than at rest, and no first dip."""
    rest = draw(st.floats(11.0, 13.5))
    return CrankReading(
        rest_v=rest,
        crank_v=draw(st.floats(6.0, min(12.0, rest - 0.31))),
        temperature_c=draw(st.floats(-30.0, 40.0)),
        response=draw(st.sampled_from(["steady", "slow"])),
        when=draw(st.sampled_from(["", "2025-05-17"])),
        note=draw(FIELD_WORDS),
    )


@st.composite
def stand_readings(draw: st.DrawFn) -> StandReading:
    """What a standing may show: a battery that sinks, a current, a start or none."""
    kind = draw(st.sampled_from(["rests", "night", "start"]))
    rest = draw(st.floats(11.0, 13.5))
    return StandReading(
        kind=kind,
        hours=draw(st.floats(12.0, 2000.0)),
        rest_v=rest if kind == "rests" else draw(st.sampled_from([None, rest])),
        later_v=draw(st.floats(10.0, rest)) if kind == "rests" else None,
        mean_a=draw(st.floats(0.001, 5.0)) if kind == "night" else None,
        started=draw(st.booleans()) if kind == "start" else None,
        temperature_c=draw(st.none() | st.floats(-30.0, 40.0)),
        when=draw(st.sampled_from(["", "2025-05-17"])),
        note=draw(FIELD_WORDS),
    )


def cut_offs(usual: bool) -> st.SearchStrategy[VoltageCutOff]:
    """A cut-off that comes on again at or above where it went off."""
    volts = st.tuples(numbers("off_v", usual), numbers("on_v", usual)).map(sorted)
    return st.builds(
        lambda pair, delay: VoltageCutOff(off_v=pair[0], on_v=pair[1], delay_s=delay),
        volts,
        numbers("delay_s", usual),
    )


@st.composite
def rule_choices(draw: st.DrawFn) -> RuleChoice:
    """A named rule with a believable value."""
    rule = draw(st.sampled_from([*tables.rule_defaults().values()]))
    value = draw(st.floats(rule.low, rule.high) | st.just(rule.value))
    return RuleChoice(key=rule.key, value=value)


@st.composite
def slots(
    draw: st.DrawFn, slot_id: str, row: int, column: int, feed_ids: list[str], usual: bool
) -> Slot:
    """A slot at a place, hanging on one of the feeds, holding nothing or a fuse that fits."""
    family = draw(families())
    kind = draw(st.sampled_from(["fuse", "fuse", "fuse", "relay", "blocked"]))
    can_hold = kind == "fuse" and tables.fuse_family(family).ratings_a
    return draw(
        parts_as_they_are(
            Slot,
            usual,
            id=st.just(slot_id),
            row=st.just(row),
            column=st.just(column),
            family=st.just(family),
            kind=st.just(kind),
            fuse=st.none() | fuses(family) if can_hold else st.none(),
            feed=st.sampled_from([None, BATTERY, *feed_ids]),
        ).map(bounded)
    )


def bounded(slot: Any) -> Any:
    """A slot, own or borrowed, with a most for no load but those it has, and none below them."""
    bounds = {
        state: max(load, most)
        for state in STATES
        if (load := getattr(slot.own_load, state)) is not None
        and (most := getattr(slot.own_most, state)) is not None
    }
    return replace(slot, own_most=StateLoads(**bounds) if bounds else UNREAD)


@st.composite
def panels(draw: st.DrawFn, number: int, feed_ids: list[str], usual: bool) -> Panel:
    """A panel with slots on some of its places."""
    rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 4))
    places = [(row, column) for row in range(rows) for column in range(columns)]
    least = min(2, len(places))
    taken = draw(st.lists(st.sampled_from(places), unique=True, min_size=least, max_size=5))
    made = tuple(
        draw(slots(f"slot-{number}-{index}", row, column, feed_ids, usual))
        for index, (row, column) in enumerate(taken)
    )
    return draw(
        parts_as_they_are(
            Panel,
            usual,
            id=st.just(f"panel-{number}"),
            rows=st.just(rows),
            columns=st.just(columns),
            slots=st.just(made),
        )
    )


@st.composite
def feeds(draw: st.DrawFn, usual: bool) -> tuple[Feed, ...]:
    """Feeds of which each may hang below one that comes before it; their order is mixed."""
    ids = [f"feed-{number}" for number in range(draw(st.integers(0, 4)))]
    made = [
        draw(
            parts_as_they_are(
                Feed,
                usual,
                id=st.just(feed_id),
                parent=st.sampled_from([None, *ids[:number]]),
                fuse=st.none() | fuses(),
            )
        )
        for number, feed_id in enumerate(ids)
    ]
    return tuple(draw(st.permutations(made)))


@st.composite
def accessories(draw: st.DrawFn, number: int, usual: bool) -> Accessory:
    """An accessory given in watts or in amperes, with its leads."""
    in_watts = draw(st.booleans())
    return draw(
        parts_as_they_are(
            Accessory,
            usual,
            id=st.just(f"accessory-{number}"),
            kind=st.sampled_from(["", *sorted(kind.key for kind in tables.accessory_kinds())]),
            watts=numbers("watts", usual) if in_watts else st.none(),
            amperes=st.none() if in_watts else numbers("amperes", usual),
            rated_v=st.sampled_from([12.0, 13.8, 24.0, 27.6])
            if usual
            else numbers("rated_v", False),
            leads=st.sampled_from([("power",), ("power", "sense"), ("sense", "power")]),
            works_in=st.sets(
                st.sampled_from(["asleep", "awake", "accessory", "ignition", "running"])
            ).map(lambda states: tuple(sorted(states))),
            supplied_by=st.none(),
        )
    )


@st.composite
def shelves(draw: st.DrawFn, usual: bool) -> tuple[Accessory, ...]:
    """Some accessories, of which each may hang on a converter that comes before it."""
    made: list[Accessory] = []
    for number in range(draw(st.sampled_from([1, 2, 3, 0]))):
        converters = [each.id for each in made if each.converter is not None]
        above = draw(st.sampled_from([None, *converters]))
        made.append(replace(draw(accessories(number, usual)), supplied_by=above))
    return tuple(made)


@st.composite
def taps(
    draw: st.DrawFn,
    number: int,
    accessory: Accessory,
    lead: str,
    slot_ids: list[str],
    feed_ids: list[str],
    earth_ids: list[str],
    holes: tuple[Socket, ...],
    usual: bool,
) -> Tap:
    """A tap of one lead, on one of the slots, an own feed, or in a socket."""
    slot = draw(st.sampled_from([*slot_ids, None]))
    own = slot is None
    kinds = ["own_feed"] if own else ["two_fuse", "take_off_lead", "splice"]
    fitting = [hole for hole in holes if (hole.kind in TOW if own else hole.slot == slot)]
    plugged = draw(st.sampled_from([None, *fitting]))
    if plugged is not None and not own and plugged.kind not in TOW:
        kinds = ["plug"]
    return draw(
        parts_as_they_are(
            Tap,
            usual,
            id=st.just(f"tap-{number}"),
            accessory=st.just(accessory.id),
            lead=st.just(lead),
            slot=st.just(slot),
            kind=st.sampled_from(kinds),
            feed=st.sampled_from([None, *feed_ids]) if own else st.none(),
            relay=st.booleans() if own else st.just(False),
            fuse=st.none() | fuses(),
            joint=st.sampled_from(["", *sorted(tables.joints())]),
            earth=st.sampled_from([None, *earth_ids]),
            socket=st.just(None if plugged is None else plugged.id),
        )
    )


@st.composite
def sockets(
    draw: st.DrawFn, slot_ids: list[str], accessory_ids: list[str], usual: bool
) -> tuple[Socket, ...]:
    """Some sockets, tow sockets with a few pins."""
    return tuple(
        draw(
            parts_as_they_are(
                Socket,
                usual,
                id=st.just(f"socket-{number}"),
                slot=st.sampled_from([None, *slot_ids]),
                module=st.sampled_from([None, *accessory_ids]),
                pins=st.lists(
                    parts_as_they_are(Pin, usual), max_size=3, unique_by=lambda pin: pin.number
                ).map(tuple),
            )
        )
        for number in range(draw(st.sampled_from([0, 1, 2])))
    )


@st.composite
def earths(draw: st.DrawFn, usual: bool) -> tuple[EarthPoint, ...]:
    """Some earth points."""
    return tuple(
        draw(parts_as_they_are(EarthPoint, usual, id=st.just(f"earth-{number}")))
        for number in range(draw(st.sampled_from([0, 1, 2])))
    )


@st.composite
def readings(draw: st.DrawFn, number: int, slot_ids: list[str], meters: list[str]) -> Reading:
    """A reading of a slot or of the whole vehicle; what it is of may be gone from the vehicle."""
    quantity = draw(st.sampled_from(sorted(UNITS)))
    most = MOST_READ.get(UNITS[quantity])
    answers = st.sampled_from([0.0, 1.0]) if most is None else st.floats(-most, most)
    low, high = sorted([draw(answers), draw(answers)])
    target = draw(st.sampled_from(["slot", "vehicle"]))
    return draw(
        parts_as_they_are(
            Reading,
            True,
            id=st.just(f"reading-{number}"),
            when=st.datetimes().map(lambda when: when.isoformat(timespec="seconds")),
            quantity=st.just(quantity),
            value=st.just(low),
            highest=st.sampled_from([None, high]),
            target=st.just(target),
            target_id=st.sampled_from([*slot_ids, "gone"]) if target == "slot" else st.just(""),
            fuse_out=st.none(),
            fuses_out=st.lists(st.sampled_from([*slot_ids, "gone"]), max_size=3).map(tuple),
            meter=st.sampled_from([None, *meters]),
            corrects=st.sampled_from([None, *(f"reading-{n}" for n in range(1, number))]),
        )
    )


@st.composite
def vehicles(draw: st.DrawFn, usual: bool = False) -> Vehicle:
    """A whole vehicle in which everything that is referred to is there."""
    made_feeds = draw(feeds(usual))
    feed_ids = [feed.id for feed in made_feeds]
    made_panels = tuple(
        draw(panels(number, feed_ids, usual)) for number in range(draw(st.sampled_from([1, 2, 0])))
    )
    shelf = draw(shelves(usual))
    slot_ids = [s.id for panel in made_panels for s in panel.slots if s.kind == "fuse"]
    leads = [
        (accessory, lead)
        for accessory in shelf
        for lead in accessory.leads
        if lead != "power" or accessory.supplied_by is None
    ]
    placed = [pair for pair in leads if draw(st.sampled_from([True, True, False]))]
    meters = tuple(
        draw(parts_as_they_are(Meter, usual, id=st.just(f"meter-{number}")))
        for number in range(1, draw(st.integers(0, 2)) + 1)
    )
    meter_ids = [meter.id for meter in meters]
    points = draw(earths(usual))
    earth_ids = [point.id for point in points]
    holes = draw(sockets(slot_ids, [each.id for each in shelf], usual))
    read = draw(st.sampled_from([0, 1, 4]))
    return Vehicle(
        name=draw(FIELD_WORDS),
        system_v=draw(st.sampled_from([12, 24])),
        note=draw(FIELD_WORDS),
        battery=draw(parts(Battery, usual)),
        parking=draw(parts(Parking, usual)),
        second_battery=draw(st.none() | parts(SecondBattery, usual)),
        panels=made_panels,
        feeds=made_feeds,
        earths=points,
        accessories=shelf,
        taps=tuple(
            draw(taps(number, accessory, lead, slot_ids, feed_ids, earth_ids, holes, usual))
            for number, (accessory, lead) in enumerate(placed)
        ),
        rules=tuple(
            draw(st.lists(parts(RuleChoice, usual), max_size=2, unique_by=lambda r: r.key))
        ),
        log=tuple(draw(st.lists(parts(LogEntry, usual), max_size=2))),
        meters=meters,
        readings=tuple(draw(readings(n, slot_ids, meter_ids)) for n in range(1, read + 1)),
        sign_offs=tuple(draw(st.lists(parts(SignOff, usual), max_size=1))),
        sockets=holes,
    )
