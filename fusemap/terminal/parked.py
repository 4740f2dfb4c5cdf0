"""`fusemap parked FILE`: how long the vehicle may stand, how sure that is, and what would help.

Hours count from locking; what is not reached within the forecast is `null`. `--temperature` and
`--start-charge` take the place of what the file says; `--draws` is how many vehicles that could be
this one are tried for the spread. Lists of three stand for low, typical and high charge acceptance.
hours_to_crank_limit, hours_to_empty, hours_to_freezing and end are those of half of the vehicles
tried (hours_to_crank_limit is the spread's middle_h); hours_without_accessories,
hours_without_not_placed, hours_to_harm, consumers, cut_offs, events and what_if are reckoned with
the usual figures.

JSON keys:
vehicle, system_v, hours_to_crank_limit, hours_without_accessories, hours_to_empty,
  hours_to_freezing, hours_to_harm, harm_soc, horizon_h, planned_h, starts_after_planned, start_soc,
  crank_soc, temperature_c, coldest_c, unexplained_a, maintainer_ah, assumed[], basis,
  locked_at, ends_at (null without a day of locking), verdict (holds, may_not_hold, fails,
  unchecked: no time planned, or nobody said which battery)
end: kind, hours, soc, words, as_planned (what a start would get after the time planned)
chance_over_time: hours[], share[]
learned (null without readings): readings, effective (share of the draws), widened, contradicts[],
  narrowed[] (key, unit, before[], after[]), words[]
in_doubt[] (what the answer is unsure of, most first)
  not_placed[] (names reckoned with), hours_without_not_placed
consumers[]: name, accessory, mean_a, charge_ah
cut_offs[]: name, trips, first_trip_h, chatters, off_at_end
start_need: by, soc, low_soc, high_soc (null: not even full), never, words, source
events[]: hours, kind, name, soc, volts_v
spread: draws, seed, low_h, middle_h, high_h, chance (of a start as planned), words, measure_next
  inputs[]: key, words, low, typical, high, share, lifts
  unanswered[] (the low end is made with its hard end): key, what, answer (what to do), low_h (the
    low end if it came out as is usual)
second_battery (null without one): start_soc, hours_to_empty, hours_to_harm, accessories[],
  assumed[]
week (null without drives): settles[], settled_soc[], lowest_soc[], hold_min_a_day[], stored_ah,
  taken_ah, driven_min, spare_a, starts, words, assumed[]
what_if[] (best first): key, title, hours_to_crank_limit, gained_h, works_h (null without a new
  cut-off: how long that lets its accessory work), words, gain
"""

import argparse
from collections.abc import Iterable, Iterator, Sequence
from math import inf, isfinite
from typing import Final

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.band import DRAWS, ParkedBand, parked_band
from fusemap.assess.parked.figures import Middle
from fusemap.assess.parked.start_words import plan_words
from fusemap.assess.parked.weather import coldest_c, typical_c
from fusemap.assess.parked.week import checked_week
from fusemap.errors import InputProblem
from fusemap.fixes.what_if import what_ifs
from fusemap.terminal.command import (
    Answer,
    Data,
    Indented,
    Line,
    Parsers,
    Table,
    add_command,
    add_vehicle,
    amount,
    basis_lines,
    check_share,
    part_of_one,
    plain,
    side_by_side,
    temperature,
    vehicle_of,
)
from fusemap.terminal.parked_end import end_data
from fusemap.terminal.report_parts import unanswered_data
from fusemap.terminal.report_words import title
from fusemap.text import Argument, Duration, Text, in_row, say, say_in, share
from fusemap.vehicle import Vehicle, edits

