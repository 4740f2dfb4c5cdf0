"""Every number on paper is the assessment's, and reads as it was printed."""

import re
from math import isclose, isfinite

import pytest
from hypothesis import given, settings

from fusemap.assess import Assessment, assess
from fusemap.files import demos
from fusemap.probing import final_check
from fusemap.sheet import PARTS, Part, paper_style
from fusemap.sheet.content import Figure, Job, SheetContent
from fusemap.sheet.paint import Pages
from fusemap.text import Amount, Section, say
from fusemap.text import given as rated
from fusemap.units import FEET_PER_METRE
from fusemap.vehicle import BATTERY, STATES, Vehicle, edits, look_up
from tests import strategies
from tests.sheet.conftest import content_from, content_of, squeezed, text_of, texts_in, vehicles
from tests.vehicles import loads, one_slot, with_accessory

NUMBER = re.compile(r"−?\d+(?:\.\d+)?")
THOUSANDTHS = {"mA": 1e-3, "mV": 1e-3, "mΩ": 1e-3}


def rows(content: SheetContent, key: str) -> list[tuple[object, ...]]:
    """The rows of a table, headings within it left out."""
    (table,) = [table for table in content.tables() if table.key == key]
    return [row.cells for row in table.rows if row.kind == "plain"]


def values(content: SheetContent, key: str, column: int) -> list[float]:
    return [row[column].value for row in rows(content, key) if isinstance(row[column], Figure)]  # type: ignore[union-attr]


