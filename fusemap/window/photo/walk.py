"""Slot by slot: the piece of the photo that shows the slot in hand, and the line typed for it.

In: the document and a panel with a photo. Out: one step of the history for each line, as on the
panel: ``15 Radio`` and Enter, and on to the next slot. What a colour says is a proposal; it is
taken into the line by a key of its own, and nothing of it is stored before Enter.
"""

from functools import partial
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QBoxLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import given
from fusemap.vehicle import Panel, Slot, Vehicle, look_up
from fusemap.vehicle.texts import clean
from fusemap.window.document import Document, slot_of
from fusemap.window.panel.slot_entry import enter, entry_text, ratings_words
from fusemap.window.panel.slot_words import family_name
from fusemap.window.parts.headings import heading_label
from fusemap.window.parts.later import Later
from fusemap.window.parts.layouts import WholeWords, is_wide, turn
from fusemap.window.photo.overview import Overview
from fusemap.window.photo.piece import PieceView
from fusemap.window.photo.proposals import Grey, proposals_of
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

if TYPE_CHECKING:
    from fusemap.photo.ratings import Proposal

TAKE_KEYS: Final = ("+", "*")
"""They take the first and the second proposal into the line while nothing is typed."""
WIDE: Final = 90
"""From so many letters on the whole photo stands below what is typed, else below the piece."""


class WalkLine(QLineEdit):
    """The line for a slot; `stepped` by arrows and Shift with Enter, `took` by a proposal's key."""

    stepped = Signal(bool)
    took = Signal(int)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows walk; a proposal's key counts where it would replace all that stands there."""
        key, held = event.key(), event.modifiers()
        back = key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and bool(
            held & Qt.KeyboardModifier.ShiftModifier
        )
        blank = not self.text() or self.selectedText() == self.text()
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down) or back:
            self.stepped.emit(key == Qt.Key.Key_Down)
        elif blank and event.text() in TAKE_KEYS:
            self.took.emit(TAKE_KEYS.index(event.text()))
        else:
            super().keyPressEvent(event)


