"""What a hunt found, as it is shown at its end: the answer, the split, what it costs, what to do.

In: the hunt, its vehicle, its answer, what it costs. Out: a `FoundShown`; no widgets.
"""

from collections.abc import Sequence
from math import isfinite
from typing import Literal

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from fusemap.assess.parked.figures import Span
from fusemap.circuits import counts_critical
from fusemap.probing import hunt
from fusemap.probing.hunt import Answer, Cost, Hunt, Share
from fusemap.text import Amount, Duration, Style, Text, in_row, say, share
from fusemap.vehicle import Fuse, Vehicle, look_up
from fusemap.window.beside.shown import Tone
from fusemap.window.texts.sentences import sentence

translate = QCoreApplication.translate
Sort = Literal["found", "small", "rest"]
MOST_STREAMS = 5
"""So many circuits have a stream of their own; the rest have one together."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return translate("Hunt", text)


class Stream(Struct, frozen=True):
    """A part of the whole current: which, what hangs there, how much, as a share of it [0 … 1]."""

    name: str
    words: str
    figure: str
    part: float
    sort: Sort
    fuse: Fuse | None = None


class CostRow(Struct, frozen=True):
    """A time in large letters, what it is the time of, and its share of the longest [0 … 1]."""

    time: str
    words: str
    part: float | None


class FoundShown(Struct, frozen=True):
    """The end of a hunt. `headline` is all of it in one line, for a reader of the screen."""

    headline: str
    tone: Tone
    title: str
    under: str
    figure: str
    of: str
    whole: str
    streams: tuple[Stream, ...]
    costs: tuple[CostRow, ...]
    columns: tuple[tuple[str, str], ...]


def found_shown(
    state: Hunt, vehicle: Vehicle, known: Answer, cost: Cost | None, style: Style
) -> FoundShown:
    """What is shown at the end of a hunt."""
    show = style.show
    title, under = _title(known)
    figure, of = _figure(known, style)
    return FoundShown(
        headline=show(known.headline),
        tone="good" if known.found or known.outside or known.is_usual else "caution",
        title=show(title),
        under=show(under),
        figure=figure,
        of=of,
        whole="" if known.whole is None else show(_amount(known.whole.current_a)),
        streams=_streams(known, style),
        costs=_costs(known, cost, style),
        columns=_columns(state, vehicle, known, style),
    )


def _title(known: Answer) -> tuple[Text, Text]:
    """The answer in large letters, and the circuits below it."""
    if known.found:
        slots = [each.slot for each in known.found if each.slot is not None]
        names = in_row([look_up.fuse_words(slot) for slot in slots[:4]], "and")
        circuits = [slot.circuit for slot in slots if slot.circuit]
        unsaid = say("live while parked; what it feeds nobody said yet") if slots else Text("")
        return say("Found: {slots}", slots=names), in_row(circuits[:4]) if circuits else unsaid
    if known.outside is not None:
        where = say("Not in this panel") if known.panels < 2 else say("Not in these panels")
        return where, say("what draws is on none of these fuses")
    return known.headline, Text("")


def _figure(known: Answer, style: Style) -> tuple[str, str]:
    """How much those found draw, of how much."""
    whole = known.whole
    those = known.found or (() if known.outside is None else (known.outside,))
    if whole is None or not those:
        rest = known.at_rest
        between = "" if rest is None else style.show(say("at rest {rest}", rest=rest.words))
        return ("" if whole is None else style.show(_amount(whole.current_a))), between
    low, high = sum(each.low_a for each in those), sum(each.high_a for each in those)
    current = sum(each.current_a for each in those)
    high = max(low, min(high, whole.current_a))
    of = _amount(whole.current_a)
    ends = [share(min(1.0, each / whole.current_a)) for each in (low, high)]
    if high - low <= hunt.CLOSE * current:
        part = share(min(1.0, current / whole.current_a))
        return style.show(_amount(current)), style.show(
            say("of {whole}, {part}", whole=of, part=part)
        )
    figure = say("{low} to {high}", low=_amount(low), high=_amount(high))
    percent = say("{low} to {high}", low=ends[0], high=ends[1])
    return style.show(figure), style.show(say("of {whole}, {part}", whole=of, part=percent))


def _amount(current_a: float) -> Amount:
    return Amount(current_a, "A", significant=2)


# --- the split ------------------------------------------------------------------------------------


def _streams(known: Answer, style: Style) -> tuple[Stream, ...]:
    """Those found, the next largest that were read, and all the rest."""
    if known.whole is None or known.shares is None:
        return ()
    whole = max(known.whole.current_a, 1e-6)
    found = [_stream(each, whole, "found", style) for each in known.found[:MOST_STREAMS]]
    if known.outside is not None:
        found.append(_stream(known.outside, whole, "found", style))
    read = [each for each in known.shares.slots
            if not each.found and each.read is not None and each.low_a > 0]  # fmt: skip
    read.sort(key=lambda each: -each.current_a)
    small = [_stream(each, whole, "small", style) for each in read[: MOST_STREAMS - len(found)]]
    rest = 1.0 - sum(each.part for each in (*found, *small))
    low, high = known.shares.unexplained
    made = [*found, *small]
    if rest > 0.01 or not made:
        words = style.show(hunt.both_ends(low, high))
        made.append(Stream("", tr("all the rest"), words, max(0.0, rest), "rest"))
    return tuple(made)


def _stream(each: Share, whole: float, sort: Sort, style: Style) -> Stream:
    part = max(0.0, min(1.0, each.current_a / whole))
    figure = style.show(_amount(each.current_a))
    if each.slot is None:
        return Stream("", tr("on no fuse of these panels"), figure, part, sort)
    name = style.show(look_up.slot_words(each.slot))
    return Stream(name, each.slot.circuit, figure, part, sort, each.slot.fuse)


# --- what it costs, what to do --------------------------------------------------------------------


def _costs(known: Answer, cost: Cost | None, style: Style) -> tuple[CostRow, ...]:
    if cost is None:
        return ()
    now, then = cost.as_it_is, cost.without
    part = now.high_h / then.high_h if isfinite(now.high_h) and isfinite(then.high_h) else None
    rows = [CostRow(_time(now, style), tr("as it is"), part)]
    if known.found or known.at_rest is not None:
        rows.append(CostRow(_time(then, style), tr("without it"), None if part is None else 1.0))
    return tuple(rows)


def _parts_left(state: Hunt, vehicle: Vehicle, known: Answer) -> bool:
    """Whether something behind a found fuse was not unplugged yet."""
    tried = {(done.slots, done.part) for done in state.done if done.kind == "part"}
    return any(
        ((share.slot.id,), name) not in tried
        for share in known.found
        if share.slot is not None and not counts_critical(share.slot)
        for name in hunt.parts_behind(vehicle, share.slot)
    )


def _after_parts(vehicle: Vehicle, parts: Sequence[hunt.Part]) -> Text:
    """What to do once all that hangs behind a fuse was unplugged."""
    draws = [each for each in parts if each.low_a > 0]
    if not draws:
        return say(
            "None of what was unplugged draws it: look for what else hangs there. Plug it all in "
            "again."
        )
    most = max(draws, key=lambda each: each.current_a)
    return say(
        "{part} draws it: have it mended, or feed it from where it is dead while parked. Plug the "
        "rest in again.",
        part=most.name,
    )


def _time(span: Span, style: Style) -> str:
    """A time in words, as one where its ends are as good as one."""
    if isfinite(span.high_h) and span.high_h - span.low_h <= hunt.CLOSE / 4 * span.high_h:
        return style.show(Duration((span.low_h + span.high_h) / 2))
    return span.shown(style)


def _columns(
    state: Hunt, vehicle: Vehicle, known: Answer, style: Style
) -> tuple[tuple[str, str], ...]:
    """What to do next and then, and what is left."""
    show = style.show
    those = known.found or (() if known.outside is None else (known.outside,))
    to_do = [show(each) for each in hunt.what_to_do(vehicle, those[0])] if those else []
    parts = hunt.parts(state, vehicle)
    if parts and not _parts_left(state, vehicle, known):
        to_do = [show(_after_parts(vehicle, parts))]
    columns = [(tr("Next"), to_do[0])] if to_do else []
    if parts:
        columns.append((tr("Unplugged"), "\n".join(show(each.words) for each in parts)))
    elif len(to_do) > 1:
        columns.append((tr("Then"), " ".join(to_do[1:])))
    elif those:
        columns.append((tr("Then"), tr("With it off, go on hunting: the whole is read anew.")))
    left = [known.left_words] if known.left_words else []
    if not known.logged:
        left.append(say("What comes and goes shows over a night alone."))
    if known.found:  # else the answer itself says so
        left += [hunt.wake_words(wake) for wake in known.wake_ups]
    columns.append((tr("Still unexplained"), "\n".join(sentence(show(each)) for each in left)))
    return tuple(columns)
