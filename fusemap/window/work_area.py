"""The open vehicle at the table: the lid's page, and whole pages for all that needs room.

Puts the views together and knows where the keyboard is; the views themselves know only the
document. Panel and Plan are stages of the lid's page, Standing and Paper pages of their own;
findings, the plan of all, the comparison and the chart of fuse and cable are whole pages with a
way back.
"""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Final, Literal, cast

from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QStackedWidget, QVBoxLayout, QWidget
from shiboken6 import isValid

from fusemap.vehicle import look_up
from fusemap.window.document import Document, Selection, is_there
from fusemap.window.forms.form import scrolled
from fusemap.window.frame.lid_page import LidPage
from fusemap.window.frame.rail_buttons import stage_name
from fusemap.window.frame.whole_page import WholePage
from fusemap.window.panel.marks_banner import MarksBanner
from fusemap.window.panel.panel_drop import Payload, Stuck
from fusemap.window.panel.ways_on import WaysOn
from fusemap.window.parts.home import first_stop
from fusemap.window.settings import Settings
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.checks.finding import Finding, PlaceKind
    from fusemap.window.chain.band_view import BandView
    from fusemap.window.findings.findings_list import FindingsList
    from fusemap.window.pages.print_preview import PrintPreview
    from fusemap.window.parked.parked_view import ParkedView

TableStage = Literal["panel", "plan", "standing", "paper"]

LID_PARTS: Final = ("panel", "details", "shelf")
"""The parts of the lid's page."""
STAGE_PAGES: Final = ("parked", "paper")
"""Pages that are stages of the job."""
WHOLE_PAGES: Final = ("findings", "band", "joint", "compare")
"""Pages one comes back from."""
PANES: Final = (*LID_PARTS, "parked", "paper", *WHOLE_PAGES)


