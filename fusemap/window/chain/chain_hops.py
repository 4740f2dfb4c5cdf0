"""The hops of a chain as a list: load, limit, margin, the worst state, and how each came about.

In: a `Chain` and the words at its two ends. Out: rows; Right or Enter opens a hop, Left closes it,
and a menu leads to the tables behind it. Hops that pass their limit carry an octagon and the words,
not only another colour.
"""

from collections.abc import Set
from math import isfinite, isnan
from typing import Any, Final

from PySide6.QtCore import QAbstractListModel, QLineF, QObject, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QContextMenuEvent,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPen,
    QPolygonF,
    QShortcut,
)
from PySide6.QtWidgets import QApplication, QMenu

from fusemap.assess import Assessment
from fusemap.assess.result import Chain, Hop
from fusemap.assess.verdict import GROUND_WORDS, VERDICT_WORDS, Verdict
from fusemap.text import Amount, Argument, Style, Text, in_row, run_on, say, share
from fusemap.vehicle import STATES, Tap, look_up
from fusemap.vehicle.words import STATE, State, span_words
from fusemap.window.document import Document
from fusemap.window.parts.headline import basis_lines
from fusemap.window.parts.row_list import LOOK, Bar, Index, Line, RowList, RowLook
from fusemap.window.parts.sources import open_tables
from fusemap.window.style.theme import Theme, draw_doubt, draw_severity

# --- in words and rows --------------------------------------------------------------------------


def start_words(a: Assessment, tap: Tap) -> Text:
    """The battery a lead hangs on, with its lowest and highest voltage over the vehicle states."""
    second = look_up.battery_of_tap(a.vehicle, tap) == "second"
    volts = [float(v) for v in (a.currents.second_v if second else a.battery_v)]
    low, high = volts.index(min(volts)), volts.index(max(volts))
    words = [_at(volts[row], STATES[row]) for row in dict.fromkeys((low, high))]
    if second:
        return say("Second battery: {voltages}", voltages=in_row(words))
    return say("Battery: {voltages}", voltages=in_row(words))


def _at(volts: float, state: State) -> Text:
    return say("{volts} ({state})", volts=Amount(volts, "V"), state=STATE[state].label)


def end_words(tap: Tap) -> Text:
    """How the current comes back to the battery."""
    if tap.lead == "sense":
        return say("Sense lead: back through the accessory's own return")
    own, point = tap.cable_back is not None, tap.earth_point
    if point:
        return (
            say("Back by its own cable at {point}", point=point)
            if own
            else say("Back by the body at {point}", point=point)
        )
    return say("Back by its own cable") if own else say("Back by the body")


def verdict(chain: Chain) -> Text:
    """The whole chain in a sentence: what does not hold, may not, could not be checked, holds."""
    broken = [hop for hop in chain.hops if not hop.passed]
    worst = chain.worst
    if worst is None:
        return say("There is nothing to hold against a limit yet: enter fuse and cable.")
    if not broken:
        return _unbroken(chain, worst)
    if len(broken) == 1:
        return say("One hop does not hold: {hop}.", hop=broken[0].title)
    worst = max(broken, key=lambda hop: hop.share)
    return say("{count} hops do not hold. The worst: {hop}.", count=len(broken), hop=worst.title)


def _unbroken(chain: Chain, worst: Hop) -> Text:
    unsure = [hop for hop in chain.hops if hop.verdict == "may_not_hold"]
    if len(unsure) == 1:
        return say("By what is known it holds; one hop may not: {hop}.", hop=unsure[0].title)
    if unsure:
        most = max(unsure, key=lambda hop: hop.most_share)
        return say("By what is known it holds; {count} hops may not. The worst: {hop}.",
                   count=len(unsure), hop=most.title)  # fmt: skip
    used = share(worst.most_share)
    if chain.unchecked:
        return say("Not every hop could be checked. Of the others the tightest: {hop}, {share} "
                   "used.", hop=worst.title, share=used)  # fmt: skip
    if any(not hop.sure for hop in chain.hops):
        return say("Every hop holds, whatever was not measured. The tightest: {hop}, at most "
                   "{share} used.", hop=worst.title, share=used)  # fmt: skip
    return say("Every hop holds. The tightest: {hop}, {share} used.",
               hop=worst.title, share=used)  # fmt: skip


def margin_words(hop: Hop) -> Text:
    """What is left until the limit, or by how much it is passed; or that it is not sure."""
    if hop.verdict == "unchecked":
        return VERDICT_WORDS["unchecked"]
    if hop.verdict == "may_not_hold":
        return VERDICT_WORDS["may_not_hold"]
    if hop.passed and hop.chosen and hop.margin < 1e-9:
        return say("as large as it has to be")
    size: Argument = hop.room if isfinite(hop.margin) else ""
    if hop.passed:
        return say("{size} left", size=size) if hop.at_most else say("{size} to spare", size=size)
    if hop.at_most:
        return say("{size} too much", size=size)
    return say("{size} too little", size=size)


