"""A report's data as text for a terminal: headings, tables of even columns, findings with remedies.

In: the dicts of `report_data`. Out: plain text without colour; severity is a word.
"""

from collections.abc import Iterator, Sequence
from math import inf
from typing import Any

from fusemap import tables
from fusemap.units import NARROW_SPACE, duration, percent, quantity
from fusemap.vehicle import State
from fusemap.vehicle.words import FEED, STATE

Data = dict[str, Any]
NO_LIMIT = "–"


def _state(state: State | None) -> str:
    return "" if state is None else str(STATE[state].label)


def report(data: Data) -> str:
    """The report in words and tables."""
    lines = [_title(data), "", _counted(data["counts"])]
    if data["slots"]:
        lines += ["", "SLOTS THAT CARRY SOMETHING", *_slots(data["slots"])]
    if data["unanswered"]:
        lines += ["", "LEFT ALONE BY THEIR NAMES, NOT ANSWERED", *_unanswered(data["unanswered"])]
    if data["feeds"]:
        lines += ["", "FEEDS", *_feeds(data["feeds"])]
    for tap in data["taps"]:
        lines += ["", tap["title"], *_hops(tap["hops"]), *_unchecked(tap["unchecked"])]
    if data["findings"]:
        lines += ["", "FINDINGS", *_findings(data["findings"])]
    return _terminal(lines)


def parked(data: Data, more: Sequence[str] = ()) -> str:
    """The parked forecast in words and figures, with `more` lines after the figures."""
    extra = ["", *more] if more else []
    head = [_title(data), "", *_forecast(data), *extra, "", *_consumers(data)]
    return _terminal([*head, *_closing(data)])


def _terminal(lines: Sequence[str]) -> str:
    """Terminals have one width of space, and nobody wants spaces at the end of a line."""
    return "\n".join(line.replace(NARROW_SPACE, " ").rstrip() for line in lines)


def _title(data: Data) -> str:
    return f"{data['vehicle']} ({data['system_v']} V)"


def _unanswered(open_ones: Sequence[Data]) -> Iterator[str]:
    """Slots whose names propose a mark that nobody set or turned down."""
    for one in open_ones:
        yield f"{one['label']} {one['circuit']}: {one['mark']}? ({one['why']})"


def _counted(counts: dict[str, int]) -> str:
    return ", ".join(f"{number} {severity}" for severity, number in counts.items())


def _table(*rows: Sequence[str], left: int = 1) -> Iterator[str]:
    """Even columns: the first `left` to the left, the others to the right."""
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    for row in rows:
        cells = zip(row, widths, strict=True)
        yield "  " + "  ".join(
            cell.ljust(width) if i < left else cell.rjust(width)
            for i, (cell, width) in enumerate(cells)
        )


def _amount(value: float | None, unit: str) -> str:
    return NO_LIMIT if value is None else quantity(value, unit)


def _of(load: float | None, limit: float | None, unit: str = "A") -> str:
    return f"{_amount(load, unit)} of {_amount(limit, unit)}"


def _share(share: float | None) -> str:
    return percent(inf if share is None else share)


def _slots(slots: Sequence[Data]) -> Iterator[str]:
    head = ("slot", "fuse", "feed", "state", "own", "accessories", "host fuse", "contact", "used")
    rows = [
        (
            f"{slot['label']} {slot['circuit']}",
            _fuse(slot["fuse"]),
            str(FEED[slot["feed_class"]].label),
            _state(slot["state"]),
            _amount(slot["own_a"], "A"),
            _amount(slot["accessories_a"], "A"),
            _of(slot["host_fuse_a"], slot["host_fuse_limit_a"]),
            _of(slot["live_contact_a"], slot["contact_limit_a"]),
            _share(slot["share"]),
        )
        for slot in slots
    ]
    return _table(head, *rows, left=4)


def _fuse(fuse: Data | None) -> str:
    if fuse is None:
        return "none"
    return f"{fuse['rating_a']:g} A {tables.fuse_family(fuse['family']).name}"


def _feeds(feeds: Sequence[Data]) -> Iterator[str]:
    rows = [
        (
            feed["name"],
            _state(feed["state"]),
            _of(feed["current_a"], feed["limit_a"]),
            _share(feed["share"]),
        )
        for feed in feeds
    ]
    return _table(("feed", "state", "current", "used"), *rows, left=2)


def _unchecked(missing: Sequence[str]) -> Iterator[str]:
    yield from (f"  could not be checked: {each}" for each in missing)


def _hops(hops: Sequence[Data]) -> Iterator[str]:
    rows = [
        (
            hop["title"],
            _state(hop["state"]),
            _amount(hop["load"], hop["unit"]),
            ("at most " if hop["at_most"] else "at least ") + _amount(hop["limit"], hop["unit"]),
            "holds" if hop["passed"] else "FAILS",
        )
        for hop in hops
    ]
    return _table(("hop", "state", "load", "limit", ""), *rows, left=2)


def _findings(findings: Sequence[Data]) -> Iterator[str]:
    for number, finding in enumerate(findings, start=1):
        yield f"  {number}. {finding['severity'].upper()}  {finding['where']}: {finding['what']}"
        for name in ("sum", "rule"):
            if finding[name]:
                source = f" ({finding['source']})" if name == "rule" and finding["source"] else ""
                yield f"     {finding[name]}{source}"
        if finding["remedy"]:
            yield f"     What to do: {finding['remedy']}"


def _hours(value: float | None) -> str:
    return duration(inf if value is None else value)


def _forecast(data: Data) -> Iterator[str]:
    verdict = "will" if data["starts_after_planned"] else "will probably not"
    yield f"After standing {_hours(data['planned_h'])} as planned it {verdict} start."
    yield ""
    yield from _table(
        ("May stand until too empty to start", _hours(data["hours_to_crank_limit"])),
        ("The same without accessories", _hours(data["hours_without_accessories"])),
        ("Until empty", _hours(data["hours_to_empty"])),
        ("Until the battery can freeze", _hours(data["hours_to_freezing"])),
        ("Charged when locked", percent(data["start_soc"])),
        ("Needed to start", percent(data["crank_soc"])),
        ("Temperature, and coldest start", _temperatures(data)),
    )


def _temperatures(data: Data) -> str:
    return f"{quantity(data['temperature_c'], '°C')}, {quantity(data['coldest_c'], '°C')}"


def _consumers(data: Data) -> Iterator[str]:
    yield "WHO DRAWS"
    rows = [
        (row["name"], _amount(row["mean_a"], "A"), _amount(row["charge_ah"], "Ah"))
        for row in data["consumers"]
    ]
    yield from _table(("consumer", "mean", "in that time"), *rows)


def _closing(data: Data) -> Iterator[str]:
    if data["cut_offs"]:
        yield from ("", "CUT-OFFS")
    for cut_off in data["cut_offs"]:
        when = cut_off["first_trip_h"]
        tells = "never trips" if when is None else f"trips after {duration(when)}"
        chatters = ", and comes on again by itself" if cut_off["chatters"] else ""
        yield f"  {cut_off['name']}: {tells}{chatters}"
    if data["assumed"]:
        yield from ("", "ASSUMED", *(f"  {line}" for line in data["assumed"]))
    yield from ("", "HOW THIS CAME ABOUT", *(f"  {line}" for line in data["basis"].split("\n")))
