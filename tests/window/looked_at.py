"""One page of the window measured by program: what a look at it would find wrong.

In: the widget that shows a page. Out: faults in words, the same on every page where they are the
same: words without their room, words cut by what is round them, parts that lie over one another,
targets too small, letters too faint, scroll bars sideways, controls without a name, stops of the
keyboard that are not seen.

Letters that widgets draw themselves are noted while they are drawn: their place, their size and
their colour, and what lies below them is looked up in the picture.
"""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from inspect import isfunction
from itertools import combinations
from typing import Any, Final

import numpy as np
from PySide6.QtCore import QAbstractListModel, QPoint, QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QAccessible, QFontInfo, QFontMetrics, QFontMetricsF, QImage, QPainter
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractScrollArea,
    QAbstractSpinBox,
    QApplication,
    QCheckBox,
    QComboBox,
    QGroupBox,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionComboBox,
    QTabBar,
    QTableView,
    QToolButton,
    QWidget,
)
from shiboken6 import isValid

from fusemap.window.parts.choice import Choice
from fusemap.window.parts.cut_label import Cut
from fusemap.window.style.colours import contrast
from fusemap.window.style.measures import TARGET
from tests.window.seeing import WAYS_OF_SEEING, linear

PRESSED = (QAbstractButton, QComboBox, QLineEdit, QAbstractSpinBox)
"""What is pressed or typed into."""
AIR: Final = 3
"""Borders may touch by so much [px]."""
TEXT_CONTRAST: Final = 4.5
"""WCAG 2.1, 1.4.3."""
MARK_CONTRAST: Final = 3.0
"""WCAG 2.1, 1.4.11."""
SMALLEST: Final = 8
"""Letters of the offscreen font may be no smaller [px]."""
GOES: Final = ("waysOn", "shelfOver")
"""What lies over a page for as long as the keyboard is there."""
LARGE: Final = (24, 18.66)
"""Letters from so high, plain and bold, are large and need 3:1 [px] (WCAG 2.1: 18 and 14 pt)."""


@dataclass(frozen=True)
class Written:
    """A text as it was drawn by a widget: words, place on the page, height, ink, its own room."""

    text: str
    place: QRectF
    pixels: int
    bold: bool
    ink: str
    wide: float
    room: float
    widget: QWidget | None
    """What draws it."""


@contextmanager
def watched(found: list[Written]) -> Iterator[None]:
    """Note every text that is drawn by `QPainter.drawText` meanwhile."""
    usual = QPainter.drawText

    def draw(self: QPainter, *args: Any) -> Any:
        try:
            found.extend(_written(self, args))
        except Exception as problem:
            found.append(Written(f"!! {problem}", QRectF(), 0, False, "#000000", 0, 0, None))
        return usual(self, *args)

    QPainter.drawText = draw  # type: ignore[method-assign]
    try:
        yield
    finally:
        QPainter.drawText = usual  # type: ignore[method-assign]


def _written(painter: QPainter, args: tuple[Any, ...]) -> Iterator[Written]:
    text = next((each for each in args if isinstance(each, str)), "")
    if not text.strip() or painter.opacity() < 0.99 or not isinstance(painter.device(), QWidget):
        return
    metrics, font = QFontMetricsF(painter.font()), QFontInfo(painter.font())
    first = args[0]
    room = -1.0
    if isinstance(first, QRect | QRectF):
        rect = QRectF(first)
        flags = next((each for each in args[1:] if not isinstance(each, str | QRectF)), 0)
        number = (
            int(getattr(flags, "value", flags))
            if not hasattr(flags, "flags")
            else int(
                flags.flags().value  # type: ignore[union-attr]
            )
            | int(flags.alignment().value)
        )  # type: ignore[union-attr]
        wraps = bool(number & int(Qt.TextFlag.TextWordWrap.value))
        if hasattr(flags, "wrapMode"):
            wraps = flags.wrapMode().value not in (0,)
        ink = metrics.boundingRect(rect, number, text)
        wide = 0.0 if wraps else ink.width()
        room = rect.width()
    else:
        at = QPointF(first) if isinstance(first, QPoint | QPointF) else QPointF(args[0], args[1])
        wide = metrics.horizontalAdvance(text)
        ink = QRectF(at.x(), at.y() - metrics.ascent(), wide, metrics.height())
    made = painter.deviceTransform()
    colour = painter.pen().color()
    if colour.alpha() < 250:
        return
    scale = abs(made.m11()) + abs(made.m12())
    yield Written(
        text, made.mapRect(ink), round(font.pixelSize() * scale), font.bold(), colour.name(),
        wide * scale, room * scale, painter.device(),
    )  # fmt: skip


