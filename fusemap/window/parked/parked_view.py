"""How long the vehicle may stand, as a whole page: the answer, the plan, the chart, what draws.

In: the assessment's parked forecast, reckoned piece by piece while dots stand in its place. Out:
ticked changes taken into the plan as one step, `probe_wanted` for a reading, `go_wanted` for a
thing that draws; the picture as PNG or SVG, the figures as CSV.
"""

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path
from typing import Final

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QBoxLayout, QVBoxLayout, QWidget

from fusemap.assess import Assessment
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.rows import DrawRow, draw_rows
from fusemap.errors import FusemapError
from fusemap.fixes.together import with_all
from fusemap.fixes.what_if import WhatIf
from fusemap.text import Duration, many, run_on, say
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.form import scrolled
from fusemap.window.parked import page_words, parked_words
from fusemap.window.parked.chart_figures import Case, ChartFigures, chart_figures
from fusemap.window.parked.draws_list import DrawsList
from fusemap.window.parked.figure_label import DOTS
from fusemap.window.parked.help_list import HelpList
from fusemap.window.parked.known_words import Known, known
from fusemap.window.parked.links import link_button, link_sheet
from fusemap.window.parked.page_foot import PageFoot
from fusemap.window.parked.page_main import DAY_H, MainPart
from fusemap.window.parked.reckoning import READY, Reckoning
from fusemap.window.parked.sheet import Sheet
from fusemap.window.parked.surer import Surer, surer
from fusemap.window.parked.take_box import TakeBox
from fusemap.window.parts import export
from fusemap.window.parts.export import ask_for_file, write_drawing
from fusemap.window.parts.later import CatchingUp, Later
from fusemap.window.parts.layouts import turn
from fusemap.window.style.theme import Theme, space

WIDE: Final = 56
"""Heights of the font from which on the lists stand beside the chart."""
ROWS: Final = ((56, 16, 10), (44, 7, 7), (34, 7, 5), (0, 5, 5))
"""Of a page so high, in heights of the font, so many rows of what draws and of what would help."""


