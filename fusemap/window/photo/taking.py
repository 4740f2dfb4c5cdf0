"""A picture from outside made into what a vehicle keeps: a small JPEG without anything else in it.

In: a file, the bytes of one, or a picture from the clipboard. Out: JPEG in base 64, or an
`InputProblem`. What a picture claims to be is read from its first bytes, how large it is and in how
many passes it is sent before it is decoded; it is drawn anew, so that place, camera and colour
profile stay behind.

A JPEG may be sent in many passes (scans) over the whole of it, one finer than the other. An almost
empty pass takes a few bytes and as long to decode as a full one, so that a small file of thousands
of them would stand for a minute. Its markers are walked first, and nothing of the picture is
decoded for that.

Source: ITU-T Recommendation T.81, annex B (markers and segments).
"""

import re
from base64 import b64decode, b64encode
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QSize, Qt, QUrl
from PySide6.QtGui import QColorSpace, QImage, QImageReader, QImageWriter, QPainter

from fusemap.errors import InputProblem
from fusemap.text import say
from fusemap.vehicle.parts import MOST_JPEG_BYTES, PanelPhoto

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


MOST_FILE_BYTES: Final = 80_000_000
"""No photo of a lid needs more [bytes]."""
MOST_PIXELS: Final = 64_000_000
"""A larger picture is not decoded [px]; a telephone's have 12 to 50 million."""
MOST_MEMORY_MB: Final = 256
"""What decoding one picture may take up."""
LONGEST_SIDE: Final = 1280
"""Of what is kept [px]."""
QUALITIES: Final = (85, 75, 65, 55, 45, 35, 25)

_STARTS: Final = ((b"\xff\xd8\xff", "jpeg"), (b"\x89PNG\r\n\x1a\n", "png"))
PICTURE_ENDS: Final = (
    ".jpg", ".jpeg", ".jfif", ".png", ".webp", ".heic", ".heif", ".avif", ".bmp", ".gif", ".tif",
    ".tiff",
)  # fmt: skip
"""Names of pictures: those we cannot read among them, so that this can be said."""


def holds_picture(mime: QMimeData) -> bool:
    """Whether what is dragged looks like a picture, or the file of one; nothing is read of it."""
    return mime.hasImage() or any(_is_picture(url) for url in mime.urls())


def _is_picture(url: QUrl) -> bool:
    return url.isLocalFile() and Path(url.toLocalFile()).suffix.lower() in PICTURE_ENDS


def picture_in(mime: QMimeData) -> Path | QImage | None:
    """The picture that is dropped or pasted: its file, or itself."""
    for url in mime.urls():
        if _is_picture(url):
            return Path(url.toLocalFile())
    if mime.hasImage():
        image = mime.imageData()
        return image if isinstance(image, QImage) and not image.isNull() else None
    return None


def take(picture: Path | QImage) -> str:
    """A picture as a vehicle keeps it: JPEG in base 64. Raises `InputProblem`."""
    if isinstance(picture, QImage):
        return pack(picture)
    return pack(decode(_content(picture), picture.name))