@dataclass(frozen=True)
class Looked:
    """A page as a picture, with the letters its widgets drew."""

    page: QWidget
    image: QImage
    written: tuple[Written, ...]

    @cached_property
    def array(self) -> np.ndarray:
        """The picture as red, green, blue, 0…255 [(high, wide, 3)]."""
        made = self.image.convertToFormat(QImage.Format.Format_RGB888)
        high, wide = made.height(), made.width()
        rows = np.frombuffer(made.constBits(), np.uint8).reshape(high, made.bytesPerLine())
        return rows[:, : wide * 3].reshape(high, wide, 3).copy()


def look(page: QWidget) -> Looked:
    """Draw a page and note what is written on it."""
    found: list[Written] = []
    _SEEN.clear()
    with watched(found):
        image = page.grab().toImage()
    return Looked(page, image, tuple(found))


def forget() -> None:
    """Hold no widget of a page beyond the look at it: its box may be gone by then."""
    _SEEN.clear()


_SEEN: dict[QWidget, list[QWidget]] = {}
"""What was visible of a page at the last look."""


def seen(page: QWidget) -> list[QWidget]:
    """All that is visible of a page, since the last look at it."""
    if page not in _SEEN:
        around = page.window()
        _SEEN[page] = [
            each
            for each in page.findChildren(QWidget)
            if each.isVisible() and each.window() is around
        ]
    return _SEEN[page]


def within(around: QWidget) -> list[QWidget]:
    """The widgets that lie in this one, no deeper."""
    return [each for each in around.children() if isinstance(each, QWidget)]


# --- places ---------------------------------------------------------------------------------------


def too_small(page: QWidget) -> Iterator[str]:
    """What is pressed and less than 28 px high or wide; parts of a field are the field."""
    if isinstance(page, QMenu):
        rows = [page.actionGeometry(each) for each in page.actions() if not each.isSeparator()]
        if rows and min(row.height() for row in rows) < TARGET:
            yield f"rows of {named(page)} {min(row.height() for row in rows)} px"
    for each in seen(page):
        if not isinstance(each, PRESSED) or isinstance(each.parentWidget(), PRESSED):
            continue
        if each.objectName().startswith("qt_") or each.visibleRegion().isEmpty():
            continue
        if min(each.width(), each.height()) < TARGET:
            yield f"{named(each)} {each.width()} × {each.height()}"


def overlapping(page: QWidget) -> Iterator[str]:
    """Parts of one layout that lie over one another."""
    for around in (page, *seen(page)):
        if around.layout() is None:
            continue
        inside = [each for each in within(around) if around.layout().indexOf(each) >= 0]
        inside += [each for each in within(around) if isinstance(each, (QLabel, *PRESSED))]
        there = [each for each in dict.fromkeys(inside) if each.isVisible() and not each.isWindow()]
        for one, other in combinations(there, 2):
            common = one.geometry() & other.geometry()
            if min(common.width(), common.height()) > AIR:
                yield f"{named(one)} and {named(other)} in {named(around)}"


def cut_off(page: QWidget) -> Iterator[str]:
    """Words and controls that stick out of what is round them, where nothing scrolls to them."""
    for each in seen(page):
        if not isinstance(each, (QLabel, *PRESSED)) or isinstance(each.parentWidget(), PRESSED):
            continue
        if each.objectName().startswith("qt_"):
            continue
        around = each.parentWidget()
        while around is not None and not around.isWindow():
            place = QRect(each.mapTo(around, QPoint(0, 0)), each.size())
            area = around.parentWidget()
            if isinstance(area, QAbstractScrollArea) and area.viewport() is around:
                break
            if not around.rect().adjusted(-AIR, -AIR, AIR, AIR).contains(place):
                yield f"{named(each)} out of {named(around)}"
                break
            around = around.parentWidget()


def scrolled_sideways(page: QWidget) -> Iterator[str]:
    """What has to be scrolled sideways, and what scrolls within what scrolls."""
    areas = [each for each in seen(page) if isinstance(each, QAbstractScrollArea)]
    for each in areas:
        bar = each.horizontalScrollBar()
        off = Qt.ScrollBarPolicy.ScrollBarAlwaysOff
        if bar.maximum() > 0 and each.horizontalScrollBarPolicy() != off:
            yield f"{named(each)} sideways"
        if each.verticalScrollBar().maximum() > 0 and each.viewport().height() < 2 * TARGET:
            yield f"{named(each)} scrolls in {each.viewport().height()} px"


