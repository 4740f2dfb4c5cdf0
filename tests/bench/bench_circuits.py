"""How well names on lids are read: counts and shares alone, and how long 500 names take.

Run: `python -m tests.bench.bench_circuits`, with `time` behind for the time alone. It prints no
label: whoever works on the table of words sees how well it does on the published legends, and never
what it would take to do better there.
"""

import sys
from collections import Counter
from time import perf_counter

from fusemap.tables import circuit_name
from fusemap.tables import circuit_names as words
from tests.outside.lids import CLASSES, FIRST, MORE, REFUSED, THIRD, Half, Lids, Read


def shares(lids: Lids, read: Read, half: Half) -> dict[str, str]:
    """The four figures of a half, and what else looks free on both."""
    alone, comfort = lids.of_class("leave_alone"), len(lids.of_class("comfort", half))
    known = lids.share_read_as(read, "comfort", "comfort", half=half)
    free = len(lids.free(read, "leave_alone"))
    others = sum(len(lids.free(read, name)) for name in CLASSES[1:])
    right, readable = lids.share_right(read, half), len(lids.readable(half))
    return {
        "to be left alone, looking free": f"{free} of {len(alone)}",
        "right reason": f"{right:.1%} of {readable}",
        "comfort refused": f"{lids.share_read_as(read, 'comfort', *REFUSED, half=half):.1%}",
        "comfort recognised": f"{known:.1%} of {comfort}",
        "others looking free": str(others),
    }


def falls(lids: Lids, read: Read) -> dict[str, str]:
    """Of what kind the misses are: counts alone."""
    missed = [read[at] for at in lids.of_class("comfort") if read[at].function != "comfort"]
    as_what = Counter(
        f"{each.function}{', words left over' if each.unread else ''}" for each in missed
    )
    wrong = Counter(
        f"{lids.labels[at]['group']}{'' if read[at].consumers else ', nothing read'}"
        for at in lids.readable()
        if not lids.is_rightly_read(at, read[at])
    )
    return {"comfort read as": str(dict(as_what)), "other reasons": str(dict(wrong))}


def seconds() -> float:
    """How long the names take when none is kept at hand."""
    names = [f"{label['label']} {at}" for at, label in enumerate(FIRST.labels)][:500]
    for kept in words.CACHES:
        kept.cache_clear()
    circuit_name("Radio, headlamp zig. htr")
    circuit_name.cache_clear()
    start = perf_counter()
    for name in names:
        circuit_name(name)
    return perf_counter() - start


def main() -> None:
    """With all rows, by the trade's words alone, and as if each vehicle's lid were new."""
    for title, lids, read in (
        ("all rows", FIRST, FIRST.with_all_rows),
        ("words of the trade alone", FIRST, FIRST.by_trade_words),
        ("as if new", FIRST, FIRST.as_if_new),
        ("more lids, all rows", MORE, MORE.with_all_rows),
        ("more lids, words of the trade alone", MORE, MORE.by_trade_words),
        ("third lids, all rows", THIRD, THIRD.with_all_rows),
    ):
        for half, places in (("to build on", lids.build), ("to measure on", lids.measure)):
            print(f"{title}, the half {half}")
            for what, share in shares(lids, read, places).items():
                print(f"  {what:32} {share}")
        for what, share in falls(lids, read).items():
            print(f"  {what:32} {share}")
    _says_how_long()


def _says_how_long() -> None:
    print(f"500 names, none at hand: {seconds() * 1000:.0f} ms")


if __name__ == "__main__":
    _says_how_long() if sys.argv[1:] == ["time"] else main()
