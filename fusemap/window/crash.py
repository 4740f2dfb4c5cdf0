"""What happens at a fault of the program: the work is kept first, then it is told, then it goes on.

In: an exception that nobody caught, wherever it was raised. Out: an entry in the log and a quiet
message with a way to the details, which can be copied into a report. Nothing is closed and nothing
waits for an answer.

The log, in the user's state folder, holds what helps to understand a fault and no more: the
versions in use, faults of the program with the lines of code they passed, warnings of Qt, and saves
that failed. What is in a vehicle does not go into it; the user's own folder is written as ~. It
stays small: at its bound it becomes ``fusemap.log.1`` in place of the one before. A log that cannot
be written is done without.
"""

import faulthandler
import sys
import threading
import traceback
from collections import Counter
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import IO

from PySide6.QtCore import QCoreApplication, QObject, Qt, Signal
from PySide6.QtGui import QFontDatabase, QGuiApplication
from PySide6.QtWidgets import QApplication, QDialog, QPushButton, QVBoxLayout, QWidget

from fusemap.errors import FileProblem, FusemapError
from fusemap.text import say
from fusemap.window.files.rescue import Rescue
from fusemap.window.parts.message_bar import MessageBar
from fusemap.window.texts.plain import plain_label

MOST_BYTES = 250_000
"""At this size a new log is begun [bytes]; there are two of them at most."""
MOST_LETTERS = 8000
"""The longest entry [characters]."""
PARTS = ("fusemap", "PySide6-Essentials", "numpy", "msgspec", "pyqtgraph")


class Log:
    """Lines in one file; each is on disk when `write` is done."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "fusemap.log"
        self._crash: IO[str] | None = None

    def write(self, kind: str, text: str) -> None:
        """Add an entry: when, which kind, what. Further lines of it are set in."""
        when = datetime.now().isoformat(timespec="seconds")
        body = without_home(text)[:MOST_LETTERS].rstrip().replace("\n", "\n    ")
        with suppress(OSError):
            self._make_folder()
            self._begin_anew()
            with self._open(self.path, "a") as file:
                file.write(f"{when} {kind}: {body}\n")

    def started(self) -> None:
        """Note the versions in use, and what a crash of the last run has left."""
        self.write("start", versions())
        with suppress(OSError):
            crashed = self._crash_path.read_text(encoding="utf-8", errors="replace")
            if crashed.strip():
                self.write("crash of an earlier run", crashed)

    def watch_crashes(self) -> None:
        """Let a crash below Python (in Qt, say) leave its lines of code for the next start."""
        with suppress(OSError):
            self._make_folder()
            self._crash = self._open(self._crash_path, "w")
            faulthandler.enable(self._crash)

    @property
    def watching(self) -> bool:
        """Whether crashes are watched for."""
        return self._crash is not None

    def close(self) -> None:
        """The program ends in the ordinary way: nothing is watched for any more."""
        if self._crash is not None:
            faulthandler.disable()
            self._crash.close()
            self._crash = None

    # Imported when first needed: with it comes all that reads vehicles, which a start does without.

    def _make_folder(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.files.atomic import make_folder

        make_folder(self.path.parent)

    @staticmethod
    def _open(path: Path, mode: str) -> IO[str]:
        # loaded when it is first needed: the start stays short
        from fusemap.files.atomic import open_private

        return open(path, mode, encoding="utf-8", errors="backslashreplace", opener=open_private)

    @property
    def _crash_path(self) -> Path:
        return self.path.with_name("crash.log")

    def _begin_anew(self) -> None:
        with suppress(FileNotFoundError):
            if self.path.stat().st_size > MOST_BYTES:
                self.path.replace(self.path.with_name(f"{self.path.name}.1"))


def versions() -> str:
    """The program, what it stands on, and the system, on one line."""
    # loaded when it is first needed: the start stays short
    import platform
    from importlib.metadata import PackageNotFoundError, version

    found = []
    for part in PARTS:
        with suppress(PackageNotFoundError):
            found.append(f"{part} {version(part)}")
    python = f"Python {platform.python_version()}"
    return ", ".join([*found, python, f"{sys.platform} {platform.machine()}"])


def without_home(text: str) -> str:
    """A text in which the user's own folder is written as ~."""
    with suppress(RuntimeError):
        home = str(Path.home())
        if len(home) > 1:
            return text.replace(home, "~")
    return text


