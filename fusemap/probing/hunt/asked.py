"""The steps of a hunt in words: what is done, how and why, with all that is shown beside it.

In: a hunt, its vehicle, what is known by now. Out: a `Step`; which one it is `steps` decides.
"""

from collections.abc import Sequence
from datetime import datetime

from msgspec import Struct

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.facts import resolve
from fusemap.circuits import circuit_of
from fusemap.probing.disbelief import Caution, caution
from fusemap.probing.hunt.answer import Answer, parts_behind
from fusemap.probing.hunt.shares import Share, Shares
from fusemap.probing.hunt.state import SETTLE_MIN, Hunt, Kind, asleep_at
from fusemap.probing.hunt.suspicion import Suspicion
from fusemap.probing.loads import CHARGER_WARNING, measured_load
from fusemap.text import Amount, Text, given, in_row, many, run_on, say
from fusemap.vehicle import Panel, Slot, Vehicle, look_up
from fusemap.vehicle.words import Quantity


class Step(Struct, frozen=True):
    """What to do: in large letters, in words, and why; at which slots; what is typed.

    `quantity` is what is read, `None` where Enter alone goes on. `optional` steps may be passed
    over. `reminders` are said beside it, `caution` is what to mind at its slot. `due` is when a
    wait is over, `left_s` what is left of it [s], at least 0. `part` is what is unplugged, `panel`
    the one whose feed is read.
    """

    kind: Kind
    title: Text
    what: Text
    why: Text
    slots: tuple[str, ...] = ()
    quantity: Quantity | None = None
    optional: bool = False
    reminders: tuple[Text, ...] = ()
    caution: Caution | None = None
    due: datetime | None = None
    left_s: float = 0.0
    part: str = ""
    panel: str = ""

    @property
    def clock(self) -> str:
        """The time left as minutes and seconds; empty where nothing is waited for.

        >>> no = say("")
        >>> Step("wait", no, no, no, due=datetime(2025, 5, 17), left_s=125.0).clock
        '2:05'
        """
        left = round(self.left_s)
        return "" if self.due is None else f"{left // 60}:{left % 60:02}"


REMINDERS = (
    say("Latch the bonnet’s and the door’s lock by hand, so that the vehicle takes them as shut."),
    say("Keep the key well away: near it, the vehicle does not fall asleep."),
    CHARGER_WARNING,
)
"""What keeps a vehicle awake; common practice, no source."""

BRIDGE = say(
    "In line: join the meter between post and clamp before the clamp comes off, with a lead across "
    "it as a bridge. The circuit stays closed and the vehicle goes on falling asleep; take the "
    "bridge away when it sleeps, and back before anybody opens a door or turns the key."
)
"""How a meter comes in line without waking the vehicle; common practice, no source."""


WEATHER = say("Some draw only in the wet or in the cold: hunt when it is as it was then.")
"""What comes and goes with the weather; common practice, no source."""
ENTER_FUSES = say("Enter the fuses’ ratings, and millivolts tell it with nothing pulled.")
"""Where there is nothing to reckon millivolts with."""
ONE_METER = say("With one meter alone: the bridge across it first, then take it out, red into VΩ.")
IN_LINE_AGAIN = say("The meter in line again, red in 10A; then the bridge off.")
"""What to mind between a meter in line and millivolts; common practice, no source."""


def prepare(hunt: Hunt) -> Step:
    """Lock it, with the meter ready."""
    inline = hunt.whole_by == "inline_current"
    return Step(
        "prepare",
        say("Lock the vehicle"),
        say("Meter ready, all off, nothing plugged in. Lock it, and press Enter at that moment."),
        say("What it draws asleep can only be read when it sleeps: the time counts from locking."),
        reminders=(BRIDGE, *REMINDERS) if inline else REMINDERS,
    )


