"""The long fuzz: many strange files, pasted tables and command lines, with what was found.

Run by hand: python tests/bench/fuzz.py [COUNT [WHAT …]]; COUNT of each of `files`, `tables`,
`lines` and `sheets` (command lines that also ask for paper; a hundredth as many). Every input that
breaks a promise is printed with its error and kept in the folder it names; the exit code is their
number. The batches have seeds of their own, so that a run can be repeated with the same count.
"""

import os
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[2]))

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

from tests.fuzz import (
    LONGEST_S,
    check_file,
    check_line,
    check_table,
    command_lines,
    in_time,
    inside,
    strange_files,
    strange_tables,
)

BATCH = 1000
Kind = tuple[Callable[[], st.SearchStrategy[Any]], Callable[[Any], str]]
KINDS: dict[str, Kind] = {
    "files": (strange_files, check_file),
    "tables": (strange_tables, check_table),
    "lines": (command_lines, check_line),
    "sheets": (lambda: command_lines(sheets=True), check_line),
}


class Run:
    """One kind of input, batch by batch."""

    def __init__(self, name: str, kept: Path) -> None:
        self.name = name
        self.kept = kept
        self.counts: Counter[str] = Counter()
        self.faults: Counter[str] = Counter()
        self.longest = 0.0

    def one(self, given_: Any) -> None:
        """Check one input; what goes wrong is kept and the run goes on."""
        try:
            said, took = in_time(KINDS[self.name][1], given_)
        except Exception as error:
            self.wrong(given_, f"{type(error).__name__} at {place_of(error)}", error)
            return
        self.counts[said] += 1
        self.longest = max(self.longest, took)
        if took > LONGEST_S:
            self.wrong(given_, f"took {took:.1f} s", None)

    def wrong(self, given_: Any, what: str, error: Exception | None) -> None:
        """Keep an input that broke a promise; the first of its sort is printed."""
        self.faults[what] += 1
        if self.faults[what] > 1:
            return
        path = self.kept / f"{self.name}-{len(self.faults)}.txt"
        path.write_bytes(given_ if isinstance(given_, bytes) else repr(given_).encode())
        print(f"  {self.name}: {what}; kept in {path}", flush=True)
        if error is not None:
            traceback.print_exception(error)

    def batch(self, number: int, count: int) -> None:
        """So many inputs from one seed."""

        @seed(number)
        @settings(
            max_examples=count,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(KINDS[self.name][0]())
        def run(given_: Any) -> None:
            self.one(given_)

        run()

    def tell(self, took: float) -> None:
        """The sums."""
        said = ", ".join(f"{count} {word}" for word, count in self.counts.items())
        print(
            f"{self.name}: {said}; {sum(self.faults.values())} broke a promise; the slowest took "
            f"{self.longest:.2f} s of the processor; {took:.0f} s in all",
            flush=True,
        )


def place_of(error: Exception) -> str:
    """Where an error was raised."""
    frame = traceback.extract_tb(error.__traceback__)[-1]
    return f"{Path(frame.filename).name}:{frame.lineno}"


def main(count: int = 2000, *names: str) -> int:
    """Run each kind, and print."""
    kept = Path(tempfile.mkdtemp(prefix="fusemap-fuzz-"))
    found = 0
    with inside(kept / "inside" / "here"):
        for name in names or tuple(KINDS):
            run = Run(name, kept)
            start = time.perf_counter()
            wanted = max(1, count // 100) if name == "sheets" else count
            for number, begun in enumerate(range(0, wanted, BATCH)):
                run.batch(number, min(BATCH, wanted - begun))
                if number % 10 == 9:
                    run.tell(time.perf_counter() - start)
            run.tell(time.perf_counter() - start)
            found += sum(run.faults.values())
    return found


if __name__ == "__main__":
    words = sys.argv[1:]
    sys.exit(min(100, main(*([int(words[0])] if words else []), *words[1:])))
