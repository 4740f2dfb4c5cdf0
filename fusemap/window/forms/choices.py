"""The words for everything one chooses from a list: (value, words) pairs for `ChoiceField`."""

from collections.abc import Sequence
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.circuits import counts_critical
from fusemap.text import Amount, Section, Style, Text, given
from fusemap.units import NARROW_SPACE, sold_gauge
from fusemap.vehicle import BATTERY, SWITCHED, Slot, Vehicle, look_up
from fusemap.vehicle.words import (
    FAILED,
    SOCKET,
    STATE,
    SWITCH,
    TOW,
    BatteryName,
    ChargedBy,
    Chemistry,
    EarthKind,
    EngineFuel,
    FeedNeed,
    FiguresFrom,
    FuseFailed,
    LabelStandard,
    LeadSwitch,
    LoadKind,
    Place,
    Sleeve,
    SocketKind,
    State,
    SystemVoltage,
    TapKind,
    WayRound,
    YesNo,
)

translate = QCoreApplication.translate
Choices = Sequence[tuple[Any, str]]
Source = tuple[str, str | None]
"""What a lead is joined to: ("slot", id), ("feed", id), the battery being ("feed", None), or, for a
power lead, ("converter", id) or ("socket", id)."""


def places() -> tuple[tuple[Place, str], ...]:
    """Where something sits in the vehicle."""
    return (
        ("cabin", translate("Choices", "Cabin")),
        ("engine_bay", translate("Choices", "Engine bay")),
        ("boot", translate("Choices", "Boot")),
        ("under_carpet", translate("Choices", "Under the carpet")),
        ("sill", translate("Choices", "Door sill")),
        ("roof", translate("Choices", "Roof")),
        ("underbody", translate("Choices", "Under the vehicle")),
        ("trailer", translate("Choices", "Trailer")),
    )


def sleeves() -> tuple[tuple[Sleeve, str], ...]:
    """How the part of a cable before its fuse is covered."""
    return (
        ("unknown", translate("Choices", "Not looked at (counts as open)")),
        ("open", translate("Choices", "Open")),
        ("sleeved", translate("Choices", "In a sleeve from end to end")),
    )


def earth_kinds() -> tuple[tuple[EarthKind, str], ...]:
    """What an earth point is."""
    return (
        ("body", translate("Choices", "Bolt of the body")),
        ("bar", translate("Choices", "Earth bar of a block")),
        ("battery_minus", translate("Choices", "Minus post of the battery")),
    )


def yes_no() -> tuple[tuple[YesNo, str], ...]:
    """An answer that may be missing."""
    return (
        ("unknown", translate("Choices", "Not looked at")),
        ("no", translate("Choices", "No")),
        ("yes", translate("Choices", "Yes")),
    )


def earths(vehicle: Vehicle) -> Choices:
    """The earth points there are."""
    named = [(point.id, point.name) for point in vehicle.earths]
    return [(None, translate("Choices", "Not chosen")), *named]


def batteries() -> tuple[tuple[BatteryName, str], ...]:
    """Which of two batteries something hangs on."""
    return (
        ("starter", translate("Choices", "Starter battery")),
        ("second", translate("Choices", "Second battery")),
    )


def chemistries() -> tuple[tuple[Chemistry, str], ...]:
    """Battery kinds."""
    return (
        ("flooded", translate("Choices", "Lead-acid, flooded")),
        ("efb", translate("Choices", "Lead-acid, enhanced flooded (EFB)")),
        ("agm", translate("Choices", "Lead-acid, glass mat (AGM)")),
        ("gel", translate("Choices", "Lead-acid, gel")),
        ("lifepo4", translate("Choices", "Lithium iron phosphate (LiFePO₄)")),
    )


def label_standards() -> tuple[tuple[LabelStandard, str], ...]:
    """The standard that a label names beside its cold cranking current."""
    return (
        ("unknown", translate("Choices", "Not named (taken as EN)")),
        ("en", "EN"),
        ("sae", "SAE"),
        ("iec", "IEC"),
        ("din", "DIN"),
    )


def charged_by() -> tuple[tuple[ChargedBy, str], ...]:
    """How full driving leaves the battery."""
    return (
        ("unknown", translate("Choices", "Not known")),
        ("plain", translate("Choices", "Alternator of a steady voltage")),
        ("smart", translate("Choices", "Steered alternator (stop-start)")),
        ("short_trips", translate("Choices", "Short trips")),
    )


def engines() -> tuple[tuple[EngineFuel, str], ...]:
    """What engine is to be started."""
    return (
        ("unknown", translate("Choices", "Not known")),
        ("petrol", translate("Choices", "Petrol")),
        ("diesel", translate("Choices", "Diesel")),
        ("motorcycle", translate("Choices", "Motorcycle")),
    )


