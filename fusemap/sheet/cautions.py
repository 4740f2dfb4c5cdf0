"""The cautions: which apply to this job, which of them stand on the first page, which at a step.

In: a subject. Out: bullets. What hurts most and belongs to this very job comes first; what is left
stands at the end in small. No Qt.
"""

from collections.abc import Iterable
from typing import Final

from fusemap import tables
from fusemap.sheet.cables import numbered
from fusemap.sheet.content import Bullets, Step
from fusemap.sheet.subject import Subject
from fusemap.tables import Caution
from fusemap.text import Text, Words
from fusemap.vehicle import SEATED

MOST_FIRST: Final = 6
"""So many cautions are read; more are not."""
FEWEST_FIRST: Final = 4
"""So many where the first page is full of leads: all it must say is worth more on one page."""
LEAD_MM: Final = 7.6
ROW_MM: Final = 3.6
FULL_MM: Final = 60.0
"""Height of a lead in the table of the first page, of a row of a panel, and what is much of it."""

RANK: Final = (
    "monitored",
    "system_24",
    "airbag_wait",
    "battery_minus",
    "critical",
    "airbag",
    "relay",
    "larger_fuse",
    "earth_first",
    "fuse_at_source",
    "loose",
    "earth_sensor",
    "routing",
    "share",
)
"""From what hurts most to what costs least, of those that belong to the work itself."""


def power_off(subject: Subject) -> bool:
    """Whether the battery is disconnected for this job: an own feed, a cable to one, a splice."""
    taps = (*subject.to_fit, *subject.to_remove)
    laid = any(each.role in ("feed", "link") for each in numbered(subject))
    return laid or any(tap.kind not in SEATED for tap in taps)


def kinds_of_job(subject: Subject) -> frozenset[str]:
    """The words by which cautions are chosen, for this job."""
    slots = [subject.slot(tap) for tap in subject.taps]
    found = {"always"}
    if subject.taps:
        found |= {"earth", "measure"}
    if any(tap.kind in SEATED for tap in subject.taps):
        found.add("tap")
    if power_off(subject):
        found.add("battery")
    if any(tap.relay for tap in subject.taps):
        found.add("relay")
    if any(each.cable is not None for each in numbered(subject)):
        found.add("cable")
    if subject.vehicle.system_v == 24:
        found.add("v24")
    if any(slot is not None and slot.monitored for slot in slots):
        found.add("monitored")
    return frozenset(found)


def cautions(subject: Subject, kinds: frozenset[str]) -> Bullets:
    """All cautions of these kinds of job, in the order of the table."""
    return _bullets(subject, _of(kinds))


def crowded(subject: Subject) -> bool:
    """Whether leads and panels fill so much of the first page that the rest is kept short.

    Reckoned without measuring any type, so that every language and paper has the same cautions.
    """
    tapped = {tap.slot for tap in subject.taps}
    panels = [p for p in subject.vehicle.panels if any(s.id in tapped for s in p.slots)]
    leads = len(subject.taps) + len(subject.hanging)
    return leads * LEAD_MM + sum(panel.rows for panel in panels) * ROW_MM > FULL_MM


def first_cautions(subject: Subject) -> Bullets:
    """The at most six that this job needs most; four where the page is full."""
    return _bullets(subject, _first(subject))


def other_cautions(subject: Subject) -> Bullets:
    """The others that apply to it."""
    first = _first(subject)
    return _bullets(subject, (each for each in _of(kinds_of_job(subject)) if each not in first))


def at_step(subject: Subject, key: str) -> str:
    """The caution that belongs to a step, as it is printed."""
    return next(subject.show(Text(each.text)) for each in tables.cautions() if each.key == key)


def step(subject: Subject, text: Text, detail: Words = "", caution: str = "") -> Step:
    """A step, with what there is to know about it and the caution of this key."""
    said = at_step(subject, caution) if caution else ""
    return Step(subject.show(text), subject.show(detail), said)


def _of(kinds: frozenset[str]) -> list[Caution]:
    return [each for each in tables.cautions() if each.when in kinds]


def _first(subject: Subject) -> list[Caution]:
    """Ranked; orange cables before all where the vehicle starts by contactors."""
    applying = {each.key: each for each in _of(kinds_of_job(subject))}
    high = subject.vehicle.parking.starts_by == "contactors"
    ranked = ("orange_cable", *RANK) if high else RANK
    most = FEWEST_FIRST if crowded(subject) else MOST_FIRST
    return [applying[key] for key in ranked if key in applying][:most]


def _bullets(subject: Subject, cautions: Iterable[Caution]) -> Bullets:
    return Bullets(tuple(subject.show(Text(each.text)) for each in cautions))
