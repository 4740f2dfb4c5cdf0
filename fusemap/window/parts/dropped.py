"""Files dragged here from outside: which one may be opened, and that they are taken as copies.

Whatever is dragged here is taken, and refused in words where it is nothing to be opened: a drag
that is not taken gives no reason.
"""

from pathlib import Path
from typing import Final

from PySide6.QtCore import QMimeData, Qt
from PySide6.QtGui import QDropEvent

from fusemap.errors import InputProblem
from fusemap.text import say

PICTURE_ENDS: Final = (
    ".jpg", ".jpeg", ".jfif", ".png", ".webp", ".heic", ".heif", ".avif", ".bmp", ".gif", ".tif",
    ".tiff",
)  # fmt: skip
"""What the names of pictures end with, those too that cannot be taken in."""


def dropped_files(mime: QMimeData) -> tuple[Path, ...]:
    """The files and folders that are dragged."""
    return tuple(Path(url.toLocalFile()) for url in mime.urls() if url.isLocalFile())


def is_picture(path: Path) -> bool:
    """Whether a file is called like a picture; nothing is read of it."""
    return path.suffix.lower() in PICTURE_ENDS


def file_to_open(paths: tuple[Path, ...]) -> Path:
    """The one file that may be a vehicle's. Raises `InputProblem` for any other than one file."""
    if len(paths) != 1:
        raise InputProblem(
            say("{n} files cannot be opened at once", n=len(paths)),
            "",
            say("drop one vehicle file, or one picture onto the lid"),
        )
    if paths[0].is_dir():
        raise InputProblem(
            say("this is a folder"), paths[0].name, say("open it and drop one vehicle file of it")
        )
    if is_picture(paths[0]):
        raise InputProblem(
            say("this is a picture"), paths[0].name, say("drop it onto the lid it shows")
        )
    return paths[0]


def take_copy(event: QDropEvent) -> None:
    """Take a copy: told that a file was moved here, where it comes from may delete it."""
    event.setDropAction(Qt.DropAction.CopyAction)
    event.accept()
