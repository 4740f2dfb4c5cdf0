"""One start followed with a meter, on the stage beside the vehicle: one figure after the other.

In: the document. What is asked comes from `fusemap.probing.cranking`; the whole reading is one
undoable edit, and what was typed is kept on disk at every key.

Keys, the same as in Probe: a figure, then Enter takes it and goes on; `/` goes back a step, and at
the end takes the noted start out again. Escape clears what is typed, else leaves. Every key is told
by a sound, too.
"""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Final

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QVBoxLayout

from fusemap.assess.parked.figures import Span
from fusemap.errors import FusemapError, InputProblem
from fusemap.probing import cranking
from fusemap.probing.cranking import Crank
from fusemap.text import NOTHING, Text, run_on, say
from fusemap.vehicle import Vehicle
from fusemap.window.beside import pad_keys
from fusemap.window.beside.frame import StageFrame
from fusemap.window.beside.keys_picture import OPENS_PAD
from fusemap.window.beside.shown import KeyShown, Pad, Shown, Tone
from fusemap.window.beside.sounds import Sound
from fusemap.window.beside.stage_page import KeyedPage
from fusemap.window.crank.picture import CrankPicture
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_in_unit
from fusemap.window.hunt.places import AT_NO_FUSE, ENTER_ALONE, PREPARING
from fusemap.window.probe.kept_of import KeptOf
from fusemap.window.style.theme import Theme

translate = QCoreApplication.translate
NAMED: Final[dict[int, str]] = {
    Qt.Key.Key_Return: "enter", Qt.Key.Key_Enter: "enter", Qt.Key.Key_Asterisk: "skip",
    Qt.Key.Key_Slash: "undo", Qt.Key.Key_Backspace: "back", Qt.Key.Key_Escape: "clear",
}  # fmt: skip
FIGURES: Final = frozenset("0123456789.,-")


def key_of(event: QKeyEvent) -> str:
    """The name of a key of this page; empty for one that is not for it."""
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
    )
    if held:
        return ""
    text = event.text().replace("−", "-")
    return text if text and text in FIGURES else NAMED.get(event.key(), "")


