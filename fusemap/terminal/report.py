"""`fusemap report FILE`: currents, limits, verdicts, what to measure next, and findings.

Units stand in the keys: `_a` A, `_v` V, `_ah` Ah, `_h` hours since locking, `_c` °C, `_soc` share
of the charge. What does not exist, is not measured or not reached is `null`; so is a load past all
bounds, whose verdict is `fails`.

Every load has two ends: what is known, and the most it may be (`_most_a`); for a load that must be
at least its limit the second is the least it may be. A `verdict` is `holds` (within the limit even
at its most), `may_not_hold` (within it by what is known, not at its most), `fails` (past it by what
is known) or `unchecked` (no limit or no load to hold against each other). A `limit_ground` is
`published`, `user`, `analogy` (a like fuse's), `assumed` (a rule of this program) or `none`.

JSON keys:
vehicle, system_v
verdict: of the whole vehicle as planned
standing: verdict, planned_h, low_h, high_h (null past the time planned)
  unanswered[] (the low end is made with its hard end): key, what, answer, low_h (the low end if it
    came out as is usual, null past the forecast)
counts: stop, caution, note
measure_next[]: place (slot, feed, tap, output, link), place_id, how (say, label of the
  alternator, warmth of cabin and boot, length, millivolts, volts, contacts, clamp), state, what,
  settles[]: place, place_id, key, states
  (a standing that may not hold: place vehicle, place_id a key of the spread of `fusemap parked`,
  settles the key standing)
slots[]: id, panel, label, circuit, fuse (family, rating_a), feed_class, critical,
  monitored, unanswered, function (leave_alone, regulated, supply, control, watched, unclear or
  comfort), function_answered (by a person, not by its name alone), state, own_a (null where it was
  never measured), own_most_a, own_known, accessories_a, accessories_most_a, host_fuse_a,
  host_fuse_most_a, host_fuse_limit_a, host_fuse_ground, live_contact_a, live_contact_most_a,
  contact_limit_a, contact_ground, room_a (at the most), share, most_share, verdict
unanswered[]: id, label, circuit, mark, why
feeds[]: id, name, state, current_a, most_a, limit_a, limit_ground, share, most_share, verdict,
  cut_off_v (of its low-voltage cut-off)
sockets[]: id, name, kind, slot, limit_a, module, pins[]: number, function, watts, taps (ids of the
  leads there); a socket without pins has taps instead
taps[]: id, title, accessory, lead, socket, pin, short_s, current_a, most_a, lowest_voltage_v,
  verdict
  hops[]: key, title, quantity, load_known, load_most, limit, limit_ground, unit, at_most, verdict,
    passed (false where it fails), share, most_share, state, missing (what keeps it from being
    checked), basis
findings[]: code, severity, what, where, place, place_id, sum, rule, source, remedy, formula

Exit status: 0 done and nothing to stop for, 1 a finding of severity stop, 2 wrong arguments or a
file that cannot be read.
"""

import argparse
from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment, Hop, assess
from fusemap.assess.hops.slot import contact_ground, host_ground
from fusemap.assess.parked.band import WORTH_MEASURING
from fusemap.assess.parked.ends import HOURS_A_DAY, verdict_as_planned
from fusemap.assess.parked.inputs import COLDEST
from fusemap.assess.parked.start_spans import START, engine_answered, start_case
from fusemap.assess.sure import How, Wanted
from fusemap.assess.sure_words import order
from fusemap.assess.verdict import VERDICT_WORDS, Verdict, decides, verdict_of
from fusemap.checks import SEVERITIES, Finding, Severity, findings, whole_verdict
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
from fusemap.terminal.report_parts import feed_data, socket_data, unanswered_data
from fusemap.text import Argument, Text, given, in_row, many, say, say_in
from fusemap.vehicle import STATES, Slot, State, look_up
from fusemap.vehicle.words import FEED, STATE, span_words

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


def report_data(a: Assessment, found: Sequence[Finding]) -> Data:
    """Currents, limits, verdicts and findings."""
    listed = [_finding_data(finding) for finding in found]
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "verdict": whole_verdict(a.vehicle, a, found),
        "counts": {
            severity: sum(row["severity"] == severity for row in listed) for severity in SEVERITIES
        },
        "standing": _standing_data(a),
        "measure_next": [*(_wanted_data(a, each) for each in a.measure_next), *_for_standing(a)],
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
        "feeds": [feed_data(a, column) for column in range(len(a.feeds.ids))],
        "sockets": [socket_data(a, socket) for socket in a.vehicle.sockets],
        "taps": [_tap_data(a, column) for column in range(len(a.taps.ids))],
        "findings": listed,
    }


