"""The words for everything one chooses from a list: (value, words) pairs for `ChoiceField`."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.text import Style, Text, given
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.words import STATE, Chemistry, Place, State, SystemVoltage

translate = QCoreApplication.translate
Choices = Sequence[tuple[Any, str]]


def places() -> tuple[tuple[Place, str], ...]:
    """Where something sits in the vehicle."""
    return (
        ("cabin", translate("Choices", "Cabin")),
        ("engine_bay", translate("Choices", "Engine bay")),
        ("boot", translate("Choices", "Boot")),
        ("under_carpet", translate("Choices", "Under the carpet")),
    )


def chemistries() -> tuple[tuple[Chemistry, str], ...]:
    """Battery kinds."""
    return (
        ("flooded", translate("Choices", "Lead-acid, flooded")),
        ("efb", translate("Choices", "Lead-acid, enhanced flooded (EFB)")),
        ("agm", translate("Choices", "Lead-acid, glass mat (AGM)")),
        ("gel", translate("Choices", "Lead-acid, gel")),
        ("lifepo4", translate("Choices", "Lithium iron phosphate (LiFePO₄)")),
    )


def system_voltages() -> tuple[tuple[SystemVoltage, str], ...]:
    """System voltages."""
    return ((12, f"12{NARROW_SPACE}V"), (24, f"24{NARROW_SPACE}V"))


def states(style: Style) -> tuple[tuple[State, str], ...]:
    """Vehicle states."""
    return tuple((state, style.show(words.label.capital())) for state, words in STATE.items())


def fuse_families(style: Style) -> tuple[tuple[str, str], ...]:
    """Fuse families by their key, with the size by which one tells what is in the panel."""
    return tuple((key, family_and_size(key, style)) for key in tables.fuse_families())


def family_and_size(key: str, style: Style) -> str:
    """A fuse family with the size of its body, width, thickness, height.

    >>> family_and_size("mini", Style()).replace(NARROW_SPACE, " ")
    'mini (11 × 4 × 16 mm)'
    """
    name, body = style.show(Text(tables.fuse_family(key).name)), tables.fuse_bodies().get(key)
    if body is None:
        return name
    return f"{name} ({' × '.join(f'{size:.0f}' for size in body)}{NARROW_SPACE}mm)"


def fuse_ratings(family: str, style: Style) -> tuple[tuple[float, str], ...]:
    """The ratings [A] a fuse family is made in."""
    ratings = tables.fuse_family(family).ratings_a
    return tuple((rating, style.show(given(rating, "A"))) for rating in ratings)


def feeds(vehicle: Vehicle, *, above: str | None = None) -> Choices:
    """What can supply something: straight from the battery, or a feed.

    With `above` only feeds that may stand above that feed: not itself and none below it.
    """
    below = feeds_below(vehicle, above) if above is not None else set()
    named = [(feed.id, feed.name or feed.id) for feed in vehicle.feeds if feed.id not in below]
    return [(None, translate("Choices", "Straight from the battery")), *named]


def feeds_below(vehicle: Vehicle, feed_id: str) -> set[str]:
    """A feed and everything that hangs on it."""
    found = {feed_id}
    grown = True
    while grown:
        more = {feed.id for feed in vehicle.feeds if feed.parent in found} - found
        grown = bool(more)
        found |= more
    return found


def feed_name(vehicle: Vehicle, feed_id: str | None) -> str:
    """What people call a feed."""
    if feed_id is None:
        return translate("Choices", "the battery")
    return look_up.feed(vehicle, feed_id).name
