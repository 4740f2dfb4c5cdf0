"""The hunt for what drains a parked vehicle, on the stage beside it: one step at a time.

In: the document. What is asked comes from the hunt (`fusemap.probing.hunt`); each figure is a
reading of the vehicle and one undoable edit, and the hunt is kept on disk at every key.

Keys, the same as in Probe: a figure, then Enter stores and goes on; Enter alone does what the
filled key says; `*` passes over, `/` takes back. Escape clears what is typed, else leaves; the hunt
is kept. A night's table is pasted, or typed row by row. Every key is told by a sound, too.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QGuiApplication,
    QHideEvent,
    QKeyEvent,
    QShowEvent,
)
from PySide6.QtWidgets import QVBoxLayout

from fusemap.errors import FusemapError, InputProblem
from fusemap.probing import hunt
from fusemap.probing.entry import can_follow
from fusemap.probing.hunt import Cost, Hunt, Step
from fusemap.text import NOTHING, Text, run_on, say
from fusemap.vehicle import Vehicle
from fusemap.window.beside.frame import StageFrame
from fusemap.window.beside.sounds import Sound
from fusemap.window.beside.stage_page import KeyedPage
from fusemap.window.document import Document
from fusemap.window.hunt import words
from fusemap.window.hunt.found import found_shown
from fusemap.window.hunt.found_card import FoundCard
from fusemap.window.hunt.hunt_keys import FIGURES, key_of, sound_after
from fusemap.window.hunt.picture import HuntPicture
from fusemap.window.hunt.places import AT_NO_FUSE, AT_THE_END, places_of
from fusemap.window.probe.keep_awake import KeepAwake
from fusemap.window.probe.kept import Held, KeptHunt
from fusemap.window.style.theme import Theme

TICK_MS = 500
"""How often a wait is drawn anew."""
MOST_TYPED = 24
"""More characters than a row of a night has."""


class HuntPage(KeyedPage):
    """One hunt on the document; `now` tells the time.

    `sound_chosen` tells what is to be kept, `left` that the stage is left; the hunt is kept.
    `stepped` tells that another step may be in hand.
    """

    lid_wanted = Signal()
    """What the lid shows is to be asked about: there is no panel yet."""
    stepped = Signal()

    def __init__(
        self,
        document: Document,
        theme: Theme,
        folder: Path,
        now: Callable[[], datetime] = datetime.now,
        *,
        sound: bool = True,
        voice: bool = False,
    ) -> None:
        super().__init__(document, theme, now, sound=sound, voice=voice)
        self._folder = folder
        self._awake = KeepAwake()
        self._storing = False
        self._problem = NOTHING
        self._cost: tuple[Vehicle, Cost | None] | None = None
        self.setObjectName("huntPage")
        self.setAccessibleName(self.tr("What drains it"))
        self._build()
        self._take_up()
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)
        self._tick = QTimer(self)
        self._tick.setInterval(TICK_MS)
        self._tick.timeout.connect(self.tick)

    def _build(self) -> None:
        self.picture, self.found = HuntPicture(self._theme), FoundCard(self._theme)
        self.frame = StageFrame(self._theme, self.picture, AT_NO_FUSE, top=self.found)
        self.entry, self.said = self.frame.typed, self.frame.words
        self._listen()
        self.frame.pressed.connect(self.press)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.frame)

    def _take_up(self) -> None:
        """The hunt of the vehicle in hand, as it was left, or a new one."""
        vehicle = self._document.vehicle
        self._kept = KeptHunt(self._folder, self._document.path, self._document.goes_by)
        held = self._kept.read(vehicle)
        self.hunt: Hunt = hunt.begin(vehicle, self._now()) if held is None else held.hunt
        self.typed = "" if held is None else held.typed
        self.rows: tuple[str, ...] = () if held is None else held.rows
        self._seen_in = held is not None and held.seen_in
        self._problem = NOTHING
        self._kind = self.step.kind

    @property
    def step(self) -> Step:
        """What is to be done now."""
        return hunt.next_step(self.hunt, self._document.vehicle, self._now())

    @property
    def onward(self) -> Text | None:
        """That in a few words; `None` once the hunt is at its end."""
        return words.onward(self.step, self._document.vehicle)

    @property
    def not_back(self) -> Text | None:
        """What comes before all else while a fuse is out, or may be; else `None`."""
        if not (self.hunt.scene.out or (self._kind == "pull" and not self._seen_in)):
            return None  # spares whoever asks at each edit the hunt's sums
        return words.not_back(self.hunt, self.step, self._document.vehicle)

    def say_in(self) -> None:
        """Somebody says, elsewhere, that all fuses are in."""
        self._seen_in = True
        self._put(hunt.all_back(self.hunt))

    # --- keys -----------------------------------------------------------------------------------

    def key_of(self, event: QKeyEvent) -> str:
        """The name of a key of this page; empty for one that is not for it."""
        return key_of(event)

    def press(self, key: str) -> None:
        """Do what a key does, keep the hunt, and tell it by ear."""
        self._seen_in = False
        do: dict[str, Callable[[], None]] = {
            "enter": self._enter, "skip": self._skip, "undo": self._take_back, "clear": self._clear,
            "back": lambda: self._type(self.typed[:-1]), "leave": self.left.emit,
            "paste": self._paste, "by": self._other_meter, "no_pull": self._pull_nothing,
            "to_fuses": self._to_fuses, "lock": self._lock_again, "anew": self._anew,
            "enough": self._enough,
        }  # fmt: skip
        if key in do:
            do[key]()
        elif key:
            self._character(key)

    def _type(self, text: str) -> None:
        self.typed, self._problem = text, NOTHING
        self._keep()
        self._show()

    def _character(self, key: str) -> None:
        step = self.step
        if step.kind == "end" and key == "+":
            self._hunt_on()
            return
        fits = step.quantity is not None and key not in " :+" and can_follow(self.typed, key)
        if step.kind == "night":
            fits = key in FIGURES and key not in "+-" and len(self.typed) < MOST_TYPED
        if fits:
            self._type(self.typed + key)
        else:
            self._tell("doubted")

    def _enter(self) -> None:
        step = self.step
        if step.kind == "end":
            self._on_behind()
        elif step.kind == "lid" and not self.typed:
            self.lid_wanted.emit()
        elif step.kind == "night" and self.typed:
            self._next_row()
        elif step.kind == "night" and self.rows:
            self._take_night("\n".join(self.rows))
        else:
            self._answer(step)

    def _answer(self, step: Step) -> None:
        """Enter, with what is typed."""
        typed, self.typed = self.typed, ""
        vehicle = self._document.vehicle
        try:
            done = hunt.enter(self.hunt, vehicle, typed, self._now())
        except FusemapError as problem:
            self._refuse(problem)
            return
        if self._take(done):
            self._tell(sound_after(step, done, self.step))

    def _take(self, done: hunt.Outcome) -> bool:
        """The hunt after a key, and its vehicle as one step that can be undone."""
        after = done.vehicle
        if after is not None:
            self._storing = True
            try:
                if not self._document.apply(
                    self._theme.style.show(done.text), lambda before: after
                ):
                    self._tell("doubted")
                    return False
            finally:
                self._storing = False
        self._put(done.hunt)
        return True

    def _put(self, state: Hunt) -> None:
        """Go on with another state of the hunt."""
        self.hunt, self._problem = state, NOTHING
        self._keep()
        self._show()

    def _refuse(self, problem: FusemapError) -> None:
        parts = [problem.what, problem.remedy] if problem.remedy else [problem.what]
        self._problem = run_on(*parts, between=": ").capital()
        self._keep()
        self._show()
        self.herald.tell("doubted", self._theme.style.show(self._problem))

    def _skip(self) -> None:
        self.typed = ""
        try:
            done = hunt.skip(self.hunt, self._document.vehicle, self._now())
        except FusemapError as problem:
            self._refuse(problem)
            return
        if self._take(done):
            self._tell("doubted")

    def _take_back(self) -> None:
        """What is typed, else the last row of a night, else the last step."""
        if self.typed:
            self._type("")
        elif self.rows:
            self.rows = self.rows[:-1]
            self._type("")
        else:
            self._take(hunt.undo(self.hunt, self._document.vehicle))
        self._tell("doubted")

    def _clear(self) -> None:
        """Escape: what is typed is gone, or the stage is left."""
        if self.typed or self._problem:
            self._type("")
        else:
            self.left.emit()

    # --- once in a while ------------------------------------------------------------------------

    def _other_meter(self) -> None:
        """The whole current is read by clamp, or by a meter in line."""
        if self.step.kind not in ("prepare", "whole"):
            self._tell("doubted")
            return
        by_clamp = self.hunt.whole_by == "clamp_current"
        self._put(replace(self.hunt, whole_by="inline_current" if by_clamp else "clamp_current"))
        self.herald.tell("doubted", self.tr("meter in line") if by_clamp else self.tr("by clamp"))

    def _pull_nothing(self) -> None:
        if self.step.kind != "pull":
            self._tell("doubted")
            return
        self.typed = ""
        self._put(hunt.give_up(self.hunt, "pull"))
        self._tell("doubted")

    def _enough(self) -> None:
        """What was found is enough: to the end, with what is left beside it."""
        try:
            done = hunt.enough(self.hunt, self._document.vehicle)
        except InputProblem as problem:
            self._refuse(problem)
            return
        self.typed = ""
        self._put(done)
        self._tell("done")

    def _to_fuses(self) -> None:
        self.typed = ""
        if self.hunt.scene.behind is not None:
            self._put(hunt.look_behind(self.hunt, None))
        self._tell("doubted")

    def _lock_again(self) -> None:
        self.typed = ""
        self._put(hunt.lock_again(self.hunt))
        self._tell("doubted")

    def _anew(self) -> None:
        """A hunt from the start; what was read stays with the vehicle."""
        if self.step.kind not in words.AT_A_PAUSE:
            self._tell("doubted")
            return
        self.typed, self.rows = "", ()
        self._put(hunt.begin(self._document.vehicle, self._now(), whole_by=self.hunt.whole_by))
        self._tell("doubted")

    def _on_behind(self) -> None:
        """Behind the found fuse, where something can be unplugged; else away."""
        known = hunt.answer(self.hunt, self._document.vehicle)
        behind = words.behind_next(self.hunt, self._document.vehicle, known)
        if behind is None or behind[0].slot is None:
            self.left.emit()
            return
        self._put(hunt.look_behind(self.hunt, behind[0].slot.id))
        self._tell("stored")

    def _hunt_on(self) -> None:
        self._put(hunt.hunt_on(self.hunt, self._document.vehicle, self._now()))
        self._tell("stored")

    # --- a night --------------------------------------------------------------------------------

    def _next_row(self) -> None:
        """A row of a night as it is typed: the time, a space, the current."""
        typed, self.typed = self.typed, ""
        try:
            row = hunt.typed_row(typed)
        except InputProblem as problem:
            self._refuse(problem)
            return
        self.rows = (*self.rows, row)
        self._type("")
        self._tell("stored")

    def _paste(self) -> None:
        if self.step.kind in ("night", "end", "catch"):
            self._take_night(QGuiApplication.clipboard().text())
        else:
            self._refuse(InputProblem(say("a night is taken in at the end"),
                                      remedy=say("read what is asked now")))  # fmt: skip

    def _take_night(self, table: str) -> None:
        try:
            done = hunt.take_night(self.hunt, self._document.vehicle, table, self._now())
        except FusemapError as problem:
            self._refuse(problem)
            return
        if self._take(done):
            self.typed, self.rows = "", ()
            self._put(self.hunt)
            self._tell("done" if self.step.kind == "end" else "stored")

    # --- what is heard, what is kept ------------------------------------------------------------

    def _tell(self, sound: Sound) -> None:
        self.herald.tell(sound, self._theme.style.show(self._spoken()))

    def _spoken(self) -> Text:
        """The doubt, the answer, or what is to be done now."""
        if self.hunt.doubts:
            return run_on(self.hunt.doubts[0], say("read it again"), between=". ")
        step, vehicle = self.step, self._document.vehicle
        if step.kind == "end":
            return hunt.answer(self.hunt, vehicle).headline
        return words.spoken(step, vehicle)

    def _keep(self) -> None:
        self._kept.write(
            Held(hunt=self.hunt, typed=self.typed, rows=self.rows, seen_in=self._seen_in)
        )

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if not self._storing:
            # nothing is kept here: it may be another vehicle, whose file is told a moment later
            self.hunt = hunt.resume(self.hunt, new)
            self._show()

    def _keep_elsewhere(self) -> None:
        self._kept = KeptHunt(self._folder, self._document.path, self._document.goes_by)
        self._keep()

    def _opened(self) -> None:
        """Another vehicle is in hand: its own hunt."""
        self._take_up()
        self._show()

    # --- showing --------------------------------------------------------------------------------

    def _show(self) -> None:
        step = self.step
        self._kind = step.kind
        self.stepped.emit()
        if not self.isVisible():
            return
        if step.kind == "end":
            self._show_end()
            return
        self.found.show_found(None)
        vehicle, style = self._document.vehicle, self._theme.style
        self.frame.use(places_of(step))
        self.picture.show_step(vehicle, self.hunt, step, self.typed)
        shown = words.shown(self.hunt, step, vehicle, self.typed, self.rows, self._now(),
                            self._problem, style)  # fmt: skip
        if shown.said != self.said.text:
            event = QAccessibleEvent(self.said, QAccessible.Event.DescriptionChanged)
            QAccessible.updateAccessibility(event)
        self.frame.show_stage(shown)
        unit = words.unit_of(step, self.typed)
        asks = step.quantity is not None or step.kind == "night"
        self.entry.show_entry(self.typed.replace("-", "−"), unit, asks=asks)
        self._stay_awake(step)

    def _show_end(self) -> None:
        vehicle, state, style = self._document.vehicle, self.hunt, self._theme.style
        known = hunt.answer(state, vehicle)
        self._select_found(known)
        self.frame.use(AT_THE_END)
        self.found.show_found(found_shown(state, vehicle, known, self._costs(known), style))
        self.frame.show_stage(words.end_shown(state, vehicle, known, self._now(), style))
        self._awake.release()

    def _select_found(self, known: hunt.Answer) -> None:
        """What was found is what is chosen, whichever way one leaves."""
        found = next((each.slot for each in known.found if each.slot is not None), None)
        if found is not None:
            self._document.select("slot", found.id)

    def _costs(self, known: hunt.Answer) -> Cost | None:
        """What it costs in days; reckoned once for a vehicle."""
        vehicle = self._document.vehicle
        if self._cost is None or self._cost[0] is not vehicle:
            made = None
            if known.whole is not None:
                made = hunt.cost(vehicle, known.found, known.whole, known.at_rest)
            self._cost = (vehicle, made)
        return self._cost[1]

    def _stay_awake(self, step: Step) -> None:
        """The screen stays on while something is counted down."""
        if step.due is not None and self.isVisible():
            self._awake.hold()
        else:
            self._awake.release()

    def tick(self) -> None:
        """Count a wait down; once it is over, say so and go on."""
        step = self.step
        if step.kind != self._kind:
            self._show()
            self._tell("done")
        elif step.due is not None:
            self.picture.show_step(self._document.vehicle, self.hunt, step, self.typed)
            since = words.since_locked(self.hunt, self._document.vehicle, self._now())
            self.frame.how.show_text(self._theme.style.show(since))

    def showEvent(self, event: QShowEvent) -> None:
        """Take up where it was left; the keys come here."""
        super().showEvent(event)
        self._tick.start()
        self._show()
        self.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """A wait goes on, but nobody looks."""
        super().hideEvent(event)
        self._tick.stop()
        self._awake.release()
