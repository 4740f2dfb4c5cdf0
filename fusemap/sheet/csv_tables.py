"""The tables of a sheet as CSV: every table, the findings, the steps and the predictions.

In: a `SheetContent`. Out: (name, text) pairs. Numbers stand as they are computed, in SI, mm² and
°C, with their unit in a column of its own; texts as they are printed. Source of the format:
RFC 4180. No Qt.
"""

import csv
import io
from collections.abc import Callable, Iterable, Iterator, Sequence
from math import isfinite
from typing import TypeVar

from fusemap.assess.verdict import VERDICT_WORDS
from fusemap.sheet.circuit import Circuit
from fusemap.sheet.content import (
    Block,
    Box,
    Cell,
    Facts,
    Figure,
    FindingNote,
    Job,
    LabelSheet,
    LegendCard,
    LidCard,
    SheetContent,
    Steps,
)
from fusemap.spreadsheets import guarded

Rows = list[tuple[Cell, ...]]
NamedTable = tuple[str, Sequence[str], Rows]

FINDING_HEAD = ("severity", "where", "what", "sum", "remedy")
PREDICTED_HEAD = ("lead", "accessory", "figure", "load", "bound", "limit", "state", "holds")
LEAD_HEAD = ("lead", "accessory", "fact", "text")
FACT_HEAD = ("fact", "text")
STEP_HEAD = ("stage", "number", "step", "detail", "caution")
LABEL_HEAD = ("cable", "from", "to")
CIRCUIT_HEAD = (
    "kind",
    "key",
    "name",
    "hangs_on",
    "side",
    "fuse",
    "cable_out",
    "cable_back",
    "earth",
)
LEGEND_HEAD = ("panel", "slot", "for", "added", "rating", "feed")
LID_HEAD = ("card", "lead", "slot", "accessory", "fuse", "note")

B = TypeVar("B")


def csv_files(content: SheetContent) -> tuple[tuple[str, str], ...]:
    """Name and text of every table, in the order of the pages."""
    return tuple((name, csv_text(head, rows)) for name, head, rows in tables(content))


def tables(content: SheetContent) -> Iterator[NamedTable]:
    """Name, header and rows of everything that can stand in a table."""
    yield from (table for table in _of_blocks(content) if table[2])
    for table in content.tables():
        titles = [column.title for column in table.columns]
        yield table.key, titles, [row.cells for row in table.rows]


def _of_blocks(content: SheetContent) -> Iterator[NamedTable]:
    """What is no table on paper, but reads as one: findings, predictions, cards, steps, facts."""
    blocks = tuple(content.blocks())
    yield "findings", FINDING_HEAD, _rows_of(FindingNote, blocks, _finding)
    yield "predicted", PREDICTED_HEAD, _rows_of(Job, blocks, _predicted)
    yield "leads", LEAD_HEAD, _rows_of(Job, blocks, _leads)
    yield "circuit", CIRCUIT_HEAD, _rows_of(Circuit, blocks, _circuit)
    yield "labels", LABEL_HEAD, _rows_of(LabelSheet, blocks, _label_rows)
    yield "lid", LID_HEAD, _rows_of(LidCard, blocks, _entries)
    yield "legend", LEGEND_HEAD, _rows_of(LegendCard, blocks, _legend)
    for section in content.sections:
        yield section.key, STEP_HEAD, _rows_of(Steps, section.blocks, _steps)
        yield f"{section.key}-facts", FACT_HEAD, _rows_of(Facts, section.blocks, _facts)


def _rows_of(
    kind: type[B], blocks: Sequence[Block], rows: Callable[[B], Iterable[tuple[Cell, ...]]]
) -> Rows:
    return [row for block in blocks if isinstance(block, kind) for row in rows(block)]


def _finding(note: FindingNote) -> Iterator[tuple[Cell, ...]]:
    yield note.severity, note.where, note.what, note.sum, note.remedy


def _predicted(job: Job) -> Iterator[tuple[Cell, ...]]:
    for figure in job.predicted:
        limit: Cell = "" if figure.limit is None else figure.limit
        holds = str(VERDICT_WORDS[figure.verdict])
        yield (
            job.badge,
            job.title,
            figure.name,
            figure.load,
            figure.bound,
            limit,
            figure.state,
            holds,
        )


def _leads(job: Job) -> Iterator[tuple[Cell, ...]]:
    for name, text in job.facts:
        yield job.badge, job.title, name, text


def _facts(block: Facts) -> Iterable[tuple[Cell, ...]]:
    return block.rows


def _steps(block: Steps) -> Iterator[tuple[Cell, ...]]:
    for number, step in enumerate(block.items, start=block.first):
        yield block.title, str(number), step.text, step.detail, step.caution


def _circuit(block: Circuit) -> Iterator[tuple[Cell, ...]]:
    for part in block.parts:
        names = (part.kind, part.key, part.title, part.parent, part.at)
        yield (*names, part.fuse, part.out, part.back, part.earth)


def _label_rows(block: LabelSheet) -> Iterator[tuple[Cell, ...]]:
    for label in block.labels:
        yield label.number, label.start, label.end


def _entries(card: LidCard) -> Iterator[tuple[Cell, ...]]:
    for entry in card.entries:
        yield card.title, entry.badge, entry.slot, entry.accessory, entry.fuse, entry.note


def _legend(card: LegendCard) -> Iterator[tuple[Cell, ...]]:
    for row in card.rows:
        yield card.title, row.slot, row.what, "; ".join(row.added), row.rating, row.feed_class or ""


def csv_text(head: Sequence[str], rows: Rows) -> str:
    """A table as text; a column that holds a number anywhere gets a column for its unit."""
    numbers = {
        index
        for row in rows
        for index, cell in enumerate(row)
        if isinstance(cell, Figure) or (isinstance(cell, Box) and cell.unit)
    }
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([name for i, title in enumerate(head) for name in _titles(title, i in numbers)])
    for row in rows:
        writer.writerow([cell for i, part in enumerate(row) for cell in _cells(part, i in numbers)])
    return out.getvalue()


def _titles(title: str, number: bool) -> tuple[str, ...]:
    return (title, f"{title} [unit]") if number else (title,)


def _cells(cell: Cell, number: bool) -> tuple[object, ...]:
    if isinstance(cell, Figure):
        return (repr(cell.value) if isfinite(cell.value) else "", cell.unit)
    if isinstance(cell, Box):
        return ("", cell.unit) if number else ("",)
    return (guarded(cell), "") if number else (guarded(cell),)
