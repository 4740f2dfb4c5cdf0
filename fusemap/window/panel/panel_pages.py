"""The lid with the panels of the vehicle: their names in its head, one page each.

In: the document; out: pages that come and go with its panels. What is being placed is shared by all
pages, so that an accessory taken up on one can be dropped on another. `moved` tells that something
on the lid stands elsewhere.
"""

from collections.abc import Mapping
from typing import Any, Final

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QLinearGradient,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QApplication,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document, Selection, is_there, slot_of
from fusemap.window.forms.form import scrolled
from fusemap.window.panel.arrangement import ViewState
from fusemap.window.panel.panel_drop import Payload, Placing
from fusemap.window.panel.panel_page import PanelPage
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.photo.backdrop import Strength
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label, plain_tip

GROUND: Final = ("lid_top", "lid_bottom")
"""The ground of the lid, from its top to its bottom."""
_HEAD: Final = """
QTabWidget::pane {{ border: none; background: transparent; }}
QTabBar {{ background: transparent; }}
QTabBar::tab {{ background: transparent; border: none; border-bottom: 2px solid transparent;
    padding: 0.3em 0.5em; margin-right: 0.5em; color: {muted}; }}
QTabBar::tab:selected {{ color: {text}; border-bottom-color: {accent}; }}
QTabBar::tab:hover:!selected {{ color: {text}; }}
"""


def rim_of(widget: QWidget) -> int:
    """How broad the rim of a lid is [px]."""
    return max(3, round(widget.fontMetrics().height() * 0.36))


