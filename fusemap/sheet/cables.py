"""Every cable with its number: the same in jobs, order of work, cut list, labels and diagram.

In: a subject. Out: the cables, in the order of the numbers. A number is made of the number of the
accessory that the cable leads to, and says which lead it is: W3+ out to accessory 3, W3− its
return or the earth lead where the body is the return, W3s its sense wire. An added feed has a
letter (WA+), the link of a second battery is W0+, its minus W0−. So it does not change with what
else is added. A switch has the number of its lead: S3s sits in W3s. W for a cable, S for a switch:
IEC 81346-2 (from memory). No Qt.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import Final, Literal

from msgspec import Struct

from fusemap import tables
from fusemap.sheet.style import BATTERY, NOT_NAMED, named
from fusemap.sheet.subject import Subject
from fusemap.text import Text, Words, say
from fusemap.vehicle import Accessory, Cable, Tap, look_up
from fusemap.vehicle.words import CLOSED_BY, SOCKET

Role = Literal["link", "link_back", "feed", "out", "sense", "back", "behind", "behind_back"]
SECOND_BATTERY: Final = say("Second battery")
BODY: Final = say("the vehicle’s body")
LETTERS: Final = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Numbered(Struct, frozen=True):
    """A cable with its number, what it is, what its two ends go to, and whether this job lays it.

    `of` is the id of the tap, feed or accessory; `cable` is `None` where none was entered, `like`
    then the one whose section it has at least: that out to the same device.
    """

    number: str
    role: Role
    cable: Cable | None
    start: Words
    end: Words
    of: str
    to_lay: bool = True
    like: Cable | None = None

    @property
    def sized(self) -> Cable | None:
        """The cable that says its section."""
        return self.cable or self.like


@lru_cache(maxsize=4)
def numbered(subject: Subject) -> tuple[Numbered, ...]:
    """Every cable that somebody lays or laid: the link, added feeds, the leads of accessories."""
    return (*_link(subject), *_feeds(subject), *_leads(subject), *_behind(subject))


def number_of(tap: Tap, subject: Subject, role: Role = "out") -> str:
    """The number of a tap's cable, out or back."""
    number = subject.numbers[tap.accessory]
    if tap.lead == "sense":
        return f"W{number}s"
    return f"W{number}{'−' if role == 'back' else '+'}"


def switch_of(tap: Tap, subject: Subject) -> str:
    """The designation of the switch in a lead; empty where there is none.

    One in the power lead of a relay sits in the wire to its coil.
    """
    return f"S{subject.badge(tap)}" if tap.switch in CLOSED_BY else ""


def letters(index: int) -> str:
    """A feed's letters by its place among the added ones.

    >>> letters(0), letters(25), letters(26)
    ('A', 'Z', 'AA')
    """
    high, low = divmod(index, len(LETTERS))
    return (letters(high - 1) if high else "") + LETTERS[low]


def _link(subject: Subject) -> Iterator[Numbered]:
    second = subject.vehicle.second_battery
    if second is not None:
        link = second.link_cable
        yield Numbered("W0+", "link", link, BATTERY, SECOND_BATTERY, "")
        yield Numbered("W0−", "link_back", None, SECOND_BATTERY, BODY, "", like=link)


def _feeds(subject: Subject) -> Iterator[Numbered]:
    added = [feed for feed in subject.vehicle.feeds if feed.added]
    for index, feed in enumerate(added):
        start = subject.feed_name(feed.parent)
        if feed.parent is None and feed.battery == "second" and subject.vehicle.second_battery:
            start = SECOND_BATTERY
        number = f"W{letters(index)}+"
        yield Numbered(number, "feed", feed.cable, start, subject.feed_name(feed.id), feed.id)


def _leads(subject: Subject) -> Iterator[Numbered]:
    for tap in subject.taps:
        name = subject.accessory_name(subject.accessory(tap))
        lay = tap in subject.to_fit
        source = subject.source(tap)
        if tap.lead == "sense":
            number = number_of(tap, subject)
            yield Numbered(number, "sense", tap.cable_out, source, name, tap.id, lay)
            continue
        yield Numbered(number_of(tap, subject), "out", tap.cable_out, source, name, tap.id, lay)
        yield Numbered(
            number_of(tap, subject, "back"),
            "back",
            tap.cable_back,
            name,
            earth_name(subject, tap),
            tap.id,
            lay,
            None if tap.cable_back is not None else tap.cable_out,
        )


def earth_name(subject: Subject, tap: Tap) -> Words:
    """Where the current of a tap goes back to: its earth point, or what was typed."""
    if tap.earth is not None:
        return named(look_up.earth(subject.vehicle, tap.earth).name) or NOT_NAMED
    return named(tap.earth_point) or NOT_NAMED


def socket_words(subject: Subject, tap: Tap) -> Words:
    """The socket that a lead is in, of a tow socket with its pin and what that is for."""
    socket = look_up.socket(subject.vehicle, tap.socket or "")
    name = named(socket.name) or SOCKET[socket.kind]
    pin = tables.socket_pins(socket.kind).get(tap.pin)
    if pin is None:
        return name
    return say("{name}, pin {pin}: {function}", name=name, pin=tap.pin, function=Text(pin.function))


def _behind(subject: Subject) -> Iterator[Numbered]:
    """The leads of what hangs on a converter, out and back."""
    for accessory in subject.hanging:
        above = look_up.accessory(subject.vehicle, accessory.supplied_by or "")
        converter, device = subject.accessory_name(above), subject.accessory_name(accessory)
        number, of, lay = f"W{subject.numbers[accessory.id]}", accessory.id, accessory.found == "no"
        out, back = accessory.lead_cable, accessory.lead_back
        to = NOT_NAMED if by_the_body(accessory) else converter
        yield Numbered(f"{number}+", "behind", out, converter, device, of, lay)
        like = None if back is not None else out
        yield Numbered(f"{number}−", "behind_back", back, device, to, of, lay, like)


def by_the_body(accessory: Accessory) -> bool:
    """Whether what hangs on a converter goes back by the body; unsaid, it goes to the converter."""
    return accessory.lead_cable is not None and accessory.lead_back is None
