"""A job in hand: everything that its stages, its verdict and its next step are read from.

In: a vehicle, its assessment and findings. Out: a `Job`, each of its parts found when it is first
asked for. What takes long is asked for apart: `look_ahead` makes the forecast's band, so that
nobody waits for it who only wants to know what holds.
"""

from functools import cached_property
from math import isfinite
from typing import TYPE_CHECKING

from msgspec import Struct

from fusemap.assess import Assessment
from fusemap.assess.parked.ends import battery_said, standing_verdict
from fusemap.assess.parked.unplaced import not_placed
from fusemap.assess.sure import Wanted
from fusemap.assess.verdict import Verdict
from fusemap.checks import Finding, whole_verdict
from fusemap.probing.loads import rest_current
from fusemap.text import Argument
from fusemap.vehicle import Slot, Vehicle, look_up

if TYPE_CHECKING:
    from fusemap.placement.answers import Question
    from fusemap.probing.check_step import CheckStep


class Standing(Struct, frozen=True):
    """For how long it starts [h], both ends, against the time planned [days].

    Hours are infinite past the forecast's `horizon_h` [h]. `placed_h` is how long it stands without
    what has no source yet, whose names are `unplaced`. `never`: a start is not promised even now.
    """

    low_h: float
    middle_h: float
    high_h: float
    horizon_h: float
    planned_days: float
    never: bool
    unplaced: tuple[Argument, ...]
    placed_h: float
    battery_said: bool = True
    """Without a word about the battery all of this is a guess, and is not said."""

    @property
    def verdict(self) -> Verdict:
        """Whether it still starts after the time planned."""
        return standing_verdict(
            self.planned_days * 24,
            self.low_h,
            self.high_h,
            starts_now=not self.never,
            battery_said=self.battery_said,
        )


def something_said(slot: Slot) -> bool:
    """Whether anything was said of a fuse slot, be it that no fuse is in it."""
    return (
        slot.fuse is not None
        or slot.seen_empty
        or bool(slot.circuit.strip())
        or slot.feed_class != "unknown"
        or slot.function is not None
    )


class Job(Struct, frozen=True, eq=False, dict=True):
    """A vehicle with what is found about it."""

    vehicle: Vehicle
    a: Assessment
    found: tuple[Finding, ...]

    @cached_property
    def verdict(self) -> Verdict:
        """Whether it holds as planned."""
        return whole_verdict(self.vehicle, self.a, self.found)

    @cached_property
    def asked(self) -> tuple[Wanted, ...]:
        """The answers that would settle what may not hold, the cheapest first."""
        return self.a.measure_next

    @cached_property
    def unanswered(self) -> "tuple[Question, ...]":
        """Circuits that matter and that nobody spoke about, those in use first.

        One matters that is tapped, or of which the name does not even propose what it is.
        """
        # loaded when it is first needed: the verdict does not wait for it
        from fusemap.placement.answers import questions

        return tuple(
            each
            for each in questions(self.vehicle)
            if each.is_open
            and (each.in_use or (each.proposal is None and each.slot.fuse is not None))
        )

    @cached_property
    def unplaced(self) -> tuple[str, ...]:
        """The ids of the accessories that have no source yet."""
        return not_placed(self.vehicle)

    @cached_property
    def live_first(self) -> Slot | None:
        """The slot that may serve what has no source yet, once it is read when it is live.

        `None` where some slot can serve it as it is, or where no such reading would help.
        """
        if not self.unplaced:
            return None
        # loaded when it is first needed: the verdict does not wait for it
        from fusemap.placement.candidates import candidates

        accessory = look_up.accessory(self.vehicle, self.unplaced[0])
        ranked = candidates(self.vehicle, self.a, accessory)
        if any(each.fits for each in ranked):
            return None
        waits = (each.slot_id for each in ranked if each.rules == ("unknown",))
        return next((look_up.slot(self.vehicle, slot_id) for slot_id in waits), None)

    @cached_property
    def checks(self) -> "tuple[CheckStep, ...]":
        """The steps of the check after fitting."""
        # loaded when it is first needed: the verdict does not wait for it
        from fusemap.probing import final_check

        return final_check.steps(self.vehicle, self.a)

    @cached_property
    def to_read(self) -> tuple[str, ...]:
        """The ids of the slots that a round of probing still asks about."""
        # loaded when it is first needed: the verdict does not wait for it
        from fusemap.probing.plan import HandOrder, rounds_left

        rounds = rounds_left(self.vehicle, HandOrder())
        return tuple(dict.fromkeys(slot for each in rounds for slot in each.slots))

    @cached_property
    def whole_read(self) -> bool:
        """Whether it was read what the whole vehicle draws at rest."""
        return rest_current(self.vehicle) is not None

    @cached_property
    def mapped(self) -> tuple[int, int]:
        """How many fuse slots something is said of, and how many there are."""
        slots = [slot for slot in look_up.slots(self.vehicle) if slot.kind == "fuse"]
        said = [slot for slot in slots if something_said(slot)]
        return len(said), len(slots)

    def look_ahead(self) -> Standing:
        """The forecast with both its ends; this reckons many vehicles and takes its time."""
        parked, band = self.a.parked, self.a.band
        placed = parked.hours_placed if parked.unplaced else parked.hours
        return Standing(
            band.low_h,
            band.middle_h,
            band.high_h,
            parked.forecast.horizon_h,
            self.vehicle.parking.stand_days,
            not parked.starts_now,
            tuple(parked.unplaced),
            placed if isfinite(placed) else float("inf"),
            battery_said=battery_said(self.vehicle),
        )