def _content(path: Path) -> bytes:
    """What stands in a file; a pipe or a device is never waited for."""
    try:
        if not path.is_file():
            raise InputProblem(say("this is not a file"), path.name, say("choose a picture"))
        with open(path, "rb") as file:
            content = file.read(MOST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        raise InputProblem(
            say("it cannot be read"), path.name, say("choose another picture")
        ) from error
    if len(content) > MOST_FILE_BYTES:
        what = say("it is larger than {most} MB", most=MOST_FILE_BYTES // 1_000_000)
        raise InputProblem(what, path.name, say("choose a smaller picture"))
    return content


def format_of(content: bytes) -> str:
    """Which of the formats we read this is, by its first bytes; empty for any other."""
    for start, name in _STARTS:
        if content.startswith(start):
            return name
    return "webp" if content[:4] == b"RIFF" and content[8:12] == b"WEBP" else ""


def decode(content: bytes, name: str) -> QImage:
    """The picture in the bytes of a file, no larger than is kept. Raises `InputProblem`."""
    form = format_of(content)
    if not form or form.encode() not in [bytes(f.data()) for f in _readable()]:
        raise InputProblem(
            say("only JPEG, PNG and WebP pictures can be taken in"),
            name,
            say("save it as JPEG first"),
        )
    buffer = QBuffer()
    buffer.setData(content)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = _reader(buffer, form)
    size = reader.size()
    if not size.isValid() or size.isEmpty():
        raise _broken(name)
    if size.width() * size.height() > MOST_PIXELS:
        what = say("it has more than {most} million pixels", most=MOST_PIXELS // 1_000_000)
        raise InputProblem(what, name, say("choose a smaller picture"))
    if form == "jpeg":
        _look_through(content, name)
    elif _memory_mb(reader, size) > MOST_MEMORY_MB:
        # A JPEG is made smaller while it is decoded, the others first take their whole size.
        what = say("opening it takes more than {most} MB", most=MOST_MEMORY_MB)
        raise InputProblem(what, name, say("save it as JPEG first"))
    reader.setAutoTransform(True)
    longest = QSize(LONGEST_SIDE, LONGEST_SIDE)
    if max(size.width(), size.height()) > LONGEST_SIDE:
        scaled = size.scaled(longest, Qt.AspectRatioMode.KeepAspectRatio)
        reader.setScaledSize(scaled.expandedTo(QSize(1, 1)))
    image = reader.read()
    if image.isNull():
        raise _broken(name)
    return image


def _look_through(content: bytes, name: str) -> None:
    """Walk a JPEG's markers before anything of it is decoded. Raises `InputProblem`."""
    if not is_quickly_decoded(content):
        raise InputProblem(
            say("it is sent in far more passes than a photo"), name, say("choose another picture")
        )
    if START_OF_SCAN in islice(marks(content), MOST_MARKS) and not is_whole(content):
        raise InputProblem(
            say("this picture is cut off in the middle"), name, say("copy it here once more")
        )


def _memory_mb(reader: QImageReader, size: QSize) -> float:
    """What the pixels take up at the picture's own depth of colour."""
    depth = QImage.toPixelFormat(reader.imageFormat()).bitsPerPixel()
    return size.width() * size.height() * depth / 8 / 2**20


def _readable() -> list[QByteArray]:
    return QImageReader.supportedImageFormats()


def _reader(buffer: QBuffer, form: str) -> QImageReader:
    """A reader of this format and no other, which takes up no more memory than a photo needs."""
    QImageReader.setAllocationLimit(MOST_MEMORY_MB)
    reader = QImageReader(buffer, QByteArray(form.encode()))
    reader.setAutoDetectImageFormat(False)
    reader.setDecideFormatFromContent(False)
    return reader


def _broken(name: str) -> InputProblem:
    return InputProblem(say("this picture is broken"), name, say("choose another picture"))


def pack(image: QImage) -> str:
    """A picture made small enough to travel with a vehicle, as JPEG in base 64."""
    plain = _plain(image)
    while True:
        for quality in QUALITIES:
            content = _jpeg(plain, quality)
            if 0 < len(content) <= MOST_JPEG_BYTES:
                return b64encode(content).decode()
        if plain.width() < 16:
            raise _broken("")
        plain = plain.scaled(
            plain.size() * 0.8,
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )


def _plain(image: QImage) -> QImage:
    """The pixels alone, on white where one could see through, no larger than is kept.

    It is made smaller first: one from the clipboard may be as large as a camera's, and whatever
    is done with its pixels takes as much room again.
    """
    if max(image.width(), image.height()) > LONGEST_SIDE:
        image = image.scaled(
            LONGEST_SIDE,
            LONGEST_SIDE,
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
    if image.colorSpace().isValid():
        image = image.convertedToColorSpace(QColorSpace(QColorSpace.NamedColorSpace.SRgb))
    plain = QImage(image.size(), QImage.Format.Format_RGB32)
    plain.fill(Qt.GlobalColor.white)
    painter = QPainter(plain)
    painter.drawImage(plain.rect(), image)
    painter.end()
    return plain


def _jpeg(image: QImage, quality: int) -> bytes:
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, QByteArray(b"jpeg"))
    writer.setQuality(quality)
    writer.write(image)
    return bytes(buffer.data().data())


def image_of(photo: PanelPhoto) -> QImage | None:
    """The picture of a vehicle's photo, to be drawn; `None` where it is not as `pack` makes it."""
    try:
        content = b64decode(photo.jpeg, validate=True)
    except ValueError:
        return None
    if format_of(content) != "jpeg" or not (is_one_pass(content) and is_whole(content)):
        return None
    buffer = QBuffer()
    buffer.setData(content)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = _reader(buffer, "jpeg")
    size = reader.size()
    if size.isEmpty() or max(size.width(), size.height()) > LONGEST_SIDE:
        return None
    image = reader.read()
    return None if image.isNull() else image
