"""One fix of a finding, and the finding in its vehicle that makers of fixes are given.

In: an assessed vehicle, a finding. Out: a `Case` that tells whether an edit removes the finding, so
that makers find the smallest change that does.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Final, Literal

from msgspec import Struct

from fusemap.assess import Assessment, assess
from fusemap.assess.sure import Wanted
from fusemap.assess.sure_words import order
from fusemap.checks import CHECKS, Finding
from fusemap.errors import FusemapError
from fusemap.text import NOTHING, Text, say
from fusemap.vehicle import State, Vehicle, look_up

Edit = Callable[[Vehicle], Vehicle]


class Fix(Struct, frozen=True):
    """What to do about a finding, in a few words; `edit` `None` where it is done at the vehicle.

    `read` is the slot or feed to be read, where a reading is what is missing, in `state` or, where
    that is `None`, in whichever it needs. `tell` is the feed or accessory of which something is to
    be said that needs no meter; `hunt` where what draws while parked is to be found. `short` is the
    title where it is plain what it is about.
    """

    title: Text
    edit: Edit | None = None
    read: tuple[Literal["slot", "feed"], str] | None = None
    state: State | None = None
    tell: tuple[Literal["feed", "accessory"], str] | None = None
    short: Text = NOTHING
    hunt: bool = False

    @property
    def answers(self) -> bool:
        """Whether it is an answer that is missing, read or said."""
        return self.read is not None or self.tell is not None


def key_of(finding: Finding) -> tuple[str, str, str]:
    """What makes two findings the same, whatever their figures."""
    return finding.code, finding.place, finding.place_id


class Case(Struct, frozen=True, eq=False):
    """A finding in its vehicle, and whether an edit removes it."""

    a: Assessment
    finding: Finding

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle as it is."""
        return self.a.vehicle

    @property
    def place_id(self) -> str:
        """The id of the place of the finding."""
        return self.finding.place_id

    def is_removed_by(self, edit: Edit) -> bool:
        """Whether the finding is gone with this edit; asks only the check that found it."""
        try:
            vehicle = edit(self.vehicle)
        except FusemapError:
            return False
        new = assess(vehicle)
        wanted = key_of(self.finding)
        check = next(c for c in CHECKS if any(key_of(f) == wanted for f in c(self.vehicle, self.a)))
        return not any(key_of(f) == wanted for f in check(vehicle, new))

    def first(self, options: Iterable[Fix]) -> Iterator[Fix]:
        """The first of the options that helps; the rest is not tried."""
        for fix in options:
            if self._helps(fix):
                yield fix
                return

    def mildest(self, options: Sequence[Fix]) -> Iterator[Fix]:
        """The first that helps of options of which each helps more than the one before."""
        low, high = 0, len(options) - 1
        if high < 0 or not self._helps(options[high]):
            return
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if self._helps(options[middle]) else (middle + 1, high)
        yield options[low]

    def _helps(self, fix: Fix) -> bool:
        return fix.edit is not None and self.is_removed_by(fix.edit)


Make = Callable[[Case], Iterator[Fix]]
"""A maker of fixes for a finding; whether they help is tried afterwards."""


def take_reading(title: Text) -> Make:
    """Take the reading that is missing at the slot, or at the slot that is tapped."""

    def make(case: Case) -> Iterator[Fix]:
        slot_id = case.place_id
        if case.finding.place == "tap":
            slot_id = look_up.tap(case.vehicle, slot_id).slot or ""
        yield Fix(title, read=("slot", slot_id) if slot_id else None)

    return make


def settle(case: Case) -> Iterator[Fix]:
    """Every answer that would settle what a finding doubts, the cheapest first."""
    place = LEADS.get(case.finding.place, case.finding.place)
    place_id = "link" if place == "link" else case.place_id
    for each in case.a.measure_next:
        if any(doubt.place == place and doubt.place_id == place_id for doubt in each.settles):
            yield answer(case.vehicle, each)


LEADS: Final[dict[str, str]] = {"battery": "link", "accessory": "output"}
"""What a doubt is called that is told at a place of another name."""


def answer(vehicle: Vehicle, wanted: Wanted) -> Fix:
    """An answer as a fix: where it is read, or of what it is said."""
    title = order(vehicle, wanted)
    if wanted.state is not None and (wanted.place == "slot" or wanted.place == "feed"):
        return Fix(title, read=(wanted.place, wanted.place_id), state=wanted.state)
    if wanted.how not in ("say", "length"):
        return Fix(title)
    if wanted.place == "feed":
        return Fix(title, tell=("feed", wanted.place_id))
    return Fix(title, tell=("accessory", look_up.tap(vehicle, wanted.place_id).accessory))


def find_drain(case: Case) -> Iterator[Fix]:
    """Find what draws, where the vehicle by itself draws more at rest than it should."""
    measured = case.vehicle.parking.rest_current_a
    if measured is not None and measured > case.a.rule("rest_current_good_ma") / 1000:
        yield Fix(say("Find what draws: fuse by fuse, nothing pulled at first."), hunt=True)


def by_hand(title: Text) -> Make:
    """A fix that only somebody at the vehicle can make."""

    def make(case: Case) -> Iterator[Fix]:
        yield Fix(title)

    return make
