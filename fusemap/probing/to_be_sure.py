"""What would make it sure, as a walk with a meter: which places to read, in which state, and why.

In: a vehicle. Out: the readings that would settle what may not hold, as rounds in the order that
turns the key the fewest times, each along the panels in hand order and then the feeds; reckoned
anew after each reading, since one may settle several doubts. What is to be said and not read, and
what is read at an accessory, is kept apart.
"""

from fusemap.assess import Assessment, assess, facts
from fusemap.assess.sure import Wanted
from fusemap.probing.evidence import kept_of_the_last
from fusemap.probing.plan import ROUNDS, HandOrder, Round, Spot, Step, walk
from fusemap.vehicle import Fuse, Vehicle, look_up


@kept_of_the_last
def assessed(vehicle: Vehicle) -> Assessment:
    """Everything computed about a vehicle; kept, since a walk asks at every key."""
    return assess(vehicle)


def readings(vehicle: Vehicle) -> tuple[Wanted, ...]:
    """What is to be read at slots and feeds."""
    return tuple(each for each in assessed(vehicle).measure_next if is_reading(each))


def is_reading(wanted: Wanted) -> bool:
    """Whether an answer is a reading at a slot or of a feed: what a walk can ask."""
    return wanted.place in ("slot", "feed") and wanted.state is not None


def besides(vehicle: Vehicle) -> tuple[Wanted, ...]:
    """The other answers: what is to be said, and what is read at an accessory."""
    return tuple(each for each in assessed(vehicle).measure_next if not is_reading(each))


def steps(vehicle: Vehicle, order: HandOrder) -> tuple[Step, ...]:
    """The rounds with what each still needs."""
    asked = readings(vehicle)
    ordered = [slot.id for panel in vehicle.panels for slot in walk(panel, order)]
    found = []
    for round_ in ROUNDS:
        if round_ != Round(state=round_.state):
            continue
        here = {(each.place, each.place_id) for each in asked if each.state == round_.state}
        slots = tuple(slot_id for slot_id in ordered if ("slot", slot_id) in here)
        feeds = tuple(feed.id for feed in vehicle.feeds if ("feed", feed.id) in here)
        if slots or feeds:
            found.append(Step(round_, slots, feeds))
    return tuple(found)


def asked_at(vehicle: Vehicle, round_: Round, spot: Spot) -> Wanted | None:
    """Why a place is to be read in a round, `None` where nothing asks for it."""
    return next(
        (
            each
            for each in readings(vehicle)
            if (each.place, each.place_id) == spot and each.state == round_.state
        ),
        None,
    )


def across_its_fuse(vehicle: Vehicle, spot: Spot) -> bool:
    """Whether millivolts across the fuse of a slot or a feed say what flows."""
    kind, place = spot
    find = look_up.slot if kind == "slot" else look_up.feed
    return across_its_fuse_of(find(vehicle, place).fuse)


def across_its_fuse_of(fuse: Fuse | None) -> bool:
    """Whether the resistance of a fuse is known, measured or published."""
    return fuse is not None and facts.fuse_resistance(fuse) is not None
