"""The hunt for what draws while parked: one step at a time, to “Found: F2 Socket, 0.27 of 0.35 A”.

>>> from datetime import datetime, timedelta
>>> from fusemap.probing import hunt
>>> from fusemap.vehicle import Fuse, Vehicle, edits
>>> car = edits.add_panel(Vehicle(name="Car"), "Dash", 1, 2)
>>> for slot, name in (("slot-1", "Interior lamp"), ("slot-2", "Socket")):
...     car = edits.change_slot(
...         car, slot, label=f"F{slot[-1]}", circuit=name, fuse=Fuse(family="mini", rating=15)
...     )
>>> now = datetime(2025, 5, 17, 18, 0)
>>> state = hunt.begin(car, now)
>>> for typed in ("", "0.30", "1.2", "0.04"):  # Enter locks it; then what is asked for
...     done = hunt.enter(state, car, typed, now := now + timedelta(minutes=61))
...     state, car = done.hunt, done.vehicle or car
>>> hunt.next_step(state, car, now).title, hunt.answer(state, car).found[0].slot.id
(Text('Put F1 back'), 'slot-1')

What a window needs: `begin`, `take_up` of a kept hunt, `resume` after an undo of the document; then
`next_step` says what to do, and every key is one of `enter`, `skip`, `give_up`, `look_behind` (the
parts of one fuse), `lock_again`, `all_back`, `enough` (what was found will do), `hunt_on` (at the
end), `undo`.
`enter`, `skip` and `undo` give an `Outcome` with the hunt and, where it changed, the vehicle to
apply as one edit named by its `text`.
`doubted` and `doubts` of the hunt ask for a figure once more. `answer` is what is known at any
time: `headline`, `found`, `left_words`, `shares` with the open ones, `outside`; `cost` says in days
what a drain takes, `what_to_do` and `parts_behind` what hangs there, `parts` what the unplugged
ones drew. `take_night` takes a pasted night in (`enter` does so too, with the table as what was
typed). No Qt.

In reading order: `state` is what is kept, `suspicion` says which fuse comes first, `levels` puts
the readings in order, `shares` bounds each circuit, `answer` says what is found, `steps` what is
next, `entering` does it, `log` reads a logger's table, `night` says what it shows, `trials` has
what a thousand vehicles gave.
"""

from fusemap.probing.hunt.answer import (
    CLOSE,
    Answer,
    Cost,
    answer,
    both_ends,
    cost,
    parts_behind,
    wake_words,
    what_to_do,
)
from fusemap.probing.hunt.asked import Step
from fusemap.probing.hunt.entering import (
    Outcome,
    Part,
    enough,
    enter,
    give_up,
    look_behind,
    parts,
    skip,
    take_night,
    undo,
)
from fusemap.probing.hunt.log import read_log, typed_row
from fusemap.probing.hunt.shares import Share, Shares
from fusemap.probing.hunt.state import (
    WORTH_A,
    Hunt,
    all_back,
    begin,
    hunt_on,
    lock_again,
    resume,
    take_up,
)
from fusemap.probing.hunt.steps import next_step

__all__ = [
    "CLOSE",
    "WORTH_A",
    "Answer",
    "Cost",
    "Hunt",
    "Outcome",
    "Part",
    "Share",
    "Shares",
    "Step",
    "all_back",
    "answer",
    "begin",
    "both_ends",
    "cost",
    "enough",
    "enter",
    "give_up",
    "hunt_on",
    "lock_again",
    "look_behind",
    "next_step",
    "parts",
    "parts_behind",
    "read_log",
    "resume",
    "skip",
    "take_night",
    "take_up",
    "typed_row",
    "undo",
    "wake_words",
    "what_to_do",
]