def figures_from() -> tuple[tuple[FiguresFrom, str], ...]:
    """Whose figures an accessory has."""
    return (
        ("unsaid", translate("Choices", "Not said")),
        ("library", translate("Choices", "The library’s")),
        ("label", translate("Choices", "Its label’s")),
        ("meter", translate("Choices", "Measured")),
    )


def system_voltages() -> tuple[tuple[SystemVoltage, str], ...]:
    """System voltages."""
    return ((12, f"12{NARROW_SPACE}V"), (24, f"24{NARROW_SPACE}V"))


def states(style: Style) -> tuple[tuple[State, str], ...]:
    """Vehicle states."""
    return tuple((state, style.show(words.label.capital())) for state, words in STATE.items())


def fuse_families(style: Style) -> tuple[tuple[str, str], ...]:
    """Fuse families by their key, with the size by which one tells what is in the panel."""
    return tuple((key, family_and_size(key, style)) for key in tables.fuse_families())


def family_and_size(key: str, style: Style) -> str:
    """A fuse family with the size of its body, width, thickness, height.

    >>> family_and_size("mini", Style()).replace(NARROW_SPACE, " ")
    'mini (11 × 4 × 16 mm)'
    """
    name, body = style.show(Text(tables.fuse_family(key).name)), tables.fuse_bodies().get(key)
    if body is None:
        return name
    return f"{name} ({' × '.join(f'{size:.0f}' for size in body)}{NARROW_SPACE}mm)"


def fuse_ratings(family: str, style: Style) -> tuple[tuple[float, str], ...]:
    """The ratings [A] a fuse family is made in."""
    ratings = tables.fuse_family(family).ratings_a
    return tuple((rating, style.show(given(rating, "A"))) for rating in ratings)


def feeds(vehicle: Vehicle, *, above: str | None = None) -> Choices:
    """What can supply something: straight from the battery, or a feed.

    With `above` only feeds that may stand above that feed: not itself and none below it.
    """
    below = feeds_below(vehicle, above) if above is not None else set()
    named = [(feed.id, feed.name or feed.id) for feed in vehicle.feeds if feed.id not in below]
    return [(None, translate("Choices", "Straight from the battery")), *named]


def slot_feeds(vehicle: Vehicle, slot: Slot) -> Choices:
    """What may supply a slot: nobody knows, the battery itself, or a feed.

    The battery is left out for a slot that something switches, unless a file says so.
    """
    straight = [] if slot.feed_class in SWITCHED and slot.feed != BATTERY else [BATTERY]
    words = {
        BATTERY: translate("Choices", "Straight from the battery"),
        **{feed.id: feed.name or feed.id for feed in vehicle.feeds},
    }
    named = [*straight, *(feed.id for feed in vehicle.feeds)]
    return [(None, translate("Choices", "Not known")), *((key, words[key]) for key in named)]


def feeds_below(vehicle: Vehicle, feed_id: str) -> set[str]:
    """A feed and everything that hangs on it."""
    found = {feed_id}
    grown = True
    while grown:
        more = {feed.id for feed in vehicle.feeds if feed.parent in found} - found
        grown = bool(more)
        found |= more
    return found


def feed_name(vehicle: Vehicle, feed_id: str | None) -> str:
    """What people call a feed."""
    if feed_id is None:
        return translate("Choices", "the battery")
    return look_up.feed(vehicle, feed_id).name


def load_kinds() -> tuple[tuple[LoadKind, str], ...]:
    """How a load answers to a lower voltage."""
    return (
        ("constant_power", translate("Choices", "Electronics (same watts)")),
        ("constant_current", translate("Choices", "Same current always")),
        ("resistive", translate("Choices", "Heater")),
        ("filament", translate("Choices", "Filament lamp")),
        ("motor", translate("Choices", "Motor")),
    )


def needs() -> tuple[tuple[FeedNeed, str], ...]:
    """Which feed an accessory needs."""
    return (
        ("permanent", translate("Choices", "A permanent feed")),
        ("switched", translate("Choices", "A switched feed")),
        ("either", translate("Choices", "Either will do")),
    )


def tap_kinds() -> tuple[tuple[TapKind, str], ...]:
    """How a lead is joined to a slot."""
    return (
        ("two_fuse", translate("Choices", "Two-fuse tap")),
        ("take_off_lead", translate("Choices", "Fuse with take-off lead")),
        ("splice", translate("Choices", "Splice behind the slot")),
        ("terminal", translate("Choices", "Terminal of the slot, behind its fuse")),
    )


def socket_kinds(style: Style) -> tuple[tuple[SocketKind, str], ...]:
    """What a socket is."""
    return tuple((key, style.show(words.capital())) for key, words in SOCKET.items())


def circuit_slots(vehicle: Vehicle, style: Style) -> Choices:
    """The fuse slots that may feed something of the vehicle's own; none where it is not known."""
    named = [
        (slot.id, style.show(look_up.slot_with_circuit(slot)))
        for slot in look_up.slots(vehicle)
        if slot.kind == "fuse"
    ]
    return [(None, translate("Choices", "Not known")), *named]


