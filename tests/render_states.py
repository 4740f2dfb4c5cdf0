"""Draws every state of slots, offers, signs and buttons on one sheet, in light and in dark.

Run by hand: python tests/render_states.py [FOLDER]. Needs no display. In: a demo vehicle, and the
window's own delegate and widgets. Out: states_light.png and states_dark.png, to be looked at.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
os.environ["FUSEMAP_SETTINGS_DIR"] = tempfile.mkdtemp(prefix="fusemap-states-")
sys.path.insert(0, str(Path(__file__).parents[1]))

from PySide6.QtCore import QEvent, QPersistentModelIndex, QPoint, QRect, QRectF
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QStyle, QStyleOptionViewItem, QWidget

from fusemap.vehicle import look_up
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import Settings
from fusemap.window.style.bars import draw_dots
from fusemap.window.style.sheet import as_main
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import draw_feed_mark, draw_severity

State = QStyle.StateFlag
CELL = (196, 116)
WIDE = 4 * CELL[0] + 48
STATES: dict[str, State] = {
    "rest": State.State_Enabled,
    "hover": State.State_Enabled | State.State_MouseOver,
    "focus": State.State_Enabled | State.State_HasFocus,
    "chosen": State.State_Enabled | State.State_Selected,
}
SLOTS = {
    "does not hold": "F11", "live side left": "F30", "relay": "R1", "one state not read": "F19",
    "leave alone": "F4", "watched": "F21", "empty": "F20", "unnamed": "F26",
}  # fmt: skip


def settle(turns: int = 10) -> None:
    """Let all be reckoned that is reckoned in steps."""
    for _ in range(turns):
        QApplication.processEvents()
        QTest.qWait(60)


class Sheet:
    """A sheet that fills from the top."""

    def __init__(self, window: MainWindow) -> None:
        self.theme = window.look.theme
        self.picture = QPixmap(WIDE, 1560)
        self.picture.fill(self.theme.colour("window"))
        self.painter = QPainter(self.picture)
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.font = window.font()
        self.top = 20

    def say(self, words: str, left: int = 24, *, strong: bool = True) -> None:
        """A line of words."""
        font = self.font
        font.setBold(strong)
        self.painter.setFont(font)
        self.painter.setPen(self.theme.colour("text" if strong else "muted_text"))
        self.painter.drawText(left, self.top + 14, words)

    def head(self, words: str) -> None:
        """A heading."""
        self.top += 12
        self.say(words)
        self.top += 28


def paint_cell(
    sheet: Sheet, view: PanelView, label: str, at: QPoint, state: State, size: QRect | None = None
) -> None:
    """One slot as the delegate draws it in a state."""
    slot = next(each for each in look_up.slots(view.document.vehicle) if each.label == label)
    option = QStyleOptionViewItem()
    option.initFrom(view)
    option.widget = view  # type: ignore[attr-defined]
    option.rect = QRect(at, view.delegate.cell) if size is None else size  # type: ignore[attr-defined]
    option.state = state  # type: ignore[attr-defined]
    sheet.painter.fillRect(option.rect, sheet.theme.colour("lid_top"))  # type: ignore[attr-defined]
    view.delegate.paint(sheet.painter, option, view.panel_model.index_of(slot.id))


def cells(
    sheet: Sheet,
    view: PanelView,
    shown: Iterator[tuple[str, str, State]],
    do: Callable[[str], object],
) -> None:
    """Cells in rows of four, each with its words below."""
    high = view.delegate.cell.height()
    for number, (words, label, state) in enumerate(shown):
        column = number % 4
        if column == 0 and number:
            sheet.top += high + 24
        at = QPoint(24 + column * CELL[0], sheet.top)
        do(words)
        paint_cell(sheet, view, label, at, state)
        top, sheet.top = sheet.top, sheet.top + high
        sheet.say(words, at.x() + 4, strong=False)
        sheet.top = top
    sheet.top += high + 24


def buttons(sheet: Sheet, window: MainWindow) -> None:
    """Main and usual button: at rest, under the pointer, pressed, with the keyboard, disabled."""
    place = QWidget(window)
    place.setAutoFillBackground(True)
    place.setGeometry(0, 0, 800, 200)
    place.show()
    for main in (True, False):
        for column, state in enumerate(("rest", "hover", "pressed", "focus", "disabled")):
            button = QPushButton("Place it" if main else "Measure", place)
            if main:
                as_main(button)
            button.resize(130, button.sizeHint().height())
            button.show()
            button.setEnabled(state != "disabled")
            button.setDown(state == "pressed")
            button.move(column * 150, 0)
            QTest.mouseMove(place, QPoint(790, 190))
            if state == "hover":
                QTest.mouseMove(button)
            if state == "focus":
                window.activateWindow()
                button.setFocus()
            settle(2)
            sheet.painter.drawPixmap(24 + column * 150, sheet.top, window.grab(button.geometry()))
            if not main:
                sheet.top += 34
                sheet.say(state, 28 + column * 150, strong=False)
                sheet.top -= 34
            QApplication.sendEvent(button, QEvent(QEvent.Type.Leave))
            button.hide()
        sheet.top += 40
    sheet.top += 20
    place.hide()


def signs(sheet: Sheet) -> None:
    """Verdicts, the caution of the work, feeds, what is reckoned."""
    left = 24
    for verdict in ("holds", "may_not_hold", "fails", "unchecked"):
        draw_verdict(sheet.painter, QRectF(left, sheet.top, 20, 20), verdict, sheet.theme)  # type: ignore[arg-type]
        sheet.say(verdict, left + 28, strong=False)
        left += 150
    draw_severity(sheet.painter, QRectF(left, sheet.top, 20, 20), "caution", sheet.theme)
    sheet.say("of the work", left + 28, strong=False)
    sheet.top += 32
    left = 24
    for feed in ("permanent", "ignition", "accessory", "delayed_off", "lighting", "unknown"):
        draw_feed_mark(sheet.painter, QRectF(left, sheet.top, 30, 17), feed, sheet.theme)  # type: ignore[arg-type]
        sheet.say(feed, left + 36, strong=False)
        left += 124
    sheet.top += 28
    draw_dots(sheet.painter, QRectF(24, sheet.top, 30, 16), sheet.theme.colour("muted_text"))
    sheet.say("being reckoned", 64, strong=False)
    sheet.top += 24


def draw(name: str, path: Path) -> None:
    """The sheet in one theme."""
    window = MainWindow(Document(), Settings())
    window.look.set_theme(name)  # type: ignore[arg-type]
    window.resize(1366, 768)
    window.show()
    window.files.open_demo("family_estate")
    settle()
    assert window.work is not None
    view = window.work.panels.current_view()
    assert view is not None
    sheet = Sheet(window)
    sheet.head(f"Verdicts, feeds, reckoning ({name})")
    signs(sheet)
    sheet.head("Buttons")
    buttons(sheet, window)
    sheet.head("A slot")
    cells(sheet, view, ((w, "F12", s) for w, s in STATES.items()), lambda _: None)
    sheet.head("Slots")
    cells(sheet, view, ((w, s, State.State_Enabled) for w, s in SLOTS.items()), lambda _: None)
    charger = next(a for a in window.document.vehicle.accessories if a.name == "Phone charger")
    view.placing.begin(Payload(accessory=charger.id))
    settle(4)
    sheet.head("In a drag")
    wanted = {"can": "F10", "may not": "F9", "cannot say": "F26", "refused": "F1",
              "under the pointer": "F12", "no supply": "F20", "leave alone": "F4"}  # fmt: skip

    def aim(words: str) -> None:
        slots = {each.label: each.id for each in look_up.slots(window.document.vehicle)}
        index = view.panel_model.index_of(slots["F12"])
        view.delegate.target = QPersistentModelIndex()
        if words == "under the pointer":
            view.delegate.target = QPersistentModelIndex(index)

    cells(sheet, view, ((w, s, State.State_Enabled) for w, s in wanted.items()), aim)
    sheet.painter.end()
    sheet.picture.copy(0, 0, WIDE, sheet.top + 16).save(str(path))
    view.placing.end()
    window.document.stack.setClean()
    window.close()
    QApplication.processEvents()


def main() -> None:
    """Both sheets."""
    app = QApplication([])
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else tempfile.gettempdir())
    for name in ("light", "dark"):
        path = folder / f"states_{name}.png"
        draw(name, path)
        print(path)
    app.quit()


if __name__ == "__main__":
    main()
