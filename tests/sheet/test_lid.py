"""The lid: the legend of the whole panel in true size, and its photo with the places marked."""

from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QRectF

from fusemap.files import demos
from fusemap.sheet.content import LegendCard, LidCard, PhotoPicture
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_lid import FACE_MM
from fusemap.sheet.paint_photo import marks, outline, words_of
from fusemap.vehicle import PanelPhoto, Vehicle
from fusemap.vehicle.parts import PhotoPoint
from fusemap.window.photo.taking import pack
from tests import trade_vehicles
from tests.sheet.conftest import content_of, read_back, squeezed
from tests.sheet.looked_at import faults
from tests.sheet.test_type_size import rectangles_mm
from tests.window.photo.pictures import picture


def estate(code: str = "en") -> Vehicle:
    return demos.read_demo("family_estate", code)


def photographed(jpeg: str | None = None) -> Vehicle:
    """The estate with a slanting photo of its first panel's lid."""
    vehicle = estate()
    photo = PanelPhoto(
        jpeg=jpeg or pack(picture(6, 6, 1200, 900)),
        top_left=PhotoPoint(across=0.08, down=0.1),
        top_right=PhotoPoint(across=0.95, down=0.04),
        bottom_right=PhotoPoint(across=0.9, down=0.95),
        bottom_left=PhotoPoint(across=0.12, down=0.9),
    )
    first, *others = vehicle.panels
    return replace(vehicle, panels=(replace(first, photo=photo), *others))


class TestLegend:
    def legend(self, vehicle: Vehicle) -> LegendCard:
        return next(b for b in content_of(vehicle, "lid").blocks() if isinstance(b, LegendCard))

    def test_every_slot_has_a_line_with_what_it_is_for_its_fuse_and_its_feed(self) -> None:
        vehicle = estate()
        panel = vehicle.panels[0]
        rows = {row.slot: row for row in self.legend(vehicle).rows}
        for slot in panel.slots:
            if slot.kind == "fuse":
                row = rows[slot.label]
                assert row.what == (slot.circuit or "not written down")
                assert row.feed_class == slot.feed_class
                assert row.rating == ("" if slot.fuse is None else f"{slot.fuse.rating:g}")

    def test_what_was_added_stands_in_its_line_in_black(self) -> None:
        rows = {row.slot: row.added for row in self.legend(estate()).rows}
        assert rows["F2"] == ("Dash camera (1)",)
        assert rows["F13"] == ("Dash camera (1s), sense wire",)
        assert rows["F1"] == ()

    def test_every_word_of_it_is_printed(self) -> None:
        content = content_of(estate(), "lid")
        read = squeezed("".join(p.extract_text() for p in read_back(Pages(content).pdf()).pages))
        for row in self.legend(estate()).rows:
            for text in (row.slot, row.what, *row.added, row.rating):
                assert squeezed(text) in read

    @pytest.mark.parametrize("paper", ["a4", "letter"])
    def test_it_has_its_true_size_in_the_pdf(self, paper: Any) -> None:
        """Two faces of 88 × 113 mm beside each other, as the lid card."""
        found = []
        for page in read_back(Pages(content_of(estate(), "lid"), paper).pdf()).pages:
            found += [(round(w, 1), round(h, 1)) for w, h in rectangles_mm(page)]
        blocks = list(content_of(estate(), "lid").blocks())
        two_faced = [b for b in blocks if isinstance(b, LegendCard) or getattr(b, "panel", None)]
        assert found.count((2 * FACE_MM[0], FACE_MM[1])) == len(two_faced) == 3

    def test_the_panel_stands_on_the_first_card_alone(self) -> None:
        (card, *_) = [b for b in content_of(estate(), "lid").blocks() if isinstance(b, LidCard)]
        pages = read_back(Pages(content_of(estate(), "lid")).pdf()).pages
        text = "".join(page.extract_text() for page in pages)
        assert card.title in text
        assert text.count("cut here") == 5
        assert text.count("Added to this panel") == 1

    def test_on_a_block_nothing_is_said_of_a_host(self) -> None:
        cards = [b for b in content_of(trade_vehicles.camper(), "lid").blocks()
                 if isinstance(b, LidCard)]  # fmt: skip
        (entry,) = cards[0].entries
        assert entry.fuse.startswith("Accessory fuse 10")
        assert "host" not in entry.note


class TestPhoto:
    def block(self, vehicle: Vehicle) -> PhotoPicture:
        return next(b for b in content_of(vehicle).blocks() if isinstance(b, PhotoPicture))

    def test_every_place_has_its_label_and_the_tapped_ones_their_number(self) -> None:
        block = self.block(photographed())
        place = QRectF(0, 0, 8000, 6000)
        said = {words_of(slot) for slot, _ in marks(block, place)}
        assert {"F1", "F2 (1)", "F13 (1s)", "F11 (2)"} <= said
        assert len(said) == sum(slot.kind != "blocked" for slot in block.slots)

    def test_each_mark_lies_on_its_place_and_none_on_another(self) -> None:
        block = self.block(photographed())
        place = QRectF(0, 0, 8000, 6000)
        found = list(marks(block, place))
        for slot, at in found:
            quad = outline(block, slot, place)
            middle = at.center()
            assert min(p.x() for p in quad) < middle.x() < max(p.x() for p in quad)
            assert min(p.y() for p in quad) < middle.y() < max(p.y() for p in quad)
        for index, (_, one) in enumerate(found):
            assert not any(one.intersects(other) for _, other in found[index + 1 :])

    def test_where_marks_would_lie_on_each_other_the_tapped_one_stays(self) -> None:
        block = self.block(photographed())
        small = {words_of(slot) for slot, _ in marks(block, QRectF(0, 0, 1500, 900))}
        assert "F2 (1)" in small
        assert len(small) < len(block.slots)

    @pytest.mark.parametrize("part", ["sheet", "map"])
    def test_it_is_on_the_paper_as_a_picture(self, part: Any) -> None:
        pages = Pages(content_of(photographed(), part))
        assert faults(pages) == []
        images = []
        for page in read_back(pages.pdf()).pages:
            resources: Any = page["/Resources"]
            drawn = [each.get_object() for each in resources.get("/XObject", {}).values()]
            images += [each for each in drawn if each["/Subtype"] == "/Image"]
        assert [(each["/Width"], each["/Height"]) for each in images] == [(1200, 900)]

    def test_a_photo_that_is_not_as_the_program_writes_it_is_left_out(self) -> None:
        content = content_of(photographed("bm90IGEgcGljdHVyZQ=="))
        assert not any(isinstance(b, PhotoPicture) for b in content.blocks())
        assert not any(isinstance(b, PhotoPicture) for b in content_of(estate()).blocks())
