"""What one slot has to show, and that in words: the fuse, its taps, how much it is loaded.

In: a `SlotLook`, which the panel's model makes; one compares by content, so that a view redraws
only what differs. Out: its words for screen readers, in tooltips, in the names of undo steps.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.circuits import FUNCTION_WORDS, QUESTIONS, circuit_of, unanswered
from fusemap.text import Amount, Style, Text, Words, given, say, share
from fusemap.vehicle import STATES, Slot, State, look_up
from fusemap.vehicle.words import (
    FEED,
    KIND,
    NO_FEED,
    STATE,
    LeadName,
    LiveSide,
    WayRound,
    own_words,
)
from fusemap.window.texts.sentences import capital

if TYPE_CHECKING:  # they would load the numbers before the window is shown
    from fusemap.placement import Candidate

Place = tuple[int, int]


class TapMark(Struct, frozen=True):
    """One lead tapped on a slot."""

    tap_id: str
    accessory: str
    name: str
    lead: LeadName
    way_round: WayRound
    rating: float | None


class SlotLook(Struct, frozen=True):
    """A slot as it is shown.

    `share` of its tighter limit is used in `state`, its worst; `load_a` flows there through the
    host fuse, `limit_a` is what that may carry. `most_share` and `most_a` are the most that these
    may be; `room_a` is what could be added even then. Without `measured` the vehicle's own load is
    unknown in some state; `partly_measured` tells that it is known in some other. `live` are the
    states in which there is supply; `supply` says from what. Until it is `assessed` a slot has no
    figures.
    """

    slot: Slot
    taps: tuple[TapMark, ...] = ()
    share: float = 0.0
    state: State = "asleep"
    load_a: float = 0.0
    most_share: float = 0.0
    most_a: float = 0.0
    limit_a: float = float("inf")
    room_a: float = float("inf")
    measured: bool = True
    partly_measured: bool = False
    live: tuple[State, ...] = ()
    assessed: bool = True
    supply: Words = NO_FEED

    @property
    def overloaded(self) -> bool:
        """Whether the limit is passed."""
        return self.share > 1.0 + 1e-9

    @property
    def may_not_hold(self) -> bool:
        """Whether the limit is not passed by what is known, and may be."""
        return self.most_share > 1.0 + 1e-9 and not self.overloaded

    @property
    def is_unmeasured(self) -> bool:
        """Whether nothing is known of what flows here."""
        return self.share == 0 and not self.measured and not self.partly_measured


# --- in words -----------------------------------------------------------------------------------


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Slot", text)


SIDES: Final[dict[LiveSide, Text]] = {
    "left": say("live side left"),
    "right": say("live side right"),
    "top": say("live side at the top"),
    "bottom": say("live side at the bottom"),
    "unknown": say("live side not known"),
}


def family_name(family: str) -> Text:
    """A fuse family as people say it."""
    return Text(tables.fuse_family(family).name)


def slot_names(slots: Iterable[Slot], style: Style) -> str:
    """Some slots by name: one, two, or how many."""
    names = [style.show(look_up.slot_words(slot)) for slot in slots]
    if len(names) <= 2:
        return style.listing(names)
    return tr("{count} slots").format(count=len(names))


def load_words(look: SlotLook, style: Style) -> str:
    """How much of the limit is used; both ends where some own load is not measured."""
    if look.slot.fuse is None and not look.taps:
        return ""
    if not look.assessed:
        return tr("load being reckoned")
    if look.is_unmeasured:
        return tr("own load not measured")
    known, most = (style.show(share(each)) for each in (look.share, look.most_share))
    if known == most:
        return tr("{share} loaded").format(share=known)
    return tr("{share} loaded, at most {most}").format(share=known, most=most)


def fuse_words(slot: Slot, style: Style) -> str:
    """The fuse in a slot, or that there is none."""
    if slot.kind != "fuse":
        return style.show(KIND[slot.kind])
    family = style.show(family_name(slot.family))
    if slot.fuse is None:
        return tr("empty, for {family}").format(family=family)
    return f"{style.show(given(slot.fuse.rating, 'A'))} {family}"


def tap_words(mark: TapMark, style: Style) -> str:
    """A tap with what is on it and the way round."""
    way = tr("from the live side") if mark.way_round == "live_side" else tr("from the load side")
    lead = tr(" (sense wire)") if mark.lead == "sense" else ""
    fuse = f", {style.show(given(mark.rating, 'A'))}" if mark.rating is not None else ""
    return tr("{name}{lead} {way}{fuse}").format(name=mark.name, lead=lead, way=way, fuse=fuse)


def candidate_words(candidate: "Candidate", style: Style) -> str:
    """Whether what is being placed can go here, with the margin or the reason."""
    if candidate.fits:
        room = style.show(Amount(candidate.margin_a, "A"))
        return tr("can take it, {room} left").format(room=room)
    reason = style.show(candidate.reasons[0]) if candidate.reasons else tr("no room")
    return tr("cannot take it: {reason}").format(reason=reason)


def spoken_words(look: SlotLook, style: Style, candidate: "Candidate | None" = None) -> str:
    """The whole slot as one sentence for a screen reader."""
    slot = look.slot
    parts = [style.show(look_up.slot_words(slot)), fuse_words(slot, style), slot.circuit]
    if slot.kind == "fuse":
        parts += [style.show(FEED[slot.feed_class].feed), load_words(look, style)]
    parts += [tr("leave alone") if slot.critical else "", tr("watched") if slot.monitored else ""]
    parts += [style.show(QUESTIONS[mark]) for mark in unanswered(slot)]
    parts += [tr("overloaded") if look.overloaded else ""]
    parts += [tr("may be overloaded") if look.may_not_hold else ""]
    parts += [tr("tapped: {tap}").format(tap=tap_words(mark, style)) for mark in look.taps]
    if candidate is not None:
        parts.append(candidate_words(candidate, style))
    return ", ".join(part for part in parts if part)


def tooltip_words(
    look: SlotLook, side: LiveSide, style: Style, candidate: "Candidate | None" = None
) -> str:
    """The tooltip: everything the marks mean, a line each. `side` is as shown on the screen."""
    slot = look.slot
    head = (style.show(look_up.slot_words(slot)), fuse_words(slot, style), slot.circuit)
    lines = [" · ".join(part for part in head if part)]
    if candidate is not None:
        lines.append(capital(candidate_words(candidate, style)))
    if slot.kind == "fuse":
        lines += _electrical_lines(look, side, style)
    if slot.critical:
        why = style.show(tables.reasons(slot.critical_reason)) or tr("leave this circuit alone")
        lines.append(tr("Leave alone (padlock): {why}").format(why=why))
    if slot.monitored:
        lines.append(tr("Watched (eye): the vehicle measures this circuit and may report a fault"))
    lines += [
        tr(
            "By its name or feed class: {mark} ({why}). Until somebody answers, nothing is planned "
            "here"
        ).format(mark=style.show(Text(mark)), why=style.show(tables.reasons(why)))
        for mark, why in unanswered(slot).items()
    ]
    lines += _function_lines(slot, style)
    lines += [tr("Tap: {tap}").format(tap=tap_words(mark, style)) for mark in look.taps]
    lines += [slot.note] if slot.note else []
    return "\n".join(line for line in lines if line)


def _function_lines(slot: Slot, style: Style) -> list[str]:
    """What its circuit is, and who says so, where no mark says it already."""
    circuit = circuit_of(slot)
    if slot.kind != "fuse" or slot.critical or slot.monitored or unanswered(slot):
        return []
    words = style.show(FUNCTION_WORDS[circuit.function])
    if circuit.answered:
        return [tr("Circuit: {function}, as somebody answered").format(function=words)]
    if circuit.reason:
        return [tr("Circuit: {function}, by its name").format(function=words)]
    return [tr("Circuit: {function}").format(function=words)]


def _electrical_lines(look: SlotLook, side: LiveSide, style: Style) -> list[str]:
    words = FEED[look.slot.feed_class]
    feed = f"{style.show(words.feed.capital())}: {style.show(words.meaning)}"
    supply = tr("Supplied by: {source}").format(source=style.show(look.supply))
    if look.slot.feed is None:
        supply = capital(style.show(look.supply))
    return [
        feed,
        supply,
        _load_line(look, style),
        *_bounds(look, style),
        style.show(SIDES[side].capital()),
    ]


def _bounds(look: SlotLook, style: Style) -> list[str]:
    """The own loads that a reading only bounds, on one line."""
    slot = look.slot
    bounded = []
    for state in STATES:
        load, most = getattr(slot.own_load, state), getattr(slot.own_most, state)
        if load is not None and most is not None:
            words = style.show(own_words(load, most))
            bounded.append(f"{style.show(STATE[state].label)} {words}")
    return [tr("Own load as read: {loads}").format(loads="; ".join(bounded))] if bounded else []


def _load_line(look: SlotLook, style: Style) -> str:
    if look.slot.fuse is None:
        return ""
    words = capital(load_words(look, style))
    if not look.assessed:
        return words
    limit = style.show(Amount(look.limit_a, "A"))
    if look.is_unmeasured:
        return tr("Own load not measured: limit {limit}").format(limit=limit)
    load, most = (style.show(Amount(each, "A")) for each in (look.load_a, look.most_a))
    return tr("{words}: {load} of {limit} through the fuse, worst {state}").format(
        words=words,
        load=load if load == most else tr("{load} to {most}").format(load=load, most=most),
        limit=limit,
        state=style.show(STATE[look.state].phrase),
    )


def tapped(look: SlotLook) -> str:
    """What hangs on a slot, by name; of what only switches there, that too."""
    return ", ".join(
        tr("{name}, sense").format(name=mark.name) if mark.lead == "sense" else mark.name
        for mark in look.taps
    )
