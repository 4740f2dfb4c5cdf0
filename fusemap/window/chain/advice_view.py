"""What would be right for one tap: fuse and cable in a sentence, why, and one click to adopt.

In: the document, a tap; of it a `Proposal`, and the published ampacities beside the model's. Out:
one undoable edit. Below stand every section with every criterion, in tables of figures. Computed
when it is looked at.
"""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from fusemap.advise import advice
from fusemap.advise.advice import fault_current
from fusemap.advise.proposal import Beside, Proposal, proposal, published
from fusemap.assess.words import fuse_words
from fusemap.electrics.sizing import CRITERIA
from fusemap.electrics.values import Comparison
from fusemap.text import Amount, Argument, Section, Style, Text, in_row, run_on, say, share
from fusemap.vehicle import Fuse, edits, look_up
from fusemap.window.chain.band_words import order_words
from fusemap.window.document import Document
from fusemap.window.parts.figure_table import Cell, Column, FigureTable
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label

NOTHING: Final = Text("")
"""What is said where there is nothing to say."""
GOOD_TO: Final = 0.2
"""How far the heat model may be off [-]: against the published tables."""


def headline(p: Proposal) -> Text:
    """The whole proposal in a sentence."""
    both = _both(p)
    if not both:
        return _no_proposal(p)
    words = in_row(both, "and")
    if not p.changes:
        return say("Fuse and cable are right as they are: {both}.", both=words)
    if p.holds_now:
        return say("Fuse and cable hold as they are. The smallest that hold: {both}.", both=words)
    return say("Right would be {both}.", both=words)


def _both(p: Proposal) -> list[Argument]:
    """Fuse and section that are proposed; empty where there are none."""
    parts: list[Argument] = [] if p.fuse is None else [fuse_words(p.fuse)]
    if p.section_mm2 is not None:
        parts.append(Section(p.section_mm2))
    return parts


NO_FUSE: Final = {
    "load": say("No fuse of this family carries this load: use an own feed, with a relay."),
    "inrush": say("No fuse of this family bears the inrush: use a soft start."),
    "tap": say("The fuse this load needs is above what the fuse tap takes: use an own feed."),
    "host": say("The fuse this load needs is above the host fuse: use another slot."),
}
"""Why no fuse can be proposed."""


def _no_proposal(p: Proposal) -> Text:
    choice = p.advice.fuse
    if choice is None:
        return say(
            "Nothing can be proposed: enter the accessory fuse, so that its family is known."
        )
    if choice.rating_a is None:
        return NO_FUSE.get(choice.reason, say("No fuse will do."))
    return say("No fuse and section on offer make every hop hold: shorten the run, or move it.")


NO_SMALLER_FUSE: Final = {
    "load": say("the next smaller does not carry the load"),
    "inrush": say("the next smaller does not bear the inrush"),
    "": say("the smallest there is"),
}
"""Why it is not the next smaller fuse."""


def fuse_line(p: Proposal) -> Text:
    """Which fuse, why that one, and what is there."""
    choice = p.advice.fuse
    if choice is None or p.fuse is None:
        return NOTHING
    reason: Argument = NO_SMALLER_FUSE.get(choice.reason, choice.reason)
    if choice.rating_a != p.fuse.rating:
        reason = say("behind a smaller one no section on offer holds")
    line = say("Fuse: {fuse}; {reason}.", fuse=fuse_words(p.fuse), reason=reason)
    unknown = say("Its inrush could not be checked.") if choice.inrush_unknown else NOTHING
    return run_on(line, unknown, _there(_fuse_there(p.tap.fuse)))


def _fuse_there(fuse: Fuse | None) -> Text:
    return say("none") if fuse is None else fuse_words(fuse)


def cable_line(p: Proposal) -> Text:
    """Which section, which criterion decided, and what is there."""
    if p.sections is None or p.section_mm2 is None or p.tap.cable_out is None:
        return NOTHING
    line = say(
        "Cable: {section}; what decided: {reason}.",
        section=Section(p.section_mm2),
        reason=advice.CRITERION_WORDS[p.sections.decided_by],
    )
    return run_on(line, _there(Section(p.tap.cable_out.section_mm2)))


