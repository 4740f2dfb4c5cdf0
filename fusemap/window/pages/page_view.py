"""A page of paper on the screen: one page at a time, fitted to the room or enlarged.

In: pages that draw themselves (`fusemap.sheet.paint.Pages`). Out: a picture of the page looked at,
drawn anew for every size so that it stays sharp; PgUp and PgDn turn the pages.
"""

from typing import Final

from PySide6.QtCore import QPoint, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QScrollArea, QWidget

from fusemap.sheet.paint import Pages

ZOOMS: Final = (0.0, 0.75, 1.0, 1.5, 2.0, 3.0)
"""Steps of enlargement against the paper's true size; 0 fits the page into the room."""

MARGIN: Final = 12
MM_PER_INCH: Final = 25.4


class Page(QWidget):
    """The picture of one page."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("printPage")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._pages: Pages | None = None
        self._number = 0
        self._image: QImage | None = None

    def show_page(self, pages: Pages | None, number: int) -> None:
        """Show a page; nothing where there is none."""
        self._pages, self._number, self._image = pages, number, None
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The page, white, with a thin frame."""
        if self._pages is None:
            return
        painter = QPainter(self)
        painter.drawImage(QRectF(self.rect()), self._picture(self._pages))
        painter.setPen(QColor("#707070"))
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _picture(self, pages: Pages) -> QImage:
        """The page at the size it has now, made once."""
        wide = self.width() * self.devicePixelRatioF()
        if self._image is None or abs(self._image.width() - wide) > 1:
            self._image = pages.image(self._number, wide / pages.size_mm[0] * MM_PER_INCH)
        return self._image


class PageView(QScrollArea):
    """Shows the pages one by one. `turned(number)` tells which is looked at, from 0."""

    turned = Signal(int)

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("printPages")
        self.setAccessibleName(self.tr("Page"))
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setBackgroundRole(self.backgroundRole().Mid)
        self.setMinimumSize(240, 240)
        self.page = Page()
        self.setWidget(self.page)
        self.number = 0
        self.zoom = ZOOMS[0]
        self._pages: Pages | None = None

    @property
    def count(self) -> int:
        """How many pages there are."""
        return 0 if self._pages is None else len(self._pages)

    def set_pages(self, pages: Pages) -> None:
        """Show other pages; the number looked at stays where it can."""
        self._pages = pages
        self.turn_to(self.number)

    def turn_to(self, number: int) -> None:
        """Look at a page, or at the nearest one there is."""
        self.number = max(0, min(number, self.count - 1))
        self.page.show_page(self._pages, self.number)
        self._fit()
        self.verticalScrollBar().setValue(0)
        self.setAccessibleDescription(
            self.tr("Page {number} of {count}").format(number=self.number + 1, count=self.count)
        )
        self.turned.emit(self.number)

    def enlarge(self, step: int) -> None:
        """Show the page larger or smaller by a step."""
        at = ZOOMS.index(self.zoom) + step
        self.zoom = ZOOMS[max(0, min(at, len(ZOOMS) - 1))]
        self._fit()

    def _fit(self) -> None:
        if self._pages is None:
            return
        wide, high = self._pages.size_mm
        room = self.viewport().size() - QSize(MARGIN, MARGIN)
        if self.zoom:
            dots = self.logicalDpiX() * self.zoom / MM_PER_INCH
            size = QSize(round(wide * dots), round(high * dots))
        else:
            scale = max(0.1, min(room.width() / wide, room.height() / high))
            size = QSize(round(wide * scale), round(high * scale))
        self.page.resize(size)
        self.page.update()

    def viewportEvent(self, event) -> bool:  # type: ignore[no-untyped-def]
        """Fit the page anew when the room changes."""
        handled = super().viewportEvent(event)
        if event.type() == event.Type.Resize:
            self._fit()
        return handled

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Turn the pages, and enlarge."""
        key = event.key()
        turns = {Qt.Key.Key_PageDown: 1, Qt.Key.Key_PageUp: -1}
        zooms = {Qt.Key.Key_Plus: 1, Qt.Key.Key_Equal: 1, Qt.Key.Key_Minus: -1}
        if key in turns:
            self.turn_to(self.number + turns[Qt.Key(key)])
        elif key == Qt.Key.Key_Home:
            self.turn_to(0)
        elif key == Qt.Key.Key_End:
            self.turn_to(self.count - 1)
        elif key in zooms:
            self.enlarge(zooms[Qt.Key(key)])
        else:
            super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ctrl and the wheel enlarge; a wheel with nothing to scroll turns the pages."""
        step = event.angleDelta().y()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.enlarge(1 if step > 0 else -1)
        elif self.verticalScrollBar().maximum() == 0 and step:
            self.turn_to(self.number + (1 if step < 0 else -1))
        else:
            super().wheelEvent(event)
        event.accept()

    def middle(self) -> QPoint:
        """The middle of the view."""
        return self.viewport().rect().center()
