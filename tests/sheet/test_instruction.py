"""The sheet as an instruction: numbered cables, first page, terminals, torques, parts, labels."""

import re
from collections.abc import Iterator
from math import isclose

import pytest
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import assess
from fusemap.catalogues import LANGUAGES
from fusemap.files import demos
from fusemap.sheet.cables import numbered
from fusemap.sheet.content import (
    Blanks,
    Bullets,
    Figure,
    Job,
    Label,
    LabelSheet,
    Paragraph,
    PlanView,
    Section,
    Steps,
    Table,
    cell_text,
)
from fusemap.sheet.fitting import crimp_words, torque_words
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_cover import SHARES
from fusemap.sheet.paint_ink import metrics, mm
from fusemap.sheet.parts import END_M, WASTE, to_lay
from fusemap.sheet.style import paper_style
from fusemap.sheet.subject import Subject
from fusemap.style import Style
from fusemap.text import Amount
from fusemap.vehicle import Cable, Stretch, Vehicle, edits
from tests import trade_vehicles
from tests.checks.test_sockets import towing
from tests.sheet.conftest import MADE, content_of, read_back, squeezed, vehicles
from tests.sheet.test_diagram import camper
from tests.sheet.test_job import fitted, section, steps, table
from tests.sheet.test_sockets import words

NUMBER = re.compile(r"W(?:\d+|[A-Z]+)[+−s]")
VEHICLES = (
    vehicles()
    | {"camper": camper()}
    | {f"trade_{make.__name__}": make() for make in trade_vehicles.BUILT}
    | {"towing": towing()}
)


def subject_of(vehicle: Vehicle) -> Subject:
    return Subject(assess(vehicle), (), paper_style("en"), MADE)


class TestNumbers:
    @pytest.mark.parametrize("name", VEHICLES)
    def test_every_cable_has_one_and_no_two_have_the_same(self, name: str) -> None:
        vehicle = VEHICLES[name]
        found = numbered(subject_of(vehicle))
        numbers = [each.number for each in found]
        assert len(set(numbers)) == len(numbers)
        assert all(NUMBER.fullmatch(number) for number in numbers)
        entered = [c for tap in vehicle.taps for c in (tap.cable_out, tap.cable_back) if c]
        entered += [feed.cable for feed in vehicle.feeds if feed.added and feed.cable]
        if vehicle.second_battery is not None and vehicle.second_battery.link_cable:
            entered.append(vehicle.second_battery.link_cable)
        behind = [a for a in vehicle.accessories if a.supplied_by is not None]
        entered += [c for a in behind for c in (a.lead_cable, a.lead_back) if c]
        kept = [each.cable for each in found if each.cable is not None]
        assert sorted(map(str, kept)) == sorted(map(str, entered))

    def test_they_stay_when_something_is_added_or_taken_off_its_place(self) -> None:
        vehicle = VEHICLES["family_estate"]
        before = {each.of: each.number for each in numbered(subject_of(vehicle)) if each.of}
        grown = edits.add_accessory(vehicle, "Lamp", watts=5.0)
        moved = replace(grown, taps=tuple(tap for tap in grown.taps if tap.id != "tap-3"))
        after = {each.of: each.number for each in numbered(subject_of(moved)) if each.of}
        assert after == {of: number for of, number in before.items() if of != "tap-3"}

    def test_jobs_order_cut_list_labels_and_diagram_have_the_same(self) -> None:
        content = content_of(camper())
        said = {each.number for each in to_lay(subject_of(camper()))}
        cut = {str(row.cells[0]) for row in table(content, "cut-list").rows[:-1]}
        assert cut == said
        order = " ".join(text for _, text in steps(content))
        facts = " ".join(
            text for b in content.blocks() if isinstance(b, Job) for _, text in b.facts
        )
        assert set(NUMBER.findall(facts)) <= said
        assert {n for n in said if n in order} >= set(NUMBER.findall(facts))
        (diagram,) = [s for s in content.sections if s.key == "diagram"]
        drawn = " ".join(diagram.blocks[0].texts())  # type: ignore[union-attr]
        assert set(NUMBER.findall(drawn)) == said
        labels = [b for b in content_of(camper(), "labels").blocks() if isinstance(b, LabelSheet)]
        for sheet in labels:
            assert sorted(label.number for label in sheet.labels) == sorted([*said, *said])