class WorkArea(QWidget):
    """All views of one document."""

    copy_asked = Signal()
    paste_asked = Signal()
    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    sure_wanted = Signal()
    """What would make it sure is to be read now."""
    turned = Signal()
    """Another page is shown, or another stage."""
    left_behind = Signal()
    """A whole page was left, back to where it was opened from."""

    def __init__(self, document: Document, theme: Theme, settings: Settings) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._settings = settings
        self._lid_stage: TableStage = self._first_stage()
        self._back: tuple[QWidget | None, Selection | None] = (None, None)
        self._back_page = "lid"
        self.setObjectName("workArea")
        self.banner = MarksBanner(document)
        self.banner.answers_wanted.connect(self.show_circuits)
        self.lid = LidPage(document, theme, self.banner)
        self.panels, self.details, self.shelf = self.lid.panels, self.lid.details, self.lid.shelf
        self.panels.show_photos(settings.kept.photo_strength)
        self.stack = QStackedWidget()
        self.stack.setObjectName("workPages")
        self._lid_area = scrolled(self.lid)
        """Where letters are large the lid's page is scrolled, never cut."""
        self.stack.addWidget(self._lid_area)
        self._pages = self._make_pages()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.stack)
        self.lid.show_shelf(self._lid_stage == "plan")
        self._restore()
        self.ways = WaysOn(document, theme, self.panels.placing, self.lid.pane, self.lid)
        self._to_place: Stuck | None = None
        self._listen()

    def _first_stage(self) -> TableStage:
        """Where one begins: at the panel until there is something to plan."""
        return "plan" if self._document.vehicle.accessories else "panel"

    def _opened(self) -> None:
        """Another vehicle: begin on its lid."""
        self.show_stage(self._first_stage())

    def _listen(self) -> None:
        self._document.opened.connect(self._opened)
        self.ways.measure_wanted.connect(self._measure_first)
        self.ways.left.connect(lambda: self.focus_pane("panel"))
        self.shelf.pick_up.connect(self.start_placing)
        self.shelf.form_wanted.connect(self._show_form)
        self.details.placing_wanted.connect(self.start_placing)
        self.details.band_wanted.connect(self.show_band)
        pane = self.lid.pane.pane
        pane.watch(self.panels.placing)
        pane.place_wanted.connect(self.start_placing)
        pane.probe_wanted.connect(self.probe_wanted)
        pane.told_wanted.connect(self.tell)
        pane.answers_wanted.connect(lambda _slot: self.show_circuits())
        self.panels.probe_wanted.connect(lambda slot: self.probe_wanted.emit("slot", slot, ""))
        self._copying = [key for part in (self.panels, self.shelf) for key in self._copy_keys(part)]

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
            if self.start_placing(stuck.payload):
                self._document.select("slot", stuck.slot_id)

        QTimer.singleShot(0, self, place)

    def start_placing(self, payload: Payload | Mapping[str, Any]) -> bool:
        """Take an accessory up, on the plan's page: every slot shows its offer."""
        self.show_stage("plan")
        return self.panels.start_placing(payload)

    # --- which page -----------------------------------------------------------------------------

    @property
    def page(self) -> str:
        """Which page is shown: “lid”, or one of those that need the whole room."""
        shown = self.stack.currentWidget()
        return next((name for name, page in self._pages.items() if page is shown), "lid")

    @property
    def stage(self) -> TableStage:
        """The stage of the job that is shown; a whole page belongs to the stage it is left for."""
        if self.page == "parked":
            return "standing"
        return "paper" if self.page == "paper" else self._lid_stage

    def show_stage(self, stage: TableStage) -> None:
        """Show the page of a stage."""
        if stage in ("standing", "paper"):
            self._show({"standing": "parked", "paper": "paper"}[stage])
            return
        self._lid_stage = stage
        self.lid.show_shelf(stage == "plan")
        self._show("lid")

    def show_as(self, earlier: "WorkArea") -> None:
        """Show the page and stage that these views showed, before they were made anew."""
        self._lid_stage = earlier._lid_stage
        self._back_page = earlier._back_page
        self.lid.show_shelf(self._lid_stage == "plan")
        if earlier.page in WHOLE_PAGES:
            self._pages_named(self.stage)
        self._show(earlier.page)

    def show_whole(self, name: str, came_from: str = "") -> None:
        """Show a page one comes back from; `came_from` is the stage, where that is another page."""
        if self.page not in WHOLE_PAGES:
            self._back = (QApplication.focusWidget(), self._document.selection)
            self._back_page = self.page
            self._pages_named(came_from or self.stage)
        self._show(name)

    def _pages_named(self, stage: str) -> None:
        for name in WHOLE_PAGES:
            self._pages[name].say_back(stage_name(stage))

    def go_back(self) -> bool:
        """Leave a whole page for where it was opened; False where none is shown."""
        if self.page not in WHOLE_PAGES:
            return False
        focus, selection = self._back
        self._show(self._back_page)
        if selection is None or is_there(self._document.vehicle, selection):
            self._document.select_again(selection)
        if focus is not None and isValid(focus) and focus.isVisible():
            focus.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._land()
        self.left_behind.emit()
        return True

    def _show(self, name: str) -> None:
        page: QWidget = self._lid_area
        if name != "lid":
            page = self._pages[name]
            self._pages[name].view.show()
        if self.stack.currentWidget() is not page:
            self.stack.setCurrentWidget(page)
        self.turned.emit()

    def _land(self) -> None:
        """The keyboard onto what the page shown is for."""
        name = "panel" if self.page == "lid" else self.page
        first_stop(self._part(name)).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # --- where the keyboard is ------------------------------------------------------------------

    def focus_pane(self, pane: str) -> None:
        """Go to a part of the lid's page, or to another page."""
        if pane in WHOLE_PAGES:
            self.show_whole(pane)
        elif pane in STAGE_PAGES:
            self._show(pane)
        else:
            self.show_stage("plan" if pane == "shelf" else self._lid_stage)
        first_stop(self._part(pane)).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def cycle_pane(self, step: int) -> None:
        """Go to the next part of the page, or with −1 to the one before."""
        around = self.parts()
        here = self.focused_pane()
        at = around.index(here) if here in around else (-1 if step > 0 else 0)
        self.focus_pane(around[(at + step) % len(around)])

    def parts(self) -> tuple[str, ...]:
        """The parts of the page that is shown, in the order one goes through them."""
        if self.page != "lid":
            return (self.page,)
        return LID_PARTS if self._lid_stage == "plan" else LID_PARTS[:-1]

    def focused_pane(self) -> str:
        """Where the keyboard is; empty when it is elsewhere."""
        focused = QApplication.focusWidget()
        for pane in PANES:
            whole = self._pages[pane] if pane in self._pages else self._part(pane)
            if focused is not None and (whole is focused or whole.isAncestorOf(focused)):
                return pane
        return "shelf" if self.shelf.holds(focused) else ""

    def _part(self, pane: str) -> QWidget:
        lid = {"panel": self.panels, "details": self.lid.pane, "shelf": self.shelf}
        return lid[pane] if pane in lid else self._pages[pane].view

    # --- the pages ------------------------------------------------------------------------------

    def _make_pages(self) -> dict[str, WholePage]:
        makers: dict[str, tuple[str, Callable[[], QWidget]]] = {
            "parked": ("", self._make_parked),
            "paper": ("", self._make_paper),
            "findings": (self.tr("Findings"), self._make_findings),
            "band": (self.tr("Fuse and cable"), self._make_band),
            "joint": (self.tr("Plan the rest"), self._make_joint),
            "compare": (self.tr("Compare plans"), self._make_compare),
        }
        made = {}
        for name, (title, make) in makers.items():
            page = made[name] = WholePage(name, title, self._theme, make)
            page.back_wanted.connect(self.go_back)
            self.stack.addWidget(page)
        return made

    @property
    def findings(self) -> "FindingsList":
        """The list of findings; made when it is first needed."""
        return cast("FindingsList", self._pages["findings"].view)

    @property
    def parked(self) -> "ParkedView":
        """The parked chart; made when it is first needed: what draws it takes long to load."""
        return cast("ParkedView", self._pages["parked"].view)

    @property
    def band(self) -> "BandView":
        """The chart of fuse and cable; made when it is first needed."""
        return cast("BandView", self._pages["band"].view)

    @property
    def paper(self) -> "PrintPreview":
        """What goes on paper; made when it is first needed."""
        return cast("PrintPreview", self._pages["paper"].view)

    def _make_findings(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.findings.findings_list import FindingsList

        made = FindingsList(self._document, self._theme)
        made.probe_wanted.connect(self.probe_wanted)
        made.sure_wanted.connect(self.sure_wanted)
        made.told_wanted.connect(self.tell)
        made.place_wanted.connect(self.show_place)
        return made

    def _make_parked(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.parked.parked_view import ParkedView

        made = ParkedView(self._document, self._theme)
        made.probe_wanted.connect(self.probe_wanted)
        made.go_wanted.connect(self.show_place)
        return made

    def _make_band(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain.band_view import BandView

        return BandView(self._document, self._theme)

    def _make_paper(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.print_preview import PrintPreview

        return PrintPreview(self._document, self._theme.style, self._settings)

    def _make_joint(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.plan_page import PlanPage

        return PlanPage(self._document, self._theme)

    def _make_compare(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.compare_page import ComparePage

        return ComparePage(self._document, self._theme)

    # --- what is gone to ------------------------------------------------------------------------

    def show_band(self, tap_id: str) -> None:
        """Show the chart of this tap's fuse and cable."""
        self.focus_pane("band")
        self.band.show_tap(tap_id)

    def show_circuits(self) -> None:
        """Show the list of all circuits, to answer what they are, beside the panel."""
        self.details.show_page("circuits")
        self.focus_pane("details")

    def search_accessories(self) -> None:
        """Go to the search over the accessories and the library, with nothing typed yet."""
        self.shelf.search_for("")
        self.focus_pane("shelf")

    def show_place(self, kind: "PlaceKind", place_id: str) -> None:
        """Show a place on the panel, and in full beside it."""
        self.show_stage(self._lid_stage)
        self._document.select(kind, place_id)
        self.focus_pane("panel" if kind == "slot" else "details")

    def show_finding(self, finding: "Finding") -> None:
        """Show a finding with its ways out."""
        self.focus_pane("findings")
        self.findings.show_finding(finding)

    def go_finding(self, step: int) -> None:
        """Go to the next finding, or with −1 to the one before, and select its place."""
        first = self.page != "findings"
        self.show_whole("findings")
        rows = self.findings.list
        count = self.findings.model.rowCount()
        if count:
            at = rows.currentIndex().row() + (0 if first and step > 0 else step)
            rows.setCurrentIndex(self.findings.model.index(at % count, 0))
            self.findings.select_place()

    def tell(self, kind: "PlaceKind", place_id: str) -> None:
        """Go to the field where something is said of a feed or an accessory."""
        self.show_stage(self._lid_stage)
        self._document.select(kind, place_id)
        if kind == "accessory":
            self.details.show_form()
        else:
            self.lid.pane.show_more()
        key = {"feed": "feed_nothing_else", "accessory": "accessory_inrush_multiple"}[kind]
        if kind == "feed" and self._lacks_length(place_id):
            key = "feed_unfused_m"
        field = self.details.page(kind).findChild(QWidget, key)
        if field is not None:
            field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _lacks_length(self, feed_id: str) -> bool:
        """Whether nobody said how far along an added feed's cable its fuse is."""
        feed = look_up.feed(self._document.vehicle, feed_id)
        return feed.added and feed.cable is not None and feed.unfused_m is None

    def _show_form(self) -> None:
        """The form of the selected accessory, whichever of its tabs was looked at."""
        first_stop(self.details.show_form()).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # --- sizes ----------------------------------------------------------------------------------

    def _restore(self) -> None:
        for name, state in self._settings.kept.splitters.items():
            sizes = QByteArray.fromBase64(state.encode())
            if name == "details":
                self.details.splitter.restoreState(sizes)
            else:
                self.lid.restore(name, bytes(sizes.data()))

    def keep(self) -> None:
        """Put the sizes into the settings."""
        states = {"details": bytes(self.details.splitter.saveState().data()), **self.lid.states()}
        for name, state in states.items():
            kept = bytes(QByteArray(state).toBase64().data()).decode()
            self._settings.kept.splitters[name] = kept
