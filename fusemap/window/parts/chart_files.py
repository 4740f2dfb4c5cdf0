"""Saving what a view shows: its chart as a picture or drawing, its course as a table.

`save_button` asks which, `ask_for_file` where, `write_drawing` draws. Kinds are ``png``, ``svg``,
``csv`` and whatever tables a view has besides.
"""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QRectF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QGraphicsScene, QMenu, QPushButton, QWidget

from fusemap.window.document import Document
from fusemap.window.parts import export


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ChartFiles", text)


def save_button(name: str, save: Callable[[str], object], *more: tuple[str, str]) -> QPushButton:
    """The button whose menu asks what to save; `more` are texts and kinds besides the usual."""
    button = QPushButton(tr("Save"))
    button.setObjectName(name)
    button.setAccessibleName(tr("Save chart or figures"))
    menu = QMenu(button)
    for text, kind in (
        (tr("Chart as PNG…"), "png"),
        (tr("Chart as SVG…"), "svg"),
        (tr("Course as CSV…"), "csv"),
        *more,
    ):
        action = menu.addAction(text)
        action.setObjectName(f"{name}_{kind}")
        action.triggered.connect(lambda _=False, kind=kind: save(kind))
    button.setMenu(menu)
    return button


def ask_for_file(
    parent: QWidget, document: Document, what: str, kind: str, write: Callable[[str, Path], None]
) -> None:
    """Ask where to save one of these kinds; the name says the vehicle and `what`."""
    filters = {"png": tr("Pictures (*.png)"), "svg": tr("Drawings (*.svg)")}
    suffix = f".{kind}" if kind in filters else ".csv"
    export.ask_where(
        parent,
        document,
        tr("Save"),
        export.file_name(document.vehicle.name, what, suffix),
        filters.get(kind, tr("Tables (*.csv)")),
        lambda path: write(kind, path),
    )


def write_drawing(
    kind: str,
    path: Path,
    picture: AbstractContextManager[tuple[QGraphicsScene, QRectF]],
    ground: QColor,
    title: str,
) -> None:
    """Write a chart as png or svg. Raises `FileProblem` when it cannot be written."""
    with picture as drawn:
        if kind == "png":
            export.write_png(path, *drawn, ground)
        else:
            export.write_svg(path, *drawn, ground, title)
