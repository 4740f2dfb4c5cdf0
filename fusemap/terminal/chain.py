"""`fusemap chain`: size one accessory without a vehicle.

JSON keys: load_a, fuse (family, rating_a, decided_by, held_back_by), section_mm2, awg, decided_by,
drop_v, drop_share, conductor_c, far_end_multiple, longest_conductor_m, hops[] (key, title,
quantity, load, limit, unit, at_most, passed, share, state, basis), published[] (table, current_a,
conductor_c, ambient_c, arrangement, source), sections[] (area_mm2, awg, passes, per criterion
found, limit, unit, passed).
"""

import argparse
from collections.abc import Iterator, Sequence
from typing import Final, get_args

from fusemap import tables
from fusemap.advise.advice import CRITERION_WORDS
from fusemap.advise.chain_sizing import SizedChain, Wanted, size_chain
from fusemap.assess.result import HopKey
from fusemap.electrics.cable import awg_name, nearest_awg
from fusemap.errors import InputProblem
from fusemap.terminal.command import (
    Answer,
    Data,
    Line,
    Parsers,
    Table,
    add_command,
    amount,
    length,
    part_of_one,
    side_by_side,
    temperature,
)
from fusemap.terminal.report_data import hop_data
from fusemap.terminal.report_words import family_words, fuse_words, hop_figures
from fusemap.text import Amount, Argument, Section, Text, given, in_row, say
from fusemap.vehicle.words import LoadKind, Place


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = add_command(
        commands,
        "chain",
        "size one accessory: fuse, cable, drop",
        "Size one accessory without a vehicle.",
        __doc__ or "",
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
        "--drop", type=part_of_one, default=None, metavar="PERCENT", help="voltage drop allowed"
    )
    parser.add_argument(
        "--ambient", type=temperature, default=None, metavar="TEMPERATURE", help="as 40 or 104F"
    )
    parser.add_argument("--place", choices=get_args(Place), default="cabin")
    parser.add_argument("--bundle", type=int, default=1, metavar="N", help="loaded cables together")
    parser.add_argument("--insulation", choices=tuple(tables.insulations()), default="pvc")
    parser.add_argument("--fuse-family", choices=tuple(tables.fuse_families()), default="mini")


def wanted(asked: argparse.Namespace) -> Wanted:
    """What the command line asks for. Raises InputProblem where it contradicts itself."""
    back = asked.back
    if asked.way_back == "body" and back is not None:
        raise InputProblem(
            say("a return by the body has no cable back"), "--back", say("leave it out")
        )
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


def answer(asked: argparse.Namespace) -> Answer:
    """Size it; exit status 1 where no fuse or no cable will do."""
    sized = size_chain(wanted(asked))
    data = chain_data(sized)
    return Answer(1 if sized.chain is None else 0, data, tuple(chain_lines(data)))


# --- as data --------------------------------------------------------------------------------------


def chain_data(sized: SizedChain) -> Data:
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
        "hops": [hop_data(hop) for hop in hops.values()],
        "published": [
            {
                "table": row.table,
                "current_a": row.current_a,
                "conductor_c": row.conductor_c,
                "ambient_c": row.ambient_c,
                "arrangement": Text(row.arrangement),
                "source": row.source.text,
            }
            for row in (() if advice is None else advice.published)
        ],
        "sections": _sections(sized),
    }


def _decided_by(sized: SizedChain) -> Text | None:
    if sized.cable is None:
        return None
    if sized.failed is None:
        return CRITERION_WORDS[sized.cable.decided_by]
    return FAILED_WORDS.get(sized.failed.key, sized.failed.title)


FAILED_WORDS: Final[dict[HopKey, Text]] = {
    "accessory_fuse": say("load on the fuse, which a thinner cable would raise"),
    "drop": say("voltage drop, at what the load draws behind this cable"),
    "heat_out": CRITERION_WORDS["heat"],
    "heat_back": CRITERION_WORDS["heat"],
    "overload": CRITERION_WORDS["overload"],
    "far_end": CRITERION_WORDS["far_end"],
}
"""Why a section that suits the rated load does not do once the load is on it, by the hop."""


def _sections(sized: SizedChain) -> list[Data]:
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


# --- to read --------------------------------------------------------------------------------------


def chain_lines(data: Data) -> Iterator[Line]:
    """The same to read."""
    fuse = data["fuse"]
    load = (say("Load"), amount(data["load_a"], "A"))
    if fuse["rating_a"] is None:
        yield _labelled(load)
        yield _no_fuse(fuse)
        yield say("Use a larger family, or split the load.")
        return
    chosen = (say("Accessory fuse"), fuse_words(fuse["rating_a"], fuse["family"]))
    if data["section_mm2"] is None:
        yield _labelled(load, chosen)
        yield say("No cable on offer will do: {criterion}.", criterion=data["decided_by"])
        return
    yield _labelled(
        load,
        chosen,
        (say("Cable"), Section(data["section_mm2"])),
        (say("Decided by"), data["decided_by"]),
        (say("Longest conductor"), _longest(data["longest_conductor_m"])),
    )
    yield from ("", Table([(hop["title"], *hop_figures(hop)) for hop in data["hops"]], "<>>>", 0))
    if data["published"]:
        yield from ("", say("Published lasting currents of this section, to compare:"))
        yield Table([_published(row) for row in data["published"]], "><")
    yield ""
    yield say("Leave airbag, brake, steering, fuel, ignition and engine circuits alone.")
    yield say("The vehicle maker's instructions and local rules come first.")


def _labelled(*rows: Sequence[Argument]) -> Table:
    return Table(rows, "<<", indent=0)


def _no_fuse(fuse: Data) -> Text:
    family = family_words(fuse["family"])
    if fuse["held_back_by"] == "inrush":
        return say(
            "No {family} fuse will do: the inrush is too much for the largest.", family=family
        )
    return say("No {family} fuse will do: the load is too much for the largest.", family=family)


def _longest(metres: float) -> Text:
    return say(
        "{length}, out and back together, whose far-end short still opens the fuse",
        length=Amount(metres, "m"),
    )


def _published(row: Data) -> tuple[Argument, Argument]:
    """A current of a table, and what it holds for."""
    conductor, ambient = row["conductor_c"], row["ambient_c"]
    holds_for: list[Argument] = [row["source"]]
    if conductor is not None:
        holds_for.append(say("conductor {temperature}", temperature=given(conductor, "°C")))
    if ambient is not None:
        holds_for.append(say("ambient {temperature}", temperature=given(ambient, "°C")))
    conditions = side_by_side(in_row(holds_for), row["arrangement"], between=": ")
    return amount(row["current_a"], "A"), conditions