class SlotBySlot(QWidget):
    """Walks a panel's fuse slots with the photo beside the line."""

    finished = Signal()
    """Enter was pressed on the last slot."""

    def __init__(self, document: Document, theme: Theme, panel_id: str) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._panel_id = panel_id
        self._slot_id = ""
        self._grey: Grey | None = None
        self._proposals: dict[str, Proposal] = {}
        self.setObjectName("slotBySlot")
        self.piece = PieceView("walkPiece")
        self.overview = Overview()
        self.overview.picked.connect(self.take)
        self.overview.shown.connect(self._take_grey)
        self.line = WalkLine()
        self.line.setObjectName("walkLine")
        self.line.setAccessibleName(self.tr("Rating and circuit"))
        self.line.setPlaceholderText(self.tr("15 Radio"))
        self.line.returnPressed.connect(self._store)
        self.line.stepped.connect(self._step)
        self.line.took.connect(self._propose)
        self.where, self.label = plain_label("walkWhere"), heading_label("")
        self.label.setObjectName("walkLabel")
        self.said, self.hint = plain_label("walkSaid"), WholeWords("walkHint")
        self.takes = [self._take_button(number) for number in range(len(TAKE_KEYS))]
        self.grey_button = QPushButton(self.tr("Show a &grey or white…"))
        self.grey_button.setObjectName("walkGrey")
        self.grey_button.setCheckable(True)
        self.grey_button.setToolTip(
            self.tr("Click on something grey or white in the photo: its light is then known")
        )
        self.grey_button.toggled.connect(self._ask_grey)
        self.light = WholeWords("walkLight")
        self._reckoning = Later(self._reckon, self)
        self._lay_out()
        document.changed.connect(self._vehicle_changed)
        self.begin()

    def _take_button(self, number: int) -> QPushButton:
        button = QPushButton()
        button.setObjectName(f"walkTake_{number}")
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        # what stands below keeps its place while proposals come and go
        policy = button.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        button.setSizePolicy(policy)
        button.clicked.connect(partial(self._propose, number))
        return button

    def _lay_out(self) -> None:
        edge = space(self, "medium")
        for muted in (self.where, self.hint, self.light):
            muted.setProperty("muted", True)
        font = self.line.font()
        font.setPointSizeF(font.pointSizeF() * 1.3)
        self.line.setFont(font)
        takes = QHBoxLayout()
        for button in self.takes:
            takes.addWidget(button)
        takes.addStretch(1)
        grey = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        grey.addWidget(self.grey_button, 0, Qt.AlignmentFlag.AlignLeft)
        grey.addWidget(self.light, 1)
        self._photo = QWidget()
        photo = QVBoxLayout(self._photo)
        photo.setContentsMargins(0, edge, 0, 0)
        photo.setSpacing(edge)
        photo.addLayout(grey)
        photo.addWidget(self.overview, 1)
        side = QVBoxLayout()
        side.setSpacing(edge)
        for widget in (self.where, self.label, self.line, self.said):
            side.addWidget(widget)
        side.addLayout(takes)
        side.addWidget(self.hint)
        side.addWidget(self._photo, 1)
        side.addStretch(0)
        shown = QVBoxLayout()
        shown.setSpacing(edge)
        shown.addWidget(self.piece, 1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(edge * 2)
        whole.addLayout(shown, 5)
        whole.addLayout(side, 4)
        self._whole, self._shown, self._side, self._grey_row = whole, shown, side, grey

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The whole photo stands below the piece where the letters are large."""
        super().resizeEvent(event)
        wide = is_wide(self, WIDE)
        turn(self._grey_row, wide)
        self._whole.setStretch(1, 4 if wide else 5)
        lane, other = (self._side, self._shown) if wide else (self._shown, self._side)
        if lane.indexOf(self._photo) < 0:
            other.removeWidget(self._photo)
            # before the stretch at the foot of what is typed
            lane.insertWidget(lane.count() - (lane is self._side), self._photo, 1)

    # --- which slot -----------------------------------------------------------------------------

    def _panel(self) -> Panel | None:
        panels = {panel.id: panel for panel in self._document.vehicle.panels}
        return panels.get(self._panel_id)

    def order(self) -> list[Slot]:
        """The fuse slots in reading order."""
        panel = self._panel()
        slots = () if panel is None else panel.slots
        fuses = [slot for slot in slots if slot.kind == "fuse"]
        return sorted(fuses, key=lambda slot: (slot.row, slot.column))

    def begin(self) -> None:
        """At the slot that is selected, else at the first of which nothing is known."""
        order = self.order()
        chosen = slot_of(self._document.vehicle, self._document.selection)
        open_ = [slot.id for slot in order if self._is_blank(slot)]
        first = [slot.id for slot in order if slot.id == chosen and slot.id not in open_[1:]]
        self.take((first or open_ or [slot.id for slot in order] or [""])[0])
        self._reckoning.start()

    def take(self, slot_id: str) -> None:
        """Take a slot in hand."""
        self._slot_id = slot_id
        if slot_id:
            self._document.select("slot", slot_id)
        self._show()
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def _slot(self) -> Slot | None:
        panel = self._panel()
        slots = () if panel is None else panel.slots
        return next((slot for slot in slots if slot.id == self._slot_id), None)

    def _step(self, forward: bool) -> bool:
        """Go to the next slot or back; False where there is none."""
        ids = [slot.id for slot in self.order()]
        at = ids.index(self._slot_id) if self._slot_id in ids else -1
        to = at + (1 if forward else -1)
        if not 0 <= to < len(ids):
            return False
        self.take(ids[to])
        return True

    # --- typing ---------------------------------------------------------------------------------

    def _store(self) -> None:
        """Do what the line says and go on; where it is refused, stay."""
        slot, text = self._slot(), clean(self.line.text())
        if slot is None:
            return
        if text.strip() and text.strip() != self._there(slot).strip():
            name = self._theme.style.show(look_up.slot_words(slot))
            if not self._document.apply(f"{name}: {text.strip()}", enter, [slot.id], text):
                self.line.selectAll()
                return
        if not self._step(forward=True):
            self.finished.emit()

    @staticmethod
    def _is_blank(slot: Slot) -> bool:
        return slot.fuse is None and not slot.circuit and not slot.seen_empty

    def _there(self, slot: Slot) -> str:
        """The slot as it stands now, as it would be typed; blank where nothing is known."""
        return "" if self._is_blank(slot) else entry_text(slot, self._theme.style)

    # --- proposals ------------------------------------------------------------------------------

    def _reckon(self) -> None:
        """See what the colours say; a grey too dark to tell is said and forgotten."""
        panel, image = self._panel(), self.piece.image
        if panel is None or image is None:
            return
        words = self.tr("light estimated: a grey shown makes it surer")
        if self._grey is not None:
            words = self.tr("light known by the grey you showed")
        try:
            self._proposals = proposals_of(panel, image, self._grey)
        except ValueError:
            self._grey = None
            self._proposals = proposals_of(panel, image, None)
            words = self.tr("too dark to tell the light: show a lighter grey")
        self.light.setText(words)
        self._show_proposal()

    def _offers(self) -> tuple[float, ...]:
        """The ratings [A] proposed for the slot in hand, while it holds no fuse."""
        slot, proposal = self._slot(), self._proposals.get(self._slot_id)
        if slot is None or slot.fuse is not None or proposal is None:
            return ()
        return proposal.ratings_a

    def _propose(self, number: int, checked: bool = False) -> None:
        """Take a proposal into the line, where it can still be changed."""
        offers = self._offers()
        if number < len(offers):
            slot = self._slot()
            circuit = "" if slot is None else slot.circuit
            self.line.setText(f"{self._theme.style.number(offers[number])} {circuit}")
            self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    def _ask_grey(self, on: bool) -> None:
        self.overview.ask_grey(on)
        if on:
            self.light.setText(self.tr("now click on something grey or white in the photo"))

    def _take_grey(self, grey: Grey) -> None:
        self._grey = grey
        self.grey_button.setChecked(False)
        self._reckoning.start()
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)

    # --- showing --------------------------------------------------------------------------------

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        panel = self._panel()
        before = {each.id: each for each in old.panels}.get(self._panel_id)
        if panel is not None and before is not None and panel.photo is not before.photo:
            self._reckoning.start()
        if self._slot() is None and self.order():
            self._slot_id = self.order()[0].id
        self._show()

    def _show(self) -> None:
        panel, slot = self._panel(), self._slot()
        self.piece.show_slot(self._document.vehicle, slot)
        self.overview.show_panel(self.piece.image, panel, slot)
        self.line.setEnabled(slot is not None)
        if slot is None:
            return
        show, ids = self._theme.style.show, [each.id for each in self.order()]
        at = ids.index(slot.id) + 1 if slot.id in ids else 0
        self.where.setText(self.tr("Slot {n} of {all}").format(n=at, all=len(ids)))
        family = show(family_name(slot.family)) if slot.kind == "fuse" else ""
        name = show(look_up.slot_words(slot))
        self.label.setText(f"{name} · {family}" if family else name)
        self.line.setText(self._there(slot))
        self.line.selectAll()
        made = show(ratings_words(slot.family))
        self.line.setToolTip(self.tr("Ratings: {ratings}").format(ratings=made))
        self.hint.setText(
            self.tr(
                "Type 15 Radio, − for no fuse; Enter stores and goes on · Up and Down walk without "
                "storing"
            )
        )
        self._show_proposal()

    def _show_proposal(self) -> None:
        """What the colour says, as a question; each rating has its key."""
        proposal, offers = self._proposals.get(self._slot_id), self._offers()
        slot = self._slot()
        words = ""
        if offers:
            words = self.tr("By its colour it may be:")
        elif proposal is not None and proposal.empty and slot is not None and slot.fuse is None:
            words = self.tr("It looks empty in the photo.")
        elif proposal is not None and slot is not None and slot.fuse is None:
            words = self.tr("Its colour does not say.")
        self.said.setText(words)
        for number, button in enumerate(self.takes):
            if number < len(offers):
                amount = self._theme.style.show(given(offers[number], "A"))
                asked = self.tr("{amount}? ({key})").format(amount=amount, key=TAKE_KEYS[number])
                button.setText(asked)
                tip = self.tr("By its colour: {key} takes it into the line, Enter stores it")
                button.setToolTip(tip.format(key=TAKE_KEYS[number]))
            button.setVisible(number < len(offers))

    def showEvent(self, event: QShowEvent) -> None:
        """The keyboard is on the line."""
        super().showEvent(event)
        self.line.setFocus(Qt.FocusReason.OtherFocusReason)