# --- words in widgets -----------------------------------------------------------------------------


def clipped(page: QWidget) -> Iterator[str]:
    """What is shown with less room than its words need.

    A `Choice` or a `Cut` may end in dots: pointed at, it says its words whole.
    """
    for part in page.findChildren(QWidget):
        if not part.isVisible() or part.window() is not page.window():
            continue
        words = _clipped_part(part)
        if words and not isinstance(part, Choice | Cut):
            yield f"{type(part).__name__} {part.objectName()} “{words}”"


def _clipped_part(part: QWidget) -> str:
    if isinstance(part, QLabel):
        return _clipped_label(part)
    if isinstance(part, QPushButton | QToolButton | QCheckBox | QRadioButton):
        return _clipped_button(part)
    if isinstance(part, QComboBox):
        return _clipped_choice(part)
    if isinstance(part, QGroupBox):
        needed = part.fontMetrics().horizontalAdvance(part.title())
        return part.title() if needed > part.width() else ""
    if isinstance(part, QTabBar):
        needed = sum(part.tabSizeHint(n).width() for n in range(part.count()))
        return part.tabText(part.count() - 1) if needed > part.width() else ""
    if isinstance(part, QScrollArea):
        return "wider than its place" if part.horizontalScrollBar().maximum() > 0 else ""
    return ""


def _clipped_button(part: QAbstractButton) -> str:
    icon_only = Qt.ToolButtonStyle.ToolButtonIconOnly
    drawn = not part.icon().isNull()
    if drawn and isinstance(part, QToolButton) and part.toolButtonStyle() == icon_only:
        return ""
    least, given = part.minimumSizeHint(), part.size()
    # Qt's hint for a tool button is 3 px more than the box that the style sheet asks for
    high = min(least.height(), part.minimumHeight() or least.height())
    short = given.width() < least.width() or given.height() < high
    return part.text() if part.text() and short else ""


def _clipped_label(part: QLabel) -> str:
    words = part.text()
    if not words or not part.pixmap().isNull():
        return ""
    if part.wordWrap():
        return words if part.height() + 2 < part.heightForWidth(part.width()) else ""
    lines = words.replace("&", "").split("\n")
    needed = max(part.fontMetrics().horizontalAdvance(line) for line in lines)
    return words if "<" not in words and part.width() + 1 < needed else ""


def _clipped_choice(part: QComboBox) -> str:
    option = QStyleOptionComboBox()
    part.initStyleOption(option)
    room = part.style().subControlRect(
        QStyle.ComplexControl.CC_ComboBox,
        option,
        QStyle.SubControl.SC_ComboBoxEditField,
        part,
    )
    needed = QFontMetrics(part.font()).horizontalAdvance(part.currentText())
    return part.currentText() if needed > room.width() + 1 else ""


def at_the_edge(page: QWidget) -> Iterator[str]:
    """Boxes to step a number in whose figure begins at their very edge."""
    for box in seen(page):
        if isinstance(box, QAbstractSpinBox):
            line = box.lineEdit()
            left = line.mapTo(box, QPoint(line.textMargins().left(), 0)).x()
            if left < box.fontMetrics().height() // 4:
                yield f"{named(box)}: {left} px"


def like_plain_words(page: QWidget) -> Iterator[str]:
    """What can be pressed and looks like words: no border, no sign, no colour of its own."""
    for button in seen(page):
        words = isinstance(button, QToolButton) and any(map(str.isalpha, button.text()))
        if not words or button.isCheckable():
            continue
        bare = button.icon().isNull() and button.arrowType() == Qt.ArrowType.NoArrow
        if bare and not button.property("kind") and button.menu() is None:
            yield named(button)


def cells_cut(page: QWidget) -> Iterator[str]:
    """Cells of tables and lists that end in dots, and nothing says them whole when pointed at."""
    for view in seen(page):
        if not isinstance(view, QAbstractItemView) or view.model() is None:
            continue
        if isinstance(view, QTableView):
            yield from _names_of_rows(view)
        if type(view.itemDelegate()) is not QStyledItemDelegate:
            continue
        yield from _cells_of(view)


def _names_of_rows(view: QTableView) -> Iterator[str]:
    """Names of rows that are higher than their rows."""
    names = view.verticalHeader()
    for row in range(names.count()) if names.isVisible() else ():
        needed = names.sectionSizeFromContents(row).height()
        if names.sectionSize(row) < needed and not names.isSectionHidden(row):
            yield f"row {row} of {named(view)} {names.sectionSize(row)} of {needed} px"


