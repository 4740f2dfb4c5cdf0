"""The hops of a chain as rows: load, limit, margin, the worst state, and how each came about.

In: a `Chain` and which hops are open. Out: a `RowLook` for each row. Hops that pass their limit
carry an octagon and the words, not only another colour.
"""

from collections.abc import Set
from math import isfinite

from PySide6.QtCore import QCoreApplication, QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF

from fusemap.assess.result import Chain, Hop
from fusemap.text import Amount, Text
from fusemap.vehicle.words import STATE
from fusemap.window.parts.basis_view import basis_lines
from fusemap.window.parts.row_list import Bar, Line, RowLook
from fusemap.window.style.theme import Theme, draw_severity
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import percent


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ChainView", text)


def verdict(chain: Chain) -> str:
    """The whole chain in a sentence."""
    broken = [hop for hop in chain.hops if not hop.passed]
    worst = chain.worst
    if worst is None:
        return tr("There is nothing to hold against a limit yet: enter fuse and cable.")
    if not broken:
        form = (
            tr("Not every hop could be checked. Of the others the tightest: {hop}, {share} used.")
            if chain.unchecked
            else tr("Every hop holds. The tightest: {hop}, {share} used.")
        )
        return form.format(hop=said(worst.title), share=percent(worst.share))
    if len(broken) == 1:
        return tr("One hop does not hold: {hop}.").format(hop=said(broken[0].title))
    return tr("{count} hops do not hold. The worst: {hop}.").format(
        count=len(broken), hop=said(max(broken, key=lambda hop: hop.share).title)
    )


def margin_words(hop: Hop) -> str:
    """What is left until the limit, or by how much it is passed."""
    if hop.passed and hop.chosen and hop.margin < 1e-9:
        return tr("as large as it has to be")
    size = said(hop.room) if isfinite(hop.margin) else ""
    if hop.passed:
        return (tr("{size} left") if hop.at_most else tr("{size} to spare")).format(size=size)
    return (tr("{size} too much") if hop.at_most else tr("{size} too little")).format(size=size)


def load_words(hop: Hop) -> str:
    """Load and limit, and the state in which that is so."""
    form = tr("{load} of at most {limit}") if hop.at_most else tr("{load}, at least {limit} needed")
    load, limit = Amount(hop.load, hop.unit), Amount(hop.limit, hop.unit)
    words = form.format(load=said(load), limit=said(limit))
    if hop.state is None:
        return f"{_capital(said(hop.quantity))}: {words}"
    state = said(STATE[hop.state].phrase)
    return tr("{quantity}: {words}, worst {state}").format(
        quantity=_capital(said(hop.quantity)), words=words, state=state
    )


def hop_look(hop: Hop, opened: bool) -> RowLook:
    """One hop, with its basis below it when opened."""
    colour = "good" if hop.passed else "stop"
    lines: tuple[Line | Bar, ...] = (
        Line(said(hop.title), "strong", right=margin_words(hop), right_colour=colour),
        *(() if hop.chosen else (Bar(hop.share, "accent" if hop.passed else "stop"),)),
        Line(load_words(hop), colour="muted_text"),
    )
    if opened:
        lines = (*lines, *basis_lines(hop.basis, indent=1))
    return RowLook(lines, mark=_mark(hop, opened))


def _mark(hop: Hop, opened: bool) -> str:
    return ("open" if opened else "shut") + (" passed" if hop.passed else " broken")


def chain_looks(chain: Chain, start: str, end: str, opened: Set[str]) -> tuple[RowLook, ...]:
    """All rows of a chain: where the current comes from, its hops, how it comes back.

    What could not be checked stands below the hops.
    """
    return (
        RowLook((Line(start, "strong"),), mark="start"),
        *(hop_look(hop, hop.id in opened) for hop in chain.hops),
        *(unchecked_look(words) for words in chain.unchecked),
        RowLook((Line(end, "strong"),), mark="end"),
    )


def unchecked_look(words: Text) -> RowLook:
    """A hop that could not be held against a limit, with what is missing for it."""
    line = tr("Could not be checked: {hop}").format(hop=said(words))
    return RowLook((Line(line, colour="caution"),), mark="unchecked")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def draw_hop_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """The wire that runs down the left of all hops, with a mark on it for each of them.

    A broken hop has the octagon, one that could not be checked the sign of a caution; any other
    the arrow that says whether it is open.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _draw_wire(painter, place, row, look, theme)
    if look.mark.endswith("broken"):
        draw_severity(painter, place, "stop", theme)
    elif look.mark == "unchecked":
        draw_severity(painter, place, "caution", theme)
    else:
        painter.setPen(QPen(theme.colour("accent"), max(1.5, place.width() / 9)))
        painter.setBrush(theme.colour("base"))
        inside = place.adjusted(1, 1, -1, -1)
        if look.mark in ("start", "end"):
            painter.setBrush(theme.colour("accent"))
            inside = place.adjusted(*(place.width() * s / 5 for s in (1, 1, -1, -1)))
        painter.drawEllipse(inside)
        if look.mark not in ("start", "end"):
            _draw_arrow(painter, inside, look.mark.startswith("open"), theme)
    painter.restore()


def _draw_wire(painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme) -> None:
    x, middle = place.center().x(), place.center().y()
    top = middle if look.mark == "start" else row.top()
    bottom = middle if look.mark == "end" else row.bottom()
    painter.setPen(QPen(theme.colour("accent"), max(1.5, place.width() / 9)))
    painter.drawLine(QLineF(x, top, x, bottom))


def _draw_arrow(painter: QPainter, place: QRectF, down: bool, theme: Theme) -> None:
    middle, reach = place.center(), place.width() * 0.24
    corners = ((-1, -0.6), (1, -0.6), (0, 0.8)) if down else ((-0.6, -1), (-0.6, 1), (0.8, 0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colour("accent"))
    points = [QPointF(middle.x() + x * reach, middle.y() + y * reach) for x, y in corners]
    painter.drawPolygon(QPolygonF(points))