COVER = ("vehicle", "fitted", "verdict", "cautions", "tools")


def texts_of(part: Section) -> Iterator[str]:
    """What a section of the first page says; cells of tables are whole, labels of slots, too."""
    yield part.title
    for block in part.blocks:
        match block:
            case Blanks(names=names):
                yield from names
            case Paragraph(text=text):
                yield text
            case Bullets(items=items):
                yield from items
            case Table(rows=rows):
                yield from (cell_text(row.cells[1]) for row in rows)
            case PlanView(panel=panel):
                yield panel.name
            case _:
                raise AssertionError(block)


class TestFirstPage:
    @pytest.mark.parametrize("code", LANGUAGES)
    @pytest.mark.parametrize("name", [key for key, _ in demos.demo_names()])
    def test_it_holds_all_it_must_in_every_language_on_both_papers(
        self, name: str, code: str
    ) -> None:
        """Whose vehicle, every lead, the verdict, the first cautions whole, the tools."""
        content = content_of(demos.read_demo(name, code), code=code)
        must = [text for key in COVER for text in texts_of(section(content, key))]
        assert len(must) > 12
        for paper in ("a4", "letter"):
            first = read_back(Pages(content, paper).pdf()).pages[0].extract_text()  # type: ignore[arg-type]
            there = re.sub(r"\W", "", squeezed(first))
            for text in must:
                assert re.sub(r"\W", "", squeezed(text)) in there, (paper, text)

    @pytest.mark.parametrize("code", LANGUAGES)
    def test_every_name_on_it_has_room_to_write_beside_it(self, code: str) -> None:
        content = content_of(demos.read_demo("courier_van", code), code=code)
        (names,) = [b.names for b in section(content, "vehicle").blocks if isinstance(b, Blanks)]
        room = mm(180) - (len(SHARES) - 1) * mm(6)
        for index, name in enumerate(names):
            share = SHARES[index % len(SHARES)]
            left = room * share - metrics(8, False).horizontalAdvance(name) - mm(2)
            assert left > mm(12 if index else 30), name

    def test_a_full_page_has_four_cautions_and_a_usual_one_six(self) -> None:
        counted = {
            name: len(section(content_of(VEHICLES[name]), "cautions").blocks[0].items)  # type: ignore[union-attr]
            for name in ("family_estate", "small_old_car")
        }
        assert counted == {"family_estate": 4, "small_old_car": 6}

    def test_every_tapped_place_is_on_the_picture_of_the_panel(self) -> None:
        content = content_of(VEHICLES["family_estate"])
        (plan,) = [b for b in content.blocks() if isinstance(b, PlanView)]
        badges = {badge for slot in plan.panel.slots for badge in slot.badges}
        assert badges == {"1", "1s", "2", "3", "3s", "6"}

    @pytest.mark.parametrize("name", VEHICLES)
    def test_at_most_six_cautions_and_none_is_lost(self, name: str) -> None:
        content = content_of(VEHICLES[name])
        first, rest = (
            [i for b in section(content, key).blocks if isinstance(b, Bullets) for i in b.items]
            for key in ("cautions", "further-cautions")
        )
        assert 1 <= len(first) <= 6
        assert not set(first) & set(rest)
        always = {c.text for c in tables.cautions() if c.when == "always"}
        assert always <= {*first, *rest}

    def test_what_belongs_to_this_job_alone_comes_first(self) -> None:
        truck = section(content_of(VEHICLES["light_truck"]), "cautions").blocks[0]
        assert isinstance(truck, Bullets)
        assert "24 V" in truck.items[0]
        own = section(content_of(fitted(kind="own_feed")), "cautions").blocks[0]
        assert isinstance(own, Bullets)
        assert "airbags" in own.items[0]


