"""Fixes of the link between two batteries: its cable and its fuses, tried on the vehicle."""

from collections.abc import Iterator
from functools import partial
from itertools import product
from typing import Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.fixes.fix import Case, Fix
from fusemap.text import Section, given, say
from fusemap.vehicle import Fuse, edits

MOST_SECTION_MM2: Final = 95.0
"""Thicker battery cable is nothing that is laid by hand [mm²]; ours."""


def thicken_link(case: Case) -> Iterator[Fix]:
    """The thinnest section of its cable with which the finding is gone."""
    second = case.vehicle.second_battery
    cable = None if second is None else second.link_cable
    if cable is None:
        return
    thicker = [
        row.area_mm2
        for row in tables.standard_sections()
        if cable.section_mm2 < row.area_mm2 <= MOST_SECTION_MM2
    ]
    yield from case.mildest(
        [
            Fix(
                say("Use a cable of {section} between the batteries", section=Section(area)),
                partial(edits.change_second_battery, link_cable=replace(cable, section_mm2=area)),
            )
            for area in thicker
        ]
    )


def larger_link_fuse(case: Case) -> Iterator[Fix]:
    """The smallest larger fuses at both ends with which the finding is gone."""
    yield from _fuses(case, larger=True)


def smaller_link_fuses(case: Case) -> Iterator[Fix]:
    """The largest smaller fuses at both ends with which the finding is gone."""
    yield from _fuses(case, larger=False)


def _fuses(case: Case, *, larger: bool) -> Iterator[Fix]:
    second = case.vehicle.second_battery
    if second is None or second.near_fuse is None or second.far_fuse is None:
        return
    near, far = (_other(each, larger=larger) for each in (second.near_fuse, second.far_fuse))
    pairs = sorted(product(near, far), key=lambda pair: pair[0].rating + pair[1].rating)
    yield from case.first(_with(*pair) for pair in (pairs if larger else pairs[::-1]))


def _other(fuse: Fuse, *, larger: bool) -> list[Fuse]:
    """This fuse and those of its family that are larger, or smaller."""
    ratings = tables.fuse_family(fuse.family).ratings_a
    fitting = [r for r in ratings if (r > fuse.rating if larger else r < fuse.rating)]
    return [fuse, *(replace(fuse, rating=rating, resistance_mohm=None) for rating in fitting)]


def _with(near: Fuse, far: Fuse) -> Fix:
    title = say(
        "Fit fuses of {near} and {far} between the batteries",
        near=given(near.rating, "A"),
        far=given(far.rating, "A"),
    )
    return Fix(title, partial(edits.change_second_battery, near_fuse=near, far_fuse=far))
