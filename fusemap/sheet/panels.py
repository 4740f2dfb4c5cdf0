"""Panels as they are drawn on paper: every place with its marks, in the true arrangement.

In: a subject and a panel. Out: `PanelPicture`s; a panel with many columns comes in several, each
of at most so many columns, so that the places stay large enough to read. No Qt.
"""

from collections.abc import Iterator
from dataclasses import replace

from fusemap import tables
from fusemap.leave_alone import counts_critical, unanswered
from fusemap.sheet.content import PanelPicture, SlotPicture
from fusemap.sheet.language import named
from fusemap.sheet.subject import FEED_LETTERS, Subject
from fusemap.vehicle import Panel, Slot

PLAIN = ("#ffffff", "#111111")


def pictures(
    subject: Subject, panel: Panel, *, titled: bool = True, widest: int = 10
) -> Iterator[PanelPicture]:
    """A panel in pictures of at most `widest` columns, the legend under the last."""
    whole = picture(subject, panel)
    if not titled:
        whole = replace(whole, name="")
    count = max(1, -(-panel.columns // widest))
    across = -(-panel.columns // count)
    for part in range(count):
        first, last = part * across, min(panel.columns, (part + 1) * across)
        yield replace(
            whole,
            columns=last - first,
            slots=tuple(
                replace(slot, column=slot.column - first)
                for slot in whole.slots
                if first <= slot.column < last
            ),
            legend=whole.legend if part == count - 1 else (),
            continued=""
            if count == 1
            else subject.say(
                "columns", first=str(first + 1), last=str(last), all=str(panel.columns)
            ),
        )


def picture(subject: Subject, panel: Panel) -> PanelPicture:
    """A panel in one picture."""
    slots = tuple(slot_picture(subject, slot) for slot in panel.slots)
    return PanelPicture(
        name=subject.panel_name(panel),
        rows=panel.rows,
        columns=panel.columns,
        slots=slots,
        legend=tuple(_legend(subject, slots)),
    )


def slot_picture(subject: Subject, slot: Slot) -> SlotPicture:
    """One place of a panel."""
    fuse = slot.fuse if slot.kind == "fuse" else None
    colour = None if fuse is None else tables.fuse_colour(fuse.family, fuse.rating)
    fill, ink = PLAIN if colour is None else (colour.hex, colour.text_hex)
    rating = "" if fuse is None else subject.language.decimal(f"{fuse.rating:g}")
    return SlotPicture(
        row=slot.row,
        column=slot.column,
        label=named(slot.label),
        kind=slot.kind,
        kind_word=_kind_word(subject, slot),
        orientation=slot.orientation,
        rating=rating,
        colour="" if fuse is None else subject.colour(fuse),
        colour_hex=fill,
        ink_hex=ink,
        circuit=named(slot.circuit),
        feed_class=slot.feed_class,
        feed_letter=FEED_LETTERS[slot.feed_class],
        live_side=slot.live_side,
        critical=counts_critical(slot),
        monitored=slot.monitored or "monitored" in unanswered(slot),
        badges=tuple(subject.badge(tap) for tap in subject.taps if tap.slot == slot.id),
    )


def _kind_word(subject: Subject, slot: Slot) -> str:
    if slot.kind == "fuse":
        return subject.say("empty") if slot.fuse is None else ""
    return subject.say(f"slot.{slot.kind}")


def _legend(subject: Subject, slots: tuple[SlotPicture, ...]) -> Iterator[tuple[str, str]]:
    """What the marks that occur mean, as (key of the mark, words)."""
    fuses = [slot for slot in slots if slot.kind == "fuse"]
    if any(slot.badges for slot in slots):
        yield "badge", subject.say("legend.badge")
    if any(slot.live_side != "unknown" for slot in fuses):
        yield "live", subject.say("legend.live")
    if any(slot.live_side == "unknown" for slot in fuses):
        yield "live_unknown", subject.say("legend.live_unknown")
    if any(slot.critical for slot in slots):
        yield "critical", subject.say("legend.critical")
    if any(slot.monitored for slot in slots):
        yield "monitored", subject.say("legend.monitored")
    for feed_class, letter in FEED_LETTERS.items():
        if any(slot.feed_class == feed_class for slot in fuses):
            yield f"feed:{feed_class}", f"{letter} = {subject.say(f'feed.{feed_class}')}"