def _cells_of(view: QAbstractItemView) -> Iterator[str]:
    room = view.viewport().rect()
    metrics, model = view.fontMetrics(), view.model()
    listed = isinstance(model, QAbstractListModel)  # its count of columns is its own
    columns = 1 if listed else model.columnCount(view.rootIndex())
    for row in range(view.model().rowCount(view.rootIndex())):
        for column in range(columns):
            index = view.model().index(row, column, view.rootIndex())
            place = view.visualRect(index)
            if not room.intersects(place) or view.indexWidget(index) is not None:
                continue
            words = str(index.data() or "")
            needed = max(map(metrics.horizontalAdvance, words.split("\n")), default=0)
            cut = needed > place.width() and not view.property("wordWrap")
            if cut and not index.data(Qt.ItemDataRole.ToolTipRole):
                yield f"“{words[:60]}”, {named(view)}"


# --- letters --------------------------------------------------------------------------------------


def squeezed(looked: Looked) -> Iterator[str]:
    """Drawn words that are wider than the room they are drawn into."""
    for each in looked.written:
        if each.room >= 0 and each.wide > each.room + 2.5:  # letters lean out by as much
            yield f"“{each.text}” {each.wide:.0f} in {each.room:.0f} px, {at(looked, each)}"


def off_the_page(looked: Looked) -> Iterator[str]:
    """Drawn words of which a part lies beyond the widget that draws them."""
    for each in looked.written:
        widget = under(looked, each)
        if widget is None or not each.text.strip():
            continue
        corner = widget.mapTo(looked.page, QPoint(0, 0)) if widget is not looked.page else QPoint()
        place = QRectF(QPointF(corner), widget.size()).adjusted(-AIR, -AIR, AIR, AIR)
        holds = place.left() <= each.place.left() and each.place.right() <= place.right()
        area = widget.parentWidget()
        if not holds and not isinstance(area, QAbstractScrollArea):
            yield f"“{each.text}” beyond {named(widget)}"


def written_over(looked: Looked) -> Iterator[str]:
    """Drawn words that lie over other drawn words."""
    lines = [each for each in looked.written if under(looked, each) is not None]
    lines.sort(key=lambda each: each.place.top())
    for number, one in enumerate(lines):
        for other in lines[number + 1 :]:
            if other.place.top() >= one.place.bottom():
                break
            common = one.place & other.place
            if common.width() <= AIR or one.text == other.text:
                continue
            if common.height() > 0.45 * min(one.pixels, other.pixels):
                yield f"“{one.text}” over “{other.text}”, {at(looked, one)}"


def tiny(looked: Looked) -> Iterator[str]:
    """Drawn letters too small to be read."""
    for each in looked.written:
        if each.pixels < SMALLEST and len(each.text) > 1 and under(looked, each) is not None:
            yield f"“{each.text}” {each.pixels} px, {at(looked, each)}"


def shortened(looked: Looked) -> Iterator[str]:
    """Drawn words that end in dots, and nothing says them whole when pointed at."""
    for each in looked.written:
        widget = under(looked, each)
        if widget is None or not each.text.rstrip().endswith("…") or len(each.text) < 3:
            continue
        if not told(looked, widget, each):
            yield f"“{each.text}”, {at(looked, each)}"


def told(looked: Looked, widget: QWidget, each: Written) -> bool:
    """Whether a tip says the whole of it."""
    around: QWidget | None = widget
    while around is not None:
        if around.toolTip() or isinstance(around, QMenu | Cut):
            return True
        if isinstance(around, QAbstractItemView):
            at_ = around.viewport().mapFrom(looked.page, each.place.center().toPoint())
            index = around.indexAt(at_)
            return bool(index.data(Qt.ItemDataRole.ToolTipRole)) or hasattr(around, "tip_at")
        around = around.parentWidget()
    return False


