"""For how long the vehicle starts, as it stands on paper: with the accessories and without.

In: a sheet's subject. Out: rows of facts. With the accessories it is the answer of the forecast,
for nearly all of the vehicles like this one and for half of them, as everywhere; without them a
forecast by the usual figures, and named so.
"""

from fusemap.sheet.content import Cell
from fusemap.sheet.subject import Subject
from fusemap.text import say


def how_long(subject: Subject) -> tuple[tuple[str, Cell], ...]:
    """The rows, times in hours [h]."""
    parked, band = subject.assessment.parked, subject.assessment.band
    rows = (
        (say("With the accessories, 19 of 20 such vehicles"), band.low_h),
        (say("With the accessories, half of such vehicles"), band.middle_h),
        (say("Without the accessories, by the usual figures"), parked.hours_without),
    )
    return tuple((subject.show(name), subject.time(hours)) for name, hours in rows)
