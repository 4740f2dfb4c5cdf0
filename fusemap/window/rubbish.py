"""Python's collector of unreachable objects, run between events and never inside one.

Where the collector runs while Qt is inside a method that Python overrides, PySide 6.10 and 6.11
may give that method's reference back once too often; some such times later the method is gone and
the program with it (seen with `showEvent` of the forms, by counting references; not in 6.9).
Between events nothing of the kind is under way. It also keeps pauses out of an edit's way.
"""

import gc
from typing import Final

from PySide6.QtCore import QObject, QTimer

EVERY_MS: Final = 1000


class Rubbish(QObject):
    """Looks every second whether there is something to collect, as the collector itself would."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        gc.disable()
        timer = QTimer(self)
        timer.timeout.connect(collect_some)
        timer.start(EVERY_MS)


def collect_some() -> int | None:
    """Collect the oldest generation that is due, by the collector's own thresholds.

    Out: the generation, `None` where none was due.
    """
    due = [n for n, (count, most) in enumerate(zip(gc.get_count(), gc.get_threshold(), strict=True))
           if most and count > most]  # fmt: skip
    if not due:
        return None
    gc.collect(due[-1])
    return due[-1]
