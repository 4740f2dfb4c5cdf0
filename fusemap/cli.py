"""The commands that answer on the terminal, without a window.

Each describes itself in its module in `fusemap.terminal` and in its `--help`. Out: lines for a
person, in English and metric units or in those that `--language` and `--units` ask for; or with
`--json` one JSON document whose keys stay as they are, the same in every language, with units in
its keys and `null` for what does not exist or is not reached.

Exit status: 0 done, 1 an answer that says stop, 2 wrong arguments or a file that cannot be read.
"""

import argparse
import os
import sys
from collections.abc import Mapping, Sequence
from typing import Any

from fusemap.errors import FusemapError
from fusemap.terminal import chain, millivolts, parked, report, sheet, tables
from fusemap.terminal.command import as_json, as_words, side_by_side, style_of

DONE, STOP, CANNOT = 0, 1, 2

COMMANDS: Mapping[str, Any] = {
    "report": report,
    "parked": parked,
    "chain": chain,
    "millivolts": millivolts,
    "tables": tables,
    "sheet": sheet,
}
"""The module of each command, which tells the parser its arguments and answers."""


def run(argv: Sequence[str]) -> int:
    """Carry out one command line (without the program's name) and give the exit status."""
    try:
        asked = _parser().parse_args(argv)
    except SystemExit as error:  # the parser has said why; asking for help is no mistake
        return CANNOT if error.code else DONE
    style = style_of(asked)
    try:
        answer = COMMANDS[asked.command].answer(asked)
    except FusemapError as error:
        about = str(getattr(asked, "file", asked.command))
        told = error.text if error.where == about else side_by_side(about, error.text, between=": ")
        print(as_words([side_by_side("fusemap", told, between=": ")], style), file=sys.stderr)
        return CANNOT
    _say(as_json(answer.data) if asked.json else as_words(answer.lines, style))
    return int(answer.status)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fusemap", description="Answer on the terminal, without a window."
    )
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    for module in COMMANDS.values():
        module.add(commands)
    return parser


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
