"""Help, built in: a list of pages, the page, and this vehicle's own figures at its end.

In: the document (its figures are shown anew after every edit) and the theme. A window beside the
main one, so that it can stay open while one works.
"""

from collections.abc import Callable
from functools import partial
from html import escape
from typing import Final

from PySide6.QtCore import QCoreApplication, QPoint, QRect, QRectF, QSize, Qt, QUrl
from PySide6.QtGui import QImage, QKeyEvent, QPainter, QShowEvent, QTextDocument
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QSplitter,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from fusemap import tables
from fusemap.probing.hunt import trials
from fusemap.text import Section, Style, Text, given, in_row
from fusemap.vehicle import Vehicle
from fusemap.vehicle.words import TOW, SocketKind
from fusemap.window.document import Document
from fusemap.window.help import help_pages
from fusemap.window.help.help_numbers import sentences
from fusemap.window.help.help_pages import html_table, to_html
from fusemap.window.pages.table_words import status_words
from fusemap.window.style.theme import Theme

translate = QCoreApplication.translate
KEY = int(Qt.ItemDataRole.UserRole)


class HelpWindow(QWidget):
    """All pages, one of them shown."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent, Qt.WindowType.Window)
        self.document = document
        self.setObjectName("helpWindow")
        self.setWindowTitle(self.tr("Help"))
        self.setAccessibleName(self.tr("Help"))
        self.key = ""
        self.text = HelpText(theme, self)
        self.list = self._make_list()
        self.text.anchorClicked.connect(self._follow)
        self.split = QSplitter(Qt.Orientation.Horizontal)
        self.split.setObjectName("helpSplit")
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.list)
        self.split.addWidget(self.text)
        em = self.fontMetrics().height()
        self.split.setSizes([em * 16, em * 40])
        self.split.setStretchFactor(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.split)
        self.resize(em * 58, em * 42)
        document.changed.connect(self._vehicle_changed)

    def show_page(self, key: str) -> None:
        """Show a page."""
        self.key = key
        for row in range(self.list.count()):
            if self.list.item(row).data(KEY) == key:
                self.list.setCurrentRow(row)
        self._render(0)

    def set_theme(self, theme: Theme) -> None:
        """Show the page in another theme or language."""
        self.text.theme = theme
        self._fill_list()
        if self.key:
            self.show_page(self.key)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self.key:
            self._render(self.text.verticalScrollBar().value())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape closes it, and one is back where one was."""
        if event.key() == Qt.Key.Key_Escape:
            self.close()
        else:
            super().keyPressEvent(event)

    def _make_list(self) -> QListWidget:
        self.list = QListWidget()
        self.list.setObjectName("helpList")
        self.list.setAccessibleName(self.tr("Pages of the help"))
        self.list.setWordWrap(True)
        self.list.currentItemChanged.connect(self._chosen)
        self._fill_list()
        return self.list

    def _fill_list(self) -> None:
        self.list.blockSignals(True)
        self.list.clear()
        for title, keys in sections():
            head = QListWidgetItem(title)
            font = head.font()
            font.setBold(True)
            head.setFont(font)
            head.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(head)
            for key in keys:
                item = QListWidgetItem(help_pages.page(key, self.text.theme.style.language).title)
                item.setData(KEY, key)
                self.list.addItem(item)
        self.list.blockSignals(False)

    def _chosen(self, item: QListWidgetItem | None, before: object = None) -> None:
        key = "" if item is None else item.data(KEY)
        if key and key != self.key:
            self.key = key
            self._render(0)

    def _follow(self, url: QUrl) -> None:
        if url.scheme() == "help":
            self.show_page(url.path())

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible() and self.key:
            self._render(self.text.verticalScrollBar().value())

    def _render(self, scroll: int) -> None:
        page = help_pages.page(self.key, self.text.theme.style.language)
        body = to_html(page.text, self._fill)
        self.text.setHtml(f"<h2>{escape(page.title)}</h2>{body}")
        self.text.setAccessibleName(page.title)
        self.text.verticalScrollBar().setValue(scroll)

    def _fill(self, kind: str, key: str) -> str:
        if kind == "drawing":
            words = self.text.theme.style.show(in_row(help_pages.drawing_words(key)))
            return f'<p><img src="drawing:{key}" alt="{escape(words)}"></p>'
        if kind == "numbers":
            items = "".join(
                f"<li>{escape(text)}</li>"
                for text in sentences(key, self.document, self.text.theme.style)
            )
            return f"<h3>{escape(self.tr('In this vehicle'))}</h3><ul>{items}</ul>"
        if kind == "see":
            title = help_pages.page(key, self.text.theme.style.language).title
            return f'<p>→ <a href="help:{key}">{escape(title)}</a></p>'
        return _TABLES[key](self.text.theme.style)


