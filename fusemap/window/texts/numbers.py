"""To go, with `shims`: where its figures were taken from."""

from fusemap.window.texts.shims import (
    NARROW_SPACE,
    decimal,
    digits,
    duration,
    percent,
    quantity,
    shown_unit,
)

__all__ = ["NARROW_SPACE", "decimal", "digits", "duration", "percent", "quantity", "shown_unit"]
