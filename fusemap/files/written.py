"""A vehicle as the text of its file, and how large that may be.

In: a vehicle. Out: one UTF-8 JSON document, `format` and `version` first; indented by 2 as it is
saved, or on one line as it is kept. What equals its default is left out.
"""

from collections.abc import Iterator

import msgspec

from fusemap.text import say
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import Fault

FORMAT = "fusemap vehicle"
VERSION = 5
MOST_BYTES = 20_000_000
"""No vehicle fills this; a larger file is something else [bytes]."""
MOST_MB = MOST_BYTES // 1_000_000


def render(vehicle: Vehicle) -> str:
    """The text of a vehicle's file.

    >>> print(render(Vehicle(name="Van", system_v=24)), end="")
    {
      "format": "fusemap vehicle",
      "version": 5,
      "name": "Van",
      "system_v": 24
    }
    """
    return _indented(compact(vehicle)).decode() + "\n"


def compact(vehicle: Vehicle) -> bytes:
    """The same file on one line, made in the least time: for work that is kept after every edit."""
    fields = msgspec.json.encode(vehicle)
    head = msgspec.json.encode({"format": FORMAT, "version": VERSION})
    return head[:-1] + b"," + fields[1:]  # a vehicle has a name: there is a field to follow


def _indented(on_one_line: bytes) -> bytes:
    return msgspec.json.format(on_one_line, indent=2)


def size_faults(on_one_line: bytes) -> Iterator[Fault]:
    """A vehicle, as `compact` writes it, whose saved file would be larger than any that is read."""
    if len(_indented(on_one_line)) >= MOST_BYTES:  # the end of its last line comes on top
        yield Fault(
            "",
            say("the vehicle's file would be larger than {most} MB", most=MOST_MB),
            say("take a photo away, or shorten long notes"),
        )
