"""Probing beside the vehicle: state, slot, entry and timers in letters for a metre and a half.

The page has no keys of its own but those of the session (`fusemap.probing.keys`); each is kept on
disk at once, and each reading is one undoable edit of the document. The number pad does everything;
the same keys beside the letters do too. A few letters stand for what happens once in a while.
It stands on the stage beside the vehicle (`fusemap.window.beside`): every key that takes something
or does not is told by a sound, too, so that it can be done without a look at the screen.
"""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QVBoxLayout

from fusemap.assess.verdict import Verdict
from fusemap.checks import whole_verdict
from fusemap.errors import EditRefused
from fusemap.probing import cranking, keys, loads, plan, remainder, storing
from fusemap.probing.session import (
    Session,
    is_settled,
    resume,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    timers,
)
from fusemap.probing.walking import (
    begin,
    begin_only,
    begin_sure,
    go_to_spot,
    lacking,
    start_needed,
)
from fusemap.text import NOTHING, Text, say
from fusemap.vehicle import State, Vehicle, look_up
from fusemap.window.beside.frame import AT_A_SLOT, AT_THE_WHOLE, StageFrame
from fusemap.window.beside.shown import LastShown, Shown, Tone
from fusemap.window.beside.sounds import Sound
from fusemap.window.beside.stage_page import StagePage
from fusemap.window.document import Document
from fusemap.window.photo.piece import PieceView
from fusemap.window.probe import page_words
from fusemap.window.probe.heard import sound_of, words_of
from fusemap.window.probe.keep_awake import KeepAwake
from fusemap.window.probe.kept import KeptSession
from fusemap.window.probe.keys_shown import keys_shown, pad_of
from fusemap.window.probe.meter_setting import unit_behind
from fusemap.window.probe.session_keys import PageKey, contact_legend, legend, session_key
from fusemap.window.probe.slot_order import ProbeOptions
from fusemap.window.probe.stage import Stage
from fusemap.window.probe.taken_out import Out, TakenOut, fuse_of
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

translate = QCoreApplication.translate
TICK_MS = 500
"""How often the timers are drawn anew."""


