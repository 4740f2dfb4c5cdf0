"""One step of the check after the job: what should come out, what came out, and the verdict."""

from dataclasses import dataclass
from typing import Literal

from fusemap.probing import evidence
from fusemap.units import digits, quantity
from fusemap.vehicle import Reading, State
from fusemap.vehicle.words import Quantity, TargetKind

Verdict = Literal["open", "agrees", "differs"]


@dataclass(frozen=True, slots=True)
class Expected:
    """A prediction with the band in which a reading agrees; for yes or no all three are 1 or 0."""

    typical: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CheckStep:
    """One step of the check: what to do, what should come out, what came out.

    A step without `expected` is read for the record, or for a later step.
    """

    key: str
    title: str
    how: str
    quantity: Quantity
    unit: str
    state: State
    target: TargetKind
    target_id: str
    expected: Expected | None
    fuse_out: str | None = None
    reading: Reading | None = None
    error: float = 0.0
    causes: tuple[str, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Whether it was read, and agrees within the band and the meter's error."""
        if self.reading is None:
            return "open"
        if self.expected is None:
            return "agrees"
        low, high = self.expected.low - self.error, self.expected.high + self.error
        value = self.reading.value if not self.unit else abs(self.reading.value)
        return "agrees" if low - 1e-9 <= value <= high + 1e-9 else "differs"

    @property
    def predicted_words(self) -> str:
        """The prediction as it is said beside the reading."""
        if self.expected is None:
            return "–"
        if not self.unit:
            return "yes" if self.expected.typical else "no"
        high = quantity(self.expected.high, self.unit, 2)
        if self.expected.low <= 0:
            return f"at most {high}"
        thousandths = self.unit in ("A", "V") and self.expected.high < 0.1
        low = digits(self.expected.low * (1000 if thousandths else 1), self._digits)
        high = quantity(self.expected.high, self.unit, self._digits)
        return f"{quantity(self.expected.typical, self.unit)} ({low} to {high})"

    @property
    def _digits(self) -> int:
        """Volts are told to a tenth, everything else to two digits."""
        return 3 if self.unit == "V" else 2

    @property
    def measured_words(self) -> str:
        """The reading as it is said; empty while there is none."""
        if self.reading is None:
            return ""
        if not self.unit:
            return "yes" if self.reading.yes else "no"
        return evidence.value_words(self.reading)
