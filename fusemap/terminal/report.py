"""`fusemap report FILE`: currents, limits and findings.

Units stand in the keys: `_a` A, `_v` V, `_ah` Ah, `_h` hours since locking, `_c` °C, `_soc` share
of the charge. What does not exist, is not measured or not reached is `null`.

JSON keys:
vehicle, system_v
counts: stop, caution, note
slots[]: id, panel, label, circuit, fuse (family, rating_a), feed_class, critical,
  monitored, unanswered, function (leave_alone, regulated, supply, control, watched, unclear or
  comfort), function_answered (by a person, not by its name alone), state, own_a (null where it was
  never measured), own_known, accessories_a, host_fuse_a, host_fuse_limit_a, live_contact_a,
  contact_limit_a, room_a, share
unanswered[]: id, label, circuit, mark, why
feeds[]: id, name, state, current_a, limit_a, share
taps[]: id, title, accessory, lead, current_a, lowest_voltage_v
  hops[]: key, title, quantity, load, limit, unit, at_most, passed, share, state, basis
  unchecked[]: what could not be held against a limit, and what is missing for it
findings[]: code, severity, what, where, place, place_id, sum, rule, source, remedy, formula

Exit status: 0 done and nothing to stop for, 1 a finding of severity stop, 2 wrong arguments or a
file that cannot be read.
"""

import argparse
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields
from math import inf
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment, Hop, assess
from fusemap.checks import SEVERITIES, Finding, Severity, findings
from fusemap.circuits import QUESTIONS, circuit_of, unanswered
from fusemap.terminal.command import (
    Answer,
    Data,
    Indented,
    Line,
    Parsers,
    Table,
    add_command,
    add_vehicle,
    amount,
    plain,
    side_by_side,
    vehicle_of,
    with_note,
)
from fusemap.text import Argument, Text, given, in_row, many, say, say_in, share
from fusemap.vehicle import STATES, Slot, State, look_up
from fusemap.vehicle.words import FEED, STATE

SEVERITY: Final[dict[Severity, Text]] = {
    "stop": say("STOP"),
    "caution": say("CAUTION"),
    "note": say("NOTE"),
}


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    words = "currents, limits and findings"
    description = f"Say on the terminal: {words}."
    parser = add_command(
        commands, "report", words, description, (__doc__ or "").partition("\n\n")[2]
    )
    add_vehicle(parser)


def answer(asked: argparse.Namespace) -> Answer:
    """The report; exit status 1 where a finding says stop. Raises FileProblem."""
    vehicle = vehicle_of(asked.file)
    assessment = assess(vehicle)
    data = report_data(assessment, findings(vehicle, assessment))
    return Answer(1 if data["counts"]["stop"] else 0, data, tuple(report_lines(data)))


# --- as data --------------------------------------------------------------------------------------


def report_data(a: Assessment, found: Iterable[Finding]) -> Data:
    """Currents, limits and findings."""
    listed = [_finding_data(finding) for finding in found]
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "counts": {
            severity: sum(row["severity"] == severity for row in listed) for severity in SEVERITIES
        },
        "slots": [
            _slot_data(a, panel.name, slot)
            for panel in a.vehicle.panels
            for slot in panel.slots
            if slot.kind == "fuse" and _carries(a, slot)
        ],
        "unanswered": [
            {
                "id": slot.id,
                "label": look_up.slot_name(slot),
                "circuit": slot.circuit,
                "mark": mark,
                "why": tables.reasons(why),
            }
            for slot in look_up.slots(a.vehicle)
            for mark, why in unanswered(slot).items()
        ],
        "feeds": [_feed_data(a, column) for column in range(len(a.feeds.ids))],
        "taps": [_tap_data(a, column) for column in range(len(a.taps.ids))],
        "findings": listed,
    }


def _carries(a: Assessment, slot: Slot) -> bool:
    column = a.slots.index[slot.id]
    return bool(a.slots.live_contact_a[:, column].max() > 0)