class ProbePage(StagePage):
    """One probing session on the document; `now` tells the time.

    `sound_chosen` and `voice_chosen` tell what is to be kept, `left` that the stage is left.
    """

    voice_chosen = Signal(bool)
    start_wanted = Signal()
    """One start is to be followed with a meter."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        folder: Path,
        now: Callable[[], datetime] = datetime.now,
        *,
        sound: bool = True,
        voice: bool = False,
        taken_out: TakenOut | None = None,
    ) -> None:
        super().__init__(document, theme, now, sound=sound, voice=voice, ink=_ink_sheet(theme))
        self.taken_out = taken_out or TakenOut(folder, document, self)
        self._touched = False
        """Whether a key was pressed since the page was shown."""
        self._folder = folder
        self._rung: set[str] = set()
        self._awake = KeepAwake()
        self._storing = False
        self.setObjectName("probePage")
        self.setAccessibleName(self.tr("Probe"))
        self._build()
        self._kept = KeptSession(folder, document.path, document.goes_by)
        self.session: Session = self._kept.read(document.vehicle) or start_needed(document.vehicle)
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)
        self._tick = QTimer(self)
        self._tick.setInterval(TICK_MS)
        self._tick.timeout.connect(self._show_timers)
        self._show()

    # --- building -------------------------------------------------------------------------------

    def _build(self) -> None:
        self.stage = Stage(self._theme)
        self.stage.picked.connect(lambda slot_id: self.take_in_hand(("slot", slot_id)))
        self.piece = PieceView("probePiece")
        self.frame = StageFrame(self._theme, self.stage, AT_A_SLOT, aside=self.piece)
        frame = self.frame
        self.banner, self.clock, self.how = frame.banner, frame.clock, frame.how
        self.progress, self.entry, self.words = frame.progress, frame.typed, frame.words
        self.evidence, self.last = frame.under, frame.last
        self._listen()
        frame.pressed.connect(self._pressed)
        self.options = ProbeOptions(self._theme)
        self.options.chosen.connect(self._take)
        self.options.sounds.setChecked(self.herald.sound)
        self.options.sound.connect(self._set_sound)
        self.options.voices.setChecked(self.herald.voice)
        self.options.voice.connect(self._set_voice)
        self.options.hide()
        self.keys = plain_label("probeKeys")
        self.keys.setAccessibleName(self.tr("Keys"))
        self.keys.hide()
        edge = space(self, "medium")
        over = QVBoxLayout()
        over.setContentsMargins(edge * 2, 0, edge * 2, 0)
        over.addWidget(self.options)
        over.addWidget(self.keys)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(over)
        whole.addWidget(self.frame, 1)

    # --- keys -----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key of the session; every other one goes on to the window."""
        key = session_key(event)
        if key is None:
            super().keyPressEvent(event)
            return
        event.accept()
        self._pressed(key)

    def _pressed(self, key: PageKey) -> None:
        """A key of the session or of the page, from the keyboard or from the picture."""
        self._touched = True
        if key == "pull":
            self._pull_next()
        elif key == "in":
            self._all_back()
            return
        elif key == "options":
            self.show_options(not self.options.isVisible())
        elif key == "start":
            self.start_wanted.emit()
            return
        elif key != "none":
            self.press(key)
            return
        # nothing was read: somebody who meant a figure hears it
        self._tell("doubted")

    def event(self, event: QEvent) -> bool:
        """The keys of the session before any shortcut; Escape in a choice comes back here."""
        overriding = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if overriding and self.hasFocus() and session_key(event):  # type: ignore[arg-type]
            event.accept()
            return True
        return super().event(event)

    def press(self, key: keys.Key) -> None:
        """Do what a key does, keep the session, and show it."""
        before = self.session
        self._touched = True
        if key == "enter" and before.typed and self._others_out():
            self._take(self._put_back_first(before))
            self._tell("doubted")
            return
        done = keys.press(before, self._document.vehicle, key, self._now())
        after = done.vehicle
        if after is not None:
            if key == "enter":
                self.taken_out.taken(self._asked_out())
            self._storing = True
            try:
                if not self._document.apply(
                    self._theme.style.show(done.text), lambda before: after
                ):
                    self.herald.tell("doubted")
                    return
            finally:
                self._storing = False
        self._take(done.session)
        sound = sound_of(before, done.session, key, stored=after is not None)
        if sound is not None:
            self._tell(sound)
        if is_settled(self.session, self._document.vehicle):
            self.left.emit()  # back to where it was asked for

    def _tell(self, sound: Sound) -> None:
        words = words_of(self.session, self._document.vehicle)
        self.herald.tell(sound, self._theme.style.show(words))

    def _take(self, session: Session) -> None:
        self.session = session
        self._kept.write(session)
        self._show()
        if not self.options.isAncestorOf(QApplication.focusWidget() or self):
            return
        self.setFocus()

    def take_in_hand(self, spot: plan.Spot, state: State | None = None) -> None:
        """Go to a slot or a feed: the next reading is taken there.

        With a state it is one that settles a doubt: what else does so comes after it.
        """
        vehicle, session = self._document.vehicle, self.session
        if state is not None:
            sure = replace(begin_sure(session, vehicle), locked_at=session.locked_at)
            session = begin(sure, vehicle, plan.Round(state=state))
        elif session.round.kind == "whole" or (spot[0] == "feed" and session.round.kind != "sweep"):
            # no slot is read in the one, no feed in the other
            session = begin(session, vehicle, _round_for(session, vehicle, spot))
        if state is not None or spot != spot_in_hand(self.session):
            self._take(go_to_spot(session, vehicle, spot))
        self.setFocus()

    def read_alone(self, slot_id: str) -> None:
        """Ask only when this slot is live; that known, the stage is left by itself."""
        self._take(begin_only(self.session, self._document.vehicle, slot_id))
        self.setFocus()

    def read_what_settles(self) -> None:
        """Ask exactly the readings that would make it sure."""
        self._take(begin_sure(self.session, self._document.vehicle))
        self.setFocus()

    def _asked_out(self) -> tuple[Out, ...]:
        """The fuse that is to be out for what is read now."""
        session, vehicle = self.session, self._document.vehicle
        slot_id = session.slot if session.round.kind == "contacts" else session.fuse_out
        slot = next((each for each in look_up.slots(vehicle) if each.id == slot_id), None)
        return () if slot is None else (fuse_of(slot, "probe"),)

    def _others_out(self) -> bool:
        """Whether the whole is to be read, and more is out than is noted with it."""
        noted = {("fuse", self.session.fuse_out)}
        out = {each.place for each in self.taken_out.note.out}
        return self.session.round.kind == "whole" and bool(out - noted)

    def _put_back_first(self, session: Session) -> Session:
        words = self.taken_out.words(on="probe")
        first = say("{what} first, then press I.", what=words) if words else NOTHING
        return replace(session, typed="", message=first)

    def _all_back(self) -> None:
        """Somebody says that what was taken out is back."""
        said = self.taken_out.back_words() or NOTHING
        self.taken_out.all_back()
        session = self.session
        if session.fuse_out is not None:
            session = storing.pull(session, self._document.vehicle, None)
        self._take(replace(session, message=said) if said else session)
        self._tell("stored" if said else "doubted")

    def _pull_next(self) -> None:
        """Find what draws: read the whole vehicle with the largest contributor's fuse out."""
        vehicle = self._document.vehicle
        if self.taken_out.note.out:
            self._take(self._put_back_first(self.session))
            return
        following = remainder.pull_next(vehicle)
        with suppress(EditRefused):
            slot_id = following.slot.id if following is not None else None
            self._take(storing.pull(self.session, vehicle, slot_id))

    def show_options(self, on: bool) -> None:
        """Show or hide how the slots are walked and with which meter."""
        self.options.setVisible(on)
        self.keys.setVisible(on)
        if on:
            self.options.show_session(self._document.vehicle, self.session)
            self.options.rounds.setFocus()
        else:
            self.setFocus()

    def hear(self, on: bool) -> None:
        """Give sounds from now on, or none; the choice shows it."""
        super().hear(on)
        self.options.sounds.setChecked(on)

    def _set_voice(self, on: bool) -> None:
        self.herald.voice = on
        self.voice_chosen.emit(on)

    # --- what the document tells ----------------------------------------------------------------

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if not self._storing:
            self.session = resume(self.session, new)
            self._show()

    def _keep_elsewhere(self) -> None:
        self._kept = KeptSession(self._folder, self._document.path, self._document.goes_by)
        self._kept.write(self.session)

    def _opened(self) -> None:
        """Another vehicle is in hand: its own session."""
        vehicle = self._document.vehicle
        self._kept = KeptSession(self._folder, self._document.path, self._document.goes_by)
        self.session = self._kept.read(vehicle) or start_needed(vehicle)
        self._show()

    # --- showing --------------------------------------------------------------------------------

    def _show(self) -> None:
        if not self.isVisible():
            return
        vehicle, session, show = self._document.vehicle, self.session, self._theme.style.show
        if self.options.isVisible():
            self.options.show_session(vehicle, session)
        at_a_spot = spot_in_hand(session) is not None
        self.frame.use(AT_A_SLOT if at_a_spot else AT_THE_WHOLE)
        then = page_words.next_spot(session, vehicle)
        self.stage.show_session(vehicle, session, self._verdict(), (show(then[0]), show(then[1])))
        self.piece.show_slot(vehicle, slot_in_hand(session, vehicle))
        said, tone = self._said()
        done, total = page_words.done_of(session, vehicle)
        self.frame.show_stage(Shown(
            state=show(plan.title(session.round)), how=show(page_words.how(session, vehicle)),
            progress=show(page_words.progress(session, vehicle)), done=done, total=total,
            question=show(page_words.in_hand(session, vehicle)), under=self._under(),
            under_yields=session.feed is None and session.round.kind != "whole",
            said=said, said_tone=tone, said_alone=bool(session.doubts) or not self._begun(),
            keys=keys_shown(session, vehicle, self._theme.style, start=bool(self._start_worth()),
                            back=self.taken_out.back_words()),
            last=[LastShown(*map(show, row)) for row in page_words.last_rows(vehicle)],
            pad=pad_of(session, self._theme.style),
        ))  # fmt: skip
        self._show_entry()
        told = contact_legend() if session.round.kind == "contacts" else legend()
        pairs = (f"{key}  {words}".replace(" ", "\u00a0") for key, words in told)
        self.keys.setText("     ".join(pairs))
        self._show_timers()
        self.taken_out.in_hand("probe", self._asked_out(), touched=self._touched)

    def _under(self) -> str:
        """Rating and feed, then what the readings say."""
        vehicle, session, show = self._document.vehicle, self.session, self._theme.style.show
        lines = (page_words.facts_line(session, vehicle), page_words.known(session, vehicle))
        return "\n".join(show(line) for line in lines if line)

    def _show_entry(self) -> None:
        session = self.session
        nothing_left = spot_in_hand(session) is None and session.round.kind != "whole"
        typed = session.typed.replace("-", "−")
        self.entry.show_entry(typed, unit_behind(session), asks=not nothing_left)

    def _said(self) -> tuple[str, Tone]:
        """What is asked or said; a doubt in the colour of a caution, with its word."""
        session, show, vehicle = self.session, self._theme.style.show, self._document.vehicle
        tone: Tone = "text"
        if session.doubts:
            questions = "\n".join(map(show, session.doubts))
            again = self.tr("Read it again: the same once more, and it is kept.")
            typed = session.doubted.replace("-", "−")
            text, tone = f"⚠ {typed}: {questions}\n{again}", "caution"
        else:
            warning = loads.CHARGER_WARNING if session.round.kind == "whole" else Text("")
            means = page_words.would_say(session, vehicle)
            message = session.message.capital()
            lines: tuple[Text, ...] = (message, means, lacking(session, vehicle), warning)
            if session.sure:
                lines = (message, means, *self._sure_lines())
            elif not any(lines):
                lines = (page_words.where_to(session), *self._why())
            lines = (*lines, *self._start_lines())
            text = "\n".join(show(line) for line in lines if line)
        if text != self.words.text:
            event = QAccessibleEvent(self.words, QAccessible.Event.DescriptionChanged)
            QAccessible.updateAccessibility(event)
        return text, tone

    def _why(self) -> tuple[Text, ...]:
        """What this round is read for, at its first place; later there are other things to say."""
        session = self.session
        if self._begun() or spot_in_hand(session) is None:
            return ()
        return (plan.why(session.round),)

    def _start_worth(self) -> float:
        """Share of the doubt that one start takes; asked where nothing else is in hand."""
        session = self.session
        if spot_in_hand(session) is not None or session.round.kind == "whole":
            return 0.0
        return cranking.worth(self._document.assessment)

    def _start_lines(self) -> tuple[Text, ...]:
        """What one start is read for, where it is worth while."""
        part = self._start_worth()
        if not part:
            return ()
        return say("K: one start, followed with a meter, two minutes."), cranking.why(part)

    def _begun(self) -> bool:
        """Whether anything was read or passed over in this round."""
        return bool(self.session.visited or self.session.visited_feeds)

    def _verdict(self) -> Verdict | None:
        """What came of the readings that were to make it sure, once none of them is left."""
        session, document = self.session, self._document
        if not session.sure or rounds_left(session, document.vehicle):
            return None
        return whole_verdict(document.vehicle, document.assessment, document.findings)

    def _sure_lines(self) -> tuple[Text, ...]:
        """What is to be read here and why; with nothing left, what came of it."""
        vehicle, verdict = self._document.vehicle, self._verdict()
        if verdict is None or spot_in_hand(self.session) is not None:
            return page_words.asked_here(self.session, vehicle)
        document = self._document
        return page_words.outcome(vehicle, document.assessment, document.findings, verdict)

    # --- timers ---------------------------------------------------------------------------------

    def _show_timers(self) -> None:
        vehicle, now = self._document.vehicle, self._now()
        running = timers(self.session, vehicle, now)
        text, due = page_words.clock(self.session, running, now)
        self.frame.show_clock(self._theme.style.show(text), due=due)
        for timer in running:
            mark = f"{timer.kind} {timer.due.isoformat()}"
            if timer.over and mark not in self._rung:
                self._rung.add(mark)
                self.herald.tell("done", self._theme.style.show(text))
        if any(not timer.over for timer in running) and self.isVisible():
            self._awake.hold()
        else:
            self._awake.release()

    def showEvent(self, event: QShowEvent) -> None:
        """Take up where it was left; the keys come here."""
        super().showEvent(event)
        if self.session.only:  # asked for from elsewhere, once
            whole = replace(self.session, only=())
            self.session = begin(whole, self._document.vehicle, whole.round)
        self._touched = False
        self._tick.start()
        self._show()
        self.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """The timers go on counting, but nobody looks."""
        super().hideEvent(event)
        if not event.spontaneous():
            self.taken_out.left("probe")
        self._tick.stop()
        self._awake.release()


def _round_for(session: Session, vehicle: Vehicle, spot: plan.Spot) -> plan.Round:
    """The next round in which a place is in question; where in none, the first of the sweeps."""
    asking = (step.round for step in rounds_left(session, vehicle) if spot in step.spots)
    sweeps = (each for each in plan.ROUNDS if each.kind == "sweep")
    return next(asking, None) or next(sweeps)


def _ink_sheet(theme: Theme) -> str:
    """What would else be written in the colours of the theme around this page."""
    return (
        f"QLabel, QPushButton, QComboBox {{ color: {theme.text}; }}"
        f"QComboBox, QComboBox QAbstractItemView {{ background: {theme.raised};"
        f" color: {theme.text}; }}"
        f"QComboBox {{ border: 1px solid {theme.frame}; border-radius: 3px;"
        " padding: 0.15em 0.4em; }"
        f"QComboBox:focus {{ border: 2px solid {theme.accent}; }}"
    )
