"""Fixes of leads behind converters: a cable and a fuse with which the lead holds.

Sizes are tried on the vehicle, the smallest first, until the finding is gone.
"""

from collections.abc import Iterator
from functools import partial
from typing import Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import facts
from fusemap.fixes.fix import Case, Fix
from fusemap.fixes.source import accessory_of
from fusemap.text import Section, given, say
from fusemap.vehicle import Cable, Fuse, edits

FIRST: Final = Cable(section_mm2=1.5, length_m=2.0)
"""The lead of which nothing is entered."""
FAMILY: Final = "regular"


def thicken_output(case: Case) -> Iterator[Fix]:
    """The smallest section with which the finding is gone."""
    it = accessory_of(case)
    cable = it.lead_cable
    if cable is None:
        return
    areas = sorted(row.area_mm2 for row in tables.standard_sections())
    yield from case.first(
        Fix(
            say("Use {section} behind the converter", section=Section(area)),
            partial(
                edits.change_accessory,
                accessory_id=it.id,
                lead_cable=replace(cable, section_mm2=area),
                lead_back=None if it.lead_back is None else replace(it.lead_back, section_mm2=area),
            ),
        )
        for area in areas
        if area > cable.section_mm2
    )


def fuse_output(case: Case) -> Iterator[Fix]:
    """The smallest fuse that carries the load, where with it the finding is gone."""
    it = accessory_of(case)
    drawn = max(
        (float(s.drawn_a.max()) for s in case.a.most.circuit.taps.behind.supplied
         if s.accessory.id == it.id),
        default=0.0,
    )  # fmt: skip
    warm, share = case.a.rule("ambient_engine_bay_c"), case.a.rule("continuous_share")
    ratings = tables.fuse_family(FAMILY).ratings_a
    fitting = [r for r in ratings if facts.fuse_limit(FAMILY, r, warm, share) >= drawn]
    yield from case.first(
        Fix(
            say("Put a fuse of {rating} at the converter's output", rating=given(rating, "A")),
            partial(
                edits.change_accessory,
                accessory_id=it.id,
                lead_fuse=Fuse(family=FAMILY, rating=rating),
            ),
        )
        for rating in fitting
    )


def enter_output(case: Case) -> Iterator[Fix]:
    """A usual cable to start from; its length is measured at the vehicle."""
    it = accessory_of(case)
    edit = partial(edits.change_accessory, accessory_id=it.id, lead_cable=FIRST)
    title = say("Enter a cable of {section}, {length} for now",
                section=Section(FIRST.section_mm2), length=given(FIRST.length_m, "m"))  # fmt: skip
    yield Fix(title, edit)