MOST_DRAWS: Final = 100_000


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = add_command(
        commands,
        "parked",
        "how long the vehicle may stand",
        "How long the vehicle may stand, how sure that is, and what would help.",
        (__doc__ or "").partition("\n\n")[2],
    )
    add_vehicle(parser)
    parser.add_argument("--draws", metavar="N", type=int, default=DRAWS,
                        help=f"vehicles tried for the spread, usually {DRAWS}")  # fmt: skip
    parser.add_argument("--temperature", metavar="TEMPERATURE", type=temperature,
                        help="at the battery, as -5 or 23F")  # fmt: skip
    parser.add_argument("--start-charge", metavar="PERCENT", type=part_of_one,
                        help="charge of the battery when locked [%%]")  # fmt: skip


def answer(asked: argparse.Namespace) -> Answer:
    """The forecast. Raises FileProblem for a vehicle that cannot be read, InputProblem for options
    that cannot be."""
    if not 1 <= asked.draws <= MOST_DRAWS:
        raise InputProblem(
            say("{n} vehicles cannot be tried", n=asked.draws),
            "--draws",
            say("{least} to {most}", least=1, most=MOST_DRAWS),
        )
    check_share(asked.start_charge, "--start-charge")
    a = assess(asked_for(vehicle_of(asked.file), asked.temperature, asked.start_charge))
    data = parked_data(a, asked.draws)
    return Answer(0, data, tuple(parked_lines(data)))


def asked_for(vehicle: Vehicle, temperature_c: float | None, start_soc: float | None) -> Vehicle:
    """The vehicle at another temperature [°C] or start charge [-], where one is given."""
    if temperature_c is not None:
        vehicle = edits.change_parking(
            vehicle, temperature_c=temperature_c, low_temperature_c=None, high_temperature_c=None
        )
    if start_soc is not None:
        vehicle = edits.change_battery(vehicle, start_soc=start_soc, low_soc=None, high_soc=None)
    return vehicle


# --- as data --------------------------------------------------------------------------------------


def parked_data(a: Assessment, draws: int) -> Data:
    """Everything there is to say, with stable keys."""
    parked, band = a.parked, parked_band(a, draws=draws)
    return {
        **_forecast_data(a, band.middle),
        "hours_to_harm": plain(parked.hours_to_harm),
        "harm_soc": plain(parked.harm_soc),
        "unexplained_a": plain(parked.remainder_a),
        "maintainer_ah": plain(parked.given_ah),
        "start_need": _need_data(a),
        **end_data(a, band),
        "events": [
            {
                "hours": plain(event.hours),
                "kind": event.kind.value,
                "name": event.name,
                "soc": plain(event.soc),
                "volts_v": plain(event.volts),
            }
            for event in parked.forecast.events
        ],
        "spread": _spread_data(band, a.vehicle.parking.stand_days * 24),
        "second_battery": _second_data(a),
        "week": _week_data(a),
        "what_if": [
            {
                "key": each.key,
                "title": each.title,
                "hours_to_crank_limit": plain(each.hours),
                "gained_h": plain(each.gained_h),
                "works_h": None if each.work_h is None else plain(each.work_h),
                "words": each.words,
                "gain": each.gain_words,
            }
            for each in what_ifs(a)
        ],
    }


def _forecast_data(a: Assessment, middle: Middle) -> Data:
    """How long the vehicle may stand, and who draws by the usual figures."""
    parked, parking = a.parked, a.vehicle.parking
    ahead = parked.forecast
    planned_h = parking.stand_days * 24
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "hours_to_crank_limit": plain(middle.hours),
        "hours_without_accessories": plain(parked.hours_without),
        "hours_to_empty": plain(middle.empty_h),
        "hours_to_freezing": plain(middle.freezes_h),
        "horizon_h": plain(ahead.horizon_h),
        "planned_h": plain(planned_h),
        "starts_after_planned": bool(middle.hours >= planned_h),
        "start_soc": plain(parked.start_soc),
        "crank_soc": plain(parked.crank_soc),
        "temperature_c": plain(typical_c(a)),
        "coldest_c": coldest_c(a),
        "consumers": [
            {
                "name": consumer.name,
                "accessory": consumer.accessory,
                "mean_a": plain(consumer.mean_a),
                "charge_ah": plain(consumer.charge_ah),
            }
            for consumer in parked.consumers
        ],
        "cut_offs": [
            {
                "name": result.name,
                "trips": int(result.trips),
                "first_trip_h": plain(result.first_trip_h),
                "chatters": bool(result.chatter),
                "off_at_end": bool(result.off_at_end),
            }
            for result in ahead.cut_offs
        ],
        "not_placed": list(parked.unplaced),
        "hours_without_not_placed": plain(parked.hours_placed),
        "assumed": list(parked.assumed),
        "basis": parked.basis,
    }


