"""A picture taken in is small, holds pixels alone, and is refused before it can do harm."""

import struct
import subprocess
import sys
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


def bomb(wide: int, high: int, *, bits: int = 8, kind: int = 2, rows: int = 0) -> bytes:
    """A PNG that says it is that large, with so many rows of black in it or nearly nothing."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", wide, high, bits, kind, 0, 0, 0)
    packing = zlib.compressobj()
    lines = [b"\0" * (1 + 3 * wide)] * rows or [b"\0" * 1000]
    body = b"".join(packing.compress(line) for line in lines) + packing.flush()
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
        ("empty.png", b"", "it is empty"),
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


@pytest.mark.parametrize("form", ["jpg", "png", "webp"])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.95])
def test_a_picture_that_stops_in_the_middle_is_refused(
    tmp_path: Path, form: str, share: float
) -> None:
    """A decoder would fill up the rest of a JPEG with grey."""
    whole = content(noise(300, 200), form)
    path = file_of(tmp_path, f"a.{form}", whole[: int(len(whole) * share)])
    with pytest.raises(InputProblem, match="cut off" if form == "jpg" else "broken") as caught:
        taking.take(path)
    assert caught.value.where == path.name


def test_what_a_telephone_writes_behind_a_picture_is_passed_over(tmp_path: Path) -> None:
    made = content(picture(), "jpg")
    assert taken(file_of(tmp_path, "a.jpg", made + b"\0\0\0\x18ftypmp42\xff\xda" + b"x" * 99))


def test_of_a_picture_that_moves_the_first_is_taken(tmp_path: Path) -> None:
    """A WebP of two pictures, put together from two still ones.

    Source: Google, "WebP Container Specification" (RFC 9649, section 2.7.1).
    """

    def chunk(kind: bytes, data: bytes) -> bytes:
        return kind + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)

    def frame(colour: str) -> bytes:
        image = QImage(64, 48, QImage.Format.Format_RGB32)
        image.fill(QColor(colour))
        still = content(image, "webp")[12:]  # its one chunk, of pixels
        head = b"".join(each.to_bytes(3, "little") for each in (0, 0, 63, 47, 200)) + b"\0"
        return chunk(b"ANMF", head + still)

    size = (63).to_bytes(3, "little") + (47).to_bytes(3, "little")
    parts = chunk(b"VP8X", b"\x02\0\0\0" + size) + chunk(b"ANIM", b"\0" * 6)
    parts += frame("#d02020") + frame("#2020d0")
    moving = b"RIFF" + struct.pack("<I", 4 + len(parts)) + b"WEBP" + parts
    image = QImage.fromData(taken(file_of(tmp_path, "a.webp", moving)))
    assert (image.width(), image.height()) == (64, 48)
    assert image.pixelColor(30, 20).red() > 180
    assert image.pixelColor(30, 20).blue() < 60


def test_a_picture_too_deep_to_be_opened_is_refused_with_a_way_on(tmp_path: Path) -> None:
    """16 bits a colour, 8000 × 6000: 384 MB, though fewer pixels than may be."""
    deep = bomb(8000, 6000, bits=16, kind=6)
    with pytest.raises(InputProblem, match="256 MB") as caught:
        taking.take(file_of(tmp_path, "a.png", deep))
    assert str(caught.value.remedy) == "save it as JPEG first"


ROOM = """
import sys
from pathlib import Path
from PySide6.QtGui import QColorSpace, QGuiApplication, QImage
from fusemap.window.photo import taking

def most():
    lines = Path("/proc/self/status").read_text().splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM"))

app = QGuiApplication([])
taking.take(QImage(64, 64, QImage.Format.Format_RGB32))
given = Path(sys.argv[1])
if given.suffix == ".none":
    given = QImage(8000, 6000, QImage.Format.Format_RGB32)
    given.fill(0xFF336699)
    given.setColorSpace(QColorSpace(QColorSpace.NamedColorSpace.AdobeRgb))
before = most()
taking.take(given)
print(most() - before)
"""


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system does not count it")
@pytest.mark.parametrize(("name", "most_mb"), [("a.jpg", 60), ("a.png", 250), ("pasted.none", 60)])
def test_a_picture_of_48_million_pixels_is_never_held_twice(
    tmp_path: Path, name: str, most_mb: float
) -> None:
    """Whole it takes 183 MB; a JPEG is made smaller on its way, one that was pasted is there."""
    path = tmp_path / name
    if name.endswith("jpg"):
        image = QImage(8000, 6000, QImage.Format.Format_RGB888)
        image.fill(QColor("#336699"))
        path.write_bytes(content(image, "jpg"))
    elif name.endswith("png"):
        path.write_bytes(bomb(8000, 6000, rows=6000))
    ran = subprocess.run(
        [sys.executable, "-c", ROOM, str(path)], capture_output=True, text=True, check=True
    )
    assert float(ran.stdout) < most_mb


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


def test_several_pictures_dropped_at_once_are_none(tmp_path: Path) -> None:
    """None of them is taken at random: the window says that one is to be dropped."""
    mime = QMimeData()
    one = QUrl.fromLocalFile(str(tmp_path / "a.jpg"))
    mime.setUrls([one])
    assert taking.holds_picture(mime)
    mime.setUrls([one, QUrl.fromLocalFile(str(tmp_path / "b.jpg"))])
    assert not taking.holds_picture(mime)
