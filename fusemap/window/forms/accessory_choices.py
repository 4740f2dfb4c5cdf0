"""The words for what is chosen about accessories and taps, and two ways to stand fields together.

In: tables and the vehicle. Out: (value, words) pairs for `ChoiceField`.
"""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from fusemap import tables
from fusemap.leave_alone import counts_critical
from fusemap.text import Amount, Style, Text
from fusemap.units import sold_gauge
from fusemap.vehicle import Vehicle, look_up, supply
from fusemap.vehicle.words import FeedNeed, LoadKind, TapKind, WayRound
from fusemap.window.forms import choices
from fusemap.window.panel.slot_words import sentence
from fusemap.window.style.theme import space

translate = QCoreApplication.translate
Choices = list[tuple[Any, str]]
Source = tuple[str, str | None]
"""What a lead is joined to: ("slot", id), ("feed", id), the battery being ("feed", None), or, for a
power lead, ("converter", id)."""


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
    )


def ways_round() -> tuple[tuple[WayRound, str], ...]:
    """Which side of the host fuse a tap takes its current from."""
    return (
        ("live_side", translate("Choices", "Live side")),
        ("load_side", translate("Choices", "Load side (reversed)")),
    )


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
    return [(area, style.section(area)) for area in sorted(areas)]


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
        (key, f"{sentence(style.show(Text(joint.name)))} – {grades[joint.grade]}")
        for key, joint in tables.joints().items()
    ]
    return [("", translate("Choices", "Not said")), *named]


def sources(vehicle: Vehicle, style: Style, hanging: str | None = None) -> Choices:
    """Everything a lead can be joined to: each fuse slot, then own feeds, then converters.

    With `hanging` the converters that this accessory's power lead may hang on.
    """
    several = len(vehicle.panels) > 1
    slots: Choices = []
    for panel in vehicle.panels:
        for slot in panel.slots:
            if slot.kind == "fuse":
                parts = (look_up.slot_name(slot), slot.circuit)
                critical = translate("Choices", " (leave alone)") if counts_critical(slot) else ""
                where = f" – {panel.name}" if several else ""
                slots.append((("slot", slot.id), " ".join(filter(None, parts)) + critical + where))
    own = [
        (("feed", key), translate("Choices", "Own feed: {source}").format(source=words))
        for key, words in choices.feeds(vehicle)
    ]
    return [*slots, *own, *(_converters(vehicle, style, hanging) if hanging else ())]


def _converters(vehicle: Vehicle, style: Style, accessory_id: str) -> Choices:
    """The outputs an accessory may hang on: none that hangs on it itself."""
    return [
        (
            ("converter", each.id),
            translate("Choices", "Output of: {name}, {volts}").format(
                name=each.name, volts=style.show(Amount(each.converter.output_v, "V"))
            ),
        )
        for each in supply.converters(vehicle)
        if each.id != accessory_id
        and each.converter is not None
        and all(above.id != accessory_id for above in supply.above(vehicle, each))
    ]


def side_by_side(*widgets: QWidget) -> QWidget:
    """Fields in one row of a form."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(space(row, "small"))
    for widget in widgets:
        line.addWidget(widget)
    return row


def below_each_other(widgets: Iterable[QWidget]) -> QWidget:
    """Fields under each other at one label."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(space(whole, "small"))
    for widget in widgets:
        column.addWidget(widget)
    return whole
