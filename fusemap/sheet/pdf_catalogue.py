"""A PDF with its language and its bookmarks, which Qt cannot write.

In: a PDF as Qt writes it. Out: the same with an update at its end, in which the catalogue has a
language and an outline: nothing of what stood there is changed. Source: ISO 32000-1, 7.5.6
(incremental updates), 12.3.3 (document outline), 14.9.2 (language). No Qt.
"""

import re
from collections.abc import Sequence
from typing import Final

_TRAILER: Final = re.compile(
    rb"trailer\s*<<(?P<body>.*?)>>\s*startxref\s+(?P<at>\d+)\s+%%EOF\s*$", re.DOTALL
)


def with_bookmarks(pdf: bytes, language: str, marks: Sequence[tuple[str, int]]) -> bytes:
    """The PDF in a language (“de”) with bookmarks, each a title and a page counted from 0.

    A PDF that is not written as expected stays as it is.
    """
    trailer = _TRAILER.search(pdf)
    if trailer is None:
        return pdf
    body = trailer["body"]
    size, root = (re.search(rb"/%s\s+(\d+)" % key, body) for key in (b"Size", b"Root"))
    if size is None or root is None:
        return pdf
    catalogue = re.search(rb"\n%s 0 obj\s*<<(.*?)>>\s*endobj" % root[1], pdf, re.DOTALL)
    kids = re.search(rb"/Kids\s*\[([^\]]*)\]", pdf)
    if catalogue is None or kids is None:
        return pdf
    pages = [int(number) for number in re.findall(rb"(\d+) 0 R", kids[1])]
    kept = [(title, pages[page]) for title, page in marks if page < len(pages)]
    first = int(size[1])
    objects = {int(root[1]): _catalogue(catalogue[1], language, first if kept else None)}
    objects |= _outline(first, kept)
    return pdf + _update(len(pdf), objects, body, int(trailer["at"]))


def _catalogue(before: bytes, language: str, outline: int | None) -> bytes:
    added = f"/Lang ({language})\n/ViewerPreferences << /DisplayDocTitle true >>\n"
    if outline is not None:
        added += f"/Outlines {outline} 0 R\n/PageMode /UseOutlines\n"
    return b"<<" + before + added.encode("ascii") + b">>"


def _outline(first: int, marks: Sequence[tuple[str, int]]) -> dict[int, bytes]:
    """The outline as object `first`, its items after it, each pointing to the ones beside it."""
    if not marks:
        return {}
    last = first + len(marks)
    found = {
        first: f"<< /Type /Outlines /First {first + 1} 0 R /Last {last} 0 R /Count {len(marks)} >>"
    }
    for number, (title, page) in enumerate(marks, start=first + 1):
        before = f"/Prev {number - 1} 0 R " if number > first + 1 else ""
        after = f"/Next {number + 1} 0 R " if number < last else ""
        name = ("\ufeff" + title).encode("utf-16-be").hex().upper()
        found[number] = (
            f"<< /Title <{name}> /Parent {first} 0 R {before}{after}/Dest [{page} 0 R /Fit] >>"
        )
    return {number: text.encode("ascii") for number, text in found.items()}


def _update(start: int, objects: dict[int, bytes], trailer: bytes, before: int) -> bytes:
    """New and changed objects with their table of places, and a trailer that names the one before.

    `start` and `before` are offsets [bytes] of this update and of the last table.
    """
    text, table = b"", b"xref\n"
    for number, body in sorted(objects.items()):
        table += b"%d 1\n%010d 00000 n \n" % (number, start + len(text))
        text += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    size = max(max(objects) + 1, int(re.findall(rb"/Size\s+(\d+)", trailer)[0]))
    kept = re.sub(rb"/Size\s+\d+", b"/Size %d" % size, trailer)
    end = b"trailer\n<<" + kept + b"/Prev %d\n>>\nstartxref\n%d\n%%%%EOF\n"
    return text + table + end % (before, start + len(text))