def beside(window: QRect, size: QSize, screen: QRect) -> QPoint:
    """Where on the screen something covers least of a window: beside it, or at the edge.

    >>> beside(QRect(0, 0, 800, 600), QSize(400, 500), QRect(0, 0, 1920, 1080)).x()
    800
    >>> beside(QRect(100, 0, 1200, 700), QSize(400, 500), QRect(0, 0, 1366, 768)).x()
    966
    """
    right, left = window.x() + window.width(), window.x() - size.width()
    last = screen.x() + screen.width() - size.width()
    x = left if right > last and left >= screen.x() else max(screen.x(), min(right, last))
    y = max(screen.y(), min(window.y(), screen.y() + screen.height() - size.height()))
    return QPoint(x, y)


class HelpText(QTextBrowser):
    """A page; draws the drawings it names as wide as there is room."""

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.theme = theme
        self.setObjectName("helpText")
        self.setOpenLinks(False)
        self.document().setDocumentMargin(self.fontMetrics().height())

    def loadResource(self, kind: int, name: QUrl | str) -> object:
        """A drawing as a picture in the theme's colours."""
        url = QUrl(name)
        if kind == QTextDocument.ResourceType.ImageResource.value and url.scheme() == "drawing":
            return self._picture(url.path())
        return super().loadResource(kind, name)

    def _picture(self, key: str) -> QImage:
        renderer = QSvgRenderer(help_pages.drawing(key, self.theme).encode())
        size = renderer.defaultSize()
        width = self.fontMetrics().height() * 34
        height = round(width * size.height() / size.width())
        ratio = self.devicePixelRatioF()
        image = QImage(QSize(width, height) * ratio, QImage.Format.Format_ARGB32_Premultiplied)
        image.setDevicePixelRatio(ratio)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        painter.setFont(self.font())
        renderer.render(painter, QRectF(0, 0, width, height))
        painter.end()
        return image


def sections() -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The parts of the help with their pages."""
    return (
        (translate("Help", "What to do"), help_pages.TASKS),
        (translate("Help", "How it works"), help_pages.TEACHING),
        (translate("Help", "To look up"), help_pages.REFERENCE),
    )


def _sayer(style: Style) -> Callable[[str], str]:
    """What gives a word of our tables in the reader's language."""
    return lambda word: style.show(Text(word))


def _words(style: Style) -> str:
    said = _sayer(style)
    terms = "".join(
        f"<p><b>{escape(said(term.term))}</b>: {escape(said(term.meaning))}"
        + (f" <i>({escape(', '.join(term.also_heard))})</i>" if term.also_heard else "")
        + "</p>"
        for term in tables.vocabulary()
    )
    return terms


def _terminals(style: Style) -> str:
    said = _sayer(style)
    head = (translate("Help", "Number"), translate("Help", "Meaning"), translate("Help", "Use"))
    rows = [(t.number, said(t.meaning), said(t.use)) for t in tables.terminals()]
    return html_table(head, rows)