def _wanted_data(a: Assessment, wanted: Wanted) -> Data:
    return {
        "place": wanted.place,
        "place_id": wanted.place_id,
        "how": wanted.how,
        "state": wanted.state,
        "what": order(a.vehicle, wanted),
        "settles": [
            {
                "place": doubt.place,
                "place_id": doubt.place_id,
                "key": doubt.key,
                "states": list(doubt.states),
            }
            for doubt in wanted.settles
        ],
    }


def _standing_data(a: Assessment) -> Data:
    ends = a.as_planned
    return {
        "verdict": verdict_as_planned(a, a.parked, ends),
        "planned_h": plain(a.vehicle.parking.stand_days * HOURS_A_DAY),
        "low_h": plain(ends.low_h),
        "high_h": plain(ends.high_h),
        "unanswered": unanswered_data(a.band),
    }


HOW: Final[dict[str, How]] = {"charge": "volts", "health": "say", "capacity": "say"}
"""How a figure of the battery is found out; what draws wants a clamp."""


def _for_standing(a: Assessment) -> Iterator[Data]:
    """What would settle whether it stands as planned, what matters most first."""
    if verdict_as_planned(a, a.parked, a.as_planned) != "may_not_hold":
        return
    given = {each.key: each for each in a.band.inputs}
    engine = "volts" if engine_answered(start_case(a)) else "say"
    how = {**HOW, COLDEST: "say", START: engine}
    for each in a.band.shares:
        if given[each.name].remedy is None or each.share < WORTH_MEASURING:
            continue
        yield {
            "place": "vehicle",
            "place_id": each.name.strip(": "),
            "how": how.get(each.name, "clamp"),
            "state": None,
            "what": given[each.name].remedy,
            "settles": [{"place": "vehicle", "place_id": "", "key": "standing", "states": []}],
        }


def _carries(a: Assessment, slot: Slot) -> bool:
    """Whether something flows there, or may flow: only what is surely idle is left out."""
    column = a.slots.index[slot.id]
    return bool(a.most.slots.live_contact_a[:, column].max() > 0)


def _slot_data(a: Assessment, panel: str, slot: Slot) -> Data:
    """A slot's currents in the state that may be its worst."""
    figures, most, column = a.slots, a.most.slots, a.slots.index[slot.id]
    row = int(np.argmax(most.shares[:, column]))
    fuse, known = slot.fuse, bool(figures.own_known[row, column])
    host, contact = (
        verdict_of(float(one[:, column].max()), float(two[:, column].max()), float(limit[column]))
        for one, two, limit in (
            (figures.host_a, most.host_a, figures.host_limit_a),
            (figures.live_contact_a, most.live_contact_a, figures.contact_limit_a),
        )
    )
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
        "own_most_a": plain(most.own_a[row, column]),
        "own_known": known,
        "accessories_a": plain(figures.accessory_a[row, column]),
        "accessories_most_a": plain(most.accessory_a[row, column]),
        "host_fuse_a": plain(figures.host_a[row, column]),
        "host_fuse_most_a": plain(most.host_a[row, column]),
        "host_fuse_limit_a": plain(figures.host_limit_a[column]),
        "host_fuse_ground": host_ground(slot),
        "live_contact_a": plain(figures.live_contact_a[row, column]),
        "live_contact_most_a": plain(most.live_contact_a[row, column]),
        "contact_limit_a": plain(figures.contact_limit_a[column]),
        "contact_ground": contact_ground(slot),
        "room_a": plain(most.room_a[column]),
        "share": plain(figures.worst_share[column]),
        "most_share": plain(most.worst_share[column]),
        "verdict": decides((host, contact)),
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
        "socket": tap.socket,
        "pin": tap.pin or None,
        "short_s": look_up.accessory(a.vehicle, tap.accessory).short_s,
        "current_a": plain(a.taps.current_a[:, column].max()),
        "most_a": plain(a.most.taps.current_a[:, column].max()),
        "lowest_voltage_v": plain(a.taps.voltage_v[live, column].min(initial=np.inf)),
        "verdict": chain.verdict,
        "hops": [hop_data(hop) for hop in chain.hops],
    }


def _finding_data(finding: Finding) -> Data:
    return {name: getattr(finding, name) for name in finding.__struct_fields__}


