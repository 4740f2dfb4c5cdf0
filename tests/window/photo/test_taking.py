"""A picture taken in is small, holds pixels alone, and is refused before it can do harm."""

import struct
import zlib
from base64 import b64decode
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QBuffer, QIODevice, QMimeData, QUrl
from PySide6.QtGui import QColor, QImage, QImageWriter

from fusemap.errors import InputProblem
from fusemap.vehicle import PanelPhoto, Vehicle, edits
from fusemap.vehicle.parts import MOST_JPEG_BYTES
from fusemap.window.photo import taking
from tests.window.photo.pictures import content, file_of, noise, picture

pytestmark = [
    pytest.mark.usefixtures("qapp"),
    pytest.mark.qt_log_ignore("JPEG", "marker type", extend=True),
]


def taken(path: Path) -> bytes:
    return b64decode(taking.take(path))


@pytest.mark.parametrize(("form", "name"), [("png", "a.png"), ("jpg", "a.jpg"), ("webp", "a.webp")])
def test_png_jpeg_and_webp_are_taken(tmp_path: Path, form: str, name: str) -> None:
    made = taken(file_of(tmp_path, name, content(picture(), form)))
    assert made.startswith(b"\xff\xd8\xff")
    image = QImage.fromData(made)
    assert (image.width(), image.height()) == (800, 400)
    assert image.pixelColor(100, 100).red() > 180


def test_what_is_taken_is_a_photo_a_vehicle_may_hold(tmp_path: Path) -> None:
    van = edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 4)
    jpeg = taking.take(file_of(tmp_path, "a.png", content(picture(), "png")))
    assert edits.set_photo(van, "panel-1", jpeg).panels[0].photo is not None


def test_a_large_picture_is_scaled_down_with_its_shape_kept(tmp_path: Path) -> None:
    large = file_of(tmp_path, "a.jpg", content(picture(wide=4000, high=3000), "jpg"))
    image = QImage.fromData(taken(large))
    assert (image.width(), image.height()) == (1280, 960)


def test_a_picture_that_hardly_gets_smaller_is_made_to_fit() -> None:
    restless = noise(1280, 1280)
    assert len(content(restless, "jpg")) > 2 * MOST_JPEG_BYTES
    assert len(b64decode(taking.take(restless))) <= MOST_JPEG_BYTES


def test_place_camera_and_comments_stay_behind(tmp_path: Path) -> None:
    made = content(picture(), "png", Comment="52.1 N 5.1 E", Model="Pocket camera")
    jpeg = taken(file_of(tmp_path, "a.png", made))
    assert b"52.1" not in jpeg
    assert b"Pocket" not in jpeg
    exif = b"\xff\xe1" + struct.pack(">H", 2 + 6 + 12) + b"Exif\0\0" + b"GPS 52.1 5.1"
    plain = content(picture(), "jpg")
    jpeg = taken(file_of(tmp_path, "b.jpg", plain[:2] + exif + plain[2:]))
    assert b"Exif" not in jpeg
    assert b"GPS" not in jpeg


def test_a_photo_held_on_its_side_is_set_upright(tmp_path: Path) -> None:
    """Orientation 6 of the camera's note: turn a quarter clockwise to look at it."""
    tiff = (
        b"MM\0*" + struct.pack(">IH", 8, 1) + struct.pack(">HHIHH", 0x112, 3, 1, 6, 0) + b"\0" * 4
    )
    note = b"Exif\0\0" + tiff
    plain = content(picture(), "jpg")
    turned = plain[:2] + b"\xff\xe1" + struct.pack(">H", 2 + len(note)) + note + plain[2:]
    image = QImage.fromData(taken(file_of(tmp_path, "a.jpg", turned)))
    assert (image.width(), image.height()) == (400, 800)


def test_what_one_can_see_through_becomes_white() -> None:
    clear = QImage(50, 50, QImage.Format.Format_ARGB32)
    clear.fill(QColor(0, 0, 0, 0))
    assert QImage.fromData(b64decode(taking.take(clear))).pixelColor(9, 9).lightness() > 250


