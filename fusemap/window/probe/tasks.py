"""The stages of the job as pages of the main window: Panel, Probe, Plan, Standing, Paper, Check.

Probe and Check are pages of their own, made when they are first shown, and so is the hunt for what
drains it, which one comes back from; the other four stages are pages of the work area. While one of
those three is shown the window around it wears the dark theme of the stage, too. Whole pages that
are opened from a stage lead back to it.
"""

from collections.abc import Iterator
from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal, cast

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from fusemap.vehicle.words import State
from fusemap.window.desk import Desk
from fusemap.window.parts.home import HasHome
from fusemap.window.parts.message_bar import MessageBar
from fusemap.window.probe.kept_file import HUNT, TAKEN_OUT, kept_file
from fusemap.window.settings import state_folder
from fusemap.window.style.theme import PROBE, palette, style_sheet

if TYPE_CHECKING:
    from fusemap.text import Text
    from fusemap.window.beside.stage_page import StagePage
    from fusemap.window.crank.page import CrankPage
    from fusemap.window.hunt.page import HuntPage
    from fusemap.window.probe.check_page import CheckPage
    from fusemap.window.probe.map_travel import MapTravel
    from fusemap.window.probe.page import ProbePage
    from fusemap.window.probe.taken_out import TakenOut
    from fusemap.window.work_area import TableStage

Task = Literal["panel", "probe", "plan", "standing", "paper", "check", "hunt", "crank"]
TASKS: Final[tuple[Task, ...]] = ("panel", "probe", "plan", "standing", "paper", "check")
BESIDE: Final[tuple[Task, ...]] = ("probe", "check", "hunt", "crank")
"""The pages beside the vehicle."""

_FRAME: Final = (
    f"QMenuBar, QMenuBar::item, QMenu {{ background: {PROBE.window}; color: {PROBE.text}; }}"
    f"QMenuBar::item:selected, QMenu::item:selected {{ background: {PROBE.accent};"
    f" color: {PROBE.accent_text}; }}"
    f"QMenu::item:disabled {{ color: {PROBE.muted_text}; }}"
)
"""Menu bar beside the vehicle."""


