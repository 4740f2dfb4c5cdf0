"""What the tests of the paper share: an application to draw with, vehicles, PDFs read back.

The PDFs are read with pypdf, which knows nothing of the painter.
"""

import io
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import pypdf
import pytest
from msgspec import Struct

from fusemap.assess import Assessment, assess
from fusemap.checks import findings
from fusemap.files import demos
from fusemap.sheet import Made, Part, SheetContent, paper_style, sheet_content
from fusemap.sheet.content import PanelPicture, SlotPicture, TapPicture
from fusemap.vehicle import Vehicle
from tests.vehicles import hard_names

MADE = Made("2026-03-14", "van.fusemap", "fusemap 9.9")
INVISIBLE = "\u200e\u200f\u200c\u200d\u00ad"


@pytest.fixture(autouse=True)
def _application(qapp: Any) -> None:
    """Fonts need an application; one made elsewhere would be in the way of the window's tests."""


def vehicles() -> dict[str, Vehicle]:
    """All demo vehicles, and the large one with names that are hard to set."""
    found = {key: demos.read_demo(key) for key, _ in demos.demo_names()}
    return found | {"hard_names": hard_names()}


def content_of(
    vehicle: Vehicle, part: Part = "sheet", code: str = "en", units: Any = "metric"
) -> SheetContent:
    """One part of a vehicle's paper."""
    assessment = assess(vehicle)
    return content_from(assessment, part, code, units)


def content_from(
    assessment: Assessment, part: Part = "sheet", code: str = "en", units: Any = "metric"
) -> SheetContent:
    """One part of the paper of a vehicle that is assessed already."""
    found = findings(assessment.vehicle, assessment)
    return sheet_content(part, assessment, found, paper_style(code, units), MADE)


def read_back(data: bytes) -> pypdf.PdfReader:
    """A PDF as an independent library reads it."""
    return pypdf.PdfReader(io.BytesIO(data))


def text_of(data: bytes) -> str:
    """Everything that can be selected in a PDF."""
    return "\n".join(page.extract_text() for page in read_back(data).pages)


def squeezed(text: str) -> str:
    """A text as its letters alone: no spaces, no shaping, no marks nobody sees."""
    plain = unicodedata.normalize("NFKC", text)
    return "".join(sign for sign in plain if not sign.isspace() and sign not in INVISIBLE)


def letters(text: str) -> Counter[str]:
    """How often each letter is there."""
    return Counter(squeezed(text))


def texts_in(thing: Any, leave_out: Callable[[Any], bool]) -> Iterator[str]:
    """Every text somewhere in the data of a sheet."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from texts_in(part, leave_out)
    elif isinstance(thing, Struct) and not leave_out(thing):
        for field in thing.__struct_fields__:
            yield from texts_in(getattr(thing, field), leave_out)


def is_picture(thing: Any) -> bool:
    """Pictures may shorten what stands whole beside them."""
    return isinstance(thing, PanelPicture | SlotPicture | TapPicture)
