"""What a sheet is made from, with the look-ups that its builders share.

In: a vehicle's assessment, its findings, a language, and when and from what file it is made. Out:
names, numbers and words of slots, taps and accessories. Nothing is computed here. No Qt.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from math import isfinite

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.checks import Finding
from fusemap.sheet.content import Figure
from fusemap.sheet.language import Language, named
from fusemap.vehicle import STATES, Accessory, Feed, Fuse, Panel, Slot, State, Tap, Vehicle, look_up

FEED_LETTERS: Mapping[str, str] = {
    "permanent": "P",
    "ignition": "I",
    "accessory": "A",
    "delayed_off": "D",
    "lighting": "L",
    "unfed": "–",
    "unknown": "?",
}
"""The letters that mark the feed classes, on the screen and on paper."""


@dataclass(frozen=True, slots=True)
class Made:
    """When a sheet is made (ISO date), from which file, by which version of the program."""

    date: str
    file: str = ""
    program: str = "fusemap"


@dataclass(frozen=True, eq=False)
class Subject:
    """A vehicle with everything said about it, and how to say it."""

    assessment: Assessment
    findings: tuple[Finding, ...]
    language: Language
    made: Made

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
        """The number of every accessory that has a source, from 1, in the vehicle's order."""
        placed = {tap.accessory for tap in self.vehicle.taps} | {a.id for a in self.hanging}
        kept = [a.id for a in self.vehicle.accessories if a.id in placed]
        return {accessory_id: n for n, accessory_id in enumerate(kept, start=1)}

    @cached_property
    def unplaced(self) -> tuple[Accessory, ...]:
        """The accessories that have no source yet."""
        return tuple(a for a in self.vehicle.accessories if a.id not in self.numbers)

    # --- names ----------------------------------------------------------------------------------

    def say(self, key: str, **parts: str) -> str:
        """A text of the language."""
        return self.language.text(key, **parts)

    def badge(self, tap: Tap) -> str:
        """The mark of a tap: its accessory's number, with a letter for the sense lead."""
        return f"{self.numbers[tap.accessory]}{'s' if tap.lead == 'sense' else ''}"

    def accessory(self, tap: Tap) -> Accessory:
        """The accessory a tap is for."""
        return look_up.accessory(self.vehicle, tap.accessory)

    def accessory_name(self, accessory: Accessory) -> str:
        """What an accessory is called."""
        return named(accessory.name) or self.say("unnamed")

    def lead_name(self, tap: Tap) -> str:
        """An accessory with its number and its lead: “Dash camera (1s), sense wire”."""
        name = f"{self.accessory_name(self.accessory(tap))} ({self.badge(tap)})"
        return name if tap.lead == "power" else f"{name}, {self.say('lead.sense')}"

    def slot(self, tap: Tap) -> Slot | None:
        """The slot a tap sits on, if it sits on one."""
        return None if tap.slot is None else look_up.slot(self.vehicle, tap.slot)

    def reason(self, slot: Slot) -> str:
        """Why a slot is critical: our own reasons in the language, anybody else's as typed."""
        return tables.say_reasons(named(slot.critical_reason), self.language.phrases.said)

    def panel(self, slot: Slot) -> Panel:
        """The panel of a slot."""
        return look_up.panel_of(self.vehicle, slot.id)

    def panel_name(self, panel: Panel) -> str:
        """What a panel is called."""
        return named(panel.name) or self.say("unnamed")

    def slot_name(self, slot: Slot) -> str:
        """What a slot is called: its label, else its place."""
        label = named(slot.label)
        if label:
            return label
        return self.say("row_column", row=str(slot.row + 1), column=str(slot.column + 1))

    def slot_with_circuit(self, slot: Slot) -> str:
        """A slot with what it feeds."""
        return " ".join(part for part in (self.slot_name(slot), named(slot.circuit)) if part)

    def source(self, tap: Tap) -> str:
        """Where a tap takes its current from."""
        slot = self.slot(tap)
        if slot is not None:
            return self.slot_with_circuit(slot)
        if tap.feed is None and self.accessory(tap).battery == "second":
            return self.say("second_battery")
        return self.feed_name(tap.feed)

    def source_in_words(self, tap: Tap) -> str:
        """The same within a sentence: “slot F2 Radio”."""
        slot = self.slot(tap)
        if slot is None:
            return self.source(tap)
        return self.say("slot_named", name=self.slot_with_circuit(slot))

    def numbered(self, accessory: Accessory) -> str:
        """An accessory with its number, if it has a source."""
        name = self.accessory_name(accessory)
        number = self.numbers.get(accessory.id)
        return name if number is None else f"{name} ({number})"

    def output(self, accessory: Accessory) -> str:
        """The converter an accessory hangs on, with the voltage of its output."""
        above = look_up.accessory(self.vehicle, accessory.supplied_by or "")
        volts = above.converter.output_v if above.converter is not None else accessory.rated_v
        said = self.amount(volts, "V").text
        return self.say("output", converter=self.numbered(above), volts=said)

    def feed_name(self, feed_id: str | None) -> str:
        """What a feed is called; the battery where there is none."""
        if feed_id is None:
            return self.say("battery")
        return named(look_up.feed(self.vehicle, feed_id).name) or self.say("unnamed")

    def family(self, key: str) -> str:
        """What a fuse family is called."""
        return self.language.known(f"family.{key}", tables.fuse_family(key).name)

    def colour(self, fuse: Fuse) -> str:
        """The standard's colour of a fuse as a word; empty where none is known."""
        found = tables.fuse_colour(fuse.family, fuse.rating)
        if found is None:
            return ""
        return self.language.known(f"colour.{found.name}", found.name)

    def fuse(self, fuse: Fuse | None) -> str:
        """A fuse with its colour as a word: “10 A mini, red”."""
        if fuse is None:
            return self.say("no_fuse")
        colour = self.colour(fuse)
        name = f"{self.language.rating(fuse.rating)} {self.family(fuse.family)}"
        return f"{name}, {colour}" if colour else name

    def joint(self, key: str) -> str:
        """What a kind of joint is called; empty where none is chosen."""
        found = tables.joints().get(key)
        if found is None:
            return named(key)
        return self.language.known(f"joint.{key}", found.name)

    def place(self, place: str) -> str:
        """A place of the vehicle."""
        return self.say(f"place.{place}")

    def state(self, state: State | None) -> str:
        """A vehicle state; empty where states play no part."""
        return "" if state is None else self.say(f"state.{state}")

    def above(self, slot: Slot | None, feed_id: str | None) -> tuple[Feed, ...]:
        """The feeds above a slot or an own feed, from the battery downwards."""
        found: list[Feed] = []
        at = slot.feed if slot is not None else feed_id
        while at is not None:
            feed = look_up.feed(self.vehicle, at)
            found.insert(0, feed)
            at = feed.parent
        return tuple(found)

    # --- numbers --------------------------------------------------------------------------------

    def amount(self, value: float, unit: str) -> Figure:
        """A number with its unit, ready to print."""
        return self.language.figure(float(value), unit)

    def limit(self, value: float, unit: str = "A") -> Figure | None:
        """A limit, or nothing where there is none."""
        return self.amount(value, unit) if isfinite(value) else None

    def share(self, value: float) -> Figure:
        """A share as whole per cent."""
        return self.language.figure(float(value), "%")


def states_in_words(subject: Subject, states: tuple[State, ...]) -> str:
    """Several vehicle states in a row; “always” and “never” where that is what it comes to."""
    if len(states) == len(STATES):
        return subject.say("always")
    if not states:
        return subject.say("never")
    return subject.language.listed(tuple(subject.state(state) for state in states))
