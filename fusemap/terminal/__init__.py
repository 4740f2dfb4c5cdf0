"""Commands with arguments of their own: `chain`, `millivolts`, `tables`, `sheet`.

Each module has `add(commands)`, which tells the parser its arguments, and `answer(asked)`, which
gives the exit status, the answer as data (keys with units in their names) and as text.
"""

from collections.abc import Mapping
from typing import Final

COMMANDS: Final[Mapping[str, str]] = {
    "report": "currents, limits and findings",
    "parked": "how long the vehicle may stand",
    "chain": "size one accessory: fuse, cable, drop",
    "millivolts": "current through a fuse from the millivolts across it",
    "tables": "the published tables and their sources",
    "sheet": "what goes on paper: sheet, lid card, map, probing list, record",
    "install-desktop": "an entry in the menu of this desktop (Linux)",
}
"""Sub-commands that answer on the terminal and load no window, with what each says."""