class ParkedView(CatchingUp):
    """Everything about the parked vehicle."""

    probe_wanted = Signal(str, str, str)
    """This slot is to be read now: its kind, its id, and the state; or `hunt` and nothing."""
    go_wanted = Signal(str, str)
    """To this thing, which was selected: its kind and its id."""

    def __init__(
        self, document: Document, theme: Theme, today: Callable[[], date] = date.today
    ) -> None:
        super().__init__(document)
        self._theme = theme
        self._today = today
        self.case: Case | None = None
        self.with_ticked: Case | None = None
        self.setObjectName("parkedView")
        self.setAccessibleName(self.tr("Standing"))
        self.reckoning = Reckoning(self)
        self.reckoning.answered.connect(self._answered)
        self.reckoning.found.connect(self._found)
        self.reckoning.together.connect(self._together)
        self.reckoning.failed.connect(self._show_problem)
        self.reckoning.refused.connect(self._cannot)
        self._make_parts()
        self.reckoning.gained.connect(self.what_if.show_gains)
        self._lay_out()
        self._wait()

    # --- its parts ------------------------------------------------------------------------------

    def _make_parts(self) -> None:
        document, theme = self.document, self._theme
        self.main = MainPart(theme)
        self.headline, self.verdict = self.main.headline, self.main.verdict
        self.chart = self.main.chart
        self.main.surer.wanted.connect(self._go_reading)
        self.main.known.wanted.connect(self._go_known)
        self.draws = DrawsList(theme)
        self.draws.go_wanted.connect(self._go)
        self.hunt = link_button(self.tr("Find what drains it…"))
        self.hunt.setObjectName("parkedHunt")
        self.hunt.setStyleSheet(link_sheet(theme))
        self.hunt.setToolTip(self.tr("Beside the vehicle, fuse by fuse, nothing pulled at first"))
        self.hunt.clicked.connect(lambda: self.probe_wanted.emit("hunt", "", ""))
        self.what_if = HelpList(theme)
        self.what_if.ticked.connect(self._ticked)
        self.take = TakeBox(theme)
        self.take.wanted.connect(self.apply)
        self.sheet = Sheet(document, theme)
        self.sheet.closed.connect(self._sheet_closed)
        self.foot = PageFoot(theme)
        self.foot.form_wanted.connect(self.open_form)
        self.foot.reckoned_wanted.connect(self._open_reckoned)
        self.foot.save_wanted.connect(self.save)

    def _lay_out(self) -> None:
        gap = space(self)
        self.lists = QWidget()
        self.lists.setObjectName("parkedLists")
        inside = QVBoxLayout(self.lists)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(gap)
        for part in (self.draws, self.hunt, self.what_if, self.sheet):
            inside.addWidget(part)
        inside.addStretch(1)
        self.side = QWidget()
        self._side_area = scrolled(QWidget())
        beside = QVBoxLayout(self.side)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.setSpacing(gap)
        beside.addWidget(self.sheet.head)
        beside.addWidget(self._side_area, 1)
        beside.addWidget(self.take)
        page = QWidget()
        page.setObjectName("parkedPage")
        self._page = QBoxLayout(QBoxLayout.Direction.LeftToRight, page)
        self._page.setContentsMargins(gap * 2, gap, gap * 2, gap)
        self._page.setSpacing(gap * 3)
        self._page.addWidget(self.main, 1)
        self._page.addWidget(self.side)
        self.area = scrolled(page)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.area, 1)
        self._column = column
        self._wide: bool | None = None
        self._fit = Later(self._give_room, self)
        self._turn(wide=True)

    @property
    def home(self) -> QWidget | None:
        """Where the keyboard goes."""
        return self.chart

    @property
    def parked(self) -> ParkedFigures | None:
        """The forecast shown; nothing while it is reckoned."""
        return None if self.case is None else self.case.parked

    # --- reckoning ------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        """Begin at the top: what was scrolled to when it was left is not what one comes for."""
        super().showEvent(event)
        for area in (self.area, self._side_area):
            area.verticalScrollBar().setValue(0)

    def show_soon(self, *_: object) -> None:
        """What stands here may not be true any more: dots, until it is reckoned anew."""
        if self.isVisible():
            self._wait()
        super().show_soon()

    def _wait(self) -> None:
        self.case = self.with_ticked = None
        self.reckoning.stop()
        self.main.wait()
        self.draws.wait()
        self.what_if.look()
        self.take.wait()

    def fill(self) -> None:
        """Reckon the vehicle as it is now."""
        assessment = self.document.assessment
        if self.case is not None and READY not in vars(assessment):
            self._wait()
        self.reckoning.start(assessment, tuple(each.key for each in self.what_if.chosen))

    def _assessment(self) -> Assessment:
        return self.document.assessment

    def _answered(self, case: Case) -> None:
        """The answer as it is."""
        self.case, self.with_ticked = case, None
        vehicle, style = self.document.vehicle, self._theme.style
        self._show_parts(on=True)
        ranges = {each.key: each.range for each in case.band.inputs}
        rows = draw_rows(self._assessment(), case.parked, ranges)
        span = min(case.parked.hours, case.parked.forecast.horizon_h)
        self.draws.show_rows(
            rows,
            style.show(say("usual mean, first {time}", time=Duration(span))) if span > 0 else "",
        )
        self.main.surer.show_found(surer(vehicle, case.band))
        self.foot.show_facts(
            style.show(page_words.battery_facts(vehicle, case.parked)),
            style.show(page_words.parking_facts(vehicle)),
        )
        self.main.known.show_known(known(self._assessment(), case))
        self.main.say_second(style.show(parked_words.second_battery(case.parked)))
        if self.sheet.showing == "reckoned":
            self._fill_reckoned(case)
        self._show()

    def _found(self, found: tuple[WhatIf, ...]) -> None:
        self.what_if.show_found(found)
        self._show()

    def _ticked(self, chosen: tuple[WhatIf, ...]) -> None:
        """Something was ticked: what it comes to is reckoned, as it is stays."""
        self.with_ticked = None
        self._show()
        self.reckoning.tick(chosen, self.what_if.others)

    def _together(self, case: Case | None) -> None:
        self.with_ticked = case
        self._show()

    def _cannot(self, changes: tuple[WhatIf, ...], error: FusemapError) -> None:
        """What was ticked cannot be done after the others: said, and taken away again."""
        self.what_if.untick(tuple(each.key for each in changes))
        self.document.refused.emit(error)
        self._ticked(self.what_if.chosen)

    # --- what is shown --------------------------------------------------------------------------

    def _show(self) -> None:
        """Answer, verdict and chart of what is known so far."""
        case = self.case
        if case is None:
            return
        style, n = self._theme.style, len(self.what_if.chosen)
        words = style.show(page_words.answer(case))
        if n:
            after = f"{style.show(many('With the ticked one:', 'With the {n} ticked:', n))} {DOTS}"
            if self.with_ticked is not None:
                after = style.show(page_words.ticked_answer(self.with_ticked, n))
            words = f"{words} {after}"
        self.headline.setText(words)
        self._show_verdict(case, n)
        self.take.show_case(case, self.with_ticked, n)
        figures = self._figures(case, self.with_ticked, n)
        self.chart.show_figures(figures)
        self.chart.setAccessibleDescription(f"{words} {self.verdict.text()}")
        self._fit.start()

    def _show_verdict(self, case: Case, n: int) -> None:
        style, parking = self._theme.style, self.document.vehicle.parking
        shown, plan_h = self.with_ticked or case, parking.stand_days * DAY_H
        if n and self.with_ticked is None:
            self.main.wait_for_verdict()
            return
        verdict = page_words.plan_verdict(shown, plan_h)
        ending = parked_words.ending(self._assessment(), case.parked, case.band, parking.stand_days)
        more = run_on(page_words.plan_more(shown, plan_h), "" if n else ending)
        words = page_words.plan_words(verdict, plan_h, n)
        self.main.say_verdict(verdict, style.show(words), style.show(more))

    def _figures(self, case: Case, ticked: Case | None, n: int) -> ChartFigures:
        """What the chart draws: as it is, with the ticked, the second battery."""
        return chart_figures(self._assessment(), case, ticked, n, self._today())

    def _show_problem(self, error: FusemapError) -> None:
        """What keeps the forecast from being made, instead of everything else."""
        self.case = self.with_ticked = None
        self.main.say_problem(self._theme.style.show(error.text))
        self._show_parts(on=False)

    def _show_parts(self, *, on: bool) -> None:
        self.main.show_parts(on=on)
        self.side.setVisible(on)

    def zoom_to(self, hours: float) -> None:
        """Show so many hours from locking on."""
        self.chart.zoom_to(hours)

    # --- what is done ---------------------------------------------------------------------------

    def apply(self) -> None:
        """Take all that is ticked into the plan: one step to be undone."""
        chosen = self.what_if.chosen
        if chosen:
            title = run_on(*(each.title for each in chosen), between="; ")
            self.what_if.list.setFocus(Qt.FocusReason.OtherFocusReason)
            self.what_if.untick(tuple(each.key for each in chosen))
            step = self._theme.style.show(title)
            self.document.apply(step, partial(_all_of, chosen))

    def _go(self, row: DrawRow) -> None:
        """To what a row of the draws stands for."""
        if row.target == "battery":
            self.open_form("battery", "")
        elif row.target == "vehicle":
            self.open_form("parking", "parking_rest_current_a")
        else:
            self.document.select(row.target, row.id)
            self.go_wanted.emit(row.target, row.id)

    def _go_reading(self, each: Surer) -> None:
        """To where a reading is taken or typed in."""
        if each.kind == "probe":
            self.probe_wanted.emit("slot", each.id, "asleep")
        elif each.kind == "start":
            self.probe_wanted.emit("start", "", "")
        elif each.kind == "accessory":
            self.document.select("accessory", each.id)
            self.go_wanted.emit("accessory", each.id)
        else:
            self.open_form(each.kind, each.field)

    def _go_known(self, each: Known) -> None:
        """To the details of something that the answer takes into account."""
        if each.form == "reckoned":
            self._open_reckoned()
        else:
            self.open_form(each.form, each.field)

    def open_form(self, form: str, field: str) -> None:
        """Open the form of the battery, or of how it is parked, with this field in hand."""
        self.sheet.show_form(form, field)
        self.lists_shown(False)

    def _open_reckoned(self) -> None:
        if self.case is not None:
            self._fill_reckoned(self.case)
            self.lists_shown(False)

    def _fill_reckoned(self, case: Case) -> None:
        self.sheet.show_reckoned(self._assessment(), case, self._figures(case, None, 0))

    def lists_shown(self, on: bool) -> None:
        """The lists, or the sheet in their place."""
        for part in (self.draws, self.hunt, self.what_if, self.take):
            part.setVisible(on)
        self.sheet.setVisible(not on)
        self._side_area.verticalScrollBar().setValue(0)
        self._give_width()
        self._fit.start()

    def _sheet_closed(self) -> None:
        self.lists_shown(True)
        self.foot.battery.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape closes what stands in the place of the lists, wherever the keyboard is."""
        if event.key() == Qt.Key.Key_Escape and self.sheet.showing:
            self.sheet.close_it()
            return
        super().keyPressEvent(event)

    # --- room -----------------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """The answer over the chart; the rest is scrolled to."""
        em = self.fontMetrics().height()
        return QSize(em * 26, em * 17)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where it is wide enough, else one below the other."""
        super().resizeEvent(event)
        em = self.fontMetrics().height()
        self._turn(wide=self.width() >= em * WIDE)
        self._give_width()
        draws, helps = next(rows for high, *rows in ROWS if self.height() >= em * high)
        self.draws.give_room(draws)
        self.what_if.give_room(helps)
        self.foot.turn(wide=self.width() >= em * WIDE)
        self._fit.start()

    def _give_width(self) -> None:
        """The lists beside the chart; a form needs more."""
        em = self.fontMetrics().height()
        if self._wide:
            part, least = (0.36, em * 25) if self.sheet.showing else (0.29, em * 20)
            wide = min(max(self.width() * part, least), em * 30)
            if self.sheet.showing:  # never scrolled sideways
                bar = self._side_area.verticalScrollBar().sizeHint().width()
                wide = max(wide, self.lists.minimumSizeHint().width() + bar + 2)
            self.side.setFixedWidth(round(wide))

    def _give_room(self) -> None:
        """As high as the words need at this width; what is higher than the room is scrolled."""
        self._give_width()
        for area in (self._side_area, self.area):
            inside = area.widget()
            layout = None if inside is None else inside.layout()
            if layout is not None and inside is not None:
                inside.setMinimumHeight(layout.minimumHeightForWidth(area.viewport().width()))

    def _turn(self, *, wide: bool) -> None:
        """The lists scroll by themselves beside the chart, and with the page below it."""
        if wide == self._wide:
            return
        self._wide = wide
        turn(self._page, wide)
        # where the page is scrolled anyway the chart need not be low
        self.chart.setMinimumHeight(0 if wide else self.fontMetrics().height() * 18)
        layout = self.side.layout()
        assert isinstance(layout, QVBoxLayout)
        if wide:
            layout.removeWidget(self.lists)
            self._side_area.setWidget(self.lists)
        else:
            self._side_area.takeWidget()
            layout.insertWidget(1, self.lists)
            self.side.setMinimumWidth(0)
            self.side.setMaximumWidth(16777215)
        self.lists.show()
        self._side_area.setVisible(wide)
        # last, so that the keyboard comes to it last
        (self._column if wide else self._page).addWidget(self.foot)

    # --- files ----------------------------------------------------------------------------------

    def save(self, kind: str) -> None:
        """Ask where to save the chart (png, svg), its course or what draws (csv, table)."""
        if self.case is None:
            return
        what = self.tr("parked table") if kind == "table" else self.tr("parked")
        ask_for_file(self, self.document, what, kind, self.write)

    def write(self, kind: str, path: Path) -> None:
        """Write one of these files. Raises `FileProblem` when it cannot be written."""
        figures = self.chart.figures
        if self.case is None or figures is None:
            return
        if kind in ("png", "svg"):
            ground, title = self._theme.colour("base"), self.headline.text()
            write_drawing(kind, path, self.chart.picture(), ground, title)
        elif kind == "csv":
            course = parked_words.series(self.case.parked, self.case.band)
            header = parked_words.sample_header(course, self._theme.style)
            export.write_csv(path, header, parked_words.sample_rows(course))
        else:
            export.write_csv(path, self.draws.header_words, self.draws.rows())


def _all_of(changes: tuple[WhatIf, ...], vehicle: Vehicle) -> Vehicle:
    """The vehicle with every one of these done to it."""
    return with_all(vehicle, changes)
