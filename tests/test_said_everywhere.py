"""Nothing is said but by texts: in every language each has words, in all units the right figures.

What is told of the demo vehicles, of invented ones and of files and edits that are refused is
walked by its types (`tests.said`): templates are known in every catalogue, a plain `str` is a name
of that vehicle, figures are amounts.
"""

import json
import math
import re
from collections.abc import Callable, Iterable, Iterator

import pytest
from hypothesis import Phase, given, settings
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.checks import findings
from fusemap.errors import EditRefused, FileProblem, FusemapError
from fusemap.files import demos, parse, wording
from fusemap.files.validate import FORMAT, refuse_edit, vehicle_faults
from fusemap.placement.variants import compare
from fusemap.sheet import PARTS, Made, paper_style, sheet_content
from fusemap.sheet.style import named
from fusemap.text import Amount, Argument, Style, Text, in_row, say
from fusemap.text import given as figure
from fusemap.vehicle import (
    Cable,
    Drive,
    Fuse,
    Reading,
    Vehicle,
    VoltageCutOff,
    edits,
    look_up,
)
from fusemap.vehicle.field_words import PART_OF_LIST
from tests import fuzz, said, strategies

DEMOS = ("family_estate", "light_truck", "small_old_car")
MADE = Made("2026-03-14", "van.fusemap", "fusemap 9.9")


def problems_of(told: Iterable[Argument], names: frozenset[str]) -> list[str]:
    """What would be shown wrongly of all that is told, each once."""
    once = {repr(text): text for text in told}
    return list(
        dict.fromkeys(each for text in once.values() for each in said.problems(text, names))
    )


# --- the walker itself ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (say("no catalogue has this sentence"), "has no words for"),
        (say("{slot} holds", slot="a word of ours"), "no name that anybody gave"),
        (in_row([say("slot"), "a word of ours"]), "no name that anybody gave"),
        (say("Resistance at 20 °C"), "a figure in words"),
        (Text("carries {load} A", {"load": 3}, bare=True), "words in a template that has none"),
        (say("{load}", load=say("1.5")), "another decimal sign"),
        ("battery", "no name that anybody gave"),
    ],
)
def test_the_walker_finds_what_would_be_shown_wrongly(text: Argument, problem: str) -> None:
    assert any(problem in each for each in said.problems(text, frozenset({"Radio"})))


def test_the_walker_lets_pass_what_is_said_well() -> None:
    place = say("row {row}, column {column}", row=1, column=2)
    good = in_row([place, "Radio", Amount(12.5, "A"), figure(2.5, "m"), Amount(80.0, "°C")])
    assert list(said.problems(good, frozenset({"Radio"}))) == []


# --- what is told of a vehicle --------------------------------------------------------------------


@pytest.fixture(scope="module", params=DEMOS)
def demo(request: pytest.FixtureRequest) -> Assessment:
    return assess(demos.read_demo(request.param))


def test_all_that_is_told_of_a_demo_vehicle_is_said(demo: Assessment) -> None:
    assert problems_of(said.told(demo), said.names_of(demo.vehicle)) == []


def test_every_way_out_and_every_what_if_is_said(demo: Assessment) -> None:
    told = list(said.mended(demo))
    assert told
    assert problems_of(told, said.names_of(demo.vehicle)) == []


def test_what_differs_between_two_plans_is_said(demo: Assessment) -> None:
    other = assess(demos.read_demo(DEMOS[0]))
    names = said.names_of(demo.vehicle) | said.names_of(other.vehicle)
    assert problems_of(said.said(compare(demo, other)), names) == []


@pytest.mark.parametrize("part", PARTS)
def test_every_part_of_the_paper_is_said(demo: Assessment, part: str) -> None:
    with said.caught() as told:
        sheet_content(part, demo, findings(demo.vehicle, demo), paper_style("de", "us"), MADE)
    names = said.names_of(demo.vehicle)
    printed = names | {named(name) for name in names} | {MADE.file, MADE.program} | said.titles()
    assert len(told) > 10
    assert problems_of(told, frozenset(printed)) == []


@settings(max_examples=30, phases=[Phase.generate], deadline=None)
@given(vehicle=strategies.vehicles(usual=True))
def test_nothing_told_of_an_invented_vehicle_is_a_plain_string(vehicle: Vehicle) -> None:
    a = assess(vehicle)
    told = (*said.told(a), *said.mended(a, most=2))
    assert problems_of(told, said.names_of(vehicle)) == []


# --- names that look like words of ours -----------------------------------------------------------

LIKE_OURS = ("Pump and light", "engine off", "min", "asleep", "Battery", "row 1, column 2", "10 m")


def renamed(vehicle: Vehicle) -> Vehicle:
    """A vehicle whose parts are called by words that the program says, too."""
    words = [f"{word}{'’' * turn}" for turn in range(40) for word in LIKE_OURS]
    accessories = tuple(replace(each, name=words.pop(0)) for each in vehicle.accessories)
    feeds = tuple(replace(each, name=words.pop(0)) for each in vehicle.feeds)
    panels = tuple(
        replace(
            panel,
            slots=tuple(
                replace(slot, circuit=words.pop(0)) if slot.circuit and words else slot
                for slot in panel.slots
            ),
        )
        for panel in vehicle.panels
    )
    return replace(vehicle, accessories=accessories, feeds=feeds, panels=panels)


