"""The open vehicle: left the panel over accessories, findings and charts; right the details.

Puts the views together and knows where the keyboard is; the views themselves know only the
document.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, TypeVar, cast

from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QSplitter, QTabWidget, QVBoxLayout, QWidget

from fusemap.window.chosen.beside import Beside
from fusemap.window.details import Details
from fusemap.window.document import Document, Selection, is_there
from fusemap.window.forms.form import scrolled
from fusemap.window.panel.marks_banner import MarksBanner
from fusemap.window.panel.panel_drop import Stuck
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.panel.ways_on import WaysOn
from fusemap.window.parts.home import first_stop
from fusemap.window.parts.later import Later
from fusemap.window.settings import Settings
from fusemap.window.shelf.shelf import Shelf
from fusemap.window.style.theme import Theme, severity_icon, severity_shape, space

if TYPE_CHECKING:
    from fusemap.checks.finding import PlaceKind
    from fusemap.window.chain.band_view import BandView
    from fusemap.window.findings.findings_list import FindingsList
    from fusemap.window.parked.parked_view import ParkedView

View = TypeVar("View", bound=QWidget)

PANES: Final = ("panel", "details", "shelf", "findings", "parked", "band")
TABS: Final = PANES[2:]


class WorkArea(QWidget):
    """All views of one document."""

    def __init__(self, document: Document, theme: Theme, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._settings = settings
        self.setObjectName("workArea")
        self.panels = PanelPages(document, theme)
        self.panels.show_photos(settings.kept.photo_strength)
        self.details = Details(document, theme)
        self.beside = Beside(document, theme, self.details)
        self.beside.pane.watch(self.panels.placing)
        self.shelf = Shelf(document, theme)
        self._made: dict[str, QWidget] = {}
        self._pages = {name: QWidget() for name in TABS[1:]}
        self.tabs = self._make_tabs()
        # The checks run after the panel was painted, not before.
        self._soon = Later(self._name_findings, self)
        self._told: tuple[object, ...] = ()
        self._roomier = Later(self._give_room, self)
        self._lent = 0
        self._splitters = self._lay_out()
        self._splitters["left"].splitterMoved.connect(self._room_chosen)
        self._restore()
        self.ways = WaysOn(document, theme, self.panels.placing, self.beside, self)
        self.ways.measure_wanted.connect(self._measure_first)
        self.ways.left.connect(lambda: self.focus_pane("panel"))
        self._to_place: Stuck | None = None
        self.shelf.pick_up.connect(self.panels.start_placing)
        self.shelf.form_wanted.connect(self._show_form)
        self.details.placing_wanted.connect(self.panels.start_placing)
        self.beside.pane.place_wanted.connect(self.panels.start_placing)
        self.beside.pane.probe_wanted.connect(self.probe_wanted)
        self.beside.pane.told_wanted.connect(self.tell)
        self.beside.pane.answers_wanted.connect(lambda _slot: self.show_circuits())
        self.details.band_wanted.connect(self.show_band)
        self.panels.probe_wanted.connect(lambda slot: self.probe_wanted.emit("slot", slot, ""))
        self._copying = [key for part in (self.panels, self.shelf) for key in self._copy_keys(part)]
        document.changed.connect(self._soon.start)
        view = self.panels.current_view()
        if view is None:
            self._soon.start()
        else:
            self._soon.start_when_painted(view.viewport())

    copy_asked = Signal()
    paste_asked = Signal()
    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    sure_wanted = Signal()
    """What would make it sure is to be read now."""

    def _copy_keys(self, part: QWidget) -> tuple[QShortcut, QShortcut]:
        """Copy and paste while the keyboard is in this part; a field in it keeps its own."""
        keys = QKeySequence.StandardKey
        made = QShortcut(keys.Copy, part), QShortcut(keys.Paste, part)
        for shortcut, asked in zip(made, (self.copy_asked, self.paste_asked), strict=True):
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(asked)
        return made

    # --- measured first -------------------------------------------------------------------------

    def _measure_first(self, stuck: Stuck) -> None:
        """Have a slot read; what was to be placed on it is taken up again afterwards."""
        self._to_place = stuck
        self.probe_wanted.emit("slot", stuck.slot_id, "")

    def showEvent(self, event: QShowEvent) -> None:
        """Back from Probe: take up again what waited for its readings."""
        super().showEvent(event)
        stuck, self._to_place = self._to_place, None
        if stuck is not None and is_there(self._document.vehicle, Selection("slot", stuck.slot_id)):
            self._later_place(stuck)

    def _later_place(self, stuck: Stuck) -> None:
        def place() -> None:
            if self.panels.start_placing(stuck.payload):
                self._document.select("slot", stuck.slot_id)

        QTimer.singleShot(0, self, place)

    # --- where the keyboard is ------------------------------------------------------------------

    def focus_pane(self, pane: str) -> None:
        """Go to a part of the window."""
        if pane in TABS:
            self.tabs.setCurrentIndex(TABS.index(pane))
        view = self._made.get(pane, self._pane(pane))
        first_stop(view).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def cycle_pane(self, step: int) -> None:
        """Go to the next part of the window, or with −1 to the one before."""
        around = ("panel", "details", TABS[self.tabs.currentIndex()])
        here = self.focused_pane()
        at = around.index(here) if here in around else (-1 if step > 0 else 0)
        self.focus_pane(around[(at + step) % len(around)])

    def focused_pane(self) -> str:
        """Where the keyboard is; empty when it is elsewhere."""
        focused = QApplication.focusWidget()
        for pane in PANES:
            whole = self._pane(pane)
            if focused is not None and (whole is focused or whole.isAncestorOf(focused)):
                return pane
        return ""

    @property
    def findings(self) -> "FindingsList":
        """The list of findings; made when it is first needed."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.findings import findings_list

        def make() -> "FindingsList":
            made = findings_list.FindingsList(self._document, self._theme)
            made.probe_wanted.connect(self.probe_wanted)
            made.sure_wanted.connect(self.sure_wanted)
            made.told_wanted.connect(self.tell)
            return made

        return self._make("findings", make)

    @property
    def parked(self) -> "ParkedView":
        """The parked chart; made when it is first needed: what draws it takes long to load."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.parked import parked_view

        make = parked_view.ParkedView
        return self._make("parked", lambda: make(self._document, self._theme))

    @property
    def band(self) -> "BandView":
        """The chart of fuse and cable; made when it is first needed."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain import band_view

        make = band_view.BandView
        return self._make("band", lambda: make(self._document, self._theme))

    def show_band(self, tap_id: str) -> None:
        """Show the chart of this tap's fuse and cable."""
        self.focus_pane("band")
        self.band.show_tap(tap_id)

    def show_circuits(self) -> None:
        """Show the list of all circuits, to answer what they are."""
        self.details.show_page("circuits")
        self.focus_pane("details")

    def search_accessories(self) -> None:
        """Go to the search over the accessories and the library, with nothing typed yet."""
        self.shelf.search_for("")
        self.focus_pane("shelf")

    def tell(self, kind: "PlaceKind", place_id: str) -> None:
        """Go to the field where something is said of a feed or an accessory."""
        self._document.select(kind, place_id)
        if kind == "accessory":
            self.details.show_form()
        else:
            self.beside.show_more()
        key = {"feed": "feed_nothing_else", "accessory": "accessory_inrush_multiple"}[kind]
        field = self.details.page(kind).findChild(QWidget, key)
        if field is not None:
            field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _show_form(self) -> None:
        """The form of the selected accessory, whichever of its tabs was looked at."""
        first_stop(self.details.show_form()).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _make(self, name: str, make: Callable[[], View]) -> View:
        if name not in self._made:
            self._made[name] = make()
            layout = self._pages[name].layout()
            assert layout is not None
            area = scrolled(self._made[name])
            layout.addWidget(area)
            area.show()
        return cast(View, self._made[name])

    def go_finding(self, step: int) -> None:
        """Go to the next finding, or with −1 to the one before, and select its place."""
        at = TABS.index("findings")
        first = self.tabs.currentIndex() != at
        self.tabs.setCurrentIndex(at)
        rows = self.findings.list
        count = self.findings.model.rowCount()
        if count:
            at = rows.currentIndex().row() + (0 if first and step > 0 else step)
            rows.setCurrentIndex(self.findings.model.index(at % count, 0))
            self.findings.jump()

    def _pane(self, pane: str) -> QWidget:
        return {
            "panel": self.panels,
            "details": self.beside,
            "shelf": self.shelf,
            **self._pages,
        }[pane]

    # --- inside ---------------------------------------------------------------------------------

    def _make_tabs(self) -> QTabWidget:
        tabs = QTabWidget()
        tabs.setObjectName("lowerTabs")
        tabs.setDocumentMode(True)
        # At the foot of the window the strip stays where it is, however high the views above it.
        tabs.setTabPosition(QTabWidget.TabPosition.South)
        tabs.addTab(scrolled(self.shelf), self.tr("Accessories"))
        for name, title in (
            ("findings", self.tr("Findings ({n})").format(n="…")),
            ("parked", self.tr("Parked")),
            ("band", self.tr("Fuse and cable")),
        ):
            column = QVBoxLayout(self._pages[name])
            column.setContentsMargins(0, 0, 0, 0)
            tabs.addTab(self._pages[name], title)
        tabs.currentChanged.connect(self._tab_shown)
        return tabs

    def _tab_shown(self, index: int) -> None:
        """Make what is to be seen now, and see that it has room."""
        if index > 0:
            view: QWidget = getattr(self, TABS[index])
            view.show()
        self._roomier.start()

    def _give_room(self) -> None:
        """Lend the lower part what its view needs, up to what the panel can spare, or half."""
        self._take_room_back()
        upper, lower = self._splitters["left"].sizes()
        most = (upper + lower) - min(self.panels.modest_height(), (upper + lower) // 2)
        view = self._made.get(TABS[self.tabs.currentIndex()], self.shelf)
        need = view.minimumSizeHint().height() + self.tabs.tabBar().height() + space(self)
        self._lent = max(0, min(need, most) - lower)
        self._splitters["left"].setSizes([upper - self._lent, lower + self._lent])

    def _take_room_back(self) -> None:
        """The upper part gets back what it lent to the view that was looked at before."""
        upper, lower = self._splitters["left"].sizes()
        self._splitters["left"].setSizes([upper + self._lent, lower - self._lent])
        self._lent = 0

    def _room_chosen(self, *_: object) -> None:
        """What the user has dragged stays as it is."""
        self._lent = 0

    def _lay_out(self) -> dict[str, QSplitter]:
        left = _splitter("left", Qt.Orientation.Vertical, self.panels, self.tabs, 72)
        whole = _splitter("whole", Qt.Orientation.Horizontal, left, self.beside, 66)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge, edge, edge, 0)
        banner = MarksBanner(self._document)
        banner.answers_wanted.connect(self.show_circuits)
        column.addWidget(banner)
        column.addWidget(whole, 1)
        return {"left": left, "whole": whole, "details": self.details.splitter}

    def _restore(self) -> None:
        for name, splitter in self._splitters.items():
            state = self._settings.kept.splitters.get(name)
            if state:
                splitter.restoreState(QByteArray.fromBase64(state.encode()))

    def keep(self) -> None:
        """Put the sizes into the settings."""
        self._take_room_back()
        for name, splitter in self._splitters.items():
            state = bytes(splitter.saveState().toBase64().data()).decode()
            self._settings.kept.splitters[name] = state

    def _name_findings(self) -> None:
        """Say on the tab how much was found, with the mark of the worst."""
        found = self._document.findings
        height = self.fontMetrics().height()
        told = (len(found), found[0].severity if found else None, height)
        if told == self._told:
            return
        self._told = told
        index = TABS.index("findings")
        self.tabs.setTabText(index, self.tr("Findings ({n})").format(n=len(found)))
        if not found:
            self.tabs.setTabIcon(index, severity_icon("note", self._theme, 1))
            self.tabs.setTabToolTip(index, self.tr("Nothing found"))
            return
        worst = found[0].severity
        self.tabs.setTabIcon(index, severity_icon(worst, self._theme, height))
        self.tabs.setTabToolTip(
            index, self.tr("Worst: {word}").format(word=severity_shape(worst).word)
        )


def _splitter(
    name: str, way: Qt.Orientation, first: QWidget, second: QWidget, per_cent: int
) -> QSplitter:
    """Two parts, the first with so much of the room until somebody drags them apart."""
    splitter = QSplitter(way)
    splitter.setObjectName(f"{name}Splitter")
    splitter.setChildrenCollapsible(False)
    splitter.addWidget(first)
    splitter.addWidget(second)
    splitter.setStretchFactor(0, per_cent)
    splitter.setStretchFactor(1, 100 - per_cent)
    splitter.setSizes([per_cent * 100, (100 - per_cent) * 100])
    return splitter