def _need_data(a: Assessment) -> Data:
    need = a.parked.need
    return {
        "by": need.way,
        "soc": plain(need.soc),
        "low_soc": plain(need.low),
        "high_soc": plain(need.high),
        "never": need.never,
        "words": need.words,
        "source": need.source,
    }


def _spread_data(band: ParkedBand, planned_h: float) -> Data:
    matters = {each.name: each for each in band.shares}
    rows = []
    for each in band.inputs:
        matter = matters.get(each.key)
        low, typical, high = (plain(value) for value in each.range)
        rows.append(
            {
                "key": each.key,
                "words": each.words,
                "low": low,
                "typical": typical,
                "high": high,
                "share": 0.0 if matter is None else plain(matter.share),
                "lifts": None if matter is None else matter.lifts,
            }
        )
    return {
        "draws": band.draws,
        "seed": band.seed,
        "low_h": plain(band.low_h),
        "middle_h": plain(band.middle_h),
        "high_h": plain(band.high_h),
        "chance": plain(band.chance(planned_h)),
        "words": _low_to_high(band),
        "measure_next": band.measure_next,
        "inputs": rows,
        "unanswered": unanswered_data(band),
    }


def _low_to_high(band: ParkedBand) -> Text:
    if not isfinite(band.low_h):
        return say("longer than computed")
    return say(
        "low {low}, typical {typical}, high {high}",
        low=Duration(band.low_h),
        typical=Duration(band.middle_h),
        high=Duration(band.high_h),
    )


def _second_data(a: Assessment) -> Data | None:
    second = a.parked.second
    if second is None:
        return None
    return {
        "start_soc": plain(second.start_soc),
        "hours_to_empty": plain(second.hours_to_empty),
        "hours_to_harm": plain(second.hours_to_harm),
        "accessories": list(second.accessories),
        "assumed": list(second.assumed),
    }


def _week_data(a: Assessment) -> Data | None:
    week, words = checked_week(a)
    if week is None:
        return {"words": words} if words else None
    return {
        "settles": list(week.settles),
        "settled_soc": [plain(value) for value in week.settled_soc],
        "lowest_soc": [plain(value) for value in week.lowest_soc],
        "hold_min_a_day": [plain(value) for value in week.hold_min],
        "stored_ah": plain(week.stored_ah),
        "taken_ah": plain(week.taken_ah),
        "driven_min": plain(week.minutes),
        "spare_a": plain(week.spare_a),
        "starts": week.starts,
        "words": words,
        "assumed": list(week.assumed),
    }


# --- to read --------------------------------------------------------------------------------------


def parked_lines(data: Data) -> Iterator[Line]:
    """The forecast in words and tables."""
    yield from (title(data), "", _verdict(data), "", _figures(data), "")
    yield from (*_sure(data), *_more(data), *_learned(data), *_helps(data["what_if"]), "")
    yield from (say("WHO DRAWS, BY THE USUAL FIGURES"), _consumers(data["consumers"]))
    if data["cut_offs"]:
        yield from (
            "",
            say("CUT-OFFS, BY THE USUAL FIGURES"),
            *(_cut_off(each) for each in data["cut_offs"]),
        )
    if data["assumed"]:
        yield from ("", say("ASSUMED"), *_indented(data["assumed"]))
    yield from ("", say("HOW THIS CAME ABOUT"), *_indented(basis_lines(data["basis"])))


