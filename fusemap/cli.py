"""The commands that answer on the terminal, without a window.

`fusemap report FILE` is described here; `parked`, `chain`, `millivolts`, `tables` and `sheet`
describe themselves in `fusemap.terminal` and in their `--help`.

Out: readable tables, or with `--json` one JSON document whose keys stay as they are. Units stand in
the keys: `_a` A, `_v` V, `_ah` Ah, `_h` hours since locking, `_c` °C, `_soc` share of the charge.
What does not exist or is not reached is `null`.

report  vehicle, system_v
        counts: stop, caution, note
        slots[]: id, panel, label, circuit, fuse (family, rating_a), feed_class, critical,
          monitored, unanswered, state, own_a, accessories_a, host_fuse_a, host_fuse_limit_a,
          live_contact_a, contact_limit_a, room_a, share
        unanswered[]: id, label, circuit, mark, why
        feeds[]: id, name, state, current_a, limit_a, share
        taps[]: id, title, accessory, lead, current_a, lowest_voltage_v
          hops[]: key, title, quantity, load, limit, unit, at_most, passed, share, state, basis
          unchecked[]: what could not be held against a limit, and what is missing for it
        findings[]: code, severity, what, where, place, place_id, sum, rule, source, remedy,
                    formula

Exit status: 0 done and nothing to stop for, 1 a report with a finding of severity stop, 2 wrong
arguments or a file that cannot be read.
"""

import argparse
import json
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.errors import FusemapError
from fusemap.files import demos, read_vehicle
from fusemap.terminal import chain, millivolts, parked, report_text, sheet, tables
from fusemap.terminal.report_data import report_data
from fusemap.vehicle import Vehicle

DONE, STOP, CANNOT = 0, 1, 2
DEMO = "demo:"

Answer = tuple[int, Mapping[str, Any], str]
"""Exit status, the answer as data, and as text."""


def run(argv: Sequence[str]) -> int:
    """Carry out one command line (without the program's name) and give the exit status."""
    try:
        asked = _parser().parse_args(argv)
    except SystemExit as error:  # the parser has said why; asking for help is no mistake
        return CANNOT if error.code else DONE
    try:
        status, data, text = _answer(asked)
    except FusemapError as error:
        about = str(getattr(asked, "file", asked.command))
        said = str(error) if error.where == about else f"{about}: {error}"
        print(f"fusemap: {said}", file=sys.stderr)
        return CANNOT
    _say(json.dumps(data, indent=2, ensure_ascii=False) if asked.json else text)
    return status


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fusemap", description="Answer on the terminal, without a window."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for name, words in (("report", "currents, limits and findings"),):
        command = commands.add_parser(
            name,
            help=words,
            description=f"Say on the terminal: {words}.",
            epilog=__doc__.partition("\n\n")[2],
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        known = ", ".join(f"{DEMO}{key}" for key, _ in demos.demo_names())
        command.add_argument("file", metavar="FILE", help=f"a vehicle file, or one of {known}")
        command.add_argument("--json", action="store_true", help="as JSON, for other programs")
    for module in THEMSELVES.values():
        module.add(commands)
    return parser


def _answer(asked: argparse.Namespace) -> Answer:
    if asked.command in THEMSELVES:
        answer: Answer = THEMSELVES[asked.command].answer(asked)
        return answer
    return COMMANDS[asked.command](_read(asked.file))


def _read(name: str) -> Vehicle:
    if name.startswith(DEMO):
        return demos.read_demo(name.removeprefix(DEMO))
    return read_vehicle(Path(name))


def _report(vehicle: Vehicle) -> Answer:
    assessment = assess(vehicle)
    found = findings(vehicle, assessment)
    data = report_data(assessment, found)
    return STOP if data["counts"]["stop"] else DONE, data, report_text.report(data)


COMMANDS: Mapping[str, Callable[[Vehicle], Answer]] = {"report": _report}
THEMSELVES: Mapping[str, Any] = {
    "parked": parked,
    "chain": chain,
    "millivolts": millivolts,
    "tables": tables,
    "sheet": sheet,
}
"""The commands that read their own arguments."""


def _say(text: str) -> None:
    """Print; a terminal without a sign gets “?”, and one that has gone away gets nothing."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")
    try:
        print(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # What is still to be written at exit goes nowhere, or Python would complain there.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
