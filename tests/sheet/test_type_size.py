"""Type on paper is large enough to be read under a dash; the lid card has its true size."""

from functools import cache
from typing import Any

import pytest

from fusemap.sheet import Part
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_lid import FACE_MM
from tests.sheet.conftest import content_of, read_back, vehicles

LEAST_POINTS = 7.5
POINTS_PER_MM = 72 / 25.4
MARKS = ("!", "?", "i")
"""The signs within the marks of the severities: parts of a drawing."""


@cache
def pages_of(name: str, part: Part, code: str) -> Any:
    return read_back(Pages(content_of(vehicles()[name], part, code)).pdf()).pages


def sizes(page: Any) -> list[tuple[float, str]]:
    """The sizes of all pieces of text [points], as an independent library reads them."""
    found: list[tuple[float, str]] = []

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            found.append((abs(size * tm[3] * cm[3]) or abs(size), text))

    page.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("part", ["sheet", "lid", "map", "probing", "diagram", "labels", "record"])
@pytest.mark.parametrize("name", ["family_estate", "light_truck"])
def test_no_type_is_smaller_than_can_be_read(name: str, part: Part) -> None:
    for page in pages_of(name, part, "de"):
        for size, text in sizes(page):
            if text.strip() not in MARKS:
                assert size >= LEAST_POINTS - 0.05, text


def test_the_lid_card_has_its_true_size_in_the_pdf() -> None:
    """The outline of the card, as it is drawn in the PDF: two faces of 88 × 113 mm."""
    found: set[tuple[int, int]] = set()
    for page in pages_of("light_truck", "lid", "en"):
        found |= {(round(w), round(h)) for w, h in rectangles_mm(page)}
    assert (round(2 * FACE_MM[0]), round(FACE_MM[1])) in found


def rectangles_mm(page: Any) -> list[tuple[float, float]]:
    """Width and height of every closed figure that is drawn on a page [mm]."""
    found: list[tuple[float, float]] = []
    points: list[tuple[float, float]] = []
    matrices: list[list[float]] = [[1, 0, 0, 1, 0, 0]]
    for operands, operator in page.get_contents().operations:
        name = operator.decode()
        if name == "q":
            matrices.append(matrices[-1])
        elif name == "Q":
            matrices.pop()
        elif name == "cm":
            matrices[-1] = times([float(each) for each in operands], matrices[-1])
        elif name in ("m", "l"):
            points.append(through(matrices[-1], float(operands[0]), float(operands[1])))
        elif name == "re":
            x, y, w, h = (float(each) for each in operands)
            points += [through(matrices[-1], x, y), through(matrices[-1], x + w, y + h)]
        elif name in ("S", "s", "f", "B", "b", "n", "f*", "B*", "b*"):
            if points:
                wide = max(p[0] for p in points) - min(p[0] for p in points)
                high = max(p[1] for p in points) - min(p[1] for p in points)
                found.append((wide / POINTS_PER_MM, high / POINTS_PER_MM))
            points = []
    return found


def times(a: list[float], b: list[float]) -> list[float]:
    """One matrix of PDF after another. Source: ISO 32000-1, 8.3.4."""
    return [
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    ]


def through(m: list[float], x: float, y: float) -> tuple[float, float]:
    return m[0] * x + m[2] * y + m[4], m[1] * x + m[3] * y + m[5]