def wait(hunt: Hunt, vehicle: Vehicle, now: datetime) -> Step:
    """It falls asleep."""
    due = asleep_at(hunt, vehicle)
    left = 0.0 if due is None else max(0.0, (due - now).total_seconds())
    wait = resolve(vehicle.rules)["sleep_wait_min"].value
    return Step(
        "wait",
        say("Wait: it falls asleep"),
        say("Leave it shut. A current typed now is kept for the time of falling asleep."),
        say(
            "Most vehicles sleep after {usual}, some after {wait}. Enter: it sleeps already.",
            usual=given(30, "min"),
            wait=given(wait, "min"),
        ),
        quantity=hunt.whole_by,
        optional=True,
        reminders=(BRIDGE, *REMINDERS) if hunt.whole_by == "inline_current" else REMINDERS,
        due=due,
        left_s=left,
    )


def whole(hunt: Hunt, known: Answer) -> Step:
    """The whole current, for the first time or to be held against."""
    again = known.whole is not None
    why = say("All else is held against this figure: how much there is to find.")
    if again:
        why = say(
            "If it is what it was, what was read in between holds; if not, something comes and "
            "goes."
        )
    return Step(
        "whole",
        say("Whole vehicle"),
        say("All fuses in. Read what the whole vehicle draws, and type it."),
        why,
        quantity=hunt.whole_by,
        reminders=() if again else (CHARGER_WARNING,),
    )


def catch(hunt: Hunt, known: Answer) -> Step:
    """Wait until it draws again."""
    assert known.whole is not None  # something was seen to draw
    return Step(
        "catch",
        say("Wait until it draws again"),
        say(
            "Watch the whole current. When it is near {whole} again, type it, and go straight to "
            "the fuses.",
            whole=Amount(known.whole.current_a, "A", significant=2),
        ),
        say("It has gone off by itself: what draws can only be found while it draws."),
        quantity=hunt.whole_by,
        optional=True,
        reminders=(WEATHER,),
    )


def night(known: Answer) -> Step:
    """Follow it over a night."""
    return Step(
        "night",
        say("Follow it over a night"),
        say(
            "Leave a meter or logger in line or a clamp on, and paste its table: times and "
            "currents. Enter ends the hunt without it."
        ),
        _why_night(known),
        optional=True,
        reminders=(WEATHER,),
    )


def lid(known: Answer) -> Step:
    """How much it draws is known, and that it is too much: the fuses come next."""
    return Step(
        "lid",
        say("Count the lid’s rows and columns"),
        say(
            "It draws more than is usual, so the fuses are next. Enter: the questions about the "
            "lid, how many rows and columns it has."
        ),
        say("Only then can be said across which fuse to read."),
        optional=True,
    )


def _why_night(known: Answer) -> Text:
    if known.shares is not None and known.shares.contradicts:
        return say(
            "The readings do not go together: something came or went between them, or one was "
            "misread. / takes the last back, to read it again."
        )
    if known.is_usual:
        return say(
            "What it draws now is usual. If the battery still goes flat, something wakes up."
        )
    return say("What it draws now does not tell. A night shows what comes and goes.")


def end(known: Answer) -> Step:
    """Nothing is left to do."""
    unseen = say("What comes and goes shows over a night alone.")
    return Step(
        "end",
        say("Done"),
        known.headline,
        known.left_words,
        reminders=() if known.logged else (unseen,),
    )


def across(hunt: Hunt, suspicion: Suspicion, at: Shares, left: int) -> Step:
    """Millivolts across a fuse."""
    slot = suspicion.slot
    to_go = many("{n} fuse left to read at most", "{n} fuses left to read at most", left)
    taken_out = hunt.whole_by == "inline_current" and _before(hunt) != "across"
    return Step(
        "across",
        say("Across {slot}", slot=look_up.fuse_words(slot)),
        say(
            "Meter at millivolts, both tips on the fuse’s own test points. Nothing is pulled. "
            "Type what it shows, 0 too."
        ),
        say(
            "{reason}; {left} to find.",
            reason=suspicion.why,
            left=say("up to {high}", high=Amount(at.unexplained[1], "A", significant=2)),
        ).capital(),
        slots=(slot.id,),
        quantity="millivolts",
        optional=True,
        reminders=(ONE_METER, to_go) if taken_out else (to_go,),
        caution=caution(slot, "probe"),
    )


