"""The open vehicle at the table: the lid's page, and whole pages for all that needs room.

Puts the views together and knows where the keyboard is; the views themselves know only the
document. Panel and Plan are stages of the lid's page, Standing and Paper pages of their own;
findings, the chosen thing in full, the tables, the plan of all, the comparison and the chart of
fuse and cable are whole pages, each with a way back to where it was opened.
"""

from collections.abc import Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final, Literal

from msgspec import Struct
from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import QApplication, QStackedWidget, QVBoxLayout, QWidget
from shiboken6 import isValid

from fusemap.vehicle import look_up
from fusemap.window.chosen.content import CHOSEN
from fusemap.window.document import Document, Selection, is_there
from fusemap.window.forms.form import fill_area, scroll_area
from fusemap.window.frame.lid_page import LidPage
from fusemap.window.frame.pages_made import STAGE_PAGES, WHOLE_PAGES, PagesMade, WithPages
from fusemap.window.frame.rail_buttons import stage_name
from fusemap.window.panel.marks_banner import MarksBanner
from fusemap.window.panel.panel_drop import Payload, Stuck
from fusemap.window.parts.home import first_stop
from fusemap.window.settings import Settings
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.assess.sure import Wanted
    from fusemap.checks.finding import Finding, PlaceKind
    from fusemap.window.frame.in_short import InShort
    from fusemap.window.frame.on_wide import FormBelow, WideSide
    from fusemap.window.panel.ways_on import WaysOn


TableStage = Literal["panel", "plan", "standing", "paper"]

LID_PARTS: Final = ("panel", "chosen", "shelf")
"""The parts of the lid's page."""
PANES: Final = (*LID_PARTS, *STAGE_PAGES, *WHOLE_PAGES)


class Left(Struct, frozen=True):
    """What a whole page was opened from: the page, what it is called, where the keyboard was."""

    page: str
    called: str
    focus: QWidget | None
    selection: Selection | None


