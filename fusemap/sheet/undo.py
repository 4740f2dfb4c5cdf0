"""The way back: how each lead is taken off its source, and the vehicle put back as it was.

In: a subject. Out: steps: supply first, earth last. No Qt.
"""

from typing import Final

from fusemap.sheet.cables import socket_words
from fusemap.sheet.cautions import power_off
from fusemap.sheet.content import Step, Steps
from fusemap.sheet.subject import Subject
from fusemap.text import Words, say
from fusemap.vehicle import SEATED, Tap


def undo(subject: Subject) -> Steps:
    """How to put the vehicle back as it was: supply first, earth last."""
    steps = [Step(subject.show(BATTERY_OFF))] if power_off(subject) else []
    steps += [take_away(subject, tap) for tap in reversed(subject.to_fit)]
    if subject.to_fit:
        steps += [Step(subject.show(text)) for text in LEFT_AS_BEFORE]
    return Steps("", tuple(steps))


BATTERY_OFF: Final = say("Disconnect the battery’s minus lead; wait before working near airbags.")
LEFT_AS_BEFORE: Final = (
    say("Take the accessories, their cables and earth leads out; earth comes off last."),
    say("Check that every circuit works; write into the record what was removed and when."),
)


def take_away(subject: Subject, tap: Tap) -> Step:
    """How a lead is taken off its source."""
    slot = subject.slot(tap)
    lead, source = subject.lead_name(tap), subject.source_in_words(tap)
    back: Words = ""
    if slot is not None and slot.fuse is not None and tap.kind in SEATED:
        back = say("Put back alone: {fuse}.", fuse=subject.fuse(slot.fuse))
    match tap.kind:
        case "two_fuse":
            text = say("Take the fuse tap of {lead} out of {source}.", lead=lead, source=source)
        case "take_off_lead":
            text = say(
                "Take the fuse with take-off lead of {lead} out of {source}.",
                lead=lead,
                source=source,
            )
        case "splice":
            text = say(
                "Cut the splice of {lead} out of the wire of {source}; join the wire again and "
                "seal it.",
                lead=lead,
                source=source,
            )
        case "terminal":
            text = say(
                "Take the fuse of {source} out, then {lead} off its terminal.",
                lead=lead,
                source=source,
            )
        case "plug":
            socket = socket_words(subject, tap)
            text = say("Pull the plug of {lead} out of {socket}.", lead=lead, socket=socket)
        case "own_feed":
            text = say(
                "Take the fuse of {lead} out, then its lead off {source}.", lead=lead, source=source
            )
    return Step(subject.show(text), subject.show(back))
