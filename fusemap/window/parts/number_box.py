"""A box for a number to step up and down: its figure stands as far from the edge as any field's.

A style sheet does not reach the line inside such a box, so its margin is set here.
"""

from typing import Final, TypeVar

from PySide6.QtWidgets import QAbstractSpinBox

from fusemap.window.style.measures import px

AIR: Final = 6
"""Left of the figure [px of the design], as in the style sheet's fields."""
Box = TypeVar("Box", bound=QAbstractSpinBox)


def with_air(box: Box) -> Box:
    """Give it that margin, and the width for it; its range and unit are set before."""
    air = px(box, AIR)
    box.lineEdit().setTextMargins(air, 0, 0, 0)
    box.setMinimumWidth(box.sizeHint().width() + air)
    return box
