"""What a sheet was computed from: file, date, rules changed, assumptions, missing readings.

In: a subject. Out: pairs of words, and a list. Sources of the figures stay in the language of the
document they name. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.content import Bullets, Cell, Facts, Section, Text
from fusemap.sheet.subject import Subject
from fusemap.vehicle import look_up


def basis(subject: Subject) -> Section:
    """The section that ends a sheet, whole on its page."""
    title = subject.say("section.basis")
    return Section("basis", title, computed_from(subject), together=True)


def computed_from(subject: Subject) -> tuple[Facts | Text | Bullets, ...]:
    """Everything somebody needs who wants to know how far to trust the figures."""
    assumed = tuple(assumptions(subject))
    blocks: list[Facts | Text | Bullets] = [Facts(tuple(_facts(subject)))]
    if assumed:
        blocks += [Text(subject.say("basis.assumed")), Bullets(assumed)]
    blocks.append(Text(subject.say("basis.method"), "small"))
    return tuple(blocks)


def _facts(subject: Subject) -> Iterator[tuple[str, Cell]]:
    say = subject.say
    yield say("basis.file"), subject.made.file or say("basis.unsaved")
    yield say("basis.date"), subject.language.moment(subject.made.date)
    yield say("basis.program"), subject.made.program
    yield say("basis.readings"), _readings(subject)
    changed = tuple(changed_rules(subject))
    yield say("basis.rules"), "; ".join(changed) if changed else say("basis.no_rules")


def _readings(subject: Subject) -> str:
    """How many slots have their own load measured in every state in which they are live."""
    known = subject.assessment.slots.own_known.all(axis=0)
    return subject.say(
        "basis.readings_count", known=str(int(known.sum())), all=str(int(known.size))
    )


def changed_rules(subject: Subject) -> Iterator[str]:
    """The named rules that have a value of their own for this vehicle."""
    for rule in subject.assessment.rules.values():
        if rule.changed:
            label = subject.language.phrase(rule.label)
            own = subject.language.figure(rule.value, rule.unit).text
            usual = subject.language.figure(rule.default, rule.unit).text
            yield subject.say("basis.rule", label=label, own=own, usual=usual)


def assumptions(subject: Subject) -> Iterator[str]:
    """What had to be assumed because the label or a reading is missing."""
    yield from (subject.language.phrase(str(text)) for text in subject.assessment.parked.assumed)
    missing = [
        subject.slot_with_circuit(look_up.slot(subject.vehicle, slot_id))
        for slot_id in _tapped_unmeasured(subject)
    ]
    if missing:
        yield subject.say("basis.own_load", slots=", ".join(missing))


def _tapped_unmeasured(subject: Subject) -> Iterator[str]:
    slots = subject.assessment.slots
    tapped = dict.fromkeys(tap.slot for tap in subject.taps if tap.slot is not None)
    for slot_id in tapped:
        if not slots.own_known[:, slots.index[slot_id]].all():
            yield slot_id