def _indented(lines: Iterable[Argument]) -> Iterator[Line]:
    yield from (Indented(line) for line in lines)


def _hours(value: float | None) -> Duration:
    """A time of the data; one that is not reached is longer than computed."""
    return Duration(inf if value is None else value)


def _verdict(data: Data) -> Text:
    return plan_words(data["verdict"], data["planned_h"], data["spread"]["chance"])


def _figures(data: Data) -> Table:
    temperatures = in_row((amount(data["temperature_c"], "°C"), amount(data["coldest_c"], "°C")))
    rows: tuple[tuple[Text, Argument], ...] = (
        (say("May stand until too empty to start"), _hours(data["hours_to_crank_limit"])),
        (
            say("Without accessories, by the usual figures"),
            _hours(data["hours_without_accessories"]),
        ),
        *_without_the_shelf(data),
        (say("Until empty"), _hours(data["hours_to_empty"])),
        (say("Until the battery can freeze"), _hours(data["hours_to_freezing"])),
        (say("Charged when locked"), share(data["start_soc"])),
        (say("Needed to start"), share(data["crank_soc"])),
        (say("Temperature, and coldest start"), temperatures),
    )
    return Table(rows, "<>")


def _without_the_shelf(data: Data) -> Iterator[tuple[Text, Argument]]:
    if data["not_placed"]:
        words = say("Without {names}, not placed yet, by the usual figures",
                    names=in_row(data["not_placed"], "and"))  # fmt: skip
        yield words, _hours(data["hours_without_not_placed"])


def _sure(data: Data) -> Iterator[Line]:
    spread, need = data["spread"], data["start_need"]
    yield say(
        "Of twenty vehicles like this one, eighteen start for: {spread}.", spread=spread["words"]
    )
    yield from (data["end"]["words"], data["end"]["as_planned"])
    yield spread["measure_next"]
    yield say("A start needs {need}.", need=need["words"])
    if data["unexplained_a"]:
        rest = amount(data["unexplained_a"], "A")
        yield say("No circuit explains {current} of the rest current.", current=rest)
    if data["hours_to_harm"] is not None:
        yield say(
            "Below {charge}, where the battery takes harm, by the usual figures after {time}.",
            charge=share(data["harm_soc"]),
            time=_hours(data["hours_to_harm"]),
        )


def _learned(data: Data) -> Iterator[Line]:
    if data["learned"] is not None:
        yield from ("", say("WHAT STANDINGS SHOWED"), *_indented(data["learned"]["words"]))
    if data["in_doubt"]:
        yield from ("", say("WHAT REMAINS IN DOUBT"), *_indented(data["in_doubt"]))


def _more(data: Data) -> Iterator[Line]:
    second, week = data["second_battery"], data["week"]
    if second is not None:
        yield say("Second battery: empty after {time}.", time=_hours(second["hours_to_empty"]))
    if week is not None:
        yield week["words"]


def _helps(changes: Sequence[Data]) -> Iterator[Line]:
    if changes:
        yield from ("", say("WHAT WOULD HELP, BY THE USUAL FIGURES"))
    for each in changes:
        yield Indented(side_by_side(each["words"], each["gain"], between=": "))


def _consumers(consumers: Sequence[Data]) -> Table:
    head = (
        say_in("column", "consumer"),
        say_in("column", "mean"),
        say_in("column", "in that time"),
    )
    rows = [
        (each["name"], amount(each["mean_a"], "A"), amount(each["charge_ah"], "Ah"))
        for each in consumers
    ]
    return Table((head, *rows), "<>>")


def _cut_off(cut_off: Data) -> Line:
    name, first_h = cut_off["name"], cut_off["first_trip_h"]
    if first_h is None:
        return Indented(say("{name}: never trips", name=name))
    time = Duration(first_h)
    if cut_off["chatters"]:
        return Indented(
            say("{name}: trips after {time}, and comes on again by itself", name=name, time=time)
        )
    return Indented(say("{name}: trips after {time}", name=name, time=time))
