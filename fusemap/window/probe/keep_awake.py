"""Keep the screen from going dark while a timer runs, where the desktop can be asked to.

On Linux the screen saver is asked over the session bus, on Windows the system, on macOS its own
`caffeinate` runs along. Nothing leaves this computer; where none of it works nothing is lost but
the convenience.
"""

import os
import shutil
import subprocess
import sys
from contextlib import suppress
from typing import Any

WINDOWS_ON = 0x80000002
WINDOWS_OFF = 0x80000000
"""Execution state: keep the display on until told otherwise, and back. Source: winbase.h."""


class KeepAwake:
    """Holds the screen awake between `hold` and `release`; both may be called at any time."""

    def __init__(self) -> None:
        self.held = False
        self._cookie: int | None = None
        self._helper: subprocess.Popen[bytes] | None = None

    def hold(self) -> None:
        """Ask for the screen to stay on."""
        if self.held:
            return
        self.held = True
        with suppress(Exception):  # the desktop's own matter; the work goes on without it
            if sys.platform == "win32":
                _windows(WINDOWS_ON)
            elif sys.platform == "darwin":
                self._helper = _caffeinate()
            else:
                self._cookie = _inhibit()

    def release(self) -> None:
        """Let it go dark again."""
        if not self.held:
            return
        self.held = False
        with suppress(Exception):
            if sys.platform == "win32":
                _windows(WINDOWS_OFF)
            elif self._helper is not None:
                self._helper.terminate()
                self._helper.wait(timeout=2)
                self._helper = None
            elif self._cookie is not None:
                _screen_saver().call("UnInhibit", self._cookie)
                self._cookie = None


def _windows(state: int) -> None:
    # loaded when it is first needed: the start stays short
    import ctypes

    ctypes.windll.kernel32.SetThreadExecutionState(state)  # type: ignore[attr-defined]


def _caffeinate() -> "subprocess.Popen[bytes] | None":
    program = shutil.which("caffeinate")
    if program is None:
        return None
    return subprocess.Popen([program, "-d", "-w", str(os.getpid())])


def _screen_saver() -> Any:
    # loaded when it is first needed: the start stays short
    from PySide6.QtDBus import QDBusConnection, QDBusInterface

    name = "org.freedesktop.ScreenSaver"
    return QDBusInterface(name, "/ScreenSaver", name, QDBusConnection.sessionBus())


def _inhibit() -> int | None:
    # loaded when it is first needed: the start stays short
    from PySide6.QtDBus import QDBusConnection

    if not QDBusConnection.sessionBus().isConnected():
        return None
    answer = _screen_saver().call("Inhibit", "fusemap", "a reading is due")
    arguments = answer.arguments()
    return int(arguments[0]) if arguments else None