def test_a_name_that_looks_like_a_word_of_ours_stays_as_it_is() -> None:
    vehicle = renamed(demos.read_demo("family_estate"))
    given_names = {each.name for each in (*vehicle.accessories, *vehicle.feeds)}
    a = assess(vehicle)
    told = [text for text in (*said.told(a), *said.mended(a, most=4)) if isinstance(text, Text)]
    shown = 0
    for text in told:
        inside = [
            part for part in said.parts(text) if isinstance(part, str) and part in given_names
        ]
        for code in said.LANGUAGES if inside else ():
            words = Style(code, **said.AMERICAN).show(text)
            assert [name for name in inside if name not in words] == [], words
            shown += 1
    assert shown > 100
    assert problems_of(told, said.names_of(vehicle)) == []


# --- what is refused ------------------------------------------------------------------------------


def problems_of_error(error: FusemapError, names: frozenset[str]) -> list[str]:
    """What would be shown wrongly of a refusal; its `where` may be a path in the file."""
    told: list[Argument] = [error.what, error.remedy]
    told += [error.where] if isinstance(error.where, Text) else []
    assert isinstance(error.what, Text), error.what
    assert isinstance(error.remedy, Text), error.remedy
    return problems_of(told, names)


_PLACE = re.compile(r"[a-z_]+\[\d+\](\.[a-z_]+(\[\d+\])?)*")
"""A place in the file, as a refusal names it."""


def words_in(tree: object) -> Iterator[str]:
    """Every string of a file, keys and values."""
    if isinstance(tree, str):
        yield tree
    elif isinstance(tree, dict):
        for key, value in tree.items():
            yield key
            yield from words_in(value)
    elif isinstance(tree, list):
        for value in tree:
            yield from words_in(value)


PATHS = {f"{part}[{index}]" for part in ("slots", "feeds", "taps") for index in range(99)}
"""Where something is in a file, as one part of it says of another."""
NO_NUMBERS = {str(value) for value in (math.nan, math.inf, -math.inf)}
"""What a file can say in place of a number; it is told as it was read."""


@settings(max_examples=150, phases=[Phase.generate], deadline=None)
@given(content=fuzz.worse_fields() | fuzz.swapped_references() | fuzz.other_numbers())
def test_what_a_damaged_file_is_refused_for_is_said(content: str) -> None:
    error = refusal(content)
    if error is not None:
        typed = list(words_in(json.loads(content)))
        inside = {wording.clear(word, most) for word in typed for most in (40, 60, 300)}
        inside |= {f"{name}[{number}]" for name in PART_OF_LIST for number in range(60)}
        names = said.keys() | said.units() | PATHS | {FORMAT, "null"} | NO_NUMBERS | inside
        assert problems_of_error(error, names) == []


def refusal(content: str) -> FileProblem | None:
    """Why a file is not read."""
    try:
        parse(content, "stranger.fusemap")
    except FileProblem as error:
        return error
    return None


