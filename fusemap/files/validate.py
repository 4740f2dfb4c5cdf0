"""Is what a file says possible, and does everything it names stand in the tables?

`fusemap.vehicle.validity` knows what a vehicle can be; the tables know the fuse families and their
ratings, the cable insulations, the named rules and the kinds of accessory. Out: the first fault as
a `FileProblem`, with the path to the field and what to do about it.
"""

from collections.abc import Collection, Iterator
from difflib import get_close_matches

from fusemap import tables
from fusemap.files.wording import problem
from fusemap.vehicle import Fuse, RuleChoice, Vehicle
from fusemap.vehicle.validity import Fault, cables_of, faults


def check_vehicle(vehicle: Vehicle) -> None:
    """Raise `FileProblem` for the first thing that is impossible or in no table."""
    for check in (faults, table_faults):
        for path, what, remedy in check(vehicle):
            raise problem(what, path, remedy)


def table_faults(vehicle: Vehicle) -> Iterator[Fault]:
    """Everything that the vehicle names and the tables do not have."""
    yield from _panel_faults(vehicle)
    for index, feed in enumerate(vehicle.feeds):
        yield from _fuse_faults(feed.fuse, f"feeds[{index}].fuse")
    for index, tap in enumerate(vehicle.taps):
        yield from _fuse_faults(tap.fuse, f"taps[{index}].fuse")
    for path, cable in cables_of(vehicle):
        yield from _known(
            cable.insulation, tables.insulations(), "cable insulation", f"{path}.insulation"
        )
    for index, accessory in enumerate(vehicle.accessories):
        if accessory.kind:
            yield from _known(
                accessory.kind,
                [kind.key for kind in tables.accessory_kinds()],
                "kind of accessory",
                f"accessories[{index}].kind",
            )
    for index, rule in enumerate(vehicle.rules):
        yield from _rule_faults(rule, f"rules[{index}]")


def _panel_faults(vehicle: Vehicle) -> Iterator[Fault]:
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            path = f"panels[{p}].slots[{s}]"
            yield from _family_faults(slot.family, f"{path}.family")
            yield from _fuse_faults(slot.fuse, f"{path}.fuse")


def _family_faults(family: str, path: str) -> Iterator[Fault]:
    return _known(family, tables.fuse_families(), "fuse family", path)


def _fuse_faults(fuse: Fuse | None, path: str) -> Iterator[Fault]:
    if fuse is None:
        return
    unknown = tuple(_family_faults(fuse.family, f"{path}.family"))
    yield from unknown
    ratings = () if unknown else tables.fuse_family(fuse.family).ratings_a
    if not unknown and fuse.rating not in ratings:
        yield Fault(
            f"{path}.rating",
            f"{fuse.rating:g} is not a rating of the {fuse.family} family",
            f"its ratings are {', '.join(f'{rating:g}' for rating in ratings)} A",
        )


def _rule_faults(choice: RuleChoice, path: str) -> Iterator[Fault]:
    yield from _known(choice.key, tables.rule_defaults(), "named rule", f"{path}.key")
    rule = tables.rule_defaults().get(choice.key)
    if rule is not None and not rule.low <= choice.value <= rule.high:
        yield Fault(
            f"{path}.value",
            f"{choice.value:g} is no believable value of “{rule.label}”",
            f"enter {rule.low:g} to {rule.high:g} {rule.unit}".rstrip(),
        )


def _known(word: str, known: Collection[str], what: str, path: str) -> Iterator[Fault]:
    """A fault when a word is in no table, with the nearest one that is."""
    if word in known:
        return
    near = get_close_matches(word, known, n=1)
    remedy = f"did you mean “{near[0]}”?" if near else f"known are {', '.join(sorted(known))}"
    yield Fault(path, f"“{word}” is not a {what}", remedy)