def _there(what: Argument) -> Text:
    return say("There now: {what}.", what=what)


def longest_line(p: Proposal) -> Text:
    """How long the cable that is there may be for a short at its end to open the fuse."""
    tap, longest = p.tap, p.advice.longest_m
    if longest is None or tap.cable_out is None:
        return NOTHING
    there = tap.cable_out.whole_m + (0.0 if tap.cable_back is None else tap.cable_back.whole_m)
    parts: dict[str, Argument] = {
        "section": Section(tap.cable_out.section_mm2),
        "longest": Amount(longest, "m"),
        "there": Amount(there, "m"),
    }
    if there <= longest:
        return say("A short at the end of {section} still opens the fuse up to {longest} of "
                   "conductor, out and back; here it is {there}.", **parts)  # fmt: skip
    return say("Too long: a short at the end of {section} opens the fuse only up to {longest} of "
               "conductor, out and back; here it is {there}.", **parts)  # fmt: skip


def elsewhere_line(p: Proposal) -> Text:
    """What does not hold and has another cause than this fuse and this cable."""
    if not p.elsewhere:
        return NOTHING
    names = run_on(*(hop.title for hop in p.elsewhere), between="; ")
    return say("No fuse or cable of this tap cures: {hops}.", hops=names)


# --- every section with every criterion ---------------------------------------------------------


def section_columns(p: Proposal, style: Style) -> tuple[Column, ...]:
    """The criteria with their limits."""
    assert p.sections is not None
    verdict = style.show(say("Verdict"))
    return (
        Column(style.show(say("Section")), style.show(say("Section [mm²]"))),
        Column(verdict, verdict),
        *(_criterion_column(key, p.sections.checks[key], style) for key in tightest_first(p)),
    )


def tightest_first(p: Proposal) -> list[str]:
    """The criteria, first those that ask most of the section proposed, or of the thickest."""
    assert p.sections is not None
    areas = advice.sections().area_mm2
    row = -1 if p.section_mm2 is None else int(np.searchsorted(areas, p.section_mm2))
    asked = {
        key: float(np.broadcast_to(p.sections.checks[key].ratio, len(areas))[row])
        for key in CRITERIA
    }
    decided = p.sections.decided_by
    return sorted(CRITERIA, key=lambda key: (key != decided, -asked[key]))


def _criterion_column(key: str, check: Comparison, style: Style) -> Column:
    name, limit = style.show(CRITERION_TITLES[key]), float(np.asarray(check.limit).flat[0])
    least = check.direction == "at_least"
    words = f"{'≥' if least else '≤'} {style.show(Amount(limit, check.unit))}"
    if np.size(check.limit) > 1:  # each section has its own limit
        words = style.show(say("share of limit"))
    file_title = f"{name} [{check.unit}], {words}"
    return Column(f"{name}\n{words}", file_title, style.show(advice.CRITERION_WORDS[key]))


CRITERION_TITLES: Final = {
    "drop": say("Drop"),
    "heat": say("Warmth"),
    "overload": say("Overload"),
    "short": say("Hard short"),
    "far_end": say("Far end"),
    "floor": say("Strength"),
}
"""A criterion in a word or two."""


def section_cells(p: Proposal, style: Style) -> Iterator[tuple[Cell, ...]]:
    """A row for every section on offer."""
    assert p.sections is not None
    areas = advice.sections().area_mm2
    for row, area in enumerate(areas):
        proposed = p.section_mm2 == area
        yield (
            Cell(style.show(Section(float(area))), float(area), strong=proposed, number=False),
            _verdict(p, float(area), bool(p.sections.passes[row]), proposed, style),
            *(
                _criterion(p.sections.checks[key], row, len(areas), style)
                for key in tightest_first(p)
            ),
        )


def _verdict(p: Proposal, area: float, passes: bool, proposed: bool, style: Style) -> Cell:
    there = p.tap.cable_out is not None and p.tap.cable_out.section_mm2 == area
    verdict = say("holds") if passes else say("does not hold")
    if proposed:
        verdict = say("proposed")
    if there:
        verdict = say("{verdict}, there now", verdict=verdict)
    words = style.show(verdict)
    return Cell(words, words, wrong=not passes, strong=proposed, number=False)


