"""After fitting: the guided check on the stage beside the vehicle, one figure at a time.

In: the document. The steps come from the plan (`fusemap.probing.final_check`); each value typed is
a reading of its own. What differs shows its likely causes at once, and where it is a figure of the
plan one key takes it there (`fusemap.probing.taking`). The signature stands at the end, by a button
of its own (`check_end`).

Keys, the same as in Probe: a figure, or + and − for yes and no, then Enter stores and goes on; `*`
takes a differing figure into the plan, else passes over; `/` takes back; I says that what was taken
out is back; arrows go to another step; End shows all steps and the signature.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from PySide6.QtGui import QHideEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from fusemap.errors import InputProblem
from fusemap.probing import evidence, final_check, signing, taking
from fusemap.probing.check_step import CheckStep, read_answer, slip
from fusemap.probing.entry import can_follow
from fusemap.probing.taking import Taking
from fusemap.text import Text
from fusemap.vehicle import Vehicle, look_up, reading_edits
from fusemap.window.beside.frame import ASKED_ON_A_WAY, ON_A_WAY, StageFrame
from fusemap.window.beside.shown import Shown
from fusemap.window.beside.sounds import Sound
from fusemap.window.beside.stage_page import KeyedPage
from fusemap.window.document import Document
from fusemap.window.probe.check_card import CheckCard
from fusemap.window.probe.check_end import CheckEnd
from fusemap.window.probe.check_hand import asked_out, key_of, said_back
from fusemap.window.probe.check_memory import CheckMemory, place_of
from fusemap.window.probe.check_meter import Leads, MeterOfStep
from fusemap.window.probe.check_way import PARTED, WayRow, stations
from fusemap.window.probe.check_words import (
    back_key,
    check_keys,
    pad_of,
    said_of,
    state_words,
    yes_no_letters,
)
from fusemap.window.probe.kept import HeldCheck
from fusemap.window.probe.taken_out import TakenOut
from fusemap.window.style.theme import Theme


class CheckPage(KeyedPage):
    """The step in hand on the stage; behind it the list and the signature."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime] = datetime.now,
        *,
        folder: Path | None = None,
        sound: bool = True,
        voice: bool = False,
        taken_out: TakenOut | None = None,
    ) -> None:
        super().__init__(document, theme, now, sound=sound, voice=voice, ink=_ink_sheet(theme))
        self.taken_out = taken_out or TakenOut(folder, document, self)
        self._touched = False
        """Whether a key was pressed since the page was shown."""
        self.theme = theme
        self._steps: tuple[CheckStep, ...] = ()
        self._row = 0
        self.typed = ""
        self._problem = ""
        self._doubted: tuple[str, str, float] | None = None
        """What was typed for a step and hardly can be: typed once more, it is kept."""
        self._entered: list[str] = []
        self._memory = CheckMemory(folder, document)
        self._stale = self._fresh = True
        self.setObjectName("checkPage")
        self.setAccessibleName(self.tr("Check"))
        self._build()
        self._take_up()
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)

    def _build(self) -> None:
        self.way, self.meter = WayRow(self.theme), MeterOfStep(self.theme)
        self.card = CheckCard(self.theme)
        self.frame = StageFrame(self.theme, self.meter, ON_A_WAY, entry=self.card, top=self.way)
        self.causes = self.frame.words
        self.leads = Leads(self.frame, self.way, self.meter, self.theme)
        self._listen()
        self.frame.pressed.connect(self.press)
        self.end = CheckEnd(self.theme)
        self.end.chosen.connect(self._chosen)
        self.end.back.connect(self.show_steps)
        self.end.signed.connect(self._sign)
        self.end.by.textEdited.connect(self._keep)
        self.end.pad_wanted.connect(lambda on: self.frame.ask_for_pad(on=on))
        self.frame.pad_wanted.connect(self.end.open_pad)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.frame)
        self.stack.addWidget(self.end)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.stack)

    # --- showing --------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view; the keys come here."""
        super().showEvent(event)
        self._touched = False
        if self._stale:
            self.refresh()
            self._to_where_it_was()
        self._show()
        self.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """Somebody who only looked has taken nothing out."""
        super().hideEvent(event)
        if not event.spontaneous():
            self.taken_out.left("check")

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def open_pad(self, on: bool) -> None:
        """Show the keypad wherever something is typed, the name at the end, too."""
        super().open_pad(on)
        self.end.open_pad(on)

    # --- kept -----------------------------------------------------------------------------------

    def _take_up(self) -> None:
        """The check of the vehicle in hand as it was left, or a new one."""
        held = self._memory.take_up()
        self.typed, self._problem, self._row = "", "", 0
        self._entered = list(held.entered)
        self.end.by.setText(held.by)
        self._fresh = True

    def _opened(self) -> None:
        """Another vehicle is in hand: its own check."""
        self._take_up()
        self._stale = True
        self.stack.setCurrentWidget(self.frame)
        if self.isVisible():
            self.refresh()
            self._to_where_it_was()

    def _to_where_it_was(self) -> None:
        """To the step that was in hand when it was left, with what was typed; else an open one."""
        held, fresh, self._fresh = self._memory.held, self._fresh, False
        place = (held.key, held.target, held.target_id, held.pin)
        rows = [row for row, step in enumerate(self._steps) if place_of(step) == place]
        if self.typed and not fresh:
            return  # half an answer waits at its own step
        if not (fresh and rows):
            self._go_open(after=-1)
            return
        self._row, self.typed = rows[0], held.typed
        self._show()

    def _keep(self) -> None:
        step = self.current()
        if step is not None and not self._fresh:
            key, target, target_id, pin = place_of(step)
            self._memory.keep(HeldCheck(
                key=key, target=target, target_id=target_id, pin=pin, typed=self.typed,
                by=self.end.by.text(), entered=tuple(self._entered),
            ))  # fmt: skip

    def _keep_elsewhere(self) -> None:
        self._memory.move()

    def refresh(self) -> None:
        """Make the steps anew from the plan and the readings."""
        self._stale = False
        held = self.current()
        document = self._document
        self._steps = final_check.steps(document.vehicle, document.assessment)
        # a plan that was changed has other steps: the one in hand is still the one in hand
        if held is not None:
            same = [row for row, step in enumerate(self._steps) if place_of(step) == place_of(held)]
            self._row = same[0] if same else min(self._row, len(self._steps) - 1)
            self.typed = self.typed if same else ""  # it was an answer to what is gone
        self.end.show_check(document.vehicle, self._steps, self._row)
        self._show()

    def current(self) -> CheckStep | None:
        """The step in hand."""
        return self._steps[self._row] if 0 <= self._row < len(self._steps) else None

    @property
    def steps(self) -> tuple[CheckStep, ...]:
        """All steps as they are now."""
        return self._steps

    def _show(self) -> None:
        step = self.current()
        if step is None:
            return
        show, vehicle = self.theme.style.show, self._document.vehicle
        tap = final_check.tap_of(vehicle, step)
        name = self.tr("the whole vehicle")
        if tap is not None:
            name = look_up.accessory(vehicle, tap.accessory).name
        if step.target == "socket":
            name = look_up.socket(vehicle, step.target_id).name
        done = sum(each.verdict != "open" for each in self._steps)
        taken = self._to_take(step)
        said, tone = said_of(self.theme, vehicle, step, taken, self._problem)
        self.frame.use(ON_A_WAY if step.unit else ASKED_ON_A_WAY)
        self.frame.show_stage(Shown(
            state=state_words(self.theme.style, step), how=name,
            progress=self.tr("{n} of {all}").format(n=self._row + 1, all=len(self._steps)),
            done=done, total=len(self._steps),
            question=show(final_check.short_title(step)), under=show(step.how),
            said=said, said_tone=tone, said_alone=True,
            keys=(*back_key(self.theme.style, self.taken_out.back_words()),
                  *check_keys(self.theme.style, step, self._taken(taken), self.typed)),
            pad=pad_of(self.theme.style, step, self.typed),
        ))  # fmt: skip
        self.way.show_stations(stations(vehicle, self._steps, step), PARTED.get(step.key))
        self.card.show_step(step, self.typed)
        self.meter.show_step(step, self.typed)
        self.leads.show_step(step)
        if self.isVisible():
            asks = asked_out(vehicle, step) if step.verdict == "open" or self.typed else ()
            self.taken_out.in_hand("check", asks, touched=self._touched)

    def to_what_is_out(self) -> None:
        """To the step that asks whether a fuse that is out is back, where it is open."""
        self.show_steps()
        out = [each.id for each in self.taken_out.note.out]
        rows = (
            row
            for row, step in enumerate(self._steps)
            if step.key == "host" and step.target_id in out and step.verdict == "open"
        )
        self._go_to(next(rows, self._row))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The leads run over the whole stage."""
        super().resizeEvent(event)
        self.leads.setGeometry(self.frame.rect())

    def show_steps(self) -> None:
        """Back from the list to the step in hand."""
        self.stack.setCurrentWidget(self.frame)
        self.setFocus()
        self._show()

    def show_end(self) -> None:
        """The list of all steps, and the signature."""
        self.end.show_check(self._document.vehicle, self._steps, self._row)
        self.stack.setCurrentWidget(self.end)
        self.end.table.setFocus()

    def _chosen(self, row: int) -> None:
        """A step was chosen in the list; below 0 the next open one."""
        self.show_steps()
        if row < 0:
            self._go_open(after=self._row)
        else:
            self._go_to(row)
        self._keep()

    # --- keys -----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key of the check, while its steps are shown; the end has buttons of its own."""
        if self.stack.currentWidget() is self.end:
            QWidget.keyPressEvent(self, event)
        else:
            super().keyPressEvent(event)

    def key_of(self, event: QKeyEvent) -> str:
        """The name of a key of the check; empty for one that is not for it."""
        return key_of(event)

    @property
    def clear_of_messages(self) -> tuple[QWidget, ...]:
        """At the end the name and its button, too: they are needed while a message is read."""
        return (*super().clear_of_messages, self.end.foot)

    def press(self, key: str) -> None:
        """Do what a key does, and tell it by ear."""
        do: dict[str, Callable[[], None]] = {
            "enter": self._enter, "*": self._star, "/": self._take_back,
            "next": lambda: self._aside(1), "before": lambda: self._aside(-1),
            "back": lambda: self._type(self.typed[:-1]), "clear": lambda: self._type(""),
            "end": self._to_end, "in": self._all_back,
        }  # fmt: skip
        self._touched = True
        if key in do:
            do[key]()
        else:
            self._character(key)
        self._keep()

    def _aside(self, by: int) -> None:
        """To another step; nothing was read, and that is heard."""
        self._go_to(self._row + by)
        self._tell("doubted")

    def _all_back(self) -> None:
        said, self._touched = self.taken_out.back_words(), False
        self.taken_out.said_back()
        self._show()
        words = "" if said is None else self.theme.style.show(said)
        self.herald.tell("stored" if words else "doubted", words)

    def _to_end(self) -> None:
        self.show_end()
        self.herald.tell("doubted", self.tr("All steps, and the signature"))

    def _type(self, text: str) -> None:
        self.typed, self._problem = text, ""
        self._show()

    def _character(self, key: str) -> None:
        """A figure, a sign, or the first letter of yes or no."""
        step = self.current()
        if step is None:
            return
        if not step.unit:
            sign = yes_no_letters().get(key, key)
            if sign in ("+", "-"):
                self._type(sign)
            else:
                # what follows, Enter too, is part of the same figure: it answers nothing here
                self._problem = self.tr("Yes or no is asked here: type + or −")
                self._show()
                self._tell("doubted")
        elif can_follow(self.typed, key):
            self._type(self.typed + key)
        else:
            if not self.typed:
                # as above: Enter behind it passes nothing over
                self._problem = self.tr("A figure is asked here, in {unit}").format(unit=step.unit)
                self._show()
            self._tell("doubted")

    def _tell(self, sound: Sound) -> None:
        step = self.current()
        words = "" if step is None else self.theme.style.show(step.title)
        self.herald.tell(sound, words)

    def _enter(self) -> None:
        step = self.current()
        if step is None:
            return
        if self.typed:
            self._store(step)
        elif self._problem:
            self._type("")  # heard once more, then Enter passes over as ever
            self._tell("doubted")
        elif step.signed and step.reading is not None and step.verdict == "differs":
            self._withdraw(step.reading.id)  # nothing is connected before it is right
        elif all(each.verdict != "open" for each in self._steps):
            self.show_end()
            self._tell("done")
        else:
            passed = step.verdict == "open"
            self._go_open(after=self._row)
            self._tell("doubted" if passed else "stored")

    def _store(self, step: CheckStep) -> None:
        """Store what is typed as a reading of the step in hand, and go on to the next open one."""
        typed, self.typed = self.typed, ""
        try:
            value, highest = read_answer(step, typed)
        except InputProblem as problem:
            self._refuse(problem.text)
            return
        read = (step.key, step.target_id, value)
        doubt = slip(step, value)
        if doubt is not None and self._doubted != read:
            self._doubted = read
            self._refuse(doubt)
            return
        fields: dict[str, Any] = final_check.fields(step) | {
            "when": self._now().isoformat(timespec="seconds"),
            "value": value,
            "highest": highest,
            "by": self.end.by.text().strip(),
        }
        self.taken_out.taken(asked_out(self._document.vehicle, step))
        name = self.tr("Check: {what}").format(what=self.theme.style.show(step.title))
        if not self._document.apply(name, reading_edits.add_reading, **fields):
            self._tell("doubted")
            return
        self._entered.append(self._document.vehicle.readings[-1].id)
        back = said_back(step, value)
        if back is not None:
            self.taken_out.put_back(back)
        self._problem = ""
        self._after_storing()

    def _refuse(self, why: Text) -> None:
        """Nothing is stored, and why."""
        self._problem = self.theme.style.show(why)
        self._show()
        self.herald.tell("doubted", self._problem)

    def _after_storing(self) -> None:
        """On to the next open step; what differs stays, so that its causes are seen."""
        step = self.current()
        if step is not None and step.verdict == "differs":
            self._show()
            self._tell("doubted")
            return
        card = self._card()
        self._go_open(after=self._row)
        through = self._card() != card or all(each.verdict != "open" for each in self._steps)
        self._tell("done" if through else "stored")

    def _card(self) -> str:
        """The lead whose card the step in hand is on; empty for the whole vehicle."""
        step = self.current()
        tap = None if step is None else final_check.tap_of(self._document.vehicle, step)
        return "" if tap is None else tap.id

    def _to_take(self, step: CheckStep) -> Taking | None:
        """What of a step's reading could go into the plan, if the plan takes it."""
        document = self._document
        return taking.taking(document.vehicle, document.assessment, step)

    def _taken(self, taken: Taking | None) -> Taking | None:
        """The same where the plan does take it: nothing is offered that is refused then."""
        return None if taken is None or self._document.refusal(taken.edit) else taken

    def _star(self) -> None:
        """Take the figure that differs into the plan; where there is none, pass over."""
        step = self.current()
        taken = None if step is None else self._taken(self._to_take(step))
        if taken is None:
            self._go_open(after=self._row)
            self._tell("doubted")
            return
        if not self._document.apply(self.theme.style.show(taken.words), taken.edit):
            self._tell("doubted")
            return
        self._after_storing()

    def _take_back(self) -> None:
        """What is typed, else the reading stored last: it stays in the list, withdrawn."""
        if self.typed:
            self._type("")
            return
        step = self.current()
        if step is not None and step.reading is not None and step.verdict == "differs":
            self._withdraw(step.reading.id)  # “read it again”: this one, whatever was stored since
            return
        there = {reading.id: reading for reading in self._document.vehicle.readings}
        while self._entered:
            reading = there.get(self._entered.pop())
            if reading is not None and not reading.withdrawn:
                self._withdraw(reading.id)
                return
        if step is not None and step.reading is not None:
            self._withdraw(step.reading.id)
            return
        self._tell("doubted")

    def _withdraw(self, reading_id: str) -> None:
        ids = [None if step.reading is None else step.reading.id for step in self._steps]
        row = ids.index(reading_id) if reading_id in ids else None
        note = str(evidence.TAKEN_BACK)
        self._document.apply(self.tr("Take a reading back"), reading_edits.withdraw_reading,
                             reading_id, note)  # fmt: skip
        self._go_to(self._row if row is None else row)
        self._tell("doubted")

    def _go_to(self, row: int) -> None:
        if self.typed:  # half an answer was given with it out
            self.taken_out.taken(asked_out(self._document.vehicle, self.current()))
        self._row = min(max(0, row), len(self._steps) - 1)
        self.typed, self._problem = "", ""
        self._show()

    def _go_open(self, after: int) -> None:
        """To the next open step behind a row, else the first there is, else it stays."""
        rows = (*range(after + 1, len(self._steps)), *range(max(0, after)))
        self._go_to(next((row for row in rows if self._steps[row].verdict == "open"), self._row))

    # --- the rest -------------------------------------------------------------------------------

    def _sign(self, by: str) -> None:
        count = final_check.tally(self._steps)
        signed = self._document.apply(
            self.tr("Sign the check"),
            reading_edits.sign_off,
            self._now().isoformat(timespec="seconds"),
            by,
            passed=count.agreeing,
            differing=count.differing,
            left_open=count.left_open,
            stands_for=signing.plan_mark(self._document.vehicle),
        )
        if signed:
            self._tell("done")


def _ink_sheet(theme: Theme) -> str:
    """What would else be written in the colours of the theme around this page."""
    return (
        f"QLabel, QPushButton, QTableWidget, QHeaderView {{ color: {theme.text}; }}"
        f"QTableWidget {{ background: {theme.base}; gridline-color: {theme.line};"
        f" selection-background-color: {theme.accent_tint}; selection-color: {theme.text}; }}"
    )
