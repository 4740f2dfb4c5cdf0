"""What stands on the page of a hunt at each moment, and which keys.

In: the hunt, its step, the vehicle, what is typed, the time. Out: texts and plain values; no
widgets.
"""

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import QCoreApplication

from fusemap.circuits import counts_critical
from fusemap.probing import hunt
from fusemap.probing.hunt import Answer, Hunt, Share, Step
from fusemap.probing.hunt.asked import BRIDGE
from fusemap.text import Style, Text, given, in_row, many, run_on, say
from fusemap.vehicle import Reading, Vehicle, look_up
from fusemap.window.beside import pad_keys
from fusemap.window.beside.keys_picture import OPENS_PAD
from fusemap.window.beside.shown import KeyShown, LastShown, Pad, Shown, Tone
from fusemap.window.probe import page_words

translate = QCoreApplication.translate
BRIDGE_OFF = say("Take the bridge off first, if there is one: across it no current is read.")


AT_A_PAUSE = ("prepare", "wait", "whole")
"""Steps at which a hunt can be begun anew: nothing is pulled or half read."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return translate("Hunt", text)


def shown(
    state: Hunt, step: Step, vehicle: Vehicle, typed: str, rows: Sequence[str], now: datetime,
    problem: Text, style: Style,
) -> Shown:  # fmt: skip
    """A moment of the hunt but its end."""
    show = style.show
    said, tone = _said(state, step, vehicle, problem, style)
    done, total = how_far(state, vehicle)
    return Shown(
        state=tr("WHAT DRAINS IT"),
        how=show(since_locked(state, vehicle, now)),
        progress=show(progress(state, vehicle)),
        done=done,
        total=total,
        question=show(question(step, vehicle)),
        under=show(step.what),
        said=said,
        said_tone=tone,
        said_alone=step.kind in ("prepare", "wait") or bool(state.doubts),
        keys=keys_shown(state, step, vehicle, typed, rows, style),
        last=_last(state, vehicle, rows, style),
        pad=_pad(step, typed, style),
    )


def _pad(step: Step, typed: str, style: Style) -> Pad | None:
    """The keys to type by mouse or touch; `None` where nothing is typed."""
    if step.kind == "night":
        return pad_keys.of_row(style, typed, translate("Probe", "Space"), lambda key: True)
    if step.quantity is None:
        return None
    units = ("mV", "mA", "A") if step.quantity == "millivolts" else ("mA", "A")
    return pad_keys.of_figure(style, typed, units)


def question(step: Step, vehicle: Vehicle) -> Text:
    """What is to be done now, in large letters, with the circuit it is done at."""
    if step.kind != "across":
        return step.title
    circuit = look_up.slot(vehicle, step.slots[0]).circuit
    return run_on(step.title, circuit) if circuit else step.title


def spoken(step: Step, vehicle: Vehicle) -> Text:
    """The same by ear: of a panel its name, which else stands in the drawing."""
    if step.kind != "feed":
        return question(step, vehicle)
    return run_on(step.title, look_up.panel(vehicle, step.panel).name, between=", ")


def onward(step: Step, vehicle: Vehicle) -> Text | None:
    """The step as an order in a few words, for whoever looks from elsewhere; `None` at the end."""
    names = [look_up.fuse_words(look_up.slot(vehicle, each)) for each in step.slots]
    slots = in_row(names, "and")
    orders: dict[str, Callable[[], Text]] = {
        "prepare": lambda: say("Lock the vehicle"),
        "wait": lambda: say("Wait until it sleeps"),
        "whole": lambda: say("Read the whole vehicle"),
        "catch": lambda: say("Wait until it draws again"),
        "lid": lambda: say("Count the lid’s rows and columns"),
        "night": lambda: say("Follow it over a night"),
        "across": lambda: say("Read across {slots}", slots=slots),
        "feed": lambda: say("Read the feed of {panel} by clamp",
                            panel=look_up.panel(vehicle, step.panel).name),
        "pull": lambda: say("Pull {slots}", slots=slots),
        "put_back": lambda: say("Put {slots} back", slots=slots),
        "part": lambda: say("Unplug {part}", part=step.part),
    }  # fmt: skip
    return orders[step.kind]() if step.kind in orders else None


def not_back(state: Hunt, step: Step, vehicle: Vehicle) -> Text | None:
    """What is said wherever one is while a fuse is out, or may be; `None` where all are in.

    Whether one that was to be pulled was pulled is not known before its reading is typed.
    """
    named = state.scene.out or (step.slots if step.kind == "pull" else ())
    if not named:
        return None
    slots = in_row([look_up.fuse_words(look_up.slot(vehicle, each)) for each in named], "and")
    if state.scene.out:
        return say("Put {slots} back", slots=slots)
    return many("See that {slots} is in", "See that {slots} are in", len(named), slots=slots)


def unit_of(step: Step, typed: str) -> str:
    """The unit behind the entry; of a row of a night first that of its time."""
    if typed[-1:].isalpha():
        return ""
    if step.kind == "night" and " " not in typed.lstrip():
        return "" if ":" in typed else "min"
    return "mV" if step.quantity == "millivolts" else "A"


def since_locked(state: Hunt, vehicle: Vehicle, now: datetime) -> Text:
    """Which vehicle, and how long it has been locked."""
    if state.scene.locked_at is None:
        return run_on(vehicle.name)
    minutes = (now - datetime.fromisoformat(state.scene.locked_at)).total_seconds() / 60
    if minutes >= 24 * 60:
        return run_on(vehicle.name)
    locked = say("locked {time} ago", time=given(max(0, round(minutes)), "min"))
    if minutes < 1:
        locked = say("locked just now")
    return run_on(vehicle.name, locked, between=", ")


def readings_of(state: Hunt, vehicle: Vehicle) -> list[Reading]:
    """The readings this hunt took, in their order."""
    mine = {each for done in state.done for each in done.readings}
    return [reading for reading in vehicle.readings if reading.id in mine]


def progress(state: Hunt, vehicle: Vehicle) -> Text:
    """How many readings and how many fuses it took so far."""
    pulled = {slot for done in state.done if done.kind == "pull" for slot in done.slots}
    read = many("{n} reading", "{n} readings", len(readings_of(state, vehicle)))
    if not pulled:
        return read
    return in_row((read, many("{n} fuse pulled", "{n} fuses pulled", len(pulled)))).capital()


def how_far(state: Hunt, vehicle: Vehicle) -> tuple[int, int]:
    """Steps done, of how many at most; nothing before whole and fuses are known."""
    known = hunt.answer(state, vehicle)
    if known.shares is None or not vehicle.panels:
        return 0, 0
    done = len(state.done)
    left = 0 if known.explained else len(known.shares.open)
    return done, done + left + 1


def _said(
    state: Hunt, step: Step, vehicle: Vehicle, problem: Text, style: Style
) -> tuple[str, Tone]:
    """What is asked about or said; else why, and what to mind."""
    show = style.show
    if state.doubts:
        doubts = "\n".join(map(show, state.doubts))
        again = tr("Read it again: the same once more, and it is kept.")
        return f"⚠ {state.doubted.replace('-', '−')}: {doubts}\n{again}", "caution"
    if problem:
        return f"⚠ {show(problem)}", "caution"
    lines = [state.message, step.caution.text if step.caution else Text("")]
    if step.kind != "part":
        lines.insert(0, hunt.answer(state, vehicle).so_far)
    if step.kind == "whole" and state.whole_by == "inline_current":
        lines.append(BRIDGE_OFF)
    if step.kind == "part":
        lines += [each.words for each in hunt.parts(state, vehicle)[-2:]]
    # while it waits the bridge is drawn, and was told of when it was locked
    lines += [step.why, *(each for each in step.reminders if step.kind != "wait" or each != BRIDGE)]
    return "\n".join(show(line) for line in lines if line), "text"


def _last(
    state: Hunt, vehicle: Vehicle, rows: Sequence[str], style: Style
) -> tuple[LastShown, ...]:
    """What was stored last; while a night is typed its rows."""
    if rows:
        first = len(rows) - 2 if len(rows) > 3 else 1
        numbered = list(enumerate(rows, start=1))[first - 1 :]
        return tuple(LastShown(f"{n}", row.replace(";", "  ")) for n, row in reversed(numbered))[:3]
    show = style.show
    made = []
    readings = readings_of(state, vehicle)[-3:]
    shown_rows = page_words.rows_of(vehicle, readings)
    for reading, (where, value, means) in zip(reversed(readings), shown_rows, strict=True):
        out = [each for each in (reading.fuse_out, *reading.fuses_out) if each is not None]
        if out and not means:
            names = [look_up.fuse_words(look_up.slot(vehicle, each)) for each in out]
            means = say("{slots} out", slots=in_row(names, "and"))
        made.append(LastShown(show(where), show(value), show(means)))
    return tuple(made)


# --- keys -----------------------------------------------------------------------------------------


def keys_shown(
    state: Hunt, step: Step, vehicle: Vehicle, typed: str, rows: Sequence[str], style: Style
) -> tuple[KeyShown, ...]:
    """The keys that matter now; Enter is the filled one."""
    return (
        *_row(state, step, vehicle),
        *_wide(step),
        _enter(state, step, vehicle, typed, rows, style),
    )


def _row(state: Hunt, step: Step, vehicle: Vehicle) -> tuple[KeyShown, ...]:
    keys = [KeyShown("undo", "/", tr("back"))]
    if step.optional and step.kind not in ("wait", "put_back"):
        keys.append(KeyShown("skip", "*", tr("skip")))
    if step.kind in ("prepare", "whole"):
        by_clamp = state.whole_by == "clamp_current"
        keys.append(KeyShown("by", "C", tr("meter in line") if by_clamp else tr("by clamp")))
    if step.kind == "pull":
        keys.append(KeyShown("no_pull", "P", tr("pull nothing")))
    if can_end(state, vehicle):
        keys.append(KeyShown("enough", "E", tr("enough")))
    if step.kind == "part":
        keys.append(KeyShown("to_fuses", "F", tr("to the fuses")))
    if state.scene.locked_at is not None and step.kind not in ("across", "part"):
        keys.append(KeyShown("lock", "L", tr("it woke up")))
    if state.done and step.kind in AT_A_PAUSE:
        keys.append(KeyShown("anew", "N", tr("begin anew")))
    return tuple(keys)


def can_end(state: Hunt, vehicle: Vehicle) -> bool:
    """Whether what was found may be taken as enough: something was, and no fuse is out."""
    return not state.scene.out and bool(hunt.answer(state, vehicle).found)


def _wide(step: Step) -> tuple[KeyShown, ...]:
    if step.kind == "night":
        return (
            KeyShown(OPENS_PAD, "0 – 9", tr("or type minutes, space, amperes"), place="wide"),
            KeyShown("paste", "Ctrl V", tr("paste the table"), place="wide"),
        )
    if step.quantity is None:
        return (KeyShown("leave", tr("Esc"), tr("leave"), tr("the hunt is kept"), "wide"),)
    return (KeyShown(OPENS_PAD, "0 – 9", tr("figures, comma or point"),
                     tr("m  v  a  unit    Esc  leave"), "wide"),)  # fmt: skip


def _enter(
    state: Hunt, step: Step, vehicle: Vehicle, typed: str, rows: Sequence[str], style: Style
) -> KeyShown:
    """What Enter does now, in two lines."""
    words, more = tr("store"), ""
    if typed:
        words = tr("store again") if state.doubts else tr("store")
        if step.kind == "night":
            words = tr("the next row")
    elif step.kind == "prepare":
        words = tr("locked now")
    elif step.kind == "wait":
        words = tr("it sleeps already")
    elif step.kind == "lid":
        words = tr("to the lid")
    elif step.kind == "put_back":
        words = style.show(_is_back(step, vehicle))
        if step.quantity is not None:
            words, more = tr("store"), tr("type the whole current")
    elif step.kind == "night":
        words, more = tr("end without it"), ""
        if rows:
            words, more = (
                tr("take the night in"),
                style.show(many("{n} row", "{n} rows", len(rows))),
            )
    else:
        more = tr("type what it shows")
    return KeyShown("enter", tr("Enter"), words, more, "main")


def _is_back(step: Step, vehicle: Vehicle) -> Text:
    names = [look_up.fuse_words(look_up.slot(vehicle, each)) for each in step.slots]
    if len(names) > 1:
        return say("{slots} are back in", slots=in_row(names, "and"))
    return say("{slot} is back in", slot=names[0])


def end_shown(state: Hunt, vehicle: Vehicle, known: Answer, now: datetime, style: Style) -> Shown:
    """The end of a hunt, but for what was found, which is drawn."""
    show = style.show
    return Shown(
        state=tr("WHAT DRAINS IT"),
        how=show(since_locked(state, vehicle, now)),
        progress=show(progress(state, vehicle)),
        done=1,
        total=1,
        question="",
        under="",
        said=show(known.headline),
        keys=end_keys(state, vehicle, known, style),
    )


def end_keys(state: Hunt, vehicle: Vehicle, known: Answer, style: Style) -> tuple[KeyShown, ...]:
    """The keys at the end: on behind a fuse, on with the hunt, or away."""
    behind = behind_next(state, vehicle, known)
    enter = KeyShown("enter", tr("Enter"), tr("to the plan"), tr("all of it is kept"), "main")
    if behind is not None and behind[0].slot is not None:
        slot = look_up.fuse_words(behind[0].slot)
        enter = KeyShown(
            "enter", tr("Enter"),
            style.show(say("go on behind {slot}", slot=slot)),
            style.show(say("unplug {part}, read again", part=behind[1])), "main",
        )  # fmt: skip
    return (
        enter,
        KeyShown("+", "+", tr("go on hunting"), tr("read the whole anew"), "wide"),
        KeyShown("undo", "/", tr("back"), tr("one step"), "wide"),
        KeyShown("leave", tr("Esc"), tr("leave"), tr("the hunt is kept"), "wide"),
    )


def behind_next(state: Hunt, vehicle: Vehicle, known: Answer) -> tuple[Share, str] | None:
    """The first found circuit behind which something was not unplugged yet, and that."""
    for share in known.found:
        slot = share.slot
        if slot is None or counts_critical(slot):
            continue
        tried = {done.part for done in state.done
                 if done.kind == "part" and done.slots == (slot.id,)}  # fmt: skip
        left = [each for each in hunt.parts_behind(vehicle, slot) if each not in tried]
        if left:
            return share, left[0]
    return None
