"""Lid cards: what was added, and the legend of the whole panel, in true size for the lid.

In: a subject. Out: a card per panel with a tap, one for own feeds, and for each panel a legend:
which slot, what it is for, how large its fuse is, when it is live, what was added in black. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.sheet.content import LegendCard, LegendRow, LidCard, LidEntry, Section
from fusemap.sheet.panels import picture
from fusemap.sheet.style import FEED, FEED_SIGNS, ONE_VEHICLE, SIDE, SLOT_KIND, WAY_SHORT, named
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Text, Words, in_row, run_on, say, say_in
from fusemap.vehicle import FEED_CLASSES, SEATED, Panel, Slot, Tap
from fusemap.vehicle.words import TAP

FOLD: Final = say("fold here")
CUT: Final = say("cut here")
TRUE_SIZE: Final = say(
    "True size: print at 100 %. This line is {length} long.", length=Amount(50.0, "mm")
)
LID_WARNINGS: Final = (
    say("Never a larger fuse."),
    say("To undo: take the tap out, put the host fuse back alone."),
    ONE_VEHICLE,
)


def lid_sections(subject: Subject) -> Iterator[Section]:
    """All cards; many entries go on to further cards."""
    yield Section("lid", "", (*cards(subject), *legends(subject)))


def cards(subject: Subject) -> Iterator[LidCard]:
    """A card for each panel that was tapped, and one for what has an own feed.

    Without any tap one per panel, as a map for the lid.
    """
    for panel in subject.vehicle.panels:
        here = {slot.id for slot in panel.slots}
        taps = [tap for tap in subject.staying if tap.slot in here]
        if taps or not subject.taps:
            yield _card(subject, panel, taps)
    own = [tap for tap in subject.staying if tap.slot is None]
    if own or not (subject.vehicle.panels or subject.taps):
        yield _card(subject, None, own)


def _card(subject: Subject, panel: Panel | None, taps: list[Tap]) -> LidCard:
    show = subject.show
    subtitle: Words = say("Added to this panel") if taps else say("Nothing added to this panel")
    return LidCard(
        title=show(say("Own feeds") if panel is None else subject.panel_name(panel)),
        subtitle="" if panel is None else show(subtitle),
        panel=None if panel is None else picture(subject, panel),
        entries=tuple(_entry(subject, tap) for tap in taps),
        warnings=tuple(show(text) for text in LID_WARNINGS),
        fold=show(FOLD),
        cut=show(CUT),
        scale=show(TRUE_SIZE),
    )


def _entry(subject: Subject, tap: Tap) -> LidEntry:
    slot = subject.slot(tap)
    guard, fuse = subject.guard(tap), say("No accessory fuse")
    if guard is not None:
        fuse = say("Accessory fuse {fuse}", fuse=subject.fuse(guard))
    return LidEntry(
        badge=subject.badge(tap),
        slot=subject.show(subject.source(tap) if slot is None else subject.slot_name(slot)),
        accessory=subject.show(subject.accessory_with_lead(tap)),
        fuse=subject.show(fuse),
        note=subject.show(_note(subject, tap)),
    )


def _note(subject: Subject, tap: Tap) -> Text:
    """The host fuse and the way round: what has to go back, and where the common blade belongs."""
    slot = subject.slot(tap)
    if slot is None or subject.on_block(slot):
        return TAP[tap.kind]
    host = say("host {fuse}", fuse=subject.fuse(slot.fuse))
    if tap.kind not in SEATED:
        return run_on(host, TAP[tap.kind], between="; ")
    return run_on(host, SIDE[slot.live_side], WAY_SHORT[tap.way_round], between="; ")


DRAWN: Final = {"delayed_off": "◔", "unfed": "∅"}
"""Signs of letters that look like the marks that are drawn."""

# --- the legend -----------------------------------------------------------------------------------


def legends(subject: Subject) -> Iterator[LegendCard]:
    """A legend for every panel, those without a tap among them."""
    show = subject.show
    heads = (
        say_in("narrow column", "Place"),
        say("What it is for"),
        say_in("unit of a column", "A"),
        say_in("narrow column", "Live"),
    )
    for panel in subject.vehicle.panels:
        places = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
        rows = tuple(_row(subject, slot) for slot in places if slot.kind != "blocked")
        if rows:
            yield LegendCard(
                title=show(subject.panel_name(panel)),
                heads=tuple(show(each) for each in heads),
                rows=rows,
                warning=show(say("Black: added. Never a larger fuse.")),
                note=show(in_row(_signs(rows))),
                fold=show(FOLD),
                cut=show(CUT),
                scale=show(TRUE_SIZE),
            )


def _signs(rows: tuple[LegendRow, ...]) -> Iterator[Text]:
    """What the signs of the feeds mean, of those that occur."""
    used = {row.feed_class for row in rows}
    for each in FEED_CLASSES:
        if each in used:
            sign = FEED_SIGNS[each] or DRAWN[each]
            yield run_on(sign, FEED[each], between=" = ")


def _row(subject: Subject, slot: Slot) -> LegendRow:
    """A place: what it feeds, and who was added to it."""
    fuse = slot.fuse
    taps = [tap for tap in subject.staying if tap.slot == slot.id]
    what: Words = named(slot.circuit)
    if not what:
        nothing = say("empty") if fuse is None else say("not written down")
        what = SLOT_KIND[slot.kind] if slot.kind in ("relay", "module") else nothing
    added = (subject.lead_name(tap) for tap in taps)
    return LegendRow(
        slot=subject.show(subject.slot_name(slot)),
        what=subject.show(what),
        added=tuple(subject.show(each) for each in added),
        rating="" if fuse is None else subject.show(fuse.rating),
        feed_class=slot.feed_class if slot.kind == "fuse" else None,
    )
