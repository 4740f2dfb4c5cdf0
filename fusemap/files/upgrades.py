"""The history of the file format, and how older files are brought up to the newest version.

=======  ==========  ===============================================================================
Version  Since       What changed
=======  ==========  ===============================================================================
1        0.1         The first: a vehicle as `fusemap.vehicle.model` describes it.
2        0.1         Readings, meters and signatures of the vehicle; `borrowed` of a slot; `found`
                     of an accessory.
3        0.1         `converter` and `supplied_by` of an accessory; `relay_limit_a` and
                     `relay_coil_a` of a tap.
4        0.1         `photo` of a panel.
5        0.1         `harmless` of a slot; `largest_fuse_a` of an accessory.
6        0.1         As version 5.
=======  ==========  ===============================================================================

The rules. Any change of the fields makes a new version, so that an older program says "newer than
this program" and nothing is lost silently. A field never changes its type, a default never changes
its value. An upgrade is one small function in `UPGRADES`, from its version to the next: it takes
the file's fields as plain dicts and lists and returns them changed; a demo file of its version and
a test come with it. All versions are read; the newest is written.
"""

from collections.abc import Callable, Mapping
from typing import Any

Fields = dict[str, Any]
Upgrade = Callable[[Fields], Fields]


def _with_readings(fields: Fields) -> Fields:
    """Version 1 to 2: what is new is left out of the file where there is none of it."""
    return fields


def _with_converters(fields: Fields) -> Fields:
    """Version 2 to 3: what is new is left out of the file where there is none of it."""
    return fields


def _with_photos(fields: Fields) -> Fields:
    """Version 3 to 4: what is new is left out of the file where there is none of it."""
    return fields


def _with_answers(fields: Fields) -> Fields:
    """Version 4 to 5: what is new is left out of the file where there is none of it.

    A slot whose name looks like one to leave alone, and that has no mark, was never asked about in
    writing: it stays unanswered.
    """
    return fields


def _as_before(fields: Fields) -> Fields:
    """Version 5 to 6: nothing changed."""
    return fields


UPGRADES: Mapping[int, Upgrade] = {
    1: _with_readings,
    2: _with_converters,
    3: _with_photos,
    4: _with_answers,
    5: _as_before,
}
"""The upgrade from each version to the next."""


def upgraded(
    fields: Fields, version: int, newest: int, upgrades: Mapping[int, Upgrade] = UPGRADES
) -> Fields:
    """The fields of a file of `version` as a file of version `newest` has them."""
    for step in range(version, newest):
        fields = upgrades[step](fields)
    return fields
