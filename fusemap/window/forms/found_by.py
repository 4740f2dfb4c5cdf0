"""How the quick search knows a button that begins a part of a form, where no field is there yet."""

from typing import Final

FOUND_BY: Final = "foundBy"
"""The property with the further words that the button is found by; without any it is not."""
