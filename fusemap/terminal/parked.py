"""`fusemap parked FILE`: how long the vehicle may stand, how sure that is, and what would help.

Hours count from locking; what is not reached within the forecast is `null`. `--temperature` and
`--start-charge` take the place of what the file says; `--draws` is how many vehicles that could be
this one are tried for the spread. Lists of three stand for low, typical and high charge acceptance.

JSON keys:
vehicle, system_v, hours_to_crank_limit, hours_without_accessories, hours_to_empty,
  hours_to_freezing, hours_to_harm, harm_soc, horizon_h, planned_h, starts_after_planned, start_soc,
  crank_soc, temperature_c, coldest_c, unexplained_a, maintainer_ah, assumed[], basis
consumers[]: name, accessory, mean_a, charge_ah
cut_offs[]: name, trips, first_trip_h, chatters, off_at_end
start_need: by, soc, by_rule_soc, by_cold_cranking_soc, words, source
events[]: hours, kind, name, soc, volts_v
spread: draws, seed, low_h, middle_h, high_h, words, measure_next
  inputs[]: key, words, low, typical, high, share, lifts
second_battery (null without one): start_soc, hours_to_empty, hours_to_harm, accessories[],
  assumed[]
week (null without drives): settles[], settled_soc[], lowest_soc[], hold_min_a_day[], stored_ah,
  taken_ah, driven_min, spare_a, starts, words, assumed[]
what_if[] (best first): key, title, hours_to_crank_limit, gained_h, works_h (null without a new
  cut-off: how long that lets its accessory work)
"""

import argparse
from collections.abc import Iterator
from math import inf, isfinite
from pathlib import Path
from typing import Any

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.band import DRAWS, ParkedBand, parked_band
from fusemap.assess.parked.week import checked_week
from fusemap.files import demos, read_vehicle
from fusemap.fixes.what_if import what_ifs
from fusemap.terminal import report_text
from fusemap.terminal.report_data import Data, parked_data, plain
from fusemap.units import duration, percent, quantity
from fusemap.vehicle import Vehicle, edits

DEMO = "demo:"
MOST_DRAWS = 100_000


