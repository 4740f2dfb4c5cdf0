"""Boxes for the readings of the check, each beside what was predicted for it.

In: a subject. Out: the steps of the guided check (`fusemap.probing.final_check`) as a table: what
to read, the prediction with the band in which a reading agrees, and a box, or the reading where it
was taken already. No Qt.
"""

from collections.abc import Iterator
from math import isfinite

from fusemap.probing import final_check
from fusemap.probing.check_step import CheckStep
from fusemap.sheet.content import Box, Cell, Column, Figure, Row, Table
from fusemap.sheet.subject import Subject
from fusemap.vehicle import STATES, Tap

ASLEEP = STATES.index("asleep")


def checks(subject: Subject) -> Table:
    """The guided check after fitting, lead by lead and then the whole vehicle."""
    say = subject.say
    columns = (
        Column(say("column.check"), 46),
        Column(say("column.predicted"), 30),
        Column(say("column.measured"), 24, "centre"),
    )
    steps = final_check.steps(subject.vehicle, subject.assessment)
    rows: list[Row] = []
    for tap in subject.staying:
        own = [step for step in steps if _belongs(subject, step, tap)]
        rows.append(Row((subject.lead_name(tap), "", ""), "group"))
        rows += [_step(subject, step, tap) for step in own]
        rows += _whole_drop(subject, tap)
    rows.append(Row((say("check.vehicle"), "", ""), "group"))
    rows += _of_vehicle(subject, steps)
    return Table("checks", columns, tuple(rows), tall=True)


def _belongs(subject: Subject, step: CheckStep, tap: Tap) -> bool:
    """Whether a step is of this lead; a slot's circuit is checked with the first tap on it."""
    if step.target == "slot":
        first = next(each for each in subject.taps if each.slot == step.target_id)
        return first.id == tap.id
    return step.target == "tap" and step.target_id == tap.id


def _step(subject: Subject, step: CheckStep, tap: Tap | None) -> Row:
    source = "" if tap is None else subject.source_in_words(tap)
    text = subject.say(f"check.{step.key}", source=source, state=subject.state(step.state))
    return Row((text, predicted(subject, step), measured(subject, step)))


def predicted(subject: Subject, step: CheckStep) -> Cell:
    """What should come out, with the band in which a reading agrees."""
    expected = step.expected
    if expected is None:
        return "–"
    if not step.unit:
        return _words(subject, step, bool(expected.typical))
    typical = subject.amount(expected.typical, step.unit)
    high = _end(subject, step, expected.high)
    if expected.low <= 0:
        text = f"{typical.text} ({subject.say('at_most')} {high})"
    else:
        low = _end(subject, step, expected.low)
        text = subject.say("band", typical=typical.text, low=low, high=high)
    return Figure(typical.value, typical.unit, text)


def _end(subject: Subject, step: CheckStep, value: float) -> str:
    """An end of the band: volts to a tenth, everything else to two digits."""
    digits = 3 if step.unit == "V" else 2
    return subject.language.figure(value, step.unit, digits).text


def _words(subject: Subject, step: CheckStep, yes: bool) -> str:
    if step.key == "stays_on":
        return subject.say("check.stays_on.yes" if yes else "check.stays_on.no")
    if step.key == "warm":
        return subject.say("yes") if yes else subject.say("check.warm.no")
    return subject.say("yes" if yes else "no")


def measured(subject: Subject, step: CheckStep) -> Cell:
    """The reading, where it was taken; else a box for it."""
    if step.reading is None:
        said = predicted(subject, step)
        return Box(step.unit, said if isinstance(said, Figure) else None)
    if not step.unit:
        return subject.say("yes" if step.reading.yes else "no")
    return subject.amount(step.reading.value, step.unit)


def _whole_drop(subject: Subject, tap: Tap) -> Iterator[Row]:
    """The drop of the whole way, which tells cable and joints from a low battery."""
    hop = subject.assessment.hops["drop"]
    load = float(hop.load[subject.assessment.taps.index[tap.id]])
    if isfinite(load):
        drop = subject.amount(load, "V")
        yield Row((subject.say("check.drop"), drop, Box("V", drop)))


# --- the whole vehicle ----------------------------------------------------------------------------


def _of_vehicle(subject: Subject, steps: tuple[CheckStep, ...]) -> Iterator[Row]:
    parking = subject.vehicle.parking
    before = parking.rest_current_a
    minutes = subject.language.decimal(f"{parking.sleep_after_min:g}")
    known: Cell = subject.say("not_measured") if before is None else subject.amount(before, "A")
    held = known if isinstance(known, Figure) else None
    yield Row((subject.say("check.rest_before", minutes=minutes), known, Box("A", held)))
    added = subject.amount(added_asleep_a(subject), "A")
    yield Row((subject.say("check.rest_added"), added, ""))
    for step in steps:
        if step.target == "vehicle":
            yield _step(subject, step, None)
    yield Row((subject.say("check.lamps"), subject.say("yes"), Box()))


def added_asleep_a(subject: Subject) -> float:
    """What all leads together draw while the vehicle is asleep [A]."""
    return final_check.added_asleep_a(subject.assessment)


def standing(subject: Subject) -> tuple[tuple[str, Cell], ...]:
    """How long the vehicle may stand, with and without the accessories, as planned."""
    parked = subject.assessment.parked
    planned = subject.vehicle.parking.stand_days * 24
    starts = "standing.starts" if parked.hours >= planned else "standing.starts_not"
    return (
        (subject.say("standing.with"), _time(subject, parked.hours)),
        (subject.say("standing.without"), _time(subject, parked.hours_without)),
        (
            subject.say("standing.planned"),
            subject.say("pair", name=subject.language.duration(planned), what=subject.say(starts)),
        ),
    )


def _time(subject: Subject, hours: float) -> Figure:
    return Figure(float(hours), "h", subject.language.duration(float(hours)))
