"""A release of the Qt binding lost one reference to `True` at each emit and aborted after some 550.

Measured with PySide6 6.12.0 on Python 3.11; that release is excluded in pyproject.toml.
"""

import sys
from typing import Any

from PySide6.QtCore import QObject, Signal


class Teller(QObject):
    told = Signal(bool)


def test_telling_a_hundred_times_loses_no_reference_to_true(qapp: Any) -> None:
    heard: list[bool] = []
    teller = Teller()
    teller.told.connect(heard.append)
    teller.told.emit(True)
    heard.clear()
    before = sys.getrefcount(True)
    for _ in range(100):
        teller.told.emit(True)
    heard.clear()
    assert sys.getrefcount(True) >= before - 10
