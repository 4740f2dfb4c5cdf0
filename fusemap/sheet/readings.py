"""Boxes for the readings of the check, each beside what was predicted for it.

In: a subject. Out: tables whose predictions are those of the assessment (sums of its currents at
most). What nothing predicts has a box all the same. No Qt.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.sheet.content import Box, Cell, Column, Figure, Row, Table
from fusemap.sheet.jobs import lowest_voltage
from fusemap.sheet.subject import Subject
from fusemap.sheet.work import ON_A_SLOT
from fusemap.vehicle import STATES, Tap

ASLEEP = STATES.index("asleep")


def checks(subject: Subject) -> Table:
    """The guided check after fitting, lead by lead and then the whole vehicle."""
    say = subject.say
    columns = (
        Column(say("column.check"), 46),
        Column(say("column.predicted"), 26),
        Column(say("column.measured"), 28, "centre"),
    )
    rows: list[Row] = []
    for tap in subject.staying:
        rows.append(Row((subject.lead_name(tap), "", ""), "group"))
        rows.extend(_of_tap(subject, tap))
    rows.append(Row((say("check.vehicle"), "", ""), "group"))
    rows.extend(_of_vehicle(subject))
    return Table("checks", columns, tuple(rows), tall=True)


def _row(subject: Subject, key: str, predicted: Cell, unit: str = "", **parts: str) -> Row:
    said = predicted if isinstance(predicted, Figure) else None
    return Row((subject.say(f"check.{key}", **parts), predicted, Box(unit, said)))


def _of_tap(subject: Subject, tap: Tap) -> Iterator[Row]:
    if tap.kind in ON_A_SLOT and tap.lead == "power":
        yield _orientation(subject, tap)
    figures = subject.assessment.taps
    column = figures.index[tap.id]
    drawn = figures.current_a[:, column]
    row = int(drawn.argmax())
    if drawn[row] > 0:
        state = subject.state(STATES[row])
        yield _row(subject, "current", subject.amount(drawn[row], "A"), "A", state=state)
    volts = lowest_voltage(subject, tap)
    if volts is not None:
        yield _row(subject, "voltage", volts[0], "V", state=volts[1])
    if tap.lead == "power":
        yield from _drop(subject, tap, column)
        if drawn[ASLEEP] > 0:
            yield _row(subject, "asleep", subject.amount(drawn[ASLEEP], "A"), "A")
        yield _row(subject, "warm", subject.say("check.warm_predicted"))
    if tap.slot is not None:
        yield _row(subject, "host_works", subject.say("yes"), source=subject.source_in_words(tap))


def _orientation(subject: Subject, tap: Tap) -> Row:
    """Pull the host fuse: on the live side the accessory stays on."""
    stays = tap.way_round == "live_side"
    return _row(
        subject,
        "orientation",
        subject.say("check.stays_on" if stays else "check.goes_off"),
        source=subject.source_in_words(tap),
    )


def _drop(subject: Subject, tap: Tap, column: int) -> Iterator[Row]:
    hop = subject.assessment.hops["drop"]
    if np.isfinite(hop.load[column]):
        yield _row(subject, "drop", subject.amount(hop.load[column], "V"), "V")
    yield _row(subject, "earth_drop", subject.say("check.earth_predicted"), "mV")


# --- the whole vehicle ----------------------------------------------------------------------------


def _of_vehicle(subject: Subject) -> Iterator[Row]:
    parking = subject.vehicle.parking
    before = parking.rest_current_a
    minutes = subject.language.decimal(f"{parking.sleep_after_min:g}")
    yield _row(
        subject,
        "rest_before",
        subject.say("not_measured") if before is None else subject.amount(before, "A"),
        "A",
        minutes=minutes,
    )
    added = added_asleep_a(subject)
    yield _row(subject, "rest_added", subject.amount(added, "A"), "A")
    if before is not None:
        yield _row(subject, "rest_after", subject.amount(before + added, "A"), "A")
    for accessory in subject.vehicle.accessories:
        if accessory.cut_off is not None and accessory.id in subject.numbers:
            name = subject.accessory_name(accessory)
            off = subject.amount(accessory.cut_off.off_v, "V")
            yield _row(subject, "cut_off", off, "V", name=name)
    yield _row(subject, "battery_rest", "–", "V")
    yield _row(subject, "battery_morning", "–", "V")
    yield _row(subject, "lamps", subject.say("yes"))


def added_asleep_a(subject: Subject) -> float:
    """What all leads together draw while the vehicle is asleep [A]."""
    return float(subject.assessment.taps.current_a[ASLEEP].sum())


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
            f"{subject.language.duration(planned)}: {subject.say(starts)}",
        ),
    )


def _time(subject: Subject, hours: float) -> Figure:
    return Figure(float(hours), "h", subject.language.duration(float(hours)))
