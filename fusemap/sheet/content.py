"""What stands on paper, as data: sections of texts, tables, steps, check boxes and pictures.

In: nothing; these are the frozen parts that the builders of this package put together from a
vehicle, its assessment and its findings. Out: one `SheetContent` per part, in the language and the
units asked for. The page painter draws it, the CSV export reads it, tests compare it with the
assessment. A `Figure` keeps the number in SI beside the text that is printed. No Qt.
"""

from collections.abc import Iterator
from typing import Final, Literal

from msgspec import Struct

from fusemap.assess.verdict import Verdict
from fusemap.sheet.circuit import Circuit
from fusemap.sheet.stock import Stock
from fusemap.text import Style
from fusemap.vehicle import PanelPhoto
from fusemap.vehicle.words import FeedClass, LeadName, LiveSide, Orientation, SlotKind, TapKind
from fusemap.vehicle.words import WayRound as WayRound

Part = Literal["sheet", "diagram", "labels", "lid", "map", "probing", "record"]
PARTS: Final[tuple[Part, ...]] = ("sheet", "diagram", "labels", "lid", "map", "probing", "record")
"""Installation sheet, circuit diagram, cable labels, lid card, panel map, probing list, record."""
USUAL: Final[tuple[Part, ...]] = ("sheet", "labels", "lid", "map", "record")
"""The whole paper of a job: the sheet has the diagram in it, the probing list comes before."""

StepSign = Literal["", "earth", "crossing", "joint", "ring"]
"""A small drawing at a step: a ring terminal on the body, a cable through sheet metal, a crimped
joint, a ring terminal on a stud."""

Role = Literal["plain", "small", "lead", "loud"]
"""How a text is set: as running text, small print, an introduction, or as a warning in a box."""


class Figure(Struct, frozen=True):
    """A number as it is printed: `value` in `unit` (SI, mm² and °C), and its text."""

    value: float
    unit: str
    text: str


class Box(Struct, frozen=True):
    """An empty box to write a reading into, with what was predicted for it, if anything."""

    unit: str = ""
    predicted: Figure | None = None


Cell = str | Figure | Box


def cell_text(cell: Cell) -> str:
    """What is printed in a cell; a box is empty."""
    if isinstance(cell, Box):
        return ""
    return cell if isinstance(cell, str) else cell.text


class Paragraph(Struct, frozen=True):
    """Running text."""

    text: str
    role: Role = "plain"


class Bullets(Struct, frozen=True):
    """A list of texts, each with a mark before it."""

    items: tuple[str, ...]


class Step(Struct, frozen=True):
    """One step of the work, with a box to tick; `detail` stands below it, then its `caution`.

    `picture` is a tap drawn small beside it, `sign` a small drawing of what is done.
    """

    text: str
    detail: str = ""
    caution: str = ""
    picture: "TapPicture | None" = None
    sign: StepSign = ""


class Steps(Struct, frozen=True):
    """Numbered steps under a heading of their own, counted on from `first`."""

    title: str
    items: tuple[Step, ...]
    first: int = 1


class Facts(Struct, frozen=True):
    """Pairs of a name and what is to be said; an empty text leaves a line to write on."""

    rows: tuple[tuple[str, Cell], ...]


class Blanks(Struct, frozen=True):
    """Names, each with a line to write on beside it."""

    names: tuple[str, ...]


class Column(Struct, frozen=True):
    """A column of a table: its title, its share of the width, and how it is set."""

    title: str
    share: float
    align: Literal["left", "right", "centre"] = "left"


class Row(Struct, frozen=True):
    """A row of a table; a `total` closes a group, a `group` row is a heading within the table."""

    cells: tuple[Cell, ...]
    kind: Literal["plain", "total", "group"] = "plain"


class Table(Struct, frozen=True):
    """A table, with a key that names its CSV file."""

    key: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    tall: bool = False


class FindingNote(Struct, frozen=True):
    """An open finding: severity as word and mark, where, what, the sum, and what to do."""

    severity: Literal["stop", "caution", "note"]
    word: str
    where: str
    what: str
    sum: str
    remedy: str


class SlotPicture(Struct, frozen=True):
    """One place of a panel as it is drawn, at row and column counted from 0 at the top left.

    `badges` are the numbers of the accessories tapped here; `rating` and `colour` are words;
    `asked` says that a mark is by the name or the feed class alone.
    """

    row: int
    column: int
    label: str
    kind: SlotKind
    kind_word: str
    orientation: Orientation
    rating: str
    colour: str
    colour_hex: str
    ink_hex: str
    circuit: str
    feed_class: FeedClass
    live_side: LiveSide
    critical: bool
    monitored: bool
    badges: tuple[str, ...]
    asked: bool = False


class PanelPicture(Struct, frozen=True):
    """A panel in its true arrangement; `legend` says what the marks mean, in words."""

    name: str
    rows: int
    columns: int
    slots: tuple[SlotPicture, ...]
    legend: tuple[tuple[str, str], ...] = ()
    continued: str = ""


