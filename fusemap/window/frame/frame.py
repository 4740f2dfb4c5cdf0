"""The frame round every page: rail and verdict, what they show, and where they lead.

In: the desk and the stages of the job. Out: `menu_wanted`. What it shows is reckoned by `JobState`;
it is dark while the vehicle is probed, as the page below it is.
"""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, cast

from msgspec.structs import replace
from PySide6.QtCore import QPoint, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QMenu, QSizePolicy, QVBoxLayout, QWidget

from fusemap.window.desk import Desk
from fusemap.window.frame.job_state import JobState
from fusemap.window.frame.rail import Rail
from fusemap.window.frame.verdict_strip import VerdictStrip
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.parts.later import LaterStill
from fusemap.window.probe.tasks import BESIDE, Task, Tasks
from fusemap.window.style.theme import PROBE, Theme, palette

if TYPE_CHECKING:
    from fusemap.checks.finding import PlaceKind
    from fusemap.job import Cell
    from fusemap.job.next_step import Lead, NextStep
    from fusemap.window.work_area import WorkArea


class Frame(QWidget):
    """Rail over verdict, where a vehicle is in hand; else nothing."""

    menu_wanted = Signal()

    def __init__(self, desk: Desk, tasks: Tasks) -> None:
        super().__init__()
        self._desk = desk
        self._tasks = tasks
        self.setObjectName("frame")
        self.setAutoFillBackground(True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        theme = desk.look.theme
        self.rail = Rail(theme)
        self.verdict = VerdictStrip(theme)
        self.state = JobState(desk.document, self)
        self.open_menu = QMenu(self)
        self.open_menu.setObjectName("openMenu")
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.rail)
        column.addWidget(self.verdict)
        self.rail.menu_wanted.connect(self.menu_wanted)
        self.rail.stage_wanted.connect(lambda key: tasks.show(cast("Task", key)))
        self.rail.step_wanted.connect(self.follow)
        self.verdict.reason_wanted.connect(self.show_reason)
        self.state.told.connect(self._show)
        self._drop = LaterStill(self._show, self)
        self.state.forgot.connect(self._drop.start)
        tasks.hunted.connect(self._show_job)
        desk.document.opened.connect(self._show_vehicle)
        desk.document.changed.connect(self._show_vehicle)
        desk.turned.connect(self._turned)
        desk.pages.currentChanged.connect(self._turned)
        self._turned()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        self.state.catch_up()

    # --- what is shown --------------------------------------------------------------------------

    def set_theme(self, theme: Theme) -> None:
        """Draw in another look, and say everything in its language."""
        self.setPalette(palette(theme))
        self.rail.set_theme(theme)
        self.verdict.set_theme(theme)
        self._show()

    def _turned(self, *_: object) -> None:
        """Another page is shown: its stage is filled; dark where the page is."""
        shown = self._tasks.shown
        self.setVisible(bool(shown))
        theme = self._desk.look.theme
        if shown in BESIDE:
            theme = replace(PROBE, style=theme.style)
        if theme != self.rail.theme:
            self.set_theme(theme)
        self.rail.show_stage(shown)
        self._show_job()

    def _show_vehicle(self, *_: object) -> None:
        self.rail.show_vehicle(self._desk.document.vehicle.name)

    def _show(self) -> None:
        """Whatever is reckoned by now."""
        if self.state.job is not None:
            self._tasks.take_up_left_out()
        self._show_job()
        self.verdict.show_cells(self._cells())

    def _show_job(self) -> None:
        """The stages, and what comes next: of a hunt its own step, which comes before all else."""
        state, hunting = self.state, self._tasks.hunt_step
        self.rail.show_job(state.stages, state.title if hunting is None else hunting)

    def _cells(self) -> "dict[str, Cell | None]":
        state = self.state
        if state.job is None:
            return {"holds": None, "days": None, "open": None}
        # loaded when it is first needed: the start stays short
        from fusemap.job import days_cell, holds_cell, no_days_cell, open_cell

        days = None if state.standing is None else days_cell(state.standing)
        if state.problem is not None:
            days = no_days_cell(state.problem.text)
        left = open_cell(state.job) if state.asked else None
        return {"holds": holds_cell(state.job), "days": days, "open": left}

    # --- where it leads -------------------------------------------------------------------------

    def show_reason(self, key: str) -> None:
        """What a cell of the verdict rests on."""
        if key == "holds":
            self._tasks.show_whole("findings")
        elif key == "days":
            self._tasks.show("standing")
        else:
            self._show_open()

    def _show_open(self) -> None:
        """To what is open; where that is of more than one kind, to whichever is chosen."""
        job = self.state.job
        if job is None:
            return
        ways = (
            (job.unanswered, self.tr("Answer what the circuits are"), self._answer),
            (job.unplaced, self.tr("Place what has no source yet"), self._place),
            (job.asked, self.tr("Measure what makes it sure"), self._tasks.probe_sure),
        )
        there = [(words, go) for left, words, go in ways if left]
        if len(there) < 2:
            there[0][1]() if there else self._answer()
            return
        self.open_menu.clear()
        for words, go in there:
            self.open_menu.addAction(words).triggered.connect(partial(_call, go))
        cell = self.verdict.cells["open"]
        self.open_menu.popup(cell.mapToGlobal(QPoint(0, cell.height())))

    def _place(self) -> None:
        self._work("plan").focus_pane("shelf")

    def _answer(self) -> None:
        self._work("panel").show_circuits()

    def _work(self, stage: Task) -> "WorkArea":
        self._tasks.show(stage)
        work = self._desk.work
        assert work is not None, "its stage was shown"
        return work

    def follow(self) -> None:
        """Go where the next step leads."""
        if self._tasks.hunt_step is not None:
            self._tasks.to_what_is_out()
            return
        step = self.state.step
        if step is not None and step.title is not None:
            self._follow(step, step.lead)

    def _follow(self, step: "NextStep", lead: "Lead") -> None:
        if lead.how == "read":
            self._tasks.probe_at("feed" if lead.kind == "feed" else "slot", lead.id, lead.state)
            return
        work = self._work(lead.stage)
        kind_ = cast("PlaceKind", lead.kind)
        if lead.how == "finding" and step.finding is not None:
            work.show_finding(step.finding)
        elif lead.how == "panel" and not self._desk.document.vehicle.panels:
            work.panels.panel_wanted.emit()
        elif lead.how == "select":
            work.show_place(kind_, lead.id)
        elif lead.how == "tell":
            work.tell(kind_, lead.id)
        elif lead.how == "field":
            work.show_field(lead.kind, lead.id)
        elif lead.how == "circuits":
            self._desk.document.select(kind_, lead.id)
            work.show_circuits()
        elif lead.how == "battery":
            work.show_place("battery", "battery")
        elif lead.how == "add":
            work.search_accessories()
        elif lead.how == "place":
            work.start_placing(Payload(accessory=lead.id))
        elif lead.how == "paper":
            work.paper.show_part(lead.id)


def _call(go: Callable[[], object], checked: bool = False) -> None:
    """Go there, whatever the tick beside it says."""
    go()