class TestFitting:
    @pytest.mark.parametrize(
        ("area", "colour"), [(0.5, "red"), (1.5, "red"), (2.5, "blue"), (4.0, "yellow")]
    )
    def test_the_sleeve_has_the_colour_of_its_section(self, area: float, colour: str) -> None:
        """A terminal supplier's guide and a body-builder guide (2004): 22–16, 16–14, 12–10 AWG."""
        for kind in ("insulated", "butt"):
            found = tables.crimp(kind, area)  # type: ignore[arg-type]
            assert found is not None
            assert found.colour == colour
            assert found.source.status == "seen"

    @pytest.mark.parametrize(
        ("thread", "torque"), [(4, 1.8), (5, 3.0), (6, 6.0), (8, 13.0), (10, 25.0), (12, 50.0)]
    )
    def test_the_torque_is_that_of_the_table_for_soft_metals(
        self, thread: int, torque: float
    ) -> None:
        """Siemens SINAMICS SM150 instructions, table 9-1."""
        assert f"{torque:g}\u202fNm" in str(torque_words(float(thread)))

    def test_on_paper_in_us_units_it_is_in_pound_inches(self) -> None:
        """13 N·m ÷ 0.1129848 = 115 lbf·in, 3.0 N·m 26.6 (NIST SP 811, appendix B.8)."""
        us = paper_style("en", "us")
        assert "M8: 115\u202flbf·in" in us.show(torque_words(8.0))
        assert "M5: 26.6\u202flbf·in" in us.show(torque_words(5.0))
        assert "M8: 13\u202fNm" in paper_style("de", "metric").show(torque_words(8.0))

    def test_small_lengths_and_pulls_are_inches_and_pounds(self) -> None:
        """25.4 mm are an inch; 100 N are 22.48 lbf (NIST SP 811, appendix B.8)."""
        us = paper_style("en", "us")
        assert us.show(Amount(300.0, "mm")) == "11.8\u202fin"
        assert us.show(Amount(6.5, "mm")) == "0.256\u202fin"
        assert us.show(Amount(100.0, "N")) == "22.5\u202flbf"
        assert Style("en", "ft").show(Amount(6.5, "mm")) == "6.5\u202fmm"  # the window's forms

    def test_no_sheet_in_us_units_has_newton_metres_or_millimetres(self) -> None:
        """But where a fuse is called by them ("51 mm holes"), or both stand beside each other."""
        alone = re.compile(r"\d[\d.,]*\s(?:Nm|mm|N)\b(?!²| holes|, \d+ in)")
        for name, vehicle in VEHICLES.items():
            found = alone.findall(words(content_of(vehicle, units="us")))
            assert not found, (name, found)

    def test_where_there_is_no_figure_the_maker_says_it(self) -> None:
        assert "as the vehicle maker says" in str(torque_words(None))
        assert "as the vehicle maker says" in str(torque_words(7.0))
        assert "as the maker of the part says" in str(crimp_words("lug", 300.0))

    def test_what_is_from_memory_is_never_shown_without_saying_so(self) -> None:
        for each in tables.crimps():
            assert each.strip_source.status == "memory"
            said = str(crimp_words(each.kind, each.to_mm2))
            assert "usual figure, check" in said

    def test_an_earth_point_that_was_looked_at_has_its_torque_at_its_step(self) -> None:
        said = [text for stage, text in steps(content_of(camper())) if stage == "Earth first"]
        (fridge,) = [text for text in said if "Fridge" in text]
        assert "13\u202fNm" in fridge
        assert "Body bolt by the second battery" in fridge
        others = [text for text in said if "Fridge" not in text]
        assert all("as the vehicle maker says" in text for text in others)

    def test_a_crossing_of_the_bulkhead_is_a_step_and_a_grommet_to_buy(self) -> None:
        content = content_of(camper())
        laid = [text for stage, text in steps(content) if stage == "Lay the cables"]
        crossing = [text for text in laid if "grommet" in text and text.startswith("Lead W")]
        assert len(crossing) == 2
        rows = table(content, "parts").rows
        (grommets,) = [row for row in rows if "Grommet for" in str(row.cells[0])]
        assert isinstance(grommets.cells[1], Figure)
        assert grommets.cells[1].value == 2

    def test_added_feeds_and_the_link_are_connected_before_and_fused_last(self) -> None:
        supply = [text for stage, text in steps(content_of(camper())) if stage == "Supply last"]
        connected = [text for text in supply if text.startswith("Connect W")]
        assert "Connect W0+" in connected[0]
        assert "Connect WA+" in connected[1]
        assert supply.index(connected[0]) < min(
            n for n, text in enumerate(supply) if text.startswith("Put ")
        )
        assert supply[-2].startswith("Put the fuses of W0+")
        assert supply[-1].startswith("Put the fuse of WA+")

    def test_a_lead_behind_a_converter_is_laid_fused_cut_and_labelled(self) -> None:
        content = content_of(trade_vehicles.truck())
        said = [text for _, text in steps(content)]
        assert any(text.startswith("Cut and lay W2+ from Converter to") for text in said)
        assert any(text.startswith("Cut and lay W2− from") for text in said)
        (radio,) = [text for text in said if text.startswith("Connect Two-way radio (2)")]
        assert "Fuse at the output: 7.5" in radio
        assert "W2+: 2.5" in radio
        fuses = of_group(table(content, "parts"), "Fuses")
        assert {name.split("\u202f")[0] for name in fuses} == {"5", "7.5", "10"}
        holders = of_group(table(content, "parts"), "Taps, fuse holders, relays")
        assert sum(n for name, n in holders.items() if name.startswith("Fuse holder")) == 2
        cut = {str(row.cells[0]) for row in table(content, "cut-list").rows}
        assert {"W2+", "W2−", "W3+", "W3−"} <= cut
        labels = [b for b in content_of(trade_vehicles.truck(), "labels").blocks()
                  if isinstance(b, LabelSheet)]  # fmt: skip
        assert {"W2+", "W2−"} <= {label.number for label in labels[0].labels}

    def test_a_block_is_fixed_before_and_fused_last_with_what_it_needs(self) -> None:
        content = content_of(trade_vehicles.camper())
        said = steps(content)
        supply = [text for stage, text in said if stage == "Supply last"]
        fixed = [text for stage, text in said if stage == "Fix what is added"]
        assert fixed[0].startswith("Fix the fuse block Living block")
        assert fixed[-1].startswith("Fix Compressor cool box in its place")
        assert supply[-1].startswith("Put the fuse of Fridge") or "10" in supply[-1]
        assert "Living block" in supply[-1]
        bought = of_group(table(content, "parts"), "Taps, fuse holders, relays")
        assert any(name.startswith("Fuse block, 4 ways") for name in bought)
        assert any(name.startswith("DC-DC charger, 30") for name in bought)
        fuses = of_group(table(content, "parts"), "Fuses")
        assert any(name.startswith("10\u202fA regular") for name in fuses)

    def test_a_switch_is_a_part_and_a_step_with_its_name(self) -> None:
        content = content_of(trade_vehicles.pickup())
        said = [text for _, text in steps(content)]
        assert any(text.startswith("Put the switch S1s into W1s. S1s: a hand switch")
                   for text in said)  # fmt: skip
        assert any("S3: a hand switch, for 350" in text for text in said)
        ends = of_group(table(content, "parts"), "Terminals and joints")
        assert any(name.startswith("Blade terminal for the switch, 0.75") for name in ends)
        assert not any(name.startswith("Blade terminal for the switch, 95") for name in ends)

    def test_a_step_has_the_drawing_of_what_is_done(self) -> None:
        content = content_of(camper())
        blocks = [b for b in section(content, "order").blocks if isinstance(b, Steps)]
        drawn = [step for block in blocks for step in block.items]
        assert {s.sign for s in drawn if "through the bulkhead" in s.text} == {"crossing"}
        assert {s.sign for s in drawn if s.text.startswith("Connect the earth")} == {"earth"}
        devices = {s.sign for s in drawn if "earth, then plus" in s.text}
        assert devices == {"joint"}
        feeds = [s for s in drawn if s.text.startswith(("Connect W0+", "Connect WA+"))]
        assert [s.sign for s in feeds] == ["ring", "ring"]
        jobs = [b for b in section(content, "accessories").blocks if isinstance(b, Job)]
        pictures = [s.picture for s in drawn if s.picture is not None]
        assert sorted(map(str, pictures)) == sorted(str(job.picture) for job in jobs)
        signs = [bool(s.sign) + (s.picture is not None) for s in drawn]
        assert max(signs) == 1

    def test_the_caution_stands_at_the_step_it_belongs_to(self) -> None:
        content = content_of(fitted(kind="own_feed", relay=True))
        blocks = section(content, "order").blocks
        said = {s.text: s.caution for b in blocks if isinstance(b, Steps) for s in b.items}
        (relay,) = [c for text, c in said.items() if "relay" in text]
        assert "three times its rated current" in relay
        (off,) = [c for text, c in said.items() if text.startswith("Disconnect")]
        assert "minus clamp off first" in off


