"""A JPEG's markers, walked before anything of it is decoded; nothing here decodes a picture.

A JPEG may be sent in many passes (scans) over the whole of it, one finer than the other. An almost
empty pass takes a few bytes and as long to decode as a full one, so that a small file of thousands
of them would stand for a minute.

Source: ITU-T Recommendation T.81, annex B (markers and segments).
"""

import re
from base64 import b64decode
from collections.abc import Iterator
from itertools import islice
from typing import Final

START_OF_SCAN: Final = 0xDA
END: Final = 0xD9
FRAMES: Final = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""Start of frame, one code for each way of coding; three of that row mean something else."""
ONE_PASS_FRAMES: Final = frozenset({0xC0, 0xC1})
"""Baseline and extended sequential: each part of the picture is sent once."""
MOST_SCANS: Final = 32
"""A photo sent in passes has about ten (common practice)."""
MOST_SCANS_IN_ONE_PASS: Final = 4
"""One for each colour, of which a picture has four at most."""
MOST_MARKS: Final = 10_000
"""More segments than this are no photo's: a camera's notes fill some dozens."""

# A marker with a segment of its own: neither a byte that is data (00) nor a restart (D0–D7).
_MARK: Final = re.compile(rb"\xff[\xc0-\xcf\xd8-\xfe]")


def marks(content: bytes) -> Iterator[int]:
    """The codes of the markers in their order, with the end where it is there.

    Bytes between segments are passed over, as decoders do; what stands behind the end, too.

    >>> [hex(code) for code in marks(bytes.fromhex("ffd8 ffdb0003ff ffda000201 ff00 ffd9"))]
    ['0xdb', '0xda', '0xd9']
    """
    at = 2
    while (found := _MARK.search(content, at)) is not None:
        at, code = found.end(), content[found.end() - 1]
        yield code
        if code == END:
            return
        length = int.from_bytes(content[at : at + 2], "big")
        at += max(length, 2)  # a length counts its own two bytes


def is_quickly_decoded(content: bytes) -> bool:
    """Whether a JPEG is sent in no more passes than a photo is."""
    return _has_no_more(content, MOST_SCANS)


def is_whole(content: bytes) -> bool:
    """Whether a JPEG goes on to its end; one that is cut off is decoded as grey from there on."""
    return END in islice(marks(content), MOST_MARKS)


def is_one_pass(content: bytes) -> bool:
    """Whether a JPEG is written as we write it: each part of the picture sent once."""
    frames = FRAMES.intersection(islice(marks(content), MOST_MARKS))
    return frames <= ONE_PASS_FRAMES and _has_no_more(content, MOST_SCANS_IN_ONE_PASS)


def _has_no_more(content: bytes, most_scans: int) -> bool:
    """Whether there are at most so many scans; told at the first too many."""
    scans = 0
    for count, code in enumerate(marks(content)):
        scans += code == START_OF_SCAN
        if scans > most_scans or count > MOST_MARKS:
            return False
    return True


LONGEST_SIDE: Final = 1280
"""Of what is kept [px]."""

_STARTS: Final = ((b"\xff\xd8\xff", "jpeg"), (b"\x89PNG\r\n\x1a\n", "png"))


def format_of(content: bytes) -> str:
    """Which of the formats we read this is, by its first bytes; empty for any other."""
    for start, name in _STARTS:
        if content.startswith(start):
            return name
    return "webp" if content[:4] == b"RIFF" and content[8:12] == b"WEBP" else ""


def kept_jpeg(text: str) -> bytes | None:
    """The bytes of a vehicle's photo, to be decoded; `None` where it is not as we write it."""
    try:
        content = b64decode(text, validate=True)
    except ValueError:
        return None
    if format_of(content) != "jpeg" or not (is_one_pass(content) and is_whole(content)):
        return None
    return content
