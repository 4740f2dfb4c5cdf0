"""The installation sheet: what goes where, in which order, and how to prove it.

In: a subject. Out: sections, the open findings first. The check after fitting is that of the
program (`fusemap.probing.final_check`) as a table: what to read, the prediction with the band in
which a reading agrees, and a box, or the reading where it was taken already. No Qt.
"""

from collections.abc import Iterator
from math import isfinite

from fusemap.assess.parked.ends import usual_hours
from fusemap.assess.parked.start_words import plan_words
from fusemap.probing import final_check
from fusemap.probing.check_step import CheckStep
from fusemap.sheet import cover, diagram, handover
from fusemap.sheet.cautions import other_cautions
from fusemap.sheet.content import Block, Box, Facts, Figure, Paragraph, Row, Section, Table
from fusemap.sheet.fitting import figures
from fusemap.sheet.jobs import jobs
from fusemap.sheet.panels import photos, pictures
from fusemap.sheet.parts import cut_list, parts
from fusemap.sheet.style import NO, NOT_MEASURED, STATE, YES
from fusemap.sheet.subject import Subject
from fusemap.sheet.trust import basis, counted, notes
from fusemap.sheet.work import order, undo
from fusemap.text import Amount, Text, Words, given, say, say_in
from fusemap.vehicle import Tap


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the sheet: the first page, then the work in the order of the hand."""

    def section(key: str, title: Text, *blocks: Block) -> Section:
        return Section(key, subject.show(title), blocks)

    yield from cover.sections(subject)
    yield _findings(subject)
    if subject.taps:
        yield from diagram.sections(subject)
        yield section("order", say("Order of work"), *order(subject))
        yield section("accessories", say("Connections one by one"), *jobs(subject))
        yield section("panels", say("Where it goes"), *_panels(subject))
        yield section("parts", say("Parts and fuses"), parts(subject))
        yield section("cut-list", say("Cut list"), cut_list(subject))
        yield section("figures", say("Terminals and torques"), figures(subject))
        yield section("checks", say("Check after fitting"), checks(subject), _signature(subject))
        yield section("standing", say("How long it may stand"), standing(subject))
        yield section("undo", say("How to undo it"), undo(subject))
        yield from handover.sections(subject)
    yield _further(subject)
    yield basis(subject)


def _further(subject: Subject) -> Section:
    """The cautions that are not on the first page, in the end and whole."""
    title = subject.show(say("Further cautions"))
    return Section("further-cautions", title, (other_cautions(subject),))


def _findings(subject: Subject) -> Section:
    """The findings still open, worst first, or that there are none."""
    found = notes(subject)
    if not found:
        none = Paragraph(subject.show(counted(subject)))
        return Section("findings", subject.show(say("Open findings")), (none,))
    title = subject.show(say("Open findings: {counts}", counts=counted(subject)))
    return Section("findings", title, found)


def _panels(subject: Subject) -> Iterator[Block]:
    """Every panel with a tap, whole and with its marks."""
    tapped = {tap.slot for tap in subject.taps}
    for panel in subject.vehicle.panels:
        if any(slot.id in tapped for slot in panel.slots):
            yield from pictures(subject, panel)
            yield from photos(subject, panel)


def _signature(subject: Subject) -> Facts:
    """Lines for who did it, when, and with which meter."""
    names = (say("Date"), say("Checked by"), say("Meter"))
    return Facts(tuple((subject.show(name), "") for name in names))


# --- the check after fitting ----------------------------------------------------------------------


def checks(subject: Subject) -> Table:
    """The guided check after fitting, lead by lead and then the whole vehicle."""
    columns = (
        subject.column(say_in("heading", "Check"), 46),
        subject.column(say("Predicted"), 30),
        subject.column(say("Measured"), 24, "centre"),
    )
    steps = final_check.steps(subject.vehicle, subject.assessment)
    rows: list[Row] = []
    for tap in subject.staying:
        own = [step for step in steps if _belongs(subject, step, tap)]
        rows.append(subject.row(subject.lead_name(tap), "", "", kind="group"))
        rows += [_step(subject, step, tap) for step in own]
        rows += _whole_drop(subject, tap)
    rows.append(subject.row(say("The whole vehicle"), "", "", kind="group"))
    rows += _of_vehicle(subject, steps)
    return Table("checks", columns, tuple(rows), tall=True)


def _belongs(subject: Subject, step: CheckStep, tap: Tap) -> bool:
    """Whether a step is of this lead; a slot's circuit is checked with the first tap on it."""
    if step.target == "slot":
        first = next(each for each in subject.taps if each.slot == step.target_id)
        return first.id == tap.id
    return step.target == "tap" and step.target_id == tap.id