def pairs(looked: Looked) -> Iterator[tuple[str, str, bool, str]]:
    """Ink, ground, whether large, and what is written so: drawn words, labels and buttons."""
    array = looked.array
    for each in looked.written:
        widget = under(looked, each)
        if widget is None or not widget.isEnabled():
            continue
        seen_of = widget.visibleRegion().boundingRect()
        seen_of.translate(widget.mapTo(looked.page, QPoint(0, 0)))
        if (each.place & QRectF(seen_of)).height() < each.place.height() * 0.9:
            continue  # half of it is scrolled away
        ground = ground_of(array, each.place, each.ink)
        if ground:
            large = each.pixels >= (LARGE[1] if each.bold else LARGE[0])
            yield each.ink, ground, large, f"“{each.text}”, {named(widget)}"
    for part in seen(looked.page):
        words = part.text() if isinstance(part, QLabel | QAbstractButton | QLineEdit) else (
            part.currentText() if isinstance(part, QComboBox) else ""
        )  # fmt: skip
        if not words.strip() or "<" in words or not part.isEnabled():
            continue
        shown = part.visibleRegion().boundingRect()
        if shown.height() < part.height() * 0.9 or _draws(part):
            continue
        shown = shown.translated(part.mapTo(looked.page, QPoint(0, 0)))
        found = ink_and_ground(array, shown, part.fontMetrics().height())
        if found is not None:
            info = QFontInfo(part.font())
            large = info.pixelSize() >= (LARGE[1] if info.bold() else LARGE[0])
            yield *found, large, f"“{words[:40]}”, {named(part)}"


def _draws(part: QWidget) -> bool:
    """Whether a widget paints itself, and its words were noted as they were drawn."""
    return any(isfunction(vars(kind).get("paintEvent")) for kind in type(part).__mro__)


def ground_of(array: np.ndarray, place: QRectF, ink: str) -> str:
    """The commonest colour within a place but its ink; empty outside the picture."""
    rect = place.toAlignedRect() & QRect(0, 0, array.shape[1], array.shape[0])
    if rect.width() < 3 or rect.height() < 3:
        return ""
    part = array[rect.top() : rect.bottom(), rect.left() : rect.right()]
    return commonest(part, without=ink)


def commonest(part: np.ndarray, without: str = "") -> str:
    """The colour that most pixels have."""
    values, counts = np.unique(_codes(part), return_counts=True)
    if without and len(values) > 1:
        counts[values == int(without[1:], 16)] = 0
    return f"#{int(values[counts.argmax()]):06x}"


def _codes(part: np.ndarray) -> np.ndarray:
    """Each pixel's colour as one number; of a large part every other pixel [(n,)]."""
    flat = part.reshape(-1, 3).astype(np.uint32)
    if len(flat) > 40_000:
        flat = flat[::2]
    return np.asarray((flat[:, 0] << 16) | (flat[:, 1] << 8) | flat[:, 2])


def ink_and_ground(array: np.ndarray, rect: QRect, line: int) -> tuple[str, str] | None:
    """The commonest colour of a place, and the one in its middle that stands out most from it."""
    rect = rect & QRect(0, 0, array.shape[1], array.shape[0])
    inner = rect.adjusted(4, 4, -4, -4)
    if inner.width() < 6 or inner.height() < line * 0.5:
        return None
    part = array[inner.top() : inner.bottom(), inner.left() : inner.right()]
    ground = commonest(part)
    every = np.unique(_codes(part))
    flat = np.stack([every >> 16, (every >> 8) & 255, every & 255], axis=1)
    light = luminances(flat)
    below = luminances(np.array([[int(ground[n : n + 2], 16) for n in (1, 3, 5)]]))[0]
    high, low = np.maximum(light, below), np.minimum(light, below)
    best = flat[((high + 0.05) / (low + 0.05)).argmax()]
    return "#{:02x}{:02x}{:02x}".format(*map(int, best)), ground


def luminances(colours: np.ndarray) -> np.ndarray:
    """Relative luminances of rows of red, green, blue, 0…255 (WCAG 2.1)."""
    share = colours / 255.0
    flat = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return np.asarray(flat @ np.array([0.2126, 0.7152, 0.0722]))


def contrast_seen(one: str, other: str, seeing: str) -> float:
    """The contrast of two colours to somebody who sees so."""
    if seeing == "all colours":
        return contrast(one, other)
    weights = np.array([0.2126, 0.7152, 0.0722])
    light = [
        float(weights @ np.clip(WAYS_OF_SEEING[seeing] @ linear(each), 0, 1))
        for each in (one, other)
    ]
    return (max(light) + 0.05) / (min(light) + 0.05)


def faint(looked: Looked) -> Iterator[str]:
    """Words that do not stand out from their ground."""
    for ink, ground, large, words in pairs(looked):
        needed = MARK_CONTRAST if large else TEXT_CONTRAST
        found = contrast(ink, ground)
        if found < needed - 0.05:
            yield f"{found:.2f}:1 {ink} on {ground} {words}"


