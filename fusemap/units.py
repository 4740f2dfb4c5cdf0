"""Numbers as people read them: sensible digits and the unit, never more than was known.

Inside the program everything is in V, A, Ω, s, °C, m, mm² and Ah; this module is only for showing.
"""

import csv
from functools import cache
from importlib.resources import files
from math import floor, isfinite, log, log10, pi, sqrt

NARROW_SPACE = "\u202f"
"""Between a number and its unit: it does not break the line."""

FEET_PER_METRE = 1 / 0.3048

SYMBOLS = frozenset(
    {
        "A",
        "mA",
        "µA",
        "V",
        "mV",
        "Ω",
        "mΩ",
        "W",
        "kW",
        "Ah",
        "A/Ah",
        "A²s",
        "s",
        "ms",
        "min",
        "h",
        "d",
    }
    | {"%", "×", "m", "cm", "mm", "mm²", "ft", "l", "A/l", "°C", "°F", "K", "1/K", "N", "Nm"}
    | {"in", "lbf", "lbf·in"}
)
"""Units by their symbols: the same in every language, and never words of it."""


INCHES_PER_MM = 1 / 25.4
"""Source: the inch is 25.4 mm exactly (NIST SP 811, appendix B.8)."""
POUNDS_PER_NEWTON = 1 / 4.4482216152605
"""Pounds-force [lbf] of one newton. Source: NIST SP 811, appendix B.8."""
POUND_INCHES_PER_NM = POUNDS_PER_NEWTON * 1000 / 25.4
"""Torque [lbf·in] of one newton metre. Source: NIST SP 811, appendix B.8: 0.112 984 8 N·m each."""


def fahrenheit(celsius: float) -> float:
    """A temperature [°C] in °F. Source: NIST SP 811, appendix B.8.

    >>> fahrenheit(20.0)
    68.0
    """
    return celsius * 1.8 + 32.0


def fahrenheit_degrees(kelvin: float) -> float:
    """A difference of two temperatures [K] in Fahrenheit's degrees, which have no zero to shift.

    Source: NIST SP 811, appendix B.8: an interval of 1 K is one of 1.8 °F.

    >>> fahrenheit_degrees(80.0)
    144.0
    """
    return kelvin * 1.8


def digits(value: float, significant: int = 3) -> str:
    """A number to so many significant digits, without an exponent and without trailing zeros.

    >>> digits(7.4999), digits(0.01234), digits(1234.4), digits(0)
    ('7.5', '0.0123', '1234', '0')
    """
    if not isfinite(value):
        return "∞" if value > 0 else "−∞" if value < 0 else "?"
    if value == 0:
        return "0"
    places = max(0, significant - 1 - floor(log10(abs(value))))
    text = f"{value:.{min(places, 9)}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "0") else text.replace("-", "−")


def quantity(value: float, unit: str, significant: int = 3) -> str:
    """A number with its unit; small amperes, volts and ohms in thousandths.

    >>> quantity(0.035, "A").replace(NARROW_SPACE, " ")
    '35 mA'
    >>> quantity(7.5, "A").replace(NARROW_SPACE, " ")
    '7.5 A'
    """
    if unit in ("A", "V", "Ω") and 0 < abs(value) < 0.1:
        return f"{digits(value * 1000, significant)}{NARROW_SPACE}m{unit}"
    return f"{digits(value, significant)}{NARROW_SPACE}{unit}"


def percent(share: float) -> str:
    """A share as whole per cent.

    >>> percent(0.755).replace(NARROW_SPACE, " ")
    '76 %'
    """
    return f"{share * 100:.0f}{NARROW_SPACE}%" if isfinite(share) else "∞"


def duration(hours: float, longest: float | None = None) -> str:
    """A time in words: minutes under two hours, hours under two days, else days.

    Of several that are compared, all are in the unit that the `longest` is in [h].

    >>> duration(0.5), duration(30), duration(26.4 * 24)
    ('30 minutes', '30 hours', '26 days')
    >>> duration(72 + 12), duration(float("inf"))
    ('3.5 days', 'longer than computed')
    >>> duration(2, longest=20), duration(1.4, longest=20), duration(5, longest=240)
    ('2 hours', '1.4 hours', '0.21 days')
    """
    if not isfinite(hours):
        return "longer than computed"
    longest = hours if longest is None else longest
    if longest < 2:
        return _counted(f"{hours * 60:.0f}", "minute")
    if longest < 48:
        return _counted(f"{hours:.0f}" if hours >= 2 else digits(hours, 2), "hour")
    days = hours / 24
    return _counted(digits(days, 2) if days < 10 else f"{days:.0f}", "day")


def _counted(number: str, word: str) -> str:
    return f"{number} {word}" if number == "1" else f"{number} {word}s"


def gauge_name(area_mm2: float) -> str:
    """The AWG nearest in copper section [mm²], as the trade writes it. Source: ASTM B258.

    >>> gauge_name(1.5), gauge_name(50)
    ('15', '1/0')
    """
    diameter_mm = sqrt(4.0 / pi * area_mm2)
    number = round(36.0 - 39.0 * log(diameter_mm / 0.127) / log(92.0))
    return str(number) if number > 0 else f"{1 - number}/0"


@cache
def sold_gauge(area_mm2: float) -> str | None:
    """The thinnest AWG that is sold with at least so much copper [mm²]; `None` where none is.

    Even numbers and the noughts are sold. Vehicle cable of the same number holds less copper (SAE),
    so its area counts where it is listed. Source: `gauges.csv`; which numbers are sold is common
    practice.

    >>> [sold_gauge(area) for area in (0.5, 1.5, 2.5, 50.0, 200.0)]
    ['20', '14', '12', '1/0', None]
    """
    return next((name for name, area in _sold_gauges() if area >= area_mm2), None)


@cache
def _sold_gauges() -> tuple[tuple[str, float], ...]:
    """The numbers that are sold, each with the copper it holds, thinnest first."""
    text = (files("fusemap.resources.tables") / "gauges.csv").read_text(encoding="utf-8")
    return tuple(
        (row["awg"], float(row["sae_area_mm2"] or row["area_mm2"]))
        for row in csv.DictReader(text.splitlines())
        if row["awg"].endswith("/0") or int(row["awg"]) % 2 == 0
    )
