"""Contacts of tow sockets: what each carries, its core in the trailer, by which one it returns.

In: the table `socket_pins`. Out: frozen rows, each with its source.
"""

from collections.abc import Mapping
from functools import cache
from typing import Literal

from msgspec import Struct

from fusemap.tables.reading import Source, number, rows_of, source

Role = Literal["lamp", "permanent", "switched", "return", "signal", "free"]


class SocketPin(Struct, frozen=True):
    """One contact: its function in words, the colour and section [mm²] of the trailer's core.

    `returns_by` is the contact by which its current goes back, `None` for one that is a return.
    """

    number: int
    function: str
    colour: str
    section_mm2: float | None
    role: Role
    returns_by: int | None
    source: Source


@cache
def socket_pins(kind: str) -> Mapping[int, SocketPin]:
    """The contacts of a kind of tow socket by their numbers; none for any other socket."""
    found = {}
    for key, row in rows_of("socket_pins", kind):
        back = row["returns_by"]
        found[int(key)] = SocketPin(
            int(key),
            row["function"],
            row["colour"],
            number(row, "section_mm2"),
            row["role"],  # type: ignore[arg-type]
            int(back) if back else None,
            source(row),
        )
    return found
