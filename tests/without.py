"""A vehicle with one piece of knowledge less, for every field of the document that may be unknown.

`pieces` walks the document by its own fields: whatever stands in one whose default says that it is
not known is taken away, one after the other. What is chosen and not known is left alone.
"""

from collections.abc import Callable, Iterator
from typing import Any, Final

from msgspec import NODEFAULT
from msgspec.structs import fields, replace

from fusemap.vehicle import BATTERY, Slot, Vehicle
from fusemap.vehicle.model import StateLoads
from fusemap.vehicle.parts import Value

CHOSEN: Final = frozenset(
    {
        ("Accessory", "converter"), ("Accessory", "cut_off"), ("Accessory", "lead_back"),
        ("Accessory", "lead_fuse"), ("Accessory", "run_on_min"), ("Accessory", "supplied_by"),
        ("Accessory", "amperes"), ("Accessory", "watts"), ("Accessory", "kind"),
        ("Accessory", "parked_mode"), ("Accessory", "note"), ("Accessory", "short_s"),
        ("Tap", "cable_back"), ("Tap", "ceiling_a"), ("Tap", "feed"), ("Tap", "fuse"),
        ("Tap", "joint"), ("Tap", "slot"), ("Tap", "earth_point"), ("Tap", "justification"),
        ("Tap", "found_how"),
        ("Feed", "parent"), ("Slot", "borrowed"), ("Slot", "label"), ("Slot", "note"),
        ("Slot", "critical_reason"), ("Panel", "photo"),
        ("Parking", "maintainer"), ("Parking", "locked_on"),
        ("Vehicle", "second_battery"), ("Vehicle", "note"),
        ("CrankReading", "when"), ("CrankReading", "note"), ("RuleChoice", "value"),
        ("SecondBattery", "near_fuse"), ("SecondBattery", "far_fuse"),
    }
)  # fmt: skip
"""Fields whose default is a choice or a remark: no cable back is the way by the body, no fuse is
none. Those of which a device draws one has to be there."""
SAID_BY_FALSE: Final = frozenset({("Parking", "night_logged"), ("Vehicle", "monitored")})
UNKNOWN: Final = (None, "unknown", "unsaid", "", ())
"""Defaults that say that something is not known."""

Piece = tuple[str, Vehicle]
"""Which field of what lost its value, and the vehicle without it."""


def pieces(vehicle: Vehicle) -> Iterator[Piece]:
    """The vehicle with one piece of knowledge less, for each there is."""
    yield from _of(vehicle, "", lambda less: less)


def _of(value: Any, name: str, put: Callable[[Any], Vehicle]) -> Iterator[Piece]:
    kind = type(value).__name__
    for field in fields(value):
        has = getattr(value, field.name)
        where = f"{name}.{field.name}".lstrip(".")

        def within(less: Any, key: str = field.name) -> Vehicle:
            return put(_fitting(replace(value, **{key: less})))

        if has == field.default:
            continue
        if isinstance(has, Value):
            yield from _of(has, where, within)
        elif isinstance(has, tuple):
            yield from _each(has, where, within)
        if (kind, field.name) not in CHOSEN and _may_be_unknown(kind, field):
            yield where, within(field.default)


def _each(has: tuple[Any, ...], where: str, within: Callable[[Any], Vehicle]) -> Iterator[Piece]:
    for at, each in enumerate(has):
        if isinstance(each, Value):
            place = getattr(each, "id", str(at))
            yield from _of(
                each, f"{where}[{place}]", lambda less, at=at: within(_at(has, at, less))
            )


def _at(has: tuple[Any, ...], at: int, less: Any) -> tuple[Any, ...]:
    return (*has[:at], less, *has[at + 1 :])


def _may_be_unknown(kind: str, field: Any) -> bool:
    if field.default is NODEFAULT:
        return False
    if (kind, field.name) in SAID_BY_FALSE or isinstance(field.default, StateLoads):
        return True
    return any(field.default is each or field.default == each for each in UNKNOWN[:4]) or (
        field.name in ("crank_readings", "stand_readings")
    )


def _fitting(value: Any) -> Any:
    """A slot of which nobody knows the class cannot be said to hang straight on the battery."""
    if isinstance(value, Slot) and value.feed_class == "unknown" and value.feed == BATTERY:
        return replace(value, feed=None)
    return value
