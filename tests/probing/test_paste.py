"""A pasted table is taken in by looking at it; no row of it is lost."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fusemap.probing import evidence, paste
from fusemap.probing.paste_columns import find_columns, split
from fusemap.text import Style
from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from fusemap.vehicle.validity import faults
from tests.probing.vehicles import WHEN, dead, live, mv, read


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)


def taken(vehicle: Vehicle, text: str) -> Vehicle:
    return paste.take_in(vehicle, paste.preview(vehicle, text, WHEN), WHEN)


def test_columns_are_found_by_their_heading(van):
    text = "Slot\tAmps\tFunction\tOff\tIgn\nF1\t10 A\tRadio\tlive\tlive\nF2\t15\tHorn\t-\t+"
    done = taken(van, text)
    first, second = (look_up.slot(done, f"slot-{n}") for n in (1, 2))
    assert (first.fuse.rating, first.circuit, first.feed_class) == (10.0, "Radio", "permanent")
    assert second.circuit == "Horn"
    assert len(done.readings) == 4


@pytest.mark.parametrize("sign", ["\t", ";", ",", "|"])
def test_any_usual_sign_between_columns(van, sign):
    text = "\n".join(sign.join(row) for row in (["F1", "10", "Radio"], ["F2", "15", "Horn"]))
    done = taken(van, text)
    assert look_up.slot(done, "slot-2").fuse == Fuse(family="mini", rating=15.0)


def test_without_a_heading_columns_are_found_by_what_stands_in_them(van):
    found, headed = find_columns(split("Radio;F1;10\nHorn;F2;15\nHorn;F3;15"))
    assert not headed
    assert found == {"label": 1, "rating": 2, "circuit": 0}


def test_decimal_comma_and_units_in_cells(van):
    done = taken(van, "Slot;Rating;mV;Load\nF1;7,5;0,4;35 mA")
    assert look_up.slot(done, "slot-1").fuse.rating == 7.5
    assert [(r.quantity, r.value) for r in done.readings] == [
        ("millivolts", 0.4),
        ("clamp_current", 0.035),
    ]


def test_every_row_that_cannot_be_used_says_why_and_is_kept(van):
    text = "Slot;Rating\nF1;10\nF9;10\n;20\nF2;11\nF1;15"
    pasted = paste.preview(van, text, WHEN)
    assert {row.number: row.problem for row in pasted.unusable} == {
        3: "no slot is labelled “F9”",
        4: "no slot is named in it",
        5: "“11” is not a rating of the mini family",
        6: "this slot stands in an earlier row",
    }
    done = paste.take_in(van, pasted, WHEN)
    for cells in ("F9 | 10", "F2 | 11", "F1 | 15"):
        assert cells in done.log[0].text


def test_what_is_wrong_in_a_row_does_not_take_the_rest_along(van):
    pasted = paste.preview(van, "Slot;Rating;Circuit\nF1;11;Radio", WHEN)
    assert pasted.rows[0].usable
    assert "not a rating" in pasted.rows[0].partly[0]
    assert look_up.slot(paste.take_in(van, pasted, WHEN), "slot-1").circuit == "Radio"


def test_repeated_labels_ask_for_the_panel(van):
    two = edits.add_panel(van, "Boot", 1, 1)
    two = edits.change_slot(two, "slot-5", label="F1")
    assert "name the panel too" in paste.preview(two, "Slot;Amps\nF1;10", WHEN).rows[0].problem
    done = taken(two, "Slot;Panel;Amps\nF1;Boot;10")
    assert look_up.slot(done, "slot-5").fuse.rating == 10.0


def test_terminal_numbers_are_feed_classes(van):
    done = taken(van, "Slot;Klemme\nF1;30\nF2;15\nF3;58")
    found = [look_up.slot(done, f"slot-{n}").feed_class for n in (1, 2, 3)]
    assert found == ["permanent", "ignition", "lighting"]


def test_what_is_exported_can_be_pasted_again(van):
    for n, rating in enumerate((5.0, 10.0, 15.0), start=1):
        van = edits.change_slot(
            van, f"slot-{n}", fuse=Fuse(family="mini", rating=rating), circuit=f"Circuit; {n}"
        )
    source = read(van, live(), mv(1.2), dead(target_id="slot-2"),
                  live("ignition", target_id="slot-2"))  # fmt: skip
    empty = edits.add_panel(Vehicle(name="Other"), "Dash", 1, 4)
    done = taken(empty, paste.export(source))
    assert paste.export(done) == paste.export(source).replace(
        "unknown,unknown,live,,,,1.2", "permanent,unknown,live,,,,1.2"
    )
    assert "withdrawn" in paste.export_history(source).casefold().splitlines()[0]
    assert len(paste.export_history(source).splitlines()) == 5


CELLS = st.sampled_from(
    ["F1", "F2", "f3", "4", "F9", "", "10", "7,5", "Radio", "live", "dead", "+", "-", "0.4",
     "35 mA", "permanent", "30", "top", "mini", "maxi", "x" * 40, "“", "ö;", '"', "1e99", "\x00"]
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.lists(CELLS, max_size=6), max_size=6),
    st.sampled_from(["", "Slot;Rating;Feed;mV;Current;Live side"]),
    st.sampled_from(["\t", ";", ","]),
)
def test_whatever_is_pasted_no_row_vanishes_and_the_vehicle_stays_possible(rows, heading, sign):
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 1, 4)
    text = "\n".join([heading.replace(";", sign), *(sign.join(row) for row in rows)])
    pasted = paste.preview(vehicle, text, WHEN)
    found = len(split(text))
    assert len(pasted.rows) == found - (1 if pasted.heading else 0)
    for row in pasted.rows:
        assert row.does or row.problem
    assert list(faults(paste.take_in(vehicle, pasted, WHEN))) == []


def test_a_quote_that_is_never_closed_swallows_no_row(van):
    pasted = paste.preview(van, 'F1;10;"Radio\nF2;15;Horn', WHEN)
    assert [row.slot for row in pasted.rows] == ["slot-1", "slot-2"]


def test_a_line_of_a_megabyte_is_no_crash(van):
    pasted = paste.preview(van, f"Slot;Circuit\nF1;{'x' * 1_000_000}\nF2;Horn", WHEN)
    assert "longer than" in pasted.rows[0].problem
    assert pasted.rows[1].usable


def test_nothing_pasted_is_nothing(van):
    assert paste.preview(van, "  \n\n", WHEN).rows == ()


def test_more_than_a_meter_shows_costs_its_cell_and_no_more(van):
    done = taken(van, f"Slot;Rating;mV\nF1;10;{'9' * 20}\nF2;15;0,4")
    assert look_up.slot(done, "slot-1").fuse.rating == 10
    assert [reading.value for reading in done.readings] == [0.4]
    assert "more than a meter shows" in done.log[-1].text


@pytest.mark.parametrize(
    "text",
    [
        "Sicherungsplatz;Stromkreis;Versorgungsart;Zulaufseite\nF1;Radio;Dauerplus;oben",
        "posición;circuito;clase de alimentación;lado de entrada\nF1;Radio;permanente;superior",
        "Sicherungsplatz;Stromkreis;Zulaufseite;Spannung im Ruhezustand\nF1;Radio;oben;ja",
    ],
)
def test_a_table_in_the_words_of_another_language_is_read(van, text):
    done = look_up.slot(taken(van, text), "slot-1")
    assert (done.circuit, done.feed_class, done.live_side) == ("Radio", "permanent", "top")


def test_a_table_written_in_the_words_of_an_earlier_version_is_read(van):
    text = "Steckplatz;Stromkreis;Plusseite;Spannung schlafend;Versorgungsart\nF1;Radio;oben;ohne;"
    done = look_up.slot(taken(van, text), "slot-1")
    assert (done.circuit, done.live_side) == ("Radio", "top")
    text = "posición;circuito;lado vivo;clase de alimentación\nF1;Radio;superior;Zubehörplus"
    done = look_up.slot(taken(van, text), "slot-1")
    assert (done.live_side, done.feed_class) == ("top", "accessory")


def test_why_a_row_cannot_be_used_is_said_in_any_language(van):
    row = paste.preview(van, "Slot;Rating\nF9;10", WHEN).rows[0]
    assert Style("de").show(row.problem) == "kein Sicherungsplatz ist mit „F9“ beschriftet"


def test_what_the_program_notes_is_kept_in_english_and_said_in_any_language(van):
    done = taken(van, "Slot;mV\nF1;0,4")
    assert done.readings[0].note == "pasted"
    assert Style("de").show(evidence.note_words(done.readings[0])) == "eingefügt"
    own = replace(done.readings[0], note="pasted by Kim")
    assert evidence.note_words(own) == "pasted by Kim"
