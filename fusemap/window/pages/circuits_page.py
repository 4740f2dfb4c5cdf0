"""One list of all circuits to answer what they are, by single keys: the most doubtful first.

In: the document; what `fusemap.placement.answers` asks. Out: one step of the history for each
answer, or one for all proposals. The order stays while the page is looked at, so that nothing moves
under the cursor; it goes on to the next open circuit after every answer.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Final, cast

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QGridLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from fusemap import tables
from fusemap.circuits import FUNCTION_WORDS, LAMPS
from fusemap.text import Style, many, say
from fusemap.vehicle import look_up
from fusemap.vehicle.texts import MOST_LETTERS, clean
from fusemap.window.document import Document
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.row_list import Line, RowList, RowLook, RowModel
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_label

if TYPE_CHECKING:
    from fusemap.placement.answers import Answer, Question

KEYS: Final = "123450"
"""The keys of the answers, in the order of `answers.ANSWERS`; the last is for not knowing."""
ALL_KEYS: Final = QKeySequence("Ctrl+Enter")
"""Takes all proposals."""
ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
NATIVE: Final = QKeySequence.SequenceFormat.NativeText
ALL: Final = "all"
BUTTONS_IN_A_ROW: Final = 2


class CircuitsPage(CatchingUp):
    """The list, the answers with their keys, and a line for what a circuit really feeds."""

    def __init__(self, document: Document, theme: Theme) -> None:
        # loaded with the numbers, which this page is not shown without
        from fusemap.placement.answers import ANSWERS

        super().__init__(document)
        self._style = theme.style
        self._answers = dict(zip(KEYS, ANSWERS, strict=True))
        self._order: tuple[str, ...] = ()
        self._looks: dict[str, tuple[Question, RowLook]] = {}
        self._asked: tuple[str, Answer] | None = None
        self._wants_order = True
        self.asked: tuple[Question, ...] = ()
        self.setObjectName("circuitsPage")
        self.setAccessibleName(self.tr("What the circuits are"))
        self.summary = plain_label("circuitsSummary")
        self.model = RowModel[RowLook](lambda look: look, self)
        self.list = _Circuits(theme)
        self.list.setAccessibleName(self.tr("Circuits, the most doubtful first"))
        self.list.setModel(self.model)
        self.list.key.connect(self._pressed)
        self.list.selectionModel().currentRowChanged.connect(self._moved)
        self.line = QLineEdit()
        self.line.setObjectName("circuitsFeeds")
        self.line.setMaxLength(MOST_LETTERS)
        self.line.setAccessibleName(self.tr("What it really feeds, and how that was found"))
        self.line.setPlaceholderText(
            self.tr("What it really feeds, and how that was found: rear socket, traced")
        )
        self.line.returnPressed.connect(self._write)
        self.why = plain_label("circuitsWhy")
        self.all_button = self._button("circuitsAll", "", self.take_all)
        self.all_button.setToolTip(self.tr("All of it as one step; Undo takes it back"))
        self.keys = self._make_keys()
        self._lay_out()
        document.opened.connect(self._opened)
        self._ask(None)

    @property
    def home(self) -> QWidget:
        """The list: the keys are pressed there."""
        return self.list

    def _button(self, key: str, text: str, do: Callable[[], object]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button

    def _make_keys(self) -> QGridLayout:
        """The answers as buttons, each with its key."""
        # loaded with the numbers, as above
        from fusemap.placement.answers import ANSWER_WORDS

        grid = QGridLayout()
        grid.setSpacing(space(self, "small"))
        named: list[tuple[str, str, Callable[[], object]]]
        named = [(key, self._style.show(ANSWER_WORDS[each]), partial(self.give, each))
                 for key, each in self._answers.items()]  # fmt: skip
        named.append((self.tr("Enter"), self.tr("as proposed"), self.take_proposal))
        for at, (key, words, do) in enumerate(named):
            button = self._button(f"circuits_{at}", f"{key}   {words}", do)
            # the keyboard stays in the list, where the same is one key
            button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            grid.addWidget(button, at // BUTTONS_IN_A_ROW, at % BUTTONS_IN_A_ROW)
        return grid

    def _lay_out(self) -> None:
        heading = plain_label("circuitsHeading", self.tr("What the circuits are"))
        embolden(heading)
        column = QVBoxLayout(self)
        edge = space(self, "medium")
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(space(self, "small"))
        column.addWidget(heading)
        column.addWidget(self.summary)
        column.addWidget(self.list, 1)
        column.addWidget(self.why)
        column.addWidget(self.line)
        column.addLayout(self.keys)
        column.addWidget(self.all_button)

    # --- what is shown ----------------------------------------------------------------------------

    def fill(self) -> None:
        """Show every circuit as it is now."""
        # loaded with the numbers, as above
        from fusemap.placement.answers import questions

        found = {each.slot.id: each for each in questions(self.document.vehicle)}
        if self._wants_order or set(found) != set(self._order):
            self._order = tuple(found)
            self._wants_order = False
        at = self.list.currentIndex().row()
        self.asked = tuple(found[slot_id] for slot_id in self._order)
        self.model.set_rows(tuple(map(self._look_of, self.asked)))
        if self.asked:
            self._go(max(0, min(at, len(self.asked) - 1)))
        self._count()

    def _look_of(self, question: "Question") -> RowLook:
        """The row of a circuit; the same as before where the slot is the very same."""
        slot_id = question.slot.id
        before = self._looks.get(slot_id)
        if before is not None:
            was, look = before
            if was.slot is question.slot and was.in_use == question.in_use:
                return look
        look = _look(question, self._style)
        self._looks[slot_id] = question, look
        return look

    def _count(self) -> None:
        still = sum(each.is_open for each in self.asked)
        proposed = sum(each.is_open and each.proposal is not None for each in self.asked)
        used = sum(each.is_open and each.in_use for each in self.asked)
        words = say("Answered: {n} of {all}.", n=len(self.asked) - still, all=len(self.asked))
        told = [words]
        if used:
            told.append(many("{n} open one is tapped.", "{n} open ones are tapped.", used))
        if still:
            told.append(
                say(
                    "Until they are answered, what looks like a circuit to leave alone is left "
                    "alone, and what nobody knows comes last."
                )
            )
        self.summary.setText(" ".join(map(self._style.show, told)))
        text = many("Take the {n} proposal", "Take all {n} proposals", proposed)
        self.all_button.setText(f"{ALL_KEYS.toString(NATIVE)}   {self._style.show(text)}")
        self.all_button.setEnabled(bool(proposed))

    def _go(self, row: int) -> None:
        self.list.setCurrentIndex(self.model.index(row, 0))

    def _moved(self, *_: object) -> None:
        """Another circuit: what was asked about the last one is dropped."""
        current = self.current()
        if self._asked is not None and (current is None or current.slot.id != self._asked[0]):
            self._ask(None)

    def _opened(self) -> None:
        self._looks.clear()
        self._wants_order = True
        self._ask(None)
        self.show_soon()

    def showEvent(self, event: QShowEvent) -> None:
        """What is doubtful may be another circuit than at the last look."""
        self._wants_order = self._stale = True
        super().showEvent(event)

    def current(self) -> "Question | None":
        """The circuit that the cursor is on."""
        at = self.list.currentIndex().row()
        return self.asked[at] if 0 <= at < len(self.asked) else None

    # --- answering --------------------------------------------------------------------------------

    def _pressed(self, key: str) -> None:
        if key in self._answers:
            self.give(self._answers[key])
        elif key == ALL:
            self.take_all()
        else:
            self.take_proposal()

    def take_proposal(self) -> None:
        """Answer with what the name proposes; where it proposes nothing, go on."""
        current = self.current()
        if current is None:
            return
        if current.proposal is not None and current.is_open:
            self.give(current.proposal)
        else:
            self._go_on()

    def give(self, answer: "Answer") -> None:
        """Answer for the circuit that the cursor is on, or ask what it really feeds first."""
        # loaded with the numbers, as above
        from fusemap.placement.answers import needs_words
        from fusemap.vehicle.texts import tells

        current = self.current()
        if current is None:
            return
        if needs_words(current.slot, answer) and not tells(current.slot.harmless):
            self._ask((current.slot.id, answer))
            return
        self._apply(current.slot.id, answer)

    def _apply(self, slot_id: str, answer: "Answer", feeds: str = "") -> None:
        # loaded with the numbers, as above
        from fusemap.placement.answers import ANSWER_WORDS
        from fusemap.placement.answers import answer as write

        slot = look_up.slot(self.document.vehicle, slot_id)
        name = self._style.show(look_up.slot_words(slot))
        text = f"{name}: {self._style.show(ANSWER_WORDS[answer])}"
        if self.document.apply(text, write, [slot_id], answer, feeds):
            self._ask(None)
            self.refresh()
            self._go_on()

    def _go_on(self) -> None:
        """Go to the next open circuit, else to the next one."""
        at = self.list.currentIndex().row()
        count = len(self.asked)
        around = [(at + step) % count for step in range(1, count)]
        row = next((each for each in around if self.asked[each].is_open), min(at + 1, count - 1))
        self._go(row)

    def take_all(self) -> None:
        """Answer all open circuits with what their names propose, as one step."""
        # loaded with the numbers, as above
        from fusemap.placement.answers import take_proposals

        self.document.apply(self.tr("Take all proposals"), take_proposals)
        self.refresh()
        self.list.setFocus()

    # --- what it really feeds ---------------------------------------------------------------------

    def _ask(self, asked: "tuple[str, Answer] | None") -> None:
        """Ask what a circuit really feeds that its name warns of, or ask no more."""
        self._asked = asked
        self.line.setVisible(asked is not None)
        self.why.setVisible(asked is not None)
        if asked is None:
            return
        slot = look_up.slot(self.document.vehicle, asked[0])
        self.why.setText(
            self.tr(
                "{slot} looks like a circuit to leave alone. Write what it really feeds and how "
                "that was found, then Enter; Esc goes back."
            ).format(slot=self._style.show(look_up.slot_with_circuit(slot)))
        )
        self.line.setText(slot.harmless)
        self.line.setFocus()

    def _write(self) -> None:
        if self._asked is not None:
            slot_id, answer = self._asked
            self._apply(slot_id, answer, clean(self.line.text()))
            if self._asked is None:
                self.list.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape goes back from the line to the list."""
        if event.key() == Qt.Key.Key_Escape and self._asked is not None:
            self._ask(None)
            self.list.setFocus()
        else:
            super().keyPressEvent(event)