class WorkArea(WithPages):
    """All views of one document.

    Each is made inside what it will stand in: Qt styles a widget anew, with all that is in it,
    whenever it is put into another.
    """

    copy_asked = Signal()
    paste_asked = Signal()
    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    sure_wanted = Signal()
    """What would make it sure is to be read now."""
    turned = Signal()
    """Another page is shown, or another stage."""
    left_behind = Signal()
    """The last whole page was left, back to where the first was opened from."""
    photo_wanted = Signal(str, str)
    """A photo is to be chosen, fitted or removed ("choose", "fit", "remove"): of which panel."""

    def __init__(
        self,
        document: Document,
        theme: Theme,
        settings: Settings,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self._settings = settings
        self._lid_stage: TableStage = self._first_stage()
        self._trail: list[Left] = []
        """The whole page that is shown leads back to the last of these."""
        self.setObjectName("workArea")
        self.stack = QStackedWidget(self)
        self.stack.setObjectName("workPages")
        self._lid_area = scroll_area(self.stack)
        """Where letters are large the lid's page is scrolled, never cut."""
        self.lid = LidPage(document, theme, parent=self._lid_area.viewport())
        self.banner = MarksBanner(document, theme.style, self.lid, self.lid.panels)
        self.banner.answers_wanted.connect(self.show_circuits)
        fill_area(self._lid_area, self.lid)
        self.panels, self.shelf = self.lid.panels, self.lid.shelf
        self.panels.show_photos(settings.kept.photo_strength)
        self.stack.addWidget(self._lid_area)
        self._made = PagesMade(document, theme, settings, self.stack)
        self._pages = self._made.pages
        for page in self._pages.values():
            page.back_wanted.connect(self.go_back)
            self.stack.addWidget(page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.stack)
        self.lid.show_shelf(self._lid_stage == "plan")
        self._restore()
        self._to_place: Stuck | None = None
        self._listen()

    @cached_property
    def ways(self) -> "WaysOn":
        """What may be done where nobody knows when a slot is live; made when it is first asked."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.panel.ways_on import WaysOn

        ways = WaysOn(self._document, self._theme, self.panels.placing, self.lid.pane, self.lid)
        ways.measure_wanted.connect(self._measure_first)
        ways.left.connect(lambda: self.focus_pane("panel"))
        return ways

    def _first_stage(self) -> TableStage:
        """Where one begins: at the panel until there is something to plan."""
        return "plan" if self._document.vehicle.accessories else "panel"

    def _opened(self) -> None:
        """Another vehicle: begin on its lid, at the head of the page."""
        self.show_stage(self._first_stage())
        self._lid_area.verticalScrollBar().setValue(0)

    def _listen(self) -> None:
        self._document.opened.connect(self._opened)
        self.panels.placing.stuck.connect(lambda stuck: self.ways.show_for(stuck))
        self.shelf.pick_up.connect(self.start_placing)
        self.shelf.form_wanted.connect(self._show_form)
        made = self._made
        made.probe_wanted.connect(self.probe_wanted)
        made.sure_wanted.connect(self.sure_wanted)
        made.photo_wanted.connect(self.photo_wanted)
        made.told_wanted.connect(self.tell)
        made.place_wanted.connect(self.show_place)
        made.lead_wanted.connect(self.start_placing)
        made.band_wanted.connect(self.show_band)
        self.lid.short_made.connect(self._join_short)
        self.lid.wide_made.connect(self._join_wide)
        pane = self.lid.pane.pane
        pane.more_wanted.connect(self.show_more)
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
        self.probe_wanted.emit("alone", stuck.slot_id, "")

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
        page = self._trail[0].page if self._trail else self.page
        if page == "parked":
            return "standing"
        return "paper" if page == "paper" else self._lid_stage

    def show_stage(self, stage: TableStage) -> None:
        """Show the page of a stage."""
        self._trail.clear()
        if stage in ("standing", "paper"):
            self._show({"standing": "parked", "paper": "paper"}[stage])
            return
        self._lid_stage = stage
        self.lid.show_shelf(stage == "plan")
        self._show("lid")

    def show_as(self, earlier: "WorkArea") -> None:
        """Show the page and stage that these views showed, before they were made anew."""
        self._lid_stage = earlier._lid_stage
        self._trail = list(earlier._trail)
        self.lid.show_shelf(self._lid_stage == "plan")
        if self._trail:
            self._pages[earlier.page].say_back(self._trail[-1].called)
        if earlier.page == "details":
            self.details.show_again(earlier.details)
        self._show(earlier.page)

    def show_whole(self, name: str, came_from: str = "") -> None:
        """Show a page one comes back from; `came_from` is the stage, where that is another page.

        Opened from another whole page it leads back to that one.
        """
        earlier = [each.page for each in self._trail]
        if name in earlier:
            del self._trail[earlier.index(name) :]
        elif self.page != name:
            called = stage_name(came_from or self.stage)
            if self.page in WHOLE_PAGES:
                called = self._pages[self.page].title.text()
            focus = QApplication.focusWidget()
            self._trail.append(Left(self.page, called, focus, self._document.selection))
        self._pages[name].say_back(self._trail[-1].called)
        self._show(name)

    def go_back(self) -> bool:
        """Leave a whole page for where it was opened; False where none is shown."""
        if not self._trail:
            return False
        left = self._trail.pop()
        self._show(left.page)
        if left.selection is None or is_there(self._document.vehicle, left.selection):
            self._document.select_again(left.selection)
        if left.focus is not None and isValid(left.focus) and left.focus.isVisible():
            left.focus.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self._land()
        if not self._trail:
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
            self._trail.clear()
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
        lid = {"panel": self.panels, "chosen": self.lid.pane, "shelf": self.shelf}
        return lid[pane] if pane in lid else self._pages[pane].view

    # --- what is gone to ------------------------------------------------------------------------

    def show_band(self, tap_id: str) -> None:
        """Show the chart of this tap's fuse and cable."""
        self.focus_pane("band")
        self.band.show_tap(tap_id)

    def show_circuits(self) -> None:
        """Show the list of all circuits, to answer what they are, beside the panel."""
        self.show_stage(self._lid_stage)
        self.lid.pane.show_circuits()

    def show_page(self, name: str) -> None:
        """Show a form by its name: the battery, the feeds, the rules …"""
        if name in ("battery", "vehicle"):
            self._document.select(name)  # type: ignore[arg-type]
        self.show_whole("details")
        self.details.show_page(name)
        self.focus_pane("details")

    def show_more(self) -> None:
        """Show what is chosen in full."""
        self.show_whole("details")
        self.details.show_selected()
        self.focus_pane("details")

    def show_tables(self, source: str = "") -> None:
        """Show the tables, on the rows that a source text cites."""
        self.show_whole("tables")
        self.tables.look_for_source(source)
        self.focus_pane("tables")

    def search_accessories(self) -> None:
        """Go to the search over the accessories and the library, with nothing typed yet."""
        self.shelf.search_for("")
        self.focus_pane("shelf")

    def show_advice(self) -> None:
        """Show what would be right for what is selected, where there is a tap."""
        if self._document.selection is not None:
            self.show_more()
            self.details.show_advice()

    def show_place(self, kind: "PlaceKind", place_id: str) -> None:
        """Show a place on the panel, and what is to be said of it beside it, or on its page."""
        if kind in CHOSEN:
            self.show_stage(self._lid_stage)
            self._document.select(kind, place_id)
            self.focus_pane("panel" if kind == "slot" else "chosen")
        else:
            self._document.select(kind, place_id)
            self.show_more()

    def show_finding(self, finding: "Finding") -> None:
        """Show a finding with its ways out."""
        self.focus_pane("findings")
        self.findings.show_finding(finding)

    def _join_short(self, short: "InShort") -> None:
        short.page_wanted.connect(self._show_all_of)
        short.finding_wanted.connect(self.show_finding)
        short.place_wanted.connect(self.show_place)
        short.wanted_wanted.connect(self._settle)

    def _join_wide(self, side: "WideSide", form: "FormBelow") -> None:
        side.standing.whole_wanted.connect(lambda: self.focus_pane("parked"))
        form.whole_wanted.connect(self.show_more)
        form.details.placing_wanted.connect(self.start_placing)
        form.details.band_wanted.connect(self.show_band)
        form.details.photo_wanted.connect(self.photo_wanted)

    def _show_all_of(self, name: str) -> None:
        """All of what stands in short below the lid."""
        if name == "findings":
            self.focus_pane("findings")
        elif name == "standing":
            self.focus_pane("parked")
        else:
            self.sure_wanted.emit()

    def _settle(self, wanted: "Wanted") -> None:
        """Have read, or said, what makes it sure."""
        # loaded when it is first needed: the start stays short
        from fusemap.fixes.fix import answer

        way = answer(self._document.vehicle, wanted)
        if way.read is not None:
            self.probe_wanted.emit(*way.read, way.state or "")
        elif way.tell is not None:
            self.tell(*way.tell)
        else:
            self.sure_wanted.emit()

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
        """Go to the field where something is said of a feed, an accessory or a panel."""
        self._document.select(kind, place_id)
        self.show_more()
        if kind == "accessory":
            self.details.form()
        key = {
            "feed": "feed_nothing_else",
            "accessory": "accessory_inrush_multiple",
            "panel": "panel_ambient_c",
        }[kind]
        if kind == "feed" and self._lacks_length(place_id):
            key = "feed_unfused_m"
        self._go_to_field(kind, key)

    def show_field(self, page: str, key: str) -> None:
        """Go to a field of one of the vehicle's forms: the rules, how it is parked."""
        self.show_page(page)
        self._go_to_field(page, key)

    def _go_to_field(self, page: str, key: str) -> None:
        field = self.details.page(page).findChild(QWidget, key)
        if field is not None:
            field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _lacks_length(self, feed_id: str) -> bool:
        """Whether nobody said how far along an added feed's cable its fuse is."""
        feed = look_up.feed(self._document.vehicle, feed_id)
        return feed.added and feed.cable is not None and feed.unfused_m is None

    def _show_form(self) -> None:
        """The form of the selected accessory, whichever of its tabs was looked at."""
        self.show_more()
        first_stop(self.details.form()).setFocus(Qt.FocusReason.ShortcutFocusReason)

    # --- sizes ----------------------------------------------------------------------------------

    def _restore(self) -> None:
        for name, state in self._settings.kept.splitters.items():
            self.lid.restore(name, bytes(QByteArray.fromBase64(state.encode()).data()))

    def keep(self) -> None:
        """Put the sizes into the settings."""
        states = {**self.lid.states(), **self._made.states()}
        for name, state in states.items():
            kept = bytes(QByteArray(state).toBase64().data()).decode()
            self._settings.kept.splitters[name] = kept