def _slot_data(a: Assessment, panel: str, slot: Slot) -> Data:
    """A slot's currents in its worst state."""
    figures, column = a.slots, a.slots.index[slot.id]
    row = int(np.argmax(figures.shares[:, column]))
    fuse = slot.fuse
    # a load that nobody measured is reckoned as none, but is not known to be none
    known = bool(figures.own_known[row, column])
    circuit = circuit_of(slot)
    return {
        "id": slot.id,
        "panel": panel,
        "label": look_up.slot_name(slot),
        "circuit": slot.circuit,
        "fuse": None if fuse is None else {"family": fuse.family, "rating_a": fuse.rating},
        "feed_class": slot.feed_class,
        "critical": slot.critical,
        "monitored": slot.monitored,
        "unanswered": list(unanswered(slot)),
        "function": circuit.function,
        "function_answered": circuit.answered,
        "state": STATES[row],
        "own_a": plain(figures.own_a[row, column]) if known else None,
        "own_known": known,
        "accessories_a": plain(figures.accessory_a[row, column]),
        "host_fuse_a": plain(figures.host_a[row, column]),
        "host_fuse_limit_a": plain(figures.host_limit_a[column]),
        "live_contact_a": plain(figures.live_contact_a[row, column]),
        "contact_limit_a": plain(figures.contact_limit_a[column]),
        "room_a": plain(figures.room_a[column]),
        "share": plain(figures.worst_share[column]),
    }


def _feed_data(a: Assessment, column: int) -> Data:
    row = int(np.argmax(a.feeds.current_a[:, column]))
    return {
        "id": a.feeds.ids[column],
        "name": a.vehicle.feeds[column].name,
        "state": STATES[row],
        "current_a": plain(a.feeds.current_a[row, column]),
        "limit_a": plain(a.feeds.limit_a[column]),
        "share": plain(a.feeds.worst_share[column]),
    }


def _tap_data(a: Assessment, column: int) -> Data:
    tap_id = a.taps.ids[column]
    tap, live = look_up.tap(a.vehicle, tap_id), a.taps.live[:, column]
    chain = a.chains[tap_id]
    return {
        "id": tap_id,
        "title": chain.title,
        "accessory": tap.accessory,
        "lead": tap.lead,
        "current_a": plain(a.taps.current_a[:, column].max()),
        "lowest_voltage_v": plain(a.taps.voltage_v[live, column].min(initial=np.inf)),
        "hops": [hop_data(hop) for hop in chain.hops],
        "unchecked": list(chain.unchecked),
    }


def _finding_data(finding: Finding) -> Data:
    return {field.name: getattr(finding, field.name) for field in fields(finding)}


def hop_data(hop: Hop) -> Data:
    """A hop of a chain: what it bears, what it may bear, and how both came about."""
    return {
        "key": hop.id,
        "title": hop.title,
        "quantity": hop.quantity,
        "load": plain(hop.load),
        "limit": plain(hop.limit),
        "unit": hop.unit,
        "at_most": hop.at_most,
        "passed": bool(hop.passed),
        "share": plain(hop.share),
        "state": hop.state,
        "basis": hop.basis,
    }


# --- to read --------------------------------------------------------------------------------------


def report_lines(data: Data) -> Iterator[Line]:
    """The report in words and tables."""
    yield from (title(data), "", _counted(data["counts"]))
    if data["slots"]:
        yield from ("", say("SLOTS THAT CARRY SOMETHING"), _slots(data["slots"]))
    if data["unanswered"]:
        yield from ("", say("LEFT ALONE BY NAME OR FEED CLASS, NOT ANSWERED"))
        yield from _open_questions(data["unanswered"])
    if data["feeds"]:
        yield from ("", say("FEEDS"), _feeds(data["feeds"]))
    for tap in data["taps"]:
        yield from ("", tap["title"], _hops(tap["hops"]))
        yield from (
            Indented(say("could not be checked: {what}", what=each)) for each in tap["unchecked"]
        )
    if data["findings"]:
        yield from ("", say("FINDINGS"), *_findings(data["findings"]))


def title(data: Data) -> Text:
    """The vehicle and its voltage."""
    return with_note(data["vehicle"], given(data["system_v"], "V"))