class Tasks(QObject):
    """Switches between the tasks of one main window."""

    hunted = Signal()
    """Another step of the hunt may be in hand."""

    def __init__(self, desk: Desk, message: MessageBar) -> None:
        super().__init__(desk)
        self._desk = desk
        self._message = message
        self.now = datetime.now
        self.probe: ProbePage | None = None
        self.check: CheckPage | None = None
        self.hunt: HuntPage | None = None
        self.crank: CrankPage | None = None
        self._before_crank: Task = "standing"
        """The stage that a start was read from."""
        self._before_hunt: Task = "plan"
        """The stage that the hunt was begun from."""
        self._taken_out: TakenOut | None = None
        self._readings: QDialog | None = None
        self._dark = False
        self._looked_for_hunt = False
        """Whether it was looked for what is kept of the vehicle in hand and was left out."""
        self._return_to: Task | None = None
        """The page beside the vehicle that a whole page was opened from."""
        desk.pages.currentChanged.connect(self._page_changed)
        desk.document.opened.connect(self._opened)

    @cached_property
    def travel(self) -> "MapTravel":
        """Gives the map away and takes one in; what it needs is loaded when it is asked for."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.probe.map_travel import MapTravel

        return MapTravel(self._desk.window, self._desk.document)

    @property
    def shown(self) -> Task | Literal[""]:
        """Which stage is shown; empty on the first page."""
        page = self._desk.pages.currentWidget()
        if page is None:
            return ""
        if page is self.probe:
            return "probe"
        if page is self.check:
            return "check"
        if page is self.hunt:
            return "hunt"
        if page is self.crank:
            return "crank"
        work = self._desk.work
        return work.stage if work is not None and page is work else ""

    def show(self, task: Task) -> None:
        """Go to a stage."""
        self._return_to = None
        if task not in BESIDE:
            self._desk.show_work()
            assert self._desk.work is not None
            self._desk.work.show_stage(cast("TableStage", task))
            pane = {"standing": "parked", "paper": "paper"}.get(task, "panel")
            if task == "plan" and not self._desk.document.vehicle.panels:
                pane = "shelf"  # what can be planned already: accessories, without a place
            self._desk.focus_pane(pane)
        else:
            if task == "hunt" and self.shown not in ("", "hunt"):
                self._before_hunt = cast("Task", self.shown)
            if task == "crank" and self.shown not in ("", "crank"):
                self._before_crank = cast("Task", self.shown)
            makers = {
                "probe": self._probe_page,
                "check": self._check_page,
                "hunt": self._hunt_page,
                "crank": self._crank_page,
            }
            page = makers[task]()
            self._desk.pages.setCurrentWidget(page)
            home = page.home if isinstance(page, HasHome) else page
            (home or page).setFocus()
        self._desk.turned.emit()

    def show_whole(self, name: str) -> None:
        """Open a whole page over the stage that is shown; its way back leads there."""
        shown = self.shown
        self._return_to = shown if shown in BESIDE else None
        self._desk.show_work()
        assert self._desk.work is not None
        self._desk.work.show_whole(name, shown)
        self._desk.work.focus_pane(name)

    def came_back(self) -> None:
        """A whole page was left: on to the page beside the vehicle that it was opened from."""
        if self._return_to is not None:
            self.show(self._return_to)

    def probe_at(
        self,
        kind: Literal["slot", "feed", "alone", "hunt", "start"],
        place_id: str,
        state: State | None,
    ) -> None:
        """Go to a slot or a feed on the probing page, to read it now, in this state.

        To a slot alone, and back once it is known when it is live. Or to the hunt, or to where a
        start is followed: these have no place.
        """
        if kind == "hunt":
            self.find_drain()
            return
        if kind == "start":
            self.read_a_start()
            return
        self.show("probe")
        assert self.probe is not None
        if kind == "alone":
            self.probe.read_alone(place_id)
        else:
            self.probe.take_in_hand((kind, place_id), state or None)

    def probe_sure(self) -> None:
        """Go to the readings that would make it sure."""
        self.show("probe")
        assert self.probe is not None
        self.probe.read_what_settles()

    def find_drain(self) -> None:
        """Go to the hunt for what drains it, where it was left."""
        self.show("hunt")

    @property
    def hunt_step(self) -> "Text | None":
        """What comes before all other steps: that of the hunt while one hunts, and wherever one is
        a fuse that is out, or may be."""
        out = None if self._taken_out is None else self._taken_out.words(on=self.shown)
        if self.hunt is None or self.shown != "hunt":
            return _together(self._by_hunt(), out)
        return _together(out, self.hunt.onward)

    @property
    def not_back(self) -> "Text | None":
        """What is said of all that is out, or may be, for a hunt, a check, a round of probing;
        `None` where all is in."""
        out = None if self._taken_out is None else self._taken_out.words()
        return _together(self._by_hunt(), out)

    def _by_hunt(self) -> "Text | None":
        return None if self.hunt is None else self.hunt.not_back

    @property
    def taken_out(self) -> "TakenOut":
        """What was taken out for a check or a round of probing."""
        if self._taken_out is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.probe.taken_out import TakenOut

            self._taken_out = TakenOut(state_folder(), self._desk.document, self)
            self._taken_out.changed.connect(self.hunted)
        return self._taken_out

    def all_back(self) -> None:
        """Somebody says that all that was taken out is back."""
        if self.hunt is not None:
            self.hunt.say_in()
        if self._taken_out is not None:
            self._taken_out.all_back()

    def to_what_is_out(self) -> None:
        """Go to where it was taken out, and is said to be back."""
        by = None if self._taken_out is None else self._taken_out.by()
        if self.shown == "hunt" or by is None or self._by_hunt() is not None:
            self.find_drain()
            return
        self.show(by)
        if by == "check" and self.check is not None:
            self.check.to_what_is_out()

    def take_up_left_out(self) -> None:
        """What was left out before this window or another look is named again."""
        if self._looked_for_hunt:
            return
        self._looked_for_hunt = True
        document = self._desk.document
        folder, goes_by = state_folder(), document.goes_by
        if kept_file(folder, document.path, goes_by, TAKEN_OUT).exists():
            _ = self.taken_out
            self.hunted.emit()
        if self.hunt is not None:
            return
        if not kept_file(folder, document.path, goes_by, HUNT).exists():
            return
        # loaded when it is first needed: the start stays short
        from fusemap.window.hunt.left_out import left_out
        from fusemap.window.probe.kept import KeptHunt

        kept = KeptHunt(folder, document.path, goes_by)
        if left_out(kept, document.vehicle, self.now()) is not None:
            self._hunt_page()
            self.hunted.emit()

    def _opened(self) -> None:
        self._looked_for_hunt = False

    def read_a_start(self) -> None:
        """Go to where one start is followed with a meter."""
        self.show("crank")

    def _probe_page(self) -> QWidget:
        if self.probe is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.probe.page import ProbePage

            kept = self._desk.settings.kept
            theme = replace(PROBE, style=self._desk.look.theme.style)
            self.probe = ProbePage(
                self._desk.document, theme, state_folder(), self.now,
                sound=kept.stage_sound, voice=kept.stage_voice, taken_out=self.taken_out,
            )  # fmt: skip
            self.probe.voice_chosen.connect(self._keep_voice)
            self.probe.start_wanted.connect(self.read_a_start)
            self.probe.left.connect(lambda: self.show("plan"))
            self._put_on_stage(self.probe)
        return self.probe

    def _check_page(self) -> QWidget:
        if self.check is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.probe.check_page import CheckPage

            kept = self._desk.settings.kept
            theme = replace(PROBE, style=self._desk.look.theme.style)
            self.check = CheckPage(
                self._desk.document, theme, self.now, folder=state_folder(),
                sound=kept.stage_sound, voice=kept.stage_voice, taken_out=self.taken_out,
            )  # fmt: skip
            self.check.left.connect(lambda: self.show("plan"))
            self._put_on_stage(self.check)
        return self.check

    def _hunt_page(self) -> QWidget:
        if self.hunt is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.hunt.page import HuntPage

            kept = self._desk.settings.kept
            theme = replace(PROBE, style=self._desk.look.theme.style)
            self.hunt = HuntPage(
                self._desk.document, theme, state_folder(), self.now,
                sound=kept.stage_sound, voice=kept.stage_voice,
            )  # fmt: skip
            self.hunt.left.connect(lambda: self.show(self._before_hunt))
            self.hunt.stepped.connect(self.hunted)
            self.hunt.lid_wanted.connect(self._ask_lid)
            self._put_on_stage(self.hunt)
        return self.hunt

    def _ask_lid(self) -> None:
        """What the first lid shows, over the hunt, which goes on with its fuses."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.panel.add_panel import AddPanelDialog

        document, style = self._desk.document, self._desk.look.theme.style
        AddPanelDialog(self._desk.window, document, style).open()

    def _crank_page(self) -> QWidget:
        if self.crank is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.crank.page import CrankPage

            kept = self._desk.settings.kept
            theme = replace(PROBE, style=self._desk.look.theme.style)
            self.crank = CrankPage(
                self._desk.document, theme, state_folder(), self.now,
                sound=kept.stage_sound, voice=kept.stage_voice,
            )  # fmt: skip
            self.crank.left.connect(lambda: self.show(self._before_crank))
            self._put_on_stage(self.crank)
        return self.crank

    def _put_on_stage(self, page: "StagePage") -> None:
        """What all pages beside the vehicle have in common is taken up and kept."""
        page.sound_chosen.connect(self._keep_sound)
        page.open_pad(self._desk.settings.kept.stage_pad)
        page.frame.pad_wanted.connect(self._keep_pad)
        self._desk.pages.addWidget(page)

    def _keep_pad(self, on: bool) -> None:
        self._desk.settings.kept.stage_pad = on
        self._desk.settings.save()
        for page in self._on_stage():
            page.open_pad(on)

    def _on_stage(self) -> "Iterator[StagePage]":
        """The pages beside the vehicle that were made."""
        made = (self.probe, self.check, self.hunt, self.crank)
        return (page for page in made if page is not None)

    def _keep_sound(self, on: bool) -> None:
        self._desk.settings.kept.stage_sound = on
        self._desk.settings.save()
        for page in self._on_stage():
            page.hear(on)

    def _keep_voice(self, on: bool) -> None:
        self._desk.settings.kept.stage_voice = on
        self._desk.settings.save()
        for page in (self.check, self.hunt, self.crank):
            if page is not None:
                page.herald.voice = on

    def _page_changed(self, index: int) -> None:
        """The window is dark beside the vehicle: its menu, tools and messages too."""
        probing = self.shown in BESIDE
        if probing == self._dark:
            return
        self._dark = probing
        window = self._desk.window
        for part in (window.menuBar(), self._message):
            part.setStyleSheet(style_sheet(PROBE) + _FRAME if probing else "")
            part.setPalette(palette(PROBE) if probing else QPalette())
        self._message.set_theme(PROBE if probing else self._desk.look.theme)

    def look_again(self) -> None:
        """Make the pages anew in the look and language there are now; what is shown stays shown."""
        shown, hunted = self.shown, self.hunt is not None
        self._dark = False
        for name in BESIDE:
            page = getattr(self, name)
            if page is not None:
                setattr(self, name, None)
                self._desk.pages.removeWidget(page)
                page.deleteLater()
        if shown and shown in BESIDE:
            self.show(shown)
        if hunted:
            self._looked_for_hunt = False
            self.take_up_left_out()

    # --- boxes ----------------------------------------------------------------------------------

    def paste_table(self) -> QDialog:
        """Open the place to paste a table into."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.probe.reading_tables import PasteDialog

        dialog = PasteDialog(
            self._desk.window, self._desk.document, self._desk.look.theme, self.now
        )
        dialog.show()
        return dialog

    def number_slots(self) -> QDialog | None:
        """Open the numbering of the panel that is shown."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.probe.slot_order import NumberDialog

        work = self._desk.work
        view = None if work is None else work.panels.current_view()
        if view is None:
            return None
        dialog = NumberDialog(
            self._desk.window, self._desk.document, view.panel_id, self._desk.look.theme.style
        )
        dialog.show()
        return dialog

    def show_meters(self) -> QDialog:
        """Open the meters and how far they may be off."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.probe.meters_dialog import MetersDialog

        dialog = MetersDialog(self._desk.window, self._desk.document, self._desk.look.theme.style)
        dialog.show()
        return dialog

    def show_readings(self) -> QDialog:
        """Open the list of all readings beside the window."""
        if self._readings is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.probe.reading_tables import ReadingsList

            dialog = QDialog(self._desk.window)
            dialog.setObjectName("readingsDialog")
            shown = ReadingsList(self._desk.document, self._desk.look.theme.style)
            dialog.setWindowTitle(shown.windowTitle())
            column = QVBoxLayout(dialog)
            column.setContentsMargins(0, 0, 0, 0)
            column.addWidget(shown)
            em = dialog.fontMetrics().height()
            room = dialog.screen().availableSize().width() * 9 // 10
            dialog.resize(min(max(em * 56, shown.whole_width() + em * 2), room), em * 28)
            self._readings = dialog
        self._readings.show()
        self._readings.raise_()
        return self._readings


def _together(*texts: "Text | None") -> "Text | None":
    """Several things that come first, one behind the other; `None` where there is none."""
    told = [text for text in texts if text is not None]
    if len(told) < 2:
        return told[0] if told else None
    # loaded when it is first needed: the start stays short
    from fusemap.text import run_on

    return run_on(*told, between=". ")
