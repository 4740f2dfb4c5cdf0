"""Where a lead of the selected accessory can take its current from: every slot, ranked.

In: the selected accessory and the ranking of `fusemap.placement`. Out: with Enter or the button the
lead is put onto the slot the cursor is on; on the first row, where a relay is the right thing, it
gets its own feed. “Show on the panel” takes the lead up, so that every slot shows its offer.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from fusemap.errors import EditRefused
from fusemap.text import Amount, Style
from fusemap.vehicle import Accessory, Vehicle, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.document import Document, Selection
from fusemap.window.panel.panel_drop import Payload, put_on
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.row_list import Line, RowList, RowLook, RowModel
from fusemap.window.style.signs import draw_cross, draw_tick
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

if TYPE_CHECKING:
    from fusemap.placement import Candidate
    from fusemap.placement.suggest import OwnFeed


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("SourceList", text)


class SourceRow(Struct, frozen=True):
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
    name = style.show(look_up.slot_with_circuit(slot))
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
    # loaded when it is first needed: the start stays short
    from fusemap.placement.suggest import feed_words, terminal_words

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


class SourceList(CatchingUp):
    """The lead, its ranked sources, and what can be done with the one the cursor is on."""

    show_on_panel = Signal(dict)
    """The lead to take up, as a drag carries it."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self.accessory_id = ""
        self._theme = theme
        self._own: OwnFeed | None = None
        self.setObjectName("sourceList")
        self.setAccessibleName(self.tr("Where it can take its current from"))
        self.lead = Choice()
        self.lead.setObjectName("sourceLead")
        self.lead.setAccessibleName(self.tr("Which lead"))
        self.lead.addItem(self.tr("Power lead"), "power")
        self.lead.addItem(self.tr("Sense lead"), "sense")
        self.lead.currentIndexChanged.connect(self.show_soon)
        self.summary = plain_label("sourceSummary")
        self.model = RowModel[SourceRow](lambda row: row.look, self)
        self.list = _Sources(theme, self)
        self.list.setModel(self.model)
        self.list.selectionModel().currentChanged.connect(self._enable)
        self.list.doubleClicked.connect(self.place)
        self.button = self._make_button("sourcePlace", self.tr("Place it here"), self.place)
        self.panel_button = self._make_button(
            "sourceShow", self.tr("Show on the panel"), self._take_up
        )
        self._lay_out()
        document.selected.connect(self._selected)
        self._selected(document.selection)

    def _make_button(self, key: str, text: str, do: Any) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button

    def _lay_out(self) -> None:
        does = QHBoxLayout()
        does.addStretch(1)
        does.addWidget(self.button)
        does.addWidget(self.panel_button)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(edge)
        column.addWidget(self.lead, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.summary)
        column.addWidget(self.list, 1)
        column.addLayout(does)

    # --- what is shown ----------------------------------------------------------------------------

    def accessory(self) -> Accessory | None:
        """The accessory shown, as it is now."""
        found = self.document.vehicle.accessories
        return next((each for each in found if each.id == self.accessory_id), None)

    @property
    def lead_name(self) -> LeadName:
        """The lead that is looked at."""
        return "sense" if self.lead.currentData() == "sense" else "power"

    def fill(self) -> None:
        """Rank the sources as they are now."""
        it = self.accessory()
        if it is None:
            self.model.set_rows(())
            return
        self.lead.setVisible("sense" in it.leads)
        if "sense" not in it.leads and self.lead_name == "sense":
            self.lead.setCurrentIndex(0)
        kept = self.current()
        self.model.set_rows(tuple(self._rows(it)))
        fitting = sum(row.fits and bool(row.slot_id) for row in self.model.rows)
        self.summary.setText(self._summary_words(fitting))
        rows = [row.slot_id for row in self.model.rows]
        row = rows.index(kept.slot_id) if kept is not None and kept.slot_id in rows else 0
        self.list.setCurrentIndex(self.model.index(row, 0))
        self._enable()

    def _summary_words(self, fitting: int) -> str:
        if self.document.vehicle.panels == ():
            return self.tr("There is no fuse panel yet.")
        if fitting == 0:
            return self.tr("No slot can take it. The rules are named at each.")
        if fitting == 1:
            return self.tr("One slot can take it.")
        return self.tr("{n} slots can take it, best first.").format(n=fitting)

    def _rows(self, it: Accessory) -> Iterator[SourceRow]:
        # loaded when it is first needed: the start stays short
        from fusemap.placement import candidates

        document = self.document
        tap = look_up.tap_of(document.vehicle, it.id, self.lead_name)
        found = candidates(document.vehicle, document.assessment, it, self.lead_name)
        self._own = self._own_feed(it, found)
        if self._own is not None:
            yield own_row(self._own, self._theme.style, now=tap is not None and tap.slot is None)
        for number, candidate in enumerate(found, start=1):
            now = tap is not None and tap.slot == candidate.slot_id
            yield slot_row(document.vehicle, candidate, number, self._theme.style, now=now)

    def _own_feed(self, it: Accessory, found: "tuple[Candidate, ...]") -> "OwnFeed | None":
        """The own feed, where it is the right thing or the only one."""
        # loaded when it is first needed: the start stays short
        from fusemap.placement.suggest import own_feed

        if self.lead_name != "power" or any(c.fits for c in found):
            return None
        return own_feed(self.document.vehicle, self.document.assessment, it)

    def current(self) -> SourceRow | None:
        """The row the cursor is on."""
        at = self.list.currentIndex().row()
        return self.model.rows[at] if 0 <= at < len(self.model.rows) else None

    def _enable(self, *_: object) -> None:
        row = self.current()
        self.button.setEnabled(row is not None and row.fits and not row.now)
        own = row is not None and not row.slot_id
        self.button.setText(self.tr("Give it this feed") if own else self.tr("Place it here"))

    def _selected(self, selection: Selection | None) -> None:
        if selection is None:
            return
        if selection.kind == "accessory":
            self.show_accessory(selection.id, "power")
        elif selection.kind == "tap":
            tap = look_up.tap(self.document.vehicle, selection.id)
            self.show_accessory(tap.accessory, tap.lead)

    def show_accessory(self, accessory_id: str, lead: LeadName = "power") -> None:
        """Show the sources of another accessory's lead."""
        if accessory_id != self.accessory_id:
            self.accessory_id = accessory_id
            self.model.set_rows(())
            self.lead.setCurrentIndex(0 if lead == "power" else 1)
            self.show_soon()

    # --- what can be asked ------------------------------------------------------------------------

    def place(self, *_: object) -> None:
        """Put the lead onto the source the cursor is on, as one step, or say why not."""
        row, it = self.current(), self.accessory()
        if row is None or it is None or row.now:
            return
        if not row.fits:
            slot = look_up.slot(self.document.vehicle, row.slot_id)
            self.document.refused.emit(EditRefused(row.reason, look_up.place_words(slot)))
        elif not row.slot_id:
            self._give_own_feed(it)
        else:
            slot = look_up.slot(self.document.vehicle, row.slot_id)
            where = self._theme.style.show(look_up.place_words(slot))
            text = self.tr("{name} on {slot}").format(name=it.name, slot=where)
            payload = Payload(accessory=it.id, lead=self.lead_name)
            self.document.apply(
                text, put_on, self.document.assessment, payload, slot.id, self._theme.style
            )

    def _give_own_feed(self, it: Accessory) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.placement import suggest

        own = self._own
        if own is not None:
            text = self.tr("Own feed for {name}").format(name=it.name)
            self.document.apply(text, lambda vehicle: suggest.fit(vehicle, own))

    def _take_up(self) -> None:
        if self.accessory() is not None:
            self.show_on_panel.emit({"accessory": self.accessory_id, "lead": self.lead_name})


class _Sources(RowList):
    """Enter places."""

    def __init__(self, theme: Theme, sources: SourceList) -> None:
        super().__init__(theme, draw_source_mark)
        self._sources = sources
        self.setObjectName("sourceRows")
        self.setAccessibleName(self.tr("Sources, best first"))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter places the lead there."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._sources.place()
        else:
            super().keyPressEvent(event)