def _criterion(check: Comparison, row: int, count: int, style: Style) -> Cell:
    """What a section comes to; where each has its own limit, its share of that."""
    wrong = not bool(np.broadcast_to(check.passed, count)[row])
    if np.size(check.limit) > 1:
        ratio = float(np.broadcast_to(check.ratio, count)[row])
        return Cell(style.show(share(ratio)), _plain(ratio), wrong=wrong)
    found = float(np.broadcast_to(np.asarray(check.found), count)[row])
    return Cell(style.show(Amount(found, check.unit)), _plain(found), wrong=wrong)


def _plain(value: float) -> float | None:
    return float(f"{value:.6g}") if np.isfinite(value) else None


def first_row(p: Proposal) -> int:
    """The row to show first: one above the thinner of what is there and what is proposed."""
    areas = advice.sections().area_mm2
    marked = [p.section_mm2, None if p.tap.cable_out is None else p.tap.cable_out.section_mm2]
    rows = [int(np.searchsorted(areas, area)) for area in marked if area is not None]
    return max(0, min(rows, default=0) - 1)


# --- published beside the model -----------------------------------------------------------------


def beside_columns(style: Style) -> tuple[Column, ...]:
    """Both currents, the ratio, what the published one holds for, where it stands."""
    return tuple(
        Column(style.show(title), style.show(file_title), style.show(hint))
        for title, file_title, hint in (
            (say("Published"), say("Published [A]"), NOTHING),
            (say("Model"), say("Model [A]"), NOTHING),
            (
                say("Model ÷\npublished"),
                say("Model over published"),
                say("The model is good to ±20 % on the mean; single tables differ more"),
            ),
            (say("For"), say("For"), NOTHING),
            (say("Published in"), say("Published in"), NOTHING),
        )
    )


def beside_cells(rows: tuple[Beside, ...], style: Style) -> Iterator[tuple[Cell, ...]]:
    """A row for every published value."""
    for each in rows:
        source, held_for = style.show(each.row.source.text), style.show(_held_for(each))
        yield (
            Cell(style.show(Amount(each.row.current_a, "A")), each.row.current_a),
            _model_cell(each, style),
            _ratio_cell(each, style),
            Cell(held_for, held_for, number=False),
            Cell(source, source, number=False),
        )


def _held_for(each: Beside) -> Text:
    row = each.row
    parts: list[Argument] = [row.size, Text(row.arrangement)]
    if row.conductor_c is not None:
        parts.append(say("conductor {t}", t=Amount(row.conductor_c, "°C")))
    if row.ambient_c is not None:
        parts.append(say("ambient {t}", t=Amount(row.ambient_c, "°C")))
    return in_row(parts)


def _model_cell(each: Beside, style: Style) -> Cell:
    if each.model_a is None:
        return Cell(style.show(say("not comparable")), None)
    return Cell(style.show(Amount(each.model_a, "A")), _plain(each.model_a))


def _ratio_cell(each: Beside, style: Style) -> Cell:
    if each.ratio is None:
        return Cell("–", None)
    far = abs(each.ratio - 1) > GOOD_TO
    words = style.number(each.ratio, 2)
    if far:
        words = f"{words} ({style.show(say('apart'))})"
    return Cell(words, round(each.ratio, 3), strong=far)


def step_words(name: str, changes: dict[str, Any], p: Proposal) -> Text:
    """What the history calls adopting it."""
    parts: list[Argument] = []
    if "fuse" in changes and p.fuse is not None:
        parts.append(fuse_words(p.fuse))
    if "cable_out" in changes or "cable_back" in changes:
        parts.append(Section(p.section_mm2 or 0.0))
    return say("{name}: adopt {what}", name=name, what=in_row(parts, "and"))


LINES: Final = ("fuse", "cable", "longest", "order", "elsewhere")
"""What is said below the proposal, a line each where there is something to say."""