class PhotoPicture(Struct, frozen=True):
    """The photo of a panel's lid, its places marked; `note` says what the marks mean."""

    name: str
    photo: PanelPhoto
    rows: int
    columns: int
    slots: tuple[SlotPicture, ...]
    note: str


class PlanView(Struct, frozen=True):
    """A panel at a glance: every place with its label and rating, the tapped ones marked."""

    panel: PanelPicture


class TapPicture(Struct, frozen=True):
    """What the drawing of a tap needs: the kind, the way round, where the live side is, the words.

    `words` names what is drawn by key (“live”, “host”, “accessory”, …).
    `output`: the slot is an output of a control unit, with no fuse to be seen; `added`: nothing of
    the vehicle hangs on it.
    """

    kind: TapKind
    way_round: WayRound
    live_side: LiveSide
    lead: LeadName
    relay: bool
    fused: bool
    words: tuple[tuple[str, str], ...]
    output: bool = False
    added: bool = False


class Predicted(Struct, frozen=True):
    """A figure of a job beside its limit (`None`: there is none), the state, and the verdict."""

    key: str
    name: str
    load: Figure
    limit: Figure | None = None
    bound: str = ""
    state: str = ""
    verdict: Verdict = "holds"

    @property
    def stands_out(self) -> bool:
        """Whether it is to be seen at once: it does not hold, or may not."""
        return self.verdict in ("fails", "may_not_hold")


class Job(Struct, frozen=True):
    """One lead of an accessory: picture, facts, and what is predicted for it."""

    badge: str
    title: str
    tap_id: str
    picture: TapPicture
    facts: tuple[tuple[str, str], ...]
    predicted: tuple[Predicted, ...]


class LidEntry(Struct, frozen=True):
    """A line of the lid card: which slot, what is there, which fuse, how to put it back."""

    badge: str
    slot: str
    accessory: str
    fuse: str
    note: str


class LidCard(Struct, frozen=True):
    """A card of true size: the panel on one face, what was added on the other."""

    title: str
    subtitle: str
    panel: PanelPicture | None
    entries: tuple[LidEntry, ...]
    warnings: tuple[str, ...]
    fold: str
    cut: str
    scale: str


class LegendRow(Struct, frozen=True):
    """A line of a legend: a slot, what it is for, what was `added` to it, its rating as said."""

    slot: str
    what: str
    added: tuple[str, ...]
    rating: str
    feed_class: FeedClass | None


class LegendCard(Struct, frozen=True):
    """A card of true size with a line for every slot of a panel; `heads` name the columns.

    `note` says what the signs of the feeds mean.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[LegendRow, ...]
    warning: str
    note: str
    fold: str
    cut: str
    scale: str


class Label(Struct, frozen=True):
    """A label for both ends of a cable: its number, and where it comes from and goes to."""

    number: str
    start: str
    end: str


class LabelSheet(Struct, frozen=True):
    """Labels of true size on a stock."""

    labels: tuple[Label, ...]
    stock: Stock


Block = (
    Paragraph
    | Bullets
    | Steps
    | Facts
    | Blanks
    | Table
    | FindingNote
    | PanelPicture
    | PlanView
    | Job
    | PhotoPicture
    | LidCard
    | LegendCard
    | LabelSheet
    | Circuit
)


class Section(Struct, frozen=True):
    """A titled part of a sheet; `apart` begins it on a new page, `together` keeps it on one."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    apart: bool = False
    together: bool = False


class SheetContent(Struct, frozen=True):
    """One part on paper, said in a style; `warning` stands on every page."""

    part: Part
    style: Style
    title: str
    vehicle: str
    system: str
    date: str
    warning: str
    sections: tuple[Section, ...]

    @property
    def bare(self) -> Stock | None:
        """The stock that nothing but labels is printed on; `None` for everything on paper."""
        sheets = (block for block in self.blocks() if isinstance(block, LabelSheet))
        return next((each.stock for each in sheets if each.stock.kind != "plain"), None)

    def blocks(self) -> Iterator[Block]:
        """Every block in the order of the pages."""
        for section in self.sections:
            yield from section.blocks

    def tables(self) -> tuple[Table, ...]:
        """Every table."""
        return tuple(block for block in self.blocks() if isinstance(block, Table))

    def figures(self) -> Iterator[Figure]:
        """Every number that came from the assessment or the vehicle."""
        for block in self.blocks():
            yield from block_figures(block)


def block_figures(block: Block) -> Iterator[Figure]:
    """The numbers of one block, predictions in its boxes among them."""
    cells: list[Cell] = []
    match block:
        case Table(rows=rows):
            cells = [cell for row in rows for cell in row.cells]
        case Facts(rows=rows):
            cells = [cell for _, cell in rows]
        case Job(predicted=predicted):
            cells = [p.load for p in predicted]
            cells += [p.limit for p in predicted if p.limit is not None]
        case _:
            return
    for cell in cells:
        if isinstance(cell, Box):
            cell = cell.predicted or ""
        if isinstance(cell, Figure):
            yield cell
