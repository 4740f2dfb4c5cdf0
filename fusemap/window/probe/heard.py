"""What is heard after a key: the sound of it, and the words that go with it.

Somebody who looks at the meter and not at the screen has only this to go by, so it has one rule:
`stored` after everything that was taken, `done` at the end and at the beginning of a round,
`doubted` after every key that took nothing: what is asked about, refused, passed over, taken back,
a step aside, another unit, or no key of a reading at all. In: the session before and after. Out: a
sound and a text.
"""

from fusemap.probing import plan
from fusemap.probing.keys import CHARACTERS, Key
from fusemap.probing.session import Session, feed_in_hand, slot_in_hand, spot_in_hand
from fusemap.text import Text, run_on, say
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.beside.sounds import Sound

TYPING: frozenset[str] = frozenset((*CHARACTERS, "back", "clear"))


def sound_of(before: Session, after: Session, key: Key, *, stored: bool) -> Sound | None:
    """The sound of a key; `None` for a figure typed."""
    if key in TYPING:
        lost = key in CHARACTERS and after.typed == before.typed
        return "doubted" if lost else None
    if stored and key == "enter":
        at_an_end = spot_in_hand(before) is not None and spot_in_hand(after) is None
        return "done" if at_an_end and after.round.kind != "whole" else "stored"
    if (after.round, after.walk) != (before.round, before.walk) and key in (
        "enter", "skip", "*", "next_round", "previous_round", "job", "sure", "home",
    ):  # fmt: skip
        return "done"
    if key == "lock" or (after.locked_at is not None and before.locked_at is None):
        return "stored" if after.locked_at is not None else "doubted"
    return "doubted"


def words_of(session: Session, vehicle: Vehicle) -> Text:
    """What is said: the doubt, else where the hand is now, else what is asked."""
    if session.doubts:
        return run_on(session.doubts[0], say("read it again"), between=". ")
    feed, slot = feed_in_hand(session, vehicle), slot_in_hand(session, vehicle)
    if feed is not None:
        return run_on(feed.name)
    if slot is not None:
        # a bare figure in another unit than the usual is another reading
        unit = "" if session.unit == "mV" or session.round.kind == "contacts" else session.unit
        parts = [each for each in (slot.circuit, unit) if each]
        return run_on(look_up.slot_words(slot), *parts, between=", ")
    if session.message:
        return session.message
    # what is done first, too: nobody sees it
    return run_on(plan.title(session.round), plan.how_to(session.round), between=". ")
