"""What the tables say, read anew: straight from the files, with rules of reading written out here.

Nothing of the program is imported. Fuses: lasting load [A], resistance [Ω], melting I²t [A²s],
operating times [s]. Conductors and insulations. The named rules.
"""

import csv
import itertools
from functools import cache
from importlib.resources import files
from typing import NamedTuple

Row = dict[str, str]
INF = float("inf")


@cache
def table(name: str) -> tuple[Row, ...]:
    """All rows of a table."""
    text = files("resources").joinpath("tables", f"{name}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def number(row: Row, key: str, default: float = 0.0) -> float:
    """A number of a row, or what an empty field means."""
    return float(row[key]) if row[key] else default


@cache
def rule_defaults() -> dict[str, float]:
    """Every named rule with its default."""
    return {row["key"]: float(row["value"]) for row in table("rules")}


class Ends(NamedTuple):
    """A figure that nobody answered: its mild end, what is usual, its hard end."""

    mild: float
    usual: float
    hard: float


@cache
def unanswered(key: str) -> Ends:
    """A row of what an unanswered figure may be."""
    row = next(row for row in table("unanswered") if row["key"] == key)
    return Ends(*(float(row[end]) for end in ("mild", "usual", "hard")))


@cache
def usual_charge(chemistry: str) -> tuple[float, float, float]:
    """The charge of a battery of which nobody read or said it [-]: low, usual, high."""
    if chemistry in ("agm", "efb"):  # on an alternator steered by its sensor
        row = next(row for row in table("starting") if row["key"] == "smart_soc")
        return tuple(float(row[end]) / 100 for end in ("low", "value", "high"))  # type: ignore[return-value]
    usual = float(battery_row(chemistry)["start_soc"])
    return usual - 0.12, usual, min(1.0, usual + 0.12)


@cache
def ratings(family: str) -> tuple[float, ...]:
    """The ratings of a family [A]."""
    row = next(row for row in table("fuse_families") if row["key"] == family)
    return tuple(float(each) for each in row["ratings_a"].split(";") if each)


@cache
def families() -> tuple[str, ...]:
    """All families with ratings."""
    return tuple(row["key"] for row in table("fuse_families") if row["ratings_a"])


@cache
def contact_limit(family: str, holder_share: float) -> float:
    """What the contacts of a slot carry for long [A]."""
    row = next(row for row in table("fuse_families") if row["key"] == family)
    return number(row, "contact_limit_a", max(ratings(family), default=INF) * holder_share)


# --- what a fuse carries for long -----------------------------------------------------------------


@cache
def _line(family: str) -> Row | None:
    return next((row for row in table("fuse_rerating") if row["family"] == family), None)


@cache
def _allowed(family: str) -> dict[float, dict[float, float]]:
    found: dict[float, dict[float, float]] = {}
    for row in table("fuse_temperature"):
        if row["family"] == family:
            at = found.setdefault(float(row["rating_a"]), {})
            at[float(row["ambient_c"])] = float(row["allowed_a"])
    return found


def _published(family: str, rating: float, warm_c: float, share: float) -> float:
    factor, line = 1.0 if warm_c <= 125.0 else 0.0, _line(family)
    if line is not None:
        cold, hot = number(line, "cold_c"), number(line, "hot_c")
        far = (warm_c - cold) / (hot - cold)
        factor = number(line, "cold_factor") * (1 - far) + number(line, "hot_factor") * far
        factor = 0.0 if warm_c > number(line, "hottest_c") else max(factor, 0.0)
    columns = _allowed(family).get(rating)
    if columns is None:
        return share * rating * factor
    fitting = [column for column in columns if column >= warm_c]
    return min(share * rating * factor, columns[min(fitting)] if fitting else 0.0)


@cache
def fuse_limit(family: str, rating: float, warm_c: float, share: float) -> float:
    """Lasting load of a fuse [A]; without a published one the strictest of any family."""
    if rating in _allowed(family) or _line(family) is not None:
        return _published(family, rating, warm_c, share)
    least = []
    for like in families():
        lower = [each for each in _allowed(like) if each <= rating]
        at = max(lower) if lower else rating if _line(like) is not None else None
        if at is not None:
            least.append(_published(like, at, warm_c, share) / at)
    return rating * min(least, default=share)


# --- resistance and melting -----------------------------------------------------------------------


@cache
def _resistances() -> dict[tuple[str, float], Row]:
    return {(row["family"], float(row["rating_a"])): row for row in table("fuse_resistance")}


def _growth(row: Row) -> float:
    """Resistance at full load over cold [-]."""
    drop = number(row, "drop_at_rated_mv")
    return max(1.0, drop / number(row, "rating_a") / number(row, "cold_mohm")) if drop else 1.0


def fuse_ohm(family: str, rating: float, measured_mohm: float | None) -> float:
    """Resistance of a fuse at full load [Ω]; 0 where neither measured nor published."""
    row = _resistances().get((family, rating))
    growth = 1.0 if row is None else _growth(row)
    if measured_mohm is not None:
        return measured_mohm * growth / 1000
    return 0.0 if row is None else number(row, "cold_mohm") * growth / 1000


def resistance_published(family: str, rating: float) -> bool:
    """Whether a resistance is."""
    return (family, rating) in _resistances()


@cache
def most_ohm_of_a_like_fuse(rating: float) -> float:
    """The most a fuse of this rating may have without its own figure [Ω]."""
    known = {r for _, r in _resistances()}
    at = max((r for r in known if r <= rating), default=min(known))
    return max(
        number(row, "cold_mohm") * max(_growth(row), 1.7) / 1000
        for (_, r), row in _resistances().items()
        if r == at
    )


@cache
def melting(family: str, rating: float, current_a: float) -> float | None:
    """Melting I²t of a fuse [A²s], by analogy where its own is not published."""
    row = _resistances().get((family, rating))
    if row is not None and row["melting_i2t_a2s"]:
        return number(row, "melting_i2t_a2s")
    known = {
        (f, r): number(row, "melting_i2t_a2s") / r**2
        for (f, r), row in _resistances().items()
        if row["melting_i2t_a2s"] and r <= rating
    }
    found = []
    if known:
        at = max(r for _, r in known)
        found.append(min(v for (_, r), v in known.items() if r == at) * rating**2)
    if times(family, rating):
        found.append(current_a**2 * soonest(family, rating, current_a / rating))
    return max(found, default=0.0) or None


# --- operating times ------------------------------------------------------------------------------


@cache
def times(family: str, rating: float) -> tuple[tuple[float, float, float], ...]:
    """Published points: times the rating, no sooner than, no later than [s]; rising."""
    return tuple(
        sorted(
            (float(row["multiple"]), number(row, "min_s"), number(row, "max_s", INF))
            for row in table("fuse_times")
            if row["family"] == family
            and float(row["lowest_rating_a"]) <= rating <= float(row["highest_rating_a"])
        )
    )


def soonest(family: str, rating: float, multiple: float) -> float:
    """A fuse opens no sooner than this [s]: a higher current opens it sooner."""
    return max((low for m, low, _ in times(family, rating) if m >= multiple), default=0.0)


@cache
def protection(
    family: str, rating: float, overload: float
) -> tuple[float, tuple[tuple[float, float], ...]]:
    """I²t let through [A²s], and the overloads it may carry: times the rating, longest [s]."""
    own = times(family, rating)
    points = own or times("maxi", 40.0)
    through = max((m * m * high for m, _, high in points if high <= 5.0), default=0.0) * rating**2
    longest = min((high for m, _, high in own if m <= overload), default=INF)
    higher = tuple((m, high) for m, _, high in points if m > overload and high < INF)
    return through, ((overload, longest), *higher)


# --- conductors -----------------------------------------------------------------------------------


@cache
def conductor(section: float) -> tuple[float, float]:
    """Resistance at 20 °C [mΩ/m] and outside diameter [mm] of a section [mm²]."""
    rows = [row for row in table("conductors") if row["series"] == "vehicle"]
    fitting = [row for row in rows if float(row["area_mm2"]) <= section * 1.0001] or rows[:1]
    row = max(fitting, key=lambda each: float(each["area_mm2"]))
    part = float(row["area_mm2"]) / section
    return float(row["r20_mohm_per_m"]) * part, float(row["od_mm"]) / part**0.5


@cache
def trailer_core(kind: str, pin: int) -> float | None:
    """The core [mm²] behind a pin of a tow socket, where the standard gives it one."""
    found = [row["section_mm2"] for row in table("socket_pins") if row["key"] == f"{kind}.{pin}"]
    return float(found[0]) if found and found[0] else None


def insulation(key: str) -> tuple[float, float, float]:
    """What it bears for good, in an overload and at the end of a short [°C]."""
    row = next(row for row in table("insulations") if row["key"] == key)
    return float(row["limit_c"]), float(row["overload_limit_c"]), float(row["short_end_c"])


@cache
def joint_mohm(kind: str, otherwise: float) -> float:
    """Resistance of a joint [mΩ]."""
    row = next((row for row in table("joints") if row["key"] == kind), None)
    return otherwise if row is None else number(row, "typical_mohm", otherwise)


@cache
def rest_v(chemistry: str, soc: float) -> float:
    """Voltage at rest of a 12 V battery [V] at a charge [-]."""
    points = [
        (float(row["soc"]), float(row["volts"]))
        for row in table("rest_voltage")
        if row["chemistry"] == chemistry
    ]
    for (x0, y0), (x1, y1) in itertools.pairwise(points):
        if x0 <= soc <= x1:
            return y0 + (y1 - y0) * (soc - x0) / (x1 - x0)
    raise ValueError(soc)


@cache
def battery_row(chemistry: str) -> Row:
    """The usual figures of a chemistry."""
    return next(row for row in table("batteries") if row["key"] == chemistry)
