"""Probing beside the vehicle: state, slot, entry and timers in letters for a metre and a half.

The page has no keys of its own but those of the session (`fusemap.probing.keys`); each is kept on
disk at once, and each reading is one undoable edit of the document. The number pad does everything;
the same keys beside the letters do too. A few letters stand for what happens once in a while.
"""

from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Final, Literal

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QEvent, Qt, QTimer
from PySide6.QtGui import QAccessible, QAccessibleEvent, QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QApplication, QHBoxLayout, QVBoxLayout, QWidget

from fusemap.assess.verdict import Verdict
from fusemap.checks import whole_verdict
from fusemap.errors import EditRefused
from fusemap.probing import keys, loads, plan, storing
from fusemap.probing.session import (
    Session,
    begin,
    begin_sure,
    go_to_spot,
    resume,
    rounds_left,
    slot_in_hand,
    spot_in_hand,
    start,
    timers,
)
from fusemap.text import Text
from fusemap.vehicle import State, Vehicle
from fusemap.window.document import Document
from fusemap.window.photo.piece import PieceView
from fusemap.window.probe import page_words
from fusemap.window.probe.big import LEFT, RIGHT, BigLine, BigWords
from fusemap.window.probe.keep_awake import KeepAwake
from fusemap.window.probe.kept import KeptSession
from fusemap.window.probe.slot_order import ProbeOptions
from fusemap.window.probe.stage import Stage
from fusemap.window.style.theme import Theme, palette, space, style_sheet
from fusemap.window.texts.plain import plain_label

translate = QCoreApplication.translate
Key = Qt.Key

PageKey = keys.Key | Literal["pull", "options"]
"""Keys of a session, and those that the page answers itself."""

NAMED: Final[dict[int, PageKey]] = {
    Key.Key_Return: "enter",
    Key.Key_Enter: "enter",
    Key.Key_Asterisk: "skip",
    Key.Key_Slash: "undo",
    Key.Key_Backspace: "back",
    Key.Key_Escape: "clear",
    Key.Key_Up: "up",
    Key.Key_Down: "down",
    Key.Key_Left: "left",
    Key.Key_Right: "right",
    Key.Key_Home: "home",
    Key.Key_PageDown: "next_round",
    Key.Key_PageUp: "previous_round",
    Key.Key_Space: "unit",
    Key.Key_L: "lock",
    Key.Key_T: "instrument",
    Key.Key_P: "pull",
    Key.Key_J: "job",
    Key.Key_S: "sure",
    Key.Key_O: "options",
}
"""Keys that are no characters of a reading."""


_TYPED: Final[dict[str, PageKey]] = {text: text for text in keys.CHARACTERS}


def session_key(event: QKeyEvent) -> PageKey | None:
    """The session's name for a key press; `None` for one that is not for it."""
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
    )
    if held:
        return None
    text = event.text().lower().replace("−", "-")
    return _TYPED.get(text) or NAMED.get(event.key())


def legend() -> tuple[tuple[str, str], ...]:
    """The keys and what they do, for the foot of the page."""
    return (
        ("⏎", translate("Probe", "store, go on")),
        ("+", translate("Probe", "live")),
        ("−", translate("Probe", "dead")),
        ("*", translate("Probe", "skip")),
        ("/", translate("Probe", "undo")),
        ("m v a", translate("Probe", "unit")),
        (translate("Probe", "Space"), translate("Probe", "next unit")),
        (translate("Probe", "PgDn"), translate("Probe", "next round")),
        ("L", translate("Probe", "locked now")),
        ("P", translate("Probe", "pull the next fuse")),
        ("J", translate("Probe", "only what this job needs")),
        ("S", translate("Probe", "only what makes it sure")),
        ("T", translate("Probe", "meter or test lamp")),
        ("O", translate("Probe", "walk, round, meter")),
    )


def contact_legend() -> tuple[tuple[str, str], ...]:
    """The keys while contacts are read."""
    return (
        ("8 2 4 6", translate("Probe", "the live contact: top, bottom, left, right")),
        ("−", translate("Probe", "none")),
        ("+", translate("Probe", "both")),
        ("⏎", translate("Probe", "store, go on")),
        ("*", translate("Probe", "skip")),
        ("/", translate("Probe", "undo")),
    )


TICK_MS = 500
"""How often the timers are drawn anew."""


