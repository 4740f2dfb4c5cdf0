"""Panels as they are drawn on paper, the panel map and the lid card.

In: a subject and its panels. Out: `PanelPicture`s, every place with its marks in the true
arrangement (a panel with many columns comes in several, so that the places stay large enough to
read); the map, every slot with its fuse, its circuit, when it is live and what it carries in its
worst state; the photo of its lid where there is one. No Qt.
"""

from collections.abc import Iterator
from typing import Final

import numpy as np
from msgspec.structs import replace

from fusemap import tables
from fusemap.circuits import FUNCTION_WORDS, circuit_of, counts_critical, unanswered
from fusemap.photo.jpeg import kept_jpeg
from fusemap.sheet.content import (
    Block,
    Facts,
    Figure,
    PanelPicture,
    Paragraph,
    PhotoPicture,
    Row,
    Section,
    SlotPicture,
    Table,
)
from fusemap.sheet.style import (
    FEED,
    FEED_SIGNS,
    LOOKS,
    NO_PANELS,
    NOT_MEASURED,
    SIDE_SHORT,
    SLOT_KIND,
    STATE,
    named,
)
from fusemap.sheet.subject import Subject, in_states
from fusemap.text import Argument, Text, Words, given, in_row, run_on, say
from fusemap.vehicle import FEED_CLASSES, LIVE_IN, STATES, Feed, Panel, Slot, look_up
from fusemap.vehicle.words import PLACE, FeedClass, own_words

PLAIN: Final = ("#ffffff", "#111111")
"""Fill and ink of a fuse without a colour."""

# --- pictures -------------------------------------------------------------------------------------


