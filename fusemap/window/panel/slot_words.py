"""What a slot says in words: for screen readers, in tooltips, in the names of undo steps.

In: a `SlotLook`, perhaps with the candidate for what is being placed; out: sentences.
"""

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.leave_alone import QUESTIONS, reason_words, unanswered
from fusemap.vehicle import FeedClass, Slot, State, look_up
from fusemap.vehicle.words import FEED, STATE, LiveSide, SlotKind
from fusemap.window.panel.slot_look import SlotLook, TapMark
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import NARROW_SPACE, digits, percent, quantity

if TYPE_CHECKING:
    from fusemap.placement import Candidate


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Slot", text)


SIDES: Final[dict[LiveSide, str]] = {
    "left": "live side left",
    "right": "live side right",
    "top": "live side at the top",
    "bottom": "live side at the bottom",
    "unknown": "live side not known",
}
KINDS: Final[dict[SlotKind, str]] = {
    "fuse": "fuse slot",
    "relay": "relay",
    "blocked": "blocked place",
}


def feed_words(feed_class: FeedClass) -> str:
    """A feed class as people say it."""
    return said(FEED[feed_class].feed)


def state_words(state: State) -> str:
    """A vehicle state as people say it."""
    return said(STATE[state].label)


def amperes(rating: float) -> str:
    """A fuse rating with its unit."""
    return f"{digits(rating)}{NARROW_SPACE}A"


def family_name(family: str) -> str:
    """A fuse family as people say it."""
    return said(tables.fuse_family(family).name)


def ratings(family: str) -> tuple[float, ...]:
    """The ratings [A] a fuse family is made in."""
    return tables.fuse_family(family).ratings_a


def ratings_words(family: str) -> str:
    """These ratings as a list: “2, 3 … 30 A”."""
    return ", ".join(digits(rating) for rating in ratings(family)) + f"{NARROW_SPACE}A"


def named(slots: Iterable[Slot]) -> str:
    """Some slots by name: one, two, or how many."""
    names = [look_up.slot_name(slot) for slot in slots]
    if len(names) <= 2:
        return tr(" and ").join(names)
    return tr("{count} slots").format(count=len(names))


def load_words(look: SlotLook) -> str:
    """How much of the limit is used; “at least” where some own load is not measured."""
    if look.slot.fuse is None and not look.taps:
        return ""
    if not look.assessed:
        return tr("load being reckoned")
    if unmeasured(look):
        return tr("own load not measured")
    text = tr("{share} loaded").format(share=percent(look.share))
    return text if look.measured else tr("at least {load}").format(load=text)


def unmeasured(look: SlotLook) -> bool:
    """Whether nothing is known of what flows here."""
    return look.share == 0 and not look.measured and not look.partly_measured


def fuse_words(slot: Slot) -> str:
    """The fuse in a slot, or that there is none."""
    if slot.kind != "fuse":
        return tr(KINDS[slot.kind])
    if slot.fuse is None:
        return tr("empty, for {family}").format(family=family_name(slot.family))
    return f"{amperes(slot.fuse.rating)} {family_name(slot.family)}"


def tap_words(mark: TapMark) -> str:
    """A tap with what is on it and the way round."""
    way = tr("from the live side") if mark.way_round == "live_side" else tr("from the load side")
    lead = tr(" (sense wire)") if mark.lead == "sense" else ""
    fuse = f", {amperes(mark.rating)}" if mark.rating is not None else ""
    return tr("{name}{lead} {way}{fuse}").format(name=mark.name, lead=lead, way=way, fuse=fuse)


def candidate_words(candidate: "Candidate") -> str:
    """Whether what is being placed can go here, with the margin or the reason."""
    if candidate.fits:
        return tr("can take it, {room} left").format(room=quantity(candidate.margin_a, "A"))
    reason = said(candidate.reasons[0]) if candidate.reasons else tr("no room")
    return tr("cannot take it: {reason}").format(reason=reason)


def spoken(look: SlotLook, candidate: "Candidate | None" = None) -> str:
    """The whole slot as one sentence for a screen reader."""
    slot = look.slot
    parts = [look_up.slot_name(slot), fuse_words(slot), slot.circuit]
    if slot.kind == "fuse":
        parts += [feed_words(slot.feed_class), load_words(look)]
    parts += [tr("critical") if slot.critical else "", tr("monitored") if slot.monitored else ""]
    parts += [said(QUESTIONS[mark]) for mark in unanswered(slot)]
    parts += [tr("overloaded") if look.overloaded else ""]
    parts += [tr("tapped: {tap}").format(tap=tap_words(mark)) for mark in look.taps]
    if candidate is not None:
        parts.append(candidate_words(candidate))
    return ", ".join(part for part in parts if part)


def taught(look: SlotLook, side: LiveSide, candidate: "Candidate | None" = None) -> str:
    """The tooltip: everything the marks mean, a line each. `side` is as shown on the screen."""
    slot = look.slot
    head = " · ".join(t for t in (look_up.slot_name(slot), fuse_words(slot), slot.circuit) if t)
    lines = [head]
    if candidate is not None:
        lines.append(sentence(candidate_words(candidate)))
    if slot.kind == "fuse":
        lines += _electrical_lines(look, side)
    if slot.critical:
        why = said(reason_words(slot.critical_reason)) or tr("leave this circuit alone")
        lines.append(tr("Critical (padlock): {why}").format(why=why))
    if slot.monitored:
        lines.append(tr("Monitored (eye): the vehicle watches this circuit and may report a fault"))
    lines += [
        tr("By its name: {mark} ({why}). Until somebody answers, nothing is planned here").format(
            mark=tr(mark), why=said(reason_words(why))
        )
        for mark, why in unanswered(slot).items()
    ]
    lines += [tr("Tap: {tap}").format(tap=tap_words(mark)) for mark in look.taps]
    lines += [slot.note] if slot.note else []
    return "\n".join(line for line in lines if line)


def _electrical_lines(look: SlotLook, side: LiveSide) -> list[str]:
    slot = look.slot
    feed = f"{feed_words(slot.feed_class)}: {said(FEED[slot.feed_class].meaning)}"
    return [sentence(feed), _load_line(look), sentence(tr(SIDES[side]))]


def _load_line(look: SlotLook) -> str:
    if look.slot.fuse is None:
        return ""
    words = sentence(load_words(look))
    if not look.assessed:
        return words
    if unmeasured(look):
        return tr("Own load not measured: limit {limit}").format(limit=quantity(look.limit_a, "A"))
    return tr("{words}: {load} of {limit} through the fuse, worst {state}").format(
        words=words,
        load=quantity(look.load_a, "A"),
        limit=quantity(look.limit_a, "A"),
        state=said(STATE[look.state].phrase),
    )


def sentence(text: str) -> str:
    """Words as the beginning of a sentence."""
    return text[:1].upper() + text[1:]
