"""`fusemap millivolts`: the current through a fuse from the millivolts across it, with its band.

JSON keys: current_a, low_a, high_a, floor_a (the smallest current the meter can tell), below_floor,
above_rating, refused, cold_mohm, hot_to_cold, source.
"""

import argparse
from collections.abc import Iterator

from fusemap import tables
from fusemap.assess import facts
from fusemap.electrics.meter import read_fuse
from fusemap.errors import InputProblem
from fusemap.terminal.command import Answer, Data, Line, Parsers, add_command, amount
from fusemap.text import Amount, Text, given, in_row, say
from fusemap.vehicle import Fuse

BOUNDS = {
    "mv": (0.0, 60_000.0, "mV"),
    "meter_counts": (0.0, 10_000.0, ""),
    "resolution": (1e-6, 1000.0, "mV"),
    "resistance": (1e-3, 10_000.0, "mΩ"),
}
"""What makes sense of each figure, whatever its sign, and its unit."""


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = add_command(
        commands,
        "millivolts",
        "current through a fuse from the millivolts across it",
        "The current through a fuse from the millivolts across it.",
        __doc__ or "",
    )
    parser.add_argument("--family", choices=tuple(tables.fuse_families()), required=True)
    parser.add_argument("--rating", type=float, required=True, metavar="A")
    parser.add_argument("--mv", type=float, required=True, metavar="mV")
    parser.add_argument(
        "--meter-counts", type=int, default=3, metavar="N", help="counts the meter may be off"
    )
    parser.add_argument(
        "--resolution", type=float, default=0.1, metavar="mV", help="one count on its range"
    )
    parser.add_argument(
        "--resistance", type=float, default=None, metavar="mΩ", help="measured on this very fuse"
    )


def answer(asked: argparse.Namespace) -> Answer:
    """Read it. Raises InputProblem for a rating that does not exist or has no resistance."""
    _check_bounds(asked)
    family = tables.fuse_family(asked.family)
    name, rating = Text(family.name), given(asked.rating, "A")
    if asked.rating not in family.ratings_a:
        raise InputProblem(
            say("{rating} is not a rating of the {family} family", rating=rating, family=name),
            "--rating",
            in_row([given(each, "A") for each in family.ratings_a]),
        )
    fuse = Fuse(family=asked.family, rating=asked.rating, resistance_mohm=asked.resistance)
    known_ohm = facts.fuse_resistance(fuse)
    if known_ohm is None:
        raise InputProblem(
            say(
                "no resistance of the {rating} {family} fuse is published",
                rating=rating,
                family=name,
            ),
            "--resistance",
            say("send a known current through it, and give millivolts ÷ amperes"),
        )
    own = asked.resistance is not None
    reading = read_fuse(
        asked.mv,
        known_ohm.cold_mohm,
        asked.rating,
        hot_to_cold=known_ohm.hot_to_cold,
        spread=0.0 if own else tables.rule_default("fuse_spread").value,
        counts=asked.meter_counts,
        resolution_mv=asked.resolution,
    )
    data = {
        "current_a": float(reading.current_a),
        "low_a": float(reading.low_a),
        "high_a": float(reading.high_a),
        "floor_a": float(reading.floor_a),
        "below_floor": bool(reading.below_floor),
        "above_rating": bool(reading.above_rating),
        "refused": bool(reading.refused),
        "cold_mohm": known_ohm.cold_mohm,
        "hot_to_cold": known_ohm.hot_to_cold,
        "source": known_ohm.source,
    }
    return Answer(1 if data["refused"] else 0, data, tuple(_lines(data)))


def _check_bounds(asked: argparse.Namespace) -> None:
    for name, (least, most, unit) in BOUNDS.items():
        value = getattr(asked, name)
        if value is not None and not least <= abs(value) <= most:
            raise InputProblem(
                say("{value} is nothing that can be read across a fuse", value=given(value, unit)),
                f"--{name.replace('_', '-')}",
                say("{least} to {most}", least=given(least, unit), most=given(most, unit)),
            )


def _lines(data: Data) -> Iterator[Line]:
    low, high = amount(data["low_a"], "A"), amount(data["high_a"], "A")
    if data["refused"]:
        yield say("That cannot be: check the range of the meter, and the rating of the fuse.")
    elif data["below_floor"]:
        yield say("below {floor}: less than this meter can tell", floor=high)
    else:
        current = amount(data["current_a"], "A")
        yield say("{current} ({low} to {high})", current=current, low=low, high=high)
    if data["above_rating"]:
        yield say("more than its rating: this cannot last")
    cold = given(data["cold_mohm"], "mΩ")
    yield say("cold resistance {resistance}: {source}", resistance=cold, source=data["source"])
    hot = Amount(data["hot_to_cold"], "×")
    yield say("{multiple} as much hot, at full rating; steady state", multiple=hot)
