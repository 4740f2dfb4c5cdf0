"""How the quick search knows what begins a part of a form: a button, or its first field."""

from typing import Final

FOUND_BY: Final = "foundBy"
"""The property with the further words that it is found by."""
