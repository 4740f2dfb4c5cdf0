"""What would be right for a tap, in words and cells. No Qt widgets.

In: a `Proposal`, the published ampacities beside the model's. Out: sentences, rows for tables.
"""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np
from PySide6.QtCore import QCoreApplication

from fusemap.advise import advice
from fusemap.advise.proposal import Beside, Proposal
from fusemap.assess.words import fuse_words
from fusemap.electrics.comparison import Comparison
from fusemap.electrics.sizing import CRITERIA
from fusemap.vehicle import Fuse
from fusemap.window.parts.figure_table import Cell, Column
from fusemap.window.texts.languages import said, section_words
from fusemap.window.texts.numbers import digits, percent, quantity

GOOD_TO: Final = 0.2
"""How far the heat model may be off [-]: against the published tables."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("AdviceView", text)


def headline(p: Proposal) -> str:
    """The whole proposal in a sentence."""
    words = both_words(p)
    if not words:
        return _no_proposal(p)
    if not p.changes:
        return tr("Fuse and cable are right as they are: {both}.").format(both=words)
    if p.holds_now:
        words_now = tr("Fuse and cable hold as they are. The smallest that hold: {both}.")
        return words_now.format(both=words)
    return tr("Right would be {both}.").format(both=words)


def both_words(p: Proposal) -> str:
    """Fuse and section that are proposed; empty where there are none."""
    parts = [] if p.fuse is None else [said(fuse_words(p.fuse))]
    if p.section_mm2 is not None:
        parts.append(section_words(p.section_mm2))
    return tr(" and ").join(parts)


def _no_proposal(p: Proposal) -> str:
    choice = p.advice.fuse
    if choice is None:
        return tr("Nothing can be proposed: enter the accessory fuse, so that its family is known.")
    if choice.rating_a is None:
        return {
            "load": tr("No fuse of this family carries this load: use an own feed, with a relay."),
            "inrush": tr("No fuse of this family bears the inrush: use a soft start."),
            "tap": tr(
                "The fuse this load needs is above what the fuse tap takes: use an own feed."
            ),
            "host": tr("The fuse this load needs is above the host fuse: use another slot."),
        }.get(choice.reason, tr("No fuse will do."))
    return tr("No fuse and section on offer make every hop hold: shorten the run, or move it.")


def fuse_line(p: Proposal) -> str:
    """Which fuse, why that one, and what is there."""
    choice = p.advice.fuse
    if choice is None or p.fuse is None:
        return ""
    reason = {
        "load": tr("the next smaller does not carry the load"),
        "inrush": tr("the next smaller does not bear the inrush"),
        "": tr("the smallest there is"),
    }.get(choice.reason, said(choice.reason))
    if choice.rating_a != p.fuse.rating:
        reason = tr("behind a smaller one no section on offer holds")
    line = tr("Fuse: {fuse}; {reason}.").format(fuse=said(fuse_words(p.fuse)), reason=reason)
    unknown = tr("Its inrush could not be checked.") if choice.inrush_unknown else ""
    return " ".join(part for part in (line, unknown, _there(_fuse_there(p.tap.fuse))) if part)


def _fuse_there(fuse: Fuse | None) -> str:
    return tr("none") if fuse is None else said(fuse_words(fuse))


def cable_line(p: Proposal) -> str:
    """Which section, which criterion decided, and what is there."""
    if p.sections is None or p.section_mm2 is None or p.tap.cable_out is None:
        return ""
    reason = said(advice.CRITERION_WORDS[p.sections.decided_by])
    words = tr("Cable: {section}; what decided: {reason}.")
    line = words.format(section=section_words(p.section_mm2), reason=reason)
    return f"{line} {_there(section_words(p.tap.cable_out.section_mm2))}"


def _there(words: str) -> str:
    return tr("There now: {what}.").format(what=words)


def longest_line(p: Proposal) -> str:
    """How long the cable that is there may be for a short at its end to open the fuse."""
    tap, longest = p.tap, p.advice.longest_m
    if longest is None or tap.cable_out is None:
        return ""
    there = tap.cable_out.length_m + (0.0 if tap.cable_back is None else tap.cable_back.length_m)
    words = (
        tr("A short at the end of {section} still opens the fuse up to {longest} of conductor, out "
           "and back; here it is {there}.")
        if there <= longest
        else tr("Too long: a short at the end of {section} opens the fuse only up to {longest} of "
                "conductor, out and back; here it is {there}.")
    )  # fmt: skip
    return words.format(
        section=section_words(tap.cable_out.section_mm2),
        longest=quantity(longest, "m"),
        there=quantity(there, "m"),
    )


def elsewhere_line(p: Proposal) -> str:
    """What does not hold and has another cause than this fuse and this cable."""
    if not p.elsewhere:
        return ""
    names = "; ".join(said(hop.title) for hop in p.elsewhere)
    return tr("No fuse or cable of this tap cures: {hops}.").format(hops=names)


# --- every section with every criterion ---------------------------------------------------------


def section_columns(p: Proposal) -> tuple[Column, ...]:
    """The criteria with their limits."""
    assert p.sections is not None
    return (
        Column(tr("Section"), tr("Section [mm²]")),
        Column(tr("Verdict"), tr("Verdict")),
        *(_criterion_column(key, p.sections.checks[key]) for key in tightest_first(p)),
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


def _criterion_column(key: str, check: Comparison) -> Column:
    name, limit = criterion_title(key), float(np.asarray(check.limit).flat[0])
    least = check.direction == "at_least"
    words = f"{'≥' if least else '≤'} {quantity(limit, check.unit, 3)}"
    if np.size(check.limit) > 1:  # each section has its own limit
        words = tr("share of limit")
    file_title = f"{name} [{check.unit}], {words}"
    return Column(f"{name}\n{words}", file_title, said(advice.CRITERION_WORDS[key]))


def criterion_title(key: str) -> str:
    """A criterion in a word or two."""
    return {
        "drop": tr("Drop"),
        "heat": tr("Warmth"),
        "overload": tr("Overload"),
        "short": tr("Hard short"),
        "far_end": tr("Far end"),
        "floor": tr("Strength"),
    }[key]


def section_cells(p: Proposal) -> Iterator[tuple[Cell, ...]]:
    """A row for every section on offer."""
    assert p.sections is not None
    areas = advice.sections().area_mm2
    for row, area in enumerate(areas):
        proposed = p.section_mm2 == area
        yield (
            Cell(section_words(float(area)), float(area), strong=proposed, number=False),
            _verdict(p, float(area), bool(p.sections.passes[row]), proposed),
            *(_criterion(p.sections.checks[key], row, len(areas)) for key in tightest_first(p)),
        )


def _verdict(p: Proposal, area: float, passes: bool, proposed: bool) -> Cell:
    there = p.tap.cable_out is not None and p.tap.cable_out.section_mm2 == area
    words = tr("holds") if passes else tr("does not hold")
    if proposed:
        words = tr("proposed")
    if there:
        words = tr("{verdict}, there now").format(verdict=words)
    return Cell(words, words, wrong=not passes, strong=proposed, number=False)


def _criterion(check: Comparison, row: int, count: int) -> Cell:
    """What a section comes to; where each has its own limit, its share of that."""
    wrong = not bool(np.broadcast_to(check.passed, count)[row])
    if np.size(check.limit) > 1:
        ratio = float(np.broadcast_to(check.ratio, count)[row])
        return Cell(percent(ratio), _plain(ratio), wrong=wrong)
    found = float(np.broadcast_to(np.asarray(check.found), count)[row])
    return Cell(quantity(found, check.unit, 3), _plain(found), wrong=wrong)


def _plain(value: float) -> float | None:
    return float(f"{value:.6g}") if np.isfinite(value) else None


def first_row(p: Proposal) -> int:
    """The row to show first: one above the thinner of what is there and what is proposed."""
    areas = advice.sections().area_mm2
    marked = [p.section_mm2, None if p.tap.cable_out is None else p.tap.cable_out.section_mm2]
    rows = [int(np.searchsorted(areas, area)) for area in marked if area is not None]
    return max(0, min(rows, default=0) - 1)


# --- published beside the model -----------------------------------------------------------------


def beside_columns() -> tuple[Column, ...]:
    """Both currents, the ratio, what the published one holds for, where it stands."""
    return (
        Column(tr("Published"), tr("Published [A]")),
        Column(tr("Model"), tr("Model [A]")),
        Column(
            tr("Model ÷\npublished"),
            tr("Model over published"),
            tr("The model is good to ±20 % on the mean; single tables differ more"),
        ),
        Column(tr("For"), tr("For")),
        Column(tr("Published in"), tr("Published in")),
    )


def beside_cells(rows: tuple[Beside, ...]) -> Iterator[tuple[Cell, ...]]:
    """A row for every published value."""
    for each in rows:
        source, held_for = said(each.row.source.words), _held_for(each)
        yield (
            Cell(quantity(each.row.current_a, "A"), each.row.current_a),
            _model_cell(each),
            _ratio_cell(each),
            Cell(held_for, held_for, number=False),
            Cell(source, source, number=False),
        )


def _held_for(each: Beside) -> str:
    row = each.row
    parts: list[str] = [row.size, said(row.arrangement)]
    if row.conductor_c is not None:
        parts.append(tr("conductor {t}").format(t=quantity(row.conductor_c, "°C")))
    if row.ambient_c is not None:
        parts.append(tr("ambient {t}").format(t=quantity(row.ambient_c, "°C")))
    return ", ".join(parts)


def _model_cell(each: Beside) -> Cell:
    if each.model_a is None:
        return Cell(tr("not comparable"), None)
    return Cell(quantity(each.model_a, "A"), _plain(each.model_a))


def _ratio_cell(each: Beside) -> Cell:
    if each.ratio is None:
        return Cell("–", None)
    far = abs(each.ratio - 1) > GOOD_TO
    words = digits(each.ratio, 2)
    return Cell(f"{words} ({tr('apart')})" if far else words, round(each.ratio, 3), strong=far)


def step_words(name: str, changes: dict[str, Any], p: Proposal) -> str:
    """What the history calls adopting it."""
    parts = [said(fuse_words(p.fuse))] if "fuse" in changes and p.fuse is not None else []
    if "cable_out" in changes or "cable_back" in changes:
        parts.append(section_words(p.section_mm2 or 0.0))
    return tr("{name}: adopt {what}").format(name=name, what=tr(" and ").join(parts))