def _look(question: "Question", style: Style) -> RowLook:
    """One circuit: slot and name, what it is taken for and why, the answer at the right."""
    # loaded with the numbers, as above
    from fusemap.placement.answers import ANSWER_WORDS

    slot, circuit = question.slot, question.circuit
    nothing = style.show(say("no name"))
    head = f"{style.show(look_up.slot_words(slot))}  {slot.circuit or nothing}"
    colour = "caution" if question.in_use else "muted_text"
    if question.answer is not None:
        right, colour = style.show(ANSWER_WORDS[question.answer]), "text"
    elif question.proposal is not None:
        right = style.show(say("{answer}?", answer=ANSWER_WORDS[question.proposal]))
    else:
        right = style.show(say("open"))
    lines = [Line(head, "strong", right=right, right_colour=colour)]
    if question.in_use:
        lines.append(Line(style.show(say("Something is tapped here.")), colour="caution"))
    lines.append(Line(_taken_for(question, style), colour="muted_text"))
    if circuit.answered and slot.harmless:
        lines.append(Line(slot.harmless, colour="muted_text"))
    warns = question.is_open and circuit.function in ("leave_alone", "regulated")
    return RowLook(tuple(lines), mark="warns" if warns else "")


def _taken_for(question: "Question", style: Style) -> str:
    """What the program takes a circuit for, and which part of its name decided."""
    circuit = question.circuit
    function = FUNCTION_WORDS[circuit.function]
    if circuit.answered:
        return style.show(say("somebody answered"))
    if not question.slot.circuit.strip() and not circuit.reason:
        return style.show(say("Nobody said what it feeds."))
    if circuit.reason == LAMPS and not circuit.decided_by:
        return style.show(say("{function}, by its feed class: lighting", function=function))
    part = circuit.decided_by
    if not circuit.reason:
        return style.show(say("not recognised: “{part}”", part=part))
    if circuit.function == "comfort":
        return style.show(say("{function}, by “{part}”", function=function, part=part))
    return style.show(
        say(
            "{function}, by “{part}”: {reason}",
            function=function,
            part=part,
            reason=tables.reasons(circuit.reason),
        )
    )


def _is_for_all(event: QKeyEvent) -> bool:
    return event.key() in ENTER and bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)


class _Circuits(RowList):
    """The list; `key` is pressed for an answer, with a digit, `ALL`, or nothing for Enter."""

    key = Signal(str)

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self.setObjectName("circuitsRows")

    def event(self, event: QEvent) -> bool:
        """Enter with Ctrl takes all here, before it leads to the next step of the job."""
        if event.type() == QEvent.Type.ShortcutOverride and _is_for_all(cast(QKeyEvent, event)):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Digits and Enter answer; the arrow keys walk."""
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        )
        if _is_for_all(event):
            self.key.emit(ALL)
        elif event.key() in ENTER and plain:
            self.key.emit("")
        elif plain and event.text() and event.text() in KEYS:
            self.key.emit(event.text())
        else:
            super().keyPressEvent(event)