class CrankPage(KeyedPage):
    """One start on the document; `now` tells the time, `left` that the stage is left."""

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
        self._storing = False
        self._before: Span | None = None
        self.setObjectName("crankPage")
        self.setAccessibleName(self.tr("One start, followed with a meter"))
        self.picture = CrankPicture(theme)
        self.frame = StageFrame(theme, self.picture, PREPARING)
        self._listen()
        self.frame.pressed.connect(self.press)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.frame)
        self._take_up()
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._take_up)

    def _take_up(self) -> None:
        """The start of the vehicle in hand, as it was left, or a new one."""
        vehicle, document = self._document.vehicle, self._document
        self._kept = KeptOf(self._folder, document.path, document.goes_by, Crank, "cranking")
        found, fresh = self._kept.found(), cranking.begin(vehicle)
        there = found is not None and found.step not in ("end", "none") and fresh.step != "none"
        self.state = found if there and found is not None else fresh
        self._show()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self._storing:
            return
        if (cranking.begin(new).step == "none") != (self.state.step == "none"):
            self.state = cranking.begin(new)
        elif self.state.step == "end" and old.battery != new.battery:
            self.state = cranking.begin(new)  # what was noted is another battery's now
        self._show()

    # --- keys -----------------------------------------------------------------------------------

    def key_of(self, event: QKeyEvent) -> str:
        """The name of a key of this page; empty for one that is not for it."""
        return key_of(event)

    def press(self, key: str) -> None:
        """Do what a key does, keep the state, and tell it by ear."""
        state = self.state
        if key == "enter":
            self._enter()
        elif key == "undo":
            self._do(cranking.undo(state, self._document.vehicle), "doubted")
        elif key == "back":
            self._put(cranking.back(state))
        elif key == "clear":
            if state.typed or state.message != NOTHING:
                self._put(cranking.clear(state))
            else:
                self.left.emit()
        else:
            after = cranking.type_in(state, key)
            self._put(after)
            if after == state:
                self._tell("doubted")

    def _enter(self) -> None:
        state = self.state
        if state.step in ("end", "none"):
            self.left.emit()
            return
        if state.step == "temperature_c":
            self._before = self._span()
        done = cranking.enter(state, self._document.vehicle, self._now(), self._celsius())
        went_on = done.state.step != state.step
        end = done.state.step == "end"
        self._do(done, "done" if end else "stored" if went_on else "doubted")

    def _celsius(self) -> float | None:
        """A temperature typed in the unit that is shown [°C]; `None` for any other step."""
        if self.state.step != "temperature_c":
            return None
        try:
            return read_in_unit(self.state.typed, "°C", self._theme.style)
        except InputProblem:
            return None

    def _do(self, done: cranking.Outcome, sound: Sound) -> None:
        """The state after a key, and its vehicle as one step that can be undone."""
        after = done.vehicle
        if after is not None:
            self._storing = True
            try:
                words = self._theme.style.show(done.text)
                if not self._document.apply(words, lambda before: after):
                    self._tell("doubted")
                    return
            finally:
                self._storing = False
        self._put(done.state)
        self._tell(sound)

    def _put(self, state: Crank) -> None:
        self.state = state
        self._kept.write(state)
        self._show()

    def _tell(self, sound: Sound) -> None:
        spoken = self.state.message if self.state.message != NOTHING else self._question()
        self.herald.tell(sound, self._theme.style.show(spoken))

    # --- showing --------------------------------------------------------------------------------

    def _question(self) -> Text:
        return cranking.question(self.state)

    def _show(self) -> None:
        if not self.isVisible():
            return
        state, show, vehicle = self.state, self._theme.style.show, self._document.vehicle
        self.picture.show_step(state)
        self.picture.setVisible(state.step != "none")
        alone = state.step in ("prepare", "end", "none")
        places = PREPARING if alone else AT_NO_FUSE
        self.frame.use(ENTER_ALONE if state.step == "response" else places)
        done, total = cranking.steps_done(state)
        said, tone = self._said()
        self.frame.show_stage(Shown(
            state=self.tr("ONE START, WITH A METER"), how="", progress="", done=done, total=total,
            question=show(self._question()), under=show(cranking.how_to(state, vehicle)),
            said=said, said_tone=tone, said_alone=True, keys=self._keys(),
            pad=self._pad(),
        ))  # fmt: skip
        unit = show(_unit(state))
        typed = state.typed.replace("-", "−")
        self.frame.typed.show_entry(typed, unit, asks=state.step in cranking.UNITS)

    def _pad(self) -> Pad | None:
        """The keys to type by mouse or touch; `None` where nothing is typed."""
        state = self.state
        if state.step not in cranking.UNITS:
            return None
        cold = state.step == "temperature_c"
        return pad_keys.of_figure(self._theme.style, state.typed, (), minus=cold)

    def _said(self) -> tuple[str, Tone]:
        """What is refused, what is to be minded, or what came of it."""
        state, show = self.state, self._theme.style.show
        if state.message != NOTHING:
            ways = self._ways() if state.step == "response" else ()
            return "\n".join((show(state.message.capital()), *ways)), "caution"
        if state.step == "prepare":
            return "\n".join(map(show, (*cranking.SAFELY, *self._why()))), "text"
        if state.step == "response":
            return "\n".join(self._ways()), "text"
        if state.step == "end":
            return "\n".join(map(show, self._outcome())), "text"
        return "", "text"

    def _why(self) -> tuple[Text, ...]:
        part = cranking.worth(self._document.assessment)
        return (cranking.why(part),) if part else ()

    def _ways(self) -> tuple[str, ...]:
        return (
            self.tr("1   Held by MIN, 100 ms or slower"),
            self.tr("2   Seen steady on the display"),
            self.tr("3   Held by a MIN of 1 ms or faster"),
        )

    def _outcome(self) -> tuple[Text, ...]:
        """The reading in words, and what it makes of the span."""
        after = self._span()
        told = [cranking.taken(self.state)]
        if after is not None:
            told.append(say("Starts for {span}.", span=after).capital())
            if self._before is not None:
                told[-1] = say("Starts for {span}; before it {before}.",
                               span=after, before=self._before)  # fmt: skip
        told.append(say("Again each autumn, and after a new battery."))
        return tuple(told)

    def _span(self) -> Span | None:
        """How long it may stand, where that can be said."""
        try:
            band = self._document.assessment.band
        except FusemapError:
            return None
        return None if band.high_h == float("inf") else Span(band.low_h, band.high_h)

    def _keys(self) -> tuple[KeyShown, ...]:
        """The keys that matter now; Enter is the filled one."""
        step = self.state.step
        back = KeyShown("undo", "/", translate("Probe", "back"))
        cap, leave = translate("Probe", "Enter"), self.tr("leave")
        if step in ("none", "end"):
            row = () if step == "none" else (back,)
            return (*row, KeyShown("enter", cap, leave, place="main"))
        row = () if step == "prepare" else (back,)
        if step == "response":
            ways = tuple(KeyShown(each, each, "") for each in cranking.RESPONSES)
            return (*row, *ways, KeyShown("enter", cap, translate("Probe", "go on"), place="main"))
        figures: tuple[KeyShown, ...] = ()
        if step in cranking.UNITS:
            words = translate("Probe", "figures, comma or point")
            figures = (KeyShown(OPENS_PAD, "0 – 9", words, place="wide"),)
        words = translate("Probe", "store") if self.state.typed else translate("Probe", "go on")
        return (*row, *figures, KeyShown("enter", cap, words, place="main"))

    def showEvent(self, event: QShowEvent) -> None:
        """Take up where it was left; the keys come here."""
        super().showEvent(event)
        if self.state.step == "end":
            self.state = cranking.begin(self._document.vehicle)
        self._show()
        self.setFocus()


def _unit(state: Crank) -> Text:
    unit = cranking.UNITS.get(state.step, "")
    return run_on(unit) if unit else NOTHING