def _before(hunt: Hunt) -> Kind | None:
    """What was done last."""
    return hunt.done[-1].kind if hunt.done else None


def feed(panel: Panel, at: Shares) -> Step:
    """All that goes into a panel, by clamp."""
    return Step(
        "feed",
        say("Clamp on the feed"),
        say(
            "Nothing is pulled. The clamp, zeroed, round all cables together that bring current to "
            "{panel}. Type what it shows, 0 too.",
            panel=panel.name,
        ),
        say(
            "{open} may still draw it, or none of these fuses: this tells which. Without a clamp, "
            "pass it over.",
            open=many("{n} circuit", "{n} circuits", len(at.open)),
        ),
        quantity="clamp_current",
        optional=True,
        panel=panel.id,
    )


def confirms(found: Share) -> Text:
    """Why a found circuit is pulled."""
    return say(
        "It draws {low} to {high} by its millivolts; with its fuse out the whole tells how much, "
        "and whether anything is left.",
        low=Amount(found.low_a, "A", significant=2),
        high=Amount(found.high_a, "A", significant=2),
    )


def why_pull(at: Shares, among: Sequence[Slot] = ()) -> Text:
    """Why circuits are pulled together; `among` surely one draws, where that is known."""
    if 0 < len(among) < len(at.open):
        return say(
            "It is drawn by {slots}: the likelier half at a time.",
            slots=in_row([look_up.fuse_words(slot) for slot in among], "or"),
        ).capital()
    if at.found:
        return say(
            "{open} may still draw the rest: the likelier half at a time.",
            open=many("{n} circuit", "{n} circuits", len(at.open)),
        )
    return say(
        "{open} may still draw it, and millivolts cannot tell: the likelier half at a time.",
        open=many("{n} circuit", "{n} circuits", len(at.open)),
    )


def pull(hunt: Hunt, vehicle: Vehicle, group: Sequence[Slot], why: Text) -> Step:
    """Some fuses out."""
    names = in_row([look_up.fuse_words(slot) for slot in group], "and")
    not_entered = [slot for slot in group if slot.fuse is None]
    if not_entered:
        why = run_on(why, ENTER_FUSES, between=" ")
    settles = say("It settles after about {time}.", time=given(SETTLE_MIN, "min"))
    again = hunt.whole_by == "inline_current" and _before(hunt) in ("across", "feed")
    return Step(
        "pull",
        say("Pull {slots}", slots=names).capital(),
        _how_to_pull(slots=names, several=len(group) > 1),
        why,
        slots=tuple(slot.id for slot in group),
        quantity=hunt.whole_by,
        optional=True,
        reminders=(IN_LINE_AGAIN, settles) if again else (settles,),
        caution=_not_named([slot for slot in group if circuit_of(slot).function == "unclear"]),
    )


def _not_named(slots: Sequence[Slot]) -> Caution | None:
    """What to mind before fuses are pulled of which nobody knows what they feed."""
    if not slots:
        return None
    words = many(
        "Nobody said what {slots} feeds: look at the lid before you pull. Airbags, brakes, "
        "steering and engine stay in; named on the panel, they are never asked for.",
        "Nobody said what {slots} feed: look at the lid before you pull. Airbags, brakes, "
        "steering and engine stay in; named on the panel, they are never asked for.",
        len(slots),
        slots=in_row([look_up.fuse_words(slot) for slot in slots], "and"),
    )
    source = next(row.source.text for row in tables.cautions() if row.key == "airbag")
    return Caution(words, source)


