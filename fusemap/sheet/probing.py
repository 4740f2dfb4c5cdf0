"""The probing list: a form for the readings, slot by slot in hand order; blank where none are.

In: a subject. Out: what to mind, a head to fill in, and for each panel a table of empty boxes; what
is known of a slot already stands beside them. No Qt.
"""

from collections.abc import Iterator

from fusemap.leave_alone import counts_critical
from fusemap.probing import evidence
from fusemap.probing.feeds import side_of
from fusemap.sheet.content import Block, Box, Cell, Column, Facts, Row, Section, Table, Text
from fusemap.sheet.language import named
from fusemap.sheet.panels import pictures
from fusemap.sheet.subject import Subject
from fusemap.sheet.work import cautions
from fusemap.vehicle import STATES, Panel, Slot

LIVE, DEAD = "✓", "–"
"""As the form asks for them: a tick for live, a dash for dead."""

KINDS = frozenset({"always", "measure"})


def sections(subject: Subject) -> Iterator[Section]:
    """How to go about it, the whole vehicle, then each panel."""
    say = subject.say
    yield Section("how", say("section.how"), (Text(say("probing.how")), cautions(subject, KINDS)))
    yield Section("whole", say("section.whole"), (Facts(_head(subject)),))
    for number, panel in enumerate(subject.vehicle.panels, start=1):
        blocks: tuple[Block, ...] = (
            *pictures(subject, panel, titled=False),
            form(subject, panel, f"probing-{number}"),
        )
        yield Section(f"panel-{number}", subject.panel_name(panel), blocks, apart=True)
    if not subject.vehicle.panels:
        yield Section("panels", "", (Text(say("no_panels"), "lead"),))


def _head(subject: Subject) -> tuple[tuple[str, str], ...]:
    """Lines to fill in once."""
    keys = ("date", "by", "meter", "battery_v", "rest", "asleep_after", "delayed")
    return tuple((subject.say(f"probing.{key}"), "") for key in keys)


def form(subject: Subject, panel: Panel, key: str) -> Table:
    """A row of boxes for every place that takes a fuse, along the rows from the top."""
    say = subject.say
    columns = (
        Column(say("column.slot"), 11),
        Column(say("column.known"), 27),
        *(Column(say(f"state.short.{state}"), 9.4, "centre") for state in STATES),
        Column(say("column.millivolts"), 12, "centre"),
        Column(say("column.live_side"), 10, "centre"),
        Column(say("column.remarks"), 16),
    )
    ordered = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
    rows = tuple(_row(subject, slot) for slot in ordered if slot.kind == "fuse")
    return Table(key, columns, rows, tall=True)


def _row(subject: Subject, slot: Slot) -> Row:
    """What was read of a slot stands in its boxes; what is still in question stays empty."""
    found = evidence.of_slot(subject.vehicle, slot.id)
    latest = {(one.quantity, one.state): one for one in found if not one.lamps_on}
    live: list[Cell] = []
    for state in STATES:
        one = latest.get(("live", state))
        live.append(Box() if one is None else LIVE if one.yes else DEAD)
    across = latest.get(("millivolts", "asleep"))
    side = side_of(subject.vehicle, slot)
    return Row(
        (
            subject.slot_name(slot),
            _known(subject, slot),
            *live,
            Box("mV") if across is None else subject.amount(across.value, "mV"),
            subject.say(f"side.short.{side.side}") if side.known else Box(),
            Box(),
        )
    )


def _known(subject: Subject, slot: Slot) -> str:
    """What is known already, and a warning where the slot is to be left alone."""
    fuse = "" if slot.fuse is None else subject.fuse(slot.fuse)
    parts = [fuse or subject.say("empty"), named(slot.circuit)]
    if counts_critical(slot):
        parts.append(subject.say("probing.critical"))
    return "; ".join(part for part in parts if part)
