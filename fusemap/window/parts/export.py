"""Tables to CSV and to the clipboard, charts to PNG and SVG.

In: a header and rows (numbers plain, the unit stands in the header), or a graphics scene. Out: a
file written whole or not at all, or text on the clipboard. A view's `save_button` asks what to
save, `ask_for_file` where. CSV is UTF-8 with a byte order mark, so that spreadsheet programs read ²
and Ω. Source of the format: RFC 4180.
"""

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from contextlib import AbstractContextManager
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QCoreApplication, QIODevice, QRectF, Qt
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPaintDevice, QPainter
from PySide6.QtWidgets import QFileDialog, QGraphicsScene, QMenu, QPushButton, QWidget

from fusemap.errors import FileProblem, FusemapError
from fusemap.files.atomic import write_whole
from fusemap.spreadsheets import guarded
from fusemap.text import say
from fusemap.window.document import Document

Row = Sequence[object]


def csv_text(header: Sequence[str], rows: Iterable[Row], *, separator: str = ",") -> str:
    r"""A table as text; `None` is left blank, a number written so that it reads back the same.

    >>> csv_text(["Name", "Current [A]"], [["Lamp, left", 4.5], ["Radio", None]])
    'Name,Current [A]\r\n"Lamp, left",4.5\r\nRadio,\r\n'
    """
    out = io.StringIO()
    writer = csv.writer(out, delimiter=separator)
    writer.writerow([_cell(title) for title in header])
    writer.writerows([_cell(value) for value in row] for row in rows)
    return out.getvalue()


def _cell(value: object) -> object:
    return guarded(value) if isinstance(value, str) else value


def write_csv(path: Path, header: Sequence[str], rows: Iterable[Row]) -> None:
    """Write a table. Raises `FileProblem` when the file cannot be written."""
    write_whole(path, csv_text(header, rows).encode("utf-8-sig"))


def copy_table(header: Sequence[str], rows: Iterable[Row]) -> None:
    """Put a table on the clipboard, in columns as spreadsheet programs paste it."""
    QGuiApplication.clipboard().setText(csv_text(header, rows, separator="\t"))


def write_png(
    path: Path,
    scene: QGraphicsScene,
    place: QRectF,
    ground: QColor,
    *,
    scale: float = 2.0,
    widest: int = 8000,
) -> None:
    """Write a part of a drawing as a picture, `scale` times its size on the screen."""
    scale = min(scale, widest / max(1.0, place.width(), place.height()))
    image = QImage(
        round(place.width() * scale), round(place.height() * scale), QImage.Format.Format_ARGB32
    )
    if image.isNull():
        raise FileProblem(say("the chart is empty"), str(path), say("open the chart first"))
    image.fill(ground)
    _draw(scene, place, image, QRectF(image.rect()))
    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")  # type: ignore[call-overload]
    write_whole(path, bytes(content.data()))


def write_svg(path: Path, scene: QGraphicsScene, place: QRectF, ground: QColor, title: str) -> None:
    """Write a part of a drawing as lines and text that can be scaled."""
    # loaded when it is first needed: the start stays short
    from PySide6.QtSvg import QSvgGenerator

    content = QByteArray()
    buffer = QBuffer(content)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    generator = QSvgGenerator(QSvgGenerator.SvgVersion.Svg11)
    generator.setOutputDevice(buffer)
    generator.setResolution(round(QGuiApplication.primaryScreen().logicalDotsPerInch()))
    generator.setSize(place.size().toSize())
    generator.setViewBox(QRectF(0, 0, place.width(), place.height()))
    generator.setTitle(title)
    _draw(scene, place, generator, QRectF(0, 0, place.width(), place.height()), ground)
    write_whole(path, bytes(content.data()))


def _draw(
    scene: QGraphicsScene,
    place: QRectF,
    device: QPaintDevice,
    into: QRectF,
    ground: QColor | None = None,
) -> None:
    painter = QPainter(device)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    if ground is not None:
        painter.fillRect(into, ground)
    scene.render(painter, into, place, Qt.AspectRatioMode.KeepAspectRatio)
    painter.end()


def ask_where(
    parent: QWidget,
    document: Document,
    title: str,
    name: str,
    kinds: str,
    write: Callable[[Path], Sequence[Path] | None],
) -> QFileDialog:
    """Ask for a file name beside the vehicle's file, then write; a problem goes to the document,
    and so does what was written: the name asked for, or the files that `write` tells of.

    `kinds` is Qt's filter, such as ``Tables (*.csv)``; its first ending is added where none is
    typed. The dialog is open, not modal to the caller: it is returned at once.
    """
    folder = document.path.parent if document.path is not None else Path.home()
    dialog = QFileDialog(parent, title, str(folder / name), kinds)
    dialog.setObjectName("exportDialog")
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix(Path(name).suffix.lstrip("."))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)

    def chosen(path: str) -> None:
        try:
            files = write(Path(path))
        except FusemapError as error:
            document.refused.emit(error)
            return
        document.told.emit(_written_words(files or (Path(path),)))

    dialog.fileSelected.connect(chosen)
    dialog.open()
    return dialog


def _written_words(files: Sequence[Path]) -> str:
    """Where it was written to."""
    if len(files) == 1:
        return tr("Saved to {path}").format(path=files[0])
    return tr("Saved as {n} files in {folder}").format(n=len(files), folder=files[0].parent)


def file_name(vehicle_name: str, what: str, suffix: str) -> str:
    """A file name from the vehicle's name and what is in it.

    >>> file_name("Van: the red one", "findings", ".csv")
    'Van the red one findings.csv'
    """
    kept = "".join(c for c in vehicle_name if c.isalnum() or c in " -_").strip()
    return f"{kept} {what}".strip() + suffix


# --- what a chart is saved as -------------------------------------------------------------------


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
    ask_where(
        parent,
        document,
        tr("Save"),
        file_name(document.vehicle.name, what, suffix),
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
            write_png(path, *drawn, ground)
        else:
            write_svg(path, *drawn, ground, title)
