"""What is said to a step of the check, and the keys that stand in the picture beside it."""

from PySide6.QtCore import QCoreApplication

from fusemap.probing import plan, polarity_check, taking
from fusemap.probing.check_step import CheckStep
from fusemap.probing.loads import CHARGER_WARNING
from fusemap.probing.taking import Taking
from fusemap.text import Style, Text, say
from fusemap.vehicle import Vehicle
from fusemap.window.beside import pad_keys
from fusemap.window.beside.keys_picture import OPENS_PAD
from fusemap.window.beside.shown import KeyShown, Pad, Tone
from fusemap.window.style.theme import Theme

translate = QCoreApplication.translate


def yes_no_letters() -> dict[str, str]:
    """First letters of yes and no in the language that is spoken, and in English, as signs."""
    yes, no = translate("Check", "yes"), translate("Check", "no")
    return {"y": "+", "n": "-"} | {no[:1].lower(): "-", yes[:1].lower(): "+"}


def state_words(style: Style, step: CheckStep) -> str:
    """In which state a step is done; what is done before it is locked is done with the key off."""
    if step.state == "awake":
        return style.show(say("KEY OFF"))
    return style.show(plan.title(plan.Round(state=step.state)))


def typed_words(step: CheckStep, typed: str, caret: str = "") -> str:
    """What is being typed, with its unit once: the one that was typed behind it, else the step's.

    >>> step = CheckStep("volts", Text(""), Text(""), "volts", "V", "awake", "tap", "", None)
    >>> typed_words(step, "-12.4"), typed_words(step, "-300mv"), typed_words(step, "9m", "▁")
    ('−12.4 V', '−300 mV', '9 m▁')
    """
    figure = typed.rstrip("mva")
    unit = typed[len(figure) :].replace("v", "V").replace("a", "A")
    figure = figure.replace("-", "−", 1) if figure.startswith("-") else figure
    if unit:
        return f"{figure} {unit}{caret}"
    return f"{figure}{caret} {step.unit}".rstrip()


def said_of(
    theme: Theme, vehicle: Vehicle, step: CheckStep, taken: Taking | None, problem: str
) -> tuple[str, Tone]:
    """Why something was not stored; else causes where it differs; else what is to be minded."""
    show = theme.style.show
    if problem:
        return problem, "caution"
    if step.causes:
        lines = [
            f"{number}  {show(cause.capital())}"
            for number, cause in enumerate(step.causes, start=1)
        ]
        if taken is not None:
            lines.append(show(taking.afterwards(vehicle, taken, step)))
        return "\n".join(lines), "text"
    if step.key == "rest":
        return show(CHARGER_WARNING), "text"
    if step.signed and step.verdict == "open":
        meant = (polarity_check.WHAT_IT_SAYS, polarity_check.CONNECT)
        return "\n".join(map(show, meant)), "text"
    return "", "text"


def check_keys(
    style: Style, step: CheckStep, taken: Taking | None, typed: str
) -> tuple[KeyShown, ...]:
    """The keys of a step; Enter is the filled one and goes on."""
    enter = translate("Check", "Enter")
    back = KeyShown("/", "/", translate("Check", "back"), "", "wide")
    every = KeyShown("end", translate("Check", "End"), translate("Check", "all, signature"), "",
                     "wide")  # fmt: skip
    asked = _asked_for(step)
    if typed:
        # each where it was before: what was aimed at is not another key a moment later
        store = KeyShown("enter", enter, translate("Check", "store"), "", "main")
        return (*asked, store, back, every)
    if step.verdict == "differs":
        again = KeyShown("/", "/", translate("Check", "read it again"), "", "wide")
        if step.signed:  # nothing is connected before it is right: Enter asks once more
            first = KeyShown("enter", enter, again.words, "", "main")
            leave = KeyShown("*", "*", translate("Check", "go on as it is"), "", "wide")
            return (first, leave, every)
        goes = KeyShown("enter", enter, translate("Check", "go on as it is"), "", "main")
        if taken is None:
            return (goes, again, every)
        anew = translate("Check", "plan and days anew")
        use = KeyShown("*", "*", style.show(taken.words), anew, "wide")
        return (use, goes, again)
    if step.verdict == "open":
        answer = KeyShown("enter", enter, translate("Check", "pass over"),
                          translate("Check", "nothing typed"), "main")  # fmt: skip
        return (*asked, answer, back, every)
    onwards = KeyShown("enter", enter, translate("Check", "go on"), "", "main")
    return (onwards, back, every)


def back_key(style: Style, words: Text | None) -> tuple[KeyShown, ...]:
    """The key that says that what was taken out is back; none where nothing is out."""
    return () if words is None else (KeyShown("in", "I", style.show(words)),)


def pad_of(style: Style, step: CheckStep, typed: str) -> Pad | None:
    """The keys to type a figure by mouse or touch; `None` where none is asked for now."""
    if not step.unit or (step.verdict == "differs" and not typed):
        return None
    units = ("mA", "A") if step.unit == "A" else ("mV", "V")
    return pad_keys.of_figure(style, typed, units)


def _asked_for(step: CheckStep) -> tuple[KeyShown, ...]:
    """The keys of the answer itself: figures, or yes and no."""
    if step.unit:
        words = translate("Check", "figures, comma or point")
        return (KeyShown(OPENS_PAD, "0 – 9", words, "", "wide"),)
    yes = KeyShown("+", "+", translate("Check", "yes"), "", "wide")
    no = KeyShown("-", "−", translate("Check", "no"), "", "wide")
    return (yes, no)
