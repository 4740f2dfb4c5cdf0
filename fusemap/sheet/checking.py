"""The check after fitting on paper: what to read and how, what should come out, what to do else.

In: a subject. Out: the check of the program (`fusemap.probing.final_check`) as a table: what to
read and where the tips go, the prediction with the band in which a reading agrees, and a box, or
the reading where it was taken already; and a table of likely causes where one differs. No Qt.
"""

from collections.abc import Iterator
from math import isfinite
from typing import Final

from fusemap.probing import final_check, socket_check
from fusemap.probing.check_step import SWAPPED, CheckStep, likely_causes
from fusemap.probing.polarity_check import CONNECT
from fusemap.sheet.content import Box, Figure, Paragraph, Row, Table
from fusemap.sheet.style import NO, NOT_MEASURED, STATE, YES, named
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Text, Words, given, in_row, run_on, say, say_in
from fusemap.vehicle import Socket, Tap

HOW: Final = say(
    "Volts and millivolts: meter on direct voltage, red tip at the first place named, black at the "
    "second. Amperes: clamp on direct current, set to zero beside the cable. A reading within the "
    "band is right; what it may be otherwise stands below."
)
AT_THE_BATTERY: Final = say(
    "Clamp round the battery’s minus lead, or meter in line there; nothing plugged in."
)
NO_ANSWER: Final = likely_causes("", above=True)


def how(subject: Subject) -> Paragraph:
    """How the meter is set, before the table."""
    return Paragraph(subject.show(HOW), "small")


def checks(subject: Subject) -> Table:
    """The guided check after fitting, lead by lead and then the whole vehicle."""
    columns = (
        subject.column(say_in("heading", "Check"), 52),
        subject.column(say("Predicted"), 26),
        subject.column(say("Measured"), 22, "centre"),
    )
    steps = final_check.steps(subject.vehicle, subject.assessment)
    rows: list[Row] = []
    for tap in subject.staying:
        own = [step for step in steps if _belongs(subject, step, tap)]
        rows.append(subject.row(subject.lead_name(tap), "", "", kind="group"))
        rows += [_step(subject, step) for step in own]
        rows += _whole_drop(subject, tap)
    for socket in socket_check.sockets_of(subject.vehicle):
        rows.append(subject.row(named(socket.name), "", "", kind="group"))
        rows += [_step(subject, step) for step in steps if _is_at(step, socket)]
    rows.append(subject.row(say("The whole vehicle"), "", "", kind="group"))
    rows += _of_vehicle(subject, steps)
    return Table("checks", columns, tuple(rows), tall=True)


def _belongs(subject: Subject, step: CheckStep, tap: Tap) -> bool:
    """Whether a step is of this lead; what several share is checked with the first that stays."""
    if step.target in ("slot", "earth"):
        shared = (each for each in subject.staying if getattr(each, step.target) == step.target_id)
        return next(shared, None) == tap
    return step.target == "tap" and step.target_id == tap.id


def _is_at(step: CheckStep, socket: Socket) -> bool:
    return (step.target, step.target_id) == ("socket", socket.id)


def _step(subject: Subject, step: CheckStep) -> Row:
    cells = (predicted(subject, step), measured(subject, step))
    return Row((_title(subject, step), *map(subject.cell, cells)))


def _title(subject: Subject, step: CheckStep) -> str:
    """What is looked at in a step, and how."""
    title: Words = final_check.short_title(step)
    if step.key in ("current", "volts"):
        title = in_row([title, STATE[step.state]])
    said = run_on(title, step.how, between=": ")
    if step.signed:
        said = run_on(said, CONNECT, between=" ")
    return named(subject.show(said))