class PanelPages(QWidget):
    """One page per panel; `current_view()` is the panel on the page that is shown."""

    panel_wanted = Signal()
    """There is no panel yet, and one is to be made."""
    probe_wanted = Signal(str)
    """A slot to be read now."""
    picture_dropped = Signal(str, object)
    """This panel was given a picture: a file or an image."""
    moved = Signal()
    """Something on the lid stands elsewhere, or another page is shown."""
    resized = Signal()
    """It has another size, or its panel other rows: `modest_height` may be another."""
    next_strength_wanted = Signal()
    """Photos are to be seen more strongly, or not at all after the strongest."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._following = False
        self._strength: Strength = "off"
        self.setObjectName("panelPages")
        self.setAccessibleName(self.tr("Fuse panels"))
        # a click beside the cards leaves what was typed, and the keyboard with the panel
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.placing = Placing(document, theme.style, self)
        self.placing.given_up.connect(self._go_back)
        self._from: tuple[QWidget | None, Selection | None] = (None, None)
        self._tools = QStackedWidget()
        self._tools.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        self.tabs = self._make_tabs()
        self._stack = QStackedWidget()
        self._stack.addWidget(self._make_empty())
        self._stack.addWidget(self.tabs)
        column = QVBoxLayout(self)
        edge = rim_of(self)
        column.setContentsMargins(edge * 2, edge, edge * 2, edge)
        column.addWidget(self._stack)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        self._take_panels()
        self._selected(document.selection)

    def _make_tabs(self) -> QTabWidget:
        tabs = QTabWidget()
        tabs.setObjectName("panelTabs")
        tabs.setAccessibleName(self.tr("Fuse panels"))
        tabs.setDocumentMode(True)
        tabs.setUsesScrollButtons(True)
        tabs.setElideMode(Qt.TextElideMode.ElideNone)
        # A drag that rests on a tab turns to its page.
        tabs.tabBar().setChangeCurrentOnDrag(True)
        tabs.tabBar().setAcceptDrops(True)
        tabs.tabBar().setDrawBase(False)
        tabs.currentChanged.connect(self._page_shown)
        tabs.setStyleSheet(_HEAD.format(
            text=self._theme.text, muted=self._theme.muted_text, accent=self._theme.accent
        ))  # fmt: skip
        tabs.setCornerWidget(self._tools, Qt.Corner.TopRightCorner)
        return tabs

    def _make_empty(self) -> QWidget:
        words = self.tr(
            "There is no fuse panel yet.\n\nLook how many rows and columns its lid shows; the "
            "ratings are then typed as they are printed there. An accessory can be added before "
            "that: it is counted as long as it has no place."
        )
        empty = QWidget()
        empty.setObjectName("noPanel")
        button = QPushButton(self.tr("Count the rows and columns of the lid…"))
        button.setObjectName("noPanelAdd")
        button.setMinimumHeight(self.fontMetrics().height() * 2)
        button.clicked.connect(lambda: self.panel_wanted.emit())
        column = QVBoxLayout(empty)
        column.setContentsMargins(*(space(self, "wide"),) * 4)
        column.setSpacing(space(self, "large"))
        column.addWidget(plain_label("noPanelWords", words))
        column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return scrolled(empty)

    # --- the lid --------------------------------------------------------------------------------

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The keyboard is for the panel that is shown."""
        view = self.current_view()
        if view is not None:
            view.setFocus(event.reason())

    @property
    def document(self) -> Document:
        """The vehicle in hand."""
        return self._document

    @property
    def theme(self) -> Theme:
        """How it is shown."""
        return self._theme

    def paintEvent(self, event: QPaintEvent) -> None:
        """The lid: a rim round a ground that is a little darker below."""
        if self._stack.currentIndex() != 1:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        theme, edge = self._theme, rim_of(self)
        painter.setPen(QPen(theme.colour("lid_edge"), max(1.0, edge * 0.25)))
        painter.setBrush(theme.colour("lid_edge" if theme.dark else "lid_top"))
        half, round_ = edge * 0.25, edge * 3.0
        painter.drawRoundedRect(
            QRectF(self.rect()).adjusted(half, half, -half, -half), round_, round_
        )
        shade = QLinearGradient(0, 0, 0, self.height())
        shade.setColorAt(0.0, theme.colour(GROUND[0]))
        shade.setColorAt(1.0, theme.colour(GROUND[1]))
        painter.setBrush(shade)
        inner = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        painter.drawRoundedRect(inner, round_ - edge, round_ - edge)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The cards' ground follows the lid's."""
        super().resizeEvent(event)
        self._fit_head()
        self._lay_ground()
        self.moved.emit()
        self.resized.emit()

    def showEvent(self, event: QShowEvent) -> None:
        """Where everything stands is known now."""
        super().showEvent(event)
        self._fit_head()
        self._lay_ground()

    def _lay_ground(self) -> None:
        page = self.current_page()
        if page is not None:
            page.ground_on(self, *GROUND)

    # --- pages ----------------------------------------------------------------------------------

    def pages(self) -> list[PanelPage]:
        """The pages in the order of their tabs."""
        widgets = (self.tabs.widget(at) for at in range(self.tabs.count()))
        return [page for page in widgets if isinstance(page, PanelPage)]

    def current_view(self) -> PanelView | None:
        """The panel that is shown."""
        page = self.current_page()
        return None if page is None else page.view

    def current_page(self) -> PanelPage | None:
        """The page that is shown."""
        page = self.tabs.currentWidget()
        return page if isinstance(page, PanelPage) else None

    def modest_height(self) -> int:
        """How high this has to be for the first rows of the shown panel to be seen whole [px]."""
        view = self.current_view()
        if view is None:
            return 0
        return view.card_zoom.modest_height() + self.height() - view.maximumViewportSize().height()

    @property
    def home(self) -> QWidget | None:
        """Where the keyboard goes: to the panel that is shown."""
        return self.current_view()

    def _take_panels(self) -> None:
        """Make the pages those of the vehicle's panels, keeping what is there already."""
        panels = self._document.vehicle.panels
        here = {page.panel_id: page for page in self.pages()}
        self._following = True
        for page_id in here.keys() - {panel.id for panel in panels}:
            self.tabs.removeTab(self.tabs.indexOf(here[page_id]))
            self._tools.removeWidget(here[page_id].tools)
            here[page_id].tools.deleteLater()
            here.pop(page_id).deleteLater()
        for at, panel in enumerate(panels):
            page = here.get(panel.id)
            if page is None:
                page = PanelPage(self._document, self._theme, panel.id, self.placing)
                page.picture_dropped.connect(self.picture_dropped)
                page.next_strength_wanted.connect(self.next_strength_wanted)
                page.probe_wanted.connect(self.probe_wanted)
                page.show_photo(self._strength)
                page.view.moved.connect(self.moved)
                page.view.moved.connect(self._lay_ground)
                page.view.hinted.connect(self.moved)
                page.strip.moved.connect(self.moved)
                self._tools.addWidget(page.tools)
            if self.tabs.indexOf(page) != at:
                self.tabs.insertTab(at, page, "")
            self.tabs.setTabToolTip(at, plain_tip(panel.name))
        self._following = False
        self._fit_head()
        self._stack.setCurrentIndex(1 if panels else 0)

    def _fit_head(self) -> None:
        """Names and tools in the lid's head: what yields are names after a comma, then tools."""
        panels = {panel.id: panel.name for panel in self._document.vehicle.panels}
        bar, shown = self.tabs.tabBar(), self.tabs.currentIndex()
        for shortened, few in ((0, False), (1, False), (1, True), (2, True)):
            for at, page in enumerate(self.pages()):
                page.show_tools(few=few)
                name = panels.get(page.panel_id, "")
                if shortened == 2 or (shortened == 1 and at != shown):
                    name = name.partition(",")[0]
                # An ampersand in a name is no mnemonic.
                self.tabs.setTabText(at, name.replace("&", "&&") or self.tr("Panel"))
            needed = sum(bar.tabSizeHint(at).width() for at in range(bar.count()))
            page_ = self.current_page()
            if page_ is None or needed + page_.tools.sizeHint().width() <= self.tabs.width():
                break

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if [(p.id, p.name) for p in old.panels] != [(p.id, p.name) for p in new.panels]:
            self._take_panels()

    def _page_shown(self, at: int) -> None:
        """The user has turned to another page: select what its cursor is on."""
        page, view = self.current_page(), self.current_view()
        if page is not None:
            self._tools.setCurrentWidget(page.tools)
            self._fit_head()
            self._lay_ground()
        self.moved.emit()
        self.resized.emit()
        if self._following or view is None or self.placing.active:
            return
        slot_id = view.current_slot_id()
        if slot_id is not None:
            self._document.select("slot", slot_id)
        else:
            self._document.select("panel", view.panel_id)

    def _selected(self, selection: Selection | None) -> None:
        """Turn to the page on which the selected place is."""
        panel_id = self._panel_with(selection)
        for page in self.pages():
            if page.panel_id == panel_id and page is not self.tabs.currentWidget():
                focused = self._focus_within()
                self._following = True
                self.tabs.setCurrentWidget(page)
                self._following = False
                if focused:
                    page.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _focus_within(self) -> bool:
        focused = self.window().focusWidget()
        return focused is not None and self.isAncestorOf(focused)

    def _panel_with(self, selection: Selection | None) -> str | None:
        if selection is not None and selection.kind == "panel":
            return selection.id
        slot_id = slot_of(self._document.vehicle, selection)
        for panel in self._document.vehicle.panels:
            if any(slot.id == slot_id for slot in panel.slots):
                return panel.id
        return None

    # --- how it is shown ------------------------------------------------------------------------

    def view_state(self) -> dict[str, ViewState]:
        """How every panel is turned, mirrored and zoomed, by panel id."""
        return {page.panel_id: page.view.view_state() for page in self.pages()}

    def show_as(self, states: Mapping[str, ViewState]) -> None:
        """Show the panels as they were; one that is not named stays as it is."""
        for page in self.pages():
            if page.panel_id in states:
                page.show_as(states[page.panel_id])

    def show_photos(self, strength: Strength) -> None:
        """Let the photos of the panels be seen so strongly."""
        self._strength = strength
        for page in self.pages():
            page.show_photo(strength)

    # --- placing --------------------------------------------------------------------------------

    def start_placing(self, payload: Payload | Mapping[str, Any]) -> bool:
        """Take an accessory up by keyboard: every slot shows its offer, the best has the cursor."""
        if not isinstance(payload, Payload):
            payload = Payload.read(payload)
        view = self.current_view()
        came_from = (QApplication.focusWidget(), self._document.selection)
        if view is None or not self.placing.begin(payload):
            return False
        self._from = came_from
        best = self.placing.after("", 1)
        if best is not None:
            self._document.select("slot", best)
            view = self.current_view() or view
        view.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _go_back(self) -> None:
        """What was taken up is put back: keyboard and selection go where they were before."""
        (widget, selection), self._from = self._from, (None, None)
        if selection is None or is_there(self._document.vehicle, selection):
            kind, place_id = (None, "") if selection is None else (selection.kind, selection.id)
            self._document.select(kind, place_id)
        if widget is not None and isValid(widget) and widget.isVisible():
            widget.setFocus(Qt.FocusReason.OtherFocusReason)