def _step(subject: Subject, step: CheckStep, tap: Tap | None) -> Row:
    return subject.row(
        _title(subject, step, tap), predicted(subject, step), measured(subject, step)
    )


def _title(subject: Subject, step: CheckStep, tap: Tap | None) -> Text:
    """What is looked at in a step, as short as a line of the table."""
    state = STATE[step.state]
    source = "" if tap is None else subject.source_in_words(tap)
    return {
        "stays_on": say(
            "Way round: pull the host fuse of {source} with the accessory on", source=source
        ),
        "current": say("Current, {state}", state=state),
        "volts": say("Voltage at the accessory, loaded, {state}", state=state),
        "earth": say("Earth drop: between the accessory’s minus and battery minus, loaded"),
        "warm": say("After 15 minutes at work: fuse, tap or joint warm to the touch?"),
        "host_drop": say(
            "Drop on the plus side: between battery plus and {source}, loaded", source=source
        ),
        "grips": say("Tap and accessory fuse sit as firmly as the fuse beside them"),
        "lamps": say("No warning lamp that was not there before, engine running"),
        "host": say("The vehicle’s own circuit on {source} works", source=source),
        "rest": say("Rest current after the work, asleep"),
        "cut_off": say("Low-voltage cut-off: volts at the accessory as it goes off"),
        "evening": say("Battery voltage in the evening, an hour after the last drive"),
        "morning": say("Battery voltage the next morning"),
    }[step.key]


def predicted(subject: Subject, step: CheckStep) -> Figure | Words:
    """What should come out, with the band in which a reading agrees."""
    expected = step.expected
    if expected is None:
        return "–"
    if not step.unit:
        return _answer(step, bool(expected.typical))
    typical, high = Amount(expected.typical, step.unit), _end(step, expected.high)
    if expected.low <= 0:
        text = say("{typical} (at most {high})", typical=typical, high=high)
    else:
        low = _end(step, expected.low)
        text = say("{typical} ({low} to {high})", typical=typical, low=low, high=high)
    return Figure(expected.typical, step.unit, subject.show(text))


def _end(step: CheckStep, value: float) -> Amount:
    """An end of the band: volts to a tenth, everything else to two digits."""
    return Amount(value, step.unit, significant=3 if step.unit == "V" else 2)


def _answer(step: CheckStep, yes: bool) -> Text:
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
        yield subject.row(title, drop, Box("V", drop))


# --- the whole vehicle ----------------------------------------------------------------------------


def _of_vehicle(subject: Subject, steps: tuple[CheckStep, ...]) -> Iterator[Row]:
    parking = subject.vehicle.parking
    before = parking.rest_current_a
    known = None if before is None else subject.figure(before, "A")
    title = say(
        "Rest current before the work, asleep ({time} after locking)",
        time=given(parking.sleep_after_min, "min"),
    )
    yield subject.row(title, known or NOT_MEASURED, Box("A", known))
    added = subject.figure(final_check.added_asleep_a(subject.assessment), "A")
    yield subject.row(say("Rest current added by all accessories"), added, "")
    for step in steps:
        if step.target == "vehicle":
            yield _step(subject, step, None)


def standing(subject: Subject) -> Facts:
    """How long the vehicle may stand, with and without the accessories, as planned."""
    parked, show = subject.assessment.parked, subject.show
    planned = subject.vehicle.parking.stand_days * 24
    band = subject.assessment.band
    outcome = plan_words(planned, band.low_h, band.chance(planned), usual_hours(parked, band))
    return Facts(
        (
            (show(say("With the accessories")), subject.time(parked.hours)),
            (show(say("Without the accessories")), subject.time(parked.hours_without)),
            (show(say("As planned")), show(outcome)),
        )
    )
