"""The plan for everything that has no source yet: where each lead would go, why, and what it does.

In: the document; the plan of `fusemap.placement.joint`. Out: one step of the history for the whole
plan. It is made when somebody looks, and anew when the vehicle changes.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout

from fusemap.vehicle import Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.forms.source_list import draw_source_mark
from fusemap.window.parts.catching_up import CatchingUp
from fusemap.window.parts.row_list import Line, RowList, RowLook
from fusemap.window.parts.row_model import RowModel
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import percent, quantity
from fusemap.window.texts.plain import embolden, plain_label

if TYPE_CHECKING:
    from fusemap.placement.joint import Placement, Plan


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("PlanPage", text)


class PlanPage(CatchingUp):
    """The plan with its reasons, its effect, and the button that takes it."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self.plan: Plan | None = None
        self.setObjectName("planPage")
        self.setAccessibleName(self.tr("Plan for the rest"))
        heading = plain_label("planHeading", self.tr("Plan the rest"))
        embolden(heading)
        self.summary = plain_label("planSummary")
        self.model = RowModel[RowLook](lambda look: look, self)
        self.list = RowList(theme, draw_source_mark)
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
        from fusemap.placement.joint import plan_rest

        self.plan = plan = plan_rest(self.document.assessment)
        vehicle = self.document.vehicle
        rows = [placed_look(vehicle, each) for each in plan.placed]
        for conflict in plan.conflicts:
            head, *rules = (said(reason) for reason in conflict.reasons)
            lines = (Line(head, "strong"), *(Line(rule, indent=1) for rule in rules))
            rows.append(RowLook(lines, mark="no"))
        self.model.set_rows(tuple(rows))
        self.list.setVisible(bool(rows))
        self.summary.setText(self._summary_words(plan))
        self.effect.setText(self._effect_words(plan))
        self.effect.setVisible(bool(self.effect.text()))
        self.button.setEnabled(any(not each.open for each in plan.placed))

    def _summary_words(self, plan: "Plan") -> str:
        if not plan.placed:
            return self.tr("Everything has a source. Add an accessory, and it is planned here.")
        words = [
            self.tr("Leads without a source: {n}; what is placed stays where it is.").format(
                n=len(plan.placed)
            )
        ]
        if plan.conflicts:
            words.append(self.tr("Not all of it fits; this is the least change that helps."))
            words += [said(change) for change in plan.changes]
        elif plan.proven:
            words.append(self.tr("No other plan loads contacts and feeds less, then draws less "
                                 "while parked, then needs fewer and shorter cables."))  # fmt: skip
        if not plan.proven:
            words.append(self.tr("The search was stopped; there may be a better plan."))
        return " ".join(words)

    def _effect_words(self, plan: "Plan") -> str:
        from fusemap.fixes.trial import effect_of
        from fusemap.placement.joint import fit_plan

        if not plan.placed:
            return ""
        effect = effect_of(self.document.assessment, lambda vehicle: fit_plan(vehicle, plan))
        lines = []
        if plan.worst_share:
            share = percent(plan.worst_share)
            lines.append(self.tr("Most loaded contact or feed: {share}").format(share=share))
        drawn = quantity(plan.rest_a, "A", 2)
        lines.append(self.tr("Parked it draws {drawn} more").format(drawn=drawn))
        lines.append(self._days_words(*effect.hours))
        for found in effect.added:
            if found.severity != "note":
                what = f"{said(found.where)}: {said(found.what)}"
                lines.append(self.tr("Then to look at: {what}").format(what=what))
        return "\n".join(line for line in lines if line)

    def _days_words(self, before: float, after: float) -> str:
        from fusemap.window.texts.numbers import duration

        if duration(before) == duration(after):
            return self.tr("Starts for {days}, as before").format(days=duration(after))
        return self.tr("Starts for {before} → {after}").format(
            before=duration(before), after=duration(after)
        )

    def came_into_view(self) -> None:
        """Make the plan when somebody looks, after what is there was painted."""
        if self._stale:
            self.summary.setText(self.tr("Planning …"))
            self._later.start()

    # --- what can be asked ------------------------------------------------------------------------

    def apply(self) -> None:
        """Take the whole plan, as one step."""
        from fusemap.placement.joint import fit_plan

        plan = self.plan
        if plan is not None and plan.placed:
            self.document.apply(self.tr("Plan the rest"), fit_plan, plan)


def placed_look(vehicle: Vehicle, each: "Placement") -> RowLook:
    """One lead of a plan: what goes where, and why."""
    name = look_up.accessory(vehicle, each.accessory_id).name
    if each.lead == "sense":
        name = tr("{name}, sense lead").format(name=name)
    if each.open:
        where = tr("no source")
    elif each.own is not None:
        where = tr("own feed with a relay") if each.own.relay else tr("own feed")
    else:
        assert each.slot_id is not None  # neither open nor an own feed
        where = look_up.slot_and_circuit(look_up.slot(vehicle, each.slot_id))
    words = " ".join(said(reason) for reason in each.reasons)
    colour = "drop_bad" if each.open else "caution" if each.change else "drop_good"
    lines = [Line(name, "strong", right=where, right_colour=colour)]
    lines.append(Line(words, colour="muted_text"))
    return RowLook(tuple(lines), mark="no" if each.open else "fits")