class ProbePage(QWidget):
    """One probing session on the document; `now` tells the time."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        folder: Path,
        now: Callable[[], datetime] = datetime.now,
        *,
        sound: bool = False,
    ) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._folder = folder
        self._now = now
        self._sound = sound
        self._rung: set[str] = set()
        self._awake = KeepAwake()
        self._storing = False
        self.setObjectName("probePage")
        self.setAccessibleName(self.tr("Probe"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setPalette(palette(theme))
        self.setStyleSheet(style_sheet(theme) + _ink_sheet(theme))
        self.setAutoFillBackground(True)
        self._build()
        self._kept = KeptSession(folder, document.path, document.vehicle)
        self.session: Session = self._kept.read(document.vehicle) or start(document.vehicle)
        document.changed.connect(self._vehicle_changed)
        document.opened.connect(self._opened)
        self._tick = QTimer(self)
        self._tick.setInterval(TICK_MS)
        self._tick.timeout.connect(self._show_timers)
        self._show()

    # --- building -------------------------------------------------------------------------------

    def _build(self) -> None:
        ink = self._theme.colour
        muted = ink("muted_text")
        self.banner = BigLine("probeState", self.tr("State"), ink("accent"), lines=3.2)
        self.clock = BigLine("probeClock", self.tr("Timers"), ink("text"), lines=3.2, align=RIGHT)
        self.how = BigLine("probeHow", self.tr("What to do"), muted, lines=1.6, bold=False)
        self.progress = BigLine(
            "probeProgress", self.tr("Progress"), muted, lines=1.6, bold=False, align=RIGHT
        )
        self.stage = Stage(self._theme)
        self.stage.picked.connect(lambda slot_id: self.take_in_hand(("slot", slot_id)))
        self.piece = PieceView("probePiece")
        self.entry = BigLine("probeEntry", self.tr("Typed"), ink("text"), lines=4.0, align=LEFT)
        self.words = BigWords("probeSaid", self.tr("Said"), ink("text"), factor=2.2)
        self.evidence = BigWords("probeEvidence", self.tr("Known of it"), ink("text"), factor=1.7)
        self.last = BigWords("probeLast", self.tr("Read last"), muted, factor=1.5)
        self.keys = plain_label("probeKeys")
        self.keys.setAccessibleName(self.tr("Keys"))
        self.options = ProbeOptions(self._theme)
        self.options.chosen.connect(self._take)
        self.options.sound.connect(self._set_sound)
        self.options.sounds.setChecked(self._sound)
        self.options.hide()
        self._lay_out()

    def _lay_out(self) -> None:
        edge = space(self, "medium")
        head = QHBoxLayout()
        head.addWidget(self.banner, 5)
        head.addWidget(self.clock, 3)
        under = QHBoxLayout()
        under.addWidget(self.how, 5)
        under.addWidget(self.progress, 3)
        side = QVBoxLayout()
        side.setSpacing(edge)
        side.addWidget(self.entry, 3)
        side.addWidget(self.words, 3)
        side.addWidget(self.evidence, 4)
        side.addWidget(self.last, 2)
        middle = QHBoxLayout()
        middle.setSpacing(edge * 2)
        middle.addWidget(self.stage, 6)
        middle.addWidget(self.piece, 3)
        middle.addLayout(side, 4)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(edge * 2, edge, edge * 2, edge)
        whole.setSpacing(edge)
        whole.addWidget(self.options)
        whole.addLayout(head, 3)
        whole.addLayout(under, 1)
        whole.addLayout(middle, 12)
        whole.addWidget(self.keys)

    # --- keys -----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key of the session; every other one goes on to the window."""
        key = session_key(event)
        if key is None:
            super().keyPressEvent(event)
            return
        event.accept()
        if key == "pull":
            self._pull_next()
        elif key == "options":
            self.show_options(not self.options.isVisible())
        else:
            self.press(key)

    def event(self, event: QEvent) -> bool:
        """The keys of the session before any shortcut; Escape in a choice comes back here."""
        overriding = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if overriding and self.hasFocus() and session_key(event):  # type: ignore[arg-type]
            event.accept()
            return True
        return super().event(event)

    def press(self, key: keys.Key) -> None:
        """Do what a key does, keep the session, and show it."""
        done = keys.press(self.session, self._document.vehicle, key, self._now())
        after = done.vehicle
        if after is not None:
            self._storing = True
            try:
                if not self._document.apply(
                    self._theme.style.show(done.text), lambda before: after
                ):
                    return
            finally:
                self._storing = False
        self._take(done.session)

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

    def read_what_settles(self) -> None:
        """Ask exactly the readings that would make it sure."""
        self._take(begin_sure(self.session, self._document.vehicle))
        self.setFocus()

    def read_whole(self) -> None:
        """Go to the reading of the whole vehicle at rest."""
        whole = next(each for each in plan.ROUNDS if each.kind == "whole")
        if self.session.round != whole:
            self._take(begin(self.session, self._document.vehicle, whole))
        self.setFocus()

    def _pull_next(self) -> None:
        """Find what draws: read the whole vehicle with the largest contributor's fuse out."""
        vehicle = self._document.vehicle
        following = loads.pull_next(vehicle)
        with suppress(EditRefused):
            slot_id = following.slot.id if following is not None else None
            self._take(storing.pull(self.session, vehicle, slot_id))

    def show_options(self, on: bool) -> None:
        """Show or hide how the slots are walked and with which meter."""
        self.options.setVisible(on)
        if on:
            self.options.show_session(self._document.vehicle, self.session)
            self.options.rounds.setFocus()
        else:
            self.setFocus()

    def _set_sound(self, on: bool) -> None:
        self._sound = on

    # --- what the document tells ----------------------------------------------------------------

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if not self._storing:
            self.session = resume(self.session, new)
            self._show()

    def _opened(self) -> None:
        """Another vehicle is in hand: its own session."""
        vehicle = self._document.vehicle
        self._kept = KeptSession(self._folder, self._document.path, vehicle)
        self.session = self._kept.read(vehicle) or start(vehicle)
        self._show()

    # --- showing --------------------------------------------------------------------------------

    def _show(self) -> None:
        if not self.isVisible():
            return
        vehicle, session, show = self._document.vehicle, self.session, self._theme.style.show
        if self.options.isVisible():
            self.options.show_session(vehicle, session)
        self.banner.show_text(show(plan.title(session.round)))
        self.how.show_text(show(plan.how_to(session.round)))
        self.progress.show_text(show(page_words.progress(session, vehicle)))
        self.stage.show_session(vehicle, session, self._verdict())
        self.piece.show_slot(vehicle, slot_in_hand(session, vehicle))
        self._show_entry()
        self._show_words()
        known, last = page_words.known(session, vehicle), page_words.read_last(vehicle)
        self.evidence.show_text(show(known), self._theme.colour("text"))
        self.last.show_text(show(last), self._theme.colour("muted_text"))
        told = contact_legend() if session.round.kind == "contacts" else legend()
        pairs = (f"{key}  {words}".replace(" ", "\u00a0") for key, words in told)
        self.keys.setText("     ".join(pairs))
        self._show_timers()

    def _show_entry(self) -> None:
        session = self.session
        unit: str = "" if session.round.kind == "contacts" else session.unit
        nothing_left = session.sure and spot_in_hand(session) is None
        typed = session.typed.replace("-", "−")
        if typed[-1:].isalpha():
            unit = ""
        if not typed and unit == "mV" and not session.sure and session.feed is None:
            unit = "+  −  mV"  # live or dead is asked first, millivolts besides
        words = "" if nothing_left else f"{typed}▁ {unit}".rstrip()
        self.entry.show_text(words, self._theme.colour("text"), self._theme.colour("raised"))

    def _show_words(self) -> None:
        """What is asked or said; a doubt in the colour of a caution, with its word."""
        session, show = self.session, self._theme.style.show
        if session.doubts:
            questions = "\n".join(map(show, session.doubts))
            again = self.tr("Read it again: the same once more, and it is kept.")
            typed = session.doubted.replace("-", "−")
            text = f"⚠ {typed}: {questions}\n{again}"
            colour = "caution"
        else:
            warning = loads.CHARGER_WARNING if session.round.kind == "whole" else Text("")
            lines: tuple[Text, ...] = (session.message, warning, page_words.where_to(session))
            if session.sure:
                lines = (session.message, *self._sure_lines())
            text = "\n".join(show(line) for line in lines if line)
            colour = "text"
        if text != self.words.text:
            self.words.show_text(text, self._theme.colour(colour))
            event = QAccessibleEvent(self.words, QAccessible.Event.DescriptionChanged)
            QAccessible.updateAccessibility(event)

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
        colour = self._theme.colour
        ink, ground = (colour("accent_text"), colour("accent")) if due else (colour("text"), None)
        self.clock.show_text(self._theme.style.show(text), ink, ground)
        for timer in running:
            mark = f"{timer.kind} {timer.due.isoformat()}"
            if timer.over and mark not in self._rung:
                self._rung.add(mark)
                if self._sound:
                    QApplication.beep()
        if any(not timer.over for timer in running) and self.isVisible():
            self._awake.hold()
        else:
            self._awake.release()

    def showEvent(self, event: QShowEvent) -> None:
        """Take up where it was left; the keys come here."""
        super().showEvent(event)
        self._tick.start()
        self._show()
        self.setFocus()

    def hideEvent(self, event: QHideEvent) -> None:
        """The timers go on counting, but nobody looks."""
        super().hideEvent(event)
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