MOST_TOLD = 20
"""A fault that comes again and again is written down so often, then only counted."""


class Crash(QObject):
    """The hooks for what nobody caught; one for the program."""

    _elsewhere = Signal(object, object, object)

    def __init__(self, window: QWidget, message: MessageBar, rescue: Rescue, log: Log) -> None:
        super().__init__(window)
        self._window = window
        self._message = message
        self._rescue = rescue
        self._log = log
        self._seen: Counter[str] = Counter()
        self._shown = ("", "")
        self.details = ""
        self._elsewhere.connect(self._tell, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Be asked from now on, for this thread and all others."""
        sys.excepthook = self
        threading.excepthook = self.in_thread

    def __call__(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        if issubclass(kind, KeyboardInterrupt):
            with suppress(Exception):
                self._rescue.keep()
            QApplication.quit()
            return
        # Whatever goes wrong here must not cost the work, nor end the program.
        try:
            self._tell(kind, error, trace)
        except Exception:
            traceback.print_exc()

    def in_thread(self, args: "threading.ExceptHookArgs") -> None:
        """A fault in another thread is told from the window's."""
        error = args.exc_value
        if error is not None and not isinstance(error, SystemExit):
            with suppress(RuntimeError):  # the window is gone already
                self._elsewhere.emit(args.exc_type, error, args.exc_traceback)

    def _tell(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        kept = self._keep()
        lines = "".join(traceback.format_exception(kind, error, trace))
        where = _place(trace)
        self._seen[where] += 1
        if self._seen[where] <= MOST_TOLD:
            with suppress(Exception):
                print(lines, end="", file=sys.stderr)
            self._log.write("fault", lines)
        # A fault while painting would come back with each time the message is painted.
        if (where, self._message.text) == self._shown:
            return
        self._show(error, where, lines, kept)
        self._shown = (where, self._message.text)

    def _show(self, error: BaseException, where: str, lines: str, kept: bool) -> None:
        if isinstance(error, FusemapError):
            self._message.show_error(error)
            return
        self.details = without_home(f"{versions()}\n\n{lines}")
        what = say("a fault in the program: {error}", error=f"{error!r:.200}")
        remedy = (
            say("your work is kept; save it under another name and start again")
            if kept
            else say("save your work under another name now, and start again")
        )
        choices = ((self.tr("&Details…"), self.show_details),)
        self._message.show_error(FileProblem(what, where, remedy), choices)

    def _keep(self) -> bool:
        try:
            return self._rescue.keep()
        except Exception:
            traceback.print_exc()
            return False

    def show_details(self) -> QDialog:
        """Open what helps whoever mends the fault."""
        return _details(self._window, self.details, self._log.path)


def _place(trace: TracebackType | None) -> str:
    """File and line in which a fault was raised."""
    frames = traceback.extract_tb(trace)
    return f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""


def _details(parent: QWidget, details: str, log: Path) -> QDialog:
    # loaded when there is a fault: the start stays short
    from PySide6.QtWidgets import QDialogButtonBox, QPlainTextEdit

    def tr(text: str) -> str:
        return QCoreApplication.translate("Crash", text)

    box = QDialog(parent)
    box.setObjectName("faultDetails")
    box.setWindowTitle(tr("Details of the fault"))
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    text = QPlainTextEdit(details)
    text.setObjectName("faultText")
    text.setAccessibleName(box.windowTitle())
    text.setReadOnly(True)
    text.setFont(QFontDatabase.systemFont(QFontDatabase.SystemFont.FixedFont))
    buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
    copy = QPushButton(tr("&Copy"))
    copy.setObjectName("faultCopy")
    copy.clicked.connect(lambda: QGuiApplication.clipboard().setText(details))
    buttons.addButton(copy, QDialogButtonBox.ButtonRole.ActionRole)
    buttons.rejected.connect(box.reject)
    column = QVBoxLayout(box)
    column.addWidget(
        plain_label(
            text=tr(
                "What is needed to mend it, without anything of your vehicle but what the message "
                "itself names. It also stands in {log}. Nothing is sent anywhere."
            ).format(log=log)
        )
    )
    column.addWidget(text, 1)
    column.addWidget(buttons)
    em = box.fontMetrics().height()
    box.resize(em * 46, em * 28)
    box.show()
    return box
