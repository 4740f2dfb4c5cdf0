"""Draws the README's pictures from the running window, so that they cannot go stale.

Run by hand: python tests/render_pictures.py [NAME …]. Needs no display. In: a demo vehicle. Out:
PNG files in resources/pictures, 1366 × 768, each with the 256 colours that it needs most.
"""

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["FUSEMAP_SETTINGS_DIR"] = tempfile.mkdtemp(prefix="fusemap-pictures-")

import numpy as np
import numpy.typing as npt
from PySide6.QtCore import QMimeData, QPoint, Qt
from PySide6.QtGui import QColor, QDragEnterEvent, QDragMoveEvent, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QListWidget, QWidget

from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.settings import Settings

FOLDER = Path(__file__).parents[1] / "resources" / "pictures"
SIZE = (1366, 768)
DEMO = "family_estate"
COLOURS = 256
Kept = list[QMimeData]
"""What is dragged must live until the picture is taken."""


def settle() -> None:
    """Let everything be reckoned that is reckoned in steps, and painted."""
    for _ in range(12):
        QApplication.processEvents()
        QTest.qWait(60)


# --- what is on the pictures ----------------------------------------------------------------------


def main_picture(window: MainWindow, kept: Kept) -> QWidget:
    """A tap the wrong way round: its way from the battery to the earth, over lid and pane."""
    reversed_tap = next(t for t in window.document.vehicle.taps if t.way_round == "load_side")
    window.document.select("tap", reversed_tap.id)
    return window


def german(window: MainWindow, kept: Kept) -> QWidget:
    """The same in another language, the demo vehicle too."""
    window.look.set_language("de")
    window.document.stack.setClean()
    window.files.open_demo(DEMO)
    settle()
    return main_picture(window, kept)


def drag(window: MainWindow, kept: Kept) -> QWidget:
    """The phone charger over a slot: each says whether it can take it, and what it would be."""
    assert window.work is not None
    view = window.work.panels.current_view()
    assert view is not None
    vehicle = window.document.vehicle
    charger = next(each for each in vehicle.accessories if each.name == "Phone charger")
    kept.append(mime_of(Payload(accessory=charger.id)))
    slot = next(each for each in look_up.slots(vehicle) if each.label == "F15")
    at = view.visualRect(view.panel_model.index_of(slot.id)).center()
    for event in (QDragEnterEvent, QDragMoveEvent):
        QApplication.sendEvent(view.viewport(), _drag_event(event, at, kept[-1]))
    return window


def _drag_event(
    kind: type[QDragEnterEvent] | type[QDragMoveEvent], at: QPoint, mime: QMimeData
) -> QDragEnterEvent | QDragMoveEvent:
    left, plain = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier
    return kind(at, Qt.DropAction.MoveAction, mime, left, plain)


def findings(window: MainWindow, kept: Kept) -> QWidget:
    """What was found, and the ways out of the worst."""
    window.show_whole("findings")
    return window


def standing(window: MainWindow, kept: Kept) -> QWidget:
    """How long it may stand; the cool box, the largest draw, ticked as off."""
    window.tasks.show("standing")
    settle()
    helps = window.findChild(QListWidget, "whatIfList")
    assert helps is not None
    helps.item(0).setCheckState(Qt.CheckState.Checked)
    return window


def probe(window: MainWindow, kept: Kept) -> QWidget:
    """Beside the vehicle."""
    window.tasks.show("probe")
    return window


def paper(window: MainWindow, kept: Kept) -> QWidget:
    """The circuit diagram."""
    window.tasks.show("paper")
    settle()
    part = window.findChild(QComboBox, "printPart")
    assert part is not None
    part.setCurrentIndex(part.findData("diagram"))
    return window


def check(window: MainWindow, kept: Kept) -> QWidget:
    """After fitting."""
    window.tasks.show("check")
    return window


def help_page(window: MainWindow, kept: Kept) -> QWidget:
    """The page about the live side, with this vehicle's own figures."""
    window.help.show_page("live_side")
    assert window.help.shown is not None
    return window.help.shown


PICTURES: dict[str, Callable[[MainWindow, Kept], QWidget]] = {
    "main": main_picture,
    "drag": drag,
    "findings": findings,
    "standing": standing,
    "probe": probe,
    "paper": paper,
    "check": check,
    "help": help_page,
    "german": german,
}


# --- small files ----------------------------------------------------------------------------------


def with_a_palette(picture: QImage) -> QImage:
    """The picture in the colours it needs most; the others are brought to the nearest of these.

    Half of the palette are its commonest colours, kept exactly; the rest is found by halving boxes
    of colours at their median, the box with the most pixels times its longest side first.
    """
    rgb = picture.convertToFormat(QImage.Format.Format_RGB888)
    width, height = rgb.width(), rgb.height()
    lines = np.frombuffer(rgb.constBits(), np.uint8).reshape(height, rgb.bytesPerLine())
    pixels = lines[:, : width * 3].reshape(-1, 3)
    colours, which, counts = np.unique(pixels, axis=0, return_inverse=True, return_counts=True)
    palette = _palette(colours.astype(np.float64), counts)
    apart = ((colours[:, None, :].astype(np.float64) - palette[None]) ** 2).sum(axis=2)
    indices = apart.argmin(axis=1).astype(np.uint8)[which.reshape(-1)].reshape(height, width)
    made = QImage(indices.tobytes(), width, height, width, QImage.Format.Format_Indexed8)
    made.setColorTable([QColor(*map(int, colour)).rgb() for colour in palette.round()])
    return made.copy()


def _palette(
    colours: npt.NDArray[np.float64], counts: npt.NDArray[np.intp]
) -> npt.NDArray[np.float64]:
    """At most `COLOURS` rows of red, green and blue, 0 to 255."""
    order = np.argsort(-counts)
    exact, rest = order[: COLOURS // 2], order[COLOURS // 2 :]
    boxes = [rest] if rest.size else []

    def weight(box: npt.NDArray[np.intp]) -> float:
        return float(np.ptp(colours[box], axis=0).max() * counts[box].sum())

    while boxes and len(boxes) < COLOURS - exact.size:
        boxes.sort(key=weight)
        box = boxes.pop()
        if box.size < 2:
            boxes.append(box)
            break
        box = box[np.argsort(colours[box, np.ptp(colours[box], axis=0).argmax()])]
        share = counts[box].cumsum()
        at = int(np.clip(np.searchsorted(share, share[-1] / 2), 1, box.size - 1))
        boxes += [box[:at], box[at:]]
    means = [np.average(colours[box], axis=0, weights=counts[box]) for box in boxes]
    return np.array([*colours[exact], *means])


def main() -> None:
    """Draw those that are named, or all of them."""
    app = QApplication([])
    for name in sys.argv[1:] or PICTURES:
        window = MainWindow(Document(), Settings())
        window.look.set_theme("light")
        window.resize(*SIZE)
        window.show()
        window.files.open_demo(DEMO)
        settle()
        kept: Kept = []
        shown = PICTURES[name](window, kept)
        settle()
        path = FOLDER / f"{name}.png"
        with_a_palette(shown.grab().toImage()).save(str(path), quality=0)
        window.look.set_language("en")
        window.document.stack.setClean()
        window.close()
        app.processEvents()
        print(path.name, f"{path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