# --- names and stops ------------------------------------------------------------------------------


def nameless(page: QWidget) -> Iterator[str]:
    """Stops of the keyboard that a screen reader has no name for; a choice needs a label."""
    for each in stops(page):
        told_ = QAccessible.queryAccessibleInterface(each)
        if isinstance(each, QComboBox):
            if not told_.relations(QAccessible.RelationFlag.Label):
                yield f"{named(each)} says its value alone"
        elif not (told_ and told_.text(QAccessible.Text.Name).strip()):
            yield f"{named(each)} has no name"


def stops(page: QWidget) -> list[QWidget]:
    """Where the keyboard stops."""
    return [
        each
        for each in seen(page)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
        and each.isEnabled()
        and not each.visibleRegion().isEmpty()
        and not each.objectName().startswith("qt_")
        and not isinstance(each.parentWidget(), PRESSED)
    ]


def unmarked_stops(page: QWidget) -> Iterator[str]:
    """Stops of the keyboard that look the same with and without it.

    Those near to where it is come first: a question, or what opened, is put aside by whoever goes
    elsewhere.
    """
    _SEEN.clear()
    window, start = page.window(), QApplication.focusWidget()
    far = _far_from(start)
    order = sorted(stops(page), key=lambda each: (not _goes(each), far(each)))
    if order[:1] == [start]:
        order[:2] = order[1::-1]
    for each in order:
        if not (isValid(each) and each.isVisible()):
            yield "a stop went before it was looked at" + (
                f": {named(each)}" if isValid(each) else ""
            )
            continue
        if QApplication.focusWidget() is each:
            window.setFocus()
        _bring_into_sight(each)
        before = _picture_of(window, each)
        each.setFocus(Qt.FocusReason.TabFocusReason)
        if QApplication.focusWidget() is not each:
            continue
        after = _picture_of(window, each)
        if before.shape == after.shape and int((before != after).any(axis=2).sum()) < 12:
            yield f"{named(each)} does not show the keyboard"


def _goes(each: QWidget) -> bool:
    """Whether it is on something that is put aside by whoever goes elsewhere."""
    around: QWidget | None = each
    while around is not None and around.objectName() not in GOES:
        around = around.parentWidget()
    return around is not None


def _far_from(start: QWidget | None) -> Callable[[QWidget], int]:
    """How many steps up from a widget what holds another one, too."""
    above: list[QWidget] = []
    while start is not None:
        above.append(start)
        start = start.parentWidget()
    return lambda each: next(
        (n for n, around in enumerate(above) if around is each or around.isAncestorOf(each)),
        len(above),
    )


def _bring_into_sight(each: QWidget) -> None:
    """Scroll to it, as the step from one stop to the next does."""
    around = each.parentWidget()
    while around is not None:
        if isinstance(around, QScrollArea):
            around.ensureWidgetVisible(each)
        around = around.parentWidget()


def _picture_of(window: QWidget, each: QWidget) -> np.ndarray:
    rect = QRect(each.mapTo(window, QPoint(0, 0)), each.size()) & window.rect()
    return Looked(window, window.grab(rect).toImage(), ()).array


# --- words about them -----------------------------------------------------------------------------


def under(looked: Looked, each: Written) -> QWidget | None:
    """The widget that drew it; none where it lies outside the page, or below another widget."""
    widget, place = each.widget, each.place.toAlignedRect()
    middle = place.center()
    if widget is None or place.isEmpty() or not looked.page.rect().contains(middle):
        return None
    for spot in (middle, place.topLeft(), place.bottomRight()):
        above = looked.page.childAt(spot) or looked.page
        if not (above is widget or above.isAncestorOf(widget) or _clear(above, widget)):
            return None
    return widget


def _clear(above: QWidget, widget: QWidget) -> bool:
    """Whether what lies above is a part of the widget that lets it be seen."""
    return widget.isAncestorOf(above) and isinstance(above, QLabel)


def at(looked: Looked, each: Written) -> str:
    widget = under(looked, each)
    return named(widget) if widget is not None else "nowhere"


def named(widget: QWidget) -> str:
    """A widget by its class and name, or by that of what it stands in; numbers left out."""
    name, around = widget.objectName(), widget.parentWidget()
    if (not name or name.startswith("qt_")) and around is not None:
        name = f"in {type(around).__name__} {around.objectName()}"
    return f"{type(widget).__name__} {re.sub(r'[0-9]+', '#', name)}".strip()
