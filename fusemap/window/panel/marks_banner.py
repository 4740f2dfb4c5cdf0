"""A quiet line above the panel: circuit names that look like ones to leave alone.

In: what `fusemap.placement.marks` proposes for slots whose names were typed. Out: one step of the
history for the marks that are confirmed, or for what was written to turn them down. Nothing is
marked by itself; “Not now” keeps it quiet about these slots as long as their names stay, and they
stay left alone.
"""

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap import tables
from fusemap.text import Style
from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.texts import MOST_LETTERS, clean
from fusemap.window.document import Document
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label

if TYPE_CHECKING:
    from fusemap.placement.marks import Proposal

SOON_MS = 300
"""So long after the last letter was typed the names are looked at [ms]."""
NAMED = 3
"""So many slots are named in the line; the others are counted."""


class MarksBanner(QFrame):
    """Proposals to mark slots, to be confirmed all at once or one by one."""

    def __init__(self, document: Document, style: Style) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._quiet: set[tuple[str, str, str]] = set()
        self._opened_now = True
        self._found: tuple[Proposal, ...] = ()
        self.boxes: dict[Proposal, QCheckBox] = {}
        self.setObjectName("marksBanner")
        self.setAccessibleName(self.tr("Circuits to leave alone"))
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.words = plain_label("marksWords")
        self.mark_button = self._button("marksApply", self.tr("Mark them"), self.confirm)
        self.each_button = self._button("marksEach", self.tr("One by one"), self._open)
        self.each_button.setCheckable(True)
        self.other_button = self._button(
            "marksOther", self.tr("They feed something else"), self._ask_what
        )
        self.other_button.setCheckable(True)
        self.later_button = self._button("marksLater", self.tr("Not now"), self.dismiss)
        self._inside = QWidget()
        QVBoxLayout(self._inside).setContentsMargins(0, 0, 0, 0)
        self._inside.setObjectName("marksOneByOne")
        self._area = scrolled(self._inside)
        self._area.setMaximumHeight(self.fontMetrics().height() * 9)
        self._area.hide()
        self.answer = QLineEdit()
        self.answer.setObjectName("marksAnswer")
        self.answer.setMaxLength(MOST_LETTERS)
        self.answer.setAccessibleName(self.tr("What they really feed"))
        self.answer.setPlaceholderText(
            self.tr("What they really feed, in a few words, for instance: rear socket, traced")
        )
        self.answer.returnPressed.connect(self.turn_down)
        self.write_button = self._button("marksWrite", self.tr("Write it down"), self.turn_down)
        self._lay_out()
        self._later = Later(self.refresh, self)
        self._later.setInterval(SOON_MS)
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)
        self.hide()
        self._later.start()

    def _button(self, key: str, text: str, do: Callable[[], None]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(space(self, "small"))
        row.addWidget(self.words, 1)
        for button in (self.mark_button, self.each_button, self.other_button, self.later_button):
            row.addWidget(button, 0, Qt.AlignmentFlag.AlignTop)
        below = QHBoxLayout()
        below.setSpacing(space(self, "small"))
        below.addWidget(self.answer, 1)
        below.addWidget(self.write_button)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge * 2, edge, edge, edge)
        column.addLayout(row)
        column.addLayout(below)
        self._show_answer(False)
        column.addWidget(self._area)

    # --- what is shown ----------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show what is proposed now."""
        from fusemap.placement.marks import proposals  # the numbers: not before the first painting

        vehicle = self._document.vehicle
        if self._opened_now:
            # of a vehicle that is opened only what is critical is told, the rest when it is typed
            self._opened_now = False
            self._hush(p for p in proposals(vehicle) if p.mark != "critical")
        found = tuple(p for p in proposals(vehicle) if self._key(vehicle, p) not in self._quiet)
        if found == self._found and self.boxes:
            return
        self._found = found
        self._fill()
        self.setVisible(bool(found))
        self.words.setText(self._words() if found else "")

    def _key(self, vehicle: Vehicle, proposal: "Proposal") -> tuple[str, str, str]:
        """What was turned down: this mark for this slot under this name."""
        circuit = look_up.slot(vehicle, proposal.slot_id).circuit
        return proposal.slot_id, proposal.mark, circuit

    def _words(self) -> str:
        names = [self._slot(p) for p in self._found]
        named = ", ".join(dict.fromkeys(names[:NAMED]))
        more = len(dict.fromkeys(names)) - len(dict.fromkeys(names[:NAMED]))
        if more > 0:
            named = self.tr("{names} and {n} more").format(names=named, n=more)
        return self.tr(
            "By their names, these circuits are to be left alone or are watched by the vehicle: "
            "{names}. Mark them, or write what they really feed; until then nothing is planned "
            "there."
        ).format(names=named)

    def _slot(self, proposal: "Proposal") -> str:
        return look_up.slot_and_circuit(look_up.slot(self._document.vehicle, proposal.slot_id))

    def _fill(self) -> None:
        layout = self._inside.layout()
        assert layout is not None
        for box in self.boxes.values():
            layout.removeWidget(box)
            box.deleteLater()
        self.boxes = {}
        for proposal in self._found:
            what = self.tr("critical") if proposal.mark == "critical" else self.tr("monitored")
            why = self._style.show(tables.reasons(proposal.reason))
            text = f"{self._slot(proposal)}: {what} ({why})"
            box = QCheckBox(text.replace("&", "&&"))
            box.setAccessibleName(text)
            box.setObjectName(f"mark_{proposal.slot_id}_{proposal.mark}")
            box.setChecked(True)
            layout.addWidget(box)
            self.boxes[proposal] = box

    def _open(self) -> None:
        self._area.setVisible(self.each_button.isChecked())
        ticked = self.tr("Mark the ticked ones")
        self.mark_button.setText(ticked if self.each_button.isChecked() else self.tr("Mark them"))

    def _ask_what(self) -> None:
        """Show the line for what they really feed, or put it away."""
        asked = self.other_button.isChecked()
        self._show_answer(asked)
        if asked:
            self.answer.setFocus()

    def _show_answer(self, shown: bool) -> None:
        self.other_button.setChecked(shown)
        self.answer.setVisible(shown)
        self.write_button.setVisible(shown)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if old.panels is not new.panels:
            self._later.start()

    def _opened(self) -> None:
        self._quiet.clear()
        self._opened_now = True
        self._later.start()

    # --- what can be asked ------------------------------------------------------------------------

    def confirm(self) -> None:
        """Mark what is ticked, as one step; the rest is not asked about again."""
        from fusemap.placement.marks import mark  # as above

        chosen = [p for p, box in self.boxes.items() if box.isChecked()]
        self._hush(p for p in self._found if p not in chosen)
        if chosen:
            text = self.tr("Mark circuits to leave alone")
            self._document.apply(text, mark, chosen)
        self.refresh()

    def turn_down(self) -> None:
        """Write down for those that are ticked what they really feed, as one step."""
        from fusemap.placement.marks import clear  # as above

        chosen = [p.slot_id for p, box in self.boxes.items() if box.isChecked()]
        text = self.tr("Write what circuits really feed")
        if chosen and self._document.apply(text, clear, chosen, clean(self.answer.text())):
            self.answer.clear()
            self._show_answer(False)
            self.refresh()

    def dismiss(self) -> None:
        """Ask no more about these; they stay left alone."""
        self._hush(self._found)
        self.refresh()

    def _hush(self, those: "Iterable[Proposal]") -> None:
        vehicle = self._document.vehicle
        self._quiet.update(self._key(vehicle, each) for each in those)
