"""The panel map: every slot with its fuse, its circuit, when it is live, and what it carries.

In: a subject. Out: for each panel its picture and its table, then the feeds. The figures are the
assessment's, in each slot's worst state. No Qt.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import isfinite

import numpy as np

from fusemap.leave_alone import unanswered
from fusemap.sheet.content import Block, Cell, Column, Facts, Row, Section, Table, Text
from fusemap.sheet.language import named
from fusemap.sheet.panels import pictures
from fusemap.sheet.subject import FEED_LETTERS, Subject, states_in_words
from fusemap.vehicle import FEED_CLASSES, LIVE_IN, STATES, Feed, Panel, Slot, look_up
from fusemap.vehicle.words import FeedClass


def sections(subject: Subject) -> Iterator[Section]:
    """A section per panel, and one for the feeds."""
    for number, panel in enumerate(subject.vehicle.panels, start=1):
        title = f"{subject.panel_name(panel)} ({subject.place(panel.place)})"
        blocks: tuple[Block, ...] = (
            *pictures(subject, panel, titled=False),
            slot_table(subject, panel, f"slots-{number}"),
        )
        yield Section(f"panel-{number}", title, blocks, apart=number > 1)
    if not subject.vehicle.panels:
        yield Section("panels", "", (Text(subject.say("no_panels"), "lead"),))
    if subject.vehicle.feeds:
        yield Section("feeds", subject.say("section.feeds"), (feed_table(subject),))
    if subject.vehicle.panels:
        yield Section("classes", subject.say("section.classes"), (Facts(_classes(subject)),))


def _classes(subject: Subject) -> tuple[tuple[str, str], ...]:
    """Which feed class is live when, of those that occur."""
    used = {slot.feed_class for slot in look_up.slots(subject.vehicle) if slot.kind == "fuse"}
    return tuple(
        (
            f"{FEED_LETTERS[feed_class]} = {subject.say(f'feed.{feed_class}')}",
            live_when(subject, feed_class),
        )
        for feed_class in FEED_CLASSES
        if feed_class in used
    )


def live_when(subject: Subject, feed_class: FeedClass) -> str:
    """When a feed class is live; where that is only reckoned so, or hangs on a switch, it says so.

    No vehicle state is “with the lamps on”: figures take lighting as live with the ignition.
    """
    states = states_in_words(subject, LIVE_IN[feed_class])
    key = f"live.{feed_class}"
    return subject.say(key, states=states) if subject.language.has(key) else states


def slot_table(subject: Subject, panel: Panel, key: str) -> Table:
    """Every slot of a panel in hand order: along the rows, from the top."""
    say = subject.say
    columns = (
        Column(say("column.slot"), 10),
        Column(say("column.fuse"), 16),
        Column(say("column.circuit"), 26),
        Column(say("column.feed"), 24),
        Column(say("column.live_side"), 9),
        Column(say("column.carries"), 10, "right"),
        Column(say("column.limit"), 9, "right"),
        Column(say("column.room"), 9, "right"),
    )
    ordered = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
    return Table(key, columns, tuple(_row(subject, slot) for slot in ordered))


def _row(subject: Subject, slot: Slot) -> Row:
    name, circuit = subject.slot_name(slot), circuit_words(subject, slot)
    if slot.kind != "fuse":
        return Row((name, subject.say(f"slot.{slot.kind}"), circuit, "", "", "", "", ""))
    figures = subject.assessment.slots
    column = figures.index[slot.id]
    row = int(np.argmax(figures.host_a[:, column]))
    return Row(
        (
            name,
            fuse_words(subject, slot),
            circuit,
            feed_words(subject, slot),
            subject.say(f"side.short.{slot.live_side}"),
            carries(subject, column, figures.host_a[row, column]),
            subject.amount(figures.host_limit_a[column], "A"),
            room(subject, column, figures.room_a[column]),
        )
    )


def carries(subject: Subject, column: int, load_a: float) -> Cell:
    """What a slot carries [A]: at least so much where its own load was not measured everywhere."""
    figure = subject.amount(load_a, "A")
    if subject.assessment.slots.own_known[:, column].all():
        return figure
    return replace(figure, text=f"≥ {figure.text}") if load_a > 0 else subject.say("not_measured")


def room(subject: Subject, column: int, room_a: float) -> Cell:
    """What could be added [A]: at most so much where the own load was not measured everywhere."""
    figure = subject.amount(room_a, "A")
    if subject.assessment.slots.own_known[:, column].all() or not isfinite(room_a):
        return figure
    return replace(figure, text=f"≤ {figure.text}")


def fuse_words(subject: Subject, slot: Slot) -> str:
    """The fuse in a slot, or which would fit."""
    if slot.fuse is not None:
        return subject.fuse(slot.fuse)
    return subject.say("empty_for", family=subject.family(slot.family))


def circuit_words(subject: Subject, slot: Slot) -> str:
    """What a slot feeds, its marks, its taps and its note."""
    parts = [named(slot.circuit)]
    if slot.critical:
        why = subject.reason(slot)
        parts.append(subject.say("critical_because", why=why) if why else subject.say("critical"))
    parts += [subject.say(f"looks_{mark}") for mark in unanswered(slot)]
    if slot.monitored:
        parts.append(subject.say("monitored"))
    parts += [
        subject.say("tapped", lead=subject.lead_name(tap))
        for tap in subject.taps
        if tap.slot == slot.id
    ]
    parts.append(named(slot.note))
    return "; ".join(part for part in parts if part)


def feed_words(subject: Subject, slot: Slot) -> str:
    """The feed class, how long it stays live, and the feed above it."""
    parts = [subject.say(f"feed.{slot.feed_class}")]
    if slot.feed_class == "delayed_off":
        minutes = subject.language.decimal(f"{slot.delayed_off_min:g}")
        parts.append(subject.say("for_minutes", minutes=minutes))
    if slot.feed is not None:
        parts.append(subject.feed_name(slot.feed))
    return "; ".join(parts)


# --- feeds ----------------------------------------------------------------------------------------


def feed_table(subject: Subject) -> Table:
    """Every feed with what it carries in its worst state."""
    say = subject.say
    columns = (
        Column(say("column.feed_name"), 32),
        Column(say("column.below"), 24),
        Column(say("column.fuse"), 16),
        Column(say("column.carries"), 12, "right"),
        Column(say("column.limit"), 12, "right"),
        Column(say("column.state"), 16),
    )
    return Table("feeds", columns, tuple(_feed(subject, feed) for feed in subject.vehicle.feeds))


def _feed(subject: Subject, feed: Feed) -> Row:
    figures = subject.assessment.feeds
    column = figures.index[feed.id]
    row = int(np.argmax(figures.current_a[:, column]))
    cells: tuple[Cell, ...] = (
        subject.feed_name(feed.id),
        subject.feed_name(feed.parent),
        "–" if feed.fuse is None else subject.fuse(feed.fuse),
        subject.amount(figures.current_a[row, column], "A"),
        subject.amount(figures.limit_a[column], "A"),
        subject.state(STATES[row]),
    )
    return Row(cells)
