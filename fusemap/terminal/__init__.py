"""The commands that answer on the terminal: `report`, `parked`, `chain`, `millivolts` and others.

Each module has `add(commands)`, which tells the parser its arguments, and `answer(asked)`, which
gives an `Answer`: the exit status, data (keys with units in their names) and lines made of it.
"""

from collections.abc import Mapping
from typing import Final

COMMANDS: Final[Mapping[str, str]] = {
    "report": "currents, limits and findings",
    "parked": "how long the vehicle may stand",
    "chain": "size one accessory: fuse, cable, drop",
    "millivolts": "current through a fuse from the millivolts across it",
    "tables": "the published tables and their sources",
    "sheet": "what goes on paper: sheet, diagram, labels, lid card, map, probing list, record",
    "install-desktop": "an entry in the menu of this desktop (Linux)",
}
"""Sub-commands that answer on the terminal and load no window, with what each says."""
