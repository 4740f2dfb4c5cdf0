"""What a large screen has beside pane and lid: the standing in small, the other panel, the form.

In: the document and the lid's pages. Out: `page_wanted` for the page that is shown in small here.
The chart is reckoned a moment after the last change; until then it has dots, never an old curve.
"""

from datetime import date
from typing import Final

from PySide6.QtCore import QRectF, QSize, Signal
from PySide6.QtGui import QBrush, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from fusemap.assess.parked.ends import battery_said
from fusemap.errors import FusemapError
from fusemap.vehicle import Vehicle
from fusemap.window.chosen.links import LinkButton
from fusemap.window.details import Details
from fusemap.window.document import Document, Selection
from fusemap.window.panel.card_places import fitting_small
from fusemap.window.panel.panel_pages import PanelPages, rim_of
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.parked.chart_figures import Case, chart_figures
from fusemap.window.parked.parked_chart import ParkedChart
from fusemap.window.parts.cut_label import Cut
from fusemap.window.parts.later import CatchingUp, Later
from fusemap.window.style.letters import letters
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label, plain_tip

REST_MS: Final = 600
"""Nothing was changed for so long before the chart is reckoned [ms]."""
CHART: Final = (330, 520)
"""So high is the chart at least, and at most [px of the design]."""
OTHER_MOST: Final = 640
"""So high is the other panel at most [px of the design]."""
FORMS: Final = ("slot", "accessory", "tap", "feed", "battery")
"""What has a form of its own below the pane."""


class Headed(QWidget):
    """A part with its name above it, and words that lead to the whole of it."""

    whole_wanted = Signal()

    def __init__(self, key: str, title: str, whole: str) -> None:
        super().__init__()
        self.setObjectName(key)
        self.setAccessibleName(title)
        self.title = Cut(f"{key}_title")
        self.title.setText(title)
        self.title.setFont(letters(self, strong=True))
        self.whole = LinkButton(f"{key}_whole", whole)
        wide = self.whole.fontMetrics().horizontalAdvance(whole) + px(self, 14)
        self.whole.setFixedWidth(wide)
        self.whole.clicked.connect(self.whole_wanted)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.whole)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        self.column.setSpacing(px(self, 4))
        self.column.addLayout(head)


# --- how long it stands ---------------------------------------------------------------------------


class SmallStanding(CatchingUp):
    """The chart of the parked battery, as it is."""

    whole_wanted = Signal()

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._theme = theme
        self.head = Headed("smallStanding", self.tr("Standing"), self.tr("the whole page"))
        self.head.whole_wanted.connect(self.whole_wanted)
        self.chart = ParkedChart(theme)
        self.chart.setObjectName("smallChart")
        self.problem = plain_label("smallStandingProblem")
        self.problem.setProperty("muted", True)
        self.problem.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.head)
        self.head.column.addWidget(self.problem)
        self.head.column.addWidget(self.chart, 1)
        self.setMinimumHeight(px(self, CHART[0]))
        self.setMaximumHeight(px(self, CHART[1]))
        self._reckon = Later(self._draw, self)
        self._reckon.setInterval(REST_MS)

    def fill(self) -> None:
        """No curve of the vehicle before; that of this one a moment later."""
        self.chart.wait()
        self._reckon.start()

    def _draw(self) -> None:
        if not self.isVisible():
            self._stale = True
            return
        a, why = self.document.assessment, ""
        try:
            case = Case(a.parked, a.band, battery_said(a.vehicle))
            self.chart.show_figures(chart_figures(a, case, None, 0, date.today()))
        except FusemapError as error:
            why = self._theme.style.show(error.text)
        self.problem.setText(why)
        self.problem.setVisible(bool(why))
        self.chart.setVisible(not why)


# --- the other panel ------------------------------------------------------------------------------


class SmallLid(QWidget):
    """A lid round one panel; slots can be chosen and dropped onto as on the large one."""

    fitted = Signal(int)
    """So high its cards are in this width, with the rim [px]."""

    def __init__(self, panels: PanelPages, panel_id: str) -> None:
        super().__init__()
        self._theme = panels.theme
        self.view = PanelView(panels.document, panels.theme, panel_id, panels.placing)
        self.view.setObjectName(f"other_{panel_id}")
        self.view.card_zoom.in_small = True
        self.view.picture_dropped.connect(panels.picture_dropped)
        self.view.probe_wanted.connect(panels.probe_wanted)
        self.view.lie_on(QBrush(self._theme.colour("lid_top")))
        column = QVBoxLayout(self)
        edge = rim_of(self) * 2
        column.setContentsMargins(edge, edge, edge, edge)
        column.addWidget(self.view)
        self._fit = Later(self._tell_height, self)
        self.view.panel_model.modelReset.connect(self._fit.start)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """It needs to be no higher than its cards are in this width."""
        super().resizeEvent(event)
        # a lid that is made lower while it is laid out keeps its cards at the old height
        self._fit.start()

    def _tell_height(self) -> None:
        view, edges = self.view, 4 * rim_of(self)
        rows, columns = view.panel_model.rowCount(), view.panel_model.columnCount()
        if not rows:  # it is filled when it is first seen, and tells then
            return
        room = QSize(self.width() - edges, px(self, OTHER_MOST))
        fitted = fitting_small(view.font(), rows, columns, room)
        high = room.height() if fitted is None else fitted.cell.height() * rows
        self.fitted.emit(high + edges)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The rim of the lid and its ground."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        edge = rim_of(self)
        painter.setPen(QPen(self._theme.colour("lid_edge"), max(1.0, edge * 0.5)))
        painter.setBrush(self._theme.colour("lid_top"))
        inside = QRectF(self.rect()).adjusted(edge * 0.5, edge * 0.5, -edge * 0.5, -edge * 0.5)
        painter.drawRoundedRect(inside, edge * 2.5, edge * 2.5)
        painter.end()


