"""What the pages beside the vehicle have in common: their look, their sounds, the way out."""

from collections.abc import Callable
from datetime import datetime

from PySide6.QtCore import QEvent, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.beside.frame import StageFrame
from fusemap.window.beside.sounds import Herald
from fusemap.window.document import Document
from fusemap.window.style.keyboard import ring_by
from fusemap.window.style.theme import Theme, palette, style_sheet


class StagePage(QWidget):
    """A page on the stage; `now` tells the time, `ink` is what it adds to the style sheet.

    `sound_chosen` tells what is to be kept, `left` that the stage is left. Who makes a page gives
    it its `frame` and calls `_listen`.
    """

    sound_chosen = Signal(bool)
    left = Signal()
    frame: StageFrame

    def __init__(
        self,
        document: Document,
        theme: Theme,
        now: Callable[[], datetime],
        *,
        sound: bool,
        voice: bool,
        ink: str = "",
    ) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._now = now
        self.herald = Herald(sound=sound, voice=voice, language=theme.style.language)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setPalette(palette(theme))
        self.setStyleSheet(style_sheet(theme) + ink)
        self.setAutoFillBackground(True)
        self._moved = QTimer(self)
        self._moved.setSingleShot(True)
        self._moved.timeout.connect(self._keep_elsewhere)
        document.path_changed.connect(self._moved.start)
        document.changed.connect(self._called_otherwise)
        # another vehicle has what was kept of it; what stands here is of the one before
        document.opened.connect(self._moved.stop)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """It has the keyboard as a rule: who comes back to it stop by stop sees that he has."""
        super().focusInEvent(event)
        reasons = Qt.FocusReason
        if event.reason() != reasons.ActiveWindowFocusReason:
            stepped = (reasons.TabFocusReason, reasons.BacktabFocusReason)
            ring_by(self, event.reason() in stepped)

    def _called_otherwise(self, old: Vehicle, new: Vehicle) -> None:
        if old.name != new.name:
            self._moved.start()

    def _keep_elsewhere(self) -> None:
        """The vehicle goes by another file or name: what is kept of it is kept under that."""

    def _listen(self) -> None:
        """Take up what the frame's own buttons ask for."""
        self.frame.show_sound(self.herald.sound)
        self.frame.sound_wanted.connect(self._set_sound)
        self.frame.left.connect(self.left)

    def open_pad(self, on: bool) -> None:
        """Show the keypad wherever something is typed, or put it away."""
        self.frame.open_pad(on)

    def _set_sound(self, on: bool) -> None:
        if on != self.herald.sound:
            self.hear(on)
            self.sound_chosen.emit(on)

    def hear(self, on: bool) -> None:
        """Give sounds from now on, or none."""
        self.herald.sound = on
        self.frame.show_sound(on)


class KeyedPage(StagePage):
    """One whose keys have names: they are its own before they are any shortcut."""

    def key_of(self, event: QKeyEvent) -> str:
        """The name of a key of this page; empty for one that is not for it."""
        raise NotImplementedError

    def press(self, key: str) -> None:
        """Do what a key does."""
        raise NotImplementedError

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A key of the page; every other one goes on to the window."""
        key = self.key_of(event)
        if not key:
            super().keyPressEvent(event)
            return
        event.accept()
        self.press(key)

    def event(self, event: QEvent) -> bool:
        """The keys of the page before any shortcut."""
        overriding = event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent)
        if overriding and self.hasFocus() and self.key_of(event):  # type: ignore[arg-type]
            event.accept()
            return True
        return super().event(event)
