"""What keeping the work costs at each edit, and what a save costs with its earlier version.

Run by hand: python tests/bench/bench_rescue.py. Everything is measured side by side in one run; the
ratios are what counts, the times are those of this machine and its disk.
"""

import os
import random
import statistics
import sys
import tempfile
import time
from base64 import b64encode
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[2]))

from PySide6.QtCore import QCoreApplication

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files import backups, compact, render, write_vehicle
from fusemap.files.demos import read_demo
from fusemap.files.kept import Keeper
from fusemap.vehicle import Vehicle, edits
from fusemap.vehicle.parts import MOST_JPEG_BYTES
from fusemap.window.document import Document
from fusemap.window.files.rescue import Rescue
from tests.vehicles import large

ROUNDS = 200


def times_ms(do: Callable[[int], object], rounds: int = ROUNDS) -> list[float]:
    """How long each call takes [ms], sorted; it is handed the number of the round."""
    taken = []
    for number in range(rounds):
        start = time.perf_counter()
        do(number)
        taken.append((time.perf_counter() - start) * 1e3)
    return sorted(taken)


def line(name: str, taken: list[float], beside: float) -> str:
    """A line of the table: median, 95 of 100, and the median beside another."""
    middle = statistics.median(taken)
    late = taken[int(0.95 * len(taken))]
    return f"  {name:44} {middle:7.3f} {late:7.3f} ms   {middle / beside:6.3f} x"


def forced(folder: Path, vehicle: Vehicle) -> None:
    """Written and forced onto the disk before going on, as it is not done."""
    number = os.open(folder / "forced", os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
    os.write(number, compact(vehicle))
    os.fsync(number)
    os.close(number)


def with_photo(vehicle: Vehicle) -> Vehicle:
    """The vehicle with the largest photo there may be behind its first panel."""
    content = b"\xff\xd8\xff" + random.Random(5).randbytes(MOST_JPEG_BYTES - 3)
    return edits.set_photo(vehicle, vehicle.panels[0].id, b64encode(content).decode())


def bench(name: str, vehicle: Vehicle) -> None:
    """Print what keeping costs beside the edit itself with all that is computed for it."""
    with tempfile.TemporaryDirectory(prefix="fusemap-bench-") as made:
        folder = Path(made)
        keeper = Keeper(folder, "bench")
        named = [edits.change_vehicle(vehicle, name=f"Van {number}") for number in range(ROUNDS)]
        reckoned = times_ms(lambda n: findings(named[n], assess(named[n])), 40)
        base = statistics.median(reckoned)
        document = Document(vehicle)
        rescue = Rescue(document, folder)

        def edit(number: int) -> None:
            document.apply("Rename", edits.change_vehicle, name=f"Edit {number}")

        whole = times_ms(edit)
        alone = Document(vehicle)
        bare = times_ms(lambda n: alone.apply("Rename", edits.change_vehicle, name=f"Edit {n}"))
        extra = [max(0.0, one - statistics.median(bare)) for one in whole]
        path = folder / "van.fusemap"
        size = len(compact(vehicle)) / 1000
        print(f"{name}, {size:.0f} kB (median, 95 of 100; times the reckoning after an edit)")
        print(line("reckoned after an edit: assess and findings", reckoned, base))
        print(line("kept: note and vehicle written, name taken", times_ms(
            lambda n: keeper.write(named[n], path)), base))  # fmt: skip
        print(line("an edit that is kept, less one that is not", extra, base))
        print(line("were it forced onto the disk each time", times_ms(
            lambda n: forced(folder, named[n]), 50), base))  # fmt: skip
        print(line("a save, forced onto the disk", times_ms(
            lambda n: write_vehicle(path, named[n]), 50), base))  # fmt: skip
        print(line("a save that keeps the version before", times_ms(
            lambda n: (backups.keep(folder, path), write_vehicle(path, named[n])), 50),
            base))  # fmt: skip
        print(line("the text of a file alone", times_ms(lambda n: render(named[n])), base))
        keeper.settle()
        rescue.forget()


if __name__ == "__main__":
    app = QCoreApplication([])
    bench("Family estate", read_demo("family_estate"))
    bench("Family estate with a photo", with_photo(read_demo("family_estate")))
    bench("120 slots, 30 accessories", large())