def modules(vehicle: Vehicle) -> Choices:
    """The accessories that may switch a trailer's lamps."""
    named = [(each.id, each.name) for each in vehicle.accessories]
    return [(None, translate("Choices", "Not said")), *named]


def tow_pins(vehicle: Vehicle, style: Style) -> Choices:
    """The pins of tow sockets in which a lead may end, returns left out."""
    found: list[tuple[Any, str]] = [((None, 0), translate("Choices", "No tow socket"))]
    for socket in vehicle.sockets:
        for pin in tables.socket_pins(socket.kind).values():
            if pin.role != "return":
                words = translate("Choices", "{socket}, pin {pin}: {function}").format(
                    socket=socket.name, pin=pin.number, function=style.show(Text(pin.function))
                )
                found.append(((socket.id, pin.number), words))
    return found


def ways_round() -> tuple[tuple[WayRound, str], ...]:
    """Which side of the host fuse a tap takes its current from."""
    return (
        ("live_side", translate("Choices", "Live side")),
        ("load_side", translate("Choices", "Load side (reversed)")),
    )


def failed(style: Style) -> tuple[tuple[FuseFailed, str], ...]:
    """Whether and how a fuse opened before."""
    return tuple((key, style.show(words.capital())) for key, words in FAILED.items())


def switches(style: Style) -> tuple[tuple[LeadSwitch, str], ...]:
    """What opens and closes a lead."""
    return tuple((key, style.show(words.capital())) for key, words in SWITCH.items())


def sections(style: Style, now: float | None = None) -> Choices:
    """The standard sections [mm²], and the one there is now where it is none of them.

    With AWG first one for each gauge that is sold: the most copper it stands for.
    """
    standard = [row.area_mm2 for row in tables.standard_sections()]
    areas = set(standard)
    if style.section_unit == "AWG":
        by_gauge = {sold_gauge(area): area for area in standard}
        areas = set(by_gauge.values())
    if now is not None:
        areas.add(now)
    return [(area, style.show(Section(area))) for area in sorted(areas)]


def length_words(length_m: float, style: Style) -> str:
    """A length in the unit that is not shown in the field, to stand beside it.

    >>> length_words(2.0, Style()).replace(chr(0x202F), " ")
    '6.6 ft'
    """
    other = replace(style, length="m" if style.length == "ft" else "ft")
    return other.show(Amount(length_m, "m", significant=2))


def insulations(style: Style) -> Choices:
    """Cable insulations by their key."""
    return [(key, style.show(it.words)) for key, it in tables.insulations().items()]


def joints(style: Style) -> Choices:
    """How the lead is joined, best first; what must not be used is said so."""
    grades = {
        "best": translate("Choices", "best"),
        "good": translate("Choices", "good"),
        "fair": translate("Choices", "fair"),
        "poor": translate("Choices", "poor"),
        "never": translate("Choices", "do not use"),
    }
    named = [
        (key, f"{style.show(Text(joint.name).capital())} – {grades[joint.grade]}")
        for key, joint in tables.joints().items()
    ]
    return [("", translate("Choices", "Not said")), *named]


def sources(vehicle: Vehicle, style: Style, hanging: str | None = None) -> Choices:
    """Everything a lead can be joined to: each fuse slot, then own feeds, then converters.

    With `hanging` the converters that this accessory's power lead may hang on.
    """
    several = len(vehicle.panels) > 1
    slots: list[tuple[Any, str]] = []
    for panel in vehicle.panels:
        for slot in panel.slots:
            if slot.kind == "fuse":
                parts = (style.show(look_up.slot_words(slot)), slot.circuit)
                critical = translate("Choices", " (leave alone)") if counts_critical(slot) else ""
                where = f" – {panel.name}" if several else ""
                slots.append((("slot", slot.id), " ".join(filter(None, parts)) + critical + where))
    own = [
        (("feed", key), translate("Choices", "Own feed: {source}").format(source=words))
        for key, words in feeds(vehicle)
    ]
    sockets = [
        (("socket", each.id), translate("Choices", "Plugged into: {name}").format(name=each.name))
        for each in vehicle.sockets
        if hanging and each.slot is not None and each.kind not in TOW
    ]
    converters = _converters(vehicle, style, hanging) if hanging else ()
    return [*slots, *own, *sockets, *converters]


def _converters(vehicle: Vehicle, style: Style, accessory_id: str) -> Choices:
    """The outputs an accessory may hang on: none that hangs on it itself."""
    return [
        (
            ("converter", each.id),
            translate("Choices", "Output of: {name}, {volts}").format(
                name=each.name, volts=style.show(Amount(each.converter.output_v, "V"))
            ),
        )
        for each in look_up.converters(vehicle)
        if each.id != accessory_id
        and each.converter is not None
        and all(above.id != accessory_id for above in look_up.above(vehicle, each))
    ]
