"""Which keys stand in the picture while places are probed: they say what they do at this moment."""

from PySide6.QtCore import QCoreApplication

from fusemap.probing import plan
from fusemap.probing.session import UNITS, Session, spot_in_hand
from fusemap.probing.walking import following_round, walk_again
from fusemap.text import Style, Text
from fusemap.vehicle import Vehicle
from fusemap.window.beside import pad_keys
from fusemap.window.beside.keys_picture import OPENS_PAD
from fusemap.window.beside.shown import KeyShown, Pad

translate = QCoreApplication.translate


def keys_shown(
    session: Session,
    vehicle: Vehicle,
    style: Style,
    *,
    start: bool = False,
    back: Text | None = None,
) -> tuple[KeyShown, ...]:
    """The keys that matter now; Enter is the filled one. `start`: one start would tell more;
    `back` is what somebody says by whom all that was taken out is back.
    """
    row = _row(session)
    if start:
        row = (*row[:2], KeyShown("start", "K", translate("Probe", "one start")))
    if back is not None:
        row = (KeyShown("in", "I", style.show(back)), *row)
    return (*row, _wide(session), _enter(session, vehicle, style))


def pad_of(session: Session, style: Style) -> Pad | None:
    """The keys to type a reading by mouse or touch; `None` where nothing is asked for.

    Live and dead stand in the row of the page's own keys.
    """
    options = (KeyShown("options", "O", translate("Probe", "all keys")),)
    if not _asks(session):
        return None
    if session.round.kind == "contacts":
        return pad_keys.of_contacts(session.typed, options)
    units: tuple[str, ...] = UNITS
    if session.round.kind == "whole":
        units = ("mA", "A")
    elif session.feed is not None:
        units = ("mV", "mA", "A")
    at_a_slot = session.slot is not None
    return pad_keys.of_figure(style, session.typed, units, minus=not at_a_slot, row=options)


def _asks(session: Session) -> bool:
    """Whether anything is to be typed."""
    return spot_in_hand(session) is not None or session.round.kind == "whole"


def _row(session: Session) -> tuple[KeyShown, ...]:
    back = KeyShown("undo", "/", translate("Probe", "back"))
    skip = KeyShown("skip", "*", translate("Probe", "skip"))
    if session.round.kind == "whole":
        return (back, KeyShown("lock", "L", translate("Probe", "locked now")),
                KeyShown("pull", "P", translate("Probe", "pull a fuse")))  # fmt: skip
    if spot_in_hand(session) is None or session.feed is not None:
        return (back, skip)  # with no slot in hand nothing can be live or dead
    if session.round.kind == "contacts":
        return (back, skip, KeyShown("-", "−", translate("Probe", "none")),
                KeyShown("+", "+", translate("Probe", "both")))  # fmt: skip
    return (back, skip, KeyShown("-", "−", translate("Probe", "dead")),
            KeyShown("+", "+", translate("Probe", "live")))  # fmt: skip


def _wide(session: Session) -> KeyShown:
    more = translate("Probe", "S  only what is needed    O  all keys")
    if session.sure or session.job:
        letter = "S" if session.sure else "J"
        more = translate("Probe", "{key}  all that is open    O  all keys").format(key=letter)
    # where nothing is typed it leads to what is read next
    opens = OPENS_PAD if _asks(session) else "options"
    if session.round.kind == "contacts":
        words = translate("Probe", "live: top, bottom, left, right")
        return KeyShown(opens, "8  2  4  6", words, more, "wide")
    words = translate("Probe", "figures, comma or point")
    return KeyShown(opens, "0 – 9", words, more, "wide")


def _enter(session: Session, vehicle: Vehicle, style: Style) -> KeyShown:
    """What Enter does now, in two lines."""
    cap, more = translate("Probe", "Enter"), ""
    if session.typed:
        words = translate("Probe", "store")
        if session.doubted:
            words = translate("Probe", "store again")
    elif session.round.kind == "whole":
        words = translate("Probe", "go on")
    elif session.round.state == "awake" and session.locked_at is None:
        words = translate("Probe", "locked now")
    elif spot_in_hand(session) is not None:
        words, more = translate("Probe", "pass over"), translate("Probe", "nothing typed")
    else:
        words, more = _onwards(session, vehicle, style)
    return KeyShown("enter", cap, words, more, "main")


def _onwards(session: Session, vehicle: Vehicle, style: Style) -> tuple[str, str]:
    """What Enter does at the end of a round."""
    if walk_again(session, vehicle) is not None:
        return translate("Probe", "go on"), translate("Probe", "half read ones")
    following = following_round(session, vehicle)
    if following is None:
        return translate("Probe", "go on"), ""
    return translate("Probe", "go on"), style.show(plan.title(following))
