"""Every field of the document that may be left empty, by the types of its parts: nobody lists them.

`places(vehicle)` walks the vehicle with the fields of its structs and yields each that has a value
for *not known*: `None`, "unknown" or "unsaid". `answers` are values that it may have: the other
words of a choice, numbers within the bounds of the field's name beside those that stand anywhere,
parts as they stand elsewhere. What is chosen and not known (`without.CHOSEN`) is no such field.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from types import NoneType, UnionType
from typing import Any, Final, Literal, NamedTuple, Union, get_args, get_origin, get_type_hints

from msgspec.structs import fields, replace

from fusemap.vehicle import BATTERY, Vehicle
from fusemap.vehicle.parts import Value
from fusemap.vehicle.validity.bounds import span
from tests.without import CHOSEN, SAID_BY_FALSE

NOT_KNOWN: Final = ("unknown", "unsaid")
ALIKE: Final = 2
"""So many parts of a list are looked at."""


class Field(NamedTuple):
    """One field of one part: of which kind, where it stands, and what stands in it now."""

    kind: str
    name: str
    where: str
    has: Any
    empty: Any
    put: Callable[[Any], Vehicle]

    @property
    def key(self) -> tuple[str, str]:
        return self.kind, self.name


def places(vehicle: Vehicle, chosen: frozenset[tuple[str, str]] = CHOSEN) -> Iterator[Field]:
    """Every field that may be left empty, whether it is or not."""
    for each in _of(vehicle, "", lambda made: made):
        if each.key not in chosen:
            yield each


def _of(part: Value, where: str, put: Callable[[Any], Vehicle]) -> Iterator[Field]:
    kind = type(part)
    hints = get_type_hints(kind)
    for field in fields(part):
        has = getattr(part, field.name)
        at = f"{where}.{field.name}".lstrip(".")

        def within(value: Any, key: str = field.name) -> Vehicle:
            return put(_fitting(part, replace(part, **{key: value})))

        empty = not_known(hints[field.name])
        if (kind.__name__, field.name) in SAID_BY_FALSE:
            empty = (False,)
        if empty:
            yield Field(kind.__name__, field.name, at, has, empty[0], within)
        if isinstance(has, Value):
            yield from _of(has, at, within)
        elif isinstance(has, tuple):
            for index in _some(has):

                def one(value: Any, index: int = index, all_: Any = has, put_: Any = within) -> Any:
                    return put_((*all_[:index], value, *all_[index + 1 :]))

                yield from _of(has[index], f"{at}[{getattr(has[index], 'id', index)}]", one)


def _some(has: tuple[Any, ...]) -> list[int]:
    """The first of a list and its last ones: what is in use is among either."""
    found = [index for index, each in enumerate(has) if isinstance(each, Value)]
    return found if len(found) <= ALIKE else [found[0], *found[1 - ALIKE :]]


def not_known(kind: Any) -> tuple[Any, ...]:
    """The values of a type that say that it is not known; empty where there is none."""
    if get_origin(kind) in (Union, UnionType):
        return (None,) if NoneType in get_args(kind) else ()
    if get_origin(kind) is Literal:
        return tuple(each for each in get_args(kind) if each in NOT_KNOWN)
    return ()


def _fitting(before: Value, after: Any) -> Any:
    """What hangs straight on the battery is permanent."""
    names = getattr(after, "feed_class", None), getattr(after, "feed", None)
    if names[1] == BATTERY and names[0] != "permanent":
        return replace(after, feed=None)
    return after


Seen = dict[tuple[str, str], list[Any]]


def seen(vehicles: Iterable[Vehicle]) -> Seen:
    """What stands anywhere in a field of that name."""
    found: Seen = {}
    for vehicle in vehicles:
        for each in places(vehicle, frozenset()):
            known = found.setdefault(each.key, [])
            if each.has not in (each.empty, *known):
                known.append(each.has)
    return found


def answers(field: Field, vehicle: Vehicle, known: Seen) -> Iterator[Any]:
    """Values that a field may have, other than the empty one."""
    hint = next(get_type_hints(kind)[field.name] for kind in kinds() if kind.__name__ == field.kind)
    if field.empty is False:
        yield True
        return
    if get_origin(hint) is Literal:
        yield from (each for each in get_args(hint) if each not in NOT_KNOWN)
        return
    inner = [each for each in get_args(hint) if each is not NoneType]
    choices = [each for each in inner if get_origin(each) is Literal]
    if choices:
        yield from get_args(choices[0])
    elif bool in inner:
        yield from (False, True)
    elif float in inner or int in inner:
        yield from _numbers(field, known, whole=float not in inner)
    elif field.key == ("Slot", "feed"):
        yield from (BATTERY, *(each.id for each in vehicle.feeds))
    elif str not in inner:
        yield from known.get(field.key, [])[:4]


def kinds(kind: type[Value] = Value) -> Iterator[Any]:
    for each in kind.__subclasses__():
        yield each
        yield from kinds(each)


def _numbers(field: Field, known: Seen, *, whole: bool) -> Iterator[float]:
    least, most = span(field.name)
    stand = [float(each) for each in known.get(field.key, [])]
    if field.has is not None:
        stand.append(float(field.has))
    if not stand:
        stand = [1.0, 10.0, 100.0]
    low, high = min(stand), max(stand)
    tried = {
        low / 2,
        low,
        (low + high) / 2,
        high,
        high * 2,
        *([field.has] if field.has is not None else []),
    }
    for each in sorted(tried):
        if least <= each <= most:
            yield round(each) if whole else each
