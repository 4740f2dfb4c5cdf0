"""How far to trust a sheet: the findings still open, and what the figures were computed from.

In: a subject. Out: one `FindingNote` per finding, worst first; file, date, rules changed,
assumptions, missing readings. Sources of the figures stay in the language of the document they
name. No Qt.
"""

from collections.abc import Iterator

from fusemap.checks import SEVERITIES, Finding
from fusemap.checks.finding import SEVERITY
from fusemap.sheet.content import Bullets, Cell, Facts, FindingNote, Paragraph, Section
from fusemap.sheet.style import BATTERY, VEHICLE, named
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Text, Words, in_row, run_on, say
from fusemap.vehicle import Slot, look_up

# --- findings -------------------------------------------------------------------------------------


def notes(subject: Subject) -> tuple[FindingNote, ...]:
    """All findings, worst first."""
    return tuple(note(subject, finding) for finding in subject.findings)


def note(subject: Subject, finding: Finding) -> FindingNote:
    """One finding."""
    return FindingNote(
        severity=finding.severity,
        word=subject.show(SEVERITY[finding.severity]),
        where=subject.show(where(subject, finding)),
        what=named(subject.show(finding.what)),
        sum=named(subject.show(finding.sum)),
        remedy=named(subject.show(finding.remedy)),
    )


def where(subject: Subject, finding: Finding) -> Words:
    """The place of a finding; the battery and the vehicle by their words."""
    if finding.place == "battery":
        return BATTERY
    if isinstance(finding.where, str):
        return named(finding.where) or VEHICLE
    return finding.where.with_names(named)


def counted(subject: Subject) -> Text:
    """How many findings there are of each severity; that there are none."""
    if not subject.findings:
        return say("Nothing found that speaks against this plan.")
    counts = [
        (severity, sum(finding.severity == severity for finding in subject.findings))
        for severity in SEVERITIES
    ]
    return in_row(
        run_on(count, SEVERITY[severity], between=" × ") for severity, count in counts if count
    )


# --- the basis ------------------------------------------------------------------------------------


def basis(subject: Subject) -> Section:
    """The section that ends a sheet, whole on its page."""
    title = subject.show(say("What this was computed from"))
    return Section("basis", title, computed_from(subject), together=True)


def computed_from(subject: Subject) -> tuple[Facts | Paragraph | Bullets, ...]:
    """Everything somebody needs who wants to know how far to trust the figures."""
    assumed = tuple(assumptions(subject))
    blocks: list[Facts | Paragraph | Bullets] = [Facts(tuple(_facts(subject)))]
    if assumed:
        lead_in = subject.show(say("Assumed, because label or reading is missing:"))
        blocks += [Paragraph(lead_in), Bullets(assumed)]
    method = say(
        "Currents and voltages by a network of resistances in every vehicle state at once; "
        "conductor temperatures good to about ±20 %. Every sum with its source can be opened in "
        "the program. The vehicle maker’s instructions, local rules and qualified people come "
        "first."
    )
    blocks.append(Paragraph(subject.show(method), "small"))
    return tuple(blocks)


def _facts(subject: Subject) -> Iterator[tuple[str, Cell]]:
    show, made = subject.show, subject.made
    yield show(say("Vehicle file")), made.file or show(say("not saved yet"))
    yield show(say("Computed on")), subject.moment(made.date)
    yield show(say("Program")), made.program
    yield show(say("Readings")), show(_readings(subject))
    changed = tuple(changed_rules(subject))
    rules = run_on(*changed, between="; ") if changed else say("none; every rule has its default")
    yield show(say("Rules changed")), show(rules)


def _readings(subject: Subject) -> Text:
    """How many slots have their own load measured in every state in which they are live."""
    known = subject.assessment.slots.own_known.all(axis=0)
    return say(
        "own load known in every live state: {known} of {all} slots",
        known=int(known.sum()),
        all=int(known.size),
    )


def changed_rules(subject: Subject) -> Iterator[Text]:
    """The named rules that have a value of their own for this vehicle."""
    for rule in subject.assessment.rules.values():
        if rule.changed:
            yield say(
                "{rule}: {own} (default {usual})",
                rule=rule.label,
                own=Amount(rule.value, rule.unit),
                usual=Amount(rule.default, rule.unit),
            )


def assumptions(subject: Subject) -> Iterator[str]:
    """What had to be assumed because the label or a reading is missing."""
    yield from (subject.show(text) for text in subject.assessment.parked.assumed)
    missing = [
        subject.slot_with_circuit(look_up.slot(subject.vehicle, slot_id))
        for slot_id in _tapped_unmeasured(subject)
    ]
    if missing:
        yield subject.show(
            say(
                "own load not measured in some state, reckoned from {none} to what the fuse "
                "carries for long: {slots}",
                none=Amount(0.0, "A"),
                slots=in_row(missing),
            )
        )

    nameless = [subject.slot_with_circuit(slot) for slot in _tapped(subject) if slot.feed is None]
    if nameless:
        yield subject.show(
            say("which feed supplies them is not known: {slots}", slots=in_row(nameless))
        )


def _tapped(subject: Subject) -> list[Slot]:
    """The slots that have a tap, each once."""
    tapped = dict.fromkeys(tap.slot for tap in subject.taps if tap.slot is not None)
    return [look_up.slot(subject.vehicle, slot_id) for slot_id in tapped]


def _tapped_unmeasured(subject: Subject) -> Iterator[str]:
    slots = subject.assessment.slots
    for slot in _tapped(subject):
        if not slots.own_known[:, slots.index[slot.id]].all():
            yield slot.id