def _counted(counts: dict[str, int]) -> Text:
    stop, caution, note = (counts[severity] for severity in SEVERITIES)
    return in_row(
        (
            many("{n} stop", "{n} stops", stop),
            many("{n} caution", "{n} cautions", caution),
            many("{n} note", "{n} notes", note),
        )
    )


def _open_questions(asked: Sequence[Data]) -> Iterator[Line]:
    """Slots whose names propose a mark that nobody set or turned down."""
    for each in asked:
        slot = side_by_side(each["label"], each["circuit"])
        question = with_note(QUESTIONS[each["mark"]], each["why"])
        yield side_by_side(slot, question, between=": ")


def _state(state: State | None) -> Argument:
    return "" if state is None else STATE[state].label


def _of(load: float | None, limit: float | None) -> Text:
    return say("{load} of {limit}", load=amount(load, "A"), limit=amount(limit, "A"))


def _used(used: float | None) -> Argument:
    return share(inf if used is None else used)


def _slots(slots: Sequence[Data]) -> Table:
    head: tuple[Text, ...] = (
        say("slot"),
        say("fuse"),
        say("feed"),
        say_in("column", "state"),
        say_in("column", "own"),
        say_in("column", "accessories"),
        say("host fuse"),
        say_in("column", "contact"),
        say_in("column", "used"),
    )
    rows = [
        (
            side_by_side(slot["label"], slot["circuit"]),
            _fuse(slot["fuse"]),
            FEED[slot["feed_class"]].label,
            _state(slot["state"]),
            amount(slot["own_a"], "A") if slot["own_known"] else say("not measured"),
            amount(slot["accessories_a"], "A"),
            _of(slot["host_fuse_a"], slot["host_fuse_limit_a"]),
            _of(slot["live_contact_a"], slot["contact_limit_a"]),
            _used(slot["share"]),
        )
        for slot in slots
    ]
    return Table((head, *rows), "<<<<>>>>>")


def _fuse(fuse: Data | None) -> Text:
    if fuse is None:
        return say("no fuse")
    return fuse_words(fuse["rating_a"], fuse["family"])


def fuse_words(rating_a: float, family: str) -> Text:
    """A fuse by its rating and family."""
    return side_by_side(given(rating_a, "A"), family_words(family))


def family_words(family: str) -> Text:
    """A family of fuses by its name."""
    return Text(tables.fuse_family(family).name)


def _feeds(feeds: Sequence[Data]) -> Table:
    head = (
        say("feed"),
        say_in("column", "state"),
        say("current"),
        say_in("column", "used"),
    )
    rows = [
        (
            feed["name"],
            _state(feed["state"]),
            _of(feed["current_a"], feed["limit_a"]),
            _used(feed["share"]),
        )
        for feed in feeds
    ]
    return Table((head, *rows), "<<>>")


def _hops(hops: Sequence[Data]) -> Table:
    head = (
        say_in("column", "hop"),
        say_in("column", "state"),
        say_in("column", "load"),
        say("limit"),
        "",
    )
    rows = [(hop["title"], _state(hop["state"]), *hop_figures(hop)) for hop in hops]
    return Table((head, *rows), "<<>>>")


def hop_figures(hop: Data) -> tuple[Argument, Text, Text]:
    """A hop's load, its limit, and whether it holds."""
    limit = amount(hop["limit"], hop["unit"])
    bound = (
        say("at most {limit}", limit=limit)
        if hop["at_most"]
        else say("at least {limit}", limit=limit)
    )
    verdict = say("holds") if hop["passed"] else say("FAILS")
    return amount(hop["load"], hop["unit"]), bound, verdict


def _findings(found: Sequence[Data]) -> Iterator[Line]:
    for number, finding in enumerate(found, start=1):
        head = side_by_side(finding["where"], finding["what"], between=": ")
        numbered = side_by_side(number, SEVERITY[finding["severity"]], between=". ")
        yield Indented(side_by_side(numbered, head, between="  "))
        if finding["sum"]:
            yield Indented(finding["sum"], 5)
        if finding["rule"]:
            rule, source = finding["rule"], finding["source"]
            yield Indented(with_note(rule, source) if source else rule, 5)
        if finding["remedy"]:
            yield Indented(say("What to do: {remedy}", remedy=finding["remedy"]), 5)