def spoiled(vehicle: Vehicle, number: int) -> Vehicle:
    """A vehicle with one of many things in it that cannot be."""
    panel, accessory, tap = vehicle.panels[0], vehicle.accessories[0], vehicle.taps[0]
    slot = panel.slots[0]
    reading = Reading(id="r", when="2025-05-17", target="slot", target_id=slot.id, state="asleep",
                      quantity="millivolts", value=1.0)  # fmt: skip
    drive = Drive(weekdays=("mon",), start_h=8.0, minutes=20.0)

    def slots(**changes: object) -> Vehicle:
        changed = replace(panel, slots=(replace(slot, **changes), *panel.slots[1:]))
        return replace(vehicle, panels=(changed, *vehicle.panels[1:]))

    def panels(**changes: object) -> Vehicle:
        return replace(vehicle, panels=(replace(panel, **changes), *vehicle.panels[1:]))

    def accessories(**changes: object) -> Vehicle:
        rest = vehicle.accessories[1:]
        return replace(vehicle, accessories=(replace(accessory, **changes), *rest))

    def taps(**changes: object) -> Vehicle:
        return replace(vehicle, taps=(replace(tap, **changes), *vehicle.taps[1:]))

    def readings(**changes: object) -> Vehicle:
        return replace(vehicle, readings=(replace(reading, **changes),))

    def parking(**changes: object) -> Vehicle:
        return replace(vehicle, parking=replace(vehicle.parking, **changes))

    made: list[Callable[[], Vehicle]] = [
        lambda: slots(row=99),
        lambda: slots(column=99),
        lambda: slots(kind="relay", fuse=Fuse(family="mini", rating=10.0)),
        lambda: slots(fuse=Fuse(family="maxi", rating=30.0), family="mini"),
        lambda: slots(fuse=Fuse(family="mini", rating=11.0), family="mini"),
        lambda: slots(feed="gone"),
        lambda: slots(id=""),
        lambda: slots(id=panel.slots[1].id),
        lambda: slots(row=panel.slots[1].row, column=panel.slots[1].column),
        lambda: slots(circuit="x" * 600),
        lambda: slots(circuit="Radio\u202e"),
        lambda: slots(circuit="Radio\x00"),
        lambda: slots(circuit="Radio\u200b"),
        lambda: panels(rows=0),
        lambda: panels(columns=10**20),
        lambda: panels(slots=panel.slots * 80),
        lambda: accessories(watts=None, amperes=None),
        lambda: accessories(watts=10.0, amperes=1.0),
        lambda: accessories(leads=("sense",)),
        lambda: accessories(cut_off=VoltageCutOff(off_v=12.0, on_v=11.0)),
        lambda: accessories(supplied_by="gone"),
        lambda: accessories(supplied_by=accessory.id),
        lambda: accessories(rated_v=1e30),
        lambda: accessories(rated_v=float("nan")),
        lambda: accessories(rated_v=0.0),
        lambda: accessories(rated_v=-1.0),
        lambda: accessories(kind="nonsense"),
        lambda: taps(kind="own_feed"),
        lambda: taps(kind="splice", slot=None),
        lambda: taps(feed="gone"),
        lambda: taps(slot="gone"),
        lambda: taps(accessory="gone"),
        lambda: taps(relay=True),
        lambda: taps(lead="sense"),
        lambda: taps(cable_out=Cable(section_mm2=1.5, length_m=2.0, insulation="paper")),
        lambda: replace(vehicle, taps=(tap, tap)),
        lambda: replace(vehicle, feeds=(*vehicle.feeds, vehicle.feeds[0])),
        lambda: readings(when="yesterday"),
        lambda: readings(value=1e5),
        lambda: readings(quantity="works", value=3.0),
        lambda: readings(highest=0.5),
        lambda: readings(meter="gone"),
        lambda: readings(corrects="gone"),
        lambda: parking(drives=(replace(drive, minutes=0.0),)),
        lambda: parking(drives=(replace(drive, weekdays=()),)),
        lambda: parking(low_temperature_c=20.0, high_temperature_c=-5.0),
    ]  # fmt: skip
    return made[number]() if number < len(made) else vehicle


@pytest.mark.parametrize("number", range(46))
def test_what_a_vehicle_cannot_be_is_said(number: int) -> None:
    vehicle = demos.read_demo("family_estate")
    bad = spoiled(vehicle, number)
    found = [*vehicle_faults(bad)]
    assert found
    examples = {"2025-05-17T18:30", "nan", "U+202E", "U+0000", "U+200B", "nonsense", "paper"}
    names = said.names_of(bad) | said.keys() | PATHS | examples
    for fault in found:
        assert isinstance(fault.what, Text)
        assert isinstance(fault.remedy, Text)
        assert problems_of((fault.what, fault.remedy), names) == []
    with pytest.raises(EditRefused):
        refuse_edit(vehicle, bad)


def refusals(vehicle: Vehicle) -> list[Callable[[], object]]:
    """Edits that are refused, each for another reason."""
    panel, accessory = vehicle.panels[0], vehicle.accessories[0]
    tapped = next(tap.slot for tap in vehicle.taps if tap.slot is not None)
    relay = next(slot for slot in look_up.slots(vehicle) if slot.kind != "fuse")
    free = next(slot for slot in panel.slots if slot.id != tapped)
    plain = next(each for each in vehicle.accessories if each.leads == ("power",))
    top, under = vehicle.feeds[0], edits.add_feed(vehicle, "Under", parent=vehicle.feeds[0].id)
    return [
        lambda: look_up.slot(vehicle, "gone"),
        lambda: look_up.meter(vehicle, "gone"),
        lambda: edits.remove_slot(vehicle, tapped),
        lambda: edits.remove_panel(vehicle, look_up.panel_of(vehicle, tapped).id),
        lambda: edits.place(vehicle, accessory_id=accessory.id, slot=relay.id),
        lambda: edits.place(vehicle, accessory_id=plain.id, lead="sense", slot=free.id),
        lambda: edits.change_slot(vehicle, free.id, row=99),
        lambda: edits.change_feed(under, top.id, parent=under.feeds[-1].id),
        lambda: edits.change_accessory(vehicle, accessory.id, rated_v=-1.0),
        lambda: edits.set_rule(vehicle, "continuous_share", float("inf")),
        lambda: edits.add_panel(vehicle, "Huge", 99, 99),
    ]


@pytest.mark.parametrize("number", range(11))
def test_why_an_edit_is_refused_is_said(number: int) -> None:
    vehicle = demos.read_demo("family_estate")
    with pytest.raises(FusemapError) as raised:
        refusals(vehicle)[number]()
    names = said.names_of(vehicle) | said.keys() | {"gone", "inf"}
    assert problems_of_error(raised.value, names) == []
