"""The report to read: tables of slots, feeds and hops, and the findings, out of the report's data.

In: what `fusemap.terminal.report_data` gives. Out: lines of texts, which a style makes words of.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from fusemap import tables
from fusemap.assess.verdict import VERDICT_WORDS, Verdict
from fusemap.checks import SEVERITIES, Severity
from fusemap.circuits import QUESTIONS
from fusemap.terminal.command import (
    Data,
    Indented,
    Line,
    Table,
    amount,
    side_by_side,
    with_note,
)
from fusemap.text import Argument, Text, given, in_row, many, say, say_in
from fusemap.vehicle import State
from fusemap.vehicle.words import FEED, STATE, span_words

SEVERITY: Final[dict[Severity, Text]] = {
    "stop": say("STOP"),
    "caution": say("CAUTION"),
    "note": say("NOTE"),
}


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