def _joints(style: Style) -> str:
    said = _sayer(style)
    head = (
        translate("Help", "Joint"),
        translate("Help", "Grade"),
        translate("Help", "Where"),
        translate("Help", "Typical"),
        translate("Help", "Note"),
    )
    rows = [
        (
            said(joint.name),
            said(joint.grade),
            ", ".join(said(place.replace("_", " ")) for place in joint.places)
            or translate("Help", "nowhere"),
            "–" if joint.typical_mohm is None else style.show(given(joint.typical_mohm, "mΩ")),
            said(joint.note),
        )
        for joint in tables.joints().values()
    ]
    return html_table(head, rows)


def _socket_pins(kind: SocketKind, style: Style) -> str:
    """The contacts of one kind of tow socket, and where they are from."""
    said, pins = _sayer(style), tables.socket_pins(kind)
    head = (
        translate("Help", "Pin"),
        translate("Help", "Function"),
        translate("Help", "Core"),
        translate("Help", "Section"),
        translate("Help", "Back by"),
    )
    rows = [
        (
            str(pin.number),
            said(pin.function),
            said(pin.colour) if pin.colour else "–",
            "–" if pin.section_mm2 is None else style.show(Section(pin.section_mm2)),
            "–" if pin.returns_by is None else str(pin.returns_by),
        )
        for pin in pins.values()
    ]
    every = dict.fromkeys(style.show(pin.source.text) for pin in pins.values())
    # one that says more than another stands for both
    sources = [one for one in every if not any(o != one and o.startswith(one) for o in every)]
    told = f"{translate('Help', 'Source:')} {'; '.join(sources)}"
    return f"{html_table(head, rows)}<p>{escape(told)}</p>"


def _equations(style: Style) -> str:
    said = _sayer(style)
    return "".join(
        f"<p><b>{escape(said(name))}</b><br><code>{escape(equation)}</code><br>"
        f"{escape(translate('Help', 'Source:'))} {escape(source)}</p>"
        for name, equation, source in help_pages.equations()
    )


def _all_tables(style: Style) -> str:
    parts = []
    for info in tables.all_tables():
        counts = ", ".join(
            f"{count} × {style.show(status_words(word))}" for word, count in info.by_status.items()
        )
        sources = "".join(f"<li>{escape(source)}</li>" for source in info.sources)
        parts.append(
            f"<h3>{escape(style.show(info.title))}</h3><p>{escape(counts)}</p><ul>{sources}</ul>"
        )
    return "".join(parts)


def _hunt_found(style: Style) -> str:
    """What the hunt for a drain found in a thousand invented vehicles."""
    head = (
        translate("Help", "Drain"),
        translate("Help", "Planted"),
        translate("Help", "Surely found"),
        translate("Help", "Said to be possible there"),
    )
    rows = [
        (style.show(each.what), *(str(n) for n in (each.planted, each.found, each.open)))
        for each in trials.FOUND
    ]
    return html_table(head, rows)


def _hunt_healthy(style: Style) -> str:
    """What it said of those without a drain."""
    form = translate(
        "Help",
        "Of {n} vehicles without a drain none was said to have one; {told} were surely said to be "
        "healthy, in the others the meter could not tell.",
    )
    return f"<p>{escape(form.format(n=trials.HEALTHY, told=trials.TOLD_HEALTHY))}</p>"


def _hunt_taken(style: Style) -> str:
    """What it took, beside other ways."""
    head = (
        translate("Help", "Way"),
        translate("Help", "Readings"),
        translate("Help", "Fuses pulled"),
    )
    rows = [
        (style.show(each.what), style.number(each.readings), style.number(each.pulled))
        for each in trials.TAKEN
    ]
    return html_table(head, rows)


_TABLES: Final[dict[str, Callable[[Style], str]]] = {
    **{kind: partial(_socket_pins, kind) for kind in TOW},
    "hunt_found": _hunt_found,
    "hunt_healthy": _hunt_healthy,
    "hunt_taken": _hunt_taken,
    "words": _words,
    "terminals": _terminals,
    "joints": _joints,
    "equations": _equations,
    "tables": _all_tables,
}
