"""A picture from outside made into what a vehicle keeps: a small JPEG without anything else in it.

In: a file, the bytes of one, or a picture from the clipboard. Out: JPEG in base 64, or an
`InputProblem`. What a picture claims to be is read from its first bytes, how large it is and in how
many passes it is sent before it is decoded; it is drawn anew, so that place, camera and colour
profile stay behind.
"""

from base64 import b64encode
from itertools import islice
from pathlib import Path
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMimeData, QSize, Qt
from PySide6.QtGui import QColorSpace, QImage, QImageReader, QImageWriter, QPainter

from fusemap.errors import InputProblem
from fusemap.photo.jpeg import (
    LONGEST_SIDE,
    MOST_MARKS,
    START_OF_SCAN,
    format_of,
    is_quickly_decoded,
    is_whole,
    kept_jpeg,
    marks,
)
from fusemap.text import say
from fusemap.vehicle.parts import MOST_JPEG_BYTES, PanelPhoto
from fusemap.window.parts.dropped import dropped_files, is_picture

MOST_FILE_BYTES: Final = 80_000_000
"""No photo of a lid needs more [bytes]."""
MOST_PIXELS: Final = 64_000_000
"""A larger picture is not decoded [px]; a telephone's have 12 to 50 million."""
MOST_MEMORY_MB: Final = 256
"""What decoding one picture may take up."""
QUALITIES: Final = (85, 75, 65, 55, 45, 35, 25)


def holds_picture(mime: QMimeData) -> bool:
    """Whether what is dragged looks like one picture, or its file; nothing is read of it."""
    files = dropped_files(mime)
    return mime.hasImage() if not files else len(files) == 1 and is_picture(files[0])


def picture_in(mime: QMimeData) -> Path | QImage | None:
    """The picture that is dropped or pasted: its file, or itself."""
    for path in dropped_files(mime):
        if is_picture(path):
            return path
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


def decode(content: bytes, name: str) -> QImage:
    """The picture in the bytes of a file, no larger than is kept. Raises `InputProblem`."""
    if not content:
        raise InputProblem(say("it is empty"), name, say("choose another picture"))
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
    content = kept_jpeg(photo.jpeg)
    if content is None:
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