def bomb(wide: int, high: int) -> bytes:
    """A PNG that says it is that large, with nearly nothing in it."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0" * 1000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("name", "made", "says"),
    [
        ("bomb.png", bomb(60_000, 60_000), "million pixels"),
        ("wide.png", bomb(900_000, 100), "million pixels"),
        ("page.jpg", b"<html>", "only JPEG"),
        ("drawing.svg.png", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "only JPEG"),
        ("phone.heic", b"\0\0\0\x18ftypheic", "only JPEG"),
        ("old.gif", b"GIF89a", "only JPEG"),
        ("empty.png", b"", "only JPEG"),
        ("head.jpg", b"\xff\xd8\xff\xe0", "broken"),
        ("cut.png", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "broken"),
        ("cut.webp", b"RIFF\xff\0\0\0WEBPVP8 ", "broken"),
    ],
)
def test_what_is_no_photo_is_refused_with_what_to_do(
    tmp_path: Path, name: str, made: bytes, says: str
) -> None:
    with pytest.raises(InputProblem, match=says) as caught:
        taking.take(file_of(tmp_path, name, made))
    assert caught.value.where == name
    assert caught.value.remedy


def test_a_bomb_is_refused_without_being_decoded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def decode(*_: Any) -> None:
        raise AssertionError("it was decoded")

    monkeypatch.setattr("PySide6.QtGui.QImageReader.read", decode)
    with pytest.raises(InputProblem, match="million pixels"):
        taking.take(file_of(tmp_path, "a.png", bomb(60_000, 60_000)))


def passes(count: int, side: int = 256) -> bytes:
    """A JPEG sent in so many passes and more: its last one, nearly empty, over and over again."""
    image = QImage(side, side, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QImageWriter(buffer, b"jpeg")
    writer.setProgressiveScanWrite(True)
    assert writer.write(image)
    made = bytes(buffer.data().data())
    last = made[made.rindex(b"\xff\xda") : -2]
    return made[:-2] + last * count + made[-2:]


def test_a_picture_sent_in_thousands_of_passes_is_refused_without_being_decoded(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bomb, photo = passes(5000), passes(0)
    assert len(bomb) < MOST_JPEG_BYTES
    assert taken(file_of(tmp_path, "a.jpg", photo)).startswith(b"\xff\xd8\xff")

    def decode(*_: Any) -> None:
        raise AssertionError("it was decoded")

    monkeypatch.setattr("PySide6.QtGui.QImageReader.read", decode)
    with pytest.raises(InputProblem, match="more passes") as caught:
        taking.take(file_of(tmp_path, "b.jpg", bomb))
    assert caught.value.where == "b.jpg"
    assert taking.image_of(kept(bomb)) is None


def test_a_vehicles_photo_is_as_we_write_it_one_pass_and_no_larger(tmp_path: Path) -> None:
    ours = taken(file_of(tmp_path, "a.png", content(picture(wide=3000, high=1500), "png")))
    assert taking.image_of(kept(ours)) is not None
    assert taking.image_of(kept(passes(0))) is None
    larger = content(picture(wide=taking.LONGEST_SIDE + 1), "jpg")
    assert taking.image_of(kept(larger)) is None


def test_passes_are_counted_past_what_stands_between_the_markers() -> None:
    """A pass hidden in a note is none; data bytes, restarts and filling hide no pass."""
    note = b"\xff\xfe\x00\x06\xff\xda\x00\x02"
    scan = b"\xff\xff\xda\x00\x02data\xff\x00\xff\xd0more"
    walked = list(taking.marks(b"\xff\xd8" + note * 99 + scan * 3 + b"rubbish" + b"\xff\xd9"))
    assert walked.count(taking.START_OF_SCAN) == 3
    assert not taking.is_quickly_decoded(b"\xff\xd8" + note * (taking.MOST_MARKS + 2))
    assert list(taking.marks(b"\xff\xd8\xff\xdb\x00")) == [0xDB], "a length cut off"


def test_a_file_that_is_far_too_large_or_not_there_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(taking, "MOST_FILE_BYTES", 1000)
    with pytest.raises(InputProblem, match="larger than"):
        taking.take(file_of(tmp_path, "a.png", content(picture(), "png") * 9))
    with pytest.raises(InputProblem, match="not a file"):
        taking.take(tmp_path / "gone.png")
    with pytest.raises(InputProblem, match="not a file"):
        taking.take(tmp_path)


def kept(made: bytes) -> PanelPhoto:
    from base64 import b64encode

    return PanelPhoto(jpeg=b64encode(made).decode())


def test_a_strangers_photo_that_is_broken_or_huge_is_not_drawn() -> None:
    good = content(picture(), "jpg")
    assert taking.image_of(kept(good)) is not None
    at = good.index(b"\xff\xc0") + 5
    huge = good[:at] + struct.pack(">HH", 60_000, 60_000) + good[at + 4 :]
    for made in (huge, good[:20], b"\xff\xd8\xff" + b"x" * 99, content(picture(), "png")):
        assert taking.image_of(kept(made)) is None
    assert taking.image_of(PanelPhoto(jpeg="/9j/#")) is None


def test_the_picture_of_a_drop_is_its_file_or_itself(tmp_path: Path) -> None:
    mime = QMimeData()
    assert taking.picture_in(mime) is None
    mime.setText("F1")
    assert taking.picture_in(mime) is None
    mime.setImageData(picture())
    assert isinstance(taking.picture_in(mime), QImage)
    mime.setUrls([QUrl("https://example.org/a.png"), QUrl.fromLocalFile(str(tmp_path / "A.JPG"))])
    assert taking.picture_in(mime) == tmp_path / "A.JPG"
