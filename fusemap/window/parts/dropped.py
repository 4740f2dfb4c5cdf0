"""Files dragged here from outside: what they are, and that they are taken as copies."""

from pathlib import Path

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QDropEvent

SUFFIX = ".fusemap"


def dropped_file(mime: QMimeData) -> Path | None:
    """The vehicle file that is dragged, where it is one and no more."""
    paths = [Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile()]
    return paths[0] if len(paths) == 1 and paths[0].suffix.lower() == SUFFIX else None


def take_copy(event: QDropEvent) -> None:
    """Take a copy: told that a file was moved here, where it comes from may delete it."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()
