"""Draws the README's pictures from the running window, so that they cannot go stale.

Run by hand: python tests/render_pictures.py [FOLDER]. Needs no display. In: the first demo vehicle.
Out: PNG files in resources/pictures, or in FOLDER.
"""

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["FUSEMAP_SETTINGS_DIR"] = tempfile.mkdtemp(prefix="fusemap-pictures-")

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent
from PySide6.QtWidgets import QApplication

from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings

FOLDER = Path(__file__).parents[1] / "resources" / "pictures"
SIZE = (1440, 900)


def settle(app: QApplication) -> None:
    """Let everything that waits to be painted be painted."""
    from PySide6.QtTest import QTest

    for _ in range(6):
        app.processEvents()
        QTest.qWait(60)


def overload(window: MainWindow) -> None:
    """A reversed tap: its chain beside the panel, the findings below."""
    window.document.select("tap", "tap-3")
    assert window.work is not None
    window.work.focus_pane("findings")


def parked(window: MainWindow) -> None:
    """How long it may stand."""
    window.document.select("battery", "battery")
    assert window.work is not None
    window.work.focus_pane("parked")


def dragging(window: MainWindow) -> None:
    """The phone charger over the panel: every slot says whether it can take it."""
    view = window.findChild(PanelView)
    assert view is not None
    assert window.work is not None
    window.work.focus_pane("shelf")
    shelf = window.document.vehicle.accessories
    charger = next(a for a in shelf if a.name == "Phone charger")
    mime = mime_of(Payload(accessory=charger.id))
    move, left = Qt.DropAction.MoveAction, Qt.MouseButton.LeftButton
    plain = Qt.KeyboardModifier.NoModifier
    at = QPoint(view.width() // 3, view.height() // 3)
    QApplication.sendEvent(view.viewport(), QDragEnterEvent(at, move, mime, left, plain))
    QApplication.sendEvent(view.viewport(), QDragMoveEvent(at, move, mime, left, plain))
    window.kept_for_the_picture = mime  # type: ignore[attr-defined]


def help_page(window: MainWindow) -> None:
    """The page about the live side, with this vehicle's own figures."""
    window.help.show_page("live_side")


def german(window: MainWindow) -> None:
    """The window in another language."""
    window.look.set_language("de")
    overload(window)


PICTURES: dict[str, Callable[[MainWindow], None]] = {
    "main": overload,
    "parked": parked,
    "dragging": dragging,
    "help": help_page,
    "german": german,
}


def main() -> None:
    """Draw them all."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER
    folder.mkdir(parents=True, exist_ok=True)
    app = QApplication([])
    for name, set_up in PICTURES.items():
        window = MainWindow(Document(), Settings())
        window.resize(*SIZE)
        window.show()
        window.files.open_demo("family_estate")
        settle(app)
        set_up(window)
        settle(app)
        shown = window.help.shown if name == "help" else window
        assert shown is not None
        shown.grab().save(str(folder / f"{name}.png"))
        window.look.set_language("en")
        window.document.stack.setClean()
        window.close()
        print(folder / f"{name}.png")


if __name__ == "__main__":
    main()
