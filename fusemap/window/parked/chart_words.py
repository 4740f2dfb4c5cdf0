"""The words in the chart of the parked battery: names at line ends, the answer, one moment."""

from math import isfinite

from fusemap.assess.parked.figures import Span
from fusemap.assess.parked.start_words import OF_TWENTY as OF
from fusemap.assess.parked.start_words import of_twenty
from fusemap.text import NARROW_SPACE, Amount, Argument, Duration, Style, many, say, share
from fusemap.window.parked.chart_figures import ChartFigures, Course
from fusemap.window.parked.time_axis import day_of, moment


def percent(value: float) -> Amount:
    """Per cent, as whole ones."""
    return share(value / 100)


def between(ends: tuple[float, float]) -> str:
    """Two ends, in whole per cent: “49–74”; the sign stands elsewhere."""
    return "–".join(str(round(each)) for each in ends)


def need_lines(figures: ChartFigures, style: Style) -> tuple[str, ...]:
    """What a start needs, at the end of its line."""
    low, middle, high = figures.need
    charge = say(
        "{charge} at {temperature}",
        charge=percent(middle),
        temperature=Amount(figures.coldest_c, "°C"),
    )
    doubt = f"{between((low, high))}{NARROW_SPACE}%"
    return style.show(say("needed to start")), style.show(charge), doubt


def end_lines(course: Course, hour: float, style: Style) -> tuple[str, ...]:
    """A curve's name, and the charge at its end."""
    return style.show(course.name), charge_words(course, hour, style)


def charge_words(course: Course, hour: float, style: Style) -> str:
    """The charge at a moment: “64 %, 49–74”."""
    charge, ends = style.show(percent(course.charge(hour))), course.between(hour)
    return charge if ends is None else f"{charge}, {between(ends)}"


def span_words(ends: tuple[float, float, float], style: Style) -> str:
    """How long it starts for, both ends, on one line."""
    low, _, high = ends
    if not isfinite(low):
        return style.show(say("beyond this chart"))
    if not isfinite(high):
        return style.show(say("{time} or longer", time=Duration(low)))
    return style.show(Span(low, high))


def answer_lines(course: Course, style: Style) -> tuple[str, ...]:
    """The answer beside its bar: both ends, and what the bar is."""
    assert course.ends_h is not None
    _, middle, _ = course.ends_h
    typical: Argument = course.name
    if isfinite(middle):
        typical = say("{name}, typically {time}", name=course.name, time=Duration(middle))
    return span_words(course.ends_h, style), style.show(typical)


def end_of_bar(
    course: Course, figures: ChartFigures, hours: float, style: Style
) -> tuple[str, ...]:
    """An end of the answer, or its middle with the day."""
    time = style.show(Duration(hours))
    if course.ends_h is None or hours != course.ends_h[1]:
        return (time,)
    return time, day_of(figures.start, hours, style)


def flag_words(figures: ChartFigures, style: Style) -> str:
    """The end of the plan: the day one is back."""
    day = day_of(figures.start, figures.plan_h, style)
    return style.show(say("back on {day}", day=day))


def chance_words(figures: ChartFigures, hour: float, style: Style) -> str:
    """How many of twenty such vehicles start at a moment, at least.

    What nobody answered counts at its hard end; so none may be counted where one may start.
    """
    n, ends_h = of_twenty(figures.chance(hour)), figures.shown.ends_h
    if n == OF:
        return style.show(say("{all} of {all} start", all=OF))
    if n > 0:
        least = many("at least {n} of {all} starts", "at least {n} of {all} start", n, all=OF)
        return style.show(least)
    if ends_h is not None and hour <= ends_h[2]:
        return style.show(say("perhaps none of {all} starts", all=OF))
    return style.show(say("none of {all} starts", all=OF))


def moment_words(figures: ChartFigures, hour: float, style: Style) -> str:
    """A moment: how long after locking, with day and time."""
    when = moment(figures.start, hour, style)
    return style.show(say("after {time}: {moment}", time=Duration(hour), moment=when))


def read_lines(figures: ChartFigures, hour: float, style: Style) -> tuple[str, ...]:
    """What is to be read at a moment, in short lines, for the eye and for the ear."""
    lines = [moment_words(figures, hour, style)]
    for course in reversed(figures.courses):
        lines.append(f"{style.show(course.name)}: {charge_words(course, hour, style)}")
    lines.append(chance_words(figures, hour, style))
    return tuple(lines)