class OtherPanel(QWidget):
    """The panel that comes after the one shown on the large lid; nothing where there is but one."""

    changed = Signal()
    """There is another panel here, or none any more."""

    def __init__(self, panels: PanelPages) -> None:
        super().__init__()
        self._panels = panels
        self._lids: dict[str, SmallLid] = {}
        self.panel_id = ""
        self.head = Headed("otherPanel", "", self.tr("show it large"))
        self.head.whole_wanted.connect(self._turn)
        self._stack = QStackedWidget()
        self.head.column.addWidget(self._stack, 1)
        self.head.column.addStretch(0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.head)
        # a press on a slot here turns the large lid: not before that press is over
        self._soon = Later(self.show_other, self)
        panels.moved.connect(self._soon.start)
        panels.document.changed.connect(self._vehicle_changed)
        panels.document.opened.connect(self._soon.start)
        self.show_other()

    def show_other(self) -> None:
        """Show whichever panel the large lid does not."""
        panels = self._panels.document.vehicle.panels
        page = self._panels.current_page()
        ids = [each.id for each in panels]
        for gone in self._lids.keys() - set(ids):
            self._stack.removeWidget(self._lids[gone])
            self._lids.pop(gone).deleteLater()
        large = ids.index(page.panel_id) if page is not None and page.panel_id in ids else 0
        other = panels[(large + 1) % len(panels)] if len(panels) > 1 else None
        before, self.panel_id = self.panel_id, "" if other is None else other.id
        if other is not None:
            self.head.title.setText(other.name)
            self.head.title.setToolTip(plain_tip(other.name))
            self.head.setAccessibleName(other.name)
            if other.id not in self._lids:
                self._lids[other.id] = SmallLid(self._panels, other.id)
                self._lids[other.id].fitted.connect(self._stack.setMaximumHeight)
                self._stack.addWidget(self._lids[other.id])
            self._stack.setCurrentWidget(self._lids[other.id])
        self.setVisible(other is not None)
        if bool(before) != bool(self.panel_id):
            self.changed.emit()

    @property
    def view(self) -> PanelView | None:
        """The panel that is shown here."""
        return self._lids[self.panel_id].view if self.panel_id else None

    def _turn(self) -> None:
        self._panels.document.select("panel", self.panel_id)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if [(p.id, p.name) for p in old.panels] != [(p.id, p.name) for p in new.panels]:
            self._soon.start()


# --- the form -------------------------------------------------------------------------------------


class FormBelow(QWidget):
    """All that can be entered about what is chosen."""

    whole_wanted = Signal()
    changed = Signal()
    """It is there now, or no longer."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._room = True
        self.setObjectName("formBelow")
        self.head = Headed("inFull", self.tr("In full"), self.tr("the whole page"))
        self.head.whole_wanted.connect(self.whole_wanted)
        self.details = Details(document, theme, with_chain=False)
        self.details.setObjectName("detailsBelow")
        self.head.column.addWidget(self.details, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(space(self, "small"), 0, 0, 0)
        column.addWidget(self.head)
        document.selected.connect(self._selected)
        self._selected(document.selection)

    def _selected(self, selection: Selection | None) -> None:
        there = self._room and selection is not None and selection.kind in FORMS
        if there == self.isHidden():
            self.setVisible(there)
            self.changed.emit()

    def offer(self, room: bool) -> None:
        """There is room for it, or not."""
        self._room = room
        self._selected(self._document.selection)


class WideSide(QWidget):
    """At the right of all: the standing in small, below it the other panel, else the form."""

    def __init__(self, document: Document, theme: Theme, panels: PanelPages) -> None:
        super().__init__()
        self.setObjectName("wideSide")
        self.standing = SmallStanding(document, theme)
        self.other = OtherPanel(panels)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(space(self), px(self, 8), space(self, "small"), 0)
        self.column.setSpacing(px(self, 24))
        self.column.addWidget(self.standing, 2)
        self.column.addWidget(self.other, 3)
        self.column.addStretch(0)