class TestParts:
    def test_both_ends_of_every_cable_have_a_terminal(self) -> None:
        content = content_of(fitted(cable_back=Cable(section_mm2=1.5, length_m=1.0)))
        counted = of_group(table(content, "parts"), "Terminals and joints")
        assert sum(counted.values()) == 4
        ring = [n for name, n in counted.items() if name.startswith("Ring terminal")]
        assert ring == [1]

    def test_a_bolted_fuse_has_a_ring_terminal_at_both_ends_of_its_holder(self) -> None:
        counted = of_group(table(content_of(camper()), "parts"), "Terminals and joints")
        thick = sum(n for name, n in counted.items() if "Ring terminal, 16" in name)
        # link: two ends, two holders and its relay between them; feed: two ends and one holder;
        # the second battery's minus: two ends
        assert thick == (2 + 2 * 2 + 2) + (2 + 2) + 2

    def test_a_cable_is_cut_longer_than_planned_and_never_shorter(self) -> None:
        for vehicle in VEHICLES.values():
            for row in table(content_of(vehicle), "cut-list").rows[:-1]:
                planned, cut = row.cells[4:6]
                if isinstance(planned, Figure) and isinstance(cut, Figure):
                    least = planned.value * (1 + WASTE) + 2 * END_M
                    assert least - 1e-9 <= cut.value <= least + 0.1

    def test_sleeve_is_counted_where_a_cable_lies_outside(self) -> None:
        cable = Cable(section_mm2=1.5, length_m=1.2, place="engine_bay",
                      further=(Stretch(length_m=3.0, place="cabin"),))  # fmt: skip
        row = table(content_of(fitted(cable_out=cable)), "cut-list").rows[0]
        assert isinstance(row.cells[6], Figure)
        assert isclose(row.cells[6].value, 1.2)


def of_group(parts: Table, name: str) -> dict[str, float]:
    """What is counted in a group of the parts list."""
    found: dict[str, float] = {}
    inside = False
    for row in parts.rows:
        if row.kind == "group":
            inside = row.cells[0] == name
        elif inside and row.kind == "plain":
            cell = row.cells[1]
            assert isinstance(cell, Figure)
            found[str(row.cells[0])] = cell.value
    return found


def test_a_label_says_where_both_ends_go() -> None:
    (first,) = [b for b in content_of(fitted(), "labels").blocks() if isinstance(b, LabelSheet)]
    assert first.labels[:2] == (Label("W1+", "F1 Radio", "Lamp"),) * 2


def test_the_owner_is_told_in_plain_words_what_was_added_and_what_to_do() -> None:
    content = content_of(VEHICLES["family_estate"])
    page = section(content, "handover")
    assert page.apart
    told = [i for b in page.blocks if isinstance(b, Bullets) for i in b.items]
    for name in ("Dash camera", "Rear-seat USB sockets", "Tracker", "Tow socket module"):
        assert any(item.startswith(name) and " A " in item.replace("\u202f", " ") for item in told)
    assert any("never larger" in item for item in told)