def add(commands: Any) -> None:
    """Tell the parser this command's arguments."""
    parser = commands.add_parser(
        "parked",
        help="how long the vehicle may stand",
        description="How long the vehicle may stand, how sure that is, and what would help.",
        epilog=__doc__.partition("\n\n")[2],
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    known = ", ".join(f"{DEMO}{key}" for key, _ in demos.demo_names())
    parser.add_argument("file", metavar="FILE", help=f"a vehicle file, or one of {known}")
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")
    parser.add_argument("--draws", metavar="N", type=_draws, default=DRAWS,
                        help=f"vehicles tried for the spread, usually {DRAWS}")  # fmt: skip
    parser.add_argument("--temperature", metavar="C", type=float, help="at the battery [°C]")
    parser.add_argument("--start-charge", metavar="PERCENT", type=_percent,
                        help="charge of the battery when locked [%%]")  # fmt: skip


def _draws(text: str) -> int:
    number = int(text)
    if not 1 <= number <= MOST_DRAWS:
        raise argparse.ArgumentTypeError(f"{number} is not between 1 and {MOST_DRAWS}")
    return number


def _percent(text: str) -> float:
    number = float(text.rstrip("%"))
    if not 0 <= number <= 100:
        raise argparse.ArgumentTypeError(f"{text} is not between 0 and 100")
    return number


def answer(asked: argparse.Namespace) -> tuple[int, Data, str]:
    """The forecast. Raises FileProblem for a vehicle that cannot be read."""
    a = assess(asked_for(_read(asked.file), asked.temperature, asked.start_charge))
    data = whole_data(a, asked.draws)
    return 0, data, text(data)


def _read(name: str) -> Vehicle:
    if name.startswith(DEMO):
        return demos.read_demo(name.removeprefix(DEMO))
    return read_vehicle(Path(name))


def asked_for(vehicle: Vehicle, temperature_c: float | None, charge: float | None) -> Vehicle:
    """The vehicle at another temperature [°C] or start charge [%], where one is given."""
    if temperature_c is not None:
        vehicle = edits.change_parking(
            vehicle, temperature_c=temperature_c, low_temperature_c=None, high_temperature_c=None
        )
    if charge is not None:
        vehicle = edits.change_battery(vehicle, start_soc=charge / 100, low_soc=None, high_soc=None)
    return vehicle


def whole_data(a: Assessment, draws: int) -> Data:
    """Everything there is to say, as plain data with stable keys."""
    parked = a.parked
    return {
        **parked_data(a),
        "hours_to_harm": plain(parked.hours_to_harm),
        "harm_soc": plain(parked.harm_soc),
        "unexplained_a": plain(parked.remainder_a),
        "maintainer_ah": plain(parked.given_ah),
        "start_need": _need(a),
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
        "spread": _spread(parked_band(a, draws=draws)),
        "second_battery": _second(a),
        "week": _week(a),
        "what_if": [
            {
                "key": each.key,
                "title": str(each.title),
                "hours_to_crank_limit": plain(each.hours),
                "gained_h": plain(each.gained_h),
                "works_h": None if each.work_h is None else plain(each.work_h),
            }
            for each in what_ifs(a)
        ],
    }


def _need(a: Assessment) -> Data:
    need = a.parked.need
    by_cca = need.by_cold_cranking
    return {
        "by": a.vehicle.parking.starts_by,
        "soc": plain(need.soc),
        "by_rule_soc": plain(need.by_rule),
        "by_cold_cranking_soc": None if by_cca is None else plain(by_cca),
        "words": str(need.words),
        "source": str(need.source),
    }


def _spread(band: ParkedBand) -> Data:
    shares = {each.name: each for each in band.shares}
    rows = []
    for each in band.inputs:
        share = shares.get(each.key)
        low, typical, high = (plain(value) for value in each.range)
        rows.append(
            {
                "key": each.key,
                "words": str(each.words),
                "low": low,
                "typical": typical,
                "high": high,
                "share": 0.0 if share is None else plain(share.share),
                "lifts": None if share is None else share.lifts,
            }
        )
    return {
        "draws": band.draws,
        "seed": band.seed,
        "low_h": plain(band.low_h),
        "middle_h": plain(band.middle_h),
        "high_h": plain(band.high_h),
        "words": _low_to_high(band),
        "measure_next": str(band.measure_next),
        "inputs": rows,
    }


def _low_to_high(band: ParkedBand) -> str:
    if not isfinite(band.low_h):
        return "longer than computed"
    low, middle = duration(band.low_h), duration(band.middle_h)
    high = f"{duration(band.high_h)}" if isfinite(band.high_h) else "longer than computed"
    return f"low {low}, typical {middle}, high {high}"


def _second(a: Assessment) -> Data | None:
    second = a.parked.second
    if second is None:
        return None
    return {
        "start_soc": plain(second.start_soc),
        "hours_to_empty": plain(second.hours_to_empty),
        "hours_to_harm": plain(second.hours_to_harm),
        "accessories": list(second.accessories),
        "assumed": [str(each) for each in second.assumed],
    }


def _week(a: Assessment) -> Data | None:
    week, words = checked_week(a)
    if week is None:
        return {"words": str(words)} if words else None
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
        "words": str(words),
        "assumed": [str(each) for each in week.assumed],
    }


def text(data: Data) -> str:
    """The same in words and tables."""
    return report_text.parked(data, [*_sure(data), *_more(data), *_helps(data)])


def _sure(data: Data) -> Iterator[str]:
    spread = data["spread"]
    yield f"Of twenty vehicles like this one, eighteen start for: {spread['words']}."
    yield spread["measure_next"]
    yield f"A start needs {data['start_need']['words']}."
    if data["unexplained_a"]:
        yield f"No circuit explains {quantity(data['unexplained_a'], 'A')} of the rest current."
    if data["hours_to_harm"] is not None:
        below, after = percent(data["harm_soc"]), duration(data["hours_to_harm"])
        yield f"Below {below}, where the battery takes harm, after {after}."


def _more(data: Data) -> Iterator[str]:
    second, week = data["second_battery"], data["week"]
    if second is not None:
        hours = second["hours_to_empty"]
        yield f"Second battery: empty after {duration(inf if hours is None else hours)}."
    if week is not None:
        yield week["words"]


def _helps(data: Data) -> Iterator[str]:
    if data["what_if"]:
        yield from ("", "WHAT WOULD HELP")
    for each in data["what_if"]:
        endless = "at least " if each["hours_to_crank_limit"] is None else ""
        works = "" if each["works_h"] is None else f", and it works for {duration(each['works_h'])}"
        yield f"  {each['title']}{works}: {endless}{duration(each['gained_h'])} more"