def pictures(
    subject: Subject, panel: Panel, *, titled: bool = True, widest: int = 8
) -> Iterator[PanelPicture]:
    """A panel in pictures of at most `widest` columns, the legend under the last."""
    whole = picture(subject, panel)
    if not titled:
        whole = replace(whole, name="")
    count = max(1, -(-panel.columns // widest))
    across = -(-panel.columns // count)
    for part in range(count):
        first, last = part * across, min(panel.columns, (part + 1) * across)
        of_all = say(
            "columns {first} to {last} of {all}", first=first + 1, last=last, all=panel.columns
        )
        yield replace(
            whole,
            columns=last - first,
            slots=tuple(
                replace(slot, column=slot.column - first)
                for slot in whole.slots
                if first <= slot.column < last
            ),
            legend=whole.legend if part == count - 1 else (),
            continued="" if count == 1 else subject.show(of_all),
        )


def picture(subject: Subject, panel: Panel) -> PanelPicture:
    """A panel in one picture."""
    slots = tuple(slot_picture(subject, slot) for slot in panel.slots)
    return PanelPicture(
        name=subject.show(subject.panel_name(panel)),
        rows=panel.rows,
        columns=panel.columns,
        slots=slots,
        legend=tuple(
            (key, subject.show(words))
            for key, words in _legend(slots)
            if not (key == "live_unknown" and panel.kind == "block")
        ),
    )


def photos(subject: Subject, panel: Panel) -> Iterator[PhotoPicture]:
    """The photo of a panel's lid with its places marked, if it has one that can be drawn."""
    if panel.photo is None or kept_jpeg(panel.photo.jpeg) is None:
        return
    whole = picture(subject, panel)
    name = say("{panel}: photo of the lid", panel=subject.panel_name(panel))
    note = say(
        "Each place with its label; black: tapped, with the accessory’s number in brackets. The "
        "places are as the grid was drawn on the photo."
    )
    yield PhotoPicture(
        subject.show(name), panel.photo, panel.rows, panel.columns, whole.slots, subject.show(note)
    )


def slot_picture(subject: Subject, slot: Slot) -> SlotPicture:
    """One place of a panel."""
    fuse = slot.fuse if slot.kind == "fuse" else None
    colour = None if fuse is None else tables.fuse_colour(fuse.family, fuse.rating)
    fill, ink = PLAIN if colour is None else (colour.hex, colour.text_hex)
    return SlotPicture(
        row=slot.row,
        column=slot.column,
        label=named(slot.label),
        kind=slot.kind,
        kind_word=subject.show(_kind_word(slot)),
        orientation=slot.orientation,
        rating="" if fuse is None else subject.show(fuse.rating),
        colour="" if fuse is None else subject.show(subject.fuse_colour(fuse)),
        colour_hex=fill,
        ink_hex=ink,
        circuit=named(slot.circuit),
        feed_class=slot.feed_class,
        live_side=slot.live_side,
        critical=counts_critical(slot),
        monitored=slot.monitored or "monitored" in unanswered(slot),
        asked=bool(unanswered(slot)),
        badges=tuple(subject.badge(tap) for tap in subject.taps if tap.slot == slot.id),
    )


def _kind_word(slot: Slot) -> Words:
    if slot.kind == "fuse":
        return say("empty") if slot.fuse is None else ""
    return SLOT_KIND[slot.kind]


def _legend(slots: tuple[SlotPicture, ...]) -> Iterator[tuple[str, Text]]:
    """What the marks that occur mean, as (key of the mark, words)."""
    fuses = [slot for slot in slots if slot.kind == "fuse"]
    if any(slot.badges for slot in slots):
        yield "badge", say("Number on black: accessory tapped here")
    if any(slot.live_side != "unknown" for slot in fuses):
        yield "live", say("Arrow: live side")
    if any(slot.live_side == "unknown" for slot in fuses):
        yield "live_unknown", say("No arrow: live side not known")
    if any(slot.critical for slot in slots):
        yield "critical", say("Padlock: leave alone")
    if any(slot.monitored for slot in slots):
        yield "monitored", say("Eye: watched by the vehicle")
    asked = [slot.label for slot in slots if slot.asked and slot.label]
    if asked:
        yield "asked", say("By name or feed class alone, nobody answered: {slots}",
                           slots=in_row(asked))  # fmt: skip
    for feed_class in FEED_CLASSES:
        if any(slot.feed_class == feed_class for slot in fuses):
            yield f"feed:{feed_class}", _mark_and_feed(feed_class)


def _mark_and_feed(feed_class: FeedClass) -> Text:
    """The number in the mark with what it says; of a sign, which stands drawn beside it, that."""
    number, words = FEED_SIGNS[feed_class], FEED[feed_class]
    return run_on(number, words, between=" = ") if number else words


# --- the map --------------------------------------------------------------------------------------


def map_sections(subject: Subject) -> Iterator[Section]:
    """A section per panel, and one for the feeds."""
    show = subject.show
    for number, panel in enumerate(subject.vehicle.panels, start=1):
        name, place = subject.panel_name(panel), PLACE[panel.place]
        blocks: tuple[Block, ...] = (
            *pictures(subject, panel, titled=False),
            *photos(subject, panel),
            slot_table(subject, panel, f"slots-{number}"),
        )
        title = show(say("{panel} ({place})", panel=name, place=place))
        yield Section(f"panel-{number}", title, blocks, apart=number > 1)
    if not subject.vehicle.panels:
        yield Section("panels", "", (Paragraph(show(NO_PANELS), "lead"),))
    if subject.vehicle.feeds:
        yield Section("feeds", show(say("Feeds")), (feed_table(subject),))
    if subject.vehicle.panels:
        yield Section("classes", show(say("When a feed is live")), (_classes(subject),))


def _classes(subject: Subject) -> Facts:
    """Which feed class is live when, of those that occur."""
    used = {slot.feed_class for slot in look_up.slots(subject.vehicle) if slot.kind == "fuse"}
    return Facts(
        tuple(
            (subject.show(_mark_and_feed(each)), subject.show(live_when(each)))
            for each in FEED_CLASSES
            if each in used
        )
    )


def live_when(feed_class: FeedClass) -> Text:
    """When a feed class is live; where that is only reckoned so, or hangs on a switch, it says so.

    No vehicle state is “with the lamps on”: figures take lighting as live with the ignition.
    """
    states = in_states(LIVE_IN[feed_class])
    if feed_class == "unknown":
        return say("reckoned as {states}", states=states)
    if feed_class == "lighting":
        return say("with the lamps on (reckoned with {states})", states=states)
    return states


def slot_table(subject: Subject, panel: Panel, key: str) -> Table:
    """Every slot of a panel in hand order: along the rows, from the top."""
    column = subject.column
    columns = (
        column(say("Slot"), 10),
        column(say("Fuse"), 16),
        column(say("Circuit, marks, taps"), 26),
        column(say("Feed class"), 24),
        column(say("Live side"), 9),
        column(say("Carries"), 10, "right"),
        column(say("Limit"), 9, "right"),
        column(say("Room"), 9, "right"),
    )
    ordered = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
    return Table(key, columns, tuple(_slot_row(subject, slot) for slot in ordered))


def _slot_row(subject: Subject, slot: Slot) -> Row:
    name, circuit = subject.slot_name(slot), circuit_words(subject, slot)
    if slot.kind != "fuse":
        return subject.row(name, SLOT_KIND[slot.kind], circuit, "", "", "", "", "")
    figures = subject.assessment.slots
    column = figures.index[slot.id]
    row = int(np.argmax(subject.assessment.most.slots.host_a[:, column]))
    return subject.row(
        name,
        fuse_words(subject, slot),
        circuit,
        feed_words(subject, slot),
        SIDE_SHORT[slot.live_side],
        carries(subject, column, row),
        subject.figure(figures.host_limit_a[column], "A"),
        subject.figure(subject.assessment.most.slots.room_a[column], "A"),
    )


def carries(subject: Subject, column: int, row: int) -> Figure | Text:
    """What passes a slot's fuse in a state [A]; both ends where its own load is not known."""
    ends = (subject.assessment.slots, subject.assessment.most.slots)
    known, most = (subject.figure(end.host_a[row, column], "A") for end in ends)
    if known.value == 0 and not subject.assessment.slots.own_known[row, column]:
        return NOT_MEASURED
    return replace(known, text=subject.show(own_words(known.value, most.value)))


def fuse_words(subject: Subject, slot: Slot) -> Text:
    """The fuse in a slot, or which would fit."""
    if slot.fuse is not None:
        return subject.fuse(slot.fuse)
    return say("empty, for {family}", family=subject.family(slot.family))


def circuit_words(subject: Subject, slot: Slot) -> Text:
    """What a slot feeds, its marks, its taps and its note."""
    parts: list[Argument] = [named(slot.circuit)]
    if slot.critical:
        why = subject.reason(slot)
        loud = say("LEAVE ALONE")
        parts.append(say("LEAVE ALONE ({why})", why=why) if why else loud)
    parts += [LOOKS[mark] for mark in unanswered(slot)]
    if slot.monitored:
        parts.append(say("watched by the vehicle"))
    parts += _function_words(subject, slot)
    parts += [
        say("tapped: {lead}", lead=subject.lead_name(tap))
        for tap in subject.taps
        if tap.slot == slot.id
    ]
    return run_on(*parts, named(slot.note), between="; ")


def _function_words(subject: Subject, slot: Slot) -> Iterator[Text]:
    """What else a circuit is that is no comfort; what nobody knows only where it is tapped."""
    circuit = circuit_of(slot)
    if slot.kind != "fuse":
        return
    if circuit.function in ("control", "supply"):
        yield FUNCTION_WORDS[circuit.function]
    elif circuit.function == "unclear" and any(tap.slot == slot.id for tap in subject.taps):
        yield say("not known what it feeds; nobody has answered")


def feed_words(subject: Subject, slot: Slot) -> Text:
    """The feed class, how long it stays live, and what supplies it where there is something."""
    parts: list[Argument] = [FEED[slot.feed_class]]
    if slot.feed_class == "delayed_off":
        parts.append(given(slot.delayed_off_min, "min"))
    if slot.feed is not None or slot.feed_class not in ("unfed", "unknown"):
        parts.append(subject.supply(slot))
    return run_on(*parts, between="; ")


def feed_table(subject: Subject) -> Table:
    """Every feed with what it carries, and may carry, in its worst state."""
    column = subject.column
    columns = (
        column(say("Feed"), 32),
        column(say("Below"), 24),
        column(say("Fuse"), 16),
        column(say("Carries"), 12, "right"),
        column(say("Limit"), 12, "right"),
        column(say("Worst when"), 16),
    )
    rows = (_feed_row(subject, feed) for feed in subject.vehicle.feeds)
    return Table("feeds", columns, tuple(rows))


def _feed_row(subject: Subject, feed: Feed) -> Row:
    figures, most = subject.assessment.feeds, subject.assessment.most.feeds
    column = figures.index[feed.id]
    row = int(np.argmax(most.current_a[:, column]))
    known, end = (float(each.current_a[row, column]) for each in (figures, most))
    carried = replace(subject.figure(known, "A"), text=subject.show(own_words(known, end)))
    return subject.row(
        subject.feed_name(feed.id),
        subject.feed_name(feed.parent),
        "–" if feed.fuse is None else subject.fuse(feed.fuse),
        carried,
        subject.figure(figures.limit_a[column], "A"),
        STATE[STATES[row]],
    )
