"""Every page looked at by program: demos and trade, five languages, both papers, both units.

Prints what is wrong, page by page, and how many pages there were. Where poppler is installed the
words of each PDF are read back by `pdftotext -bbox` and looked at for overlaps and margins again.

    python tests/bench/bench_paper.py [LANGUAGE ...]
"""

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from shutil import which
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[2]))
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from fusemap.assess import assess
from fusemap.catalogues import LANGUAGES
from fusemap.files import demos
from fusemap.sheet import PARTS
from fusemap.sheet.paint import Pages, need_application
from tests import trade_vehicles
from tests.sheet.conftest import content_from
from tests.sheet.looked_at import MARGIN_MM, faults

WORD = re.compile(
    r'<word xMin="([-.0-9]+)" yMin="([-.0-9]+)" xMax="([-.0-9]+)" yMax="([-.0-9]+)">([^<]*)<'
)
PAGE = re.compile(r'<page width="([.0-9]+)" height="([.0-9]+)">(.*?)</page>', re.DOTALL)
POINT_MM = 25.4 / 72


def read_back(pdf: bytes) -> Iterator[str]:
    """What poppler finds wrong: words on each other or in the margins."""
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        file.write(pdf)
        file.flush()
        asked = ["pdftotext", "-bbox", file.name, "-"]
        read = subprocess.run(asked, capture_output=True, check=True).stdout.decode()
    for number, page in enumerate(PAGE.finditer(read), start=1):
        size = float(page[1]), float(page[2])
        words = [(*map(float, word.groups()[:4]), word[5]) for word in WORD.finditer(page[3])]
        for fault in _wrong(words, size):
            yield f"page {number}, read back: {fault}"


def _wrong(words: list[tuple], size: tuple[float, float]) -> Iterator[str]:
    edge = MARGIN_MM / POINT_MM
    ordered = sorted(words, key=lambda word: word[1])
    for index, one in enumerate(ordered):
        # a word's box is as high as its font: letters fill the middle of it
        high = (one[3] - one[1]) * 0.25
        across = edge < one[0] and one[2] < size[0] - edge
        if not (across and edge < one[1] + high and one[3] - high < size[1] - edge):
            yield f"“{one[4]}” is outside the margins"
        for other in ordered[index + 1 :]:
            if other[1] > one[3] - 2 * high:
                break
            if min(one[2], other[2]) - max(one[0], other[0]) > 1.0:
                yield f"“{one[4]}” and “{other[4]}” lie on each other"


def looked_at(codes: list[str]) -> Iterator[tuple[int, list[str]]]:
    """How many pages each part has, and what is wrong with them."""
    poppler = which("pdftotext") is not None
    for code in codes:
        vehicles = {key: demos.read_demo(key, code) for key, _ in demos.demo_names()}
        vehicles |= {make.__name__: make() for make in trade_vehicles.BUILT}
        for name, vehicle in vehicles.items():
            assessment = assess(vehicle)
            for units in ("metric", "us"):
                for part in PARTS:
                    content = content_from(assessment, part, code, units)
                    for paper in ("a4", "letter"):
                        pages = Pages(content, paper)
                        found = faults(pages)
                        found += read_back(pages.pdf()) if poppler else ()
                        where = f"{name} {part} {code} {units} {paper}"
                        yield len(pages), [f"{where} {each}" for each in found]


def main() -> None:
    need_application()
    start = perf_counter()
    pages = faulty = 0
    for count, found in looked_at(sys.argv[1:] or list(LANGUAGES)):
        pages += count
        faulty += len(found)
        for each in found:
            print(each)
    print(f"{pages} pages, {faulty} faults, {perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main()
