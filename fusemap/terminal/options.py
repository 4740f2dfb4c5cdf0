"""Arguments that several commands have: the vehicle, the language and the units, figures.

English and metric units are what is not asked for otherwise, whatever the environment says: a
script reads the same on every machine.
"""

import argparse
from pathlib import Path
from typing import Any, Final

from fusemap.errors import InputProblem
from fusemap.files import demos, read_vehicle
from fusemap.sheet import LANGUAGES, UNITS, paper_style
from fusemap.text import Style, given, say, share
from fusemap.units import FEET_PER_METRE
from fusemap.vehicle import Vehicle

DEMO: Final = "demo:"

Parsers = Any  # argparse has no public name for what add_subparsers gives


def add_command(
    commands: Parsers, name: str, words: str, description: str, more: str
) -> argparse.ArgumentParser:
    """A command with the options that every command has; `more` stands below its arguments."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name,
        help=words,
        description=description,
        epilog=more,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "--language",
        choices=tuple(LANGUAGES),
        default="en",
        help="of what is for people; without it English, whatever the environment says",
    )
    parser.add_argument(
        "--units",
        choices=UNITS,
        default="metric",
        help="us: feet, °F, AWG first, and ground for earth; figures you give stay metric"
        " where they have no unit of their own",
    )
    parser.add_argument(
        "--json",
        action="store_true",
        help="as JSON, for other programs: the same in every language, figures in SI",
    )
    return parser


def add_vehicle(parser: argparse.ArgumentParser) -> None:
    """The argument that names a vehicle."""
    known = ", ".join(f"{DEMO}{key}" for key, _ in demos.demo_names())
    parser.add_argument("file", metavar="FILE", help=f"a vehicle file, or one of {known}")


def vehicle_of(name: str, language: str = "en") -> Vehicle:
    """A vehicle from a file, or a demo vehicle in a language's words.

    Raises FileProblem where it cannot be read.
    """
    if name.startswith(DEMO):
        return demos.read_demo(name.removeprefix(DEMO), language)
    return read_vehicle(Path(name))


def style_of(asked: argparse.Namespace) -> Style:
    """The language and the units that were asked for."""
    return paper_style(asked.language, asked.units, ground=asked.units == "us")


def length(text: str) -> float:
    """A length [m] from `2.5`, `2.5m` or `8ft`; a decimal comma is fine.

    >>> length("2,5m"), round(length("10ft"), 3)
    (2.5, 3.048)
    """
    plain = text.strip().lower().replace(",", ".")
    feet = plain.endswith(("ft", "'"))
    number = float(plain.removesuffix("ft").removesuffix("'").removesuffix("m"))
    return number / FEET_PER_METRE if feet else number


def temperature(text: str) -> float:
    """A temperature [°C] from `20`, `20C` or `68F`; a decimal comma is fine.

    Source: °C = (°F − 32) ÷ 1.8, NIST SP 811, appendix B.8.

    >>> temperature("-5"), temperature("68F"), temperature("20,5 °C")
    (-5.0, 20.0, 20.5)
    """
    plain = text.strip().upper().replace(",", ".")
    number = float(plain.rstrip("°CF "))
    return (number - 32.0) / 1.8 if plain.endswith("F") else number


def part_of_one(text: str) -> float:
    """A share from per cent: `3` or `3%`.

    >>> part_of_one("3%")
    0.03
    """
    return float(text.strip().removesuffix("%").replace(",", ".")) / 100


def check_share(value: float | None, option: str) -> None:
    """Raises InputProblem for a share that is none."""
    if value is not None and not 0 <= value <= 1:
        raise InputProblem(
            say("{share} is no such share", share=given(value * 100, "%")),
            option,
            say("{least} to {most}", least=share(0.0), most=share(1.0)),
        )
