"""Three short sounds of our own, heard beside the vehicle by somebody who looks at the meter.

`stored`: a reading was taken, and the hand goes on. `doubted`: nothing was stored; look, or read
it again. `done`: a round is through, or a wait is over. Each is a sum of few tones, made here as
16-bit wave data; no recording of anything. Frequencies lie between 500 and 1600 Hz, where small
loudspeakers are loud and ears are keen.

A `Herald` tells them, and the words that are spoken where the system has a voice, by its signals
`sounded` and `spoke`, whether or not anything can be heard. Sounds go through QtMultimedia where it
is installed, else through the system's own player; words through QtTextToSpeech alone. Where there
is none of these, it stays quiet, and nothing else changes.
"""

import shutil
import subprocess
import sys
import wave
from collections.abc import Callable
from contextlib import suppress
from importlib import import_module
from io import BytesIO
from pathlib import Path
from typing import Any, Final, Literal

import numpy as np
from PySide6.QtCore import QLocale, QObject, QUrl, Signal
from PySide6.QtGui import QGuiApplication

from fusemap.window.settings import state_folder

Sound = Literal["stored", "doubted", "done"]
Player = Callable[[Path], None]
SOUNDS: Final[dict[Sound, tuple[tuple[float, float], ...]]] = {
    "stored": ((1320.0, 0.07),),
    "doubted": ((660.0, 0.12), (0.0, 0.05), (520.0, 0.2)),
    "done": ((660.0, 0.09), (880.0, 0.09), (1320.0, 0.18)),
}
"""Every sound as tones: frequency [Hz], 0 for a rest, and how long [s]."""
RATE: Final = 22050
"""Samples a second."""
_LOUD: Final = 0.5
"""Share of the largest sample there is; the overtone comes on top."""
_OVERTONE: Final = 0.25
_EDGE_S: Final = 0.008
"""A tone begins and ends in this time [s]: else it clicks."""
QUIET_PLATFORMS: Final = ("offscreen", "minimal", "vnc")
"""Where there is no screen nobody listens either."""
UNIX_PLAYERS: Final = ("pw-play", "paplay", "afplay", "aplay")


def samples(sound: Sound) -> np.ndarray[Any, np.dtype[np.float64]]:
    """A sound as samples between -1 and 1, `RATE` a second."""
    return np.concatenate([_tone(frequency, long_s) for frequency, long_s in SOUNDS[sound]])


def _tone(frequency: float, long_s: float) -> np.ndarray[Any, np.dtype[np.float64]]:
    at = np.arange(round(long_s * RATE)) / RATE
    if not frequency:
        return np.zeros(at.size)
    edge = np.minimum(1.0, np.minimum(at, at[::-1]) / _EDGE_S)
    turn = 2 * np.pi * frequency * at
    wave_ = np.sin(turn) + _OVERTONE * np.sin(2 * turn)
    return np.asarray(_LOUD * edge * wave_)


def wave_bytes(sound: Sound) -> bytes:
    """A sound as a wave file: one channel, 16 bits."""
    made = BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((samples(sound) * 32767).astype("<i2").tobytes())
    return made.getvalue()


class Herald(QObject):
    """Tells by ear what happened: `sounded` with a sound's name, `spoke` with words."""

    sounded = Signal(str)
    spoke = Signal(str)

    def __init__(self, *, sound: bool = True, voice: bool = False, language: str = "en") -> None:
        super().__init__()
        self.sound = sound
        self.voice = voice
        self._language = language
        self._player: Player | None = None
        self._speaker: Any = None
        self._looked_for: set[str] = set()

    def tell(self, sound: Sound, words: str = "") -> None:
        """Give a sound, and say these words, as far as either is wanted."""
        if self.sound:
            self.sounded.emit(sound)
            self._play(sound)
        if self.voice and words:
            self.spoke.emit(words)
            self._say(words)

    def _play(self, sound: Sound) -> None:
        if "player" not in self._looked_for:
            self._looked_for.add("player")
            self._player = find_player(self)
        if self._player is not None:
            with suppress(Exception):  # the desktop's own matter; the work goes on without it
                self._player(sound_file(sound))

    def _say(self, words: str) -> None:
        if "voice" not in self._looked_for:
            self._looked_for.add("voice")
            self._speaker = find_voice(self, self._language)
        if self._speaker is not None:
            self._speaker.stop()
            self._speaker.say(words)


def sound_file(sound: Sound) -> Path:
    """Where a sound stands as a file; it is written when it is first wanted."""
    path = state_folder() / f"sound-{sound}.wav"
    wanted = wave_bytes(sound)
    if not path.is_file() or path.stat().st_size != len(wanted):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(wanted)
    return path


# --- what there is to hear with -------------------------------------------------------------------


def has_ears() -> bool:
    """Whether anybody can hear: not where windows are drawn for nobody."""
    return QGuiApplication.platformName() not in QUIET_PLATFORMS


def find_player(parent: QObject) -> Player | None:
    """What plays a wave file here, `None` where nothing does."""
    if not has_ears():
        return None
    with suppress(ImportError):
        return _by_qt(import_module("PySide6.QtMultimedia"), parent)
    if sys.platform == "win32":
        return _by_windows()
    program = next(filter(None, map(shutil.which, UNIX_PLAYERS)), None)
    return None if program is None else _by_program(program)


def _by_qt(module: Any, parent: QObject) -> Player:
    effects: dict[Path, Any] = {}

    def play(path: Path) -> None:
        if path not in effects:
            effects[path] = module.QSoundEffect(parent)
            effects[path].setSource(QUrl.fromLocalFile(str(path)))
        effects[path].play()

    return play


def _by_windows() -> Player:
    # there is no such module elsewhere
    winsound: Any = import_module("winsound")

    def play(path: Path) -> None:
        winsound.PlaySound(str(path), winsound.SND_FILENAME | winsound.SND_ASYNC)

    return play


def _by_program(program: str) -> Player:
    running: list[subprocess.Popen[bytes]] = []

    def play(path: Path) -> None:
        running[:] = [each for each in running if each.poll() is None]
        if len(running) < 4:  # one that hangs must not gather others behind it
            no = subprocess.DEVNULL
            running.append(subprocess.Popen([program, path], stdin=no, stdout=no, stderr=no))

    return play


def find_voice(parent: QObject, language: str) -> Any:
    """A voice that speaks the language, `None` where there is none."""
    if not has_ears():
        return None
    try:
        module: Any = import_module("PySide6.QtTextToSpeech")
        voice = module.QTextToSpeech(parent)
        voice.setLocale(QLocale(language))
        fits = QLocale(voice.locale()).language() == QLocale(language).language()
    except Exception:  # one that cannot be used is as good as none
        return None
    return voice if fits else None
