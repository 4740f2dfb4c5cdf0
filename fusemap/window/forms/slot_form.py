"""Everything about the slot that is selected: what it is, when it is live, what it carries.

In: the document; out: edits of the slot. Below the fields stand the slot's currents by state, as
assessed.
"""

from functools import partial
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QSizePolicy

from fusemap import tables
from fusemap.circuits import ANSWER_WORDS, FUNCTION_WORDS, Mark, circuit_of, unanswered
from fusemap.text import Amount, Text, given, say
from fusemap.vehicle import (
    FEED_CLASSES,
    FeedClass,
    Fuse,
    Slot,
    State,
    StateLoads,
    Vehicle,
    edits,
    look_up,
)
from fusemap.vehicle.words import (
    FEED,
    LiveSide,
    Orientation,
    SlotKind,
    own_words,
)
from fusemap.window.document import Document, Selection, slot_of
from fusemap.window.forms import choices
from fusemap.window.forms.fields import CheckField, ChoiceField, NoteField, NumberField
from fusemap.window.forms.form import PartForm
from fusemap.window.forms.slot_currents import CurrentsTable
from fusemap.window.forms.slot_evidence import CalibrateField, evidence_words
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.style.theme import FEED_WIDE, Theme, feed_icon

KINDS: tuple[SlotKind, ...] = ("fuse", "relay", "blocked", "module")
ORIENTATIONS: tuple[Orientation, ...] = ("upright", "lying")
SIDES: tuple[LiveSide, ...] = ("unknown", "left", "right", "top", "bottom")
MARKED: Final[dict[tuple[Mark, bool], Text]] = {
    ("critical", True): say("leave alone"),
    ("critical", False): say("need not be left alone"),
    ("monitored", True): say("watched"),
    ("monitored", False): say("not watched"),
}
"""A slot's mark, set and taken away."""
_NO_SLOT = Slot(id="", row=0, column=0)