def _how_to_pull(slots: Text, *, several: bool) -> Text:
    if several:
        return say(
            "Pull {slots}, keep each beside its place, let the whole current settle, and type it.",
            slots=slots,
        )
    return say(
        "Pull {slots}, keep it at hand, let the whole current settle, and type it.", slots=slots
    )


def put_back(hunt: Hunt, vehicle: Vehicle, known: Answer, now: datetime) -> Step:
    """Those that are out back in."""
    names = _out(hunt, vehicle)
    fell = known.shares is not None and any(
        each.slots == frozenset(hunt.scene.out) and each.drop[0] > 0
        for each in known.shares.level.pulled
    )
    rose = _rose(hunt, vehicle, known)
    what, why = _to_put_back(names, several=len(hunt.scene.out) > 1)
    if fell:
        what = say(
            "Put {slots} back, let it fall asleep again, and type the whole current.", slots=names
        )
        why = say("It fell: only if it comes back was it what hangs there.")
    elif rose:
        what = say("Put {slots} back, and type the whole current as it is now.", slots=names)
        why = say("It draws more than before, with less of it in: something woke up.")
    return Step(
        "put_back",
        say("Put {slots} back", slots=names).capital(),
        what,
        why,
        slots=hunt.scene.out,
        quantity=hunt.whole_by if fell or rose else None,
        optional=not (fell or rose),
    )


def put_back_awake(hunt: Hunt, vehicle: Vehicle) -> Step:
    """Those that are out back in, before it is locked or waited for: nothing is read meanwhile."""
    names = _out(hunt, vehicle)
    what, _ = _to_put_back(names, several=len(hunt.scene.out) > 1)
    return Step(
        "put_back",
        say("Put {slots} back", slots=names).capital(),
        what,
        say("It does not sleep: nothing is read now, and nobody drives with a fuse out."),
        slots=hunt.scene.out,
        optional=True,
    )


def _out(hunt: Hunt, vehicle: Vehicle) -> Text:
    """The fuses that are out, in a row."""
    return in_row(
        [look_up.fuse_words(look_up.slot(vehicle, each)) for each in hunt.scene.out], "and"
    )


def _rose(hunt: Hunt, vehicle: Vehicle, known: Answer) -> bool:
    """Whether it drew more with them out than it had with all in."""
    mine = next((done.readings for done in reversed(hunt.done) if done.kind == "pull"), ())
    out = next((each for each in vehicle.readings if each.id in mine), None)
    if out is None or known.now is None:
        return False
    return measured_load(vehicle, out).low_a > known.now.high_a


def _to_put_back(slots: Text, *, several: bool) -> tuple[Text, Text]:
    """What to do and why, where nothing fell away."""
    if several:
        return (
            say("Put {slots} back, each in its own place, and press Enter.", slots=slots),
            say("Nothing fell away with them: what draws is elsewhere."),
        )
    return (
        say("Put {slots} back, and press Enter.", slots=slots),
        say("Nothing fell away with it: what draws is elsewhere."),
    )


def part(hunt: Hunt, vehicle: Vehicle, slot_id: str) -> Step | None:
    """The next thing to unplug behind a fuse, `None` when there is none left."""
    slot = look_up.slot(vehicle, slot_id)
    left = [each for each in parts_behind(vehicle, slot) if each not in hunt.scene.unplugged]
    if not left:
        return None
    return Step(
        "part",
        say("Unplug {part}", part=left[0]).capital(),
        say(
            "Unplug {part} and leave it unplugged. Read {slot} again as before, and type it.",
            part=left[0],
            slot=look_up.fuse_words(slot),
        ),
        say("What the current falls by is this part’s."),
        slots=(slot.id,),
        quantity="millivolts" if _readable(slot) else hunt.whole_by,
        optional=True,
        caution=caution(slot, "probe"),
        part=left[0],
    )


def _readable(slot: Slot) -> bool:
    return slot.fuse is not None and facts.fuse_resistance(slot.fuse) is not None
