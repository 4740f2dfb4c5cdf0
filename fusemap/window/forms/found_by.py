"""How the quick search knows what begins a part of a form: a button, or its first field."""

from typing import Final

from fusemap.text import say

FOUND_BY: Final = "foundBy"
"""The property with the further words that it is found by."""
SECOND_BATTERY: Final = say("leisure battery, house battery, auxiliary battery")
"""What else a second battery is called; common practice, no source."""
