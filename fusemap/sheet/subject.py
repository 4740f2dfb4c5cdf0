"""What a sheet is made from, with the look-ups that its builders share.

In: a vehicle's assessment, its findings, a style, when and from what file it is made, and what
labels are printed on. Out: names, numbers and words of slots, taps and accessories. Nothing is
computed here. No Qt.
"""

from collections.abc import Mapping
from functools import cache, cached_property
from math import isfinite
from typing import Literal

from msgspec import Struct

from fusemap import tables
from fusemap import text as texts
from fusemap.assess import Assessment
from fusemap.checks import Finding
from fusemap.sheet.content import Box, Cell, Column, Figure, Row
from fusemap.sheet.stock import PLAIN, Stock
from fusemap.sheet.style import BATTERY, NO_FUSE, SENSE, STATE, UNNAMED, moment, named
from fusemap.text import (
    NOTHING,
    Amount,
    Argument,
    Duration,
    Style,
    Text,
    Words,
    given,
    in_row,
    run_on,
    say,
)
from fusemap.vehicle import (
    STATES,
    Accessory,
    Cable,
    Fuse,
    Panel,
    Slot,
    State,
    Tap,
    Vehicle,
    look_up,
)

NO_LIMIT = "–"


class Made(Struct, frozen=True):
    """When a sheet is made (ISO date), from which file, by which version of the program."""

    date: str
    file: str = ""
    program: str = "fusemap"