@settings(max_examples=20, deadline=None)
@given(strategies.vehicles(usual=True))
def test_every_predicted_figure_is_that_of_the_chain(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    content = content_from(a)
    jobs = {block.tap_id: block for block in content.blocks() if isinstance(block, Job)}
    assert set(jobs) == set(a.taps.ids)
    for tap_id, job in jobs.items():
        hops = {hop.id: hop for hop in a.chains[tap_id].hops}
        for figure in job.predicted:
            if figure.key in hops:
                hop = hops[figure.key]
                assert figure.load.value == pytest.approx(hop.load, nan_ok=True)
                assert figure.limit is None or figure.limit.value in (hop.limit, hop.least)
                assert figure.verdict == hop.verdict
            else:
                assert figure.load.value == of_the_tap(a, tap_id, figure.key)
        printed = {figure.key for figure in job.predicted}
        assert {key for key, hop in hops.items() if hop.verdict in ("fails", "may_not_hold")} <= (
            printed
        )
        missing = {str(hop.missing) for hop in hops.values() if hop.verdict == "unchecked"}
        told = " ".join(figure.bound for figure in job.predicted)
        assert all(why in told for why in missing)


FEED_COLUMN, CARRIES = 3, 5


def the_slot(vehicle: Vehicle) -> tuple[object, ...]:
    """Its row of the map."""
    (row,) = rows(content_of(vehicle, "map"), "slots-1")
    return row


def test_the_map_says_what_supplies_a_slot_or_that_nobody_knows() -> None:
    on_feed = bench_slot()
    straight = edits.change_slot(on_feed, "slot-1", feed=BATTERY)
    nobody = edits.change_slot(on_feed, "slot-1", feed=None)
    dead = edits.change_slot(nobody, "slot-1", feed_class="unfed")
    assert the_slot(on_feed)[FEED_COLUMN] == "permanent feed; Main feed"
    assert the_slot(straight)[FEED_COLUMN] == "permanent feed; straight from the battery"
    assert the_slot(nobody)[FEED_COLUMN] == "permanent feed; which feed is not known"
    assert the_slot(dead)[FEED_COLUMN] == "no supply"
    tapped = [with_accessory(each) for each in (nobody, straight)]
    told = [" ".join(texts_in(content_of(each), lambda thing: False)) for each in tapped]
    assert ["which feed supplies them is not known" in text for text in told] == [True, False]


def test_a_load_that_is_only_bounded_is_never_printed_as_nothing() -> None:
    own = loads(0.0)
    bounded = edits.change_slot(bench_slot(), "slot-1", own_load=own, own_most=loads(0.204))
    assert squeezed(the_slot(bounded)[CARRIES].text) == "0to0.204A"
    assert the_slot(bounded)[CARRIES].value == 0.0
    assert (
        squeezed(the_slot(edits.change_slot(bounded, "slot-1", own_load=loads(0.1)))[CARRIES].text)
        == "0.1A"
    )


def bench_slot() -> Vehicle:
    return one_slot(own_a=0.0)


def of_the_tap(a: Assessment, tap_id: str, key: str) -> float:
    """What a tap draws, or the lowest voltage while it works."""
    column = a.taps.index[tap_id]
    if key == "draws":
        return float(a.taps.current_a[:, column].max())
    assert key == "lowest"
    power = look_up.tap(a.vehicle, tap_id).lead == "power"
    at_work = (a.taps.works if power else a.taps.live)[:, column]
    return float(a.taps.voltage_v[at_work, column].min())


@settings(max_examples=20, deadline=None)
@given(strategies.vehicles(usual=True))
def test_the_panel_map_has_the_slots_and_feeds_of_the_assessment(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    content = content_from(a, "map")
    for number, panel in enumerate(vehicle.panels, start=1):
        ordered = sorted(panel.slots, key=lambda slot: (slot.row, slot.column))
        for slot, row in zip(ordered, rows(content, f"slots-{number}"), strict=True):
            if slot.kind != "fuse":
                continue
            column = a.slots.index[slot.id]
            at = int(a.most.slots.host_a[:, column].argmax())
            carried = float(a.slots.host_a[at, column])
            if isinstance(row[5], Figure):
                assert row[5].value == carried
            else:
                assert carried == 0
                assert not a.slots.own_known[at, column]
            assert same(row[6], a.slots.host_limit_a[column])
            assert same(row[7], a.most.slots.room_a[column])
    if vehicle.feeds:
        for feed, row in zip(vehicle.feeds, rows(content, "feeds"), strict=True):
            column = a.feeds.index[feed.id]
            at = int(a.most.feeds.current_a[:, column].argmax())
            assert same(row[3], a.feeds.current_a[at, column])
            assert same(row[4], a.feeds.limit_a[column])


def same(cell: object, value: float) -> bool:
    return isinstance(cell, Figure) and cell.value == float(value)


@settings(max_examples=20, deadline=None)
@given(strategies.vehicles(usual=True))
def test_the_boxes_of_the_check_predict_what_the_guided_check_does(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    content = content_from(a)
    parked = a.parked
    if not vehicle.taps:
        return
    standing = [a.band.low_h, a.band.middle_h, parked.hours_without]
    # in the check, and again on the owner's page
    assert [f.value for f in content.figures() if f.unit == "h"] == standing * 2
    going = {each.id for each in vehicle.accessories if each.found == "remove"}
    removed = {tap.id for tap in vehicle.taps if tap.accessory in going}
    # an earth point goes out of use with the last that comes back by it
    staying = {tap.earth for tap in vehicle.taps if tap.id not in removed}
    removed |= {tap.earth for tap in vehicle.taps if tap.id in removed} - staying
    wanted = sorted(
        step.expected.typical
        for step in final_check.steps(vehicle, a)
        if step.expected is not None and step.unit and step.target_id not in removed
    )
    drops = [
        float(load)
        for load, tap_id in zip(a.hops["drop"].load, a.taps.ids, strict=True)
        if isfinite(load) and tap_id not in removed
    ]
    asleep = float(a.taps.current_a[STATES.index("asleep")].sum())
    before = vehicle.parking.rest_current_a
    whole = [asleep] if before is None else [asleep, before]
    found = [row[1].value for row in rows(content, "checks") if isinstance(row[1], Figure)]
    assert sorted(found) == sorted([*wanted, *drops, *whole])


@settings(max_examples=20, deadline=None)
@given(strategies.vehicles(usual=True))
def test_what_is_printed_reads_back_as_the_number(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    for part in PARTS:
        for figure in content_from(a, part).figures():
            assert reads_back(figure), figure


def reads_back(figure: Figure) -> bool:
    """Whether the printed text says the value, to the digits it is printed with."""
    if not isfinite(figure.value):
        return figure.text == "–" or "computed" in figure.text
    said = NUMBER.search(figure.text)
    assert said is not None
    value = float(said[0].replace("−", "-"))
    # of two ends the first is the value, and the unit stands behind the last
    behind = figure.text[said.end() :].split() or [""]
    unit = behind[-1] if behind[0] == "to" else behind[0]
    if unit != figure.unit:
        value *= THOUSANDTHS.get(unit, 1.0)
    if figure.unit == "h":
        value *= {"minute": 1 / 60, "minutes": 1 / 60, "hour": 1, "hours": 1, "days": 24}[unit]
        return isclose(value, figure.value, rel_tol=0.06, abs_tol=0.6)
    return isclose(value, figure.value, rel_tol=0.006, abs_tol=1e-9)


@pytest.mark.parametrize("name", [key for key, _ in demos.demo_names()])
@pytest.mark.parametrize("part", PARTS)
def test_every_number_of_the_content_is_on_the_page(name: str, part: str) -> None:
    content = content_of(vehicles()[name], part)  # type: ignore[arg-type]
    read = squeezed(text_of(Pages(content).pdf()))
    for figure in content.figures():
        assert squeezed(figure.text) in read


def test_totals_of_the_parts_are_their_sums() -> None:
    for vehicle in vehicles().values():
        content = content_of(vehicle)
        (table,) = [table for table in content.tables() if table.key == "parts"]
        running, groups = 0.0, 0
        for row in table.rows:
            cell = row.cells[1]
            if row.kind == "total":
                assert isinstance(cell, Figure)
                assert isclose(cell.value, running)
                running, groups = 0.0, groups + 1
            elif isinstance(cell, Figure):
                running += cell.value
        assert groups >= 3


def test_the_cable_to_buy_is_the_cable_that_is_planned() -> None:
    for vehicle in vehicles().values():
        cables = [cable for tap in vehicle.taps for cable in (tap.cable_out, tap.cable_back)]
        cables += [c for each in vehicle.accessories for c in (each.lead_cable, each.lead_back)]
        planned = sum(cable.length_m for cable in cables if cable is not None)
        (table,) = [t for t in content_of(vehicle).tables() if t.key == "parts"]
        metres = [c.value for r in table.rows for c in r.cells[1:2] if is_metres(c)]
        assert isclose(metres[-1], planned)
        assert isclose(sum(metres[:-1]), planned)


def is_metres(cell: object) -> bool:
    return isinstance(cell, Figure) and cell.unit == "m"


class TestUnits:
    def test_feet_and_fahrenheit_say_the_same_as_metres_and_celsius(self) -> None:
        us = paper_style("en", "us")
        assert us.show(Amount(10.0, "m")) == f"{10 * FEET_PER_METRE:.1f}\u202fft"
        assert us.show(Amount(100.0, "°C")) == "212\u202f°F"
        assert us.show(Amount(-40.0, "°C")) == "−40\u202f°F"

    def test_the_value_stays_in_si_whatever_is_printed(self) -> None:
        content = content_of(vehicles()["family_estate"], "sheet", "en", "us")
        lengths = [figure for figure in content.figures() if figure.unit == "m"]
        assert lengths
        for figure in lengths:
            said = NUMBER.search(figure.text)
            assert said is not None
            assert figure.text.endswith("ft")
            assert isclose(float(said[0]), figure.value * FEET_PER_METRE, rel_tol=0.006)

    def test_both_gauges_stand_side_by_side_the_readers_own_first(self) -> None:
        assert paper_style("en").show(Section(1.5)) == "1.5\u202fmm² (about AWG\u202f15)"
        assert paper_style("en", "us").show(Section(1.5)) == "AWG\u202f14 (≥ 1.5\u202fmm²)"
        assert paper_style("en", "us").show(Section(120.0)) == "120\u202fmm²"

    @pytest.mark.parametrize("part", PARTS)
    def test_no_gauge_stands_on_american_paper_that_nobody_sells(self, part: Part) -> None:
        for vehicle in vehicles().values():
            content = content_of(vehicle, part, "en", "us")
            for text in texts_in(content, lambda _: False):
                for gauge in re.findall(r"AWG\s([\d/]+)", text):
                    assert gauge.endswith("/0") or int(gauge) % 2 == 0, text

    def test_a_comma_where_the_language_has_one(self) -> None:
        assert paper_style("de").show(Amount(7.5, "A")) == "7,5\u202fA"
        assert paper_style("en").show(Amount(7.5, "A")) == "7.5\u202fA"
        assert paper_style("nl").show(rated(7.5, "A")) == "7,5\u202fA"

    def test_ground_for_earth_only_where_it_is_wanted(self) -> None:
        assert paper_style("en", "us", True).show(say("Earth point")) == "Ground point"
        assert paper_style("en", "us", False).show(say("Earth point")) == "Earth point"