class SlotForm(PartForm):
    """The slot that was selected last."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.slot_id = ""
        super().__init__(document, theme, "slot", self.tr("Slot"), self.slot, self._change)
        self.heading = self.section("")
        self._add_what()
        self._add_live()
        self._add_leave_alone()
        self._add_load()
        self._add_currents()
        document.selected.connect(self._selected)
        self._selected(document.selection)

    # --- the slot -------------------------------------------------------------------------------

    def slot(self) -> Slot:
        """The slot shown, as it is now."""
        slots = look_up.slots(self.document.vehicle)
        return next((slot for slot in slots if slot.id == self.slot_id), _NO_SLOT)

    def part_name(self) -> str:
        """The slot by name."""
        return self.theme.style.show(look_up.slot_words(self.slot()))

    def show_slot(self, slot_id: str) -> None:
        """Show another slot."""
        self.slot_id = slot_id
        self.refresh()

    def _selected(self, selection: Selection | None) -> None:
        slot_id = slot_of(self.document.vehicle, selection)
        if slot_id is not None and selection is not None and selection.kind == "slot":
            self.show_slot(slot_id)

    def _change(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_slot(vehicle, self.slot_id, **changes)

    # --- fields ---------------------------------------------------------------------------------

    def _add_what(self) -> None:
        self.text("label", self.tr("Label"), hint=self.tr("As the lid says, for instance F12"))
        self.text("circuit", self.tr("Circuit"), placeholder=self.tr("what it feeds"))
        self.choice("kind", self.tr("This place is"), self._kinds())
        self.choice("family", self.tr("Fuse family"), choices.fuse_families(self.theme.style))
        self._rating = ChoiceField(
            self._rating_now,
            self._write_rating,
            [(None, self.tr("empty"))],
            name=self.tr("Rating"),
            key="slot_rating",
            hint=self.tr("The rating printed on the fuse that is in it now"),
        )
        self.add(self.tr("Rating"), self._rating)
        self.choice("orientation", self.tr("The fuse stands"), self._orientations())

    def _add_live(self) -> None:
        self.section(self.tr("When and where it is live"))
        show = self.theme.style.show
        words = [(each, show(FEED[each].label.capital())) for each in FEED_CLASSES]
        field = self.choice("feed_class", self.tr("Feed class"), words)
        size = self.fontMetrics().height()
        field.setIconSize(QSize(round(size * FEED_WIDE), size))
        for row, feed_class in enumerate(FEED_CLASSES):
            field.setItemIcon(row, feed_icon(feed_class, self.theme, size))
            field.setItemData(row, self._meaning(feed_class), Qt.ItemDataRole.ToolTipRole)
        self._feed_note = self.note("")
        self.add("", LearnButton("feeds", self.theme.style))
        self._delay = self.number(
            "delayed_off_min",
            self.tr("Stays live for"),
            "min",
            least=0,
            hint=self.tr("After switching off or locking, until the slot goes dead"),
        )
        self._feed = self.choice(
            "feed",
            self.tr("Supplied by"),
            [],
            hint=self.tr("The feed, relay or main fuse above this slot, which carries its current"),
        )
        self.choice(
            "live_side",
            self.tr("Live side"),
            self._sides(),
            hint=self.tr(
                "The contact that shows voltage with the fuse out, as the panel lies "
                "when it is not turned or mirrored"
            ),
        )
        self._evidence = self.note("")

        self._failed = self.choice(
            "fuse_failed",
            self.tr("Opened before"),
            choices.failed(self.theme.style),
            hint=self.tr("A sagged element was warm for long, a burst one met a hard short"),
        )
        self._failed.keep_narrow()

    def _add_leave_alone(self) -> None:
        self.section(self.tr("What must be left alone"))
        self.add(
            "",
            self._check(
                "critical",
                self.tr("Leave alone"),
                self.tr("Airbags, brakes, steering, fuel, ignition, engine control, starter"),
            ),
        )
        self._reason = self.text(
            "critical_reason", self.tr("Why"), placeholder=self.tr("for instance: airbags")
        )
        self.add("", self._check("monitored", self.tr("The vehicle watches this circuit")))
        show = self.theme.style.show
        named = [(each, show(words.capital())) for each, words in ANSWER_WORDS.items()]
        self._function = self.choice(
            "function",
            self.tr("Else it is"),
            [(None, self.tr("Not answered")), *named],
            hint=self.tr("What the circuit is, where it is neither watched nor to be left alone"),
        )
        self._taken_for = self.note("")
        self._open = self.note("")
        self._harmless = self.text(
            "harmless",
            self.tr("It really feeds"),
            placeholder=self.tr("for instance: rear socket, traced"),
            hint=self.tr(
                "Where its name or its feed class looks like a circuit to leave alone and it is "
                "none: what it feeds, or how that is known, in a few words"
            ),
        )

    def _add_load(self) -> None:
        self.section(self.tr("Own load"))
        self.note(
            self.tr(
                "What the vehicle itself draws here. Blank is not measured, 0 is measured "
                "and nothing."
            )
        )
        self._loads: dict[State, NumberField] = {}
        for state, words in choices.states(self.theme.style):
            field = NumberField(
                self.document,
                self.theme.style,
                partial(self._load_now, state),
                partial(self._write_load, state),
                name=words,
                unit="A",
                optional=True,
                least=0,
                placeholder=self.tr("not measured"),
                key=f"slot_load_{state}",
            )
            self.add(words, field)
            self._loads[state] = field
        self._most = self.note("")
        self.number(
            "contact_limit_a",
            self.tr("Contacts carry"),
            "A",
            optional=True,
            least=0,
            placeholder=self.tr("by the family"),
            hint=self.tr("What the slot's contacts may carry for long, where it is known"),
        )
        self._calibrate = CalibrateField(self.document, self.theme.style, self.slot)
        self.add(self.tr("This very fuse"), self._calibrate)
        note = NoteField(
            lambda: self.slot().note,
            lambda text: self.write("note", self.tr("note"), text),
            name=self.tr("Note"),
            key="slot_note",
        )
        note.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.add(self.tr("Note"), note)

    def _add_currents(self) -> None:
        self.section(self.tr("Currents by state"), across=True)
        self.currents = CurrentsTable(self.document, self.theme)
        self.currents.came.connect(self.refresh)
        self.rows.addRow(self.currents)

    def _check(self, field: Mark, text: str, hint: str = "") -> CheckField:
        return CheckField(
            lambda: getattr(self.slot(), field),
            lambda on: self.write(field, self.theme.style.show(MARKED[field, on]), on),
            text=text,
            hint=hint,
            key=f"slot_{field}",
        )

    # --- choices --------------------------------------------------------------------------------

    def _kinds(self) -> list[tuple[SlotKind, str]]:
        words = (
            self.tr("A fuse slot"),
            self.tr("A relay"),
            self.tr("Blocked"),
            self.tr("Output of a control unit"),
        )
        return list(zip(KINDS, words, strict=True))

    def _orientations(self) -> list[tuple[Orientation, str]]:
        words = (self.tr("Upright"), self.tr("Lying"))
        return list(zip(ORIENTATIONS, words, strict=True))

    def _meaning(self, feed_class: FeedClass) -> str:
        return f"{self.theme.style.show(FEED[feed_class].meaning.capital())}."

    def _sides(self) -> list[tuple[LiveSide, str]]:
        words = (
            self.tr("Not known"),
            self.tr("Left"),
            self.tr("Right"),
            self.tr("Top"),
            self.tr("Bottom"),
        )
        return list(zip(SIDES, words, strict=True))

    # --- writing --------------------------------------------------------------------------------

    def _write_rating(self, rating: float | None) -> bool:
        slot = self.slot()
        fuse = None if rating is None else Fuse(family=slot.family, rating=rating)
        return self.write("fuse", self._rating.currentText(), fuse)

    def write(self, field: str, label: str, value: object) -> bool:
        """Ask for another value; a relay or a blocked place lets its fuse go."""
        if field == "kind" and value != "fuse" and self.slot().fuse is not None:
            text = f"{self.part_name()}: {label}"
            return self.document.apply(text, self._change, kind=value, fuse=None)
        return super().write(field, label, value)

    def _rating_now(self) -> float | None:
        fuse = self.slot().fuse
        return None if fuse is None else fuse.rating

    def _load_now(self, state: State) -> float | None:
        """The load as known; of one that may as well be nothing, the bound stands in its place."""
        value: float | None = getattr(self.slot().own_load, state)
        return None if value == 0 and self._bound_now(state) else value

    def _in_place_of_a_load(self, state: State) -> str:
        """What stands in a field without a figure; the unit stands behind it anyway."""
        most = getattr(self.slot().own_most, state)
        if most is None:
            return self.tr("not measured")
        ends = say("{low} to {high}", low=Amount(0.0), high=Amount(most))
        return self.theme.style.show(ends)

    def _bound_now(self, state: State) -> str:
        """Both ends of a load that a reading only bounds; nothing of any other."""
        load, most = (getattr(part, state) for part in (self.slot().own_load, self.slot().own_most))
        return "" if most is None else self.theme.style.show(own_words(load or 0.0, most))

    def _write_load(self, state: State, value: float | None) -> bool:
        """A load typed by hand is what it is: nothing bounds it any more."""
        slot = self.slot()
        loads: StateLoads = replace(slot.own_load, **{state: value})
        most: StateLoads = replace(slot.own_most, **{state: None})
        text = f"{self.part_name()}: {self.tr('own load')}"
        return self.document.apply(text, self._change, own_load=loads, own_most=most)

    # --- showing --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Show the slot as it is now, with the choices there are for it."""
        slot = self.slot()
        self.setEnabled(slot is not _NO_SLOT)
        if slot is _NO_SLOT or not hasattr(self, "currents"):
            return
        self.heading.setText(" · ".join(part for part in (self.part_name(), slot.circuit) if part))
        self._rating.set_choices([(None, self.tr("empty")), *self._ratings(slot)])
        self._feed.set_choices(choices.slot_feeds(self.document.vehicle, slot))
        for state, field in self._loads.items():
            field.setPlaceholderText(self._in_place_of_a_load(state))
        super().refresh()
        self._show_what_applies(slot)
        self.currents.show_slot(slot.id, self.part_name())

    def _ratings(self, slot: Slot) -> list[tuple[float, str]]:
        """The family's ratings, and the one that is in it should that be another."""
        made = list(choices.fuse_ratings(slot.family, self.theme.style))
        if slot.fuse is not None and slot.fuse.rating not in dict(made):
            made.append((slot.fuse.rating, self.theme.style.show(given(slot.fuse.rating, "A"))))
        return made

    def _question(self, slot: Slot) -> str:
        """What its name says of a slot that nobody answered for."""
        show = self.theme.style.show
        proposed = "; ".join(
            f"{show(MARKED[mark, True])} ({show(tables.reasons(why))})"
            for mark, why in unanswered(slot).items()
        )
        if not proposed:
            return ""
        return self.tr(
            "It looks {marks}. Mark it, or write what it really feeds; until then it counts as "
            "marked."
        ).format(marks=proposed)

    def _taken(self, slot: Slot) -> str:
        """What the program takes a circuit for that nobody answered for, and why."""
        circuit = circuit_of(slot)
        if circuit.answered or unanswered(slot):
            return ""
        show = self.theme.style.show
        if not circuit.reason:
            return self.tr("Not recognised: it is offered last until somebody answers.")
        if circuit.function == "comfort":
            words = show(FUNCTION_WORDS[circuit.function])
            return self.tr("Circuit: {function}, by its name").format(function=words)
        return self.tr("By its name: {function} ({reason})").format(
            function=show(FUNCTION_WORDS[circuit.function]),
            reason=show(tables.reasons(circuit.reason)),
        )

    def _show_what_applies(self, slot: Slot) -> None:
        fuse = slot.kind == "fuse"
        self._rating.setEnabled(fuse)
        self._feed_note.setText(self._meaning(slot.feed_class))
        ready = fuse and self.document.numbers_ready
        read = evidence_words(self.document.vehicle, slot, self.theme.style) if ready else ""
        self._evidence.setText(read)
        self.rows.setRowVisible(self._evidence, bool(read))
        bounds = [
            f"{words}: {self._bound_now(state)}"
            for state, words in choices.states(self.theme.style)
            if self._bound_now(state)
        ]
        self._most.setText(
            self.tr("As read, it lies within: {loads}").format(loads="; ".join(bounds))
        )
        self.rows.setRowVisible(self._most, bool(bounds))
        self.rows.setRowVisible(self._calibrate, fuse)
        self.rows.setRowVisible(self._failed, fuse)
        self.rows.setRowVisible(self._delay, slot.feed_class == "delayed_off")
        self.rows.setRowVisible(self._reason, slot.critical)
        marked = slot.critical or slot.monitored
        self.rows.setRowVisible(self._function, fuse and not marked)
        taken = "" if marked or not fuse else self._taken(slot)
        self._taken_for.setText(taken)
        self.rows.setRowVisible(self._taken_for, bool(taken))
        question = self._question(slot)
        self._open.setText(question)
        self.rows.setRowVisible(self._open, bool(question))
        self.rows.setRowVisible(self._harmless, bool(question or slot.harmless))
        self.currents.setVisible(fuse)