def load_words(hop: Hop) -> Text:
    """Load and limit, and the state in which that is so."""
    quantity, words = hop.quantity.capital(), _load(hop)
    if hop.state is None:
        return run_on(quantity, words, between=": ")
    state = STATE[hop.state].phrase
    return say("{quantity}: {words}, worst {state}", quantity=quantity, words=words, state=state)


def _load(hop: Hop) -> Text:
    """Load, both its ends where they differ, and limit."""
    load = load_ends(hop)
    if isnan(hop.limit):
        return load
    limit = Amount(hop.decides, hop.unit)
    if hop.at_most:
        return say("{load} of at most {limit}", load=load, limit=limit)
    return say("{load}, at least {limit} needed", load=load, limit=limit)


def load_ends(hop: Hop) -> Text:
    """The load alone: “7 to 18.3 A” where something of it is not known."""
    return say("{load}", load=span_words(hop.load, hop.end, hop.unit))


LOOKS: Final[dict[Verdict, tuple[str, str]]] = {
    "holds": ("good", "accent"),
    "may_not_hold": ("caution", "caution"),
    "fails": ("stop", "stop"),
    "unchecked": ("muted_text", "muted_text"),
}
"""The colour of the words and of the bar by the verdict."""


def hop_look(hop: Hop, opened: bool, style: Style) -> RowLook:
    """One hop, with its basis below it when opened."""
    colour, bar = LOOKS[hop.verdict]
    lines: tuple[Line | Bar, ...] = (
        Line(
            style.show(hop.title),
            "strong",
            right=style.show(margin_words(hop)),
            right_colour=colour,
        ),
        *(() if hop.chosen or isnan(hop.limit) else (_bar(hop, bar),)),
        Line(style.show(load_words(hop)), colour="muted_text"),
        *((Line(style.show(hop.missing.capital()), colour="muted_text"),) if hop.missing else ()),
    )
    if opened:
        ground = GROUND_WORDS[hop.ground]
        lines = (
            *lines,
            *basis_lines(hop.basis, style, indent=1),
            Line(style.show(say("Limit: {ground}", ground=ground)), colour="muted_text", indent=1),
        )
    return RowLook(lines, mark=_mark(hop, opened))


def _bar(hop: Hop, colour: str) -> Bar:
    """What is known of the load in full, what it may be besides hatched."""
    known = "accent" if colour == "caution" else colour
    return Bar(hop.share, known, max(hop.most_share, hop.share), colour)


def _mark(hop: Hop, opened: bool) -> str:
    return ("open " if opened else "shut ") + hop.verdict


def chain_looks(
    chain: Chain, start: Argument, end: Argument, opened: Set[str], style: Style
) -> tuple[RowLook, ...]:
    """All rows of a chain: where the current comes from, its hops, how it comes back.

    What one missing thing keeps from being checked stands in one row, below the hops.
    """
    return (
        RowLook((Line(style.show(start), "strong"),), mark="start"),
        *(hop_look(hop, hop.id in opened, style) for hop in seen(chain)),
        *(blind_look(hops, style) for hops in blind(chain)),
        RowLook((Line(style.show(end), "strong"),), mark="end"),
    )


def seen(chain: Chain) -> tuple[Hop, ...]:
    """The hops that have a figure."""
    return tuple(hop for hop in chain.hops if not isnan(hop.load))


def blind(chain: Chain) -> tuple[tuple[Hop, ...], ...]:
    """The hops without any figure, those together that miss the same."""
    found: dict[str, tuple[Hop, ...]] = {}
    for hop in chain.hops:
        if isnan(hop.load):
            found[str(hop.missing)] = (*found.get(str(hop.missing), ()), hop)
    return tuple(found.values())


def blind_look(hops: tuple[Hop, ...], style: Style) -> RowLook:
    """Hops that could not be held against a limit, with what is missing for them."""
    return RowLook(
        (
            Line(
                style.show(in_row(hop.title for hop in hops)),
                "strong",
                right=style.show(VERDICT_WORDS["unchecked"]),
                right_colour="muted_text",
            ),
            Line(style.show(hops[0].missing.capital()), colour="muted_text"),
        ),
        mark="unchecked",
    )


