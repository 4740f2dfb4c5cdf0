"""`fusemap millivolts`: the current through a fuse from the millivolts across it, with its band.

JSON keys: current_a, low_a, high_a, floor_a (the smallest current the meter can tell), below_floor,
above_rating, refused, cold_mohm, hot_to_cold, source.
"""

import argparse
from typing import Any

from fusemap import tables
from fusemap.assess import facts
from fusemap.electrics.millivolts import read_fuse
from fusemap.errors import InputProblem
from fusemap.units import quantity
from fusemap.vehicle import Fuse

BOUNDS = {
    "mv": (0.0, 60_000.0),
    "meter_counts": (0, 10_000),
    "resolution": (1e-6, 1000.0),
    "resistance": (1e-3, 10_000.0),
}
"""What makes sense of each figure, whatever its sign: mV, counts, mV, mΩ."""


def add(commands: Any) -> None:
    """Tell the parser this command's arguments."""
    parser = commands.add_parser(
        "millivolts",
        help="current through a fuse from the millivolts across it",
        description="The current through a fuse from the millivolts across it.",
        epilog=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
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
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")


def answer(asked: argparse.Namespace) -> tuple[int, dict[str, Any], str]:
    """Read it. Raises InputProblem for a rating that does not exist or has no resistance."""
    for name, (least, most) in BOUNDS.items():
        value = getattr(asked, name)
        if value is not None and not least <= abs(value) <= most:
            raise InputProblem(
                f"{value:g} is nothing that can be read across a fuse",
                f"--{name.replace('_', '-')}",
                f"{least:g} to {most:g}",
            )
    family = tables.fuse_family(asked.family)
    if asked.rating not in family.ratings_a:
        known = ", ".join(f"{rating:g}" for rating in family.ratings_a)
        raise InputProblem(
            f"{asked.rating:g} is not a rating of the {family.name} family", "--rating", known
        )
    fuse = Fuse(family=asked.family, rating=asked.rating, resistance_mohm=asked.resistance)
    known_ohm = facts.fuse_resistance(fuse)
    if known_ohm is None:
        raise InputProblem(
            f"no resistance of the {asked.rating:g} A {family.name} fuse is published",
            "--resistance",
            "send a known current through it, and give millivolts ÷ amperes",
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
        "source": str(known_ohm.source),
    }
    return (1 if data["refused"] else 0), data, _text(data)


def _text(data: dict[str, Any]) -> str:
    band = f"{quantity(data['low_a'], 'A')} to {quantity(data['high_a'], 'A')}"
    if data["refused"]:
        head = "That cannot be: check the range of the meter, and the rating of the fuse."
    elif data["below_floor"]:
        head = f"below {quantity(data['high_a'], 'A')}: less than this meter can tell"
    else:
        head = f"{quantity(data['current_a'], 'A')} ({band})"
    over = ["more than its rating: this cannot last"] if data["above_rating"] else []
    return "\n".join(
        [
            head,
            *over,
            f"cold resistance {data['cold_mohm']:g} mΩ: {data['source']}",
            f"{data['hot_to_cold']:.2f} × as much hot, at full rating; steady state",
        ]
    )
