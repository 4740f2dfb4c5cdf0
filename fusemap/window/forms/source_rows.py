"""One way to supply a lead as a row of a list: a slot with its rank and reasons, or an own feed.

In: what `fusemap.placement` says of it. Out: the row's look in the user's language.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QRectF
from PySide6.QtGui import QPainter

from fusemap.text import Amount, Style
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.panel.slot_marks import draw_cross, draw_tick
from fusemap.window.parts.row_list import Line, RowLook
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.placement import Candidate
    from fusemap.placement.relay_plan import OwnFeed


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("SourceList", text)


@dataclass(frozen=True, slots=True)
class SourceRow:
    """One row: a slot, or (`slot_id` empty) the own feed."""

    look: RowLook
    slot_id: str
    fits: bool
    reason: str
    now: bool = False


def slot_row(
    vehicle: Vehicle, c: "Candidate", number: int, style: Style, *, now: bool
) -> SourceRow:
    """A slot as a row: its rank where it fits, what is left there, and why."""
    slot = look_up.slot(vehicle, c.slot_id)
    room = style.show(Amount(c.margin_a, "A"))
    right = tr("{room} left").format(room=room) if c.fits else style.show(c.verdict)
    name = look_up.slot_and_circuit(slot)
    if now:
        name = tr("{slot} (here now)").format(slot=name)
    head = Line(
        f"{number}  {name}" if c.fits else name,
        "strong",
        right=right,
        right_colour="drop_good" if c.fits else "drop_bad",
    )
    words = " ".join(map(style.show, c.reasons))
    look = RowLook((head, Line(words, colour="muted_text")), mark="fits" if c.fits else "no")
    return SourceRow(look, c.slot_id, c.fits, style.show(c.reasons[0]).rstrip("."), now)


def own_row(own: "OwnFeed", style: Style, *, now: bool) -> SourceRow:
    """An own feed as a row: why, how it is made, and what speaks against it."""
    from fusemap.placement.relay_plan import feed_words, terminal_words

    title = tr("Own feed with a relay") if own.relay else tr("Own feed")
    if now:
        title = tr("{slot} (here now)").format(slot=title)
    words = [style.show(line) for line in (own.why, *feed_words(own), *terminal_words(own)) if line]
    lines = [Line(title, "strong"), Line(" ".join(words), colour="muted_text")]
    lines += [Line(style.show(problem), colour="caution") for problem in own.problems]
    return SourceRow(RowLook(tuple(lines), mark="fits"), "", True, "", now)


def draw_source_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """A tick for what fits, a cross for what does not."""
    fits = look.mark == "fits"
    colour = theme.colour("drop_good" if fits else "drop_bad")
    inside = place.adjusted(*(place.width() * share for share in (0.1, 0.1, -0.1, -0.1)))
    (draw_tick if fits else draw_cross)(painter, inside, colour)
