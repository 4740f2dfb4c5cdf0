"""The probing list: a form for the readings, slot by slot in hand order; blank where none are.

In: a subject. Out: what to mind, a head to fill in, and for each panel a table of empty boxes; what
is known of a slot already stands beside them. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.circuits import counts_critical
from fusemap.probing import evidence
from fusemap.probing.feeds import side_of
from fusemap.sheet.cautions import cautions
from fusemap.sheet.content import Block, Box, Facts, Paragraph, Row, Section, Table
from fusemap.sheet.panels import pictures
from fusemap.sheet.style import NO_PANELS, SIDE_SHORT, STATE_HEAD, named
from fusemap.sheet.subject import Subject
from fusemap.text import Text, run_on, say, say_in
from fusemap.vehicle import STATES, Panel, Slot

LIVE, DEAD = "✓", "–"
"""As the form asks for them: a tick for live, a dash for dead."""

KINDS = frozenset({"always", "measure"})

HOW: Final = say(
    "Nothing is pulled to begin with. Lock the vehicle, let it fall asleep, then go along the "
    "panel: live or dead against a good earth on both test points of each fuse, and the millivolts "
    "across it. Then the same with the key at accessory, with ignition on, with the engine "
    "running, and some minutes after locking again. Pull a fuse only at the two or three slots "
    "that may be used: with the fuse out, the contact that shows voltage is the live side. Tick = "
    "live, dash = dead."
)

TO_FILL_IN: Final = (
    say("Date"),
    say("Measured by"),
    say("Meter, range"),
    say("Battery at rest, V"),
    say("Rest current of the whole vehicle, mA"),
    say("Asleep, minutes after locking"),
    say("Delayed-off slots dead, minutes after locking"),
)
"""Once for the whole vehicle."""


def sections(subject: Subject) -> Iterator[Section]:
    """How to go about it, the whole vehicle, then each panel."""
    show = subject.show
    how = (Paragraph(show(HOW)), cautions(subject, KINDS))
    yield Section("how", show(say("How to go about it")), how)
    head = Facts(tuple((show(name), "") for name in TO_FILL_IN))
    yield Section("whole", show(say("The whole vehicle")), (head,))
    for number, panel in enumerate(subject.vehicle.panels, start=1):
        blocks: tuple[Block, ...] = (
            *pictures(subject, panel, titled=False),
            form(subject, panel, f"probing-{number}"),
        )
        yield Section(f"panel-{number}", show(subject.panel_name(panel)), blocks, apart=True)
    if not subject.vehicle.panels:
        yield Section("panels", "", (Paragraph(show(NO_PANELS), "lead"),))


def form(subject: Subject, panel: Panel, key: str) -> Table:
    """A row of boxes for every place that takes a fuse, along the rows from the top."""
    column = subject.column
    columns = (
        column(say_in("narrow column", "Place"), 11),
        column(say("Known so far"), 27),
        *(column(STATE_HEAD[state], 9.4, "centre") for state in STATES),
        column(say("mV across fuse"), 12, "centre"),
        column(say("Live side"), 10, "centre"),
        column(say("Remarks"), 16),
    )
    ordered = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
    rows = tuple(_row(subject, slot) for slot in ordered if slot.kind == "fuse")
    return Table(key, columns, rows, tall=True)


def _row(subject: Subject, slot: Slot) -> Row:
    """What was read of a slot stands in its boxes; what is still in question stays empty."""
    found = evidence.of_slot(subject.vehicle, slot.id)
    latest = {
        (reading.quantity, reading.state): reading for reading in found if not reading.lamps_on
    }
    live: list[str | Box] = []
    for state in STATES:
        reading = latest.get(("live", state))
        live.append(Box() if reading is None else LIVE if reading.yes else DEAD)
    across = latest.get(("millivolts", "asleep"))
    side = side_of(subject.vehicle, slot)
    return subject.row(
        subject.slot_name(slot),
        _known(subject, slot),
        *live,
        Box("mV") if across is None else subject.figure(across.value, "mV"),
        SIDE_SHORT[side.side] if side.known else Box(),
        Box(),
    )


def _known(subject: Subject, slot: Slot) -> Text:
    """What is known already, and a warning where the slot is to be left alone."""
    return run_on(
        say("empty") if slot.fuse is None else subject.fuse(slot.fuse),
        named(slot.circuit),
        "" if slot.feed is None else subject.supply(slot),
        say("LEAVE ALONE: meter only, do not pull") if counts_critical(slot) else "",
        between="; ",
    )
