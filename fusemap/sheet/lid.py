"""The lid card: what was added to this panel, to be folded and put into its lid.

In: a subject. Out: one card per panel with a tap, one for own feeds; without any tap one per panel,
as a map for the lid. A card is of true size; many entries go on to further cards. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.content import LidCard, LidEntry, Section
from fusemap.sheet.panels import picture
from fusemap.sheet.subject import Subject
from fusemap.vehicle import Panel, Tap


def sections(subject: Subject) -> Iterator[Section]:
    """All cards."""
    yield Section("lid", "", tuple(cards(subject)))


def cards(subject: Subject) -> Iterator[LidCard]:
    """A card for each panel that was tapped, and one for what has an own feed."""
    for panel in subject.vehicle.panels:
        here = {slot.id for slot in panel.slots}
        taps = [tap for tap in subject.staying if tap.slot in here]
        if taps or not subject.taps:
            yield _card(subject, panel, taps)
    own = [tap for tap in subject.staying if tap.slot is None]
    if own or not (subject.vehicle.panels or subject.taps):
        yield _card(subject, None, own)


def _card(subject: Subject, panel: Panel | None, taps: list[Tap]) -> LidCard:
    say = subject.say
    return LidCard(
        title=say("lid.own_feeds") if panel is None else subject.panel_name(panel),
        subtitle="" if panel is None else say("lid.added" if taps else "lid.nothing"),
        panel=None if panel is None else picture(subject, panel),
        entries=tuple(_entry(subject, tap) for tap in taps),
        warnings=tuple(say(f"lid.warning.{key}") for key in ("larger", "pull", "readings")),
        fold=say("lid.fold"),
        cut=say("lid.cut"),
        scale=say("lid.scale"),
    )


def _entry(subject: Subject, tap: Tap) -> LidEntry:
    slot = subject.slot(tap)
    name = subject.accessory_name(subject.accessory(tap))
    return LidEntry(
        badge=subject.badge(tap),
        slot=subject.source(tap) if slot is None else subject.slot_name(slot),
        accessory=name if tap.lead == "power" else f"{name}, {subject.say('lead.sense')}",
        fuse=subject.say("lid.no_fuse")
        if tap.fuse is None
        else subject.say("lid.fuse", fuse=subject.fuse(tap.fuse)),
        note=_note(subject, tap),
    )


def _note(subject: Subject, tap: Tap) -> str:
    """The host fuse and the way round: what has to go back, and where the common blade belongs."""
    slot = subject.slot(tap)
    if slot is None:
        return subject.say(f"tap.{tap.kind}")
    side = subject.say(f"side.{slot.live_side}")
    host = subject.say("lid.host", fuse=subject.fuse(slot.fuse))
    return f"{host}; {side}; {subject.say(f'way.short.{tap.way_round}')}"