def draw_hop_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """The wire that runs down the left of all hops, with a mark on it for each of them.

    A broken hop has the octagon, one that may not hold a half filled ring, one that could not be
    checked a question mark; any other the arrow that says whether it is open.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _draw_wire(painter, place, row, look, theme)
    if look.mark.endswith("fails"):
        draw_severity(painter, place, "stop", theme)
    elif look.mark.endswith(("may_not_hold", "unchecked")):
        draw_doubt(painter, place, half=look.mark.endswith("may_not_hold"), theme=theme)
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


# --- the list -----------------------------------------------------------------------------------


def _rows(chain: Chain) -> tuple[tuple[str, ...], int]:
    """What makes two chains have the same rows: their hops, and how many are unchecked."""
    return tuple(hop.id for hop in seen(chain)), len(blind(chain))


class ChainModel(QAbstractListModel):
    """The rows of one chain; which hops are open is kept by their keys."""

    def __init__(self, style: Style, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._style = style
        self.chain: Chain | None = None
        self.opened: set[str] = set()
        self._ends: tuple[Argument, Argument] = ("", "")
        self._looks: tuple[RowLook, ...] = ()

    def set_chain(self, chain: Chain | None, start: Argument = "", end: Argument = "") -> None:
        """Show this chain; rows that look the same are left alone."""
        same = chain is not None and self.chain is not None and _rows(self.chain) == _rows(chain)
        self._ends = (start, end)
        if same:
            self.chain = chain
            self._redo()
        else:
            self.beginResetModel()
            self.chain = chain
            self._looks = self._made()
            self.endResetModel()

    def _made(self) -> tuple[RowLook, ...]:
        if self.chain is None:
            return ()
        return chain_looks(self.chain, *self._ends, self.opened, self._style)

    def _redo(self) -> None:
        old, self._looks = self._looks, self._made()
        for row, (before, after) in enumerate(zip(old, self._looks, strict=True)):
            if before != after:
                self.dataChanged.emit(self.index(row, 0), self.index(row, 0))

    def key(self, row: int) -> str | None:
        """Which hop a row is; the ends are none."""
        hops = () if self.chain is None else seen(self.chain)
        return hops[row - 1].id if 0 < row <= len(hops) else None

    def set_open(self, row: int, on: bool) -> bool:
        """Open or close how a hop's numbers came about; whether that was a change."""
        key = self.key(row)
        if key is None or (key in self.opened) == on:
            return False
        (self.opened.add if on else self.opened.discard)(key)
        self._redo()
        return True

    def rowCount(self, parent: Index | None = None) -> int:
        """How many."""
        return 0 if parent is not None and parent.isValid() else len(self._looks)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """A row's look and its words."""
        if not index.isValid():
            return None
        look = self._looks[index.row()]
        if role == LOOK:
            return look
        if role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.AccessibleTextRole):
            return look.text
        if role == Qt.ItemDataRole.AccessibleDescriptionRole and self.key(index.row()):
            return self.tr("Right or Enter shows how it came about")
        return None


class Hops(RowList):
    """Right or Enter opens a hop, Left closes it, a click on its mark does either."""

    def __init__(self, document: Document, theme: Theme, model: ChainModel) -> None:
        super().__init__(theme, draw_hop_mark, ruled=False)
        self._document = document
        self._theme = theme
        self.hops = model
        self.setObjectName("chainHops")
        self.setAccessibleName(self.tr("Hops of the chain"))
        self.setModel(model)
        copy = QShortcut(QKeySequence.StandardKey.Copy, self)
        copy.setContext(Qt.ShortcutContext.WidgetShortcut)
        copy.activated.connect(self._copy_one)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Open and close by keyboard."""
        row = self.currentIndex().row()
        key = event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.toggle(row)
        elif key in (Qt.Key.Key_Right, Qt.Key.Key_Plus):
            self.hops.set_open(row, True)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Minus):
            self.hops.set_open(row, False)
        else:
            super().keyPressEvent(event)

    def source_here(self) -> str:
        """The source of the hop the cursor is on."""
        key = self.hops.key(self.currentIndex().row())
        chain = self.hops.chain
        hops = () if chain is None else chain.hops
        return next((str(hop.basis.source) for hop in hops if hop.id == key), "")

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done with the hop under the mouse, or under the cursor."""
        index = self.indexAt(event.pos())
        if index.isValid():
            self.setCurrentIndex(index)
        menu = self.hop_menu()
        if not menu.isEmpty():
            menu.popup(event.globalPos())

    def hop_menu(self) -> QMenu:
        """Open or close, copy, the tables behind; empty where the cursor is on no hop."""
        menu = QMenu(self)
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        row = self.currentIndex().row()
        key = self.hops.key(row)
        if key is None:
            return menu
        words = self.tr("Close") if key in self.hops.opened else self.tr("How it came about")
        menu.addAction(words, lambda: self.toggle(row)).setObjectName("hopToggle")
        menu.addAction(self.tr("Copy"), self._copy_one).setObjectName("hopCopy")
        menu.addAction(self.tr("The tables behind it"), self._show_tables).setObjectName(
            "hopTables"
        )
        return menu

    def _show_tables(self) -> None:
        open_tables(self, self.source_here())

    def toggle(self, row: int) -> None:
        """Open what is closed, close what is open."""
        if not self.hops.set_open(row, True):
            self.hops.set_open(row, False)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click on the mark opens or closes."""
        super().mouseReleaseEvent(event)
        index = self.indexAt(event.position().toPoint())
        if not index.isValid() or event.button() != Qt.MouseButton.LeftButton:
            return
        rect = self.visualRect(index)
        place = self.painter_of_rows.mark_place(index.data(LOOK), self.font(), rect)
        if event.position().x() <= place.right() + place.width() / 2:
            self.toggle(index.row())

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """So does a double click anywhere on a hop."""
        super().mouseDoubleClickEvent(event)
        index = self.indexAt(event.position().toPoint())
        if index.isValid():
            self.toggle(index.row())

    def _copy_one(self) -> None:
        look = self.current_look()
        if look is not None:
            QApplication.clipboard().setText(look.text)