class AdviceView(QWidget):
    """The proposal for the tap that is shown."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self._style = theme.style
        self.tap_id = ""
        self.proposal: Proposal | None = None
        self.setObjectName("adviceView")
        self.setAccessibleName(self.tr("What would be right"))
        self.headline = copyable_label("adviceHeadline", strong=True)
        self.adopt_button = QPushButton(self.tr("Adopt this"))
        self.adopt_button.setObjectName("adviceAdopt")
        self.adopt_button.clicked.connect(self.adopt)
        self.lines = {key: copyable_label(f"advice_{key}") for key in LINES}
        self.sections_title = copyable_label("adviceSectionsTitle", strong=True)
        self.sections = FigureTable(document, theme, "adviceSections", self.tr("Sections on offer"))
        self.beside_title = copyable_label("advicePublishedTitle", strong=True)
        self.beside_note = copyable_label("advicePublishedNote")
        self.beside_note.setProperty("muted", True)
        self.beside = FigureTable(
            document, theme, "advicePublished", self.tr("Published beside the model")
        )
        self._lay_out()

    def _lay_out(self) -> None:
        gap = space(self, "medium")
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.headline)
        column.addWidget(self.adopt_button, 0, Qt.AlignmentFlag.AlignLeft)
        for line in self.lines.values():
            column.addWidget(line)
        for widget in (self.sections_title, self.sections):
            column.addWidget(widget)
        for widget in (self.beside_title, self.beside_note, self.beside):
            column.addWidget(widget)
        column.addStretch(1)

    # --- what is shown --------------------------------------------------------------------------

    def show_tap(self, tap_id: str) -> None:
        """Show what would be right for this tap as it is now."""
        self.tap_id = tap_id
        if not tap_id:
            self.proposal = None
            return
        a = self.document.assessment
        found = self.proposal = proposal(a, tap_id)
        self.headline.setText(self._style.show(headline(found)))
        self.adopt_button.setVisible(bool(found.changes))
        self._show_lines(found, fault_current(a, tap_id))
        self._show_sections(found)
        self._show_published(found)

    def _show_lines(self, found: Proposal, fault_a: float | None) -> None:
        texts = {
            "fuse": fuse_line(found),
            "cable": cable_line(found),
            "longest": longest_line(found),
            "order": order_words(found.advice.order, fault_a) or NOTHING,
            "elsewhere": elsewhere_line(found),
        }
        for key, label in self.lines.items():
            label.setText(self._style.show(texts[key]))
            label.setVisible(bool(texts[key]))

    def _show_sections(self, found: Proposal) -> None:
        there = found.sections is not None
        for widget in (self.sections_title, self.sections):
            widget.setVisible(there)
        if there:
            guard = found.fuse or found.tap.fuse
            title = (
                say("Every section")
                if guard is None
                else say("Every section behind {fuse}", fuse=fuse_words(guard))
            )
            self.sections_title.setText(self._style.show(title))
            self.sections.show_cells(
                section_columns(found, self._style),
                tuple(section_cells(found, self._style)),
                first=first_row(found),
            )

    def _show_published(self, found: Proposal) -> None:
        cable = found.tap.cable_out
        rows = () if cable is None else published(cable.section_mm2, cable.insulation)
        for widget in (self.beside_title, self.beside_note, self.beside):
            widget.setVisible(bool(rows))
        if cable is None or not rows:
            return
        title = say("Published for {section}, beside the model", section=Section(cable.section_mm2))
        self.beside_title.setText(self._style.show(title))
        self.beside_note.setText(
            self.tr(
                "The model is for one vehicle cable in still air, each at the table’s own "
                "temperatures; on the mean of the tables it is good to ±20 %. Where both differ "
                "more, go by the lower."
            )
        )
        self.beside.show_cells(beside_columns(self._style), tuple(beside_cells(rows, self._style)))

    # --- what is asked for ----------------------------------------------------------------------

    def adopt(self) -> None:
        """Put the proposed fuse and cable there, as one step."""
        found = self.proposal
        if found is None or not found.changes:
            return
        accessory = look_up.accessory(self.document.vehicle, found.tap.accessory)
        text = step_words(accessory.name, found.changes, found)
        self.document.apply(self._style.show(text), edits.change_tap, found.tap.id, **found.changes)
