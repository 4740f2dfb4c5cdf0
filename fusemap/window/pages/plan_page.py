"""The plan for everything that has no source yet: where each lead would go, why, and what it does.

In: the document; the plan of `fusemap.placement.joint`. Out: one step of the history for the whole
plan. It is made when somebody looks, and anew when the vehicle changes; what makes it takes long to
load, so that it is loaded once the page has been painted.
"""

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from fusemap.text import ENGLISH, Amount, Argument, Duration, Style, Text, run_on, say, share
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.forms.source_list import draw_source_mark
from fusemap.window.parts.later import CatchingUp
from fusemap.window.parts.row_list import Line, RowLook, RowModel, ShortRowList
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_label

if TYPE_CHECKING:
    from fusemap.placement.joint import Placement, Plan


class PlanPage(CatchingUp):
    """The plan with its reasons, its effect, and the button that takes it."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._style = theme.style
        self.plan: Plan | None = None
        self.setObjectName("planPage")
        self.setAccessibleName(self.tr("Plan for the rest"))
        heading = plain_label("planHeading", self.tr("Plan the rest"))
        embolden(heading)
        self.summary = plain_label("planSummary")
        self.model = RowModel[RowLook](lambda look: look, self)
        self.list = ShortRowList(theme, draw_source_mark)
        self.list.setObjectName("planRows")
        self.list.setAccessibleName(self.tr("Where each lead would go"))
        self.list.setModel(self.model)
        self.effect = plain_label("planEffect")
        self.button = QPushButton(self.tr("Apply the plan"))
        self.button.setObjectName("planApply")
        self.button.setToolTip(self.tr("All of it as one step; Undo takes it back"))
        self.button.clicked.connect(self.apply)
        row = QHBoxLayout()
        row.addWidget(self.button)
        row.addStretch(1)
        column = QVBoxLayout(self)
        edge = space(self, "medium")
        column.setContentsMargins(edge, edge, edge, edge)
        column.setSpacing(space(self, "small"))
        column.addWidget(heading)
        column.addWidget(self.summary)
        column.addWidget(self.list, 1)
        column.addWidget(self.effect)
        column.addLayout(row)
        column.addStretch()  # takes the room where there is no list

    # --- what is shown ----------------------------------------------------------------------------

    def fill(self) -> None:
        """Make the plan for the vehicle as it is now, and show it."""
        # loaded when it is first needed: the start stays short
        from fusemap.placement.joint import plan_rest

        self.plan = plan = plan_rest(self.document.assessment)
        vehicle = self.document.vehicle
        rows = [placed_look(vehicle, each, self._style) for each in plan.placed]
        for conflict in plan.conflicts:
            head, *rules = map(self._style.show, conflict.reasons)
            lines = (Line(head, "strong"), *(Line(rule, indent=1) for rule in rules))
            rows.append(RowLook(lines, mark="no"))
        self.model.set_rows(tuple(rows))
        self.list.setVisible(bool(rows))
        self.summary.setText(self._style.show(summary_words(plan)))
        self.effect.setText("\n".join(map(self._style.show, self._effect_lines(plan))))
        self.effect.setVisible(bool(self.effect.text()))
        self.button.setEnabled(any(not each.open for each in plan.placed))

    def _effect_lines(self, plan: "Plan") -> list[Text]:
        # loaded when it is first needed: the start stays short
        from fusemap.fixes.trial import effect_of
        from fusemap.placement.joint import fit_plan

        if not plan.placed:
            return []
        effect = effect_of(self.document.assessment, lambda vehicle: fit_plan(vehicle, plan))
        lines = []
        if plan.worst_share:
            worst = share(plan.worst_share)
            lines.append(say("Most loaded contact or feed: {share}", share=worst))
        drawn = Amount(plan.rest_a, "A", significant=2)
        lines.append(say("Parked it draws {drawn} more", drawn=drawn))
        lines.append(days_words(*effect.hours))
        for found in effect.added:
            if found.severity != "note":
                what = run_on(found.where, found.what, between=": ")
                lines.append(say("Then to look at: {what}", what=what))
        return lines

    def came_into_view(self) -> None:
        """Make the plan when somebody looks, after what is there was painted."""
        if self._stale:
            self.summary.setText(self.tr("Planning …"))
            self._later.start()

    # --- what can be asked ------------------------------------------------------------------------

    def apply(self) -> None:
        """Take the whole plan, as one step."""
        # loaded when it is first needed: the start stays short
        from fusemap.placement.joint import fit_plan

        plan = self.plan
        if plan is not None and plan.placed:
            self.document.apply(self.tr("Plan the rest"), fit_plan, plan)


def summary_words(plan: "Plan") -> Text:
    """How much is planned, and how good the plan is."""
    if not plan.placed:
        return say("Everything has a source. Add an accessory, and it is planned here.")
    leads = len(plan.placed)
    words: list[Argument] = [
        say("Leads without a source: {n}; what is placed stays where it is.", n=leads)
    ]
    if plan.conflicts:
        words.append(say("Not all of it fits; this is the least change that helps."))
        words += plan.changes
    elif plan.proven:
        words.append(say("No other plan keeps more to comfort circuits, then loads contacts and "
                         "feeds less, then draws less while parked, then needs fewer and shorter "
                         "cables."))  # fmt: skip
    if plan.measure:
        words.append(say("Not sure yet. {measure}", measure=plan.measure))
    if not plan.proven:
        words.append(say("The search was stopped; there may be a better plan."))
    return run_on(*words)


def days_words(before_h: float, after_h: float) -> Text:
    """For how long it starts, before and with the plan [h]."""
    before, after = Duration(before_h), Duration(after_h)
    if ENGLISH.show(before) == ENGLISH.show(after):
        return say("Starts by the usual figures for {days}, as before", days=after)
    return say("Starts by the usual figures for {before} → {after}", before=before, after=after)


def placed_look(vehicle: Vehicle, each: "Placement", style: Style) -> RowLook:
    """One lead of a plan: what goes where, and why."""
    name: Argument = look_up.accessory(vehicle, each.accessory_id).name
    if each.lead == "sense":
        name = say("{name}, sense lead", name=name)
    where: Argument
    if each.open:
        where = say("no source")
    elif each.own is not None:
        where = say("own feed with a relay") if each.own.relay else say("own feed")
    else:
        assert each.slot_id is not None  # neither open nor an own feed
        where = look_up.slot_with_circuit(look_up.slot(vehicle, each.slot_id))
    words = style.show(run_on(*each.reasons))
    colour = "drop_bad" if each.open else "caution" if each.change else "drop_good"
    lines = [Line(style.show(name), "strong", right=style.show(where), right_colour=colour)]
    lines.append(Line(words, colour="muted_text"))
    return RowLook(tuple(lines), mark="no" if each.open else "fits")