def hop_data(hop: Hop) -> Data:
    """A hop of a chain: what it bears, what it may bear, and how both came about."""
    return {
        "key": hop.id,
        "title": hop.title,
        "quantity": hop.quantity,
        "load_known": plain(hop.load),
        "load_most": plain(hop.end),
        "limit": plain(hop.limit),
        "limit_ground": hop.ground,
        "unit": hop.unit,
        "at_most": hop.at_most,
        "verdict": hop.verdict,
        "passed": bool(hop.passed),
        "share": plain(hop.share),
        "most_share": plain(hop.most_share),
        "state": hop.state,
        "missing": hop.missing or None,
        "basis": hop.basis,
    }


# --- to read --------------------------------------------------------------------------------------


def report_lines(data: Data) -> Iterator[Line]:
    """The report in words and tables."""
    yield from (title(data), "", WHOLE[data["verdict"]], _counted(data["counts"]))
    if data["measure_next"]:
        yield from ("", say("WHAT WOULD MAKE IT SURE"))
        yield from (Indented(each["what"]) for each in data["measure_next"])
    if data["slots"]:
        yield from ("", say("SLOTS THAT CARRY SOMETHING"), _slots(data["slots"]))
    if data["unanswered"]:
        yield from ("", say("LEFT ALONE BY NAME OR FEED CLASS, NOT ANSWERED"))
        yield from _open_questions(data["unanswered"])
    if data["feeds"]:
        yield from ("", say("FEEDS"), _feeds(data["feeds"]))
    for tap in data["taps"]:
        yield from ("", tap["title"], _hops(tap["hops"]))
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


def _of(load: float | None, most: float | None, limit: float | None) -> Text:
    return say("{load} of {limit}", load=ends(load, most, "A"), limit=amount(limit, "A"))


def _own(slot: Data) -> Argument:
    """A slot's own load: as known, with both ends, or that nobody measured it."""
    if slot["own_known"] or slot["own_a"]:
        return ends(slot["own_a"], slot["own_most_a"], "A")
    return say("not measured, at most {most}", most=amount(slot["own_most_a"], "A"))


def ends(known: float | None, most: float | None, unit: str) -> Argument:
    """Both ends of a figure: “8.5 to 30 A”; one figure where they read alike."""
    if known is None or most is None:
        return amount(known, unit)
    return span_words(known, most, unit)


WHOLE: Final[dict[Verdict, Text]] = {
    "holds": say("Everything holds, whatever was not measured."),
    "may_not_hold": say("By what is known it holds; something may not."),
    "fails": say("Something does not hold."),
    "unchecked": say("Not everything could be checked."),
}
"""The verdict on the whole vehicle."""


def _slots(slots: Sequence[Data]) -> Table:
    head: tuple[Argument, ...] = (
        say("slot"),
        say("fuse"),
        say("feed"),
        say_in("column", "state"),
        say_in("column", "own"),
        say_in("column", "accessories"),
        say("host fuse"),
        say_in("column", "contact"),
        "",
    )
    rows = [
        (
            side_by_side(slot["label"], slot["circuit"]),
            _fuse(slot["fuse"]),
            FEED[slot["feed_class"]].label,
            _state(slot["state"]),
            _own(slot),
            ends(slot["accessories_a"], slot["accessories_most_a"], "A"),
            _of(slot["host_fuse_a"], slot["host_fuse_most_a"], slot["host_fuse_limit_a"]),
            _of(slot["live_contact_a"], slot["live_contact_most_a"], slot["contact_limit_a"]),
            VERDICT_WORDS[slot["verdict"]],
        )
        for slot in slots
    ]
    return Table((head, *rows), "<<<<>>>><")


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
        "",
    )
    rows = [
        (
            feed["name"],
            _state(feed["state"]),
            _of(feed["current_a"], feed["most_a"], feed["limit_a"]),
            VERDICT_WORDS[feed["verdict"]],
        )
        for feed in feeds
    ]
    return Table((head, *rows), "<<><")


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
    load = ends(hop["load_known"], hop["load_most"], hop["unit"])
    if hop["verdict"] == "unchecked":
        missing = hop["missing"] or VERDICT_WORDS["unchecked"]
        return load if hop["load_known"] is not None else "", missing, VERDICT_WORDS["unchecked"]
    limit = amount(hop["limit"], hop["unit"])
    bound = (
        say("at most {limit}", limit=limit)
        if hop["at_most"]
        else say("at least {limit}", limit=limit)
    )
    verdict = say("FAILS") if hop["verdict"] == "fails" else VERDICT_WORDS[hop["verdict"]]
    return load, bound, verdict


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