def predicted(subject: Subject, step: CheckStep) -> Figure | Words:
    """What should come out, with what a reading that agrees may show on the meter."""
    expected = step.expected
    if expected is None:
        return "–"
    if not step.unit:
        return _answer(step, bool(expected.typical))
    typical, (low, high) = Amount(expected.typical, step.unit), step.agrees
    if expected.low <= 0:
        high = expected.high
    if low <= 0:
        text = say("{typical} (at most {high})", typical=typical, high=_end(step, high))
    else:
        ends = {"low": _end(step, low), "high": _end(step, high)}
        text = say("{typical} ({low} to {high})", typical=typical, **ends)
    return Figure(expected.typical, step.unit, subject.show(text))


def _end(step: CheckStep, value: float) -> Amount:
    """An end of the band: volts to a tenth, everything else to two digits."""
    return Amount(value, step.unit, significant=3 if step.unit == "V" else 2)


def _answer(step: CheckStep, yes: bool) -> Text:
    if step.key == "stays_on" and step.unsure:
        stays = say("not known; as planned it stays on")
        return stays if yes else say("not known; as planned it goes off")
    if step.key == "stays_on":
        return say("accessory stays on") if yes else say("accessory goes off")
    if step.key == "warm" and not yes:
        return say("no, hand-warm at most")
    return YES if yes else NO


def measured(subject: Subject, step: CheckStep) -> Figure | Box | Text:
    """The reading, where it was taken; else a box for it."""
    if step.reading is None:
        said = predicted(subject, step)
        return Box(step.unit, said if isinstance(said, Figure) else None)
    if not step.unit:
        return YES if step.reading.yes else NO
    return subject.figure(step.reading.value, step.unit)


def _whole_drop(subject: Subject, tap: Tap) -> Iterator[Row]:
    """The drop of the whole way, which tells cable and joints from a low battery."""
    hop = subject.assessment.hops["drop"]
    load = float(hop.load[subject.assessment.taps.index[tap.id]])
    if isfinite(load):
        drop = subject.figure(load, "V")
        title = say("Voltage drop of the whole way, loaded (plus side and return together)")
        reckoned = say("voltage at the battery less that at the device, read one after the other")
        yield subject.row(run_on(title, reckoned, between=": "), drop, Box("V", drop))


# --- the whole vehicle ----------------------------------------------------------------------------


def _of_vehicle(subject: Subject, steps: tuple[CheckStep, ...]) -> Iterator[Row]:
    parking = subject.vehicle.parking
    before = parking.rest_current_a
    known = None if before is None else subject.figure(before, "A")
    title = say(
        "Rest current before the work, asleep ({time} after locking)",
        time=given(parking.sleep_after_min, "min"),
    )
    where = run_on(title, AT_THE_BATTERY, between=": ")
    yield subject.row(where, known or NOT_MEASURED, Box("A", known))
    added = subject.figure(final_check.added_asleep_a(subject.assessment), "A")
    yield subject.row(say("Rest current added by all accessories"), added, "")
    for step in steps:
        if step.target == "vehicle":
            yield _step(subject, step)


# --- where a reading differs ----------------------------------------------------------------------


OPENS: Final = say(
    "a cable is pinched, a crimp touches the body, or plus and minus of the device are swapped. "
    "Take the fuse out and measure from the cable to the body, never put in a larger one."
)


def differs(subject: Subject) -> Table:
    """What it may be where a reading differs, the likeliest first; each kind of reading once."""
    columns = (
        subject.column(say_in("heading", "Check"), 22),
        subject.column(say("Higher, or yes"), 39),
        subject.column(say("Lower, or no"), 39),
    )
    rows = [subject.row(say("A fuse opens as it is put in"), OPENS, "–")]
    steps = final_check.steps(subject.vehicle, subject.assessment)
    for step in {step.key: step for step in steps}.values():
        above, below = (_causes(step, above=side) for side in (True, False))
        if above or below:
            rows.append(subject.row(final_check.kind_title(step), above or "–", below or "–"))
    return Table("differs", columns, tuple(rows))


def _causes(step: CheckStep, *, above: bool) -> Words:
    found = likely_causes(step.key, above=above)
    if step.signed and not above:
        found = (run_on(say("a minus sign"), SWAPPED, between=": "), *found)
    return "" if found == NO_ANSWER else run_on(*found, between=" · ")
