"""`fusemap chain`: size one accessory without a vehicle.

JSON keys: load_a, fuse (family, rating_a, decided_by, held_back_by), section_mm2, awg, decided_by,
drop_v, drop_share, conductor_c, far_end_multiple, longest_conductor_m, hops[] (key, title,
quantity, load, limit, unit, at_most, passed, basis), published[] (table, current_a, conductor_c,
ambient_c, arrangement), sections[] (area_mm2, awg, passes, per criterion found, limit, unit).
"""

import argparse
from typing import Any, Final, get_args

from fusemap import tables
from fusemap.advise.advice import CRITERION_WORDS
from fusemap.advise.chain_sizing import Sized, Wanted, size_chain
from fusemap.assess.result import HopKey
from fusemap.electrics.cable import awg_name, nearest_awg
from fusemap.errors import InputProblem
from fusemap.text import Text, say
from fusemap.units import FEET_PER_METRE, quantity
from fusemap.vehicle.words import LoadKind, Place

Parsers = Any  # argparse has no public name for what add_subparsers gives


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = commands.add_parser(
        "chain",
        help="size one accessory: fuse, cable, drop",
        description="Size one accessory without a vehicle.",
        epilog=__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    load = parser.add_mutually_exclusive_group(required=True)
    load.add_argument("--watts", type=float, metavar="W")
    load.add_argument("--amps", type=float, metavar="A")
    parser.add_argument(
        "--volts", type=float, default=12.0, metavar="V", help="voltage the load is rated at"
    )
    parser.add_argument("--load-kind", choices=get_args(LoadKind), default="constant_power")
    parser.add_argument(
        "--out", type=length, default=2.0, metavar="LENGTH", help="cable out, as 2.5m or 8ft"
    )
    parser.add_argument(
        "--back", type=length, default=None, metavar="LENGTH", help="cable back, as 2.5m or 8ft"
    )
    parser.add_argument("--return", dest="way_back", choices=("body", "cable"), default=None)
    parser.add_argument(
        "--drop", type=share, default=None, metavar="PERCENT", help="voltage drop allowed"
    )
    parser.add_argument("--ambient", type=float, default=None, metavar="°C")
    parser.add_argument("--place", choices=get_args(Place), default="cabin")
    parser.add_argument("--bundle", type=int, default=1, metavar="N", help="loaded cables together")
    parser.add_argument("--insulation", choices=tuple(tables.insulations()), default="pvc")
    parser.add_argument("--fuse-family", choices=tuple(tables.fuse_families()), default="mini")
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")


def length(text: str) -> float:
    """A length [m] from `2.5`, `2.5m` or `8ft`; a decimal comma is fine.

    >>> length("2,5m"), round(length("10ft"), 3)
    (2.5, 3.048)
    """
    plain = text.strip().lower().replace(",", ".")
    feet = plain.endswith(("ft", "'"))
    number = float(plain.removesuffix("ft").removesuffix("'").removesuffix("m"))
    return number / FEET_PER_METRE if feet else number


def share(text: str) -> float:
    """A share from per cent: `3` or `3%`.

    >>> share("3%")
    0.03
    """
    return float(text.strip().removesuffix("%").replace(",", ".")) / 100


def wanted(asked: argparse.Namespace) -> Wanted:
    """What the command line asks for. Raises InputProblem where it contradicts itself."""
    back = asked.back
    if asked.way_back == "body" and back is not None:
        raise InputProblem("a return by the body has no cable back", "--back", "leave it out")
    if asked.way_back == "cable" and back is None:
        back = asked.out
    return Wanted(
        watts=asked.watts,
        amperes=asked.amps,
        system_v=24 if asked.volts > 18.0 else 12,
        rated_v=asked.volts,
        load_kind=asked.load_kind,
        out_m=asked.out,
        back_m=back,
        drop_share=asked.drop,
        ambient_c=asked.ambient,
        place=asked.place,
        bundle=asked.bundle,
        insulation=asked.insulation,
        fuse_family=asked.fuse_family,
    )


def answer(asked: argparse.Namespace) -> tuple[int, dict[str, Any], str]:
    """Size it; exit status 1 where no fuse or no cable will do."""
    sized = size_chain(wanted(asked))
    data = chain_data(sized)
    return (1 if sized.chain is None else 0), data, chain_text(data)


def chain_data(sized: Sized) -> dict[str, Any]:
    """Everything about the sized chain, as plain data."""
    advice = sized.advice
    area = sized.area_mm2
    hops = {} if sized.chain is None else {hop.key: hop for hop in sized.chain.hops}

    def load(key: HopKey) -> float | None:
        return hops[key].load if key in hops else None

    drop = load("drop")
    return {
        "load_a": sized.load_a,
        "fuse": {
            "family": sized.wanted.fuse_family,
            "rating_a": sized.rating_a,
            "decided_by": sized.fuse.reason if sized.fuse.rating_a is not None else None,
            "held_back_by": sized.fuse.reason if sized.fuse.rating_a is None else None,
        },
        "section_mm2": area,
        "awg": None if area is None else awg(area),
        "decided_by": _decided_by(sized),
        "drop_v": drop,
        "drop_share": None if drop is None else drop / sized.wanted.system_v,
        "conductor_c": load("heat_out"),
        "far_end_multiple": load("far_end"),
        "longest_conductor_m": None if advice is None else advice.longest_m,
        "hops": [
            {
                "key": hop.id,
                "title": str(hop.title),
                "quantity": str(hop.quantity),
                "load": hop.load,
                "limit": hop.limit,
                "unit": hop.unit,
                "at_most": hop.at_most,
                "passed": hop.passed,
                "basis": hop.basis.text,
            }
            for hop in hops.values()
        ],
        "published": [
            {
                "table": row.table,
                "current_a": row.current_a,
                "conductor_c": row.conductor_c,
                "ambient_c": row.ambient_c,
                "arrangement": row.arrangement,
                "source": row.source.words,
            }
            for row in (() if advice is None else advice.published)
        ],
        "sections": _sections(sized),
    }


def _decided_by(sized: Sized) -> str | None:
    if sized.cable is None:
        return None
    if sized.failed is None:
        return str(CRITERION_WORDS[sized.cable.decided_by])
    return str(FAILED_WORDS.get(sized.failed.key, sized.failed.title))


FAILED_WORDS: Final[dict[HopKey, Text]] = {
    "accessory_fuse": say("load on the fuse, which a thinner cable would raise"),
    "drop": say("voltage drop, at what the load draws behind this cable"),
    "heat_out": CRITERION_WORDS["heat"],
    "heat_back": CRITERION_WORDS["heat"],
    "overload": CRITERION_WORDS["overload"],
    "far_end": CRITERION_WORDS["far_end"],
}
"""Why a section that suits the rated load does not do once the load is on it, by the hop."""


def _sections(sized: Sized) -> list[dict[str, Any]]:
    """Each section on offer with every criterion, so that the choice can be followed."""
    if sized.cable is None:
        return []
    rows = []
    for index, row in enumerate(tables.standard_sections()):
        checks = {
            name: {
                "found": float(check.at(index).found),
                "limit": float(check.at(index).limit),
                "unit": check.unit,
                "passed": bool(check.at(index).passed),
            }
            for name, check in sized.cable.checks.items()
        }
        rows.append(
            {
                "area_mm2": row.area_mm2,
                "awg": awg(row.area_mm2),
                "passes": bool(sized.cable.passes[index]),
                **checks,
            }
        )
    return rows


def awg(area_mm2: float) -> str:
    """The nearest gauge by copper area.

    >>> awg(2.0)
    '14'
    """
    return awg_name(int(nearest_awg(area_mm2)))


def chain_text(data: dict[str, Any]) -> str:
    """The same to read."""
    fuse = data["fuse"]
    lines = [f"Load                {quantity(data['load_a'], 'A')}"]
    if fuse["rating_a"] is None:
        why = "inrush" if fuse["held_back_by"] == "inrush" else "load"
        lines.append(f"No {fuse['family']} fuse will do: the {why} is too much for the largest.")
        lines.append("Use a larger family, or split the load.")
        return "\n".join(lines)
    lines.append(f"Accessory fuse      {fuse['rating_a']:g} A {fuse['family'].replace('_', ' ')}")
    if data["section_mm2"] is None:
        lines.append(f"No cable on offer will do: {data['decided_by']}.")
        return "\n".join(lines)
    lines += [
        f"Cable               {data['section_mm2']:g} mm² (about AWG {data['awg']})",
        f"Decided by          {data['decided_by']}",
        f"Longest conductor   {data['longest_conductor_m']:.1f} m, out and back together, whose"
        " far-end short still opens the fuse",
        "",
    ]
    for hop in data["hops"]:
        sign = "≤" if hop["at_most"] else "≥"
        mark = "ok  " if hop["passed"] else "OVER"
        lines.append(
            f"{mark} {hop['title']}: {quantity(hop['load'], hop['unit'])} {sign} "
            f"{quantity(hop['limit'], hop['unit'])}"
        )
    if data["published"]:
        lines += ["", "Published lasting currents of this section, to compare:"]
        for row in data["published"]:
            at = "" if row["conductor_c"] is None else f", conductor {row['conductor_c']:g} °C"
            air = "" if row["ambient_c"] is None else f", ambient {row['ambient_c']:g} °C"
            lines.append(
                f"  {quantity(row['current_a'], 'A'):>8}  {row['source']}{at}{air}: "
                f"{row['arrangement']}"
            )
    lines += ["", "Leave airbag, brake, steering, fuel, ignition and engine circuits alone.",
              "The vehicle maker's instructions and local rules come first."]  # fmt: skip
    return "\n".join(lines)