class Subject(Struct, frozen=True, eq=False, dict=True):
    """A vehicle with everything said about it, and how to say it."""

    assessment: Assessment
    findings: tuple[Finding, ...]
    style: Style
    made: Made
    stock: Stock = PLAIN

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle."""
        return self.assessment.vehicle

    @cached_property
    def taps(self) -> tuple[Tap, ...]:
        """All taps, accessory by accessory in the vehicle's order, the power lead first."""
        order = {accessory.id: n for n, accessory in enumerate(self.vehicle.accessories)}
        return tuple(
            sorted(self.vehicle.taps, key=lambda tap: (order[tap.accessory], tap.lead != "power"))
        )

    @cached_property
    def to_fit(self) -> tuple[Tap, ...]:
        """The taps that belong to this job: not those an earlier owner made."""
        return tuple(tap for tap in self.taps if self.accessory(tap).found == "no")

    @cached_property
    def to_remove(self) -> tuple[Tap, ...]:
        """The taps an earlier owner made that are to go."""
        return tuple(tap for tap in self.taps if self.accessory(tap).found == "remove")

    @cached_property
    def staying(self) -> tuple[Tap, ...]:
        """The taps there will be after the work."""
        return tuple(tap for tap in self.taps if tap not in self.to_remove)

    @cached_property
    def hanging(self) -> tuple[Accessory, ...]:
        """The accessories whose power comes from a converter."""
        return tuple(a for a in self.vehicle.accessories if a.supplied_by is not None)

    @cached_property
    def numbers(self) -> Mapping[str, int]:
        """The number of every accessory that has a source: its place in the vehicle's order.

        One that has no source yet keeps its number free, so that placing it changes no other.
        """
        placed = {tap.accessory for tap in self.vehicle.taps} | {a.id for a in self.hanging}
        counted = enumerate(self.vehicle.accessories, start=1)
        return {accessory.id: n for n, accessory in counted if accessory.id in placed}

    @cached_property
    def unplaced(self) -> tuple[Accessory, ...]:
        """The accessories that have no source yet."""
        return tuple(a for a in self.vehicle.accessories if a.id not in self.numbers)

    # --- what is printed ------------------------------------------------------------------------

    def show(self, words: Argument) -> str:
        """A text as it is printed."""
        return self.style.show(words)

    def figure(self, value: float, unit: str, significant: int = 3) -> Figure:
        """A number with its unit, ready to print; nothing is known where it is infinite."""
        shown = self.show(Amount(float(value), unit, significant=significant))
        return Figure(float(value), unit, shown if isfinite(value) else NO_LIMIT)

    def time(self, hours: float) -> Figure:
        """A time [h] in words."""
        return Figure(float(hours), "h", self.show(Duration(float(hours))))

    def moment(self, iso: str) -> str:
        """A day as the language writes days."""
        return moment(iso, self.style)

    def cell(self, cell: Argument | Figure | Box) -> Cell:
        """What stands in a cell."""
        return cell if isinstance(cell, Figure | Box) else self.show(cell)

    def row(
        self,
        *cells: Argument | Figure | Box,
        kind: Literal["plain", "total", "group"] = "plain",
    ) -> Row:
        """A row of a table."""
        return Row(tuple(self.cell(cell) for cell in cells), kind)

    def column(
        self, title: Text, share: float, align: Literal["left", "right", "centre"] = "left"
    ) -> Column:
        """A column of a table."""
        return Column(self.show(title), share, align)

    # --- names ----------------------------------------------------------------------------------

    def badge(self, tap: Tap) -> str:
        """The mark of a tap: its accessory's number, with a letter for the sense lead."""
        return f"{self.numbers[tap.accessory]}{'s' if tap.lead == 'sense' else ''}"

    def accessory(self, tap: Tap) -> Accessory:
        """The accessory a tap is for."""
        return look_up.accessory(self.vehicle, tap.accessory)

    def accessory_name(self, accessory: Accessory) -> Words:
        """What an accessory is called."""
        return named(accessory.name) or UNNAMED

    def accessory_with_lead(self, tap: Tap) -> Words:
        """The accessory of a tap, and which lead it is where it is not the power lead."""
        return _with_lead(self.accessory_name(self.accessory(tap)), tap)

    def lead_name(self, tap: Tap) -> Words:
        """An accessory with its number and its lead: “Dash camera (1s), sense wire”."""
        name = self.accessory_name(self.accessory(tap))
        return _with_lead(run_on(name, f"({self.badge(tap)})"), tap)

    def numbered(self, accessory: Accessory) -> Words:
        """An accessory with its number, if it has a source."""
        name = self.accessory_name(accessory)
        number = self.numbers.get(accessory.id)
        return name if number is None else run_on(name, f"({number})")

    def slot(self, tap: Tap) -> Slot | None:
        """The slot a tap sits on, if it sits on one."""
        return None if tap.slot is None else look_up.slot(self.vehicle, tap.slot)

    def reason(self, slot: Slot) -> Text:
        """Why a slot is critical: our own reasons in the language, anybody else's as typed."""
        return tables.reasons(named(slot.critical_reason))

    def on_block(self, slot: Slot | None) -> bool:
        """Whether a slot is one of a fuse block that was added: its fuse is the accessory's."""
        return slot is not None and self.panel(slot).kind == "block"

    def guard(self, tap: Tap) -> Fuse | None:
        """The fuse of an accessory: its own, or on an added fuse block that of its place."""
        slot = self.slot(tap)
        if tap.fuse is None and slot is not None and self.on_block(slot):
            return slot.fuse
        return tap.fuse

    def panel(self, slot: Slot) -> Panel:
        """The panel of a slot."""
        return look_up.panel_of(self.vehicle, slot.id)

    def panel_name(self, panel: Panel) -> Words:
        """What a panel is called."""
        return named(panel.name) or UNNAMED

    def slot_name(self, slot: Slot) -> Words:
        """What a slot is called: its label, else its place."""
        place = say("row {row}, column {column}", row=slot.row + 1, column=slot.column + 1)
        return named(slot.label) or place

    def slot_with_circuit(self, slot: Slot) -> Words:
        """A slot with what it feeds."""
        return run_on(self.slot_name(slot), named(slot.circuit))

    def slot_on_block(self, slot: Slot) -> Words:
        """The same; on a fuse block that was added with the block's name, two have a first slot."""
        panel, name = self.panel(slot), self.slot_with_circuit(slot)
        if panel.kind != "block":
            return name
        return run_on(name, self.panel_name(panel), between=" – ")

    def source(self, tap: Tap) -> Words:
        """Where a tap takes its current from."""
        slot = self.slot(tap)
        if slot is not None:
            return self.slot_on_block(slot)
        if tap.feed is None and look_up.battery_of(self.vehicle, self.accessory(tap)) == "second":
            return say("Second battery")
        return self.feed_name(tap.feed)

    def source_in_words(self, tap: Tap) -> Words:
        """The same within a sentence: “slot F2 Radio”."""
        slot = self.slot(tap)
        if slot is None:
            return self.source(tap)
        return say("slot {name}", name=self.slot_on_block(slot))

    def output(self, accessory: Accessory) -> Text:
        """The converter an accessory hangs on, with the voltage of its output."""
        above = look_up.accessory(self.vehicle, accessory.supplied_by or "")
        volts = above.converter.output_v if above.converter is not None else accessory.rated_v
        converter = self.numbered(above)
        return say("output of {converter}, {volts}", converter=converter, volts=Amount(volts, "V"))

    def feed_name(self, feed_id: str | None) -> Words:
        """What a feed is called; the battery where there is none."""
        if feed_id is None:
            return BATTERY
        return named(look_up.feed(self.vehicle, feed_id).name) or UNNAMED

    def supply(self, slot: Slot) -> Words:
        """What supplies a slot: a feed by its name, the battery itself, or nobody knows."""
        feed = look_up.feed_of(self.vehicle, slot)
        return look_up.supply_words(self.vehicle, slot) if feed is None else self.feed_name(feed.id)

    def family(self, key: str) -> Text:
        """What a fuse family is called."""
        return Text(tables.fuse_family(key).name)

    def fuse_colour(self, fuse: Fuse) -> Text:
        """The standard's colour of a fuse as a word; nothing where none is known."""
        found = tables.fuse_colour(fuse.family, fuse.rating)
        return NOTHING if found is None else Text(found.name)

    def fuse(self, fuse: Fuse | None) -> Text:
        """A fuse with its colour as a word: “10 A mini, red”."""
        if fuse is None:
            return NO_FUSE
        name = run_on(given(fuse.rating, "A"), self.family(fuse.family))
        colour = self.fuse_colour(fuse)
        return in_row([name, colour]) if colour else name

    def joint(self, key: str) -> Words:
        """What a kind of joint is called; empty where none is chosen."""
        found = tables.joints().get(key)
        return named(key) if found is None else Text(found.name)

    def cable(self, cable: Cable) -> Text:
        """A cable: section, insulation, length, colour."""
        return self.kind_of_cable(
            cable.section_mm2, cable.insulation, cable.colour, Amount(cable.whole_m, "m")
        )

    def kind_of_cable(
        self, area_mm2: float, insulation: str, colour: str, length: Amount | None = None
    ) -> Text:
        """What cable to take, and how much of it where that is asked."""
        kind = insulation.upper().replace("_", " ")
        parts = (texts.Section(area_mm2), kind, length, self.cable_colour(colour))
        return in_row(part for part in parts if part)

    def cable_colour(self, typed: str) -> Text:
        """A cable's colour, its words in the language where they are a standard's: “red/black”."""
        words = (word.strip() for word in named(typed).split("/"))
        known = (Text(word.lower()) if word.lower() in _colours() else word for word in words)
        return run_on(*known, between="/")


def _with_lead(name: Words, tap: Tap) -> Words:
    return name if tap.lead == "power" else in_row([name, SENSE])


@cache
def _colours() -> frozenset[str]:
    """The words that the standards have for colours of fuses."""
    return frozenset(
        colour.name
        for key, family in tables.fuse_families().items()
        for rating in family.ratings_a
        if (colour := tables.fuse_colour(key, rating)) is not None
    )


def in_states(states: tuple[State, ...]) -> Text:
    """When something is live; “always” and “never” where that is what it comes to."""
    if len(states) == len(STATES):
        return say("always live")
    if not states:
        return say("never live")
    return in_row(STATE[state] for state in states)
